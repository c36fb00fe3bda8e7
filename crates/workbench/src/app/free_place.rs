//! Where a cut may lie that no other cut lies in already.

use seamwright_geometry::Bounds;
use seamwright_project::{Axis, Cut, Recipe};

/// Cuts nearer to each other than this leave a slice between them that nobody wants, mm. Our own choice, no source.
const APART_MM: f64 = 5.0;
/// Of something small they may be as near as this share of its length. Our own choice, no source.
const APART_SHARE: f64 = 0.05;

/// The middle of `bounds` along `axis`, mm, or where a cut square to it lies there already, the middle of the widest part
/// that cuts leave free.
pub fn free_offset_mm(recipe: &Recipe, axis: Axis, bounds: &Bounds) -> f64 {
    let (low, high) = (bounds.min[axis.index()], bounds.max[axis.index()]);
    let middle = (low + high) / 2.0;
    let square = |cut: &&Cut| cut.enabled && cut.plane.axis == axis && cut.plane.tilt_deg == [0.0; 2];
    let offsets = recipe.cuts.iter().filter(square).map(|cut| cut.plane.offset_mm());
    let mut taken: Vec<f64> = offsets.filter(|at| (low..=high).contains(at)).collect();
    let apart_mm = APART_MM.min((high - low) * APART_SHARE);
    if taken.iter().all(|at| (at - middle).abs() >= apart_mm) {
        return middle;
    }
    taken.extend([low, high]);
    taken.sort_by(f64::total_cmp);
    let gaps = taken.windows(2).map(|gap| (gap[1] - gap[0], (gap[0] + gap[1]) / 2.0));
    // Of gaps that are alike the first.
    gaps.fold((0.0, middle), |widest, gap| if gap.0 > widest.0 + 1e-9 { gap } else { widest }).1
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::Point;
    use seamwright_project::{CutForm, CutPlane, Edit, PartId, Scope};

    #[test]
    fn a_new_cut_comes_where_there_is_none_yet() {
        let bounds = Bounds { min: Point::new(0.0, 0.0, 0.0), max: Point::new(400.0, 60.0, 40.0) };
        let mut recipe = Recipe::new("part");
        for expected in [200.0, 100.0, 300.0, 50.0] {
            let at = free_offset_mm(&recipe, Axis::X, &bounds);
            assert_eq!(at, expected);
            let (plane, form) = (CutPlane::square(Axis::X, at), CutForm::Flat);
            let edit = Edit::AddCut { name: String::new(), part: PartId::MAIN, plane, form, scope: Scope::All };
            recipe = edit.apply(&recipe).unwrap();
        }
        assert_eq!(free_offset_mm(&recipe, Axis::Y, &bounds), 30.0, "cuts across another axis are not in the way");
    }
}

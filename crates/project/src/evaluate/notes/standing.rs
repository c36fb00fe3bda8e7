//! A model that would fall over as it stands, and would stand firmly a quarter turn further: its foot looks sideways.

use seamwright_geometry::{Hull, Mesh, Point, Vector};

use super::note;
use crate::cut_plane::Axis;
use crate::edit::Edit;
use crate::outcome::{Note, Outcome, Stock, Weight};
use crate::stance::Stance;

/// What lies this much of the longest side above the lowest place carries too: a third of a millimetre of a helm, by which
/// beds and rims are uneven. A ball rests on so little then that 4° of tilt are more than it takes. Our own choice, no
/// source.
const CARRIES_SHARE: f64 = 1e-3;
/// What topples when it is tilted by less falls at a touch, degrees. Our own choice, no source.
const FALLS_DEG: f64 = 5.0;
/// What bears more than this stands by itself on an uneven table, degrees. Our own choice, no source.
const STANDS_DEG: f64 = 15.0;

/// Nothing once the maker has said how it stands, or has begun to cut.
pub(super) fn notice(stock: &Stock, outcome: &Outcome) -> Option<Note> {
    let recipe = &outcome.recipe;
    let [part] = outcome.parts.as_slice() else { return None };
    if !recipe.cuts.is_empty() || recipe.stance != Stance::default() {
        return None;
    }
    // Uncut, the corners of its bodies are all that it can rest on.
    let corners: Vec<Point> = outcome.pieces.iter().flat_map(|piece| &piece.facts.hull).copied().collect();
    let ways = Axis::ALL[..2].iter().flat_map(|axis| [(*axis, false), (*axis, true)]);
    let ways = ways.map(|(axis, back)| (axis, back, down_before(axis, back)));
    let feet: Vec<_> = ways.filter_map(|(axis, back, down)| Some((axis, back, foot(&corners, &down)?))).collect();
    if feet.is_empty() {
        return None;
    }
    let closed = part.closed.unwrap_or(stock.report.closed);
    let balance = balance(&part.solid.mesh, closed)?;
    let now_deg = foot(&corners, &-Vector::z()).map_or(0.0, |foot| foot.bears_deg(&balance));
    let bears = |foot: &Foot| foot.bears_deg(&balance);
    let best = feet.iter().max_by(|a, b| bears(&a.2).total_cmp(&bears(&b.2)))?;
    let (axis, back, foot) = best;
    if now_deg > FALLS_DEG || bears(foot) < STANDS_DEG {
        return None;
    }
    let turned = recipe.stance.quarter_turned(*axis, *back, &mut stock.kept_corners(recipe));
    let [long_mm, wide_mm] = foot.sizes_mm();
    let text = format!(
        "as it stands the model rests on next to nothing and would fall over. Turned by {}90° about {} it stands on a flat \
         foot of {long_mm:.0} × {wide_mm:.0} mm",
        if *back { "−" } else { "" },
        axis.name()
    );
    Some(Note { edit: Some(Edit::SetStance(turned)), ..note(Weight::Remark, text) })
}

/// The direction that such a quarter turn makes point down.
fn down_before(axis: Axis, back: bool) -> Vector {
    let turn = Stance::default().quarter_turned(axis, back, &mut std::iter::empty()).turn(1.0);
    turn.back(-Vector::z())
}

/// What a model rests on when one of its sides is down.
pub(super) struct Foot {
    down: Vector,
    /// The corners that touch the ground, in order around their outline, along two directions square to `down`, mm.
    outline: Vec<[f64; 2]>,
    across: [Vector; 2],
    /// How far along `down` the ground lies, mm.
    ground_mm: f64,
}

/// The foot that looks along `down`; `None` where it rests on a point or an edge.
pub(super) fn foot(corners: &[Point], down: &Vector) -> Option<Foot> {
    let along = |p: &Point| p.coords.dot(down);
    let ground_mm = corners.iter().map(along).fold(f64::NEG_INFINITY, f64::max);
    let longest_mm = seamwright_geometry::Bounds::of(corners.iter().copied())?.size().max();
    let carries = |p: &&Point| ground_mm - along(p) <= longest_mm * CARRIES_SHARE;
    let first = Vector::ith((down.iamax() + 1) % 3, 1.0);
    let across = [first, down.cross(&first)];
    let seen = |p: &Point| Point::new(p.coords.dot(&across[0]), p.coords.dot(&across[1]), 0.0);
    let flat = Hull::of(&corners.iter().filter(carries).map(seen).collect::<Vec<_>>());
    let outline = flat.vertices.iter().map(|p| [p.x, p.y]).collect();
    (!flat.faces.is_empty()).then_some(Foot { down: *down, outline, across, ground_mm })
}

impl Foot {
    /// How far it may be tilted before it topples over the nearest edge of its foot, degrees; 0 where it falls by itself.
    pub(super) fn bears_deg(&self, balance: &Point) -> f64 {
        let over = self.across.map(|across| balance.coords.dot(&across));
        let ends = self.outline.iter().zip(self.outline.iter().cycle().skip(1));
        let area = ends.clone().map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>();
        let inside_mm = |(a, b): (&[f64; 2], &[f64; 2])| {
            let (along, to) = ([b[0] - a[0], b[1] - a[1]], [over[0] - a[0], over[1] - a[1]]);
            let length = along[0].hypot(along[1]);
            (length > 0.0).then(|| area.signum() * (along[0] * to[1] - along[1] * to[0]) / length)
        };
        let nearest_mm = ends.filter_map(inside_mm).fold(f64::INFINITY, f64::min);
        let high_mm = self.ground_mm - balance.coords.dot(&self.down);
        if nearest_mm.is_finite() { nearest_mm.max(0.0).atan2(high_mm).to_degrees() } else { 0.0 }
    }

    /// Length and width of the box around it.
    pub(super) fn sizes_mm(&self) -> [f64; 2] {
        let mut sizes = [0, 1].map(|k| {
            let [low, high] = self
                .outline
                .iter()
                .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], p| [low.min(p[k]), high.max(p[k])]);
            high - low
        });
        sizes.sort_by(|a, b| b.total_cmp(a));
        sizes
    }
}

/// The place on which it balances: of what is closed that of its material, else that of a sheet as large as its surface.
pub(super) fn balance(mesh: &Mesh, closed: bool) -> Option<Point> {
    let origin = mesh.vertices.first()?;
    let (mut solid, mut sheet) = ((0.0, Vector::zeros()), (0.0, Vector::zeros()));
    for t in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners(t).map(|p| p - origin);
        let (volume, area) = (a.dot(&b.cross(&c)) / 6.0, (b - a).cross(&(c - a)).norm() / 2.0);
        solid = (solid.0 + volume, solid.1 + (a + b + c) * (volume / 4.0));
        sheet = (sheet.0 + area, sheet.1 + (a + b + c) * (area / 3.0));
    }
    let (weight, moment) = if closed && solid.0 > 0.0 { solid } else { sheet };
    (weight > 0.0).then(|| origin + moment / weight)
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::solids;

    #[test]
    fn a_box_bears_what_its_sides_say_and_a_ball_nothing_much() {
        let solid = solids::cuboid(Point::new(5.0, 5.0, 5.0), Point::new(25.0, 45.0, 65.0));
        let at = balance(&solid, true).unwrap();
        assert!((at - Point::new(15.0, 25.0, 35.0)).norm() < 1e-9);
        assert!((balance(&solid, false).unwrap() - at).norm() < 1e-9, "a sheet of the same form");
        let standing = foot(&solid.vertices, &-Vector::z()).unwrap();
        assert!((standing.bears_deg(&at) - (10.0f64 / 30.0).atan().to_degrees()).abs() < 1e-9);
        assert_eq!(standing.sizes_mm(), [40.0, 20.0]);
        let ball = solids::sphere(Point::new(0.0, 0.0, 9.0), 80.0, 40);
        let rests = foot(&ball.vertices, &Vector::x());
        assert!(rests.is_none_or(|foot| foot.bears_deg(&balance(&ball, true).unwrap()) < FALLS_DEG));
    }

    #[test]
    fn each_quarter_turn_brings_another_side_down() {
        let downs = [(Axis::X, false), (Axis::X, true), (Axis::Y, false), (Axis::Y, true)];
        let downs = downs.map(|(axis, back)| down_before(axis, back));
        assert!(downs.iter().all(|down| down.z.abs() < 1e-12));
        let sum: Vector = downs.iter().sum();
        assert!(sum.norm() < 1e-12 && downs[0].dot(&downs[2]).abs() < 1e-12);
    }
}

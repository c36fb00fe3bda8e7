//! The rim of a cap, where the wall beside it leans so far over that the piece ends in a thin lip.

use rustc_hash::FxHashMap;

use crate::{FaceOrigin, Point, Solid, Vector};

/// The stretches of a cap's rim where the piece is a thin wedge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThinRim {
    /// How long they are together, mm.
    pub length_mm: f64,
    /// The angle of the wedge: the mean over the length, degrees.
    pub angle_deg: f64,
    /// The middle of the longest edge among them.
    pub place: Point,
}

/// The stretches of the rim of `cap` along which `solid` is a wedge of less than `within_deg`: cap and wall meet there at so
/// small an angle, the material between them. `None` where there are none.
pub fn thin_rim(solid: &Solid, cap: FaceOrigin, within_deg: f64) -> Option<ThinRim> {
    let mesh = &solid.mesh;
    let sides = |t: usize| {
        let [a, b, c] = mesh.triangles[t];
        [(a, b), (b, c), (c, a)]
    };
    // Edges of the cap that no other face of it has the other way round.
    let mut rim: FxHashMap<(u32, u32), Vector> = FxHashMap::default();
    for t in (0..mesh.triangles.len()).filter(|t| solid.origins[*t] == cap) {
        let normal = across(&mesh.corners(t));
        for (from, to) in sides(t) {
            if rim.remove(&(to, from)).is_none() {
                rim.insert((from, to), normal);
            }
        }
    }
    let mut on_rim = vec![false; mesh.vertices.len()];
    rim.keys().for_each(|(from, to)| (on_rim[*from as usize], on_rim[*to as usize]) = (true, true));
    let most_cos = -within_deg.to_radians().cos();
    let (mut length_mm, mut weighed) = (0.0, 0.0);
    let mut longest: Option<(f64, Point)> = None;
    for (t, corners) in mesh.triangles.iter().enumerate() {
        let touches = corners.iter().filter(|v| on_rim[**v as usize]).count() > 1;
        if !touches || solid.origins[t] == cap {
            continue;
        }
        let wall = across(&mesh.corners(t));
        for ((from, to), third) in sides(t).into_iter().zip([corners[2], corners[0], corners[1]]) {
            let Some(normal) = rim.get(&(to, from)) else { continue };
            let (Some(up), Some(out)) = (normal.try_normalize(0.0), wall.try_normalize(0.0)) else { continue };
            let [a, b, c] = [from, to, third].map(|v| mesh.vertices[v as usize]);
            let cos = up.dot(&out);
            // The wall goes on below the cap: above it, the two would be the sides of a slit.
            if cos >= most_cos || up.dot(&(c - a)) >= 0.0 {
                continue;
            }
            let length = (b - a).norm();
            length_mm += length;
            weighed += length * (180.0 - cos.max(-1.0).acos().to_degrees());
            if longest.is_none_or(|(most, _)| length > most) {
                longest = Some((length, nalgebra::center(&a, &b)));
            }
        }
    }
    let (_, place) = longest?;
    (length_mm > 0.0).then(|| ThinRim { length_mm, angle_deg: weighed / length_mm, place })
}

fn across([a, b, c]: &[Point; 3]) -> Vector {
    (b - a).cross(&(c - a))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{CutOutcome, Mesh, Motion, Plane, Progress, Side, cut, solids};

    fn rims(mesh: Mesh, plane: &Plane) -> [Option<ThinRim>; 2] {
        let solid = Solid::from_stock(mesh);
        let Ok(CutOutcome::Parted(parted)) = cut(&solid, plane, 1, &Progress::new()) else { panic!("not parted") };
        [(&parted.below, Side::Below), (&parted.above, Side::Above)]
            .map(|(solid, side)| thin_rim(solid, FaceOrigin::cap(1, side), 15.0))
    }

    #[test]
    fn a_leaning_box_cut_level_has_a_thin_rim_on_one_side_of_each_cut_wall() {
        let cube = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(60.0, 40.0, 30.0));
        let level = |z: f64| Plane::new(Vector::z(), z).unwrap();
        assert_eq!(rims(cube.clone(), &level(10.0)), [None, None], "square corners");
        let turned = cube.transformed(&Motion::rotation(Vector::y() * 10_f64.to_radians()));
        // Through its top, which leans by ten degrees: what is cut off ends in a wedge there, over the width of the box.
        let [below, above] = rims(turned, &level(28.0));
        let above = above.unwrap();
        assert!(below.is_none() && (above.length_mm - 40.0).abs() < 1e-6, "{above:?}");
        assert!((above.angle_deg - 10.0).abs() < 1e-6 && (above.place.z - 28.0).abs() < 1e-6);
    }

    #[test]
    fn the_polar_cap_of_a_ball_is_thin_all_round() {
        let ball = solids::sphere(Point::origin(), 50.0, 48);
        let [below, above] = rims(ball, &Plane::new(Vector::z(), 49.0).unwrap());
        let round = std::f64::consts::TAU * (2500.0_f64 - 49.0 * 49.0).sqrt();
        let above = above.unwrap();
        assert!(below.is_none() && (above.length_mm / round - 1.0).abs() < 0.05, "{above:?} of {round}");
    }
}

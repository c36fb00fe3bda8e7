//! What lies inside what: how often surfaces go round a place, exactly.

use crate::predicates::{orient_2d, orient_3d};
use crate::tree::FaceTree;
use crate::{Mesh, Point};

/// Looks straight up from `p` and hands over each face seen, with +1 where one leaves through it and −1 where one enters.
/// Added up over the faces of a closed shell this is how often it goes round `p`: 1 inside one that faces outwards, −1
/// inside one that faces inwards, 0 outside. Returns whether `p` lies on a face.
///
/// Exact: where the line of sight meets an edge or a vertex it is taken to pass infinitely little beside it, at +x and
/// much less at +y, for all faces alike (Edelsbrunner and Mücke, "Simulation of simplicity", 1990), so that of all faces
/// there just the right ones are seen. Faces seen edge-on are never.
pub(crate) fn look_up(mesh: &Mesh, tree: &FaceTree, p: &Point, each: &mut impl FnMut(u32, i32)) -> bool {
    let mut on_a_face = false;
    let over = |b: &crate::boxes::SmallBox| {
        (0..2).all(|k| f64::from(b.low[k]) <= p[k] && p[k] <= f64::from(b.high[k])) && f64::from(b.high[2]) >= p.z
    };
    tree.visit(0, &over, &mut |group| {
        for &face in tree.group(group).1 {
            let [a, b, c] = mesh.corners(face as usize);
            let Some(turn) = turn_round(&[a, b, c], p) else { continue };
            let side = orient_3d(&a, &b, &c, p) * f64::from(turn);
            if side > 0.0 {
                each(face, turn);
            } else if side == 0.0 {
                on_a_face = true;
            }
        }
    });
    on_a_face
}

/// Seen from above, whether the triangle goes round `p` counter-clockwise (1), clockwise (−1), or not at all.
pub(crate) fn turn_round(t: &[Point; 3], p: &Point) -> Option<i32> {
    if t[0].xy() == t[1].xy() && t[0].xy() == t[2].xy() {
        return None;
    }
    let first = left_of(&t[0], &t[1], p);
    (left_of(&t[1], &t[2], p) == first && left_of(&t[2], &t[0], p) == first).then_some(if first { 1 } else { -1 })
}

/// Whether `p`, moved by as good as nothing, lies to the left of the line from `a` to `b`, seen from above.
fn left_of(a: &Point, b: &Point, p: &Point) -> bool {
    let exact = orient_2d([a.x, a.y], [b.x, b.y], [p.x, p.y]);
    if exact != 0.0 {
        return exact > 0.0;
    }
    // How the sign above changes as p moves along x and, where that is not at all, along y.
    if a.y != b.y { a.y > b.y } else { b.x > a.x }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Progress, solids};

    fn winding(mesh: &Mesh, p: Point) -> (i32, bool) {
        let tree = FaceTree::build(mesh, &Progress::new()).unwrap();
        let mut turns = 0;
        let on = look_up(mesh, &tree, &p, &mut |_, turn| turns += turn);
        (turns, on)
    }

    #[test]
    fn inside_is_one_and_outside_is_none_below_edges_and_vertices_too() {
        let cube = solids::grid_box(Point::origin(), Point::new(4.0, 4.0, 4.0), [4, 4, 4]);
        for i in -1..=9 {
            for j in -1..=9 {
                for k in -1..=9 {
                    let p = Point::new(f64::from(i), f64::from(j), f64::from(k)) / 2.0;
                    let strictly = (0..3).all(|axis| p[axis] > 0.0 && p[axis] < 4.0);
                    let out = (0..3).any(|axis| p[axis] < 0.0 || p[axis] > 4.0);
                    if strictly {
                        assert_eq!(winding(&cube, p), (1, false), "{p}");
                        assert_eq!(winding(&solids::inverted(&cube), p), (-1, false), "{p}");
                    } else if out {
                        assert_eq!(winding(&cube, p).0, 0, "{p}");
                    }
                }
            }
        }
        assert!(winding(&cube, Point::new(1.25, 1.5, 4.0)).1 && winding(&cube, Point::new(2.0, 1.0, 0.0)).1);
    }

    #[test]
    fn faces_without_extent_are_not_seen() {
        let up = |z: f64| Point::new(1.0, 2.0, z);
        let mesh = Mesh { vertices: vec![up(3.0), up(3.0), up(5.0)], triangles: vec![[0, 1, 2], [0, 0, 1]] };
        assert_eq!(winding(&mesh, up(0.0)), (0, false));
    }

    #[test]
    fn a_sphere_is_around_what_is_within_its_faces() {
        let ball = solids::sphere(Point::origin(), 10.0, 8);
        for (i, v) in ball.vertices.iter().enumerate() {
            assert_eq!(winding(&ball, v * 0.98), (1, false), "{i}");
            assert_eq!(winding(&ball, v * 1.02), (0, false), "{i}");
        }
    }
}

//! How two triangles lie to each other, decided exactly.

use crate::Point;
use crate::predicates::{on_one_line, orient_2d, orient_3d};

/// How two faces meet that should not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Meeting {
    /// They pass through each other: the insides of both have a place in common, and they lie in different planes.
    Crossing,
    /// They lie in one plane and cover a common area.
    Overlapping,
    /// They have a place in common other than a shared vertex or edge, but neither passes through the other.
    Touching,
}

/// How two triangles meet beyond the vertices and edges that they share; `None` where they do not, and for triangles
/// without area, which are reported as such. Vertices are shared where their places are equal.
///
/// All signs are exact. For triangles in different planes the test for passing through each other is that of Guigue and
/// Devillers, "Fast and robust triangle-triangle overlap test using orientation predicates", 2003, with all comparisons
/// strict; triangles in one plane overlap unless the line of an edge keeps them apart.
pub(crate) fn meeting(a: &[Point; 3], b: &[Point; 3]) -> Option<Meeting> {
    let shared = a.map(|p| b.contains(&p));
    let shared_count = shared.iter().filter(|s| **s).count();
    if shared_count == 1 && only_a_corner(a, b, &shared) {
        return None;
    }
    let of_b = sides(a, b);
    if one_sided(&of_b) {
        return None;
    }
    if of_b == [0; 3] {
        return in_one_plane(a, b, shared_count);
    }
    // Two planes have one line in common, and the shared edge is on it.
    if shared_count >= 2 {
        return None;
    }
    let of_a = sides(b, a);
    if one_sided(&of_a) || on_one_line(a.each_ref()) || on_one_line(b.each_ref()) {
        return None;
    }
    if of_a == [0; 3] {
        return in_one_plane(a, b, shared_count);
    }
    if pass_through(a, of_a, b, of_b) {
        return Some(Meeting::Crossing);
    }
    // What is common lies on the line of both planes, from the shared corner or along a piece whose ends are on edges.
    let corner = |t: &[Point; 3], other: &[Point; 3]| t.iter().position(|p| other.contains(p));
    let meets = match (corner(a, b), corner(b, a)) {
        (Some(i), Some(j)) => {
            edge_meets([&a[(i + 1) % 3], &a[(i + 2) % 3]], b) || edge_meets([&b[(j + 1) % 3], &b[(j + 2) % 3]], a)
        }
        _ => (0..3).any(|k| edge_meets([&a[k], &a[(k + 1) % 3]], b) || edge_meets([&b[k], &b[(k + 1) % 3]], a)),
    };
    meets.then_some(Meeting::Touching)
}

/// A quick no for the usual neighbours at a corner: seen along an axis, the line of an edge at the corner keeps them
/// apart, and the first triangle is not seen edge-on, so that it has no other place above that corner.
fn only_a_corner(a: &[Point; 3], b: &[Point; 3], shared: &[bool; 3]) -> bool {
    let Some(i) = shared.iter().position(|s| *s) else { return false };
    let Some(j) = b.iter().position(|p| *p == a[i]) else { return false };
    let across = (a[1] - a[0]).cross(&(a[2] - a[0]));
    let flat = Flat::without(across.iamax());
    let corner = flat.of(&a[i]);
    let own = [1, 2].map(|k| flat.of(&a[(i + k) % 3]));
    let other = [1, 2].map(|k| flat.of(&b[(j + k) % 3]));
    let turn = orient_2d(corner, own[0], own[1]);
    if turn == 0.0 {
        return false;
    }
    // Strictly outside of one of the two edges at the corner, which are held so that the triangle is to their left.
    let outside = |from: [f64; 2], to: [f64; 2]| other.iter().all(|&p| orient_2d(from, to, p) * turn.signum() < 0.0);
    outside(corner, own[0]) || outside(own[1], corner)
}

/// The side of the plane of `t` that each place lies on.
fn sides(t: &[Point; 3], places: &[Point; 3]) -> [i8; 3] {
    // Corners of the triangle itself are on it without computing.
    places.map(|p| if t.contains(&p) { 0 } else { sign(-orient_3d(&t[0], &t[1], &t[2], &p)) })
}

fn one_sided(sides: &[i8; 3]) -> bool {
    sides.iter().all(|s| *s > 0) || sides.iter().all(|s| *s < 0)
}

fn sign(x: f64) -> i8 {
    if x > 0.0 {
        1
    } else if x < 0.0 {
        -1
    } else {
        0
    }
}

/// Whether the insides of two triangles in different planes have a place in common.
fn pass_through(a: &[Point; 3], of_a: [i8; 3], b: &[Point; 3], of_b: [i8; 3]) -> bool {
    let both = |sides: [i8; 3]| sides.contains(&1) && sides.contains(&-1);
    if !both(of_a) || !both(of_b) {
        return false;
    }
    // Each with the corner first that is alone on its side, turned so that this side is the other's upper one.
    let (mut a, turn_b) = alone_first(a, of_a);
    let (mut b, turn_a) = alone_first(b, of_b);
    if turn_a {
        a.swap(1, 2);
    }
    if turn_b {
        b.swap(1, 2);
    }
    // Along the line of both planes, each covers the interval between its two edges at that corner.
    orient_3d(&a[0], &a[1], &b[0], &b[1]) > 0.0 && orient_3d(&a[0], &a[2], &b[0], &b[2]) < 0.0
}

/// The corners in cyclic order from the one alone on its side, and whether that is the lower side.
fn alone_first(t: &[Point; 3], sides: [i8; 3]) -> ([Point; 3], bool) {
    let is_alone = |i: &usize| sides[*i] != 0 && (1..3).all(|k| sides[(i + k) % 3] != sides[*i]);
    let i = (0..3).find(is_alone).unwrap_or(0);
    ([t[i], t[(i + 1) % 3], t[(i + 2) % 3]], sides[i] < 0)
}

/// Whether the closed edge and the closed triangle, which has an area, have a place in common.
fn edge_meets([p, q]: [&Point; 2], t: &[Point; 3]) -> bool {
    let [at_p, at_q] = [p, q].map(|x| sign(-orient_3d(&t[0], &t[1], &t[2], x)));
    if at_p == at_q && at_p != 0 {
        return false;
    }
    if at_p != 0 && at_q != 0 {
        let turns = [0, 1, 2].map(|k| sign(orient_3d(p, q, &t[k], &t[(k + 1) % 3])));
        return turns.iter().all(|s| *s >= 0) || turns.iter().all(|s| *s <= 0);
    }
    let Some((flat, corners)) = Flat::of_triangle(t) else { return false };
    let holds = |x: [f64; 2]| (0..3).all(|k| orient_2d(corners[k], corners[(k + 1) % 3], x) >= 0.0);
    let (flat_p, flat_q) = (flat.of(p), flat.of(q));
    (at_p == 0 && holds(flat_p))
        || (at_q == 0 && holds(flat_q))
        || (at_p == 0 && at_q == 0 && (0..3).any(|k| segments_meet(flat_p, flat_q, corners[k], corners[(k + 1) % 3])))
}

/// Whether two closed segments of a plane have a place in common that is an end of none or the line of none (the ends
/// are tried beforehand): they properly cross.
fn segments_meet(p: [f64; 2], q: [f64; 2], a: [f64; 2], b: [f64; 2]) -> bool {
    let side = |from, to, x| sign(orient_2d(from, to, x));
    side(p, q, a) * side(p, q, b) <= 0 && side(a, b, p) * side(a, b, q) <= 0 && side(p, q, a) != side(p, q, b)
}

/// Two triangles in one plane.
fn in_one_plane(a: &[Point; 3], b: &[Point; 3], shared: usize) -> Option<Meeting> {
    let (flat, a) = Flat::of_triangle(a)?;
    let b = flat.counter_clockwise(b)?;
    // The greatest side of an edge that any corner of the other is on: what lies to the left of an edge is inside.
    let beyond = |t: &[[f64; 2]; 3], other: &[[f64; 2]; 3], k: usize| {
        other.iter().map(|&p| sign(orient_2d(t[k], t[(k + 1) % 3], p))).max().unwrap_or(0)
    };
    let least = (0..3).map(|k| beyond(&a, &b, k).min(beyond(&b, &a, k))).min().unwrap_or(0);
    match (least, shared) {
        (1, _) => Some(Meeting::Overlapping),
        (0, 0) => Some(Meeting::Touching),
        (0, 1) => along_one_line(&a, &b).then_some(Meeting::Touching),
        _ => None,
    }
}

/// Whether two triangles that share a corner have edges at it that run the same way.
fn along_one_line(a: &[[f64; 2]; 3], b: &[[f64; 2]; 3]) -> bool {
    let Some(i) = a.iter().position(|p| b.contains(p)) else { return false };
    let corner = a[i];
    let direction = |p: [f64; 2]| [0, 1].map(|k| p[k].total_cmp(&corner[k]));
    let others = |t: &[[f64; 2]; 3]| t.iter().copied().filter(|p| *p != corner).collect::<Vec<_>>();
    let (a, b) = (others(a), others(b));
    a.iter().any(|&p| b.iter().any(|&q| orient_2d(corner, p, q) == 0.0 && direction(p) == direction(q)))
}

/// Drops one coordinate, so that places keep their exact relations.
#[derive(Clone, Copy)]
struct Flat {
    axes: [usize; 2],
}

impl Flat {
    fn without(axis: usize) -> Flat {
        Flat { axes: [(axis + 1) % 3, (axis + 2) % 3] }
    }

    /// One that shows the triangle with an area, and its corners there, counter-clockwise; `None` for one without area.
    fn of_triangle(t: &[Point; 3]) -> Option<(Flat, [[f64; 2]; 3])> {
        let first = (t[1] - t[0]).cross(&(t[2] - t[0])).iamax();
        (first..first + 3).find_map(|axis| {
            let flat = Flat::without(axis % 3);
            flat.counter_clockwise(t).map(|corners| (flat, corners))
        })
    }

    fn counter_clockwise(&self, t: &[Point; 3]) -> Option<[[f64; 2]; 3]> {
        let [a, b, c] = t.each_ref().map(|p| self.of(p));
        match sign(orient_2d(a, b, c)) {
            1 => Some([a, b, c]),
            -1 => Some([a, c, b]),
            _ => None,
        }
    }

    fn of(&self, p: &Point) -> [f64; 2] {
        self.axes.map(|k| p[k])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Another way to the same answer, in whole numbers without rounding: every piece of either triangle that is common
    /// to both is spanned by corners within the other and by places where an edge meets the other's plane or edges. All
    /// such places are found as fractions; what they say about the insides of both is told apart by plain comparison.
    mod plain {
        use super::Meeting;

        type V = [i128; 3];
        /// A place: numerators over a common positive denominator.
        #[derive(Clone, Copy, PartialEq, Debug)]
        struct Place(V, i128);

        fn sub(a: V, b: V) -> V {
            [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
        }
        fn dot(a: V, b: V) -> i128 {
            a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
        }
        fn cross(a: V, b: V) -> V {
            [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
        }
        fn same(a: Place, b: Place) -> bool {
            (0..3).all(|k| a.0[k] * b.1 == b.0[k] * a.1)
        }
        /// Signs of the three barycentric weights of a place in the plane of `t`.
        fn weights(t: &[V; 3], p: Place) -> [i128; 3] {
            let n = cross(sub(t[1], t[0]), sub(t[2], t[0]));
            [0, 1, 2].map(|k| {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                let scaled_a = a.map(|x| x * p.1);
                dot(n, cross(sub(b, a), sub(p.0, scaled_a))).signum()
            })
        }
        fn within(t: &[V; 3], p: Place) -> bool {
            let n = cross(sub(t[1], t[0]), sub(t[2], t[0]));
            let off = dot(n, sub(p.0, t[0].map(|x| x * p.1)));
            off == 0 && weights(t, p).iter().all(|w| *w >= 0)
        }

        /// Ends of what is common to both.
        fn common(a: &[V; 3], b: &[V; 3]) -> Vec<Place> {
            let mut places: Vec<Place> = Vec::new();
            let mut add = |p: Place| {
                if !places.iter().any(|q| same(*q, p)) {
                    places.push(p);
                }
            };
            for (s, t) in [(a, b), (b, a)] {
                let n = cross(sub(t[1], t[0]), sub(t[2], t[0]));
                for k in 0..3 {
                    let (p, q) = (s[k], s[(k + 1) % 3]);
                    if within(t, Place(p, 1)) {
                        add(Place(p, 1));
                    }
                    let (dp, dq) = (dot(n, sub(p, t[0])), dot(n, sub(q, t[0])));
                    if dp != dq {
                        let (num, den) = if dp - dq > 0 { (dp, dp - dq) } else { (-dp, dq - dp) };
                        if (0..=den).contains(&num) {
                            let at = Place([0, 1, 2].map(|i| p[i] * den + (q[i] - p[i]) * num), den);
                            if within(t, at) {
                                add(at);
                            }
                        }
                    } else if dp == 0 {
                        // In the plane: where it meets the edges of the other.
                        for j in 0..3 {
                            let (c, d) = (t[j], t[(j + 1) % 3]);
                            let across = cross(sub(q, p), sub(d, c));
                            let length = dot(across, across);
                            if length == 0 {
                                continue;
                            }
                            let num = dot(cross(sub(c, p), sub(d, c)), across);
                            if (0..=length).contains(&num) {
                                let at = Place([0, 1, 2].map(|i| p[i] * length + (q[i] - p[i]) * num), length);
                                if within(t, at) {
                                    add(at);
                                }
                            }
                        }
                    }
                }
            }
            places
        }

        pub fn meeting(a: &[V; 3], b: &[V; 3]) -> Option<Meeting> {
            let normal = |t: &[V; 3]| cross(sub(t[1], t[0]), sub(t[2], t[0]));
            let (na, nb) = (normal(a), normal(b));
            if na == [0; 3] || nb == [0; 3] {
                return None;
            }
            let places = common(a, b);
            let shared =
                |p: &Place| a.iter().any(|v| same(Place(*v, 1), *p)) && b.iter().any(|v| same(Place(*v, 1), *p));
            let one_plane = cross(na, nb) == [0; 3] && b.iter().all(|v| dot(na, sub(*v, a[0])) == 0);
            if one_plane {
                let has_area = places.len() > 2
                    && (2..places.len()).any(|k| {
                        let at = |i: usize| places[i];
                        let (p, q, r) = (at(0), at(1), at(k));
                        let u = [0, 1, 2].map(|i| q.0[i] * p.1 - p.0[i] * q.1);
                        let v = [0, 1, 2].map(|i| r.0[i] * p.1 - p.0[i] * r.1);
                        cross(u, v) != [0; 3]
                    });
                if has_area {
                    return Some(Meeting::Overlapping);
                }
            } else {
                // The middle of the ends lies inside both if anything does.
                let sum = places
                    .iter()
                    .fold(Place([0; 3], 1), |s, p| Place([0, 1, 2].map(|k| s.0[k] * p.1 + p.0[k] * s.1), s.1 * p.1));
                let middle = Place(sum.0, sum.1 * places.len().max(1) as i128);
                let inside = |t: &[V; 3]| weights(t, middle).iter().all(|w| *w > 0);
                if !places.is_empty() && inside(a) && inside(b) {
                    return Some(Meeting::Crossing);
                }
            }
            // A shared edge is all right, two shared ends without the edge between them do not occur.
            places.iter().any(|p| !shared(p)).then_some(Meeting::Touching)
        }
    }

    fn places(t: [[i8; 3]; 3]) -> [Point; 3] {
        t.map(|p| Point::from(p.map(f64::from)))
    }

    fn both_ways(a: [[i8; 3]; 3], b: [[i8; 3]; 3]) -> (Option<Meeting>, Option<Meeting>) {
        let wide = |t: [[i8; 3]; 3]| t.map(|p| p.map(i128::from));
        (meeting(&places(a), &places(b)), plain::meeting(&wide(a), &wide(b)))
    }

    fn triangle(reach: i8) -> impl Strategy<Value = [[i8; 3]; 3]> {
        prop::array::uniform3(prop::array::uniform3(-reach..=reach))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        #[test]
        fn agrees_with_fractions_on_close_triangles(a in triangle(2), b in triangle(2)) {
            let (ours, plain) = both_ways(a, b);
            prop_assert_eq!(ours, plain);
        }

        #[test]
        fn agrees_with_fractions_on_wide_triangles(a in triangle(9), b in triangle(9)) {
            let (ours, plain) = both_ways(a, b);
            prop_assert_eq!(ours, plain);
        }

        #[test]
        fn agrees_with_fractions_on_flat_triangles(a in triangle(3), b in triangle(3), shared in 0..3_usize) {
            let flat = |t: [[i8; 3]; 3]| t.map(|p| [p[0], p[1], p[0] + p[1]]);
            let (a, mut b) = (flat(a), flat(b));
            b[..shared].copy_from_slice(&a[..shared]);
            let (ours, plain) = both_ways(a, b);
            prop_assert_eq!(ours, plain);
        }

        #[test]
        fn agrees_with_fractions_on_neighbours(a in triangle(3), b in triangle(3), shared in 1..4_usize, turn in 0..3) {
            let mut b = b;
            b[..shared].copy_from_slice(&a[..shared]);
            b.rotate_left(turn as usize);
            let (ours, plain) = both_ways(a, b);
            prop_assert_eq!(ours, plain);
        }

        #[test]
        fn neither_order_nor_turn_matters(a in triangle(3), b in triangle(3)) {
            let (p, q) = (places(a), places(b));
            let answer = meeting(&p, &q);
            prop_assert_eq!(meeting(&q, &p), answer);
            prop_assert_eq!(meeting(&[p[0], p[2], p[1]], &q), answer);
            prop_assert_eq!(meeting(&[p[1], p[2], p[0]], &[q[2], q[0], q[1]]), answer);
        }
    }

    #[test]
    fn one_bit_decides_between_touching_and_crossing() {
        let floor = [Point::new(-1.0, -1.0, 0.1), Point::new(1.0, -1.0, 0.1), Point::new(0.0, 1.0, 0.1)];
        let spike = |z: f64| [Point::new(0.0, 0.0, z), Point::new(0.1, 0.0, 1.0), Point::new(0.0, 0.1, 1.0)];
        assert_eq!(meeting(&floor, &spike(0.1)), Some(Meeting::Touching));
        assert_eq!(meeting(&floor, &spike(0.1_f64.next_down())), Some(Meeting::Crossing));
        assert_eq!(meeting(&floor, &spike(0.1_f64.next_up())), None);
    }
}

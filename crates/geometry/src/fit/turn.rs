//! Turning about the vertical: the exact best turn of a convex outline in a rectangle.
//!
//! Let W(φ) be the width of the outline in the direction (cos φ, sin φ). Turned by −φ, the outline is W(φ) wide and
//! W(φ + 90°) deep. Between two neighbouring angles at which an edge is square to one of those directions, each width
//! is |r|·cos of the angle to a fixed vector r between two corners, hence concave, and its spare room convex. The
//! lesser of two convex functions is greatest at an end of the interval or where the two are equal, and that place
//! has a closed form. So finitely many turns hold the best one, with no sampling.

use crate::hull::{Point2, convex_polygon};
use nalgebra::Vector2;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// An outline turned about the vertical, and the room that it leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Turn {
    /// Counter-clockwise seen from above, −π/2 < `turn_rad` ≤ π/2.
    pub turn_rad: f64,
    /// Width and depth once turned, mm.
    pub sizes_mm: [f64; 2],
    /// The lesser of the two spare rooms, mm; negative when it sticks out.
    pub slack_mm: f64,
}

/// Slacks closer than this are equal, and the smaller turn is taken: rounding of metre-long outlines is far below.
const EQUAL_MM: f64 = 1e-9;

impl Turn {
    /// Whether this turn is to be taken rather than `other`.
    fn beats(&self, other: &Turn) -> bool {
        let gain = self.slack_mm - other.slack_mm;
        gain > EQUAL_MM || (gain > -EQUAL_MM && self.turn_rad.abs() < other.turn_rad.abs())
    }
}

/// The convex outline of what is seen from above, ready to be turned.
#[derive(Clone, Debug)]
pub(crate) struct Outline2 {
    /// Corners counter-clockwise.
    corners: Vec<Point2>,
    /// Outward direction of the edge that begins at the first corner.
    first_rad: f64,
    /// How far beyond that the edge that begins at each corner faces: 0 ≤ angle ≤ 2π, not descending.
    beyond_rad: Vec<f64>,
}

/// Rounding of an edge's angle: edges as short as a thousandth of a millimetre, a metre from the origin, have a
/// direction that is known to 10⁻¹⁰.
const SAME_RAD: f64 = 1e-9;

impl Outline2 {
    /// The convex outline of `points`; `None` without any.
    pub fn of(points: Vec<Point2>) -> Option<Outline2> {
        let corners = convex_polygon(points);
        if corners.is_empty() {
            return None;
        }
        let outward = |k: usize| {
            let along = corners[(k + 1) % corners.len()] - corners[k];
            (-along.x).atan2(along.y)
        };
        let first_rad = outward(0);
        // Edges ascend; the angles of nearly parallel ones may not, by their rounding. They must never be sorted by
        // it: the corner between two edges exchanged is not the farthest in any direction.
        let mut highest = 0.0_f64;
        let beyond = |k: usize| {
            let angle = (outward(k) - first_rad).rem_euclid(TAU);
            // An angle a little below the first edge's is rounded from it.
            let angle = if angle > TAU - SAME_RAD && highest < PI { 0.0 } else { angle };
            highest = highest.max(angle);
            highest
        };
        let beyond_rad = (0..corners.len()).map(beyond).collect();
        Some(Outline2 { corners, first_rad, beyond_rad })
    }

    /// The corners, counter-clockwise.
    pub fn corners(&self) -> &[Point2] {
        &self.corners
    }

    pub fn into_corners(self) -> Vec<Point2> {
        self.corners
    }

    /// The turn that leaves the greatest slack in a room of the given width and depth. Of equal ones, the smallest.
    pub fn best_turn(&self, room_mm: [f64; 2]) -> Turn {
        let [a, b] = room_mm;
        let mut best = self.turned(0.0, room_mm);
        // Takes the turn if it is better and says the best slack so far.
        let mut offer = |turn: Turn| {
            if turn.beats(&best) {
                best = turn;
            }
            best.slack_mm
        };
        self.for_each_interval(|low, high, widths| {
            let (at_low, at_high) = (widths.at(low), widths.at(high));
            for swapped in [false, true] {
                let (a, b, turn_by) = if swapped { (b, a, FRAC_PI_2) } else { (a, b, 0.0) };
                let mut offer_at = |phi: f64, [w, d]: [f64; 2]| {
                    let (sizes_mm, slack_mm) = (if swapped { [d, w] } else { [w, d] }, (a - w).min(b - d));
                    offer(Turn { turn_rad: half_turn(-phi - turn_by), sizes_mm, slack_mm })
                };
                let so_far = offer_at(low.angle_rad, at_low).max(offer_at(high.angle_rad, at_high));
                // Convex functions stay below their ends: most intervals can hold nothing better.
                let at_most = (a - at_low[0].min(at_high[0])).min(b - at_low[1].min(at_high[1]));
                if at_most > so_far - EQUAL_MM {
                    for phi in widths.equal_slack(a - b, low.angle_rad, high.angle_rad) {
                        offer_at(phi, widths.at(Direction::of(phi)));
                    }
                }
            }
        });
        best
    }

    /// The turn of the smallest enclosing rectangle among those that leave no less than `least_slack_mm`; it has a
    /// side along an edge of the outline (H. Freeman and R. Shapira, Comm. ACM 18(7):409–413, 1975).
    pub fn smallest_rectangle(&self, room_mm: [f64; 2], least_slack_mm: f64) -> Option<Turn> {
        let mut best: Option<Turn> = None;
        self.for_each_interval(|low, _, widths| {
            let [w, d] = widths.at(low);
            for (sizes_mm, turn_by) in [([w, d], 0.0), ([d, w], FRAC_PI_2)] {
                let slack_mm = (room_mm[0] - sizes_mm[0]).min(room_mm[1] - sizes_mm[1]);
                let turn = Turn { turn_rad: half_turn(-low.angle_rad - turn_by), sizes_mm, slack_mm };
                let smaller = |best: &Turn| {
                    let gain = best.sizes_mm[0] * best.sizes_mm[1] - w * d;
                    gain > EQUAL_MM * (w + d) || (gain > -EQUAL_MM * (w + d) && turn.beats(best))
                };
                if slack_mm >= least_slack_mm && best.as_ref().is_none_or(smaller) {
                    best = Some(turn);
                }
            }
        });
        best
    }

    /// Width and depth once turned by `turn_rad`, and the slack.
    pub fn turned(&self, turn_rad: f64, room_mm: [f64; 2]) -> Turn {
        let sizes_mm = Widths { across: self.across(-turn_rad), square: self.across(FRAC_PI_2 - turn_rad) }
            .at(Direction::of(-turn_rad));
        let slack_mm = (room_mm[0] - sizes_mm[0]).min(room_mm[1] - sizes_mm[1]);
        Turn { turn_rad, sizes_mm, slack_mm }
    }

    /// Every interval of φ within a quarter turn in which the same corners bound both widths. Their angles beyond
    /// the quarter are the same with width and depth exchanged.
    fn for_each_interval(&self, mut visit: impl FnMut(Direction, Direction, &Widths)) {
        let mut breaks: Vec<f64> =
            self.beyond_rad.iter().map(|angle| (self.first_rad + angle).rem_euclid(FRAC_PI_2)).collect();
        breaks.sort_unstable_by(f64::total_cmp);
        breaks.dedup();
        let mut low = Direction::of(breaks[0]);
        for k in 0..breaks.len() {
            let high = Direction::of(breaks.get(k + 1).copied().unwrap_or(breaks[0] + FRAC_PI_2));
            let middle = (low.angle_rad + high.angle_rad) / 2.0;
            visit(low, high, &Widths { across: self.across(middle), square: self.across(middle + FRAC_PI_2) });
            low = high;
        }
    }

    /// From the lowest to the highest corner in the direction of `angle_rad`.
    fn across(&self, angle_rad: f64) -> Vector2<f64> {
        self.farthest(angle_rad) - self.farthest(angle_rad + PI)
    }

    /// The corner farthest in a direction: it lies between the edges whose outward directions enclose it.
    fn farthest(&self, angle_rad: f64) -> Point2 {
        let angle = (angle_rad - self.first_rad).rem_euclid(TAU);
        let k = self.beyond_rad.partition_point(|&beyond| beyond < angle);
        self.corners[if k < self.corners.len() { k } else { 0 }]
    }
}

/// A direction in the plane.
#[derive(Clone, Copy)]
struct Direction {
    angle_rad: f64,
    sin_cos: (f64, f64),
}

impl Direction {
    fn of(angle_rad: f64) -> Direction {
        Direction { angle_rad, sin_cos: angle_rad.sin_cos() }
    }
}

/// Both widths within one interval, each as the vector between the two corners that bound it.
struct Widths {
    /// Bounds the width in the direction φ.
    across: Vector2<f64>,
    /// Bounds the width in the direction φ + 90°.
    square: Vector2<f64>,
}

impl Widths {
    fn at(&self, phi: Direction) -> [f64; 2] {
        let (s, c) = phi.sin_cos;
        [self.across.x * c + self.across.y * s, self.square.y * c - self.square.x * s]
    }

    /// Where in [low, high] width minus depth is `difference`: at most two places, since the difference is a cosine.
    fn equal_slack(&self, difference: f64, low: f64, high: f64) -> impl Iterator<Item = f64> {
        let r = Vector2::new(self.across.x - self.square.y, self.across.y + self.square.x);
        let (length, towards) = (r.norm(), r.y.atan2(r.x));
        let half = if difference.abs() <= length && length > 0.0 { (difference / length).acos() } else { f64::NAN };
        [towards + half, towards - half]
            .into_iter()
            .map(move |phi| low + (phi - low).rem_euclid(TAU))
            .filter(move |&phi| phi < high)
    }
}

/// The same attitude of an outline's box, −π/2 < angle ≤ π/2.
fn half_turn(angle: f64) -> f64 {
    let angle = angle.rem_euclid(PI);
    if angle > FRAC_PI_2 { angle - PI } else { angle }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rectangle(p: f64, q: f64, turn_rad: f64) -> Outline2 {
        let (s, c) = turn_rad.sin_cos();
        let corners = [(0.0, 0.0), (p, 0.0), (p, q), (0.0, q)].map(|(x, y)| Point2::new(x * c - y * s, x * s + y * c));
        Outline2::of(corners.to_vec()).unwrap()
    }

    /// Depth that a room of width a must have for a rectangle p × q to fit, for p > a (W. B. Carver, American
    /// Mathematical Monthly 64, 1957; J. E. Wetzel, *Rectangles in Rectangles*, Mathematics Magazine 73(3), 2000).
    fn carver_depth(p: f64, q: f64, a: f64) -> f64 {
        let squares = p * p + q * q;
        (2.0 * p * q * a + (p * p - q * q) * (squares - a * a).sqrt()) / squares
    }

    fn carver(p: f64, q: f64, a: f64, b: f64) -> bool {
        let (p, q, a, b) = (p.max(q), p.min(q), a.max(b), a.min(b));
        q <= b && (p <= a || b >= carver_depth(p, q, a))
    }

    #[test]
    fn nine_by_four_is_refused_by_eight_by_six() {
        // Wetzel's counter-example: area, diagonal, perimeter and thickness all allow it.
        assert!((carver_depth(9.0, 4.0, 8.0) - 9.7876).abs() < 1e-4);
        assert!(rectangle(9.0, 4.0, 0.7).best_turn([8.0, 6.0]).slack_mm < -0.1);
        assert!(rectangle(9.0, 4.0, 0.7).best_turn([8.0, 8.0]).slack_mm < -0.1);
    }

    #[test]
    fn nine_by_one_fits_eight_from_the_published_depth_on() {
        let depth = carver_depth(9.0, 1.0, 8.0);
        assert!(rectangle(9.0, 1.0, 0.7).best_turn([8.0, depth + 1e-6]).slack_mm > 0.0);
        assert!(rectangle(9.0, 1.0, 0.7).best_turn([8.0, depth - 1e-6]).slack_mm < 0.0);
    }

    #[test]
    fn the_longest_strip_in_a_square_lies_on_the_diagonal() {
        for q in [10.0, 20.0, 40.0, 50.0] {
            let longest = 200.0 * 2.0_f64.sqrt() - q;
            let turn = rectangle(longest, q, 0.3).best_turn([200.0, 200.0]);
            assert!(turn.slack_mm.abs() < 1e-9, "{q}: {turn:?}");
            assert!(rectangle(longest + 0.01, q, 0.3).best_turn([200.0, 200.0]).slack_mm < -1e-3);
        }
    }

    #[test]
    fn a_square_that_just_fits_is_not_turned() {
        let turn = rectangle(200.0, 200.0, 0.0).best_turn([200.0, 200.0]);
        assert_eq!((turn.turn_rad, turn.slack_mm), (0.0, 0.0));
    }

    #[test]
    fn a_point_and_a_segment_have_turns() {
        let point = Outline2::of(vec![Point2::new(3.0, 4.0)]).unwrap();
        assert_eq!(point.best_turn([2.0, 5.0]).slack_mm, 2.0);
        let segment = Outline2::of(vec![Point2::new(1.0, 1.0), Point2::new(6.0, 1.0)]).unwrap();
        assert!(segment.best_turn([3.0, 4.0]).slack_mm.abs() < 1e-12);
        assert!(Outline2::of(Vec::new()).is_none());
    }

    #[test]
    fn the_smallest_rectangle_of_a_turned_rectangle_is_itself() {
        let turn = rectangle(30.0, 20.0, 0.4).smallest_rectangle([100.0, 100.0], 0.0).unwrap();
        assert!((turn.sizes_mm[0] - 30.0).abs() < 1e-9 && (turn.sizes_mm[1] - 20.0).abs() < 1e-9);
        assert!((turn.turn_rad + 0.4).abs() < 1e-9);
        let across = rectangle(30.0, 20.0, 0.4).smallest_rectangle([25.0, 100.0], 0.0).unwrap();
        assert!((across.sizes_mm[0] - 20.0).abs() < 1e-9);
        assert!(rectangle(30.0, 20.0, 0.4).smallest_rectangle([19.0, 100.0], 0.0).is_none());
    }

    #[test]
    fn corners_that_rounding_puts_on_an_edge_do_no_harm() {
        for step in 0..400 {
            let (s, c) = (f64::from(step) * 0.01).sin_cos();
            let grid = (0..64).map(|k| (f64::from(k % 8), f64::from(k / 8)));
            let points: Vec<Point2> = grid.map(|(x, y)| Point2::new(x * c - y * s, x * s + y * c)).collect();
            let outline = Outline2::of(points.clone()).unwrap();
            assert!((outline.best_turn([7.0, 7.0]).slack_mm).abs() < 1e-9, "{step}");
            for turn in 0..60 {
                let turn_rad = f64::from(turn) * 0.05;
                let (s, c) = turn_rad.sin_cos();
                let x = points.iter().map(|p| p.x * c - p.y * s);
                let width = x.clone().fold(f64::MIN, f64::max) - x.fold(f64::MAX, f64::min);
                assert!((outline.turned(turn_rad, [0.0; 2]).sizes_mm[0] - width).abs() < 1e-9);
            }
        }
    }

    fn outline() -> impl Strategy<Value = Outline2> {
        prop::collection::vec([-50.0_f64..50.0, -50.0_f64..50.0], 1..30)
            .prop_map(|all| Outline2::of(all.into_iter().map(Point2::from).collect()).unwrap())
    }

    proptest! {
        #[test]
        fn rectangles_agree_with_the_published_criterion(
            p in 1.0..10.0, q in 1.0..10.0, a in 1.0..10.0, b in 1.0..10.0, turn in -4.0..4.0,
        ) {
            let slack = rectangle(p, q, turn).best_turn([a, b]).slack_mm;
            prop_assume!(slack.abs() > 1e-9);
            prop_assert_eq!(slack > 0.0, carver(p, q, a, b), "slack {}", slack);
        }

        #[test]
        fn no_sampled_turn_leaves_more_room(outline in outline(), a in 1.0..150.0, b in 1.0..150.0) {
            let best = outline.best_turn([a, b]);
            for k in 0..1000 {
                let turn = outline.turned(f64::from(k) * PI / 1000.0, [a, b]);
                prop_assert!(turn.slack_mm <= best.slack_mm + 1e-9);
            }
            let again = outline.turned(best.turn_rad, [a, b]);
            prop_assert!((again.slack_mm - best.slack_mm).abs() < 1e-9);
            prop_assert!((again.sizes_mm[0] - best.sizes_mm[0]).abs() < 1e-9);
        }
    }
}

//! Round beds, polygons and keep-out zones.

use super::*;
use crate::KeepOut;

pub(super) fn polygon(corners_mm: &[[f64; 2]], height_mm: f64) -> Bed {
    Bed::of(Outline::Polygon { corners_mm: corners_mm.to_vec() }, height_mm)
}

pub(super) fn regular(sides: u32, radius: f64) -> Vec<[f64; 2]> {
    let corner = |k: u32| {
        let (s, c) = (f64::from(k) * 2.0 * PI / f64::from(sides)).sin_cos();
        [radius * c, radius * s]
    };
    (0..sides).map(corner).collect()
}

pub(super) fn l_shape() -> Vec<[f64; 2]> {
    vec![[0.0, 0.0], [200.0, 0.0], [200.0, 80.0], [80.0, 80.0], [80.0, 200.0], [0.0, 200.0]]
}

pub(super) fn zone(low: [f64; 2], high: [f64; 2], from_mm: f64) -> KeepOut {
    KeepOut { corners_mm: vec![low, [high[0], low[1]], high, [low[0], high[1]]], from_mm }
}

/// Whether a point lies within a polygon, by counting the edges that a ray crosses.
fn holds(corners: &[[f64; 2]], p: &Point) -> bool {
    let next = corners.iter().cycle().skip(1);
    let crossed = corners
        .iter()
        .zip(next)
        .filter(|([ax, ay], [bx, by])| (*ay > p.y) != (*by > p.y) && p.x < ax + (bx - ax) * (p.y - ay) / (by - ay));
    crossed.count() % 2 == 1
}

fn distance_to_edges(corners: &[[f64; 2]], p: &Point) -> f64 {
    let next = corners.iter().cycle().skip(1);
    let distance = |(a, b): (&[f64; 2], &[f64; 2])| {
        let (along, towards) = ([b[0] - a[0], b[1] - a[1]], [p.x - a[0], p.y - a[1]]);
        let squared = along[0] * along[0] + along[1] * along[1];
        let t = ((towards[0] * along[0] + towards[1] * along[1]) / squared).clamp(0.0, 1.0);
        (towards[0] - t * along[0]).hypot(towards[1] - t * along[1])
    };
    corners.iter().zip(next).map(distance).fold(f64::INFINITY, f64::min)
}

/// How far points on the edges of the hull stick out of a bed, told by no code of the search; what is less than
/// `least` is not told.
fn sampled_sticks_out(points: &[Point], pose: &Motion, bed: &Bed, least: f64) -> f64 {
    let hull = crate::Hull::of(&moved(points, pose));
    let outline = bed.drawn_outline_mm();
    let mut most = 0.0_f64;
    for [i, j] in hull.edge_ends() {
        let (a, b) = (hull.vertices[i as usize], hull.vertices[j as usize]);
        for k in 0..=40 {
            let p = a + (b - a) * (f64::from(k) / 40.0);
            most = most.max(bed.raft_mm - p.z).max(p.z - bed.height_mm);
            let beyond = match bed.outline {
                Outline::Circle { diameter_mm } => {
                    (p.x - diameter_mm / 2.0).hypot(p.y - diameter_mm / 2.0) - diameter_mm / 2.0
                }
                _ => distance_to_edges(&outline, &p) * if holds(&outline, &p) { -1.0 } else { 1.0 },
            };
            most = most.max(beyond + bed.kept_mm());
            for zone in &bed.keep_outs {
                let inside = if holds(&zone.corners_mm, &p) { 1.0 } else { -1.0 };
                let into = distance_to_edges(&zone.corners_mm, &p) * inside + bed.around_mm;
                most = most.max(into.min(p.z - zone.from_mm));
            }
        }
    }
    if most > least { most } else { 0.0 }
}

fn verdict(points: &[Point], bed: &Bed, search: Search) -> Verdict {
    let answer = sound_fit(points, bed, search);
    if let Some(pose) = answer.pose {
        let out = sampled_sticks_out(points, &pose, bed, 1e-3);
        assert_eq!(out, 0.0, "{answer:?}");
    }
    answer.verdict
}

#[test]
fn a_cube_stands_in_a_round_bed_whose_diameter_is_its_diagonal() {
    // Over all projections of a cube the square has the smallest circle: half of √2 (the mean of the squared lengths of
    // the eight half diagonals seen is 1/2 in every direction).
    let bed = |diameter| Bed::round(diameter, 300.0);
    let cube = moved(&cuboid(100.0, 100.0, 100.0), &askew());
    assert_eq!(verdict(&cube, &bed(100.0 * SQRT_2 + 0.1), Search::AnyPose), Verdict::Tilted);
    assert_eq!(verdict(&cube, &bed(100.0 * SQRT_2 - 0.1), Search::AnyPose), Verdict::TooBig);
    let upright = cuboid(100.0, 100.0, 100.0);
    assert_eq!(verdict(&upright, &bed(100.0 * SQRT_2), Search::AsItStands), Verdict::AsItStands);
    assert_eq!(verdict(&upright, &bed(100.0 * SQRT_2 - 0.001), Search::Turned), Verdict::TooBig);
}

#[test]
fn the_longest_thin_rod_in_a_round_bed_goes_from_rim_to_rim() {
    let rod = |length: f64| moved(&[Point::origin(), Point::new(0.0, length, 0.0)], &askew());
    let bed = Bed::round(180.0, 240.0);
    assert_eq!(verdict(&rod(300.0 - 0.2), &bed, Search::AnyPose), Verdict::Tilted);
    assert_eq!(verdict(&rod(300.0 + 0.2), &bed, Search::AnyPose), Verdict::TooBig);
}

#[test]
fn a_disc_as_wide_as_a_round_bed_fits_it_and_margins_count() {
    let disc = rod(5.0, 50.0, false);
    assert_eq!(verdict(&disc, &Bed::round(100.0, 5.0), Search::AsItStands), Verdict::AsItStands);
    assert_eq!(verdict(&disc, &Bed::round(99.99, 5.0), Search::Turned), Verdict::TooBig);
    let bed = Bed { margin_mm: 2.0, around_mm: 3.0, ..Bed::round(110.0, 5.0) };
    let answer = sound_fit(&disc, &bed, Search::AsItStands);
    assert_eq!(answer.verdict, Verdict::AsItStands);
    assert!(answer.slack_mm.abs() < 1e-9, "{answer:?}");
    let answer = sound_fit(&disc, &Bed { around_mm: 3.1, ..bed }, Search::Turned);
    assert_eq!((answer.verdict, answer.excess.unwrap().axis), (Verdict::TooBig, Axis::Across));
}

#[test]
fn the_largest_square_in_a_triangular_bed_is_known() {
    // Side a·√3/(2 + √3): one side on the triangle's, by similar triangles.
    let bed = polygon(&[[0.0, 0.0], [200.0, 0.0], [100.0, 200.0 * 0.75_f64.sqrt()]], 50.0);
    let limit = 200.0 * 3.0_f64.sqrt() / (2.0 + 3.0_f64.sqrt());
    let square = |side: f64| moved(&cuboid(side, side, 20.0), &Motion::rotation(Vector::z() * 0.3));
    assert_eq!(verdict(&square(limit - 0.05), &bed, Search::Turned), Verdict::Turned);
    assert_eq!(verdict(&square(limit + 0.05), &bed, Search::Turned), Verdict::TooBig);
}

#[test]
fn the_largest_disc_in_a_hexagonal_bed_touches_all_its_sides() {
    let bed = polygon(&regular(6, 100.0), 50.0);
    let inradius = 100.0 * 0.75_f64.sqrt();
    assert_eq!(verdict(&rod(5.0, inradius - 0.05, true), &bed, Search::AsItStands), Verdict::AsItStands);
    assert_eq!(verdict(&rod(5.0, inradius + 0.1, false), &bed, Search::Turned), Verdict::TooBig);
}

#[test]
fn the_longest_stick_in_an_l_lies_around_the_inner_corner() {
    // From (200, 0) through the inner corner (80, 80) to (0, 400/3).
    let limit = 200.0_f64.hypot(400.0 / 3.0);
    let stick = |length: f64| [Point::origin(), Point::new(length, 0.0, 0.0)];
    let bed = polygon(&l_shape(), 1.0);
    assert_eq!(verdict(&stick(limit - 0.1), &bed, Search::Turned), Verdict::Turned);
    assert_eq!(verdict(&stick(limit + 0.1), &bed, Search::Turned), Verdict::TooBig);
    // In the other sense, and cut into an outline with a corner more, it is the same bed.
    let mut reversed = l_shape();
    reversed.reverse();
    reversed.push([0.0, 140.0]);
    assert_eq!(verdict(&stick(limit - 0.1), &polygon(&reversed, 1.0), Search::Turned), Verdict::Turned);
}

#[test]
fn a_post_in_the_middle_leaves_the_corners() {
    let bed = Bed { keep_outs: vec![zone([90.0, 90.0], [110.0, 110.0], 0.0)], ..Bed::rectangle(200.0, 200.0, 50.0) };
    assert_eq!(verdict(&cuboid(90.0, 200.0, 50.0), &bed, Search::AsItStands), Verdict::AsItStands);
    assert_eq!(verdict(&cuboid(91.0, 91.0, 50.0), &bed, Search::Turned), Verdict::TooBig);
    // 81 mm are free beside it with 4.5 mm kept around the piece, to the edge and to the post.
    let brim = Bed { around_mm: 4.5, ..bed };
    assert_eq!(verdict(&cuboid(80.9, 190.9, 50.0), &brim, Search::AsItStands), Verdict::AsItStands);
    assert_eq!(verdict(&cuboid(81.1, 190.9, 50.0), &brim, Search::AsItStands), Verdict::TooBig);
    // Corner to corner the way is longer.
    assert_eq!(verdict(&cuboid(82.0, 82.0, 50.0), &brim, Search::AsItStands), Verdict::AsItStands);
}

#[test]
fn what_hangs_overhead_matters_to_what_is_high_only() {
    let overhead = zone([0.0, 0.0], [200.0, 100.0], 30.0);
    let bed = Bed { keep_outs: vec![overhead], ..Bed::rectangle(200.0, 200.0, 100.0) };
    assert_eq!(verdict(&cuboid(200.0, 200.0, 30.0), &bed, Search::AsItStands), Verdict::AsItStands);
    assert_eq!(verdict(&cuboid(200.0, 200.0, 31.0), &bed, Search::Turned), Verdict::TooBig);
    assert_eq!(verdict(&cuboid(200.0, 100.0, 100.0), &bed, Search::AsItStands), Verdict::AsItStands);
    // A wedge of the full base, whose part above 30 mm is 100 mm deep: 200 · (1 − 30/60).
    let wedge = |height: f64| {
        let mut wedge: Vec<Point> = cuboid(200.0, 200.0, 0.0);
        wedge.extend([Point::new(0.0, 200.0, height), Point::new(200.0, 200.0, height)]);
        wedge
    };
    assert_eq!(verdict(&wedge(59.9), &bed, Search::AsItStands), Verdict::AsItStands);
    assert_eq!(verdict(&wedge(60.2), &bed, Search::AsItStands), Verdict::TooBig);
    let raft = Bed { raft_mm: 10.0, ..bed };
    assert_eq!(verdict(&wedge(39.9), &raft, Search::AsItStands), Verdict::AsItStands);
    assert_eq!(verdict(&wedge(40.2), &raft, Search::AsItStands), Verdict::TooBig);
}

#[test]
fn a_slab_stands_up_where_a_zone_takes_the_floor() {
    let bed = Bed { keep_outs: vec![zone([0.0, 40.0], [200.0, 200.0], 0.0)], ..Bed::rectangle(200.0, 200.0, 200.0) };
    let slab = moved(&cuboid(150.0, 120.0, 20.0), &askew());
    let answer = sound_fit(&slab, &bed, Search::AnyPose);
    assert!(matches!(answer.reason, Reason::StandsOnFlat { .. }), "{answer:?}");
    let thick = moved(&cuboid(150.0, 120.0, 60.0), &askew());
    assert_eq!(verdict(&thick, &bed, Search::AnyPose), Verdict::TooBig);
}

#[test]
fn pieces_are_laid_inside_beds_of_every_shape() {
    let slab = moved(&cuboid(90.0, 40.0, 10.0), &askew());
    let bar = Bed { keep_outs: vec![zone([20.0, 20.0], [180.0, 30.0], 0.0)], ..polygon(&l_shape(), 60.0) };
    for bed in [Bed::round(100.0, 60.0), polygon(&regular(5, 70.0), 60.0), bar] {
        let pose = crate::lay_on(&slab, &(askew() * -Vector::z()), &bed).unwrap();
        assert!(sticks_out_mm(&slab, &pose, &bed) <= ROUNDING_MM, "{bed:?}");
        assert_eq!(sampled_sticks_out(&slab, &pose, &bed, 1e-3), 0.0);
    }
}

pub(super) fn other_bed() -> impl Strategy<Value = Bed> {
    let outline = prop_oneof![
        (60.0_f64..160.0).prop_map(|diameter_mm| Outline::Circle { diameter_mm }),
        (3_u32..8, 40.0_f64..100.0).prop_map(|(sides, radius)| Outline::Polygon { corners_mm: regular(sides, radius) }),
        (0.3_f64..0.7).prop_map(|scale| Outline::Polygon {
            corners_mm: l_shape().iter().map(|p| p.map(|x| x * scale)).collect()
        }),
    ];
    let zones = prop::collection::vec((10.0_f64..60.0, 10.0_f64..60.0, prop_oneof![Just(0.0), 5.0..40.0]), 0..3)
        .prop_map(|all| all.into_iter().map(|(x, y, from)| zone([x, y], [x + 9.0, y + 6.0], from)).collect());
    (outline, zones, 20.0_f64..100.0, 0.0_f64..4.0, 0.0_f64..3.0).prop_map(
        |(outline, keep_outs, height, margin_mm, around_mm)| Bed {
            keep_outs,
            margin_mm,
            around_mm,
            ..Bed::of(outline, height)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_rectangle_told_as_a_polygon_has_the_same_verdicts(points in cloud(), bed in bed()) {
        let [_, [x, y]] = bed.extent_mm();
        let outline = Outline::Polygon { corners_mm: vec![[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]] };
        let told = Bed { outline, ..bed.clone() };
        for search in [Search::AsItStands, Search::Turned] {
            let (plain, told) = (fit(&points, &bed, search), sound_fit(&points, &told, search));
            if told.verdict == Verdict::Undecided {
                prop_assert!(plain.slack_mm.abs() < 0.2, "{:?} {:?}", plain, told);
            } else if plain.slack_mm.abs() > 1e-3 {
                prop_assert_eq!(plain.verdict, told.verdict);
            }
            prop_assert!((plain.slack_mm - told.slack_mm).abs() < 0.1, "{:?} {:?}", plain, told);
        }
    }

    #[test]
    fn poses_are_inside_and_refusals_are_not_contradicted_by_chance(
        points in cloud(), bed in other_bed(),
        tries in prop::collection::vec((-3.2_f64..3.2, -100.0_f64..200.0, -100.0_f64..200.0), 200),
    ) {
        prop_assume!(bed.check().is_ok());
        let verdict = verdict(&points, &bed, Search::Turned);
        if verdict == Verdict::TooBig {
            let low = Bounds::of(points.iter().copied()).unwrap().min.z;
            for (turn, x, y) in tries {
                let lift = Motion::translation(x, y, bed.raft_mm - low);
                let pose = lift * Motion::rotation(Vector::z() * turn);
                prop_assert!(sticks_out_mm(&points, &pose, &bed) > ROUNDING_MM);
            }
        }
    }

    #[test]
    fn a_turn_beforehand_changes_no_verdict_on_other_beds(points in cloud(), bed in other_bed(), turn in -4.0_f64..4.0) {
        prop_assume!(bed.check().is_ok());
        let before = verdict(&points, &bed, Search::Turned);
        let after = verdict(&moved(&points, &Motion::rotation(Vector::z() * turn)), &bed, Search::Turned);
        if before != Verdict::Undecided && after != Verdict::Undecided {
            prop_assert_eq!(before.fits(), after.fits());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2))]

    #[test]
    fn any_pose_on_other_beds_is_sound(points in cloud(), bed in other_bed()) {
        prop_assume!(bed.check().is_ok());
        let any = verdict(&points, &bed, Search::AnyPose);
        let turned = verdict(&points, &bed, Search::Turned);
        prop_assert!(!turned.fits() || any == turned);
    }
}

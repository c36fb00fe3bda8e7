use super::silhouette::silhouette;
use super::*;
use crate::fit::{Figure, Levelled, Room};
use crate::{Motion, Point, ROUNDING_MM, fit, solids};
use proptest::prelude::*;

/// The true halves, in the plainest way: all vertices of each side, and every crossing of an edge.
fn brute_halves(mesh: &Mesh, plane: &Plane) -> [Vec<Point>; 2] {
    let mut halves = [Vec::new(), Vec::new()];
    for t in 0..mesh.triangles.len() {
        let corners = mesh.corners(t);
        for k in 0..3 {
            let (p, q) = (corners[k], corners[(k + 1) % 3]);
            let (h, i) = (plane.distance_mm(&p), plane.distance_mm(&q));
            halves[usize::from(h >= 0.0)].push(p);
            if (h >= 0.0) != (i >= 0.0) {
                let crossing = p + (q - p) * (h / (h - i));
                halves.iter_mut().for_each(|half| half.push(crossing));
            }
        }
    }
    halves
}

fn width(points: &[Point], direction: &Vector) -> f64 {
    let (low, high) = points
        .iter()
        .map(|p| direction.dot(&p.coords))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), x| (l.min(x), h.max(x)));
    high - low
}

fn directions() -> Vec<Vector> {
    solids::sphere(Point::origin(), 1.0, 2).vertices.iter().map(|p| p.coords).collect()
}

/// The law: the box is that of the true half, widths and outlines are, within the tolerance at both ends.
fn assert_true_halves(mesh: &Mesh, plane: &Plane, tolerance_mm: f64) {
    let agree = |ours: f64, truth: f64| ours <= truth + 1e-9 && ours >= truth - 2.0 * tolerance_mm - 1e-9;
    let support = HalfSupport::build_within(mesh, tolerance_mm, &Progress::new()).unwrap();
    let halves = support.split(plane);
    for (side, brute) in [Side::Below, Side::Above].into_iter().zip(brute_halves(mesh, plane)) {
        let rises = brute.iter().any(|p| plane.distance_mm(p).abs() > TOUCHING_MM);
        assert_eq!(halves.bounds(side).is_some(), rises);
        if !rises {
            continue;
        }
        let (ours, bounds) = (halves.bounds(side).unwrap(), Bounds::of(brute.iter().copied()).unwrap());
        assert!((ours.min - bounds.min).amax() < 1e-12 && (ours.max - bounds.max).amax() < 1e-12);
        for direction in directions() {
            let truth = width(&brute, &direction);
            assert!(agree(halves.width_mm(side, &direction).unwrap(), truth));
            let outline = silhouette(halves.half(side), &direction, tolerance_mm / 2.0).unwrap();
            let room = Room::of(&Bed::rectangle(1.0, 1.0, 1.0)).unwrap();
            let brute_outline = Figure::of(&brute, &room).seen(&Levelled::by(&-direction), &[]).unwrap().outline;
            for turn in 0..5 {
                let turn_rad = f64::from(turn) * 0.63;
                let [ours, truth] =
                    [&outline, &brute_outline].map(|outline| outline.turned(turn_rad, [0.0; 2]).sizes_mm);
                assert!(agree(ours[0], truth[0]) && agree(ours[1], truth[1]));
            }
        }
    }
}

fn blob() -> Mesh {
    let ring = solids::torus(Point::new(3.0, 4.0, 5.0), 60.0, 15.0, 80, 40);
    let ball = solids::sphere(Point::new(20.0, 0.0, 30.0), 40.0, 20);
    let block = solids::grid_box(Point::new(-30.0, -90.0, -10.0), Point::new(-10.0, 70.0, 25.0), [7, 30, 9]);
    solids::joined(&[&ring, &solids::hollow(&ball, &solids::sphere(Point::new(20.0, 0.0, 30.0), 37.0, 20)), &block])
}

fn plane(normal: [f64; 3], offset: f64) -> Plane {
    Plane::new(Vector::from(normal), offset).unwrap()
}

#[test]
fn halves_of_a_box_have_its_sizes() {
    let mesh = solids::cuboid(Point::origin(), Point::new(100.0, 50.0, 300.0));
    let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
    let halves = support.split(&plane([0.0, 0.0, 1.0], 120.0));
    let bed = Bed::rectangle(110.0, 60.0, 150.0);
    let below = halves.fit(Side::Below, &bed, Search::Turned).unwrap();
    assert_eq!((below.verdict, below.sizes_mm, below.slack_mm), (Verdict::AsItStands, [100.0, 50.0, 120.0], 10.0));
    assert_eq!(halves.fit_both(&bed, Search::Turned)[0], Some(below));
    let above = halves.fit(Side::Above, &bed, Search::Turned).unwrap();
    assert_eq!((above.verdict, above.sizes_mm, above.slack_mm), (Verdict::TooBig, [100.0, 50.0, 180.0], -30.0));
}

#[test]
fn a_plane_beside_or_flush_with_the_mesh_leaves_one_half() {
    let mesh = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 10.0));
    let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
    let bed = Bed::rectangle(20.0, 20.0, 20.0);
    for offset in [10.0, 11.0] {
        let halves = support.split(&plane([0.0, 0.0, 1.0], offset));
        assert_eq!(halves.fit(Side::Above, &bed, Search::AnyPose), None);
        assert_eq!(halves.fit(Side::Below, &bed, Search::AnyPose).unwrap().sizes_mm, [10.0; 3]);
        let halves = support.split(&plane([0.0, 0.0, -1.0], -offset));
        assert_eq!(halves.fit(Side::Below, &bed, Search::AnyPose), None);
        assert_eq!(halves.fit(Side::Above, &bed, Search::AnyPose).unwrap().sizes_mm, [10.0; 3]);
    }
}

#[test]
fn an_empty_or_broken_mesh_has_no_halves() {
    let nan = Point::new(f64::NAN, 0.0, 0.0);
    let broken = Mesh { vertices: vec![nan, Point::origin()], triangles: vec![[0, 1, 1], [1, 1, 9]] };
    for mesh in [Mesh::default(), broken] {
        let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
        let halves = support.split(&plane([1.0, 0.0, 0.0], 0.0));
        assert_eq!(halves.bounds(Side::Below).or(halves.bounds(Side::Above)), None);
    }
}

#[test]
fn cancelling_stops_the_preparation() {
    let progress = Progress::new();
    progress.cancel();
    assert_eq!(HalfSupport::build(&blob(), &progress).unwrap_err(), Cancelled);
}

#[test]
fn a_half_lies_on_its_cut_where_it_does_not_fit_upright() {
    // A slab cut off a leaning bar: flat on the cut it is 30 mm high, as it stands it leans out of the height.
    let lean = Motion::rotation(Vector::y() * 0.8);
    let bar = solids::cuboid(Point::new(-40.0, -40.0, -100.0), Point::new(40.0, 40.0, 100.0)).transformed(&lean);
    let cut = Plane::new(lean * Vector::z(), 70.0).unwrap();
    let support = HalfSupport::build(&bar, &Progress::new()).unwrap();
    let halves = support.split(&cut);
    let bed = Bed::rectangle(100.0, 100.0, 35.0);
    let above = halves.fit(Side::Above, &bed, Search::AnyPose).unwrap();
    assert_eq!(above.verdict, Verdict::Tilted);
    assert!((above.slack_mm - 5.0).abs() < 1e-9, "{above:?}");
    assert_eq!(halves.fit(Side::Above, &bed, Search::Turned).unwrap().verdict, Verdict::TooBig);
    assert_eq!(halves.fit(Side::Below, &bed, Search::AnyPose).unwrap().verdict, Verdict::TooBig);
    let [_, true_half] = brute_halves(&bar, &cut);
    let pose = crate::lay_on(&true_half, &halves.cap_normal(Side::Above), &bed).unwrap();
    assert!(crate::sticks_out_mm(&true_half, &pose, &bed) <= ROUNDING_MM);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn live_halves_are_the_true_halves(normal in [-1.0..1.0, -1.0..1.0, -1.0..1.0], offset in -80.0..80.0) {
        prop_assume!(Vector::from(normal).norm() > 0.1);
        assert_true_halves(&blob(), &plane(normal, offset), 0.0);
        assert_true_halves(&blob(), &plane(normal, offset), 0.2);
    }

    #[test]
    fn planes_through_vertices_and_edges_split_like_others(axis in 0..3_usize, step in 0..8_u32) {
        let mesh = solids::grid_box(Point::origin(), Point::new(7.0, 7.0, 7.0), [7, 7, 7]);
        assert_true_halves(&mesh, &Plane::new(Vector::ith(axis, 1.0), f64::from(step)).unwrap(), 0.0);
        assert_true_halves(&mesh, &plane([1.0, 1.0, 0.0], f64::from(step) * 0.5_f64.sqrt()), 0.0);
    }

    #[test]
    fn the_live_verdict_is_that_of_the_true_half(
        normal in [-1.0..1.0, -1.0..1.0, -1.0..1.0], offset in -60.0..60.0, size in [40.0..200.0, 40.0..200.0, 40.0..200.0],
    ) {
        prop_assume!(Vector::from(normal).norm() > 0.1);
        let (mesh, plane, bed) = (blob(), plane(normal, offset), Bed::rectangle(size[0], size[1], size[2]));
        let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
        let halves = support.split(&plane);
        for (side, brute) in [Side::Below, Side::Above].into_iter().zip(brute_halves(&mesh, &plane)) {
            for search in [Search::AsItStands, Search::Turned] {
                let Some(live) = halves.fit(side, &bed, search) else { continue };
                let truth = fit(&brute, &bed, search);
                let gain = live.slack_mm - truth.slack_mm;
                prop_assert!(gain > -1e-9 && gain < live.error_mm + 1e-9, "{live:?} for {truth:?}");
                if (truth.slack_mm + ROUNDING_MM).abs() > live.error_mm {
                    prop_assert_eq!(live.verdict, truth.verdict);
                }
            }
        }
    }
}

#[test]
fn a_model_beyond_all_reckoning_is_prepared_all_the_same() {
    for size_mm in [1e100, 1e160, 1e300] {
        let mesh = solids::sphere(Point::origin(), size_mm, 8);
        let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
        let halves = support.split(&Plane::new(Vector::z(), 0.0).unwrap());
        let upper = halves.bounds(Side::Above).unwrap();
        assert_eq!((upper.min.z, upper.max.z), (0.0, size_mm), "{size_mm}");
    }
}

fn other_beds(size: [f64; 3]) -> Vec<Bed> {
    let [x, y, height] = size;
    let corners_mm = vec![[0.0, 0.0], [x, 0.0], [x, y], [x / 2.0, y], [x / 2.0, y * 0.8], [0.0, y * 0.8]];
    let zone = |from_mm| crate::KeepOut { corners_mm: vec![[0.0, 0.0], [30.0, 0.0], [0.0, 20.0]], from_mm };
    vec![
        Bed::round(x, height),
        Bed::of(crate::Outline::Polygon { corners_mm }, height),
        Bed { keep_outs: vec![zone(0.0)], ..Bed::rectangle(x, y, height) },
        Bed { keep_outs: vec![zone(height / 2.0)], around_mm: 1.0, ..Bed::round(x, height) },
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    #[test]
    fn the_live_slack_is_too_large_by_no_more_than_is_told_on_beds_of_any_shape(
        normal in [-1.0..1.0, -1.0..1.0, -1.0..1.0], offset in -60.0..60.0,
        size in [60.0..220.0, 60.0..220.0, 40.0..200.0], tolerance_mm in 0.0..0.3,
    ) {
        prop_assume!(Vector::from(normal).norm() > 0.1);
        let (mesh, plane) = (blob(), plane(normal, offset));
        let support = HalfSupport::build_within(&mesh, tolerance_mm, &Progress::new()).unwrap();
        let halves = support.split(&plane);
        for bed in other_beds(size) {
            for (side, brute) in [Side::Below, Side::Above].into_iter().zip(brute_halves(&mesh, &plane)) {
                for search in [Search::AsItStands, Search::Turned] {
                    let Some(live) = halves.fit(side, &bed, search) else { continue };
                    let truth = fit(&brute, &bed, search);
                    // Turns are known to a hundredth of a millimetre.
                    let best_mm = truth.slack_mm + 0.0101;
                    // What is to spare beside a zone is told by lines along edges, which are not the same in both.
                    let is_round = bed.keep_outs.is_empty() && matches!(bed.outline, crate::Outline::Circle { .. });
                    let told_mm = if is_round { live.slack_mm } else { live.slack_mm.min(0.0) };
                    prop_assert!(told_mm <= best_mm + live.error_mm, "{live:?} for {truth:?}");
                    if live.verdict.fits() && live.slack_mm > live.error_mm + 0.02 {
                        prop_assert!(truth.verdict.fits(), "{live:?} for {truth:?}");
                    }
                    if live.verdict == Verdict::TooBig {
                        prop_assert!(!truth.verdict.fits(), "{live:?} for {truth:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn the_exact_verdict_of_a_half_is_that_of_its_true_points_and_never_less_than_the_live_one(
        normal in [-1.0..1.0, -1.0..1.0, -1.0..1.0], offset in -60.0..60.0, size in [60.0..200.0, 60.0..200.0, 60.0..200.0],
    ) {
        prop_assume!(Vector::from(normal).norm() > 0.1);
        let (mesh, plane) = (blob(), plane(normal, offset));
        let bed = Bed::rectangle(size[0], size[1], size[2]);
        let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
        let halves = support.split(&plane);
        for (side, brute) in [Side::Below, Side::Above].into_iter().zip(brute_halves(&mesh, &plane)) {
            let (Some(exact), Some(live)) =
                (exact_fit(&halves, side, &bed), halves.fit(side, &bed, Search::AnyPose))
            else {
                continue;
            };
            let hull = crate::Hull::of(&brute).vertices;
            let truth = crate::fit_preferring(&hull, &bed, Search::AnyPose, &[halves.cap_normal(side)], &Progress::new()).unwrap();
            if exact.verdict != Verdict::Undecided && truth.verdict != Verdict::Undecided {
                prop_assert_eq!(exact.verdict.fits(), truth.verdict.fits());
            }
            if exact.verdict == truth.verdict && truth.verdict < Verdict::Tilted {
                prop_assert!((exact.slack_mm - truth.slack_mm).abs() <= exact.error_mm + 1e-6, "{exact:?} for {truth:?}");
            }
            if live.verdict.fits() && live.slack_mm > live.error_mm {
                prop_assert!(exact.verdict.fits(), "{live:?} for {exact:?}");
            }
            prop_assert!(live.verdict != Verdict::TooBig || !exact.verdict.fits(), "{live:?} for {exact:?}");
        }
    }
}

fn exact_fit(halves: &Halves<'_>, side: Side, bed: &Bed) -> Option<HalfFit> {
    halves.exact_fit(side, bed, Search::AnyPose, &Progress::new()).unwrap()
}

#[test]
fn an_exact_verdict_can_be_stopped() {
    // Near the limit, so that it has to be searched for.
    let mesh = solids::sphere(Point::origin(), 50.0, 20);
    let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
    let halves = support.split(&plane([0.0, 0.0, 1.0], 49.0));
    let stopped = Progress::new();
    stopped.cancel();
    let bed = Bed::rectangle(99.0, 200.0, 99.5);
    assert_eq!(halves.exact_fit(Side::Below, &bed, Search::AnyPose, &stopped), Err(Cancelled));
}

#[test]
fn nothing_has_no_exact_verdict() {
    let mesh = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 10.0));
    let support = HalfSupport::build(&mesh, &Progress::new()).unwrap();
    let halves = support.split(&plane([0.0, 0.0, 1.0], 11.0));
    let bed = Bed::rectangle(20.0, 20.0, 20.0);
    assert_eq!(exact_fit(&halves, Side::Above, &bed), None);
    assert_eq!(exact_fit(&halves, Side::Below, &bed).unwrap().verdict, Verdict::AsItStands);
    assert_eq!(halves.span(Side::Below).len(), 8);
}

//! Laws of cuts along profiles, on solids with known measures and on random ones.

#[path = "common/random.rs"]
mod random;

use std::collections::BTreeMap;

use proptest::prelude::*;
use random::{lattice, one_or_two};
use seamwright_geometry::{
    CutOutcome, CutSurface, FinitePlane, Mesh, Motion, Parted, Plane, Point, Profile, Progress, Side, Solid, Vector,
    bodies, cut, edge_report, part, solids, surface_outline,
};

fn profile(points: &[[f64; 2]]) -> Profile {
    Profile::new(Point::origin(), Vector::x(), Vector::z(), points.to_vec()).unwrap()
}

fn outcome(mesh: &Mesh, profile: &Profile) -> CutOutcome {
    let surface = CutSurface::Profile(profile.clone());
    part(&Solid::from_stock(mesh.clone()), &surface, 0.0, 7, &Progress::new()).unwrap()
}

fn parted(mesh: &Mesh, profile: &Profile) -> Parted {
    match outcome(mesh, profile) {
        CutOutcome::Parted(parted) => *parted,
        outcome => panic!("nothing is parted: {outcome:?}"),
    }
}

/// Every law that holds for any profile through a closed solid.
fn check_laws(whole: &Mesh, profile: &Profile, parted: &Parted) {
    assert!(parted.left_open.is_empty(), "left open at {:?}", parted.left_open);
    assert!(parted.around.is_none());
    for (solid, side) in [(&parted.below, Side::Below), (&parted.above, Side::Above)] {
        check_solid(solid);
        assert!(solid.origins.iter().all(|o| o.cap_side().is_none_or(|s| s == side)), "a cap of the other side");
        let reach = 4.0 * solid.resolution.on_plane_mm;
        for (i, t) in solid.mesh.triangles.iter().enumerate() {
            let corners = solid.mesh.corners(i);
            let middle = Point::from((corners[0].coords + corners[1].coords + corners[2].coords) / 3.0);
            for p in corners.into_iter().chain([middle]) {
                let at = profile.seen(&p);
                let off = distance(profile, at);
                assert!(profile.side(at) == side || off <= reach, "{p} of {t:?} is {off} mm off on the {side:?} side");
            }
        }
    }
    let scale = whole.bounds().unwrap().diagonal();
    let volume = parted.below.mesh.volume_mm3() + parted.above.mesh.volume_mm3();
    assert!((volume - whole.volume_mm3()).abs() <= 1e-9 * scale.powi(3), "{volume} is not {}", whole.volume_mm3());
    let area =
        parted.below.mesh.area_mm2() + parted.above.mesh.area_mm2() - cap_area(&parted.below) - cap_area(&parted.above);
    // A part that lies within the resolution of a strip is laid flat on it.
    let flat = 1e-6 * scale.powi(2);
    assert!((area - whole.area_mm2()).abs() <= flat, "walls {area} are not {}", whole.area_mm2());
    assert_eq!(cap_faces(&parted.below, false), cap_faces(&parted.above, true), "the caps of the seam differ");
}

/// How far a spot lies from the curve.
fn distance(profile: &Profile, at: [f64; 2]) -> f64 {
    let points = profile.points();
    let (first, last) = (points[0], points[points.len() - 1]);
    let far = 1e6;
    let ends = [[first[0] - far, first[1]], [last[0] + far, last[1]]];
    let all: Vec<[f64; 2]> = [ends[0]].iter().chain(points).chain([&ends[1]]).copied().collect();
    let to = |a: [f64; 2], b: [f64; 2]| {
        let (d, p) = ([b[0] - a[0], b[1] - a[1]], [at[0] - a[0], at[1] - a[1]]);
        let share = ((p[0] * d[0] + p[1] * d[1]) / (d[0] * d[0] + d[1] * d[1])).clamp(0.0, 1.0);
        (p[0] - d[0] * share).hypot(p[1] - d[1] * share)
    };
    all.windows(2).map(|pair| to(pair[0], pair[1])).fold(f64::INFINITY, f64::min)
}

fn check_solid(solid: &Solid) {
    assert_eq!(solid.mesh.triangles.len(), solid.origins.len());
    assert!(!solid.mesh.triangles.is_empty(), "a side without faces");
    assert!(edge_report(&solid.mesh).closed(), "open: {:?}", edge_report(&solid.mesh));
    let mut used = vec![false; solid.mesh.vertices.len()];
    for (i, t) in solid.mesh.triangles.iter().enumerate() {
        assert!(t[0] != t[1] && t[1] != t[2] && t[2] != t[0], "collapsed face {t:?}");
        let [a, b, c] = solid.mesh.corners(i);
        assert!((b - a).cross(&(c - a)).norm() > 0.0, "face without area {a} {b} {c} from {:?}", solid.origins[i]);
        t.iter().for_each(|&v| used[v as usize] = true);
    }
    assert!(used.iter().all(|u| *u), "vertices that no face uses");
}

fn caps(solid: &Solid) -> impl Iterator<Item = [Point; 3]> + '_ {
    let is_cap = |t: &usize| solid.origins[*t].cap_label() == Some(7);
    (0..solid.mesh.triangles.len()).filter(is_cap).map(|t| solid.mesh.corners(t))
}

fn cap_area(solid: &Solid) -> f64 {
    caps(solid).map(|[a, b, c]| (b - a).cross(&(c - a)).norm() / 2.0).sum()
}

/// The cap faces by the exact bits of their corners, turned round if asked.
fn cap_faces(solid: &Solid, turned: bool) -> BTreeMap<Vec<[u64; 3]>, usize> {
    let mut faces = BTreeMap::new();
    for [a, b, c] in caps(solid) {
        let mut corners: Vec<[u64; 3]> =
            if turned { [a, c, b] } else { [a, b, c] }.map(|p| [p.x, p.y, p.z].map(f64::to_bits)).to_vec();
        let first = (0..3).min_by_key(|&i| corners[i]).unwrap();
        corners.rotate_left(first);
        *faces.entry(corners).or_default() += 1;
    }
    faces
}

fn cut_and_check(mesh: &Mesh, profile: &Profile) -> Parted {
    let parted = parted(mesh, profile);
    check_laws(mesh, profile, &parted);
    parted
}

fn near(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * b.abs(), "{a} is not {b}");
}

const DOVETAIL: [[f64; 2]; 4] = [[-3.0, 1.0], [-5.0, 6.0], [5.0, 6.0], [3.0, 1.0]];

#[test]
fn a_dovetail_through_a_box_has_the_volume_of_its_drawing() {
    let cube = solids::cuboid(Point::new(-20.0, -7.0, -10.0), Point::new(20.0, 8.0, 10.0));
    let parted = cut_and_check(&cube, &profile(&DOVETAIL));
    // Below: the box up to v = 1, and the tail, a trapezium of 6 and 10 by 5, 15 deep.
    near(parted.below.mesh.volume_mm3(), (40.0 * 11.0 + 8.0 * 5.0) * 15.0, 1e-12);
    near(parted.above.mesh.volume_mm3(), (40.0 * 9.0 - 8.0 * 5.0) * 15.0, 1e-12);
    let length = 40.0 - 6.0 + 2.0 * 29f64.sqrt() + 10.0;
    near(cap_area(&parted.below), length * 15.0, 1e-12);
    near(parted.cap_area_mm2, length * 15.0, 1e-12);
    assert_eq!((bodies(parted.below).len(), bodies(parted.above).len()), (1, 1));
}

#[test]
fn a_kerf_takes_its_width_times_the_length_of_the_curve_from_a_prism() {
    let cube = solids::cuboid(Point::new(-20.0, -7.0, -10.0), Point::new(20.0, 8.0, 10.0));
    let whole = cube.volume_mm3();
    let widely = |points: &[[f64; 2]], kerf: f64| {
        let surface = CutSurface::Profile(profile(points));
        match part(&Solid::from_stock(cube.clone()), &surface, kerf, 7, &Progress::new()).unwrap() {
            CutOutcome::Parted(parted) => *parted,
            outcome => panic!("{outcome:?}"),
        }
    };
    for (points, length) in [
        // Mitred corners add outside what they lack inside.
        (vec![[0.0, 0.0], [0.0, 5.0]], 45.0),
        (DOVETAIL.to_vec(), 40.0 - 6.0 + 2.0 * 29f64.sqrt() + 10.0),
        (vec![[0.0, 2.5]], 40.0),
    ] {
        for kerf in [0.1, 0.7] {
            let parted = widely(&points, kerf);
            check_solid(&parted.below);
            check_solid(&parted.above);
            near(parted.removed_mm3, length * kerf * 15.0, 1e-9);
            let sum = parted.below.mesh.volume_mm3() + parted.above.mesh.volume_mm3() + parted.removed_mm3;
            near(sum, whole, 1e-12);
        }
    }
    // A neck narrower than the kerf: the tail goes too.
    let parted = widely(&[[-0.2, 0.0], [-5.0, 6.0], [5.0, 6.0], [0.2, 0.0]], 0.6);
    assert!(parted.removed_mm3 > 300.0, "{}", parted.removed_mm3);
    // No kerf that is one, and one beside the solid.
    for kerf in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(widely(&DOVETAIL, kerf).removed_mm3, 0.0);
    }
    let beside = CutSurface::Profile(profile(&[[-1.0, 10.1], [1.0, 12.0]]));
    let outcome = part(&Solid::from_stock(cube.clone()), &beside, 1.0, 7, &Progress::new()).unwrap();
    assert!(matches!(outcome, CutOutcome::Missed(Side::Below)));
    // One that takes everything.
    let all = widely(&[[0.0, 0.0]], 30.0);
    assert!(all.below.mesh.triangles.is_empty() && all.above.mesh.triangles.is_empty());
    near(all.removed_mm3, whole, 1e-12);
}

#[test]
fn the_lines_on_a_solid_run_along_the_rim_of_the_cap() {
    let cube = solids::cuboid(Point::new(-20.0, -7.0, -10.0), Point::new(20.0, 8.0, 10.0));
    let solid = Solid::from_stock(cube);
    let lines = surface_outline(&solid, &CutSurface::Profile(profile(&DOVETAIL)));
    let length = 40.0 - 6.0 + 2.0 * 29f64.sqrt() + 10.0;
    assert_eq!((lines.len(), lines[0].closed), (1, true));
    near(lines[0].length_mm, 2.0 * length + 30.0, 1e-12);
    let plane = Plane::through(Point::new(0.0, 0.0, 2.0), Vector::z()).unwrap();
    let finite =
        |u: f64| CutSurface::FinitePlane(FinitePlane::new(plane, Point::new(u, 0.0, 0.0), Vector::x()).unwrap());
    assert_eq!(surface_outline(&solid, &finite(-30.0)), surface_outline(&solid, &CutSurface::Plane(plane)));
    assert!(surface_outline(&solid, &finite(0.0)).is_empty());
}

#[test]
fn a_zigzag_through_a_sphere_keeps_the_laws_and_a_large_one_makes_islands() {
    let ball = solids::sphere(Point::new(0.3, 0.2, 0.1), 20.0, 12);
    let zigzag: Vec<[f64; 2]> =
        (0..9).map(|i| [f64::from(i) * 4.0 - 16.0, if i % 2 == 0 { -2.0 } else { 3.0 }]).collect();
    let parted = cut_and_check(&ball, &profile(&zigzag));
    assert_eq!((bodies(parted.below).len(), bodies(parted.above).len()), (1, 1));
    let deep: Vec<[f64; 2]> =
        (0..9).map(|i| [f64::from(i) * 4.0 - 16.0, if i % 2 == 0 { -30.0 } else { 30.0 }]).collect();
    let parted = cut_and_check(&ball, &profile(&deep));
    assert!(bodies(parted.below).len() > 2 && bodies(parted.above).len() > 2);
}

#[test]
fn a_profile_may_enter_and_leave_one_face() {
    // The tail ends within the top of the box: a groove.
    let cube = solids::cuboid(Point::new(-20.0, -7.0, -10.0), Point::new(20.0, 8.0, 10.0));
    let groove = profile(&[[-5.0, 30.0], [-3.0, 4.0], [3.0, 4.0], [5.0, 30.0]]);
    let parted = cut_and_check(&cube, &groove);
    let width = |v: f64| 6.0 + 4.0 * (v - 4.0) / 26.0;
    let area = (width(4.0) + width(10.0)) / 2.0 * 6.0;
    near(parted.above.mesh.volume_mm3(), area * 15.0, 1e-12);
}

#[test]
fn a_straight_profile_is_the_plane_cut() {
    let ball = solids::torus(Point::new(1.0, 2.0, 3.0), 20.0, 7.0, 40, 20);
    let straight = profile(&[[-9.0, 2.5], [-2.0, 2.5], [30.0, 2.5]]);
    let by_profile = cut_and_check(&ball, &straight);
    let plane = Plane::through(Point::new(0.0, 0.0, 2.5), Vector::z()).unwrap();
    let CutOutcome::Parted(by_plane) = cut(&Solid::from_stock(ball), &plane, 7, &Progress::new()).unwrap() else {
        panic!()
    };
    assert_eq!((by_profile.below, by_profile.above), (by_plane.below, by_plane.above));
}

#[test]
fn strips_in_faces_and_folds_on_edges_are_ordinary() {
    let grid = solids::grid_box(Point::new(-4.0, -4.0, -4.0), Point::new(4.0, 4.0, 4.0), [4, 4, 4]);
    for points in [
        vec![[0.0, 0.0], [0.0, 2.0]],
        vec![[-2.0, -4.0], [-2.0, 4.0]],
        vec![[-4.0, 0.0], [0.0, 0.0], [0.0, 4.0], [2.0, 4.0], [2.0, 2.0]],
        vec![[0.0, 4.0], [0.0, 0.0]],
        vec![[0.0, -4.0], [0.0, 0.0]],
        vec![[0.0, -4.0], [2.0, -2.0], [4.0, -4.0]],
        vec![[-2.0, 0.0], [0.0, 2.0], [2.0, 0.0]],
        vec![[-4.0, 4.0], [-2.0, 2.0], [0.0, 4.0], [2.0, 2.0], [4.0, 4.0]],
        vec![[-1.0, 4.0], [0.0, 2.0], [1.0, 4.0]],
        vec![[-1.0, 4.0], [-1.0, 3.0], [0.0, 3.0], [0.0, 4.0]],
    ] {
        cut_and_check(&grid, &profile(&points));
    }
}

#[test]
fn overlapping_nested_and_inverted_shells_keep_the_laws() {
    let ball = |x: f64, r: f64| solids::sphere(Point::new(x, 0.0, 0.0), r, 10);
    let hollow = solids::hollow(&ball(0.0, 20.0), &ball(0.0, 16.0));
    for mesh in [
        solids::joined(&[&ball(-10.0, 20.0), &ball(10.0, 20.0)]),
        solids::joined(&[&ball(-10.0, 20.0), &ball(-12.0, 5.0)]),
        solids::inverted(&ball(0.0, 20.0)),
        hollow.clone(),
        solids::joined(&[&hollow, &ball(1.0, 5.0), &ball(19.0, 4.0)]),
        solids::torus(Point::origin(), 10.0, 14.0, 64, 32),
    ] {
        cut_and_check(&mesh, &profile(&DOVETAIL));
        cut_and_check(&mesh, &profile(&[[-1.0, 0.5], [1.0, -4.5]]));
    }
}

#[test]
fn a_rigid_motion_of_everything_changes_no_measure() {
    let ball = solids::torus(Point::new(0.3, 0.2, 0.1), 20.0, 8.0, 48, 24);
    let still = cut_and_check(&ball, &profile(&DOVETAIL));
    let motion = Motion::new(Vector::new(30.0, -20.0, 11.0), Vector::new(0.4, -0.7, 1.1));
    let moved =
        Profile::new(motion * Point::origin(), motion * Vector::x(), motion * Vector::z(), DOVETAIL.to_vec()).unwrap();
    let moved = cut_and_check(&ball.transformed(&motion), &moved);
    near(moved.below.mesh.volume_mm3(), still.below.mesh.volume_mm3(), 1e-10);
    near(moved.cap_area_mm2, still.cap_area_mm2, 1e-10);
}

/// Profiles of any kind that are none of those that meet themselves.
fn any_points(scale: f64) -> impl Strategy<Value = Vec<[f64; 2]>> {
    let wild = prop::collection::vec(prop::array::uniform2(-1.0..1.0f64), 1..7);
    let steps = (1..6usize, 0.1..1.0f64, -1.0..1.0f64).prop_map(|(n, pitch, height)| {
        (0..2 * n)
            .map(|i| [((i / 2) as f64 - n as f64 / 2.0) * pitch, if i % 4 == 1 || i % 4 == 2 { height } else { 0.0 }])
            .collect()
    });
    let zigzag = (2..12usize, 0.05..0.6f64, -1.0..1.0f64).prop_map(|(n, pitch, height)| {
        (0..n).map(|i| [(i as f64 - n as f64 / 2.0) * pitch, if i % 2 == 1 { height } else { 0.0 }]).collect()
    });
    let dovetail = (0.1..0.8f64, 0.05..0.9f64, -0.4..0.4f64).prop_map(|(neck, depth, flank)| {
        let (a, b) = (neck / 2.0, neck / 2.0 + flank.max(0.05 - neck / 2.0));
        vec![[-a, 0.0], [-b, depth], [b, depth], [a, 0.0]]
    });
    prop_oneof![wild, steps, zigzag, dovetail]
        .prop_map(move |points: Vec<[f64; 2]>| points.into_iter().map(|p| p.map(|x| x * scale)).collect())
}

fn lattice_points() -> impl Strategy<Value = Vec<[f64; 2]>> {
    prop::collection::vec(prop::array::uniform2((-2..9i32).prop_map(|x| f64::from(x) / 2.0)), 1..7)
}

/// Frames along the axes and across them.
fn frames() -> impl Strategy<Value = (Vector, Vector)> {
    let axes = (0..6usize).prop_map(|i| {
        let axis = |k: usize| Vector::ith(k % 3, 1.0);
        if i < 3 { (axis(i), axis(i + 1)) } else { (axis(i), axis(i + 2)) }
    });
    let diagonal = Just((Vector::new(1.0, 1.0, 0.0), Vector::z()));
    let free = (prop::array::uniform3(-1.0..1.0f64), prop::array::uniform3(-1.0..1.0f64))
        .prop_map(|(a, b)| (Vector::from(a), Vector::from(b)));
    prop_oneof![2 => axes, 1 => diagonal, 2 => free]
}

fn cases() -> u32 {
    std::env::var("SEAMWRIGHT_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(500)
}

fn check_any(mesh: &Mesh, profile: &Profile) {
    if let CutOutcome::Parted(parted) = outcome(mesh, profile) {
        check_laws(mesh, profile, &parted);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, max_global_rejects: 1 << 20, ..ProptestConfig::with_cases(cases()) })]

    #[test]
    fn any_profile_through_any_solid_keeps_the_laws(
        mesh in one_or_two(), points in any_points(25.0), (along, out) in frames(), at in prop::array::uniform3(-15.0..15.0f64),
    ) {
        if let Ok(profile) = Profile::new(Point::from(at), along, out, points) {
            check_any(&mesh, &profile);
        }
    }

    #[test]
    fn profiles_through_the_corners_of_lattices_keep_the_laws(
        mesh in lattice(), points in lattice_points(), (along, out) in frames(),
    ) {
        if let Ok(profile) = Profile::new(Point::origin(), along, out, points) {
            check_any(&mesh, &profile);
        }
    }

    #[test]
    fn profiles_through_grids_keep_the_laws(
        cells in prop::array::uniform3(1..4u32), points in lattice_points(), pick: prop::sample::Index, (along, out) in frames(),
    ) {
        let mesh = solids::grid_box(Point::origin(), Point::new(3.0, 3.0, 3.0), cells);
        let origin = mesh.vertices[pick.index(mesh.vertices.len())];
        if let Ok(profile) = Profile::new(origin, along, out, points) {
            check_any(&mesh, &profile);
        }
    }

    #[test]
    fn with_any_kerf_the_volumes_add_up(
        mesh in one_or_two(), points in any_points(25.0), (along, out) in frames(), at in prop::array::uniform3(-15.0..15.0f64),
        kerf_mm in 0.01..6.0f64,
    ) {
        if let Ok(profile) = Profile::new(Point::from(at), along, out, points) {
            for mm in [-kerf_mm, kerf_mm] {
                prop_assert!(profile.beside(mm).is_some(), "{:?} {mm}", profile.points());
            }
            let surface = CutSurface::Profile(profile);
            if let CutOutcome::Parted(parted) =
                part(&Solid::from_stock(mesh.clone()), &surface, kerf_mm, 7, &Progress::new()).unwrap()
            {
                for side in [&parted.below, &parted.above] {
                    prop_assert!(edge_report(&side.mesh).closed());
                }
                let sum = parted.below.mesh.volume_mm3() + parted.above.mesh.volume_mm3() + parted.removed_mm3;
                prop_assert!((sum - mesh.volume_mm3()).abs() <= 1e-9 * mesh.bounds().unwrap().diagonal().powi(3));
            }
        }
    }

    #[test]
    fn any_triangles_at_all_give_an_answer(
        corners in prop::collection::vec(prop::array::uniform3(-3..3i32), 0..60), points in lattice_points(),
        (along, out) in frames(), jitter in 0.0..1e-7f64,
        spoilt in prop::collection::vec((any::<prop::sample::Index>(), 0..3_usize, prop::sample::select(vec![
            f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN, 1e39, 1e-310, -0.0,
        ])), 0..5),
    ) {
        let vertices: Vec<Point> = (-3..3).flat_map(|x| (-3..3).flat_map(move |y| (-3..3).map(move |z|
            Point::new(f64::from(x) + jitter * f64::from(y), f64::from(y), f64::from(z) - jitter * f64::from(x))))).collect();
        let number = |c: &[i32; 3]| ((c[0] + 3) * 36 + (c[1] + 3) * 6 + c[2] + 3) as u32;
        let triangles: Vec<[u32; 3]> = corners.chunks_exact(3).map(|c| [number(&c[0]), number(&c[1]), number(&c[2])]).collect();
        let mesh = Mesh { vertices, triangles };
        let mut mesh = mesh;
        for (pick, axis, number) in spoilt {
            let v = pick.index(mesh.vertices.len());
            mesh.vertices[v][axis] = number;
        }
        if let Ok(profile) = Profile::new(Point::origin(), along, out, points)
            && let CutOutcome::Parted(parted) = outcome(&mesh, &profile)
        {
            prop_assert_eq!(cap_faces(&parted.below, false), cap_faces(&parted.above, true));
        }
    }
}

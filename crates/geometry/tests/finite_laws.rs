//! Laws of cuts by planes that end.

use proptest::prelude::*;
use seamwright_geometry::{
    CutOutcome, CutSurface, FaceOrigin, FinitePlane, Mesh, Parted, Plane, Point, Progress, Side, Solid, SurfaceError,
    Vector, bodies, cut, edge_report, part, solids,
};

fn finite(plane: Plane, through: [f64; 3], inwards: [f64; 3]) -> FinitePlane {
    FinitePlane::new(plane, Point::from(through), Vector::from(inwards)).unwrap()
}

fn level(height: f64) -> Plane {
    Plane::new(Vector::z(), height).unwrap()
}

fn outcome(mesh: &Mesh, finite: FinitePlane, kerf_mm: f64) -> CutOutcome {
    let surface = CutSurface::FinitePlane(finite);
    part(&Solid::from_stock(mesh.clone()), &surface, kerf_mm, 7, &Progress::new()).unwrap()
}

fn parted(mesh: &Mesh, finite: FinitePlane, kerf_mm: f64) -> Parted {
    let parted = match outcome(mesh, finite, kerf_mm) {
        CutOutcome::Parted(parted) => *parted,
        outcome => panic!("nothing is parted: {outcome:?}"),
    };
    check_laws(mesh, &parted);
    parted
}

fn volume(solid: &Solid) -> f64 {
    solid.mesh.volume_mm3()
}

fn around(parted: &Parted) -> f64 {
    parted.around.as_ref().map_or(0.0, volume)
}

fn caps(solid: &Solid, side: Side) -> Vec<Vec<[u64; 3]>> {
    let of_side = |t: &usize| solid.origins[*t] == FaceOrigin::cap(7, side);
    let bits = |p: Point| [p.x, p.y, p.z].map(f64::to_bits);
    let face = |t: usize| {
        let [a, b, c] = solid.mesh.corners(t).map(bits);
        let mut corners = if side == Side::Below { vec![a, b, c] } else { vec![a, c, b] };
        let first = (0..3).min_by_key(|&i| corners[i]).unwrap();
        corners.rotate_left(first);
        corners
    };
    (0..solid.mesh.triangles.len()).filter(of_side).map(face).collect()
}

/// What holds for every finite plane through a closed solid.
fn check_laws(whole: &Mesh, parted: &Parted) {
    assert!(parted.left_open.is_empty(), "left open at {:?}", parted.left_open);
    let all: Vec<&Solid> = [&parted.below, &parted.above].into_iter().chain(&parted.around).collect();
    for solid in &all {
        assert!(edge_report(&solid.mesh).closed());
        assert_eq!(solid.mesh.triangles.len(), solid.origins.len());
    }
    assert!(caps(&parted.below, Side::Above).is_empty() && caps(&parted.above, Side::Below).is_empty());
    let sum: f64 = all.iter().map(|s| volume(s)).sum::<f64>() + parted.removed_mm3;
    let scale = whole.bounds().unwrap().diagonal();
    assert!((sum - whole.volume_mm3()).abs() <= 1e-9 * scale.powi(3), "{sum} is not {}", whole.volume_mm3());
    if parted.removed_mm3 == 0.0 {
        let of = |side| {
            let mut faces: Vec<_> = all.iter().flat_map(|s| caps(s, side)).collect();
            faces.sort();
            faces
        };
        assert_eq!(of(Side::Below), of(Side::Above), "the caps of the seam differ");
    }
}

/// Two arms of 10 by 10, from z = 0 to 40, on a bridge at their foot.
fn two_arms() -> Mesh {
    let field = |x: usize, z: usize| z == 0 || x != 1;
    let mut vertices = Vec::new();
    let mut number = std::collections::HashMap::new();
    let mut triangles = Vec::new();
    let mut vertex = |x: usize, y: usize, z: usize| {
        *number.entry((x, y, z)).or_insert_with(|| {
            vertices.push(Point::new(x as f64 * 10.0, y as f64 * 10.0, z as f64 * 10.0));
            vertices.len() as u32 - 1
        })
    };
    let solid = |x: isize, y: isize, z: isize| {
        (0..3).contains(&x) && y == 0 && (0..4).contains(&z) && field(x as usize, z as usize)
    };
    for (x, z) in (0..3).flat_map(|x| (0..4).map(move |z| (x, z))).filter(|&(x, z)| field(x, z)) {
        for axis in 0..3 {
            for side in 0..2_usize {
                let mut step = [0_isize; 3];
                step[axis] = if side == 1 { 1 } else { -1 };
                if solid(x as isize + step[0], step[1], z as isize + step[2]) {
                    continue;
                }
                let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
                let quad: Vec<u32> = [[0, 0], [1, 0], [1, 1], [0, 1]]
                    .map(|[i, j]| {
                        let mut d = [0; 3];
                        (d[axis], d[u], d[v]) = (side, i, j);
                        vertex(x + d[0], d[1], z + d[2])
                    })
                    .to_vec();
                let q = if side == 1 { quad } else { quad.into_iter().rev().collect() };
                triangles.extend([[q[0], q[1], q[2]], [q[0], q[2], q[3]]]);
            }
        }
    }
    Mesh { vertices, triangles }
}

#[test]
fn one_arm_of_two_is_parted() {
    let arms = two_arms();
    assert!(edge_report(&arms).closed());
    let parted = parted(&arms, finite(level(25.0), [15.0, 0.0, 0.0], [-1.0, 0.0, 0.3]), 0.0);
    assert_eq!((volume(&parted.above), around(&parted)), (1500.0, 0.0));
    assert_eq!(volume(&parted.below), arms.volume_mm3() - 1500.0);
    assert_eq!(parted.cap_area_mm2, 100.0);
    assert!(parted.ended_inside.is_empty());
    // The face of the other arm is as it was.
    let uncut = parted.below.mesh.vertices.iter().filter(|p| p.z == 25.0);
    assert!(uncut.clone().count() > 0 && uncut.into_iter().all(|p| p.x <= 10.0));
}

#[test]
fn a_plane_that_ends_in_an_arm_leaves_it_whole_and_says_where() {
    let arms = two_arms();
    let CutOutcome::Unreached { ended_inside } =
        outcome(&arms, finite(level(25.0), [5.0, 0.0, 0.0], [-1.0, 0.0, 0.0]), 0.0)
    else {
        panic!("something is parted");
    };
    assert_eq!(ended_inside.len(), 1);
    assert!((ended_inside[0] - Point::new(5.0, 5.0, 25.0)).norm() < 1e-12, "{:?}", ended_inside);
    // From the other side it parts the far arm and ends in this one.
    let parted = parted(&arms, finite(level(25.0), [5.0, 0.0, 0.0], [1.0, 0.0, 0.0]), 0.0);
    assert_eq!((volume(&parted.above), parted.ended_inside.len()), (1500.0, 1));
    assert!(matches!(
        outcome(&arms, finite(level(25.0), [-5.0, 0.0, 0.0], [-1.0, 0.0, 0.0]), 0.0),
        CutOutcome::Unreached { ended_inside } if ended_inside.is_empty()
    ));
    assert!(matches!(
        outcome(&arms, finite(level(45.0), [5.0, 0.0, 0.0], [1.0, 0.0, 0.0]), 0.0),
        CutOutcome::Missed(Side::Below)
    ));
}

#[test]
fn a_ring_is_opened_by_one_cut() {
    let ring = solids::torus(Point::origin(), 30.0, 8.0, 96, 48);
    let across = Plane::new(Vector::y(), 0.0).unwrap();
    for kerf in [0.0, 1.0] {
        let parted = parted(&ring, finite(across, [0.0; 3], [1.0, 0.0, 0.0]), kerf);
        assert!(parted.below.mesh.triangles.is_empty() && parted.above.mesh.triangles.is_empty());
        let open = parted.around.unwrap();
        assert_eq!(bodies(open.clone()).len(), 1);
        assert!(!caps(&open, Side::Below).is_empty() && !caps(&open, Side::Above).is_empty());
        let area = std::f64::consts::PI * 64.0;
        assert!((parted.cap_area_mm2 - area).abs() < 0.01 * area);
        assert!((parted.removed_mm3 - area * kerf).abs() < 0.01 * area, "{}", parted.removed_mm3);
    }
}

#[test]
fn a_kerf_takes_its_width_from_the_arm_that_is_cut() {
    let arms = two_arms();
    let parted = parted(&arms, finite(level(25.0), [15.0, 0.0, 0.0], [1.0, 0.0, 0.0]), 2.0);
    assert!((parted.removed_mm3 - 200.0).abs() < 1e-9);
    assert!((volume(&parted.above) - 1400.0).abs() < 1e-9);
    let surface = CutSurface::Plane(level(25.0));
    let CutOutcome::Parted(wide) = part(&Solid::from_stock(arms), &surface, 2.0, 7, &Progress::new()).unwrap() else {
        panic!()
    };
    assert!((wide.removed_mm3 - 400.0).abs() < 1e-9 && (volume(&wide.above) - 2800.0).abs() < 1e-9);
}

#[test]
fn a_hollow_arm_keeps_its_cavity_and_what_is_not_reached_stays() {
    let ball = |x: f64, r: f64| solids::sphere(Point::new(x, 0.0, 0.0), r, 16);
    let hollow = |x: f64| solids::hollow(&ball(x, 10.0), &ball(x, 8.0));
    let low = solids::hollow(&ball(60.0, 10.0), &solids::sphere(Point::new(60.0, 0.0, -5.0), 2.0, 6));
    let all = solids::joined(&[&hollow(0.0), &hollow(30.0), &low]);
    let parted = parted(&all, finite(level(1.0), [15.0, 0.0, 0.0], [1.0, 0.0, 0.0]), 0.0);
    // The ball that is not reached stays round the end; the bubble far below the cut goes with its ball.
    assert!((around(&parted) - hollow(0.0).volume_mm3()).abs() < 1e-9);
    assert_eq!(bodies(parted.below).len(), 2);
    assert_eq!(bodies(parted.above).len(), 2);
}

#[test]
fn what_is_no_finite_plane_is_told() {
    let new = |inwards: [f64; 3]| FinitePlane::new(level(1.0), Point::origin(), Vector::from(inwards));
    assert_eq!(new([0.0, 0.0, 2.0]), Err(SurfaceError::NoDirection));
    assert_eq!(new([0.0, 0.0, 0.0]), Err(SurfaceError::NoDirection));
    assert!(matches!(new([f64::NAN, 0.0, 0.0]), Err(SurfaceError::NotFinite(_))));
    assert_eq!(new([3.0, 0.0, 9.0]).unwrap().inwards(), Vector::x());
}

fn solid() -> impl Strategy<Value = Mesh> {
    let centre = prop::array::uniform3(-20.0..20.0f64).prop_map(Point::from);
    prop_oneof![
        (centre.clone(), 10.0..30.0f64, 2.0..9.0f64, 3..24u32, 3..16u32)
            .prop_map(|(c, ring, tube, a, b)| solids::torus(c, ring, tube, a, b)),
        (centre.clone(), centre.clone(), 5.0..20.0f64, 2..8u32).prop_map(|(a, b, r, n)| {
            let other = solids::hollow(&solids::sphere(b, r, n), &solids::sphere(b, r * 0.6, n));
            solids::joined(&[&solids::sphere(a, r, n), &other])
        }),
        (prop::array::uniform3(1..4u32), 1..9i32).prop_map(|(cells, size)| {
            let size = f64::from(size);
            let grid =
                |x: f64| solids::grid_box(Point::new(x - size, -size, -size), Point::new(x + size, size, size), cells);
            solids::joined(&[&grid(0.0), &grid(2.0 * size + 1.0)])
        }),
        Just(two_arms()),
    ]
}

fn cases() -> u32 {
    std::env::var("SEAMWRIGHT_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(500)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(cases()) })]

    #[test]
    fn any_finite_plane_through_any_solid_keeps_the_laws(
        mesh in solid(), pick: [prop::sample::Index; 2], kind in 0..3u8, n in prop::array::uniform3(-1.0..1.0f64),
        inwards in prop::array::uniform3(-1.0..1.0f64), kerf_mm in prop_oneof![Just(0.0), 0.01..4.0f64],
    ) {
        let [at, edge] = pick.map(|i| mesh.vertices[i.index(mesh.vertices.len())]);
        let normal = if kind == 0 { Vector::ith((n[0].abs() * 3.0) as usize, 1.0) } else { Vector::from(n) };
        let Ok(plane) = Plane::through(at, normal) else { return Ok(()) };
        let Ok(finite) = FinitePlane::new(plane, edge, Vector::from(inwards)) else { return Ok(()) };
        if let CutOutcome::Parted(parted) = outcome(&mesh, finite, kerf_mm) {
            check_laws(&mesh, &parted);
        }
    }

    #[test]
    fn a_finite_plane_that_ends_far_off_is_the_plane(
        mesh in solid(), pick: prop::sample::Index, n in prop::array::uniform3(-1.0..1.0f64),
        inwards in prop::array::uniform3(-1.0..1.0f64),
    ) {
        let Ok(plane) = Plane::through(mesh.vertices[pick.index(mesh.vertices.len())], Vector::from(n)) else { return Ok(()) };
        let Ok(finite) = FinitePlane::new(plane, Point::origin(), Vector::from(inwards)) else { return Ok(()) };
        let finite = FinitePlane::new(plane, finite.edge_through() - finite.inwards() * 1e4, finite.inwards()).unwrap();
        let solid = Solid::from_stock(mesh.clone());
        match (cut(&solid, &plane, 7, &Progress::new()).unwrap(), outcome(&mesh, finite, 0.0)) {
            (CutOutcome::Parted(plain), CutOutcome::Parted(parted)) => {
                check_laws(&mesh, &parted);
                prop_assert_eq!(parted.cap_area_mm2, plain.cap_area_mm2);
                let (below, rest) = (volume(&plain.below), around(&parted));
                prop_assert!(volume(&parted.below) <= below + 1e-6 && below <= volume(&parted.below) + rest + 1e-6);
            }
            (CutOutcome::Missed(a), CutOutcome::Missed(b)) => prop_assert_eq!(a, b),
            (a, b) => prop_assert!(false, "{a:?} {b:?}"),
        }
    }
}

//! The demo models are what they say: closed, one solid, thick enough, the same every time.
use super::net::closed_surface;
use super::sdf::V3;
use super::sdf::primitives::ball;
use super::simplify::simplify;
use super::{DemoModel, build, cuirass, helm};
use seamwright_geometry::Mesh;
use std::collections::HashMap;

/// Triangles asked for in these tests.
const ASKED: usize = 12_000;

#[test]
fn the_helm_is_one_closed_solid_that_a_head_fits_and_a_bed_does_not() {
    let mesh = build(DemoModel::Helm, ASKED);
    // Eye slits and gills, each a hole through the wall.
    assert_solid(&mesh, 8);
    assert_size(&mesh, [241.0, 297.0, 358.0]);
    assert_volume(&mesh, 911_000.0);
}

#[test]
fn the_cuirass_is_one_closed_solid() {
    let mesh = build(DemoModel::Cuirass, ASKED);
    // The arm openings.
    assert_solid(&mesh, 2);
    assert_size(&mesh, [422.0, 260.0, 498.0]);
    assert_volume(&mesh, 1_431_000.0);
}

#[test]
fn the_glaive_is_one_closed_solid_of_1_9_m() {
    let mesh = build(DemoModel::Glaive, ASKED);
    // The lights in the blade.
    assert_solid(&mesh, 3);
    assert_size(&mesh, [184.0, 56.0, 1900.0]);
    assert_volume(&mesh, 1_730_000.0);
}

#[test]
fn above_the_simplified_sizes_the_net_itself_is_closed_and_of_the_size_asked() {
    let asked = 450_000;
    let mesh = build(DemoModel::Helm, asked);
    assert_manifold(&mesh);
    let off = mesh.triangles.len() as f64 / asked as f64 - 1.0;
    assert!(off.abs() < 0.15, "{} triangles for {asked}", mesh.triangles.len());
}

#[test]
fn a_model_does_not_depend_on_how_many_threads_make_it() {
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a pool of one thread");
    let three = rayon::ThreadPoolBuilder::new().num_threads(3).build().expect("a pool of three threads");
    let make = || closed_surface(&helm::distance, helm::SAMPLING.seed, 2.5);
    assert!(one.install(make) == three.install(make));
}

#[test]
fn vertices_are_numbers_that_a_binary_stl_holds() {
    let mesh = build(DemoModel::Glaive, ASKED);
    assert!(
        mesh.vertices
            .iter()
            .flat_map(|p| p.coords.iter().copied().collect::<Vec<_>>())
            .all(|c| f64::from(c as f32) == c)
    );
}

#[test]
fn the_walls_of_helm_and_cuirass_are_3_to_4_mm_thick() {
    assert_walls(&helm::distance, helm::height_over_plain_wall, helm::SAMPLING.seed);
    assert_walls(&cuirass::distance, cuirass::height_over_plain_wall, cuirass::SAMPLING.seed);
}

#[test]
fn a_net_of_a_ball_comes_nearer_to_the_ball_as_the_grid_gets_finer() {
    let radius = 20.0;
    let field = |p: V3| ball(p, radius);
    let exact = 4.0 / 3.0 * std::f64::consts::PI * radius * radius * radius;
    let mut last = f64::INFINITY;
    for cell_mm in [4.0, 2.0, 1.0, 0.5] {
        let mesh = closed_surface(&field, [V3::x() * 50.0, V3::zeros()], cell_mm);
        assert_eq!(assert_manifold(&mesh), 2);
        let off = (mesh.volume_mm3() / exact - 1.0).abs();
        assert!(off < last / 3.0, "at {cell_mm} mm the volume is off by {off}, before by {last}");
        last = off;
    }
}

#[test]
fn a_net_of_a_field_far_too_fine_for_its_grid_is_still_a_manifold() {
    // Waves of about three cells in all directions: sheets meet in many cells, along edges and at corners.
    let field = |p: V3| {
        let waves: f64 = (0..3).map(|k| (2.1 * p[k] + 1.3 * p[(k + 1) % 3]).sin()).sum();
        (waves * 0.5).max(ball(p, 14.0))
    };
    let mesh = closed_surface(&field, [V3::new(40.0, 1.0, 2.0), V3::zeros()], 1.0);
    assert!(mesh.triangles.len() > 5_000);
    assert_manifold(&mesh);
}

#[test]
fn simplifying_keeps_a_ball_a_ball() {
    let field = |p: V3| ball(p, 20.0);
    let net = closed_surface(&field, [V3::x() * 50.0, V3::zeros()], 0.8);
    let before = net.volume_mm3();
    let mesh = simplify(net, 1_500);
    assert_eq!(mesh.triangles.len(), 1_500);
    assert_eq!(assert_manifold(&mesh), 2);
    assert!((mesh.volume_mm3() / before - 1.0).abs() < 2e-3);
    let farthest = mesh.vertices.iter().map(|p| field(p.coords).abs()).fold(0.0, f64::max);
    assert!(farthest < 0.2, "a vertex {farthest} mm off the ball");
}

/// One closed solid with `tunnels` holes through it, of about the triangles asked for, resting on z = 0.
fn assert_solid(mesh: &Mesh, tunnels: i64) {
    assert_eq!(assert_manifold(mesh), 2 - 2 * tunnels, "V − E + F of one solid with {tunnels} tunnels");
    assert_eq!(connected_parts(mesh), 1);
    let off = mesh.triangles.len() as f64 / ASKED as f64 - 1.0;
    assert!(off.abs() < 0.15, "{} triangles for {ASKED}", mesh.triangles.len());
    assert_eq!(mesh.bounds().expect("a mesh with faces").min.z, 0.0);
}

fn assert_size(mesh: &Mesh, mm: [f64; 3]) {
    let size = mesh.bounds().expect("a mesh with faces").size();
    let near = size.iter().zip(mm).all(|(a, b)| (a - b).abs() < 3.0);
    assert!(near, "{size:?} for {mm:?}");
}

/// Positive, so faces look outwards, and as measured at 10⁶ triangles.
fn assert_volume(mesh: &Mesh, mm3: f64) {
    let off = mesh.volume_mm3() / mm3 - 1.0;
    assert!(off.abs() < 0.01, "{} for {mm3} mm³", mesh.volume_mm3());
}

/// Every edge in exactly two faces that run along it in opposite directions, one fan of faces at every vertex, no face
/// of zero area. Gives V − E + F.
fn assert_manifold(mesh: &Mesh) -> i64 {
    let mut next_around = HashMap::new();
    for (t, &[a, b, c]) in mesh.triangles.iter().enumerate() {
        let [p, q, r] = mesh.corners(t);
        assert!((q - p).cross(&(r - p)).norm() > 0.0, "face {t} has no area");
        for (v, from, to) in [(a, b, c), (b, c, a), (c, a, b)] {
            assert!(next_around.insert((v, from), to).is_none(), "edge {v}-{from} is used twice in one direction");
        }
    }
    let mut faces_at = vec![0; mesh.vertices.len()];
    mesh.triangles.iter().flatten().for_each(|&v| faces_at[v as usize] += 1);
    let mut seen = vec![false; mesh.vertices.len()];
    for [v, start] in mesh.triangles.iter().flat_map(|&[a, b, c]| [[a, b], [b, c], [c, a]]) {
        if !std::mem::replace(&mut seen[v as usize], true) {
            let mut at = start;
            let mut fan = 0;
            loop {
                at = *next_around.get(&(v, at)).unwrap_or_else(|| panic!("edge {v}-{at} has one face only"));
                fan += 1;
                if at == start {
                    break;
                }
            }
            assert_eq!(fan, faces_at[v as usize], "vertex {v} joins more than one fan");
        }
    }
    assert!(seen.iter().all(|&s| s), "a vertex without faces");
    let edges = next_around.len() as i64 / 2;
    mesh.vertices.len() as i64 - edges + mesh.triangles.len() as i64
}

fn connected_parts(mesh: &Mesh) -> usize {
    let mut parent: Vec<usize> = (0..mesh.vertices.len()).collect();
    fn root(parent: &mut [usize], mut v: usize) -> usize {
        while parent[v] != v {
            parent[v] = parent[parent[v]];
            v = parent[v];
        }
        v
    }
    for &[a, b, c] in &mesh.triangles {
        for w in [b, c] {
            let (x, y) = (root(&mut parent, a as usize), root(&mut parent, w as usize));
            parent[x] = y;
        }
    }
    (0..parent.len()).filter(|&v| parent[v] == v).count()
}

/// Looks through the wall from the middle of every 29th face: 3 to 4 mm where the outer side is plain; nowhere
/// thinner, save for rounded edges.
fn assert_walls(field: &(impl Fn(V3) -> f64 + Sync), height_over_plain_wall: fn(V3) -> f64, seed: [V3; 2]) {
    const STEP_MM: f64 = 0.05;
    let mesh = closed_surface(field, seed, 2.0);
    let (mut plain, mut all) = (Vec::new(), Vec::new());
    for t in (0..mesh.triangles.len()).step_by(29) {
        let [a, b, c] = mesh.corners(t);
        let inwards = -(b - a).cross(&(c - a)).normalize();
        let middle = (a.coords + b.coords + c.coords) / 3.0;
        let inside = |i: &i32| field(middle + inwards * (f64::from(*i) * STEP_MM)) < 0.0;
        let enter = (-20..60).find(inside).expect("wall behind a face");
        let leave = (enter..1000).find(|i| !inside(i)).unwrap_or(1000);
        let thickness = f64::from(leave - enter) * STEP_MM;
        all.push(thickness);
        if height_over_plain_wall(middle).abs() < 0.1 {
            plain.push(thickness);
        }
    }
    let share = |of: &[f64], what: fn(f64) -> bool| of.iter().filter(|t| what(**t)).count() as f64 / of.len() as f64;
    let (thin, as_said) = (share(&all, |t| t < 3.0), share(&plain, |t| (3.0..=4.0).contains(&t)));
    println!("{} looks: {thin:.4} under 3 mm; {} at plain wall: {as_said:.4} from 3 to 4 mm", all.len(), plain.len());
    assert!(plain.len() * 10 > all.len(), "the plain wall was hardly looked at");
    assert!(thin < 0.01, "{thin} of all is under 3 mm");
    assert!(as_said > 0.98, "only {as_said} of the plain wall is 3 to 4 mm");
}

//! Bad meshes made by hand, each mended: closed, turned outwards, where they were, and no different the second time.

use proptest::prelude::*;
use seamwright_geometry::mend::{MendError, MendReport, MendStep, Mended, NEW_FACE, mend_all_safe};
use seamwright_geometry::{Meeting, Mesh, Motion, Point, Progress, Vector, crossings, edge_report, inspect, solids};

fn apply(step: MendStep, mesh: &Mesh) -> Mended {
    let mended = step.apply(mesh, &Progress::new()).unwrap();
    assert_eq!(mended.mesh.triangles.len(), mended.came_from.len());
    for (t, &from) in mended.came_from.iter().enumerate() {
        assert!(from == NEW_FACE || (from as usize) < mesh.triangles.len(), "face {t}");
    }
    let again = step.apply(&mended.mesh, &Progress::new()).unwrap();
    assert!(again.report.did_nothing(), "{step:?} a second time: {:?}", again.report);
    assert_eq!(again.mesh, mended.mesh, "{step:?} a second time");
    mended
}

fn assert_sound(mesh: &Mesh) {
    let report = inspect(mesh);
    let faults = [
        report.open_edges,
        report.over_used_edges,
        report.misturned_edges,
        report.zero_area_faces,
        report.duplicate_faces,
    ];
    assert!(report.closed && faults == [0; 5], "{faults:?}");
}

fn assert_free_of_crossings(mesh: &Mesh) {
    let found = crossings(mesh, &Progress::new()).unwrap();
    let passing: Vec<_> = found.pairs.iter().filter(|pair| pair.meeting != Meeting::Touching).collect();
    assert!(passing.is_empty(), "{} pairs, {:?}", passing.len(), passing.first());
}

fn ball(x: f64, radius: f64, fine: u32) -> Mesh {
    solids::sphere(Point::new(x, 0.1, 0.2), radius, fine)
}

const ALL: [MendStep; 8] = [
    MendStep::MergeNear { tolerance_mm: 1e-4 },
    MendStep::DropZeroArea,
    MendStep::DropDuplicates,
    MendStep::SplitSheets,
    MendStep::TurnOutward,
    MendStep::FillHoles { most_edges: 200, curved: true },
    MendStep::UniteCrossing,
    MendStep::KeepOuter,
];

#[test]
fn a_sound_mesh_is_left_alone_by_every_step() {
    let hollow = solids::hollow(&ball(0.0, 10.0, 6), &ball(0.0, 8.0, 5));
    let two = solids::joined(&[&solids::torus(Point::origin(), 9.0, 2.0, 20, 12), &ball(40.0, 5.0, 4)]);
    for step in ALL {
        let mended = apply(step, &two);
        assert_eq!((&mended.mesh, mended.report), (&two, MendReport::default()), "{step:?}");
        if step != MendStep::KeepOuter {
            assert_eq!(apply(step, &hollow).mesh, hollow, "{step:?}");
        }
    }
}

#[test]
fn nothing_is_mended_to_nothing() {
    for step in ALL {
        assert_eq!(apply(step, &Mesh::default()).mesh, Mesh::default());
    }
}

#[test]
fn cracks_close_and_vertices_move_no_farther_than_the_tolerance() {
    // Every face with vertices of its own, each a little off.
    let whole = ball(0.0, 10.0, 4);
    let mut torn = Mesh::default();
    for (i, t) in whole.triangles.iter().enumerate() {
        for (k, v) in t.iter().enumerate() {
            let off = Vector::new((i % 7) as f64, (k % 3) as f64, (i % 5) as f64) * 1e-5;
            torn.vertices.push(whole.vertices[*v as usize] + off);
        }
        let n = 3 * i as u32;
        torn.triangles.push([n, n + 1, n + 2]);
    }
    let mended = apply(MendStep::MergeNear { tolerance_mm: 2e-4 }, &torn);
    assert_sound(&mended.mesh);
    assert_eq!(mended.mesh.vertices.len(), whole.vertices.len());
    assert!(mended.report.farthest_mm > 0.0 && mended.report.farthest_mm <= 2e-4);
    let apart = apply(MendStep::MergeNear { tolerance_mm: 1e-6 }, &torn);
    assert!(!edge_report(&apart.mesh).closed());
}

#[test]
fn equal_places_merge_without_a_tolerance() {
    let whole = solids::cuboid(Point::new(-1.0, -0.0, 0.0), Point::new(1.0, 2.0, 3.0));
    let mut soup = Mesh::default();
    for (i, t) in whole.triangles.iter().enumerate() {
        soup.vertices.extend(t.map(|v| whole.vertices[v as usize]));
        soup.triangles.push([0, 1, 2].map(|k| 3 * i as u32 + k));
    }
    let mended = apply(MendStep::MergeNear { tolerance_mm: 0.0 }, &soup);
    assert_sound(&mended.mesh);
    assert_eq!((mended.mesh.vertices.len(), mended.report.vertices_merged), (8, 28));
}

#[test]
fn slivers_on_an_edge_go_without_opening_it() {
    // A vertex put into the middle of an edge on one side only, and the gap closed by a face without area.
    let mut mesh = solids::cuboid(Point::origin(), Point::new(2.0, 2.0, 2.0));
    let [a, b, c] = mesh.triangles[0];
    let middle = mesh.vertices.len() as u32;
    let place = nalgebra::center(&mesh.vertices[a as usize], &mesh.vertices[b as usize]);
    mesh.vertices.push(place);
    mesh.triangles[0] = [a, middle, c];
    mesh.triangles.extend([[middle, b, c], [a, b, middle]]);
    assert_eq!(inspect(&mesh).zero_area_faces, 1);
    assert!(edge_report(&mesh).closed());
    let mended = apply(MendStep::DropZeroArea, &mesh);
    assert_sound(&mended.mesh);
    assert_eq!(mended.mesh.triangles.len(), 14);
    assert_eq!(mended.mesh.volume_mm3(), 8.0);
    assert_eq!((mended.report.faces_dropped, mended.report.left), (1, 0));
}

#[test]
fn faces_on_one_place_collapse() {
    let mut mesh = ball(0.0, 5.0, 3);
    // An edge opened to two vertices at the same place at one end, with a face between.
    let [a, b, c] = mesh.triangles[0];
    let twin = mesh.vertices.len() as u32;
    mesh.vertices.push(mesh.vertices[a as usize]);
    mesh.triangles[0] = [twin, b, c];
    mesh.triangles.extend([[a, b, twin], [twin, c, a]]);
    assert!(edge_report(&mesh).closed());
    let mended = apply(MendStep::DropZeroArea, &mesh);
    assert_sound(&mended.mesh);
    assert_eq!(mended.mesh.triangles.len(), 180);
}

#[test]
fn a_face_twice_is_dropped_and_a_fin_goes_whole() {
    let mut mesh = ball(0.0, 5.0, 4);
    let whole = mesh.clone();
    mesh.triangles.extend_from_within(10..14);
    let mended = apply(MendStep::DropDuplicates, &mesh);
    assert_eq!((&mended.mesh, mended.report.faces_dropped), (&whole, 4));

    // A fin without thickness on an edge.
    let [a, b, _] = mesh.triangles[3];
    let tip = mesh.vertices.len() as u32;
    mesh.vertices.push(Point::new(20.0, 0.0, 0.0));
    mesh.triangles.extend([[a, b, tip], [b, a, tip]]);
    let mended = apply(MendStep::DropDuplicates, &mesh);
    assert_eq!((&mended.mesh, mended.report.faces_dropped), (&whole, 6));
}

#[test]
fn of_a_surface_stored_both_ways_one_side_stays() {
    let ball = ball(0.0, 5.0, 4);
    let mut mesh = ball.clone();
    mesh.triangles.extend(solids::inverted(&ball).triangles);
    let mended = apply(MendStep::DropDuplicates, &mesh);
    assert_eq!(mended.mesh, ball);
}

#[test]
fn boxes_that_share_an_edge_or_a_corner_come_apart() {
    let cube = |x: f64, y: f64, z: f64| solids::cuboid(Point::new(x, y, z), Point::new(x + 1.0, y + 1.0, z + 1.0));
    for (other, over_used) in [(cube(1.0, 1.0, 0.0), 1), (cube(1.0, 1.0, 1.0), 0)] {
        let both = merged(&solids::joined(&[&cube(0.0, 0.0, 0.0), &other]));
        assert_eq!(inspect(&both).over_used_edges, over_used);
        let mended = apply(MendStep::SplitSheets, &both);
        assert_sound(&mended.mesh);
        let report = inspect(&mended.mesh);
        assert_eq!((report.shells.len(), report.euler), (2, 4));
        assert!(report.shells.iter().all(|shell| shell.volume_mm3 == 1.0));
        assert_eq!(mended.report.vertices_added, if over_used == 1 { 2 } else { 1 });
    }
}

#[test]
fn an_edge_whose_sheets_stay_together_at_both_ends_is_parted_in_its_middle() {
    let mut mesh = solids::grid_box(Point::origin(), Point::new(3.0, 3.0, 3.0), [3, 3, 3]);
    let at = |x: f64, y: f64, z: f64| mesh.vertices.iter().position(|p| *p == Point::new(x, y, z)).unwrap() as u32;
    let (low, high) = (at(1.0, 1.0, 3.0), at(2.0, 2.0, 3.0));
    let [p, q] = [Point::new(1.2, 1.8, 4.0), Point::new(1.8, 1.2, 4.0)];
    let n = mesh.vertices.len() as u32;
    mesh.vertices.extend([p, q]);
    // A tetrahedron standing on the diagonal.
    mesh.triangles.extend([[low, high, n], [low, n + 1, high], [low, n, n + 1], [high, n + 1, n]]);
    let volume = mesh.volume_mm3();
    let mended = apply(MendStep::SplitSheets, &mesh);
    assert_sound(&mended.mesh);
    assert!((mended.mesh.volume_mm3() - volume).abs() < 1e-12);
}

fn merged(mesh: &Mesh) -> Mesh {
    let facets: Vec<_> =
        (0..mesh.triangles.len()).map(|t| mesh.corners(t).map(|p| [p.x as f32, p.y as f32, p.z as f32])).collect();
    seamwright_geometry::merge_exact(&facets).unwrap().mesh
}

#[test]
fn turned_faces_and_shells_are_turned_back_and_cavities_stay() {
    let sound = solids::joined(&[
        &solids::hollow(&ball(0.0, 10.0, 6), &ball(0.0, 8.0, 5)),
        &ball(0.0, 4.0, 4),
        &ball(40.0, 5.0, 4),
    ]);
    let mut mesh = sound.clone();
    let shells = seamwright_geometry::Shells::of(&mesh);
    for (t, face) in mesh.triangles.iter_mut().enumerate() {
        let inside_out = [0, 2, 3].contains(&shells.of_triangle[t]);
        if inside_out != (t % 11 == 0) {
            face.swap(1, 2);
        }
    }
    let mended = apply(MendStep::TurnOutward, &mesh);
    assert!((mended.mesh.volume_mm3() / sound.volume_mm3() - 1.0).abs() < 1e-12);
    assert_sound(&mended.mesh);
    assert!(mended.report.faces_turned > 50 && mended.report.shells_turned >= 2, "{:?}", mended.report);
}

#[test]
fn a_surface_with_one_side_is_left_and_told() {
    let n = 12;
    let mut strip = Mesh::default();
    for i in 0..n {
        let angle = f64::from(i) / f64::from(n) * std::f64::consts::TAU;
        let out = Vector::new(angle.cos(), angle.sin(), 0.0);
        let across = out * (angle / 2.0).cos() + Vector::z() * (angle / 2.0).sin();
        strip.vertices.extend([Point::from(out * 5.0 - across), Point::from(out * 5.0 + across)]);
    }
    for i in 0..n {
        let [a, b] = [2 * i, 2 * i + 1].map(|v| v as u32);
        let [c, d] = if i + 1 < n { [a + 2, b + 2] } else { [1, 0] };
        strip.triangles.extend([[a, b, c], [b, d, c]]);
    }
    let mended = apply(MendStep::TurnOutward, &strip);
    assert_eq!((mended.mesh, mended.report.left), (strip, 1));
}

#[test]
fn flat_holes_fill_to_the_volume_they_had() {
    let whole = solids::grid_box(Point::new(0.1, 0.2, 0.3), Point::new(4.1, 4.2, 2.3), [4, 4, 2]);
    let mut mesh = whole.clone();
    // The ring of cells around the middle of the upper side: a hole with an island.
    mesh.triangles.retain(|t| {
        let middle = t.iter().map(|v| whole.vertices[*v as usize].coords).sum::<Vector>() / 3.0;
        let off = (middle.x - 2.1).abs().max((middle.y - 2.2).abs());
        middle.z < 2.29 || !(1.0..=2.0).contains(&off)
    });
    let removed = whole.triangles.len() - mesh.triangles.len();
    assert!(removed > 20);
    let rims = seamwright_geometry::open_loops(&mesh, &seamwright_geometry::EdgeTable::new(&mesh));
    assert_eq!(rims.len(), 2);
    let mended = apply(MendStep::FillHoles { most_edges: 100, curved: false }, &mesh);
    assert_sound(&mended.mesh);
    assert!((mended.mesh.volume_mm3() / whole.volume_mm3() - 1.0).abs() < 1e-12);
    assert_eq!((mended.report.holes_filled, mended.report.left), (2, 0));
    assert!((mended.report.filled_mm2 - 12.0).abs() < 1e-9);
}

#[test]
fn a_curved_hole_gets_a_patch_near_the_surface_it_had() {
    let whole = ball(0.0, 10.0, 10);
    let mut mesh = whole.clone();
    mesh.triangles.retain(|t| t.iter().map(|v| whole.vertices[*v as usize].z).sum::<f64>() < 3.0 * 8.5);
    let flat_only = apply(MendStep::FillHoles { most_edges: 100, curved: false }, &mesh);
    assert_eq!((flat_only.mesh, flat_only.report.left), (mesh.clone(), 1));
    let mended = apply(MendStep::FillHoles { most_edges: 100, curved: true }, &mesh);
    assert_sound(&mended.mesh);
    assert_free_of_crossings(&mended.mesh);
    for face in mended.mesh.triangles.iter().zip(&mended.came_from).filter(|(_, from)| **from == NEW_FACE) {
        let middle = face.0.iter().map(|v| mended.mesh.vertices[*v as usize].coords).sum::<Vector>() / 3.0;
        // The patch is as round as the cap that was there.
        let off = (middle - Vector::new(0.0, 0.1, 0.2)).norm();
        assert!((9.8..=10.05).contains(&off), "{off}");
    }
}

#[test]
fn rims_with_too_many_edges_are_left_and_told() {
    let mut mesh = ball(0.0, 10.0, 10);
    let [a, _, _] = mesh.triangles[0];
    mesh.triangles.retain(|t| !t.contains(&a));
    let edges = seamwright_geometry::EdgeTable::new(&mesh);
    let rim = seamwright_geometry::open_loops(&mesh, &edges).remove(0).vertices.len();
    // Around a corner of the icosahedron the rim is flat; lift one vertex out of it.
    let lifted = mesh.vertices.iter().position(|p| edges_have(&mesh, p)).unwrap();
    mesh.vertices[lifted].coords *= 1.01;
    let left = apply(MendStep::FillHoles { most_edges: rim - 1, curved: true }, &mesh);
    assert_eq!((left.mesh, left.report.left), (mesh.clone(), 1));
    assert_sound(&apply(MendStep::FillHoles { most_edges: rim, curved: true }, &mesh).mesh);
}

fn edges_have(mesh: &Mesh, place: &Point) -> bool {
    let rims = seamwright_geometry::open_loops(mesh, &seamwright_geometry::EdgeTable::new(mesh));
    mesh.vertices[rims[0].vertices[0] as usize] == *place
}

#[test]
fn shells_that_cross_become_one_with_the_volume_of_both() {
    let cube = |x: f64| solids::cuboid(Point::new(x, 0.0, 0.0), Point::new(x + 10.0, 10.0, 10.0));
    let off = cube(0.0).transformed(&Motion::translation(6.0, 3.0, 2.5));
    let mesh = solids::joined(&[&cube(0.0), &cube(100.0), &off]);
    let mended = apply(MendStep::UniteCrossing, &mesh);
    assert_sound(&mended.mesh);
    assert_free_of_crossings(&mended.mesh);
    assert_eq!((inspect(&mended.mesh).shells.len(), mended.report.shells_united), (2, 2));
    let expected = 3000.0 - 4.0 * 7.0 * 7.5;
    assert!((mended.mesh.volume_mm3() - expected).abs() < 1e-6, "{}", mended.mesh.volume_mm3());
    for (t, &from) in mended.came_from.iter().enumerate().filter(|(_, from)| **from != NEW_FACE) {
        // Every face lies in the plane of the one it comes from.
        let [a, b, c] = mesh.corners(from as usize);
        let normal = (b - a).cross(&(c - a)).normalize();
        assert!(mended.mesh.corners(t).iter().all(|p| (p - a).dot(&normal).abs() < 1e-9), "{t} from {from}");
    }
    assert!(mended.came_from.iter().all(|from| *from != NEW_FACE));
}

#[test]
fn a_cavity_crossed_by_a_rod_keeps_the_rest_of_its_room() {
    let hollow = solids::hollow(&ball(0.0, 20.0, 8), &ball(0.0, 16.0, 8));
    let rod = solids::cuboid(Point::new(-30.0, -1.0, -1.0), Point::new(30.0, 1.5, 1.2));
    let mended = apply(MendStep::UniteCrossing, &solids::joined(&[&hollow, &rod]));
    assert_sound(&mended.mesh);
    assert_free_of_crossings(&mended.mesh);
    let inside = 2.0 * 16.0 * 2.5 * 2.2;
    let outside = 2.0 * 10.0 * 2.5 * 2.2;
    let expected = hollow.volume_mm3() + inside + outside;
    assert!((mended.mesh.volume_mm3() / expected - 1.0).abs() < 0.002, "{} {expected}", mended.mesh.volume_mm3());
}

/// Without the faces around one vertex: a small hole.
fn pierced(mut mesh: Mesh) -> Mesh {
    let gone = mesh.triangles[0][0];
    mesh.triangles.retain(|t| !t.contains(&gone));
    mesh
}

/// Without its lower half.
fn halved(mut mesh: Mesh) -> Mesh {
    let vertices = mesh.vertices.clone();
    mesh.triangles.retain(|t| t.iter().all(|v| vertices[*v as usize].z >= 0.0));
    mesh
}

#[test]
fn open_shells_that_cross_are_united_where_their_holes_are_clearly_holes() {
    let (one, other) = (ball(0.0, 10.0, 8), ball(12.0, 10.0, 8));
    let whole = apply(MendStep::UniteCrossing, &solids::joined(&[&one, &other])).mesh.volume_mm3();
    let mended = apply(MendStep::UniteCrossing, &solids::joined(&[&pierced(one.clone()), &other]));
    assert_sound(&mended.mesh);
    assert_eq!((mended.report.holes_filled, mended.report.shells_united, mended.report.left), (1, 2, 0));
    assert!(mended.report.filled_mm2 > 1.0);
    assert!((mended.mesh.volume_mm3() / whole - 1.0).abs() < 1e-3);
    // A bowl is no ball with a hole: what it goes round is for the maker to say.
    let bowl = solids::joined(&[&halved(one), &other]);
    let left = apply(MendStep::UniteCrossing, &bowl);
    assert_eq!((&left.mesh, left.report.left), (&bowl, 1));
}

#[test]
fn what_is_enclosed_by_a_pierced_shell_is_dropped_and_by_a_bowl_is_not() {
    let bead = ball(0.0, 2.0, 3);
    let pierced = pierced(ball(0.0, 10.0, 8));
    let mended = apply(MendStep::KeepOuter, &solids::joined(&[&pierced, &bead]));
    assert_eq!((mended.report.shells_dropped, mended.report.holes_filled), (1, 0));
    assert_eq!(mended.mesh.triangles.len(), pierced.triangles.len());
    let open = solids::joined(&[&halved(ball(0.0, 10.0, 8)), &bead]);
    assert_eq!(apply(MendStep::KeepOuter, &open).mesh, open);
}

#[test]
fn what_is_enclosed_is_dropped_and_what_sticks_out_is_not() {
    let outer = ball(0.0, 10.0, 6);
    let mesh = solids::joined(&[&outer, &solids::inverted(&ball(0.0, 5.0, 4)), &ball(1.0, 3.0, 3), &ball(9.0, 3.0, 3)]);
    let mended = apply(MendStep::KeepOuter, &mesh);
    assert_eq!(mended.report.shells_dropped, 2);
    assert_eq!(mended.mesh, solids::joined(&[&outer, &ball(9.0, 3.0, 3)]));
}

#[test]
fn cancelled_mending_changes_nothing_and_says_so() {
    let progress = Progress::new();
    progress.cancel();
    for step in ALL {
        assert!(matches!(step.apply(&ball(0.0, 1.0, 2), &progress), Err(MendError::Cancelled(_))));
    }
}

#[test]
fn numbers_that_are_no_places_do_no_harm() {
    let mut mesh = solids::joined(&[&ball(0.0, 5.0, 3), &ball(3.0, 5.0, 3)]);
    mesh.vertices[3].x = f64::NAN;
    mesh.vertices[20].y = f64::INFINITY;
    mesh.triangles.drain(40..44);
    for step in ALL {
        let _ = step.apply(&mesh, &Progress::new());
    }
    assert!(mend_all_safe(&mesh, &Progress::new()).is_ok());
}

#[test]
fn the_order_of_shells_does_not_matter() {
    let parts = [ball(0.0, 10.0, 5), solids::inverted(&ball(0.0, 8.0, 4)), solids::inverted(&ball(30.0, 5.0, 4))];
    let volume = |order: [usize; 3]| {
        let mesh = solids::joined(&order.map(|i| &parts[i]));
        apply(MendStep::TurnOutward, &mesh).mesh.volume_mm3()
    };
    let straight = volume([0, 1, 2]);
    for order in [[1, 0, 2], [2, 1, 0], [1, 2, 0], [0, 2, 1], [2, 0, 1]] {
        assert!((volume(order) / straight - 1.0).abs() < 1e-12);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is done to a ball, mending ends, and does nothing the second time.
    #[test]
    fn mending_twice_changes_nothing_the_second_time(
        hurt in prop::collection::vec((0..500_usize, 0..6_u8), 0..12)
    ) {
        let mut mesh = solids::joined(&[&ball(0.0, 5.0, 4), &ball(20.0, 3.0, 3)]);
        for (at, how) in hurt {
            let t = at % mesh.triangles.len();
            let [a, b, c] = mesh.triangles[t];
            match how {
                0 => { mesh.triangles.swap_remove(t); }
                1 => mesh.triangles[t] = [a, c, b],
                2 => mesh.triangles.push([a, b, c]),
                3 => mesh.triangles.push([b, a, c]),
                4 => {
                    let p = nalgebra::center(&mesh.vertices[a as usize], &mesh.vertices[b as usize]);
                    mesh.vertices.push(p);
                    mesh.triangles[t] = [a, mesh.vertices.len() as u32 - 1, c];
                    mesh.triangles.push([mesh.vertices.len() as u32 - 1, b, c]);
                }
                _ => {
                    mesh.vertices.push(mesh.vertices[a as usize] + Vector::new(1e-8, 0.0, -1e-8));
                    mesh.triangles[t] = [mesh.vertices.len() as u32 - 1, b, c];
                }
            }
        }
        let once = mend_all_safe(&mesh, &Progress::new()).unwrap();
        prop_assert_eq!(once.came_from.len(), once.mesh.triangles.len());
        let twice = mend_all_safe(&once.mesh, &Progress::new()).unwrap();
        for (step, report) in &twice.steps {
            prop_assert!(report.did_nothing(), "{:?}: {:?}", step, report);
        }
        prop_assert_eq!(&twice.mesh, &once.mesh);
    }
}

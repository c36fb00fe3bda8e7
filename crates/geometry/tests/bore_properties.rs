//! Bores along any line through any solid: closed, as much taken away as a library for booleans says, and nothing else
//! touched.

#[path = "common/library.rs"]
mod library;
#[path = "common/random.rs"]
mod random;

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicUsize, Ordering};

use library::theirs;
use manifold_rust::manifold::Manifold;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use seamwright_geometry::bore::{Bored, Channel, End, Extra, SectionShape, bore};
use seamwright_geometry::{
    Bounds, CutOutcome, Mesh, Plane, Point, Progress, Shells, Solid, Vector, cut, edge_report, solids,
};

const LABEL: u32 = 7;

fn bored(solid: &Solid, channel: &Channel) -> Bored {
    let bored = bore(solid, channel, LABEL, &Progress::new()).unwrap();
    assert!(edge_report(&bored.solid.mesh).closed(), "open: {:?}", edge_report(&bored.solid.mesh));
    assert_eq!(bored.solid.mesh.triangles.len(), bored.solid.origins.len());
    let mut used = vec![false; bored.solid.mesh.vertices.len()];
    bored.solid.mesh.triangles.iter().flatten().for_each(|v| used[*v as usize] = true);
    assert!(used.iter().all(|used| *used), "vertices that no face uses");
    bored
}

fn check_form(bored: &Bored) {
    let mesh = &bored.solid.mesh;
    for (i, t) in mesh.triangles.iter().enumerate() {
        assert!(t[0] != t[1] && t[1] != t[2] && t[2] != t[0], "collapsed face {t:?}");
        let [a, b, c] = mesh.corners(i);
        assert!((b - a).cross(&(c - a)).norm() > 0.0, "face without area {a} {b} {c} {:?}", bored.solid.origins[i]);
    }
}

fn bits(t: [Point; 3]) -> [[u64; 3]; 3] {
    let mut corners = t.map(|p| [p.x, p.y, p.z].map(f64::to_bits));
    let first = (0..3).min_by_key(|i| corners[*i]).unwrap();
    corners.rotate_left(first);
    corners
}

/// Faces that lie clear of all that is taken away are there to the last bit.
fn check_untouched(solid: &Solid, channel: &Channel, bored: &Bored) {
    let bounds = solid.mesh.bounds().unwrap();
    let tools: Vec<Bounds> = channel.meshes(&bounds).iter().filter_map(Mesh::bounds).collect();
    let left: BTreeSet<_> = (0..bored.solid.mesh.triangles.len()).map(|i| bits(bored.solid.mesh.corners(i))).collect();
    for i in 0..solid.mesh.triangles.len() {
        let corners = solid.mesh.corners(i);
        let clear = |tool: &Bounds| {
            (0..3).any(|k| {
                corners.iter().all(|p| p[k] < tool.min[k] - 1e-3) || corners.iter().all(|p| p[k] > tool.max[k] + 1e-3)
            })
        };
        if tools.iter().all(clear) {
            assert!(left.contains(&bits(corners)), "a face that the channel does not touch is not there any more");
        }
    }
}

/// Lattice solids that were drawn, and those that the library refused, so that nothing was held against them.
static DRAWN: [AtomicUsize; 2] = [AtomicUsize::new(0), AtomicUsize::new(0)];
/// Of the lattice solids drawn no more than this share may be refused: the test would say little otherwise. One in sixty of
/// those drawn here is, where cells touch along an edge.
const MOST_REFUSED: f64 = 0.1;

/// What the library for booleans takes away of all shells, each by itself; what it takes of cavities counts negative.
fn removed_by_the_library(solid: &Solid, channel: &Channel) -> Option<f64> {
    let bounds = solid.mesh.bounds()?;
    let tools: Vec<Manifold> = channel.meshes(&bounds).iter().filter_map(theirs).collect();
    let tool = tools[1..].iter().fold(tools[0].clone(), |all, tool| all.union(tool));
    let shells = Shells::of(&solid.mesh).split(&solid.mesh);
    let removed = |shell: &Mesh| {
        let volume = shell.volume_mm3();
        let outward = if volume < 0.0 { solids::inverted(shell) } else { shell.clone() };
        Some(theirs(&outward)?.intersection(&tool).volume() * volume.signum())
    };
    shells.iter().map(removed).sum()
}

fn shapes() -> impl Strategy<Value = SectionShape> {
    let (diameter, sides) = (0.5..12.0f64, 8..40u32);
    prop_oneof![
        3 => (diameter.clone(), sides.clone()).prop_map(|(diameter_mm, sides)| SectionShape::Round { diameter_mm, sides }),
        1 => (diameter.clone(), sides.clone()).prop_map(|(diameter_mm, sides)| SectionShape::Teardrop { diameter_mm, sides }),
        1 => (diameter.clone(), sides.clone()).prop_map(|(diameter_mm, sides)| SectionShape::FlatRoof { diameter_mm, sides }),
        1 => (diameter.clone(), sides).prop_map(|(diameter_mm, sides)| SectionShape::Slit {
            diameter_mm, sides, reach_mm: 40.0
        }),
        1 => diameter.clone().prop_map(|across_flats_mm| SectionShape::Square { across_flats_mm }),
        1 => diameter.prop_map(|across_flats_mm| SectionShape::Hexagon { across_flats_mm }),
    ]
}

fn ends() -> impl Strategy<Value = [End; 2]> {
    let end = || prop_oneof![Just(End::Open), Just(End::At)];
    [end(), end()]
}

fn lines() -> impl Strategy<Value = Vec<Point>> {
    let place = || prop::array::uniform3(-30.0..30.0f64).prop_map(Point::from);
    let bent = (place(), place(), 0.3..0.7f64, prop::array::uniform3(-12.0..12.0f64))
        .prop_map(|(a, b, share, off)| vec![a, a + (b - a) * share + Vector::from(off), b]);
    prop_oneof![3 => (place(), place()).prop_map(|(a, b)| vec![a, b]), 1 => bent]
}

/// Lines along and across a lattice of halves.
fn lattice_lines() -> impl Strategy<Value = Vec<Point>> {
    let place = || prop::array::uniform3((-2..9i32).prop_map(|x| f64::from(x) / 2.0)).prop_map(Point::from);
    let upright = (place(), 0..3usize, 1..8i32).prop_map(|(a, k, far)| {
        let mut b = a;
        b[k] += f64::from(far) / 2.0;
        vec![a, b]
    });
    prop_oneof![2 => upright, 1 => (place(), place()).prop_map(|(a, b)| vec![a, b])]
}

fn lattice_shapes() -> impl Strategy<Value = SectionShape> {
    let half = || (1..5i32).prop_map(|n| f64::from(n) / 2.0);
    prop_oneof![
        2 => half().prop_map(|across_flats_mm| SectionShape::Square { across_flats_mm }),
        1 => half().prop_map(|across_flats_mm| SectionShape::Hexagon { across_flats_mm }),
        1 => half().prop_map(|diameter_mm| SectionShape::Round { diameter_mm, sides: 8 }),
    ]
}

fn cases() -> u32 {
    std::env::var("SEAMWRIGHT_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(300)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn any_bore_takes_away_what_a_boolean_does_and_touches_nothing_else(
        mesh in random::one_or_two(), line in lines(), shape in shapes(), ends in ends(), up in prop::array::uniform3(-1.0..1.0f64),
    ) {
        let Ok(channel) = Channel::new(line, shape, ends) else { return Ok(()) };
        let channel = channel.with_up(Vector::from(up));
        let solid = Solid::from_stock(mesh);
        let bored = bored(&solid, &channel);
        check_form(&bored);
        check_untouched(&solid, &channel, &bored);
        let off = 1e-6 * solid.mesh.bounds().unwrap().diagonal().powi(3);
        let expected = removed_by_the_library(&solid, &channel).unwrap();
        prop_assert!((bored.removed_mm3 - expected).abs() <= off, "{} taken away, {expected} by the library", bored.removed_mm3);
        let less = solid.mesh.volume_mm3() - bored.solid.mesh.volume_mm3();
        prop_assert!((bored.removed_mm3 - less).abs() <= off, "{} taken away, {less} missing", bored.removed_mm3);
    }

    #[test]
    fn cutting_through_a_bore_leaves_closed_pieces_whose_channels_meet(
        mesh in random::one_or_two(), line in lines(), shape in shapes(), normal in prop::array::uniform3(-1.0..1.0f64),
        offset in -12.0..12.0f64,
    ) {
        let Ok(channel) = Channel::new(line, shape, [End::Open, End::Open]) else { return Ok(()) };
        let Ok(plane) = Plane::new(Vector::from(normal), offset) else { return Ok(()) };
        let bored = bored(&Solid::from_stock(mesh), &channel).solid;
        if let CutOutcome::Parted(parted) = cut(&bored, &plane, 1, &Progress::new()).unwrap() {
            prop_assert!(parted.left_open.is_empty());
            prop_assert!(edge_report(&parted.below.mesh).closed() && edge_report(&parted.above.mesh).closed());
            let volume = parted.below.mesh.volume_mm3() + parted.above.mesh.volume_mm3();
            let off = 1e-7 * bored.mesh.bounds().unwrap().diagonal().powi(3);
            prop_assert!((volume - bored.mesh.volume_mm3()).abs() <= off);
            // The rims of both caps have the same vertices, so that the channel goes on without a step.
            let rim = |solid: &Solid| -> BTreeSet<[u64; 3]> {
                let cap = |i: &usize| solid.origins[*i].is_cap();
                let corners = (0..solid.mesh.triangles.len()).filter(cap).flat_map(|i| solid.mesh.corners(i));
                corners.map(|p| [p.x, p.y, p.z].map(f64::to_bits)).collect()
            };
            prop_assert_eq!(rim(&parted.below), rim(&parted.above));
        }
    }

    #[test]
    fn extras_are_taken_away_too(
        mesh in random::one_or_two(), line in lines(), depth_mm in 0.5..8.0f64, across in 4.0..12.0f64, at in 0.0..1.0f64,
    ) {
        let Ok(channel) = Channel::new(line, SectionShape::Round { diameter_mm: 3.0, sides: 12 }, [End::Open, End::At]) else {
            return Ok(());
        };
        let mouth = channel.place_at(at * channel.length_mm());
        let into = channel.line()[1] - channel.line()[0];
        let channel = channel
            .with_extra(Extra::Pocket {
                mouth, into, shape: SectionShape::Hexagon { across_flats_mm: across }, depth_mm, lead_mm: 1.0,
            })
            .unwrap()
            .with_extra(Extra::Countersink {
                mouth, into: -into, diameter_mm: across, narrow_mm: 2.5, angle_deg: 90.0, sides: 12, lead_mm: 0.0,
            })
            .unwrap();
        let solid = Solid::from_stock(mesh);
        let bored = bored(&solid, &channel);
        let off = 1e-6 * solid.mesh.bounds().unwrap().diagonal().powi(3);
        let expected = removed_by_the_library(&solid, &channel).unwrap();
        prop_assert!((bored.removed_mm3 - expected).abs() <= off, "{} taken away, {expected} by the library", bored.removed_mm3);
    }
}

/// Any bore on a lattice stays closed, and takes away what the library says, where that does not refuse the solid: how many
/// it refuses is counted and told.
#[test]
fn any_bore_on_a_lattice_stays_closed_and_the_library_refuses_few_of_them() {
    let mut runner = TestRunner::new(ProptestConfig::with_cases(cases()));
    let drawn = (random::lattice(), lattice_lines(), lattice_shapes(), ends());
    let found = runner.run(&drawn, |(mesh, line, shape, ends)| {
        let Ok(channel) = Channel::new(line, shape, ends) else { return Ok(()) };
        let solid = Solid::from_stock(mesh);
        let bored = bored(&solid, &channel);
        // A channel whose wall lies in a face is made larger by some resolutions.
        let off = 1e-4 * solid.mesh.area_mm2();
        let less = solid.mesh.volume_mm3() - bored.solid.mesh.volume_mm3();
        prop_assert!((bored.removed_mm3 - less).abs() <= off, "{} taken away, {less} missing", bored.removed_mm3);
        DRAWN[0].fetch_add(1, Ordering::Relaxed);
        match removed_by_the_library(&solid, &channel) {
            Some(expected) => {
                prop_assert!((less - expected).abs() <= off, "{less} taken away, {expected} by the library");
            }
            None => {
                DRAWN[1].fetch_add(1, Ordering::Relaxed);
            }
        }
        Ok(())
    });
    if let Err(error) = found {
        panic!("{error}");
    }
    let [drawn, refused] = DRAWN.each_ref().map(|count| count.load(Ordering::Relaxed));
    eprintln!("{drawn} lattice solids bored, {refused} of them refused by the library");
    assert!(drawn > 0 && (refused as f64) <= MOST_REFUSED * drawn as f64, "{refused} of {drawn} were refused");
}

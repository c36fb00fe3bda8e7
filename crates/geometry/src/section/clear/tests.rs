use std::f64::consts::{PI, TAU};

use proptest::prelude::*;

use super::*;
use crate::section::measure;
use crate::{Mesh, Progress, SectionSupport, Vector, solids};

fn level() -> Plane {
    Plane::new(Vector::z(), 2.0).unwrap()
}

/// A section of the level plane with these outlines: material to the left.
fn drawn(lines: &[Vec<[f64; 2]>]) -> Section {
    let place = |&[x, y]: &[f64; 2]| Point::new(x, y, 2.0);
    Section { loops: lines.iter().map(|line| measure(line.iter().map(place).collect(), true, &level())).collect() }
}

fn clear(lines: &[Vec<[f64; 2]>]) -> Option<ClearSection> {
    let section = drawn(lines);
    let found = section.clear(&level())?;
    assert_sound(&section, &found);
    Some(found)
}

/// The laws of every room: convex, its measures those of its outline, and nothing of the section in it.
fn assert_sound(section: &Section, room: &ClearSection) {
    let n = room.outline.len();
    let size = room.length_mm;
    let edges: Vec<(Point, Vector)> =
        (0..n).map(|i| (room.outline[i], room.outline[(i + 1) % n] - room.outline[i])).collect();
    // The direction of edges as short as rounding means nothing.
    let edges: Vec<(Point, Vector)> = edges.into_iter().filter(|e| e.1.norm() > 1e-9 * size).collect();
    let across = |(a, along): &(Point, Vector), p: &Point| {
        let along = along.normalize();
        along.x * (p.y - a.y) - along.y * (p.x - a.x)
    };
    assert!(n > 2 && room.breadth_mm <= room.length_mm * (1.0 + 1e-9), "{room:?}");
    assert!((edges.iter().map(|e| e.1.norm()).sum::<f64>() - room.girth_mm).abs() < 1e-9 * size);
    assert!(edges.iter().all(|e| room.outline.iter().all(|p| across(e, p) > -1e-9 * size)), "not convex");
    assert!(edges.iter().all(|e| across(e, &room.centre) > 0.0), "the middle is outside");
    for line in &section.loops {
        let count = line.points.len();
        for i in 0..if line.closed { count } else { count - 1 } {
            let (a, b) = (line.points[i], line.points[(i + 1) % count]);
            for k in 0..=4 {
                let p = a + (b - a) * (f64::from(k) / 4.0);
                let depth = edges.iter().map(|e| across(e, &p)).fold(f64::INFINITY, f64::min);
                assert!(depth < 1e-9 * size, "{p} of the outline is {depth} mm within the room");
            }
        }
    }
}

/// `steps` corners on an ellipse, clockwise: the outline of a hole.
fn hole(steps: u32, at: [f64; 2], half: [f64; 2]) -> Vec<[f64; 2]> {
    let turn = |i: u32| -TAU * f64::from(i) / f64::from(steps);
    (0..steps).map(turn).map(|a| [at[0] + half[0] * a.cos(), at[1] + half[1] * a.sin()]).collect()
}

fn disc(steps: u32, at: [f64; 2], half: [f64; 2]) -> Vec<[f64; 2]> {
    hole(steps, at, half).into_iter().rev().collect()
}

fn block(low: [f64; 2], high: [f64; 2]) -> Vec<[f64; 2]> {
    vec![low, [high[0], low[1]], high, [low[0], high[1]]]
}

fn turned_over(mut line: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    line.reverse();
    line
}

/// Within half a percent.
fn assert_near(found: f64, wanted: f64) {
    assert!((found / wanted - 1.0).abs() < 0.005, "{found} for {wanted}");
}

/// Circumference of an ellipse by the arithmetic of its definition: the integral of its speed, by the trapezoidal rule,
/// which for periodic functions is exact but for rounding.
fn circumference(a: f64, b: f64) -> f64 {
    let steps = 10_000;
    let speed = |i: u32| {
        let (sine, cosine) = (TAU * f64::from(i) / f64::from(steps)).sin_cos();
        (a * sine).hypot(b * cosine)
    };
    (0..steps).map(speed).sum::<f64>() * TAU / f64::from(steps)
}

#[test]
fn the_inside_of_a_ring_is_its_inner_circle() {
    for (steps, at) in [(60, [0.0, 0.0]), (721, [1000.0, -300.0]), (2000, [0.1, 0.2])] {
        let room = clear(&[disc(steps, at, [110.0, 110.0]), hole(steps, at, [95.0, 95.0])]).unwrap();
        assert_near(room.girth_mm, TAU * 95.0);
        assert_near(room.breadth_mm, 190.0);
        assert_near(room.length_mm, 190.0);
        assert!((room.centre - Point::new(at[0], at[1], 2.0)).norm() < 0.1);
        assert_eq!(room.openings_mm, 0.0);
    }
}

#[test]
fn the_inside_of_an_elliptic_ring_is_its_inner_ellipse() {
    // Head length and breadth of the median man (ANSUR II) and a gap for padding.
    let (a, b) = (112.0, 89.0);
    let room = clear(&[disc(720, [0.0, 0.0], [130.0, 130.0]), hole(720, [0.0, 0.0], [a, b])]).unwrap();
    assert_near(room.girth_mm, circumference(a, b));
    assert_near(room.breadth_mm, 2.0 * b);
    assert_near(room.length_mm, 2.0 * a);
}

#[test]
fn the_inside_of_a_frame_is_its_inner_rectangle_whichever_way_it_lies() {
    for angle in [0.0_f64, 0.3, 1.2] {
        let (s, c) = angle.sin_cos();
        let turned = |line: Vec<[f64; 2]>| line.into_iter().map(|[x, y]| [x * c - y * s, x * s + y * c]).collect();
        let inner = turned_over(block([-80.0, -100.0], [80.0, 100.0]));
        let room = clear(&[turned(block([-90.0, -120.0], [85.0, 110.0])), turned(inner)]).unwrap();
        assert!((room.girth_mm - 720.0).abs() < 1e-6, "{}", room.girth_mm);
        assert!((room.breadth_mm - 160.0).abs() < 1e-6 && (room.length_mm - 200.0).abs() < 1e-6);
        assert_eq!((room.outline.len(), room.openings_mm), (4, 0.0));
    }
}

#[test]
fn a_long_room_is_found_whole() {
    let room = clear(&[block([0.0, 0.0], [520.0, 60.0]), turned_over(block([10.0, 10.0], [510.0, 50.0]))]).unwrap();
    assert!((room.breadth_mm - 40.0).abs() < 1e-6 && (room.length_mm - 500.0).abs() < 1e-6);
}

/// A wall around all but the angles below `open` to both sides of +x.
fn open_ring(open: f64, outer: f64, inner: f64) -> Vec<[f64; 2]> {
    let steps = 400;
    let turn = |i: u32| open + (TAU - 2.0 * open) * f64::from(i) / f64::from(steps);
    let arc = |radius: f64| move |a: f64| [radius * a.cos(), radius * a.sin()];
    (0..=steps).map(turn).map(arc(outer)).chain((0..=steps).rev().map(turn).map(arc(inner))).collect()
}

#[test]
fn an_open_face_is_bridged_straight() {
    for half in [5.0_f64, 20.0, 45.0] {
        let half = half.to_radians();
        let room = clear(&[open_ring(half, 104.0, 100.0)]).unwrap();
        let bridge = 200.0 * half.sin();
        assert_near(room.girth_mm, 200.0 * (PI - half) + bridge);
        // The sides of the opening are radial here: from anywhere but the very middle, one of its four corners is seen.
        assert!(
            room.openings_mm > bridge * 0.999 && room.openings_mm < bridge * 1.041,
            "{} {bridge}",
            room.openings_mm
        );
    }
}

#[test]
fn a_bowl_that_is_open_too_wide_is_no_room() {
    assert_eq!(clear(&[open_ring(75.0_f64.to_radians(), 104.0, 100.0)]), None);
}

#[test]
fn a_block_and_the_notch_of_a_corner_are_no_rooms() {
    assert_eq!(clear(&[block([0.0, 0.0], [100.0, 80.0])]), None);
    let corner = vec![[0.0, 0.0], [100.0, 0.0], [100.0, 20.0], [20.0, 20.0], [20.0, 100.0], [0.0, 100.0]];
    assert_eq!(clear(&[corner]), None);
    assert_eq!(clear(&[]), None);
    assert_eq!(clear(&[vec![[0.0, 0.0], [1.0, 0.0]]]), None);
}

#[test]
fn of_two_rings_the_larger_is_taken_and_a_place_picks_the_other() {
    let ring = |x: f64, radius: f64| {
        [disc(360, [x, 0.0], [radius + 4.0, radius + 4.0]), hole(360, [x, 0.0], [radius, radius])]
    };
    let lines = [ring(0.0, 80.0), ring(200.0, 86.0)].concat();
    assert_near(clear(&lines).unwrap().girth_mm, TAU * 86.0);
    let section = drawn(&lines);
    let other = section.clear_around(&level(), &Point::new(15.0, -20.0, 300.0)).unwrap();
    assert_near(other.girth_mm, TAU * 80.0);
    assert_sound(&section, &other);
    assert_eq!(section.clear_around(&level(), &Point::new(82.0, 0.0, 0.0)), None);
    assert_eq!(section.clear_around(&level(), &Point::new(110.0, 300.0, 0.0)), None);
}

#[test]
fn a_padding_inside_takes_its_room() {
    // A bar along the left wall, of another shell: what is left is a circle without a segment.
    let shell = [disc(720, [0.0, 0.0], [104.0, 104.0]), hole(720, [0.0, 0.0], [100.0, 100.0])];
    let pad = block([-102.0, -70.0], [-80.0, 70.0]);
    let room = clear(&[&shell[..], &[pad]].concat()).unwrap();
    let half = 0.8_f64.acos();
    assert_near(room.girth_mm, 200.0 * (PI - half) + 200.0 * half.sin());
    assert_near(room.length_mm, 200.0);
    assert_near(room.breadth_mm, 180.0);
    assert_eq!(room.openings_mm, 0.0);
}

#[test]
fn a_crest_inside_is_cut_round() {
    let shell = [block([-104.0, -84.0], [104.0, 84.0]), turned_over(block([-100.0, -80.0], [100.0, 80.0]))];
    // Least area, 2400 mm², is lost to a line that falls by three in four; it cuts off a corner of 80 by 60.
    let crest = vec![[56.0, 82.0], [60.0, 50.0], [64.0, 82.0]];
    let room = clear(&[&shell[..], &[crest]].concat()).unwrap();
    assert_near(room.girth_mm, 2.0 * (200.0 + 160.0) - 80.0 - 60.0 + 100.0);
}

#[test]
fn planks_that_cross_at_the_corners_make_a_room() {
    let planks = [
        block([-120.0, -84.0], [130.0, -80.0]),
        block([-125.0, 80.0], [120.0, 85.0]),
        block([-106.0, -110.0], [-100.0, 115.0]),
        block([100.0, -100.0], [104.0, 120.0]),
    ];
    let room = clear(&planks).unwrap();
    assert!((room.girth_mm - 720.0).abs() < 1e-6, "{}", room.girth_mm);
    assert_eq!(room.openings_mm, 0.0);
}

#[test]
fn a_sheet_with_two_faces_is_a_wall_and_one_that_does_not_close_too() {
    let circle = disc(90, [0.0, 0.0], [90.0, 90.0]);
    assert_near(clear(&[circle.clone(), turned_over(circle.clone())]).unwrap().girth_mm, TAU * 90.0);
    let mut section = drawn(&[circle]);
    assert_eq!(section.clear(&level()), None, "what a line goes round is material");
    section.loops[0].closed = false;
    let room = section.clear(&level()).unwrap();
    assert_near(room.girth_mm, TAU * 90.0);
    assert_near(room.openings_mm, 180.0 * (PI / 90.0).sin());
}

#[test]
fn rough_walls_cost_little_more_than_their_roughness() {
    let mut random = 7u64;
    let mut noise = || {
        // Knuth's MMIX generator (The Art of Computer Programming, vol. 2, 3.3.4).
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (random >> 33) as f64 / f64::from(1u32 << 31)
    };
    for rough in [0.01, 0.1, 1.0] {
        let inner: Vec<[f64; 2]> = hole(900, [0.0, 0.0], [1.0, 1.0])
            .into_iter()
            .map(|[x, y]| (x, y, 100.0 - rough * noise()))
            .map(|(x, y, radius)| [x * radius, y * radius])
            .collect();
        let room = clear(&[disc(100, [0.0, 0.0], [120.0, 120.0]), inner]).unwrap();
        assert!(
            room.girth_mm < TAU * 100.0 && room.girth_mm > TAU * (100.0 - 1.5 * rough) * 0.995,
            "{}",
            room.girth_mm
        );
    }
}

#[test]
fn numbers_that_are_none_are_no_walls() {
    for bad in [f64::NAN, f64::INFINITY, 1e300] {
        assert_eq!(drawn(&[vec![[0.0, 0.0], [bad, 1.0], [3.0, bad]]]).clear(&level()), None);
    }
    let ring = [disc(50, [0.0, 0.0], [12.0, 12.0]), hole(50, [0.0, 0.0], [9.0, 9.0])];
    let section = drawn(&[&ring[..], &[vec![[f64::NAN, 0.0], [1.0, 1.0], [0.0, 1.0]]]].concat());
    assert_near(section.clear(&level()).unwrap().girth_mm, TAU * 9.0);
}

/// Outlines of any form between lattice points, crossing and touching each other and themselves.
fn scribble() -> impl Strategy<Value = Vec<Vec<[f64; 2]>>> {
    let corner = [-6..7_i8, -6..7_i8].prop_map(|c| c.map(f64::from));
    prop::collection::vec(prop::collection::vec(corner, 2..9), 1..6)
}

proptest! {
    #[test]
    fn no_room_holds_any_line(lines in scribble()) {
        clear(&lines);
    }

    #[test]
    fn no_room_within_a_ring_holds_any_line(lines in scribble(), steps in 3..40_u32, at in [-3.0..3.0, -3.0..3.0_f64]) {
        let ring = [disc(steps, at, [40.0, 40.0]), hole(steps, at, [20.0, 15.0])];
        clear(&[&ring[..], &lines].concat());
    }

    #[test]
    fn an_ellipse_seen_from_any_place_in_it_is_found_whole(
        a in 50.0..150.0, b in 50.0..150.0, from in [-0.65..0.65, -0.65..0.65_f64], steps in 100..500_u32,
    ) {
        let section = drawn(&[disc(80, [0.0, 0.0], [200.0, 200.0]), hole(steps, [0.0, 0.0], [a, b])]);
        let room = section.clear_around(&level(), &Point::new(from[0] * a, from[1] * b, 0.0)).unwrap();
        assert_sound(&section, &room);
        assert_near(room.girth_mm, circumference(a, b));
    }
}

fn passage(mesh: Mesh, z: f64) -> Passage {
    let solid = Solid::from_stock(mesh);
    let support = SectionSupport::build(&solid, &Progress::new()).unwrap();
    let plane = Plane::new(Vector::z(), z).unwrap();
    let with_support = support.section(&solid, &plane).clear(&plane);
    assert_eq!(with_support, clear_section(&solid, &plane));
    narrowest_below(&solid, &support, &plane, &Progress::new()).unwrap()
}

#[test]
fn the_way_through_a_torus_is_narrowest_at_its_middle() {
    let torus = || solids::torus(Point::origin(), 130.0, 40.0, 300, 150);
    let Passage::Open { plane, section } = passage(torus(), 20.0) else { panic!("closed") };
    assert!(plane.offset_mm().abs() <= STEP_MM / 2.0 + 1e-9, "{plane:?}");
    assert_near(section.girth_mm, TAU * 90.0);
    // From below the middle it only widens.
    let Passage::Open { plane, section } = passage(torus(), -20.0) else { panic!("closed") };
    assert_eq!(plane.offset_mm(), -20.0);
    assert_near(section.girth_mm, TAU * (130.0 - 1200.0_f64.sqrt()));
    assert_eq!(passage(torus(), 60.0), Passage::NoRoom);
}

#[test]
fn a_hollow_with_a_floor_is_closed() {
    let (outer, inner) = (solids::sphere(Point::origin(), 100.0, 20), solids::sphere(Point::origin(), 95.0, 20));
    let Passage::Closed { plane } = passage(solids::hollow(&outer, &inner), 10.0) else { panic!("open") };
    assert!((plane.offset_mm() + 95.0).abs() <= STEP_MM, "{plane:?}");
    let cuboid = |x: f64, low: f64| solids::cuboid(Point::new(-x, -x, low), Point::new(x, x, 50.0 - low));
    let Passage::Closed { plane } = passage(solids::hollow(&cuboid(90.0, -40.0), &cuboid(80.0, -20.0)), 10.0) else {
        panic!("open")
    };
    assert!(plane.offset_mm() <= -20.0 && plane.offset_mm() >= -20.0 - STEP_MM, "{plane:?}");
}

#[test]
fn the_way_out_can_be_cancelled() {
    let solid = Solid::from_stock(solids::torus(Point::origin(), 130.0, 40.0, 30, 15));
    let support = SectionSupport::build(&solid, &Progress::new()).unwrap();
    let progress = Progress::new();
    progress.cancel();
    assert!(narrowest_below(&solid, &support, &level(), &progress).is_err());
}

use proptest::prelude::*;

use super::outline::{Flat, Outline, facing};
use super::*;
use crate::section::{measure, section};
use crate::{Progress, Solid, Vector, solids};

fn level() -> Plane {
    Plane::new(Vector::z(), 2.0).unwrap()
}

/// A section of the level plane with these outlines: material to the left.
fn drawn(lines: &[Vec<[f64; 2]>]) -> Section {
    let place = |&[x, y]: &[f64; 2]| Point::new(x, y, 2.0);
    Section { loops: lines.iter().map(|line| measure(line.iter().map(place).collect(), true, &level())).collect() }
}

fn thickness(lines: &[Vec<[f64; 2]>]) -> Option<f64> {
    drawn(lines).thinnest_wall(&level()).map(|wall| wall.mm)
}

fn rectangle(low: [f64; 2], high: [f64; 2]) -> Vec<[f64; 2]> {
    vec![low, [high[0], low[1]], high, [low[0], high[1]]]
}

/// `steps` corners at radius `at(angle)`, counter-clockwise.
fn round(steps: u32, at: impl Fn(f64) -> f64) -> Vec<[f64; 2]> {
    let turn = |i: u32| std::f64::consts::TAU * f64::from(i) / f64::from(steps);
    (0..steps).map(turn).map(|a| [at(a) * a.cos(), at(a) * a.sin()]).collect()
}

fn turned_over(mut line: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    line.reverse();
    line
}

fn assert_near(found: Option<f64>, wanted: f64, within: f64) {
    let found = found.unwrap_or(f64::NAN);
    assert!((found - wanted).abs() <= within, "{found} for {wanted}");
}

/// What rays begun inside the ends of edges are wrong by here.
const RAY: f64 = 1e-4;

#[test]
fn a_square_is_as_thick_as_its_side_and_no_corner_is_thin() {
    assert_eq!(thickness(&[rectangle([0.0, 0.0], [10.0, 10.0])]), Some(10.0));
    assert_eq!(thickness(&[rectangle([-3.0, 1.0], [10.0, 3.5])]), Some(2.5));
}

#[test]
fn a_bevel_on_a_corner_is_no_wall() {
    let bevelled = vec![[0.0, 0.0], [10.0, 0.0], [10.0, 9.0], [9.0, 10.0], [0.0, 10.0]];
    assert_near(thickness(&[bevelled]), 10.0, RAY);
}

#[test]
fn a_disc_is_as_thick_as_its_diameter() {
    // Between opposite sides of a polygon with an even number of them: twice its inner radius.
    for steps in [8, 60, 1000] {
        let inner = 2.0 * 7.0 * (std::f64::consts::PI / f64::from(steps)).cos();
        assert_near(thickness(&[round(steps, |_| 7.0)]), inner, RAY);
    }
}

#[test]
fn the_wall_of_a_ring_is_the_difference_of_its_radii() {
    let wall = |steps: u32, hole: f64| thickness(&[round(steps, |_| 20.0), turned_over(round(steps, |_| hole))]);
    for steps in [12, 100, 3000] {
        // Sides are parallel: the inner radii of both polygons differ by the wall.
        let wanted = 1.5 * (std::f64::consts::PI / f64::from(steps)).cos();
        assert_near(wall(steps, 18.5), wanted, RAY);
    }
}

#[test]
fn a_hole_off_the_middle_leaves_the_thinnest_wall_where_it_is_nearest() {
    let off: Vec<[f64; 2]> = turned_over(round(2000, |_| 10.0)).into_iter().map(|[x, y]| [x + 6.0, y]).collect();
    let found = drawn(&[round(2000, |_| 20.0), off]).thinnest_wall(&level()).unwrap();
    assert!((found.mm - 4.0).abs() < 1e-3, "{found:?}");
    let ends = [found.from, found.to].map(|p| p.x);
    assert!((ends[0].min(ends[1]) - 16.0).abs() < 0.01 && (ends[0].max(ends[1]) - 20.0).abs() < 0.01, "{found:?}");
    assert!(found.from.y.abs() < 0.5 && found.from.z == 2.0);
    assert!((nalgebra::distance(&found.from, &found.to) - found.mm).abs() < RAY);
}

#[test]
fn a_slot_thins_the_plate_that_it_is_in() {
    let plate = rectangle([0.0, 0.0], [40.0, 20.0]);
    let slot = turned_over(rectangle([5.0, 6.0], [35.0, 17.0]));
    assert_near(thickness(&[plate, slot]), 3.0, RAY);
}

#[test]
fn the_gap_between_two_islands_is_no_wall() {
    let islands = [rectangle([0.0, 0.0], [10.0, 6.0]), rectangle([10.25, 0.0], [14.0, 9.0])];
    assert_eq!(thickness(&islands), Some(3.75));
}

#[test]
fn a_blunt_wedge_is_thinnest_at_its_small_end() {
    let wedge = |half: f64| vec![[0.0, -half], [100.0, -5.0], [100.0, 5.0], [0.0, half]];
    // Square to one side, from the corner: 2·half·cos(a) ÷ cos(2a) where each side is tilted by a.
    let a = (2.5f64 / 100.0).atan();
    assert_near(thickness(&[wedge(2.5)]), 5.0 * a.cos() / (2.0 * a).cos(), RAY);
}

#[test]
fn a_taper_to_a_point_is_no_wall_but_the_shaft_behind_it_is() {
    assert_eq!(thickness(&[vec![[0.0, 0.0], [100.0, -5.0], [100.0, 5.0]]]), None);
    let pencil = vec![[0.0, 0.0], [20.0, -3.0], [90.0, -3.0], [90.0, 3.0], [20.0, 3.0]];
    assert_near(thickness(&[pencil]), 6.0, RAY);
}

#[test]
fn sides_that_open_wider_than_the_limit_do_not_face_each_other() {
    let fan = |opening_deg: f64| {
        let (sin, cos) = (opening_deg.to_radians() / 2.0).sin_cos();
        vec![[cos, -sin], [30.0 * cos, -30.0 * sin], [30.0 * cos, 30.0 * sin], [cos, sin]]
    };
    let square_to_side = |deg: f64| deg.to_radians().tan();
    assert_near(thickness(&[fan(FACING_DEG - 1.0)]), square_to_side(FACING_DEG - 1.0), RAY);
    // What is left is from end to end.
    assert!(thickness(&[fan(FACING_DEG + 1.0)]).is_none_or(|mm| mm > 20.0));
}

#[test]
fn a_dumbbell_is_thinnest_at_its_grip() {
    let radius = |x: f64| 1.25 + 3.0 * (x / 20.0).powi(2);
    let lower = (-200..=200).map(|i| f64::from(i) / 10.0).map(|x| [x, -radius(x)]);
    let upper = (-200..=200).rev().map(|i| f64::from(i) / 10.0).map(|x| [x, radius(x)]);
    assert_near(thickness(&[lower.chain(upper).collect()]), 2.5, 1e-6);
}

#[test]
fn two_corners_that_point_at_each_other_are_the_narrowest_place() {
    let hourglass = vec![[-5.0, -9.0], [5.0, -9.0], [0.6, 0.0], [5.0, 9.0], [-5.0, 9.0], [-0.6, 0.1]];
    assert_near(thickness(&[hourglass]), 1.2f64.hypot(0.1), 1e-12);
}

#[test]
fn overlapping_shells_are_one_material() {
    // Each square is 4 thick; together they are a bar of 4 by 7. Their overlap, 1 wide, is no wall.
    let bar = [rectangle([0.0, 0.0], [4.0, 4.0]), rectangle([3.0, 0.0], [7.0, 4.0])];
    assert_near(thickness(&bar), 4.0, RAY);
    let stub = [rectangle([0.0, 0.0], [10.0, 10.0]), rectangle([9.5, 3.0], [20.0, 5.0])];
    assert_near(thickness(&stub), 2.0, RAY);
}

#[test]
fn what_encloses_nothing_has_no_wall() {
    assert_eq!(Section::default().thinnest_wall(&level()), None);
    assert_eq!(thickness(&[vec![[0.0, 0.0], [1.0, 0.0]]]), None);
    assert_eq!(thickness(&[vec![[3.0, 3.0]; 7]]), None);
    assert_eq!(thickness(&[turned_over(rectangle([0.0, 0.0], [5.0, 5.0]))]), None);
    let mut open = drawn(&[rectangle([0.0, 0.0], [5.0, 5.0])]);
    open.loops[0].closed = false;
    assert_eq!(open.thinnest_wall(&level()), None);
}

#[test]
fn a_hollow_sphere_cut_off_its_middle_has_the_wall_that_the_plane_meets() {
    let shell = |radius_mm| solids::sphere(Point::origin(), radius_mm, 60);
    let solid = Solid::from_stock(solids::hollow(&shell(50.0), &shell(46.0)));
    let plane = Plane::new(Vector::new(0.3, -0.5, 0.8), 12.0).unwrap();
    let off = plane.offset_mm();
    let wanted = (50.0f64.powi(2) - off * off).sqrt() - (46.0f64.powi(2) - off * off).sqrt();
    assert_near(section(&solid, &plane).thinnest_wall(&plane).map(|wall| wall.mm), wanted, 0.03);
}

/// The least of many rays, each tried against all edges: no tree, no choice of places.
fn by_many_rays(lines: &[Vec<[f64; 2]>]) -> f64 {
    let outline = Outline::of(&drawn(lines), &level()).unwrap();
    let mut least = f64::INFINITY;
    let mut ray = |from: Flat, towards: Flat| {
        let crossed = outline.edges.iter().filter_map(|edge| {
            let (a, b) = (towards.perp(&(edge.from - from)), towards.perp(&(edge.to - from)));
            let at = towards.dot(&(edge.from + (edge.to - edge.from) * (a / (a - b)) - from));
            ((a > 0.0) != (b > 0.0) && at > 1e-9).then_some((at, edge.inwards.dot(&-towards)))
        });
        if let Some((at, squarely)) = crossed.min_by(|a, b| a.0.total_cmp(&b.0))
            && squarely >= facing()
        {
            least = least.min(at);
        }
    };
    for (e, edge) in outline.edges.iter().enumerate() {
        for i in 0..50 {
            let share = (f64::from(i) + 0.5) / 50.0;
            ray(edge.from + (edge.to - edge.from) * share, edge.inwards);
            if outline.points_inwards(e) {
                let next = &outline.edges[edge.after];
                ray(edge.to, (edge.inwards * (1.0 - share) + next.inwards * share).normalize());
            }
        }
    }
    least
}

/// Radius as a sum of waves about a mean.
fn wavy(mean: f64, waves: [(f64, f64); 4]) -> impl Fn(f64) -> f64 {
    move |angle| {
        let wave = |(k, (height, phase)): (usize, (f64, f64))| height * ((k as f64 + 2.0) * angle + phase).sin();
        mean + waves.into_iter().enumerate().map(wave).sum::<f64>()
    }
}

proptest! {
    #[test]
    fn no_ray_finds_a_thinner_wall_and_some_ray_finds_nearly_as_thin_a_one(
        outer in prop::array::uniform4((0.0..0.6_f64, 0.0..6.3_f64)), steps in 150..400_u32,
        inner in prop::array::uniform4((0.0..0.6_f64, 0.0..6.3_f64)), others in 150..400_u32, hollow: bool,
    ) {
        let mut lines = vec![round(steps, wavy(20.0, outer))];
        if hollow {
            lines.push(turned_over(round(others, wavy(14.0, inner))));
        }
        let (found, rays) = (thickness(&lines).unwrap(), by_many_rays(&lines));
        prop_assert!(found <= rays * 1.005 && rays <= found * 1.02, "{found} found, {rays} by rays");
    }

    #[test]
    fn turning_and_moving_a_section_changes_nothing(
        waves in prop::array::uniform4((0.0..0.6_f64, 0.0..6.3_f64)), normal in prop::array::uniform3(-1.0..1.0_f64),
    ) {
        let Ok(plane) = Plane::new(Vector::from(normal), 17.0) else { return Ok(()) };
        let (x, y) = plane.basis();
        let place = |&[a, b]: &[f64; 2]| Point::from(plane.normal() * plane.offset_mm() + x * (a + 300.0) + y * b);
        let lines = [round(200, wavy(20.0, waves)), turned_over(round(150, |_| 12.0))];
        let moved = lines.iter().map(|l| measure(l.iter().map(place).collect(), true, &plane)).collect();
        let found = Section { loops: moved }.thinnest_wall(&plane).unwrap();
        prop_assert!((found.mm - thickness(&lines).unwrap()).abs() < 1e-3);
        prop_assert!(plane.distance_mm(&found.from).abs() < 1e-9 && plane.distance_mm(&found.to).abs() < 1e-9);
    }

    #[test]
    fn any_lines_at_all_give_an_answer(lines in prop::collection::vec(prop::collection::vec(
        prop::array::uniform2(prop_oneof![-3.0..3.0_f64, (-3..4_i8).prop_map(f64::from), Just(f64::NAN), Just(1e300)]),
        1..30), 0..6))
    {
        if let Some(found) = drawn(&lines).thinnest_wall(&level()) {
            prop_assert!(found.mm >= 0.0);
        }
    }
}

#[test]
fn the_support_and_the_plain_section_have_the_same_wall() {
    let solid = Solid::from_stock(solids::torus(Point::origin(), 20.0, 7.0, 100, 60));
    let support = crate::SectionSupport::build(&solid, &Progress::new()).unwrap();
    let plane = Plane::new(Vector::new(0.2, 0.1, 1.0), 1.0).unwrap();
    let walls = [support.section(&solid, &plane), section(&solid, &plane)].map(|s| s.thinnest_wall(&plane));
    assert!(walls[0].is_some());
    assert_eq!(walls[0], walls[1]);
}

use super::*;
use crate::{Mesh, Motion, Progress, Vector, section, solids};

fn at(mesh: &Mesh, plane: &Plane, within_deg: f64) -> (Section, Vec<Graze>, Solid, SectionSupport) {
    let solid = Solid::from_stock(mesh.clone());
    let support = SectionSupport::build(&solid, &Progress::new()).unwrap();
    let (outline, grazes) = support.section_and_grazes(&solid, plane, within_deg);
    assert_eq!(outline, section(&solid, plane), "the outline is that of a section");
    (outline, grazes, solid, support)
}

fn level(z: f64) -> Plane {
    Plane::new(Vector::z(), z).unwrap()
}

/// A wedge 100 mm long and 40 mm wide, rising from nothing by `deg`.
fn wedge(deg: f64) -> Mesh {
    let high = 100.0 * deg.to_radians().tan();
    let mut mesh = Mesh::default();
    for y in [0.0, 40.0] {
        mesh.vertices.extend([Point::new(0.0, y, 0.0), Point::new(100.0, y, 0.0), Point::new(100.0, y, high)]);
    }
    mesh.triangles = vec![[0, 1, 2], [3, 5, 4], [0, 3, 4], [0, 4, 1], [1, 4, 5], [1, 5, 2], [0, 2, 5], [0, 5, 3]];
    mesh
}

#[test]
fn a_slope_is_grazed_over_its_width_at_its_angle() {
    for deg in [2.0, 8.0, 14.0] {
        let mesh = wedge(deg);
        assert!(mesh.volume_mm3() > 0.0);
        let (_, grazes, solid, support) = at(&mesh, &level(1.0), 15.0);
        let [graze] = grazes.as_slice() else { panic!("{grazes:?}") };
        assert!((graze.length_mm - 40.0).abs() < 1e-9 && (graze.angle_deg - deg).abs() < 1e-6, "{graze:?}");
        assert!((graze.middle.x - 1.0 / deg.to_radians().tan()).abs() < 1e-9);
        assert_eq!(graze.side, Side::Above, "the slope looks up: what is above it begins with nothing");
        let lip = support.widest_lip(&solid, &level(1.0), &grazes, 0.4).unwrap();
        let width = 0.4 / deg.to_radians().tan();
        assert!((lip.width_mm.unwrap() - width).abs() < 1e-6, "{lip:?} for {width}");
    }
    assert!(at(&wedge(16.0), &level(1.0), 15.0).1.is_empty());
}

#[test]
fn what_lies_below_a_slope_that_looks_down_ends_in_a_lip() {
    let turned = wedge(8.0).transformed(&Motion::rotation(Vector::x() * std::f64::consts::PI));
    let (_, grazes, ..) = at(&turned, &level(-1.0), 15.0);
    assert_eq!(grazes.iter().map(|graze| graze.side).collect::<Vec<_>>(), [Side::Below]);
}

#[test]
fn a_box_is_not_grazed_however_it_stands() {
    let cube = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(60.0, 40.0, 30.0));
    assert!(at(&cube, &level(10.0), 15.0).1.is_empty());
    // Along a side, the outline is that of the walls.
    assert!(at(&cube, &level(30.0), 15.0).1.is_empty());
    // Turned by ten degrees, it is grazed where the plane comes through its top.
    let turned = cube.transformed(&Motion::rotation(Vector::y() * 10_f64.to_radians()));
    let (_, grazes, ..) = at(&turned, &level(28.0), 15.0);
    assert_eq!(grazes.len(), 1, "{grazes:?}");
    assert!((grazes[0].length_mm - 40.0).abs() < 1e-6 && (grazes[0].angle_deg - 10.0).abs() < 1e-6);
}

#[test]
fn a_ball_is_grazed_all_round_near_its_pole_and_nowhere_else() {
    let ball = solids::sphere(Point::origin(), 50.0, 64);
    let (outline, grazes, solid, support) = at(&ball, &level(49.0), 15.0);
    // The surface leans there by the arc cosine of height over radius.
    let expected = (49.0_f64 / 50.0).acos().to_degrees();
    let total: f64 = grazes.iter().map(|graze| graze.length_mm).sum();
    assert!(total > 0.95 * outline.length_mm(), "{total} of {}", outline.length_mm());
    assert!((grazes[0].angle_deg - expected).abs() < 1.0, "{} for {expected}", grazes[0].angle_deg);
    let radius = |z: f64| (2500.0 - z * z).sqrt();
    let lip = support.widest_lip(&solid, &level(49.0), &grazes, 0.4).unwrap();
    assert!((lip.width_mm.unwrap() - (radius(49.0) - radius(49.4))).abs() < 0.3, "{lip:?}");
    assert!(at(&ball, &level(40.0), 15.0).1.is_empty());
}

#[test]
fn a_lip_that_never_grows_thick_has_no_end() {
    let ball = solids::sphere(Point::origin(), 50.0, 64);
    let (_, grazes, solid, support) = at(&ball, &level(49.7), 15.0);
    assert_eq!(support.widest_lip(&solid, &level(49.7), &grazes, 0.4).unwrap().width_mm, None);
    assert_eq!(support.widest_lip(&solid, &level(0.0), &[], 0.4), None);
}

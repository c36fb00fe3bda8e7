//! Where channels go: along the middle, centred, ended below the surface; and rods that fit.

use parry3d::math::{Pose, Vector as TheirVector};
use parry3d::query::{distance, intersection_test};
use parry3d::shape::{ConvexPolyhedron, TriMesh};
use seamwright_geometry::bore::{
    Channel, End, Extra, LineFit, Middle, SectionShape, Tip, Walls, bore, centre_line, sides_for,
};
use seamwright_geometry::{CutOutcome, Mesh, Plane, Point, Progress, Solid, Vector, cut, solids};

const OPEN: [End; 2] = [End::Open, End::Open];

fn round(diameter_mm: f64) -> SectionShape {
    SectionShape::Round { diameter_mm, sides: sides_for(diameter_mm, 0.01) }
}

fn support(solid: &Solid) -> Walls {
    Walls::build(solid, &Progress::new()).unwrap()
}

fn near(a: f64, b: f64, off: f64) {
    assert!((a - b).abs() <= off, "{a} is not {b}");
}

/// A blade: a box that narrows to an edge in z and bends in x, `steps` slices along z.
fn blade(steps: u32, bend_mm: f64) -> Mesh {
    let mut mesh = solids::grid_box(Point::new(-10.0, -6.0, 0.0), Point::new(10.0, 6.0, 300.0), [4, 2, steps]);
    for p in &mut mesh.vertices {
        let share = p.z / 300.0;
        let narrow = 1.0 - 0.6 * share;
        (p.x, p.y) = (p.x * narrow + bend_mm * share * share, p.y * narrow);
    }
    mesh
}

#[test]
fn a_blind_end_in_a_ball_keeps_its_distance_in_every_direction() {
    let radius = 30.0;
    let ball = Solid::from_stock(solids::sphere(Point::origin(), radius, 80));
    let walls = support(&ball);
    for (diameter, keep) in [(8.0, 3.0), (16.0, 5.0), (2.0, 10.0)] {
        let line = vec![Point::new(0.0, 0.0, -40.0), Point::new(0.0, 0.0, 25.0)];
        let channel = Channel::new(line, round(diameter), [End::Open, End::At]).unwrap();
        let end = walls.blind_end(&ball, &channel, Tip::Last, keep).unwrap();
        near(end.exit.z, radius, 0.05);
        near(end.wall_mm, keep, 1e-4 * keep);
        // The rim of the flat end is nearest to the surface: it lies on a ball that is smaller by the distance.
        let corner = diameter / 2.0 / (std::f64::consts::PI / f64::from(sides_for(diameter, 0.01))).cos();
        near(end.place.z, ((radius - keep).powi(2) - corner.powi(2)).sqrt(), 0.05);
        let line = vec![Point::new(0.0, 0.0, -40.0), end.place];
        let channel = Channel::new(line, round(diameter), [End::Open, End::At]).unwrap();
        let bored = bore(&ball, &channel, 0, &Progress::new()).unwrap();
        assert_eq!(bored.entries.len(), 1);
        assert!(walls.least(&ball, &channel, 1.0).least.unwrap().wall_mm <= keep * (1.0 + 1e-4));
    }
    // Nowhere on the run.
    let line = vec![Point::new(0.0, 0.0, 0.0), Point::new(0.0, 0.0, 25.0)];
    let channel = Channel::new(line, round(8.0), [End::Open, End::At]).unwrap();
    assert_eq!(walls.blind_end(&ball, &channel, Tip::Last, 31.0), None);
}

#[test]
fn centring_finds_the_middle_of_a_box_and_says_the_gain() {
    let block = Solid::from_stock(solids::cuboid(Point::new(-10.0, -7.0, 0.0), Point::new(10.0, 7.0, 80.0)));
    let walls = support(&block);
    let line = vec![Point::new(4.0, -2.0, 0.0), Point::new(-5.0, 1.0, 80.0)];
    let channel = Channel::new(line, round(6.0), OPEN).unwrap();
    let centred = walls.centred(&block, &channel, &[], &Progress::new()).unwrap();
    near(centred.before_mm, 2.0, 0.05);
    near(centred.after_mm, 4.0, 0.05);
    // One that runs out is brought in.
    let line = vec![Point::new(9.0, -2.0, 0.0), Point::new(-9.5, 6.0, 80.0)];
    let channel = Channel::new(line, round(6.0), OPEN).unwrap();
    let centred = walls.centred(&block, &channel, &[], &Progress::new()).unwrap();
    assert_eq!(centred.before_mm, 0.0);
    near(centred.after_mm, 4.0, 0.05);
}

#[test]
fn a_line_is_fitted_along_the_middle_straight_or_in_runs() {
    let fit = |middle, most_runs| LineFit { middle, most_runs, within_mm: 0.3 };
    let (from, to) = (Point::new(3.0, 1.0, 0.0), Point::new(3.0, 1.0, 300.0));
    let straight = Solid::from_stock(blade(60, 0.0));
    for middle in [Middle::Centroid, Middle::Deepest] {
        let found = centre_line(&straight, from, to, &fit(middle, 4), &Progress::new()).unwrap().unwrap();
        assert_eq!(found.line.len(), 2);
        // Along a ridge of equally deep places any is taken; but none is shallower than the middle.
        let off = if middle == Middle::Centroid { 1e-6 } else { 4.1 };
        assert!(found.off_mm <= off && found.line.iter().all(|p| p.x.abs() <= off && p.y.abs() <= 0.05), "{found:?}");
        near(found.line[0].z, 0.0, 1e-6);
        near(found.line[1].z, 300.0, 1e-6);
    }
    let bent = Solid::from_stock(blade(60, 25.0));
    let one = centre_line(&bent, from, to, &fit(Middle::Centroid, 1), &Progress::new()).unwrap().unwrap();
    let many = centre_line(&bent, from, to, &fit(Middle::Centroid, 6), &Progress::new()).unwrap().unwrap();
    assert!(one.off_mm > 2.0 && many.off_mm <= 0.3 && many.line.len() > 2 && many.line.len() <= 7, "{many:?}");
    // The bent line can be bored, and the rod of several runs leaves a wall all along.
    let channel = Channel::new(many.line, round(3.0), OPEN).unwrap();
    let profile = support(&bent).least(&bent, &channel, 0.5);
    assert!(profile.broken.is_empty() && profile.least.unwrap().wall_mm > 0.5, "{profile:?}");
    assert_eq!(bore(&bent, &channel, 0, &Progress::new()).unwrap().entries.len(), 2);
    assert_eq!(centre_line(&bent, from, from, &fit(Middle::Centroid, 1), &Progress::new()).unwrap(), None);
}

fn theirs(mesh: &Mesh) -> TriMesh {
    let vertices = mesh.vertices.iter().map(|p| TheirVector::new(p.x, p.y, p.z)).collect();
    TriMesh::new(vertices, mesh.triangles.clone()).unwrap()
}

/// A rod as a polyhedron whose corners lie on its circle, from place to place.
fn rod(from: Point, to: Point, diameter_mm: f64) -> ConvexPolyhedron {
    let along = (to - from).normalize();
    let (u, v) = Plane::through(from, along).unwrap().basis();
    let ring = |at: Point| {
        (0..90).map(move |i| {
            let turn = f64::from(i) * std::f64::consts::TAU / 90.0;
            let p = at + (u * turn.cos() + v * turn.sin()) * (diameter_mm / 2.0);
            TheirVector::new(p.x, p.y, p.z)
        })
    };
    let points: Vec<TheirVector> = ring(from).chain(ring(to)).collect();
    ConvexPolyhedron::from_convex_hull(&points).unwrap()
}

#[test]
fn a_rod_of_nominal_diameter_touches_nothing_in_any_piece_and_a_thicker_one_does() {
    let ring = Solid::from_stock(solids::torus(Point::origin(), 60.0, 14.0, 90, 40));
    let (from, to) = (Point::new(60.0, -30.0, -3.0), Point::new(58.0, 30.0, 4.0));
    let shapes = [
        round(8.4),
        SectionShape::Teardrop { diameter_mm: 8.4, sides: 32 },
        SectionShape::FlatRoof { diameter_mm: 8.4, sides: 32 },
        SectionShape::Slit { diameter_mm: 8.4, sides: 32, reach_mm: 90.0 },
        SectionShape::Square { across_flats_mm: 8.4 },
        SectionShape::Hexagon { across_flats_mm: 8.4 },
    ];
    for shape in shapes {
        let channel = Channel::new(vec![from, to], shape, OPEN).unwrap().with_up(Vector::z());
        let into = to - from;
        let pocket = Extra::Pocket {
            mouth: channel.place_at(14.0),
            into,
            shape: SectionShape::Hexagon { across_flats_mm: 13.0 },
            depth_mm: 4.0,
            lead_mm: 2.0,
        };
        let channel = channel.with_extra(pocket).unwrap();
        let bored = bore(&ring, &channel, 0, &Progress::new()).unwrap().solid;
        let plane = Plane::new(Vector::new(0.2, 1.0, 0.4), 2.0).unwrap();
        let CutOutcome::Parted(parted) = cut(&bored, &plane, 0, &Progress::new()).unwrap() else { panic!() };
        for piece in [&bored.mesh, &parted.below.mesh, &parted.above.mesh] {
            let piece = theirs(piece);
            let meets = |diameter_mm: f64| {
                intersection_test(&Pose::IDENTITY, &piece, &Pose::IDENTITY, &rod(from, to, diameter_mm))
                    .unwrap()
                    .intersecting
            };
            assert!(!meets(8.0), "{shape:?}: the rod does not fit");
            assert!(!meets(8.39), "{shape:?}: a rod that just fits does not");
            assert!(meets(8.6) || matches!(shape, SectionShape::Slit { .. }), "{shape:?}: a rod too thick fits");
        }
    }
}

#[test]
fn a_line_tells_where_it_is_in_the_material() {
    let room = |r: f64| solids::cuboid(Point::new(-r, -r, -r), Point::new(r, r, r));
    let hollow = Solid::from_stock(solids::hollow(&room(20.0), &room(16.0)));
    let walls = support(&hollow);
    let spans = |line: Vec<Point>, ends| walls.spans(&hollow, &Channel::new(line, round(4.0), ends).unwrap());
    // Along diagonals of faces too.
    for x in [0.0, 3.0] {
        let line = vec![Point::new(x, 0.0, -30.0), Point::new(x, 0.0, 18.0)];
        assert_eq!(spans(line.clone(), OPEN), [[10.0, 14.0], [46.0, 50.0]]);
        assert_eq!(spans(line, [End::Open, End::At]), [[10.0, 14.0], [46.0, 48.0]]);
    }
    let bent = vec![Point::new(1.0, 0.0, -18.0), Point::new(1.0, 0.0, 0.0), Point::new(30.0, 0.0, 0.0)];
    assert_eq!(spans(bent, OPEN), [[-2.0, 2.0], [33.0, 37.0]]);
    assert!(walls.holds(&hollow, &Point::new(0.0, 0.0, 18.0)) && !walls.holds(&hollow, &Point::origin()));
}

#[test]
fn centring_does_not_leave_the_material_for_a_thicker_wall() {
    let block = Solid::from_stock(solids::cuboid(Point::new(-10.0, -7.0, 0.0), Point::new(10.0, 7.0, 80.0)));
    let walls = support(&block);
    // One end in the air, as far as can be from every surface.
    let line = vec![Point::new(1.0, 1.0, 20.0), Point::new(2.0, 0.0, 95.0)];
    let channel = Channel::new(line, round(6.0), [End::At, End::At]).unwrap();
    let centred = walls.centred(&block, &channel, &[], &Progress::new()).unwrap();
    near(centred.after_mm, 4.0, 0.05);
    assert!(centred.channel.line().iter().all(|p| p.coords.amax() < 100.0));
}

#[test]
fn the_least_wall_is_the_distance_that_a_collision_library_finds() {
    // Nearer to the middle of the ring than its tube, the rod comes nearest to the surface halfway, beside it.
    let ring = Solid::from_stock(solids::torus(Point::origin(), 60.0, 14.0, 120, 60));
    let walls = support(&ring);
    let tori = theirs(&ring.mesh);
    for (x, z, lean) in [(55.0, 0.0, 0.0), (54.0, 3.0, 0.5), (56.0, -4.0, -0.4), (52.0, 1.0, 0.2)] {
        let (from, to) = (Point::new(x, -12.0, z), Point::new(x + lean, 12.0, z - lean / 2.0));
        let channel = Channel::new(vec![from, to], round(5.0), OPEN).unwrap();
        let least = walls.least(&ring, &channel, 1.0).least.unwrap();
        let rod = rod(from, to, 5.0);
        let expected = distance(&Pose::IDENTITY, &tori, &Pose::IDENTITY, &rod).unwrap();
        near(least.wall_mm, expected.distance, 0.02);
        near(nalgebra::distance(&least.place, &least.towards), least.wall_mm + 2.5, 0.2);
    }
}

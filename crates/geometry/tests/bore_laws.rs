//! What holds for every bore: closed, volumes add up, nothing else is touched; then formulas.

use seamwright_geometry::bore::{BoreError, Bored, Channel, End, Extra, SectionShape, Walls, bore};
use seamwright_geometry::{FaceOrigin, Mesh, Point, Progress, Solid, Vector, edge_report, solids};

const LABEL: u32 = 3;

fn round(diameter_mm: f64, sides: u32) -> SectionShape {
    SectionShape::Round { diameter_mm, sides }
}

/// Area of the outline of a round channel: n r² tan(π / n).
fn area(diameter_mm: f64, sides: u32) -> f64 {
    f64::from(sides) * (diameter_mm / 2.0).powi(2) * (std::f64::consts::PI / f64::from(sides)).tan()
}

fn channel(from: [f64; 3], to: [f64; 3], shape: SectionShape, ends: [End; 2]) -> Channel {
    Channel::new(vec![Point::from(from), Point::from(to)], shape, ends).unwrap()
}

fn bored(mesh: &Mesh, channel: &Channel) -> Bored {
    let solid = Solid::from_stock(mesh.clone());
    let bored = bore(&solid, channel, LABEL, &Progress::new()).unwrap();
    check_laws(&solid, &bored);
    bored
}

fn check_laws(solid: &Solid, bored: &Bored) {
    let mesh = &bored.solid.mesh;
    assert_eq!(mesh.triangles.len(), bored.solid.origins.len());
    assert!(edge_report(mesh).closed(), "open: {:?}", edge_report(mesh));
    let mut used = vec![false; mesh.vertices.len()];
    for (i, t) in mesh.triangles.iter().enumerate() {
        assert!(t[0] != t[1] && t[1] != t[2] && t[2] != t[0], "collapsed face {t:?}");
        let [a, b, c] = mesh.corners(i);
        assert!((b - a).cross(&(c - a)).norm() > 0.0, "face without area {a} {b} {c} {:?}", bored.solid.origins[i]);
        t.iter().for_each(|&v| used[v as usize] = true);
    }
    assert!(used.iter().all(|u| *u), "vertices that no face uses");
    let difference = solid.mesh.volume_mm3() - mesh.volume_mm3();
    let scale = solid.mesh.bounds().map_or(1.0, |b| b.diagonal().powi(3));
    assert!((bored.removed_mm3 - difference).abs() <= 1e-12 * scale, "{} for {difference}", bored.removed_mm3);
    assert!(bored.solid.origins.iter().all(|o| o.stock_face().is_some() || o.bore_label() == Some(LABEL)));
}

fn near(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * b.abs(), "{a} is not {b}");
}

fn walls(solid: &Solid) -> usize {
    solid.origins.iter().filter(|origin| **origin == FaceOrigin::bore(LABEL)).count()
}

const OPEN: [End; 2] = [End::Open, End::Open];

#[test]
fn a_bored_cube_lacks_the_outline_times_its_height() {
    let cube = solids::cuboid(Point::new(-10.0, -10.0, -10.0), Point::new(10.0, 10.0, 10.0));
    let through = bored(&cube, &channel([1.0, 2.0, -1.0], [1.0, 2.0, 1.0], round(6.0, 16), OPEN));
    near(through.removed_mm3, area(6.0, 16) * 20.0, 1e-9);
    assert_eq!(through.entries.len(), 2);
    near(through.entries[0].at_mm, -9.0, 1e-9);
    near(through.entries[1].at_mm, 11.0, 1e-9);
    assert!(walls(&through.solid) >= 32);
    let blind = bored(&cube, &channel([1.0, 2.0, -4.0], [1.0, 2.0, 1.0], round(6.0, 16), [End::At, End::Open]));
    near(blind.removed_mm3, area(6.0, 16) * 14.0, 1e-9);
    assert_eq!(blind.entries.len(), 1);
    let within = bored(&cube, &channel([1.0, 2.0, -4.0], [1.0, 2.0, 1.0], round(6.0, 16), [End::At, End::At]));
    near(within.removed_mm3, area(6.0, 16) * 5.0, 1e-9);
    assert!(within.entries.is_empty());
}

#[test]
fn a_bored_sphere_keeps_what_its_height_alone_says() {
    // What is left of a ball bored through its middle depends on the height of the ring alone (the napkin-ring theorem):
    // π h³ / 6. A channel with n flats around the circle takes a little more, a faceted ball has a little less.
    let ball = solids::sphere(Point::origin(), 30.0, 60);
    for diameter in [10.0, 24.0, 40.0] {
        let sides = 128;
        let left = bored(&ball, &channel([0.0, 0.0, -1.0], [0.3, 0.2, 1.0], round(diameter, sides), OPEN));
        let height = 2.0 * (30.0f64.powi(2) - (diameter / 2.0).powi(2)).sqrt();
        near(left.solid.mesh.volume_mm3(), std::f64::consts::PI * height.powi(3) / 6.0, 6e-3);
        assert_eq!(left.entries.len(), 2);
    }
}

#[test]
fn a_hollow_model_keeps_its_cavity_and_both_walls_are_pierced() {
    let block = |r: f64| solids::cuboid(Point::new(-r, -r, -r), Point::new(r, r, r));
    let hollow = solids::hollow(&block(20.0), &block(16.0));
    let through = bored(&hollow, &channel([1.0, 2.0, 0.0], [1.0, 2.0, 5.0], round(6.0, 16), OPEN));
    near(through.removed_mm3, area(6.0, 16) * 8.0, 1e-9);
    assert_eq!(through.entries.len(), 4);
}

#[test]
fn shells_that_the_channel_does_not_touch_stay_as_they_are() {
    let cube = |x: f64| solids::cuboid(Point::new(x, 0.0, 0.0), Point::new(x + 5.0, 5.0, 5.0));
    let two = solids::joined(&[&cube(0.0), &cube(10.0)]);
    let one = bored(&two, &channel([2.5, 2.5, 0.0], [2.5, 2.5, 5.0], round(2.0, 16), OPEN));
    near(one.removed_mm3, area(2.0, 16) * 5.0, 1e-9);
    let missed = bored(&two, &channel([7.5, 2.5, 0.0], [7.5, 2.5, 5.0], round(2.0, 16), OPEN));
    assert_eq!((missed.removed_mm3, missed.entries.len(), &missed.solid.mesh), (0.0, 0, &two));
}

#[test]
fn a_channel_larger_than_the_model_leaves_nothing() {
    let cube = solids::cuboid(Point::origin(), Point::new(5.0, 5.0, 5.0));
    let all = bored(&cube, &channel([2.5, 2.5, 0.0], [2.5, 2.5, 5.0], round(20.0, 16), OPEN));
    assert!(all.solid.mesh.triangles.is_empty());
    near(all.removed_mm3, 125.0, 1e-12);
}

#[test]
fn a_countersink_and_a_nut_pocket_are_taken_away_with_the_channel() {
    let cube = solids::cuboid(Point::new(-10.0, -10.0, -10.0), Point::new(10.0, 10.0, 10.0));
    let plain = channel([0.3, 0.2, -1.0], [0.3, 0.2, 1.0], round(5.0, 16), OPEN);
    let mouth = |z: f64| Point::new(0.3, 0.2, z);
    let both = plain
        .with_extra(Extra::Countersink {
            mouth: mouth(10.0),
            into: -Vector::z(),
            diameter_mm: 11.0,
            narrow_mm: 5.0,
            angle_deg: 90.0,
            sides: 16,
            lead_mm: 1.0,
        })
        .unwrap()
        .with_extra(Extra::Pocket {
            mouth: mouth(-10.0),
            into: Vector::z(),
            shape: SectionShape::Hexagon { across_flats_mm: 8.0 },
            depth_mm: 4.0,
            lead_mm: 1.0,
        })
        .unwrap();
    let through = bored(&cube, &both);
    let (rod, cone) = (area(5.0, 16), |d: f64| area(d, 16));
    let frustum = 3.0 / 3.0 * (cone(11.0) + cone(5.0) + (cone(11.0) * cone(5.0)).sqrt());
    let hexagon = 64.0 * 3f64.sqrt() / 2.0;
    near(through.removed_mm3, rod * (20.0 - 3.0 - 4.0) + frustum + hexagon * 4.0, 2e-3);
    assert_eq!(through.entries.len(), 2);
}

#[test]
fn the_wall_around_a_channel_is_what_it_is_on_known_shapes() {
    let block = Solid::from_stock(solids::cuboid(Point::new(-10.0, -20.0, -30.0), Point::new(10.0, 20.0, 30.0)));
    let support = Walls::build(&block, &Progress::new()).unwrap();
    let along = channel([1.0, 2.0, -30.0], [1.0, 2.0, 30.0], round(6.0, 32), OPEN);
    let profile = support.least(&block, &along, 6.5);
    assert!(profile.cells.len() > 100);
    assert!(profile.cells.iter().all(|at| (at.wall_mm - 6.0).abs() < 1e-9 && (at.towards.x - 10.0).abs() < 1e-9));
    near(profile.least.unwrap().wall_mm, 6.0, 1e-9);
    assert_eq!((profile.thin.len(), profile.broken.len()), (1, 0));
    assert!(support.least(&block, &along, 5.5).thin.is_empty());
    // A line that runs out at a slant.
    let slanted = channel([0.0, 0.0, -20.0], [9.0, 0.0, 20.0], round(6.0, 32), [End::At, End::At]);
    let profile = support.least(&block, &slanted, 1.0);
    assert_eq!(profile.broken.len(), 1);
    assert!(profile.broken[0].to_mm > 40.9 && profile.broken[0].from_mm > 25.0, "{:?}", profile.broken);
    // A blind end: the way ahead counts.
    let blind = channel([0.0, 0.0, -30.0], [0.0, 0.0, 26.0], round(6.0, 32), [End::Open, End::At]);
    near(support.least(&block, &blind, 1.0).least.unwrap().wall_mm, 4.0, 1e-9);
    // In a cavity there is no wall.
    let room = |r: f64| solids::cuboid(Point::new(-r, -r, -r), Point::new(r, r, r));
    let hollow = Solid::from_stock(solids::hollow(&room(20.0), &room(16.0)));
    let support = Walls::build(&hollow, &Progress::new()).unwrap();
    let through = channel([0.0, 0.0, -20.0], [0.0, 0.0, 20.0], round(6.0, 32), OPEN);
    let profile = support.least(&hollow, &through, 1.0);
    assert!(profile.cells.iter().all(|at| (at.wall_mm - 17.0).abs() < 1e-9 && at.place.z.abs() > 15.5));
    assert!(profile.broken.is_empty());
}

#[test]
fn open_stock_is_bored_beside_its_opening_and_refused_where_that_is_in_the_way() {
    let cube = solids::cuboid(Point::new(-10.0, -10.0, -10.0), Point::new(10.0, 10.0, 10.0));
    let is_top = |t: &[u32; 3]| t.iter().all(|v| cube.vertices[*v as usize].z == 10.0);
    let cup = Mesh { triangles: cube.triangles.iter().copied().filter(|t| !is_top(t)).collect(), ..cube.clone() };
    let sheet = Mesh { triangles: cube.triangles.iter().copied().filter(is_top).collect(), ..cube.clone() };
    let bore =
        |mesh: &Mesh, channel: &Channel| bore(&Solid::from_stock(mesh.clone()), channel, LABEL, &Progress::new());
    let upright = channel([1.0, 2.0, -1.0], [1.0, 2.0, 1.0], round(6.0, 16), OPEN);
    for open in [&cup, &sheet] {
        let error = bore(open, &upright).unwrap_err();
        assert!(matches!(error, BoreError::Open { .. }) && error.to_string().contains("fill its holes"), "{error}");
    }
    let level = channel([-1.0, 2.0, 1.0], [1.0, 2.0, 1.0], round(6.0, 16), OPEN);
    let beside = bore(&cup, &level).unwrap();
    near(beside.removed_mm3, area(6.0, 16) * 20.0, 1e-9);
    assert_eq!(edge_report(&beside.solid.mesh).open, edge_report(&cup).open);
}

#[test]
fn a_channel_along_a_face_an_edge_or_a_corner_is_an_answer() {
    let cube = solids::cuboid(Point::origin(), Point::new(8.0, 8.0, 8.0));
    let square = SectionShape::Square { across_flats_mm: 2.0 };
    for (x, y, removed) in [
        // Its side in a face, from within: what is left of that wall goes too.
        (7.0, 4.0, 32.0),
        // And from without: as good as nothing goes.
        (9.0, 4.0, 0.0),
        // Along an edge, and beside it.
        (8.0, 8.0, 8.0),
        (7.0, 7.0, 32.0),
        (9.0, 9.0, 0.0),
        (9.0, 7.0, 0.0),
        // Half in.
        (8.0, 4.0, 16.0),
    ] {
        let left = bored(&cube, &channel([x, y, -1.0], [x, y, 2.0], square, OPEN));
        assert!((left.removed_mm3 - removed).abs() <= 1e-3, "at {x}, {y}: {}", left.removed_mm3);
    }
    // A flat end in a face: open, not closed by a sheet without thickness.
    let flush = bored(&cube, &channel([4.0, 4.0, 3.0], [4.0, 4.0, 8.0], square, [End::At, End::At]));
    assert!((flush.removed_mm3 - 20.0).abs() <= 1e-3);
    assert_eq!(flush.entries.len(), 1);
}

#[test]
fn a_round_channel_that_touches_a_face_or_lies_along_an_edge_is_an_answer() {
    let cube = solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 20.0));
    let sides = 16;
    let whole = area(6.0, sides) * 20.0;
    let at = |x: f64, y: f64| {
        let along = channel([x, y, -1.0], [x, y, 21.0], round(6.0, sides), OPEN).with_up(Vector::y());
        bored(&cube, &along).removed_mm3
    };
    // The flat towards the face lies in it, from within: all of the channel goes.
    assert!((at(17.0, 10.0) - whole).abs() <= 1e-3 * whole, "{}", at(17.0, 10.0));
    // From without: as good as nothing.
    assert!(at(23.0, 10.0) <= 1e-3 * whole);
    // Its line in a face, and along an edge: a half and a quarter of it, since a flat looks to each side.
    assert!((at(20.0, 10.0) - whole / 2.0).abs() <= 1e-3 * whole);
    assert!((at(20.0, 20.0) - whole / 4.0).abs() <= 1e-3 * whole);
    // Just within, and just without.
    assert!((at(17.0 - 1e-9, 10.0) - whole).abs() <= 1e-3 * whole && at(23.0 + 1e-9, 10.0) <= 1e-3 * whole);
}

#[test]
fn a_channel_that_starts_outside_takes_away_what_lies_in_its_way() {
    let cube = solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 20.0));
    let outline = area(6.0, 16);
    for (from, to, ends, expected) in [
        // Up to its last point, wherever it starts.
        (-50.0, 5.0, [End::At, End::At], 5.0),
        (-50.0, 5.0, [End::Open, End::At], 5.0),
        (-50.0, 70.0, [End::At, End::At], 20.0),
        // It stops before the model, or runs on into it.
        (-50.0, -1.0, [End::At, End::At], 0.0),
        (-50.0, -1.0, [End::At, End::Open], 20.0),
        // It begins beyond the model and leads away.
        (21.0, 70.0, [End::At, End::Open], 0.0),
        (21.0, 70.0, [End::Open, End::Open], 20.0),
    ] {
        let one = bored(&cube, &channel([10.3, 9.8, from], [10.3, 9.8, to], round(6.0, 16), ends));
        assert!((one.removed_mm3 - outline * expected).abs() <= 1e-6, "from {from} to {to}: {}", one.removed_mm3);
    }
}

#[test]
fn a_blind_hole_in_a_cylinder_lacks_its_outline_times_its_depth() {
    // A rod of 48 flats, bored along its axis from one end.
    let mut rod = solids::grid_box(Point::new(-1.0, -1.0, 0.0), Point::new(1.0, 1.0, 50.0), [12, 12, 10]);
    for p in &mut rod.vertices {
        let (most, length) = (p.x.abs().max(p.y.abs()), p.x.hypot(p.y));
        let stretch = if length > 0.0 { 12.0 * most / length } else { 0.0 };
        (p.x, p.y) = (p.x * stretch, p.y * stretch);
    }
    let blind = bored(&rod, &channel([0.0, 0.0, -5.0], [0.0, 0.0, 30.0], round(7.0, 32), [End::Open, End::At]));
    near(blind.removed_mm3, area(7.0, 32) * 30.0, 1e-9);
    assert_eq!(blind.entries.len(), 1);
    let through = bored(&rod, &channel([0.0, 0.0, -5.0], [0.0, 0.0, 30.0], round(7.0, 32), OPEN));
    near(through.removed_mm3, area(7.0, 32) * 50.0, 1e-9);
}

#[test]
fn what_is_told_in_less_time_has_the_same_least_wall() {
    let ring = Solid::from_stock(solids::torus(Point::origin(), 60.0, 14.0, 90, 50));
    let ball = Solid::from_stock(solids::sphere(Point::origin(), 40.0, 30));
    for solid in [&ring, &ball] {
        let support = Walls::build(solid, &Progress::new()).unwrap();
        for (from, to) in [
            ([-70.0, 3.0, 1.0], [70.0, -4.0, 2.0]),
            ([0.0, 0.0, -50.0], [0.0, 0.0, 50.0]),
            ([60.0, -40.0, 0.0], [55.0, 40.0, 3.0]),
            ([5.0, 30.0, -2.0], [9.0, -35.0, 10.0]),
        ] {
            let along = channel(from, to, round(5.0, 24), OPEN);
            let (exact, roughly) = (support.least(solid, &along, 1.2), support.least_roughly(solid, &along, 1.2, 0.1));
            assert_eq!(exact.least.map(|at| at.wall_mm), roughly.least.map(|at| at.wall_mm));
            assert_eq!((exact.thin.len(), exact.broken.len()), (roughly.thin.len(), roughly.broken.len()));
            assert_eq!(exact.cells.len(), roughly.cells.len());
            for (a, b) in exact.cells.iter().zip(&roughly.cells) {
                assert!(
                    b.wall_mm >= a.wall_mm && b.wall_mm <= a.wall_mm / 0.9 + 1e-9,
                    "{} for {}",
                    b.wall_mm,
                    a.wall_mm
                );
            }
        }
    }
}

#[test]
fn a_blind_channel_into_an_open_shell_says_what_is_wrong_and_what_mends_it() {
    let cube = solids::cuboid(Point::new(-10.0, -10.0, -10.0), Point::new(10.0, 10.0, 10.0));
    let is_top = |t: &[u32; 3]| t.iter().all(|v| cube.vertices[*v as usize].z == 10.0);
    let mut turned = cube.clone();
    turned.triangles.iter_mut().filter(|t| is_top(t)).for_each(|t| t.swap(0, 1));
    let cup = Mesh { triangles: cube.triangles.iter().copied().filter(|t| !is_top(t)).collect(), ..cube.clone() };
    let blind = channel([1.0, 2.0, 15.0], [1.0, 2.0, -5.0], round(6.0, 16), [End::Open, End::At]);
    let refused = |mesh: &Mesh| bore(&Solid::from_stock(mesh.clone()), &blind, LABEL, &Progress::new()).unwrap_err();
    let open = refused(&cup).to_string();
    assert!(open.contains("4 of its edges have a face on one side only"), "{open}");
    assert!(open.contains("fill its holes") && open.contains("\"fill holes\""), "{open}");
    let BoreError::Open { off_mm, .. } = refused(&cup) else { panic!("{open}") };
    assert!(off_mm > 3.0 && off_mm < 20.0, "{off_mm}");
    let turned = refused(&turned).to_string();
    assert!(turned.contains("look opposite ways") && turned.contains("turn shells outwards"), "{turned}");
}

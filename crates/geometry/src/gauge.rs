//! What is measured on a model with calipers and tape: thickness at a place, girth round it.

use rayon::prelude::*;

use crate::hull::{Point2, convex_polygon};
use crate::{Mesh, Plane, Point, Section, SectionLoop, Vector};

/// The face of `mesh` that is nearest to `at`, a place on the surface: the nearest place on it, and which way it looks (unit
/// length). `None` where no face has an area.
///
/// All faces are looked at: for one place, not for many.
pub fn nearest_face(mesh: &Mesh, at: &Point) -> Option<(Point, Vector)> {
    let near = |face: usize| {
        let [a, b, c] = mesh.corners(face);
        let outward = (b - a).cross(&(c - a)).try_normalize(0.0)?;
        let place = crate::closest::on_triangle(at, &[a, b, c]);
        let distance = nalgebra::distance_squared(&place, at);
        distance.is_finite().then_some((distance, face, place, outward))
    };
    // Of faces that share the place, always the first of the file.
    let faces = (0..mesh.triangles.len()).into_par_iter().filter_map(near);
    let (_, _, place, outward) = faces.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
    Some((place, outward))
}

/// The place where the material ends that begins at `at`, a place on the surface, and goes on along `inward`: the nearest
/// face that is met from within. `None` where nothing is met, as on an open surface, or `inward` has no length.
///
/// All faces are looked at: for one place, not for many.
pub fn far_side(mesh: &Mesh, at: &Point, inward: &Vector) -> Option<Point> {
    let way = inward.try_normalize(0.0)?;
    let size = mesh.bounds()?.diagonal();
    let least = SKIN_SHARE * size;
    let meets = |face: usize| {
        let corners = mesh.corners(face);
        let along = along_to(&corners, at, &way)?;
        (along > least && along.is_finite()).then_some(along)
    };
    let nearest = (0..mesh.triangles.len()).into_par_iter().filter_map(meets).reduce(|| f64::INFINITY, f64::min);
    nearest.is_finite().then(|| at + way * nearest)
}

/// Faces nearer than this, as a share of the model's diagonal, are those that `at` lies on: a place that was picked is
/// rounded. Our own choice, no source.
const SKIN_SHARE: f64 = 1e-6;

/// How far along the line a face is met from within; `None` where the line passes it, or comes from outside.
fn along_to([a, b, c]: &[Point; 3], at: &Point, way: &Vector) -> Option<f64> {
    let normal = (b - a).cross(&(c - a));
    let leaving = normal.dot(way);
    if leaving <= 0.0 {
        return None;
    }
    // Twice the signed areas that the line's place makes with the sides, seen along it (as in T. Möller and B. Trumbore,
    // "Fast, minimum storage ray/triangle intersection", 1997). All of one sign, or 0 on a side.
    let [a, b, c] = [a, b, c].map(|p| p - at);
    let inside = [a.cross(&b), b.cross(&c), c.cross(&a)].iter().all(|side| side.dot(way) >= 0.0);
    inside.then(|| a.dot(&normal) / leaving)
}

/// What a tape measures round a model.
#[derive(Clone, Debug, PartialEq)]
pub struct Girth {
    /// The line that it lies along.
    pub line: SectionLoop,
    /// How long the line is, into every hollow, mm.
    pub along_mm: f64,
    /// How long a tape is that is drawn taut over all hollows, mm.
    pub taut_mm: f64,
}

impl Section {
    /// What a tape measures that lies along this section, made by `plane`, and passes `at`: of the lines that close, the one
    /// that comes nearest. `None` without any.
    pub fn girth_at(&self, plane: &Plane, at: &Point) -> Option<Girth> {
        let off = |line: &&SectionLoop| distance_to(at, line);
        let line = self.loops.iter().filter(|line| line.closed).min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let (u, v) = plane.basis();
        let flat = |p: &Point| Point2::new(u.dot(&(p - at)), v.dot(&(p - at)));
        let corners =
            convex_polygon(line.points.iter().map(flat).filter(|p| p.x.is_finite() && p.y.is_finite()).collect());
        let next = |i: usize| corners[(i + 1) % corners.len()];
        let taut_mm = (0..corners.len()).map(|i| nalgebra::distance(&corners[i], &next(i))).sum();
        Some(Girth { along_mm: line.length_mm, taut_mm, line: line.clone() })
    }
}

fn distance_to(at: &Point, line: &SectionLoop) -> f64 {
    let next = line.points.iter().cycle().skip(1);
    let edges = line.points.iter().zip(next);
    let off = |(a, b): (&Point, &Point)| {
        let run = b - a;
        let along =
            if run.norm_squared() > 0.0 { ((at - a).dot(&run) / run.norm_squared()).clamp(0.0, 1.0) } else { 0.0 };
        nalgebra::distance(at, &(a + run * along))
    };
    edges.map(off).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Solid, section, solids};

    #[test]
    fn a_wall_is_as_thick_as_it_was_made() {
        let outer = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(100.0, 60.0, 40.0));
        let inner = solids::cuboid(Point::new(4.0, 3.0, 2.0), Point::new(96.0, 57.0, 38.0));
        let hollow = solids::hollow(&outer, &inner);
        let thickness = |at: [f64; 3], way: Vector| {
            let at = Point::from(at);
            far_side(&hollow, &at, &way).map(|far| (far - at).norm())
        };
        for (at, way, mm) in [
            ([0.0, 30.0, 20.0], Vector::x(), 4.0),
            ([50.0, 60.0, 20.0], -Vector::y(), 3.0),
            ([50.0, 30.0, 0.0], Vector::z() * 7.0, 2.0),
            // From the inside, outwards.
            ([96.0, 30.0, 20.0], Vector::x(), 4.0),
            // Slanted: 4 mm over the cosine of 45°.
            ([0.0, 30.0, 20.0], Vector::new(1.0, 1.0, 0.0), 32f64.sqrt()),
        ] {
            let found = thickness(at, way).unwrap();
            assert!((found - mm).abs() < 1e-9, "{found} for {mm}");
        }
        assert_eq!(thickness([0.0, 30.0, 20.0], -Vector::x()), None, "outwards there is nothing");
        assert_eq!(thickness([0.0, 30.0, 20.0], Vector::zeros()), None);
        assert_eq!(far_side(&Mesh::default(), &Point::origin(), &Vector::x()), None);
    }

    #[test]
    fn a_ball_is_as_thick_as_it_is_wide() {
        let ball = solids::sphere(Point::new(3.0, 4.0, 5.0), 25.0, 30);
        let far = far_side(&ball, &Point::new(3.0, 4.0, 30.0), &-Vector::z()).unwrap();
        assert!((far - Point::new(3.0, 4.0, -20.0)).norm() < 0.1, "{far}");
    }

    #[test]
    fn girth_is_told_along_the_line_and_taut() {
        let bar = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(30.0, 20.0, 100.0));
        let other = solids::cuboid(Point::new(200.0, 0.0, 0.0), Point::new(205.0, 5.0, 100.0));
        let both = Solid::from_stock(solids::joined(&[&bar, &other]));
        let plane = Plane::new(Vector::z(), 50.0).unwrap();
        let of = |at: [f64; 3]| section(&both, &plane).girth_at(&plane, &Point::from(at)).unwrap();
        let girth = of([30.0, 10.0, 50.0]);
        assert!((girth.along_mm - 100.0).abs() < 1e-9 && (girth.taut_mm - 100.0).abs() < 1e-9);
        assert!((of([200.0, 2.0, 50.0]).along_mm - 20.0).abs() < 1e-9, "the line that passes the place");
        assert_eq!(Section::default().girth_at(&plane, &Point::origin()), None);
    }

    #[test]
    fn a_taut_tape_passes_over_a_notch() {
        // An L: its hollow corner is 20 × 20 mm of 40 × 40 mm.
        let corners = [[0.0, 0.0], [40.0, 0.0], [40.0, 20.0], [20.0, 20.0], [20.0, 40.0], [0.0, 40.0]];
        let points = corners.map(|[x, y]| Point::new(x, y, 0.0)).to_vec();
        let line = SectionLoop { points, closed: true, length_mm: 160.0, area_mm2: 1200.0 };
        let plane = Plane::new(Vector::z(), 0.0).unwrap();
        let girth = Section { loops: vec![line] }.girth_at(&plane, &Point::origin()).unwrap();
        assert!((girth.taut_mm - (120.0 + 800f64.sqrt())).abs() < 1e-9);
        assert_eq!(girth.along_mm, 160.0);
    }
}

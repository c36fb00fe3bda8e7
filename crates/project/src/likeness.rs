//! A likeness: a small shaded picture of a model, to know it again by in a list of files. No more of the model is in it
//! than can be seen in a picture of that size.

use seamwright_geometry::{Cancelled, Mesh, Point, Progress, Vector};

/// Points of the picture along each side: about as many as the largest is shown at. Our own choice, no source.
pub const SIDE: usize = 80;

/// Strengths of the ink: 0 is paper.
pub const STRENGTHS: u8 = 16;

/// The lightest that a surface is drawn, so that it stands out from the paper. Our own choice, no source.
const LIGHTEST: f64 = 3.0;

/// Where it is seen from: so far round from the front, and so far from above, degrees. Our own choice, no source.
const AROUND_DEG: f64 = 30.0;
const ABOVE_DEG: f64 = 18.0;

/// After so many faces it is asked whether anybody still wants it.
const ASK_EVERY: usize = 100_000;

/// A picture of [`SIDE`] × [`SIDE`] points in strengths of one ink, row by row from the top.
#[derive(Clone, PartialEq, Eq)]
pub struct Likeness(Vec<u8>);

impl std::fmt::Debug for Likeness {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Likeness").field(&self.inked()).finish()
    }
}

impl Likeness {
    /// Draws `meshes` together as they stand; `None` where nothing is to be seen.
    pub fn of(meshes: &[&Mesh], progress: &Progress) -> Result<Option<Likeness>, Cancelled> {
        let view = View::new();
        let Some(sheet) = Sheet::around(meshes, &view) else { return Ok(None) };
        let mut nearest = vec![f64::NEG_INFINITY; SIDE * SIDE];
        let mut ink = vec![0; SIDE * SIDE];
        for mesh in meshes {
            for (face, corners) in mesh.triangles.iter().enumerate() {
                if face % ASK_EVERY == 0 {
                    progress.check()?;
                }
                let corners = corners.map(|v| mesh.vertices[v as usize]);
                let Some(strength) = view.strength(&corners) else { continue };
                sheet.cover(corners.map(|p| view.seen(&p)), |at, depth| {
                    if depth > nearest[at] {
                        (nearest[at], ink[at]) = (depth, strength);
                    }
                });
            }
        }
        let likeness = Likeness(ink);
        Ok((likeness.inked() > 0).then_some(likeness))
    }

    /// The strengths of the ink, each below [`STRENGTHS`].
    pub fn strengths(&self) -> &[u8] {
        &self.0
    }

    /// How many points are not left as paper.
    pub fn inked(&self) -> usize {
        self.0.iter().filter(|ink| **ink > 0).count()
    }

    /// As it is kept: a hexadecimal digit for each point.
    pub fn to_text(&self) -> String {
        self.0.iter().filter_map(|ink| char::from_digit(u32::from(*ink), 16)).collect()
    }

    /// From how it is kept; `None` for what is no likeness.
    pub fn from_text(text: &str) -> Option<Likeness> {
        let ink: Option<Vec<u8>> = text.chars().map(|c| c.to_digit(16).map(|digit| digit as u8)).collect();
        ink.filter(|ink| ink.len() == SIDE * SIDE).map(Likeness)
    }
}

/// The directions of the picture.
struct View {
    right: Vector,
    up: Vector,
    /// From the thing to the eye.
    toward: Vector,
    light: Vector,
}

impl View {
    fn new() -> View {
        let (around, above) = (AROUND_DEG.to_radians(), ABOVE_DEG.to_radians());
        let toward = Vector::new(around.sin() * above.cos(), -around.cos() * above.cos(), above.sin());
        let right = Vector::new(around.cos(), around.sin(), 0.0);
        let up = toward.cross(&right);
        View { right, up, toward, light: (toward + up * 1.2 - right * 0.8).normalize() }
    }

    /// To the right, up, and toward the eye.
    fn seen(&self, p: &Point) -> [f64; 3] {
        [self.right, self.up, self.toward].map(|axis| p.coords.dot(&axis))
    }

    /// The strength that a face is drawn in, whichever way it is turned; `None` where it has no area.
    fn strength(&self, [a, b, c]: &[Point; 3]) -> Option<u8> {
        let normal = (b - a).cross(&(c - a)).try_normalize(0.0).filter(|n| n.iter().all(|x| x.is_finite()))?;
        let lit = (normal * normal.dot(&self.toward).signum()).dot(&self.light).max(0.0);
        let darkest = f64::from(STRENGTHS - 1);
        Some((LIGHTEST + (1.0 - lit) * (darkest - LIGHTEST)).round() as u8)
    }
}

/// How what is seen lies on the picture.
struct Sheet {
    left: f64,
    top: f64,
    points_per_mm: f64,
}

impl Sheet {
    /// As large as it goes with one point free all round, in the middle.
    fn around(meshes: &[&Mesh], view: &View) -> Option<Sheet> {
        let seen = meshes.iter().flat_map(|mesh| mesh.vertices.iter()).map(|p| view.seen(p));
        let range = |range: Option<[f64; 4]>, [x, y, _]: [f64; 3]| match range {
            _ if !(x.is_finite() && y.is_finite()) => range,
            None => Some([x, x, y, y]),
            Some([x0, x1, y0, y1]) => Some([x0.min(x), x1.max(x), y0.min(y), y1.max(y)]),
        };
        let [x0, x1, y0, y1] = seen.fold(None, range)?;
        let longest = (x1 - x0).max(y1 - y0);
        let points_per_mm = (SIDE as f64 - 2.0) / longest;
        let half = SIDE as f64 / 2.0 / points_per_mm;
        let sheet = Sheet { left: (x0 + x1) / 2.0 - half, top: (y0 + y1) / 2.0 + half, points_per_mm };
        points_per_mm.is_finite().then_some(sheet)
    }

    /// Calls `draw` for every point whose middle is within the face, and for the one at the face's middle, however small
    /// the face is.
    fn cover(&self, corners: [[f64; 3]; 3], mut draw: impl FnMut(usize, f64)) {
        let corners =
            corners.map(|[x, y, d]| [(x - self.left) * self.points_per_mm, (self.top - y) * self.points_per_mm, d]);
        let [a, b, c] = corners;
        let most = SIDE - 1;
        let at = |x: f64, y: f64| (y as usize).min(most) * SIDE + (x as usize).min(most);
        let middle = [0, 1, 2].map(|k| (a[k] + b[k] + c[k]) / 3.0);
        draw(at(middle[0], middle[1]), middle[2]);
        let across = |p: [f64; 3], q: [f64; 3], x: f64, y: f64| (q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]);
        let area = across(a, b, c[0], c[1]);
        let span = |k: usize| {
            let (low, high) = (a[k].min(b[k]).min(c[k]), a[k].max(b[k]).max(c[k]));
            (low as usize).min(most)..=(high as usize).min(most)
        };
        if area == 0.0 {
            return;
        }
        for row in span(1) {
            for column in span(0) {
                let (x, y) = (column as f64 + 0.5, row as f64 + 0.5);
                let [wa, wb, wc] = [across(b, c, x, y), across(c, a, x, y), across(a, b, x, y)].map(|w| w / area);
                if wa >= 0.0 && wb >= 0.0 && wc >= 0.0 {
                    draw(row * SIDE + column, wa * a[2] + wb * b[2] + wc * c[2]);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::solids;

    fn of(mesh: &Mesh) -> Option<Likeness> {
        Likeness::of(&[mesh], &Progress::new()).unwrap()
    }

    #[test]
    fn a_tall_thing_is_drawn_tall_with_a_light_top_and_kept_as_it_is() {
        let tall = of(&solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 100.0))).unwrap();
        let rows = tall.strengths().chunks(SIDE).filter(|row| row.iter().any(|ink| *ink > 0)).count();
        let columns = (0..SIDE).filter(|x| (0..SIDE).any(|y| tall.strengths()[y * SIDE + x] > 0)).count();
        assert!(rows >= SIDE - 3 && columns < SIDE / 2, "{rows} × {columns}");
        let column: Vec<u8> =
            tall.strengths().iter().skip(SIDE / 2).step_by(SIDE).copied().filter(|i| *i > 0).collect();
        assert!(column[1] < column[column.len() / 2], "light comes from above: {column:?}");
        assert_eq!(Likeness::from_text(&tall.to_text()), Some(tall));
    }

    #[test]
    fn what_is_nearer_hides_what_is_behind_in_any_order() {
        let near = solids::cuboid(Point::new(0.0, -50.0, 0.0), Point::new(40.0, -40.0, 40.0));
        let far = solids::cuboid(Point::new(0.0, 40.0, 0.0), Point::new(40.0, 50.0, 40.0));
        let drawn = |meshes: &[&Mesh]| Likeness::of(meshes, &Progress::new()).unwrap().unwrap();
        assert_eq!(drawn(&[&near, &far]), drawn(&[&far, &near]));
    }

    #[test]
    fn what_has_no_form_has_no_likeness() {
        assert_eq!(of(&Mesh { vertices: Vec::new(), triangles: Vec::new() }), None);
        let point = Mesh { vertices: vec![Point::origin(); 3], triangles: vec![[0, 1, 2]] };
        assert_eq!(of(&point), None);
        let mut odd = solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 20.0));
        odd.vertices[0].x = f64::NAN;
        assert!(of(&odd).is_some(), "one corner that is nowhere does not take the rest away");
        assert_eq!([Likeness::from_text("12"), Likeness::from_text("x")], [None, None]);
    }

    #[test]
    fn it_can_be_cancelled() {
        let progress = Progress::new();
        progress.cancel();
        let cube = solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 20.0));
        assert!(Likeness::of(&[&cube], &progress).is_err());
    }
}

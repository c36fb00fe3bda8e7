//! Channels as polyhedra.

use super::channel::{Channel, End, Extra};
use crate::predicates::orient_3d;
use crate::{Bounds, Mesh, Point, Vector, closest};

/// A closed polyhedron with flat convex facets: what is taken away. Its corners are exact numbers; so is that the corners of
/// a facet lie in one plane.
#[derive(Clone, Debug)]
pub(crate) struct Tool {
    pub corners: Vec<Point>,
    /// Corners of each facet, counter-clockwise as seen from outside.
    pub facets: Vec<Vec<u32>>,
    /// A line along its middle; no corner is farther from it than `reach_mm`.
    pub middle: Vec<Point>,
    pub reach_mm: f64,
}

impl Channel {
    /// What the channel and each of its extras take away, as closed meshes, from a solid that lies in `bounds`: open ends
    /// reach out of it.
    pub fn meshes(&self, bounds: &Bounds) -> Vec<Mesh> {
        self.tools(bounds, 0.0).iter().map(|tool| tool.mesh().0).collect()
    }

    /// The channel and its extras, one after the other, with all their sides and flat ends moved outwards by `grown_mm`.
    /// Open ends reach out of `bounds`.
    pub(crate) fn tools(&self, bounds: &Bounds, grown_mm: f64) -> Vec<Tool> {
        let mut tools = vec![self.tool(bounds, grown_mm)];
        tools.extend(self.extras().iter().map(|extra| tool_of(extra, grown_mm)));
        tools
    }

    fn tool(&self, bounds: &Bounds, grown_mm: f64) -> Tool {
        let frames = self.frames();
        let outline = self.shape().outline(grown_mm);
        let reach = outline.iter().map(|p| p[0].hypot(p[1])).fold(0.0, f64::max);
        let mut line = self.line().to_vec();
        let last = line.len() - 1;
        for (point, run, sign, end) in [(0, 0, -1.0, self.ends()[0]), (last, frames.len() - 1, 1.0, self.ends()[1])] {
            let towards = frames[run][2] * sign;
            let farther = match end {
                End::At => grown_mm,
                End::Open => {
                    (farthest(bounds, &towards) - line[point].coords.dot(&towards)).max(0.0)
                        + bounds.diagonal() * BEYOND_SHARE
                        + reach
                }
            };
            line[point] += towards * farther;
        }
        let largest = line.iter().map(|p| p.coords.amax() + 2.0 * reach).fold(0.0, f64::max);
        let lattice = Lattice::for_numbers_to(largest);
        let [right, up, _] = frames[0];
        let first = outline.iter().map(|p| lattice.place(&(line[0] + right * p[0] + up * p[1]))).collect();
        let mut rings: Vec<Vec<Point>> = vec![first];
        for (run, [.., along]) in frames.iter().enumerate() {
            let ring = &rings[run];
            let next = if frames.len() == 1 {
                let step = lattice.step(&(line[1] - line[0]));
                ring.iter().map(|p| p + step).collect()
            } else {
                let along = lattice.direction(along);
                let square = frames.get(run + 1).map_or(frames[run][2], |after| frames[run][2] + after[2]);
                let ahead = |p: &Point| (line[run + 1] - p).dot(&square) / along.dot(&square);
                ring.iter().map(|p| p + along * lattice.share(ahead(p))).collect()
            };
            rings.push(next);
        }
        Tool::of_rings(&rings, line)
    }
}

/// How far beyond the bounds an open end reaches, beside the reach of the channel, as a share of their diagonal: enough
/// that rounding does not matter.
const BEYOND_SHARE: f64 = 1e-3;

/// How far a box reaches in a direction.
fn farthest(bounds: &Bounds, towards: &Vector) -> f64 {
    (0..3).map(|k| towards[k] * if towards[k] > 0.0 { bounds.max[k] } else { bounds.min[k] }).sum()
}

fn tool_of(extra: &Extra, grown_mm: f64) -> Tool {
    let frame = |into: &Vector| {
        let along = into.normalize();
        let up = super::channel::square_to(Vector::ith(along.iamin(), 1.0), along).unwrap_or_else(Vector::z);
        [up.cross(&along), up, along]
    };
    match *extra {
        Extra::Pocket { mouth, into, shape, depth_mm, lead_mm } => {
            let [right, up, along] = frame(&into);
            let line = vec![mouth - along * (lead_mm + grown_mm), mouth + along * (depth_mm + grown_mm)];
            let outline = shape.outline(grown_mm);
            let reach = outline.iter().map(|p| p[0].hypot(p[1])).fold(0.0, f64::max);
            let largest = line.iter().map(|p| p.coords.amax() + reach).fold(0.0, f64::max);
            let lattice = Lattice::for_numbers_to(largest);
            let step = lattice.step(&(line[1] - line[0]));
            let ring: Vec<Point> =
                outline.iter().map(|p| lattice.place(&(line[0] + right * p[0] + up * p[1]))).collect();
            let end = ring.iter().map(|p| p + step).collect();
            Tool::of_rings(&[ring, end], line)
        }
        Extra::Countersink { mouth, into, diameter_mm, narrow_mm, angle_deg, sides, lead_mm } => {
            let [right, up, along] = frame(&into);
            let depth = (diameter_mm - narrow_mm) / 2.0 / (angle_deg / 2.0).to_radians().tan();
            let ring = |off: f64, diameter_mm: f64| -> Vec<Point> {
                let outline = super::SectionShape::Round { diameter_mm, sides }.outline(grown_mm);
                outline.iter().map(|p| mouth + along * off + right * p[0] + up * p[1]).collect()
            };
            let far = depth + grown_mm;
            let mut rings = vec![ring(0.0, diameter_mm), ring(far, narrow_mm)];
            let mut line = vec![mouth, mouth + along * far];
            if lead_mm + grown_mm > 0.0 {
                rings.insert(0, ring(-lead_mm - grown_mm, diameter_mm));
                line.insert(0, mouth - along * (lead_mm + grown_mm));
            }
            Tool::of_rings(&rings, line)
        }
    }
}

/// Numbers so coarse that sums of them are exact: corners of a run that differ by multiples of one direction lie in planes
/// without rounding.
struct Lattice {
    place: f64,
    share: f64,
}

/// Directions have so many bits behind the point; they are then off by 6·10⁻⁸, a tenth of a thousandth of a millimetre in a
/// metre.
const DIRECTION: f64 = (1u64 << 24) as f64;

impl Lattice {
    /// For places and lengths up to `largest`: 2⁻⁵⁰ of it at most, which leaves two bits for sums.
    fn for_numbers_to(largest: f64) -> Lattice {
        let place = largest.log2().ceil().clamp(-900.0, 900.0) - 50.0;
        Lattice { place: place.exp2(), share: place.exp2() * DIRECTION }
    }

    fn place(&self, p: &Point) -> Point {
        p.map(|x| rounded(x, self.place))
    }

    fn step(&self, v: &Vector) -> Vector {
        v.map(|x| rounded(x, self.place))
    }

    fn direction(&self, v: &Vector) -> Vector {
        v.map(|x| rounded(x, 1.0 / DIRECTION))
    }

    fn share(&self, x: f64) -> f64 {
        rounded(x, self.share)
    }
}

/// The multiple of a power of two that is nearest to `x`.
fn rounded(x: f64, unit: f64) -> f64 {
    (x / unit).round() * unit
}

impl Tool {
    /// Rings of as many corners each, counter-clockwise as seen against the way from the first to the last, joined by walls
    /// and closed by flat ends.
    fn of_rings(rings: &[Vec<Point>], middle: Vec<Point>) -> Tool {
        let corners = rings.concat();
        let count = rings[0].len() as u32;
        let mut tool = Tool { reach_mm: 0.0, corners, facets: Vec::new(), middle };
        for ring in 0..rings.len() as u32 - 1 {
            for i in 0..count {
                let (a, b) = (ring * count + i, ring * count + (i + 1) % count);
                tool.add(vec![a, b, b + count, a + count]);
            }
        }
        let last = (rings.len() as u32 - 1) * count;
        tool.add((0..count).rev().collect());
        tool.add((last..last + count).collect());
        let off = |p: &Point| {
            let near = |pair: &[Point]| nalgebra::distance(p, &closest::on_segment(p, &pair[0], &pair[1]));
            tool.middle.windows(2).map(near).fold(f64::INFINITY, f64::min)
        };
        tool.reach_mm = tool.corners.iter().map(off).fold(0.0, f64::max);
        tool
    }

    /// Adds a facet, parted into triangles where its corners are not exactly in one plane.
    fn add(&mut self, facet: Vec<u32>) {
        let at = |i: u32| &self.corners[i as usize];
        let is_flat = facet[3..].iter().all(|v| orient_3d(at(facet[0]), at(facet[1]), at(facet[2]), at(*v)) == 0.0);
        if is_flat {
            self.facets.push(facet);
        } else {
            let fans = (1..facet.len() - 1).map(|i| vec![facet[0], facet[i], facet[i + 1]]);
            self.facets.extend(fans);
        }
    }

    /// As a mesh, with the facet that each of its faces is part of.
    pub fn mesh(&self) -> (Mesh, Vec<u32>) {
        let mut mesh = Mesh { vertices: self.corners.clone(), triangles: Vec::new() };
        let mut of_facet = Vec::new();
        for (i, facet) in (0..).zip(&self.facets) {
            for k in 1..facet.len() - 1 {
                mesh.triangles.push([facet[0], facet[k], facet[k + 1]]);
                of_facet.push(i);
            }
        }
        (mesh, of_facet)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bore::SectionShape;
    use crate::edge_report;

    fn bounds() -> Bounds {
        Bounds { min: Point::new(-20.0, -30.0, -40.0), max: Point::new(25.0, 35.0, 45.0) }
    }

    const ROUND: SectionShape = SectionShape::Round { diameter_mm: 6.0, sides: 12 };

    #[test]
    fn a_channel_between_two_points_has_its_outline_times_its_length() {
        let line = vec![Point::new(1.0, 2.0, 3.0), Point::new(7.0, -5.0, 9.0)];
        let tool = Channel::new(line.clone(), ROUND, [End::At, End::At]).unwrap().tool(&bounds(), 0.0);
        let (mesh, _) = tool.mesh();
        assert!(edge_report(&mesh).closed());
        let area = 12.0 * 9.0 * (std::f64::consts::PI / 12.0).tan();
        let volume = area * nalgebra::distance(&line[0], &line[1]);
        assert!((mesh.volume_mm3() / volume - 1.0).abs() < 1e-9);
        // Walls are exactly flat: none was parted.
        assert_eq!(tool.facets.iter().filter(|f| f.len() == 4).count(), 12);
    }

    #[test]
    fn walls_along_bends_are_flat_and_keep_the_outline() {
        let line = vec![
            Point::new(0.0, 0.0, 0.0),
            Point::new(1.0, 2.0, 60.0),
            Point::new(15.0, -9.0, 110.0),
            Point::new(10.0, 3.0, 190.0),
        ];
        let channel = Channel::new(line.clone(), ROUND, [End::At, End::At]).unwrap();
        let tool = channel.tool(&bounds(), 0.0);
        let (mesh, _) = tool.mesh();
        assert!(edge_report(&mesh).closed());
        assert_eq!(tool.facets.iter().filter(|f| f.len() == 4).count(), 36);
        let area = 12.0 * 9.0 * (std::f64::consts::PI / 12.0).tan();
        // What a mitre adds outside it lacks inside.
        assert!((mesh.volume_mm3() / (area * channel.length_mm()) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn open_ends_are_clear_of_the_bounds_whatever_the_direction() {
        for to in [Point::new(0.0, 0.0, 5.0), Point::new(-3.0, 4.0, 5.0), Point::new(300.0, 0.1, 0.0)] {
            let channel = Channel::new(vec![Point::origin(), to], ROUND, [End::Open, End::Open]).unwrap();
            let tool = channel.tool(&bounds(), 0.0);
            let along = (to - Point::origin()).normalize();
            let half = tool.corners.len() / 2;
            let off = |p: &Point| p.coords.dot(&along);
            assert!(tool.corners[half..].iter().all(|p| off(p) > farthest(&bounds(), &along)));
            assert!(tool.corners[..half].iter().all(|p| off(p) < -farthest(&bounds(), &-along)));
        }
    }

    #[test]
    fn extras_are_closed_and_have_their_measures() {
        let extra = Extra::Countersink {
            mouth: Point::new(0.0, 0.0, 10.0),
            into: -Vector::z(),
            diameter_mm: 10.0,
            narrow_mm: 5.0,
            angle_deg: 90.0,
            sides: 32,
            lead_mm: 1.0,
        };
        let (mesh, _) = tool_of(&extra, 0.0).mesh();
        assert!(edge_report(&mesh).closed());
        let bounds = mesh.bounds().unwrap();
        assert!((bounds.max.z - 11.0).abs() < 1e-12 && (bounds.min.z - 7.5).abs() < 1e-12);
        let area = |d: f64| 32.0 * (d / 2.0).powi(2) * (std::f64::consts::PI / 32.0).tan();
        let frustum = 2.5 / 3.0 * (area(10.0) + area(5.0) + (area(10.0) * area(5.0)).sqrt());
        assert!((mesh.volume_mm3() / (area(10.0) + frustum) - 1.0).abs() < 1e-9);
    }
}

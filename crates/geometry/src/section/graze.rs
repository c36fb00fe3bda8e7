//! Where a plane grazes a surface: both run nearly alike there, and one side of a cut ends in a thin lip.

use rustc_hash::FxHashMap;

use super::{Section, SectionSupport, drawn};
use crate::cut::OutlineEdge;
use crate::{Plane, Point, Side, Solid};

/// A stretch of an outline along which the surface runs within some degrees of the plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Graze {
    /// Its edges, mm.
    pub lines: Vec<[Point; 2]>,
    /// Their length, mm.
    pub length_mm: f64,
    /// The angle between plane and surface, 0 to 90 degrees: the mean over the length.
    pub angle_deg: f64,
    /// A place on the outline near the middle of the stretch.
    pub middle: Point,
    /// The side of the plane that ends in a lip there, on most of the length.
    pub side: Side,
}

impl SectionSupport {
    /// The outline of `plane` on `solid`, as [`section`](Self::section) gives it, and the stretches of it along which the
    /// surface runs within `within_deg` of the plane, the longest first. Faces that lie in the plane have no outline of
    /// their own; what counts is the surface that meets them.
    pub fn section_and_grazes(&self, solid: &Solid, plane: &Plane, within_deg: f64) -> (Section, Vec<Graze>) {
        let (edges, points) = self.edges(solid, plane);
        let place = |v: u32| match solid.mesh.vertices.get(v as usize) {
            Some(p) => *p,
            None => points[v as usize - solid.mesh.vertices.len()],
        };
        let grazes = grazes(solid, plane, &edges, place, within_deg);
        (drawn(solid, plane, (edges, points)), grazes)
    }
}

/// An edge of the outline along which the surface is shallow.
struct Shallow {
    ends: [u32; 2],
    line: [Point; 2],
    length_mm: f64,
    angle_deg: f64,
    side: Side,
}

fn grazes(
    solid: &Solid,
    plane: &Plane,
    edges: &[OutlineEdge],
    place: impl Fn(u32) -> Point,
    within_deg: f64,
) -> Vec<Graze> {
    let least_cos = within_deg.to_radians().cos();
    let shallow = |edge: &OutlineEdge| {
        let [a, b, c] = solid.mesh.corners(edge.face as usize);
        let cos = (b - a).cross(&(c - a)).try_normalize(0.0)?.dot(&plane.normal());
        let line = [edge.from, edge.to].map(&place);
        let length_mm = (line[1] - line[0]).norm();
        // Where the surface looks up, it rises over the section: what is above ends in a lip.
        let side = if cos > 0.0 { Side::Above } else { Side::Below };
        let angle_deg = cos.abs().min(1.0).acos().to_degrees();
        (cos.abs() > least_cos).then_some(Shallow { ends: [edge.from, edge.to], line, length_mm, angle_deg, side })
    };
    let shallow: Vec<Shallow> = edges.iter().filter_map(shallow).collect();
    let mut together: FxHashMap<u32, u32> = FxHashMap::default();
    for edge in &shallow {
        let [a, b] = edge.ends.map(|v| root(&mut together, v));
        together.insert(a.max(b), a.min(b));
    }
    let mut stretches: FxHashMap<u32, Vec<&Shallow>> = FxHashMap::default();
    for edge in &shallow {
        stretches.entry(root(&mut together, edge.ends[0])).or_default().push(edge);
    }
    let mut grazes: Vec<Graze> = stretches.into_values().filter_map(|edges| Graze::of(&edges)).collect();
    // Of two as long, the one that comes first in space, so that the same is told every time.
    let order = |a: &Graze, b: &Graze| {
        b.length_mm.total_cmp(&a.length_mm).then_with(|| {
            a.middle.coords.as_slice().partial_cmp(b.middle.coords.as_slice()).unwrap_or(std::cmp::Ordering::Equal)
        })
    };
    grazes.sort_by(order);
    grazes
}

impl Graze {
    /// `None` for edges that have no length together.
    fn of(edges: &[&Shallow]) -> Option<Graze> {
        let sum = |of: &dyn Fn(&Shallow) -> f64| edges.iter().map(|edge| of(edge) * edge.length_mm).sum::<f64>();
        let length_mm = sum(&|_| 1.0);
        if length_mm.is_nan() || length_mm <= 0.0 {
            return None;
        }
        let middles = || edges.iter().map(|edge| nalgebra::center(&edge.line[0], &edge.line[1]));
        let mean = middles().zip(edges).map(|(p, edge)| p.coords * edge.length_mm).sum::<crate::Vector>() / length_mm;
        let mean = Point::from(mean);
        let off = |p: &Point| nalgebra::distance_squared(p, &mean);
        let middle = middles().min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let above = sum(&|edge| if edge.side == Side::Above { 1.0 } else { -1.0 });
        Some(Graze {
            lines: edges.iter().map(|edge| edge.line).collect(),
            length_mm,
            angle_deg: sum(&|edge| edge.angle_deg) / length_mm,
            middle,
            side: if above > 0.0 { Side::Above } else { Side::Below },
        })
    }
}

fn root(parent: &mut FxHashMap<u32, u32>, mut v: u32) -> u32 {
    loop {
        let up = *parent.entry(v).or_insert(v);
        if up == v {
            return v;
        }
        let over = parent.get(&up).copied().unwrap_or(up);
        parent.insert(v, over);
        v = over;
    }
}

/// A lip that a cut leaves: material beside the outline that is thinner than a given thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lip {
    /// How far it reaches from the outline before it is as thick as that, mm, measured in the plane; `None` where it never
    /// is.
    pub width_mm: Option<f64>,
    /// How long it is along the outline, mm.
    pub length_mm: f64,
    /// Where.
    pub place: Point,
    /// The side of the cut that it is on.
    pub side: Side,
}

/// Stretches that are looked at, the longest first. Our own choice, no source.
const MOST_LIPS: usize = 16;
/// Places along a stretch that are looked at. Our own choice, no source.
const PLACES: usize = 12;

impl SectionSupport {
    /// The lip thinner than `thickness_mm` that reaches farthest from the outline, of those that `plane` leaves at `grazes`:
    /// measured to the section at that height above, or below, the plane. The median of some places along each stretch
    /// counts, so that a bump is no end of a lip. `None` without grazes.
    pub fn widest_lip(&self, solid: &Solid, plane: &Plane, grazes: &[Graze], thickness_mm: f64) -> Option<Lip> {
        let outline_at = |side: Side| {
            let up = if side == Side::Above { thickness_mm } else { -thickness_mm };
            self.section(solid, &plane.moved(up))
        };
        let looked = &grazes[..grazes.len().min(MOST_LIPS)];
        let outlines = Side::BOTH.map(|side| looked.iter().any(|graze| graze.side == side).then(|| outline_at(side)));
        let lips = looked.iter().filter_map(|graze| {
            let outline = outlines[graze.side as usize].as_ref()?;
            let step = (graze.lines.len() / PLACES).max(1);
            let middles = graze.lines.iter().step_by(step).map(|[a, b]| nalgebra::center(a, b));
            let mut widths: Vec<f64> = middles.map(|p| distance_in_plane(&p, outline, plane)).collect();
            widths.sort_by(f64::total_cmp);
            let width = *widths.get(widths.len() / 2)?;
            let width_mm = Some(width).filter(|width| width.is_finite());
            Some(Lip { width_mm, length_mm: graze.length_mm, place: graze.middle, side: graze.side })
        });
        let reach = |lip: &Lip| lip.width_mm.unwrap_or(f64::INFINITY);
        lips.max_by(|a, b| reach(a).total_cmp(&reach(b)))
    }
}

/// How far `p` is from an outline, seen square to the plane; infinite where there is none.
fn distance_in_plane(p: &Point, outline: &Section, plane: &Plane) -> f64 {
    let seen = |q: &Point| plane.project(q);
    let mut nearest = f64::INFINITY;
    for line in &outline.loops {
        let again = line.points.first().filter(|_| line.closed);
        let next = line.points.iter().skip(1).chain(again);
        for (a, b) in line.points.iter().zip(next) {
            let (a, run) = (seen(a), seen(b) - seen(a));
            let along =
                if run.norm_squared() > 0.0 { ((p - a).dot(&run) / run.norm_squared()).clamp(0.0, 1.0) } else { 0.0 };
            nearest = nearest.min(nalgebra::distance(p, &(a + run * along)));
        }
    }
    nearest
}

#[cfg(test)]
mod tests;

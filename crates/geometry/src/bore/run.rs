//! What is nearest to a straight run of a channel, stretch by stretch.

use super::END_DEG;
use super::facing::Facings;
use super::flat::{Core, Flat};
use crate::boxes::SmallBox;
use crate::tree::Search;
use crate::{Mesh, Point, Vector};

/// What is known of a stretch of a run.
#[derive(Clone, Copy)]
pub(super) struct Cell {
    /// The nearest surface beside it so far, mm.
    pub near_mm: f64,
    /// Whether that faces away from the line, so that there is material between.
    is_wall: bool,
    /// Where along the run it is nearest, and the place on the surface.
    at_mm: f64,
    towards: Point,
    /// Where the surface comes into the channel sideways.
    pub broken: Option<Point>,
    /// Whether it comes into the channel at all.
    pierced: bool,
}

impl Cell {
    pub fn is_bare(&self) -> bool {
        !self.pierced && self.wall().is_none()
    }

    /// Where along the run the wall is least, and the place on the surface.
    pub fn wall(&self) -> Option<(f64, Point)> {
        (self.is_wall && !self.pierced && self.near_mm.is_finite()).then_some((self.at_mm, self.towards))
    }
}

/// A run of a channel that looks for what is nearest to it.
pub(super) struct Run<'a> {
    mesh: &'a Mesh,
    facings: &'a Facings,
    core: &'a Core,
    origin: Point,
    frame: [Vector; 3],
    pub length_mm: f64,
    /// What is nearer than what is known by a smaller share of it needs no look.
    off_share: f64,
    /// Nor does what is farther than this, mm.
    limit_mm: f64,
    pub cells: Vec<Cell>,
}

impl<'a> Run<'a> {
    pub fn new(
        mesh: &'a Mesh,
        facings: &'a Facings,
        core: &'a Core,
        [from, to]: [&Point; 2],
        frame: [Vector; 3],
        count: usize,
        off_share: f64,
    ) -> Self {
        let unknown =
            Cell { near_mm: f64::INFINITY, is_wall: false, at_mm: 0.0, towards: *from, broken: None, pierced: false };
        let length_mm = nalgebra::distance(from, to);
        Run {
            mesh,
            facings,
            core,
            origin: *from,
            frame,
            length_mm,
            off_share,
            limit_mm: f64::INFINITY,
            cells: vec![unknown; count],
        }
    }

    /// From now on looks for whatever is nearer than `limit_mm`, to the last digit.
    pub fn look_closer(&mut self, limit_mm: f64) {
        (self.off_share, self.limit_mm) = (0.0, limit_mm);
    }

    /// The cells that a part of the run falls into; `None` where it lies beside it.
    fn cells_of(&self, low: f64, high: f64) -> Option<std::ops::RangeInclusive<usize>> {
        // What is no number falls nowhere.
        if !(low <= self.length_mm && high >= 0.0) {
            return None;
        }
        let cell =
            |x: f64| ((x / self.length_mm * self.cells.len() as f64).max(0.0) as usize).min(self.cells.len() - 1);
        Some(cell(low)..=cell(high))
    }

    /// x and y square to the run, z along it.
    fn seen(&self, p: &Point) -> Vector {
        let d = p - self.origin;
        Vector::new(d.dot(&self.frame[0]), d.dot(&self.frame[1]), d.dot(&self.frame[2]))
    }

    /// On the run.
    pub fn place_at(&self, at: f64) -> Point {
        self.origin + self.frame[2] * at
    }

    fn place(&self, flat: &Flat, at: f64) -> Point {
        self.origin + self.frame[0] * flat.x + self.frame[1] * flat.y + self.frame[2] * at
    }

    /// Whether something at least so far off may change what is known of some cells. Beside a place where the surface comes
    /// in, only more of that does.
    fn is_needed(&self, mut cells: std::ops::RangeInclusive<usize>, apart_mm: f64) -> bool {
        let share = 1.0 - self.off_share;
        let most = |cell: &Cell| if cell.pierced { 0.0 } else { (cell.near_mm * share).min(self.limit_mm) };
        cells.any(|i| apart_mm < most(&self.cells[i]))
    }
}

impl Search for Run<'_> {
    fn rank(&self, place: &SmallBox, depth: usize, i: usize) -> Option<f64> {
        let low = Point::from(place.low.map(f64::from));
        let high = Point::from(place.high.map(f64::from));
        let (middle, half) = (nalgebra::center(&low, &high), (high - low) / 2.0);
        let seen = self.seen(&middle);
        let reach = |axis: &Vector| (0..3).map(|k| axis[k].abs() * half[k]).sum::<f64>();
        let along = reach(&self.frame[2]);
        let (from, to) = (seen.z - along, seen.z + along);
        let cells = self.cells_of(from, to)?;
        let beside = |x: f64, reach: f64| (x.abs() - reach).max(0.0);
        let beside = beside(seen.x, reach(&self.frame[0])).hypot(beside(seen.y, reach(&self.frame[1])));
        let apart = beside.max(seen.xy().norm() - half.norm()) - self.core.reach_mm;
        if !self.is_needed(cells.clone(), apart) {
            return None;
        }
        let part = [from.max(0.0), to.min(self.length_mm)].map(|at| self.origin + self.frame[2] * at);
        let between_planes = self.facings.apart_mm(depth, i, &part[0], &part[1]) - self.core.reach_mm;
        let is_closer = between_planes > apart;
        let apart = apart.max(between_planes);
        if is_closer && !self.is_needed(cells, apart) {
            return None;
        }
        // What looks along the run is no wall, and matters only where it comes into the channel.
        if apart > 0.0 && self.facings.are_ends(depth, i, &self.frame[2]) {
            return None;
        }
        Some(apart)
    }

    fn look_at(&mut self, face: u32) {
        let corners = self.mesh.corners(face as usize).map(|p| self.seen(&p));
        let (low, high) =
            (corners[0].z.min(corners[1].z).min(corners[2].z), corners[0].z.max(corners[1].z).max(corners[2].z));
        let Some(cells) = self.cells_of(low, high) else { return };
        let middle = (corners[0].xy() + corners[1].xy() + corners[2].xy()) / 3.0;
        let extent = corners.iter().map(|p| (p.xy() - middle).norm()).fold(0.0, f64::max);
        let at_least = middle.norm() - extent - self.core.reach_mm;
        if !self.is_needed(cells.clone(), at_least) {
            return;
        }
        let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0]));
        let Some(normal) = normal.try_normalize(f64::MIN_POSITIVE) else { return };
        let is_end = normal.z.abs() > END_DEG.to_radians().cos();
        if is_end && at_least > 0.0 {
            return;
        }
        let cell_mm = self.length_mm / self.cells.len() as f64;
        for i in cells {
            let (from, to) = (cell_mm * i as f64, cell_mm * (i + 1) as f64);
            let part = Part::between(&corners, from, to);
            let Some(first) = part.corners().first() else { continue };
            let mut flat = [Flat::zeros(); MOST_CORNERS];
            for (flat, p) in flat.iter_mut().zip(part.corners()) {
                *flat = p.xy();
            }
            let (apart, [on_core, near]) = self.core.distance(&flat[..part.count]);
            let cell = &self.cells[i];
            if apart > 0.0 && (is_end || apart >= cell.near_mm) {
                continue;
            }
            // The surface goes on straight between its corners there.
            let at = height(&corners, &normal, &near, first.z).clamp(from, to);
            let towards = self.place(&near, at);
            let cell = &mut self.cells[i];
            if apart == 0.0 {
                cell.pierced = true;
                if !is_end {
                    cell.broken.get_or_insert(towards);
                }
                continue;
            }
            let out = near - on_core;
            let facing = out.x * normal.x + out.y * normal.y;
            *cell = Cell { near_mm: apart, is_wall: facing > 0.0, at_mm: at, towards, ..*cell };
        }
    }
}

/// What of a triangle lies between two heights: each cuts off one corner at most.
struct Part {
    all: [Vector; MOST_CORNERS],
    count: usize,
}

/// Three, and one for each height.
const MOST_CORNERS: usize = 5;

impl Part {
    fn between(t: &[Vector; 3], from: f64, to: f64) -> Part {
        let mut part = Part { all: [t[0], t[1], t[2], t[2], t[2]], count: 3 };
        for (level, sign) in [(from, 1.0), (to, -1.0)] {
            if part.corners().iter().all(|p| (p.z - level) * sign >= 0.0) {
                continue;
            }
            let mut kept = Part { count: 0, ..part };
            for i in 0..part.count {
                let (a, b) = (part.all[i], part.all[(i + 1) % part.count]);
                let (da, db) = ((a.z - level) * sign, (b.z - level) * sign);
                if da >= 0.0 {
                    kept.add(a);
                }
                if (da >= 0.0) != (db >= 0.0) {
                    kept.add(a + (b - a) * (da / (da - db)));
                }
            }
            part = kept;
        }
        part
    }

    fn add(&mut self, p: Vector) {
        if let Some(place) = self.all.get_mut(self.count) {
            *place = p;
            self.count += 1;
        }
    }

    fn corners(&self) -> &[Vector] {
        &self.all[..self.count]
    }
}

/// The height of the plane of a triangle above a place; `otherwise` where it stands upright.
fn height(t: &[Vector; 3], normal: &Vector, at: &Flat, otherwise: f64) -> f64 {
    let off = normal.x * (at.x - t[0].x) + normal.y * (at.y - t[0].y);
    let height = t[0].z - off / normal.z;
    if height.is_finite() { height } else { otherwise }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bore::SectionShape;
    use crate::tree::FaceTree;
    use crate::{Progress, solids};

    #[test]
    fn what_the_search_leaves_out_would_change_nothing() {
        let ball =
            solids::hollow(&solids::sphere(Point::origin(), 40.0, 14), &solids::sphere(Point::origin(), 33.0, 9));
        let ring = solids::torus(Point::origin(), 50.0, 14.0, 60, 30);
        let round = SectionShape::Round { diameter_mm: 5.0, sides: 16 };
        let square = SectionShape::Square { across_flats_mm: 6.0 };
        for mesh in [&ball, &ring] {
            let tree = FaceTree::build(mesh, &Progress::new()).unwrap();
            let facings = Facings::of(mesh, &tree);
            for shape in [round, square] {
                let core = Core::of(&shape);
                for (from, to) in [
                    (Point::new(-60.0, 2.0, 1.0), Point::new(55.0, -3.0, 4.0)),
                    (Point::new(50.0, -30.0, 2.0), Point::new(46.0, 30.0, -3.0)),
                    (Point::new(0.0, 0.0, -60.0), Point::new(0.0, 0.0, 60.0)),
                    (Point::new(20.0, 20.0, 20.0), Point::new(90.0, 80.0, 70.0)),
                ] {
                    let along = (to - from).normalize();
                    let right = along.cross(&Vector::new(0.3, 0.5, 0.8)).normalize();
                    let frame = [right, along.cross(&right), along];
                    let run = || Run::new(mesh, &facings, &core, [&from, &to], frame, 64, 0.0);
                    let (mut found, mut all) = (run(), run());
                    tree.search(&mut found);
                    // In their order: nothing is known yet that could leave the near ones out.
                    (0..mesh.triangles.len() as u32).for_each(|face| all.look_at(face));
                    for (a, b) in found.cells.iter().zip(&all.cells) {
                        assert_eq!(a.pierced, b.pierced);
                        assert_eq!(a.broken.is_some(), b.broken.is_some());
                        if !a.pierced {
                            assert_eq!((a.near_mm, a.is_wall), (b.near_mm, b.is_wall));
                        }
                    }
                }
            }
        }
    }
}

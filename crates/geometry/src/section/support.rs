//! Boxes around the faces of a solid, so that a plane finds the few that it touches without passing over the rest.

use rayon::prelude::*;

use super::keys::along_curve;
use super::{Section, drawn};
use crate::boxes::{PartBox, SmallBox};
use crate::cut::{OutlineEdge, outline_among};
use crate::predicates::{Sieve, Where, side_of_plane};
use crate::{Cancelled, Plane, Point, Progress, Side, Solid};

/// A solid prepared so that its section with any plane is found in time that grows with the outline.
///
/// Faces that lie near each other share a box, boxes that lie near each other a larger box, and so on. A plane opens
/// only the boxes that it crosses. The faces it finds are then treated as a cut treats them, so that the section is
/// that of [`section`](super::section()) to the last bit.
#[derive(Clone, Debug, Default)]
pub struct SectionSupport {
    /// Faces, near ones beside each other.
    faces: Vec<u32>,
    /// What each face takes of its smallest box: most that lie beside the plane are known by this, without a look at
    /// corners that lie anywhere in memory.
    parts: Vec<[PartBox; FACES]>,
    /// Boxes of the first level hold [`FACES`] faces each, those of a higher one [`BOXES`] boxes of the level before. The
    /// last level has few.
    levels: Vec<Vec<SmallBox>>,
    /// Largest coordinate of all boxes that have bounds, mm.
    largest_mm: f64,
}

/// Faces in the smallest boxes. Fewer make more boxes, more make more faces be looked at in vain.
const FACES: usize = 8;
/// Boxes in a larger box.
const BOXES: usize = 8;

impl SectionSupport {
    /// Prepares `solid`, on all cores: once per solid, on a worker. Faces with a vertex that is missing are left out.
    pub fn build(solid: &Solid, progress: &Progress) -> Result<SectionSupport, Cancelled> {
        progress.check()?;
        let mesh = &solid.mesh;
        let faces = along_curve(mesh, None);
        progress.check()?;
        let around = |faces: &[u32]| {
            let each = |face: &u32| SmallBox::around(mesh.corners(*face as usize).into_iter());
            let mut boxes = [SmallBox::NOTHING; FACES];
            boxes.iter_mut().zip(faces).for_each(|(one, face)| *one = each(face));
            let all = SmallBox::around_all(&boxes);
            (all, boxes.map(|one| all.part(&one)))
        };
        let (smallest, parts): (Vec<SmallBox>, Vec<_>) = faces.par_chunks(FACES).map(around).unzip();
        let mut levels = vec![smallest];
        while let Some(last) = levels.last().filter(|level| level.len() > BOXES) {
            progress.check()?;
            levels.push(last.par_chunks(BOXES).map(SmallBox::around_all).collect());
        }
        let largest_mm = levels[0].par_iter().map(SmallBox::largest_mm).reduce(|| 0.0, f64::max);
        Ok(SectionSupport { faces, parts, levels, largest_mm })
    }

    /// The outline of `plane` on `solid`, which must be the one that this was built for: the same loops as
    /// [`section`](super::section()) gives. Runs on the calling thread alone.
    pub fn section(&self, solid: &Solid, plane: &Plane) -> Section {
        drawn(solid, plane, self.edges(solid, plane))
    }

    /// The edges of that outline, and the points that they have beside the vertices of the solid.
    pub(super) fn edges(&self, solid: &Solid, plane: &Plane) -> (Vec<OutlineEdge>, Vec<Point>) {
        let met = self.met(solid, plane);
        outline_among(solid, plane, &met.special, met.clear)
    }

    /// Memory that this takes, bytes.
    pub fn bytes(&self) -> usize {
        let boxes: usize = self.levels.iter().map(|level| size_of_val(level.as_slice())).sum();
        size_of_val(self.faces.as_slice()) + size_of_val(self.parts.as_slice()) + boxes
    }

    /// What `plane` finds.
    fn met(&self, solid: &Solid, plane: &Plane) -> Met {
        let sieve = Sieve::new(plane, solid.resolution.on_plane_mm, self.largest_mm);
        let mut met = Met { special: Vec::new(), clear: [false; 2] };
        for i in self.opened(&sieve, &mut met.clear) {
            let faces = &self.faces[i * FACES..((i + 1) * FACES).min(self.faces.len())];
            let around = &self.levels[0][i];
            if !around.has_bounds() {
                faces.iter().for_each(|&face| met.look_at(solid, plane, None, face));
                continue;
            }
            for (&face, part) in faces.iter().zip(&self.parts[i]) {
                match around.side_of_part(part, &sieve) {
                    Some(side) => met.clear[side as usize] = true,
                    None => met.look_at(solid, plane, Some(&sieve), face),
                }
            }
        }
        // In the order in which a cut meets them.
        met.special.sort_unstable();
        met
    }

    /// The smallest boxes that may hold something on the plane, or on both sides; and whether there are others below and
    /// above.
    fn opened(&self, sieve: &Sieve, clear: &mut [bool; 2]) -> Vec<usize> {
        let mut open: Vec<usize> = (0..self.levels.last().map_or(0, Vec::len)).collect();
        for (depth, level) in self.levels.iter().enumerate().rev() {
            open.retain(|&i| {
                let side = level[i].side(sieve);
                if let Some(side) = side {
                    clear[side as usize] = true;
                }
                side.is_none()
            });
            if depth > 0 {
                let end = self.levels[depth - 1].len();
                open = open.iter().flat_map(|&i| i * BOXES..((i + 1) * BOXES).min(end)).collect();
            }
        }
        open
    }
}

/// What a plane finds of a solid.
struct Met {
    /// Faces that it crosses or touches.
    special: Vec<u32>,
    /// Whether there are others below and above it.
    clear: [bool; 2],
}

impl Met {
    /// Tells a face. The sieve is for those whose corners are all where it was made for.
    fn look_at(&mut self, solid: &Solid, plane: &Plane, sieve: Option<&Sieve>, face: u32) {
        let Some(corners) = solid.mesh.triangles.get(face as usize) else { return };
        let [Some(a), Some(b), Some(c)] = corners.map(|v| solid.mesh.vertices.get(v as usize)) else { return };
        if let Some(side) = sieve.and_then(|sieve| sieve.side_of_three([a, b, c])) {
            self.clear[side as usize] = true;
            return;
        }
        match [a, b, c].map(|p| side_of_plane(plane, p, solid.resolution.on_plane_mm)) {
            [Where::Below, Where::Below, Where::Below] => self.clear[Side::Below as usize] = true,
            [Where::Above, Where::Above, Where::Above] => self.clear[Side::Above as usize] = true,
            _ => self.special.push(face),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Vector, solids};

    #[test]
    fn what_is_opened_grows_with_the_outline() {
        let plane = Plane::new(Vector::new(0.3, 0.9, 0.25), 1.0).unwrap();
        for steps in [50, 100, 200] {
            let solid = Solid::from_stock(solids::torus(Point::origin(), 20.0, 7.0, 2 * steps, steps));
            let support = SectionSupport::build(&solid, &Progress::new()).unwrap();
            let sieve = Sieve::new(&plane, 0.0, support.largest_mm);
            let opened = support.opened(&sieve, &mut [false; 2]).len() * FACES;
            let needed = support.met(&solid, &plane).special.len();
            assert!(opened < 6 * needed, "{opened} faces looked at, {needed} met");
        }
    }
}

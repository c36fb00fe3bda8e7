//! Boxes around faces, and boxes around those: what is near a place, along a ray, or overlaps, is found without passing
//! over the rest.

use rayon::prelude::*;

use crate::boxes::SmallBox;
use crate::section::along_curve;
use crate::{Cancelled, Mesh, Point, Progress};

/// A tree over the faces of one mesh. Faces with a coordinate that is not finite are left out: they are nowhere.
///
/// Like the tree of [`SectionSupport`](crate::SectionSupport): faces in the order of a curve through space, fixed numbers
/// of them in a box, so that only boxes are stored and building is one sort.
#[derive(Debug, Default)]
pub(crate) struct FaceTree {
    faces: Vec<u32>,
    /// From the smallest boxes to the largest.
    levels: Vec<Vec<SmallBox>>,
}

/// Somebody who looks for faces, see [`FaceTree::search`].
pub(crate) trait Search {
    /// How promising what is in the box is, the lower the more; `None` where nobody needs to look. The box is number `i`
    /// of its size, 0 for the smallest, as [`FaceTree::of_boxes`] has them.
    fn rank(&self, place: &SmallBox, depth: usize, i: usize) -> Option<f64>;
    /// A face found.
    fn look_at(&mut self, face: u32);
}

/// Faces in the smallest boxes. Fewer make more boxes to open, more make more faces be looked at in vain; 2, 4 and 8 are
/// equally quick at finding pairs, to within the noise of measuring (`examples/health_speed.rs`).
const FACES: usize = 4;
/// Boxes in a larger box.
const BOXES: usize = 8;

impl FaceTree {
    pub(crate) fn build(mesh: &Mesh, progress: &Progress) -> Result<FaceTree, Cancelled> {
        FaceTree::build_of(mesh, |_| true, progress)
    }

    /// A tree over those faces that `wanted` says yes to.
    pub(crate) fn build_of(
        mesh: &Mesh,
        wanted: impl Fn(u32) -> bool + Sync,
        progress: &Progress,
    ) -> Result<FaceTree, Cancelled> {
        progress.check()?;
        let mut faces = along_curve(mesh, None);
        faces.retain(|face| wanted(*face));
        FaceTree::over(mesh, faces, progress)
    }

    /// A tree over these faces.
    pub(crate) fn build_among(mesh: &Mesh, faces: &[u32], progress: &Progress) -> Result<FaceTree, Cancelled> {
        progress.check()?;
        FaceTree::over(mesh, along_curve(mesh, Some(faces)), progress)
    }

    fn over(mesh: &Mesh, mut faces: Vec<u32>, progress: &Progress) -> Result<FaceTree, Cancelled> {
        let is_somewhere =
            |&face: &u32| mesh.corners(face as usize).iter().flat_map(|p| p.iter()).all(|x| x.is_finite());
        faces.retain(is_somewhere);
        progress.check()?;
        let around = |faces: &[u32]| SmallBox::around(faces.iter().flat_map(|&face| mesh.corners(face as usize)));
        let mut levels = vec![faces.par_chunks(FACES).map(around).collect::<Vec<_>>()];
        while let Some(last) = levels.last().filter(|level| level.len() > BOXES) {
            levels.push(last.par_chunks(BOXES).map(SmallBox::around_all).collect());
        }
        Ok(FaceTree { faces, levels })
    }

    /// Something about the faces in every box, from the smallest boxes to the largest.
    pub(crate) fn of_boxes<T: Send>(&self, of_faces: impl Fn(&[u32]) -> T + Sync) -> Vec<Vec<T>> {
        let in_box = |depth: usize| FACES * BOXES.pow(depth as u32);
        (0..self.levels.len()).map(|depth| self.faces.par_chunks(in_box(depth)).map(&of_faces).collect()).collect()
    }

    /// The box around all faces.
    pub(crate) fn bounds(&self) -> SmallBox {
        self.levels.last().map_or(SmallBox::NOTHING, |level| SmallBox::around_all(level))
    }

    /// The faces in all groups that meet this box, in an order that does not change.
    pub(crate) fn faces_near(&self, place: &SmallBox) -> Vec<u32> {
        let mut faces = Vec::new();
        self.visit(0, &|other| other.meets(place), &mut |i| faces.extend_from_slice(self.group(i).1));
        faces
    }

    /// Groups of near faces, each with its box.
    pub(crate) fn groups(&self) -> usize {
        self.levels.first().map_or(0, Vec::len)
    }

    pub(crate) fn group(&self, i: usize) -> (&SmallBox, &[u32]) {
        (&self.levels[0][i], &self.faces[i * FACES..((i + 1) * FACES).min(self.faces.len())])
    }

    /// Hands over the groups in all boxes that `open` says yes to, in order, from group `first` on. `open` must say yes to a
    /// box if it says so to one within it.
    pub(crate) fn visit(&self, first: usize, open: &impl Fn(&SmallBox) -> bool, each: &mut impl FnMut(usize)) {
        let Some(top) = self.levels.len().checked_sub(1) else { return };
        self.visit_boxes(top, 0..self.levels[top].len(), first, open, each);
    }

    fn visit_boxes(
        &self,
        depth: usize,
        boxes: std::ops::Range<usize>,
        first: usize,
        open: &impl Fn(&SmallBox) -> bool,
        each: &mut impl FnMut(usize),
    ) {
        let begin = boxes.start.max(first / BOXES.pow(depth as u32));
        for i in begin..boxes.end {
            if !open(&self.levels[depth][i]) {
                continue;
            }
            if depth == 0 {
                each(i);
            } else {
                let end = self.levels[depth - 1].len();
                self.visit_boxes(depth - 1, i * BOXES..((i + 1) * BOXES).min(end), first, open, each);
            }
        }
    }

    /// Hands over faces roughly by what `search` gives their boxes, lowest first, as long as it gives them anything: it is asked
    /// again before a box is opened.
    pub(crate) fn search(&self, search: &mut impl Search) {
        let Some(top) = self.levels.len().checked_sub(1) else { return };
        self.search_boxes(top, 0..self.levels[top].len(), search);
    }

    fn search_boxes(&self, depth: usize, boxes: std::ops::Range<usize>, search: &mut impl Search) {
        let mut order = [(f64::INFINITY, 0); BOXES];
        let mut count = 0;
        for i in boxes {
            if let Some(rank) = search.rank(&self.levels[depth][i], depth, i) {
                order[count] = (rank, i);
                count += 1;
            }
        }
        let order = &mut order[..count];
        order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        for (nth, &(_, i)) in order.iter().enumerate() {
            if nth > 0 && search.rank(&self.levels[depth][i], depth, i).is_none() {
                continue;
            }
            if depth == 0 {
                self.group(i).1.iter().for_each(|face| search.look_at(*face));
            } else {
                let end = self.levels[depth - 1].len();
                self.search_boxes(depth - 1, i * BOXES..((i + 1) * BOXES).min(end), search);
            }
        }
    }

    /// Hands over the faces in all groups whose boxes a line passes, both ways without end.
    pub(crate) fn along_line(&self, through: &Point, towards: &crate::Vector, each: &mut impl FnMut(u32)) {
        let over = towards.map(|x| 1.0 / x);
        // Slab test (Kay and Kajiya, "Ray tracing complex scenes", 1986).
        let passes = |place: &SmallBox| {
            let (mut begin, mut end) = (f64::NEG_INFINITY, f64::INFINITY);
            for k in 0..3 {
                let [low, high] = [place.low[k], place.high[k]].map(|x| f64::from(x) - through[k]);
                if towards[k] == 0.0 {
                    // Along the sides of the box: between them or not, and 0 · ∞ is no number.
                    if low > 0.0 || high < 0.0 {
                        return false;
                    }
                    continue;
                }
                let (a, b) = (low * over[k], high * over[k]);
                begin = begin.max(a.min(b));
                end = end.min(a.max(b));
            }
            begin <= end
        };
        self.visit(0, &passes, &mut |group| self.group(group).1.iter().for_each(|face| each(*face)));
    }

    /// Hands over faces by rising distance of their boxes from `p`, as long as that is below `within_mm`, which `each` gives
    /// anew every time.
    pub(crate) fn near(&self, p: &Point, within_mm: f64, each: &mut impl FnMut(u32) -> f64) {
        self.nearest_first(&|b| b.distance_squared(p), within_mm, each);
    }

    /// Hands over faces by rising distance of their boxes from whatever `squared` gives the square of the distance from, mm²,
    /// as long as that is below `within_mm`, which `each` gives anew every time.
    pub(crate) fn nearest_first(
        &self,
        squared: &impl Fn(&SmallBox) -> f64,
        within_mm: f64,
        each: &mut impl FnMut(u32) -> f64,
    ) {
        let Some(top) = self.levels.len().checked_sub(1) else { return };
        let mut within_squared = within_mm * within_mm;
        self.near_boxes(top, 0..self.levels[top].len(), squared, &mut within_squared, each);
    }

    fn near_boxes(
        &self,
        depth: usize,
        boxes: std::ops::Range<usize>,
        squared: &impl Fn(&SmallBox) -> f64,
        within_squared: &mut f64,
        each: &mut impl FnMut(u32) -> f64,
    ) {
        // At most `BOXES` of them, of which the top level has no more either.
        let mut order = [(f64::INFINITY, 0); BOXES];
        let count = boxes.len().min(BOXES);
        for (slot, i) in order.iter_mut().zip(boxes) {
            *slot = (squared(&self.levels[depth][i]), i);
        }
        let order = &mut order[..count];
        order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        for &(distance_squared, i) in order.iter() {
            if distance_squared > *within_squared {
                return;
            }
            if depth == 0 {
                for &face in self.group(i).1 {
                    let within = each(face);
                    *within_squared = within * within;
                }
            } else {
                let end = self.levels[depth - 1].len();
                self.near_boxes(depth - 1, i * BOXES..((i + 1) * BOXES).min(end), squared, within_squared, each);
            }
        }
    }
}

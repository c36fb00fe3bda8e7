//! What stands on the bench in one frame: plain data, no GL, no window.

use std::sync::Arc;

use seamwright_geometry::{Bed, Bounds, Detail, Motion, Point, Vector};

use super::body::Body;
use super::bore::BoreInHand;
use super::cut_in_hand::CutInHand;
use super::style::Tone;

/// Everything that the bench draws in one frame. Cheap to clone: meshes and outlines are shared.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    /// The meshes: the stock, or its pieces.
    pub drawn: Vec<Drawn>,
    /// The cut being placed.
    pub cut: Option<CutInHand>,
    /// What is said of the cut beneath the number of its handle while that is dragged, and whether it is a warning.
    pub cut_words: Vec<(String, bool)>,
    /// A quiet line at the foot of the picture: what is shown there, and by which key it goes.
    pub hint: Option<&'static str>,
    /// The bore being placed.
    pub bore: Option<BoreInHand>,
    /// Where the cut being placed meets the surface: lines of points in mm, drawn as chalk. A closed line repeats its
    /// first point at the end.
    pub outlines: Arc<Vec<Vec<Point>>>,
    /// Where that meets the surface so flatly that a warning is due: drawn over it, in the colour of warnings.
    pub grazes: Arc<Vec<Vec<Point>>>,
    /// Lines that are lit up, over everything and through it, in the colour of warnings: faces of a defect, wherever they lie.
    pub lit: Arc<Vec<Vec<Point>>>,
    /// A place that is pointed out. What hides it is seen through.
    pub pointed: Option<Point>,
    /// Points picked so far, in the order of picking.
    pub picked: Vec<Point>,
    /// How far they lie off their plane.
    pub residuals: Vec<Residual>,
    /// What the cut being placed may be drawn to.
    pub details: Arc<Vec<Detail>>,
    /// The printer's bed, drawn to scale.
    pub bed: Option<BedUnderneath>,
    /// Words at places: marks of pieces, names of cuts.
    pub labels: Vec<Label>,
    /// Lengths between two places.
    pub dimensions: Vec<Dimension>,
    /// Lines of a guide, drawn in pencil: lines of points in mm.
    pub pencil: Arc<Vec<Vec<Point>>>,
    /// The part that a click on the surface would cut across: where, is shown under the pointer.
    pub cuts_across: Option<Bounds>,
}

/// Names a drawn mesh; chosen by whoever fills the scene, handed back by the actions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MeshId(pub u64);

/// One mesh on the bench.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// Its name in actions.
    pub id: MeshId,
    /// Its triangles.
    pub body: Arc<Body>,
    /// Colour and hatch.
    pub tone: Tone,
    /// Where it is drawn, relative to where it is: the exploded view, mm.
    pub offset: Vector,
    /// Hidden, ghostly, plain, or raised.
    pub emphasis: Emphasis,
    /// Whether its two sides take the tones of the cut being placed.
    pub follows_cut: bool,
    /// The tones of its own two sides, below and above, while it follows the cut; `None` for those of the cut.
    pub side_tones: Option<[Tone; 2]>,
    /// The bed that it is held against: what sticks out of that is marked.
    pub held_against: Option<Arc<HeldAgainst>>,
    /// Of [`APART`] numbers, one that no piece has that it meets at a seam: where two numbers meet, a seam is inked.
    pub apart: u8,
}

/// How many numbers there are to tell pieces apart that meet: as many as a map needs.
pub const APART: u8 = 4;

/// A bed that a piece is held against, and in which pose.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldAgainst {
    /// The bed.
    pub bed: Bed,
    /// From the frame of the piece to that of the bed.
    pub bed_from_piece: Motion,
}

impl Drawn {
    /// `body` in its place, bare, plain, following the cut in hand.
    pub fn new(id: MeshId, body: Arc<Body>) -> Drawn {
        let (tone, offset, emphasis) = (Tone::Bare, Vector::zeros(), Emphasis::Plain);
        Drawn { id, body, tone, offset, emphasis, follows_cut: true, side_tones: None, held_against: None, apart: 0 }
    }

    /// The box around it where it is drawn; `None` without faces.
    pub fn bounds(&self) -> Option<Bounds> {
        let b = self.body.bounds()?;
        Some(Bounds { min: b.min + self.offset, max: b.max + self.offset })
    }

    /// Whether it can be clicked.
    pub fn is_solid(&self) -> bool {
        matches!(self.emphasis, Emphasis::Plain | Emphasis::Hovered | Emphasis::Selected)
    }
}

/// How much a mesh is meant to be looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Emphasis {
    /// Not drawn, not clickable.
    Hidden,
    /// Seen through, not clickable.
    Ghost,
    /// As usual.
    #[default]
    Plain,
    /// Under the pointer, here or in the ledger.
    Hovered,
    /// Selected.
    Selected,
}

/// The eight corners of a box.
pub fn corners(b: &Bounds) -> [Point; 8] {
    std::array::from_fn(|i| {
        let pick = |axis: usize| if i >> axis & 1 == 0 { b.min[axis] } else { b.max[axis] };
        Point::new(pick(0), pick(1), pick(2))
    })
}

/// A bed and where it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct BedUnderneath {
    /// The bed.
    pub bed: Bed,
    /// The lower left corner of the rectangle around its surface, where that is drawn, mm.
    pub corner: Point,
}

impl BedUnderneath {
    /// `bed` centred under `above`, its surface at the lowest point.
    pub fn under(bed: Bed, above: &Bounds) -> BedUnderneath {
        let [x_mm, y_mm] = bed.size_mm();
        let c = above.centre();
        BedUnderneath { bed, corner: Point::new(c.x - x_mm / 2.0, c.y - y_mm / 2.0, above.min.z) }
    }
}

/// A picked point, and where it would lie on the plane through all of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Residual {
    /// The point.
    pub at: Point,
    /// The place on the plane nearest to it.
    pub foot: Point,
}

/// A word at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Where.
    pub at: Point,
    /// What.
    pub text: String,
    /// Whether it stands out: the piece it names is selected.
    pub strong: bool,
    /// The mesh that it names: where another is in front of it, it steps back.
    pub of: Option<MeshId>,
}

/// A length from one place to another, with its number.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// One end.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// What is written at the middle: "204.0 mm".
    pub text: String,
    /// Of an angle, where its legs meet: an arc is drawn between them then.
    pub apex: Option<Point>,
}

impl Scene {
    /// The box around all that is not hidden, where it is drawn; `None` if there is nothing.
    pub fn bounds(&self) -> Option<Bounds> {
        self.drawn
            .iter()
            .filter(|d| d.emphasis != Emphasis::Hidden)
            .filter_map(Drawn::bounds)
            .reduce(|a, b| a.union(&b))
    }

    /// The box around what is selected; `None` if nothing is.
    pub fn selected_bounds(&self) -> Option<Bounds> {
        self.drawn
            .iter()
            .filter(|d| d.emphasis == Emphasis::Selected)
            .filter_map(Drawn::bounds)
            .reduce(|a, b| a.union(&b))
    }
}

//! What stands on the bench in one frame: plain data, no GL, no window.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use seamwright_geometry::{Bed, Bounds, Outline, Plane, Point, Vector};

use super::body::Body;
use super::style::Tone;

/// Everything that the bench draws in one frame. Cheap to clone: meshes and outlines are shared.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    /// The meshes: the stock, or its pieces.
    pub drawn: Vec<Drawn>,
    /// The cut being placed.
    pub cut: Option<CutInHand>,
    /// Where the cut being placed meets the surface: lines of points in mm, drawn as chalk. A closed line repeats its
    /// first point at the end.
    pub outlines: Arc<Vec<Vec<Point>>>,
    /// Points picked so far, in the order of picking.
    pub picked: Vec<Point>,
    /// The printer's bed, drawn to scale.
    pub bed: Option<BedUnderneath>,
    /// Words at places: marks of pieces, names of cuts.
    pub labels: Vec<Label>,
    /// Lengths between two places.
    pub dimensions: Vec<Dimension>,
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
}

impl Drawn {
    /// `body` in its place, bare, plain, following the cut in hand.
    pub fn new(id: MeshId, body: Arc<Body>) -> Drawn {
        let (tone, offset, emphasis) = (Tone::Bare, Vector::zeros(), Emphasis::Plain);
        Drawn { id, body, tone, offset, emphasis, follows_cut: true }
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

/// The cut that is being placed, and how each of its sides would fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutInHand {
    /// The plane.
    pub plane: Plane,
    /// Where its handles sit. It is dropped onto the plane, so it may stay as it is while the plane moves.
    pub anchor: Point,
    /// Half the edge of the sheet that is drawn for it, mm.
    pub reach_mm: f64,
    /// The tone of what is below.
    pub below: Tone,
    /// The tone of what is above.
    pub above: Tone,
    /// Whether it has handles; without, it is only shown.
    pub held: bool,
}

impl CutInHand {
    /// `plane` with its handles as near as it goes to the middle of `around`, and a sheet that reaches past it.
    pub fn new(plane: Plane, around: &Bounds) -> CutInHand {
        // A little more than half the diagonal, so that the sheet stands out of the model on all sides.
        let reach_mm = 0.56 * around.diagonal();
        let anchor = around.centre();
        CutInHand { plane, anchor, reach_mm, below: Tone::Undecided, above: Tone::Undecided, held: true }
    }

    /// Where the handles sit: on the plane.
    pub fn seat(&self) -> Point {
        self.plane.project(&self.anchor)
    }
}

/// A bed and where it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct BedUnderneath {
    /// The bed.
    pub bed: Bed,
    /// Its lower left corner, where the corner of its surface is drawn, mm.
    pub corner: Point,
}

impl BedUnderneath {
    /// `bed` centred under `above`, its surface at the lowest point.
    pub fn under(bed: Bed, above: &Bounds) -> BedUnderneath {
        let Outline::Rectangle { x_mm, y_mm } = bed.outline;
        let c = above.centre();
        BedUnderneath { bed, corner: Point::new(c.x - x_mm / 2.0, c.y - y_mm / 2.0, above.min.z) }
    }
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

    /// Equal keys promise an equal picture of the meshes, the cut, the outlines and the bed, from the same camera.
    /// Labels, dimensions and picked points are not part of it: they are drawn anew over the picture.
    pub fn picture_key(&self) -> u64 {
        let mut h = DefaultHasher::new();
        (self.drawn.len(), self.cut.is_some(), self.outlines.len(), self.bed.is_some()).hash(&mut h);
        for d in &self.drawn {
            (d.body.revision(), d.tone, d.emphasis, d.follows_cut).hash(&mut h);
            hash_numbers(&mut h, d.offset.as_slice());
        }
        if let Some(cut) = &self.cut {
            (cut.below, cut.above).hash(&mut h);
            hash_numbers(&mut h, cut.plane.normal().as_slice());
            hash_numbers(&mut h, cut.anchor.coords.as_slice());
            hash_numbers(&mut h, &[cut.plane.offset_mm(), cut.reach_mm]);
        }
        for line in self.outlines.iter() {
            line.len().hash(&mut h);
            line.iter().for_each(|p| hash_numbers(&mut h, p.coords.as_slice()));
        }
        if let Some(under) = &self.bed {
            let Outline::Rectangle { x_mm, y_mm } = under.bed.outline;
            hash_numbers(&mut h, &[x_mm, y_mm, under.bed.height_mm, under.bed.margin_mm]);
            hash_numbers(&mut h, under.corner.coords.as_slice());
        }
        h.finish()
    }
}

fn hash_numbers(h: &mut DefaultHasher, numbers: &[f64]) {
    numbers.iter().for_each(|n| n.to_bits().hash(h));
}

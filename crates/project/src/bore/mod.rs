//! A bore as the maker decides it: a line, a rod, how much play it has, how it ends.

mod change;
mod channel;
mod check;
mod follow;
mod once;
mod seam;
mod spaced;

pub use change::BoreChange;
pub use once::{BoredSolid, bore_solid};
pub use seam::{AtSeam, MAGNET_PLAY_MM};
pub use spaced::{places_with_room, spaced};

pub(crate) use channel::{Unbored, middle_line, whole_channel};
pub use check::{BoreTrouble, MOST_DIAMETER_MM, MOST_POINTS};

use seamwright_geometry::FaceOrigin;

use crate::cut_plane::Axis;
use crate::recipe::PartId;
use crate::rods::{self, Clearance, ClearanceClass, Hole, PRINTER_MM, Rod, hole};

/// Identity of a bore within its recipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoreId(pub u32);

impl BoreId {
    /// The last identity that a bore can have: faces of its channel carry it, and have no room for more.
    pub const LAST: BoreId = BoreId(FaceOrigin::LAST_BORE);
}

/// A channel for a rod. Lengths in mm, in the frame of the model as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Bore {
    /// Identity, given when the bore was added, and never used twice.
    pub id: BoreId,
    /// What the maker calls it ("blade").
    pub name: String,
    /// The part that it goes through.
    pub part: PartId,
    /// The centre line: two points, or more for one that bends in straight runs.
    pub line_mm: Vec<[f64; 3]>,
    /// How the line was arrived at.
    pub placed: Placed,
    /// What goes in.
    pub rod: RodChoice,
    /// How much play it has.
    pub clearance: Clearance,
    /// What the printer takes away from the diameter, to be added.
    pub printer_mm: f64,
    /// Its cross-section.
    pub shape: BoreShape,
    /// Where its shape is turned to: the roof to where up is when the piece is printed, a slit to where the rod is laid in
    /// from, a flat of the others. Any length but none.
    pub up: [f64; 3],
    /// A roof is turned, in each piece by itself, to where up is as that piece lies on the bed, instead of to [`up`](Self::up).
    pub up_as_laid: bool,
    /// The cut that its magnets hold together; its line then follows that.
    pub seam: Option<AtSeam>,
    /// How it ends at its first and its last point.
    pub ends: [BoreEnd; 2],
    /// A wall thinner than this is told.
    pub least_wall_mm: f64,
    /// Room for glue that is left at every blind end.
    pub glue_mm: f64,
    /// Whether it may cross other bores.
    pub may_cross: bool,
    /// A bore that is switched off stays in the recipe and does nothing.
    pub enabled: bool,
}

/// How a line was arrived at: told beside its numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Placed {
    /// Its points were typed or dragged.
    #[default]
    Typed,
    /// Along an axis.
    Axis(Axis),
    /// Through points picked on the model.
    Picked,
    /// Along the middle of the stock.
    Middle,
    /// Moved to where the wall is thickest.
    Centred,
}

/// What goes into a bore.
#[derive(Clone, Debug, PartialEq)]
pub enum RodChoice {
    /// A rod of the table, by its name.
    Listed(String),
    /// A round rod of this diameter, mm.
    Typed(f64),
    /// Two round magnets of this diameter, one on either side of a seam: nothing to saw.
    Magnets(f64),
}

impl RodChoice {
    /// The rod of the table, where it is one.
    pub fn listed(&self) -> Option<Rod> {
        match self {
            RodChoice::Listed(name) => rods::rod(name),
            RodChoice::Typed(_) | RodChoice::Magnets(_) => None,
        }
    }

    /// Its diameter, mm; nothing for a name that is in no table.
    pub fn diameter_mm(&self) -> f64 {
        match self {
            RodChoice::Listed(_) => self.listed().map_or(0.0, |rod| rod.diameter_mm),
            RodChoice::Typed(mm) | RodChoice::Magnets(mm) => *mm,
        }
    }

    /// In words ("M6 threaded rod", "rod of 7 mm").
    pub fn words(&self) -> String {
        match self {
            RodChoice::Listed(name) => self.listed().map_or_else(|| name.clone(), |rod| rod.words()),
            RodChoice::Typed(mm) => format!("rod of {mm} mm"),
            RodChoice::Magnets(mm) => format!("magnets of {mm} mm"),
        }
    }
}

/// A cross-section.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BoreShape {
    /// Round.
    #[default]
    Round,
    /// Round with a pointed roof, for channels that are printed lying.
    Teardrop,
    /// Round with a pointed roof that is cut off flat above the rod.
    FlatRoof,
    /// Square: a square rod is kept from turning.
    Square,
    /// Hexagonal.
    Hexagon,
    /// Open along its side, so that the rod is laid in.
    Slit,
}

impl BoreShape {
    /// All of them.
    pub const ALL: [BoreShape; 6] = [
        BoreShape::Round,
        BoreShape::Teardrop,
        BoreShape::FlatRoof,
        BoreShape::Square,
        BoreShape::Hexagon,
        BoreShape::Slit,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            BoreShape::Round => "round",
            BoreShape::Teardrop => "teardrop",
            BoreShape::FlatRoof => "flat roof",
            BoreShape::Square => "square",
            BoreShape::Hexagon => "hexagon",
            BoreShape::Slit => "slit",
        }
    }

    /// Whether it has to be turned to somewhere: all but a round one.
    pub fn is_turned(self) -> bool {
        self != BoreShape::Round
    }

    /// Whether it has a roof, which prints without support where it points up.
    pub fn has_roof(self) -> bool {
        matches!(self, BoreShape::Teardrop | BoreShape::FlatRoof)
    }
}

/// How a bore ends.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BoreEnd {
    /// Where.
    pub stop: Stop,
    /// What is let in there.
    pub fitting: Fitting,
}

/// Where a bore stops.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Stop {
    /// It goes on through the surface.
    #[default]
    Open,
    /// At its point, wherever that lies.
    At,
    /// So far below the surface that it would come out of, mm.
    Blind(f64),
}

/// What is let in at an open end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Fitting {
    /// Nothing.
    #[default]
    None,
    /// A countersink of 90°, so wide at the surface, mm.
    Countersink(f64),
    /// A six-sided pocket in which the nut of the rod's thread cannot turn, with its top so far below the surface, mm.
    NutPocket(f64),
    /// A round pocket for that nut on its washer, with its top so far below the surface, mm.
    WasherPocket(f64),
}

/// What walls are to be at least, mm: three lines of a nozzle of 0.4 mm (common practice, no source).
const LEAST_WALL_MM: f64 = 1.2;
/// Room for glue at a blind end, mm: 1/16 in, as a maker of dowels asks for (technical sheet, read).
const GLUE_MM: f64 = 1.6;

impl Bore {
    /// A round bore along `line_mm`, open at both ends, of medium clearance.
    pub fn new(id: BoreId, name: String, part: PartId, line_mm: Vec<[f64; 3]>, rod: RodChoice) -> Bore {
        Bore {
            id,
            name,
            part,
            line_mm,
            placed: Placed::Typed,
            rod,
            clearance: Clearance::Class(ClearanceClass::Medium),
            printer_mm: PRINTER_MM,
            shape: BoreShape::Round,
            up: [0.0, 0.0, 1.0],
            up_as_laid: true,
            seam: None,
            ends: [BoreEnd::default(); 2],
            least_wall_mm: LEAST_WALL_MM,
            glue_mm: GLUE_MM,
            may_cross: false,
            enabled: true,
        }
    }

    /// The hole that its rod asks for, without what the printer takes away.
    pub fn hole(&self) -> Hole {
        hole(self.rod.listed().as_ref(), self.rod.diameter_mm(), self.clearance)
    }

    /// What is bored, mm between flats: the hole, and what the printer takes away.
    pub fn diameter_mm(&self) -> f64 {
        self.hole().diameter_mm + self.printer_mm
    }

    /// Whether its roof is turned to where up is as each piece lies.
    pub fn follows_lays(&self) -> bool {
        self.up_as_laid && self.shape.has_roof()
    }

    /// The length of its line, mm.
    pub fn line_length_mm(&self) -> f64 {
        let run = |pair: &[[f64; 3]]| (0..3).map(|i| (pair[1][i] - pair[0][i]).powi(2)).sum::<f64>().sqrt();
        self.line_mm.windows(2).map(run).sum()
    }
}

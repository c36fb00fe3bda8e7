//! The cut that is being placed, as the bench shows it: plain data.

use seamwright_geometry::{Bounds, Plane, Point, Vector};

use super::band::{Band, SideSaid};
use super::lean::Lean;
use super::scene::corners;
use super::style::Tone;

/// The cut that is being placed, and how each of its sides would fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutInHand {
    /// The plane.
    pub plane: Plane,
    /// What is written of its place beside its handle, mm: the same number as is typed.
    pub offset_mm: f64,
    /// Where its handles sit. It is dropped onto the plane, so it may stay as it is while the plane moves.
    pub anchor: Point,
    /// The box around what it is to part; its sheet is drawn a little larger.
    pub around: Bounds,
    /// The tone of what is below.
    pub below: Tone,
    /// The tone of what is above.
    pub above: Tone,
    /// What is said of below and above, beside the handle.
    pub said: [Option<SideSaid>; 2],
    /// The stretch in which both sides fit, where that is known.
    pub band: Option<Band>,
    /// Whether it has handles; without, it is only shown.
    pub held: bool,
}

impl CutInHand {
    /// `plane` through what fills `around`, with its handles as near as it goes to the middle; no verdicts yet.
    pub fn new(plane: Plane, around: &Bounds) -> CutInHand {
        let (below, above) = (Tone::Undecided, Tone::Undecided);
        let offset_mm = plane.offset_mm();
        let (anchor, around) = (around.centre(), *around);
        CutInHand { plane, offset_mm, anchor, around, below, above, said: [None; 2], band: None, held: true }
    }

    /// Where the handles sit: on the plane.
    pub fn seat(&self) -> Point {
        self.plane.project(&self.anchor)
    }

    /// The rectangle of the plane that is drawn.
    pub fn sheet(&self) -> Sheet {
        let n = self.plane.normal();
        let seat = self.seat();
        let u = Lean::of(&n).hinges(&n)[0];
        let v = n.cross(&u);
        let margin = SHEET_MARGIN_SHARE * self.around.diagonal();
        let reach = |axis: &Vector| {
            let (low, high) = corners(&self.around)
                .map(|c| (c - seat).dot(axis))
                .into_iter()
                .fold((0.0_f64, 0.0_f64), |(l, h), x| (l.min(x), h.max(x)));
            (low - margin, high + margin)
        };
        let ((u0, u1), (v0, v1)) = (reach(&u), reach(&v));
        Sheet { corner: seat + u * u0 + v * v0, u, v, size_mm: [u1 - u0, v1 - v0], seat_mm: [-u0, -v0] }
    }
}

/// The sheet stands out of what it parts by this share of its diagonal.
const SHEET_MARGIN_SHARE: f64 = 0.05;

/// A rectangle in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// One corner.
    pub corner: Point,
    /// Unit vector along one side.
    pub u: Vector,
    /// Unit vector along the other.
    pub v: Vector,
    /// Lengths along `u` and `v`, mm.
    pub size_mm: [f64; 2],
    /// Where the handles sit, from `corner` along `u` and `v`, mm.
    pub seat_mm: [f64; 2],
}

impl Sheet {
    /// Its four corners, in order round it.
    pub fn corners(&self) -> [Point; 4] {
        let [w, h] = self.size_mm;
        [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(a, b)| self.corner + self.u * a + self.v * b)
    }
}

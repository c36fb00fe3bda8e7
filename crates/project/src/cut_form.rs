//! What a cut is made along: all of its plane, the plane up to a line, or a curve drawn over the plane.
//!
//! A form is told in the frame of the cut's plane, so that it goes along when the plane is moved or tilted: *u* and *w*
//! lie in the plane, *v* stands on it, towards *above*. Untilted, *u* is the first of the axis' tilt axes and *w* the
//! second; `turn_deg` turns both about *v*, from *u* towards *w*.

use seamwright_geometry::profile_line::{self, LineError};
use seamwright_geometry::{CutSurface, FinitePlane, Plane, PlaneError, Point, Profile, SurfaceError, Vector};

use crate::cut_plane::{Axis, CutPlane};

/// What a cut is made along.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum CutForm {
    /// All of the plane.
    #[default]
    Flat,
    /// The plane up to a line drawn in it; what lies beyond the line stays whole.
    Ending(Edge),
    /// A line drawn over the plane, carried straight through the stock along *w*.
    Profile(CutProfile),
}

/// The line at which a cut ends: square to *u*, at a distance from the cut's place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Where the line crosses *u*, mm from the cut's place. The cut is made where *u* is greater.
    pub offset_mm: f64,
    /// How far *u* and *w* are turned about the plane's normal, degrees.
    pub turn_deg: f64,
}

/// A line over the plane.
#[derive(Clone, Debug, PartialEq)]
pub struct CutProfile {
    /// The line, in (*u*, *v*).
    pub line: Line,
    /// How far *u* and *w* are turned about the plane's normal, degrees.
    pub turn_deg: f64,
}

/// A line in (*u*, *v*), centred on the cut's place. Before its first and after its last point it goes on straight along
/// *u*.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// One step up along *u*: lower before the cut's place, higher after it.
    Step {
        /// How high the step is, mm; negative for a step down.
        rise_mm: f64,
    },
    /// Teeth with straight flanks.
    Zigzag(Waves),
    /// A wave.
    Wave(Waves),
    /// Dovetails: tongues wider at their end than at their root, which hold the two sides together.
    Dovetail {
        /// Length, height and number of tongues.
        waves: Waves,
        /// How far the flanks lean out from upright, degrees; 0 for square tongues.
        flank_deg: f64,
    },
    /// Points placed by hand.
    Drawn {
        /// In (*u*, *v*), mm.
        points_mm: Vec<[f64; 2]>,
        /// A smooth curve through the points instead of straight lines between them.
        smooth: bool,
    },
}

/// A line that repeats itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Waves {
    /// Length of one, mm.
    pub pitch_mm: f64,
    /// From the lowest to the highest point, mm.
    pub height_mm: f64,
    /// How many.
    pub count: u32,
}

/// Why a form parts nothing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FormError {
    /// The numbers of the plane make none.
    #[error(transparent)]
    Plane(#[from] PlaneError),
    /// The line cannot be drawn.
    #[error(transparent)]
    Line(#[from] LineError),
    /// The line makes no surface.
    #[error(transparent)]
    Surface(#[from] SurfaceError),
}

impl CutForm {
    /// The surface that a cut of this form on `plane` is made along.
    pub fn surface(&self, plane: &CutPlane) -> Result<CutSurface, FormError> {
        self.surface_on(&plane.plane()?, Point::from(plane.through_mm), plane.axis)
    }

    /// The same on any plane, about `place` on it; `axis` is the one that tilts are counted from.
    pub fn surface_on(&self, plane: &Plane, place: Point, axis: Axis) -> Result<CutSurface, FormError> {
        let place = plane.project(&place);
        Ok(match self {
            CutForm::Flat => CutSurface::Plane(*plane),
            CutForm::Ending(edge) => {
                let [u, _] = frame(plane, axis, edge.turn_deg)?;
                CutSurface::FinitePlane(FinitePlane::new(*plane, place + u * edge.offset_mm, u)?)
            }
            CutForm::Profile(profile) => {
                let [u, _] = frame(plane, axis, profile.turn_deg)?;
                CutSurface::Profile(Profile::new(place, u, plane.normal(), profile.line.points_mm()?)?)
            }
        })
    }

    /// The same form on a stock that was enlarged `factor` times.
    pub(crate) fn enlarged(&self, factor: f64) -> CutForm {
        match self {
            CutForm::Flat => CutForm::Flat,
            CutForm::Ending(edge) => CutForm::Ending(Edge { offset_mm: edge.offset_mm * factor, ..*edge }),
            CutForm::Profile(profile) => {
                CutForm::Profile(CutProfile { line: profile.line.enlarged(factor), ..profile.clone() })
            }
        }
    }

    /// What to call it: one word, or two.
    pub fn name(&self) -> &'static str {
        match self {
            CutForm::Flat => "flat",
            CutForm::Ending(_) => "ends at a line",
            CutForm::Profile(profile) => profile.line.name(),
        }
    }
}

impl Line {
    /// The line's points in (*u*, *v*), mm, curves flattened.
    pub fn points_mm(&self) -> Result<Vec<[f64; 2]>, LineError> {
        match self {
            Line::Step { rise_mm } => profile_line::step(*rise_mm),
            Line::Zigzag(w) => profile_line::zigzag(w.pitch_mm, w.height_mm, w.count),
            Line::Wave(w) => profile_line::wave(w.pitch_mm, w.height_mm, w.count),
            Line::Dovetail { waves: w, flank_deg } => {
                profile_line::dovetail(w.pitch_mm, w.height_mm, w.count, *flank_deg)
            }
            Line::Drawn { points_mm, smooth: false } => Ok(points_mm.clone()),
            Line::Drawn { points_mm, smooth: true } => profile_line::smooth(points_mm),
        }
    }

    fn enlarged(&self, factor: f64) -> Line {
        let waves = |w: &Waves| Waves { pitch_mm: w.pitch_mm * factor, height_mm: w.height_mm * factor, ..*w };
        match self {
            Line::Step { rise_mm } => Line::Step { rise_mm: rise_mm * factor },
            Line::Zigzag(w) => Line::Zigzag(waves(w)),
            Line::Wave(w) => Line::Wave(waves(w)),
            Line::Dovetail { waves: w, flank_deg } => Line::Dovetail { waves: waves(w), flank_deg: *flank_deg },
            Line::Drawn { points_mm, smooth } => {
                Line::Drawn { points_mm: points_mm.iter().map(|p| p.map(|x| x * factor)).collect(), smooth: *smooth }
            }
        }
    }

    /// What to call it.
    pub fn name(&self) -> &'static str {
        match self {
            Line::Step { .. } => "step",
            Line::Zigzag(_) => "zigzag",
            Line::Wave(_) => "wave",
            Line::Dovetail { .. } => "dovetail",
            Line::Drawn { .. } => "drawn line",
        }
    }
}

/// *u* and *w* of a cut on `plane`, whose tilts are counted from `axis`, turned by `turn_deg` about its normal.
pub fn frame(plane: &Plane, axis: Axis, turn_deg: f64) -> Result<[Vector; 2], PlaneError> {
    let normal = plane.normal();
    let [first, second] = axis.tilt_axes().map(|axis| axis.vector());
    // Of the two axes the one that lies flatter in the plane: its shadow is the surer direction. `w = v × u`.
    let u = if first.dot(&normal).abs() <= second.dot(&normal).abs() {
        (first - normal * first.dot(&normal)).normalize()
    } else {
        (second - normal * second.dot(&normal)).normalize().cross(&normal)
    };
    let w = normal.cross(&u);
    if !turn_deg.is_finite() {
        return Err(PlaneError::NotFinite(turn_deg));
    }
    let (sin, cos) = crate::cut_plane::sin_cos_deg(turn_deg);
    Ok([u * cos + w * sin, w * cos - u * sin])
}

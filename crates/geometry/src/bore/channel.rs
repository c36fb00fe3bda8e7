//! Channels: a line, an outline along it, two ends, and what is added at them.

use super::ChannelError;
use super::shape::{SIDES, SectionShape};
use crate::{Point, Vector, closest};

/// What a bore takes away: an outline led along a line of straight runs with mitred bends.
///
/// The line runs through two points or more, mm, in the frame of the solid. The outline is drawn square to it, with its
/// +y towards the channel's *up*; bends carry *up* along without twisting it.
#[derive(Clone, Debug, PartialEq)]
pub struct Channel {
    line: Vec<Point>,
    shape: SectionShape,
    ends: [End; 2],
    up: Option<Vector>,
    extras: Vec<Extra>,
}

/// How a channel ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Runs out through the surface: the last run is prolonged until it is clear of the whole solid, and cuts whatever is
    /// in its way.
    Open,
    /// A flat end exactly at the last point of the line, square to the last run.
    At,
}

/// What is taken away beside the channel itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Extra {
    /// A cone that narrows from its mouth inwards, as a screw with a countersunk head needs it.
    Countersink {
        /// The middle of the mouth, on the surface.
        mouth: Point,
        /// Where the screw goes, of any length.
        into: Vector,
        /// Diameter at the mouth, mm.
        diameter_mm: f64,
        /// Diameter that it narrows to, mm: that of the channel or less. The cone ends there, flat.
        narrow_mm: f64,
        /// Angle between opposite flanks, degrees: 90 for metric screws (common practice, no source).
        angle_deg: f64,
        /// Sides of its polygon.
        sides: u32,
        /// How far the mouth is prolonged outwards at full diameter, mm, so that it comes through a surface that is not
        /// flat.
        lead_mm: f64,
    },
    /// A pocket with a flat bottom: for a nut, a washer or a magnet.
    Pocket {
        /// The middle of the mouth, on the surface.
        mouth: Point,
        /// From the mouth to the bottom, of any length.
        into: Vector,
        /// Its outline.
        shape: SectionShape,
        /// From the mouth to the bottom, mm.
        depth_mm: f64,
        /// How far it is prolonged outwards, mm.
        lead_mm: f64,
    },
}

/// A run may turn against the one before by at most this, degrees: a sharper mitre reaches out of the bend by more than its
/// radius (our own choice, no source).
pub const MOST_BEND_DEG: f64 = 90.0;

/// How far off the points of a channel may lie, mm, and how large its measures: a thousand kilometres, as for a
/// [`Profile`](crate::Profile).
pub const FARTHEST_MM: f64 = 1e9;

impl Channel {
    /// The channel along `line`. Fails where it is none: see [`ChannelError`].
    pub fn new(line: Vec<Point>, shape: SectionShape, ends: [End; 2]) -> Result<Channel, ChannelError> {
        check_shape(&shape)?;
        if let Some(bad) = line.iter().flat_map(|p| p.iter()).find(|x| x.is_nan() || x.abs() > FARTHEST_MM) {
            return Err(ChannelError::NotFinite(*bad));
        }
        if line.len() < 2 {
            return Err(ChannelError::TooFewPoints(line.len()));
        }
        if let Some(run) = (1..line.len()).find(|&i| nalgebra::distance(&line[i - 1], &line[i]) < SHORTEST_RUN_MM) {
            return Err(ChannelError::RunTooShort { run });
        }
        let channel = Channel { line, shape, ends, up: None, extras: Vec::new() };
        channel.check_bends()?;
        Ok(channel)
    }

    /// A pocket by itself, as [`Extra::Pocket`] is: for magnets at a seam.
    pub fn pocket(
        mouth: Point,
        into: Vector,
        shape: SectionShape,
        depth_mm: f64,
        lead_mm: f64,
    ) -> Result<Channel, ChannelError> {
        check_extra(&Extra::Pocket { mouth, into, shape, depth_mm, lead_mm })?;
        let into = into.normalize();
        Channel::new(vec![mouth - into * lead_mm, mouth + into * depth_mm], shape, [End::At, End::At])
    }

    /// The same with the outline's +y as near to `up` as the first run allows. Where `up` has no length or lies along that
    /// run, it is as it was: the axis that the run is most square to.
    pub fn with_up(self, up: Vector) -> Channel {
        Channel { up: Some(up), ..self }
    }

    /// The same with something more taken away.
    pub fn with_extra(mut self, extra: Extra) -> Result<Channel, ChannelError> {
        check_extra(&extra)?;
        self.extras.push(extra);
        Ok(self)
    }

    /// The same with other ends.
    pub fn with_ends(self, ends: [End; 2]) -> Channel {
        Channel { ends, ..self }
    }

    /// The points of the line.
    pub fn line(&self) -> &[Point] {
        &self.line
    }

    /// The outline.
    pub fn shape(&self) -> &SectionShape {
        &self.shape
    }

    /// How it begins and ends.
    pub fn ends(&self) -> [End; 2] {
        self.ends
    }

    /// What is taken away beside it.
    pub fn extras(&self) -> &[Extra] {
        &self.extras
    }

    /// Length of the line, without what open ends add, mm.
    pub fn length_mm(&self) -> f64 {
        self.line.windows(2).map(|pair| nalgebra::distance(&pair[0], &pair[1])).sum()
    }

    /// The place on the line at this distance from its first point, mm; beyond its ends on the prolonged last runs.
    pub fn place_at(&self, at_mm: f64) -> Point {
        let mut rest = at_mm;
        let runs = self.line.len() - 1;
        for (i, pair) in self.line.windows(2).enumerate() {
            let length = nalgebra::distance(&pair[0], &pair[1]);
            if rest <= length || i + 1 == runs {
                return pair[0] + (pair[1] - pair[0]) * (rest / length);
            }
            rest -= length;
        }
        self.line[0]
    }

    /// The same channel along another line.
    pub fn along(&self, line: Vec<Point>) -> Result<Channel, ChannelError> {
        let moved = Channel::new(line, self.shape, self.ends)?;
        Ok(Channel { up: self.up, extras: self.extras.clone(), ..moved })
    }

    /// The frames of its runs: right, up, and along, of unit length; right × up = along.
    pub(crate) fn frames(&self) -> Vec<[Vector; 3]> {
        let mut frames: Vec<[Vector; 3]> = Vec::with_capacity(self.line.len() - 1);
        for pair in self.line.windows(2) {
            let along = (pair[1] - pair[0]).normalize();
            let up = match frames.last() {
                None => self
                    .up
                    .and_then(|up| square_to(up, along))
                    .unwrap_or_else(|| square_to(Vector::ith(along.iamin(), 1.0), along).unwrap_or_else(Vector::z)),
                Some([_, up, before]) => {
                    let turn = nalgebra::Rotation3::rotation_between(before, &along);
                    let up = turn.map_or(*up, |turn| turn * up);
                    square_to(up, along).unwrap_or(up)
                }
            };
            frames.push([up.cross(&along), up, along]);
        }
        frames
    }

    /// How far its corners stand off from its line, mm.
    pub(crate) fn reach_mm(&self) -> f64 {
        self.shape.outline(0.0).iter().map(|p| p[0].hypot(p[1])).fold(0.0, f64::max)
    }

    fn check_bends(&self) -> Result<(), ChannelError> {
        let reach = self.reach_mm();
        let frames = self.frames();
        for (bend, pair) in (1..).zip(frames.windows(2)) {
            let cosine = pair[0][2].dot(&pair[1][2]);
            if cosine < MOST_BEND_DEG.to_radians().cos() - f64::EPSILON {
                return Err(ChannelError::BendTooSharp {
                    point: bend,
                    deg: cosine.clamp(-1.0, 1.0).acos().to_degrees(),
                });
            }
        }
        // What a mitre takes of the runs beside it: the reach times the tangent of half the bend.
        let taken = |bend: usize| match (bend.checked_sub(1).and_then(|i| frames.get(i)), frames.get(bend)) {
            (Some(before), Some(after)) => {
                let cosine = before[2].dot(&after[2]).clamp(-1.0, 1.0);
                reach * ((1.0 - cosine) / (1.0 + cosine)).sqrt()
            }
            _ => 0.0,
        };
        for (run, pair) in self.line.windows(2).enumerate() {
            let needed_mm = taken(run) + taken(run + 1);
            if nalgebra::distance(&pair[0], &pair[1]) < needed_mm + SHORTEST_RUN_MM {
                return Err(ChannelError::RunShorterThanBends { run: run + 1, needed_mm });
            }
        }
        for i in 0..frames.len() {
            for j in i + 2..frames.len() {
                let [p, q] =
                    closest::of_segments([&self.line[i], &self.line[i + 1]], [&self.line[j], &self.line[j + 1]]);
                if nalgebra::distance(&p, &q) <= 2.0 * reach {
                    return Err(ChannelError::RunsMeet { runs: [i + 1, j + 1] });
                }
            }
        }
        Ok(())
    }
}

/// Shorter than this no run has a direction that means anything, mm: a thousandth of what a printer resolves.
const SHORTEST_RUN_MM: f64 = 1e-4;

/// What of `v` is square to a unit vector, of unit length.
pub(crate) fn square_to(v: Vector, along: Vector) -> Option<Vector> {
    let unit = v.try_normalize(f64::MIN_POSITIVE).filter(|v| v.iter().all(|x| x.is_finite()))?;
    // Twice, since the first leaves rounding along `along` where the two are nearly parallel.
    let square = (unit - along * unit.dot(&along)).try_normalize(ALMOST_PARALLEL)?;
    (square - along * square.dot(&along)).try_normalize(ALMOST_PARALLEL)
}

/// Sine of the angle below which two directions count as one: far above the rounding of unit vectors.
const ALMOST_PARALLEL: f64 = 1e-9;

fn check_shape(shape: &SectionShape) -> Result<(), ChannelError> {
    let clears = shape.clears_mm();
    if !(clears > 0.0 && clears <= FARTHEST_MM) {
        return Err(ChannelError::BadMeasure { what: "diameter", mm: clears });
    }
    match *shape {
        SectionShape::Round { sides, .. }
        | SectionShape::Teardrop { sides, .. }
        | SectionShape::FlatRoof { sides, .. }
        | SectionShape::Slit { sides, .. }
            if !SIDES.contains(&sides) =>
        {
            Err(ChannelError::BadSides(sides))
        }
        SectionShape::Slit { diameter_mm, reach_mm, .. }
            if !(reach_mm >= diameter_mm / 2.0 && reach_mm <= FARTHEST_MM) =>
        {
            Err(ChannelError::BadMeasure { what: "reach of the slit", mm: reach_mm })
        }
        _ => Ok(()),
    }
}

fn check_extra(extra: &Extra) -> Result<(), ChannelError> {
    let (mouth, into, lead_mm) = match extra {
        Extra::Countersink { mouth, into, lead_mm, .. } | Extra::Pocket { mouth, into, lead_mm, .. } => {
            (mouth, into, *lead_mm)
        }
    };
    if let Some(bad) = mouth.iter().chain(into.iter()).find(|x| x.is_nan() || x.abs() > FARTHEST_MM) {
        return Err(ChannelError::NotFinite(*bad));
    }
    if into.norm() < f64::MIN_POSITIVE {
        return Err(ChannelError::NoDirection);
    }
    let positive = |what: &'static str, mm: f64| {
        if mm > 0.0 && mm <= FARTHEST_MM { Ok(()) } else { Err(ChannelError::BadMeasure { what, mm }) }
    };
    if !(0.0..=FARTHEST_MM).contains(&lead_mm) {
        return Err(ChannelError::BadMeasure { what: "lead", mm: lead_mm });
    }
    match *extra {
        Extra::Countersink { diameter_mm, narrow_mm, angle_deg, sides, .. } => {
            positive("diameter of the countersink", diameter_mm)?;
            positive("narrow diameter of the countersink", narrow_mm)?;
            if narrow_mm >= diameter_mm {
                return Err(ChannelError::BadMeasure { what: "narrow diameter of the countersink", mm: narrow_mm });
            }
            if !(1.0..=179.0).contains(&angle_deg) {
                return Err(ChannelError::BadAngle(angle_deg));
            }
            if SIDES.contains(&sides) { Ok(()) } else { Err(ChannelError::BadSides(sides)) }
        }
        Extra::Pocket { shape, depth_mm, .. } => {
            check_shape(&shape)?;
            positive("depth of the pocket", depth_mm)
        }
    }
}

//! Rod channels: taking them away from a solid, and finding where they go.
//!
//! A [`Channel`] is an outline led along a line of straight runs. [`bore()`] makes it a polyhedron and takes that away: by
//! a kernel of our own that looks only at the faces near it (`cut/drill`, with its note), or, where that comes to no end,
//! by the library for booleans on the shells concerned. [`Walls`] tell what wall stays around a channel, how far a blind
//! end may go, and where the least wall is greatest; [`centre_line`] fits a line along the middle of a solid.
//!
//! Error budget: outlines are circumscribed, so that the flats clear what is asked for; corners are rounded to 2⁻⁵⁰ of
//! the largest coordinate, and directions of bent channels to 2⁻²⁴, so that walls are exactly flat: in a metre that is a tenth
//! of a thousandth of a millimetre. Where the wall of a channel lies in a face of the solid it is made larger by
//! up to 29 of the solid's resolutions. The wall around a channel is that of the round outline, exact for the faces as they
//! are; it is told for stretches of the line, the least of each.
//!
//! Rejected: a curved tool (its facets are what is printed anyway); an outline inscribed in the diameter (a rod jams on
//! its flats); the distance in all directions as the wall (it vanishes at every mouth, so that each would be told as thin).

mod ahead;
mod blind;
mod centred;
mod channel;
mod entries;
mod error;
mod facing;
mod flat;
mod least;
mod middle;
mod mouths;
mod run;
mod shape;
mod spans;
mod tool;
mod whole;

pub use crate::closest::{distance_to_surface, of_segments as nearest_of_segments};
pub use blind::{BlindEnd, Tip};
pub use centred::Centred;
pub use channel::{Channel, End, Extra, FARTHEST_MM, MOST_BEND_DEG};
pub use error::{BoreError, ChannelError, Fault};
pub use least::{CELLS, END_DEG, Stretch, WallAt, WallProfile, Walls};
pub use middle::{CentreLine, LineFit, Middle, SECTIONS, centre_line};
pub use mouths::MOUTH_DIAMETERS;
pub use shape::{SIDES, SectionShape, sides_for};

pub(crate) use tool::Tool;

use std::borrow::Cow;

use rayon::prelude::*;

use crate::cut::{Drilled, subtract};
use crate::{Bounds, Cancelled, FaceOrigin, Point, Progress, Solid};

/// What a bore left.
#[derive(Clone, Debug)]
pub struct Bored {
    /// The solid without what lies in the channel. Walls of the channel have the origin
    /// [`FaceOrigin::bore`](crate::FaceOrigin::bore) with the label; faces that the channel does not touch are as they were.
    pub solid: Solid,
    /// Volume taken away, mm³; 0 where the channel misses the material. Where shells overlap, it counts for each of them, as
    /// [`Mesh::volume_mm3`](crate::Mesh::volume_mm3) does.
    pub removed_mm3: f64,
    /// Where the channel comes through the surface, in their order along its line. A through bore has two, one through a
    /// hollow model four, a blind one one.
    pub entries: Vec<Entry>,
}

/// A mouth of a bore: a connected rim between its walls and the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Entry {
    /// The middle of the rim.
    pub middle: Point,
    /// How far along the channel's line that is, from its first point, mm; negative before it.
    pub at_mm: f64,
    /// From where to where along that line the rim reaches, mm: the farther, the more aslant it goes in.
    pub reach_mm: [f64; 2],
    /// Length of the rim, mm.
    pub rim_mm: f64,
}

/// Takes `channel` away from `solid`, and marks its walls with `label`.
///
/// What was closed stays closed. A channel that misses the solid, or is larger than it, is an answer: nothing taken away, or
/// nothing left. A shell may be open elsewhere. Fails where it is open in the way of the channel: see [`BoreError`].
///
/// ```
/// use seamwright_geometry::bore::{Channel, End, SectionShape, bore};
/// use seamwright_geometry::{Point, Progress, Solid, solids};
/// let block = Solid::from_stock(solids::cuboid(Point::origin(), Point::new(20.0, 20.0, 50.0)));
/// let line = vec![Point::new(10.0, 10.0, 0.0), Point::new(10.0, 10.0, 30.0)];
/// let keyed = Channel::new(line, SectionShape::Square { across_flats_mm: 8.0 }, [End::Open, End::At]).unwrap();
/// let bored = bore(&block, &keyed, 0, &Progress::new()).unwrap();
/// assert!((bored.removed_mm3 - 8.0 * 8.0 * 30.0).abs() < 1e-6 && bored.entries.len() == 1);
/// ```
pub fn bore(solid: &Solid, channel: &Channel, label: u32, progress: &Progress) -> Result<Bored, BoreError> {
    progress.check()?;
    let missed = || Bored { solid: solid.clone(), removed_mm3: 0.0, entries: Vec::new() };
    let Some(bounds) = bounds(solid) else { return Ok(missed()) };
    let (less, removed_mm3) = match drilled(solid, channel, &bounds, label, progress)? {
        Some((less, removed_mm3)) => (less, removed_mm3),
        None => {
            let mut less = Cow::Borrowed(solid);
            for tool in channel.tools(&bounds, 0.0) {
                less = Cow::Owned(whole::subtract(&less, &tool, label, progress)?);
            }
            let removed_mm3 = solid.mesh.volume_mm3() - less.mesh.volume_mm3();
            (less, removed_mm3)
        }
    };
    let refused = || whole::open_around(solid, channel, &bounds);
    match less {
        // Nothing of the surface is in the way: either nothing is there, or the surface that should be is missing.
        Cow::Borrowed(_) => refused().map_or_else(|| Ok(missed()), Err),
        Cow::Owned(less) => {
            // Where faces look the wrong way, a channel would become a peg.
            if removed_mm3 < 0.0
                && let Some(error) = refused()
            {
                return Err(error);
            }
            Ok(Bored { entries: entries::of(&less, channel, label), solid: less, removed_mm3 })
        }
    }
}

/// By how much a channel is made larger where it leaves a sheet without thickness or a part without form, in resolutions,
/// one after the other: first not at all, at last by 14 thousandths of a millimetre for a model of two metres. A channel
/// whose wall lies in a face of the solid then breaks through there. Our own choice, no source.
const GROWTHS: [f64; 4] = [0.0, 4.0, 11.0, 29.0];

/// The way of our own: what is left and the volume that is not, or nothing where it comes to no end.
fn drilled<'a>(
    solid: &'a Solid,
    channel: &Channel,
    bounds: &Bounds,
    label: u32,
    progress: &Progress,
) -> Result<Option<(Cow<'a, Solid>, f64)>, Cancelled> {
    let mut first: Option<(Cow<Solid>, f64)> = None;
    'growths: for growth in GROWTHS {
        let (mut less, mut removed_mm3, mut is_rough) = (Cow::Borrowed(solid), 0.0, false);
        for tool in channel.tools(bounds, growth * solid.resolution.on_plane_mm) {
            match subtract(&less, &tool, bounds, FaceOrigin::bore(label), progress)? {
                Drilled::Missed => {}
                Drilled::Unclear => continue 'growths,
                Drilled::Less(part) => {
                    less = Cow::Owned(part.solid);
                    removed_mm3 += part.removed_mm3;
                    is_rough |= part.is_rough;
                }
            }
        }
        if !is_rough {
            return Ok(Some((less, removed_mm3)));
        }
        first = first.or(Some((less, removed_mm3)));
    }
    // Closed it is.
    Ok(first)
}

/// The box around all vertices that are somewhere.
fn bounds(solid: &Solid) -> Option<Bounds> {
    let none = || None::<Bounds>;
    let add = |all: Option<Bounds>, p: &Point| {
        let one = Bounds { min: *p, max: *p };
        if p.iter().all(|x| x.is_finite()) { Some(all.map_or(one, |all| all.union(&one))) } else { all }
    };
    let both = |a: Option<Bounds>, b: Option<Bounds>| match (a, b) {
        (Some(a), Some(b)) => Some(a.union(&b)),
        (a, b) => a.or(b),
    };
    solid.mesh.vertices.par_iter().with_min_len(VERTICES).fold(none, add).reduce(none, both)
}

/// Vertices that one task looks at: enough that handing them out costs nothing beside it.
const VERTICES: usize = 1 << 14;

//! *Will it fit?*: a verdict with a pose, or with a proof that there is none.
//!
//! A body fits in an upright box under a rotation exactly when its three widths along the box's axes are at most the
//! box's sides, so that only the convex hull matters. The same holds in every convex room. Around keep-out zones and in
//! outlines with corners that point inwards a body is taken as its convex hull, too: that one of its own hollows could
//! reach around a zone is not looked for, and *too big* speaks of the hull there.
//!
//! * **As it stands** and **turned about the vertical** are exact, in both directions, with no sampling, on rectangles
//!   and round beds. On other beds the best place of one turn is exact, and turns are searched with a bound on those
//!   between.
//! * **Any pose**: a pose shown is checked on every point given; *too big* is given only with a proof (measures that
//!   grow with a convex body, or the exclusion of every cell of the space of rotations); anything between is
//!   *undecided*, with the gap that is left. On plain rectangles and round beds cells are directions that may point down
//!   (`explore`); on other beds they are boxes of rotations, each bounded by a linear programme (`enclose`, `nearby`).
//!
//! *Undecided* is meant for what lies within 0.2 mm of the limit: a search goes on for some times as long unless it is
//! certain that it does. What may remain farther off than that are bodies in any pose on beds with keep-out zones or with
//! corners that point inwards, nearly all of them round: their best poses lie along a curve, there are many ways around a
//! zone for each, and what is left open may be some millimetres. The answer then says between which bounds.
//!
//! *Too big* always speaks of the poses asked for with [`Search`]; the [`Reason`] says which were not tried.

mod around;
mod disc;
mod enclose;
mod explore;
mod figure;
mod free_place;
mod limits;
mod look;
mod nearby;
mod place;
mod programme;
mod proof;
mod room;
mod sector;
mod spins;
mod swing;
mod tilt;
mod turn;
mod verdict;
mod walls;
mod zones;

pub(crate) use figure::Figure;
pub use place::sticks_out_mm;
pub(crate) use place::{Levelled, Placement};
pub(crate) use room::{Ground, Room, Shadow};
pub(crate) use swing::{Effort, best_swing};
pub(crate) use turn::Outline2;
pub use verdict::{Axis, Excess, Fit, Reason, Search, Verdict};

use crate::{Bed, BedError, Cancelled, Point, Progress, Vector};
use look::Look;
use nalgebra::UnitQuaternion;

/// How much a piece may stick out of the room and still be said to fit, mm.
///
/// Files hold 32-bit floats, whose rounding at 1 m is 0.00003 mm at each end of a piece: a 220 mm cube somewhere in
/// such a file must still fit in 220 mm. A tenth of a micrometre is far below what a printer can place.
pub const ROUNDING_MM: f64 = 1e-4;

/// A search that gives up without an answer is no loss where it is certain that the limit is so near, mm: what a printer
/// places and a bed measures is no surer than this (our own choice, no source).
const NEAR_MM: f64 = 0.2;

/// Whether the most slack that there is, which lies between these two, is near to none.
fn is_near_limit(least_mm: f64, at_most_mm: f64) -> bool {
    least_mm >= -NEAR_MM && at_most_mm <= NEAR_MM
}

/// Says whether the body spanned by `points` (piece frame, mm) fits in `bed`, looking as far as `search` says.
///
/// Any points with the same convex hull give the same answer, so that hull vertices do as well as a whole mesh.
///
/// ```
/// use seamwright_geometry::{Bed, Point, Search, Verdict, fit, solids};
/// let rod = solids::cuboid(Point::origin(), Point::new(250.0, 10.0, 10.0));
/// let bed = Bed::rectangle(200.0, 200.0, 200.0);
/// assert_eq!(fit(&rod.vertices, &bed, Search::AsItStands).verdict, Verdict::TooBig);
/// assert_eq!(fit(&rod.vertices, &bed, Search::Turned).verdict, Verdict::Turned);
/// ```
pub fn fit(points: &[Point], bed: &Bed, search: Search) -> Fit {
    // Nobody else holds this handle, so that nobody cancels it.
    fit_preferring(points, bed, search, &[], &Progress::new()).unwrap_or_else(|_| Fit::undecided(Reason::Nothing))
}

/// Like [`fit`], and among tilted poses first tries those that bring a direction of `preferred_down` (piece frame, of
/// any length; the outward normals of caps) to point down. It can be cancelled: near the limit an answer may take seconds.
pub fn fit_preferring(
    points: &[Point],
    bed: &Bed,
    search: Search,
    preferred_down: &[Vector],
    progress: &Progress,
) -> Result<Fit, Cancelled> {
    match up_to_turned(points, bed, search) {
        Ok(fit) => Ok(fit),
        Err(turned) => tilt::any_pose(points, &turned.room, preferred_down, turned.placement, progress),
    }
}

/// What is left to be tilted.
struct Turned {
    room: Room,
    /// The best turn about the vertical; where turns are still to be searched for, as it stands.
    placement: Placement,
}

/// The verdict, if no tilting is needed for it.
fn up_to_turned(points: &[Point], bed: &Bed, search: Search) -> Result<Fit, Box<Turned>> {
    let room = match room_of(bed) {
        Ok(room) => room,
        Err(error) => return Ok(Fit::undecided(error.into())),
    };
    if points.iter().any(|p| p.iter().any(|x| !x.is_finite())) {
        return Ok(Fit::undecided(Reason::NotFinite));
    }
    let figure = Figure::of(points, &room);
    let Some(standing) = Placement::of(&figure, UnitQuaternion::identity(), &room) else {
        return Ok(Fit::undecided(Reason::Nothing));
    };
    if standing.slack_mm() >= -ROUNDING_MM {
        return Ok(Fit::given(Verdict::AsItStands, standing, Reason::Stands));
    }
    if search == Search::AsItStands {
        let at_most_mm = standing.at_most_mm();
        return Ok(Fit::bounded(standing, Reason::NotAsItStands, at_most_mm, 1));
    }
    if search == Search::AnyPose && matches!(room.ground, Ground::Walled(_)) {
        // Turns are searched for there as all rotations are, which is quicker for round bodies.
        return Err(Box::new(Turned { room, placement: standing }));
    }
    let Some(look) = Look::at(&figure, &-Vector::z(), &room, Effort::BEST) else {
        return Ok(Fit::undecided(Reason::Nothing));
    };
    let Some(turned) = Placement::of(&figure, look.rotation(), &room) else {
        return Ok(Fit::undecided(Reason::Nothing));
    };
    if turned.slack_mm() >= -ROUNDING_MM {
        return Ok(Fit::given(Verdict::Turned, turned, Reason::Turns { turn_deg: look.turn.turn_rad.to_degrees() }));
    }
    match search {
        Search::AsItStands | Search::Turned => {
            let at_most_mm = look.at_most_mm.min(room.size_mm[2] - look.height_mm);
            Ok(Fit::bounded(turned, Reason::NoTurn, at_most_mm, look.looked_at))
        }
        Search::AnyPose => Err(Box::new(Turned { room, placement: turned })),
    }
}

/// The room of a bed whose numbers make sense.
pub(crate) fn room_of(bed: &Bed) -> Result<Room, BedError> {
    bed.check()?;
    let [x_mm, y_mm] = bed.size_mm();
    Room::of(bed).ok_or(BedError::NoRoom { margin_mm: bed.kept_mm(), x_mm, y_mm })
}

/// Whether the margins of a bed leave any room.
pub(crate) fn has_room(bed: &Bed) -> bool {
    Room::of(bed).is_some()
}

impl Fit {
    fn given(verdict: Verdict, placement: Placement, reason: Reason) -> Fit {
        let (slack_mm, sizes_mm) = (placement.slack_mm(), placement.sizes_mm);
        Fit { verdict, pose: Some(placement.pose), slack_mm, excess: None, sizes_mm, reason }
    }

    fn refused(verdict: Verdict, least: Placement, reason: Reason) -> Fit {
        let (slack_mm, sizes_mm) = (least.slack_mm(), least.sizes_mm);
        Fit { verdict, pose: None, slack_mm, excess: Some(least.excess()), sizes_mm, reason }
    }

    /// Refused, where no pose asked for has more slack than `at_most_mm`: if that proves nothing, it is undecided.
    fn bounded(least: Placement, reason: Reason, at_most_mm: f64, looked_at: usize) -> Fit {
        if at_most_mm < -ROUNDING_MM {
            Fit::refused(Verdict::TooBig, least, reason)
        } else {
            Fit::refused(Verdict::Undecided, least, Reason::OutOfPatience { looked_at, at_most_mm })
        }
    }

    /// Nothing could be placed at all.
    fn undecided(reason: Reason) -> Fit {
        Fit { verdict: Verdict::Undecided, pose: None, slack_mm: 0.0, excess: None, sizes_mm: [0.0; 3], reason }
    }
}

#[cfg(test)]
mod tests;

//! Any pose: flats on the bed first, since those can be printed; then proofs; then every direction.

use super::enclose::{best_turn, explore_walled};
use super::explore::{End, Patience, explore};
use super::figure::Figure;
use super::look::Look;
use super::nearby::Surroundings;
use super::place::Placement;
use super::proof::too_big;
use super::room::{Ground, Room};
use super::swing::Effort;
use super::{Fit, ROUNDING_MM, Reason, Verdict};
use crate::{Cancelled, Hull, Point, Progress, Vector};
use rayon::prelude::*;

/// The search of a body with more than twice as many corners looks at hulls of at most this many, then at the whole hull,
/// going on to the next only where the coarser one left the answer open. What is found is checked on the whole hull.
const COARSE_CORNERS: [usize; 2] = [300, 1500];
/// Largest flats of the hull tried before a free tilt. A round hull has thousands, none of them worth standing on.
const FLATS_TRIED: usize = 200;
/// So many at a time: where one of them fits, smaller ones are not tried. Our own choice, no source.
const FLATS_AT_A_TIME: usize = 16;
/// Turns looked at upright, and on each flat, where they must be searched for. Our own choice, no source.
const UPRIGHT_PATIENCE: usize = 6_000;
const FLAT_PATIENCE: usize = 200;
/// Directions looked at before giving up near the limit, with a few hundred corners: a second or so on one core.
const PATIENCE: usize = 40_000;

/// Boxes of rotations looked at on other beds, with a few hundred corners: a second or two.
const PATIENCE_WALLED: usize = 30_000;
/// On round beds, where the bound closes more slowly, bodies of fewer corners are looked at for longer, down to this many:
/// a look costs something by itself.
const FEWEST_COUNTED: usize = 100;

/// Unless it is certain that the limit is near, the search of the whole hull goes on for so many times as long. Our own
/// choice, no source.
const LONGER: usize = 2;
const LONGER_WALLED: usize = 4;

/// The verdict over all rotations, for a body that no turn about the vertical is known to fit; `turned` is its best turn
/// known.
pub(super) fn any_pose(
    points: &[Point],
    room: &Room,
    preferred_down: &[Vector],
    turned: Placement,
    progress: &Progress,
) -> Result<Fit, Cancelled> {
    let body = Body::new(points, room);
    let (patience_at_first, fewest, longer) = match room.ground {
        Ground::Walled(_) => (PATIENCE_WALLED, COARSE_CORNERS[0], LONGER_WALLED),
        Ground::Disc(_) => (PATIENCE, FEWEST_COUNTED, LONGER),
        Ground::Box => (PATIENCE, COARSE_CORNERS[0], LONGER),
    };
    let mut best = turned;
    progress.check()?;
    let upright = body.upright(progress)?;
    if let Some((placement, reason)) = upright {
        if placement.slack_mm() >= -ROUNDING_MM {
            return Ok(Fit::given(Verdict::Turned, placement, reason));
        }
        best = better(best, placement);
    }
    for (placement, reason) in body.standing(preferred_down, progress)? {
        if placement.slack_mm() >= -ROUNDING_MM {
            return Ok(Fit::given(Verdict::Tilted, placement, reason));
        }
        best = better(best, placement);
    }

    // A proof spares the search; its first steps are still made, for the pose that sticks out least.
    let proof = too_big(body.finest_coarse(), room.size_mm);
    let mut looked_at = 0;
    let mut end = End::Open { at_most_mm: f64::INFINITY };
    for (index, hull) in body.coarse_to_fine.iter().enumerate() {
        // Looks cost as much as there are corners: every hull is looked at for about as long.
        let share = COARSE_CORNERS[0] as f64 / hull.vertices.len().max(fewest) as f64;
        let looks = if proof.is_some() { 0 } else { (patience_at_first as f64 * share) as usize };
        let is_whole = index + 1 == body.coarse_to_fine.len();
        let patience = Patience { looks, most_looks: if is_whole { looks * longer } else { looks } };
        let fits = |look: &Look| body.place(look).is_some_and(|p| p.slack_mm() >= -ROUNDING_MM);
        let figure = Figure::of_hull(hull, room);
        let search = match &room.ground {
            Ground::Walled(walled) => match Surroundings::of(&figure, room, walled) {
                Some(of) => explore_walled(&of, patience, progress, fits)?,
                None => None,
            },
            Ground::Box | Ground::Disc(_) => {
                explore(&figure, body.diameter_at_most_mm, room, patience, progress, fits)?
            }
        };
        let Some(search) = search else { break };
        (looked_at, end) = (looked_at + search.looked_at, search.end);
        if let Some(placement) = body.place(&search.best) {
            if end == End::Found {
                return Ok(Fit::given(Verdict::Tilted, placement, Reason::TiltsFreely));
            }
            best = better(best, placement);
        }
        if end == End::Excluded || proof.is_some() {
            break;
        }
    }
    Ok(match (proof, end) {
        (Some(proof), _) => Fit::refused(Verdict::TooBig, best, proof),
        (None, End::Open { at_most_mm }) => {
            Fit::refused(Verdict::Undecided, best, Reason::OutOfPatience { looked_at, at_most_mm })
        }
        (None, End::Excluded | End::Found) => Fit::refused(Verdict::TooBig, best, Reason::NoRotation { looked_at }),
    })
}

fn better(a: Placement, b: Placement) -> Placement {
    if b.slack_mm() > a.slack_mm() { b } else { a }
}

/// The body as its hull, in steps from few corners to all.
struct Body<'a> {
    /// What a hull of some of the corners excludes is excluded for the body. The last is the whole hull.
    coarse_to_fine: Vec<Hull>,
    /// No two points of the body are farther apart.
    diameter_at_most_mm: f64,
    room: &'a Room,
    /// The whole hull, and that with the fewest corners.
    whole: Figure<'static>,
    coarsest: Figure<'static>,
}

impl<'a> Body<'a> {
    fn new(points: &[Point], room: &'a Room) -> Body<'a> {
        let hull = Hull::of(points);
        let coarse: Vec<(Hull, f64)> = COARSE_CORNERS
            .iter()
            .filter(|&&corners| hull.vertices.len() > 2 * corners)
            .filter_map(|&corners| with_few_corners(&hull, corners))
            .collect();
        let diameter_at_most_mm = match coarse.last() {
            Some((finest, lost_mm)) => finest.diameter_mm() + 2.0 * lost_mm,
            None => hull.diameter_mm(),
        };
        let whole = Figure::of_hull(&hull, room).into_owned();
        let coarsest = Figure::of_hull(coarse.first().map_or(&hull, |(hull, _)| hull), room).into_owned();
        let coarse_to_fine = coarse.into_iter().map(|(hull, _)| hull).chain([hull]).collect();
        Body { coarse_to_fine, diameter_at_most_mm, room, whole, coarsest }
    }

    fn whole(&self) -> &Hull {
        &self.coarse_to_fine[self.coarse_to_fine.len() - 1]
    }

    /// The hull with the most corners for which looking at all pairs is quick.
    fn finest_coarse(&self) -> &Hull {
        &self.coarse_to_fine[self.coarse_to_fine.len().saturating_sub(2)]
    }

    /// The best turn about the vertical, where turns must be searched for.
    fn upright(&self, progress: &Progress) -> Result<Option<(Placement, Reason)>, Cancelled> {
        let Ground::Walled(walled) = &self.room.ground else { return Ok(None) };
        let Some(of) = Surroundings::of(&self.coarsest, self.room, walled) else { return Ok(None) };
        let look = best_turn(&of, &-Vector::z(), UPRIGHT_PATIENCE, progress)?;
        let placed = |look: Look| {
            let turn_deg = look.turn.turn_rad.to_degrees();
            Some((self.place(&look)?, Reason::Turns { turn_deg }))
        };
        Ok(look.and_then(placed))
    }

    /// The best turn on each direction asked for, then on each flat of the hull from the largest down, as far as one fits.
    fn standing(&self, preferred_down: &[Vector], progress: &Progress) -> Result<Vec<(Placement, Reason)>, Cancelled> {
        let given = preferred_down.iter().enumerate().map(|(index, down)| (*down, Reason::StandsOnGiven { index }));
        let flats = self.whole().flats().into_iter().take(FLATS_TRIED);
        let flats = flats.map(|flat| (flat.normal, Reason::StandsOnFlat { area_mm2: flat.area_mm2 }));
        let directions: Vec<(Vector, Reason)> = given.chain(flats).collect();
        let of = match &self.room.ground {
            Ground::Walled(walled) => Surroundings::of(&self.coarsest, self.room, walled),
            Ground::Box | Ground::Disc(_) => None,
        };
        let stand = |(down, reason): &(Vector, Reason)| {
            let place = self.stand(*down, of.as_ref(), progress).transpose()?;
            Some(place.map(|place| (place, reason.clone())))
        };
        let mut stood: Vec<(Placement, Reason)> = Vec::with_capacity(directions.len());
        for some in directions.chunks(FLATS_AT_A_TIME) {
            let more: Vec<(Placement, Reason)> = some.par_iter().filter_map(stand).collect::<Result<_, Cancelled>>()?;
            stood.extend(more);
            if stood.iter().any(|(placement, _)| placement.slack_mm() >= -ROUNDING_MM) {
                break;
            }
        }
        Ok(stood)
    }

    /// The best turn with `down` (of any length) pointing down.
    fn stand(
        &self,
        down: Vector,
        of: Option<&Surroundings>,
        progress: &Progress,
    ) -> Result<Option<Placement>, Cancelled> {
        let largest = down.amax();
        if !(largest > 0.0 && largest.is_finite()) {
            return Ok(None);
        }
        let down = (down / largest).normalize();
        let look = match of {
            Some(of) => best_turn(of, &down, FLAT_PATIENCE, progress)?,
            None => Look::at(&self.coarsest, &down, self.room, Effort::LIVE),
        };
        Ok(look.and_then(|look| self.place(&look)))
    }

    /// Places the whole body; where a coarser hull fits and it does not, with the turn that is best for all corners.
    fn place(&self, look: &Look) -> Option<Placement> {
        let placed = Placement::of(&self.whole, look.rotation(), self.room)?;
        let promising = look.slack_mm >= -ROUNDING_MM && self.coarse_to_fine.len() > 1;
        if !promising || placed.slack_mm() >= -ROUNDING_MM {
            return Some(placed);
        }
        let look = Look::at(&self.whole, &look.down, self.room, Effort::LIVE)?;
        Placement::of(&self.whole, look.rotation(), self.room)
    }
}

/// The hull with at most `corners` corners, and how far outside it the others may lie, mm.
fn with_few_corners(hull: &Hull, corners: usize) -> Option<(Hull, f64)> {
    let size_mm = crate::Bounds::of(hull.vertices.iter().copied())?.diagonal();
    // The corners needed on a round body fall as one over the tolerance, so that half more at a time soon leaves few.
    const STEP: f64 = 1.5;
    let mut lost_mm = size_mm * 1e-6;
    while lost_mm < size_mm {
        let few = Hull::within(&hull.vertices, lost_mm);
        if few.vertices.len() <= corners {
            return Some((few, lost_mm));
        }
        lost_mm *= STEP;
    }
    None
}

//! The way out of a hollow solid: the narrowest clear section between a picked height and the opening below.

use super::star::Star;
use super::walls::{Walls, around, left_of};
use super::{ClearSection, Room, start};
use crate::{Cancelled, Plane, Point, Progress, SectionSupport, Solid};

/// Distance between the planes that are looked at, mm (our own choice, no source): less than the padding of a helm.
pub const STEP_MM: f64 = 2.0;

/// At most this many planes are looked at (our own choice, no source); above two metres they lie farther apart than
/// [`STEP_MM`].
const MOST_PLANES: f64 = 1000.0;

/// Whether what is worn gets into a hollow solid from below: see [`narrowest_below`].
#[derive(Clone, Debug, PartialEq)]
pub enum Passage {
    /// There is no room with walls around it at the picked height.
    NoRoom,
    /// The room goes on until the stock ends, or its walls.
    Open {
        /// Where the room is narrowest: parallel to the picked plane, at it or below.
        plane: Plane,
        /// The room there: the one of least girth.
        section: Box<ClearSection>,
    },
    /// Material closes the room before that.
    Closed {
        /// The first plane looked at where the middle of the room lies in material.
        plane: Plane,
    },
}

/// Follows the room that [`Section::clear`](crate::Section::clear) finds in `plane` downwards, against the normal of the
/// plane, to where the solid ends, and gives the clear section of least girth on the way: what is worn at the height of
/// the plane must pass it. `support` must be built for `solid`.
///
/// Sections are made every [`STEP_MM`] at most, the last one half a step above the lowest point: a narrow place between
/// two of them may be missed by what the room changes there. Where no walls stand around the room, as below the cheeks of
/// a helm that is open in front, nothing is narrow. The room of one plane goes on in the next around the same middle;
/// where that lies in material there, in the largest room whose middle the former room holds; and where there is none,
/// it is closed.
pub fn narrowest_below(
    solid: &Solid,
    support: &SectionSupport,
    plane: &Plane,
    progress: &Progress,
) -> Result<Passage, Cancelled> {
    progress.stage("following the room inside");
    progress.check()?;
    let Some(mut room) = support.section(solid, plane).clear(plane) else { return Ok(Passage::NoRoom) };
    let mut narrowest = (*plane, room.clone());
    let depth = depth_below(solid, plane);
    let planes = (depth / STEP_MM).ceil().min(MOST_PLANES);
    let step = depth / planes.max(1.0);
    for k in 1..=planes as u32 {
        progress.check()?;
        progress.report(f64::from(k) / planes);
        let down = f64::from(k).min(planes - 0.5) * step;
        let Ok(next) = Plane::new(plane.normal(), plane.offset_mm() - down) else { break };
        let Some(walls) = Walls::of(&support.section(solid, &next), &next) else { continue };
        match goes_on(&walls, &room) {
            Next::Room(found) => room = found.told(&walls),
            Next::Nothing => continue,
            Next::Material => return Ok(Passage::Closed { plane: next }),
        }
        if room.girth_mm < narrowest.1.girth_mm {
            narrowest = (next, room.clone());
        }
    }
    Ok(Passage::Open { plane: narrowest.0, section: Box::new(narrowest.1) })
}

enum Next {
    Room(Room),
    /// No walls around.
    Nothing,
    Material,
}

fn goes_on(walls: &Walls, room: &ClearSection) -> Next {
    let middle = walls.flat(&room.centre);
    if walls.is_free(&middle) {
        return Star::seen(walls, middle).and_then(|star| Room::of(walls, &star)).map_or(Next::Nothing, Next::Room);
    }
    let outline: Vec<_> = room.outline.iter().map(|p| walls.flat(p)).collect();
    let is_held = |room: &Room| around(&outline).all(|[a, b]| left_of(&a, &b, &room.middle) >= 0.0);
    let other = start::largest(walls).and_then(|star| Room::of(walls, &star)).filter(is_held);
    other.map_or(Next::Material, Next::Room)
}

/// How far the solid goes on below the plane, mm; 0 if it does not.
fn depth_below(solid: &Solid, plane: &Plane) -> f64 {
    let corners = solid.mesh.triangles.iter().flatten().filter_map(|&v| solid.mesh.vertices.get(v as usize));
    let depth = |p: &Point| -plane.distance_mm(p);
    corners.map(depth).filter(|depth| depth.is_finite()).fold(0.0, f64::max)
}

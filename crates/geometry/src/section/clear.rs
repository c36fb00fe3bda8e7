//! The clear inside of a hollow section: the room that a head, or whatever is to be worn, may fill.
//!
//! *Free* is what lies neither in the material nor beyond the convex hull of the section. The room is found in three
//! steps:
//!
//! 1. *Where it is*: the centre of the largest circle that free space holds and that has walls around it. A place has
//!    walls around it while no gap between them is seen from there under more than [`OPENING_DEG`]; the middle of the room
//!    that is then found must have them, too.
//! 2. *What is seen from there*: the region up to the nearest wall in every direction. Every line of the section is a
//!    wall, so crests, paddings and other shells inside count, and so do lines that do not close. Gaps are bridged
//!    straight from the wall on one side to the wall on the other.
//! 3. *The convex part of it*: a girth goes round bulges as a tape does, and a head has no dents. A convex region stays as
//!    it is. From any other, what lies behind a bulge is cut off with straight lines, each turned so that most area is
//!    left.
//!
//! The last two steps are done again from the middle of the room found, as long as that makes it larger.
//!
//! The result is never more than the room there is, but for the bridges; where bulges reach into the room it may be less
//! than the largest convex room. On circles, ellipses and rectangles it is exact but for rounding.
//!
//! Measured on two cores that others used too (`examples/clear_speed.rs`): 4 to 8 ms for sections of the demo helm with
//! about 1000 edges, 5 to 9 ms for a ring of 4000 edges in a torus of a million faces, whose section takes 1.4 ms. Where
//! pockets are looked into in vain it takes longest: 340 ms for a section of the demo cuirass without a room.

mod measure;
mod passage;
mod peel;
mod star;
mod start;
mod walls;

#[cfg(test)]
mod tests;

use super::frame::Flat;
use super::{Section, section};
use crate::{Plane, Point, Solid};
pub use passage::{Passage, STEP_MM, narrowest_below};
use star::Star;
use walls::Walls;

/// Walls stand around a place while the widest gap between them is seen from there under at most this angle (our own
/// choice, no source): well above the face opening of a helm, which at 180 mm across and 100 mm from the middle is 84°;
/// below the 143° under which the open side of a square notch is seen from the middle of its area.
pub const OPENING_DEG: f64 = 120.0;

/// The clear inside of a hollow section: see [`Section::clear`].
#[derive(Clone, Debug, PartialEq)]
pub struct ClearSection {
    /// Length around the room, bridges of openings included, mm.
    pub girth_mm: f64,
    /// Least width, mm.
    pub breadth_mm: f64,
    /// Extent square to the least width, mm.
    pub length_mm: f64,
    /// The middle of its area, within the plane.
    pub centre: Point,
    /// Corners of the room, which is convex, within the plane; counter-clockwise as seen from above the plane.
    pub outline: Vec<Point>,
    /// Total length of the straight bridges where the wall is open as seen from the middle, mm; 0 for a closed ring.
    pub openings_mm: f64,
}

/// The clear inside of `solid` where `plane` cuts it, in time that grows with the number of faces: see
/// [`Section::clear`]. With a [`SectionSupport`](crate::SectionSupport), `support.section(solid, plane).clear(plane)`
/// gives the same in time that grows with the outline.
///
/// ```
/// use seamwright_geometry::{Plane, Point, Solid, Vector, clear_section, solids};
/// let block = |x: f64, y: f64, z: f64| solids::cuboid(Point::new(-x, -y, -z), Point::new(x, y, z));
/// let chest = Solid::from_stock(solids::hollow(&block(90.0, 110.0, 50.0), &block(80.0, 100.0, 45.0)));
/// let room = clear_section(&chest, &Plane::new(Vector::z(), 0.0).unwrap()).unwrap();
/// assert!((room.breadth_mm - 160.0).abs() < 1e-6 && (room.length_mm - 200.0).abs() < 1e-6);
/// assert!((room.girth_mm - 720.0).abs() < 1e-6 && room.openings_mm == 0.0);
/// ```
pub fn clear_section(solid: &Solid, plane: &Plane) -> Option<ClearSection> {
    section(solid, plane).clear(plane)
}

impl Section {
    /// The largest room with walls around it in this section, made by `plane`: a convex region free of material. Of
    /// several rooms the one that holds the largest circle. `None` where there is none, as in a solid block.
    ///
    /// Material is what closed lines go round: a surface without thickness is not hollow. A groove deeper than it is wide
    /// is a room, too, with its open side bridged: `openings_mm` tells.
    pub fn clear(&self, plane: &Plane) -> Option<ClearSection> {
        let walls = Walls::of(self, plane)?;
        Room::of(&walls, &start::largest(&walls)?).map(|room| room.told(&walls))
    }

    /// The room around a place, which is taken to the plane along its normal. `None` where that lies in the material, or
    /// has no walls around it.
    pub fn clear_around(&self, plane: &Plane, near: &Point) -> Option<ClearSection> {
        let walls = Walls::of(self, plane)?;
        let star = Star::seen(&walls, walls.flat(near))?;
        Room::of(&walls, &star).map(|room| room.told(&walls))
    }
}

/// Share by which a room must become larger for the search to go on from its middle, and how often it may (our own
/// choices, no source).
const GAIN: f64 = 1e-3;
const ROUNDS: usize = 8;

/// A convex room in the coordinates of the plane.
struct Room {
    corners: Vec<Flat>,
    middle: Flat,
    area_mm2: f64,
    openings_mm: f64,
}

impl Room {
    /// The room that is found from a place, or from the middles of rooms found before. `None` where its middle has no
    /// walls around it.
    fn of(walls: &Walls, from: &Star) -> Option<Room> {
        let mut best = Room::within(from)?;
        let mut star = Star::seen(walls, best.middle)?;
        for _ in 0..ROUNDS {
            let Some(room) = Room::within(&star) else { break };
            let gain = room.area_mm2 / best.area_mm2 - 1.0;
            let from_middle = if gain > 0.0 { Star::seen(walls, room.middle) } else { None };
            let Some(from_middle) = from_middle else { break };
            (best, star) = (room, from_middle);
            if gain < GAIN {
                break;
            }
        }
        Some(best)
    }

    /// Whether the room found from there has walls around its middle: from deep in a notch the opening looks narrow.
    fn is_around(walls: &Walls, from: &Star) -> bool {
        Room::within(from).is_some_and(|room| Star::seen(walls, room.middle).is_some())
    }

    fn within(Star { centre, rim, openings_mm }: &Star) -> Option<Room> {
        let corners: Vec<Flat> = peel::convex_part(rim.clone())?.iter().map(|p| p + centre).collect();
        let (area_mm2, middle) = measure::area_and_middle(&corners);
        (area_mm2 > 0.0).then_some(Room { corners, middle, area_mm2, openings_mm: *openings_mm })
    }

    fn told(&self, walls: &Walls) -> ClearSection {
        let (breadth_mm, length_mm) = measure::breadth_and_length(&self.corners);
        ClearSection {
            girth_mm: measure::girth(&self.corners),
            breadth_mm,
            length_mm,
            centre: walls.place(&self.middle),
            outline: self.corners.iter().map(|p| walls.place(p)).collect(),
            openings_mm: self.openings_mm,
        }
    }
}

//! A bed's room as the search sees it: an upright box, a round or polygonal shaft, zones to stay clear of.

use super::disc::Circle;
use super::walls::{Corner, Wall, enclosing_three, walls_of};
use super::zones::{Spot, best_spot, lines_between};
use crate::bed::{convex_parts, pockets, points2};
use crate::hull::{Point2, convex_polygon};
use crate::{Bed, Outline};
use nalgebra::Vector2;
use std::f64::consts::{PI, TAU};

/// The room of a bed.
#[derive(Clone, Debug)]
pub(crate) struct Room {
    /// Width, depth and height of the upright box around it, mm.
    pub size_mm: [f64; 3],
    /// Height of the floor above the bed's surface: on top of the raft, mm.
    pub floor_mm: f64,
    /// Middle of the box, seen from above.
    pub middle: Point2,
    pub ground: Ground,
}

/// What the floor looks like, seen from above.
#[derive(Clone, Debug)]
pub(crate) enum Ground {
    /// A rectangle with nothing in the way: only the three sizes matter.
    Box,
    /// A circle with nothing in the way: turning changes nothing.
    Disc(Circle),
    /// Straight walls, and zones.
    Walled(Walled),
}

#[derive(Clone, Debug)]
pub(crate) struct Walled {
    walls: Vec<Wall>,
    three: [usize; 3],
    zones: Vec<Zone>,
    /// Heights above the floor, mm, above which zones begin that leave the floor free; ascending.
    pub levels_mm: Vec<f64>,
    /// How far the straight walls may be inside the true ones, mm: more than nothing for round beds.
    rounding_mm: f64,
    /// The true wall of a round bed.
    round: Option<Circle>,
}

#[derive(Clone, Debug)]
pub(crate) struct Zone {
    /// Convex, counter-clockwise.
    pub corners: Vec<Point2>,
    /// Which of the levels it begins at; none where it stands on the floor.
    pub level: Option<usize>,
}

/// What a body covers, seen from above.
#[derive(Clone, Debug, Default)]
pub(crate) struct Shadow {
    /// Of all of it; a convex polygon.
    pub whole: Vec<Point2>,
    /// Of what is higher than each of the room's levels.
    pub above: Vec<Vec<Point2>>,
}

impl Shadow {
    pub fn moved(&self, by: Vector2<f64>) -> Shadow {
        let shift = |points: &Vec<Point2>| -> Vec<Point2> { points.iter().map(|p| p + by).collect() };
        Shadow { whole: shift(&self.whole), above: self.above.iter().map(shift).collect() }
    }

    pub fn turned(&self, angle_rad: f64) -> Shadow {
        let (s, c) = angle_rad.sin_cos();
        let turn = |points: &Vec<Point2>| -> Vec<Point2> {
            points.iter().map(|p| Point2::new(p.x * c - p.y * s, p.x * s + p.y * c)).collect()
        };
        Shadow { whole: turn(&self.whole), above: self.above.iter().map(turn).collect() }
    }
}

/// Sides of the polygon that stands for a round wall among others: inscribed, it is nowhere farther inside than
/// 0.008 % of the radius, 0.011 mm for a bed of 300 mm.
const ROUND_WALLS: u32 = 256;
/// Sides of the polygon drawn around a corner that something is kept from: outside the true circle by 0.5 % of what is
/// kept, a hundredth of a millimetre of 2 mm.
const ROUND_CORNER: u32 = 32;

impl Room {
    /// `None` where margins leave nothing. The numbers of the bed must make sense by themselves.
    pub fn of(bed: &Bed) -> Option<Room> {
        let [low, high] = bed.extent_mm();
        let middle = Point2::new((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0);
        let room = |ground| Room { size_mm: bed.room_mm(), floor_mm: bed.raft_mm, middle, ground };
        let radius = bed.size_mm()[0] / 2.0 - bed.kept_mm();
        match bed.outline {
            Outline::Rectangle { .. } if bed.is_plain() => return Some(room(Ground::Box)),
            Outline::Circle { .. } if radius <= 0.0 => return None,
            Outline::Circle { .. } if bed.keep_outs.is_empty() => {
                return Some(room(Ground::Disc(Circle { centre: middle, radius })));
            }
            _ => {}
        }
        let outline = match bed.outline {
            Outline::Circle { .. } => ring(middle, radius, ROUND_WALLS),
            _ => points2(&bed.drawn_outline_mm()),
        };
        let (kept_mm, rounding_mm) = match bed.outline {
            // The ring's corners are on the circle; its edges are inside by so much.
            Outline::Circle { .. } => (0.0, radius * (1.0 - (PI / f64::from(ROUND_WALLS)).cos())),
            _ => (bed.kept_mm(), 0.0),
        };
        let pockets: Vec<Vec<Point2>> = pockets(outline.clone()).into_iter().flat_map(convex_parts).collect();
        let mut zones: Vec<(Vec<Point2>, f64)> = pockets.into_iter().map(|p| (grown(&p, kept_mm), 0.0)).collect();
        for zone in &bed.keep_outs {
            let parts = convex_parts(points2(&zone.corners_mm)).into_iter();
            zones.extend(parts.map(|p| (grown(&p, bed.around_mm), (zone.from_mm - bed.raft_mm).max(0.0))));
        }
        let mut levels_mm: Vec<f64> = zones.iter().map(|z| z.1).filter(|from| *from > 0.0).collect();
        levels_mm.sort_unstable_by(f64::total_cmp);
        levels_mm.dedup();
        let level = |from: f64| levels_mm.iter().position(|l| *l == from);
        let zones = zones.into_iter().map(|(corners, from)| Zone { corners, level: level(from) }).collect();
        let walls = walls_of(&convex_polygon(outline), kept_mm);
        let three = enclosing_three(&walls)?;
        let round = matches!(bed.outline, Outline::Circle { .. }).then_some(Circle { centre: middle, radius });
        let walled = Walled { walls, three, zones, levels_mm, rounding_mm, round };
        walled.holds_a_point().then(|| room(Ground::Walled(walled)))
    }

    /// Heights above the floor from which zones begin that leave the floor free, mm.
    pub fn levels_mm(&self) -> &[f64] {
        match &self.ground {
            Ground::Walled(walled) => &walled.levels_mm,
            Ground::Box | Ground::Disc(_) => &[],
        }
    }
}

impl Walled {
    /// How far what covers `shadow`, as it lies, sticks out through walls or into zones, mm; negative inside.
    pub fn sticks_out_mm(&self, shadow: &Shadow) -> f64 {
        let (walls, zones) = self.left(shadow);
        -zones.into_iter().fold(walls, f64::min)
    }

    /// What is left, as it lies, to the nearest wall and to each of the zones; negative where it sticks out.
    pub fn left(&self, shadow: &Shadow) -> (f64, Vec<f64>) {
        let beyond_walls = |p: &Point2| match &self.round {
            Some(circle) => circle.sticks_out_mm(p),
            None => self.walls.iter().map(|wall| -wall.left(&p.coords)).fold(f64::NEG_INFINITY, f64::max),
        };
        let most = shadow.whole.iter().map(beyond_walls).fold(f64::NEG_INFINITY, f64::max);
        let unmoved = Vector2::zeros();
        let farthest = |lines: Vec<Wall>| lines.iter().map(|l| l.left(&unmoved)).fold(f64::NEG_INFINITY, f64::max);
        let zones = self.zones.iter().map(|zone| zone.lines(shadow).map_or(f64::INFINITY, farthest)).collect();
        (-most, zones)
    }

    /// Of each zone that can be in the way, the direction in which a body that lies so is most clear of it.
    pub fn clear_towards(&self, shadow: &Shadow) -> impl Iterator<Item = Option<Vector2<f64>>> {
        let unmoved = Vector2::zeros();
        self.zones.iter().map(move |zone| {
            let clearest = |a: &Wall, b: &Wall| a.left(&unmoved).total_cmp(&b.left(&unmoved));
            zone.lines(shadow)?.into_iter().max_by(clearest).map(|line| -line.normal)
        })
    }

    /// For every zone that can be in the way, the lines of which one must keep it apart.
    fn lines<'a>(&'a self, shadow: &'a Shadow) -> impl Iterator<Item = Vec<Wall>> + 'a {
        self.zones.iter().filter_map(|zone| zone.lines(shadow))
    }

    pub fn walls(&self) -> &[Wall] {
        &self.walls
    }

    pub fn zones(&self) -> &[Zone] {
        &self.zones
    }

    /// The true wall of a round bed.
    pub fn round(&self) -> Option<&Circle> {
        self.round.as_ref()
    }

    fn holds_a_point(&self) -> bool {
        let point = Shadow { whole: vec![Point2::origin()], above: Vec::new() };
        self.spot(&point, f64::NEG_INFINITY).is_some_and(|spot| spot.clearance > 0.0)
    }

    /// The best place for what covers `shadow`, unturned. Looking ends early where every place has a clearance below
    /// `enough`. `None` for a shadow of nothing.
    pub fn spot(&self, shadow: &Shadow, enough: f64) -> Option<Spot> {
        self.spot_where(shadow, |normal| reach(&shadow.whole, normal), 0.0, enough)
    }

    /// What no place leaves more of while `shadow` is turned by at most `half_rad` either way, and with it moved nowhere
    /// by more than `moved_mm`. The clearance told is not that of the place.
    pub fn spot_around(&self, shadow: &Shadow, half_rad: f64, moved_mm: f64) -> Option<Spot> {
        let reaches = Reaches::of(&shadow.whole);
        self.spot_where(shadow, |normal| reaches.least_around(normal, half_rad), moved_mm, f64::NEG_INFINITY)
    }

    fn spot_where(
        &self,
        shadow: &Shadow,
        reach: impl Fn(&Vector2<f64>) -> f64,
        zones_give_mm: f64,
        enough: f64,
    ) -> Option<Spot> {
        let wall = |wall: &Wall| Wall { at_most: wall.at_most - reach(&wall.normal), ..*wall };
        let walls: Vec<Wall> = self.walls.iter().map(wall).collect();
        let give = |line: Wall| Wall { at_most: line.at_most + zones_give_mm, ..line };
        let zones: Vec<Vec<Wall>> = self.lines(shadow).map(|zone| zone.into_iter().map(give).collect()).collect();
        let corner = Corner::of(&walls, self.three)?;
        if !corner.clearance.is_finite() {
            return None;
        }
        let spot = best_spot(corner, &walls, &zones, enough);
        Some(Spot { at_most: spot.at_most + self.rounding_mm, ..spot })
    }
}

impl Zone {
    /// The lines of which one must keep it apart from what covers `shadow`; `None` where nothing is as high.
    fn lines(&self, shadow: &Shadow) -> Option<Vec<Wall>> {
        let covered = match self.level {
            Some(level) => shadow.above.get(level)?,
            None => &shadow.whole,
        };
        (!covered.is_empty()).then(|| lines_between(&self.corners, covered))
    }
}

/// Largest `normal · p`.
fn reach(points: &[Point2], normal: &Vector2<f64>) -> f64 {
    points.iter().map(|p| normal.dot(&p.coords)).fold(f64::NEG_INFINITY, f64::max)
}

/// How far a convex polygon reaches in every direction.
struct Reaches<'a> {
    corners: &'a [Point2],
    /// The outward directions of its edges, and how far it reaches there.
    edges: Vec<(f64, f64)>,
}

impl Reaches<'_> {
    fn of(corners: &[Point2]) -> Reaches<'_> {
        let next = corners.iter().cycle().skip(1);
        let edge = |(a, b): (&Point2, &Point2)| {
            let outward = Vector2::new(b.y - a.y, a.x - b.x).try_normalize(0.0)?;
            Some((outward.y.atan2(outward.x), outward.dot(&a.coords)))
        };
        Reaches { corners, edges: corners.iter().zip(next).filter_map(edge).collect() }
    }

    /// The least that it reaches in directions within `half_rad` of `normal`. Between the directions of two edges one
    /// corner is the farthest, whose reach is a cosine: least at an end, or where it is an edge's turn.
    fn least_around(&self, normal: &Vector2<f64>, half_rad: f64) -> f64 {
        let towards = normal.y.atan2(normal.x);
        let at = |angle: f64| reach(self.corners, &Vector2::new(angle.cos(), angle.sin()));
        let within = |(angle, _): &&(f64, f64)| {
            let off = (angle - towards).rem_euclid(TAU);
            off <= half_rad || TAU - off <= half_rad
        };
        let ends = at(towards - half_rad).min(at(towards + half_rad));
        let edges = self.edges.iter().filter(within).map(|(_, reach)| *reach);
        // A cosine below zero is convex, and may be least between: it is then at least minus its length.
        let least = edges.fold(ends, f64::min);
        if least >= 0.0 { least } else { self.corners.iter().map(|p| -p.coords.norm()).fold(0.0, f64::min).min(least) }
    }
}

fn ring(centre: Point2, radius: f64, sides: u32) -> Vec<Point2> {
    let point = |k: u32| {
        let (s, c) = (f64::from(k) * TAU / f64::from(sides)).sin_cos();
        centre + Vector2::new(c, s) * radius
    };
    (0..sides).map(point).collect()
}

/// A convex polygon with all that is nearer to it than `kept_mm`; its round corners in straight pieces, outside them.
fn grown(corners: &[Point2], kept_mm: f64) -> Vec<Point2> {
    if kept_mm <= 0.0 {
        return corners.to_vec();
    }
    let outer = kept_mm / (PI / f64::from(ROUND_CORNER)).cos();
    convex_polygon(corners.iter().flat_map(|corner| ring(*corner, outer, ROUND_CORNER)).collect())
}

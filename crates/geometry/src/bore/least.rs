//! How much wall a channel leaves around itself.

use super::channel::{Channel, End};
use super::flat::{Core, Flat};
use crate::boxes::SmallBox;
use crate::inside::{look_up, turn_round};
use crate::tree::{FaceTree, Search};
use crate::{Cancelled, Mesh, Plane, Point, Progress, Solid, Vector, closest};

/// A solid prepared so that the walls around channels in it are found in time that hardly grows with its faces: once per
/// solid, on a worker; then every frame while the end of a channel is dragged.
#[derive(Debug)]
pub struct Walls {
    pub(super) tree: FaceTree,
}

/// The wall around a channel, along its whole line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WallProfile {
    /// The least wall in each of [`CELLS`] stretches of the line or hardly more, in their order; stretches without a wall are
    /// left out: what lies in a cavity, outside, or where the surface comes into the channel.
    pub cells: Vec<WallAt>,
    /// The least of all, that ahead of flat ends in the material included; `None` where there is no wall at all.
    pub least: Option<WallAt>,
    /// Where the wall is thinner than asked for, in the order of the line.
    pub thin: Vec<Stretch>,
    /// Where the channel breaks through sideways, in the order of the line.
    pub broken: Vec<Stretch>,
    /// Length of the line that has no wall around it and no surface in the channel: in a cavity, or outside, mm.
    pub bare_mm: f64,
}

/// The wall at a place of the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallAt {
    /// From the first point of the line, mm.
    pub at_mm: f64,
    /// On the line.
    pub place: Point,
    /// Between the channel and the surface, mm.
    pub wall_mm: f64,
    /// The nearest place of the surface.
    pub towards: Point,
}

/// A part of the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Where it begins and ends, from the first point of the line, mm.
    pub from_mm: f64,
    /// See [`from_mm`](Self::from_mm).
    pub to_mm: f64,
    /// A place on the surface there, where the wall is least.
    pub place: Point,
}

/// Stretches of a line that are told apart: two millimetres each of a rod of a quarter metre (our own choice, no source).
pub const CELLS: usize = 128;
/// A surface whose normal is within this angle of the line is an end of the channel, where it goes in or out, and no wall
/// beside it (our own choice, no source): half a right angle.
pub const END_DEG: f64 = 45.0;

/// Gaps shorter than this between spans are none, mm: a tenth of a thousandth of what a printer resolves.
const CLOSE_MM: f64 = 1e-5;

impl Walls {
    /// Prepares `solid`.
    pub fn build(solid: &Solid, progress: &Progress) -> Result<Walls, Cancelled> {
        Ok(Walls { tree: FaceTree::build(&solid.mesh, progress)? })
    }

    /// The wall that `channel` would leave in `solid`, which must be the one that this was built for and is not bored yet.
    ///
    /// At a place of the line the wall is the distance between the channel and the surface, square to the line; only surface
    /// that faces away from the line, within 90° − [`END_DEG`] of the direction from it, bounds a wall. A round
    /// channel counts as the circle that its flats touch, a slit as its round bottom. The place of a value within its
    /// stretch is the one where the surface comes nearest. Ahead of an end in the material the wall is the distance of its
    /// flat end in any direction.
    pub fn least(&self, solid: &Solid, channel: &Channel, thinner_than_mm: f64) -> WallProfile {
        let core = Core::of(channel.shape());
        let length = channel.length_mm();
        let mut profile = WallProfile::default();
        let mut states: Vec<(f64, f64, Cell)> = Vec::with_capacity(2 * CELLS);
        let mut before = 0.0;
        for (pair, frame) in channel.line().windows(2).zip(channel.frames()) {
            let run_mm = nalgebra::distance(&pair[0], &pair[1]);
            let count = ((CELLS as f64 * run_mm / length).round() as usize).max(1);
            let mut run = Run::new(&solid.mesh, &core, pair[0], frame, run_mm, count);
            self.tree.search(&mut run);
            let cell_mm = run_mm / count as f64;
            for (i, cell) in run.cells.iter().enumerate() {
                states.push((before + cell_mm * i as f64, before + cell_mm * (i + 1) as f64, *cell));
                profile.bare_mm += if cell.is_bare() { cell_mm } else { 0.0 };
                if let Some((at, towards)) = cell.wall() {
                    profile.cells.push(WallAt {
                        at_mm: before + at,
                        place: pair[0] + frame[2] * at,
                        wall_mm: cell.near_mm,
                        towards,
                    });
                }
            }
            before += run_mm;
        }
        let ahead = [0, 1].into_iter().filter(|end| channel.ends()[*end] == End::At);
        let ahead = ahead.filter_map(|end| self.ahead(solid, channel, end));
        let is_less = |a: &WallAt, b: &WallAt| a.wall_mm.total_cmp(&b.wall_mm);
        profile.least = profile.cells.iter().copied().chain(ahead).min_by(is_less);
        profile.thin = stretches(&states, |cell| {
            cell.wall().filter(|_| cell.near_mm < thinner_than_mm).map(|(_, towards)| (cell.near_mm, towards))
        });
        profile.broken = stretches(&states, |cell| cell.broken.map(|place| (0.0, place)));
        profile
    }

    /// The least distance of a flat end from the surface, if its middle lies in the material.
    pub(super) fn ahead(&self, solid: &Solid, channel: &Channel, end: usize) -> Option<WallAt> {
        let line = channel.line();
        let (place, at_mm) = if end == 0 { (line[0], 0.0) } else { (line[line.len() - 1], channel.length_mm()) };
        if !self.holds(solid, &place) {
            return None;
        }
        let frames = channel.frames();
        let frame = if end == 0 { frames.first()? } else { frames.last()? };
        let corners = end_corners(channel, &place, frame);
        let (wall_mm, towards) = self.away_from_flat(&solid.mesh, &place, &corners)?;
        Some(WallAt { at_mm, place, wall_mm, towards })
    }

    /// Whether a place lies in the material.
    pub fn holds(&self, solid: &Solid, place: &Point) -> bool {
        let mut turns = 0;
        let is_on = look_up(&solid.mesh, &self.tree, place, &mut |_, turn| turns += turn);
        turns > 0 && !is_on
    }

    /// Where the line of a channel is in the material: from and to, as distances from its first point, mm, rising. Open
    /// ends are looked at without end, so that the first may begin before 0 and the last end after the line does.
    pub fn spans(&self, solid: &Solid, channel: &Channel) -> Vec<[f64; 2]> {
        let (mut spans, mut before): (Vec<[f64; 2]>, f64) = (Vec::new(), 0.0);
        let (line, frames) = (channel.line(), channel.frames());
        for (run, ([.., along], pair)) in frames.iter().zip(line.windows(2)).enumerate() {
            let run_mm = nalgebra::distance(&pair[0], &pair[1]);
            let is_prolonged = |end: usize, at: usize| run == at && channel.ends()[end] == End::Open;
            let from = if is_prolonged(0, 0) { f64::NEG_INFINITY } else { 0.0 };
            let to = if is_prolonged(1, frames.len() - 1) { f64::INFINITY } else { run_mm };
            let mut crossed: Vec<(f64, i32)> = Vec::new();
            self.pierced(solid, &pair[0], along, &mut |at, turn| crossed.push((at, turn)));
            crossed.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut turns = 0;
            for (i, (at, turn)) in crossed.iter().enumerate() {
                turns += turn;
                let next = crossed.get(i + 1).map_or(*at, |next| next.0);
                let (begin, end) = (at.max(from), next.min(to));
                if turns <= 0 || begin >= end {
                    continue;
                }
                match spans.last_mut() {
                    // What goes on in the next run, or in another shell, is one.
                    Some(last) if last[1] >= before + begin - CLOSE_MM => last[1] = before + end,
                    _ => spans.push([before + begin, before + end]),
                }
            }
            before += run_mm;
        }
        spans
    }

    /// Hands over where a line goes through the surface, as distances from a place on it, with 1 where it goes in and −1 where it
    /// comes out.
    pub(super) fn pierced(&self, solid: &Solid, from: &Point, along: &Vector, each: &mut impl FnMut(f64, i32)) {
        let Ok(square) = Plane::through(*from, *along) else { return };
        let (u, v) = square.basis();
        self.tree.along_line(from, along, &mut |face| {
            let corners = solid.mesh.corners(face as usize);
            // Seen along the line; from there on the numbers are exact, so that of faces beside one another just the right
            // ones are gone through.
            let seen = corners.map(|p| Point::new(u.dot(&(p - from)), v.dot(&(p - from)), 0.0));
            let Some(turn) = turn_round(&seen, &Point::origin()) else { return };
            let [a, b, c] = corners;
            let normal = (b - a).cross(&(c - a));
            let at = normal.dot(&(a - from)) / normal.dot(along);
            let [a, b, c] = corners.map(|p| along.dot(&(p - from)));
            each(at.max(a.min(b).min(c)).min(a.max(b).max(c)), -turn);
        });
    }

    /// The least distance of a flat convex polygon about `middle` from the surface, and where that is.
    pub(super) fn away_from_flat(&self, mesh: &Mesh, middle: &Point, corners: &[Point]) -> Option<(f64, Point)> {
        let reach = corners.iter().map(|p| nalgebra::distance(p, middle)).fold(0.0, f64::max);
        let across = (corners.get(1)? - corners.first()?).cross(&(corners.last()? - corners.first()?));
        let across = across.try_normalize(f64::MIN_POSITIVE)?;
        let mut best: Option<(f64, Point)> = None;
        self.tree.near(middle, f64::INFINITY, &mut |face| {
            let t = mesh.corners(face as usize);
            // No place of it is nearer than its middle to the disc around the polygon, but for its own extent.
            let centre = Point::from((t[0].coords + t[1].coords + t[2].coords) / 3.0);
            let extent = t.iter().map(|p| nalgebra::distance(p, &centre)).fold(0.0, f64::max);
            let (out, height) = (centre - middle, (centre - middle).dot(&across));
            let beside = ((out - across * height).norm() - reach).max(0.0);
            if best.is_none_or(|(least, _)| beside.hypot(height) - extent < least) {
                let (mm, place) = flat_to_triangle(middle, corners, &t);
                if best.is_none_or(|(least, _)| mm < least) {
                    best = Some((mm, place));
                }
            }
            best.map_or(f64::INFINITY, |(least, _)| least + reach)
        });
        best
    }
}

/// The corners of the flat end of a channel, on its outline.
pub(super) fn end_corners(channel: &Channel, at: &Point, [right, up, _]: &[Vector; 3]) -> Vec<Point> {
    channel.shape().outline(0.0).iter().map(|p| at + right * p[0] + up * p[1]).collect()
}

/// Distance of a flat convex polygon and a triangle, and the nearest place of the triangle; 0 where they meet.
fn flat_to_triangle(middle: &Point, corners: &[Point], t: &[Point; 3]) -> (f64, Point) {
    let mut best = (f64::INFINITY, t[0]);
    for i in 0..corners.len() {
        let part = [*middle, corners[i], corners[(i + 1) % corners.len()]];
        if let Some(place) = meet(&part, t) {
            return (0.0, place);
        }
        let [p, q] = closest::of_triangles(&part, t);
        let off = nalgebra::distance(&p, &q);
        if off < best.0 {
            best = (off, q);
        }
    }
    best
}

/// A place where a side of one triangle pierces the other.
fn meet(a: &[Point; 3], b: &[Point; 3]) -> Option<Point> {
    let pierced = |t: &[Point; 3], p: &Point, q: &Point| {
        let normal = (t[1] - t[0]).cross(&(t[2] - t[0]));
        let (dp, dq) = (normal.dot(&(p - t[0])), normal.dot(&(q - t[0])));
        if dp * dq >= 0.0 {
            return None;
        }
        let x = p + (q - p) * (dp / (dp - dq));
        let within = (0..3).all(|i| (t[(i + 1) % 3] - t[i]).cross(&(x - t[i])).dot(&normal) >= 0.0);
        within.then_some(x)
    };
    (0..3).find_map(|i| pierced(b, &a[i], &a[(i + 1) % 3]).or_else(|| pierced(a, &b[i], &b[(i + 1) % 3])))
}

/// What is known of a stretch of a run.
#[derive(Clone, Copy)]
struct Cell {
    /// The nearest surface beside it so far, mm.
    near_mm: f64,
    /// Whether that faces away from the line, so that there is material between.
    is_wall: bool,
    /// Where along the run it is nearest, and the place on the surface.
    at_mm: f64,
    towards: Point,
    /// Where the surface comes into the channel sideways.
    broken: Option<Point>,
    /// Whether it comes into the channel at all.
    pierced: bool,
}

impl Cell {
    fn is_bare(&self) -> bool {
        !self.pierced && self.wall().is_none()
    }

    /// Where along the run the wall is least, and the place on the surface.
    fn wall(&self) -> Option<(f64, Point)> {
        (self.is_wall && !self.pierced && self.near_mm.is_finite()).then_some((self.at_mm, self.towards))
    }
}

/// Parts of the line whose cells have something, each with the place of the least.
fn stretches(cells: &[(f64, f64, Cell)], of: impl Fn(&Cell) -> Option<(f64, Point)>) -> Vec<Stretch> {
    let mut found: Vec<(Stretch, f64)> = Vec::new();
    let mut goes_on = false;
    for (from_mm, to_mm, cell) in cells {
        match (of(cell), found.last_mut()) {
            (Some((mm, place)), Some((last, least))) if goes_on => {
                last.to_mm = *to_mm;
                if mm < *least {
                    (last.place, *least) = (place, mm);
                }
            }
            (Some((mm, place)), _) => found.push((Stretch { from_mm: *from_mm, to_mm: *to_mm, place }, mm)),
            (None, _) => {}
        }
        goes_on = of(cell).is_some();
    }
    found.into_iter().map(|(stretch, _)| stretch).collect()
}

/// A run of a channel that looks for what is nearest to it.
struct Run<'a> {
    mesh: &'a Mesh,
    core: &'a Core,
    origin: Point,
    frame: [Vector; 3],
    length_mm: f64,
    cells: Vec<Cell>,
}

impl<'a> Run<'a> {
    fn new(mesh: &'a Mesh, core: &'a Core, origin: Point, frame: [Vector; 3], length_mm: f64, count: usize) -> Self {
        let unknown =
            Cell { near_mm: f64::INFINITY, is_wall: false, at_mm: 0.0, towards: origin, broken: None, pierced: false };
        Run { mesh, core, origin, frame, length_mm, cells: vec![unknown; count] }
    }

    /// The cells that a part of the run falls into; `None` where it lies beside it.
    fn cells_of(&self, low: f64, high: f64) -> Option<std::ops::RangeInclusive<usize>> {
        // What is no number falls nowhere.
        if !(low <= self.length_mm && high >= 0.0) {
            return None;
        }
        let cell =
            |x: f64| ((x / self.length_mm * self.cells.len() as f64).max(0.0) as usize).min(self.cells.len() - 1);
        Some(cell(low)..=cell(high))
    }

    /// x and y square to the run, z along it.
    fn seen(&self, p: &Point) -> Vector {
        let d = p - self.origin;
        Vector::new(d.dot(&self.frame[0]), d.dot(&self.frame[1]), d.dot(&self.frame[2]))
    }

    fn place(&self, flat: &Flat, at: f64) -> Point {
        self.origin + self.frame[0] * flat.x + self.frame[1] * flat.y + self.frame[2] * at
    }
}

impl Search for Run<'_> {
    fn rank(&self, place: &SmallBox) -> Option<f64> {
        let low = Point::from(place.low.map(f64::from));
        let high = Point::from(place.high.map(f64::from));
        let (middle, half) = (nalgebra::center(&low, &high), (high - low) / 2.0);
        let seen = self.seen(&middle);
        let along: f64 = (0..3).map(|k| self.frame[2][k].abs() * half[k]).sum();
        let cells = self.cells_of(seen.z - along, seen.z + along)?;
        let off = seen.x.hypot(seen.y) - half.norm() - self.core.reach_mm;
        // Beside a place where the surface comes in, only more of that is looked for.
        let is_needed = self.cells[cells].iter().any(|cell| off < if cell.pierced { 0.0 } else { cell.near_mm });
        is_needed.then_some(off)
    }

    fn look_at(&mut self, face: u32) {
        let corners = self.mesh.corners(face as usize).map(|p| self.seen(&p));
        let (low, high) =
            (corners[0].z.min(corners[1].z).min(corners[2].z), corners[0].z.max(corners[1].z).max(corners[2].z));
        let Some(cells) = self.cells_of(low, high) else { return };
        let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0]));
        let Some(normal) = normal.try_normalize(f64::MIN_POSITIVE) else { return };
        let is_end = normal.z.abs() > END_DEG.to_radians().cos();
        let cell_mm = self.length_mm / self.cells.len() as f64;
        for i in cells {
            let (from, to) = (cell_mm * i as f64, cell_mm * (i + 1) as f64);
            let part = between(&corners, from, to);
            if part.is_empty() {
                continue;
            }
            let flat: Vec<Flat> = part.iter().map(|p| p.xy()).collect();
            let (apart, [on_core, near]) = self.core.distance(&flat);
            let cell = &self.cells[i];
            if apart > 0.0 && (is_end || apart >= cell.near_mm) {
                continue;
            }
            // The surface goes on straight between its corners there.
            let at = height(&corners, &normal, &near, part[0].z).clamp(from, to);
            let towards = self.place(&near, at);
            let cell = &mut self.cells[i];
            if apart == 0.0 {
                cell.pierced = true;
                if !is_end {
                    cell.broken.get_or_insert(towards);
                }
                continue;
            }
            let out = near - on_core;
            let facing = out.x * normal.x + out.y * normal.y;
            *cell = Cell { near_mm: apart, is_wall: facing > 0.0, at_mm: at, towards, ..*cell };
        }
    }
}

/// What of a triangle lies between two heights.
fn between(t: &[Vector; 3], from: f64, to: f64) -> Vec<Vector> {
    let mut part = t.to_vec();
    for (level, sign) in [(from, 1.0), (to, -1.0)] {
        if part.iter().all(|p| (p.z - level) * sign >= 0.0) {
            continue;
        }
        let mut kept = Vec::with_capacity(part.len() + 1);
        for i in 0..part.len() {
            let (a, b) = (part[i], part[(i + 1) % part.len()]);
            let (da, db) = ((a.z - level) * sign, (b.z - level) * sign);
            if da >= 0.0 {
                kept.push(a);
            }
            if (da >= 0.0) != (db >= 0.0) {
                kept.push(a + (b - a) * (da / (da - db)));
            }
        }
        part = kept;
    }
    part
}

/// The height of the plane of a triangle above a place; `otherwise` where it stands upright.
fn height(t: &[Vector; 3], normal: &Vector, at: &Flat, otherwise: f64) -> f64 {
    let off = normal.x * (at.x - t[0].x) + normal.y * (at.y - t[0].y);
    let height = t[0].z - off / normal.z;
    if height.is_finite() { height } else { otherwise }
}

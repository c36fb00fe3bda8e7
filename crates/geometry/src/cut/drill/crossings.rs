//! Points where edges of the mesh go through facets, and where sides of the tool pierce faces; and what they bound.

use rustc_hash::FxHashMap;

use super::super::walls::lower;
use super::near::Near;
use super::signs;
use super::tool::{NONE, Ready};
use crate::{Point, Solid};

/// A point on an edge of the mesh.
#[derive(Clone, Copy)]
pub(super) struct Stop {
    pub node: u32,
    /// The facet that the edge goes through there; [`NONE`] for a node that only lies on the edge.
    pub facet: u32,
    /// Where along the edge, from its lower vertex (0) to the higher one (1).
    pub along: f64,
    /// Whether the edge goes into the tool there, from its lower vertex to the higher one.
    pub enters: bool,
}

/// A point on a side of the tool.
#[derive(Clone, Copy)]
pub(super) struct Pierce {
    pub node: u32,
    /// Where along the side, from its lower corner (0) to the higher one (1).
    pub along: f64,
    /// By how much more often the surface goes round what comes after it: 1 where the side goes in, −1 where it comes out, 0
    /// for a node that only lies on the side.
    pub step: i32,
    /// The face pierced; [`NONE`] for a node that only lies on the side.
    pub face: u32,
}

/// Where a facet divides a face: the part outside the tool is to the left.
#[derive(Clone, Copy)]
pub(super) struct Link {
    pub from: u32,
    pub to: u32,
    pub facet: u32,
}

/// Numbers that do not fit together, which only those too large or too small to be exact can be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contradiction;

/// All points of a subtraction. Numbered after the vertices of the solid.
pub(super) struct Crossings<'a> {
    pub solid: &'a Solid,
    pub ready: &'a Ready<'a>,
    pub near: &'a Near,
    pub points: Vec<Point>,
    /// The node of the tool's first corner; the others follow.
    pub first_corner: u32,
    /// What stands on each edge, from the lower vertex to the higher one.
    pub stops: FxHashMap<(u32, u32), Vec<Stop>>,
    /// What stands on each side of the tool, from the lower corner to the higher one.
    pub pierces: Vec<Vec<Pierce>>,
    /// The links within faces, in the order of the near faces.
    pub links: Vec<(u32, Vec<Link>)>,
    pub stand_ins: FxHashMap<u32, u32>,
}

impl<'a> Crossings<'a> {
    pub fn find(solid: &'a Solid, ready: &'a Ready<'a>, near: &'a Near) -> Result<Crossings<'a>, Contradiction> {
        let mut crossings = Crossings {
            solid,
            ready,
            near,
            points: Vec::new(),
            first_corner: NONE,
            stops: FxHashMap::default(),
            pierces: vec![Vec::new(); ready.sides.len()],
            links: Vec::new(),
            stand_ins: FxHashMap::default(),
        };
        let mut parted = Vec::new();
        let mut pierced = Vec::new();
        for &face in &near.faces {
            let corners = solid.mesh.triangles[face as usize];
            let is_one_place = corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0];
            if is_one_place || !near.parted_by(corners, ready.is_convex, &mut parted) {
                continue;
            }
            let facets = std::mem::take(&mut parted);
            for i in 0..3 {
                crossings.cross(corners[i], corners[(i + 1) % 3], &mut parted)?;
            }
            pierced.clear();
            crossings.pierce(face, &facets, &mut pierced);
            let links = crossings.link(corners, &pierced)?;
            if !links.is_empty() {
                crossings.links.push((face, links));
            }
            parted = facets;
        }
        crossings.first_corner = crossings.own() + crossings.points.len() as u32;
        crossings.points.extend(&ready.tool.corners);
        crossings.pierces.iter_mut().for_each(|pierces| pierces.sort_by(|a, b| a.along.total_cmp(&b.along)));
        Ok(crossings)
    }

    /// Where facets cross an edge, in order.
    fn cross(&mut self, a: u32, b: u32, parted: &mut Vec<u32>) -> Result<(), Contradiction> {
        let (a, b) = (a.min(b), a.max(b));
        if self.stops.contains_key(&(a, b)) || !self.near.parted_by([a, b], self.ready.is_convex, parted) {
            return Ok(());
        }
        let ends = [a, b].map(|v| self.solid.mesh.vertices[v as usize]);
        let mut stops: Vec<Stop> = Vec::new();
        for &facet in parted.iter() {
            if self.ready.goes_through(facet as usize, [&ends[0], &ends[1]]) {
                let (point, along) = self.meeting(facet, ends);
                let enters = self.near.is_beyond(a, facet);
                stops.push(Stop { node: self.add(point), facet, along, enters });
            }
        }
        stops.sort_by(|s, t| s.along.total_cmp(&t.along));
        in_turn(&mut stops, self.near.is_inside(a), self.near.is_inside(b))?;
        if !stops.is_empty() {
            self.stops.insert((a, b), stops);
        }
        Ok(())
    }

    /// Where a facet's plane crosses an edge, and how far along it. The same to the last bit whatever mesh the edge is part
    /// of, and never outside its box.
    fn meeting(&self, facet: u32, [a, b]: [Point; 2]) -> (Point, f64) {
        let turned = lower(&b, &a);
        let (a, b) = if turned { (b, a) } else { (a, b) };
        let distance = |p: &Point| self.ready.distance_mm(facet as usize, p);
        let (da, db) = (distance(&a), distance(&b));
        let share = da / (da - db);
        let share = if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.5 };
        let p = a + (b - a) * share;
        // One step onto the plane takes back what the division rounded away.
        let p = p - self.ready.facets[facet as usize].plane.normal() * distance(&p);
        let p = Point::from(p.coords.zip_zip_map(&a.coords, &b.coords, |x, a, b| x.clamp(a.min(b), a.max(b))));
        (p, if turned { 1.0 - share } else { share })
    }

    /// Where sides of the tool pierce a face; only those between two of `facets` may.
    fn pierce(&mut self, face: u32, facets: &[u32], found: &mut Vec<(u32, u32, i32)>) {
        let corners = self.solid.mesh.corners(face as usize);
        let [a, b, c] = [&corners[0], &corners[1], &corners[2]];
        let has = |facet: u32| facets.binary_search(&facet).is_ok();
        for &facet in facets {
            for &number in &self.ready.facets[facet as usize].sides {
                let side = self.ready.sides[number as usize];
                // Once for both facets.
                if side.facets[0] != facet || !has(side.facets[1]) {
                    continue;
                }
                let ends = side.ends.map(|v| *self.ready.corner(v));
                let before = [0, 1].map(|i| signs::is_before([a, b, c], &ends[i]));
                if before[0] == before[1] {
                    continue;
                }
                let ends_at = [&ends[0], &ends[1]];
                let passes = [[a, b], [b, c], [c, a]].map(|edge| signs::passes_left(edge, ends_at));
                if passes[0] != passes[1] || passes[1] != passes[2] {
                    continue;
                }
                let normal = (b - a).cross(&(c - a));
                let (d, e) = (normal.dot(&(ends[0] - a)), normal.dot(&(ends[1] - a)));
                let along = d / (d - e);
                let along = if along.is_finite() { along.clamp(0.0, 1.0) } else { 0.5 };
                let node = self.add(ends[0] + (ends[1] - ends[0]) * along);
                let step = if before[0] { 1 } else { -1 };
                self.pierces[number as usize].push(Pierce { node, along, step, face });
                found.push((number, node, step));
            }
        }
    }

    /// Joins what lies in a face and in a facet, two and two.
    fn link(&self, corners: [u32; 3], pierced: &[(u32, u32, i32)]) -> Result<Vec<Link>, Contradiction> {
        let mut links: Vec<Link> = Vec::new();
        let mut offer = |facet: u32, node: u32, begins: bool| -> Result<(), Contradiction> {
            let known = links.iter().position(|link| link.facet == facet);
            let at = known.unwrap_or_else(|| {
                links.push(Link { from: NONE, to: NONE, facet });
                links.len() - 1
            });
            let end = if begins { &mut links[at].from } else { &mut links[at].to };
            if *end != NONE {
                return Err(Contradiction);
            }
            *end = node;
            Ok(())
        };
        for i in 0..3 {
            let (a, b) = (corners[i], corners[(i + 1) % 3]);
            for stop in self.stops_of(a, b) {
                // Where the rim goes into the tool, the part outside goes on along the facet.
                offer(stop.facet, stop.node, stop.enters == (a < b))?;
            }
        }
        for &(side, node, step) in pierced {
            // Within a facet what lies inside the surface is to the left: it begins where its rim goes in.
            let [along, against] = self.ready.sides[side as usize].facets;
            offer(along, node, step < 0)?;
            offer(against, node, step > 0)?;
        }
        if links.iter().any(|link| link.from == NONE || link.to == NONE) {
            return Err(Contradiction);
        }
        Ok(links)
    }

    /// What stands on the edge between two vertices, from the lower one to the higher.
    pub fn stops_of(&self, a: u32, b: u32) -> &[Stop] {
        self.stops.get(&(a.min(b), a.max(b))).map_or(&[], |stops| stops)
    }

    pub fn add(&mut self, point: Point) -> u32 {
        self.points.push(point);
        self.own() + (self.points.len() - 1) as u32
    }

    pub fn own(&self) -> u32 {
        self.solid.mesh.vertices.len() as u32
    }

    pub fn place(&self, node: u32) -> Point {
        match self.solid.mesh.vertices.get(node as usize) {
            Some(p) => *p,
            None => self.points[node as usize - self.solid.mesh.vertices.len()],
        }
    }

    /// The node that stands for this one.
    pub fn stand_in(&self, mut node: u32) -> u32 {
        while let Some(&next) = self.stand_ins.get(&node) {
            node = next;
        }
        node
    }
}

/// Brings stops whose places rounding cannot tell apart into an order in which the edge goes in and out by turns.
fn in_turn(stops: &mut [Stop], from_inside: bool, to_inside: bool) -> Result<(), Contradiction> {
    let mut inside = from_inside;
    for i in 0..stops.len() {
        let fitting = stops[i..].iter().position(|stop| stop.enters != inside).ok_or(Contradiction)?;
        stops[i..=i + fitting].rotate_right(1);
        inside = !inside;
    }
    if inside == to_inside { Ok(()) } else { Err(Contradiction) }
}

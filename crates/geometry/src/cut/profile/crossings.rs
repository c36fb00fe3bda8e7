//! Points where mesh edges cross strips, and where folds pierce faces; and which of them are one.

use rustc_hash::FxHashMap;

use super::super::walls::lower;
use super::curve::{Curve, Spot};
use super::near::are_bounded;
use crate::{Plane, Point, Profile, Solid};

/// A point on a mesh edge.
#[derive(Clone, Copy)]
pub(super) struct Stop {
    pub node: u32,
    /// The strip that crosses the edge there; [`NONE`] where a fold only touches it.
    pub strip: u32,
    /// Where along the edge, from its lower vertex (0) to the higher one (1).
    along: f64,
}

/// No strip.
pub(super) const NONE: u32 = u32::MAX;

/// A straight part of the curve within a face, from node to node.
#[derive(Clone, Copy)]
pub(super) struct Link {
    pub ends: [u32; 2],
    pub strip: u32,
}

/// All points of a cut. Numbered after the vertices of the solid.
pub(super) struct Crossings<'a> {
    pub solid: &'a Solid,
    profile: &'a Profile,
    pub curve: &'a Curve,
    pub spots: &'a [Spot],
    /// The plane of each strip, with *above* to the left of the curve.
    pub planes: Vec<Plane>,
    pub points: Vec<Point>,
    /// What stands on each edge near the curve, from the lower vertex to the higher one.
    stops: FxHashMap<(u32, u32), Vec<Stop>>,
    /// The links within each near face, in the order of those faces.
    pub links: Vec<Vec<Link>>,
    /// Nodes that another one stands for.
    stand_ins: FxHashMap<u32, u32>,
    /// How near to a strip a vertex is on it, and two points are one, mm.
    pub on_mm: f64,
}

impl<'a> Crossings<'a> {
    pub fn new(solid: &'a Solid, profile: &'a Profile, curve: &'a Curve, spots: &'a [Spot]) -> Self {
        let plane = |strip: &super::curve::Strip| {
            let [u, v] = strip.direction();
            super::plane_at(profile.place(strip.from, 0.0), profile.out() * u - profile.along() * v, profile)
        };
        Crossings {
            solid,
            profile,
            curve,
            spots,
            planes: curve.strips.iter().map(plane).collect(),
            points: Vec::new(),
            stops: FxHashMap::default(),
            links: Vec::new(),
            stand_ins: FxHashMap::default(),
            on_mm: solid.resolution.on_plane_mm,
        }
    }

    /// Finds everything in the near faces.
    pub fn find(&mut self, near: &[u32]) {
        let mut pierced: Vec<(u32, u32)> = Vec::new();
        let mut strips = Vec::new();
        for &face in near {
            let links = self.look_into(face, &mut strips, &mut pierced);
            self.links.push(links);
        }
        for (face, node) in pierced {
            self.settle(face, node);
        }
        for links in std::mem::take(&mut self.links) {
            links.iter().for_each(|link| self.unite(link.ends[0], link.ends[1]));
            self.links.push(links);
        }
    }

    fn look_into(&mut self, face: u32, strips: &mut Vec<u32>, pierced: &mut Vec<(u32, u32)>) -> Vec<Link> {
        let corners = self.solid.mesh.triangles[face as usize];
        let places = corners.map(|v| self.spots[v as usize]);
        if !are_bounded(&places) {
            return Vec::new();
        }
        for i in 0..3 {
            self.cross(corners[i], corners[(i + 1) % 3], strips);
        }
        self.strips_near(&places, strips);
        let mut links = Vec::new();
        let mut last_fold: Option<(u32, u32)> = None;
        for &strip in strips.iter() {
            let mut ends: Vec<u32> = Vec::with_capacity(2);
            // The fold before this strip was looked for as the one after the strip before.
            ends.extend(last_fold.filter(|(fold, _)| fold + 1 == strip).map(|(_, node)| node));
            for i in 0..3 {
                let stops = self.stops_of(corners[i], corners[(i + 1) % 3]);
                ends.extend(stops.iter().filter(|s| s.strip == strip).map(|s| s.node));
            }
            if let Some(node) = self.pierce(face, strip, &places) {
                last_fold = Some((strip, node));
                pierced.push((face, node));
                ends.push(node);
            }
            // Anything else there can only be of numbers too large or small to be exact.
            if let [a, b] = ends[..] {
                links.push(Link { ends: [a, b], strip });
            }
        }
        links
    }

    /// Strips near the box of some spots.
    pub fn strips_near(&self, spots: &[Spot], found: &mut Vec<u32>) {
        let over = |k: usize, start: f64, pick: fn(f64, f64) -> f64| spots.iter().fold(start, |m, s| pick(m, s[k]));
        let low = [over(0, f64::INFINITY, f64::min), over(1, f64::INFINITY, f64::min)];
        let high = [over(0, f64::NEG_INFINITY, f64::max), over(1, f64::NEG_INFINITY, f64::max)];
        self.curve.strips_near(low, high, found);
    }

    /// What stands on the edge between two vertices, from the lower one to the higher.
    pub fn stops_of(&self, a: u32, b: u32) -> &[Stop] {
        self.stops.get(&(a.min(b), a.max(b))).map_or(&[], |stops| stops)
    }

    /// Where strips cross an edge, in exact order.
    fn cross(&mut self, a: u32, b: u32, strips: &mut Vec<u32>) {
        let (a, b) = (a.min(b), a.max(b));
        if a == b || self.stops.contains_key(&(a, b)) {
            return;
        }
        let ends = [a, b].map(|v| self.spots[v as usize]);
        self.strips_near(&ends, strips);
        let mut crossed: Vec<u32> = Vec::new();
        for &strip in strips.iter() {
            if self.curve.strips[strip as usize].crosses(ends[0], ends[1]) {
                let before = |other: &u32| {
                    self.curve.strips[strip as usize].comes_before(&self.curve.strips[*other as usize], ends[0])
                };
                let at = crossed.iter().position(before).unwrap_or(crossed.len());
                crossed.insert(at, strip);
            }
        }
        let stops: Vec<Stop> = crossed
            .iter()
            .map(|&strip| {
                let (point, along) = self.meeting(strip, a, b);
                Stop { node: self.add(point), strip, along }
            })
            .collect();
        self.keep_on_vertices(a, b, &stops);
        for pair in stops.windows(2) {
            self.unite(pair[0].node, pair[1].node);
        }
        self.stops.insert((a, b), stops);
    }

    /// Lets the ends of the edge stand for crossings with strips that they lie on, and for all that lie between.
    fn keep_on_vertices(&mut self, a: u32, b: u32, stops: &[Stop]) {
        let is_on = |v: u32, stop: &Stop| {
            let near = self.curve.strips[stop.strip as usize].distance_mm(self.spots[v as usize]) <= self.on_mm;
            near || (self.place(stop.node) - self.place(v)).norm() <= self.on_mm
        };
        let of_a = stops.iter().rposition(|stop| is_on(a, stop)).map_or(0, |last| last + 1);
        let of_b = stops.iter().position(|stop| is_on(b, stop)).unwrap_or(stops.len());
        for (i, stop) in stops.iter().enumerate() {
            let vertex = match (i < of_a, i >= of_b) {
                (true, true) => {
                    if stop.along < 0.5 {
                        a
                    } else {
                        b
                    }
                }
                (true, false) => a,
                (false, true) => b,
                (false, false) => continue,
            };
            self.stand_ins.insert(stop.node, vertex);
        }
    }

    /// Where a strip's plane crosses an edge, and how far along it. The same to the last bit whatever mesh the edge is
    /// part of, and never outside its box.
    fn meeting(&self, strip: u32, a: u32, b: u32) -> (Point, f64) {
        let plane = &self.planes[strip as usize];
        let [a, b] = [a, b].map(|v| self.solid.mesh.vertices[v as usize]);
        let turned = lower(&b, &a);
        let (a, b) = if turned { (b, a) } else { (a, b) };
        let (da, db) = (plane.distance_mm(&a), plane.distance_mm(&b));
        let share = da / (da - db);
        let share = if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.5 };
        // One step onto the plane takes back what the division rounded away.
        let p = plane.project(&(a + (b - a) * share));
        let p = Point::from(p.coords.zip_zip_map(&a.coords, &b.coords, |x, a, b| x.clamp(a.min(b), a.max(b))));
        (p, if turned { 1.0 - share } else { share })
    }

    /// The point where the fold after `strip` pierces a face, if it does.
    fn pierce(&mut self, face: u32, strip: u32, [a, b, c]: &[Spot; 3]) -> Option<u32> {
        use crate::predicates::{moved_left_of_line, orient_2d};
        let corner = *self.curve.corners.get(strip as usize)?;
        let lefts = [
            moved_left_of_line(*a, *b, corner),
            moved_left_of_line(*b, *c, corner),
            moved_left_of_line(*c, *a, corner),
        ];
        if lefts[0] != lefts[1] || lefts[1] != lefts[2] {
            return None;
        }
        let depths = self.solid.mesh.corners(face as usize).map(|p| self.profile.depth_mm(&p));
        let shares = [orient_2d(*b, *c, corner), orient_2d(*c, *a, corner), orient_2d(*a, *b, corner)];
        let sum: f64 = shares.iter().sum();
        let depth = (0..3).map(|i| depths[i] * (shares[i] / sum)).sum::<f64>();
        let (low, high) = (depths[0].min(depths[1]).min(depths[2]), depths[0].max(depths[1]).max(depths[2]));
        let depth = if depth.is_finite() { depth.max(low).min(high) } else { low };
        Some(self.add(self.profile.place(corner, depth)))
    }

    /// Where a piercing point lies on the rim of its face, it becomes one with what is there, or a stop on the edge.
    fn settle(&mut self, face: u32, node: u32) {
        let corners = self.solid.mesh.triangles[face as usize];
        for v in corners {
            self.unite(node, v);
        }
        for i in 0..3 {
            let (a, b) = (corners[i].min(corners[(i + 1) % 3]), corners[i].max(corners[(i + 1) % 3]));
            let (from, to, at) = (self.place(a), self.place(b), self.place(node));
            let along = (at - from).dot(&(to - from)) / (to - from).norm_squared();
            if self.stand_in(node) != node || !(0.0..=1.0).contains(&along) {
                continue;
            }
            if (from + (to - from) * along - at).norm() <= self.on_mm {
                for stop in self.stops_of(a, b).to_vec() {
                    self.unite(node, stop.node);
                }
                if self.stand_in(node) == node {
                    let stops = self.stops.entry((a, b)).or_default();
                    let before = stops.iter().position(|s| s.along > along).unwrap_or(stops.len());
                    stops.insert(before, Stop { node, strip: NONE, along });
                }
            }
        }
    }

    /// Makes two nodes one if they lie on one spot. Vertices of the solid stay apart.
    pub fn unite(&mut self, a: u32, b: u32) {
        let (a, b) = (self.stand_in(a), self.stand_in(b));
        let (p, q) = (self.place(a), self.place(b));
        let own = self.own();
        if a == b || (a < own && b < own) || (p - q).norm() > self.on_mm {
            return;
        }
        // Which one stays depends on places only.
        let a_stays = a < own || (b >= own && !lower(&q, &p));
        let (gone, stays) = if a_stays { (b, a) } else { (a, b) };
        self.stand_ins.insert(gone, stays);
    }

    /// Makes nodes one that closing a strip found to be. Where two strips let different ones stand for a node, all three
    /// become one.
    pub fn weld(&mut self, mut welds: Vec<(u32, u32)>) {
        welds.sort_unstable();
        for (a, b) in welds {
            let (a, b) = (self.stand_in(a), self.stand_in(b));
            if a != b {
                self.stand_ins.insert(a, b);
            }
        }
    }

    /// The node that stands for this one.
    pub fn stand_in(&self, mut node: u32) -> u32 {
        while let Some(&next) = self.stand_ins.get(&node) {
            node = next;
        }
        node
    }

    pub fn own(&self) -> u32 {
        self.solid.mesh.vertices.len() as u32
    }

    pub fn place(&self, node: u32) -> Point {
        let own = self.solid.mesh.vertices.len();
        match self.solid.mesh.vertices.get(node as usize) {
            Some(p) => *p,
            None => self.points[node as usize - own],
        }
    }

    /// Where a node lies (u, v).
    pub fn spot(&self, node: u32) -> Spot {
        self.spots.get(node as usize).copied().unwrap_or_else(|| self.profile.seen(&self.place(node)))
    }

    pub fn depth_mm(&self, node: u32) -> f64 {
        self.profile.depth_mm(&self.place(node))
    }

    pub fn add(&mut self, point: Point) -> u32 {
        self.points.push(point);
        self.own() + (self.points.len() - 1) as u32
    }
}

//! Parting a solid by a plane that ends.
//!
//! The section of the whole plane falls into *islands*: outlines that hang together, holes with what is around them. An
//! island wholly on the inner side of the edge is cut as by a plane; any other stays whole, so that a cut never ends in
//! the material. What the solid then falls into is told apart by its caps.

mod islands;

use rustc_hash::{FxHashMap, FxHashSet};

use super::cap::{self, Cap};
use super::outline::OutlineEdge;
use super::walls::{self, Walls};
use super::{assemble, classify};
use crate::bodies::{gather, homes};
use crate::predicates::Where;
use crate::{
    Cancelled, CutOutcome, EdgeTable, FaceOrigin, FinitePlane, Mesh, Parted, Point, Progress, Shells, Side, Solid,
};
use islands::Islands;

/// What a finite plane does to a solid.
pub(super) enum Reach {
    /// All lies on this side of the whole plane.
    Missed(Side),
    /// No island lies wholly on the inner side of the edge. Where the plane ends in the material.
    Unreached(Vec<Point>),
    /// The solid is cut, but not sorted yet.
    Cut(Box<Divided>),
}

/// A cut solid: the two sides of a seam share no vertices.
pub(super) struct Divided {
    pub solid: Solid,
    pub cap_area_mm2: f64,
    pub ended_inside: Vec<Point>,
    pub left_open: Vec<Point>,
}

/// Parts `solid` by `finite`. See [`part`](crate::part).
pub(super) fn cut(
    solid: &Solid,
    finite: &FinitePlane,
    label: u32,
    progress: &Progress,
) -> Result<CutOutcome, Cancelled> {
    Ok(match divide(solid, finite, label, progress)? {
        Reach::Missed(side) => CutOutcome::Missed(side),
        Reach::Unreached(ended_inside) => CutOutcome::Unreached { ended_inside },
        Reach::Cut(divided) => CutOutcome::Parted(Box::new(sort(*divided, label, |_| false))),
    })
}

/// Cuts the islands that the plane reaches.
pub(super) fn divide(solid: &Solid, finite: &FinitePlane, label: u32, progress: &Progress) -> Result<Reach, Cancelled> {
    progress.check()?;
    let plane = finite.plane();
    let class = classify(solid, &plane);
    let walls = match walls::split(solid, &plane, &class, walls::Wanted::Walls) {
        walls::Split::Missed(side) => return Ok(Reach::Missed(side)),
        walls::Split::Crossed(walls) => *walls,
    };
    progress.check()?;
    let islands = Islands::of(solid, &walls, &class, finite);
    if !islands.any_reached() {
        return Ok(Reach::Unreached(islands.ended_inside));
    }
    let edges = islands.outline.iter().filter(|edge| islands.reached(edge.from)).copied().collect();
    let cap = cap::close_edges(solid, &plane, &walls, edges);
    progress.check()?;
    let divided = Divided {
        solid: Joiner::new(solid, &walls, &cap, &islands).join(label),
        cap_area_mm2: cap.area_mm2,
        ended_inside: islands.ended_inside,
        left_open: cap.left_open,
    };
    Ok(Reach::Cut(Box::new(divided)))
}

/// The edges that the caps of a cut would close, and the points where edges cross the plane, numbered after the vertices of
/// the solid.
pub(crate) fn outline_of(solid: &Solid, finite: &FinitePlane) -> (Vec<OutlineEdge>, Vec<Point>) {
    let plane = finite.plane();
    let class = classify(solid, &plane);
    let walls::Split::Crossed(walls) = walls::split(solid, &plane, &class, walls::Wanted::Walls) else {
        return (Vec::new(), Vec::new());
    };
    let islands = Islands::of(solid, &walls, &class, finite);
    let reached = islands.outline.iter().filter(|edge| islands.reached(edge.from)).copied().collect();
    (reached, walls.points)
}

/// Shares the bodies out by the sides of their caps; those for which `is_waste` are measured and dropped. What has no cap
/// goes with the body in whose material, or in whose cavity's wall, it lies.
pub(super) fn sort(divided: Divided, label: u32, is_waste: impl Fn(&[Point]) -> bool) -> Parted {
    let Divided { solid, cap_area_mm2, ended_inside, left_open } = divided;
    let edges = EdgeTable::new(&solid.mesh);
    let shells = Shells::of_edges(&edges);
    let mut sides = vec![[false; 2]; shells.count as usize];
    for (origin, shell) in solid.origins.iter().zip(&shells.of_triangle) {
        if origin.cap_label() == Some(label)
            && let Some(side) = origin.cap_side()
        {
            sides[*shell as usize][side as usize] = true;
        }
    }
    let bare: Vec<bool> = sides.iter().map(|side| *side == [false; 2]).collect();
    let homes = homes(&solid.mesh, &shells, &edges, &bare);
    let mut corners: Vec<Vec<Point>> = vec![Vec::new(); sides.len()];
    for (t, shell) in shells.of_triangle.iter().enumerate().filter(|(_, shell)| sides[**shell as usize] == [true; 2]) {
        corners[*shell as usize].extend(solid.mesh.corners(t));
    }
    let group = |shell: usize| {
        let home = std::iter::successors(Some(shell), |s| homes[*s]).take(sides.len()).last().unwrap_or(shell);
        match sides[home] {
            [true, false] => 0,
            [false, true] => 1,
            [true, true] if is_waste(&corners[home]) => 3,
            _ => 2,
        }
    };
    let groups: Vec<u32> = (0..sides.len()).map(group).collect();
    let mut solids = gather(&solid, &shells, &groups, 4).into_iter();
    let mut next = || solids.next().unwrap_or_else(|| Solid::empty(solid.resolution));
    let (below, above, around, waste) = (next(), next(), next(), next());
    Parted {
        below,
        above,
        around: (!around.mesh.triangles.is_empty()).then_some(around),
        cap_area_mm2,
        removed_mm3: waste.mesh.volume_mm3(),
        ended_inside,
        left_open,
    }
}

/// Puts a cut solid together again, with two copies of every vertex along the seams.
struct Joiner<'a> {
    solid: &'a Solid,
    walls: &'a Walls,
    cap: &'a Cap,
    islands: &'a Islands,
    vertices: Vec<Point>,
    /// The copies for what lies above.
    copies: FxHashMap<u32, u32>,
    triangles: Vec<[u32; 3]>,
    origins: Vec<FaceOrigin>,
}

impl<'a> Joiner<'a> {
    fn new(solid: &'a Solid, walls: &'a Walls, cap: &'a Cap, islands: &'a Islands) -> Self {
        let vertices = [&solid.mesh.vertices[..], &walls.points, &cap.new_points].concat();
        let (triangles, origins) = (Vec::new(), Vec::new());
        Joiner { solid, walls, cap, islands, vertices, copies: FxHashMap::default(), triangles, origins }
    }

    fn join(mut self, label: u32) -> Solid {
        for (face, mark) in self.walls.faces.marks.iter().enumerate() {
            if *mark != Where::On {
                self.triangles.push(self.solid.mesh.triangles[face]);
                self.origins.push(self.solid.origins[face]);
            }
        }
        for &(face, side) in &self.walls.touching {
            self.add_wall(self.solid.mesh.triangles[face as usize], face, side);
        }
        let mut whole: FxHashSet<u32> = FxHashSet::default();
        for side in Side::BOTH {
            for &(triangle, face) in &self.walls.parts[side as usize] {
                if triangle.iter().any(|v| self.islands.reached(*v)) {
                    self.add_wall(triangle, face, side);
                } else {
                    whole.insert(face);
                }
            }
        }
        let mut whole: Vec<u32> = whole.into_iter().collect();
        whole.sort_unstable();
        for face in whole {
            self.triangles.push(self.solid.mesh.triangles[face as usize]);
            self.origins.push(self.solid.origins[face as usize]);
        }
        for side in Side::BOTH {
            for &[a, b, c] in &self.cap.triangles {
                let triangle = if side == Side::Below { [a, b, c] } else { [a, c, b] };
                self.add(triangle, FaceOrigin::cap(label, side), side);
            }
        }
        let mesh = Mesh { vertices: self.vertices, triangles: self.triangles };
        Solid { mesh, origins: self.origins, resolution: self.solid.resolution }
    }

    fn add_wall(&mut self, triangle: [u32; 3], face: u32, side: Side) {
        for part in assemble::along_chains(triangle, &self.cap.chains) {
            let part = part.map(|v| self.cap.welded.get(&v).copied().unwrap_or(v));
            if part[0] != part[1] && part[1] != part[2] && part[2] != part[0] {
                self.add(part, self.solid.origins[face as usize], side);
            }
        }
    }

    fn add(&mut self, triangle: [u32; 3], origin: FaceOrigin, side: Side) {
        let made = (self.solid.mesh.vertices.len() + self.walls.points.len()) as u32;
        let triangle = triangle.map(|v| {
            // Vertices that the cap made lie in islands that are cut.
            if side == Side::Below || !(v >= made || self.islands.reached(v)) {
                return v;
            }
            let next = self.vertices.len() as u32;
            let copy = *self.copies.entry(v).or_insert(next);
            if copy == next {
                self.vertices.push(self.vertices[v as usize]);
            }
            copy
        });
        self.triangles.push(triangle);
        self.origins.push(origin);
    }
}

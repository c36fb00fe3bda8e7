//! Which faces go to which side, and the two parts of every face that the plane crosses.

use rayon::prelude::*;
use rustc_hash::FxHashMap;

use super::BLOCK;
use super::marks::Marks;
use super::outline::Outline;
use crate::predicates::Where;
use crate::{Plane, Point, Side, Solid};

/// Result of looking at every face.
pub(super) enum Split {
    /// All faces lie on this side.
    Missed(Side),
    /// There is something on both sides.
    Crossed(Box<Walls>),
}

/// The faces of both sides without their caps. Vertices are numbered through: those of the solid first, then
/// [`points`](Self::points).
pub(super) struct Walls {
    /// Points where edges cross the plane.
    pub points: Vec<Point>,
    /// Parts of split faces below and above, with the face of the solid that each is a part of.
    pub parts: [Vec<([u32; 3], u32)>; 2],
    /// Faces that stay whole and touch the plane, rising, with their side.
    pub touching: Vec<(u32, Side)>,
    /// What the caps have to close.
    pub outline: Outline,
    /// Where every face of the solid lies; those that touch the plane or are split count as on it.
    pub faces: Marks,
}

impl Walls {
    /// Where vertex `v` of the common numbering lies.
    pub fn position(&self, solid: &Solid, v: u32) -> Point {
        let own = solid.mesh.vertices.len();
        match solid.mesh.vertices.get(v as usize) {
            Some(p) => *p,
            None => self.points[v as usize - own],
        }
    }
}

pub(super) fn split(solid: &Solid, plane: &Plane, class: &[Where], wanted: Wanted) -> Split {
    let faces = &solid.mesh.triangles;
    // Without walls, nobody asks where the other faces are.
    let mut marks = vec![Where::On; if wanted == Wanted::Walls { faces.len() } else { 0 }];
    let blocks: Vec<Block> = match wanted {
        Wanted::Walls => (marks.par_chunks_mut(BLOCK).zip(faces.par_chunks(BLOCK)).enumerate())
            .map(|(i, (marks, faces))| look_at(faces, (i * BLOCK) as u32, class, |face, mark| marks[face] = mark))
            .collect(),
        Wanted::Outline => (faces.par_chunks(BLOCK).enumerate())
            .map(|(i, faces)| look_at(faces, (i * BLOCK) as u32, class, |_, _| {}))
            .collect(),
    };
    let clear = [0, 1].map(|side| blocks.iter().any(|block| block.clear[side] > 0));
    let special: Vec<u32> = blocks.iter().flat_map(|block| &block.special).copied().collect();
    let mut split = split_among(solid, plane, &special, |v| class[v as usize], clear, wanted);
    if let Split::Crossed(walls) = &mut split {
        walls.faces = Marks::new(marks, blocks.iter().map(|block| block.clear));
    }
    split
}

/// What of the walls is asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    /// All.
    Walls,
    /// The outline and its points. Split faces get no parts.
    Outline,
}

/// The same for one who knows already which faces the plane crosses or touches (`special`, rising) and whether there are
/// others below and above it (`clear`); does not mark the latter.
pub(super) fn split_among(
    solid: &Solid,
    plane: &Plane,
    special: &[u32],
    class: impl Fn(u32) -> Where,
    clear: [bool; 2],
    wanted: Wanted,
) -> Split {
    let mut cutter = Cutter::new(solid, plane, wanted);
    let mut crossed = false;
    cutter.point_of_edge.reserve(special.len());
    cutter.walls.outline.reserve(special.len());
    for &face in special {
        let corners = solid.mesh.triangles[face as usize];
        let classes = corners.map(&class);
        if classes.contains(&Where::Below) && classes.contains(&Where::Above) {
            cutter.split(face, corners, classes);
            crossed = true;
        } else {
            cutter.keep_whole(face, corners, classes);
        }
    }
    let has = |side: Side| clear[side as usize] || crossed || cutter.walls.touching.iter().any(|(_, s)| *s == side);
    match (has(Side::Below), has(Side::Above)) {
        (true, true) => Split::Crossed(Box::new(cutter.walls)),
        (false, true) => Split::Missed(Side::Above),
        _ => Split::Missed(Side::Below),
    }
}

struct Block {
    /// How many faces are strictly below, strictly above.
    clear: [usize; 2],
    /// Faces that the plane crosses or touches.
    special: Vec<u32>,
}

fn look_at(faces: &[[u32; 3]], first: u32, class: &[Where], mut mark: impl FnMut(usize, Where)) -> Block {
    let mut block = Block { clear: [0; 2], special: Vec::new() };
    for (i, face) in faces.iter().enumerate() {
        let [a, b, c] = face.map(|v| class[v as usize]);
        if a == b && b == c && a != Where::On {
            mark(i, a);
            block.clear[usize::from(a == Where::Above)] += 1;
        } else {
            mark(i, Where::On);
            block.special.push(first + i as u32);
        }
    }
    block
}

struct Cutter<'a> {
    solid: &'a Solid,
    plane: &'a Plane,
    wanted: Wanted,
    point_of_edge: FxHashMap<(u32, u32), u32>,
    walls: Walls,
}

impl<'a> Cutter<'a> {
    fn new(solid: &'a Solid, plane: &'a Plane, wanted: Wanted) -> Self {
        let walls = Walls {
            points: Vec::new(),
            parts: [Vec::new(), Vec::new()],
            touching: Vec::new(),
            outline: Outline::default(),
            faces: Marks::new(Vec::new(), []),
        };
        Cutter { solid, plane, wanted, point_of_edge: FxHashMap::default(), walls }
    }

    /// A face with no corner on the other side; its edges within the plane belong to the outline.
    fn keep_whole(&mut self, face: u32, corners: [u32; 3], classes: [Where; 3]) {
        let side = if classes.contains(&Where::Below) {
            Side::Below
        } else if classes.contains(&Where::Above) || self.faces_down(corners) {
            Side::Above
        } else {
            Side::Below
        };
        self.walls.touching.push((face, side));
        for i in 0..3 {
            let j = (i + 1) % 3;
            if classes[i] == Where::On && classes[j] == Where::On {
                self.walls.outline.add_wall_edge(side, corners[i], corners[j], face);
            }
        }
    }

    /// A face in the plane bounds the solid that it faces away from.
    fn faces_down(&self, corners: [u32; 3]) -> bool {
        let [a, b, c] = corners.map(|v| self.solid.mesh.vertices[v as usize]);
        (b - a).cross(&(c - a)).dot(&self.plane.normal()) < 0.0
    }

    fn split(&mut self, face: u32, corners: [u32; 3], classes: [Where; 3]) {
        // Turn the face so that its first corner is the one on the plane, or else the one alone on its side.
        let first = (0..3).find(|&i| classes[i] == Where::On).unwrap_or_else(|| {
            (0..3).find(|&i| classes[i] != classes[(i + 1) % 3] && classes[i] != classes[(i + 2) % 3]).unwrap_or(0)
        });
        let [a, b, c] = [0, 1, 2].map(|k| corners[(first + k) % 3]);
        let side_of = |k: usize| if classes[(first + k) % 3] == Where::Below { Side::Below } else { Side::Above };
        if classes[first] == Where::On {
            let p = self.crossing(b, c);
            self.walls.outline.add_split(side_of(1), p, a, face);
            if self.wanted == Wanted::Walls {
                self.part(side_of(1), [a, b, p], face);
                self.part(side_of(2), [a, p, c], face);
            }
        } else {
            let (p, q) = (self.crossing(a, b), self.crossing(c, a));
            self.walls.outline.add_split(side_of(0), p, q, face);
            if self.wanted == Wanted::Walls {
                self.part(side_of(0), [a, p, q], face);
                if self.splits_from_first(p, b, c, q) {
                    self.part(side_of(1), [p, b, c], face);
                    self.part(side_of(1), [p, c, q], face);
                } else {
                    self.part(side_of(1), [p, b, q], face);
                    self.part(side_of(1), [b, c, q], face);
                }
            }
        }
    }

    /// Whether the quadrilateral `p b c q` is split from `p` to `c`: along its shorter diagonal. Depends on places only,
    /// so that the two faces of a seam, which are each other turned round, are split alike by a later cut.
    fn splits_from_first(&self, p: u32, b: u32, c: u32, q: u32) -> bool {
        let at = |v| self.walls.position(self.solid, v);
        let (pc, bq) = ((at(c) - at(p)).norm_squared(), (at(q) - at(b)).norm_squared());
        if pc != bq { pc < bq } else { lower(&at(c), &at(b)) }
    }

    fn part(&mut self, side: Side, triangle: [u32; 3], face: u32) {
        self.walls.parts[side as usize].push((triangle, face));
    }

    /// The point where edge `a b` crosses the plane.
    fn crossing(&mut self, a: u32, b: u32) -> u32 {
        let key = if a < b { (a, b) } else { (b, a) };
        let next = (self.solid.mesh.vertices.len() + self.walls.points.len()) as u32;
        *self.point_of_edge.entry(key).or_insert_with(|| {
            let [a, b] = [a, b].map(|v| self.solid.mesh.vertices[v as usize]);
            self.walls.points.push(crossing_point(self.plane, a, b));
            next
        })
    }
}

/// Where the edge between `a` and `b`, which lie on different sides, crosses the plane. The same to the last bit
/// whichever way round the edge is given, and whatever mesh it is part of.
pub(crate) fn crossing_point(plane: &Plane, a: Point, b: Point) -> Point {
    let (a, b) = if lower(&b, &a) { (b, a) } else { (a, b) };
    let (da, db) = (plane.distance_mm(&a), plane.distance_mm(&b));
    let p = a + (b - a) * (da / (da - db));
    // One step onto the plane takes back what the division rounded away; the box of the edge is never left.
    let p = plane.project(&p);
    Point::from(p.coords.zip_zip_map(&a.coords, &b.coords, |x, a, b| x.clamp(a.min(b), a.max(b))))
}

/// Lexicographic order of places.
pub(super) fn lower(a: &Point, b: &Point) -> bool {
    a.coords.iter().zip(b.coords.iter()).find(|(x, y)| x != y).is_some_and(|(x, y)| x < y)
}

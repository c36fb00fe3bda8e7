//! Quickhull (C. B. Barber, D. P. Dobkin, H. Huhdanpaa, ACM Transactions on Mathematical Software 22(4):469–483,
//! 1996) with exact signs.
//!
//! With exact signs the faces that a point sees form one disc, its rim is one simple loop and no new face is flat,
//! so that nothing has to be mended. A point that sees a face taken away and is still outside sees a new face, which
//! is why points are handed from old faces to new ones only.

use super::polygon::{Point2, convex_polygon_indices, turns_left};
use crate::{Point, Vector};
use robust::{Coord3D, orient3d};

/// What a set of points spans.
pub(super) enum Span {
    Nothing,
    /// One place, or the two ends of a segment.
    Ends(Vec<u32>),
    /// A convex outline in one plane.
    Flat(Vec<u32>),
    /// The faces, counter-clockwise from outside.
    Solid(Vec<[u32; 3]>),
    /// Products of coordinates left the range of numbers, so that signs can't be trusted.
    OutOfRange,
}

/// Coordinates beyond this are not reckoned with: products of four differences must stay within the range of numbers.
const LARGEST_MM: f64 = 1e70;

/// Spans `points`, which must be finite, leaving out only points within `tolerance_mm` of the result.
pub(super) fn span(points: &[Point], tolerance_mm: f64) -> Span {
    let Some((first, last)) = ends(points) else { return Span::Nothing };
    if points.iter().any(|p| p.coords.amax() > LARGEST_MM) {
        return Span::OutOfRange;
    }
    if points[first as usize] == points[last as usize] {
        return Span::Ends(vec![first]);
    }
    let Some(third) = off_line(points, first, last) else { return Span::Ends(vec![first, last]) };
    let Some(fourth) = off_plane(points, [first, last, third]) else {
        return Span::Flat(flat_outline(points, [first, last, third]));
    };
    let mut growth = Growth::from_tetrahedron(points, tolerance_mm, [first, last, third, fourth]);
    match growth.finish() {
        Some(faces) => Span::Solid(faces),
        None => Span::OutOfRange,
    }
}

/// The lowest and highest point along the axis on which they are farthest apart. They are the true ends when all
/// points lie on one line.
fn ends(points: &[Point]) -> Option<(u32, u32)> {
    if points.is_empty() {
        return None;
    }
    let mut low = [0_u32; 3];
    let mut high = [0_u32; 3];
    for (i, p) in points.iter().enumerate() {
        for axis in 0..3 {
            if p[axis] < points[low[axis] as usize][axis] {
                low[axis] = i as u32;
            }
            if p[axis] > points[high[axis] as usize][axis] {
                high[axis] = i as u32;
            }
        }
    }
    let extent = |axis: usize| points[high[axis] as usize][axis] - points[low[axis] as usize][axis];
    let axis = (0..3).fold(0, |best, axis| if extent(axis) > extent(best) { axis } else { best });
    Some((low[axis], high[axis]))
}

/// The point farthest from the line through `a` and `b`, or any that is truly off it.
fn off_line(points: &[Point], a: u32, b: u32) -> Option<u32> {
    let (pa, pb) = (points[a as usize], points[b as usize]);
    let along = pb - pa;
    let farthest = farthest_by(points, |p| along.cross(&(p - pa)).norm_squared());
    let is_off = |p: Point| {
        [(0, 1), (1, 2), (2, 0)].into_iter().any(|(u, v)| {
            let flat = |p: Point| Point2::new(p[u], p[v]);
            turns_left(flat(pa), flat(pb), flat(p)) || turns_left(flat(pb), flat(pa), flat(p))
        })
    };
    first_that(points, farthest, is_off)
}

/// The point farthest from the plane of three others, or any that is truly off it.
fn off_plane(points: &[Point], [a, b, c]: [u32; 3]) -> Option<u32> {
    let [pa, pb, pc] = [a, b, c].map(|i| points[i as usize]);
    let normal = (pb - pa).cross(&(pc - pa));
    let farthest = farthest_by(points, |p| normal.dot(&(p - pa)).abs());
    first_that(points, farthest, |p| height_sign(pa, pb, pc, p) != 0.0)
}

fn farthest_by(points: &[Point], measure: impl Fn(&Point) -> f64) -> u32 {
    let mut best = (0, f64::NEG_INFINITY);
    for (i, p) in points.iter().enumerate() {
        let value = measure(p);
        if value > best.1 {
            best = (i as u32, value);
        }
    }
    best.0
}

/// `guess` if it passes, else the first point that does.
fn first_that(points: &[Point], guess: u32, test: impl Fn(Point) -> bool) -> Option<u32> {
    if test(points[guess as usize]) {
        return Some(guess);
    }
    points.iter().position(|&p| test(p)).map(|i| i as u32)
}

/// The outline of points in one plane, found in the coordinate plane that sees it most widely: leaving out one
/// coordinate of exactly coplanar points keeps every sign.
fn flat_outline(points: &[Point], [a, b, c]: [u32; 3]) -> Vec<u32> {
    let [pa, pb, pc] = [a, b, c].map(|i| points[i as usize]);
    let skip = (pb - pa).cross(&(pc - pa)).iamax();
    let (u, v) = ((skip + 1) % 3, (skip + 2) % 3);
    let flat: Vec<Point2> = points.iter().map(|p| Point2::new(p[u], p[v])).collect();
    convex_polygon_indices(&flat)
}

/// Positive when `p` lies on the outer side of the face `a b c`, counter-clockwise from outside. Exact.
fn height_sign(a: Point, b: Point, c: Point, p: Point) -> f64 {
    let coord = |p: Point| Coord3D { x: p.x, y: p.y, z: p.z };
    -orient3d(coord(a), coord(b), coord(c), coord(p))
}

const NONE: u32 = u32::MAX;

struct Face {
    corners: [u32; 3],
    /// Neighbour over the edge from corner `k` to corner `k + 1`.
    across: [u32; 3],
    normal: Vector,
    /// Points that see this face and wait for it.
    outside: Vec<u32>,
    /// Which of `outside` is highest above the face, and how high, in units of the normal's length.
    highest: (u32, f64),
}

/// An edge of the rim of what a point sees: from `a` to `b`, with the face that stays beyond it.
struct Rim {
    a: u32,
    b: u32,
    beyond: u32,
    beyond_edge: usize,
}

struct Growth<'a> {
    points: &'a [Point],
    tolerance_mm: f64,
    faces: Vec<Face>,
    /// Faces taken away, to be used again.
    free: Vec<u32>,
    /// Faces that may have points waiting.
    waiting: Vec<u32>,
    /// The round in which a face was last found to be seen.
    seen_in: Vec<u32>,
    /// The new face whose rim edge begins at a point, in the current round only.
    begins_at: Vec<u32>,
}

impl<'a> Growth<'a> {
    fn from_tetrahedron(points: &'a [Point], tolerance_mm: f64, [a, b, c, d]: [u32; 4]) -> Growth<'a> {
        let mut growth = Growth {
            points,
            tolerance_mm,
            faces: Vec::new(),
            free: Vec::new(),
            waiting: Vec::new(),
            seen_in: Vec::new(),
            begins_at: vec![NONE; points.len()],
        };
        let at = |i: u32| points[i as usize];
        let (b, c) = if height_sign(at(a), at(b), at(c), at(d)) > 0.0 { (c, b) } else { (b, c) };
        // Each face's neighbours in the order of its edges.
        for (corners, across) in
            [([a, b, c], [1, 2, 3]), ([a, d, b], [3, 2, 0]), ([b, d, c], [1, 3, 0]), ([c, d, a], [2, 1, 0])]
        {
            growth.add_face(corners, across);
        }
        growth.hand_out(0..points.len() as u32, &[0, 1, 2, 3]);
        growth
    }

    /// Takes in points until none is outside. `None` if signs contradict one another.
    fn finish(&mut self) -> Option<Vec<[u32; 3]>> {
        let mut round = 0;
        while let Some(face) = self.waiting.pop() {
            if self.faces[face as usize].outside.is_empty() {
                continue;
            }
            round += 1;
            let point = self.faces[face as usize].highest.0;
            let (seen, rim) = self.look_from(point, face, round);
            let new = self.close(point, &rim)?;
            let mut orphans = Vec::new();
            for &f in &seen {
                orphans.append(&mut self.faces[f as usize].outside);
                self.faces[f as usize].corners = [NONE; 3];
            }
            self.hand_out(orphans.into_iter().filter(|&p| p != point), &new);
            self.free.extend(seen);
        }
        Some(self.faces.iter().map(|f| f.corners).filter(|c| c[0] != NONE).collect())
    }

    /// All faces that `point` sees, beginning with `first`, and their rim.
    fn look_from(&mut self, point: u32, first: u32, round: u32) -> (Vec<u32>, Vec<Rim>) {
        let mut seen = vec![first];
        let mut rim = Vec::new();
        self.seen_in[first as usize] = round;
        let mut next = 0;
        while next < seen.len() {
            let Face { corners, across, .. } = self.faces[seen[next] as usize];
            next += 1;
            for k in 0..3 {
                let beyond = across[k];
                if self.seen_in[beyond as usize] == round {
                    continue;
                }
                if self.sees(point, beyond) {
                    self.seen_in[beyond as usize] = round;
                    seen.push(beyond);
                } else {
                    let (a, b) = (corners[k], corners[(k + 1) % 3]);
                    let edges = self.faces[beyond as usize].corners;
                    let beyond_edge = (0..3).find(|&e| edges[e] == b).unwrap_or(0);
                    rim.push(Rim { a, b, beyond, beyond_edge });
                }
            }
        }
        (seen, rim)
    }

    /// Joins the rim to `point` by new faces. `None` unless the rim is made of simple loops.
    fn close(&mut self, point: u32, rim: &[Rim]) -> Option<Vec<u32>> {
        let mut new = Vec::with_capacity(rim.len());
        for edge in rim {
            let face = self.add_face([edge.a, edge.b, point], [edge.beyond, NONE, NONE]);
            self.faces[edge.beyond as usize].across[edge.beyond_edge] = face;
            if std::mem::replace(&mut self.begins_at[edge.a as usize], face) != NONE {
                return None;
            }
            new.push(face);
        }
        for (edge, &face) in rim.iter().zip(&new) {
            let next = self.begins_at[edge.b as usize];
            if next == NONE {
                return None;
            }
            self.faces[face as usize].across[1] = next;
            self.faces[next as usize].across[2] = face;
        }
        for edge in rim {
            self.begins_at[edge.a as usize] = NONE;
        }
        if new.len() < 3 { None } else { Some(new) }
    }

    fn add_face(&mut self, corners: [u32; 3], across: [u32; 3]) -> u32 {
        let [a, b, c] = corners.map(|i| self.points[i as usize]);
        let normal = (b - a).cross(&(c - a));
        let face = Face { corners, across, normal, outside: Vec::new(), highest: (NONE, 0.0) };
        match self.free.pop() {
            Some(id) => {
                self.faces[id as usize] = face;
                self.seen_in[id as usize] = 0;
                id
            }
            None => {
                self.faces.push(face);
                self.seen_in.push(0);
                self.faces.len() as u32 - 1
            }
        }
    }

    fn face_for(&self, point: u32, faces: &[u32]) -> Option<u32> {
        let mut seen = faces.iter().copied().filter(|&f| self.sees(point, f));
        if self.tolerance_mm <= 0.0 {
            return seen.next();
        }
        let mut nearest: Option<(f64, u32)> = None;
        for face in seen {
            let corners = self.faces[face as usize].corners.map(|i| self.points[i as usize]);
            let distance = distance_to_triangle(self.points[point as usize], corners);
            if distance <= self.tolerance_mm {
                return None;
            }
            if nearest.is_none_or(|(least, _)| distance < least) {
                nearest = Some((distance, face));
            }
        }
        nearest.map(|(_, face)| face)
    }

    /// Height above a face in units of its normal's length: for choosing, not for deciding.
    fn height(&self, point: u32, face: u32) -> f64 {
        let face = &self.faces[face as usize];
        face.normal.dot(&(self.points[point as usize] - self.points[face.corners[0] as usize]))
    }

    fn sees(&self, point: u32, face: u32) -> bool {
        let [a, b, c] = self.faces[face as usize].corners.map(|i| self.points[i as usize]);
        height_sign(a, b, c, self.points[point as usize]) > 0.0
    }

    /// Gives each point to one of `faces` that it sees; what sees none is inside, and what lies within the tolerance
    /// of one that it sees is let go.
    fn hand_out(&mut self, points: impl Iterator<Item = u32>, faces: &[u32]) {
        for point in points {
            let Some(face) = self.face_for(point, faces) else { continue };
            let height = self.height(point, face);
            let face = &mut self.faces[face as usize];
            if face.highest.0 == NONE || height > face.highest.1 {
                face.highest = (point, height);
            }
            face.outside.push(point);
        }
        self.waiting.extend(faces.iter().filter(|&&f| !self.faces[f as usize].outside.is_empty()));
    }
}

/// Distance of `p` from the triangle `a b c`, by regions of its plane (C. Ericson, *Real-Time Collision Detection*,
/// 2005, 5.1.5). Never less than the distance from any convex body that holds the triangle.
fn distance_to_triangle(p: Point, [a, b, c]: [Point; 3]) -> f64 {
    let (ab, ac, ap) = (b - a, c - a, p - a);
    let (d1, d2) = (ab.dot(&ap), ac.dot(&ap));
    let bp = p - b;
    let (d3, d4) = (ab.dot(&bp), ac.dot(&bp));
    let cp = p - c;
    let (d5, d6) = (ab.dot(&cp), ac.dot(&cp));
    let (va, vb, vc) = (d3 * d6 - d5 * d4, d5 * d2 - d1 * d6, d1 * d4 - d3 * d2);
    let nearest = if d1 <= 0.0 && d2 <= 0.0 {
        a
    } else if d3 >= 0.0 && d4 <= d3 {
        b
    } else if d6 >= 0.0 && d5 <= d6 {
        c
    } else if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 {
        a + ab * (d1 / (d1 - d3))
    } else if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 {
        a + ac * (d2 / (d2 - d6))
    } else if va <= 0.0 && d4 >= d3 && d5 >= d6 {
        b + (c - b) * ((d4 - d3) / ((d4 - d3) + (d5 - d6)))
    } else {
        let sum = va + vb + vc;
        a + ab * (vb / sum) + ac * (vc / sum)
    };
    let distance = nalgebra::distance(&p, &nearest);
    // A sliver's plane may be beyond rounding; a distance that can't be told lets nothing go.
    if distance.is_finite() { distance } else { f64::INFINITY }
}

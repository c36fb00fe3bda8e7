//! Both sides of a cut put together: whole faces, parts of split faces, caps.
//!
//! The work of a cut on a large mesh is here: each vertex and face is read once and written once, in parallel, into arrays
//! of the final size. That does not wait for the caps, which are made beside it.

use rustc_hash::FxHashMap;

use super::cap::Cap;
use super::marks::Marks;
use super::walls::Walls;
use crate::predicates::Where;
use crate::{FaceOrigin, Mesh, Side, Solid};

/// The faces of both sides that do not touch the plane, with their vertices.
pub(super) struct Wholes {
    sides: [Solid; 2],
    /// New numbers of the vertices that do not lie on the plane, each for its side.
    numbers: Vec<u32>,
}

/// Copies what stays whole.
pub(super) fn wholes(solid: &Solid, vertices: &Marks, walls: &Walls) -> Wholes {
    let numbers = vertices.numbers();
    let whole = |side: Side| {
        let faces = &walls.faces;
        // Room for what comes later as well: the caps have hardly more faces than twice their vertices.
        let on_plane = vertices.marks.len() - vertices.counts().iter().sum::<usize>() + walls.points.len();
        let near_faces = walls.touching.len() + walls.parts[side as usize].len() + 2 * on_plane;
        let places = || {
            let mut places = Vec::with_capacity(vertices.counts()[side as usize] + on_plane);
            vertices.runs(side).for_each(|run| places.extend_from_slice(&solid.mesh.vertices[run]));
            places
        };
        let room = faces.counts()[side as usize] + near_faces;
        let triangles = || {
            let mut triangles = Vec::with_capacity(room);
            for run in faces.runs(side) {
                triangles.extend(solid.mesh.triangles[run].iter().map(|face| face.map(|v| numbers[v as usize])));
            }
            triangles
        };
        let origins = || {
            let mut origins = Vec::with_capacity(room);
            faces.runs(side).for_each(|run| origins.extend_from_slice(&solid.origins[run]));
            origins
        };
        let (triangles, (places, origins)) = rayon::join(triangles, || rayon::join(places, origins));
        Solid { mesh: Mesh { vertices: places, triangles }, origins, resolution: solid.resolution }
    };
    let (below, above) = rayon::join(|| whole(Side::Below), || whole(Side::Above));
    Wholes { sides: [below, above], numbers }
}

/// The lower and the upper side.
pub(super) fn sides(
    solid: &Solid,
    class: &[Where],
    walls: &Walls,
    cap: &Cap,
    wholes: Wholes,
    label: u32,
) -> (Solid, Solid) {
    let Wholes { sides: [below, above], numbers } = wholes;
    let on_plane = |v: u32| class[v as usize] == Where::On;
    let seam = Seam { solid, on_plane, walls, cap, numbers: &numbers, label };
    rayon::join(|| finished(seam, Side::Below, below), || finished(seam, Side::Above, above))
}

/// Adds to what is whole on one side of a plane the walls and caps there.
pub(super) fn finished<F: Fn(u32) -> bool>(seam: Seam<'_, F>, side: Side, whole: Solid) -> Solid {
    let made = vec![Near::<F>::NONE; seam.walls.points.len() + seam.cap.new_points.len()];
    let mut near = Near { seam, side, whole, made, on_plane: FxHashMap::default() };
    near.add_walls();
    near.add_caps();
    near.whole
}

/// What is known of one plane of a solid.
#[derive(Clone, Copy)]
pub(super) struct Seam<'a, F> {
    pub solid: &'a Solid,
    /// Whether a vertex of the solid lies on the plane.
    pub on_plane: F,
    pub walls: &'a Walls,
    pub cap: &'a Cap,
    /// New numbers of the vertices that do not lie on the plane, each for its side.
    pub numbers: &'a [u32],
    /// Of its caps.
    pub label: u32,
}

/// Adds to what is whole on one side what touches the plane, and the vertices that only this uses.
struct Near<'a, F> {
    seam: Seam<'a, F>,
    side: Side,
    whole: Solid,
    /// New numbers of vertices that the walls and the cap made, or [`NONE`](Self::NONE) yet.
    made: Vec<u32>,
    /// Those of vertices of the solid that lie on the plane.
    on_plane: FxHashMap<u32, u32>,
}

impl<F: Fn(u32) -> bool> Near<'_, F> {
    const NONE: u32 = u32::MAX;

    fn add_walls(&mut self) {
        let (solid, walls, cap) = (self.seam.solid, self.seam.walls, self.seam.cap);
        let side = self.side;
        let touching = walls.touching.iter().filter(|(_, touched)| *touched == side);
        let touching = touching.map(|(face, _)| (solid.mesh.triangles[*face as usize], *face));
        let as_drawn = cap.chains.is_empty() && cap.welded.is_empty();
        for (triangle, face) in touching.chain(walls.parts[side as usize].iter().copied()) {
            let origin = solid.origins[face as usize];
            if as_drawn {
                self.add(triangle, origin);
                continue;
            }
            for part in along_chains(triangle, &cap.chains) {
                let part = part.map(|v| cap.welded.get(&v).copied().unwrap_or(v));
                if part[0] != part[1] && part[1] != part[2] && part[2] != part[0] {
                    self.add(part, origin);
                }
            }
        }
    }

    fn add_caps(&mut self) {
        let origin = FaceOrigin::cap(self.seam.label, self.side);
        for &[a, b, c] in &self.seam.cap.triangles {
            self.add(if self.side == Side::Below { [a, b, c] } else { [a, c, b] }, origin);
        }
    }

    /// Adds a face in the common numbering of the walls.
    fn add(&mut self, face: [u32; 3], origin: FaceOrigin) {
        let face = face.map(|v| self.number(v));
        self.whole.mesh.triangles.push(face);
        self.whole.origins.push(origin);
    }

    fn number(&mut self, v: u32) -> u32 {
        let next = self.whole.mesh.vertices.len() as u32;
        let (solid, walls, cap) = (self.seam.solid, self.seam.walls, self.seam.cap);
        let place = match solid.mesh.vertices.get(v as usize) {
            Some(place) if (self.seam.on_plane)(v) => {
                let number = *self.on_plane.entry(v).or_insert(next);
                if number != next {
                    return number;
                }
                *place
            }
            Some(_) => return self.seam.numbers[v as usize],
            None => {
                let made = v as usize - solid.mesh.vertices.len();
                if self.made[made] != Self::NONE {
                    return self.made[made];
                }
                self.made[made] = next;
                match walls.points.get(made) {
                    Some(place) => *place,
                    None => cap.new_points[made - walls.points.len()],
                }
            }
        };
        self.whole.mesh.vertices.push(place);
        next
    }
}

/// The triangle, parted where vertices were put along its edges. Each of its three sides is parted once, what is drawn
/// across it never: where vertices lie so close that two edges were each led through an end of the other, parting the
/// parts again would not end.
pub(super) fn along_chains(triangle: [u32; 3], chains: &FxHashMap<(u32, u32), Vec<u32>>) -> Vec<[u32; 3]> {
    let mut done = Vec::new();
    // With whether the sides from each corner to the next are still to be looked at.
    let mut todo = vec![(triangle, [true; 3])];
    while let Some((t, is_open)) = todo.pop() {
        let parted = (0..3).filter(|&i| is_open[i]).find_map(|i| {
            let (a, b, c) = (t[i], t[(i + 1) % 3], t[(i + 2) % 3]);
            let chain = chains.get(&(a.min(b), a.max(b)))?;
            let along: Vec<u32> = if a < b { chain.clone() } else { chain.iter().rev().copied().collect() };
            // The chain's ends may be welded to other vertices; the corners themselves are welded later.
            let inner = along.get(1..along.len().saturating_sub(1))?;
            let mut fan = Vec::with_capacity(inner.len() + 1);
            let mut last = a;
            for (k, &v) in inner.iter().chain([&b]).enumerate() {
                let side_to_c = k == inner.len() && is_open[(i + 1) % 3];
                let side_to_a = k == 0 && is_open[(i + 2) % 3];
                fan.push(([last, v, c], [false, side_to_c, side_to_a]));
                last = v;
            }
            Some(fan)
        });
        match parted {
            Some(fan) => todo.extend(fan),
            None => done.push(t),
        }
    }
    done
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Found by fuzzing: where one coordinate is 10¹¹ times all others, vertices lie within the snap of each other's
    /// edges.
    #[test]
    fn edges_led_through_each_others_ends_part_a_triangle_once() {
        let chains = FxHashMap::from_iter([((0, 1), vec![0, 3, 1]), ((0, 3), vec![0, 1, 3]), ((1, 3), vec![1, 0, 3])]);
        assert_eq!(along_chains([0, 1, 2], &chains), [[3, 1, 2], [0, 3, 2]]);
    }

    #[test]
    fn each_side_of_a_triangle_is_parted_where_vertices_lie_along_it() {
        let chains =
            FxHashMap::from_iter([((0, 1), vec![0, 3, 4, 1]), ((1, 2), vec![1, 5, 2]), ((0, 2), vec![0, 6, 2])]);
        let parts = along_chains([0, 1, 2], &chains);
        assert_eq!(parts.len(), 5);
        for (from, to) in [(0, 3), (3, 4), (4, 1), (1, 5), (5, 2), (2, 6), (6, 0)] {
            let has_it = |t: &&[u32; 3]| (0..3).any(|i| (t[i], t[(i + 1) % 3]) == (from, to));
            assert_eq!(parts.iter().filter(has_it).count(), 1, "{from} → {to}");
        }
    }
}

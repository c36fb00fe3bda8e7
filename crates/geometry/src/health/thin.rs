//! Walls thinner than can be printed.

use rayon::prelude::*;

use crate::boxes::SmallBox;
use crate::inside::look_up;
use crate::tree::FaceTree;
use crate::{Cancelled, Mesh, Point, Progress, Resolution, Vector, edge_report};

/// What [`thin_walls`] found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ThinWalls {
    /// Places that were looked at.
    pub samples: usize,
    /// Greatest distance between neighbouring places on one face, mm: as asked for, or more for a mesh so large that
    /// [`THIN_SAMPLES`] would not do.
    pub spacing_mm: f64,
    /// The area with too little behind it, mm²: the share of each face that its places stand for. Both sides of a wall
    /// count.
    pub area_mm2: f64,
    /// The faces with such places, rising.
    pub faces: Vec<u32>,
    /// The thinnest place.
    pub thinnest: Option<ThinPlace>,
}

/// A place with too little behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThinPlace {
    /// From the one side to the other, square to the first, mm.
    pub thickness_mm: f64,
    /// The place on the first side.
    pub place: Point,
    /// The place opposite.
    pub opposite: Point,
    /// The face of `place`.
    pub face: u32,
    /// The face of `opposite`.
    pub opposite_face: u32,
}

/// Places looked at in one search, at most: some ten seconds' work. Our own choice, no source.
pub const THIN_SAMPLES: usize = 1 << 24;

/// Two sides are those of a wall if they lean towards each other by no more than this; where they lean more it is an
/// edge, which is thin near its tip by nature. Our own choice, no source.
pub const MOST_TAPER_DEG: f64 = 45.0;

/// Finds walls thinner than `width_mm`: from places on every face it looks straight inwards and measures to where the
/// material ends. (Shapira, Shamir and Cohen-Or, "Consistent mesh partitioning and skeletonisation using the shape
/// diameter function", 2008, with the middle ray of their cone alone. The other usual measure, the largest sphere inside
/// that touches the place, is 0 along every sharp edge.)
///
/// Places are the middles of the triangles that one gets by parting the sides of each face so that none is longer than
/// `spacing_mm`; a face smaller than that has one place, its middle. Thin places between them are missed. Where shells
/// overlap, material ends where the last of them does, and faces with material on both sides bound no wall (told of closed
/// meshes only). A wall thinner than single precision resolves is no wall but two
/// faces that lie on each other, and is told by [`crossings`](crate::crossings). Not exact: rays may slip through an edge.
pub fn thin_walls(mesh: &Mesh, width_mm: f64, spacing_mm: f64, progress: &Progress) -> Result<ThinWalls, Cancelled> {
    progress.stage("looking for thin walls");
    let tree = FaceTree::build(mesh, progress)?;
    let closed = edge_report(mesh).closed();
    let least_mm = Resolution::of(mesh).on_plane_mm;
    let spacing_mm = affordable(mesh, spacing_mm.max(least_mm).max(f64::MIN_POSITIVE));
    let around = Surroundings { mesh, tree, closed, least_mm, most_mm: width_mm };
    let of_block = |(block, faces): (usize, &[[u32; 3]])| {
        progress.check()?;
        let mut found = ThinWalls { spacing_mm, ..ThinWalls::default() };
        for face in (block * BLOCK..).take(faces.len()) {
            look_behind(&around, face as u32, spacing_mm, &mut found);
        }
        Ok(found)
    };
    // Joined in the order of faces, so that sums come out the same on any number of cores.
    let blocks = mesh.triangles.par_chunks(BLOCK).enumerate().map(of_block).collect::<Result<Vec<_>, Cancelled>>()?;
    let none = ThinWalls { spacing_mm, ..ThinWalls::default() };
    Ok(blocks.into_iter().fold(none, |mut all, block| {
        all.samples += block.samples;
        all.area_mm2 += block.area_mm2;
        all.faces.extend(block.faces);
        all.thinnest = thinner(all.thinnest, block.thinnest);
        all
    }))
}

/// Faces looked at between two looks at whether to go on.
const BLOCK: usize = 1024;

fn thinner(a: Option<ThinPlace>, b: Option<ThinPlace>) -> Option<ThinPlace> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if b.thickness_mm < a.thickness_mm { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// Parts of each side of a face.
fn parts(mesh: &Mesh, face: usize, spacing_mm: f64) -> usize {
    let [a, b, c] = mesh.corners(face);
    let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
    // A cast saturates; not-a-number becomes 0.
    ((longest / spacing_mm).ceil() as usize).clamp(1, 1 << 16)
}

/// The spacing, doubled until there are not too many places. Every face has one, however far apart they are.
fn affordable(mesh: &Mesh, spacing_mm: f64) -> f64 {
    let samples = |spacing| -> f64 {
        (0..mesh.triangles.len()).into_par_iter().map(|face| (parts(mesh, face, spacing) as f64).powi(2)).sum()
    };
    let most = THIN_SAMPLES.max(mesh.triangles.len()) as f64;
    let mut spacing = spacing_mm;
    while samples(spacing) > most {
        spacing *= 2.0;
    }
    spacing
}

struct Surroundings<'a> {
    mesh: &'a Mesh,
    tree: FaceTree,
    closed: bool,
    least_mm: f64,
    most_mm: f64,
}

fn look_behind(around: &Surroundings<'_>, face: u32, spacing_mm: f64, found: &mut ThinWalls) {
    let mesh = around.mesh;
    let [a, b, c] = mesh.corners(face as usize);
    let across = (b - a).cross(&(c - a));
    let twice_area = across.norm();
    let inwards = -across / twice_area;
    if !inwards.iter().all(|x| x.is_finite()) {
        return;
    }
    let n = parts(mesh, face as usize, spacing_mm);
    let mut thin = 0_usize;
    for i in 0..n {
        for j in 0..n - i {
            // The upright triangle of this cell, and the turned one beside it.
            for shift in [1.0 / 3.0, 2.0 / 3.0].into_iter().take(if i + j + 1 < n { 2 } else { 1 }) {
                let [u, v] = [i, j].map(|k| (k as f64 + shift) / n as f64);
                let place = a + (b - a) * u + (c - a) * v;
                found.samples += 1;
                if let Some((thickness_mm, opposite_face)) = around.thickness(face, place, inwards) {
                    thin += 1;
                    let opposite = place + inwards * thickness_mm;
                    let here = ThinPlace { thickness_mm, place, opposite, face, opposite_face };
                    found.thinnest = thinner(found.thinnest, Some(here));
                }
            }
        }
    }
    if thin > 0 {
        found.faces.push(face);
        found.area_mm2 += twice_area / 2.0 * thin as f64 / (n * n) as f64;
    }
}

impl Surroundings<'_> {
    /// How far the material reaches from `place` along `inwards`, and the face where it ends, if that is within reach and
    /// the face is that of a wall.
    fn thickness(&self, face: u32, place: Point, inwards: Vector) -> Option<(f64, u32)> {
        let way = SmallBox::around([place, place + inwards * self.most_mm].into_iter());
        let mut hits: Vec<Hit> = Vec::new();
        self.tree.visit(0, &|other| other.meets(&way), &mut |group| {
            for &other in self.tree.group(group).1.iter().filter(|other| **other != face) {
                let Some(hit) = Hit::of(self.mesh, other, &place, &inwards) else { continue };
                if hit.distance_mm > self.least_mm && hit.distance_mm < self.most_mm {
                    hits.push(hit);
                }
            }
        });
        hits.sort_by(|a, b| a.distance_mm.total_cmp(&b.distance_mm).then(a.face.cmp(&b.face)));
        let mut deep = 1;
        let end = hits.iter().find(|hit| {
            deep += if hit.facing > 0.0 { -1 } else { 1 };
            deep <= 0
        })?;
        let is_wall = end.facing >= MOST_TAPER_DEG.to_radians().cos() && !self.is_covered(&place, &inwards);
        is_wall.then_some((end.distance_mm, end.face))
    }

    /// Whether there is material before the face at `place` too.
    fn is_covered(&self, place: &Point, inwards: &Vector) -> bool {
        let mut turns = 0;
        look_up(self.mesh, &self.tree, &(place + inwards * (self.least_mm / 2.0)), &mut |_, turn| turns += turn);
        self.closed && turns > 1
    }
}

/// Where a ray meets a face.
struct Hit {
    distance_mm: f64,
    face: u32,
    /// Cosine of the angle between the ray and the face's normal: positive where the ray leaves material.
    facing: f64,
}

impl Hit {
    /// Möller and Trumbore, "Fast, minimum storage ray/triangle intersection", 1997.
    fn of(mesh: &Mesh, face: u32, from: &Point, direction: &Vector) -> Option<Hit> {
        let [a, b, c] = mesh.corners(face as usize);
        let (e1, e2) = (b - a, c - a);
        let p = direction.cross(&e2);
        let volume = e1.dot(&p);
        if volume == 0.0 {
            return None;
        }
        let s = from - a;
        let u = s.dot(&p) / volume;
        let q = s.cross(&e1);
        let v = direction.dot(&q) / volume;
        if !(u >= 0.0 && v >= 0.0 && u + v <= 1.0) {
            return None;
        }
        let normal = e1.cross(&e2);
        Some(Hit { distance_mm: e2.dot(&q) / volume, face, facing: normal.dot(direction) / normal.norm() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids;

    fn thin(mesh: &Mesh, width_mm: f64, spacing_mm: f64) -> ThinWalls {
        thin_walls(mesh, width_mm, spacing_mm, &Progress::new()).unwrap()
    }

    #[test]
    fn the_wall_of_a_hollow_ball_is_as_thick_as_the_radii_differ() {
        let ball = |r: f64| solids::sphere(Point::new(0.1, 0.2, 0.3), r, 24);
        let hollow = solids::hollow(&ball(20.0), &ball(19.2));
        assert_eq!(thin(&hollow, 0.7, 10.0).faces, []);
        let found = thin(&hollow, 0.9, 10.0);
        assert_eq!(found.faces.len(), hollow.triangles.len());
        assert!((found.area_mm2 / hollow.area_mm2() - 1.0).abs() < 1e-9);
        let thinnest = found.thinnest.unwrap();
        // Flat faces of some 1 mm bulge by r(1 − cos) of a degree or two.
        assert!((thinnest.thickness_mm - 0.8).abs() < 0.02, "{thinnest:?}");
        assert!((nalgebra::distance(&thinnest.place, &thinnest.opposite) - thinnest.thickness_mm).abs() < 1e-12);
    }

    #[test]
    fn a_thin_spot_amid_large_faces_is_found_by_sampling_them() {
        let block = solids::cuboid(Point::origin(), Point::new(100.0, 100.0, 10.0));
        let hollow = solids::cuboid(Point::new(40.0, 40.0, 2.0), Point::new(50.0, 50.0, 9.5));
        let both = solids::hollow(&block, &hollow);
        let found = thin(&both, 1.0, 2.0);
        let thinnest = found.thinnest.unwrap();
        assert!((thinnest.thickness_mm - 0.5).abs() < 1e-12);
        assert!((found.area_mm2 - 200.0).abs() < 20.0, "{}", found.area_mm2);
        assert!(thinnest.place.z.max(thinnest.opposite.z) == 10.0);
    }

    #[test]
    fn a_sharp_edge_is_no_wall_but_a_gentle_taper_is() {
        // A roof with slopes of this height to 10.
        let roof = |height: f64| {
            let at = Point::new;
            let front = [at(0.0, 0.0, 0.0), at(20.0, 0.0, 0.0), at(10.0, 0.0, height)];
            let back = front.map(|p| at(p.x, 9.0, p.z));
            let triangles =
                vec![[0, 1, 2], [3, 5, 4], [0, 4, 1], [0, 3, 4], [1, 5, 2], [1, 4, 5], [2, 3, 0], [2, 5, 3]];
            Mesh { vertices: front.into_iter().chain(back).collect(), triangles }
        };
        assert!(roof(5.0).volume_mm3() > 0.0);
        assert!(thin(&roof(2.5), 0.5, 0.25).thinnest.is_some(), "14°");
        assert!(thin(&roof(10.0 * 3.0_f64.sqrt()), 0.5, 0.25).thinnest.is_none(), "60°");
    }

    #[test]
    fn material_of_another_shell_behind_a_wall_counts() {
        let one = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 0.3));
        let other = solids::cuboid(Point::new(-1.0, -1.0, 0.2), Point::new(11.0, 11.0, 5.0));
        let found = thin(&solids::joined(&[&one, &other]), 0.5, 1.0);
        assert_eq!(found.faces, []);
        assert_eq!(thin(&one, 0.5, 1.0).faces.len(), 4, "alone it is thin");
    }

    #[test]
    fn solids_that_stand_on_each_other_are_not_thin() {
        let one = solids::cuboid(Point::origin(), Point::new(10.0, 10.0, 5.0));
        let other = solids::cuboid(Point::new(0.0, 0.0, 5.0), Point::new(10.0, 10.0, 9.0));
        assert_eq!(thin(&solids::joined(&[&one, &other]), 1.0, 1.0).faces, []);
    }
}

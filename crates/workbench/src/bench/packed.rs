//! Meshes in the form in which the graphics card takes them, and with fewer faces for while they move.

use meshopt::{SimplifyOptions, VertexDataAdapter};
use seamwright_geometry::{Mesh, Point};

/// Corners of faces, three by three.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Corners {
    /// The skin.
    pub skin: Vec<u32>,
    /// What was cut.
    pub caps: Vec<u32>,
}

/// A mesh in single precision around its own middle.
#[derive(Clone, Debug, PartialEq)]
pub struct Packed {
    /// The middle that positions are relative to.
    pub middle: Point,
    /// The vertices.
    pub positions: Vec<[f32; 3]>,
    /// The faces.
    pub corners: Corners,
}

/// Bodies of more faces are drawn with fewer while they move. Our own choice, no source.
pub const MANY_FACES: usize = 250_000;
/// What they are drawn with then, about. Our own choice, no source.
const FEW_FACES: usize = 80_000;
/// How far the surface may be off then, as a share of its size: two pixels where it fills a thousand.
const OFF_SHARE: f32 = 0.002;

impl Packed {
    /// A mesh; `is_cap` says of its faces which were cut. Faces whose corners are missing are left out.
    pub fn of(mesh: &Mesh, middle: Point, is_cap: impl Fn(usize) -> bool) -> Packed {
        let positions: Vec<[f32; 3]> = mesh.vertices.iter().map(|p| (p - middle).map(|x| x as f32).into()).collect();
        let known = |t: &[u32; 3]| t.iter().all(|&i| (i as usize) < positions.len());
        let mut corners = Corners { skin: Vec::with_capacity(3 * mesh.triangles.len()), caps: Vec::new() };
        for (i, t) in mesh.triangles.iter().enumerate().filter(|(_, t)| known(t)) {
            if is_cap(i) { &mut corners.caps } else { &mut corners.skin }.extend_from_slice(t);
        }
        Packed { middle, positions, corners }
    }

    /// The same with fewer faces on the same vertices; `None` where they are few enough, or cannot be made fewer. Edges where
    /// the skin ends, at caps and at holes, stay. Takes longer than a frame.
    pub fn with_fewer_faces(&self) -> Option<Corners> {
        let faces = (self.corners.skin.len() + self.corners.caps.len()) / 3;
        if faces <= MANY_FACES || !self.positions.iter().flatten().all(|x| x.is_finite()) {
            return None;
        }
        let bytes: &[u8] = bytemuck::cast_slice(&self.positions);
        let vertices = VertexDataAdapter::new(bytes, size_of::<[f32; 3]>(), 0).ok()?;
        let skin = &self.corners.skin;
        let skin = meshopt::simplify(skin, &vertices, 3 * FEW_FACES, OFF_SHARE, SimplifyOptions::LockBorder, None);
        Some(Corners { skin, caps: self.corners.caps.clone() }).filter(|few| few.skin.len() < self.corners.skin.len())
    }
}

#[cfg(test)]
mod tests {
    use seamwright_geometry::{Vector, solids};

    use super::*;

    #[test]
    fn many_faces_become_few_that_lie_where_they_were_and_few_stay() {
        let ball = solids::sphere(Point::new(1000.0, 0.0, 0.0), 50.0, 170);
        let packed = Packed::of(&ball, Point::new(1000.0, 0.0, 0.0), |_| false);
        assert!(ball.triangles.len() > MANY_FACES);
        let few = packed.with_fewer_faces().unwrap();
        assert!(few.skin.len() / 3 < ball.triangles.len() / 2, "{}", few.skin.len() / 3);
        for corners in few.skin.chunks_exact(3) {
            let at = |i: usize| Vector::from(packed.positions[corners[i] as usize].map(f64::from));
            let middle = (at(0) + at(1) + at(2)) / 3.0;
            assert!((middle.norm() - 50.0).abs() < 0.5, "{}", middle.norm());
        }
        let small = solids::sphere(Point::origin(), 50.0, 10);
        assert_eq!(Packed::of(&small, Point::origin(), |_| false).with_fewer_faces(), None);
    }

    #[test]
    fn faces_without_corners_and_places_that_are_no_numbers_do_no_harm() {
        let mut ball = solids::sphere(Point::origin(), 50.0, 170);
        ball.triangles.push([0, 1, u32::MAX]);
        ball.vertices[7].x = f64::NAN;
        let packed = Packed::of(&ball, Point::origin(), |t| t == 3);
        assert_eq!((packed.corners.skin.len() / 3, packed.corners.caps.len() / 3), (ball.triangles.len() - 2, 1));
        assert_eq!(packed.with_fewer_faces(), None);
    }
}

//! The indexed triangle mesh that everything here works on.

/// A place, in millimetres.
pub type Point = nalgebra::Point3<f64>;
/// A direction or displacement, in millimetres unless said to be of unit length.
pub type Vector = nalgebra::Vector3<f64>;
/// A rigid motion: turn, then shift.
pub type Motion = nalgebra::Isometry3<f64>;

/// Indexed triangles. Faces turn counter-clockwise when seen from outside (right-hand rule).
///
/// Nothing is promised about it: it may be open, crossing itself, or empty. Operations say what they need.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corner positions in mm.
    pub vertices: Vec<Point>,
    /// Indices into `vertices`, three to a face.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// The three corners of face `t`.
    pub fn corners(&self, t: usize) -> [Point; 3] {
        self.triangles[t].map(|i| self.vertices[i as usize])
    }

    /// The smallest upright box around all vertices that a face uses; `None` without faces.
    pub fn bounds(&self) -> Option<Bounds> {
        Bounds::of(self.triangles.iter().flatten().map(|&i| self.vertices[i as usize]))
    }

    /// Moves every vertex by `motion`.
    pub fn transformed(&self, motion: &Motion) -> Mesh {
        Mesh { vertices: self.vertices.iter().map(|p| motion * p).collect(), triangles: self.triangles.clone() }
    }

    /// Enclosed volume in mm³ by the divergence theorem: the sum of a·(b×c)/6, taken about the middle of the mesh so
    /// that rounding stays small far from the origin. Meaningful on closed meshes; inward shells count negative.
    pub fn volume_mm3(&self) -> f64 {
        let Some(bounds) = self.bounds() else { return 0.0 };
        let o = bounds.centre();
        self.triangles
            .iter()
            .map(|t| {
                let [a, b, c] = t.map(|i| self.vertices[i as usize] - o);
                a.dot(&b.cross(&c))
            })
            .sum::<f64>()
            / 6.0
    }

    /// Surface area in mm².
    pub fn area_mm2(&self) -> f64 {
        (0..self.triangles.len())
            .map(|t| {
                let [a, b, c] = self.corners(t);
                (b - a).cross(&(c - a)).norm()
            })
            .sum::<f64>()
            / 2.0
    }
}

/// An upright box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Lowest corner, mm.
    pub min: Point,
    /// Highest corner, mm.
    pub max: Point,
}

impl Bounds {
    /// The smallest box around `points`; `None` if there are none.
    pub fn of(points: impl IntoIterator<Item = Point>) -> Option<Bounds> {
        let mut points = points.into_iter();
        let first = points.next()?;
        Some(points.fold(Bounds { min: first, max: first }, |b, p| Bounds { min: b.min.inf(&p), max: b.max.sup(&p) }))
    }

    /// Edge lengths, mm.
    pub fn size(&self) -> Vector {
        self.max - self.min
    }

    /// The middle.
    pub fn centre(&self) -> Point {
        nalgebra::center(&self.min, &self.max)
    }

    /// Length of the space diagonal, mm.
    pub fn diagonal(&self) -> f64 {
        self.size().norm()
    }

    /// The smallest box around both.
    pub fn union(&self, other: &Bounds) -> Bounds {
        Bounds { min: self.min.inf(&other.min), max: self.max.sup(&other.max) }
    }
}

//! Where in its cell a vertex of the surface goes.
use crate::demo::sdf::V3;
use crate::demo::sdf::operations::gradient;

/// A vertex stays this far inside its cell, in cells, so that no two meet.
const MARGIN: f64 = 0.08;
/// Step of the gradient, in cells.
const GRADIENT_STEP: f64 = 0.05;
/// Gradients shorter than this (a distance field has 1) give no direction.
const LEAST_GRADIENT: f64 = 0.1;
/// A cell whose eight samples lie off a common linear function by more than this, in cells, has an edge in it.
const BENT: f32 = 0.06;
/// Newton steps in cells without an edge, all along the gradient where the vertex started.
const STEPS: usize = 2;
/// Weight that holds a vertex on an edge to the middle of its crossings, against the planes' 1 each: it decides where
/// along the edge the vertex lies, and keeps nearly parallel planes from throwing it out.
const HOLD: f64 = 0.1;

/// A cell: its lowest corner and edge length in mm, and its corners' samples in cells (corner i has x in bit 0, y in
/// bit 1, z in bit 2).
#[derive(Clone, Copy, Debug)]
pub struct CellSamples {
    pub low: V3,
    pub size_mm: f64,
    pub samples: [f32; 8],
}

impl CellSamples {
    /// The vertex: on the surface where that is smooth in the cell, on the edge or corner where it has one (T. Ju et
    /// al., "Dual contouring of Hermite data", SIGGRAPH 2002). `start` is the cell's point by plain surface nets.
    pub fn vertex(&self, field: &impl Fn(V3) -> f64, start: V3) -> V3 {
        if self.is_bent() { self.on_edge(field) } else { self.on_face(field, start) }
    }

    fn is_bent(&self) -> bool {
        let s = &self.samples;
        let mean = s.iter().sum::<f32>() / 8.0;
        let slope: [f32; 3] = std::array::from_fn(|k| {
            s.iter().enumerate().map(|(i, v)| if i >> k & 1 == 1 { *v } else { -*v }).sum::<f32>() / 8.0
        });
        s.iter().enumerate().any(|(i, v)| {
            let linear: f32 = (0..3).map(|k| if i >> k & 1 == 1 { slope[k] } else { -slope[k] }).sum();
            (v - mean - linear).abs() > BENT
        })
    }

    fn on_face(&self, field: &impl Fn(V3) -> f64, start: V3) -> V3 {
        let mut p = start;
        let g = gradient(p, GRADIENT_STEP * self.size_mm, field);
        if g.norm() > LEAST_GRADIENT {
            for _ in 0..STEPS {
                p = self.within(p - g * (field(p) / g.norm_squared()));
            }
        }
        p
    }

    /// The point nearest to the tangent planes where the surface crosses the cell's edges.
    fn on_edge(&self, field: &impl Fn(V3) -> f64) -> V3 {
        let crossings: Vec<V3> = self.crossings(field).collect();
        let middle = crossings.iter().sum::<V3>() / crossings.len().max(1) as f64;
        let (mut a, mut b) = (nalgebra::Matrix3::identity() * (HOLD * crossings.len() as f64), V3::zeros());
        for q in &crossings {
            let g = gradient(*q, GRADIENT_STEP * self.size_mm, field);
            if g.norm() > LEAST_GRADIENT {
                let n = g.normalize();
                a += n * n.transpose();
                b += n * n.dot(&(q - middle));
            }
        }
        self.within(middle + a.cholesky().map_or(V3::zeros(), |c| c.solve(&b)))
    }

    fn crossings(&self, field: &impl Fn(V3) -> f64) -> impl Iterator<Item = V3> {
        (0..8usize).flat_map(move |i| (0..3).map(move |k| (i, i | 1 << k))).filter(|(i, j)| i != j).filter_map(
            move |(i, j)| {
                let (u, v) = (f64::from(self.samples[i]), f64::from(self.samples[j]));
                if (u < 0.0) == (v < 0.0) {
                    return None;
                }
                // One step of regula falsi beyond the linear crossing.
                let t = u / (u - v);
                let m = field(self.corner(i).lerp(&self.corner(j), t)) / self.size_mm;
                let t = if (m < 0.0) == (u < 0.0) { t + (1.0 - t) * m / (m - v) } else { t * u / (u - m) };
                Some(self.corner(i).lerp(&self.corner(j), t))
            },
        )
    }

    fn corner(&self, i: usize) -> V3 {
        self.low + V3::from_fn(|k, _| (i >> k & 1) as f64) * self.size_mm
    }

    fn within(&self, p: V3) -> V3 {
        let margin = V3::repeat(MARGIN * self.size_mm);
        p.sup(&(self.low + margin)).inf(&(self.low + V3::repeat(self.size_mm) - margin))
    }
}

//! Building blocks for signed distance fields: lengths in mm, negative inside.
//!
//! Formulae after I. Quilez, "Distance functions" and "Smooth minimum" (articles), and J. C. Hart, "Sphere tracing",
//! The Visual Computer 12 (1996), for the first-order distance estimate.
pub mod curve;
pub mod operations;
pub mod primitives;

/// A place or direction in the model's frame, mm.
pub type V3 = nalgebra::Vector3<f64>;
/// A place in a plane or on an unrolled surface, mm.
pub type V2 = nalgebra::Vector2<f64>;

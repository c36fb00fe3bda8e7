//! From our numbers to the card's.

use egui::Color32;
use nalgebra::{Matrix3, Matrix4};
use seamwright_geometry::Vector;

pub fn vec3(v: &Vector) -> three_d::Vec3 {
    three_d::vec3(v.x as f32, v.y as f32, v.z as f32)
}

pub fn mat4(m: &Matrix4<f64>) -> three_d::Mat4 {
    let c = |j: usize| three_d::vec4(m[(0, j)] as f32, m[(1, j)] as f32, m[(2, j)] as f32, m[(3, j)] as f32);
    three_d::Mat4::from_cols(c(0), c(1), c(2), c(3))
}

pub fn mat3(m: &Matrix3<f64>) -> three_d::Mat3 {
    let c = |j: usize| three_d::vec3(m[(0, j)] as f32, m[(1, j)] as f32, m[(2, j)] as f32);
    three_d::Mat3::from_cols(c(0), c(1), c(2))
}

/// As it goes to the screen, 0 to 1.
pub fn screen_rgb(c: Color32) -> three_d::Vec3 {
    let [r, g, b, _] = c.to_array().map(|x| f32::from(x) / 255.0);
    three_d::vec3(r, g, b)
}

pub fn screen_rgba(c: Color32, alpha: f32) -> three_d::Vec4 {
    screen_rgb(c).extend(alpha)
}

/// For reckoning with light.
pub fn linear_rgb(c: Color32) -> three_d::Vec3 {
    let [r, g, b, _] = egui::Rgba::from(c).to_array();
    three_d::vec3(r, g, b)
}

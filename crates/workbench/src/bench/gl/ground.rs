//! A bed's shape on the graphics card, for the shaders that draw the bed and what sticks out of it.

use seamwright_geometry::Bed;
use three_d::{Context, Interpolation, Program, Texture2D, Wrapping};

use crate::bench::ground::Ground;

/// Rows of numbers as a picture so wide; the shader knows.
const WIDTH: usize = 256;

/// The rows of [`Ground::rows`] as a picture.
pub struct GroundRows {
    texture: Texture2D,
    count: i32,
}

impl GroundRows {
    /// Those of `bed`; without one, none.
    pub fn new(gl: &Context, bed: Option<&Bed>) -> GroundRows {
        let mut rows = bed.map_or_else(Vec::new, |bed| Ground::of(bed).rows());
        let count = i32::try_from(rows.len()).unwrap_or(0);
        let height = rows.len().div_ceil(WIDTH).max(1);
        rows.resize(WIDTH * height, [0.0; 4]);
        let texture = Texture2D::new_empty::<[f32; 4]>(
            gl,
            WIDTH as u32,
            u32::try_from(height).unwrap_or(1),
            Interpolation::Nearest,
            Interpolation::Nearest,
            None,
            Wrapping::ClampToEdge,
            Wrapping::ClampToEdge,
        );
        texture.fill(&rows);
        GroundRows { texture, count }
    }

    /// Hands them to `program`, which includes `ground.glsl`.
    pub fn hand_to(&self, program: &Program) {
        if program.requires_uniform("ground") {
            program.use_texture("ground", &self.texture);
        }
        program.use_uniform_if_required("ground_rows", self.count);
    }
}

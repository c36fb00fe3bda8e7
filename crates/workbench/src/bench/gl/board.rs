//! Draws what is flat: the bed beneath and the sheet of the cut.

use seamwright_geometry::{Point, Vector};
use three_d::{Blend, Context, DepthTest, RenderStates, Vec4, Viewport, WriteMask};

use super::convert::{mat4, screen_rgba, vec3};
use super::ground::GroundRows;
use super::programs::Programs;
use super::shadow::Shade;
use super::shot::Shot;
use crate::bench::cut_in_hand::CutInHand;
use crate::bench::scene::BedUnderneath;

/// Lines of the bed's grid, mm: fine and bold.
const BED_GRID_MM: [f32; 2] = [10.0, 50.0];
/// Hatch lines of what must stay free, mm: closer than the fine grid, so that the two are told apart.
const HATCH_MM: f32 = 6.0;

/// The surface of the bed, with its margin and what must stay free. From above it is solid and takes part in the depth
/// picture, with the shadow that lies on it; from below it must not hide the model.
pub fn draw_bed(
    shot: &Shot<'_>,
    programs: &Programs,
    gl: &Context,
    under: &BedUnderneath,
    from_above: Option<Option<&Shade>>,
) {
    let style = &shot.frame.style;
    let solid = from_above.is_some();
    let opacity = if solid { 1.0 } else { 0.25 };
    let [ground_from, _] = under.bed.extent_mm();
    Board {
        origin: under.corner,
        sides: [Vector::x(), Vector::y()],
        size_mm: under.bed.size_mm(),
        grid_mm: BED_GRID_MM,
        grid_from: [0.0, 0.0],
        surface: screen_rgba(style.bed, opacity),
        fine: screen_rgba(style.grid_fine, opacity),
        bold: screen_rgba(style.grid_bold, 0.8 * opacity),
        zone_ink: screen_rgba(style.ink, opacity),
        ground: GroundRows::new(gl, Some(&under.bed)),
        ground_from,
        shade: from_above.flatten(),
    }
    .draw(shot, programs, solid);
}

/// The sheet: see-through, with a fine grid so that its slant can be read.
pub fn draw_sheet(shot: &Shot<'_>, programs: &Programs, gl: &Context, cut: &CutInHand) {
    let sheet = cut.sheet();
    let style = &shot.frame.style;
    Board {
        origin: sheet.corner,
        sides: [sheet.u, sheet.v],
        size_mm: sheet.size_mm,
        grid_mm: BED_GRID_MM,
        grid_from: sheet.seat_mm,
        surface: screen_rgba(style.sheet, 0.12),
        fine: screen_rgba(style.sheet, 0.05),
        bold: screen_rgba(style.sheet, 0.14),
        zone_ink: screen_rgba(style.ink, 0.0),
        ground: GroundRows::new(gl, None),
        ground_from: [0.0, 0.0],
        shade: None,
    }
    .draw(shot, programs, false);
}

struct Board<'a> {
    origin: Point,
    sides: [Vector; 2],
    size_mm: [f64; 2],
    grid_mm: [f32; 2],
    grid_from: [f64; 2],
    surface: Vec4,
    fine: Vec4,
    bold: Vec4,
    zone_ink: Vec4,
    ground: GroundRows,
    ground_from: [f64; 2],
    shade: Option<&'a Shade>,
}

impl Board<'_> {
    fn draw(&self, shot: &Shot<'_>, programs: &Programs, solid: bool) {
        let program = &programs.board;
        let pair = |[a, b]: [f64; 2]| three_d::vec2(a as f32, b as f32);
        program.use_uniform_if_required("clip_from_eye", mat4(&shot.clip_from_eye));
        program.use_uniform_if_required("origin", vec3(&(self.origin - shot.frame.camera.eye())));
        program.use_uniform_if_required("side_u", vec3(&self.sides[0]));
        program.use_uniform_if_required("side_v", vec3(&self.sides[1]));
        program.use_uniform_if_required("size_mm", pair(self.size_mm));
        program.use_uniform_if_required("grid_mm", three_d::vec2(self.grid_mm[0], self.grid_mm[1]));
        program.use_uniform_if_required("grid_from", pair(self.grid_from));
        program.use_uniform_if_required("surface", self.surface);
        program.use_uniform_if_required("fine", self.fine);
        program.use_uniform_if_required("bold", self.bold);
        program.use_uniform_if_required("zone_ink", self.zone_ink);
        program.use_uniform_if_required("ground_from", pair(self.ground_from));
        program.use_uniform_if_required("hatch_mm", HATCH_MM);
        self.ground.hand_to(program);
        program.use_texture("shade", self.shade.map_or(&programs.no_shade, |shade| &shade.map));
        let (margin_mm, span_mm) = self.shade.map_or((0.0, [1.0; 2]), |shade| (shade.margin_mm, shade.span_mm));
        program.use_uniform_if_required("shade_margin_mm", margin_mm as f32);
        program.use_uniform_if_required("shade_span_mm", pair(span_mm));
        let strength = if self.shade.is_some() { shot.frame.style.shadow } else { 0.0 };
        program.use_uniform_if_required("shade_strength", strength);
        program.use_vertex_attribute("corner", &programs.square);
        let states = RenderStates {
            depth_test: DepthTest::LessOrEqual,
            write_mask: if solid { WriteMask::COLOR_AND_DEPTH } else { WriteMask::COLOR },
            blend: if solid { Blend::Disabled } else { Blend::TRANSPARENCY },
            ..Default::default()
        };
        program.draw_arrays(states, Viewport::new_at_origo(shot.size[0], shot.size[1]), 6);
    }
}

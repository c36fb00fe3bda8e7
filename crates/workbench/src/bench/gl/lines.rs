//! Draws lines of even width: the section outline, the edge of the sheet, the height box of the bed.

use egui::Color32;
use seamwright_geometry::{Point, Vector};
use three_d::{Blend, Context, DepthTest, InstanceBuffer, RenderStates, Viewport, WriteMask};

use super::convert::{mat4, screen_rgba, vec3};
use super::programs::Programs;
use super::shot::Shot;
use crate::bench::cut_in_hand::CutInHand;
use crate::bench::scene::BedUnderneath;

/// The section outline in chalk: with a dark seat so that it shows on light surfaces, and faintly through the model.
pub fn draw_outlines(shot: &Shot<'_>, programs: &Programs, gl: &Context) {
    let style = &shot.frame.style;
    let segments = Segments::new(shot, gl, shot.frame.scene.outlines.iter().map(Vec::as_slice));
    let Some(segments) = segments else { return };
    let hidden = Stroke { width: 1.4, alpha: 0.34, hidden: true, round: false, ..Stroke::new(style.chalk) };
    let seat = Stroke { width: 5.0, alpha: 0.5, ..Stroke::new(Color32::from_rgb(0x20, 0x1d, 0x1a)) };
    let chalk = Stroke { width: 2.6, grain: 0.18, ..Stroke::new(style.chalk) };
    for stroke in [hidden, seat, chalk] {
        segments.draw(shot, programs, &stroke);
    }
}

/// Where the outline grazes the surface, over the chalk.
pub fn draw_grazes(shot: &Shot<'_>, programs: &Programs, gl: &Context) {
    let Some(segments) = Segments::new(shot, gl, shot.frame.scene.grazes.iter().map(Vec::as_slice)) else { return };
    let colour = shot.frame.style.warning;
    let hidden = Stroke { width: 1.4, alpha: 0.3, hidden: true, round: false, ..Stroke::new(colour) };
    for stroke in [hidden, Stroke { width: 4.0, ..Stroke::new(colour) }] {
        segments.draw(shot, programs, &stroke);
    }
}

/// What is lit up, as well behind surfaces as before them.
pub fn draw_lit(shot: &Shot<'_>, programs: &Programs, gl: &Context) {
    let Some(segments) = Segments::new(shot, gl, shot.frame.scene.lit.iter().map(Vec::as_slice)) else { return };
    let [rim, band, middle] = shot.frame.style.lit;
    let behind = |width: f64, colour| Stroke { width, alpha: 0.8, hidden: true, ..Stroke::new(colour) };
    let before = |width: f64, colour| Stroke { width, ..Stroke::new(colour) };
    let strokes = [
        behind(4.0, rim),
        behind(2.2, band),
        before(LIT_POINTS[0], rim),
        before(LIT_POINTS[1], band),
        before(LIT_POINTS[2], middle),
    ];
    for stroke in strokes {
        segments.draw(shot, programs, &stroke);
    }
}

/// How wide what is lit up is drawn, from its rim to its middle, points: wider than any line of a hatch. Our own choice, by
/// eye.
const LIT_POINTS: [f64; 3] = [8.0, 5.6, 2.6];

/// Lines of a guide in pencil: the room that a piece is held against.
pub fn draw_pencil(shot: &Shot<'_>, programs: &Programs, gl: &Context) {
    let Some(segments) = Segments::new(shot, gl, shot.frame.scene.pencil.iter().map(Vec::as_slice)) else { return };
    let colour = shot.frame.style.ink;
    let hidden = Stroke { width: 1.0, alpha: 0.25, hidden: true, round: false, ..Stroke::new(colour) };
    for stroke in [hidden, Stroke { width: 1.6, alpha: 0.85, grain: 0.3, ..Stroke::new(colour) }] {
        segments.draw(shot, programs, &stroke);
    }
}

/// The edge of the sheet.
pub fn draw_sheet_edge(shot: &Shot<'_>, programs: &Programs, gl: &Context, cut: &CutInHand) {
    let [a, b, c, d] = cut.sheet().corners();
    let edge = [a, b, c, d, a];
    let Some(segments) = Segments::new(shot, gl, [edge.as_slice()].into_iter()) else { return };
    let colour = shot.frame.style.sheet;
    let hidden = Stroke { width: 1.0, alpha: 0.22, hidden: true, round: false, ..Stroke::new(colour) };
    for stroke in [hidden, Stroke { width: 1.5, alpha: 0.85, ..Stroke::new(colour) }] {
        segments.draw(shot, programs, &stroke);
    }
}

/// More corners than this have no posts drawn at them: a round bed has its edge and its lid only.
const MOST_POSTS: usize = 12;

/// The room over the bed: its edge, its posts and its lid, and the edges of what must stay free.
pub fn draw_bed_box(shot: &Shot<'_>, programs: &Programs, gl: &Context, under: &BedUnderneath) {
    let [low, _] = under.bed.extent_mm();
    let at = |[x, y]: [f64; 2], z: f64| under.corner + Vector::new(x - low[0], y - low[1], z);
    let ring = |corners: &[[f64; 2]], z: f64| -> Vec<Point> {
        corners.iter().chain(corners.first()).map(|corner| at(*corner, z)).collect()
    };
    let outline = under.bed.drawn_outline_mm();
    let count = outline.len();
    let foot = ring(&outline, 0.0);
    let lid = ring(&outline, under.bed.height_mm);
    let zones: Vec<Vec<Point>> = under.bed.keep_outs.iter().map(|zone| ring(&zone.corners_mm, zone.from_mm)).collect();
    let colour = shot.frame.style.grid_bold;
    if let Some(s) = Segments::new(shot, gl, [&foot].into_iter().chain(&zones).map(Vec::as_slice)) {
        s.draw(shot, programs, &Stroke { width: 1.8, ..Stroke::new(colour) });
    }
    // The post nearest to the eye, and the sides of the lid that meet in it, would stand before the model.
    let eye = shot.frame.camera.eye();
    let from_eye = |i: usize| (foot[i] - eye).norm_squared();
    let nearest = (0..count).min_by(|&a, &b| from_eye(a).total_cmp(&from_eye(b))).unwrap_or(0);
    let post = |i: usize| [foot[i], lid[i]];
    let side = |i: usize| [lid[i], lid[i + 1]];
    let meets = |i: usize| i == nearest || (i + 1) % count == nearest;
    let has_posts = count <= MOST_POSTS;
    let (before, behind): (Vec<_>, Vec<_>) = (0..count)
        .flat_map(|i| has_posts.then(|| (i == nearest, post(i))).into_iter().chain([(meets(i), side(i))]))
        .partition(|(stands_before, _)| *stands_before);
    for (lines, alpha) in [(behind, 0.7), (before, 0.16)] {
        if let Some(s) = Segments::new(shot, gl, lines.iter().map(|(_, ends)| ends.as_slice())) {
            s.draw(shot, programs, &Stroke { width: 1.0, alpha, ..Stroke::new(colour) });
        }
    }
}

struct Stroke {
    colour: Color32,
    /// In screen points.
    width: f64,
    alpha: f32,
    grain: f32,
    /// Draws what lies behind surfaces instead of what lies before them.
    hidden: bool,
    round: bool,
}

impl Stroke {
    fn new(colour: Color32) -> Stroke {
        Stroke { colour, width: 1.0, alpha: 1.0, grain: 0.0, hidden: false, round: true }
    }
}

/// How far lines are brought towards the eye, so that those on a surface are not half under it: a share of their
/// distance, about a pixel's worth.
const LIFT_SHARE: f32 = 6e-4;

/// Points of an outline nearer than this to the last one drawn are left out, in pixels.
const SHORTEST_PIXELS: f64 = 2.0;

struct Segments {
    origin: Point,
    starts: InstanceBuffer<[f32; 3]>,
    ends: InstanceBuffer<[f32; 3]>,
}

impl Segments {
    fn new<'a>(shot: &Shot<'_>, gl: &Context, lines: impl Iterator<Item = &'a [Point]>) -> Option<Segments> {
        let camera = &shot.frame.camera;
        let origin = camera.target;
        let eye = camera.eye();
        let (mut starts, mut ends) = (Vec::new(), Vec::new());
        let small = |p: &Point| -> [f32; 3] { (p - origin).map(|x| x as f32).into() };
        for line in lines {
            let Some((&first, rest)) = line.split_first() else { continue };
            let mut last = first;
            for (i, p) in rest.iter().enumerate() {
                let shortest = SHORTEST_PIXELS * shot.pixel_share() * (p - eye).norm();
                if (p - last).norm() >= shortest || i + 1 == rest.len() {
                    starts.push(small(&last));
                    ends.push(small(p));
                    last = *p;
                }
            }
        }
        (!starts.is_empty()).then(|| Segments {
            origin,
            starts: InstanceBuffer::new_with_data(gl, &starts),
            ends: InstanceBuffer::new_with_data(gl, &ends),
        })
    }

    fn draw(&self, shot: &Shot<'_>, programs: &Programs, stroke: &Stroke) {
        let program = &programs.line;
        let [w, h] = shot.size;
        program.use_uniform_if_required("clip_from_eye", mat4(&shot.clip_from_eye));
        program.use_uniform_if_required("origin", vec3(&(self.origin - shot.frame.camera.eye())));
        program.use_uniform_if_required("half_screen", three_d::vec2(w as f32 / 2.0, h as f32 / 2.0));
        program.use_uniform_if_required("half_width", (stroke.width * shot.scale / 2.0) as f32);
        program.use_uniform_if_required("round_ends", if stroke.round { 1.0_f32 } else { 0.0 });
        program.use_uniform_if_required("lift", LIFT_SHARE);
        program.use_uniform_if_required("colour", screen_rgba(stroke.colour, stroke.alpha));
        program.use_uniform_if_required("grain", stroke.grain);
        program.use_vertex_attribute("corner", &programs.strip);
        program.use_instance_attribute("start", &self.starts);
        program.use_instance_attribute("end", &self.ends);
        let states = RenderStates {
            depth_test: if stroke.hidden { DepthTest::Greater } else { DepthTest::LessOrEqual },
            write_mask: WriteMask::COLOR,
            blend: Blend::TRANSPARENCY,
            ..Default::default()
        };
        program.draw_arrays_instanced(states, Viewport::new_at_origo(w, h), 6, self.starts.instance_count());
    }
}

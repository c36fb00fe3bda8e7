//! Draws the meshes.

use seamwright_geometry::{Motion, Vector};
use three_d::{Blend, Context, Cull, DepthTest, Program, RenderStates, Viewport, WriteMask};

use super::convert::{linear_rgb, mat3, mat4, vec3};
use super::ground::GroundRows;
use super::programs::Programs;
use super::shot::Shot;
use super::store::Store;
use crate::bench::scene::{APART, Drawn, Emphasis, MeshId};
use crate::bench::style::{Pattern, Tone};

/// Distance of hatch lines on the screen, in points; rounded to a power of two in mm, so that lines keep still while
/// the camera moves.
const HATCH_POINTS: f64 = 11.0;

/// What is solid.
pub fn draw(shot: &Shot<'_>, programs: &Programs, gl: &Context, store: &Store) {
    set_up(shot, programs);
    let camera = &shot.frame.camera;
    let back = camera.axes()[2];
    // Nearest first, so that what is hidden is not shaded in vain.
    let eye = camera.eye();
    let mut order: Vec<&Drawn> = shot.frame.scene.drawn.iter().filter(|d| d.is_solid()).collect();
    let depth = |d: &Drawn| d.bounds().map_or(0.0, |b| -(b.centre() - eye).dot(&back));
    order.sort_by(|a, b| depth(a).total_cmp(&depth(b)));
    let states = RenderStates {
        depth_test: DepthTest::LessOrEqual,
        write_mask: WriteMask::COLOR_AND_DEPTH,
        ..Default::default()
    };
    order.into_iter().for_each(|d| draw_one(shot, programs, gl, store, d, states, 1.0));
}

/// What is seen through. Each is drawn twice, first only its depth, so that just its nearest surface shows; unless a place
/// within is pointed out.
pub fn draw_ghosts(shot: &Shot<'_>, programs: &Programs, gl: &Context, store: &Store) {
    let ghosts: Vec<&Drawn> = shot.frame.scene.drawn.iter().filter(|d| d.emphasis == Emphasis::Ghost).collect();
    if ghosts.is_empty() {
        return;
    }
    set_up(shot, programs);
    let depth = RenderStates { depth_test: DepthTest::Less, write_mask: WriteMask::DEPTH, ..Default::default() };
    let colour = RenderStates {
        depth_test: DepthTest::LessOrEqual,
        write_mask: WriteMask::COLOR,
        blend: Blend::TRANSPARENCY,
        ..Default::default()
    };
    // Where a place within is pointed out, all walls on the way to it show, faintly.
    let passes = if shot.frame.scene.pointed.is_some() {
        vec![(colour, GLASS_OPACITY)]
    } else {
        vec![(depth, GHOST_OPACITY), (colour, GHOST_OPACITY)]
    };
    for (states, opacity) in passes {
        ghosts.iter().for_each(|d| draw_one(shot, programs, gl, store, d, states, opacity));
    }
}

/// How much of a piece that is seen through is left; enough to tell its outline (our own choice, by eye).
const GHOST_OPACITY: f32 = 0.36;
/// The same of each of its walls, where all of them show (our own choice, by eye).
const GLASS_OPACITY: f32 = 0.26;

fn draw_one(
    shot: &Shot<'_>,
    programs: &Programs,
    gl: &Context,
    store: &Store,
    drawn: &Drawn,
    states: RenderStates,
    opacity: f32,
) {
    let Some(uploaded) = store.get(&drawn.body) else { return };
    let program = &programs.piece;
    let middle = uploaded.middle.coords;
    program.use_uniform_if_required("from_eye", vec3(&(uploaded.middle + drawn.offset - shot.frame.camera.eye())));
    program.use_uniform_if_required("middle", vec3(&middle));

    let scene = &shot.frame.scene;
    let cut = scene.cut.as_ref().filter(|_| drawn.follows_cut);
    let (normal, height, below, above) = match cut {
        Some(cut) => {
            // In the mesh's own frame: dot(normal, p + middle) - offset.
            let n = cut.plane.normal();
            let [below, above] = drawn.side_tones.unwrap_or([cut.below, cut.above]);
            (n, cut.plane.offset_mm() - n.dot(&middle), below, above)
        }
        None => (Vector::z(), 0.0, drawn.tone, drawn.tone),
    };
    program.use_uniform_if_required("plane", vec3(&normal).extend(height as f32));
    let style = &shot.frame.style;
    for (name, pattern, tone) in [("tone_below", "pattern_below", below), ("tone_above", "pattern_above", above)] {
        program.use_uniform_if_required(name, linear_rgb(style.colour(tone)));
        program.use_uniform_if_required(pattern, pattern_number(tone));
    }
    // Kept until all faces are drawn.
    let ground = GroundRows::new(gl, drawn.held_against.as_ref().map(|held| &held.bed));
    ground.hand_to(program);
    hold_against(program, drawn, &middle);
    // The outline is drawn as a line of its own when there is one.
    let seam = if cut.is_some() && scene.outlines.is_empty() { 1.0_f32 } else { 0.0 };
    program.use_uniform_if_required("seam_strength", seam);
    let lift: f32 = match drawn.emphasis {
        Emphasis::Selected => 1.0,
        Emphasis::Hovered => 0.55,
        _ => 0.0,
    };
    program.use_uniform_if_required("lift", lift);
    program.use_uniform_if_required("opacity", opacity);
    program.use_uniform_if_required("apart", f32::from(drawn.apart % APART));
    program.use_uniform_if_required("closed", if drawn.body.is_closed() { 1.0_f32 } else { 0.0 });
    let [way, close] = section_hatch(drawn.id);
    program.use_uniform_if_required("section", three_d::vec2(way, close));

    let states = RenderStates { cull: if drawn.body.is_closed() { Cull::Back } else { Cull::None }, ..states };
    let viewport = Viewport::new_at_origo(shot.size[0], shot.size[1]);
    let faces = uploaded.faces(shot.frame.moving);
    for (faces, cap) in [(&faces.skin, 0.0_f32), (&faces.caps, 1.0)] {
        if faces.count() > 0 {
            program.use_uniform_if_required("cap", cap);
            program.use_vertex_attribute("position", &uploaded.positions);
            program.draw_elements(states, viewport, faces);
        }
    }
}

/// Which way the hatch of a cut face goes, and how close its lines are: of four kinds, so that pieces beside each other mostly
/// differ.
fn section_hatch(id: MeshId) -> [f32; 2] {
    [if id.0 & 1 == 0 { 1.0 } else { -1.0 }, if id.0 & 2 == 0 { 1.0 } else { 1.4 }]
}

/// Tells the shader in which pose the mesh is held against a bed.
fn hold_against(program: &Program, drawn: &Drawn, middle: &Vector) {
    let held = drawn.held_against.as_deref();
    let bed = held.map(|held| &held.bed);
    let pose = held.map_or_else(Motion::identity, |held| held.bed_from_piece);
    let turn = pose.rotation.to_rotation_matrix();
    program.use_uniform_if_required("bed_turn", mat3(turn.matrix()));
    program.use_uniform_if_required("bed_shift", vec3(&(pose.rotation * middle + pose.translation.vector)));
    let [floor, ceiling] = bed.map_or([0.0, 0.0], |bed| [bed.raft_mm, bed.height_mm]);
    program.use_uniform_if_required("bed_floor", floor as f32);
    program.use_uniform_if_required("bed_ceiling", ceiling as f32);
}

/// What is the same for all meshes of a picture.
fn set_up(shot: &Shot<'_>, programs: &Programs) {
    let program = &programs.piece;
    let camera = &shot.frame.camera;
    let [right, up, back] = camera.axes();
    program.use_uniform_if_required("clip_from_eye", mat4(&shot.clip_from_eye));
    // Over the viewer's left shoulder, and a weak one from low on the right.
    let key = (right * -0.50 + up * 0.62 + back * 0.72).normalize();
    let fill = (right * 0.80 + up * -0.25 + back * 0.45).normalize();
    program.use_uniform_if_required("key_light", vec3(&key));
    program.use_uniform_if_required("fill_light", vec3(&fill));
    program.use_uniform_if_required("pixel_share", shot.pixel_share() as f32);
    let hatch_mm = (HATCH_POINTS * shot.scale * shot.pixel_share() * camera.distance_mm).log2().round().exp2();
    program.use_uniform_if_required("hatch_mm", hatch_mm as f32);
    let style = &shot.frame.style;
    program.use_uniform_if_required("inside", linear_rgb(style.inside));
    program.use_uniform_if_required("seam_tone", linear_rgb(style.chalk));
}

fn pattern_number(tone: Tone) -> i32 {
    match tone.pattern() {
        Pattern::Plain => 0,
        Pattern::Strokes => 1,
        Pattern::Dashes => 2,
        Pattern::Crossed => 3,
        Pattern::Dots => 4,
    }
}

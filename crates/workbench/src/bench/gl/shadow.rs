//! The shadow that pieces cast on the bed: soft, and straight from above, so that it tells where they stand and does not
//! wander with the eye.
//!
//! The meshes are drawn once into a small map of the bed, which is blurred and kept until something else stands on the bed
//! or it stands elsewhere. While only the camera or a cut moves nothing of this is done.

use std::convert::Infallible;

use seamwright_geometry::{Bounds, Vector};
use three_d::context::HasContext as _;
use three_d::{
    Blend, BlendEquationType, BlendMultiplierType, ClearState, Context, CoreError, Cull, DepthTest, Interpolation,
    Program, RenderStates, Texture2D, VertexBuffer, Viewport, Wrapping, WriteMask,
};

use super::convert::vec3;
use super::store::{Store, Uploaded};
use crate::bench::scene::{BedUnderneath, Drawn, Scene};

/// Texels along the longer side of the map: about two millimetres each on a usual bed, finer than the blur.
const TEXELS: u32 = 160;

// All lengths are shares of the longer side of the bed, so that the shadow looks alike on small beds and large ones. Our own
// choice, by eye.
/// The map reaches so far beyond the bed: what stands there still dims the edge.
const MARGIN: f64 = 0.12;
/// How high a surface is that takes only a third of what it takes on the bed: for the dark line of contact, and for the
/// wide shade around.
const FADES: [f64; 2] = [0.02, 0.35];
/// Standard deviations of the two blurs.
const BLURS: [f64; 2] = [0.010, 0.05];

/// Draws shadows and keeps the last one.
pub struct Shadows {
    cast: Program,
    blur: Program,
    whole: VertexBuffer<[f32; 2]>,
    kept: Option<(u64, Option<Shade>)>,
    redraws: usize,
}

/// A shadow as a map of the bed.
pub struct Shade {
    /// Red: the line of contact; green: the wide shade.
    pub map: Texture2D,
    /// How far the map reaches beyond the rectangle around the bed, mm.
    pub margin_mm: f64,
    /// Its size, mm.
    pub span_mm: [f64; 2],
}

impl Shadows {
    /// Compiles what is needed.
    pub fn new(gl: &Context) -> Result<Shadows, CoreError> {
        let whole = include_str!("shaders/whole.vert");
        Ok(Shadows {
            cast: Program::from_source(gl, include_str!("shaders/shadow.vert"), include_str!("shaders/shadow.frag"))?,
            blur: Program::from_source(gl, whole, include_str!("shaders/blur.frag"))?,
            whole: VertexBuffer::new_with_data(gl, &[[-1.0, -1.0], [3.0, -1.0], [-1.0, 3.0]]),
            kept: None,
            redraws: 0,
        })
    }

    /// How often a shadow was made anew.
    pub fn redraws(&self) -> usize {
        self.redraws
    }

    /// Makes the shadow of `scene` anew if it is another one than the last.
    pub fn follow(&mut self, gl: &Context, scene: &Scene, store: &Store) {
        let Some(under) = &scene.bed else { return };
        let key = scene.shadow_key();
        if self.kept.as_ref().is_some_and(|(kept, _)| *kept == key) {
            return;
        }
        self.redraws += 1;
        self.kept = Some((key, self.draw(gl, scene, under, store)));
    }

    /// The shadow that was made last; `None` where nothing stands over the bed.
    pub fn shade(&self) -> Option<&Shade> {
        self.kept.as_ref()?.1.as_ref()
    }

    fn draw(&self, gl: &Context, scene: &Scene, under: &BedUnderneath, store: &Store) -> Option<Shade> {
        let size_mm = under.bed.size_mm();
        let longer_mm = size_mm[0].max(size_mm[1]);
        let margin_mm = MARGIN * longer_mm;
        let span_mm = size_mm.map(|side| side + 2.0 * margin_mm);
        let corner = under.corner - Vector::new(margin_mm, margin_mm, 0.0);
        let over_map = |b: &Bounds| {
            let [w, h] = span_mm;
            b.max.z > corner.z
                && b.max.x > corner.x
                && b.max.y > corner.y
                && b.min.x < corner.x + w
                && b.min.y < corner.y + h
        };
        let casting = |d: &&Drawn| d.is_solid() && d.bounds().is_some_and(|b| over_map(&b));
        let casting: Vec<&Drawn> = scene.drawn.iter().filter(casting).collect();
        if casting.is_empty() {
            return None;
        }

        let texel_mm = span_mm[0].max(span_mm[1]) / f64::from(TEXELS);
        let size = span_mm.map(|side| ((side / texel_mm).round() as u32).clamp(1, TEXELS));
        let [map, spare] = [empty(gl, size), empty(gl, size)];
        if !can_be_drawn_into(gl, &map) {
            return None;
        }
        write(&map, || {
            self.cast.use_uniform_if_required("span_mm", pair(span_mm));
            self.cast.use_uniform_if_required("fades_mm", pair(FADES.map(|share| share * longer_mm)));
            for drawn in &casting {
                let Some(uploaded) = store.get(&drawn.body) else { continue };
                let from_corner = vec3(&(uploaded.middle + drawn.offset - corner));
                self.cast.use_uniform_if_required("from_corner", from_corner);
                cast(&self.cast, size, drawn, uploaded);
            }
        });
        let taps_mm = BLURS.map(|share| share * longer_mm * TAP_APART);
        write(&spare, || self.blur(&map, taps_mm.map(|mm| [mm / span_mm[0], 0.0])));
        write(&map, || self.blur(&spare, taps_mm.map(|mm| [0.0, mm / span_mm[1]])));
        Some(Shade { map, margin_mm, span_mm })
    }

    fn blur(&self, from: &Texture2D, [short, long]: [[f64; 2]; 2]) {
        let program = &self.blur;
        program.use_texture("picture", from);
        program.use_uniform_if_required("step_short", pair(short));
        program.use_uniform_if_required("step_long", pair(long));
        program.use_vertex_attribute("corner", &self.whole);
        let states = RenderStates { depth_test: DepthTest::Always, write_mask: WriteMask::COLOR, ..Default::default() };
        program.draw_arrays(states, Viewport::new_at_origo(from.width(), from.height()), 3);
    }
}

/// Two taps of the blur are so far apart, in standard deviations; the shader knows.
const TAP_APART: f64 = 2.5 / 10.0;

/// The most of all surfaces counts, in whichever order they come.
const MOST: Blend = Blend::Enabled {
    source_rgb_multiplier: BlendMultiplierType::One,
    source_alpha_multiplier: BlendMultiplierType::One,
    destination_rgb_multiplier: BlendMultiplierType::One,
    destination_alpha_multiplier: BlendMultiplierType::One,
    rgb_equation: BlendEquationType::Max,
    alpha_equation: BlendEquationType::Max,
};

fn cast(program: &Program, size: [u32; 2], drawn: &Drawn, uploaded: &Uploaded) {
    let viewport = Viewport::new_at_origo(size[0], size[1]);
    let states = RenderStates {
        depth_test: DepthTest::Always,
        write_mask: WriteMask::COLOR,
        blend: MOST,
        // Of a closed mesh the faces that look down are nearest to the bed.
        cull: if drawn.body.is_closed() { Cull::Front } else { Cull::None },
    };
    // A blurred map does not show the difference.
    let faces = uploaded.faces(true);
    for faces in [&faces.skin, &faces.caps] {
        if faces.count() > 0 {
            program.use_vertex_attribute("position", &uploaded.positions);
            program.draw_elements(states, viewport, faces);
        }
    }
}

fn empty(gl: &Context, [w, h]: [u32; 2]) -> Texture2D {
    let (filter, edge) = (Interpolation::Linear, Wrapping::ClampToEdge);
    Texture2D::new_empty::<[u8; 4]>(gl, w, h, filter, filter, None, edge, edge)
}

fn pair([a, b]: [f64; 2]) -> three_d::Vec2 {
    three_d::vec2(a as f32, b as f32)
}

fn write(map: &Texture2D, draw: impl FnOnce()) {
    let target = map.as_color_target(None);
    let done: Result<_, Infallible> = target.clear(ClearState::color(0.0, 0.0, 0.0, 1.0)).write(|| {
        draw();
        Ok(())
    });
    let Ok(_) = done;
}

fn can_be_drawn_into(gl: &Context, map: &Texture2D) -> bool {
    let mut status = 0;
    write(map, || {
        // SAFETY: reading a status has no conditions beyond a current context.
        status = unsafe { gl.check_framebuffer_status(three_d::context::DRAW_FRAMEBUFFER) };
    });
    status == three_d::context::FRAMEBUFFER_COMPLETE
}

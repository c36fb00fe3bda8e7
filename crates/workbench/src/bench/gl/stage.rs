//! Makes the picture, and keeps it until something in it changes.

use std::convert::Infallible;
use std::sync::Arc;

use nalgebra::Matrix4;
use seamwright_geometry::{Bounds, Outline, Vector};
use three_d::context::HasContext as _;
use three_d::{
    Blend, ClearState, Context, CoreError, DepthTest, DepthTexture2D, Interpolation, Program, RenderStates,
    RenderTarget, RenderTargetMultisample, ScissorBox, Texture2D, Viewport, Wrapping, WriteMask,
};

use super::convert::screen_rgb;
use super::programs::Programs;
use super::store::Store;
use super::{board, lines, pieces};
use crate::bench::camera::{Camera, FIELD_OF_VIEW_DEG};
use crate::bench::painter::Frame;
use crate::bench::scene::{Drawn, Emphasis, corners};
use crate::bench::style::BenchStyle;

/// Why there is no picture.
#[derive(Debug, thiserror::Error)]
pub enum GlError {
    /// The shaders do not compile on this driver, or it has no vertex arrays.
    #[error("this graphics driver ({driver}) can't draw the bench: {cause}")]
    Unusable {
        /// The driver's name and version.
        driver: String,
        /// What it said.
        cause: CoreError,
    },
    /// The driver is older than the shaders.
    #[error("the bench needs OpenGL 3.3 or OpenGL ES 3.0; this graphics driver has {driver}")]
    TooOld {
        /// The driver's name and version.
        driver: String,
    },
}

/// One picture being made.
pub struct Shot<'a> {
    pub frame: &'a Frame,
    /// Pixels.
    pub size: [u32; 2],
    /// Pixels to a screen point.
    pub scale: f64,
    pub clip_from_eye: Matrix4<f64>,
    near_far_mm: (f64, f64),
}

impl Shot<'_> {
    /// Size of a pixel as a share of its distance from the eye.
    pub fn pixel_share(&self) -> f64 {
        2.0 * (FIELD_OF_VIEW_DEG.to_radians() / 2.0).tan() / f64::from(self.size[1])
    }
}

/// The graphics library's side of the bench.
pub struct Stage {
    gl: Context,
    programs: Programs,
    store: Store,
    samples: u32,
    largest: u32,
    kept: Option<Kept>,
    redraws: usize,
}

struct Kept {
    key: Key,
    picture: Texture2D,
}

#[derive(Clone, Copy, PartialEq)]
struct Key {
    scene: u64,
    camera: Camera,
    style: BenchStyle,
    size: [u32; 2],
    scale: f64,
}

/// More samples cost much on software drivers and show little.
const MOST_SAMPLES: u32 = 4;

impl Stage {
    /// Compiles the programs.
    pub fn new(gl: Arc<three_d::context::Context>) -> Result<Stage, GlError> {
        let version = gl.version();
        let (needed, driver) = (if version.is_embedded { (3, 0) } else { (3, 3) }, driver_name(&gl));
        if (version.major, version.minor) < needed {
            return Err(GlError::TooOld { driver });
        }
        let unusable = |cause| GlError::Unusable { driver: driver.clone(), cause };
        let gl = Context::from_gl_context(gl).map_err(unusable)?;
        let programs = Programs::new(&gl).map_err(unusable)?;
        // SAFETY: reading limits has no conditions beyond a current context, which the caller's handle stands for.
        let (samples, largest) = unsafe {
            (
                gl.get_parameter_i32(three_d::context::MAX_SAMPLES),
                gl.get_parameter_i32(three_d::context::MAX_RENDERBUFFER_SIZE),
            )
        };
        Ok(Stage {
            programs,
            store: Store::default(),
            samples: u32::try_from(samples).unwrap_or(1).clamp(1, MOST_SAMPLES),
            largest: u32::try_from(largest).unwrap_or(2048).max(1),
            kept: None,
            redraws: 0,
            gl,
        })
    }

    /// How often a picture was made anew.
    pub fn redraws(&self) -> usize {
        self.redraws
    }

    /// Puts the picture of `frame` into `viewport` of whatever is being drawn into now, inside `scissor`.
    ///
    /// `screen` is the size of what is drawn into; all in pixels, `scale` in pixels to a screen point.
    pub fn paint(&mut self, frame: &Frame, viewport: Viewport, scissor: ScissorBox, screen: [u32; 2], scale: f64) {
        // SAFETY: reading a binding has no conditions beyond a current context.
        let bound = unsafe { self.gl.get_parameter_framebuffer(three_d::context::DRAW_FRAMEBUFFER_BINDING) };
        self.refresh(frame, [viewport.width, viewport.height], scale);
        let target = match bound {
            Some(framebuffer) => RenderTarget::from_framebuffer(&self.gl, screen[0], screen[1], framebuffer),
            None => RenderTarget::screen(&self.gl, screen[0], screen[1]),
        };
        if let Some(kept) = &self.kept {
            let program = &self.programs.copy;
            write(&target, scissor, || {
                program.use_texture("picture", &kept.picture);
                whole(program, &self.programs, viewport);
            });
        }
        // Otherwise three-d would delete a framebuffer that is not ours.
        target.into_framebuffer();
    }

    /// Makes the picture anew if anything in it changed.
    fn refresh(&mut self, frame: &Frame, size: [u32; 2], scale: f64) {
        let size = size.map(|n| n.clamp(1, self.largest));
        let key = Key { scene: frame.scene.picture_key(), camera: frame.camera, style: frame.style, size, scale };
        if self.kept.as_ref().is_some_and(|kept| kept.key == key) {
            return;
        }
        self.redraws += 1;
        self.store.follow(&self.gl, &frame.scene);
        let near_far_mm = frame.camera.depth_range_mm(&extent(frame));
        let aspect = f64::from(size[0]) / f64::from(size[1]);
        let projection = frame.camera.projection(aspect, near_far_mm.0, near_far_mm.1);
        let shot = Shot { frame, size, scale, clip_from_eye: projection * frame.camera.rotation(), near_far_mm };
        self.kept = Some(Kept { key, picture: self.draw(&shot) });
    }

    fn draw(&self, shot: &Shot<'_>) -> Texture2D {
        let [w, h] = shot.size;
        let scene = &shot.frame.scene;
        let eye_above_bed = |z: f64| shot.frame.camera.eye().z >= z;
        let solid_bed = scene.bed.as_ref().filter(|b| eye_above_bed(b.corner.z));
        let thin_bed = scene.bed.as_ref().filter(|b| !eye_above_bed(b.corner.z));

        // First all that is solid, multisampled: its depth is needed for the inking.
        let solid = RenderTargetMultisample::<[u8; 4], f32>::new(&self.gl, w, h, self.samples);
        solid.clear(ClearState::color_and_depth(1.0, 1.0, 1.0, 1.0, 1.0));
        let done: Result<_, Infallible> = solid.write(|| {
            self.paper(shot);
            if let Some(under) = solid_bed {
                board::draw_bed(shot, &self.programs, under, true);
            }
            pieces::draw(shot, &self.programs, &self.store);
            Ok(())
        });
        let Ok(_) = done;
        let (colour, depth) = solid.resolve();

        let picture = Texture2D::new_empty::<[u8; 4]>(
            &self.gl,
            w,
            h,
            Interpolation::Nearest,
            Interpolation::Nearest,
            None,
            Wrapping::ClampToEdge,
            Wrapping::ClampToEdge,
        );
        let flat = picture.as_color_target(None);
        let full = Viewport::new_at_origo(w, h);
        let done: Result<_, Infallible> = flat.write(|| {
            self.programs.copy.use_texture("picture", &colour);
            whole(&self.programs.copy, &self.programs, full);
            // Inking is dear on software drivers, so it is done only where the meshes are.
            if let Some(part) = part_with_meshes(shot) {
                self.gl.set_scissor(part);
                self.ink(shot, &colour, &depth);
            }
            Ok(())
        });
        let Ok(_) = done;

        // Then what is thin or seen through, over the inked picture, against the same depth.
        let over = RenderTarget::new(picture.as_color_target(None), depth.as_depth_target());
        write(&over, ScissorBox::new_at_origo(w, h), || {
            if let Some(under) = &scene.bed {
                lines::draw_bed_box(shot, &self.programs, &self.gl, under);
            }
            if let Some(under) = thin_bed {
                board::draw_bed(shot, &self.programs, under, false);
            }
            pieces::draw_ghosts(shot, &self.programs, &self.store);
            if let Some(cut) = &scene.cut {
                board::draw_sheet(shot, &self.programs, cut);
                lines::draw_sheet_edge(shot, &self.programs, &self.gl, cut);
            }
            lines::draw_outlines(shot, &self.programs, &self.gl);
        });
        drop(over);
        picture
    }

    fn paper(&self, shot: &Shot<'_>) {
        let program = &self.programs.paper;
        let [top, foot] = shot.frame.style.paper;
        program.use_uniform_if_required("top", screen_rgb(top));
        program.use_uniform_if_required("foot", screen_rgb(foot));
        whole(program, &self.programs, Viewport::new_at_origo(shot.size[0], shot.size[1]));
    }

    fn ink(&self, shot: &Shot<'_>, colour: &Texture2D, depth: &DepthTexture2D) {
        let raised = |e: Emphasis| matches!(e, Emphasis::Hovered | Emphasis::Selected);
        let any_raised = shot.frame.scene.drawn.iter().any(|d| raised(d.emphasis));
        let program = if any_raised { &self.programs.ink_raised } else { &self.programs.ink };
        let style = &shot.frame.style;
        let [w, h] = shot.size;
        program.use_texture("picture", colour);
        program.use_depth_texture("depth", depth);
        program.use_uniform_if_required("near_mm", shot.near_far_mm.0 as f32);
        program.use_uniform_if_required("far_mm", shot.near_far_mm.1 as f32);
        program.use_uniform_if_required("strength", style.edge_ink);
        program.use_uniform_if_required("reach", shot.scale.round().max(1.0) as f32);
        program.use_uniform_if_required("ink", screen_rgb(style.edge));
        program.use_uniform_if_required("accent", screen_rgb(style.selected));
        whole(program, &self.programs, Viewport::new_at_origo(w, h));
    }
}

fn whole(program: &Program, programs: &Programs, viewport: Viewport) {
    program.use_vertex_attribute("corner", &programs.whole);
    let states = RenderStates {
        depth_test: DepthTest::Always,
        write_mask: WriteMask::COLOR,
        blend: Blend::Disabled,
        ..Default::default()
    };
    program.draw_arrays(states, viewport, 3);
}

fn write(target: &RenderTarget<'_>, scissor: ScissorBox, draw: impl FnOnce()) {
    let done: Result<_, Infallible> = target.write_partially(scissor, || {
        draw();
        Ok(())
    });
    let Ok(_) = done;
}

/// The part of the picture that holds all solid meshes and their outlines; `None` without any.
fn part_with_meshes(shot: &Shot<'_>) -> Option<ScissorBox> {
    let eye = shot.frame.camera.eye();
    let [w, h] = shot.size.map(f64::from);
    let (mut low, mut high) = ([w, h], [0.0_f64; 2]);
    let solid = shot.frame.scene.drawn.iter().filter(|d| d.is_solid());
    for corner in solid.filter_map(Drawn::bounds).flat_map(|b| corners(&b)) {
        let clip = shot.clip_from_eye * (corner - eye).push(1.0);
        if clip.w <= 0.0 {
            return Some(ScissorBox::new_at_origo(shot.size[0], shot.size[1]));
        }
        for (k, (at, size)) in [(clip.x, w), (clip.y, h)].into_iter().enumerate() {
            let at = (at / clip.w + 1.0) / 2.0 * size;
            low[k] = low[k].min(at);
            high[k] = high[k].max(at);
        }
    }
    let room = OUTLINE_ROOM * shot.scale;
    let edge = |x: f64, size: f64| x.clamp(0.0, size) as i32;
    let [x0, y0] = [edge((low[0] - room).floor(), w), edge((low[1] - room).floor(), h)];
    let [x1, y1] = [edge((high[0] + room).ceil(), w), edge((high[1] + room).ceil(), h)];
    let (width, height) = (u32::try_from(x1 - x0).ok()?, u32::try_from(y1 - y0).ok()?);
    (width > 0 && height > 0).then_some(ScissorBox { x: x0, y: y0, width, height })
}

/// How far outlines reach beyond a mesh, in screen points.
const OUTLINE_ROOM: f64 = 4.0;

/// The box around all that is drawn, for the range of depths.
fn extent(frame: &Frame) -> Bounds {
    let scene = &frame.scene;
    let bed = scene.bed.as_ref().map(|b| {
        let Outline::Rectangle { x_mm, y_mm } = b.bed.outline;
        Bounds { min: b.corner, max: b.corner + Vector::new(x_mm, y_mm, b.bed.height_mm) }
    });
    let sheet = scene.cut.as_ref().and_then(|cut| Bounds::of(cut.sheet().corners()));
    let target = frame.camera.target;
    [scene.bounds(), bed, sheet]
        .into_iter()
        .flatten()
        .reduce(|a, b| a.union(&b))
        .unwrap_or(Bounds { min: target - Vector::repeat(1.0), max: target + Vector::repeat(1.0) })
}

fn driver_name(gl: &three_d::context::Context) -> String {
    // SAFETY: reading strings has no conditions beyond a current context.
    unsafe {
        let name = gl.get_parameter_string(three_d::context::RENDERER);
        let version = gl.get_parameter_string(three_d::context::VERSION);
        format!("{name}, {version}")
    }
}

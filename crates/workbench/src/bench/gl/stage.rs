//! Makes the picture, and keeps it until something in it changes.

use std::convert::Infallible;
use std::sync::Arc;

use three_d::context::HasContext as _;
use three_d::{
    Blend, ClearState, Context, CoreError, DepthTest, DepthTexture2D, Interpolation, Program, RenderStates,
    RenderTarget, RenderTargetMultisample, ScissorBox, Texture2D, Viewport, Wrapping, WriteMask,
};

use super::convert::screen_rgb;
use super::programs::Programs;
use super::shadow::Shadows;
use super::shot::Shot;
use super::store::Store;
use super::{board, lines, pieces};
use crate::bench::camera::Camera;
use crate::bench::painter::Frame;
use crate::bench::scene::Emphasis;
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
    /// It worked, and does not any more.
    #[error("the graphics driver gave up while drawing: {cause}")]
    GaveUp {
        /// What happened, in words.
        cause: &'static str,
    },
}

/// The graphics library's side of the bench.
pub struct Stage {
    gl: Context,
    programs: Programs,
    /// None where the driver can't.
    shadows: Option<Shadows>,
    store: Store,
    samples: u32,
    largest: u32,
    /// The large picture, and the small one.
    kept: [Option<Kept>; 2],
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
    /// Whether meshes are drawn with fewer faces.
    few: bool,
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
        let shadows =
            Shadows::new(&gl).inspect_err(|error| log::warn!("no shadows on the bed with {driver}: {error}")).ok();
        // SAFETY: reading limits has no conditions beyond a current context, which the caller's handle stands for.
        let (samples, largest) = unsafe {
            (
                gl.get_parameter_i32(three_d::context::MAX_SAMPLES),
                gl.get_parameter_i32(three_d::context::MAX_RENDERBUFFER_SIZE),
            )
        };
        Ok(Stage {
            programs,
            shadows,
            store: Store::default(),
            samples: u32::try_from(samples).unwrap_or(1).clamp(1, MOST_SAMPLES),
            largest: u32::try_from(largest).unwrap_or(2048).max(1),
            kept: [None, None],
            redraws: 0,
            gl,
        })
    }

    /// How often a picture was made anew.
    pub fn redraws(&self) -> usize {
        self.redraws
    }

    /// How often the shadow on the bed was made anew.
    pub fn shadow_redraws(&self) -> usize {
        self.shadows.as_ref().map_or(0, Shadows::redraws)
    }

    /// Puts the picture of `frame` into `viewport` of whatever is being drawn into now, inside `scissor`.
    ///
    /// `screen` is the size of what is drawn into; all in pixels, `scale` in pixels to a screen point.
    pub fn paint(
        &mut self,
        frame: &Frame,
        viewport: Viewport,
        scissor: ScissorBox,
        screen: [u32; 2],
        scale: f64,
    ) -> Result<(), GlError> {
        // SAFETY: reading a binding has no conditions beyond a current context.
        let bound = unsafe { self.gl.get_parameter_framebuffer(three_d::context::DRAW_FRAMEBUFFER_BINDING) };
        self.refresh(frame, [viewport.width, viewport.height], scale)?;
        let target = match bound {
            Some(framebuffer) => RenderTarget::from_framebuffer(&self.gl, screen[0], screen[1], framebuffer),
            None => RenderTarget::screen(&self.gl, screen[0], screen[1]),
        };
        if let Some(kept) = &self.kept[usize::from(frame.inset)] {
            let program = &self.programs.copy;
            write(&target, scissor, || {
                program.use_texture("picture", &kept.picture);
                whole(program, &self.programs, viewport);
            });
        }
        // Otherwise three-d would delete a framebuffer that is not ours.
        target.into_framebuffer();
        Ok(())
    }

    /// Makes the picture anew if anything in it changed.
    fn refresh(&mut self, frame: &Frame, size: [u32; 2], scale: f64) -> Result<(), GlError> {
        let size = size.map(|n| n.clamp(1, self.largest));
        self.store.follow(&self.gl, &frame.scene);
        let few = frame.moving && self.store.has_few(&frame.scene);
        let key = Key { scene: frame.scene.picture_key(), camera: frame.camera, style: frame.style, size, scale, few };
        let slot = usize::from(frame.inset);
        if self.kept[slot].as_ref().is_some_and(|kept| kept.key == key) {
            return Ok(());
        }
        self.redraws += 1;
        if let Some(shadows) = self.shadows.as_mut().filter(|_| frame.style.shadow > 0.0) {
            shadows.follow(&self.gl, &frame.scene, &self.store);
        }
        self.kept[slot] = Some(Kept { key, picture: self.draw(&Shot::new(frame, size, scale)) });
        match first_grave_error(&self.gl) {
            Some(cause) => Err(GlError::GaveUp { cause }),
            None => Ok(()),
        }
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
                let shade = self.shadows.as_ref().filter(|_| shot.frame.style.shadow > 0.0).and_then(Shadows::shade);
                board::draw_bed(shot, &self.programs, &self.gl, under, Some(shade));
            }
            pieces::draw(shot, &self.programs, &self.gl, &self.store);
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
            if let Some(part) = shot.part_with_meshes() {
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
                board::draw_bed(shot, &self.programs, &self.gl, under, None);
            }
            pieces::draw_ghosts(shot, &self.programs, &self.gl, &self.store);
            if let Some(cut) = &scene.cut {
                board::draw_sheet(shot, &self.programs, &self.gl, cut);
                lines::draw_sheet_edge(shot, &self.programs, &self.gl, cut);
            }
            lines::draw_pencil(shot, &self.programs, &self.gl);
            lines::draw_outlines(shot, &self.programs, &self.gl);
            lines::draw_grazes(shot, &self.programs, &self.gl);
            lines::draw_lit(shot, &self.programs, &self.gl);
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

/// Does `work`, and draws into what was drawn into before, however it ended.
pub fn keeping_target<T>(gl: &three_d::context::Context, work: impl FnOnce() -> T) -> T {
    // SAFETY: reading a binding and binding it again has no conditions beyond a current context.
    let bound = unsafe { gl.get_parameter_framebuffer(three_d::context::DRAW_FRAMEBUFFER_BINDING) };
    let done = work();
    // SAFETY: as above.
    unsafe { gl.bind_framebuffer(three_d::context::FRAMEBUFFER, bound) };
    done
}

/// What a driver says after which there is no picture.
fn first_grave_error(gl: &Context) -> Option<&'static str> {
    // A driver that was reset may say so without end.
    (0..MOST_ERRORS).find_map(|_| {
        // SAFETY: asking for errors has no conditions beyond a current context.
        match unsafe { gl.get_error() } {
            three_d::context::OUT_OF_MEMORY => Some("it has no memory left"),
            three_d::context::CONTEXT_LOST => Some("it was reset"),
            _ => None,
        }
    })
}

/// As many kinds of errors as a driver can keep at once.
const MOST_ERRORS: usize = 8;

fn driver_name(gl: &three_d::context::Context) -> String {
    // SAFETY: reading strings has no conditions beyond a current context.
    unsafe {
        let name = gl.get_parameter_string(three_d::context::RENDERER);
        let version = gl.get_parameter_string(three_d::context::VERSION);
        format!("{name}, {version}")
    }
}

//! Pictures with no display: an EGL context without any surface, through the glutin that eframe brings along.

mod card_clock;
mod offscreen;

use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::TexturesDelta;
use glutin::api::egl::context::PossiblyCurrentContext;
use glutin::api::egl::device::Device;
use glutin::api::egl::display::Display;
use glutin::config::{ConfigSurfaceTypes, ConfigTemplateBuilder};
use glutin::context::{ContextApi, ContextAttributesBuilder, Version};
use glutin::display::GlDisplay;
use image::RgbaImage;
use three_d::context as gl;
use three_d::context::HasContext as _;

use super::Mode;
use super::camera::Camera;
use super::gl::GlError;
use super::painter::GlowPaint;
use super::scene::Scene;
use super::style::BenchStyle;
use super::widget::Bench;
pub use card_clock::Timed;
use card_clock::{CardClock, StoppedClock};
use offscreen::Offscreen;

/// The packages of a Debian-like system that pictures without a display need.
pub const PACKAGES: &str = "libegl1 libegl-mesa0 libgl1-mesa-dri";

/// Why no picture can be made without a display.
#[derive(Debug, thiserror::Error)]
pub enum HeadlessError {
    /// The EGL library is not there, or knows no device.
    #[error("no EGL to draw with ({cause}); on Debian-like systems: apt install {PACKAGES}")]
    NoEgl {
        /// What was answered.
        cause: String,
    },
    /// EGL is there, and none of its devices gives OpenGL 3.3.
    #[error(
        "none of the {devices} EGL devices gives OpenGL 3.3 ({cause}); on Debian-like systems: apt install {PACKAGES}"
    )]
    NoContext {
        /// How many were tried.
        devices: usize,
        /// What the last one answered.
        cause: String,
    },
    /// The context is there, and can't draw the bench.
    #[error(transparent)]
    Gl(#[from] GlError),
    /// The picture can't be made.
    #[error("a picture of {width} × {height} pixels can't be made: {cause}")]
    Picture {
        /// Asked for.
        width: u32,
        /// Asked for.
        height: u32,
        /// Why not.
        cause: String,
    },
}

/// Renders `scene` as `camera` sees it, with its words and dimensions, on a surfaceless EGL context made for it.
pub fn render_png(
    scene: &Scene,
    camera: Camera,
    style: &BenchStyle,
    width: u32,
    height: u32,
) -> Result<RgbaImage, HeadlessError> {
    let mut headless = HeadlessGl::new()?;
    let mut bench = Bench::new(Box::new(headless.painter()?));
    bench.set_camera(camera);
    let picture = headless.picture(width, height, 1.0, |ui| {
        bench.show(ui, scene, Mode::Look, style);
    });
    bench.shutdown();
    picture
}

/// A GL context with no display, and an egui that paints into pictures.
///
/// It is current on the thread that made it, and must stay there.
pub struct HeadlessGl {
    gl: Arc<gl::Context>,
    name: String,
    painter: egui_glow::Painter,
    _current: PossiblyCurrentContext,
}

impl std::fmt::Debug for HeadlessGl {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("HeadlessGl").field("name", &self.name).finish_non_exhaustive()
    }
}

impl HeadlessGl {
    /// A context on the first EGL device that gives one, hardware or software.
    pub fn new() -> Result<HeadlessGl, HeadlessError> {
        let no_egl = |e: glutin::error::Error| HeadlessError::NoEgl { cause: e.to_string() };
        let devices: Vec<Device> = Device::query_devices().map_err(no_egl)?.collect();
        let mut cause = "no device".to_owned();
        for device in &devices {
            match on_device(device) {
                Ok((gl, current)) => return HeadlessGl::with_context(Arc::new(gl), current),
                Err(e) => cause = e,
            }
        }
        Err(HeadlessError::NoContext { devices: devices.len(), cause })
    }

    /// The context, for a [`GlowPaint`].
    pub fn gl(&self) -> Arc<gl::Context> {
        Arc::clone(&self.gl)
    }

    /// The driver's name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// A painter on this context.
    pub fn painter(&self) -> Result<GlowPaint, GlError> {
        GlowPaint::new(self.gl())
    }

    /// Runs `show` in an egui of its own that fills a picture of `width` × `height` pixels.
    pub fn picture(
        &mut self,
        width: u32,
        height: u32,
        pixels_per_point: f32,
        mut show: impl FnMut(&mut egui::Ui),
    ) -> Result<RgbaImage, HeadlessError> {
        let context = egui::Context::default();
        let size = egui::vec2(width as f32, height as f32) / pixels_per_point;
        let mut output = None;
        // Twice: egui lays out text for good only when its fonts are there.
        for _ in 0..2 {
            let input = egui::RawInput {
                screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, size)),
                ..Default::default()
            };
            context.set_pixels_per_point(pixels_per_point);
            let mut next = context.run_ui(input, &mut show);
            self.take_textures(&mut next.textures_delta);
            output = Some(next);
        }
        let Some(output) = output else { unreachable!("the loop above runs") };
        self.paint(&context, &output, [width, height])
    }

    /// Takes over what egui wants changed in its textures.
    pub fn take_textures(&mut self, delta: &mut TexturesDelta) {
        for (id, deltas) in delta.set.drain() {
            deltas.iter().for_each(|d| self.painter.set_texture(id, d));
        }
        delta.free.drain().for_each(|id| self.painter.free_texture(id));
    }

    /// Paints a finished pass of egui into a picture of `width` × `height` pixels.
    pub fn paint(
        &mut self,
        context: &egui::Context,
        output: &egui::FullOutput,
        [width, height]: [u32; 2],
    ) -> Result<RgbaImage, HeadlessError> {
        let failed = |cause: String| HeadlessError::Picture { width, height, cause };
        let target = Offscreen::new(Arc::clone(&self.gl), width, height).map_err(failed)?;
        self.paint_into(&target, context, output, [width, height]);
        target.bind();
        let pixels = self.painter.read_screen_rgba([width, height]);
        RgbaImage::from_raw(width, height, pixels.as_raw().to_vec())
            .ok_or_else(|| failed("the driver gave back too few pixels".to_owned()))
    }

    /// Paints a finished pass of egui as [`paint`](Self::paint) does, without reading the picture back, and says how long it
    /// took. Whatever was asked of the driver before is waited for first, so that none of it is counted. `clock` times the
    /// handing over: one that counts how long this thread works leaves out what it waits for.
    pub fn timed(
        &mut self,
        context: &egui::Context,
        output: &egui::FullOutput,
        [width, height]: [u32; 2],
        clock: impl Fn() -> Duration,
    ) -> Result<Timed, HeadlessError> {
        let failed = |cause: String| HeadlessError::Picture { width, height, cause };
        let target = Offscreen::new(Arc::clone(&self.gl), width, height).map_err(failed)?;
        // SAFETY: waiting for the driver has no conditions beyond a current context.
        unsafe { self.gl.finish() };
        let gl = Arc::clone(&self.gl);
        let card = CardClock::start(&gl);
        let (begun, from) = (Instant::now(), clock());
        self.paint_into(&target, context, output, [width, height]);
        let handed_over = clock().saturating_sub(from);
        let card = card.map(CardClock::stop);
        // SAFETY: as above.
        unsafe { self.gl.finish() };
        Ok(Timed { handed_over, drawn: begun.elapsed(), on_card: card.and_then(StoppedClock::read) })
    }

    fn paint_into(&mut self, target: &Offscreen, context: &egui::Context, output: &egui::FullOutput, size: [u32; 2]) {
        let primitives = context.tessellate(output.shapes.clone(), output.pixels_per_point);
        target.bind();
        self.painter.clear(size, [1.0, 1.0, 1.0, 1.0]);
        self.painter.paint_primitives(size, output.pixels_per_point, &primitives);
    }

    fn with_context(gl: Arc<gl::Context>, current: PossiblyCurrentContext) -> Result<HeadlessGl, HeadlessError> {
        // SAFETY: the context was made current above; reading a string has no other condition.
        let name = unsafe { gl.get_parameter_string(gl::RENDERER) };
        let painter = egui_glow::Painter::new(Arc::clone(&gl), "", None, false)
            .map_err(|e| HeadlessError::NoContext { devices: 1, cause: e.to_string() })?;
        Ok(HeadlessGl { gl, name, painter, _current: current })
    }
}

impl Drop for HeadlessGl {
    fn drop(&mut self) {
        self.painter.destroy();
    }
}

fn on_device(device: &Device) -> Result<(gl::Context, PossiblyCurrentContext), String> {
    let text = |e: glutin::error::Error| e.to_string();
    // SAFETY: no native display is passed.
    let display = unsafe { Display::with_device(device, None) }.map_err(text)?;
    let template = ConfigTemplateBuilder::new().with_surface_type(ConfigSurfaceTypes::empty()).build();
    // SAFETY: the template names no native window.
    let config = unsafe { display.find_configs(template) }.map_err(text)?.next().ok_or("no configuration")?;
    let attributes =
        ContextAttributesBuilder::new().with_context_api(ContextApi::OpenGl(Some(Version::new(3, 3)))).build(None);
    // SAFETY: no native window is passed.
    let context = unsafe { display.create_context(&config, &attributes) }.map_err(text)?;
    let current = context.make_current_surfaceless().map_err(text)?;
    // SAFETY: the loader belongs to the context that was just made current.
    let gl = unsafe { gl::Context::from_loader_function_cstr(|name| display.get_proc_address(name)) };
    Ok((gl, current))
}

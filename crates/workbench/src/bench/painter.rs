//! The seam between the bench and the graphics library.

use std::sync::{Arc, Mutex, PoisonError};

use egui::{Rect, Ui};

use super::camera::Camera;
use super::gl::{GlError, Stage, keeping_target};
use super::scene::Scene;
use super::style::BenchStyle;
use crate::text;

/// What is needed for one picture.
#[derive(Clone, Debug)]
pub struct Frame {
    /// What stands on the bench.
    pub scene: Scene,
    /// From where.
    pub camera: Camera,
    /// In which colours.
    pub style: BenchStyle,
    /// Whether something moves: then fewer faces will do.
    pub moving: bool,
    /// Whether it is the small picture beside the large one: both are kept until something in them changes.
    pub inset: bool,
}

/// Fills a rectangle with the picture of a scene. Handles and words are not its business.
pub trait ViewportPainter {
    /// Paints `frame` into `rect`.
    fn paint(&mut self, ui: &Ui, rect: Rect, frame: Frame);

    /// Why nothing can be seen, if so, in words for the user.
    fn trouble(&self) -> Option<String> {
        None
    }

    /// Gives back what belongs to the graphics library, while it still can.
    fn shutdown(&mut self) {}
}

/// Paints paper and nothing on it: for tests, and where there is no GL.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoPaint;

impl ViewportPainter for NoPaint {
    fn paint(&mut self, ui: &Ui, rect: Rect, frame: Frame) {
        ui.painter().rect_filled(rect, 0.0, frame.style.paper[1]);
    }
}

/// Paints paper, and says why there is nothing on it: where the driver cannot draw the bench, all else still works.
#[derive(Clone, Debug)]
pub struct Unpainted {
    why: String,
}

impl Unpainted {
    /// `why` in words for the user.
    pub fn because(why: &GlError) -> Unpainted {
        Unpainted { why: in_lines(&text::bench::cannot_be_drawn(&why.to_string())) }
    }
}

/// So many letters are a line in the narrowest bench.
const LINE: usize = 60;

/// `text` in lines of that length.
fn in_lines(text: &str) -> String {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut().filter(|line| line.chars().count() + 1 + word.chars().count() <= LINE) {
            Some(line) => {
                line.push(' ');
                line.push_str(word);
            }
            None => lines.push(word.to_owned()),
        }
    }
    lines.join("\n")
}

impl ViewportPainter for Unpainted {
    fn paint(&mut self, ui: &Ui, rect: Rect, frame: Frame) {
        NoPaint.paint(ui, rect, frame);
    }

    fn trouble(&self) -> Option<String> {
        Some(self.why.clone())
    }
}

/// Paints with OpenGL, inside egui's own picture.
pub struct GlowPaint {
    /// Shared with the callbacks that egui keeps.
    work: Arc<Mutex<Work>>,
}

enum Work {
    Goes(Box<Stage>),
    /// The driver gave up, with what is said of it.
    Failed(String),
    /// After [`shutdown`](ViewportPainter::shutdown).
    GivenBack,
}

impl std::fmt::Debug for GlowPaint {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("GlowPaint").field("redraws", &self.redraws()).finish()
    }
}

impl GlowPaint {
    /// Prepares to paint with `gl`, which must be current, now and whenever egui paints: eframe sees to that.
    pub fn new(gl: Arc<eframe::glow::Context>) -> Result<GlowPaint, GlError> {
        Ok(GlowPaint { work: Arc::new(Mutex::new(Work::Goes(Box::new(Stage::new(gl)?)))) })
    }

    /// How often the picture was made anew, rather than copied.
    pub fn redraws(&self) -> usize {
        self.ask(Stage::redraws)
    }

    /// How often the shadow on the bed was made anew.
    pub fn shadow_redraws(&self) -> usize {
        self.ask(Stage::shadow_redraws)
    }

    fn ask(&self, what: impl FnOnce(&Stage) -> usize) -> usize {
        match &*self.work.lock().unwrap_or_else(PoisonError::into_inner) {
            Work::Goes(stage) => what(stage),
            Work::Failed(_) | Work::GivenBack => 0,
        }
    }
}

impl Work {
    /// Lets the stage paint. Where the driver gives up, or what is built on it breaks, nothing is painted from then on: the
    /// rest of the window goes on, so that the work can be saved. Says whether that was now.
    fn paint(&mut self, paint: impl FnOnce(&mut Stage) -> Result<(), GlError>) -> bool {
        let Work::Goes(stage) = self else { return false };
        let why = match std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| paint(stage))) {
            Ok(Ok(())) => return false,
            Ok(Err(why)) => why,
            Err(_) => GlError::GaveUp { cause: text::bench::NOT_MADE },
        };
        log::error!("{why}");
        *self = Work::Failed(in_lines(&text::bench::no_longer_drawn(&why.to_string())));
        true
    }
}

impl ViewportPainter for GlowPaint {
    fn paint(&mut self, ui: &Ui, rect: Rect, frame: Frame) {
        if !matches!(&*self.work.lock().unwrap_or_else(PoisonError::into_inner), Work::Goes(_)) {
            return NoPaint.paint(ui, rect, frame);
        }
        let (work, context) = (Arc::clone(&self.work), ui.ctx().clone());
        let draw = move |info: egui::PaintCallbackInfo, painter: &egui_glow::Painter| {
            let (v, c) = (info.viewport_in_pixels(), info.clip_rect_in_pixels());
            let positive = |n: i32| u32::try_from(n).unwrap_or(0);
            let viewport = three_d::Viewport {
                x: v.left_px,
                y: v.from_bottom_px,
                width: positive(v.width_px).max(1),
                height: positive(v.height_px).max(1),
            };
            let scissor = three_d::ScissorBox {
                x: c.left_px,
                y: c.from_bottom_px,
                width: positive(c.width_px),
                height: positive(c.height_px),
            };
            if scissor.width == 0 || scissor.height == 0 {
                return;
            }
            let scale = f64::from(info.pixels_per_point);
            let mut work = work.lock().unwrap_or_else(PoisonError::into_inner);
            let failed = keeping_target(painter.gl(), || {
                work.paint(|stage| stage.paint(&frame, viewport, scissor, info.screen_size_px, scale))
            });
            if failed {
                // So that what happened is said.
                context.request_repaint();
            }
        };
        let callback = Arc::new(egui_glow::CallbackFn::new(draw));
        ui.painter().add(egui::PaintCallback { rect, callback });
    }

    fn trouble(&self) -> Option<String> {
        match &*self.work.lock().unwrap_or_else(PoisonError::into_inner) {
            Work::Failed(why) => Some(why.clone()),
            Work::Goes(_) | Work::GivenBack => None,
        }
    }

    fn shutdown(&mut self) {
        *self.work.lock().unwrap_or_else(PoisonError::into_inner) = Work::GivenBack;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::tests::gl::{SIZE, headless};
    use crate::bench::{Bench, BenchStyle, HeadlessGl, Mode};

    /// Whatever is done to the work, the bench is shown after it as before.
    fn said_after(gl: &mut HeadlessGl, paint: impl FnOnce(&mut Stage) -> Result<(), GlError>) -> String {
        let painter = gl.painter().expect("a painter");
        let mut work = painter.work.lock().expect("nobody broke it");
        assert!(work.paint(paint), "it is told once");
        assert!(!work.paint(|_| panic!("nothing is painted from then on")));
        drop(work);
        let said = painter.trouble().unwrap_or_default();
        let mut bench = Bench::new(Box::new(painter));
        let shown = gl.picture(SIZE, SIZE, 1.0, |ui| {
            bench.show(ui, &Scene::default(), Mode::Look, &BenchStyle::light());
        });
        assert!(shown.is_ok(), "the rest of the window is drawn");
        said.replace('\n', " ")
    }

    #[test]
    fn where_the_driver_gives_up_the_bench_says_so_and_the_window_goes_on() {
        let Some(mut gl) = headless() else { return };
        let lost = said_after(&mut gl, |_| Err(GlError::GaveUp { cause: "it was reset" }));
        assert!(lost.contains("it was reset") && lost.contains("save"), "{lost}");
        let broken = said_after(&mut gl, |_| panic!("no framebuffer, says the driver"));
        assert!(broken.contains("gave up") && broken.contains("save"), "{broken}");
    }

    #[test]
    fn a_driver_too_old_is_told_with_what_still_works() {
        let why = GlError::TooOld { driver: "one of long ago, 2.1".into() };
        let said = Unpainted::because(&why).trouble().unwrap_or_default();
        let has = |words: &str| said.replace('\n', " ").contains(words);
        assert!(has("OpenGL 3.3") && has("one of long ago, 2.1") && has("kit work without it"), "{said}");
        assert!(said.lines().count() > 2 && said.lines().all(|line| line.chars().count() <= LINE), "{said}");
    }
}

//! How long a frame takes while a model is orbited, and while a cut is dragged through it:
//!
//! ```text
//! cargo run --release --example frame_times -- FILE.stl ...
//! ```
//!
//! Draws off screen, on the first EGL device that there is, pictures of 1280 × 800 pixels. *CPU* is the time of the program and
//! the driver until everything was handed over; *drawn* until the picture was there. Medians of the frames, and the worst.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use seamwright::bench::{
    Bench, BenchStyle, Body, Camera, CutInHand, Drawn, HeadlessGl, MeshId, Mode, Scene, StandardView,
};
use seamwright_geometry::{Bounds, CutSurface, Plane, Point, Progress, Vector};
use seamwright_project::{Cache, Edit, Placing, Recipe, evaluate, store};

type Trouble = Box<dyn std::error::Error>;

const SIZE: [u32; 2] = [1280, 800];
const FRAMES: usize = 60;

fn main() -> Result<(), Trouble> {
    let files: Vec<PathBuf> = std::env::args_os().skip(1).map(PathBuf::from).collect();
    if files.is_empty() {
        return Err("name the models to be drawn".into());
    }
    let mut gl = HeadlessGl::new()?;
    println!("drawn by {}, {} × {} pixels, {FRAMES} frames each\n", gl.name(), SIZE[0], SIZE[1]);
    println!("| triangles | while | CPU, ms | worst | drawn, ms | worst | fewer faces made in, s |");
    println!("|--:|---|--:|--:|--:|--:|--:|");
    for file in &files {
        measure(&mut gl, file)?;
    }
    Ok(())
}

fn measure(gl: &mut HeadlessGl, file: &Path) -> Result<(), Trouble> {
    let folder = file.parent().unwrap_or(Path::new("."));
    let recipe = Edit::SetStock(store::describe_source(file, folder)?).apply(&Recipe::new("frame times"))?;
    let (cache, progress) = (Cache::default(), Progress::new());
    let outcome = evaluate(&recipe, folder, &cache, &progress).map_err(|_| "stopped")?;
    let part = outcome.parts.first().ok_or("no part")?;
    let bounds = part.solid.mesh.bounds().ok_or("no faces")?;
    let placing = Placing::prepare(&recipe, None, folder, &cache, &progress)?;
    let triangles = part.solid.mesh.triangles.len();

    let body = Arc::new(Body::of_solid(Arc::clone(&part.solid)).known_closed());
    body.pack();
    let begun = Instant::now();
    body.prepare();
    let made = begun.elapsed();
    let mut show = Show::new(gl, &body, &bounds)?;
    let orbit = |show: &mut Show<'_>, step: f64| show.turn(step);
    report(triangles, "orbiting", show.frames(|show, _| orbit(show, 1.0))?, made);
    let slow = show.frames_at_rest(|show, _| orbit(show, 1.0))?;
    report(triangles, "orbiting, all faces", slow, made);
    let drag = |show: &mut Show<'_>, i: usize| {
        let along = (i as f64 + 0.5) / FRAMES as f64;
        let Ok(plane) = Plane::through(bounds.min + (bounds.max - bounds.min) * along, Vector::new(0.1, 0.2, 0.97))
        else {
            return;
        };
        let placement = placing.at_surface(&CutSurface::Plane(plane));
        let line = |line: &seamwright_geometry::SectionLoop| -> Vec<Point> {
            line.points.iter().chain(line.points.first()).copied().collect()
        };
        show.scene.outlines = Arc::new(placement.outline.iter().map(line).collect());
        show.scene.cut = Some(CutInHand::new(plane, &bounds));
    };
    report(triangles, "dragging a cut", show.frames(drag)?, made);
    show.bench.shutdown();
    Ok(())
}

/// A bench off screen.
struct Show<'a> {
    gl: &'a mut HeadlessGl,
    context: egui::Context,
    bench: Bench,
    scene: Scene,
    time: f64,
}

impl Show<'_> {
    fn new<'a>(gl: &'a mut HeadlessGl, body: &Arc<Body>, bounds: &Bounds) -> Result<Show<'a>, Trouble> {
        let mut bench = Bench::new(Box::new(gl.painter()?));
        let aspect = f64::from(SIZE[0]) / f64::from(SIZE[1]);
        bench.set_camera(Camera::default().seen_from(StandardView::ThreeQuarter).framing(bounds, aspect));
        let scene = Scene { drawn: vec![Drawn::new(MeshId(0), Arc::clone(body))], ..Scene::default() };
        let mut show = Show { gl, context: egui::Context::default(), bench, scene, time: 0.0 };
        // Fonts and the mesh are handed over in the first two.
        for _ in 0..2 {
            show.frame()?;
        }
        Ok(show)
    }

    fn turn(&mut self, degrees: f64) {
        let camera = self.bench.camera();
        self.bench.set_camera(camera.orbited(&camera.target, degrees, 0.0));
    }

    /// Frames that follow on each other as on a screen.
    fn frames(&mut self, step: impl FnMut(&mut Self, usize)) -> Result<Vec<[Duration; 2]>, Trouble> {
        self.frames_every(1.0 / 60.0, step)
    }

    /// Frames so far apart that each is drawn with all faces.
    fn frames_at_rest(&mut self, step: impl FnMut(&mut Self, usize)) -> Result<Vec<[Duration; 2]>, Trouble> {
        self.frames_every(10.0, step)
    }

    fn frames_every(
        &mut self,
        seconds: f64,
        mut step: impl FnMut(&mut Self, usize),
    ) -> Result<Vec<[Duration; 2]>, Trouble> {
        let mut times = Vec::with_capacity(FRAMES);
        for i in 0..FRAMES {
            self.time += seconds;
            let begun = Instant::now();
            step(self, i);
            let before = begun.elapsed();
            times.push(self.frame()?.map(|time| time + before));
        }
        Ok(times)
    }

    fn frame(&mut self) -> Result<[Duration; 2], Trouble> {
        let begun = Instant::now();
        let size = egui::vec2(SIZE[0] as f32, SIZE[1] as f32);
        let input = egui::RawInput {
            screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, size)),
            time: Some(self.time),
            ..Default::default()
        };
        let (bench, scene) = (&mut self.bench, &self.scene);
        let mut output = self.context.run_ui(input, |ui| {
            bench.show(ui, scene, Mode::Look, &BenchStyle::light());
        });
        self.gl.take_textures(&mut output.textures_delta);
        let before = begun.elapsed();
        Ok(self.gl.timed(&self.context, &output, SIZE)?.map(|time| time + before))
    }
}

fn report(triangles: usize, what: &str, times: Vec<[Duration; 2]>, made: Duration) {
    let of = |k: usize| {
        let mut ms: Vec<f64> = times.iter().map(|time| time[k].as_secs_f64() * 1e3).collect();
        ms.sort_by(f64::total_cmp);
        (ms[ms.len() / 2], ms[ms.len() - 1])
    };
    let ((cpu, cpu_worst), (drawn, drawn_worst)) = (of(0), of(1));
    println!(
        "| {triangles} | {what} | {cpu:.1} | {cpu_worst:.1} | {drawn:.1} | {drawn_worst:.1} | {:.1} |",
        made.as_secs_f64()
    );
}

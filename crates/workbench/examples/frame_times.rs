//! How long a frame takes while a model is orbited, and while a cut is dragged through it, as a table:
//!
//! ```text
//! cargo run --release --example frame_times -- FILE.stl ...
//! ```
//!
//! Draws off screen, on the first EGL device that there is, what the window draws: the model on its bed, in pictures of
//! 1280 × 800 pixels. *CPU* is the time of the program, and of the driver until everything was handed over: the card is idle
//! when that begins, and of the driver only what it works on this thread is counted, by the clock of the thread (on Linux;
//! elsewhere what it waits for is counted too). *Card* is how long the card worked, by its own clock, where it has one; *until
//! drawn* is from the beginning to the end. Medians of the frames, and the worst. Where there is no card its work is done by the
//! processor, beside this thread.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use seamwright::bench::{
    BedUnderneath, Bench, BenchStyle, Body, Camera, CutInHand, Drawn, HeadlessGl, MeshId, Mode, Scene, StandardView,
    Timed, Tone,
};
use seamwright_geometry::{Bounds, Plane, Point, Progress, SectionLoop, Vector, Verdict};
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
    println!("Drawn by {}, {} × {} pixels, {FRAMES} frames each.\n", gl.name(), SIZE[0], SIZE[1]);
    println!("| triangles | while | CPU, ms | worst | card, ms | worst | until drawn, ms | worst |");
    println!("|--:|---|--:|--:|--:|--:|--:|--:|");
    let mut made = Vec::new();
    for file in &files {
        made.push(measure(&mut gl, file)?);
    }
    println!("\nMade ready beside the window before that, once for each model:");
    for (triangles, seconds) in made {
        println!("{triangles} triangles: fewer faces for motion, and the tree for picking, in {seconds:.1} s");
    }
    Ok(())
}

/// Prints the rows of a model; gives its triangles, and how long it took to be made ready, s.
fn measure(gl: &mut HeadlessGl, file: &Path) -> Result<(usize, f64), Trouble> {
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
    let made = begun.elapsed().as_secs_f64();
    let mut show = Show::new(gl, &body, &bounds, BedUnderneath::under(recipe.bed.clone(), &bounds))?;
    let orbit = |show: &mut Show<'_>, _: usize| show.turn(1.0);
    report(triangles, "orbiting", &show.frames(orbit)?);
    report(triangles, "orbiting, all faces as at rest", &show.frames_at_rest(orbit)?);
    let drag = |show: &mut Show<'_>, i: usize| {
        let along = (i as f64 + 0.5) / FRAMES as f64;
        let through = bounds.min + (bounds.max - bounds.min) * along;
        if let Ok(plane) = Plane::through(through, Vector::new(0.1, 0.2, 0.97)) {
            show.place(&placing, plane, &bounds);
        }
    };
    report(triangles, "dragging a cut, placed anew in every frame", &show.frames(drag)?);
    show.bench.shutdown();
    Ok((triangles, made))
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
    fn new<'a>(
        gl: &'a mut HeadlessGl,
        body: &Arc<Body>,
        bounds: &Bounds,
        bed: BedUnderneath,
    ) -> Result<Show<'a>, Trouble> {
        let mut bench = Bench::new(Box::new(gl.painter()?));
        let aspect = f64::from(SIZE[0]) / f64::from(SIZE[1]);
        bench.set_camera(Camera::default().seen_from(StandardView::ThreeQuarter).framing(bounds, aspect));
        let drawn = vec![Drawn::new(MeshId(0), Arc::clone(body))];
        let scene = Scene { drawn, bed: Some(bed), ..Scene::default() };
        let mut show = Show { gl, context: egui::Context::default(), bench, scene, time: 0.0 };
        // Fonts, the mesh and its shadow are handed over in the first two.
        for _ in 0..2 {
            show.frame()?;
        }
        Ok(show)
    }

    fn turn(&mut self, degrees: f64) {
        let camera = self.bench.camera();
        self.bench.set_camera(camera.orbited(&camera.target, degrees, 0.0));
    }

    /// As while a hand drags: the outline and both verdicts.
    fn place(&mut self, placing: &Placing, plane: Plane, bounds: &Bounds) {
        let placement = placing.at(&plane);
        let (below, above) = placement.worst();
        let line =
            |line: &SectionLoop| -> Vec<Point> { line.points.iter().chain(line.points.first()).copied().collect() };
        self.scene.outlines = Arc::new(placement.outline.iter().map(line).collect());
        self.scene.cut = Some(CutInHand { below: tone(below), above: tone(above), ..CutInHand::new(plane, bounds) });
    }

    /// Frames that follow on each other as on a screen.
    fn frames(&mut self, step: impl FnMut(&mut Self, usize)) -> Result<Vec<Timed>, Trouble> {
        self.frames_every(1.0 / 60.0, step)
    }

    /// Frames so far apart that each is drawn with all faces.
    fn frames_at_rest(&mut self, step: impl FnMut(&mut Self, usize)) -> Result<Vec<Timed>, Trouble> {
        self.frames_every(10.0, step)
    }

    fn frames_every(&mut self, seconds: f64, mut step: impl FnMut(&mut Self, usize)) -> Result<Vec<Timed>, Trouble> {
        let mut times = Vec::with_capacity(FRAMES);
        for i in 0..FRAMES {
            self.time += seconds;
            let begun = Instant::now();
            step(self, i);
            let before = begun.elapsed();
            times.push(later(self.frame()?, before));
        }
        Ok(times)
    }

    fn frame(&mut self) -> Result<Timed, Trouble> {
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
        Ok(later(self.gl.timed(&self.context, &output, SIZE, worked)?, before))
    }
}

/// How long this thread has worked.
#[cfg(target_os = "linux")]
fn worked() -> Duration {
    let time = rustix::time::clock_gettime(rustix::time::ClockId::ThreadCPUTime);
    let count = |n: i64| u64::try_from(n).unwrap_or(0);
    Duration::from_secs(count(time.tv_sec)) + Duration::from_nanos(count(time.tv_nsec))
}

/// How long it has been.
#[cfg(not(target_os = "linux"))]
fn worked() -> Duration {
    static BEGUN: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    BEGUN.get_or_init(Instant::now).elapsed()
}

/// The same, with what the program did before it drew.
fn later(timed: Timed, by: Duration) -> Timed {
    Timed { handed_over: timed.handed_over + by, drawn: timed.drawn + by, ..timed }
}

fn tone(verdict: Option<Verdict>) -> Tone {
    match verdict {
        Some(Verdict::AsItStands) => Tone::AsItStands,
        Some(Verdict::Turned) => Tone::Turned,
        Some(Verdict::Tilted) => Tone::Tilted,
        Some(Verdict::TooBig) => Tone::TooBig,
        Some(Verdict::Undecided) | None => Tone::Undecided,
    }
}

fn report(triangles: usize, what: &str, times: &[Timed]) {
    let cells = |of: &dyn Fn(&Timed) -> Option<Duration>| {
        let mut ms: Vec<f64> = times.iter().filter_map(|time| Some(of(time)?.as_secs_f64() * 1e3)).collect();
        ms.sort_by(f64::total_cmp);
        match (ms.get(ms.len() / 2), ms.last()) {
            (Some(median), Some(worst)) => format!("{median:.1} | {worst:.1}"),
            _ => "– | –".into(),
        }
    };
    let (cpu, card) = (cells(&|time| Some(time.handed_over)), cells(&|time| time.on_card));
    println!("| {triangles} | {what} | {cpu} | {card} | {} |", cells(&|time| Some(time.drawn)));
}

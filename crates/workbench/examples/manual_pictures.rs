//! Makes the pictures of the manual: the window itself, drawn off screen.
//!
//! ```text
//! cargo run --release --example manual_pictures -- PROJECT FOLDER
//! ```

use std::fs::File;
use std::io::BufWriter;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use seamwright::app::command::Command;
use seamwright::app::{Action, App, Settings};
use seamwright::bench::HeadlessGl;

type Trouble = Box<dyn std::error::Error>;

/// As wide as a page of the manual is at most, at a scale at which its words can still be read.
const SIZE: [u32; 2] = [1180, 720];
/// Longer than any of it takes on a busy machine.
const PATIENCE: Duration = Duration::from_secs(120);
/// What is asked once the hand rests comes this much later at most.
const REST: Duration = Duration::from_secs(3);

fn main() -> Result<(), Trouble> {
    let arguments: Vec<PathBuf> = std::env::args_os().skip(1).map(PathBuf::from).collect();
    let [project, folder] = arguments.as_slice() else {
        return Err("name a project, and the folder for the pictures".into());
    };
    std::fs::create_dir_all(folder)?;
    let mut desk = Desk::new()?;
    desk.ask(Action::OpenAny(project.clone()))?;
    desk.picture(&folder.join("bench.png"))?;
    let cuts = desk.app.state().recipe().cuts.clone();
    let last = cuts.last().ok_or("the project has no cuts to be shown")?.id;
    desk.ask(Action::TakeCut(Some(last)))?;
    desk.picture(&folder.join("cut.png"))?;
    desk.ask(Action::TakeCut(None))?;
    desk.ask(Action::Run(Command::Explode))?;
    desk.ask(Action::Run(Command::FrameAll))?;
    desk.picture(&folder.join("apart.png"))?;
    desk.app.shutdown();
    Ok(())
}

/// The window with no screen behind it.
struct Desk {
    gl: HeadlessGl,
    context: egui::Context,
    app: App,
    since: Instant,
}

impl Desk {
    fn new() -> Result<Desk, Trouble> {
        let gl = HeadlessGl::new()?;
        let context = egui::Context::default();
        // Nothing of whoever makes the pictures is read or written.
        let settings = Settings {
            spare_folder: std::env::temp_dir().join("seamwright-manual-pictures"),
            own_beds: None,
            recent: None,
            habits: None,
            demo_folders: Vec::new(),
            reports: None,
            system_dialogs: false,
        };
        let app = App::new(&context, Box::new(gl.painter()?), settings);
        context.set_theme(egui::Theme::Light);
        Ok(Desk { gl, context, app, since: Instant::now() })
    }

    /// Asks for something, and goes on until it is done and all that follows from it is known.
    fn ask(&mut self, action: Action) -> Result<(), Trouble> {
        self.app.ask(action);
        self.frame();
        self.frame();
        let begun = Instant::now();
        while self.app.is_busy() {
            if begun.elapsed() > PATIENCE {
                return Err("the work does not end".into());
            }
            std::thread::sleep(Duration::from_millis(10));
            self.frame();
        }
        let rests = Instant::now();
        while rests.elapsed() < REST {
            std::thread::sleep(Duration::from_millis(50));
            self.frame();
        }
        Ok(())
    }

    fn frame(&mut self) -> egui::FullOutput {
        let size = egui::vec2(SIZE[0] as f32, SIZE[1] as f32);
        let input = egui::RawInput {
            screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, size)),
            time: Some(self.since.elapsed().as_secs_f64()),
            ..Default::default()
        };
        let mut output = self.context.run_ui(input, |ui| self.app.show(ui));
        self.gl.take_textures(&mut output.textures_delta);
        output
    }

    fn picture(&mut self, path: &Path) -> Result<(), Trouble> {
        let output = self.frame();
        let picture = self.gl.paint(&self.context, &output, SIZE)?;
        let picture = image::DynamicImage::ImageRgba8(picture).into_rgb8();
        let file = BufWriter::new(File::create(path)?);
        let encoder = PngEncoder::new_with_quality(file, CompressionType::Best, FilterType::Adaptive);
        picture.write_with_encoder(encoder)?;
        println!("wrote {}", path.display());
        Ok(())
    }
}

//! The window: starts the workbench on the display, or says what is missing.

use std::fmt;
use std::path::{Path, PathBuf};

use eframe::egui;

use crate::app::{Action, App, Settings, crash};
use crate::bench::{GlowPaint, Unpainted, ViewportPainter};
use crate::text;

/// Debian packages that a window with OpenGL needs at run time.
const PACKAGES: &str = "libgl1 libglx-mesa0 libgl1-mesa-dri libx11-6 libx11-xcb1 libxcursor1 libxi6 \
                        libxkbcommon-x11-0 libxkbcommon0";

/// Why no window could be opened, or why it closed by itself. Its text says what to install and how to do without a window.
#[derive(Debug)]
pub struct NoWindow {
    why: String,
    file: Option<PathBuf>,
    /// What was left of a window that was open and broke down.
    report: Option<PathBuf>,
}

impl fmt::Display for NoWindow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(report) = &self.report {
            return f.write_str(&text::no_window::broke_down(&self.why, &text::crash::lies_in(report)));
        }
        let project = match &self.file {
            Some(path) => path.display().to_string(),
            None => text::no_window::PROJECT.into(),
        };
        f.write_str(&text::no_window::cannot_open(&self.why, PACKAGES, &project))
    }
}

impl std::error::Error for NoWindow {}

/// Opens the window, with `file` (a project or a model) in it, and returns when it is closed.
pub fn run(file: Option<&Path>) -> Result<(), NoWindow> {
    let no_window = |why: String| NoWindow { why, file: file.map(Path::to_path_buf), report: crash::take_fresh() };
    let to_open = file.map(Path::to_path_buf);
    let start = move || {
        eframe::run_native(
            "seamwright",
            options(),
            Box::new(move |cc| {
                let gl = cc.gl.clone().ok_or(text::no_window::NO_OPENGL)?;
                // Whatever breaks from here on is no want of a display.
                drop(std::panic::take_hook());
                let painter: Box<dyn ViewportPainter> = match GlowPaint::new(gl) {
                    Ok(painter) => Box::new(painter),
                    Err(why) => Box::new(Unpainted::because(&why)),
                };
                let settings = settings();
                // Only now: that there is no display is no fault of the program.
                if let Some(reports) = settings.reports.clone() {
                    crash::install(reports);
                }
                let mut app = App::new(&cc.egui_ctx, painter, settings);
                if let Some(path) = to_open {
                    app.ask(Action::OpenAny(path));
                }
                Ok(Box::new(Window { app }))
            }),
        )
    };
    // The libraries that are loaded for a display may be missing; where that ends in a panic inside them, it is still
    // only this: no window.
    match quietly(start) {
        Ok(Ok(())) => Ok(()),
        Ok(Err(error)) => Err(no_window(without_place(&error.to_string()).to_owned())),
        Err(why) => Err(no_window(why)),
    }
}

fn options() -> eframe::NativeOptions {
    eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_app_id("seamwright")
            .with_title("Seamwright")
            .with_icon(icon())
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([880.0, 560.0])
            .with_drag_and_drop(true),
        // The bench has a depth buffer of its own; asking for one here would only leave out displays that have none.
        depth_buffer: 0,
        event_loop_builder: x11_where_wayland_is_gone(),
        renderer: eframe::Renderer::Glow,
        ..Default::default()
    }
}

/// Where the environment names a Wayland display that nobody answers at, but an X11 display too, the window is opened on
/// the latter: left to itself it would not be opened at all.
#[cfg(target_os = "linux")]
fn x11_where_wayland_is_gone() -> Option<eframe::EventLoopBuilderHook> {
    use winit::platform::x11::EventLoopBuilderExtX11 as _;
    let variable = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
    // An open socket that was handed down needs no name.
    let named = variable("WAYLAND_DISPLAY").filter(|_| variable("WAYLAND_SOCKET").is_none())?;
    variable("DISPLAY")?;
    let answers = socket_of(Path::new(&named), variable("XDG_RUNTIME_DIR").map(PathBuf::from))
        .is_some_and(|socket| std::os::unix::net::UnixStream::connect(socket).is_ok());
    if answers {
        return None;
    }
    Some(Box::new(|builder| {
        builder.with_x11();
    }))
}

#[cfg(not(target_os = "linux"))]
fn x11_where_wayland_is_gone() -> Option<eframe::EventLoopBuilderHook> {
    None
}

/// Where a Wayland display with this name listens: a path, or a name in the folder for running programs.
#[cfg(target_os = "linux")]
fn socket_of(named: &Path, runtime: Option<PathBuf>) -> Option<PathBuf> {
    if named.is_absolute() { Some(named.into()) } else { runtime.map(|folder| folder.join(named)) }
}

/// The picture of the program, for the title bar and wherever the desktop lists its windows; none where it cannot be read.
fn icon() -> egui::IconData {
    eframe::icon_data::from_png_bytes(include_bytes!("../../../assets/icons/seamwright.png")).unwrap_or_default()
}

fn settings() -> Settings {
    let folders = directories::ProjectDirs::from("", "", "seamwright");
    let spare_folder = folders.map_or_else(std::env::temp_dir, |d| d.data_dir().to_path_buf());
    Settings {
        spare_folder,
        own_beds: seamwright_project::saved_beds::default_path(),
        recent: seamwright_project::recent::default_path(),
        habits: crate::app::habits::default_path(),
        demo_folders: crate::app::demos::folders(),
        reports: crash::default_folder(),
        system_dialogs: true,
    }
}

struct Window {
    app: App,
}

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.app.show(ui);
    }

    /// Where panels do not end on a whole pixel a line of it is seen between them: it is of their own paper.
    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.app.shutdown();
    }
}

/// Libraries name the place in their source before what went wrong: `os error at src/x11.rs:765: no display`. Only what
/// went wrong helps here.
fn without_place(error: &str) -> &str {
    let after = error.rsplit_once(".rs:").map(|(_, rest)| rest.trim_start_matches(|c: char| c.is_ascii_digit()));
    after.and_then(|rest| rest.strip_prefix(": ")).unwrap_or(error)
}

/// Runs `start`; a panic before the window is up becomes its message instead of a trace on the terminal. `start` takes the
/// quiet hook off once it is up.
fn quietly<T>(start: impl FnOnce() -> T) -> Result<T, String> {
    std::panic::set_hook(Box::new(|_| {}));
    match std::panic::catch_unwind(std::panic::AssertUnwindSafe(start)) {
        Ok(done) => Ok(done),
        Err(panic) => Err(panic
            .downcast_ref::<&str>()
            .map(|s| (*s).to_owned())
            .or_else(|| panic.downcast_ref::<String>().cloned())
            .unwrap_or_else(|| text::no_window::LIBRARY_BROKE.into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_icon_is_a_square_picture() {
        let icon = icon();
        assert_eq!((icon.width, icon.height), (256, 256));
    }

    #[test]
    fn an_error_is_told_without_its_place_in_the_source() {
        assert_eq!(without_place("os error at a/mod.rs:765: DISPLAY is not set"), "DISPLAY is not set");
        assert_eq!(without_place("no config"), "no config");
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn a_wayland_display_is_a_path_or_a_name_among_running_programs() {
        let runtime = || Some(PathBuf::from("/run/user/7"));
        assert_eq!(socket_of(Path::new("wayland-0"), runtime()), Some("/run/user/7/wayland-0".into()));
        assert_eq!(socket_of(Path::new("/tmp/w"), runtime()), Some("/tmp/w".into()));
        assert_eq!(socket_of(Path::new("wayland-0"), None), None);
    }

    #[test]
    fn without_a_window_the_way_out_is_named() {
        let error = NoWindow { why: "no display".into(), file: Some("a/helm.seamwright.json".into()), report: None };
        let text = error.to_string();
        assert!(text.contains("libgl1-mesa-dri") && text.contains("seamwright kit a/helm.seamwright.json --out DIR"));
    }
}

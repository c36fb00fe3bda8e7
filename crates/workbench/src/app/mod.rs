//! The window's inside: state, workers and panels, without a window of its own, so that tests run it as it is.
//!
//! Panels read the [`State`] and push [`Action`]s; [`App`] applies them after the frame, and nothing else changes the
//! state. Workers are asked in `engine` only.

pub mod action;
pub mod advice;
mod apply;
pub mod at_hand;
pub mod beds;
mod bodies;
mod bore_in_hand;
pub mod bores;
pub mod command;
pub mod compare;
pub mod crash;
pub mod cut_found;
pub mod demos;
pub mod details;
mod drawn;
mod engine;
pub mod files;
pub mod first_job;
pub mod forms;
mod frame;
pub mod frame_times;
pub mod free_place;
pub mod glance;
mod guide;
pub mod habits;
pub mod kit_found;
mod lane;
pub(crate) mod leaders;
mod look;
pub mod manual;
pub mod measuring;
mod messages;
pub mod new_cuts;
mod on_bench;
mod open;
pub mod outline;
mod own_folder;
mod path_dialog;
pub mod picks;
pub mod pictures;
pub mod placing;
mod pointing;
pub mod quantity;
mod recovery;
mod results;
mod run;
mod save;
mod scene;
pub mod sets;
mod settings;
pub mod start;
pub mod state;
pub mod stepping;
pub mod style;
pub mod typed_over;
pub mod typing;

use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant, SystemTime};

use egui::Ui;
use seamwright_geometry::Point;
use seamwright_project::recent::Recent;
use seamwright_project::{Document, Recipe};

pub use action::{Action, Queue};
pub use beds::BedAction;
pub use bores::BoreAction;
pub use engine::{CapFacts, Failure, Note, Outcome, Piece, PieceFacts, PlacedSide, Stage, Stock, Weight};
pub use files::Purpose;
pub use first_job::JobAction;
pub use manual::ManualAction;
pub use sets::SetAction;
pub use settings::Settings;
pub use start::StartAction;
pub use state::State;

/// Numbers and times in the maker's words.
pub use crate::text::numbers as words;

use crate::bench::{Bench, BenchAction, BenchStyle, Camera, ViewportPainter};
use crate::panels;
use crate::text;
use command::Command;
use engine::{Engine, Wake};
use files::Chooser;
use recovery::Recovery;

/// The workbench.
pub struct App {
    state: State,
    bench: Bench,
    queue: Queue,
    engine: Engine,
    chooser: Chooser,
    wake: Wake,
    live: placing::Live,
    live_bore: bores::LiveBore,
    pause: advice::Pause,
    earlier: compare::Earlier,
    outlines: Arc<Vec<Vec<Point>>>,
    recovery: Recovery,
    after_saving: Option<state::Next>,
    /// Counts the projects that were opened in this window.
    project: u64,
    may_close: bool,
    title_shown: String,
    last_look: Option<Recipe>,
    /// The file whose stated unit was taken, by its SHA-256.
    unit_taken_of: Option<String>,
    /// What the open file is called in the list of recent files.
    recent_path: Option<PathBuf>,
    /// The figures that were noted of it.
    recent_figures: Option<Recent>,
    begun: bool,
    habits: habits::Kept,
    frame_times: frame_times::FrameTimes,
}

impl std::fmt::Debug for App {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("App").field("state", &self.state).finish_non_exhaustive()
    }
}

/// How often the progress of long work is looked at.
const PROGRESS_EVERY: Duration = Duration::from_millis(100);

impl App {
    /// A workbench with an empty project, drawn by `painter`.
    pub fn new(ctx: &egui::Context, painter: Box<dyn ViewportPainter>, settings: Settings) -> App {
        style::apply(ctx);
        let for_workers = ctx.clone();
        let wake: Wake = Arc::new(move || for_workers.request_repaint());
        let mut state = State::new(Document::new(Recipe::new(text::files::UNNAMED)));
        state.beds.kept_in = settings.own_beds;
        if let Some(report) = settings.reports.as_deref().and_then(crash::untold) {
            let words = text::crash::lies_in(&crash::tell(&report));
            state.messages.told(text::crash::last_time(&words));
        }
        (state.start.kept_in, state.start.demo_folders) = (settings.recent, settings.demo_folders);
        let mut app = App {
            state,
            bench: Bench::new(painter),
            queue: Queue::default(),
            engine: Engine::new(wake.clone()),
            chooser: if settings.system_dialogs { Chooser::default() } else { Chooser::own_only() },
            wake,
            live: placing::Live::default(),
            live_bore: bores::LiveBore::default(),
            pause: advice::Pause::default(),
            earlier: compare::Earlier::default(),
            outlines: Arc::default(),
            recovery: Recovery::new(settings.spare_folder),
            after_saving: None,
            project: 0,
            may_close: false,
            title_shown: String::new(),
            last_look: None,
            unit_taken_of: None,
            recent_path: None,
            recent_figures: None,
            begun: false,
            habits: habits::Kept::default(),
            frame_times: frame_times::FrameTimes::default(),
        };
        app.take_up_habits(settings.habits, ctx);
        app
    }

    /// Asks for something, as a panel would.
    pub fn ask(&mut self, action: Action) {
        self.queue.push(action);
    }

    /// What is shown.
    pub fn state(&self) -> &State {
        &self.state
    }

    /// Where the bench is looked at from.
    pub fn camera(&self) -> Camera {
        self.bench.camera()
    }

    /// The handle of the cut in hand that is dragged, or was last; where its number stands, and the place that a tilt turns
    /// about.
    pub fn handle_in_hand(&self) -> Option<(crate::bench::Handle, egui::Pos2, Point)> {
        self.bench.handle_in_hand()
    }

    /// Whether workers are busy, or something waits to be applied.
    pub fn is_busy(&self) -> bool {
        self.engine.is_busy() || (self.state.is_out_of_date() && !self.state.stopped)
    }

    /// One frame: everything in the window.
    pub fn show(&mut self, ui: &mut Ui) {
        let (ctx, begun) = (ui.ctx().clone(), now());
        // Whoever opens a file has that in mind; what is left behind waits for a start without one.
        if !std::mem::replace(&mut self.begun, true) && self.queue.is_empty() {
            self.offer_spare_recovery();
        }
        self.collect_results();
        self.note_drops_and_closing(&ctx);
        self.begin_typing(&ctx);
        let was_typing = ctx.text_edit_focused();
        self.show_panels(ui);
        let was_asking = self.chooser.is_asking();
        match self.chooser.show(&ctx) {
            Some(choice) => self.chosen(choice),
            // No file, no saving, and so no going on after it.
            None if was_asking && !self.chooser.is_asking() => self.after_saving = None,
            None => {}
        }
        if self.state.question.is_none() && !self.chooser.is_asking() {
            let held = Command::CompareBefore;
            for command in command::pressed(&ctx, was_typing).into_iter().filter(|command| *command != held) {
                self.queue.push(Action::Run(command));
            }
        }
        let actions = self.queue.take();
        if !actions.is_empty() {
            // What they change is shown in the next frame.
            ctx.request_repaint();
        }
        for action in actions {
            self.apply(action, &ctx);
        }
        self.keep_going(&ctx);
        self.frame_times.note(begun, begun.elapsed());
        self.frame_times.show(&ctx);
    }

    /// Gives back what belongs to the graphics library. Call it while the window is still there.
    pub fn shutdown(&mut self) {
        self.engine.stop();
        self.bench.shutdown();
        // Ended from outside: unsaved work was neither saved nor given up.
        if !self.may_close {
            self.recovery.autosave_now(&mut self.state);
        }
    }

    fn show_panels(&mut self, ui: &mut Ui) {
        let App { state, queue, bench, outlines, .. } = self;
        panels::header(ui, state, queue);
        panels::ledger(ui, state, queue);
        panels::notes(ui, state, queue);
        panels::job_card(ui, state, queue);
        egui::CentralPanel::no_frame().show(ui, |ui| {
            let rect = ui.available_rect_before_wrap();
            let style = BenchStyle::of(ui.visuals());
            let earlier = state.compared.as_ref().and_then(|compared| scene::earlier(state, compared));
            let compares = earlier.is_some();
            let scene = earlier.unwrap_or_else(|| scene::build(state, outlines));
            let actions = bench.show(ui, &scene, scene::mode(state), &style);
            if actions.contains(&BenchAction::CameraMoved) && is_by_hand(ui) {
                queue.push(Action::FirstJob(JobAction::LookedAround));
            }
            // Nothing can be done to what is gone.
            if !compares {
                on_bench::translate(actions, state, queue);
            }
            bench.keep_clear_of(panels::bench_corner(ui, rect, state, queue));
        });
        panels::typed_number(ui.ctx(), state, queue);
        panels::at_hand(ui.ctx(), state, queue);
        panels::manual(ui.ctx(), state, queue);
        panels::start_sheet(ui.ctx(), state, queue);
        panels::commands(ui.ctx(), state, queue);
        panels::history(ui.ctx(), state, queue);
        panels::question(ui.ctx(), state, queue);
    }
}

/// Whether the hand is at work: on the mouse, the wheel, or the keys.
fn is_by_hand(ui: &Ui) -> bool {
    ui.input(|i| i.pointer.any_down() || i.smooth_scroll_delta().y != 0.0 || !i.keys_down.is_empty())
}

/// When a file was last written.
fn modified(path: &std::path::Path) -> Option<SystemTime> {
    path.metadata().ok()?.modified().ok()
}

/// Now, for everything that happens every so often.
fn now() -> Instant {
    Instant::now()
}

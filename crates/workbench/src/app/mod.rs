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
pub mod frame_times;
pub mod free_place;
pub mod glance;
mod guide;
pub mod habits;
pub mod kit_found;
mod lane;
pub(crate) mod leaders;
pub mod manual;
pub mod measuring;
mod messages;
mod open;
pub mod outline;
mod path_dialog;
pub mod pictures;
pub mod placing;
mod pointing;
pub mod quantity;
mod recovery;
mod save;
mod scene;
pub mod sets;
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
use seamwright_project::{Document, Edit, Recipe, Size};

pub use action::{Action, Queue};
pub use beds::BedAction;
pub use bores::BoreAction;
pub use engine::{CapFacts, Failure, Note, Outcome, Piece, PieceFacts, PlacedSide, Stage, Stock, Weight};
pub use files::Purpose;
pub use first_job::JobAction;
pub use manual::ManualAction;
pub use sets::SetAction;
pub use start::StartAction;
pub use state::State;

/// Numbers and times in the maker's words.
pub use crate::text::numbers as words;

use crate::bench::{Bench, BenchAction, BenchStyle, Camera, StandardView, ViewportPainter};
use crate::panels;
use crate::text;
use command::Command;
use engine::{Engine, Ready, Wake};
use files::Chooser;
use messages::About;
use recovery::Recovery;

/// What the surroundings decide.
#[derive(Clone, Debug)]
pub struct Settings {
    /// Where unsaved work that has no file yet is kept.
    pub spare_folder: PathBuf,
    /// Where the maker's own list of beds is kept; `None` where there is no folder for settings.
    pub own_beds: Option<PathBuf>,
    /// Where the list of files that were open lately is kept; `None` where there is no folder for settings.
    pub recent: Option<PathBuf>,
    /// Where it is kept how the maker likes the window; `None` where there is no folder for settings.
    pub habits: Option<PathBuf>,
    /// The folders that demos are looked for in, the first that has any.
    pub demo_folders: Vec<PathBuf>,
    /// Where reports of what broke are kept; `None` where there is no folder for settings.
    pub reports: Option<PathBuf>,
    /// Whether the system's file dialogs are asked for first.
    pub system_dialogs: bool,
}

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

/// Work that takes less than this is not worth a word.
const LONG_WORK: Duration = Duration::from_millis(250);
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
        self.state.reserve_notes();
        self.note_drops_and_closing(&ctx);
        self.begin_typing(&ctx);
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
            for command in command::pressed(&ctx).into_iter().filter(|command| *command != held) {
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
                placing::translate(actions, state, queue);
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

    fn collect_results(&mut self) {
        if let Some(report) = crash::take_fresh() {
            self.state.messages.told(text::crash::lies_in(&crash::tell(&report)));
        }
        for ready in self.engine.poll() {
            match ready {
                Ready::Outcome(outcome, bodies) => {
                    self.state.stopped = false;
                    self.show_failure(&outcome);
                    self.take_stated_unit(&outcome);
                    let bodies_before = std::mem::replace(&mut self.state.bodies, bodies);
                    self.note_figures(&outcome);
                    let before = self.state.outcome.replace(Arc::new(*outcome));
                    if let Some(before) = before {
                        self.earlier.keep(before, bodies_before);
                    }
                }
                Ready::Stopped => {
                    self.state.stopped = true;
                    self.engine.forget();
                }
                Ready::PlacingStopped => self.state.placing_stopped = true,
                Ready::Resting(rest) => self.state.at_rest = self.live.takes_rest().then_some(rest),
                Ready::Exact(prepared, plane, sides) if self.live.asked.takes_exact(prepared, &plane) => {
                    self.state.found.exact = Some(sides);
                }
                Ready::Exact(..) => {}
                Ready::Stretch(key, stretch) => self.live.asked.take_stretch(key, stretch),
                Ready::ExactStretch(key, stretch) => self.live.asked.take_exact_stretch(key, stretch),
                Ready::Placing(cut, placing) => self.live.take(cut, placing, &mut self.state.messages),
                Ready::Place(place) => self.state.advice.place = Some(*place),
                Ready::Advice(advice) => self.state.advice.notes = Some(*advice),
                Ready::Stepped(asked, found) => self.take_steps(*asked, found.map(|found| *found)),
                Ready::Boring(bore, boring) => self.live_bore.take(bore, boring, &mut self.state.messages),
                Ready::BorePlaced { asked, edit, gain } if *asked == *self.state.recipe() => {
                    self.bore_placed(edit, gain);
                }
                Ready::BorePlaced { .. } => {
                    self.state.messages.error(text::bores::CHANGED_MEANWHILE);
                }
                Ready::Details(part, details) => self.state.details.take(part, details),
                Ready::Girths(lines) => self.state.tapes.take(lines),
                Ready::Sketched(plane, lines) => self.take_sketch(plane, lines),
                Ready::MeasureTaken(project, part, what) if project == self.project => self.measured(part, what),
                Ready::MeasureTaken(..) => {}
                // The project it was for may have been left meanwhile.
                Ready::Measured(project, edit) if project == self.project => {
                    self.queue.push(Action::StockMeasured(edit));
                }
                Ready::Measured(..) => {}
                Ready::NotRead(project, why) if project == self.project => self.not_opened(why),
                Ready::NotRead(..) => {}
                Ready::Looked(looked) => (self.state.looked, self.state.shown_finding) = (Some(*looked), None),
                Ready::Earlier(found) => self.take_earlier(found.map(|found| *found)),
                Ready::Start(found) => self.take_start(*found),
                Ready::Inside(inside) => self.state.inside = Some(*inside),
                Ready::Kit(kit) => {
                    self.state
                        .messages
                        .done_about(About::Kit, text::kit::written_to(kit.pieces, &kit.folder, kit.left.len()));
                    self.note_kit(&kit.folder);
                    self.state.kit = Some(*kit);
                }
                Ready::KitInTheWay(folder, why) => {
                    self.state.question = Some(state::Question::ReplaceKit { folder, why });
                }
                Ready::Trouble(text) => self.state.messages.error(text),
            }
        }
    }

    /// A file that states its unit is read in that, once, as an edit that can be undone.
    fn take_stated_unit(&mut self, outcome: &Outcome) {
        let (Some(stock), Some(source)) = (&outcome.stock, &outcome.recipe.stock) else { return };
        if self.unit_taken_of.as_ref() == Some(&source.sha256) {
            return;
        }
        self.unit_taken_of = Some(source.sha256.clone());
        let size = outcome.recipe.size;
        if let Some(unit) = stock.stated_unit.filter(|unit| *unit != size.unit && size == Size::default()) {
            self.state.messages.done(text::size::file_says(panels::unit_words(unit)));
            self.queue.push(Action::Edit(Edit::SetSize(Size { unit, ..size })));
        }
    }

    /// What is in the way is said where it can be mended: the line opens by itself, once.
    fn show_failure(&mut self, outcome: &Outcome) {
        let before = self.state.outcome.as_ref().and_then(|o| o.failure.as_ref());
        if let Some(failure) = &outcome.failure
            && before != Some(failure)
        {
            self.state.open_line = Some(panels::line_of(failure.stage));
        }
    }

    fn note_drops_and_closing(&mut self, ctx: &egui::Context) {
        for file in ctx.input(|i| i.raw.dropped_files.clone()) {
            self.queue.push(Action::OpenAny(file.path().to_path_buf()));
        }
        let closing = ctx.input(|i| i.viewport().close_requested());
        if closing && !self.may_close && self.state.document.is_unsaved() {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.state.question = Some(state::Question::Unsaved(state::Next::Close));
        }
    }

    /// What follows from the state as it is after all actions.
    fn keep_going(&mut self, ctx: &egui::Context) {
        crash::remember(self.state.document.recipe());
        let folder = self.state.document.folder();
        if !self.state.stopped {
            self.engine.evaluate(self.state.document.recipe(), &folder);
        }
        self.update_live(&folder, ctx);
        self.update_live_bore(&folder);
        self.update_typing();
        self.update_details();
        self.update_sketch();
        self.update_tapes();
        self.read_own_beds();
        self.update_stepping(&folder);
        self.update_compare(&folder, ctx);
        self.update_advice(ctx);
        self.update_start();
        self.update_first_job(ctx);
        self.frame_new_part();
        self.state.work = self.engine.work().map(|(stage, fraction, since)| {
            ctx.request_repaint_after(PROGRESS_EVERY);
            state::Work { stage, fraction, is_long: since.elapsed() > LONG_WORK }
        });
        self.keep_habits(ctx);
        if let Some(left) = self.state.messages.fade() {
            ctx.request_repaint_after(left);
        }
        self.recovery.autosave_when_due(&mut self.state, ctx);
        self.show_title(ctx);
    }

    /// Another model, or the same at another size, comes into the picture by itself.
    fn frame_new_part(&mut self) {
        let Some(outcome) = &self.state.outcome else { return };
        let look = |recipe: &Recipe| (recipe.stock.clone(), recipe.beside.clone(), recipe.size, recipe.stance);
        if self.last_look.as_ref().is_some_and(|last| look(last) == look(&outcome.recipe)) {
            return;
        }
        let Some(bounds) = self.state.part_bounds() else { return };
        let another = self.last_look.replace(outcome.recipe.clone()).is_none();
        if another {
            // Another project is looked at afresh, and at once: there is nothing to come from.
            let glides = std::mem::replace(&mut self.bench.reduce_motion, true);
            self.bench.look_at_from(&bounds, StandardView::ThreeQuarter);
            self.bench.reduce_motion = glides;
        } else {
            self.bench.frame(&bounds);
        }
    }

    fn show_title(&mut self, ctx: &egui::Context) {
        let title = text::header::window(self.state.document.is_unsaved(), &self.state.recipe().name);
        if title != self.title_shown {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title_shown = title;
        }
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

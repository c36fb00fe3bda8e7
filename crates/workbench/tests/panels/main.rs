//! The window's panels, driven by the names that screen readers read, with no display and no GL.

mod advice;
mod at_hand;
mod beds;
mod bores;
mod cut_card;
mod details;
mod first_sight;
mod habits;
mod job_card;
mod keyboard;
mod kit;
mod ledger;
mod long_names;
mod looking;
mod measures;
mod mending;
mod outline;
mod picks;
mod room;
mod sets;
mod standing;
mod start;
mod stepping;
mod typing;
mod unopened;

use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use seamwright::app::{Action, App, Settings};
use seamwright::bench::NoPaint;
use seamwright_geometry::exchange::{Format, Overwrite, Piece, Unit, write, write_stl};
use seamwright_geometry::{Bed, Mesh, Point, solids};
use seamwright_project::{Axis, CutForm, Edit, Line, PartId, Recipe, Scope, SizedBy, store};

/// A window with the panels in it, and a folder of its own.
struct Bench {
    harness: Harness<'static, App>,
    folder: tempfile::TempDir,
}

impl Bench {
    fn new() -> Bench {
        Bench::in_folder(tempfile::tempdir().unwrap())
    }

    fn in_folder(folder: tempfile::TempDir) -> Bench {
        Bench::with_demos_in(folder, Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects"))
    }

    fn with_demos_in(folder: tempfile::TempDir, demos: PathBuf) -> Bench {
        let own_beds = Some(folder.path().join("beds.json"));
        let settings = Settings {
            spare_folder: folder.path().join("spare"),
            own_beds,
            recent: Some(folder.path().join("recent.json")),
            habits: Some(folder.path().join("habits.json")),
            demo_folders: vec![demos],
            reports: Some(folder.path().join("reports")),
            system_dialogs: false,
        };
        let ctx_app = |ctx: &egui::Context| App::new(ctx, Box::new(NoPaint), settings.clone());
        let app = ctx_app(&egui::Context::default());
        let harness = Harness::builder()
            .with_size([1280.0, 800.0])
            .with_context_setup(seamwright::app::style::apply)
            .build_ui_state(|ui, app: &mut App| app.show(ui), app);
        Bench { harness, folder }
    }

    /// One with a hollow box of 300 × 200 × 180 mm and a ball beside it: two shells that matter, three in all.
    fn with_model() -> Bench {
        let mut bench = Bench::new();
        let file = bench.model("casket.stl");
        bench.ask(Action::OpenAny(file));
        bench.settle();
        bench
    }

    fn model(&self, name: &str) -> PathBuf {
        let file = self.folder.path().join(name);
        write_stl(&file, &casket(), "casket", Overwrite::Refuse).unwrap();
        file
    }

    fn ask(&mut self, action: Action) {
        self.harness.state_mut().ask(action);
        self.settle();
    }

    /// Goes on until nothing is left to do.
    fn settle(&mut self) {
        let until = Instant::now() + Duration::from_secs(60);
        self.harness.step();
        self.harness.step();
        while self.harness.state().is_busy() {
            assert!(Instant::now() < until, "the work does not end");
            std::thread::sleep(Duration::from_millis(2));
            self.harness.step();
        }
        self.harness.step();
        self.harness.step();
    }

    /// Goes on until this holds of the window's state: for work that nobody waits for.
    fn until(&mut self, what: &str, holds: impl Fn(&seamwright::app::State) -> bool) {
        let end = Instant::now() + Duration::from_secs(30);
        while !holds(self.harness.state().state()) {
            assert!(Instant::now() < end, "{what} never came");
            std::thread::sleep(Duration::from_millis(5));
            self.harness.step();
        }
        self.harness.step();
    }

    /// Goes on until this is written somewhere: what the pointer rests on tells after a while.
    fn until_seen(&mut self, words: &str) {
        let end = Instant::now() + Duration::from_secs(30);
        while !self.sees(words) {
            assert!(Instant::now() < end, "{words} never came");
            std::thread::sleep(Duration::from_millis(5));
            self.harness.step();
        }
    }

    fn click(&mut self, label: &str) {
        self.harness.get_by_label(label).scroll_to_me();
        self.settle();
        self.harness.get_by_label(label).click();
        self.settle();
    }

    fn open_line(&mut self, starts: &str) {
        // A card that was brought into view may have scrolled it away.
        for scroll in [true, false] {
            let line = self.harness.get_by(|node| {
                node.role() == Role::Button && node.label().is_some_and(|label| label.starts_with(starts))
            });
            if scroll {
                line.scroll_to_me()
            } else {
                line.click()
            }
            self.settle();
        }
    }

    /// Clicks the bench this far from its middle, in points.
    fn click_bench(&mut self, offset: [f32; 2]) {
        let at = self.harness.get_by_label(seamwright::bench::ACCESSIBLE_NAME).rect().center() + offset.into();
        self.harness.hover_at(at);
        self.settle();
        self.harness.drag_at(at);
        self.harness.drop_at(at);
        self.settle();
    }

    fn drop_file(&mut self, file: &Path) {
        self.harness.input_mut().dropped_files.push(std::sync::Arc::new(Dropped(file.into())));
        self.settle();
    }

    fn press(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.settle();
    }

    /// Adds a cut by number, and leaves it where it comes.
    fn new_cut(&mut self) {
        self.press(Modifiers::NONE, Key::N);
        self.press(Modifiers::NONE, Key::Enter);
    }

    /// Types into the field with this name, and presses Enter.
    fn type_into(&mut self, field: &str, text: &str) {
        self.harness.get_by_role_and_label(Role::TextInput, field).scroll_to_me();
        self.settle();
        self.harness.get_by_role_and_label(Role::TextInput, field).click();
        self.settle();
        self.type_and_enter(text);
    }

    /// Types into the field that has the focus, and presses Enter.
    fn type_and_enter(&mut self, text: &str) {
        self.harness.event(egui::Event::Text(text.into()));
        self.settle();
        self.press(Modifiers::NONE, Key::Enter);
    }

    fn value(&self, field: &str) -> String {
        self.harness.get_by_role_and_label(Role::TextInput, field).value().unwrap_or_default()
    }

    fn sees(&self, words: &str) -> bool {
        let said = |text: Option<String>| text.is_some_and(|text| text.contains(words));
        self.harness.query_all_by(|node| said(node.label()) || said(node.value())).next().is_some()
    }

    /// Everything that is written and holds these words.
    fn texts(&self, words: &str) -> Vec<String> {
        let held = |text: Option<String>| text.filter(|text| text.contains(words));
        let found = self.harness.query_all_by(|node| held(node.label()).or(held(node.value())).is_some());
        let told = |node| {
            let node = egui_kittest::kittest::NodeT::accesskit_node(&node);
            held(node.label()).or(held(node.value()))
        };
        found.filter_map(told).collect()
    }

    fn recipe(&self) -> &Recipe {
        self.harness.state().state().recipe()
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

fn casket() -> Mesh {
    let outer = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(300.0, 200.0, 180.0));
    let inner = solids::cuboid(Point::new(4.0, 4.0, 4.0), Point::new(296.0, 196.0, 176.0));
    let ball = solids::sphere(Point::new(150.0, 260.0, 30.0), 30.0, 6);
    solids::joined(&[&solids::hollow(&outer, &inner), &ball])
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

#[test]
fn a_model_becomes_a_project_named_after_its_file() {
    let bench = Bench::with_model();
    assert_eq!(bench.recipe().name, "casket");
    assert_eq!(bench.recipe().stock.as_ref().unwrap().sha256.len(), 64);
    assert!(bench.sees("1 Stock: casket.stl"));
    assert!(bench.sees("3 Shells: 3, kept"));
    assert!(bench.sees("A1"));
}

#[test]
fn a_cut_is_placed_by_number_undone_redone_saved_and_opened_again() {
    let mut bench = Bench::with_model();
    bench.open_line("5 Cuts");
    bench.click("number");
    bench.type_and_enter("=409.5/2");
    bench.type_into("tilt about Y", "12.5");
    let cut = &bench.recipe().cuts[0];
    assert_eq!((cut.plane.offset_mm(), cut.plane.axis.name()), (204.75, "X"));
    assert_eq!(cut.plane.tilt_deg, [12.5, 0.0]);
    assert!(bench.harness.state().state().pieces().len() > 2, "the box and the ball are parted");
    assert!(bench.sees("undo \"tilt cut 1 by 12.5°\""));

    let whole = bench.recipe().clone();
    for _ in 0..3 {
        bench.press(CTRL, Key::Z);
    }
    assert!(bench.recipe().cuts.is_empty());
    for _ in 0..3 {
        bench.press(CTRL_SHIFT, Key::Z);
    }
    assert_eq!(*bench.recipe(), whole);

    let file = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, bench.path("casket")));
    assert_eq!(store::open(&file).unwrap(), *bench.recipe());
    assert!(bench.sees("saved just now"));

    let saved = bench.recipe().clone();
    let mut again = Bench::new();
    again.ask(Action::OpenAny(file));
    assert_eq!(*again.recipe(), saved);
    assert!(again.harness.state().state().pieces().len() > 2);
}

#[test]
fn a_number_that_cannot_be_read_says_why_and_changes_nothing() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    let before = bench.recipe().clone();
    bench.type_into("offset", "12 apples");
    assert!(bench.sees("\"apples\" is no unit here; use mm, cm, m, in or ft"));
    assert_eq!(*bench.recipe(), before);
    // Mended, it goes through.
    bench.type_into("offset", "1/2 in");
    assert_eq!(bench.recipe().cuts[0].plane.offset_mm(), 12.7);
    assert!(!bench.sees("is no unit here"));
    assert_eq!(bench.value("offset"), "12.7 mm");
}

#[test]
fn a_dropped_shell_is_left_out_of_the_pieces() {
    let mut bench = Bench::with_model();
    let volume = |bench: &Bench| -> f64 {
        bench.harness.state().state().pieces().iter().map(|piece| piece.facts.volume_mm3).sum()
    };
    let before = volume(&bench);
    bench.open_line("3 Shells");
    choose(&mut bench, "shell 3 is kept", "dropped");
    assert!(bench.sees("3 Shells: 2 of 3 kept"));
    let ball = solids::sphere(Point::origin(), 30.0, 6).volume_mm3();
    assert!((before - volume(&bench) - ball).abs() < 1.0);
}

#[test]
fn a_cavity_goes_with_its_solid_unless_it_is_told_otherwise() {
    let mut bench = Bench::with_model();
    bench.open_line("3 Shells");
    assert!(bench.sees("cavity of 1"));
    choose(&mut bench, "shell 1 is kept", "dropped");
    assert_eq!(bench.recipe().dropped_shells, [0, 1].into());
    choose(&mut bench, "shell 1 is dropped", "set aside");
    assert_eq!(bench.recipe().loose[0].shells, [0, 1].into());
    choose(&mut bench, "shell 1 is loose part 1", "kept");
    assert!(bench.recipe().loose.is_empty() && bench.recipe().dropped_shells.is_empty());
    // Dropped by itself, it stays so: the box is to be solid.
    choose(&mut bench, "shell 2 is kept", "dropped");
    choose(&mut bench, "shell 1 is kept", "set aside");
    assert_eq!(bench.recipe().dropped_shells, [1].into());
    assert_eq!(bench.recipe().loose[0].shells, [0].into());
}

/// A plate of 40 × 40 × 10 mm and a rod of 6 × 6 mm through it.
fn crossing(bench: &Bench) -> PathBuf {
    let plate = solids::cuboid(Point::new(0.0, 0.0, 0.0), Point::new(40.0, 40.0, 10.0));
    let rod = solids::cuboid(Point::new(17.0, 17.0, -20.0), Point::new(23.0, 23.0, 30.0));
    let file = bench.path("crossing.stl");
    write_stl(&file, &solids::joined(&[&plate, &rod]), "crossing", Overwrite::Refuse).unwrap();
    file
}

#[test]
fn a_crossing_that_was_found_is_relieved_and_its_gap_typed() {
    let mut bench = Bench::new();
    let file = crossing(&bench);
    bench.ask(Action::OpenAny(file));
    bench.click("look closely");
    assert!(bench.sees("Printed apart they would not go back together"));
    bench.click("cut shell 2 out of shell 1");
    assert_eq!((bench.recipe().reliefs[0].shell, bench.recipe().reliefs[0].by), (0, 1));
    bench.open_line("3 Shells");
    assert!(bench.sees("435.6 mm³ taken away, they crossed, 0.30 mm now"), "a hole of 6.6 mm through 10 mm");
    bench.type_into("clearance", "0.5");
    assert_eq!(bench.recipe().reliefs[0].clearance_mm, 0.5);
    assert!(bench.sees("490.0 mm³ taken away"));
    bench.type_into("clearance", "-1");
    assert_eq!(bench.recipe().reliefs[0].clearance_mm, 0.5);
    bench.click("shell 1 makes room for shell 2");
    assert!(!bench.recipe().reliefs[0].enabled);
    bench.click("take away");
    assert!(bench.recipe().reliefs.is_empty());
}

#[test]
fn the_shell_that_is_lit_up_makes_room_for_a_chosen_one() {
    let mut bench = Bench::new();
    let file = crossing(&bench);
    bench.ask(Action::OpenAny(file));
    bench.open_line("3 Shells");
    bench.click("shell 2");
    choose(&mut bench, "shell 2 makes room", "for shell 1");
    assert_eq!((bench.recipe().reliefs[0].shell, bench.recipe().reliefs[0].by), (1, 0));
    assert!(bench.sees("it falls into 2 bodies"));
}

#[test]
fn shells_that_are_too_many_to_list_are_said_with_what_becomes_of_them() {
    let mut bench = Bench::new();
    let cubes: Vec<Mesh> = (0..62)
        .map(|i| {
            let x = 20.0 * f64::from(i);
            solids::cuboid(Point::new(x, 0.0, 0.0), Point::new(x + 10.0, 10.0, 10.0))
        })
        .collect();
    let file = bench.path("beads.stl");
    write_stl(&file, &solids::joined(&cubes.iter().collect::<Vec<_>>()), "beads", Overwrite::Refuse).unwrap();
    bench.ask(Action::OpenAny(file));
    bench.open_line("3 Shells");
    assert!(bench.sees("and 2 smaller ones, kept"));
    let drop = |shell: u32| Action::Edit(Edit::SetShellKept { shell, kept: false });
    bench.ask(drop(61));
    assert!(bench.sees("and 2 smaller ones: 1 kept, 1 dropped"));
    bench.ask(drop(60));
    assert!(bench.sees("and 2 smaller ones, dropped"));
}

#[test]
fn a_part_of_no_costume_shows_none_until_one_is_named() {
    let mut bench = Bench::with_model();
    let field = |bench: &Bench| bench.harness.query_by_role_and_label(Role::TextInput, "name of the costume").is_some();
    assert!(!field(&bench), "nothing stands where no costume was named");
    bench.click("name a costume");
    assert!(field(&bench));
    bench.press(Modifiers::NONE, Key::Escape);
    assert!(!field(&bench) && bench.recipe().costume.is_empty());
    bench.click("name a costume");
    bench.type_and_enter("The Saltgate Sentinel");
    assert_eq!(bench.recipe().costume, "The Saltgate Sentinel");
    assert_eq!(bench.value("name of the costume"), "The Saltgate Sentinel");
    assert!(!bench.sees("name a costume"));
    bench.press(CTRL, Key::Z);
    assert!(!field(&bench) && bench.sees("name a costume"));
}

/// A file without an end, which only stopping ends.
#[cfg(unix)]
#[test]
fn reading_a_file_is_shown_and_stops() {
    let mut bench = Bench::new();
    let before = bench.recipe().clone();
    let endless = bench.path("endless.stl");
    std::os::unix::fs::symlink("/dev/zero", &endless).unwrap();
    bench.harness.state_mut().ask(Action::Chosen(seamwright::app::Purpose::OpenStock, endless));
    let until = Instant::now() + Duration::from_secs(20);
    while !bench.sees("reading the file") {
        assert!(Instant::now() < until, "long work is not shown");
        bench.harness.step();
    }
    bench.harness.get_by_label("stop").click();
    bench.settle();
    assert!(bench.sees("reading the file was stopped"));
    assert_eq!(*bench.recipe(), before);
}

#[test]
fn the_bed_decides_what_fits() {
    let mut bench = Bench::with_model();
    assert!(bench.sees("7 Lays: 1 of 2 fit"), "300 mm are too long for 220");
    bench.open_line("7 Lays");
    bench.type_into("bed width", "12.5 in");
    assert_eq!(bench.recipe().bed.room_mm()[0], 317.5 - 4.0);
    assert!(bench.sees("7 Lays: all 2 fit"));
    bench.type_into("bed width", "0");
    assert!(bench.sees("bed width must be more than 0"), "an impossible bed is refused with its reason");
    assert_eq!(bench.recipe().bed.room_mm()[0], 317.5 - 4.0);
}

#[test]
fn a_stock_that_is_gone_is_said_and_mended_by_pointing_at_it() {
    let mut bench = Bench::with_model();
    let file = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, file.clone()));
    let elsewhere = bench.path("moved.stl");
    std::fs::rename(bench.path("casket.stl"), &elsewhere).unwrap();

    let mut again = Bench::new();
    again.ask(Action::OpenAny(file));
    assert!(again.sees("1 Stock: not found"), "its line opens by itself");
    assert!(again.sees("point at its new place"));
    again.ask(Action::Chosen(seamwright::app::Purpose::RelocateStock, elsewhere));
    assert!(again.sees("1 Stock: moved.stl"));
    assert_eq!(again.harness.state().state().pieces().len(), 2);
}

#[test]
fn a_cut_can_be_limited_switched_moved_and_removed() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.new_cut();
    bench.click("Z");
    let names = |bench: &Bench| bench.recipe().cuts.iter().map(|cut| cut.name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&bench), ["cut 1", "cut 2"]);
    bench.click("earlier");
    assert_eq!(names(&bench), ["cut 2", "cut 1"]);
    bench.click("only some");
    assert!(matches!(bench.recipe().cuts[0].scope, Scope::Pieces(_)));
    bench.press(Modifiers::NONE, Key::O);
    assert!(!bench.recipe().cuts[0].enabled);
    bench.type_into("name", "brow");
    assert_eq!(names(&bench), ["brow", "cut 1"]);
    bench.press(Modifiers::NONE, Key::Delete);
    assert_eq!(names(&bench), ["cut 1"]);
}

#[test]
fn notes_lead_to_what_they_are_about() {
    let mut bench = Bench::with_model();
    let before = bench.harness.state().camera();
    assert!(bench.sees("A1 is too big"));
    bench.click("show");
    assert_ne!(bench.harness.state().camera(), before);
}

#[test]
fn leaving_unsaved_work_asks_first() {
    let mut bench = Bench::with_model();
    bench.press(CTRL, Key::N);
    assert!(bench.sees("There are changes of casket that are not saved."));
    bench.click("stay");
    assert_eq!(bench.recipe().name, "casket");
    bench.press(CTRL, Key::N);
    bench.click("go on without saving");
    assert!(bench.recipe().stock.is_none());
}

#[test]
fn unsaved_work_of_a_run_that_ended_is_offered_again() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    let lost = bench.recipe().clone();
    // What a run of another process, which is over, would have left.
    let spare = bench.path("spare");
    std::fs::create_dir_all(&spare).unwrap();
    let mut left = lost.clone();
    left.stock.as_mut().unwrap().path = "../casket.stl".into();
    store::autosave(&spare.join("unsaved-4294967295.seamwright.json"), &left).unwrap();
    let Bench { folder, harness } = bench;
    drop(harness);

    let mut again = Bench::in_folder(folder);
    again.settle();
    assert!(again.sees("Recover unsaved work?"));
    again.click("recover it");
    assert_eq!(again.recipe().cuts, lost.cuts);
    assert!(again.harness.state().state().document.is_unsaved());
    assert!(!again.harness.state().state().pieces().is_empty(), "the model is found from here too");
    assert!(!spare.join("unsaved-4294967295.seamwright.json.autosave").exists());
}

#[test]
fn the_kit_is_written_and_never_over_another_without_leave() {
    let mut bench = Bench::with_model();
    let folder = bench.path("kit");
    bench.ask(Action::WriteKit { folder: folder.clone(), replace: false });
    assert!(bench.sees("2 pieces written to"));
    let manifest = |folder: &Path| std::fs::read(folder.join("manifest.json")).unwrap();
    std::fs::write(folder.join("manifest.json"), "mine").unwrap();
    bench.ask(Action::WriteKit { folder: folder.clone(), replace: false });
    assert!(bench.sees("Write over an earlier kit?"));
    bench.click("keep them");
    assert_eq!(manifest(&folder), b"mine");
    assert!(bench.sees("Choose a folder for the kit"), "another may do");
    bench.click("cancel");
    bench.ask(Action::WriteKit { folder: folder.clone(), replace: false });
    bench.click("replace those files");
    assert_ne!(manifest(&folder), b"mine");
}

#[test]
fn commands_are_found_by_a_few_letters() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::F3);
    bench.harness.event(egui::Event::Text("by num".into()));
    bench.settle();
    bench.press(Modifiers::NONE, Key::Enter);
    assert_eq!(bench.recipe().cuts.len(), 1);
}

#[test]
fn the_ledger_is_sorted_by_its_headings() {
    let mut bench = Bench::with_model();
    bench.click("slack mm");
    let first = |bench: &Bench, mark: &str| bench.harness.get_by_label(mark).rect().top();
    assert!(first(&bench, "A1") < first(&bench, "A2"), "least slack first");
    bench.click("slack mm");
    assert!(first(&bench, "A1") > first(&bench, "A2"));
}

#[test]
fn the_strip_of_notes_lies_between_bench_and_ledger() {
    let bench = Bench::with_model();
    let show = bench.harness.get_by_label("show").rect();
    let ledger = bench.harness.get_by_label("slack mm").rect();
    let view = bench.harness.get_by_label(seamwright::bench::ACCESSIBLE_NAME).rect();
    assert!(view.bottom() <= show.top() && show.bottom() <= ledger.top());
}

#[test]
fn a_click_on_the_bench_places_a_cut_across_the_model() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::S);
    bench.click_bench([0.0, 0.0]);
    let cut = &bench.recipe().cuts[0];
    assert_eq!(bench.harness.state().state().cut_in_hand(), Some(cut.id));
    assert!(bench.harness.state().state().pieces().len() > 2);
}

#[test]
fn picked_points_make_a_cut_and_say_how_near_it_goes() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::P);
    for at in [[-60.0, 10.0], [60.0, 10.0]] {
        bench.click_bench(at);
    }
    assert!(bench.sees("2 points picked; one more makes a plane."));
    bench.click_bench([0.0, -60.0]);
    bench.click_bench([0.0, 40.0]);
    bench.click("cut by the best plane");
    assert_eq!(bench.recipe().cuts.len(), 1);
    assert!(bench.sees("mm of 4 points"));
}

#[test]
fn picked_points_make_a_cut_along_their_line() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::P);
    for at in [[-80.0, 10.0], [0.0, -20.0], [80.0, 10.0]] {
        bench.click_bench(at);
    }
    bench.click("cut along the line");
    let CutForm::Profile(profile) = &bench.recipe().cuts[0].form else { panic!("{:?}", bench.recipe().cuts[0]) };
    assert!(matches!(&profile.line, Line::Drawn { points_mm, smooth: false } if points_mm.len() == 3));
    assert!(bench.sees("3 points"));
    bench.click("smooth");
    let CutForm::Profile(profile) = &bench.recipe().cuts[0].form else { panic!() };
    assert!(matches!(&profile.line, Line::Drawn { smooth: true, .. }));
    assert!(bench.harness.state().state().pieces().len() > 3, "three shells, and some of them cut");
}

/// Chooses an entry of a combo box.
fn choose(bench: &mut Bench, combo: &str, entry: &str) {
    bench.harness.get_by_role_and_label(Role::ComboBox, combo).scroll_to_me();
    bench.settle();
    bench.harness.get_by_role_and_label(Role::ComboBox, combo).click();
    bench.settle();
    bench.harness.get_by_role_and_label(Role::Button, entry).click();
    bench.settle();
}

#[test]
fn a_cut_gets_teeth_and_a_kerf_on_its_card() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    choose(&mut bench, "form", "zigzag");
    let CutForm::Profile(profile) = &bench.recipe().cuts[0].form else { panic!("no profile") };
    assert!(matches!(profile.line, Line::Zigzag(_)));
    bench.type_into("height", "6");
    bench.type_into("kerf", "0.4");
    let CutForm::Profile(profile) = &bench.recipe().cuts[0].form else { panic!("no profile") };
    assert!(matches!(profile.line, Line::Zigzag(waves) if waves.height_mm == 6.0));
    assert_eq!(bench.recipe().cuts[0].kerf_mm, 0.4);
    assert!(bench.harness.state().state().pieces().iter().all(|piece| piece.facts.closed));
    bench.type_into("kerf", "99");
    assert!(bench.sees("a kerf is a width of 0 to 20 mm"));
    assert_eq!(bench.recipe().cuts[0].kerf_mm, 0.4);
}

#[test]
fn a_resting_cut_tells_its_thinnest_wall() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    let until = Instant::now() + Duration::from_secs(30);
    while !bench.sees("thinnest wall") {
        assert!(Instant::now() < until, "it is never told");
        std::thread::sleep(Duration::from_millis(20));
        bench.harness.step();
    }
}

/// A 3MF package that says it is in inches.
fn in_inches(folder: &Path) -> PathBuf {
    let (millimetres, inches) = (folder.join("mm.3mf"), folder.join("inches.3mf"));
    let piece = Piece { name: "casket", mesh: &casket(), colour: None };
    write(&millimetres, Format::ThreeMf, &[piece], Overwrite::Refuse).unwrap();
    let mut before = zip::ZipArchive::new(std::fs::File::open(millimetres).unwrap()).unwrap();
    let mut after = zip::ZipWriter::new(std::fs::File::create(&inches).unwrap());
    for i in 0..before.len() {
        let mut entry = before.by_index(i).unwrap();
        let mut text = String::new();
        entry.read_to_string(&mut text).unwrap();
        let name = entry.name().unwrap().into_owned();
        after.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        after.write_all(text.replace("unit=\"millimeter\"", "unit=\"inch\"").as_bytes()).unwrap();
    }
    after.finish().unwrap();
    inches
}

#[test]
fn a_file_that_states_its_unit_is_read_in_it_and_that_can_be_undone() {
    let mut bench = Bench::new();
    let file = in_inches(bench.folder.path());
    bench.ask(Action::OpenAny(file));
    bench.settle();
    assert_eq!(bench.recipe().size.unit, Unit::Inch);
    assert!(bench.harness.state().state().part_bounds().unwrap().size().x >= 300.0 * 25.4);
    assert!(bench.sees("The file says that it is in inches"));
    bench.press(CTRL, Key::Z);
    assert_eq!(bench.recipe().size.unit, Unit::Millimetre);
}

#[test]
fn a_model_is_sized_by_one_of_its_dimensions() {
    let mut bench = Bench::with_model();
    bench.open_line("2 Size");
    let before = bench.harness.state().state().part_bounds().unwrap().size();
    bench.type_into("height", "90");
    let after = bench.harness.state().state().part_bounds().unwrap().size();
    assert!((after.z - 90.0).abs() < 1e-9 && (after.x - before.x * 90.0 / before.z).abs() < 1e-9);
    assert_eq!(bench.recipe().sized_by, SizedBy::Dimension { axis: Axis::Z, mm: 90.0 });
}

#[test]
fn a_model_is_sized_by_two_points_whose_distance_is_known() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::D);
    for at in [[-80.0, 10.0], [80.0, 10.0]] {
        bench.click_bench(at);
    }
    let before = bench.recipe().size.factor;
    bench.type_into("true distance", "50");
    assert_ne!(bench.recipe().size.factor, before);
    assert_eq!(bench.recipe().sized_by, SizedBy::Distance { mm: 50.0 });
}

#[test]
fn a_model_stands_on_the_face_that_was_clicked() {
    let mut bench = Bench::with_model();
    bench.press(Modifiers::NONE, Key::B);
    assert!(bench.sees("Click the face that it is to stand on."));
    bench.click_bench([0.0, 0.0]);
    assert!(bench.recipe().stance.down.is_some());
    bench.click("stand as made");
    assert!(bench.recipe().stance.is_as_made());
}

#[test]
fn a_shell_is_set_aside_named_and_put_back() {
    let mut bench = Bench::with_model();
    bench.open_line("3 Shells");
    choose(&mut bench, "shell 3 is kept", "set aside");
    assert_eq!(bench.recipe().part_of_shell(2), Some(PartId(1)));
    assert!(bench.harness.state().state().pieces().iter().any(|piece| piece.mark == "B1"));
    bench.type_into("set aside:", "pommel");
    assert_eq!(bench.recipe().loose[0].name, "pommel");
    bench.click("put back");
    assert!(bench.recipe().loose.is_empty());
}

#[test]
fn a_dropped_project_opens_and_a_dropped_text_is_refused_by_name() {
    let mut bench = Bench::with_model();
    let file = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, file.clone()));
    let mut other = Bench::new();
    other.drop_file(&file);
    assert_eq!(other.recipe().name, "casket");
    let text = other.path("shopping.txt");
    std::fs::write(&text, "glue").unwrap();
    other.drop_file(&text);
    assert!(other.sees("shopping.txt is neither a project"));
}

#[test]
fn closing_with_unsaved_work_asks() {
    let mut bench = Bench::with_model();
    let root = bench.harness.input().viewport_id;
    let info = bench.harness.input_mut().viewports.entry(root).or_default();
    info.events.push(egui::ViewportEvent::Close);
    bench.settle();
    assert!(bench.sees("Save first?"));
}

#[test]
fn autosaved_changes_of_a_project_are_offered_when_it_is_opened() {
    let mut bench = Bench::with_model();
    let file = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, file.clone()));
    let mut changed = bench.recipe().clone();
    changed.name = "reliquary".into();
    store::autosave(&file, &changed).unwrap();
    let mut again = Bench::new();
    again.ask(Action::OpenAny(file));
    again.click("recover it");
    assert_eq!(again.recipe().name, "reliquary");
    again.press(CTRL, Key::Z);
    assert_eq!(again.recipe().name, "casket");
}

#[test]
fn a_damaged_project_is_refused_and_what_is_open_stays() {
    let mut bench = Bench::with_model();
    let file = bench.path("casket.seamwright.json");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, file));
    let damaged = bench.path("damaged.seamwright.json");
    std::fs::write(&damaged, "{\"format\": \"seamwright-project\", \"ver").unwrap();
    bench.ask(Action::OpenAny(damaged));
    assert!(bench.sees("damaged.seamwright.json cannot be opened"));
    assert_eq!(bench.recipe().name, "casket");
}

#[test]
fn files_are_chosen_in_the_built_in_dialog() {
    let mut bench = Bench::new();
    let file = bench.model("casket.stl");
    std::fs::create_dir(bench.path("inner")).unwrap();
    bench.press(CTRL, Key::O);
    assert!(bench.sees("Open a project or a model"));
    bench.type_into("folder", &bench.path("inner").display().to_string());
    assert!(!bench.sees("casket.stl"));
    bench.click("up");
    bench.type_into("file", "basket.stl");
    assert!(bench.sees("There is no file") && bench.sees("Open a project or a model"), "one may type it anew");
    bench.click("casket.stl");
    bench.click("open it");
    assert_eq!(bench.recipe().name, "casket");

    bench.press(CTRL, Key::S);
    bench.type_and_enter("reliquary");
    assert!(bench.harness.state().state().document.path().unwrap().ends_with("reliquary.seamwright.json"));
    // Over a project that is there already it asks.
    bench.press(CTRL_SHIFT, Key::S);
    std::fs::write(file.with_file_name("other.seamwright.json"), "mine").unwrap();
    bench.type_and_enter("other");
    assert!(bench.sees("Replace this file?"));
    bench.click("keep it");
    assert_eq!(std::fs::read_to_string(bench.path("other.seamwright.json")).unwrap(), "mine");
    assert_eq!(bench.value("file"), "other.seamwright.json", "one is asked for another name");
    bench.type_and_enter("a third");
    assert!(bench.path("a third.seamwright.json").exists());
}

#[test]
fn a_saving_that_was_given_up_is_not_remembered() {
    let mut bench = Bench::with_model();
    bench.press(CTRL, Key::N);
    bench.click("save first");
    bench.click("cancel");
    bench.ask(Action::Chosen(seamwright::app::Purpose::SaveAs, bench.path("casket")));
    assert_eq!(bench.recipe().name, "casket", "the new project that was asked for before is forgotten");
}

#[test]
fn escape_closes_what_lies_on_top_and_nothing_more() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    bench.press(Modifiers::NONE, Key::F3);
    bench.press(Modifiers::NONE, Key::Escape);
    let state = |bench: &Bench| {
        let state = bench.harness.state().state();
        (state.commands_open, state.cut_in_hand().is_some())
    };
    assert_eq!(state(&bench), (false, true));
    // Escape in a field gives up the number, not the cut.
    let before = bench.recipe().clone();
    bench.harness.get_by_role_and_label(Role::TextInput, "offset").click();
    bench.settle();
    bench.harness.event(egui::Event::Text("33".into()));
    bench.settle();
    assert_eq!(bench.harness.state().state().shown_plane().unwrap().offset_mm(), 33.0, "shown while it is typed");
    bench.press(Modifiers::NONE, Key::Escape);
    assert_eq!((bench.recipe(), state(&bench)), (&before, (false, true)));
    assert_eq!(bench.harness.state().state().shown_plane(), Some(before.cuts[0].plane));
    bench.press(Modifiers::NONE, Key::Escape);
    assert_eq!(state(&bench), (false, false));
}

#[test]
fn a_name_dragged_sideways_changes_its_number_in_one_step() {
    let mut bench = Bench::with_model();
    bench.new_cut();
    let steps = bench.harness.state().state().document.history().steps().len();
    // The card has grown to its full height then.
    bench.until("the details", |state| state.details_in_hand().is_some());
    let before = bench.recipe().cuts[0].plane.offset_mm();
    let at = bench.harness.get_by_role_and_label(Role::Label, "offset").rect().center();
    bench.harness.hover_at(at);
    bench.settle();
    bench.harness.drag_at(at);
    bench.settle();
    for x in [10.0, 20.0, 40.0] {
        bench.harness.hover_at(at + egui::vec2(x, 0.0));
        bench.settle();
    }
    assert_eq!(bench.recipe().cuts[0].plane.offset_mm(), before, "a drag that goes on is no edit");
    bench.harness.drop_at(at + egui::vec2(40.0, 0.0));
    bench.settle();
    assert_eq!(bench.recipe().cuts[0].plane.offset_mm(), before + 20.0);
    assert_eq!(bench.harness.state().state().document.history().steps().len(), steps + 1);
}

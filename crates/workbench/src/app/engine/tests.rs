//! Everything that takes long can be stopped. A file that is longer than anyone could wait for stands for long work; it
//! has holes instead of content, which not every system lets a file have.

use std::time::{Duration, Instant};

use seamwright_project::{Axis, Cut, CutForm, CutPlane, PartId, Scope, SourceFile};

use super::*;

/// Hashed at some GB/s at best, this takes minutes.
const ENDLESS_BYTES: u64 = 1 << 40;

fn endless_recipe(folder: &Path) -> Recipe {
    let file = std::fs::File::create(folder.join("endless.stl")).unwrap();
    file.set_len(ENDLESS_BYTES).unwrap();
    let plane = CutPlane { axis: Axis::X, through_mm: [0.0; 3], tilt_deg: [0.0; 2] };
    let mut recipe = Recipe::new("part");
    recipe.stock = Some(SourceFile { path: "endless.stl".into(), bytes: ENDLESS_BYTES, sha256: "0".repeat(64) });
    let (form, scope) = (CutForm::Flat, Scope::All);
    recipe.cuts.push(Cut {
        id: CutId(1),
        part: PartId::MAIN,
        name: "cut 1".into(),
        enabled: true,
        plane,
        form,
        kerf_mm: 0.0,
        scope,
    });
    recipe.next_cut = CutId(2);
    recipe
}

fn wait<T>(what: &str, mut ready: impl FnMut() -> Option<T>) -> T {
    let until = Instant::now() + Duration::from_secs(20);
    loop {
        if let Some(value) = ready() {
            return value;
        }
        assert!(Instant::now() < until, "{what} did not come");
        std::thread::sleep(Duration::from_millis(1));
    }
}

fn wait_for_stage(engine: &Engine, words: &str) {
    wait(words, || engine.work().filter(|(stage, ..)| stage.contains(words)));
}

#[test]
fn preparing_to_place_a_cut_shows_its_stage_and_stops_until_it_is_asked_for_again() {
    let folder = tempfile::tempdir().unwrap();
    let recipe = endless_recipe(folder.path());
    let mut engine = Engine::new(Arc::new(|| {}));
    assert!(engine.prepare_placing(&recipe, CutId(1), folder.path()));
    wait_for_stage(&engine, "checking endless.stl");
    engine.stop();
    assert!(!engine.is_busy());
    let ready = wait("the end of the work", || engine.poll().pop());
    assert!(matches!(ready, Ready::PlacingStopped), "{ready:?}");

    assert!(!engine.prepare_placing(&recipe, CutId(1), folder.path()), "stopped is stopped");
    engine.forget();
    assert!(engine.prepare_placing(&recipe, CutId(1), folder.path()));
    wait_for_stage(&engine, "checking endless.stl");
    engine.give_up_placing();
    assert!(!engine.is_busy());
    assert!(engine.prepare_placing(&recipe, CutId(1), folder.path()), "the cut was taken in hand again");
    engine.stop();
}

#[test]
fn evaluation_and_placing_stop_together() {
    let folder = tempfile::tempdir().unwrap();
    let recipe = endless_recipe(folder.path());
    let mut engine = Engine::new(Arc::new(|| {}));
    engine.evaluate(&recipe, folder.path());
    engine.prepare_placing(&recipe, CutId(1), folder.path());
    wait_for_stage(&engine, "checking endless.stl");
    engine.stop();
    let mut seen = Vec::new();
    wait("the end of both", || {
        seen.extend(engine.poll());
        (seen.len() == 2).then_some(())
    });
    assert!(seen.iter().any(|ready| matches!(ready, Ready::Stopped)), "{seen:?}");
    assert!(seen.iter().any(|ready| matches!(ready, Ready::PlacingStopped)), "{seen:?}");
}

#[test]
fn measuring_a_file_stops() {
    let folder = tempfile::tempdir().unwrap();
    endless_recipe(folder.path());
    let mut engine = Engine::new(Arc::new(|| {}));
    engine.measure(folder.path().join("endless.stl"), folder.path().into(), MeasureFor::NewStock, 0, false);
    wait_for_stage(&engine, "reading the file");
    engine.stop();
    let ready = wait("the end of the work", || engine.poll().pop());
    assert!(matches!(&ready, Ready::Trouble(text) if text == "reading the file was stopped"), "{ready:?}");
    assert!(!engine.is_busy());
}

use seamwright::app::Action;
use seamwright::app::command::Command;

use crate::Bench;

#[test]
fn how_the_maker_likes_the_window_is_kept_for_the_next_start() {
    let mut bench = Bench::new();
    bench.ask(Action::Run(Command::LessMotion));
    assert!(bench.sees("Nothing glides any more"));
    bench.ask(Action::Run(Command::OtherLight));
    bench.ask(Action::Run(Command::Magnifier));
    assert!(bench.sees("The magnifier is off"));
    let Bench { harness, folder } = bench;
    drop(harness);
    let kept = std::fs::read_to_string(folder.path().join("habits.json")).unwrap();
    assert!(kept.contains("\"less_motion\": true") && !kept.contains("\"dark\": null"), "{kept}");

    let mut again = Bench::in_folder(folder);
    again.ask(Action::Run(Command::Magnifier));
    assert!(again.sees("The magnifier is on"));
    again.ask(Action::Run(Command::LessMotion));
    assert!(again.sees("The view glides again"));
}

#[test]
fn habits_that_cannot_be_read_are_told_of_and_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("habits.json");
    std::fs::write(&file, "no habits").unwrap();
    let mut bench = Bench::in_folder(folder);
    bench.settle();
    assert!(bench.sees("habits.json"));
    bench.ask(Action::Run(Command::LessMotion));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "no habits");
}

#[test]
fn frame_times_are_shown_where_they_are_asked_for() {
    let mut bench = Bench::new();
    bench.settle();
    assert!(!bench.sees("longest"));
    bench.ask(Action::Run(Command::FrameTimes));
    assert!(bench.sees("longest"));
    bench.ask(Action::Run(Command::FrameTimes));
    assert!(!bench.sees("longest"));
}

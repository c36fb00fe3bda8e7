//! No words but here: the rest of the window's source is searched for them.

mod finder;

use std::fs;
use std::path::{Path, PathBuf};

use finder::{Literal, literals};

/// What is searched, in `src`.
const SEARCHED: [&str; 5] = ["app", "bench", "panels", "shown.rs", "window.rs"];

/// What is not, with the reason.
const NOT_SEARCHED: &[(&str, &str)] = &[
    ("bench/gl", "speaks to the graphics driver, and tells its errors"),
    ("bench/headless.rs", "draws for the command line, where its errors are told"),
    ("bench/headless", "the same"),
];

/// Calls whose texts nobody reads, with the reason.
const CALLS: &[(&str, &str)] = &[
    ("cfg!", "what the program is built for"),
    ("env!", "what it is built with"),
    ("include_str!", "a file of the source"),
    ("include_bytes!", "a file of the source"),
    (".debug_struct", "for those who look for faults"),
    (".field", "for those who look for faults"),
    (".expect", "for those who look for faults"),
    ("unreachable!", "for those who look for faults"),
    ("assert!", "for those who look for faults"),
    ("debug_assert!", "for those who look for faults"),
    ("log::error!", "the log"),
    ("log::info!", "the log"),
    ("Lane::new", "the name of a thread, for the log"),
    ("Id::unique", "tells widgets apart"),
    (".id_salt", "tells widgets apart"),
    ("ComboBox::from_id_salt", "tells widgets apart"),
    (".make_persistent_id", "tells widgets apart"),
    (".push_id", "tells widgets apart"),
    (".with", "tells widgets apart"),
    ("Grid::new", "tells widgets apart"),
    ("Panel::left", "tells widgets apart"),
    ("Panel::top", "tells widgets apart"),
    ("Panel::bottom", "tells widgets apart"),
    ("ProjectDirs::from", "the folder for settings"),
    ("variable", "names of what the system sets"),
    (".request_discard", "what a fault of the layout is told by"),
    (".load_texture", "what a fault of the graphics card is told by"),
    ("run_native", "what desktops know the program by"),
    (".with_app_id", "what desktops know the program by"),
];

/// Literals that stay where they are, with the reason.
const STAY: &[(&str, &[&str], &str)] = &[
    ("app/crash.rs", &["new-report-", "report-", "reports", "{UNTOLD}{seconds}-{}.txt"], "names of files"),
    ("app/demos.rs", &["helm", "cuirass", "glaive", "demo-projects", "share/seamwright"], "names of files"),
    ("app/files.rs", &["stl", "obj", "ply", "3mf", ".json"], "endings of files"),
    ("app/habits.rs", &["seamwright-habits", "habits.json"], "the name of a file, and of its format"),
    ("app/open.rs", &[".json"], "an ending of files"),
    ("app/pictures.rs", &["bench", "cut", "apart"], "names of files, as the pages of the manual give them"),
    ("app/recovery.rs", &["unsaved-{}{}", "unsaved-", ".autosave", "/proc/{id}"], "names of files"),
    (
        "app/quantity.rs",
        &["mm", "cm", "µm", "um", "in", "inch", "inches", "ft", "foot", "feet", "deg", "degrees", "rad"],
        "units as they are typed, on the command line too",
    ),
    ("panels/wearer.rs", &["length"], "a name in the table of measures"),
    ("window.rs", &["Seamwright"], "the program's own name"),
    ("window.rs", &["linux"], "what it is built for"),
    ("window.rs", &[PACKAGES], "names of packages"),
    ("window.rs", &[".rs:"], "how libraries name places in their source"),
];

/// As it stands in `window.rs`, over two lines.
const PACKAGES: &str = "libgl1 libglx-mesa0 libgl1-mesa-dri libx11-6 libx11-xcb1 libxcursor1 libxi6 \\\n                        \
                        libxkbcommon-x11-0 libxkbcommon0";

fn src() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// Every file that is searched, by its path in `src`, with its literals that say something.
fn searched() -> Vec<(String, Vec<Literal>)> {
    let mut open: Vec<String> = SEARCHED.map(str::to_owned).into();
    let mut searched = Vec::new();
    while let Some(name) = open.pop() {
        let path = src().join(&name);
        if NOT_SEARCHED.iter().any(|(not, _)| *not == name) || name.ends_with("/tests") || name.ends_with("/tests.rs") {
            continue;
        }
        if path.is_dir() {
            let entries = fs::read_dir(&path).unwrap();
            open.extend(entries.map(|entry| format!("{name}/{}", entry.unwrap().file_name().to_str().unwrap())));
        } else if name.ends_with(".rs") {
            let mut found = literals(&fs::read_to_string(&path).unwrap());
            found.retain(Literal::says_something);
            searched.push((name, found));
        }
    }
    searched
}

fn stays(file: &str, literal: &Literal) -> bool {
    let may = |(of, texts, _): &(&str, &[&str], &str)| *of == file && texts.contains(&literal.text.as_str());
    CALLS.iter().any(|(call, _)| literal.is_handed_to(call)) || STAY.iter().any(may)
}

/// The words of a file that have no place there, each with its line.
fn out_of_place(file: &str, found: &[Literal]) -> Vec<String> {
    let told = |literal: &Literal| format!("{file}:{}: \"{}\"", literal.line, literal.text);
    found.iter().filter(|literal| !stays(file, literal)).map(told).collect()
}

#[test]
fn words_that_the_window_shows_stand_in_one_place() {
    let searched = searched();
    assert!(searched.len() > 100, "the sources are not where they were: {} files", searched.len());
    let wrong: Vec<String> = searched.iter().flat_map(|(file, found)| out_of_place(file, found)).collect();
    assert!(wrong.is_empty(), "these belong into src/text:\n{}", wrong.join("\n"));
}

#[test]
fn what_may_stay_elsewhere_is_there() {
    let searched = searched();
    for (file, texts, _) in STAY {
        let found = &searched.iter().find(|(name, _)| name == file).expect(file).1;
        for text in *texts {
            assert!(found.iter().any(|literal| literal.text == *text), "{file} holds no \"{text}\" any more");
        }
    }
    for (name, _) in NOT_SEARCHED {
        assert!(src().join(name).exists(), "{name}");
    }
}

/// What could be written in a panel by somebody in a hurry, and what is no text.
const SAMPLE: &str = r##"
//! A "comment with words" is none.
use egui::Ui; /* nor "is this" */

#[derive(Debug, thiserror::Error)]
enum Trouble {
    #[error("nothing is there")]
    Nothing,
}

fn show<'a>(ui: &mut Ui, words: &'a str, n: usize) {
    ui.label("one word is enough: kerf");
    ui.label(format!("{n} mm"));
    let quote = '"';
    let (other, escaped) = ('\'', '\u{2019}');
    if ui.button("remove").on_hover_text(r#"Take the "cut" away"#).clicked() {
        Grid::new("ids are not shown").show(ui, |ui| ui.label("but this is"));
    }
    let many = [("below", 1), ("above", 2)];
    ui.push_id(("bore", n), |ui| ui.heading(Some("Bores")));
    ui.label(format!("{}: {n}, {words} · {long_name:>8}\n°", many[0].0));
}

#[cfg(test)]
mod tests {
    #[test]
    fn speaks() {
        assert_eq!("tests may say what they like", "{");
    }
}

fn after() -> &'static str {
    "after the tests"
}
"##;

#[test]
fn the_search_finds_words_wherever_they_are_written() {
    let mut found = literals(SAMPLE);
    found.retain(Literal::says_something);
    let told = out_of_place("panels/sample.rs", &found);
    let expected = [
        "panels/sample.rs:7: \"nothing is there\"",
        "panels/sample.rs:12: \"one word is enough: kerf\"",
        "panels/sample.rs:13: \"{n} mm\"",
        "panels/sample.rs:16: \"remove\"",
        "panels/sample.rs:16: \"Take the \"cut\" away\"",
        "panels/sample.rs:17: \"but this is\"",
        "panels/sample.rs:19: \"below\"",
        "panels/sample.rs:19: \"above\"",
        "panels/sample.rs:20: \"Bores\"",
        "panels/sample.rs:33: \"after the tests\"",
    ];
    assert_eq!(told, expected);
}

//! The help, and the page that documents it.

use crate::workshop::{Workshop, cannot_draw};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

#[test]
fn the_help_names_every_verb_and_every_option_and_the_page_documents_them() {
    let shop = Workshop::new();
    let page = include_str!("../../crates/workbench/COMMANDS.md");
    let out = shop.run(&["--help"]);
    let top = String::from_utf8(out.stdout).unwrap();
    let verbs: [(&str, &[&str]); 13] = [
        ("inspect", &["--unit", "--closely", "--print-width", "--json"]),
        (
            "mend",
            &[
                "--safe",
                "--merge-near",
                "--fill-holes",
                "--fill-flat-holes",
                "--unite",
                "--keep-outer",
                "--out",
                "--json",
            ],
        ),
        (
            "size",
            &["--factor", "--width", "--depth", "--height", "--points", "--distance", "--wearer", "--out", "--json"],
        ),
        ("measure", &["--distance", "--thickness", "--girth", "--out", "--force", "--json"]),
        (
            "bore",
            &[
                "--from",
                "--to",
                "--via",
                "--diameter",
                "--rod",
                "--clearance",
                "--printer",
                "--shape",
                "--up",
                "--open",
                "--blind-from",
                "--blind-to",
                "--countersink",
                "--nut-pocket",
                "--centre",
                "--wall",
                "--out",
                "--json",
            ],
        ),
        (
            "magnets",
            &["--cut", "--diameter", "--thickness", "--clearance", "--count", "--at", "--out", "--force", "--json"],
        ),
        ("cut", &["--plane", "--step-off", "--bed", "--out", "--unit", "--keep-together", "--force", "--json"]),
        ("fit", &["--bed", "--margin", "--any-pose", "--unit", "--json"]),
        ("beds", &["--keep", "--bed", "--forget", "--kept-in", "--json"]),
        ("place", &["--cut", "--bed", "--out", "--force", "--json"]),
        ("kit", &["--out", "--force", "--json"]),
        ("picture", &["--out", "--size", "--view", "--exploded", "--force", "--json"]),
        ("check", &["--json"]),
    ];
    for (verb, options) in verbs {
        assert!(top.contains(verb), "{verb} is not in:\n{top}");
        assert!(page.contains(&format!("## {verb}")), "{verb} has no section in the page");
        let out = shop.run(&[verb, "--help"]);
        let text = String::from_utf8(out.stdout).unwrap();
        assert_eq!(out.status.code(), Some(0));
        let shown: BTreeSet<&str> = text
            .split_whitespace()
            .filter(|word| word.starts_with("--"))
            .map(|word| word.trim_end_matches(|c: char| !c.is_ascii_lowercase()))
            .collect();
        for option in options {
            assert!(shown.contains(option), "{option} is not in:\n{text}");
        }
        for option in shown {
            assert!(page.contains(option), "{verb} {option} is not documented in the page");
        }
    }
}

#[test]
fn help_is_asked_for_as_a_verb_too() {
    let shop = Workshop::new();
    let said = |words: &[&str]| {
        let out = shop.run(words);
        assert_eq!((out.status.code(), out.stderr.len()), (Some(0), 0), "{words:?}");
        String::from_utf8(out.stdout).unwrap()
    };
    assert_eq!(said(&["help"]), said(&["--help"]));
    for verb in ["cut", "kit", "mend"] {
        assert_eq!(said(&["help", verb]), said(&[verb, "--help"]));
    }
    assert!(said(&["help", "mend"]).contains("its ending says the format"), "of a model, not of a project");
    assert!(said(&["help", "place"]).contains("The project file to write"));
    let wrong = shop.run(&["help", "gluing"]);
    assert_eq!(wrong.status.code(), Some(2));
}

/// Set to anything, it makes this test write what the program says into the page instead of comparing.
const REWRITE: &str = "SEAMWRIGHT_REWRITE_PAGE";

#[test]
fn the_examples_of_the_page_are_what_the_program_says() {
    let shop = Workshop::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    fs::create_dir(shop.path("demo-projects")).unwrap();
    for entry in fs::read_dir(root.join("demo-projects")).unwrap() {
        let from = entry.unwrap().path();
        fs::copy(&from, shop.path("demo-projects").join(from.file_name().unwrap())).unwrap();
    }
    let place = root.join("crates/workbench/COMMANDS.md");
    let page = fs::read_to_string(&place).unwrap();
    let mut said = String::new();
    let mut examples = 0;
    let mut blocks = page.split("```");
    while let Some(text) = blocks.next() {
        said += text;
        let Some(block) = blocks.next() else { break };
        said += "```";
        match block.lines().nth(1).and_then(|line| line.strip_prefix("$ seamwright ")) {
            Some(command) => {
                examples += 1;
                let out = shop.run(&command.split_whitespace().collect::<Vec<_>>());
                if cannot_draw(&out) {
                    said += block;
                    said += "```";
                    continue;
                }
                assert!(out.stderr.is_empty(), "{command}: {}", String::from_utf8_lossy(&out.stderr));
                said += &format!("\n$ seamwright {command}\n{}", String::from_utf8(out.stdout).unwrap());
            }
            None => said += block,
        }
        said += "```";
    }
    assert_eq!(examples, 10, "one for each verb that has one");
    if std::env::var_os(REWRITE).is_some() {
        fs::write(&place, said).unwrap();
        return;
    }
    let differing = page.lines().zip(said.lines()).find(|(written, said)| written != said);
    assert!(
        page == said,
        "the page and the program differ, first here: {differing:#?}\nRun this test with {REWRITE}=1 to bring the page \
         up to date, and read what changed."
    );
}

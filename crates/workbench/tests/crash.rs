//! What is left when the program breaks down. In a process of its own: the hook is one for all.

use std::fs;

use seamwright::app::crash;
use seamwright_project::{Recipe, SourceFile};

#[test]
fn a_report_holds_what_is_needed_no_folders_and_is_told_of_once() {
    let folder = tempfile::tempdir().unwrap();
    let reports = folder.path().join("reports");
    let source = SourceFile { path: "/home/someone/secret/helm.stl".into(), bytes: 3, sha256: "ab".into() };
    crash::remember(&Recipe { stock: Some(source), ..Recipe::new("visor") });
    crash::install(reports.clone());
    let broken = std::panic::catch_unwind(|| panic!("deliberate, to see what is left of it"));
    drop(std::panic::take_hook());
    assert!(broken.is_err());
    let fresh = crash::take_fresh().unwrap();
    assert_eq!((crash::take_fresh(), crash::untold(&reports)), (None, None), "this run tells of its own");
    let text = fs::read_to_string(&fresh).unwrap();
    for word in [env!("CARGO_PKG_VERSION"), "deliberate", "crash.rs", "helm.stl", "visor", "The way there"] {
        assert!(text.contains(word), "{word} is not in {text}");
    }
    assert!(!text.contains("secret"), "{text}");
    // As an earlier run would have left it.
    let of_before = reports.join("new-report-7-0.txt");
    fs::rename(&fresh, &of_before).unwrap();
    assert_eq!(crash::untold(&reports).as_ref(), Some(&of_before));
    let kept = crash::tell(&of_before);
    assert!(kept.ends_with("report-7-0.txt") && kept.exists() && crash::untold(&reports).is_none());
    assert!(seamwright::text::crash::lies_in(&kept).contains("no model"));
}

//! Real models: an answer, never a panic.

use crate::workshop::{Workshop, list};
use serde_json::Value;
use std::fs;

#[test]
fn every_real_stl_is_answered_without_a_panic() {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES") else {
        eprintln!("NOT CHECKED: real meshes, because SEAMWRIGHT_MESHES names no folder");
        return;
    };
    let shop = Workshop::new();
    let mut seen = 0;
    for entry in fs::read_dir(&folder).expect("the folder that SEAMWRIGHT_MESHES names") {
        let path = entry.unwrap().path();
        let is_stl = path.extension().is_some_and(|e| e.eq_ignore_ascii_case("stl"));
        if !is_stl {
            continue;
        }
        seen += 1;
        let file = path.to_str().unwrap();
        let out = shop.run(&["inspect", file, "--json"]);
        match out.status.code() {
            Some(0) => {
                let answer: Value = serde_json::from_slice(&out.stdout).unwrap();
                assert_eq!(
                    list(&answer["shells"]).iter().map(|s| s["triangles"].as_u64().unwrap()).sum::<u64>(),
                    answer["triangles"].as_u64().unwrap(),
                    "{file}"
                );
            }
            Some(2) => {
                assert!(out.stdout.is_empty());
                assert!(String::from_utf8_lossy(&out.stderr).contains(file), "{file}");
            }
            other => panic!("{file}: exit code {other:?}: {}", String::from_utf8_lossy(&out.stderr)),
        }
    }
    assert!(seen > 0, "there is no STL file in {}", folder.display());
}

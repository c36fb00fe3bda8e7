//! Asks the program whether models fit beds, and holds that against a search by brute force.

use std::path::Path;

use serde::Deserialize;
use serde_json::{Value, json};

use crate::{judge::Judge, models::Model, told};

/// Beds, as shares of the largest side of a model, so that each answer is met: width, depth, height, and whether it is
/// round.
const BEDS: [([f64; 3], bool); 6] = [
    ([1.02, 1.02, 1.02], false),
    ([0.9, 0.8, 0.7], false),
    ([0.75, 0.75, 0.75], false),
    ([1.2, 0.5, 0.35], false),
    ([1.0, 1.0, 0.8], true),
    ([0.7, 0.7, 1.1], true),
];

/// How far a pose may stick out: what the program allows for rounding (`ROUNDING_MM` of `seamwright-geometry`), and the
/// rounding of the sum here.
const OUT_MM: f64 = 1.1e-4;

/// What brute force found for one bed.
#[derive(Debug, Deserialize)]
pub struct Searched {
    slack_mm: f64,
    sticks_out_mm: Option<f64>,
}

/// Every line of the comparison, and what is wrong.
pub fn compare(judge: &Judge, models: &[Model]) -> (String, Vec<String>) {
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let (mut table, mut faults) = (String::new(), Vec::new());
    for model in models {
        let stl = folder.path().join(format!("{}.stl", model.name()));
        judge.prepare(&model.file, model.scale, &stl);
        let bounds = told::inspect(&stl).bounds_mm;
        let side = (0..3).map(|k| bounds.max[k] - bounds.min[k]).fold(0.0, f64::max);
        let beds = BEDS.map(|(shares, round)| (shares.map(|share| share * side), round));
        let told: Vec<Value> = beds.iter().map(|(size, round)| fit(&stl, size, *round)).collect();
        let searched = judge.search_poses(&stl, &job(&beds, &told));
        for (((size, round), told), searched) in beds.iter().zip(&told).zip(&searched) {
            let verdict = told["verdict"].as_str().unwrap_or_default();
            let outline = if *round { "round" } else { "rectangular" };
            let [width, depth, height] = size;
            let label = format!("{}, {outline} bed of {width:.1} × {depth:.1} × {height:.1}", model.name());
            let ours = told["slack_mm"].as_f64().unwrap_or(f64::NAN);
            table.push_str(&format!("{label}: {verdict}, slack {ours:.2}, searched {:.2}\n", searched.slack_mm));
            if let Some(fault) = fault(verdict, searched) {
                faults.push(format!("{label}: {fault}: {told}, {searched:?}"));
            }
        }
    }
    (table, faults)
}

fn fault(verdict: &str, searched: &Searched) -> Option<&'static str> {
    let fits = matches!(verdict, "as-it-stands" | "turned" | "tilted");
    match searched.sticks_out_mm {
        Some(out) if out > OUT_MM => Some("the pose sticks out"),
        None if fits => Some("there is no pose"),
        _ if !fits && searched.slack_mm > OUT_MM => Some("brute force found a pose and the program none"),
        _ => None,
    }
}

fn fit(stl: &Path, size: &[f64; 3], round: bool) -> Value {
    let [x, y, z] = size;
    let bed = if round { format!("round {x}x{z}") } else { format!("{x}x{y}x{z}") };
    told::fit(stl, &bed)
}

fn job(beds: &[([f64; 3], bool)], told: &[Value]) -> Value {
    let bed = |((size, round), told): (&([f64; 3], bool), &Value)| json!({ "size_mm": size, "round": round, "bed_from_model": told["bed_from_model"] });
    beds.iter().zip(told).map(bed).collect()
}

//! The same cuts by other means: by formula, by trimesh, by manifold3d and by VTK, compared to what `seamwright cut`
//! wrote.
//!
//! All read the same STL file, so they start from the same 32-bit coordinates. Volumes, caps and their outlines are
//! compared, side by side, in a table that is left among the artefacts.
//!
//! Where a library differs from the formula (see `tests/reference/formula.py`: no cap is built, nothing can go wrong with
//! building one), it is held to be wrong only where the edges of what it made are counted and found not to close; any
//! other difference fails the test.

mod support;

#[path = "reference/comparison.rs"]
mod comparison;
#[path = "reference/fitting.rs"]
mod fitting;
#[path = "reference/judge.rs"]
mod judge;
#[path = "reference/models.rs"]
mod models;
#[path = "reference/table.rs"]
mod table;
#[path = "reference/told.rs"]
mod told;

use comparison::Comparison;
use judge::Judge;
use models::Model;
use support::{artefacts, tools};

#[test]
fn demo_models_are_cut_as_the_libraries_cut_them() {
    let Some(python) = tools::python() else { return };
    compare_all("reference-demo-models.txt", Judge::new(python), models::demo());
}

#[test]
fn real_meshes_are_cut_as_the_libraries_cut_them() {
    let Some(python) = tools::python() else { return };
    let Some(folder) = tools::meshes() else { return };
    compare_all("reference-real-meshes.txt", Judge::new(python), models::real(&folder));
}

#[test]
fn models_fit_beds_as_a_brute_force_search_over_rotations_finds() {
    let Some(python) = tools::python() else { return };
    let mut models = models::demo();
    if let Some(folder) = tools::meshes() {
        models.extend(models::real(&folder));
    }
    let (table, faults) = fitting::compare(&Judge::new(python), &models);
    artefacts::write("reference-fit.txt", &table);
    assert!(faults.is_empty(), "{table}\n{}", faults.join("\n"));
}

fn compare_all(table: &str, judge: Judge, models: Vec<Model>) {
    assert!(!models.is_empty(), "there are no models to compare");
    let mut comparison = Comparison::new(judge);
    for model in &models {
        comparison.compare(model);
    }
    artefacts::write(table, &comparison.table.text);
    assert!(comparison.faults.is_empty(), "{}\n{}", comparison.table.text, comparison.faults.join("\n"));
}

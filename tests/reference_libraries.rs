//! The same cuts by other means: by formula, by trimesh and by manifold3d, compared to what `seamwright cut` wrote.
//!
//! All read the same STL file, so they start from the same 32-bit coordinates. Volumes and caps are compared three
//! ways, side by side, in a table that is left among the artefacts.
//!
//! Where a library is wrong, the formula (see `tests/reference/formula.py`: no cap is built, nothing can go wrong with
//! building one) is the judge, and [`models::Surface`] says why.

mod support;

#[path = "reference/comparison.rs"]
mod comparison;
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

fn compare_all(table: &str, judge: Judge, models: Vec<Model>) {
    assert!(!models.is_empty(), "there are no models to compare");
    let mut comparison = Comparison::new(judge);
    for model in &models {
        comparison.compare(model);
    }
    artefacts::write(table, &comparison.table.text);
    assert!(comparison.faults.is_empty(), "{}\n{}", comparison.table.text, comparison.faults.join("\n"));
}

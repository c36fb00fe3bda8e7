//! `cargo xtask manual-pictures`: makes the pictures of the manual anew, by the program itself.

use crate::{
    process,
    steps::{Steps, Stopped},
    workspace,
};

/// Has the window drawn off screen with the demo helm in it, and keeps the pictures where the program takes them from
/// when it is built.
pub fn run(steps: &mut Steps) -> Result<(), Stopped> {
    let project = workspace::root().join("demo-projects/helm.seamwright.json");
    let folder = workspace::root().join("assets/manual/pictures");
    steps.run("pictures of the manual", || {
        let mut command = process::cargo();
        command.args(["run", "--release", "--example", "manual_pictures", "--"]).args([project, folder]);
        process::run(&mut command)
    })
}

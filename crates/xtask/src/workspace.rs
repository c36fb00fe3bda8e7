//! Where things lie in the checkout.

use std::{
    env,
    path::{Path, PathBuf},
};

/// The root of the checkout.
pub fn root() -> &'static Path {
    let crate_folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    crate_folder.ancestors().nth(2).unwrap_or(crate_folder)
}

/// The folder of build products: `target`, or what `CARGO_TARGET_DIR` names.
pub fn target() -> PathBuf {
    match env::var_os("CARGO_TARGET_DIR") {
        Some(folder) => root().join(folder),
        None => root().join("target"),
    }
}

/// What the tests leave for a person to look at: screenshots and tables.
pub fn artefacts() -> PathBuf {
    target().join("ci-artefacts")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_root_holds_the_workspace_manifest() {
        let manifest = std::fs::read_to_string(root().join("Cargo.toml")).unwrap();
        assert!(manifest.contains("[workspace]"));
    }
}

//! A temporary folder whose content can be compared before and after.

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

use tempfile::TempDir;

/// A folder that goes away at the end.
#[derive(Debug)]
pub struct Folder(TempDir);

/// Every file and folder beneath, with the bytes of the files.
pub type Content = BTreeMap<PathBuf, Option<Vec<u8>>>;

impl Folder {
    /// An empty folder.
    pub fn new() -> Folder {
        Folder(tempfile::tempdir().expect("a temporary folder can be made"))
    }

    /// A path in it.
    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Writes a file and gives its path.
    pub fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        fs::write(&path, bytes).expect("a file can be written");
        path
    }

    /// What it holds now.
    pub fn content(&self) -> Content {
        let mut content = Content::new();
        collect(self.0.path(), &mut content);
        content
    }
}

fn collect(folder: &Path, content: &mut Content) {
    for entry in fs::read_dir(folder).expect("a folder can be read") {
        let path = entry.expect("an entry can be read").path();
        if path.is_dir() {
            collect(&path, content);
            content.insert(path, None);
        } else {
            let bytes = fs::read(&path).expect("a file can be read");
            content.insert(path, Some(bytes));
        }
    }
}

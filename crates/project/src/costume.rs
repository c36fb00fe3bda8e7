//! What tells the pieces of one part from those of the other parts of its costume: each part numbers its own from A1.

use sha2::{Digest, Sha256};

use crate::recipe::{Recipe, UNNAMED};

impl Recipe {
    /// The mark of a piece together with its part, `helm A1`: no part of another name has one called so. `None` where the
    /// part stands alone, and its marks are enough.
    pub fn in_costume(&self, mark: &str) -> Option<String> {
        (!self.costume.is_empty()).then(|| format!("{} {mark}", self.name))
    }

    /// What a file of this part is called where it lies among those of others: `helm-A1.stl` in a costume, else `A1.stl`.
    /// No part of another name has one called so: of a name that no file can have whole, a few signs tell which it was.
    pub fn file_in_costume(&self, file: &str) -> String {
        if self.costume.is_empty() {
            return file.to_owned();
        }
        let name = as_file_name(&self.name);
        if name == self.name { format!("{name}-{file}") } else { format!("{name}-{}-{file}", told_apart(&self.name)) }
    }
}

/// Signs of the digest: two names that lose all that told them apart are then called alike once in 65,536 times (our own
/// choice, no source).
const DIGEST_SIGNS: usize = 4;

/// A few signs that differ for names that differ.
fn told_apart(name: &str) -> String {
    let digest = Sha256::digest(name.as_bytes());
    digest.iter().map(|byte| format!("{byte:02x}")).collect::<String>()[..DIGEST_SIGNS].to_owned()
}

/// A name of the maker's own, as a file or a folder can be called on every system: without what parts folders from each
/// other or is kept for other ends there.
pub fn as_file_name(name: &str) -> String {
    let kept = |c: char| !c.is_control() && !matches!(c, '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|');
    let name: String = name.chars().filter(|c| kept(*c)).collect();
    let name = name.trim().trim_end_matches('.');
    if name.is_empty() { UNNAMED.into() } else { name.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_parts_make_names_of_files() {
        assert_eq!(as_file_name("left/right: \"fin\"?"), "leftright fin");
        assert_eq!((as_file_name("..").as_str(), as_file_name(" helm. ").as_str()), (UNNAMED, "helm"));
    }

    #[test]
    fn only_in_a_costume_are_pieces_told_with_their_part() {
        let alone = Recipe::new("left/right 腕");
        assert_eq!((alone.in_costume("A1"), alone.file_in_costume("A1.stl").as_str()), (None, "A1.stl"));
        let one_of_many = Recipe { costume: "The Saltgate Sentinel".into(), ..alone };
        assert_eq!(one_of_many.in_costume("A1").as_deref(), Some("left/right 腕 A1"));
        let file = one_of_many.file_in_costume("A1.stl");
        assert!(file.starts_with("leftright 腕-") && file.ends_with("-A1.stl"), "{file}");
    }

    #[test]
    fn parts_whose_names_differ_by_a_slash_have_files_of_their_own() {
        let names = ["left/right", "leftright", "left\\right", "left:right", "left-right"];
        let called = |name: &&str| {
            Recipe { costume: "The Saltgate Sentinel".into(), ..Recipe::new(*name) }.file_in_costume("A1.stl")
        };
        let files: std::collections::BTreeSet<String> = names.iter().map(called).collect();
        assert_eq!(files.len(), names.len(), "{files:?}");
        assert!(files.contains("leftright-A1.stl") && files.contains("left-right-A1.stl"), "plain names stay plain");
    }
}

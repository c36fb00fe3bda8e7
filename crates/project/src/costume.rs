//! What tells the pieces of one part from those of the other parts of its costume: each part numbers its own from A1.

use crate::recipe::{Recipe, UNNAMED};

impl Recipe {
    /// The mark of a piece together with its part, `helm A1`: no part of another name has one called so. `None` where the
    /// part stands alone, and its marks are enough.
    pub fn in_costume(&self, mark: &str) -> Option<String> {
        (!self.costume.is_empty()).then(|| format!("{} {mark}", self.name))
    }

    /// What a file of this part is called where it lies among those of others: `helm-A1.stl` in a costume, else `A1.stl`.
    pub fn file_in_costume(&self, file: &str) -> String {
        if self.costume.is_empty() { file.to_owned() } else { format!("{}-{file}", as_file_name(&self.name)) }
    }
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
        assert_eq!(one_of_many.file_in_costume("A1.stl"), "leftright 腕-A1.stl");
    }
}

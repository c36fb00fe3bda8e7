//! What a cut or a bore is called that nobody has given a name: by the next number that the list of them suggests. Its
//! identity is another thing, and is never used twice.

use super::Recipe;

impl Recipe {
    /// What the next cut is called.
    pub fn name_of_new_cut(&self) -> String {
        next("cut", self.cuts.len(), self.cuts.iter().map(|cut| cut.name.as_str()))
    }

    /// What the next bore is called.
    pub fn name_of_new_bore(&self) -> String {
        next("bore", self.bores.len(), self.bores.iter().map(|bore| bore.name.as_str()))
    }
}

/// `cut 5` after four, or a higher one where one of them is called so.
fn next<'a>(what: &str, count: usize, names: impl Iterator<Item = &'a str>) -> String {
    let number = |name: &str| name.strip_prefix(what)?.strip_prefix(' ')?.parse::<usize>().ok();
    let highest = names.filter_map(number).max().unwrap_or(0);
    format!("{what} {}", count.max(highest).saturating_add(1))
}

#[cfg(test)]
mod tests {
    use super::next;

    #[test]
    fn the_next_number_follows_the_highest_and_the_count() {
        let called = |names: &[&str]| next("cut", names.len(), names.iter().copied());
        assert_eq!(called(&[]), "cut 1");
        assert_eq!(called(&["left fin", "right fin", "brow", "face"]), "cut 5", "as one counts them");
        assert_eq!(called(&["cut 1", "cut 7"]), "cut 8", "no two are called the same");
        assert_eq!(called(&["cut", "cut 2b", "cut -4"]), "cut 4", "names of the maker's own are none of ours");
    }
}

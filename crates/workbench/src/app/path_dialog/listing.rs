//! What is in a folder: its folders, and the files that may be chosen.

use std::io;
use std::path::Path;

use egui::{Button, Response, RichText, Role, TextStyle, Ui, WidgetInfo};

use crate::app::files::Purpose;
use crate::app::style::Paper;
use crate::app::words;
use crate::panels::middle::shortened;

/// Height of a row, points.
pub(super) const ROW: f32 = 22.0;
/// What a row keeps free beside name and size, points.
const AROUND: f32 = 34.0;

/// What a folder holds.
#[derive(Debug, Default)]
pub(super) struct Listing {
    /// Folders first, then the files that may be chosen, each by name.
    pub entries: Vec<Entry>,
    /// So many have names that are no text: no dialog can name them.
    pub nameless: usize,
}

/// A folder, or a file that may be chosen.
#[derive(Debug)]
pub(super) struct Entry {
    pub name: String,
    pub is_folder: bool,
    bytes: u64,
}

/// Lists a folder.
pub(super) fn read(folder: &Path, purpose: Purpose) -> io::Result<Listing> {
    let mut listing = Listing::default();
    for entry in std::fs::read_dir(folder)? {
        let Ok(entry) = entry else { continue };
        // Of the many files that are not for choosing nothing more is asked: a folder may hold thousands.
        let plain = entry.file_type().is_ok_and(|kind| kind.is_file());
        let name = entry.file_name();
        let chosen = |name: &str| purpose != Purpose::KitFolder && purpose.lists(name);
        if plain && !chosen(&name.to_string_lossy()) {
            continue;
        }
        // Follows links, so that a link to a folder is one.
        let Ok(facts) = std::fs::metadata(entry.path()) else { continue };
        if !facts.is_dir() && !chosen(&name.to_string_lossy()) {
            continue;
        }
        match name.into_string() {
            Ok(name) => listing.entries.push(Entry { name, is_folder: facts.is_dir(), bytes: facts.len() }),
            Err(_) => listing.nameless += 1,
        }
    }
    listing.entries.sort_by_cached_key(|entry| (!entry.is_folder, as_counted(&entry.name)));
    Ok(listing)
}

/// Orders names as people count, in any case: *part 2* before *part 10*.
fn as_counted(name: &str) -> Vec<(String, u128)> {
    let mut parts = vec![(String::new(), 0_u128)];
    for c in name.to_lowercase().chars() {
        let last = parts.len() - 1;
        let (words, number) = &mut parts[last];
        match c.to_digit(10) {
            Some(digit) => *number = number.saturating_mul(10).saturating_add(u128::from(digit) + 1),
            None if *number > 0 => parts.push((c.to_string(), 0)),
            None => words.push(c),
        }
    }
    parts
}

/// Shows one; a long name loses its middle.
pub(super) fn row(ui: &mut Ui, entry: &Entry, marked: bool) -> Response {
    let name = if entry.is_folder { format!("{}/", entry.name) } else { entry.name.clone() };
    let size = if entry.is_folder { String::new() } else { words::bytes(entry.bytes) };
    let paper = Paper::of(ui.visuals());
    let small = TextStyle::Small.resolve(ui.style());
    let taken = ui.painter().layout_no_wrap(size.clone(), small, paper.ink_soft).size().x;
    let room = ui.available_width() - taken - AROUND;
    let shown = shortened(ui, &name, &TextStyle::Button.resolve(ui.style()), room);
    let is_short = shown != name;
    let button = Button::selectable(marked, shown).right_text(RichText::new(size).small().color(paper.ink_soft));
    let response = ui.add_sized([ui.available_width(), ROW], button);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, marked, &entry.name));
    if is_short { response.on_hover_text(name) } else { response }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_come_first_and_what_is_not_for_choosing_is_left_out() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["helm.STL", "兜.obj", "Ärmel.ply", "kit.3mf", "notes.txt", "helm.seamwright.json"] {
            std::fs::write(folder.path().join(name), "x").unwrap();
        }
        std::fs::create_dir(folder.path().join("prints")).unwrap();
        let names = |purpose| {
            let listing = read(folder.path(), purpose).unwrap();
            listing.entries.into_iter().map(|entry| entry.name).collect::<Vec<_>>()
        };
        assert_eq!(names(Purpose::OpenStock), ["prints", "helm.STL", "kit.3mf", "Ärmel.ply", "兜.obj"]);
        assert_eq!(names(Purpose::SaveAs), ["prints", "helm.seamwright.json"]);
        assert_eq!(names(Purpose::KitFolder), ["prints"]);
    }

    #[test]
    fn names_with_numbers_are_sorted_as_people_count() {
        let mut names = ["part 10.stl", "part 2.stl", "Part 1.stl", "part 2 of 3.stl", "part.stl", "10", "9"];
        names.sort_by_key(|name| as_counted(name));
        let sorted = ["9", "10", "Part 1.stl", "part 2 of 3.stl", "part 2.stl", "part 10.stl", "part.stl"];
        assert_eq!(names, sorted);
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn names_that_are_no_text_are_counted() {
        use std::os::unix::ffi::OsStrExt;
        let folder = tempfile::tempdir().unwrap();
        let name = std::ffi::OsStr::from_bytes(b"helm\xff.stl");
        std::fs::write(folder.path().join(name), "x").unwrap();
        let listing = read(folder.path(), Purpose::OpenStock).unwrap();
        assert_eq!((listing.entries.len(), listing.nameless), (0, 1));
    }
}

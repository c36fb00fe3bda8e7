//! What is told of a model file that was read.

use seamwright_geometry::exchange::ModelFile;

/// What was passed over or put right, faces that are none too: whoever counts finds fewer than in the file.
pub fn remarks_on(read: &ModelFile) -> Vec<String> {
    let none = match read.collapsed {
        0 => None,
        1 => {
            Some("1 face with two corners in one place, which is no face, was left out: this opens nothing".to_owned())
        }
        n => Some(format!(
            "{n} faces with two corners in one place, which are no faces, were left out: this opens nothing"
        )),
    };
    none.into_iter().chain(read.remarks.iter().map(ToString::to_string)).collect()
}

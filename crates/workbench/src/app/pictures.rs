//! The pictures of the manual, made by the program itself (`cargo xtask manual-pictures`).

/// The PNG of this name.
pub fn bytes(name: &str) -> Option<&'static [u8]> {
    match name {
        "bench" => Some(include_bytes!("../../../../assets/manual/pictures/bench.png")),
        "cut" => Some(include_bytes!("../../../../assets/manual/pictures/cut.png")),
        "apart" => Some(include_bytes!("../../../../assets/manual/pictures/apart.png")),
        _ => None,
    }
}

//! How rods and their play are typed.

use seamwright_project::rods::{Clearance, ClearanceClass};

/// `fine`, `medium`, `coarse`, or a number of mm on the diameter.
pub fn clearance(text: &str) -> Result<Clearance, String> {
    if let Some(class) = ClearanceClass::ALL.into_iter().find(|class| class.name().eq_ignore_ascii_case(text.trim())) {
        return Ok(Clearance::Class(class));
    }
    match text.trim().parse::<f64>() {
        Ok(mm) if mm.is_finite() => Ok(Clearance::Typed(mm)),
        _ => Err(format!("\"{text}\" is neither fine, medium, coarse nor a number of mm")),
    }
}

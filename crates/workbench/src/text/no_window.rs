//! Why no window could be opened, or why it closed by itself: told where the program was started.

pub const NO_OPENGL: &str = "there is no OpenGL";
pub const LIBRARY_BROKE: &str = "a library for the display broke down";
/// Stands for a project that is not named.
pub const PROJECT: &str = "PROJECT";

/// A window that was open broke down.
pub fn broke_down(why: &str, report: &str) -> String {
    format!("the window broke down: {why}\n{report}.\nWork that was not saved is offered at the next start.")
}

/// None could be opened: what to install, and what to do instead.
pub fn cannot_open(why: &str, packages: &str, project: &str) -> String {
    format!(
        "the window cannot be opened: {why}\n\
         It needs a display (X11 or Wayland) and OpenGL. On Debian and its kin:\n  \
         apt install {packages}\n\
         With no display the same job is done by:\n  \
         seamwright kit {project} --out DIR"
    )
}

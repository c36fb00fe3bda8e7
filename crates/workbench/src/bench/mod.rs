//! The bench: the 3D view in the middle of the window.
//!
//! Plain data goes in ([`Scene`], a [`Mode`], a [`BenchStyle`]), actions come out ([`BenchAction`]); it never changes a
//! project. The camera is its own. Picking, handles and words need no GL; meshes are drawn by a [`ViewportPainter`], of
//! which [`NoPaint`] is the twin without GL.
//!
//! ```no_run
//! # use seamwright::bench::*;
//! # fn frame(ui: &mut egui::Ui, bench: &mut Bench, scene: &Scene) {
//! let style = BenchStyle::of(ui.visuals());
//! for action in bench.show(ui, scene, Mode::Look, &style) {
//!     match action {
//!         BenchAction::CutDragged { plane, phase: DragPhase::Released, .. } => { /* one edit */ }
//!         _ => {}
//!     }
//! }
//! # }
//! ```

mod action;
mod band;
mod body;
mod bore;
mod camera;
mod cut_in_hand;
mod detail;
mod drag;
mod drawn_over;
mod follow;
mod gestures;
mod gl;
mod glide;
pub mod ground;
mod handle_marks;
mod handles;
mod headless;
mod keyboard;
mod keys_of;
mod lean;
mod looking;
mod magnifier;
mod marks;
mod overlay;
mod packed;
mod painter;
mod pick;
mod pointed;
mod said;
mod scene;
mod seat;
mod slips;
mod style;
mod swatch;
mod view;
mod widget;
mod words;

pub use action::{BenchAction, DragPhase, Mode};
pub use band::{Band, SideSaid};
pub use body::Body;
pub use bore::{BoreHandle, BoreInHand, WallSpot, WallTone, paint_wall_swatch};
pub use camera::{Camera, StandardView};
pub use cut_in_hand::{CutInHand, Sheet};
pub use detail::detail_words;
pub use drag::{SNAP_DEG, SNAP_MM};
pub use gl::GlError;
pub use handles::Handle;
pub use headless::{HeadlessError, HeadlessGl, PACKAGES, Timed, render_png};
pub use lean::Lean;
pub use magnifier::{MAGNIFICATION, Magnified};
pub use painter::{Frame, GlowPaint, NoPaint, Unpainted, ViewportPainter};
pub use pick::{Ray, SurfaceHit, axis_across};
pub use scene::{
    APART, BedUnderneath, Dimension, Drawn, Emphasis, HeldAgainst, Label, MeshId, Residual, Scene, corners,
};
pub use style::{BenchStyle, Pattern, Tone};
pub use swatch::paint_swatch;
pub use view::View;
pub use widget::{ACCESSIBLE_NAME, Bench};

#[cfg(test)]
mod tests;

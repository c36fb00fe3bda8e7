//! What the bench asks for. It changes nothing by itself.

use egui::Pos2;
use seamwright_geometry::{Plane, Point};

use super::bore::BoreHandle;
use super::handles::Handle;
use super::pick::SurfaceHit;
use super::scene::MeshId;

/// What a click on a surface means at the moment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Mode {
    /// Look around and select.
    #[default]
    Look,
    /// The next click says where a cut goes.
    PlaceByClick,
    /// Clicks pick points.
    PickPoints,
}

/// Something the user did on the bench.
#[derive(Clone, Debug, PartialEq)]
pub enum BenchAction {
    /// In [`Mode::Look`], a click on a mesh, or beside all of them.
    MeshClicked {
        /// The mesh and the place; `None` beside all.
        hit: Option<SurfaceHit>,
        /// Whether it adds to the selection (Ctrl was held).
        add: bool,
    },
    /// A box was drawn with Ctrl held, about the middles of these meshes: they are added to the selection.
    Boxed(Vec<MeshId>),
    /// Another mesh than before is under the pointer, or none.
    MeshHovered(Option<MeshId>),
    /// In [`Mode::PlaceByClick`], a click on the surface.
    SurfaceClicked(SurfaceHit),
    /// In [`Mode::PickPoints`], a click on the surface.
    PointPicked(SurfaceHit),
    /// In [`Mode::PickPoints`], a click on a point picked before: take it away. Its number in [`Scene::picked`].
    ///
    /// [`Scene::picked`]: super::Scene::picked
    PickUndone(usize),
    /// A right click that did not become a drag: what can be done with what is there?
    Asked {
        /// Where, on the screen.
        at: Pos2,
        /// The mesh and the place; `None` beside all, and on a handle.
        hit: Option<SurfaceHit>,
        /// Whether it is on a handle of the cut in hand.
        on_handle: bool,
    },
    /// A handle of the cut is being dragged. One drag is one `Begun`, any number of `Moved`, then `Released` or
    /// `Cancelled`.
    CutDragged {
        /// Where the cut is now.
        plane: Plane,
        /// What was dragged.
        handle: Handle,
        /// Where the handles hang: what a tilt turns about.
        seat: Point,
        /// How far the drag has come.
        phase: DragPhase,
    },
    /// A handle of the bore is being dragged, as [`CutDragged`](Self::CutDragged) is.
    BoreDragged {
        /// Where its line is now.
        line: Vec<Point>,
        /// What was dragged.
        handle: BoreHandle,
        /// How far the drag has come.
        phase: DragPhase,
    },
    /// In a mode other than [`Mode::Look`], a click beside all that could be hit.
    Missed,
    /// Enter was pressed in [`Mode::PickPoints`]: no more are to come.
    PicksDone,
    /// Escape was pressed, in a mode other than [`Mode::Look`].
    ModeLeft,
    /// The camera moved: worth remembering, and no edit.
    CameraMoved,
}

/// How far a drag has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DragPhase {
    /// It has just begun; the plane is as it was.
    Begun,
    /// It goes on.
    Moved,
    /// The button was let go: make it an edit.
    Released,
    /// Escape: the plane is as it was at the beginning.
    Cancelled,
}

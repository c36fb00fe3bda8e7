//! Points that are picked for a cut: whether for a plane or for a line, and when they are enough.

use super::App;
use super::state::{Line, State, Tool};

/// So many make a line, and so many a plane.
const FOR_LINE: usize = 2;
const FOR_PLANE: usize = 3;

/// The cut that picked points make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PickedCut {
    /// Along the line through them.
    Line,
    /// By the plane that fits them best.
    Plane,
}

impl State {
    /// The cut that Enter would make of the points picked so far.
    pub fn picked_cut(&self) -> Option<PickedCut> {
        let Tool::PickPoints(points) = &self.tool else { return None };
        match points.len() {
            n if n >= FOR_LINE && self.picks_line => Some(PickedCut::Line),
            n if n >= FOR_PLANE => Some(PickedCut::Plane),
            _ => None,
        }
    }
}

impl App {
    /// Begins to pick points for a line.
    pub(super) fn pick_along_line(&mut self) {
        self.begin_tool(Tool::PickPoints(Vec::new()), Line::Cuts);
        self.state.picks_line = true;
    }

    /// Makes the cut that the points were picked for, if they are enough.
    pub(super) fn picks_done(&mut self) {
        match self.state.picked_cut() {
            Some(PickedCut::Line) => self.cut_along_points(),
            Some(PickedCut::Plane) => self.cut_through_points(),
            None => {}
        }
    }
}

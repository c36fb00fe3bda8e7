//! The bore being placed: its line with handles, and the wall around it.

mod drag;
mod draw;

use std::sync::Arc;

use egui::Pos2;
use seamwright_geometry::Point;

use super::view::View;
use crate::text;

pub use drag::{BoreDrag, BoreHandle};
pub use draw::paint_wall_swatch;

/// A bore in hand.
#[derive(Clone, Debug, PartialEq)]
pub struct BoreInHand {
    /// Its line, as the maker placed it.
    pub line: Vec<Point>,
    /// Half of its diameter, mm.
    pub radius_mm: f64,
    /// The wall around it, along it; empty while that is not known.
    pub walls: Arc<Vec<WallSpot>>,
    /// Where the wall is thinnest, and what is written there.
    pub least: Option<(Point, Point, String)>,
    /// Whether it has handles; without, it is only shown.
    pub held: bool,
}

/// The wall around a bore at one place of its line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallSpot {
    /// The place on the line.
    pub place: Point,
    /// How the wall there is.
    pub tone: WallTone,
}

/// How thick a wall is, against what was asked for. A tone is a colour *and* a kind of line, so that it can be told without
/// colour vision.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WallTone {
    /// Twice what was asked for, or more.
    Ample,
    /// As thick as was asked for.
    Enough,
    /// Thinner.
    Thin,
    /// There is none: the channel comes through the surface, or lies outside.
    Broken,
}

impl WallTone {
    /// From ample to broken.
    pub const ALL: [WallTone; 4] = [WallTone::Ample, WallTone::Enough, WallTone::Thin, WallTone::Broken];

    /// The tone of a wall of `wall_mm` where `asked_mm` were asked for.
    pub fn of(wall_mm: f64, asked_mm: f64) -> WallTone {
        match wall_mm {
            wall if wall <= 0.0 => WallTone::Broken,
            wall if wall < asked_mm => WallTone::Thin,
            wall if wall < 2.0 * asked_mm => WallTone::Enough,
            _ => WallTone::Ample,
        }
    }

    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            WallTone::Ample => text::bores::walls::AMPLE,
            WallTone::Enough => text::bores::walls::ENOUGH,
            WallTone::Thin => text::bores::walls::TOO_THIN,
            WallTone::Broken => text::bores::walls::NONE,
        }
    }
}

/// How far from a handle the pointer still takes it, points.
const REACH: f32 = 12.0;

impl BoreInHand {
    /// The handle under `at`: the nearest end or bend, or else the line itself.
    pub fn under(&self, view: &View, at: Pos2) -> Option<BoreHandle> {
        if !self.held {
            return None;
        }
        let distance = |p: &Point| view.project(p).map_or(f32::INFINITY, |q| q.distance(at));
        let point = (0..self.line.len()).min_by(|&a, &b| distance(&self.line[a]).total_cmp(&distance(&self.line[b])));
        let near = point.filter(|&i| distance(&self.line[i]) <= REACH).map(BoreHandle::Point);
        near.or_else(|| (distance(&self.middle()) <= REACH).then_some(BoreHandle::Whole))
    }

    /// The middle of its line, where the handle for all of it sits.
    pub fn middle(&self) -> Point {
        let length: f64 = self.line.windows(2).map(|pair| nalgebra::distance(&pair[0], &pair[1])).sum();
        let mut rest = length / 2.0;
        for pair in self.line.windows(2) {
            let run = nalgebra::distance(&pair[0], &pair[1]);
            if rest <= run && run > 0.0 {
                return pair[0] + (pair[1] - pair[0]) * (rest / run);
            }
            rest -= run;
        }
        self.line.first().copied().unwrap_or_else(Point::origin)
    }
}

//! What is told of the outline of a cut that is being placed: its length, its islands, and where it would be hard to print.

use seamwright_geometry::{Graze, Lip, Plane, Point, Section, SectionLoop, ThinWall};

use super::{Placement, Placing, PlacingPiece};

/// Plane and surface that lie within this angle of each other graze: what is left between them is thinner than a line of
/// a nozzle of 0.4 mm for 1.5 mm. Our own choice, no source.
pub const GRAZING_DEG: f64 = 15.0;
/// The width of a printed line, mm: that of the commonest nozzle, 0.4 mm (common practice, no source).
pub const PRINT_LINE_MM: f64 = 0.4;
/// Grazing for less than this in all is not told, mm: every rounded edge has some. Our own choice, no source.
pub(crate) const LEAST_GRAZING_MM: f64 = 5.0;
/// Lips narrower than this are not told, mm: gluing and sanding see to them. Our own choice, no source.
const LEAST_LIP_MM: f64 = 2.0;

/// The thinnest wall of an outline with more edges than this is looked for at rest only: 1100 take a millisecond
/// (`examples/wall_speed.rs` of the geometry crate).
const MOST_LIVE_EDGES: usize = 1500;

/// An island of a section that is too narrow to be printed well.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sliver {
    /// Its width, mm: twice its area over its length round.
    pub width_mm: f64,
    /// How long it is round, mm.
    pub round_mm: f64,
    /// A place on it.
    pub place: Point,
}

impl Placement {
    /// How long its outline is, holes included, mm.
    pub fn outline_mm(&self) -> f64 {
        self.outline.iter().map(|line| line.length_mm).sum()
    }

    /// How many separate areas it cuts; those within holes of others count as well.
    pub fn islands(&self) -> usize {
        self.outline.iter().filter(|line| line.area_mm2 > 0.0).count()
    }

    /// How long it grazes the surface in all, mm, and at which angle, degrees; `None` where that is not worth telling.
    pub fn grazing(&self) -> Option<(f64, f64)> {
        let length_mm: f64 = self.grazes.iter().map(|graze| graze.length_mm).sum();
        let weighed: f64 = self.grazes.iter().map(|graze| graze.length_mm * graze.angle_deg).sum();
        (length_mm >= LEAST_GRAZING_MM).then(|| (length_mm, weighed / length_mm))
    }

    pub(super) fn quick_thinnest_wall(&self, plane: &Plane) -> Option<ThinWall> {
        let edges: usize = self.outline.iter().map(|line| line.points.len()).sum();
        if edges > MOST_LIVE_EDGES {
            return None;
        }
        Section { loops: self.outline.clone() }.thinnest_wall(plane)
    }

    /// The narrowest island with no room for two lines side by side.
    pub fn sliver(&self) -> Option<Sliver> {
        let slivers =
            self.outline.iter().filter(|line| line.area_mm2 > 0.0 && line.length_mm > 0.0).filter_map(|line| {
                let width_mm = 2.0 * line.area_mm2 / line.length_mm;
                let place = *line.points.first()?;
                (width_mm < 2.0 * PRINT_LINE_MM).then_some(Sliver { width_mm, round_mm: line.length_mm, place })
            });
        slivers.min_by(|a, b| a.width_mm.total_cmp(&b.width_mm))
    }
}

impl Placing {
    /// The widest lip that a cut along `plane` would leave, thinner than a printed line; `None` where none is worth telling.
    pub(super) fn lip(&self, plane: &Plane) -> Option<Lip> {
        let lips = self.pieces.iter().filter(|piece| piece.in_scope).filter_map(|piece| {
            let section = piece.section.as_ref()?;
            let (_, grazes) = section.section_and_grazes(&piece.solid, plane, GRAZING_DEG);
            section.widest_lip(&piece.solid, plane, &grazes, PRINT_LINE_MM)
        });
        let reach = |lip: &Lip| lip.width_mm.unwrap_or(f64::INFINITY);
        let widest = lips.max_by(|a, b| reach(a).total_cmp(&reach(b)))?;
        (reach(&widest) >= LEAST_LIP_MM && widest.length_mm >= LEAST_GRAZING_MM).then_some(widest)
    }
}

impl PlacingPiece {
    /// The lines that `plane` draws on it, and where they graze its surface.
    pub(super) fn told_outline(&self, plane: &Plane) -> (Vec<SectionLoop>, Vec<Graze>) {
        let Some(section) = &self.section else { return Default::default() };
        let (outline, grazes) = section.section_and_grazes(&self.solid, plane, GRAZING_DEG);
        (outline.loops, grazes)
    }
}

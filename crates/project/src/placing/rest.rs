//! What is asked of a cut once the hand rests: too slow for every frame, quick enough not to be waited for.

use seamwright_geometry::{Cancelled, Lip, Plane, Progress, Section, ThinWall, count_bodies_of_sides};

use super::Placing;

/// What a cut that rests would do, besides what is known in every frame.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AtRest {
    /// The thinnest wall of its section.
    pub thinnest_wall: Option<ThinWall>,
    /// The widest lip that is thinner than a printed line.
    pub lip: Option<Lip>,
    /// How many unconnected bodies there would be below and above it, of the pieces that it crosses.
    pub bodies: [usize; 2],
}

impl Placing {
    /// What a cut along `plane` would do if it stayed there.
    pub fn at_rest(&self, plane: &Plane, progress: &Progress) -> Result<AtRest, Cancelled> {
        let mut rest = AtRest::default();
        let mut section = Section::default();
        for piece in self.pieces.iter().filter(|piece| piece.in_scope) {
            progress.check()?;
            let outline = piece.outline(plane);
            if outline.is_empty() {
                continue;
            }
            section.loops.extend(outline);
            let bodies = count_bodies_of_sides(&piece.solid, plane, progress)?;
            (0..2).for_each(|side| rest.bodies[side] += bodies[side]);
        }
        rest.thinnest_wall = section.thinnest_wall(plane);
        progress.check()?;
        rest.lip = self.lip(plane);
        Ok(rest)
    }
}

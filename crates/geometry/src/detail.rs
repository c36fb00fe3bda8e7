//! What on a model a cut may be meant to follow: lines of creases and grooves, flat faces, planes of symmetry, and where it
//! is narrowest.

mod creases;
mod flats;
mod narrow;
mod symmetry;

use crate::{Cancelled, EdgeTable, Plane, Point, Progress, SectionSupport, Solid};

/// A plane that something on a model suggests.
#[derive(Clone, Debug, PartialEq)]
pub struct Detail {
    /// The plane.
    pub plane: Plane,
    /// What suggests it.
    pub kind: DetailKind,
    /// The farthest that what suggests it is off the plane, mm.
    pub off_mm: f64,
    /// How much suggests it: length of the lines, mm; area of the face or of the section, mm²; for a plane of symmetry the
    /// share of the surface that it mirrors.
    pub extent: f64,
    /// Places on what suggests it, to be shown; for lines their pieces, two by two.
    pub places: Vec<Point>,
}

/// What suggests a plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DetailKind {
    /// Lines along which the surface is bent sharply: creases, grooves, trim.
    Crease,
    /// A flat face.
    Flat,
    /// The plane mirrors the model.
    Symmetry,
    /// The section is smaller than those on both sides of it.
    Narrowest,
}

/// Finds what a cut through `solid` may be meant to follow, the most telling of each kind first. For the worker: it goes over the
/// whole mesh several times.
pub fn details(solid: &Solid, support: &SectionSupport, progress: &Progress) -> Result<Vec<Detail>, Cancelled> {
    progress.stage("looking for details");
    let Some(bounds) = solid.mesh.bounds() else { return Ok(Vec::new()) };
    let edges = EdgeTable::new(&solid.mesh);
    progress.check()?;
    let mut found = creases::find(&solid.mesh, &edges, &bounds, progress)?;
    found.extend(flats::find(&solid.mesh, &edges, &bounds, progress)?);
    found.extend(symmetry::find(&solid.mesh, &bounds, progress)?);
    found.extend(narrow::find(solid, support, &bounds, progress)?);
    Ok(found)
}

/// How near a plane must come to a detail to be drawn to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// Distance at the place where the plane is held, mm.
    pub off_mm: f64,
    /// Angle between the planes, degrees.
    pub turn_deg: f64,
}

/// The detail that a plane held at `at` is drawn to: the nearest within `pull`, measured in shares of it. Its plane has the
/// normal on the side of `plane`'s.
pub fn drawn_to<'a>(details: &'a [Detail], plane: &Plane, at: &Point, pull: Pull) -> Option<(&'a Detail, Plane)> {
    let nearness = |detail: &'a Detail| {
        let cos = detail.plane.normal().dot(&plane.normal());
        let turn = cos.abs().min(1.0).acos().to_degrees() / pull.turn_deg;
        let off = detail.plane.distance_mm(at).abs() / pull.off_mm;
        let faced = if cos < 0.0 { detail.plane.flipped() } else { detail.plane };
        (turn <= 1.0 && off <= 1.0).then_some((turn + off, detail, faced))
    };
    let nearest = details.iter().filter_map(nearness).min_by(|a, b| a.0.total_cmp(&b.0));
    nearest.map(|(_, detail, plane)| (detail, plane))
}

/// Details of each kind that are offered at most. More would pull a plane at every step. Our own choice, no source.
const OF_A_KIND: usize = 12;

#[cfg(test)]
mod tests;

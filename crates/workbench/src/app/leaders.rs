//! Lines that lead from each piece to the one it is glued to, while the pieces are drawn apart.

use std::collections::HashMap;

use seamwright_geometry::{Point, Solid, Vector};
use seamwright_project::{Outcome, Piece, PieceId, Seam};

/// A place on each seam of `outcome`, in their order: that point of the seam which lies nearest to its middle, so that a
/// line to it ends on the material, also where the seam is a ring.
pub fn places(outcome: &Outcome) -> Vec<Option<Point>> {
    let pieces: HashMap<&PieceId, &Piece> = outcome.pieces.iter().map(|piece| (&piece.id, piece)).collect();
    outcome.seams.iter().map(|seam| place(seam, &pieces)).collect()
}

fn place(seam: &Seam, pieces: &HashMap<&PieceId, &Piece>) -> Option<Point> {
    // Of the two caps the smaller one: the other may meet further pieces.
    let cap_mm2 = |piece: &Piece| -> f64 {
        piece.facts.caps.iter().filter(|cap| cap.cut == seam.cut).map(|cap| cap.area_mm2).sum()
    };
    let [below, above] = [&seam.below, &seam.above].map(|id| pieces.get(id));
    let (below, above) = (below?, above?);
    let piece = if cap_mm2(below) <= cap_mm2(above) { below } else { above };
    middle_of_cap(&piece.solid, seam.cut.0)
}

fn middle_of_cap(solid: &Solid, label: u32) -> Option<Point> {
    let faces = (0..solid.mesh.triangles.len()).filter(|&t| solid.origins[t].cap_label() == Some(label));
    let corners = |t: usize| solid.mesh.corners(t);
    let faces: Vec<usize> = faces.collect();
    let (mut sum, mut area) = (Vector::zeros(), 0.0);
    for &t in &faces {
        let [a, b, c] = corners(t);
        let doubled = (b - a).cross(&(c - a)).norm();
        sum += (a.coords + b.coords + c.coords) / 3.0 * doubled;
        area += doubled;
    }
    if area == 0.0 {
        return None;
    }
    let middle = Point::from(sum / area);
    let centre = |t: usize| {
        let [a, b, c] = corners(t);
        Point::from((a.coords + b.coords + c.coords) / 3.0)
    };
    faces.into_iter().map(centre).min_by(|p, q| (p - middle).norm().total_cmp(&(q - middle).norm()))
}

/// The lines themselves: from the place on the one piece to the same place on the other, where they are drawn `offset`
/// from where they are. None where pieces are together, or out of sight.
pub fn lines(
    outcome: &Outcome,
    places: &[Option<Point>],
    offset: impl Fn(&PieceId) -> Option<Vector>,
) -> Vec<Vec<Point>> {
    let line = |(seam, place): (&Seam, &Option<Point>)| {
        let (place, below, above) = ((*place)?, offset(&seam.below)?, offset(&seam.above)?);
        (below != above).then(|| vec![place + below, place + above])
    };
    outcome.seams.iter().zip(places).filter_map(line).collect()
}

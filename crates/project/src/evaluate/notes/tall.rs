//! Pieces that stand tall on next to nothing as they are printed: they break loose, or sway under the nozzle.

use seamwright_geometry::{Reason, Vector};

use super::note;
use super::standing::{balance, foot};
use crate::kit::{LaidBy, lay};
use crate::outcome::{Note, Outcome, Piece, Weight};

/// What topples in its lay when it is tilted by less is told of, degrees: a column that is ten times as tall as it is thick
/// bears 5.7. Our own choice, no source.
const TALL_DEG: f64 = 6.0;
/// What is lower is little to knock over, mm. Our own choice, no source.
const LEAST_MM: f64 = 40.0;
/// So many pieces are named. Our own choice, no source.
const MOST_NAMED: usize = 4;

/// A piece as it is printed.
struct Tall<'a> {
    piece: &'a Piece,
    bears_deg: f64,
    high_mm: f64,
    foot_mm: [f64; 2],
}

/// One note on all of them, with the one that stands worst; of a model that is not cut yet there is a note of its own.
pub(super) fn notice(outcome: &Outcome) -> Option<Note> {
    if outcome.recipe.cuts.is_empty() {
        return None;
    }
    let pieces = outcome.pieces.iter().filter(|piece| !piece.is_crumb() && piece.fit.verdict.fits());
    let mut tall: Vec<Tall> = pieces.filter_map(|piece| as_printed(outcome, piece)).collect();
    tall.sort_by(|a, b| a.bears_deg.total_cmp(&b.bears_deg));
    let Tall { piece, high_mm, foot_mm: [long_mm, wide_mm], .. } = tall.first()?;
    let on = format!("{high_mm:.0} mm tall on a foot of {long_mm:.0} × {wide_mm:.1} mm");
    let way_out = "Print with a brim and supports, or move the cut it stands on";
    let text = match tall.len() {
        1 => format!("{} is printed standing {on}: it may break loose. {way_out}", piece.mark),
        n => {
            let named: Vec<&str> = tall.iter().take(MOST_NAMED).map(|tall| tall.piece.mark.as_str()).collect();
            let more = if n > MOST_NAMED { format!(" and {} more", n - MOST_NAMED) } else { String::new() };
            format!(
                "{}{more} are printed standing tall on next to nothing, {} {on}: they may break loose. {way_out}",
                named.join(", "),
                piece.mark
            )
        }
    };
    Some(Note { piece: Some(piece.id.clone()), place: Some(piece.facts.bounds.centre()), ..note(Weight::Remark, text) })
}

/// A piece that would topple at a touch in the lay that it is printed in.
fn as_printed<'a>(outcome: &Outcome, piece: &'a Piece) -> Option<Tall<'a>> {
    let lay = lay(outcome, piece);
    // What has no flat on the bed has a note of its own.
    if lay.by == LaidBy::PoseThatFits && matches!(piece.fit.reason, Reason::TiltsFreely) {
        return None;
    }
    let down = lay.pose.rotation.inverse() * -Vector::z();
    let along = || piece.facts.hull.iter().map(|p| p.coords.dot(&down));
    let high_mm = along().fold(f64::NEG_INFINITY, f64::max) - along().fold(f64::INFINITY, f64::min);
    if high_mm < LEAST_MM {
        return None;
    }
    let foot = foot(&piece.facts.hull, &down)?;
    let bears_deg = foot.bears_deg(&balance(&piece.solid.mesh, piece.facts.closed)?);
    (bears_deg < TALL_DEG).then(|| Tall { piece, bears_deg, high_mm, foot_mm: foot.sizes_mm() })
}

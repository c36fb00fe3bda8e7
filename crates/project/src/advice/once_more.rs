//! Cutting once more a piece that no move of a cut helps.

use std::path::Path;

use seamwright_geometry::{Bed, LastPiece, Progress, StepOffError, Steps, Vector};

use super::about;
use super::words;
use crate::cache::Cache;
use crate::cut_plane::{Axis, CutPlane};
use crate::outcome::{Note, Outcome, Piece};
use crate::placing::{Placing, PlacingError};
use crate::stepping::evenly;
use crate::tried::{Tried, WORTH_A_FLAT, try_cuts};

/// Tells further cuts, square to the axes, with which the piece comes to the fewest parts that fit, or that none of those
/// tried do it. Parts that lie on a flat are preferred to a few less that do not. What is told was made: the pieces were
/// cut, and their verdicts are those of the ledger.
pub(super) fn advise(
    outcome: &Outcome,
    piece: &Piece,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Note, PlacingError> {
    let size = piece.facts.bounds.size();
    let mut tries: Vec<Vec<CutPlane>> = even_parts(&size, &outcome.recipe.beds().collect::<Vec<_>>())
        .into_iter()
        .map(|parts| {
            Axis::ALL.into_iter().flat_map(|axis| evenly(&piece.facts.bounds, axis, parts[axis.index()])).collect()
        })
        .collect();
    tries.extend(stepped(outcome, piece, project_dir, cache, progress)?);
    let parts_of = |planes: &[CutPlane]| -> usize { per_axis(planes).map(|cuts| cuts + 1).iter().product() };
    // The fewest parts; of as many, across fewer axes, and across the longest side.
    let across = |planes: &[CutPlane]| per_axis(planes).iter().filter(|cuts| **cuts > 0).count();
    let longest = |planes: &[CutPlane]| planes.iter().map(|plane| size[plane.axis.index()]).fold(0.0, f64::max);
    tries.sort_by(|a, b| {
        parts_of(a).cmp(&parts_of(b)).then(across(a).cmp(&across(b))).then(longest(b).total_cmp(&longest(a)))
    });
    tries.dedup();

    // Parts whose boxes lie in a bed are tried in any case: what comes to fewer parts may use up all the tries.
    let beds: Vec<&Bed> = outcome.recipe.beds().collect();
    let is_sure = |planes: &[CutPlane]| lies_in_a_bed(&size, per_axis(planes).map(|cuts| cuts + 1), &beds, 1.0);
    let mut tilted: Option<(usize, Note)> = None;
    let (mut tries_left, mut sure_left) = (MOST_TRIES, MOST_SURE_TRIES);
    for planes in tries {
        let left = if is_sure(&planes) { &mut sure_left } else { &mut tries_left };
        if *left == 0 {
            continue;
        }
        *left -= 1;
        let tried = try_cuts(&outcome.recipe, &piece.id, &planes, project_dir, cache, progress);
        let tried = tried.map_err(|_| PlacingError::Cancelled)?;
        let Some(Tried { edit, parts, excess_mm: None, tilts_freely }) = tried else { continue };
        let text = words::cut_across(per_axis(&planes), !piece.id.path.is_empty(), parts);
        let note = Note { edit: Some(edit), ..about(piece, text, None) };
        match &tilted {
            None if tilts_freely => tilted = Some((parts, note)),
            Some((fewer, _)) if parts > WORTH_A_FLAT * fewer => break,
            _ if !tilts_freely => return Ok(note),
            _ => {}
        }
    }
    if let Some((_, note)) = tilted {
        return Ok(note);
    }
    Ok(about(piece, words::cut_by_hand(!piece.id.path.is_empty()), None))
}

/// Ways that are tried at most: each is cut, and may take a second on a large model (our own choice, no source).
const MOST_TRIES: usize = 20;
/// Of ways whose parts lie in a bed by their boxes alone, so many more (our own choice, no source).
const MOST_SURE_TRIES: usize = 4;
/// More parts than this are no advice (our own choice, no source).
const MOST_PARTS: usize = 64;
/// The two shorter sides of a part may be so much longer than those of a bed and still be worth a try: corners are missing
/// from most shapes, and tilted there is more room. The longest may lie along the diagonal. Our own choice, no source.
const WORTH_A_TRY: f64 = 1.3;

/// Whether the boxes of so many even parts of one of `size` lie in a bed along its sides, where the two shorter ones may be
/// longer by a factor; with more than one the longest may lie along the bed's diagonal.
fn lies_in_a_bed(size: &Vector, parts: [usize; 3], beds: &[&Bed], longer_by: f64) -> bool {
    let sorted = |mut sides: [f64; 3]| {
        sides.sort_by(f64::total_cmp);
        sides
    };
    let part = sorted([0, 1, 2].map(|k| size[k] / parts[k] as f64));
    let holds = |bed: &&Bed| {
        let room = sorted(bed.room_mm());
        let diagonal = room.iter().map(|side| side * side).sum::<f64>().sqrt();
        let longest = if longer_by > 1.0 { diagonal } else { room[2] };
        part[2] <= longest && (0..2).all(|k| part[k] <= longer_by * room[k])
    };
    beds.iter().any(holds)
}

/// In how many even parts along each axis a box of `size` might fit a bed.
fn even_parts(size: &Vector, beds: &[&Bed]) -> Vec<[usize; 3]> {
    let worth_a_try = |parts: [usize; 3]| lies_in_a_bed(size, parts, beds, WORTH_A_TRY);
    let counts = || 1..=MOST_PARTS;
    let mut all = Vec::new();
    for x in counts() {
        for y in counts().take_while(|y| x * y <= MOST_PARTS) {
            let z = counts().take_while(|z| x * y * z <= MOST_PARTS);
            all.extend(z.map(|z| [x, y, z]).filter(|parts| *parts != [1; 3] && worth_a_try(*parts)));
        }
    }
    all
}

/// The piece stepped off along each axis, each part as long as fits: for what lies askew in its box.
fn stepped(
    outcome: &Outcome,
    piece: &Piece,
    project_dir: &Path,
    cache: &Cache,
    progress: &Progress,
) -> Result<Vec<Vec<CutPlane>>, PlacingError> {
    let placing = Placing::prepare_part(&outcome.recipe, piece.id.part, project_dir, cache, progress)?;
    let mut stepped = Vec::new();
    for axis in Axis::ALL {
        let like = CutPlane::square(axis, piece.facts.bounds.centre()[axis.index()]);
        let last = LastPiece { least_mm: 0.0 };
        for steps in [Steps::Equal, Steps::AsLongAsFits] {
            match placing.step_off(&piece.id, &like, false, steps, last, progress) {
                Ok(planes) if !planes.is_empty() && planes.len() < MOST_PARTS => stepped.push(planes),
                Err(StepOffError::Cancelled) => return Err(PlacingError::Cancelled),
                Ok(_) | Err(_) => {}
            }
        }
    }
    Ok(stepped)
}

/// How many cuts are square to each axis.
fn per_axis(planes: &[CutPlane]) -> [usize; 3] {
    Axis::ALL.map(|axis| planes.iter().filter(|plane| plane.axis == axis).count())
}

//! What stands on the bench, made from the state in every frame.

use std::sync::Arc;

use seamwright_geometry::{Bounds, Point};
use seamwright_project::{CutForm, PartId, PieceId};

use super::bodies::Bodies;
use super::compare::Compared;
use super::engine::{Outcome, Piece};
use super::state::{Line, State, Tool};
use super::{beds, bore_in_hand, drawn, leaders, outline, pointing};
use crate::bench::{
    BedUnderneath, Body, CutInHand, Drawn, Emphasis, Label, MeshId, Mode, Residual, Scene, SurfaceHit, corners,
};
use crate::shown;
use crate::text;

/// The scene of this frame. Pieces have the number of their place in the outcome as [`MeshId`].
pub fn build(state: &State, outlines: &Arc<Vec<Vec<Point>>>) -> Scene {
    let Some(part) = state.part_bounds() else { return Scene::default() };
    let in_hand = cut_in_hand(state, &part);
    let (steps, dimensions) = state.stepped_lines().unzip();
    let mut drawn = drawn::drawn_pieces(state);
    let tapes = state.tape_lines().iter().cloned();
    let leaders = state.outcome.iter().flat_map(|outcome| leader_lines(state, outcome, &state.bodies, &drawn));
    let pencil = Arc::new(room_around(&drawn).into_iter().chain(leaders).chain(tapes).collect());
    if drawn.is_empty() {
        let flat = state.shown_cut().is_some_and(|shown| shown.form == CutForm::Flat);
        let follows_cut = flat && in_hand.is_some();
        let uncut = |(i, body): (usize, &Arc<Body>)| Drawn {
            follows_cut,
            ..Drawn::new(MeshId(u64::MAX - i as u64), body.clone())
        };
        drawn.extend(state.bodies.parts.iter().enumerate().map(uncut));
    }
    Scene {
        labels: labels(state, &drawn).into_iter().chain(state.measure_labels()).collect(),
        drawn,
        outlines: match shell_bounds(state).filter(|_| in_hand.is_none() && state.open_line == Some(Line::Shells)) {
            Some(bounds) => Arc::new(box_lines(&bounds)),
            None if in_hand.is_some() => outlines.clone(),
            None if state.picked_outline().is_some() => state.picked_outline().cloned().unwrap_or_default(),
            None => Arc::new(steps.or_else(|| state.shown_cut_lines().cloned()).unwrap_or_default()),
        },
        lit: Arc::new(pointing::finding_lines(state).filter(|_| in_hand.is_none()).unwrap_or_default()),
        pointed: state.pointed,
        details: state.details_in_hand().cloned().unwrap_or_default(),
        residuals: residuals(state),
        grazes: Arc::new(grazes(state)),
        cut_words: cut_words(state),
        hint: match &in_hand {
            None => state.shown_cut_lines().map(|_| text::bench::SHOWN_CUTS_KEYS),
            Some(cut) if !cut.held && state.tool == Tool::Look => Some(text::bench::TOGETHER_TO_DRAG),
            Some(_) => None,
        },
        cut: in_hand,
        bore: bore_in_hand::in_hand(state),
        picked: state.tool.picked().to_vec(),
        bed: Some(BedUnderneath::under(beds::shown_bed(state).clone(), &part)),
        dimensions: dimensions.unwrap_or_else(|| state.measure_dimensions()),
        pencil,
        cuts_across: (state.tool == Tool::CutOnSurface).then_some(part),
    }
}

/// How far points that are being picked for a cut lie off their plane; three lie on it.
fn residuals(state: &State) -> Vec<Residual> {
    let (Some(Ok(best)), points) = (state.picked_plane(), state.tool.picked()) else { return Vec::new() };
    if points.len() < 4 {
        return Vec::new();
    }
    points.iter().map(|at| Residual { at: *at, foot: best.plane.project(at) }).collect()
}

/// What is said of the outline of the cut in hand while it is dragged.
fn cut_words(state: &State) -> Vec<(String, bool)> {
    let Some(placement) = state.placement.as_ref().filter(|placement| placement.sides_known) else { return Vec::new() };
    if placement.outline.is_empty() {
        return Vec::new();
    }
    let warnings = outline::warnings(state).into_iter().map(|warning| (warning.text, true));
    [(outline::facts(placement, true), false)].into_iter().chain(warnings).collect()
}

/// Where the cut in hand grazes the surface, if that is worth telling.
fn grazes(state: &State) -> Vec<Vec<Point>> {
    let told = state.placement.as_ref().filter(|placement| placement.grazing().is_some() && state.held_cut().is_some());
    told.map_or_else(Vec::new, |told| {
        told.grazes.iter().flat_map(|graze| &graze.lines).map(|line| line.to_vec()).collect()
    })
}

/// The box around the shell that is lit up, where it stands.
pub fn shell_bounds(state: &State) -> Option<Bounds> {
    let outcome = state.outcome.as_ref()?;
    outcome.shell_boxes.get(state.selected_shell? as usize).copied()
}

/// The part that a mesh of the scene belongs to.
pub fn part_of(state: &State, mesh: MeshId) -> PartId {
    let uncut = || {
        let at = usize::try_from(u64::MAX - mesh.0).ok()?;
        state.outcome.as_ref()?.parts.get(at).map(|part| part.id)
    };
    piece_of(state, mesh).map(|piece| piece.id.part).or_else(uncut).unwrap_or(PartId::MAIN)
}

/// The shell that a click on a mesh meant.
pub fn shell_of(state: &State, hit: &SurfaceHit) -> Option<u32> {
    let stock = state.outcome.as_ref()?.stock.as_ref()?;
    let origins = match piece_of(state, hit.id) {
        Some(piece) => &piece.solid.origins,
        None => &state.outcome.as_ref()?.parts.get(usize::try_from(u64::MAX - hit.id.0).ok()?)?.solid.origins,
    };
    let face = origins.get(hit.face)?.stock_face()?;
    stock.shell_of_face.get(face as usize).copied()
}

/// The edges of a box, as lines.
fn box_lines(b: &Bounds) -> Vec<Vec<Point>> {
    let c = corners(b);
    let edges = (0..8_usize).flat_map(|i| [1, 2, 4].map(|bit| (i, i | bit))).filter(|(i, j)| i != j);
    edges.map(|(i, j)| vec![c[i], c[j]]).collect()
}

/// What a click on the bench means now.
pub fn mode(state: &State) -> Mode {
    match state.tool {
        Tool::Look => Mode::Look,
        Tool::CutOnSurface | Tool::StandOn => Mode::PlaceByClick,
        Tool::PickPoints(_) | Tool::Distance(_) | Tool::BorePoints(_) | Tool::MagnetPlaces(_) | Tool::Measure(_) => {
            Mode::PickPoints
        }
    }
}

/// The piece that a mesh of the scene stands for.
pub fn piece_of(state: &State, mesh: MeshId) -> Option<&Piece> {
    state.pieces().get(usize::try_from(mesh.0).ok()?)
}

/// Lines from seam to seam of `outcome` while the pieces are drawn apart.
fn leader_lines(state: &State, outcome: &Outcome, bodies: &Bodies, drawn: &[Drawn]) -> Vec<Vec<Point>> {
    if state.exploded == 0.0 {
        return Vec::new();
    }
    let offset = |id: &PieceId| {
        let at = outcome.pieces.iter().position(|piece| piece.id == *id)?;
        drawn.get(at).filter(|drawn| drawn.emphasis != Emphasis::Hidden).map(|drawn| drawn.offset)
    };
    leaders::lines(outcome, &bodies.seam_places, offset)
}

/// The scene of earlier results, bare of all that is being done now; `None` while they are not there.
pub fn earlier(state: &State, compared: &Compared) -> Option<Scene> {
    let (outcome, bodies) = compared.shown.as_ref()?;
    let part = bodies.part_bounds?;
    let apart = shown::told_apart(outcome);
    let offsets = shown::exploded_offsets(&outcome.pieces, &bodies.apart, f64::from(state.exploded));
    let piece = |(i, (piece, body)): (usize, (&Piece, &Arc<Body>))| Drawn {
        follows_cut: false,
        apart: apart[i],
        tone: shown::tone_of_piece(piece),
        offset: offsets[i],
        emphasis: if state.sets.hidden.contains(&piece.id) { Emphasis::Hidden } else { Emphasis::Plain },
        held_against: shown::held_against(&outcome.recipe, piece, piece.bed),
        ..Drawn::new(MeshId(i as u64), body.clone())
    };
    let drawn: Vec<Drawn> = outcome.pieces.iter().zip(&bodies.pieces).enumerate().map(piece).collect();
    let label = |(piece, drawn): (&Piece, &Drawn)| Label {
        at: piece.facts.bounds.centre() + drawn.offset,
        text: piece.mark.clone(),
        strong: false,
        of: Some(drawn.id),
    };
    let labels = outcome.pieces.iter().zip(&drawn).filter(|(_, drawn)| drawn.emphasis != Emphasis::Hidden).map(label);
    let bed = Some(BedUnderneath::under(outcome.recipe.bed.clone(), &part));
    let pencil = Arc::new(leader_lines(state, outcome, bodies, &drawn));
    Some(Scene { labels: labels.collect(), drawn, bed, pencil, ..Scene::default() })
}

/// The room of the bed around the piece that is selected, or under the pointer, if it sticks out of it.
fn room_around(drawn: &[Drawn]) -> Vec<Vec<Point>> {
    let raised = |d: &&Drawn| matches!(d.emphasis, Emphasis::Selected | Emphasis::Hovered);
    let held = drawn.iter().filter(raised).filter_map(|d| Some((d.held_against.as_ref()?, d.offset)));
    held.flat_map(|(held, offset)| beds::room_lines(held, &offset)).collect()
}

fn cut_in_hand(state: &State, part: &Bounds) -> Option<CutInHand> {
    let plane = state.plane_in_hand()?;
    let [below, above] = state.side_tones();
    let together = state.exploded == 0.0 || state.preview.is_some();
    let offset_mm = state.shown_plane()?.offset_mm();
    let held = together && state.tool == Tool::Look;
    let (said, band) = (state.sides_said(), state.band());
    Some(CutInHand { offset_mm, below, above, said, band, held, ..CutInHand::new(plane, part) })
}

/// Marks float over their pieces; a single piece needs none, and over a bore in hand they would hide it.
fn labels(state: &State, drawn: &[Drawn]) -> Vec<Label> {
    if state.pieces().len() < 2 || state.preview.is_some() || state.held_bore().is_some() || state.is_out_of_date() {
        return Vec::new();
    }
    let of = |(piece, drawn): (&Piece, &Drawn)| Label {
        at: piece.facts.bounds.centre() + drawn.offset,
        text: piece.mark.clone(),
        strong: matches!(drawn.emphasis, Emphasis::Selected | Emphasis::Hovered),
        of: Some(drawn.id),
    };
    state.pieces().iter().zip(drawn).filter(|(_, drawn)| drawn.emphasis != Emphasis::Hidden).map(of).collect()
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use seamwright_geometry::{Bed, Progress};
    use seamwright_project::{Cache, Document, evaluate, store};

    use super::super::bodies::BodyStore;
    use super::*;

    #[test]
    fn what_was_before_is_shown_with_all_its_marks() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
        let mut recipe = store::open(&folder.join("helm.seamwright.json")).unwrap();
        recipe.bed = Bed::rectangle(150.0, 150.0, 250.0);
        let outcome = evaluate(&recipe, &folder, &Cache::default(), &Progress::new()).unwrap();
        let bodies = BodyStore::default().of(&outcome, &Progress::new()).unwrap();
        let compared = Compared { without: "a change".into(), shown: Some((Arc::new(outcome), bodies)) };
        let mut state = State::new(Document::new(recipe));
        state.exploded = 1.0;
        let scene = earlier(&state, &compared).unwrap();
        let cut = |drawn: &Drawn| (0..drawn.body.mesh().triangles.len()).any(|face| drawn.body.is_cap(face));
        assert!(scene.drawn.len() > 4 && scene.drawn.iter().all(cut), "faces that were cut are known as such");
        assert!(scene.drawn.iter().any(|drawn| drawn.held_against.is_some()), "what sticks out of the bed is marked");
        assert!(!scene.pencil.is_empty(), "lines lead from seam to seam");
        state.exploded = 0.0;
        assert!(earlier(&state, &compared).unwrap().pencil.is_empty());
    }
}

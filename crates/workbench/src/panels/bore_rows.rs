//! The rows of a bore's card: rod, clearance, shape, where it lies.

use egui::{Grid, Ui};
use seamwright_project::rods::{Clearance, ClearanceClass, PRINTER_SOURCE, RodKind, rods};
use seamwright_project::{AtSeam, Axis, Bore, BoreChange, BoreShape, Placed, RodChoice};

use super::bore_card::{change, number};
use super::bore_choice::choose;
use super::entry::Entry;
use crate::app::state::State;
use crate::app::style::{Paper, choice};
use crate::app::{Action, BoreAction, Queue};
use crate::text;

/// The rod, its diameter, and how much play it has.
pub fn rod_rows(ui: &mut Ui, queue: &mut Queue, bore: &Bore) {
    let all = rods_to_choose();
    if let Some(rod) = choose(ui, text::bore_form::ROD, &bore.rod, &bore.rod.words(), &all) {
        // What is typed begins with the diameter that was there.
        let mm = bore.rod.diameter_mm();
        change(
            queue,
            bore,
            BoreChange::Rod(match rod {
                RodChoice::Typed(_) => RodChoice::Typed(mm),
                RodChoice::Magnets(_) => RodChoice::Magnets(mm),
                listed => listed,
            }),
        );
    }
    match bore.rod {
        RodChoice::Typed(mm) => {
            let entry = Entry::length(text::bore_form::DIAMETER, mm).step(0.5).hint(text::bore_form::DIAMETER_HINT);
            number(ui, queue, bore, entry, |mm| BoreChange::Rod(RodChoice::Typed(mm)));
        }
        RodChoice::Magnets(mm) => {
            let entry =
                Entry::length(text::bore_form::DIAMETER, mm).step(0.5).hint(text::bore_form::MAGNET_DIAMETER_HINT);
            number(ui, queue, bore, entry, |mm| BoreChange::Rod(RodChoice::Magnets(mm)));
            if let Some(seam) = bore.seam {
                let entry = Entry::length(text::bore_form::THICKNESS, seam.thickness_mm)
                    .step(0.5)
                    .hint(text::bore_form::THICKNESS_HINT);
                number(ui, queue, bore, entry, |mm| BoreChange::Seam(AtSeam { thickness_mm: mm, ..seam }));
            }
        }
        RodChoice::Listed(_) => {}
    }
    let typed = Clearance::Typed(bore.hole().diameter_mm - bore.rod.diameter_mm());
    let class = |class: ClearanceClass| (Clearance::Class(class), class.name().to_owned(), String::new());
    let mut classes: Vec<_> = ClearanceClass::ALL.into_iter().map(class).collect();
    classes.push((typed, text::bore_form::TYPED.into(), text::bore_form::TYPED_HINT.into()));
    let words = match bore.clearance {
        Clearance::Class(class) => class.name(),
        Clearance::Typed(_) => text::bore_form::TYPED,
    };
    if let Some(clearance) = choose(ui, text::bore_form::CLEARANCE, &bore.clearance, words, &classes) {
        change(queue, bore, BoreChange::Clearance(clearance));
    }
    if let Clearance::Typed(mm) = bore.clearance {
        let entry = Entry::length(text::bore_form::PLAY, mm).step(0.1).hint(text::bore_form::PLAY_HINT);
        number(ui, queue, bore, entry, |mm| BoreChange::Clearance(Clearance::Typed(mm)));
    }
    let entry = Entry::length(text::bore_form::PRINTER_TAKES, bore.printer_mm).step(0.1).hint(PRINTER_SOURCE);
    number(ui, queue, bore, entry, BoreChange::Printer);
}

fn rods_to_choose() -> Vec<(RodChoice, String, String)> {
    let mut all = Vec::new();
    for kind in RodKind::ALL {
        let of_kind = rods().into_iter().filter(|rod| rod.kind == kind);
        all.extend(of_kind.map(|rod| {
            let hint = text::bore_form::listed(rod.diameter_mm, rod.origin.words());
            (RodChoice::Listed(rod.name.to_owned()), rod.words(), hint)
        }));
    }
    // These stand for whatever diameter is typed.
    all.push((
        RodChoice::Typed(f64::NAN),
        text::bore_form::ANOTHER_ROD.into(),
        text::bore_form::ANOTHER_ROD_HINT.into(),
    ));
    all.push((RodChoice::Magnets(f64::NAN), text::bore_form::MAGNETS.into(), text::bore_form::MAGNETS_HINT.into()));
    all
}

/// Its cross-section, and where that is turned to.
pub fn shape_rows(ui: &mut Ui, state: &State, queue: &mut Queue, bore: &Bore) {
    let hint = |shape: BoreShape| match shape {
        BoreShape::Round => text::bore_form::ROUND_HINT,
        BoreShape::Teardrop => text::bore_form::TEARDROP_HINT,
        BoreShape::FlatRoof => text::bore_form::FLAT_ROOF_HINT,
        BoreShape::Square => text::bore_form::SQUARE_HINT,
        BoreShape::Hexagon => text::bore_form::HEXAGON_HINT,
        BoreShape::Slit => text::bore_form::SLIT_HINT,
    };
    let all: Vec<_> = BoreShape::ALL.into_iter().map(|s| (s, s.name().to_owned(), hint(s).to_owned())).collect();
    if let Some(shape) = choose(ui, text::bore_form::SHAPE, &bore.shape, bore.shape.name(), &all) {
        change(queue, bore, BoreChange::Shape(shape));
    }
    if !bore.shape.is_turned() {
        return;
    }
    if bore.shape.has_roof() && roof_as_laid(ui, queue, bore) {
        return;
    }
    let ways = Axis::ALL.into_iter().flat_map(|axis| [(axis, 1.0), (axis, -1.0)]);
    let mut all: Vec<([f64; 3], String, String)> = ways
        .map(|(axis, sign)| {
            let mut up = [0.0; 3];
            up[axis.index()] = sign;
            (up, text::bore_form::way(sign, axis.name()), String::new())
        })
        .collect();
    // A roof prints best when it points up as the piece lies.
    all.extend(
        state
            .lays_across(bore.id)
            .into_iter()
            .map(|(mark, up)| (up, text::bore_form::up_as_lies(&mark), String::new())),
    );
    let words = all
        .iter()
        .find(|(up, ..)| *up == bore.up)
        .map_or(text::bore_form::AS_IT_IS, |(_, words, _)| words.as_str())
        .to_owned();
    if let Some(up) = choose(ui, text::bore_form::TURNED_TO, &bore.up, &words, &all) {
        change(queue, bore, BoreChange::Up(up));
    }
}

/// Whether its roof follows how the pieces lie.
fn roof_as_laid(ui: &mut Ui, queue: &mut Queue, bore: &Bore) -> bool {
    ui.label(text::bore_form::ROOF);
    let mut as_laid = bore.up_as_laid;
    let hint = text::bore_form::ROOF_UP_HINT;
    if ui.checkbox(&mut as_laid, text::bore_form::ROOF_UP).on_hover_text(hint).changed() {
        change(queue, bore, if as_laid { BoreChange::UpAsLaid } else { BoreChange::Up(bore.up) });
    }
    ui.end_row();
    bore.up_as_laid
}

/// Where its points lie.
pub fn placing(ui: &mut Ui, state: &State, queue: &mut Queue, bore: &Bore) {
    let shown = state.shown_bore().filter(|shown| shown.id == bore.id);
    if bore.seam.is_some() {
        return seam_place(ui, queue, bore, shown.as_ref());
    }
    Grid::new("points").num_columns(2).show(ui, |ui| {
        for (at, point) in bore.line_mm.iter().enumerate() {
            let name = match at {
                0 => text::bore_form::FROM.to_owned(),
                at if at + 1 == bore.line_mm.len() => text::bore_form::TO.to_owned(),
                at => text::bore_form::bend(at),
            };
            for axis in Axis::ALL {
                let (i, label) = (axis.index(), text::bore_form::coordinate(&name, axis.name()));
                let now = shown.as_ref().and_then(|shown| shown.line_mm.get(at)).map_or(point[i], |p| p[i]);
                let entry = Entry::length(&label, point[i]).shown(now);
                number(ui, queue, bore, entry, |mm| {
                    let mut to_mm = *point;
                    to_mm[i] = mm;
                    BoreChange::Point { at, to_mm }
                });
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.label(text::bore_form::ALONG_MIDDLE);
        for runs in 1..=MOST_RUNS {
            let words = text::bore_form::runs(runs);
            let chosen = bore.placed == Placed::Middle && bore.line_mm.len() == runs + 1;
            let hint = text::bore_form::RUNS_HINT;
            if ui.add(choice(&Paper::of(ui.visuals()), chosen, words)).on_hover_text(hint).clicked() {
                queue.push(Action::Bore(BoreAction::LayAlongMiddle(bore.id, runs)));
            }
        }
    });
}

/// Where two magnets meet; the cut says the rest.
fn seam_place(ui: &mut Ui, queue: &mut Queue, bore: &Bore, shown: Option<&Bore>) {
    let (middle, now) = (bore.middle(), shown.map_or_else(|| bore.middle(), Bore::middle));
    Grid::new("place").num_columns(2).show(ui, |ui| {
        for axis in Axis::ALL {
            let (i, label) = (axis.index(), text::bore_form::at(axis.name()));
            let entry = Entry::length(&label, middle[i]).shown(now[i]).hint(text::bore_form::SEAM_PLACE_HINT);
            number(ui, queue, bore, entry, |mm| {
                let mut line_mm = bore.line_mm.clone();
                line_mm.iter_mut().for_each(|p| p[i] += mm - middle[i]);
                BoreChange::Line { line_mm, placed: Placed::Typed }
            });
        }
    });
}

/// Runs that can be asked for by a click. Our own choice, no source.
const MOST_RUNS: usize = 4;

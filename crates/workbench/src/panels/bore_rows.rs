//! The rows of a bore's card: rod, clearance, shape, where it lies, how it ends.

use egui::{ComboBox, Grid, Ui};
use seamwright_project::rods::{Clearance, ClearanceClass, PRINTER_SOURCE, RodKind, rods};
use seamwright_project::{AtSeam, Axis, Bore, BoreChange, BoreShape, Fitting, Placed, RodChoice, Stop};

use super::bore_card::{change, number};
use super::entry::Entry;
use super::line::remark;
use crate::app::state::State;
use crate::app::style::{Paper, choice};
use crate::app::{Action, BoreAction, Queue};
use crate::text;

/// How wide a choice is where there is room, points.
const WIDTH: f32 = 150.0;

/// Shows a choice; gives what was chosen, if it is another one.
fn choose<T: PartialEq + Clone>(
    ui: &mut Ui,
    name: &str,
    now: &T,
    words: &str,
    all: &[(T, String, String)],
) -> Option<T> {
    choose_hinted(ui, name, now, words, all, "")
}

/// The same, with what the choice is about when the pointer rests on it.
fn choose_hinted<T: PartialEq + Clone>(
    ui: &mut Ui,
    name: &str,
    now: &T,
    words: &str,
    all: &[(T, String, String)],
    about: &str,
) -> Option<T> {
    let label = ui.label(name);
    let mut chosen = None;
    // Beside a long name it is narrower: the job card is not made wider by it.
    let width = ui.available_width().min(WIDTH);
    let combo = ComboBox::from_id_salt(name).selected_text(words).width(width).truncate().show_ui(ui, |ui| {
        for (value, words, hint) in all {
            let row = ui.selectable_label(value == now, words.as_str());
            let row = if hint.is_empty() { row } else { row.on_hover_text(hint) };
            if row.clicked() && value != now {
                chosen = Some(value.clone());
            }
        }
    });
    // What is chosen says what it means; the rest is in the list.
    let of_now = all.iter().find(|(value, ..)| value == now).map_or("", |(_, _, hint)| hint.as_str());
    let hint: Vec<&str> = [of_now, about].into_iter().filter(|words| !words.is_empty()).collect();
    let response = combo.response.labelled_by(label.id);
    if !hint.is_empty() {
        response.on_hover_text(hint.join(".\n"));
    }
    ui.end_row();
    chosen
}

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

/// How it ends, at both ends.
pub fn ends(ui: &mut Ui, queue: &mut Queue, bore: &Bore) {
    if bore.seam.is_some() {
        return;
    }
    for (end, name) in text::bore_form::ENDS.into_iter().enumerate() {
        Grid::new(name).num_columns(2).show(ui, |ui| end_rows(ui, queue, bore, end, name));
    }
    if bore.ends.iter().any(|end| matches!(end.stop, Stop::Blind(_))) {
        Grid::new("glue").num_columns(2).show(ui, |ui| {
            let hint = text::bore_form::GLUE_HINT;
            number(
                ui,
                queue,
                bore,
                Entry::length(text::bore_form::GLUE, bore.glue_mm).step(0.1).hint(hint),
                BoreChange::Glue,
            );
        });
    }
}

/// Below the surface a tip keeps so much, mm, when an end is made blind: wider than any wall. Our own choice, no source.
const BLIND_MM: f64 = 5.0;
/// A countersink is so much wider than the bore at first: the head of a countersunk screw is about twice its thread (from
/// memory, ISO 10642).
const COUNTERSINK_SHARE: f64 = 2.0;

fn end_rows(ui: &mut Ui, queue: &mut Queue, bore: &Bore, end: usize, name: &str) {
    let now = bore.ends[end];
    let blind = if let Stop::Blind(mm) = now.stop { mm } else { BLIND_MM };
    let stops = [
        (Stop::Open, text::bore_form::OPEN.to_owned(), text::bore_form::OPEN_HINT.to_owned()),
        (Stop::Blind(blind), text::bore_form::BLIND.to_owned(), text::bore_form::BLIND_HINT.to_owned()),
        (Stop::At, text::bore_form::AT_POINT.to_owned(), text::bore_form::AT_POINT_HINT.to_owned()),
    ];
    let words = stops.iter().find(|(stop, ..)| *stop == now.stop).map_or("", |(_, words, _)| words.as_str());
    if let Some(stop) = choose_hinted(ui, name, &now.stop, words, &stops, text::bore_form::ENDS_HINT) {
        change(queue, bore, BoreChange::Stop { end, stop });
    }
    if now.stop == Stop::At {
        ui.label("");
        remark(ui, text::bore_form::STOPS_AT_POINT);
        ui.end_row();
    }
    if let Stop::Blind(mm) = now.stop {
        let label = text::bore_form::below(name);
        let entry = Entry::length(&label, mm).step(0.5).hint(text::bore_form::BELOW_HINT);
        number(ui, queue, bore, entry, |mm| BoreChange::Stop { end, stop: Stop::Blind(mm) });
    }
    if now.stop == Stop::Open {
        fitting_rows(ui, queue, bore, end, name);
    }
}

fn fitting_rows(ui: &mut Ui, queue: &mut Queue, bore: &Bore, end: usize, name: &str) {
    let now = bore.ends[end].fitting;
    let widest = (bore.diameter_mm() * COUNTERSINK_SHARE * 10.0).round() / 10.0;
    let depth = match now {
        Fitting::NutPocket(mm) | Fitting::WasherPocket(mm) => mm,
        Fitting::None | Fitting::Countersink(_) => 0.0,
    };
    let widest = if let Fitting::Countersink(mm) = now { mm } else { widest };
    let mut all = vec![
        (Fitting::None, text::bore_form::NO_FITTING.to_owned(), String::new()),
        (
            Fitting::Countersink(widest),
            text::bore_form::COUNTERSINK.to_owned(),
            text::bore_form::COUNTERSINK_HINT.to_owned(),
        ),
    ];
    if bore.rod.listed().is_some_and(|rod| rod.kind.is_threaded()) {
        let nut = text::bore_form::NUT_POCKET_HINT.to_owned();
        all.push((Fitting::NutPocket(depth), text::bore_form::NUT_POCKET.to_owned(), nut));
        let washer = text::bore_form::NUT_AND_WASHER_HINT.to_owned();
        all.push((Fitting::WasherPocket(depth), text::bore_form::NUT_AND_WASHER.to_owned(), washer));
    }
    let words = all.iter().find(|(fitting, ..)| *fitting == now).map_or("", |(_, words, _)| words.as_str());
    let hint = text::bore_form::LET_IN_HINT;
    if let Some(fitting) = choose_hinted(ui, &text::bore_form::let_in(name), &now, words, &all, hint) {
        change(queue, bore, BoreChange::Fitting { end, fitting });
    }
    match now {
        Fitting::None => {}
        Fitting::Countersink(mm) => {
            let label = text::bore_form::countersink(name);
            let entry = Entry::length(&label, mm).step(0.5).hint(text::bore_form::WIDE_HINT);
            number(ui, queue, bore, entry, |mm| BoreChange::Fitting { end, fitting: Fitting::Countersink(mm) });
        }
        Fitting::NutPocket(mm) => {
            let label = text::bore_form::nut_below(name);
            let entry = Entry::length(&label, mm).step(0.5).hint(text::bore_form::NUT_BELOW_HINT);
            number(ui, queue, bore, entry, |mm| BoreChange::Fitting { end, fitting: Fitting::NutPocket(mm) });
        }
        Fitting::WasherPocket(mm) => {
            let label = text::bore_form::nut_below(name);
            let entry = Entry::length(&label, mm).step(0.5).hint(text::bore_form::NUT_BELOW_HINT);
            number(ui, queue, bore, entry, |mm| BoreChange::Fitting { end, fitting: Fitting::WasherPocket(mm) });
        }
    }
}

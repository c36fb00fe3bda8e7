//! The rows of a bore's card: rod, clearance, shape, where it lies, how it ends.

use egui::{ComboBox, Grid, Ui};
use seamwright_project::rods::{Clearance, ClearanceClass, PRINTER_SOURCE, RodKind, rods};
use seamwright_project::{AtSeam, Axis, Bore, BoreChange, BoreShape, Fitting, Placed, RodChoice, Stop};

use super::bore_card::{change, number};
use super::entry::Entry;
use crate::app::state::State;
use crate::app::{Action, BoreAction, Queue};

/// Shows a choice; gives what was chosen, if it is another one.
fn choose<T: PartialEq + Clone>(
    ui: &mut Ui,
    name: &str,
    now: &T,
    words: &str,
    all: &[(T, String, String)],
) -> Option<T> {
    let label = ui.label(name);
    let mut chosen = None;
    let combo = ComboBox::from_id_salt(name).selected_text(words).width(150.0).show_ui(ui, |ui| {
        for (value, words, hint) in all {
            let row = ui.selectable_label(value == now, words.as_str());
            let row = if hint.is_empty() { row } else { row.on_hover_text(hint) };
            if row.clicked() && value != now {
                chosen = Some(value.clone());
            }
        }
    });
    combo.response.labelled_by(label.id);
    ui.end_row();
    chosen
}

/// The rod, its diameter, and how much play it has.
pub fn rod_rows(ui: &mut Ui, queue: &mut Queue, bore: &Bore) {
    let all = rods_to_choose();
    if let Some(rod) = choose(ui, "rod", &bore.rod, &bore.rod.words(), &all) {
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
            let entry = Entry::length("diameter", mm).step(0.5).hint("Diameter of the rod, mm, measured across it");
            number(ui, queue, bore, entry, |mm| BoreChange::Rod(RodChoice::Typed(mm)));
        }
        RodChoice::Magnets(mm) => {
            let entry = Entry::length("diameter", mm).step(0.5).hint("Diameter of the magnets, mm");
            number(ui, queue, bore, entry, |mm| BoreChange::Rod(RodChoice::Magnets(mm)));
            if let Some(seam) = bore.seam {
                let entry =
                    Entry::length("thickness", seam.thickness_mm).step(0.5).hint("How thick each magnet is, mm");
                number(ui, queue, bore, entry, |mm| BoreChange::Seam(AtSeam { thickness_mm: mm, ..seam }));
            }
        }
        RodChoice::Listed(_) => {}
    }
    let typed = Clearance::Typed(bore.hole().diameter_mm - bore.rod.diameter_mm());
    let class = |class: ClearanceClass| (Clearance::Class(class), class.name().to_owned(), String::new());
    let mut classes: Vec<_> = ClearanceClass::ALL.into_iter().map(class).collect();
    classes.push((typed, "typed".into(), "As much on the diameter as you say".into()));
    let words = match bore.clearance {
        Clearance::Class(class) => class.name(),
        Clearance::Typed(_) => "typed",
    };
    if let Some(clearance) = choose(ui, "clearance", &bore.clearance, words, &classes) {
        change(queue, bore, BoreChange::Clearance(clearance));
    }
    if let Clearance::Typed(mm) = bore.clearance {
        let entry =
            Entry::length("play", mm).step(0.1).hint("What the channel is wider than the rod, mm on the diameter");
        number(ui, queue, bore, entry, |mm| BoreChange::Clearance(Clearance::Typed(mm)));
    }
    let entry = Entry::length("printer takes", bore.printer_mm).step(0.1).hint(PRINTER_SOURCE);
    number(ui, queue, bore, entry, BoreChange::Printer);
}

fn rods_to_choose() -> Vec<(RodChoice, String, String)> {
    let mut all = Vec::new();
    for kind in RodKind::ALL {
        let of_kind = rods().into_iter().filter(|rod| rod.kind == kind);
        all.extend(of_kind.map(|rod| {
            let hint = format!("{} mm; {}", rod.diameter_mm, rod.origin.words());
            (RodChoice::Listed(rod.name.to_owned()), rod.words(), hint)
        }));
    }
    // These stand for whatever diameter is typed.
    all.push((RodChoice::Typed(f64::NAN), "another rod".into(), "Type its diameter".into()));
    all.push((RodChoice::Magnets(f64::NAN), "round magnets".into(), "One on either side of a seam".into()));
    all
}

/// Its cross-section, and where that is turned to.
pub fn shape_rows(ui: &mut Ui, state: &State, queue: &mut Queue, bore: &Bore) {
    let hint = |shape: BoreShape| match shape {
        BoreShape::Round => "For a channel that is printed standing",
        BoreShape::Teardrop => "With a pointed roof: prints lying, without support",
        BoreShape::FlatRoof => "With a roof cut off flat: prints lying, with a short bridge",
        BoreShape::Square => "Keeps a square rod from turning",
        BoreShape::Hexagon => "Keeps a hexagonal rod from turning",
        BoreShape::Slit => "Open along its side, so that the rod is laid in",
    };
    let all: Vec<_> = BoreShape::ALL.into_iter().map(|s| (s, s.name().to_owned(), hint(s).to_owned())).collect();
    if let Some(shape) = choose(ui, "shape", &bore.shape, bore.shape.name(), &all) {
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
            (up, format!("{}{}", if sign > 0.0 { "+" } else { "−" }, axis.name()), String::new())
        })
        .collect();
    // A roof prints best when it points up as the piece lies.
    all.extend(
        state.lays_across(bore.id).into_iter().map(|(mark, up)| (up, format!("up as {mark} lies"), String::new())),
    );
    let words =
        all.iter().find(|(up, ..)| *up == bore.up).map_or("as it is", |(_, words, _)| words.as_str()).to_owned();
    if let Some(up) = choose(ui, "turned to", &bore.up, &words, &all) {
        change(queue, bore, BoreChange::Up(up));
    }
}

/// Whether its roof follows how the pieces lie.
fn roof_as_laid(ui: &mut Ui, queue: &mut Queue, bore: &Bore) -> bool {
    ui.label("roof");
    let mut as_laid = bore.up_as_laid;
    let hint = "In each piece to where up is as that piece lies on the bed, also when that changes later. The rod goes \
                through all the same: only the roofs differ";
    if ui.checkbox(&mut as_laid, "up in every piece").on_hover_text(hint).changed() {
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
                0 => "from".to_owned(),
                at if at + 1 == bore.line_mm.len() => "to".to_owned(),
                at => format!("bend {at}"),
            };
            for axis in Axis::ALL {
                let (i, label) = (axis.index(), format!("{name} {}", axis.name()));
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
        ui.label("lay it along the middle in");
        for runs in 1..=MOST_RUNS {
            let words = if runs == 1 { "1 run".to_owned() } else { format!("{runs} runs") };
            let chosen = bore.placed == Placed::Middle && bore.line_mm.len() == runs + 1;
            let hint = "A curved blade wants a rod in several straight runs";
            if ui.selectable_label(chosen, words).on_hover_text(hint).clicked() {
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
            let (i, label) = (axis.index(), format!("at {}", axis.name()));
            let entry =
                Entry::length(&label, middle[i]).shown(now[i]).hint("The place is moved square to the cut onto it");
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
    for (end, name) in ["first end", "last end"].into_iter().enumerate() {
        Grid::new(name).num_columns(2).show(ui, |ui| end_rows(ui, queue, bore, end, name));
    }
    if bore.ends.iter().any(|end| matches!(end.stop, Stop::Blind(_))) {
        Grid::new("glue").num_columns(2).show(ui, |ui| {
            let hint = "What stays free for glue at every blind end, mm; the rod is sawn shorter by it";
            number(
                ui,
                queue,
                bore,
                Entry::length("room for glue", bore.glue_mm).step(0.1).hint(hint),
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
        (Stop::Open, "open".to_owned(), "It goes on through the surface".to_owned()),
        (Stop::Blind(blind), "blind".to_owned(), "It stops below the surface".to_owned()),
        (Stop::At, "at its point".to_owned(), "It stops where its point is".to_owned()),
    ];
    let words = stops.iter().find(|(stop, ..)| *stop == now.stop).map_or("", |(_, words, _)| words.as_str());
    if let Some(stop) = choose(ui, name, &now.stop, words, &stops) {
        change(queue, bore, BoreChange::Stop { end, stop });
    }
    if let Stop::Blind(mm) = now.stop {
        let label = format!("{name} below");
        let entry = Entry::length(&label, mm).step(0.5).hint("How far below the surface it stops, mm");
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
        (Fitting::None, "nothing".to_owned(), String::new()),
        (Fitting::Countersink(widest), "countersink".to_owned(), "A cone of 90° for the head of a screw".to_owned()),
    ];
    if bore.rod.listed().is_some_and(|rod| rod.kind.is_threaded()) {
        let nut = "Six-sided: the nut cannot turn in it".to_owned();
        all.push((Fitting::NutPocket(depth), "nut pocket".to_owned(), nut));
        let washer = "Round, for a nut on its washer".to_owned();
        all.push((Fitting::WasherPocket(depth), "nut and washer".to_owned(), washer));
    }
    let words = all.iter().find(|(fitting, ..)| *fitting == now).map_or("", |(_, words, _)| words.as_str());
    if let Some(fitting) = choose(ui, &format!("let in at {name}"), &now, words, &all) {
        change(queue, bore, BoreChange::Fitting { end, fitting });
    }
    match now {
        Fitting::None => {}
        Fitting::Countersink(mm) => {
            let label = format!("{name} countersink");
            let entry = Entry::length(&label, mm).step(0.5).hint("How wide it is at the surface, mm");
            number(ui, queue, bore, entry, |mm| BoreChange::Fitting { end, fitting: Fitting::Countersink(mm) });
        }
        Fitting::NutPocket(mm) => {
            let label = format!("{name} nut below");
            let entry = Entry::length(&label, mm).step(0.5).hint("How far below the surface the nut lies, mm");
            number(ui, queue, bore, entry, |mm| BoreChange::Fitting { end, fitting: Fitting::NutPocket(mm) });
        }
        Fitting::WasherPocket(mm) => {
            let label = format!("{name} nut below");
            let entry = Entry::length(&label, mm).step(0.5).hint("How far below the surface the nut lies, mm");
            number(ui, queue, bore, entry, |mm| BoreChange::Fitting { end, fitting: Fitting::WasherPocket(mm) });
        }
    }
}

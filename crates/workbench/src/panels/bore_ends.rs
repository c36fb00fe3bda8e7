//! How a bore ends, at both ends, and what is let in there.

use egui::{Grid, Ui};
use seamwright_project::{Bore, BoreChange, Fitting, Stop};

use super::bore_card::{change, number};
use super::bore_choice::choose_hinted;
use super::entry::Entry;
use super::line::remark;
use crate::app::Queue;
use crate::text;

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

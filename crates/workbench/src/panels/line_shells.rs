//! Line 3: the shells of the stock, kept or dropped.

use egui::{RichText, Ui};
use seamwright_project::Edit;

use super::line::remark;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Queue, words};

/// More rows than this are not drawn; a list that long is worked through by size, largest first.
const MOST_ROWS: usize = 60;

/// Shows the line's content.
pub fn show(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(stock) = state.outcome.as_ref().and_then(|o| o.stock.as_ref()) else {
        remark(ui, "A shell is one connected surface. They are listed once a model is read.");
        return;
    };
    let recipe = state.recipe();
    let scale = recipe.size.scale();
    let mut order: Vec<usize> = (0..stock.report.shells.len()).collect();
    order.sort_by_key(|&i| std::cmp::Reverse(stock.report.shells[i].triangles));
    for &i in order.iter().take(MOST_ROWS) {
        let shell = &stock.report.shells[i];
        let number = i as u32;
        let mut kept = !recipe.dropped_shells.contains(&number);
        let state_words = match (shell.closed, shell.turned_inwards()) {
            (false, _) => "open",
            (true, true) => "a cavity, or turned inside out",
            (true, false) => "closed",
        };
        if ui.checkbox(&mut kept, format!("shell {}", i + 1)).on_hover_text("Keep it, or drop it").changed() {
            queue.edit(Edit::SetShellKept { shell: number, kept });
        }
        let size = shell.bounds.size() * scale;
        let text =
            format!("{} mm · {} · {state_words}", words::sizes(&size), words::count(shell.triangles, "face", "faces"));
        let paper = Paper::of(ui.visuals());
        let ink = if shell.closed { paper.ink_soft } else { paper.warning };
        ui.indent(("shell", i), |ui| ui.label(RichText::new(text).small().color(ink)));
    }
    if let Some(rest @ [_, ..]) = order.get(MOST_ROWS..) {
        let dropped = rest.iter().filter(|&&i| recipe.dropped_shells.contains(&(i as u32))).count();
        remark(ui, rest_words(rest.len() - dropped, dropped));
    }
}

/// What becomes of the shells that are not listed.
fn rest_words(kept: usize, dropped: usize) -> String {
    let ones = words::count(kept + dropped, "smaller one", "smaller ones");
    match (kept, dropped) {
        (_, 0) => format!("and {ones}, kept"),
        (0, _) => format!("and {ones}, dropped"),
        _ => format!("and {ones}: {kept} kept, {dropped} dropped"),
    }
}

//! Takes what workers hand back.

use std::sync::Arc;

use seamwright_project::{Edit, Size, as_file_name};

use super::action::Action;
use super::engine::Ready;
use super::messages::About;
use super::{App, Outcome, crash, state};
use crate::panels;
use crate::text;

impl App {
    pub(super) fn collect_results(&mut self) {
        if let Some(report) = crash::take_fresh() {
            self.state.messages.told(text::crash::lies_in(&crash::tell(&report)));
        }
        for ready in self.engine.poll() {
            match ready {
                Ready::Outcome(outcome, bodies) => {
                    self.state.stopped = false;
                    self.show_failure(&outcome);
                    self.take_stated_unit(&outcome);
                    let bodies_before = std::mem::replace(&mut self.state.bodies, bodies);
                    self.note_figures(&outcome);
                    let before = self.state.outcome.replace(Arc::new(*outcome));
                    if let Some(before) = before {
                        let now = self.state.outcome.as_ref().map_or(&[][..], |now| now.pieces.as_slice());
                        self.state.sets.follow(&before.pieces, now);
                        self.earlier.keep(before, bodies_before);
                    }
                }
                Ready::Stopped => {
                    self.state.stopped = true;
                    self.engine.forget();
                }
                Ready::PlacingStopped => self.state.placing_stopped = true,
                Ready::Resting(rest) => self.state.at_rest = self.live.takes_rest().then_some(rest),
                Ready::Exact(prepared, plane, sides) if self.live.asked.takes_exact(prepared, &plane) => {
                    self.state.found.exact = Some(sides);
                }
                Ready::Exact(..) => {}
                Ready::Stretch(key, stretch) => self.live.asked.take_stretch(key, stretch),
                Ready::ExactStretch(key, stretch) => self.live.asked.take_exact_stretch(key, stretch),
                Ready::Placing(cut, placing) => self.live.take(cut, placing, &mut self.state.messages),
                Ready::Place(place) => self.state.advice.place = Some(*place),
                Ready::Advice(advice) => self.state.advice.notes = Some(*advice),
                Ready::Stepped(asked, found) => self.take_steps(*asked, found.map(|found| *found)),
                Ready::Boring(bore, boring) => self.live_bore.take(bore, boring, &mut self.state.messages),
                Ready::BorePlaced { asked, edit, gain } if *asked == *self.state.recipe() => {
                    self.bore_placed(edit, gain);
                }
                Ready::BorePlaced { .. } => {
                    self.state.messages.error(text::bores::CHANGED_MEANWHILE);
                }
                Ready::Details(part, details) => self.state.details.take(part, details),
                Ready::Girths(lines) => self.state.tapes.take(lines),
                Ready::Sketched(plane, lines) => self.take_sketch(plane, lines),
                Ready::MeasureTaken(project, part, what) if project == self.project => self.measured(part, what),
                Ready::MeasureTaken(..) => {}
                // The project it was for may have been left meanwhile.
                Ready::Measured(project, edit) if project == self.project => {
                    self.queue.push(Action::StockMeasured(edit));
                }
                Ready::Measured(..) => {}
                Ready::NotRead(project, why) if project == self.project => self.not_opened(why),
                Ready::NotRead(..) => {}
                Ready::Readable(project, read) if project == self.project => self.readable(read.0, &read.1),
                Ready::Readable(..) => {}
                Ready::Looked(looked) => (self.state.looked, self.state.shown_finding) = (Some(*looked), None),
                Ready::Earlier(found) => self.take_earlier(found.map(|found| *found)),
                Ready::Start(found) => self.take_start(*found),
                Ready::Inside(inside) => self.state.inside = Some(*inside),
                Ready::Kit(kit) => {
                    let too_big = self.state.too_big();
                    let text = text::kit::written_to(
                        kit.pieces,
                        &kit.folder,
                        too_big,
                        kit.left.len(),
                        kit.marks_changed.len(),
                    );
                    self.state.messages.done_about(About::Kit, text);
                    self.note_kit(&kit.folder);
                    self.state.kit = Some(*kit);
                }
                Ready::KitInTheWay(folder, why) => {
                    self.state.question = Some(state::Question::ReplaceKit { folder, why });
                }
                Ready::KitAmongOthers(folder, what) => {
                    let within = folder.join(text::files::kit_of(&as_file_name(&self.state.recipe().name)));
                    self.state.question = Some(state::Question::KitAmongOthers { folder, within, what });
                }
                Ready::Trouble(text) => self.state.messages.error(text),
            }
        }
    }

    /// A file that states its unit is read in that, once, as an edit that can be undone.
    fn take_stated_unit(&mut self, outcome: &Outcome) {
        let (Some(stock), Some(source)) = (&outcome.stock, &outcome.recipe.stock) else { return };
        if self.unit_taken_of.as_ref() == Some(&source.sha256) {
            return;
        }
        self.unit_taken_of = Some(source.sha256.clone());
        let size = outcome.recipe.size;
        if let Some(unit) = stock.stated_unit.filter(|unit| *unit != size.unit && size == Size::default()) {
            self.state.messages.done(text::size::file_says(panels::unit_words(unit)));
            self.queue.push(Action::Edit(Edit::SetSize(Size { unit, ..size })));
        }
    }

    /// What is in the way is said where it can be mended: the line opens by itself, once.
    fn show_failure(&mut self, outcome: &Outcome) {
        let before = self.state.outcome.as_ref().and_then(|o| o.failure.as_ref());
        if let Some(failure) = &outcome.failure
            && before != Some(failure)
        {
            self.state.open_line = Some(panels::line_of(failure.stage));
        }
    }
}

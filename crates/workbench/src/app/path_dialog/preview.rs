//! What is told of the file that is named, before it is opened.

use std::path::PathBuf;
use std::sync::Arc;

use egui::{Label, RichText, Ui};
use seamwright_project::store;

use crate::app::files::{is_model, is_project};
use crate::app::glance::{Glance, glance};
use crate::app::lane::{Done, Lane};
use crate::app::style::Paper;
use crate::text;

/// One line beneath the name.
#[derive(Debug, Default)]
pub(super) struct Preview {
    lane: Option<Lane<PathBuf, (PathBuf, Option<Glance>)>>,
    asked: Option<PathBuf>,
    seen: Option<Glance>,
}

impl Preview {
    /// Shows what is known of `path`; large models are looked into beside the window's own work.
    pub(super) fn show(&mut self, ui: &mut Ui, path: PathBuf) {
        let lane = self.lane.get_or_insert_with(|| {
            let ctx = ui.ctx().clone();
            let wake = Arc::new(move || ctx.request_repaint());
            Lane::new("a glance at a file", wake, |path: PathBuf, progress| {
                let seen = glance(&path, progress)?;
                Ok((path, seen))
            })
        });
        if self.asked.as_ref() != Some(&path) {
            self.seen = None;
            lane.stop();
            let name = path.to_string_lossy();
            if !path.is_file() {
                // Nothing is named yet, or what is to be entered.
            } else if is_model(&name) || is_project(&name) {
                lane.ask(path.clone());
            } else {
                self.seen = Some(Glance::Unreadable(text::files::neither(&name, store::EXTENSION)));
            }
            self.asked = Some(path);
        }
        match lane.poll() {
            Some(Done::Answered((path, seen))) if self.asked.as_ref() == Some(&path) => self.seen = seen,
            _ => {}
        }
        let paper = Paper::of(ui.visuals());
        let (words, ink) = match &self.seen {
            Some(seen @ Glance::Unreadable(_)) => (seen.words(), paper.warning),
            Some(seen) => (seen.words(), paper.ink_soft),
            None if lane.progress().is_some() => (text::start::LOOKING_INTO.into(), paper.ink_soft),
            None => (String::new(), paper.ink_soft),
        };
        // One line at all times, so that nothing jumps; what is cut off stands where the pointer rests.
        let line = ui.add(Label::new(RichText::new(format!("{words} ")).small().color(ink)).truncate());
        if !words.is_empty() {
            line.on_hover_text(words);
        }
    }
}

//! How long the window takes for its frames, for whoever wants to know why it is slow.

use std::collections::VecDeque;
use std::time::{Duration, Instant};

use crate::text;

/// Frames that are remembered: two seconds of a screen that shows sixty of them (our own choice, no source).
const REMEMBERED: usize = 120;
/// Frames farther apart than this do not belong to one movement.
const APART: Duration = Duration::from_millis(250);

/// The times of the last frames.
#[derive(Debug, Default)]
pub struct FrameTimes {
    /// Whether they are shown.
    pub shown: bool,
    frames: VecDeque<(Instant, Duration)>,
}

/// What is told of the last frames.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// Time of the program for the middle one of them, without what the graphics card does.
    pub median: Duration,
    /// The longest.
    pub longest: Duration,
    /// Frames a second while they follow each other; none at rest.
    pub per_second: Option<f64>,
}

impl FrameTimes {
    /// Notes a frame that began then and took so long.
    pub fn note(&mut self, begun: Instant, took: Duration) {
        if self.frames.len() == REMEMBERED {
            self.frames.pop_front();
        }
        self.frames.push_back((begun, took));
    }

    /// What is to be told; `None` before there is a frame.
    pub fn told(&self) -> Option<Told> {
        let mut took: Vec<Duration> = self.frames.iter().map(|(_, took)| *took).collect();
        took.sort_unstable();
        let (median, longest) = (*took.get(took.len() / 2)?, *took.last()?);
        let begun: Vec<Instant> = self.frames.iter().map(|(begun, _)| *begun).collect();
        let apart: Vec<Duration> = begun.windows(2).map(|two| two[1] - two[0]).collect();
        let last = apart.iter().rev().take_while(|apart| **apart < APART);
        let (frames, time) = last.fold((0, Duration::ZERO), |(n, sum), apart| (n + 1, sum + *apart));
        let per_second = (frames > 0).then(|| f64::from(frames) / time.as_secs_f64());
        Some(Told { median, longest, per_second })
    }

    /// One quiet line in the upper right corner of the window, beneath the header. It asks for no frame: at rest it stays as it was.
    pub fn show(&self, ctx: &egui::Context) {
        let Some(told) = self.told().filter(|_| self.shown) else { return };
        let area = egui::Area::new(egui::Id::unique("frame times")).interactable(false);
        area.anchor(egui::Align2::RIGHT_TOP, [-12.0, 44.0]).order(egui::Order::Foreground).show(ctx, |ui| {
            // An area as narrow as what is left beside its corner would break it.
            let line = egui::Label::new(text::bench::frame_times(&told)).extend();
            egui::Frame::popup(ui.style()).show(ui, |ui| ui.add(line));
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_frames_are_told_and_a_rest_between_them_is_no_slow_frame() {
        let (ms, begun) = (Duration::from_millis, Instant::now());
        let mut times = FrameTimes::default();
        assert_eq!(times.told(), None);
        times.note(begun, ms(9));
        assert_eq!(times.told(), Some(Told { median: ms(9), longest: ms(9), per_second: None }));
        // A minute later, a movement of sixty frames a second or so.
        for i in 0..5 {
            times.note(begun + ms(60_000 + 20 * i), ms(2));
        }
        assert_eq!(times.told(), Some(Told { median: ms(2), longest: ms(9), per_second: Some(50.0) }));
        for i in 0..200 {
            times.note(begun + ms(70_000 + i), ms(1));
        }
        assert_eq!(times.told().unwrap().longest, ms(1), "what is long past is forgotten");
    }
}

//! Progress of long work on the standard error, where a person is watching.

use std::io::{self, IsTerminal, Write};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use seamwright_geometry::Progress;

/// Work that is done sooner than this shows nothing.
const PATIENCE: Duration = Duration::from_millis(500);
/// How often the line is drawn anew.
const REFRESH: Duration = Duration::from_millis(100);
/// To the beginning of the line, and clears it.
const CLEAR_LINE: &str = "\r\x1b[K";

/// Shows a [`Progress`] until it is dropped. Shows nothing unless the standard error is a terminal.
#[derive(Debug)]
pub struct Waiting {
    progress: Progress,
    line: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Waiting {
    /// Begins to watch fresh work.
    pub fn new() -> Waiting {
        let progress = Progress::new();
        let line = io::stderr().is_terminal().then(|| {
            let (done, is_done) = channel();
            let shown = progress.clone();
            (done, thread::spawn(move || show(&shown, &is_done)))
        });
        Waiting { progress, line }
    }

    /// What the work reports to.
    pub fn progress(&self) -> &Progress {
        &self.progress
    }
}

impl Drop for Waiting {
    fn drop(&mut self) {
        if let Some((done, thread)) = self.line.take() {
            drop(done);
            // A line of progress that could not be drawn must not spoil the answer.
            let _ = thread.join();
        }
    }
}

fn show(progress: &Progress, is_done: &Receiver<()>) {
    let mut wait = PATIENCE;
    let mut shown = false;
    while is_done.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
        let (stage, fraction) = progress.now();
        // A terminal that went away is noticed by whoever writes the answer.
        let _ = write!(io::stderr(), "{CLEAR_LINE}{stage} {:.0} %", fraction * 100.0);
        wait = REFRESH;
        shown = true;
    }
    if shown {
        let _ = write!(io::stderr(), "{CLEAR_LINE}");
    }
}

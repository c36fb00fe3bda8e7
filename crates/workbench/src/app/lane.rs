//! A worker thread that always works on the newest request.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use seamwright_geometry::{Cancelled, Progress};

/// One thread for one kind of work. A newer request cancels the one before; answers to older requests are dropped.
#[derive(Debug)]
pub struct Lane<Request, Answer> {
    requests: Sender<Stamped<Request>>,
    answers: Receiver<(u64, Done<Answer>)>,
    newest: u64,
    progress: Option<Progress>,
}

/// How a request ended.
#[derive(Debug)]
pub enum Done<Answer> {
    /// It was answered.
    Answered(Answer),
    /// It was stopped.
    Cancelled,
    /// The work broke down: a fault of the program.
    Broke,
}

#[derive(Debug)]
struct Stamped<Request> {
    revision: u64,
    request: Request,
    progress: Progress,
}

impl<Request: Send + 'static, Answer: Send + 'static> Lane<Request, Answer> {
    /// A lane named `name` that answers with `work` and calls `wake` after each answer.
    pub fn new(
        name: &str,
        wake: Arc<dyn Fn() + Send + Sync>,
        work: impl Fn(Request, &Progress) -> Result<Answer, Cancelled> + Send + 'static,
    ) -> Lane<Request, Answer> {
        let (requests, inbox) = channel::<Stamped<Request>>();
        let (outbox, answers) = channel();
        let run = move || {
            while let Ok(mut next) = inbox.recv() {
                while let Ok(newer) = inbox.try_recv() {
                    next = newer;
                }
                let Stamped { revision, request, progress } = next;
                // A fault in the work must not take the window, and the unsaved project, with it.
                let done = match catch_unwind(AssertUnwindSafe(|| work(request, &progress))) {
                    Ok(Ok(answer)) => Done::Answered(answer),
                    Ok(Err(Cancelled)) => Done::Cancelled,
                    Err(_) => Done::Broke,
                };
                if outbox.send((revision, done)).is_err() {
                    return;
                }
                wake();
            }
        };
        if let Err(error) = thread::Builder::new().name(name.into()).spawn(run) {
            // Requests then stay unanswered; nothing else breaks.
            log::error!("the worker {name} could not be started: {error}");
        }
        Lane { requests, answers, newest: 0, progress: None }
    }

    /// Asks; whatever was asked before is dropped.
    pub fn ask(&mut self, request: Request) {
        self.stop();
        self.newest += 1;
        let progress = Progress::new();
        // The other end is gone only if the thread could not be started, which was logged.
        let sent = self.requests.send(Stamped { revision: self.newest, request, progress: progress.clone() });
        self.progress = sent.is_ok().then_some(progress);
    }

    /// Stops what is being worked on.
    pub fn stop(&mut self) {
        if let Some(progress) = self.progress.take() {
            progress.cancel();
        }
    }

    /// The end of the newest request, once; `None` while it is worked on, or if nothing was asked.
    pub fn poll(&mut self) -> Option<Done<Answer>> {
        let newest = self.newest;
        let (_, done) = self.answers.try_iter().filter(|(revision, _)| *revision == newest).last()?;
        self.progress = None;
        Some(done)
    }

    /// The progress of the newest request, while it is worked on.
    pub fn progress(&self) -> Option<&Progress> {
        self.progress.as_ref()
    }
}

impl<Request, Answer> Drop for Lane<Request, Answer> {
    fn drop(&mut self) {
        if let Some(progress) = self.progress.take() {
            progress.cancel();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::{Duration, Instant};

    fn wait<T>(mut ready: impl FnMut() -> Option<T>) -> T {
        let until = Instant::now() + Duration::from_secs(20);
        loop {
            if let Some(value) = ready() {
                return value;
            }
            assert!(Instant::now() < until, "nothing came");
            thread::sleep(Duration::from_millis(1));
        }
    }

    #[test]
    fn only_the_newest_request_is_answered() {
        let mut lane = Lane::new("test", Arc::new(|| {}), |n: u32, progress| {
            if n == 1 {
                loop {
                    progress.check()?;
                }
            }
            Ok(n * 10)
        });
        lane.ask(1);
        thread::sleep(Duration::from_millis(20));
        lane.ask(2);
        let done = wait(|| lane.poll());
        assert!(matches!(done, Done::Answered(20)), "{done:?}");
        assert!(lane.poll().is_none() && lane.progress().is_none());
    }

    #[test]
    fn a_stopped_request_says_so() {
        let mut lane = Lane::new("test", Arc::new(|| {}), |(), progress: &Progress| -> Result<(), Cancelled> {
            loop {
                progress.check()?;
            }
        });
        lane.ask(());
        lane.stop();
        assert!(matches!(wait(|| lane.poll()), Done::Cancelled));
    }

    #[test]
    fn a_fault_in_the_work_leaves_the_lane_working() {
        let mut lane = Lane::new("test", Arc::new(|| {}), |n: u32, _: &Progress| {
            assert!(n != 1, "deliberate, to see that the lane survives it");
            Ok(n)
        });
        lane.ask(1);
        assert!(matches!(wait(|| lane.poll()), Done::Broke));
        lane.ask(2);
        assert!(matches!(wait(|| lane.poll()), Done::Answered(2)));
    }
}

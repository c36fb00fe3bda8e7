//! A handle that long work reports to and asks whether it should go on.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// Work was stopped because its [`Progress`] was cancelled. What had been made before stays as it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("cancelled")]
pub struct Cancelled;

/// Shared by the one who waits and the one who works; clones speak of the same work.
#[derive(Clone, Debug, Default)]
pub struct Progress {
    shared: Arc<Shared>,
}

#[derive(Debug, Default)]
struct Shared {
    cancelled: AtomicBool,
    fraction_bits: AtomicU64,
    stage: std::sync::Mutex<String>,
}

impl Progress {
    /// A fresh handle at fraction 0.
    pub fn new() -> Progress {
        Progress::default()
    }

    /// Asks the work to stop at its next [`check`](Self::check).
    pub fn cancel(&self) {
        self.shared.cancelled.store(true, Ordering::Relaxed);
    }

    /// `Err(Cancelled)` once [`cancel`](Self::cancel) was called. Cheap enough for inner loops over blocks.
    pub fn check(&self) -> Result<(), Cancelled> {
        if self.shared.cancelled.load(Ordering::Relaxed) { Err(Cancelled) } else { Ok(()) }
    }

    /// Begins a named stage ("reading helm.stl") at fraction 0.
    pub fn stage(&self, name: impl Into<String>) {
        *self.shared.stage.lock().unwrap_or_else(|poisoned| poisoned.into_inner()) = name.into();
        self.report(0.0);
    }

    /// How much of the current stage is done, 0 to 1.
    pub fn report(&self, fraction: f64) {
        self.shared.fraction_bits.store(fraction.clamp(0.0, 1.0).to_bits(), Ordering::Relaxed);
    }

    /// The current stage and its fraction.
    pub fn now(&self) -> (String, f64) {
        let stage = self.shared.stage.lock().unwrap_or_else(|poisoned| poisoned.into_inner()).clone();
        (stage, f64::from_bits(self.shared.fraction_bits.load(Ordering::Relaxed)))
    }
}

//! Named steps, run one after another, each with its time, and a summary at the end.

use std::{
    process::ExitCode,
    time::{Duration, Instant},
};

/// Why a step stopped: one message for the person who reads the log.
pub type StepError = String;

/// A step failed; it has been recorded and printed, nothing more is to be run.
#[derive(Debug)]
pub struct Stopped;

/// The steps of one command, in the order in which they ran.
#[derive(Debug, Default)]
pub struct Steps {
    finished: Vec<Finished>,
    not_checked: Vec<String>,
}

impl Steps {
    /// Runs a whole command and prints the summary. The exit code is 0 when every step passed, 1 otherwise.
    pub fn run_all(command: &str, work: impl FnOnce(&mut Steps) -> Result<(), Stopped>) -> ExitCode {
        let began = Instant::now();
        let mut steps = Steps::default();
        let result = work(&mut steps);
        steps.print_summary(command, began.elapsed());
        if result.is_ok() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
    }

    /// Runs one step. A failure is printed with the step's name and ends the command.
    pub fn run(&mut self, name: &str, work: impl FnOnce() -> Result<(), StepError>) -> Result<(), Stopped> {
        eprintln!("\n=== {name}");
        let began = Instant::now();
        let error = work().err();
        let took = began.elapsed();
        match &error {
            None => eprintln!("=== {name}: done in {}", seconds(took)),
            Some(message) => eprintln!("=== {name}: FAILED after {}\n{message}", seconds(took)),
        }
        let passed = error.is_none();
        self.finished.push(Finished { name: name.to_owned(), took, passed });
        if passed { Ok(()) } else { Err(Stopped) }
    }

    /// Records aloud that something was left unchecked, and repeats it in the summary.
    pub fn not_checked(&mut self, what: impl Into<String>) {
        let what = what.into();
        eprintln!("!!! NOT CHECKED: {what}");
        self.not_checked.push(what);
    }

    fn print_summary(&self, command: &str, took: Duration) {
        eprintln!("\n=== summary of `cargo xtask {command}`, {}", seconds(took));
        for step in &self.finished {
            let word = if step.passed { "ok    " } else { "FAILED" };
            eprintln!("  {word} {:>9}  {}", seconds(step.took), step.name);
        }
        for what in &self.not_checked {
            eprintln!("  NOT CHECKED: {what}");
        }
        if let Some(failed) = self.finished.iter().find(|step| !step.passed) {
            eprintln!("  stopped at the step `{}`", failed.name);
        }
    }
}

#[derive(Debug)]
struct Finished {
    name: String,
    took: Duration,
    passed: bool,
}

fn seconds(duration: Duration) -> String {
    format!("{:.1} s", duration.as_secs_f64())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failing_step_stops_the_command() {
        let mut steps = Steps::default();
        assert!(steps.run("first", || Ok(())).is_ok());
        assert!(steps.run("second", || Err("no".to_owned())).is_err());
        assert_eq!(steps.finished.iter().map(|step| step.passed).collect::<Vec<_>>(), [true, false]);
    }

    #[test]
    fn the_exit_code_tells_whether_every_step_passed() {
        let passing = Steps::run_all("try", |steps| steps.run("only", || Ok(())));
        let failing = Steps::run_all("try", |steps| steps.run("only", || Err("no".to_owned())));
        assert_eq!(passing, ExitCode::SUCCESS);
        assert_eq!(failing, ExitCode::FAILURE);
    }
}

//! Answers on the standard output, messages on the standard error, and the exit code.

use std::fmt::Display;
use std::io::{self, Write};
use std::process::ExitCode;

use serde::Serialize;

use super::trouble::Trouble;
use crate::text::files::without_machine_talk;

/// How the program ends.
pub mod exit {
    /// Done, and the answer is yes where there was a question.
    pub const DONE: u8 = 0;
    /// The answer is no: does not fit, not closed.
    pub const NO: u8 = 1;
    /// Bad input or use; nothing was written.
    pub const BAD: u8 = 2;
}

/// What a verb found out: `Serialize` for machines, `Display` for people.
pub trait Answer: Serialize + Display {
    /// Whether the answer is yes, which decides between exit codes 0 and 1.
    fn is_yes(&self) -> bool;
}

/// Prints the answer, or what went wrong, and says how the program ends.
pub fn give<A: Answer>(result: Result<A, Trouble>, json: bool) -> ExitCode {
    let code = match result {
        Ok(answer) => match print(&answer, json) {
            Ok(()) => {
                if answer.is_yes() {
                    exit::DONE
                } else {
                    exit::NO
                }
            }
            Err(error) => complain(&format!("the answer cannot be printed: {error}")),
        },
        Err(trouble) => complain(&trouble.to_string()),
    };
    ExitCode::from(code)
}

fn print(answer: &impl Answer, json: bool) -> io::Result<()> {
    let mut text = if json { serde_json::to_string_pretty(answer)? } else { answer.to_string() };
    if !text.ends_with('\n') {
        text.push('\n');
    }
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        // The reader has seen enough (`| head`): that is no failure of ours.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

fn complain(message: &str) -> u8 {
    // Where even the standard error is closed there is nobody left to tell.
    let _ = writeln!(io::stderr().lock(), "error: {}", without_machine_talk(message));
    exit::BAD
}

//! Running the real program.

use std::{
    ffi::OsStr,
    process::{Command, Stdio},
    thread,
    time::{Duration, Instant},
};

use serde_json::Value;

/// Longer than any test job takes on a slow machine; a program that is not done by then hangs.
const PATIENCE: Duration = Duration::from_secs(180);

/// What a finished run of the program left.
#[derive(Debug)]
pub struct Run {
    /// Exit code; `None` if a signal ended the program.
    pub code: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

impl Run {
    /// The answer of a run with `--json`.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|error| panic!("the answer is not JSON: {error}\n{self:?}"))
    }
}

/// Runs the program to its end with no display, so that it can't open a window by mistake.
pub fn seamwright<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>) -> Run {
    let mut command = Command::new(env!("CARGO_BIN_EXE_seamwright"));
    command.args(arguments).env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").env_remove("RUST_BACKTRACE");
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("the program starts");
    let read_stdout = read_in_background(child.stdout.take().expect("stdout is piped"));
    let read_stderr = read_in_background(child.stderr.take().expect("stderr is piped"));
    let began = Instant::now();
    let status = loop {
        match child.try_wait().expect("the program can be waited for") {
            Some(status) => break status,
            None if began.elapsed() > PATIENCE => {
                let _ = child.kill();
                panic!("{command:?} did not end within {PATIENCE:?}");
            }
            None => thread::sleep(Duration::from_millis(5)),
        }
    };
    let text = |reader: thread::JoinHandle<Vec<u8>>| {
        String::from_utf8_lossy(&reader.join().expect("the reader ends")).into_owned()
    };
    Run { code: status.code(), stdout: text(read_stdout), stderr: text(read_stderr) }
}

fn read_in_background(mut pipe: impl std::io::Read + Send + 'static) -> thread::JoinHandle<Vec<u8>> {
    thread::spawn(move || {
        let mut bytes = Vec::new();
        // A pipe that breaks ends the text; the exit code tells the rest.
        let _ = pipe.read_to_end(&mut bytes);
        bytes
    })
}

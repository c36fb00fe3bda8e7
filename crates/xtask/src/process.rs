//! Running other programs.

use std::{
    env,
    ffi::OsString,
    path::{Path, PathBuf},
    process::Command,
};

use crate::{steps::StepError, workspace};

/// The cargo that runs us, started at the root of the workspace.
pub fn cargo() -> Command {
    let mut command = Command::new(env::var_os("CARGO").unwrap_or_else(|| OsString::from("cargo")));
    command.current_dir(workspace::root());
    command
}

/// Runs a program to its end, its output passed through; anything but success is an error that shows the line.
pub fn run(command: &mut Command) -> Result<(), StepError> {
    let line = shown(command);
    eprintln!("$ {line}");
    let status = command.status().map_err(|error| format!("could not start `{line}`: {error}"))?;
    if status.success() { Ok(()) } else { Err(format!("`{line}` ended with {status}")) }
}

/// Runs a program to its end and gives what it printed on standard output.
pub fn output(command: &mut Command) -> Result<String, StepError> {
    let line = shown(command);
    let output = command.output().map_err(|error| format!("could not start `{line}`: {error}"))?;
    if !output.status.success() {
        let errors = String::from_utf8_lossy(&output.stderr);
        return Err(format!("`{line}` ended with {}\n{errors}", output.status));
    }
    String::from_utf8(output.stdout).map_err(|error| format!("`{line}` printed text that is not UTF-8: {error}"))
}

/// Where a program is found on the search path, if it is.
pub fn find_program(name: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    env::split_paths(&path).map(|folder| folder.join(name)).find(|candidate| candidate.is_file())
}

/// The line as a person would type it: the program without its folder.
fn shown(command: &Command) -> String {
    let program = Path::new(command.get_program()).file_name().unwrap_or(command.get_program());
    let words = std::iter::once(program).chain(command.get_args());
    words.map(|word| word.to_string_lossy().into_owned()).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failing_program_is_an_error_that_shows_the_line() {
        let error = run(Command::new("cargo").arg("no-such-command")).unwrap_err();
        assert!(error.contains("cargo no-such-command"), "{error}");
    }

    #[test]
    fn a_missing_program_is_an_error_that_names_it() {
        let error = output(&mut Command::new("a-program-that-is-not-there")).unwrap_err();
        assert!(error.contains("a-program-that-is-not-there"), "{error}");
        assert!(find_program("a-program-that-is-not-there").is_none());
    }
}

//! Debian packages that the tests need.

use std::process::Command;

use crate::{
    process::{find_program, output, run},
    steps::StepError,
};

/// A display without a screen, software GL, what a window loads at run time, tools that act as a hand and an eye, Python
/// for the reference libraries, and a C++ compiler for the fuzzer.
const PACKAGES: &[&str] = &[
    "xvfb",
    "libgl1",
    "libglx-mesa0",
    "libgl1-mesa-dri",
    "libegl1",
    "libegl-mesa0",
    "libx11-6",
    "libx11-xcb1",
    "libxcursor1",
    "libxi6",
    "libxkbcommon0",
    "libxkbcommon-x11-0",
    "xdotool",
    "imagemagick",
    "python3-venv",
    "g++",
];

/// Programs that those packages bring; asked for by name where the system is not Debian-like.
const PROGRAMS: &[&str] = &["Xvfb", "xdotool", "import", "python3", "c++"];

/// Installs what is missing when we are root, otherwise stops with the line to type.
pub fn ensure() -> Result<(), StepError> {
    if find_program("dpkg-query").is_none() {
        return ensure_programs();
    }
    let missing = missing()?;
    if missing.is_empty() {
        eprintln!("all {} packages are installed", PACKAGES.len());
        return Ok(());
    }
    let line = format!("apt-get install --yes --no-install-recommends {}", missing.join(" "));
    if !is_root()? {
        return Err(format!("Packages are missing. Install them, then run this again:\n\n    sudo {line}\n"));
    }
    run(apt_get().arg("update"))?;
    run(apt_get().args(["install", "--yes", "--no-install-recommends"]).args(&missing))
}

fn missing() -> Result<Vec<&'static str>, StepError> {
    // Not `output`: dpkg-query ends with 1 as soon as one of the names is unknown, and still lists the others.
    let mut query = Command::new("dpkg-query");
    query.args(["--show", "--showformat=${Package} ${db:Status-Status}\n"]).args(PACKAGES);
    let listing = query.output().map_err(|error| format!("could not start dpkg-query: {error}"))?.stdout;
    let listing = String::from_utf8_lossy(&listing);
    Ok(not_installed(&listing))
}

fn not_installed(listing: &str) -> Vec<&'static str> {
    let installed: Vec<_> = listing.lines().filter_map(|line| line.strip_suffix(" installed")).collect();
    PACKAGES.iter().copied().filter(|package| !installed.contains(package)).collect()
}

fn ensure_programs() -> Result<(), StepError> {
    let missing: Vec<_> = PROGRAMS.iter().copied().filter(|program| find_program(program).is_none()).collect();
    if missing.is_empty() {
        eprintln!("no Debian-like system; the programs {} are there", PROGRAMS.join(", "));
        return Ok(());
    }
    Err(format!(
        "This is no Debian-like system and these programs are missing: {}. Install what stands for these Debian \
         packages, then run this again: {}",
        missing.join(", "),
        PACKAGES.join(" ")
    ))
}

fn is_root() -> Result<bool, StepError> {
    Ok(output(Command::new("id").arg("-u"))?.trim() == "0")
}

fn apt_get() -> Command {
    let mut command = Command::new("apt-get");
    command.arg("--quiet=2").env("DEBIAN_FRONTEND", "noninteractive");
    command
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_packages_that_are_fully_installed_count() {
        let listing: String = PACKAGES.iter().map(|package| format!("{package} installed\n")).collect();
        assert!(not_installed(&listing).is_empty());
        let listing = listing.replace("xdotool installed", "xdotool config-files");
        assert_eq!(not_installed(&listing), ["xdotool"]);
    }

    #[test]
    fn with_nothing_listed_everything_is_missing() {
        assert_eq!(not_installed(""), PACKAGES);
    }
}

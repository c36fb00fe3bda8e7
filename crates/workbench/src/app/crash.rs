//! When the program breaks down on a fault of its own: a report on this machine, for whoever is to find the fault. It is
//! sent nowhere, and holds no model: of files only their names.

use std::backtrace::Backtrace;
use std::fmt::Write as _;
use std::fs;
use std::panic::PanicHookInfo;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;

use seamwright_project::{Recipe, saved, store};

use crate::text::crash as text;

/// What the hook needs to know. It is called wherever something breaks, and can be handed nothing.
static KNOWN: Mutex<Known> = Mutex::new(Known { recipe: None, fresh: None });

struct Known {
    recipe: Option<Recipe>,
    /// A report that was written in this run and not told of yet.
    fresh: Option<PathBuf>,
}

/// So many are kept, the newest; so many are written in one run: what breaks in every frame would fill the disk. Our own
/// choice, no source.
const MOST_REPORTS: usize = 5;

/// The beginning of the name of a report that was not told of, and of one that was.
const UNTOLD: &str = "new-report-";
const TOLD: &str = "report-";

/// Where reports are kept: `reports` in the settings folder of this program.
pub fn default_folder() -> Option<PathBuf> {
    Some(directories::ProjectDirs::from("", "", "seamwright")?.config_dir().join("reports"))
}

/// From now on, whatever breaks leaves a report in `folder`, besides what was done before.
pub fn install(folder: PathBuf) {
    static WRITTEN: AtomicUsize = AtomicUsize::new(0);
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |broken| {
        before(broken);
        if WRITTEN.fetch_add(1, Ordering::Relaxed) < MOST_REPORTS {
            leave_report(&folder, broken);
        }
    }));
}

/// Remembers the newest recipe, for a report that may be needed.
pub fn remember(recipe: &Recipe) {
    let mut known = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if known.recipe.as_ref() != Some(recipe) {
        known.recipe = Some(recipe.clone());
    }
}

/// A report that was written in this run, once.
pub fn take_fresh() -> Option<PathBuf> {
    KNOWN.lock().unwrap_or_else(PoisonError::into_inner).fresh.take()
}

/// The newest report of an earlier run that the maker was not told of.
pub fn untold(folder: &Path) -> Option<PathBuf> {
    let entries = fs::read_dir(folder).ok()?;
    let reports = entries.filter_map(|entry| Some(entry.ok()?.path()));
    let mut untold: Vec<PathBuf> = reports.filter(|path| is_called(path, UNTOLD) && !is_of_this_run(path)).collect();
    untold.sort();
    untold.pop()
}

/// The maker is told of a report: it gets the name that it keeps, which is returned.
pub fn tell(report: &Path) -> PathBuf {
    let name = report.file_name().map(|name| name.to_string_lossy().replacen(UNTOLD, TOLD, 1)).unwrap_or_default();
    let kept = report.with_file_name(name);
    // Where it cannot be renamed it is told of once more at the next start, which does no harm.
    if fs::rename(report, &kept).is_ok() { kept } else { report.into() }
}

/// Nothing in here may break once more: what cannot be done is left.
fn leave_report(folder: &Path, broken: &PanicHookInfo<'_>) {
    // Held by the thread that broke: then without.
    let recipe = KNOWN.try_lock().ok().and_then(|known| known.recipe.clone());
    let text = report(broken, recipe, &Backtrace::force_capture());
    let seconds = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).map_or(0, |d| d.as_secs());
    let path = folder.join(format!("{UNTOLD}{seconds}-{}.txt", std::process::id()));
    if fs::create_dir_all(folder).is_ok() && store::write_atomically(&path, text.as_bytes()).is_ok() {
        forget_oldest(folder);
        if let Ok(mut known) = KNOWN.try_lock() {
            known.fresh = Some(path);
        }
    }
}

fn report(broken: &PanicHookInfo<'_>, recipe: Option<Recipe>, trace: &Backtrace) -> String {
    let said = broken.payload();
    let said = said.downcast_ref::<&str>().copied().or_else(|| said.downcast_ref::<String>().map(String::as_str));
    let place = broken.location().map(ToString::to_string).unwrap_or_default();
    let thread = std::thread::current();
    let mut told = String::from(text::HEAD);
    let lines = [
        (text::VERSION, env!("CARGO_PKG_VERSION")),
        (text::SYSTEM, std::env::consts::OS),
        (text::PROCESSOR, std::env::consts::ARCH),
        (text::AT_WORK, thread.name().unwrap_or(text::NAMELESS)),
        (text::WHAT, said.unwrap_or(text::NO_WORDS)),
        (text::WHERE, &place),
    ];
    for (name, value) in lines {
        // Writing into a text cannot fail.
        let _ = writeln!(told, "{name:10} {value}");
    }
    let recipe = recipe.map_or_else(|| text::NOT_KNOWN.into(), |recipe| saved::to_json(&without_folders(recipe)));
    told.push_str(&text::recipe_and_way(&recipe, &trace.to_string()));
    without_home(&told)
}

/// Of every file only its name.
fn without_folders(mut recipe: Recipe) -> Recipe {
    for source in recipe.stock.iter_mut().chain(&mut recipe.beside) {
        let name = source.path.rsplit(['/', '\\']).next().unwrap_or_default();
        source.path = name.to_owned();
    }
    recipe
}

/// The name of the maker's own folder often is that of the maker.
fn without_home(text: &str) -> String {
    match directories::BaseDirs::new().map(|folders| folders.home_dir().display().to_string()) {
        Some(home) if home.len() > 1 => text.replace(&home, "~"),
        _ => text.into(),
    }
}

fn forget_oldest(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    let reports = entries.filter_map(|entry| Some(entry.ok()?.path()));
    let mut reports: Vec<PathBuf> = reports.filter(|path| is_called(path, UNTOLD) || is_called(path, TOLD)).collect();
    reports.sort_by_key(|path| time_of(path));
    for old in reports.iter().rev().skip(MOST_REPORTS) {
        // It may be gone already.
        let _ = fs::remove_file(old);
    }
}

fn is_called(path: &Path, begins: &str) -> bool {
    path.file_name().is_some_and(|name| name.to_string_lossy().starts_with(begins))
}

/// The time that the name of a report tells.
fn time_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name.trim_start_matches(UNTOLD).trim_start_matches(TOLD).to_owned()
}

/// Whether this run wrote it, which tells of it by itself.
fn is_of_this_run(path: &Path) -> bool {
    path.file_stem().is_some_and(|name| name.to_string_lossy().ends_with(&format!("-{}", std::process::id())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_newest_reports_are_kept() {
        let folder = tempfile::tempdir().unwrap();
        for i in 10..20 {
            let begins = if i % 2 == 0 { TOLD } else { UNTOLD };
            fs::write(folder.path().join(format!("{begins}{i}-1.txt")), "").unwrap();
        }
        fs::write(folder.path().join("mine.txt"), "").unwrap();
        forget_oldest(folder.path());
        let mut left: Vec<String> = fs::read_dir(folder.path()).unwrap().map(|e| time_of(&e.unwrap().path())).collect();
        left.sort();
        assert_eq!(left, ["15-1.txt", "16-1.txt", "17-1.txt", "18-1.txt", "19-1.txt", "mine.txt"]);
    }
}

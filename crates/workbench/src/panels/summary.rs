//! What each line of the job card says, in a few words.

use seamwright_geometry::mend::MendStep;
use seamwright_project::Size;

use crate::app::state::{Line, State};
use crate::app::{Failure, Stage};
use crate::text;

/// The words at a line, and whether they need attention.
pub struct Summary {
    /// A few words.
    pub text: String,
    /// Something is wrong here.
    pub is_warning: bool,
    /// Nothing can be done here yet.
    pub is_idle: bool,
}

impl Summary {
    fn plain(text: impl Into<String>) -> Summary {
        Summary { text: text.into(), is_warning: false, is_idle: false }
    }

    fn idle(text: &str) -> Summary {
        Summary { text: text.into(), is_warning: false, is_idle: true }
    }

    fn warning(text: impl Into<String>) -> Summary {
        Summary { text: text.into(), is_warning: true, is_idle: false }
    }
}

/// What `line` says now.
pub fn summary(state: &State, line: Line) -> Summary {
    if let Some(failure) = failure_at(state, line) {
        return Summary::warning(if failure.stock_moved { text::job_card::NOT_FOUND } else { text::job_card::FAILED });
    }
    match line {
        Line::Stock => stock(state),
        Line::Size => Summary::plain(size(&state.recipe().size)),
        Line::Shells => shells(state),
        Line::Bores => bores(state),
        Line::Joints => Summary::idle(text::job_card::NOT_IN_THIS_VERSION),
        Line::Cuts => cuts(state),
        Line::Lays => lays(state),
        Line::Kit => kit(state),
    }
}

/// The failure that belongs to `line`, if the newest results have one there.
pub fn failure_at(state: &State, line: Line) -> Option<&Failure> {
    let failure = state.outcome.as_ref()?.failure.as_ref()?;
    (line_of(failure.stage) == line).then_some(failure)
}

/// The line of the job card where a stage is looked after.
pub fn line_of(stage: Stage) -> Line {
    match stage {
        Stage::Stock => Line::Stock,
        Stage::Size => Line::Size,
        Stage::Shells => Line::Shells,
        Stage::Bores => Line::Bores,
        Stage::Cuts => Line::Cuts,
        Stage::Fit => Line::Lays,
    }
}

fn stock(state: &State) -> Summary {
    let Some(source) = &state.recipe().stock else { return Summary::plain(text::job_card::NO_MODEL) };
    Summary::plain(file_name(&source.path))
}

/// The size in words: `as made`, `inch`, `× 1.04`.
pub fn size(size: &Size) -> String {
    let unit = unit_words(size.unit);
    match (size.unit, size.factor) {
        (seamwright_project::Unit::Millimetre, 1.0) => text::job_card::AS_MADE.into(),
        (seamwright_project::Unit::Millimetre, factor) => text::job_card::enlarged(factor),
        (_, 1.0) => text::job_card::in_unit(unit),
        (_, factor) => text::job_card::in_unit_enlarged(unit, factor),
    }
}

/// A unit in the maker's words.
pub fn unit_words(unit: seamwright_project::Unit) -> &'static str {
    use seamwright_project::Unit;
    match unit {
        Unit::Micron => text::size::MICRONS,
        Unit::Millimetre => text::size::MILLIMETRES,
        Unit::Centimetre => text::size::CENTIMETRES,
        Unit::Inch => text::size::INCHES,
        Unit::Foot => text::size::FEET,
        Unit::Metre => text::size::METRES,
    }
}

fn shells(state: &State) -> Summary {
    let Some(stock) = state.outcome.as_ref().and_then(|o| o.stock.as_ref()) else { return waits(state) };
    let (all, recipe) = (stock.report.shells.len(), state.recipe());
    let dropped = recipe.dropped_shells.iter().filter(|s| (**s as usize) < all).count();
    let aside = recipe.loose.iter().flat_map(|part| &part.shells).filter(|s| (**s as usize) < all).count();
    let outcome = state.outcome.as_deref();
    Summary::plain(text::job_card::shells(all, dropped, aside, outcome.is_some_and(are_united)))
}

/// Whether a mend made one shell of several.
fn are_united(outcome: &crate::app::Outcome) -> bool {
    let mut done = outcome.parts.iter().flat_map(|part| part.mended.iter());
    done.any(|done| {
        let step = outcome.recipe.mends.get(done.at).map(|mend| &mend.step);
        step == Some(&MendStep::UniteCrossing) && done.result.as_ref().is_ok_and(|report| !report.did_nothing())
    })
}

fn bores(state: &State) -> Summary {
    let recipe = state.recipe();
    let on = recipe.bores.iter().filter(|bore| bore.enabled).count();
    if recipe.bores.is_empty() {
        return Summary::plain(text::job_card::NONE);
    }
    let failed = |done: &&seamwright_project::BoreDone| done.result.is_err();
    let failed = state.outcome.as_ref().map_or(0, |outcome| outcome.bores.iter().filter(failed).count());
    match (failed, recipe.bores.len()) {
        (0, all) if on == all => Summary::plain(all.to_string()),
        (0, all) => Summary::plain(text::common::some_on(on, all)),
        (failed, all) => Summary::warning(text::job_card::not_bored(failed, all)),
    }
}

fn cuts(state: &State) -> Summary {
    let recipe = state.recipe();
    let count = match recipe.cuts.iter().filter(|cut| cut.enabled).count() {
        0 if recipe.cuts.is_empty() => text::job_card::NONE.to_owned(),
        on if on == recipe.cuts.len() => on.to_string(),
        on => text::common::some_on(on, recipe.cuts.len()),
    };
    match state.pieces().len() {
        0 => Summary::plain(count),
        n => Summary::plain(text::cuts::cuts_and_pieces(&count, n)),
    }
}

fn lays(state: &State) -> Summary {
    let pieces = state.pieces();
    if pieces.is_empty() {
        return waits(state);
    }
    let fit = pieces.iter().filter(|piece| piece.fit.verdict.fits()).count();
    match (fit, pieces.len()) {
        (1, 1) => Summary::plain(text::job_card::IT_FITS),
        (0, 1) => Summary::warning(text::job_card::TOO_BIG),
        (fit, all) if fit == all => Summary::plain(text::common::all_fit(all)),
        (fit, all) => Summary::warning(text::common::some_fit(fit, all)),
    }
}

fn kit(state: &State) -> Summary {
    match &state.kit {
        Some(kit) if kit.recipe == *state.recipe() => Summary::plain(text::job_card::written(kit.pieces)),
        Some(_) => Summary::plain(text::job_card::CHANGED_SINCE),
        None if state.pieces().is_empty() => waits(state),
        None => match &state.kit_found {
            Some(found) => Summary::plain(text::job_card::written_before(found.pieces)),
            None => Summary::plain(text::common::DASH),
        },
    }
}

fn waits(state: &State) -> Summary {
    if state.recipe().stock.is_none() {
        Summary::idle(text::job_card::WAITS_FOR_MODEL)
    } else if state.outcome.as_ref().is_some_and(|o| o.failure.is_some()) {
        Summary::idle(text::job_card::WAITS)
    } else {
        Summary::idle(text::common::ELLIPSIS)
    }
}

/// The last part of a path with `/` or `\` between folders.
pub fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

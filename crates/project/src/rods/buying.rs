//! Which bars to buy for the rods that are needed, and which rod is sawn from which bar.
//!
//! The one-dimensional cutting-stock problem, solved exactly for the few rods of a prop: rods go into bars by depth-first
//! search, longest first; a branch is left when it cannot be shorter than the best answer so far. Every answer says
//! whether it is proven to be the shortest.

use seamwright_geometry::{Cancelled, Progress};

/// A saw's cut takes this much, mm, unless told otherwise (a hacksaw's blade; common practice, no source).
pub const SAW_MM: f64 = 1.0;
/// More rods than this are not planned: a prop has a handful. Our own choice, no source.
pub const MOST_RODS: usize = 200;
/// Steps of the search after which the best answer so far is given, unproven: about a second. Our own choice.
const MOST_STEPS: u64 = 5_000_000;
/// Lengths are counted in steps of this, mm, so that sums are exact.
const STEP_MM: f64 = 0.01;

/// A bar to buy, and what is sawn from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Its length, mm.
    pub length_mm: f64,
    /// The rods, by their place in what was asked for, longest first.
    pub rods: Vec<usize>,
    /// What is left of it, mm.
    pub offcut_mm: f64,
}

/// What to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Buying {
    /// The bars, longest first.
    pub bars: Vec<Bar>,
    /// Their lengths added up, mm.
    pub total_mm: f64,
    /// Whether no other choice of bars is shorter.
    pub proven: bool,
}

/// Why there is nothing to buy.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BuyingError {
    /// A rod is longer than every bar.
    #[error("a rod of {:.0} mm is longer than the longest bar, {:.0} mm: join it, or find a longer bar", .0.rod_mm, .0.bar_mm)]
    TooLong(LongestRod),
    /// There are no bars, or a length is no length.
    #[error("a length of {0} mm is none: rods and bars need a length above nothing")]
    Length(f64),
    /// Nobody sells it.
    #[error("say in which lengths this rod is sold")]
    NoBars,
    /// More than are planned.
    #[error("{0} rods are more than are planned at once ({MOST_RODS})")]
    TooMany(usize),
    /// The work was cancelled.
    #[error("cancelled")]
    Cancelled,
}

/// A rod that no bar is long enough for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LongestRod {
    /// The rod, mm.
    pub rod_mm: f64,
    /// The longest bar, mm.
    pub bar_mm: f64,
}

impl From<Cancelled> for BuyingError {
    fn from(_: Cancelled) -> Self {
        BuyingError::Cancelled
    }
}

/// The shortest bars, added up, from which all `rods_mm` can be sawn, each cut taking `saw_mm`; of equally short answers
/// one with the fewest bars that was found. `bars_mm` are the lengths that are sold.
pub fn buy(rods_mm: &[f64], bars_mm: &[f64], saw_mm: f64, progress: &Progress) -> Result<Buying, BuyingError> {
    let is_length = |x: &f64| x.is_finite() && *x > 0.0;
    if let Some(wrong) = rods_mm.iter().chain(bars_mm).find(|x| !is_length(x)) {
        return Err(BuyingError::Length(*wrong));
    }
    if !(saw_mm.is_finite() && saw_mm >= 0.0) {
        return Err(BuyingError::Length(saw_mm));
    }
    if rods_mm.len() > MOST_RODS {
        return Err(BuyingError::TooMany(rods_mm.len()));
    }
    let bar_mm = bars_mm.iter().copied().reduce(f64::max).ok_or(BuyingError::NoBars)?;
    if let Some(&rod_mm) = rods_mm.iter().find(|rod| steps_up(**rod) > steps_down(bar_mm)) {
        return Err(BuyingError::TooLong(LongestRod { rod_mm, bar_mm }));
    }
    let mut search = Search::new(rods_mm, bars_mm, saw_mm);
    search.first_answer();
    let proven = search.place(0, progress)?;
    Ok(search.buying(rods_mm, proven))
}

fn steps_up(mm: f64) -> u64 {
    // What is a whole number of steps but for rounding is that number.
    (mm / STEP_MM - 1e-6).ceil().max(0.0) as u64
}

fn steps_down(mm: f64) -> u64 {
    (mm / STEP_MM + 1e-6).floor() as u64
}

/// A bar being filled: how much of it is used, with a cut after every rod, and its rods.
#[derive(Clone, Debug, Default)]
struct Filling {
    used: u64,
    rods: Vec<usize>,
}

/// Every rod is taken with the cut after it, and every bar one cut longer: the last cut may fall off its end.
struct Search {
    /// Rods with their cuts, longest first, and their places in what was asked for.
    rods: Vec<(u64, usize)>,
    /// Bars with one cut, rising, and without.
    bars: Vec<(u64, u64)>,
    saw: u64,
    /// No answer is shorter than this.
    bound: u64,
    filling: Vec<Filling>,
    best: Vec<Filling>,
    best_total: u64,
    steps: u64,
}

impl Search {
    fn new(rods_mm: &[f64], bars_mm: &[f64], saw_mm: f64) -> Search {
        let saw = steps_up(saw_mm);
        let mut rods: Vec<(u64, usize)> = rods_mm.iter().enumerate().map(|(i, mm)| (steps_up(*mm) + saw, i)).collect();
        rods.sort_by(|a, b| b.cmp(a));
        let mut bars: Vec<(u64, u64)> = bars_mm.iter().map(|mm| (steps_down(*mm) + saw, steps_down(*mm))).collect();
        bars.sort_unstable();
        bars.dedup();
        let bound = lower_bound(&rods, &bars);
        Search { rods, bars, saw, bound, filling: Vec::new(), best: Vec::new(), best_total: u64::MAX, steps: 0 }
    }

    /// The shortest bar that holds so much.
    fn bar(&self, used: u64) -> Option<u64> {
        self.bars.iter().find(|(with_cut, _)| *with_cut >= used).map(|(_, bar)| *bar)
    }

    fn total(&self, filling: &[Filling]) -> u64 {
        filling.iter().filter_map(|bar| self.bar(bar.used)).sum()
    }

    /// Each rod into the first bar that holds it: an answer to begin with.
    fn first_answer(&mut self) {
        let mut filling: Vec<Filling> = Vec::new();
        for &(rod, at) in &self.rods {
            let room = filling.iter_mut().find(|bar| self.bars.last().is_some_and(|last| bar.used + rod <= last.0));
            match room {
                Some(bar) => {
                    bar.used += rod;
                    bar.rods.push(at);
                }
                None => filling.push(Filling { used: rod, rods: vec![at] }),
            }
        }
        self.best_total = self.total(&filling);
        self.best = filling;
    }

    /// Places rod `i` and all after it in every way that may be shorter; `false` where it was broken off.
    fn place(&mut self, i: usize, progress: &Progress) -> Result<bool, Cancelled> {
        self.steps += 1;
        if self.steps.is_multiple_of(1 << 12) {
            progress.check()?;
        }
        if self.best_total <= self.bound {
            return Ok(true);
        }
        if self.steps > MOST_STEPS {
            return Ok(false);
        }
        let now = self.total(&self.filling);
        let fewer = self.filling.len() < self.best.len();
        if now > self.best_total || (now == self.best_total && !fewer) {
            return Ok(true);
        }
        let Some(&(rod, at)) = self.rods.get(i) else {
            self.best_total = now;
            self.best = self.filling.clone();
            return Ok(true);
        };
        let longest = self.bars.last().map_or(0, |bar| bar.0);
        let mut tried = Vec::new();
        for bar in 0..self.filling.len() {
            let used = self.filling[bar].used;
            // Two bars that are equally full are one and the same choice.
            if used + rod > longest || tried.contains(&used) {
                continue;
            }
            tried.push(used);
            self.filling[bar].used += rod;
            self.filling[bar].rods.push(at);
            let whole = self.place(i + 1, progress)?;
            self.filling[bar].rods.pop();
            self.filling[bar].used -= rod;
            if !whole {
                return Ok(false);
            }
        }
        self.filling.push(Filling { used: rod, rods: vec![at] });
        let whole = self.place(i + 1, progress)?;
        self.filling.pop();
        Ok(whole)
    }

    fn buying(&self, rods_mm: &[f64], proven: bool) -> Buying {
        let bar = |bar: &Filling| {
            let length = self.bar(bar.used).unwrap_or_default();
            // What the last cut leaves; nothing where it falls off the end.
            let offcut = length.saturating_sub(bar.used - self.saw).saturating_sub(self.saw);
            Bar { length_mm: length as f64 * STEP_MM, rods: bar.rods.clone(), offcut_mm: offcut as f64 * STEP_MM }
        };
        let mut bars: Vec<Bar> = self.best.iter().map(bar).collect();
        let longest_rod = |bar: &Bar| bar.rods.iter().map(|rod| rods_mm[*rod]).fold(0.0, f64::max);
        bars.sort_by(|a, b| {
            b.length_mm.total_cmp(&a.length_mm).then_with(|| longest_rod(b).total_cmp(&longest_rod(a)))
        });
        Buying { total_mm: bars.iter().map(|bar| bar.length_mm).sum(), bars, proven }
    }
}

/// What the bars of any answer add up to at least: all that is sawn, cuts included, has to come from them, and sums of
/// bars are multiples of their greatest common divisor. A bar of length L holds L and one cut; of all bars the shortest
/// holds most for its length.
fn lower_bound(rods: &[(u64, usize)], bars: &[(u64, u64)]) -> u64 {
    let Some(&(with_cut, bar)) = bars.first() else { return 0 };
    let needed: u128 = rods.iter().map(|(rod, _)| u128::from(*rod)).sum();
    let least = (needed * u128::from(bar)).div_ceil(u128::from(with_cut.max(1)));
    let divisor = bars.iter().fold(0, |a, (_, b)| gcd(a, *b)).max(1);
    u64::try_from(least).map_or(u64::MAX, |least| least.div_ceil(divisor).saturating_mul(divisor))
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

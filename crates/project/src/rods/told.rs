//! The rods of a project as they leave the program: for machines, and as a list to take to the workshop.

use std::fmt;

use serde::Serialize;

use super::{RodList, RodToSaw, RodsOfKind, SAW_MM};

/// Rods to saw and bars to buy. Lengths in mm, masses in g.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ToldRods {
    /// The rods, numbered from 1.
    pub saw: Vec<ToldRod>,
    /// The bars, kind by kind.
    pub buy: Vec<ToldKind>,
}

/// One rod to saw.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToldRod {
    /// From 1.
    pub number: usize,
    /// Name of the bore that it goes into.
    pub bore: String,
    /// Which straight run of the bore, from 1.
    pub run: usize,
    /// What rod it is.
    pub rod: String,
    /// Its diameter.
    pub diameter_mm: f64,
    /// The channel from end to end.
    pub channel_mm: f64,
    /// What stays free for glue at blind ends.
    pub glue_mm: f64,
    /// What stays free at bends.
    pub bends_mm: f64,
    /// How long it is sawn.
    pub length_mm: f64,
    /// What it weighs; `null` where no table knows the rod.
    pub mass_g: Option<f64>,
    /// How far the rod alone droops by its own weight, held at one end: an estimate. Of this and the next two `null` where it
    /// would be more than a tenth of the length, which the estimate is not for.
    pub droop_mm: Option<f64>,
    /// How much farther by each newton at its tip.
    pub droop_per_newton_mm: Option<f64>,
    /// How far the rod alone droops with the pieces on it, if they were printed solid.
    pub droop_loaded_mm: Option<f64>,
    /// What those would weigh.
    pub carried_g: Option<f64>,
    /// Whether it would droop by more than a tenth of its length with them.
    pub too_soft: bool,
}

/// All rods of one kind.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToldKind {
    /// What rod it is.
    pub rod: String,
    /// How many are sawn.
    pub count: usize,
    /// Their lengths added up.
    pub length_mm: f64,
    /// What they weigh.
    pub mass_g: Option<f64>,
    /// What each cut of the saw takes.
    pub saw_mm: f64,
    /// The bars to buy.
    pub bars: Vec<ToldBar>,
    /// Their lengths added up.
    pub total_mm: f64,
    /// Whether that is proven to be the shortest.
    pub shortest: bool,
    /// Why no bars are named.
    pub problem: Option<String>,
}

/// A bar to buy.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToldBar {
    /// Its length.
    pub length_mm: f64,
    /// The numbers of the rods that are sawn from it.
    pub rods: Vec<usize>,
    /// What is left of it.
    pub offcut_mm: f64,
}

impl RodList {
    /// The list as it leaves the program.
    pub fn told(&self) -> ToldRods {
        ToldRods {
            saw: self.rods.iter().enumerate().map(|(i, rod)| told_rod(i + 1, rod)).collect(),
            buy: self.kinds.iter().map(told_kind).collect(),
        }
    }
}

fn told_rod(number: usize, rod: &RodToSaw) -> ToldRod {
    ToldRod {
        number,
        bore: rod.bore_name.clone(),
        run: rod.run[0] + 1,
        rod: rod.rod.clone(),
        diameter_mm: rod.diameter_mm,
        channel_mm: rod.channel_mm,
        glue_mm: rod.glue_mm,
        bends_mm: rod.bends_mm,
        length_mm: rod.length_mm,
        mass_g: rod.mass_g,
        droop_mm: rod.droop.and_then(|droop| rod.small(droop.own_weight_mm)),
        droop_per_newton_mm: rod.droop.and_then(|droop| rod.small(droop.per_newton_mm)),
        droop_loaded_mm: rod.droop.and_then(|droop| rod.small(droop.loaded_mm)),
        carried_g: rod.droop.map(|droop| droop.carried_g),
        too_soft: rod.is_too_soft(),
    }
}

fn told_kind(kind: &RodsOfKind) -> ToldKind {
    let (bars, total_mm, shortest, problem) = match &kind.buying {
        Ok(buying) => {
            let bar = |bar: &super::Bar| ToldBar {
                length_mm: bar.length_mm,
                rods: bar.rods.iter().map(|rod| rod + 1).collect(),
                offcut_mm: bar.offcut_mm,
            };
            (buying.bars.iter().map(bar).collect(), buying.total_mm, buying.proven, None)
        }
        Err(why) => (Vec::new(), 0.0, false, Some(why.clone())),
    };
    ToldKind {
        rod: kind.rod.clone(),
        count: kind.count,
        length_mm: kind.length_mm,
        mass_g: kind.mass_g,
        saw_mm: SAW_MM,
        bars,
        total_mm,
        shortest,
        problem,
    }
}

/// What the list says beneath: where its numbers come from, and what a rod in a prop asks for.
const FOOT: &str = "\
Droop is an estimate (Euler-Bernoulli) of the rod alone, held level at one end: the stiffness of
the prints, joints that give and plastic that creeps are left out. More than a tenth of the length is
told as too soft: the formula is for small droops.
Not protective equipment. Follow the maker's safety data sheet, your venue's weapon policy and
local codes; where they differ from this text, they decide.
";

impl ToldRods {
    /// The list as text, to be printed and taken along.
    pub fn text(&self, title: &str) -> String {
        format!("Rods for {title}\n\n{self}\n{FOOT}")
    }
}

impl fmt::Display for ToldRods {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for rod in &self.saw {
            let run = if self.saw.iter().filter(|other| other.bore == rod.bore).count() > 1 {
                format!(" run {}", rod.run)
            } else {
                String::new()
            };
            let mass = rod.mass_g.map_or(String::new(), |g| format!(", {g:.0} g"));
            writeln!(
                f,
                "  saw {}      {:.1} mm of {} for {}{run}{mass}",
                rod.number, rod.length_mm, rod.rod, rod.bore
            )?;
            let taken = [(rod.glue_mm, "for glue"), (rod.bends_mm, "at bends")];
            let taken: Vec<String> =
                taken.into_iter().filter(|(mm, _)| *mm > 0.0).map(|(mm, why)| format!("{mm:.1} mm {why}")).collect();
            if !taken.is_empty() {
                writeln!(
                    f,
                    "             the channel is {:.1} mm long; {} stay free",
                    rod.channel_mm,
                    taken.join(", ")
                )?;
            }
            let droops = [(rod.droop_mm, "by itself"), (rod.droop_per_newton_mm, "per newton at its tip")];
            let droops: Vec<String> =
                droops.into_iter().filter_map(|(mm, by)| Some(format!("{:.1} mm {by}", mm?))).collect();
            if !droops.is_empty() {
                writeln!(f, "             droops {}", droops.join(", "))?;
            }
            if let (Some(loaded), Some(g)) = (rod.droop_loaded_mm, rod.carried_g.filter(|g| *g > 0.0)) {
                writeln!(f, "             {loaded:.1} mm with the pieces on it printed solid, {g:.0} g of PLA")?;
            }
            if rod.too_soft {
                writeln!(
                    f,
                    "  noticed    rod {} is too soft: with the pieces on it printed solid it droops by more than a tenth of \
                     its length. Take a thicker rod",
                    rod.number
                )?;
            }
        }
        for kind in &self.buy {
            match &kind.problem {
                Some(problem) => writeln!(f, "  noticed    {}: {problem}", kind.rod)?,
                None => write_bars(f, kind)?,
            }
        }
        Ok(())
    }
}

fn write_bars(f: &mut fmt::Formatter<'_>, kind: &ToldKind) -> fmt::Result {
    let shortest = if kind.shortest { "" } else { "; perhaps fewer would do" };
    writeln!(f, "  buy        {:.0} mm of {}{shortest}", kind.total_mm, kind.rod)?;
    for bar in &kind.bars {
        let rods: Vec<String> = bar.rods.iter().map(ToString::to_string).collect();
        writeln!(f, "             {:.1} mm for {}; {:.1} mm left over", bar.length_mm, rods.join(", "), bar.offcut_mm)?;
    }
    Ok(())
}

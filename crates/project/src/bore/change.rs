//! What can be changed about a bore.

use super::{AtSeam, Bore, BoreEnd, BoreShape, BoreTrouble, Fitting, Placed, RodChoice, Stop};
use crate::rods::{Clearance, ClearanceClass};

/// One change of a bore.
#[derive(Clone, Debug, PartialEq)]
pub enum BoreChange {
    /// Names it.
    Name(String),
    /// Lays it elsewhere.
    Line {
        /// Its points, mm.
        line_mm: Vec<[f64; 3]>,
        /// How they were arrived at.
        placed: Placed,
    },
    /// Moves one point of its line. A whole drag is one of these.
    Point {
        /// Which, from 0.
        at: usize,
        /// Where to, mm.
        to_mm: [f64; 3],
    },
    /// Moves the first or the last point of its line into the material, where the bore then stops.
    EndInside {
        /// Which, from 0.
        at: usize,
        /// Where to, mm.
        to_mm: [f64; 3],
    },
    /// Says what goes in.
    Rod(RodChoice),
    /// Says how much play that has.
    Clearance(Clearance),
    /// Says what the printer takes away, mm.
    Printer(f64),
    /// Gives it another cross-section.
    Shape(BoreShape),
    /// Says where its shape is turned to.
    Up([f64; 3]),
    /// Has its roof turned to where up is as each piece lies.
    UpAsLaid,
    /// Says which cut its magnets hold together, and how thick they are.
    Seam(AtSeam),
    /// Says where an end stops.
    Stop {
        /// 0 for the first, 1 for the last.
        end: usize,
        /// Where.
        stop: Stop,
    },
    /// Says what is let in at an end.
    Fitting {
        /// 0 for the first, 1 for the last.
        end: usize,
        /// What.
        fitting: Fitting,
    },
    /// Says which wall is too thin, mm.
    LeastWall(f64),
    /// Says how much room glue needs at a blind end, mm.
    Glue(f64),
    /// Says whether it may cross others.
    MayCross(bool),
    /// Switches it on or off.
    Enabled(bool),
}

impl BoreChange {
    /// The bore with this change made.
    pub fn apply(&self, bore: &Bore) -> Result<Bore, BoreTrouble> {
        let mut next = bore.clone();
        match self.clone() {
            BoreChange::Name(name) => next.name = name,
            BoreChange::Line { line_mm, placed } => (next.line_mm, next.placed) = (line_mm, placed),
            BoreChange::Point { at, to_mm } => {
                let points = next.line_mm.len();
                *next.line_mm.get_mut(at).ok_or(BoreTrouble::NoSuchPoint(points, at))? = to_mm;
                next.placed = Placed::Typed;
            }
            BoreChange::EndInside { at, to_mm } => {
                let points = next.line_mm.len();
                let end = match at {
                    0 => 0,
                    at if at + 1 == points => 1,
                    at => return Err(BoreTrouble::NoSuchPoint(points, at)),
                };
                (next.line_mm[at], next.placed) = (to_mm, Placed::Typed);
                next.ends[end] = BoreEnd { stop: Stop::At, fitting: Fitting::None };
            }
            BoreChange::Rod(rod) => {
                next.rod = rod;
                next.leave_away_what_does_not_go_with_the_rod();
            }
            BoreChange::Clearance(clearance) => next.clearance = clearance,
            BoreChange::Printer(mm) => next.printer_mm = mm,
            BoreChange::Shape(shape) => next.shape = shape,
            BoreChange::Up(up) => (next.up, next.up_as_laid) = (up, false),
            BoreChange::UpAsLaid => next.up_as_laid = true,
            BoreChange::Seam(seam) => next.seam = Some(seam),
            BoreChange::Stop { end, stop } => {
                let known = next.ends.get_mut(end).ok_or(BoreTrouble::NoSuchPoint(2, end))?;
                known.stop = stop;
                if stop != Stop::Open {
                    known.fitting = Fitting::None;
                }
            }
            BoreChange::Fitting { end, fitting } => {
                next.ends.get_mut(end).ok_or(BoreTrouble::NoSuchPoint(2, end))?.fitting = fitting;
            }
            BoreChange::LeastWall(mm) => next.least_wall_mm = mm,
            BoreChange::Glue(mm) => next.glue_mm = mm,
            BoreChange::MayCross(may) => next.may_cross = may,
            BoreChange::Enabled(enabled) => next.enabled = enabled,
        }
        next.check()?;
        Ok(next)
    }

    /// The change in the maker's words; `before` is the bore that it is made to.
    pub fn title(&self, before: &Bore) -> String {
        let name = &before.name;
        let which = |end: &usize| if *end == 0 { "first" } else { "last" };
        match self {
            BoreChange::Name(to) => format!("call {name} {}", to.trim()),
            BoreChange::Line { placed, .. } => match placed {
                Placed::Axis(axis) => format!("lay {name} along {}", axis.name()),
                Placed::Picked => format!("lay {name} through picked points"),
                Placed::Middle => format!("lay {name} along the middle"),
                Placed::Centred => format!("centre {name}"),
                Placed::Typed => format!("move {name}"),
            },
            BoreChange::EndInside { at, to_mm } => {
                format!("{}, where it stops", BoreChange::Point { at: *at, to_mm: *to_mm }.title(before))
            }
            BoreChange::Point { at, to_mm } => {
                let moved = before
                    .line_mm
                    .get(*at)
                    .map_or(0.0, |was| (0..3).map(|i| (to_mm[i] - was[i]).powi(2)).sum::<f64>().sqrt());
                match *at {
                    0 => format!("move the first end of {name} by {moved:.1} mm"),
                    at if at + 1 == before.line_mm.len() => format!("move the last end of {name} by {moved:.1} mm"),
                    at => format!("move point {} of {name} by {moved:.1} mm", at + 1),
                }
            }
            BoreChange::Rod(RodChoice::Typed(mm)) => format!("make {name} for a rod of {mm} mm"),
            BoreChange::Rod(rod) => format!("make {name} for {}", rod.words()),
            BoreChange::Clearance(Clearance::Class(class)) => format!("give {name} a {} clearance", class.name()),
            BoreChange::Clearance(Clearance::Typed(mm)) => format!("give {name} a clearance of {mm} mm"),
            BoreChange::Printer(mm) => format!("allow {mm} mm for the printer in {name}"),
            BoreChange::Shape(shape @ (BoreShape::Round | BoreShape::Square)) => {
                format!("make {name} {}", shape.name())
            }
            BoreChange::Shape(BoreShape::FlatRoof) => format!("give {name} a flat roof"),
            BoreChange::Shape(shape) => format!("make {name} a {}", shape.name()),
            BoreChange::Up(_) => format!("turn the shape of {name}"),
            BoreChange::UpAsLaid => format!("turn the roof of {name} up in every piece"),
            BoreChange::Seam(seam) => format!("make the magnets of {name} {} mm thick", seam.thickness_mm),
            BoreChange::Stop { end, stop: Stop::Open } => format!("open the {} end of {name}", which(end)),
            BoreChange::Stop { end, stop: Stop::At } => format!("end {name} at its {} point", which(end)),
            BoreChange::Stop { end, stop: Stop::Blind(mm) } => {
                format!("stop the {} end of {name} {mm} mm below the surface", which(end))
            }
            BoreChange::Fitting { end, fitting } => match fitting {
                Fitting::None => format!("leave the {} end of {name} plain", which(end)),
                Fitting::Countersink(mm) => format!("add a countersink of {mm} mm at the {} end of {name}", which(end)),
                Fitting::NutPocket(_) => format!("add a nut pocket at the {} end of {name}", which(end)),
                Fitting::WasherPocket(_) => {
                    format!("add a pocket for nut and washer at the {} end of {name}", which(end))
                }
            },
            BoreChange::LeastWall(mm) => format!("keep walls of at least {mm} mm around {name}"),
            BoreChange::Glue(mm) => format!("leave {mm} mm for glue in {name}"),
            BoreChange::MayCross(true) => format!("let {name} cross other bores"),
            BoreChange::MayCross(false) => format!("let {name} cross no other bore"),
            BoreChange::Enabled(true) => format!("switch {name} on"),
            BoreChange::Enabled(false) => format!("switch {name} off"),
        }
    }
}

impl Bore {
    /// Nuts go on threads, and a countersink must be wider than the bore: another rod does without what it cannot have.
    fn leave_away_what_does_not_go_with_the_rod(&mut self) {
        if !matches!(self.rod, RodChoice::Magnets(_)) {
            self.seam = None;
        }
        if let RodChoice::Magnets(_) = self.rod {
            // Magnets are pressed into two halves of a pocket.
            self.clearance = match self.clearance {
                Clearance::Class(_) => Clearance::Class(ClearanceClass::Fine),
                typed => typed,
            };
        }
        let threaded = self.rod.listed().is_some_and(|rod| rod.kind.is_threaded());
        let bore = self.diameter_mm();
        for end in &mut self.ends {
            match end.fitting {
                Fitting::NutPocket(_) | Fitting::WasherPocket(_) if !threaded => end.fitting = Fitting::None,
                Fitting::Countersink(mm) if mm <= bore => end.fitting = Fitting::None,
                _ => {}
            }
        }
    }
}

//! Which numbers of a bore make sense.

use super::{Bore, Fitting, RodChoice, Stop};
use crate::rods::{Clearance, nut};

/// The widest rod, mm: wider than any that a prop is carried by. Our own choice, no source.
pub const MOST_DIAMETER_MM: f64 = 200.0;
/// The most that clearance, allowance, walls and depths may be, mm. Our own choice, no source.
const MOST_BORE_MM: f64 = 1000.0;
/// The most points of a line: runs are straight rods, and nobody joins more. Our own choice, no source.
pub const MOST_POINTS: usize = 64;
/// Two points of a line are two from this distance on, mm.
const LEAST_RUN_MM: f64 = 1e-3;

/// Why the numbers of a bore make no channel.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BoreTrouble {
    /// Too few points, or too many.
    #[error("a line goes from one point to another, with up to {most} points, not {0}", most = MOST_POINTS)]
    Points(usize),
    /// A point is no place, or lies on the one before.
    #[error("point {} of the line is no place of its own", .0 + 1)]
    Place(usize),
    /// A diameter is none.
    #[error("a rod has a diameter of up to {most} mm, not {0} mm", most = MOST_DIAMETER_MM)]
    Diameter(f64),
    /// No table has this rod.
    #[error("there is no rod called \"{0}\" in the tables: choose another, or type its diameter")]
    NoSuchRod(String),
    /// A length is none.
    #[error("{what} is a length of 0 to {most} mm, not {mm} mm", most = MOST_BORE_MM)]
    Length {
        /// Of what.
        what: &'static str,
        /// Which.
        mm: f64,
    },
    /// A pocket for magnets ends where they do.
    #[error("a pocket for magnets at a cut is as deep as they are: its ends stay at its points")]
    MagnetEnds,
    /// A direction without length.
    #[error("{0} needs a direction")]
    Direction(&'static str),
    /// No such end.
    #[error("a bore has two ends and {0} points: there is no point {1}")]
    NoSuchPoint(usize, usize),
    /// A nut needs a thread.
    #[error("a nut goes on threaded rod: choose one, or leave the pocket away")]
    NoThread,
    /// Something is let in at an end that has no opening.
    #[error("only an open end has room for a countersink or a nut: open it, or leave that away")]
    NotOpen,
    /// A countersink that is narrower than the bore.
    #[error("a countersink of {0} mm is no wider than the bore of {1} mm")]
    NarrowCountersink(f64, f64),
}

impl Bore {
    /// Whether all its numbers make sense together.
    pub fn check(&self) -> Result<(), BoreTrouble> {
        self.check_line()?;
        self.check_rod()?;
        let typed = match self.clearance {
            Clearance::Typed(mm) => mm,
            Clearance::Class(_) => 0.0,
        };
        length("the clearance", typed)?;
        length("what the printer takes away", self.printer_mm)?;
        length("the least wall", self.least_wall_mm)?;
        length("room for glue", self.glue_mm)?;
        direction("the shape", &self.up)?;
        if let Some(seam) = self.seam {
            thickness(seam.thickness_mm)?;
            let is_magnets = matches!(self.rod, RodChoice::Magnets(_));
            if !is_magnets || self.ends.iter().any(|end| end.stop != Stop::At) {
                return Err(BoreTrouble::MagnetEnds);
            }
        }
        self.ends.iter().try_for_each(|end| self.check_end(end.stop, end.fitting))
    }

    fn check_line(&self) -> Result<(), BoreTrouble> {
        let line = &self.line_mm;
        if !(2..=MOST_POINTS).contains(&line.len()) {
            return Err(BoreTrouble::Points(line.len()));
        }
        if let Some(at) = line.iter().position(|p| p.iter().any(|x| !x.is_finite())) {
            return Err(BoreTrouble::Place(at));
        }
        let short = line.windows(2).position(|pair| (0..3).all(|i| (pair[1][i] - pair[0][i]).abs() < LEAST_RUN_MM));
        short.map_or(Ok(()), |at| Err(BoreTrouble::Place(at + 1)))
    }

    fn check_rod(&self) -> Result<(), BoreTrouble> {
        if let RodChoice::Listed(name) = &self.rod
            && self.rod.listed().is_none()
        {
            return Err(BoreTrouble::NoSuchRod(name.clone()));
        }
        let mm = self.rod.diameter_mm();
        if mm > 0.0 && mm <= MOST_DIAMETER_MM { Ok(()) } else { Err(BoreTrouble::Diameter(mm)) }
    }

    fn check_end(&self, stop: Stop, fitting: Fitting) -> Result<(), BoreTrouble> {
        if let Stop::Blind(mm) = stop {
            length("the distance below the surface", mm)?;
        }
        match fitting {
            Fitting::None => Ok(()),
            _ if stop != Stop::Open => Err(BoreTrouble::NotOpen),
            Fitting::Countersink(widest) => {
                length("a countersink", widest)?;
                let bore = self.diameter_mm();
                if widest > bore { Ok(()) } else { Err(BoreTrouble::NarrowCountersink(widest, bore)) }
            }
            Fitting::NutPocket(depth) | Fitting::WasherPocket(depth) => {
                length("how deep the nut lies", depth)?;
                let thread = self.rod.listed().and_then(|rod| nut(rod.name));
                thread.map_or(Err(BoreTrouble::NoThread), |_| Ok(()))
            }
        }
    }
}

fn length(what: &'static str, mm: f64) -> Result<(), BoreTrouble> {
    if (0.0..=MOST_BORE_MM).contains(&mm) { Ok(()) } else { Err(BoreTrouble::Length { what, mm }) }
}

fn thickness(mm: f64) -> Result<(), BoreTrouble> {
    let what = "the thickness of a magnet";
    if mm > 0.0 { length(what, mm) } else { Err(BoreTrouble::Length { what, mm }) }
}

fn direction(what: &'static str, way: &[f64; 3]) -> Result<(), BoreTrouble> {
    let squared: f64 = way.iter().map(|x| x * x).sum();
    if squared.is_finite() && squared > 0.0 { Ok(()) } else { Err(BoreTrouble::Direction(what)) }
}

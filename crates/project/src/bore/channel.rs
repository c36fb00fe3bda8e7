//! From what the maker decided to the channel that is taken away.

use seamwright_geometry::bore::{
    BoreError, Bored, CELLS, Centred, Channel, ChannelError, End, Extra, LineFit, Middle, SectionShape, Tip,
    WallProfile, Walls, bore, centre_line, sides_for,
};
use seamwright_geometry::{Cancelled, Point, Progress, Solid, Vector};

use super::{Bore, BoreShape, Fitting, Stop};
use crate::mending::plain_names;
use crate::rods::{nut, washer};

/// How far the corners of a round channel stand off from the circle that its flats clear, mm: below what a printer
/// resolves, above the noise of file formats. Our own choice, no source.
const DEVIATION_MM: f64 = 0.01;
/// What a nut or a washer has beside what the printer takes away, mm across: twice the smallest gap of a press fit, 0.1 mm
/// (practitioners' guidance).
const POCKET_GAP_MM: f64 = 0.2;
/// An end has material beside it if there is some within so many of the stretches in which walls are told.
const NEAR_CELLS: f64 = 2.0;
/// Angle of a countersink for metric screws, degrees (ISO 15065, from memory).
const COUNTERSINK_DEG: f64 = 90.0;

/// Why nothing was bored.
#[derive(Clone, Debug)]
pub(crate) enum Unbored {
    Cancelled,
    /// In the maker's words, with a place to go to.
    Because(String, Option<Point>),
}

impl From<Cancelled> for Unbored {
    fn from(_: Cancelled) -> Unbored {
        Unbored::Cancelled
    }
}

impl From<ChannelError> for Unbored {
    fn from(error: ChannelError) -> Unbored {
        Unbored::Because(error.to_string(), None)
    }
}

impl From<BoreError> for Unbored {
    fn from(error: BoreError) -> Unbored {
        match &error {
            BoreError::Cancelled(_) => Unbored::Cancelled,
            BoreError::Open { .. } | BoreError::Refused { .. } => {
                Unbored::Because(plain_names(&error.to_string()), error.place())
            }
        }
    }
}

impl Bore {
    /// Its cross-section; `diagonal_mm` is that of all that it may go through.
    fn section(&self, diagonal_mm: f64) -> SectionShape {
        let diameter_mm = self.diameter_mm();
        let sides = sides_for(diameter_mm, DEVIATION_MM);
        match self.shape {
            BoreShape::Round => SectionShape::Round { diameter_mm, sides },
            BoreShape::Teardrop => SectionShape::Teardrop { diameter_mm, sides },
            BoreShape::FlatRoof => SectionShape::FlatRoof { diameter_mm, sides },
            BoreShape::Square => SectionShape::Square { across_flats_mm: diameter_mm },
            BoreShape::Hexagon => SectionShape::Hexagon { across_flats_mm: diameter_mm },
            BoreShape::Slit => SectionShape::Slit { diameter_mm, sides, reach_mm: diagonal_mm.max(diameter_mm) },
        }
    }

    /// The channel along its line in `solid`, ending where it is blind, and with nothing let in at its ends. `walls` are
    /// those of `solid`.
    pub(crate) fn channel(&self, solid: &Solid, walls: &Walls) -> Result<Channel, Unbored> {
        let diagonal = solid.mesh.bounds().map_or(0.0, |bounds| bounds.diagonal());
        let end = |end: usize| match self.ends[end].stop {
            Stop::Open => End::Open,
            Stop::At | Stop::Blind(_) => End::At,
        };
        let line: Vec<Point> = self.line_mm.iter().map(|p| Point::from(*p)).collect();
        let last = line.len() - 1;
        let channel = Channel::new(line, self.section(diagonal), [end(0), end(1)])?.with_up(Vector::from(self.up));
        let mut line = channel.line().to_vec();
        for (end, tip) in [Tip::First, Tip::Last].into_iter().enumerate() {
            let Stop::Blind(below_mm) = self.ends[end].stop else { continue };
            let at = if end == 0 { 0 } else { last };
            line[at] = self.blind_place(solid, walls, &channel, tip, below_mm).ok_or_else(|| {
                let which = if end == 0 { "first" } else { "last" };
                let text = format!(
                    "its blind {which} end has no place {below_mm} mm below the surface: move the end into the material, \
                     or stop it less far below"
                );
                Unbored::Because(text, Some(line[at]))
            })?;
        }
        Ok(channel.along(line)?)
    }

    /// Where a blind end lies: so far along the line from where that would come out, or farther back where its rim would come
    /// nearer to the surface than the least wall.
    fn blind_place(&self, solid: &Solid, walls: &Walls, channel: &Channel, tip: Tip, below_mm: f64) -> Option<Point> {
        let line = channel.line();
        let start = match tip {
            Tip::First => line[1],
            Tip::Last => line[line.len() - 2],
        };
        let exit = walls.blind_end(solid, channel, tip, 0.0)?.exit;
        let (towards, run_mm) = ((exit - start).try_normalize(0.0)?, nalgebra::distance(&start, &exit));
        let by_wall = walls.blind_end(solid, channel, tip, below_mm.min(self.least_wall_mm));
        let by_wall_mm = by_wall.map_or(f64::INFINITY, |blind| (blind.place - start).dot(&towards));
        let at_mm = (run_mm - below_mm).min(by_wall_mm);
        (at_mm > 0.0).then(|| start + towards * at_mm)
    }

    /// The wall around `channel` in `solid`. An end that stops at its point in the air has nothing ahead of it.
    /// Walls but the least and those thinner than asked
    /// for may be told up to `off_share` of them too thick.
    pub(crate) fn profile(&self, solid: &Solid, walls: &Walls, channel: &Channel, off_share: f64) -> WallProfile {
        let profile = walls.least_roughly(solid, channel, self.least_wall_mm, off_share);
        match self.opened_in_air(channel, &profile) {
            None => profile,
            Some(open) => WallProfile { least: walls.least_of(solid, &open, &profile), ..profile },
        }
    }

    /// `channel` with every end open that stops in the air: where there is neither wall nor opening beside it, as its
    /// profile has them. `None` where there is no such end.
    fn opened_in_air(&self, channel: &Channel, profile: &WallProfile) -> Option<Channel> {
        let length = channel.length_mm();
        let near = NEAR_CELLS * length / CELLS as f64;
        let of_cells = profile.cells.iter().map(|cell| [cell.at_mm; 2]);
        let open = profile.broken.iter().chain(&profile.mouths);
        let of_broken = open.map(|open| [open.from_mm, open.to_mm]);
        let beside: Vec<[f64; 2]> = of_cells.chain(of_broken).collect();
        let in_material =
            [beside.iter().any(|[from, _]| *from <= near), beside.iter().any(|[_, to]| *to >= length - near)];
        let ends = [0, 1].map(|end| if in_material[end] { channel.ends()[end] } else { End::Open });
        if ends == channel.ends() {
            return None;
        }
        Some(channel.clone().with_ends(ends))
    }

    /// `channel` moved to where its least wall is greatest, looked for from where it is and from the middle of `solid`.
    pub(crate) fn centred(
        &self,
        solid: &Solid,
        walls: &Walls,
        channel: &Channel,
        progress: &Progress,
    ) -> Result<Centred, Unbored> {
        let line = channel.line();
        let middle = middle_line(solid, [line[0], line[line.len() - 1]], line.len() - 1, progress)?;
        let others: Vec<Vec<Point>> = middle.into_iter().collect();
        progress.stage("centring the bore");
        let opened = self.opened_in_air(channel, &walls.least(solid, channel, 0.0));
        Ok(walls.centred(solid, opened.as_ref().unwrap_or(channel), &others, progress)?)
    }

    /// What is let in at its ends, where `bored` says that it comes out.
    fn extras(&self, channel: &Channel, bored: &Bored) -> Vec<Extra> {
        let line = channel.line();
        let inwards = [line[1] - line[0], line[line.len() - 2] - line[line.len() - 1]];
        let mouths = [bored.entries.first(), bored.entries.last()];
        // Far enough out for a surface that is not square to the bore.
        let lead_mm = 2.0 * self.diameter_mm();
        let at_end = |end: usize| {
            let (mouth, into) = (mouths[end]?.middle, inwards[end]);
            let thread = self.rod.listed().map_or("", |rod| rod.name);
            let gap = self.printer_mm + POCKET_GAP_MM;
            Some(match self.ends[end].fitting {
                Fitting::None => return None,
                Fitting::Countersink(diameter_mm) => Extra::Countersink {
                    mouth,
                    into,
                    diameter_mm,
                    narrow_mm: self.diameter_mm(),
                    angle_deg: COUNTERSINK_DEG,
                    sides: sides_for(diameter_mm, DEVIATION_MM),
                    lead_mm,
                },
                Fitting::NutPocket(below_mm) => {
                    let nut = nut(thread)?;
                    let shape = SectionShape::Hexagon { across_flats_mm: nut.flats_mm + gap };
                    Extra::Pocket { mouth, into, shape, depth_mm: below_mm + nut.height_mm, lead_mm }
                }
                Fitting::WasherPocket(below_mm) => {
                    let (nut, washer) = (nut(thread)?, washer(thread)?);
                    let diameter_mm = washer.outer_mm + gap;
                    let shape = SectionShape::Round { diameter_mm, sides: sides_for(diameter_mm, DEVIATION_MM) };
                    let depth_mm = below_mm + nut.height_mm + washer.thickness_mm;
                    Extra::Pocket { mouth, into, shape, depth_mm, lead_mm }
                }
            })
        };
        [0, 1].into_iter().filter_map(at_end).collect()
    }
}

/// A line along the middle of `solid` between two places, in up to `runs` straight runs; `None` where there is none.
pub(crate) fn middle_line(
    solid: &Solid,
    [from, to]: [Point; 2],
    runs: usize,
    progress: &Progress,
) -> Result<Option<Vec<Point>>, Cancelled> {
    // As many runs as may be, and through the places that are farthest from the surface.
    let fit = LineFit { middle: Middle::Deepest, most_runs: runs, within_mm: 0.0 };
    Ok(centre_line(solid, from, to, &fit, progress)?.map(|found| found.line))
}

/// Takes `of` away from `solid`, with all that is let in at its ends.
pub(crate) fn whole_channel(
    of: &Bore,
    solid: &Solid,
    walls: &Walls,
    progress: &Progress,
) -> Result<(Channel, Bored), Unbored> {
    let plain = of.channel(solid, walls)?;
    let bored = bore(solid, &plain, of.id.0, progress)?;
    let extras = of.extras(&plain, &bored);
    if extras.is_empty() {
        return Ok((plain, bored));
    }
    let mut channel = plain;
    for extra in extras {
        channel = channel.with_extra(extra)?;
    }
    // The mouths are those of the plain channel: the rim of a pocket is wider, and where it comes out is the same.
    let entries = bored.entries;
    let bored = bore(solid, &channel, of.id.0, progress)?;
    Ok((channel, Bored { entries, ..bored }))
}

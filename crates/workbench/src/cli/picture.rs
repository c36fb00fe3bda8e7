//! `picture`: a project drawn into a PNG file, with no display.

use std::fmt;
use std::io::Cursor;
use std::path::Path;
use std::str::FromStr;
use std::sync::Arc;

use image::{ImageFormat, RgbaImage};
use seamwright_project::{Outcome, Piece, store};
use serde::Serialize;

use super::args::PictureArgs;
use super::output::Answer;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{project, targets, words};
use crate::bench::{BedUnderneath, BenchStyle, Camera, Drawn, Label, MeshId, Scene, render_png};
use crate::shown::{body_of, exploded_offsets, held_against, tone_of};

/// Makes the pieces, draws them, and writes the picture.
pub fn run(args: &PictureArgs) -> Result<Pictured, Trouble> {
    check_use(args)?;
    targets::check_free([&args.out], args.force.force)?;
    let waiting = Waiting::new();
    let outcome = project::make(&args.project, waiting.progress())?;
    waiting.progress().stage("drawing");
    let scene = scene(&outcome, args.exploded);
    let PictureSize { width, height } = args.size;
    let camera = match scene.bounds() {
        Some(bounds) => {
            let aspect = f64::from(width) / f64::from(height);
            Camera::default().seen_from(args.view.into()).framing(&bounds, aspect)
        }
        None => Camera::default(),
    };
    let picture = render_png(&scene, camera, &BenchStyle::light(), width, height).map_err(Trouble::said)?;
    write(&picture, &args.out)?;
    Ok(Pictured {
        project: args.project.file.display().to_string(),
        file: args.out.display().to_string(),
        size_px: [width, height],
        pieces: outcome.pieces.len(),
    })
}

fn check_use(args: &PictureArgs) -> Result<(), Trouble> {
    if !(0.0..=1.0).contains(&args.exploded) {
        let problem = format!("{} is not between 0 (together) and 1 (apart)", args.exploded);
        return Err(Trouble::Option { option: "--exploded", problem });
    }
    if !args.out.extension().is_some_and(|end| end.eq_ignore_ascii_case("png")) {
        let problem = format!("{} does not end in .png, and a PNG is what is written", args.out.display());
        return Err(Trouble::Option { option: "--out", problem });
    }
    Ok(())
}

fn write(picture: &RgbaImage, path: &Path) -> Result<(), Trouble> {
    let mut bytes = Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, ImageFormat::Png)
        .map_err(std::io::Error::other)
        .and_then(|()| store::write_atomically(path, bytes.get_ref()))
        .map_err(|error| Trouble::Write { path: path.into(), error })
}

/// The pieces in the colours of their fit, with their marks, over the bed.
fn scene(outcome: &Outcome, exploded: f64) -> Scene {
    let Some(part) = outcome.bounds() else { return Scene::default() };
    let drawn: Vec<Drawn> = (0..)
        .zip(&outcome.pieces)
        .zip(exploded_offsets(&outcome.recipe, &outcome.pieces, &part, exploded))
        .map(|((i, piece), offset)| Drawn {
            tone: tone_of(piece.fit.verdict),
            offset,
            follows_cut: false,
            held_against: held_against(&outcome.recipe, piece, piece.bed),
            ..Drawn::new(MeshId(i), Arc::new(body_of(&piece.solid, piece.facts.closed)))
        })
        .collect();
    let label = |(piece, drawn): (&Piece, &Drawn)| Label {
        at: piece.facts.bounds.centre() + drawn.offset,
        text: piece.mark.clone(),
        strong: false,
        of: Some(drawn.id),
    };
    let labels = outcome.pieces.iter().zip(&drawn).map(label).collect();
    Scene {
        // A single piece needs no mark.
        labels: if drawn.len() > 1 { labels } else { Vec::new() },
        drawn,
        bed: Some(BedUnderneath::under(outcome.recipe.bed.clone(), &part)),
        ..Scene::default()
    }
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Pictured {
    project: String,
    file: String,
    size_px: [u32; 2],
    pieces: usize,
}

impl Answer for Pictured {
    fn is_yes(&self) -> bool {
        true
    }
}

impl fmt::Display for Pictured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [width, height] = self.size_px;
        let pieces = words::count(self.pieces, "piece", "pieces");
        writeln!(f, "{}: {pieces}, {width} × {height} pixels", self.file)
    }
}

/// Width and height of a picture, pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PictureSize {
    /// Width.
    pub width: u32,
    /// Height.
    pub height: u32,
}

impl PictureSize {
    /// What is drawn when nothing is asked for: enough for a page, quick on software GL.
    pub const DEFAULT: PictureSize = PictureSize { width: 1280, height: 800 };

    /// Smaller than this nothing can be seen; larger than this software GL refuses (16384 is the texture limit of
    /// Mesa's llvmpipe; half of it leaves room for what the frame needs besides).
    const RANGE: std::ops::RangeInclusive<u32> = 16..=8192;
}

impl fmt::Display for PictureSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}x{}", self.width, self.height)
    }
}

impl FromStr for PictureSize {
    type Err = String;

    fn from_str(text: &str) -> Result<PictureSize, String> {
        let range = PictureSize::RANGE;
        let wrong =
            || format!("width and height look like 1280x800; each may be {} to {} pixels", range.start(), range.end());
        let (width, height) = text.split_once(['x', 'X', '×']).ok_or_else(wrong)?;
        let number = |part: &str| part.trim().parse().ok().filter(|n| range.contains(n)).ok_or_else(wrong);
        Ok(PictureSize { width: number(width)?, height: number(height)? })
    }
}

//! What the bench looks like: colours of the paper, and the tones that tell how a piece fits.

use crate::text;
use egui::Color32;

/// The colours of the bench, one set for light and one for dark surroundings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BenchStyle {
    /// The paper behind everything, at its top and at its foot.
    pub paper: [Color32; 2],
    /// Writing and fine lines.
    pub ink: Color32,
    /// Writing and lines of less weight.
    pub ink_soft: Color32,
    /// Surface of the printer's bed.
    pub bed: Color32,
    /// Grid of the bed, every 10 mm.
    pub grid_fine: Color32,
    /// Grid of the bed, every 50 mm, its edge and its height box.
    pub grid_bold: Color32,
    /// The sheet that stands for the cut being placed.
    pub sheet: Color32,
    /// The section outline, where the cut meets the surface.
    pub chalk: Color32,
    /// The handle under the pointer, picked points, numbers of a drag.
    pub accent: Color32,
    /// The outline of what is selected; no verdict has its colour.
    pub selected: Color32,
    /// A model that has no verdict yet.
    pub bare: Color32,
    /// What is so little that nobody meant it: quieter than any verdict.
    pub crumb: Color32,
    /// What is lit up, from its rim to its middle: dark, light, and a colour, so that one of them shows on whatever it lies on.
    pub lit: [Color32; 3],
    /// Faces seen from their inside: an opening, or a shell turned inside out.
    pub inside: Color32,
    /// The handles of a cut: move, first tilt, second tilt.
    pub handles: [Color32; 3],
    /// The stretch in which both sides of a cut fit; no verdict has its colour, and it is told by its form besides.
    pub band: Color32,
    /// Words about what does not fit.
    pub warning: Color32,
    /// Behind numbers and marks.
    pub tag: Color32,
    /// Creases and outlines.
    pub edge: Color32,
    /// How strongly creases and outlines are inked, 0 to 1.
    pub edge_ink: f32,
    /// How dark the shadow on the bed is, 0 (none) to 1.
    pub shadow: f32,
}

impl BenchStyle {
    /// For a light window.
    pub fn light() -> BenchStyle {
        BenchStyle {
            paper: [Color32::from_rgb(0xf4, 0xf0, 0xe6), Color32::from_rgb(0xe4, 0xdd, 0xcd)],
            ink: Color32::from_rgb(0x2b, 0x28, 0x24),
            ink_soft: Color32::from_rgb(0x77, 0x6f, 0x63),
            bed: Color32::from_rgb(0xe9, 0xe3, 0xd4),
            grid_fine: Color32::from_rgb(0xd5, 0xcb, 0xb7),
            grid_bold: Color32::from_rgb(0xa8, 0x9b, 0x82),
            sheet: Color32::from_rgb(0x4d, 0x5a, 0x66),
            chalk: Color32::from_rgb(0xff, 0xfd, 0xf5),
            accent: Color32::from_rgb(0x1f, 0x4e, 0x79),
            selected: Color32::from_rgb(0x14, 0x22, 0x33),
            bare: Color32::from_rgb(0xdc, 0xcd, 0xb2),
            crumb: Color32::from_rgb(0xae, 0xa8, 0x9e),
            lit: LIT,
            inside: Color32::from_rgb(0x6d, 0x5a, 0x63),
            handles: [
                Color32::from_rgb(0x26, 0x2f, 0x38),
                Color32::from_rgb(0x26, 0x2f, 0x38),
                Color32::from_rgb(0x26, 0x2f, 0x38),
            ],
            band: OKABE_ITO_BLUE,
            warning: Color32::from_rgb(0xa8, 0x42, 0x00),
            tag: Color32::from_rgb(0xfd, 0xfa, 0xf2),
            edge: Color32::from_rgb(0x35, 0x2c, 0x25),
            edge_ink: 0.8,
            shadow: 0.55,
        }
    }

    /// For a dark window.
    pub fn dark() -> BenchStyle {
        BenchStyle {
            paper: [Color32::from_rgb(0x2c, 0x2a, 0x27), Color32::from_rgb(0x1d, 0x1c, 0x1a)],
            ink: Color32::from_rgb(0xee, 0xe8, 0xdc),
            ink_soft: Color32::from_rgb(0xa3, 0x9a, 0x8b),
            bed: Color32::from_rgb(0x33, 0x30, 0x2c),
            grid_fine: Color32::from_rgb(0x43, 0x3f, 0x39),
            grid_bold: Color32::from_rgb(0x6a, 0x62, 0x56),
            sheet: Color32::from_rgb(0xb9, 0xc4, 0xcc),
            chalk: Color32::from_rgb(0xff, 0xfb, 0xee),
            accent: Color32::from_rgb(0x8f, 0xc4, 0xf0),
            selected: Color32::from_rgb(0xff, 0xf6, 0xe2),
            bare: Color32::from_rgb(0xc4, 0xb7, 0x9f),
            crumb: Color32::from_rgb(0x86, 0x81, 0x79),
            lit: LIT,
            inside: Color32::from_rgb(0x5a, 0x49, 0x51),
            handles: [
                Color32::from_rgb(0xf2, 0xec, 0xe0),
                Color32::from_rgb(0xf2, 0xec, 0xe0),
                Color32::from_rgb(0xf2, 0xec, 0xe0),
            ],
            band: OKABE_ITO_BLUE,
            warning: Color32::from_rgb(0xff, 0x9d, 0x5c),
            tag: Color32::from_rgb(0x25, 0x23, 0x20),
            edge: Color32::from_rgb(0x0f, 0x0d, 0x0b),
            edge_ink: 0.75,
            shadow: 0.8,
        }
    }

    /// The set that goes with `visuals`.
    pub fn of(visuals: &egui::Visuals) -> BenchStyle {
        if visuals.dark_mode { BenchStyle::dark() } else { BenchStyle::light() }
    }

    /// The colour that `tone` has on this paper.
    pub fn colour(&self, tone: Tone) -> Color32 {
        match tone {
            Tone::Bare => self.bare,
            Tone::AsItStands => OKABE_ITO_BLUISH_GREEN,
            Tone::Turned => OKABE_ITO_SKY_BLUE,
            Tone::Tilted => OKABE_ITO_YELLOW,
            Tone::TooBig => OKABE_ITO_VERMILLION,
            Tone::Undecided => OKABE_ITO_REDDISH_PURPLE,
            Tone::Crumb => self.crumb,
        }
    }
}

impl BenchStyle {
    /// The colour of a wall around a bore, on either paper: from far enough to none, in an order that is told apart with
    /// every kind of colour vision.
    pub fn wall(&self, tone: super::bore::WallTone) -> Color32 {
        use super::bore::WallTone;
        match tone {
            WallTone::Ample => OKABE_ITO_BLUISH_GREEN,
            WallTone::Enough => OKABE_ITO_SKY_BLUE,
            WallTone::Thin => OKABE_ITO_YELLOW,
            WallTone::Broken => OKABE_ITO_VERMILLION,
        }
    }
}

/// How a surface is toned: by the verdict of its piece, or bare while there is none.
///
/// A tone is a colour *and* a pattern, so that it can be told without colour vision.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Tone {
    /// No verdict: the stock, or a piece that is not being judged.
    #[default]
    Bare,
    /// Fits as it stands.
    AsItStands,
    /// Fits turned about the vertical.
    Turned,
    /// Fits tilted.
    Tilted,
    /// Too big.
    TooBig,
    /// Not known yet.
    Undecided,
    /// A crumb: whether it fits is not the question.
    Crumb,
}

impl Tone {
    /// All tones, from the best verdict to the worst, then those without one.
    pub const ALL: [Tone; 7] =
        [Tone::AsItStands, Tone::Turned, Tone::Tilted, Tone::TooBig, Tone::Undecided, Tone::Crumb, Tone::Bare];

    /// The pattern that goes with the colour; each verdict has its own, what has none is as plain as what fits best.
    pub fn pattern(self) -> Pattern {
        match self {
            Tone::Bare | Tone::Crumb | Tone::AsItStands => Pattern::Plain,
            Tone::Turned => Pattern::Strokes,
            Tone::Tilted => Pattern::Dashes,
            Tone::TooBig => Pattern::Crossed,
            Tone::Undecided => Pattern::Dots,
        }
    }

    /// The verdict in words, as the ledger writes it; empty when there is none.
    pub fn words(self) -> &'static str {
        match self {
            Tone::Bare => "",
            Tone::AsItStands => text::verdicts::AS_IT_STANDS,
            Tone::Turned => text::verdicts::TURNED,
            Tone::Tilted => text::verdicts::TILTED,
            Tone::TooBig => text::verdicts::TOO_BIG,
            Tone::Undecided => text::verdicts::UNDECIDED,
            Tone::Crumb => text::verdicts::CRUMB,
        }
    }
}

/// A hatch.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Pattern {
    /// None.
    #[default]
    Plain,
    /// Slanted lines.
    Strokes,
    /// Slanted lines, broken.
    Dashes,
    /// Lines both ways.
    Crossed,
    /// Dots.
    Dots,
}

// Colours told apart with every common kind of colour vision: M. Okabe and K. Ito, "Color Universal Design: how to make
// figures and presentations that are friendly to colorblind people" (2002, revised 2008), figure 16.
const OKABE_ITO_SKY_BLUE: Color32 = Color32::from_rgb(86, 180, 233);
const OKABE_ITO_BLUISH_GREEN: Color32 = Color32::from_rgb(0, 158, 115);
const OKABE_ITO_BLUE: Color32 = Color32::from_rgb(0, 114, 178);
const OKABE_ITO_YELLOW: Color32 = Color32::from_rgb(240, 228, 66);
const OKABE_ITO_VERMILLION: Color32 = Color32::from_rgb(213, 94, 0);
const OKABE_ITO_REDDISH_PURPLE: Color32 = Color32::from_rgb(204, 121, 167);

/// Nearly black, nearly white, and blue, which no verdict has: on light paper and dark, and on any hatch. Our own choice, by
/// eye.
const LIT: [Color32; 3] = [Color32::from_rgb(0x17, 0x15, 0x13), Color32::from_rgb(0xff, 0xfd, 0xf5), OKABE_ITO_BLUE];

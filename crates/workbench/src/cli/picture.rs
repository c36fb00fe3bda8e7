//! `picture`: a project drawn into a PNG file, with no display.

use std::fmt;
use std::str::FromStr;

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

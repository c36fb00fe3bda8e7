//! Whether a picture still looks like the one that was agreed on.

use std::path::PathBuf;
use std::{env, fs};

use image::{ImageReader, Rgb, RgbImage, RgbaImage};

// The tolerance, stated here and nowhere else.
/// So far may a channel be off, of 255. Another version of a rasteriser weighs the samples of an edge otherwise and rounds
/// otherwise; a shade that is off by a tenth is not seen at an edge, and a missing line is off by more. Our own choice, from
/// what two rasterisers of one library gave.
const OFF: u8 = 26;
/// So many of a thousand pixels may be off by more. A moved cut, a missing hatch or a missing shadow changes several times as
/// many; the tests of this file show it.
const PIXELS_PER_THOUSAND: usize = 4;
/// An edge may lie so many pixels beside where it lay: a line that falls between two pixels is drawn on one or the other.
const BESIDE: u32 = 1;

// How agreed pictures are kept: without the grain of the paper, which no eye misses and no file wants. Both add to what may be
// off.
/// Colours are kept in steps so large.
const STEP: u8 = 6;
/// A pixel that differs by less than this from the one above or before it is kept as that one.
const ALIKE: u8 = 7;

/// Set, the pictures that are made become the agreed ones.
const RENEW: &str = "SEAMWRIGHT_RENEW_PICTURES";

/// Compares a picture with the agreed one of this name; where they differ, leaves both and the difference among the artefacts,
/// and says so.
pub fn compare(name: &str, made: &RgbaImage) -> Result<(), String> {
    let made = image::DynamicImage::ImageRgba8(made.clone()).into_rgb8();
    let agreed_file = agreed_folder().join(name).with_extension("png");
    if env::var_os(RENEW).is_some() {
        return write(&agreed_file, &without_grain(&made));
    }
    let agreed = ImageReader::open(&agreed_file)
        .map_err(|e| e.to_string())
        .and_then(|file| file.decode().map_err(|e| e.to_string()))
        .map_err(|e| format!("{}: {e}; set {RENEW}=1 to make it", agreed_file.display()))?
        .into_rgb8();
    let Some(off) = pixels_off(&made, &agreed) else {
        leave(name, &made, &agreed, &made)?;
        return Err(format!("{name}: {:?} pixels instead of {:?}", made.dimensions(), agreed.dimensions()));
    };
    let (count, most) = (off.len(), most_off(&made));
    if count <= most {
        return Ok(());
    }
    let folder = leave(name, &made, &agreed, &difference(&made, &off))?;
    Err(format!("{name}: {count} pixels are off, {most} may be; the pictures lie in {}", folder.display()))
}

/// Whether a picture looks like another by the tolerance above.
pub fn looks_like(made: &RgbImage, agreed: &RgbImage) -> bool {
    pixels_off(made, agreed).is_some_and(|off| off.len() <= most_off(made))
}

fn most_off(made: &RgbImage) -> usize {
    (made.width() * made.height()) as usize * PIXELS_PER_THOUSAND / 1000
}

/// The pixels that are in one of the pictures and nowhere near in the other; `None` where they are not of one size.
fn pixels_off(made: &RgbImage, agreed: &RgbImage) -> Option<Vec<[u32; 2]>> {
    if made.dimensions() != agreed.dimensions() {
        return None;
    }
    let all = (0..made.height()).flat_map(|y| (0..made.width()).map(move |x| [x, y]));
    Some(all.filter(|&at| !is_around(made, agreed, at) || !is_around(agreed, made, at)).collect())
}

/// Whether the pixel of `one` lies between the lightest and the darkest around it in `other`, or nearly.
fn is_around(one: &RgbImage, other: &RgbImage, [x, y]: [u32; 2]) -> bool {
    let Rgb(pixel) = one.get_pixel(x, y);
    let (mut low, mut high) = ([u8::MAX; 3], [0; 3]);
    let range = |i: u32, end: u32| i.saturating_sub(BESIDE)..(i + BESIDE + 1).min(end);
    for j in range(y, other.height()) {
        for i in range(x, other.width()) {
            let Rgb(near) = other.get_pixel(i, j);
            for k in 0..3 {
                low[k] = low[k].min(near[k]);
                high[k] = high[k].max(near[k]);
            }
        }
    }
    (0..3).all(|k| (low[k].saturating_sub(OFF)..=high[k].saturating_add(OFF)).contains(&pixel[k]))
}

fn without_grain(made: &RgbImage) -> RgbImage {
    let mut kept = made.clone();
    kept.pixels_mut().flat_map(|pixel| &mut pixel.0).for_each(|c| *c = *c / STEP * STEP + STEP / 2);
    let alike = |a: &Rgb<u8>, b: &Rgb<u8>| a.0.iter().zip(b.0).all(|(a, b)| a.abs_diff(b) < ALIKE);
    for y in 0..kept.height() {
        for x in 0..kept.width() {
            let here = *kept.get_pixel(x, y);
            let beside = [y.checked_sub(1).map(|above| [x, above]), x.checked_sub(1).map(|before| [before, y])];
            let beside = beside.into_iter().flatten().map(|[x, y]| *kept.get_pixel(x, y)).find(|p| alike(p, &here));
            kept.put_pixel(x, y, beside.unwrap_or(here));
        }
    }
    kept
}

/// The picture in pale grey, what is off in red.
fn difference(made: &RgbImage, off: &[[u32; 2]]) -> RgbImage {
    let pale = |Rgb(c): &Rgb<u8>| Rgb([191 + (c.iter().map(|c| u16::from(*c)).sum::<u16>() / 12) as u8; 3]);
    let mut picture = RgbImage::from_fn(made.width(), made.height(), |x, y| pale(made.get_pixel(x, y)));
    off.iter().for_each(|[x, y]| picture.put_pixel(*x, *y, Rgb([220, 0, 0])));
    picture
}

fn leave(name: &str, made: &RgbImage, agreed: &RgbImage, difference: &RgbImage) -> Result<PathBuf, String> {
    let folder = match env::var_os("SEAMWRIGHT_ARTEFACTS") {
        Some(folder) => PathBuf::from(folder),
        None => PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../target/ci-artefacts"),
    };
    fs::create_dir_all(&folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    for (what, picture) in [("made", made), ("agreed", agreed), ("difference", difference)] {
        write(&folder.join(format!("picture-{name}-{what}.png")), picture)?;
    }
    Ok(folder)
}

fn write(file: &PathBuf, picture: &RgbImage) -> Result<(), String> {
    use image::codecs::png::{CompressionType, FilterType, PngEncoder};
    let out = fs::File::create(file).map_err(|e| format!("{}: {e}", file.display()))?;
    let encoder = PngEncoder::new_with_quality(out, CompressionType::Best, FilterType::Adaptive);
    picture.write_with_encoder(encoder).map_err(|e| e.to_string())
}

fn agreed_folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src/bench/tests/pictures")
}

#[test]
fn an_edge_half_a_pixel_off_looks_alike_and_a_line_more_or_less_does_not() {
    let edge = |at: f32| {
        RgbImage::from_fn(100, 60, |x, _| {
            let share = (x as f32 + 0.5 - at).clamp(0.0, 1.0);
            Rgb([(200.0 * share) as u8 + 20; 3])
        })
    };
    assert!(looks_like(&edge(40.0), &edge(40.5)));
    assert!(!looks_like(&edge(40.0), &edge(43.0)));
    let mut lined = edge(40.0);
    (0..60).for_each(|y| lined.put_pixel(70, y, Rgb([60; 3])));
    assert!(!looks_like(&lined, &edge(40.0)) && !looks_like(&edge(40.0), &lined));
    assert!(!looks_like(&edge(40.0), &RgbImage::new(60, 100)), "they are not of one size");
}

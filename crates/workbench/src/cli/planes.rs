//! Cuts as they are typed.

use seamwright_geometry::{CutSurface, Plane, Point, Vector};
use seamwright_project::{Axis, CutForm, CutProfile, Edge, FormError, Line, MOST_KERF_MM, Waves};

/// A cut as it was asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct AskedCut {
    /// The plane that it is made along, or that its line is drawn over.
    pub plane: Plane,
    /// What it is made along.
    pub form: CutForm,
    /// The gap that it leaves, mm.
    pub kerf_mm: f64,
    /// Its place; `None` for the middle of the model.
    at: Option<Point>,
}

impl AskedCut {
    /// A flat cut along all of a plane.
    pub fn flat(plane: Plane) -> AskedCut {
        AskedCut { plane, form: CutForm::Flat, kerf_mm: 0.0, at: None }
    }

    /// The surface that it is made along; `middle` is that of the model.
    pub fn surface(&self, middle: Point) -> Result<CutSurface, FormError> {
        self.form.surface_on(&self.plane, self.at.unwrap_or(middle), Axis::nearest(&self.plane.normal()))
    }
}

/// What may follow the four numbers of a plane, for the help.
pub const WORDS: &str = "After the four numbers of a plane may follow, with spaces between:\n  \
    kerf MM                    leave a gap of this width between the two sides\n  \
    ends MM                    cut only where u is greater; the rest stays whole\n  \
    step RISE                  one step up along u\n  \
    zigzag PITCHxHEIGHTxCOUNT  teeth with straight flanks\n  \
    wave PITCHxHEIGHTxCOUNT    a wave\n  \
    dovetail PITCHxHEIGHTxCOUNTxFLANK  tongues whose flanks lean out by FLANK degrees\n  \
    line U,V;U,V;…             straight from point to point\n  \
    curve U,V;U,V;…            a smooth curve through the points\n  \
    turned DEG                 turn u and w about the plane's normal\n  \
    at X,Y,Z                   where u and v begin; the middle of the model where it is left out\n\
    v stands on the plane, towards its normal; u and w lie in it: for a plane square to Z they are X and Y, for X they \
    are Y and Z, for Y they are Z and X. A line is carried along w through the whole model, and goes on straight \
    before its first and after its last point.";

const KEYWORDS: [&str; 10] = ["kerf", "ends", "step", "zigzag", "wave", "dovetail", "line", "curve", "turned", "at"];

/// Reads `NX,NY,NZ,OFFSET`, the plane where `NX·x + NY·y + NZ·z = OFFSET` in millimetres, and the words after it.
pub fn parse(text: &str) -> Result<AskedCut, String> {
    let all: Vec<&str> = text.split_whitespace().collect();
    let numbers_end = all.iter().position(|word| KEYWORDS.contains(word)).unwrap_or(all.len());
    let (plane_text, words) = (all[..numbers_end].join(" "), &all[numbers_end..]);
    let [x, y, z, offset] = numbers(&plane_text, ',', "a plane", EXAMPLE)?;
    let plane = Plane::new(Vector::new(x, y, z), offset).map_err(|error| error.to_string())?;
    let mut asked = AskedCut::flat(plane);
    let mut turned = None;
    for pair in words.chunks(2) {
        let [word, value] = *pair else { return Err(format!("\"{}\" needs a value after it", pair[0])) };
        match word {
            "kerf" => asked.kerf_mm = kerf(value)?,
            "turned" => turned = Some(number(value, "\"turned 30\"")?),
            "at" => asked.at = Some(Point::from(numbers(value, ',', "a place", "\"at 10,0,84.5\"")?)),
            _ if asked.form != CutForm::Flat => {
                return Err(format!("a cut has one form only: it is \"{}\" already", asked.form.name()));
            }
            _ => asked.form = form(word, value)?,
        }
    }
    match (&mut asked.form, turned) {
        (_, None) => {}
        (CutForm::Ending(Edge { turn_deg, .. }) | CutForm::Profile(CutProfile { turn_deg, .. }), Some(turn)) => {
            *turn_deg = turn;
        }
        (CutForm::Flat, Some(_)) => return Err("a flat cut with no end is the same however it is turned".into()),
    }
    // What makes no surface here makes none at any place.
    asked.surface(Point::origin()).map_err(|error| error.to_string())?;
    Ok(asked)
}

fn form(word: &str, value: &str) -> Result<CutForm, String> {
    let line = match word {
        "ends" => {
            let offset_mm = number(value, "\"ends 10\"")?;
            return Ok(CutForm::Ending(Edge { offset_mm, turn_deg: 0.0 }));
        }
        "step" => Line::Step { rise_mm: number(value, "\"step 6\"")? },
        "zigzag" => Line::Zigzag(waves(numbers(value, 'x', "a zigzag", "\"zigzag 20x8x5\"")?)?),
        "wave" => Line::Wave(waves(numbers(value, 'x', "a wave", "\"wave 20x8x5\"")?)?),
        "dovetail" => {
            let [pitch, height, count, flank_deg] = numbers(value, 'x', "a dovetail", "\"dovetail 30x8x3x10\"")?;
            Line::Dovetail { waves: waves([pitch, height, count])?, flank_deg }
        }
        _ => Line::Drawn { points_mm: points(value)?, smooth: word == "curve" },
    };
    Ok(CutForm::Profile(CutProfile { line, turn_deg: 0.0 }))
}

fn waves([pitch_mm, height_mm, count]: [f64; 3]) -> Result<Waves, String> {
    if count.fract() != 0.0 || !(1.0..=f64::from(u32::MAX)).contains(&count) {
        return Err(format!("{count} is no number of times: give a whole number from 1"));
    }
    Ok(Waves { pitch_mm, height_mm, count: count as u32 })
}

pub(super) fn points(value: &str) -> Result<Vec<[f64; 2]>, String> {
    value.split(';').map(|point| numbers(point, ',', "a point of a line", "\"line -20,0;0,8;20,0\"")).collect()
}

/// Reads `X,Y,Z`.
pub fn place(text: &str) -> Result<[f64; 3], String> {
    numbers(text, ',', "a place", "\"10,0,84.5\"")
}

/// Reads `X,Y,Z;X,Y,Z`.
pub fn two_places(text: &str) -> Result<[[f64; 3]; 2], String> {
    let places: Vec<[f64; 3]> = text.split(';').map(place).collect::<Result<_, _>>()?;
    places.try_into().map_err(|places: Vec<_>| format!("two places are needed and here are {}", places.len()))
}

/// Reads `X,Y,Z;AXIS`.
pub fn place_and_axis(text: &str) -> Result<([f64; 3], Axis), String> {
    let (at, name) = text.split_once(';').ok_or("a place and an axis are needed, as in \"10,0,84.5;Z\"")?;
    let axis = Axis::ALL.into_iter().find(|axis| axis.name().eq_ignore_ascii_case(name.trim()));
    Ok((place(at)?, axis.ok_or_else(|| format!("\"{}\" is not X, Y or Z", name.trim()))?))
}

/// A quarter turn about an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quarter {
    /// The axis.
    pub axis: Axis,
    /// To the right, as seen against it.
    pub back: bool,
}

/// Reads `X` or `-X`.
pub fn quarter(text: &str) -> Result<Quarter, String> {
    let (back, name) = match text.trim().strip_prefix('-') {
        Some(name) => (true, name),
        None => (false, text.trim().trim_start_matches('+')),
    };
    let axis = Axis::ALL.into_iter().find(|axis| axis.name().eq_ignore_ascii_case(name));
    Ok(Quarter { axis: axis.ok_or_else(|| format!("\"{text}\" is not X, Y or Z, with or without a minus"))?, back })
}

fn kerf(value: &str) -> Result<f64, String> {
    let kerf_mm = number(value, "\"kerf 0.4\"")?;
    if (0.0..=MOST_KERF_MM).contains(&kerf_mm) {
        Ok(kerf_mm)
    } else {
        Err(format!("a kerf is a width of 0 to {MOST_KERF_MM} mm, not {kerf_mm} mm"))
    }
}

pub(super) fn number(text: &str, example: &str) -> Result<f64, String> {
    let [number] = numbers(text, ',', "this", example)?;
    Ok(number)
}

/// Exactly as many numbers as are asked for.
pub(super) fn numbers<const N: usize>(
    text: &str,
    between: char,
    what: &str,
    example: &str,
) -> Result<[f64; N], String> {
    let looks = |problem: String| format!("{problem}; {example} is how it looks");
    let numbers: Vec<f64> = text
        .split(between)
        .map(|part| part.trim().parse().map_err(|_| looks(format!("\"{}\" is not a number", part.trim()))))
        .collect::<Result<_, String>>()?;
    let count = numbers.len();
    let several = if N == 1 { "number" } else { "numbers" };
    numbers.try_into().map_err(|_| looks(format!("{what} is {N} {several} and here are {count}")))
}

const EXAMPLE: &str = "0,0,1,84.5 for NX,NY,NZ,OFFSET";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plane_is_its_normal_and_its_offset() {
        let AskedCut { plane, form, kerf_mm, .. } = parse("0,0,1,-12.5").unwrap();
        assert_eq!((plane.normal(), plane.offset_mm()), (Vector::z(), -12.5));
        assert_eq!((form, kerf_mm), (CutForm::Flat, 0.0));
    }

    #[test]
    fn the_offset_belongs_to_the_normal_as_typed() {
        // 2z = 10 is z = 5.
        let plane = parse(" 0, 0, 2, 10 ").unwrap().plane;
        assert_eq!((plane.normal(), plane.offset_mm()), (Vector::z(), 5.0));
    }

    #[test]
    fn words_after_the_plane_give_it_a_form_and_a_kerf() {
        let asked = parse("0,0,1,50 kerf 0.4 zigzag 20x8x5 turned 90").unwrap();
        assert_eq!(asked.kerf_mm, 0.4);
        let line = Line::Zigzag(Waves { pitch_mm: 20.0, height_mm: 8.0, count: 5 });
        assert_eq!(asked.form, CutForm::Profile(CutProfile { line, turn_deg: 90.0 }));
        let ending = parse("1,0,0,0 ends -12").unwrap();
        assert_eq!(ending.form, CutForm::Ending(Edge { offset_mm: -12.0, turn_deg: 0.0 }));
        let drawn = parse("0,1,0,5 curve -20,0;0,8;20,0 at 1,2,3").unwrap();
        assert_eq!(drawn.at, Some(Point::new(1.0, 2.0, 3.0)));
        let CutForm::Profile(CutProfile { line: Line::Drawn { points_mm, smooth }, .. }) = drawn.form else { panic!() };
        assert_eq!((points_mm.len(), smooth), (3, true));
    }

    #[test]
    fn what_is_no_cut_is_refused_with_what_would_be_one() {
        let says = |text: &str, words: &str| {
            let error = parse(text).unwrap_err();
            assert!(error.contains(words), "{text}: {error}");
        };
        says("0,0,1", "here are 3");
        says("0,0,1,2,3", "here are 5");
        says("0,0,up,2", "\"up\" is not a number");
        says("", "0,0,1,84.5");
        says("0,0,0,2", "points nowhere");
        says("0,0,NaN,2", "finite");
        says("0,0,1,inf", "finite");
        says("0,0,1,2 saw 3", "\"2 saw 3\" is not a number");
        says("0,0,1,2 kerf", "needs a value");
        says("0,0,1,2 kerf -1", "0 to 20 mm");
        says("0,0,1,2 zigzag 20x8", "here are 2");
        says("0,0,1,2 zigzag 20x8x2.5", "whole number");
        says("0,0,1,2 step 5 wave 20x8x5", "one form only");
        says("0,0,1,2 turned 30", "however it is turned");
        says("0,0,1,2 line 0,0;10,0;5,5;5,-5", "meets itself");
    }
}

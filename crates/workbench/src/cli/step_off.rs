//! Stepping off as it is typed.

use seamwright_geometry::{Bed, HalfSupport, LastPiece, Mesh, Plane, Progress, Search, StepOff, Steps, Vector};

use super::planes::{AskedCut, number, numbers};
use super::trouble::Trouble;

/// How the help tells it.
pub const WORDS: &str = "Stepping off: an axis (x, y, z, -x, -y, -z or NX,NY,NZ), which points from the end that it \
    begins at to the other; after it may follow, with spaces between:\n  \
    equal     all pieces equally long, as few as fit; the rule\n  \
    far       each as long as fits\n  \
    every MM  all of this length; the last is what is left\n  \
    least MM  the last piece is not made shorter than this";

/// Stepping off as it was asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AskedSteps {
    axis: Vector,
    steps: Steps,
    least_mm: f64,
}

/// Reads `AXIS [equal|far|every MM] [least MM]`.
pub fn parse(text: &str) -> Result<AskedSteps, String> {
    let mut words = text.split_whitespace();
    let mut asked = AskedSteps { axis: axis(words.next().unwrap_or_default())?, steps: Steps::Equal, least_mm: 0.0 };
    while let Some(word) = words.next() {
        let mut value = |example| number(words.next().unwrap_or_default(), example);
        match word {
            "equal" => asked.steps = Steps::Equal,
            "far" => asked.steps = Steps::AsLongAsFits,
            "every" => asked.steps = Steps::Every { length_mm: value("\"every 200\"")? },
            "least" => asked.least_mm = value("\"least 60\"")?,
            _ => return Err(format!("\"{word}\" is none of equal, far, every, least")),
        }
    }
    Ok(asked)
}

fn axis(text: &str) -> Result<Vector, String> {
    let (sign, name) = text.strip_prefix('-').map_or((1.0, text), |name| (-1.0, name));
    match name {
        "x" => Ok(Vector::x() * sign),
        "y" => Ok(Vector::y() * sign),
        "z" => Ok(Vector::z() * sign),
        _ => Ok(Vector::from(numbers(text, ',', "an axis", "\"z\" or \"0,0,1\"")?)),
    }
}

impl AskedSteps {
    /// The cuts that step `mesh` off for `bed`.
    pub fn cuts(&self, mesh: &Mesh, bed: &Bed, progress: &Progress) -> Result<Vec<AskedCut>, Trouble> {
        let support = HalfSupport::build(mesh, progress).map_err(Trouble::said)?;
        let last = LastPiece { least_mm: self.least_mm };
        let how = StepOff { axis: self.axis, steps: self.steps, last, search: Search::AnyPose };
        let option = |problem: String| Trouble::Option { option: "--step-off", problem };
        let offsets = support.step_off(&how, bed, progress).map_err(|error| option(error.to_string()))?;
        let length = self.axis.norm();
        let cut = |offset: f64| Plane::new(self.axis, offset * length).map(AskedCut::flat);
        offsets.into_iter().map(|offset| cut(offset).map_err(|error| option(error.to_string()))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_and_words_are_read() {
        let asked = parse("-z every 200 least 60").unwrap();
        let every = Steps::Every { length_mm: 200.0 };
        assert_eq!(asked, AskedSteps { axis: -Vector::z(), steps: every, least_mm: 60.0 });
        assert_eq!(parse("0,1,1 far").unwrap().axis, Vector::new(0.0, 1.0, 1.0));
        assert_eq!(parse("x").unwrap().steps, Steps::Equal);
        for (text, word) in [("", "here are 1"), ("w", "axis"), ("x slowly", "none of equal"), ("x every", "every 200")]
        {
            let error = parse(text).unwrap_err();
            assert!(error.contains(word) || error.contains("not a number"), "{text}: {error}");
        }
    }
}

//! Beds as they are typed.

use std::path::Path;

use seamwright_geometry::{Bed, KeepOut, Outline};
use seamwright_project::{adhesion, saved_beds};

use super::planes::{number, numbers, points};
use super::trouble::Trouble;

/// A bed as it was asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct AskedBed {
    /// As it was typed.
    pub text: String,
    shape: Shape,
    changes: Vec<Change>,
}

#[derive(Clone, Debug, PartialEq)]
enum Shape {
    Given(Bed),
    /// One of the user's own, by its name.
    Kept(String),
}

#[derive(Clone, Debug, PartialEq)]
enum Change {
    Margin(f64),
    Around(f64),
    Raft(f64),
    KeepOut(KeepOut),
}

/// How a bed is told, for the help.
pub const WORDS: &str = "A bed is told as\n  \
    WxDxH                       width, depth and height, mm\n  \
    round DxH                   a round bed: diameter and height\n  \
    outline X,Y;X,Y;… height H  any outline whose edges do not cross\n  \
    NAME                        one of your own: see \"seamwright beds\"\n\
    After it may follow, with spaces between:\n  \
    margin MM                   the gap kept to the edge\n  \
    around MM                   kept free around a piece, to the edge and to keep-out zones\n  \
    skirt, brim, raft MATERIAL  the same by what is printed around or under a piece: pla, petg, abs, tpu, pa, pc\n  \
    raft MM                     height of a raft\n  \
    keep-out X,Y;X,Y;…          stays free: a clip, a purge area; once for each\n  \
    from MM                     the zone before it begins at this height only";

const KEYWORDS: [&str; 7] = ["margin", "around", "skirt", "brim", "raft", "keep-out", "from"];

/// Reads a bed, such as `220x220x250 margin 2`.
pub fn parse(text: &str) -> Result<AskedBed, String> {
    let all: Vec<&str> = text.split_whitespace().collect();
    let end = all.iter().position(|word| KEYWORDS.contains(word)).unwrap_or(all.len());
    let (shape, words) = (shape(&all[..end])?, &all[end..]);
    let mut changes = Vec::new();
    for pair in words.chunks(2) {
        let [word, value] = *pair else { return Err(format!("\"{}\" needs a value after it", pair[0])) };
        change(word, value, &mut changes)?;
    }
    let asked = AskedBed { text: text.trim().to_owned(), shape, changes };
    if let Shape::Given(bed) = &asked.shape {
        asked.changed(bed).check().map_err(|error| error.to_string())?;
    }
    Ok(asked)
}

fn shape(words: &[&str]) -> Result<Shape, String> {
    let given = |outline, height| Ok(Shape::Given(Bed::of(outline, height)));
    match words {
        [] => Err(format!("which bed? {EXAMPLE}")),
        ["round", rest @ ..] => {
            let [diameter_mm, height] = numbers(&rest.concat(), 'x', "a round bed", "\"round 200x250\"")?;
            given(Outline::Circle { diameter_mm }, height)
        }
        ["outline", corners, "height", height] => {
            let corners_mm = points(corners)?;
            given(Outline::Polygon { corners_mm }, number(height, "\"outline 0,0;200,0;100,150 height 250\"")?)
        }
        ["outline", ..] => Err("an outline looks like \"outline 0,0;200,0;100,150 height 250\"".into()),
        _ => sizes_or_name(&words.join(" ")),
    }
}

fn sizes_or_name(text: &str) -> Result<Shape, String> {
    let parts: Vec<&str> = text.split(['x', 'X', '×']).map(str::trim).collect();
    // What begins with a digit is meant as numbers; a name is anything else.
    if !parts[0].starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.') {
        return Ok(Shape::Kept(text.to_owned()));
    }
    let numbers: Vec<f64> = parts
        .iter()
        .map(|part| part.parse().map_err(|_| format!("\"{part}\" is not a number; {EXAMPLE}")))
        .collect::<Result<_, String>>()?;
    let [width, depth, height] = numbers[..] else {
        return Err(format!("a bed is three numbers and here are {}; {EXAMPLE}", numbers.len()));
    };
    let bed = Bed::rectangle(width, depth, height);
    bed.check().map_err(|error| error.to_string())?;
    Ok(Shape::Given(bed))
}

fn change(word: &str, value: &str, changes: &mut Vec<Change>) -> Result<(), String> {
    let by_material = |value: &str| adhesion::of(value).ok_or_else(|| unknown_material(value));
    match word {
        "margin" => changes.push(Change::Margin(number(value, "\"margin 2\"")?)),
        "around" => changes.push(Change::Around(number(value, "\"around 5\"")?)),
        "skirt" => changes.push(Change::Around(by_material(value)?.skirt_mm)),
        "brim" => changes.push(Change::Around(by_material(value)?.brim_mm)),
        "raft" => match value.parse() {
            Ok(height) => changes.push(Change::Raft(height)),
            Err(_) => {
                let material = by_material(value)?;
                changes.extend([Change::Around(material.raft_around_mm), Change::Raft(material.raft_height_mm)]);
            }
        },
        "keep-out" => changes.push(Change::KeepOut(KeepOut { corners_mm: points(value)?, from_mm: 0.0 })),
        _ => match changes.last_mut() {
            Some(Change::KeepOut(zone)) => zone.from_mm = number(value, "\"keep-out 0,0;20,0;0,20 from 30\"")?,
            _ => return Err("\"from\" follows the keep-out zone that begins at that height".into()),
        },
    }
    Ok(())
}

fn unknown_material(text: &str) -> String {
    let known: Vec<String> = adhesion::all().into_iter().map(|material| material.name).collect();
    format!("\"{text}\" is no material of the table; there are {}", known.join(", "))
}

impl AskedBed {
    /// The bed; one of the user's own is looked up among those kept in `kept_in`.
    pub fn bed(&self, kept_in: Option<&Path>) -> Result<Bed, Trouble> {
        let bed = match &self.shape {
            Shape::Given(bed) => self.changed(bed),
            Shape::Kept(name) => {
                let beds = match kept_in {
                    Some(path) => saved_beds::load(path).map_err(Trouble::said)?,
                    None => Vec::new(),
                };
                let names: Vec<&str> = beds.iter().map(|bed| bed.name.as_str()).collect();
                let problem = match names[..] {
                    [] => format!("there is no bed called \"{name}\", and none was kept yet; {EXAMPLE}"),
                    _ => format!("there is no bed called \"{name}\"; there are {}", names.join(", ")),
                };
                let known = beds.iter().find(|bed| bed.name == *name);
                self.changed(&known.ok_or(Trouble::Option { option: "--bed", problem })?.bed)
            }
        };
        bed.check().map_err(|error| Trouble::Option { option: "--bed", problem: error.to_string() })?;
        Ok(bed)
    }

    /// Whether it is one of the user's own, as it was kept.
    pub fn is_name(&self) -> bool {
        matches!(self.shape, Shape::Kept(_)) && self.changes.is_empty()
    }

    fn changed(&self, bed: &Bed) -> Bed {
        let mut bed = bed.clone();
        for change in &self.changes {
            match change {
                Change::Margin(mm) => bed.margin_mm = *mm,
                Change::Around(mm) => bed.around_mm = *mm,
                Change::Raft(mm) => bed.raft_mm = *mm,
                Change::KeepOut(zone) => bed.keep_outs.push(zone.clone()),
            }
        }
        bed
    }
}

const EXAMPLE: &str = "width, depth and height look like 220x220x250";

/// Whether one's own bed may be called so: a name must not read as numbers or as a word that follows a bed.
pub fn is_own_name(text: &str) -> bool {
    parse(text).is_ok_and(|asked| asked.is_name())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(text: &str) -> Bed {
        parse(text).unwrap().bed(None).unwrap()
    }

    #[test]
    fn a_bed_is_width_depth_and_height() {
        assert_eq!(given("220x210x250.5"), Bed::rectangle(220.0, 210.0, 250.5));
        assert_eq!(given("220 × 210 × 250"), Bed::rectangle(220.0, 210.0, 250.0));
    }

    #[test]
    fn other_shapes_and_what_stays_free_are_told_in_words() {
        assert_eq!(given("round 200x250"), Bed::round(200.0, 250.0));
        let bed = given("outline 0,0;200,0;100,150 height 90 margin 2 around 3 raft 0.6 keep-out 0,0;9,0;0,9 from 4");
        assert_eq!(bed.outline, Outline::Polygon { corners_mm: vec![[0.0, 0.0], [200.0, 0.0], [100.0, 150.0]] });
        assert_eq!((bed.margin_mm, bed.around_mm, bed.raft_mm, bed.height_mm), (2.0, 3.0, 0.6, 90.0));
        assert_eq!(bed.keep_outs, [KeepOut { corners_mm: vec![[0.0, 0.0], [9.0, 0.0], [0.0, 9.0]], from_mm: 4.0 }]);
        let brim = given("220x220x250 brim abs");
        assert!(brim.around_mm > given("220x220x250 brim pla").around_mm);
        let raft = given("220x220x250 raft pla");
        assert!(raft.around_mm > 0.0 && raft.raft_mm > 0.0);
    }

    #[test]
    fn a_bed_of_ones_own_is_found_by_its_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("beds.json");
        let bed = Bed::round(120.0, 90.0);
        let named = seamwright_project::NamedBed { name: "the round one".into(), bed: bed.clone() };
        saved_beds::keep(&path, named).unwrap();
        let asked = parse("the round one margin 3").unwrap();
        assert_eq!(asked.bed(Some(&path)).unwrap(), Bed { margin_mm: 3.0, ..bed });
        let error = parse("the square one").unwrap().bed(Some(&path)).unwrap_err().to_string();
        assert!(error.contains("there are the round one"), "{error}");
    }

    #[test]
    fn what_is_no_bed_is_refused_with_what_would_be_one() {
        let says = |text: &str, words: &str| {
            let error = parse(text).unwrap_err();
            assert!(error.contains(words), "{text}: {error}");
        };
        says("220x220", "here are 2");
        says("220x220xhigh", "\"high\" is not a number");
        says("220", "look like");
        says("0x220x250", "width must be more than 0");
        says("220x-220x250", "depth must be more than 0");
        says("220x220xinf", "height must be more than 0");
        says("220x220xNaN", "height");
        says("", "which bed?");
        says("round 200", "here are 1");
        says("outline 0,0;9,9", "outline looks like");
        says("outline 0,0;9,9 height 5", "3 to 500 corners");
        says("outline 0,0;9,9;9,0;0,9 height 5", "meet");
        says("220x220x250 brim cheese", "no material");
        says("220x220x250 margin", "needs a value");
        says("220x220x250 margin 110", "take 110 mm on each side");
        says("220x220x250 from 3", "follows the keep-out");
    }
}

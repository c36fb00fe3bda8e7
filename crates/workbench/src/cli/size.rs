//! `size`: what a model measures, what it must be enlarged by to measure something else, and the model enlarged.

use std::fmt;
use std::path::Path;

use seamwright_geometry::exchange::{Format, Overwrite, Piece, write};
use seamwright_geometry::{Bounds, ClearSection, Mesh, Plane, Point, Solid, Vector, clear_section};
use seamwright_project::wearer::{self, MeasureKind, factor_for};
use seamwright_project::{Axis, Stance};
use serde::Serialize;

use super::args::SizeArgs;
use super::output::Answer;
use super::trouble::Trouble;
use super::waiting::Waiting;
use super::{stock, words};

/// Reads the model, turns it, measures it, and writes it as large as was asked for.
pub fn run(args: &SizeArgs) -> Result<Sized, Trouble> {
    args.write.check_free()?;
    let waiting = Waiting::new();
    let stock = stock::read(&args.stock, waiting.progress())?;
    let guess = stock.unit_guess();
    let mut mesh = stock.mesh;
    stand(&mut mesh, args)?;
    let bounds = mesh.bounds().ok_or_else(|| Trouble::said("the model has no faces"))?;
    waiting.progress().stage("measuring");
    let solid = Solid::from_stock(mesh);
    let asked = asked(args, &solid, &bounds)?;
    let mut mesh = solid.mesh;
    mesh.vertices.iter_mut().for_each(|p| *p *= asked.factor);

    let enlarged = |size: f64| size * asked.factor;
    let answer = Sized {
        file: stock.file.display().to_string(),
        unit: stock.unit.name(),
        factor: asked.factor,
        size_before_mm: bounds.size().into(),
        size_mm: (bounds.size() * asked.factor).into(),
        inside_mm: asked.inside.as_ref().map(|clear| Inside {
            girth: enlarged(clear.girth_mm),
            breadth: enlarged(clear.breadth_mm),
            length: enlarged(clear.length_mm),
        }),
        inside_asked: asked.inside_asked,
        guess,
        out: args.write.told(),
    };
    if let Some(out) = &args.write.out {
        waiting.progress().stage("writing");
        write_model(out, &mesh, args.write.force.overwrite())?;
    }
    Ok(answer)
}

/// Writes `mesh` in the format that the name of the file asks for.
pub(super) fn write_model(out: &Path, mesh: &Mesh, overwrite: Overwrite) -> Result<(), Trouble> {
    let name = out.file_stem().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let format = Format::of_name(out).ok_or_else(|| {
        let endings = Format::ALL.map(Format::ending).join(", .");
        Trouble::Said(format!("{}: the ending of its name says no format; take one of .{endings}", out.display()))
    })?;
    write(out, format, &[Piece { name: &name, mesh, colour: None }], overwrite).map(|_| ()).map_err(Trouble::said)
}

/// Mirrors and turns the model as asked.
fn stand(mesh: &mut Mesh, args: &SizeArgs) -> Result<(), Trouble> {
    let mut stance = Stance { mirrored: args.mirror.map(Axis::from), ..Stance::default() };
    let corners = || mesh.vertices.iter().copied();
    if let Some(normal) = args.stand_on {
        stance = stance.standing_on(Vector::from(normal), &mut corners());
    }
    if args.stand_on.is_some() && stance.down.is_none() {
        return Err(Trouble::said("--stand-on needs a direction with a length, such as 0,0.2,-1"));
    }
    for way in &args.turn {
        stance = stance.quarter_turned(way.axis, way.back, &mut corners());
    }
    if stance.is_as_made() {
        return Ok(());
    }
    let turn = stance.turn(1.0);
    mesh.vertices.iter_mut().for_each(|p| *p = turn.place(*p));
    if turn.is_mirrored() {
        mesh.triangles.iter_mut().for_each(|face| face.swap(1, 2));
    }
    Ok(())
}

struct Asked {
    factor: f64,
    /// The clear inside before it is enlarged.
    inside: Option<ClearSection>,
    inside_asked: bool,
}

fn asked(args: &SizeArgs, solid: &Solid, bounds: &Bounds) -> Result<Asked, Trouble> {
    let height = args.inside_at.or_else(|| args.wearer.is_some().then(|| bounds.size().z / 2.0));
    let inside = match height {
        Some(height) => {
            let plane = Plane::new(Vector::z(), bounds.min.z + height).map_err(Trouble::said)?;
            clear_section(solid, &plane)
        }
        None => None,
    };
    let sides = [args.width, args.depth, args.height];
    let side = (0..3).find_map(|axis| sides[axis].map(|mm| (bounds.size()[axis], mm)));
    let (now_mm, wanted_mm) = if let Some(side) = side {
        side
    } else if let Some(mm) = args.distance {
        let [a, b] = args.points.ok_or_else(|| Trouble::said("--distance needs --points X,Y,Z;X,Y,Z"))?;
        ((Point::from(b) - Point::from(a)).norm(), mm)
    } else if let Some(name) = &args.wearer {
        for_wearer(args, name, inside.as_ref(), bounds)?
    } else {
        (1.0, args.factor.unwrap_or(1.0))
    };
    let factor = factor_for(1.0, now_mm, wanted_mm)
        .ok_or_else(|| Trouble::Said(format!("what measures {now_mm} mm cannot be made to measure {wanted_mm} mm")))?;
    Ok(Asked { factor, inside, inside_asked: height.is_some() })
}

/// What of the model meets the wearer's measure, and what it should be.
fn for_wearer(
    args: &SizeArgs,
    name: &str,
    inside: Option<&ClearSection>,
    bounds: &Bounds,
) -> Result<(f64, f64), Trouble> {
    let measures = wearer::measures();
    let known = || measures.iter().map(|m| m.name).collect::<Vec<_>>().join(", ");
    let measure = measures
        .iter()
        .find(|measure| measure.name == name)
        .ok_or_else(|| Trouble::Said(format!("\"{name}\" is no measure of the table: {}", known())))?;
    let wanted_mm = measure.kind.inside_mm(args.measured.unwrap_or(measure.men_mm[1]), args.padding);
    let hollow = || {
        inside
            .ok_or_else(|| Trouble::said("there is no clear inside at that height; choose another with --inside-at MM"))
    };
    let now_mm = match measure.kind {
        MeasureKind::Height => bounds.size().z,
        MeasureKind::Girth => hollow()?.girth_mm,
        MeasureKind::Across if name.contains("length") => hollow()?.length_mm,
        MeasureKind::Across => hollow()?.breadth_mm,
    };
    Ok((now_mm, wanted_mm))
}

/// The answer.
#[derive(Debug, Serialize)]
pub struct Sized {
    file: String,
    unit: &'static str,
    factor: f64,
    size_before_mm: [f64; 3],
    size_mm: [f64; 3],
    inside_mm: Option<Inside>,
    #[serde(skip)]
    inside_asked: bool,
    guess: Option<String>,
    out: Option<String>,
}

#[derive(Debug, Serialize)]
struct Inside {
    girth: f64,
    breadth: f64,
    length: f64,
}

impl Answer for Sized {
    /// No where the inside was asked for and there is none.
    fn is_yes(&self) -> bool {
        self.inside_mm.is_some() || !self.inside_asked
    }
}

impl fmt::Display for Sized {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}: {}", self.file, words::size(&self.size_before_mm))?;
        if self.factor != 1.0 {
            writeln!(f, "  enlarged {:.6} times: {}", self.factor, words::size(&self.size_mm))?;
        }
        match &self.inside_mm {
            Some(Inside { girth, breadth, length }) => {
                writeln!(f, "  clear inside: girth {girth:.1}, breadth {breadth:.1}, length {length:.1} mm")?;
            }
            None if self.inside_asked => writeln!(f, "  noticed  there is no clear inside at that height")?,
            None => {}
        }
        if let Some(guess) = &self.guess {
            writeln!(f, "  noticed  {guess}")?;
        }
        if let Some(out) = &self.out {
            writeln!(f, "  written to {out}")?;
        }
        Ok(())
    }
}

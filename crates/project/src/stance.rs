//! How the model stands: mirrored, or turned to stand on a face.

use nalgebra::{Matrix3, Rotation3};
use seamwright_geometry::{Plane, PlaneError, Point, Vector};

use crate::cut_form::{CutForm, frame};
use crate::cut_plane::{Axis, CutPlane};

/// How the model is turned from the way it was made: about the origin, so that files of one frame stay together. What stands
/// on something stands on Z = 0.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stance {
    /// Exchanges what lies before and behind along this axis, before it is turned.
    pub mirrored: Option<Axis>,
    /// The direction that is turned to point straight down, in the frame of the mirrored model; `None` as made.
    pub down: Option<[f64; 3]>,
    /// The direction that is turned to point along X, in the same frame; `None` for the shortest way from as made.
    pub along: Option<[f64; 3]>,
    /// How far below the origin its foot lies once it is turned, in units of the file: it is lifted by as much.
    pub foot: f64,
}

/// A turn about the origin, or a turn of the mirror image; then a lift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    mirrored: Option<Axis>,
    rotation: Rotation3<f64>,
    lift_mm: f64,
}

/// What two rotations that are one may differ by, in each number of their matrices: rounding of some turns in a row. Our own
/// choice, no source.
const SAME_TURN: f64 = 1e-9;

impl Stance {
    /// Whether the model stands as it was made.
    pub fn is_as_made(&self) -> bool {
        *self == Stance::default()
    }

    /// Whether it was turned, mirrored or not.
    pub fn is_turned(&self) -> bool {
        self.down.is_some()
    }

    /// Whether its numbers make a turn: directions must have a length, and not lie along each other.
    pub fn is_usable(&self) -> bool {
        let length = |v: Vector| v.norm().is_finite() && v.norm() > 0.0;
        let down = self.down.map(Vector::from);
        let across = self.along.map(|along| down.map_or_else(Vector::zeros, |down| down.cross(&Vector::from(along))));
        self.foot.is_finite() && down.is_none_or(length) && across.is_none_or(length)
    }

    /// What it does to places of the model at its size: `scale` mm for each unit of the file.
    pub fn turn(&self, scale: f64) -> Turn {
        Turn { mirrored: self.mirrored, rotation: self.rotation(), lift_mm: self.foot * scale }
    }

    fn rotation(&self) -> Rotation3<f64> {
        let Some(down) = self.down.and_then(|down| Vector::from(down).try_normalize(0.0)) else {
            return Rotation3::identity();
        };
        let along = self.along.map(Vector::from).map(|along| along - down * down.dot(&along));
        match along.and_then(|along| along.try_normalize(0.0)) {
            // Its rows are the directions that become X, Y and Z.
            Some(x) => {
                let (z, y) = (-down, x.cross(&down));
                Rotation3::from_matrix_unchecked(Matrix3::from_rows(&[x.transpose(), y.transpose(), z.transpose()]))
            }
            // The shortest way; from straight up there are many, and over the front is one.
            None => Rotation3::rotation_between(&down, &-Vector::z())
                .unwrap_or_else(|| Rotation3::from_axis_angle(&Vector::x_axis(), std::f64::consts::PI)),
        }
    }

    /// The stance in which the face that now looks along `normal` is the one that the model stands on, by the shortest way
    /// from how it stands now. `model`: places of the model as made, in units of the file.
    pub fn standing_on(&self, normal: Vector, model: &mut dyn Iterator<Item = Point>) -> Stance {
        if self.along.is_none() {
            let before = self.rotation().inverse() * normal;
            return Stance { down: before.try_normalize(0.0).map(Into::into), ..*self }.on_its_foot(model);
        }
        let Some(normal) = normal.try_normalize(0.0) else { return *self };
        let more = Stance { down: Some(normal.into()), ..Stance::default() }.rotation();
        self.turned_by(more, model)
    }

    /// The stance after a quarter turn about an axis of the bench: to the left, as seen against the axis, or back.
    pub fn quarter_turned(&self, axis: Axis, back: bool, model: &mut dyn Iterator<Item = Point>) -> Stance {
        let (i, j) = ((axis.index() + 1) % 3, (axis.index() + 2) % 3);
        let sign = if back { -1.0 } else { 1.0 };
        // In whole numbers, so that four of them are none.
        let mut quarter = Matrix3::zeros();
        quarter[(axis.index(), axis.index())] = 1.0;
        (quarter[(j, i)], quarter[(i, j)]) = (sign, -sign);
        self.turned_by(Rotation3::from_matrix_unchecked(quarter), model)
    }

    fn turned_by(&self, more: Rotation3<f64>, model: &mut dyn Iterator<Item = Point>) -> Stance {
        let all = more * self.rotation();
        if (all.matrix() - Matrix3::identity()).amax() < SAME_TURN {
            return self.turned_back();
        }
        let back = all.inverse();
        // Zeros with no sign: they are written into files.
        let tidy = |v: Vector| -> [f64; 3] { v.map(|x| x + 0.0).into() };
        Stance { down: Some(tidy(back * -Vector::z())), along: Some(tidy(back * Vector::x())), ..*self }
            .on_its_foot(model)
    }

    /// The quarter turn that leads here from another stance, and whether it is one back; `None` where it is another way.
    pub(crate) fn quarter_from(&self, before: &Stance) -> Option<(Axis, bool)> {
        let led = |axis: Axis, back: bool| {
            let quarter =
                Stance { mirrored: self.mirrored, ..*before }.quarter_turned(axis, back, &mut std::iter::empty());
            (quarter.rotation().matrix() - self.rotation().matrix()).amax() < SAME_TURN
        };
        // A face that was picked may be one that a quarter turn leads to as well.
        let was_picked = self.down.is_some() && self.along.is_none();
        let ways = Axis::ALL.into_iter().flat_map(|axis| [(axis, false), (axis, true)]);
        ways.filter(|_| !was_picked).find(|(axis, back)| led(*axis, *back))
    }

    /// The stance as made, mirrored or not.
    pub fn turned_back(&self) -> Stance {
        Stance { mirrored: self.mirrored, ..Stance::default() }
    }

    /// The stance of the model mirrored along another axis of its own, or along none. It stands on the same face.
    pub fn mirrored_along(&self, mirrored: Option<Axis>) -> Stance {
        let turn = |v: [f64; 3]| mirror(mirrored, mirror(self.mirrored, v.into())).into();
        Stance { mirrored, down: self.down.map(turn), along: self.along.map(turn), foot: self.foot }
    }

    /// The same with the lowest of these places of the model as made, in units of the file, at Z = 0.
    fn on_its_foot(self, model: &mut dyn Iterator<Item = Point>) -> Stance {
        let turn = Stance { foot: 0.0, ..self }.turn(1.0);
        let lowest = model.map(|p| turn.place(p).z).fold(f64::INFINITY, f64::min);
        Stance { foot: if lowest.is_finite() { -lowest } else { 0.0 }, ..self }
    }
}

fn mirror(axis: Option<Axis>, mut v: Vector) -> Vector {
    if let Some(axis) = axis {
        v[axis.index()] = -v[axis.index()];
    }
    v
}

impl Turn {
    /// Where a place of the model as made lies.
    pub fn place(&self, p: Point) -> Point {
        Point::from(self.direction(p.coords) + Vector::z() * self.lift_mm)
    }

    /// Where a direction of the model as made points.
    pub fn direction(&self, v: Vector) -> Vector {
        self.rotation * mirror(self.mirrored, v)
    }

    /// How far it lifts what it turned, mm.
    pub fn lift_mm(&self) -> f64 {
        self.lift_mm
    }

    /// Whether left and right are exchanged: faces must be turned over then.
    pub fn is_mirrored(&self) -> bool {
        self.mirrored.is_some()
    }

    /// The place of the model as made that lies here.
    pub fn place_back(&self, p: Point) -> Point {
        Point::from(self.back(p.coords - Vector::z() * self.lift_mm))
    }

    pub(crate) fn back(&self, v: Vector) -> Vector {
        mirror(self.mirrored, self.rotation.inverse() * v)
    }
}

/// A cut at the same place of the model when that goes from one turn to another. The sides stay what they are.
pub(crate) fn follow(
    plane: &CutPlane,
    form: &CutForm,
    from: &Turn,
    to: &Turn,
) -> Result<(CutPlane, CutForm), PlaneError> {
    let carry = |v: Vector| to.direction(from.back(v));
    let flat = plane.plane()?;
    let place = to.place(from.place_back(Point::from(plane.through_mm)));
    let turned = Plane::through(place, carry(flat.normal()))?;
    let next = CutPlane::along(&turned, place);
    let turn = |turn_deg: f64| -> Result<f64, PlaneError> {
        let [u, _] = frame(&flat, plane.axis, turn_deg)?;
        let u = carry(u);
        let [u0, w0] = frame(&next.plane()?, next.axis, 0.0)?;
        Ok(u.dot(&w0).atan2(u.dot(&u0)).to_degrees())
    };
    let form = match form.clone() {
        CutForm::Flat => CutForm::Flat,
        CutForm::Ending(mut edge) => {
            edge.turn_deg = turn(edge.turn_deg)?;
            CutForm::Ending(edge)
        }
        CutForm::Profile(mut profile) => {
            profile.turn_deg = turn(profile.turn_deg)?;
            CutForm::Profile(profile)
        }
    };
    Ok((next, form))
}

#[cfg(test)]
mod tests;

//! How the model stands: mirrored, or turned to stand on a face.

use nalgebra::Rotation3;
use seamwright_geometry::{Plane, PlaneError, Point, Vector};

use crate::cut_form::{CutForm, frame};
use crate::cut_plane::{Axis, CutPlane};

/// How the model is turned from the way it was made. All about the origin, so that files of one frame stay together.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Stance {
    /// Exchanges what lies before and behind along this axis, before it is turned.
    pub mirrored: Option<Axis>,
    /// The direction that is turned to point straight down, in the frame of the mirrored model; `None` as made.
    pub down: Option<[f64; 3]>,
}

/// A turn about the origin, or a turn of the mirror image.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    mirrored: Option<Axis>,
    rotation: Rotation3<f64>,
}

impl Stance {
    /// Whether the model stands as it was made.
    pub fn is_as_made(&self) -> bool {
        *self == Stance::default()
    }

    /// Whether its numbers make a turn: the direction must have a length.
    pub fn is_usable(&self) -> bool {
        self.down.is_none_or(|down| {
            let length = Vector::from(down).norm();
            length.is_finite() && length > 0.0
        })
    }

    /// What it does to places.
    pub fn turn(&self) -> Turn {
        let down = self.down.map(Vector::from).and_then(|down| down.try_normalize(0.0));
        let rotation = match down {
            None => Rotation3::identity(),
            // The shortest way; from straight up there are many, and over the front is one.
            Some(down) => Rotation3::rotation_between(&down, &-Vector::z())
                .unwrap_or_else(|| Rotation3::from_axis_angle(&Vector::x_axis(), std::f64::consts::PI)),
        };
        Turn { mirrored: self.mirrored, rotation }
    }

    /// The stance in which the face that now looks along `normal` is the one that the model stands on.
    pub fn standing_on(&self, normal: Vector) -> Stance {
        let before = self.turn().rotation.inverse() * normal;
        Stance { down: before.try_normalize(0.0).map(Into::into), ..*self }
    }
}

impl Turn {
    /// Where a place of the model as made lies.
    pub fn place(&self, p: Point) -> Point {
        Point::from(self.direction(p.coords))
    }

    /// Where a direction of the model as made points.
    pub fn direction(&self, v: Vector) -> Vector {
        self.rotation * self.mirror(v)
    }

    /// Whether left and right are exchanged: faces must be turned over then.
    pub fn is_mirrored(&self) -> bool {
        self.mirrored.is_some()
    }

    pub(crate) fn back(&self, v: Vector) -> Vector {
        self.mirror(self.rotation.inverse() * v)
    }

    fn mirror(&self, mut v: Vector) -> Vector {
        if let Some(axis) = self.mirrored {
            v[axis.index()] = -v[axis.index()];
        }
        v
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
    let place = Point::from(carry(Vector::from(plane.through_mm)));
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
mod tests {
    use proptest::prelude::*;
    use seamwright_geometry::CutSurface;

    use super::*;
    use crate::cut_form::{CutProfile, Line};

    fn stance() -> impl Strategy<Value = Stance> {
        let axis = prop::option::of(prop::sample::select(Axis::ALL.to_vec()));
        let down = prop::option::of(
            prop::array::uniform3(-1.0..1.0f64).prop_filter("points somewhere", |d| Vector::from(*d).norm() > 0.1),
        );
        (axis, down).prop_map(|(mirrored, down)| Stance { mirrored, down })
    }

    #[test]
    fn the_face_that_was_picked_looks_down() {
        let stance = Stance { mirrored: Some(Axis::X), down: Some([0.3, -0.2, 0.7]) };
        let picked = Vector::new(0.6, 0.0, 0.8);
        let in_model = stance.turn().back(picked);
        let turned = stance.standing_on(picked).turn().direction(in_model);
        assert!((turned + Vector::z()).norm() < 1e-12, "{turned}");
        let upside_down = Stance::default().standing_on(Vector::z()).turn().direction(Vector::z());
        assert!((upside_down + Vector::z()).norm() < 1e-12);
    }

    proptest! {
        #[test]
        fn a_cut_stays_at_its_place_on_the_model(
            before in stance(), after in stance(), tilt_deg in prop::array::uniform2(-80.0..80.0f64),
            through_mm in prop::array::uniform3(-100.0..100.0f64), turn_deg in -180.0..180.0f64,
        ) {
            let plane = CutPlane { axis: Axis::Y, through_mm, tilt_deg };
            let line = Line::Drawn { points_mm: vec![[-20.0, 0.0], [0.0, 9.0], [25.0, -4.0]], smooth: false };
            let form = CutForm::Profile(CutProfile { line, turn_deg });
            let (from, to) = (before.turn(), after.turn());
            let (next_plane, next_form) = follow(&plane, &form, &from, &to).unwrap();
            let (Ok(CutSurface::Profile(a)), Ok(CutSurface::Profile(b))) = (form.surface(&plane), next_form.surface(&next_plane))
            else { panic!("both are profiles") };
            for p in [[3.0, 4.0, 5.0], [-30.0, 50.0, 7.0], [99.0, -12.0, -60.0]] {
                let made = Vector::from(p);
                let (seen, again) = (a.seen(&Point::from(from.direction(made))), b.seen(&Point::from(to.direction(made))));
                prop_assert!((seen[0] - again[0]).abs() + (seen[1] - again[1]).abs() < 1e-8, "{seen:?} {again:?}");
            }
        }
    }
}

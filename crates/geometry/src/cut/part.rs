//! Parting along any surface, with or without a kerf.

use std::borrow::Cow;

use super::{classify, cut, finite, profile, walls};
use crate::{Cancelled, CutOutcome, CutSurface, FinitePlane, Parted, Plane, Point, Profile, Progress, Side, Solid};

/// Parts `solid` along `surface` and takes away a gap of `kerf_mm` about it, half of it on each side. Faces of the caps get
/// the origin [`FaceOrigin::cap`](crate::FaceOrigin::cap) with `label` and their side.
///
/// For a closed solid all that comes out is closed, and the volumes with what was removed add up to its volume within
/// rounding. Without a kerf both sides of the seam are the same to the last bit. Vertices within the solid's
/// [`Resolution`](crate::Resolution) of the surface count as lying on it.
///
/// - A **plane** parts as [`cut`] does.
/// - A **finite plane** cuts the islands of its section that lie wholly on the inner side of its edge, and leaves all
///   others whole: see [`Parted::around`] and [`Parted::ended_inside`].
/// - A **profile** parts into what lies above and below its curve.
///
/// A kerf that is negative or no finite number counts as none. A surface whose middle misses the solid removes nothing.
/// Where only one of a finite plane's two surfaces reaches an island, that one cuts and nothing is removed. About a profile
/// the gap has mitred corners and swallows whatever the curve bends round too tightly
/// (see [`Profile::beside`]).
pub fn part(
    solid: &Solid,
    surface: &CutSurface,
    kerf_mm: f64,
    label: u32,
    progress: &Progress,
) -> Result<CutOutcome, Cancelled> {
    let half = if kerf_mm.is_finite() && kerf_mm > 0.0 { kerf_mm / 2.0 } else { 0.0 };
    match surface {
        CutSurface::Plane(plane) if half == 0.0 => cut(solid, plane, label, progress),
        CutSurface::Plane(plane) => match side_of_plane(solid, plane, progress)? {
            Some(side) => Ok(CutOutcome::Missed(side)),
            None => widely(solid, [-half, half].map(|mm| plane.moved(mm)), progress, |solid, plane| {
                cut(solid, plane, label, progress)
            }),
        },
        CutSurface::FinitePlane(finite) if half == 0.0 => finite::cut(solid, finite, label, progress),
        CutSurface::FinitePlane(finite) => finite_widely(solid, finite, half, label, progress),
        CutSurface::Profile(profile) if half == 0.0 => profile::cut(solid, profile, label, progress),
        CutSurface::Profile(profile) => match profile::side(solid, profile, progress)? {
            Some(side) => Ok(CutOutcome::Missed(side)),
            None => widely(solid, beside(profile, half), progress, |solid, profile| {
                profile::cut(solid, profile, label, progress)
            }),
        },
    }
}

/// The side of the whole solid, if a plane does not part it.
pub(super) fn side_of_plane(solid: &Solid, plane: &Plane, progress: &Progress) -> Result<Option<Side>, Cancelled> {
    progress.check()?;
    Ok(match walls::split(solid, plane, &classify(solid, plane), walls::Wanted::Outline) {
        walls::Split::Missed(side) => Some(side),
        walls::Split::Crossed(_) => None,
    })
}

/// The curves that bound the kerf about a profile. Where none is found on one side, the kerf has no width there.
fn beside(profile: &Profile, half: f64) -> [Profile; 2] {
    [-half, half].map(|mm| profile.beside(mm).unwrap_or_else(|| profile.clone()))
}

/// Parts along two surfaces and leaves out what lies between them.
fn widely<S>(
    solid: &Solid,
    [lower, upper]: [S; 2],
    progress: &Progress,
    cut: impl Fn(&Solid, &S) -> Result<CutOutcome, Cancelled>,
) -> Result<CutOutcome, Cancelled> {
    let nothing = || Solid::empty(solid.resolution);
    let (above, rest, mut left_open) = match cut(solid, &upper)? {
        CutOutcome::Missed(Side::Above) => return Ok(CutOutcome::Missed(Side::Above)),
        CutOutcome::Parted(parted) => (parted.above, Cow::Owned(parted.below), parted.left_open),
        _ => (nothing(), Cow::Borrowed(solid), Vec::new()),
    };
    progress.check()?;
    let (below, between, cap_area_mm2) = match cut(&rest, &lower)? {
        CutOutcome::Parted(parted) => {
            left_open.extend(parted.left_open);
            (parted.below, Cow::Owned(parted.above), parted.cap_area_mm2)
        }
        CutOutcome::Missed(Side::Above) => (nothing(), rest, 0.0),
        _ if above.mesh.triangles.is_empty() => return Ok(CutOutcome::Missed(Side::Below)),
        _ => (rest.into_owned(), Cow::Owned(nothing()), 0.0),
    };
    Ok(CutOutcome::Parted(Box::new(Parted {
        below,
        above,
        around: None,
        cap_area_mm2,
        removed_mm3: between.mesh.volume_mm3(),
        ended_inside: Vec::new(),
        left_open,
    })))
}

/// The same for a finite plane, whose bodies are told apart by their caps only after both cuts.
fn finite_widely(
    solid: &Solid,
    finite: &FinitePlane,
    half: f64,
    label: u32,
    progress: &Progress,
) -> Result<CutOutcome, Cancelled> {
    use finite::Reach;
    let ended_inside = match finite::divide(solid, finite, label, progress)? {
        Reach::Missed(side) => return Ok(CutOutcome::Missed(side)),
        Reach::Unreached(ended_inside) => return Ok(CutOutcome::Unreached { ended_inside }),
        Reach::Cut(divided) => divided.ended_inside,
    };
    let upper = match finite::divide(solid, &finite.moved(half), label, progress)? {
        Reach::Cut(divided) => Some(*divided),
        _ => None,
    };
    let rest = upper.as_ref().map_or(solid, |divided| &divided.solid);
    let lower = match finite::divide(rest, &finite.moved(-half), label, progress)? {
        Reach::Cut(divided) => Some(*divided),
        _ => None,
    };
    let open: Vec<Point> = upper.iter().chain(&lower).flat_map(|divided| divided.left_open.clone()).collect();
    // The area is told of the lower side.
    let area = lower.as_ref().map_or(0.0, |divided| divided.cap_area_mm2);
    let Some(divided) = lower.or(upper) else { return Ok(CutOutcome::Unreached { ended_inside }) };
    let reach = half + 2.0 * solid.resolution.on_plane_mm;
    let within = |corners: &[Point]| corners.iter().all(|p| finite.plane().distance_mm(p).abs() <= reach);
    let divided = finite::Divided { ended_inside, left_open: open, cap_area_mm2: area, ..divided };
    Ok(CutOutcome::Parted(Box::new(finite::sort(divided, label, within))))
}

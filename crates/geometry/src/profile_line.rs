//! Lines for cuts along a [`Profile`], as points (u, v) in mm, centred on the origin.
//!
//! A profile goes on straight along u before its first and after its last point, so all lines but drawn ones begin and
//! end level. Curves are flattened: no point of the curve lies farther than [`CHORD_MM`] from the line.

use std::f64::consts::{PI, TAU};

use crate::Profile;

/// How far a curve may lie from the straight lines that stand for it, mm: a tenth of the width that fine nozzles print
/// (0.1 to 0.2 mm; common practice, no source), and no more than a printer's own resolution.
pub const CHORD_MM: f64 = 0.02;

/// Why numbers make no line.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum LineError {
    /// A number is NaN or infinite.
    #[error("a line needs finite numbers; this one has {0}")]
    NotFinite(f64),
    /// A step that rises nothing is a plane.
    #[error("a step of 0 mm is flat: give it a rise")]
    NoRise,
    /// Lengths that must be above nothing.
    #[error("{what} must be more than 0 mm, not {mm} mm")]
    NotPositive {
        /// Which length.
        what: &'static str,
        /// What it is, mm.
        mm: f64,
    },
    /// None at all.
    #[error("give at least one of them")]
    NoCount,
    /// The line would have more points than a profile may have.
    #[error(
        "this line would have more than {} points: fewer or longer ones, or a lower height, need less",
        Profile::MOST_POINTS
    )]
    TooManyPoints,
    /// The tongues of a dovetail would grow into one another.
    #[error(
        "flanks of {flank_deg}° leave no neck: at a height of {height_mm} mm they may lean up to {most_deg:.1}°, or make \
         each tongue longer"
    )]
    NoNeck {
        /// How far the flanks lean out, degrees.
        flank_deg: f64,
        /// Height of the tongues, mm.
        height_mm: f64,
        /// How far they could lean out, degrees.
        most_deg: f64,
    },
    /// A drawn curve needs more than one place.
    #[error("a curve needs two points or more that lie apart")]
    TooFew,
}

/// One step up along u by `rise_mm`, upright, in the middle; down where it is negative.
pub fn step(rise_mm: f64) -> Result<Vec<[f64; 2]>, LineError> {
    finite(&[rise_mm])?;
    if rise_mm == 0.0 {
        return Err(LineError::NoRise);
    }
    Ok(vec![[0.0, -rise_mm / 2.0], [0.0, rise_mm / 2.0]])
}

/// `count` teeth of length `pitch_mm`, each `height_mm` from its lowest to its highest point.
pub fn zigzag(pitch_mm: f64, height_mm: f64, count: u32) -> Result<Vec<[f64; 2]>, LineError> {
    check(pitch_mm, height_mm, count)?;
    let (first, half) = (-pitch_mm * f64::from(count) / 2.0, height_mm / 2.0);
    let mut points = room_for(2 * count as usize + 2)?;
    points.push([first, 0.0]);
    for tooth in 0..count {
        let from = first + f64::from(tooth) * pitch_mm;
        points.push([from + pitch_mm / 4.0, half]);
        points.push([from + pitch_mm * 3.0 / 4.0, -half]);
    }
    points.push([-first, 0.0]);
    Ok(points)
}

/// `count` periods of a sine of length `pitch_mm`, each `height_mm` from its lowest to its highest point.
///
/// The chord of an arc with parameter step δ lies within δ²/8 times the largest second derivative of the arc (the error
/// of linear interpolation), here a·(2π/p)²·δ²/8 with the amplitude a and the pitch p.
pub fn wave(pitch_mm: f64, height_mm: f64, count: u32) -> Result<Vec<[f64; 2]>, LineError> {
    check(pitch_mm, height_mm, count)?;
    let amplitude = height_mm / 2.0;
    let parts = (TAU * (amplitude / (8.0 * CHORD_MM)).sqrt()).ceil().max(8.0);
    if parts * f64::from(count) >= Profile::MOST_POINTS as f64 {
        return Err(LineError::TooManyPoints);
    }
    // Whole periods: the same number of points on each.
    let total = parts as usize * count as usize;
    let length = pitch_mm * f64::from(count);
    let at = |i: usize| {
        let share = i as f64 / total as f64;
        [length * (share - 0.5), amplitude * (TAU * share * f64::from(count)).sin()]
    };
    let mut points: Vec<[f64; 2]> = (0..=total).map(at).collect();
    // The sine of a whole turn is not exactly nothing.
    (points[0][1], points[total][1]) = (0.0, 0.0);
    Ok(points)
}

/// `count` tongues of height `height_mm`, one every `pitch_mm`, as broad at half their height as the gaps between them,
/// with flanks that lean out by `flank_deg` from upright; 0 makes square tongues.
pub fn dovetail(pitch_mm: f64, height_mm: f64, count: u32, flank_deg: f64) -> Result<Vec<[f64; 2]>, LineError> {
    check(pitch_mm, height_mm, count)?;
    finite(&[flank_deg])?;
    let lean = height_mm / 2.0 * flank_deg.to_radians().tan();
    let quarter = pitch_mm / 4.0;
    if !(0.0..90.0).contains(&flank_deg) || lean >= quarter * (1.0 - NECK_SHARE) {
        let most_deg = (quarter * (1.0 - NECK_SHARE) * 2.0 / height_mm).atan() * 180.0 / PI;
        return Err(LineError::NoNeck { flank_deg, height_mm, most_deg });
    }
    let first = -pitch_mm * f64::from(count) / 2.0;
    let (low, high) = (-height_mm / 2.0, height_mm / 2.0);
    let mut points = room_for(4 * count as usize)?;
    for tongue in 0..count {
        let middle = first + (f64::from(tongue) + 0.5) * pitch_mm;
        points.push([middle - quarter + lean, low]);
        points.push([middle - quarter - lean, high]);
        points.push([middle + quarter + lean, high]);
        points.push([middle + quarter - lean, low]);
    }
    Ok(points)
}

/// Of the half breadth of a tongue this share stays at its neck at least: a thinner one breaks in the hand (our own
/// choice, no source).
const NECK_SHARE: f64 = 0.2;

/// A smooth curve through `points`, in their order: a centripetal Catmull–Rom spline, which neither overshoots into loops
/// nor makes cusps within a span (Yuksel, Schaefer and Keyser, "Parameterization and applications of Catmull–Rom
/// curves", Computer-Aided Design 43, 2011). Before the first and after the last point it is continued as if mirrored
/// there.
pub fn smooth(points: &[[f64; 2]]) -> Result<Vec<[f64; 2]>, LineError> {
    points.iter().try_for_each(|p| finite(p))?;
    let mut given = points.to_vec();
    given.dedup();
    let (Some(&first), Some(&last)) = (given.first(), given.last()) else { return Err(LineError::TooFew) };
    if given.len() < 2 {
        return Err(LineError::TooFew);
    }
    let beyond = |end: [f64; 2], next: [f64; 2]| [2.0 * end[0] - next[0], 2.0 * end[1] - next[1]];
    let mut all = vec![beyond(first, given[1])];
    all.extend(&given);
    all.push(beyond(last, given[given.len() - 2]));
    let mut curve = vec![first];
    for span in all.windows(4) {
        flatten(span, &mut curve)?;
    }
    Ok(curve)
}

/// Adds the curve from `span[1]` to `span[2]` without its beginning.
fn flatten(span: &[[f64; 2]], curve: &mut Vec<[f64; 2]>) -> Result<(), LineError> {
    let apart = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    // Parts are halved until they lie close to their chords: twice as many parts, a quarter of the distance.
    let mut parts = 1_usize;
    loop {
        let at = |i: usize| on_span(span, i as f64 / parts as f64);
        let far = (0..parts).map(|i| {
            let (a, b, middle) = (at(i), at(i + 1), on_span(span, (i as f64 + 0.5) / parts as f64));
            apart(middle, [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0])
        });
        if far.fold(0.0, f64::max) <= CHORD_MM {
            let added: Vec<[f64; 2]> = (1..parts).map(at).collect();
            curve.extend(added);
            curve.push(span[2]);
            curve.dedup();
            return if curve.len() > Profile::MOST_POINTS { Err(LineError::TooManyPoints) } else { Ok(()) };
        }
        if parts >= Profile::MOST_POINTS {
            return Err(LineError::TooManyPoints);
        }
        parts *= 2;
    }
}

/// The place at share `t` of the way from `span[1]` to `span[2]`: the pyramid of Barry and Goldman (1988) over knots
/// whose distances are the square roots of those of the points.
fn on_span(span: &[[f64; 2]], t: f64) -> [f64; 2] {
    let [a, b, c, d] = [span[0], span[1], span[2], span[3]];
    if t <= 0.0 {
        return b;
    }
    if t >= 1.0 {
        return c;
    }
    let knot = |p: [f64; 2], q: [f64; 2]| (p[0] - q[0]).hypot(p[1] - q[1]).sqrt();
    let ka = 0.0;
    let kb = ka + knot(a, b);
    let kc = kb + knot(b, c);
    let kd = kc + knot(c, d);
    let t = kb + (kc - kb) * t;
    let mix = |p: [f64; 2], q: [f64; 2], from: f64, to: f64| {
        let share = if to > from { (t - from) / (to - from) } else { 0.0 };
        [p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share]
    };
    let (ab, bc, cd) = (mix(a, b, ka, kb), mix(b, c, kb, kc), mix(c, d, kc, kd));
    let (abc, bcd) = (mix(ab, bc, ka, kc), mix(bc, cd, kb, kd));
    mix(abc, bcd, kb, kc)
}

fn check(pitch_mm: f64, height_mm: f64, count: u32) -> Result<(), LineError> {
    finite(&[pitch_mm, height_mm])?;
    for (what, mm) in [("the length of one", pitch_mm), ("the height", height_mm)] {
        if mm <= 0.0 {
            return Err(LineError::NotPositive { what, mm });
        }
    }
    if count == 0 { Err(LineError::NoCount) } else { Ok(()) }
}

fn finite(numbers: &[f64]) -> Result<(), LineError> {
    numbers.iter().find(|x| !x.is_finite()).map_or(Ok(()), |bad| Err(LineError::NotFinite(*bad)))
}

fn room_for(points: usize) -> Result<Vec<[f64; 2]>, LineError> {
    if points > Profile::MOST_POINTS { Err(LineError::TooManyPoints) } else { Ok(Vec::with_capacity(points)) }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{Point, Vector};

    fn is_a_profile(points: &[[f64; 2]]) -> bool {
        Profile::new(Point::origin(), Vector::x(), Vector::z(), points.to_vec()).is_ok()
    }

    fn heights(points: &[[f64; 2]]) -> (f64, f64) {
        points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p[1]), h.max(p[1])))
    }

    /// Distance of a spot from a polyline.
    fn off(points: &[[f64; 2]], p: [f64; 2]) -> f64 {
        points
            .windows(2)
            .map(|e| {
                let (d, a) = ([e[1][0] - e[0][0], e[1][1] - e[0][1]], [p[0] - e[0][0], p[1] - e[0][1]]);
                let t = ((d[0] * a[0] + d[1] * a[1]) / (d[0] * d[0] + d[1] * d[1])).clamp(0.0, 1.0);
                (a[0] - d[0] * t).hypot(a[1] - d[1] * t)
            })
            .fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn a_dovetail_is_narrower_at_its_neck() {
        let points = dovetail(30.0, 8.0, 2, 10.0).unwrap();
        let lean = 4.0 * 10f64.to_radians().tan();
        let expected = [[-22.5 + lean, -4.0], [-22.5 - lean, 4.0], [-7.5 + lean, 4.0], [-7.5 - lean, -4.0]];
        for (p, q) in points.iter().zip(expected) {
            assert!((p[0] - q[0]).abs() + (p[1] - q[1]).abs() < 1e-12, "{p:?} {q:?}");
        }
        assert!(is_a_profile(&points));
    }

    #[test]
    fn flanks_that_leave_no_neck_are_refused_with_the_angle_that_would_do() {
        let Err(LineError::NoNeck { most_deg, .. }) = dovetail(20.0, 10.0, 3, 50.0) else { panic!("no neck") };
        assert!(dovetail(20.0, 10.0, 3, most_deg - 0.01).is_ok() && dovetail(20.0, 10.0, 3, most_deg + 0.01).is_err());
        assert!(dovetail(20.0, 10.0, 3, -1.0).is_err() && dovetail(20.0, 10.0, 3, 90.0).is_err());
    }

    #[test]
    fn numbers_that_make_no_line_are_refused() {
        assert_eq!(step(0.0), Err(LineError::NoRise));
        assert!(matches!(step(f64::NAN), Err(LineError::NotFinite(_))));
        assert!(matches!(zigzag(0.0, 5.0, 3), Err(LineError::NotPositive { .. })));
        assert!(matches!(wave(5.0, -5.0, 3), Err(LineError::NotPositive { .. })));
        assert_eq!(zigzag(5.0, 5.0, 0), Err(LineError::NoCount));
        assert_eq!(zigzag(5.0, 5.0, u32::MAX / 4), Err(LineError::TooManyPoints));
        assert_eq!(wave(5.0, 5.0, 1_000_000), Err(LineError::TooManyPoints));
        assert_eq!(smooth(&[[1.0, 2.0], [1.0, 2.0]]), Err(LineError::TooFew));
        assert_eq!(smooth(&[[0.0, 0.0], [1e12, 1e12], [0.0, 1e12]]), Err(LineError::TooManyPoints));
    }

    proptest! {
        #[test]
        fn lines_keep_their_height_and_never_meet_themselves(
            pitch in 1.0..60.0f64, height in 0.1..30.0f64, count in 1..20_u32, share in 0.0..0.99f64,
        ) {
            let most = (pitch / 4.0 * (1.0 - NECK_SHARE) * 2.0 / height).atan().to_degrees();
            for points in [zigzag(pitch, height, count), wave(pitch, height, count), dovetail(pitch, height, count, most * share)] {
                let points = points.unwrap();
                prop_assert!(is_a_profile(&points));
                let (low, high) = heights(&points);
                prop_assert!((high - height / 2.0).abs() < CHORD_MM + 1e-9 && (low + height / 2.0).abs() < CHORD_MM + 1e-9);
                let (first, last) = (points[0], points[points.len() - 1]);
                prop_assert_eq!(first[1], last[1]);
                prop_assert!((first[0] + last[0]).abs() < 1e-9);
            }
        }

        #[test]
        fn a_flattened_wave_lies_close_to_the_sine(pitch in 1.0..60.0f64, height in 0.1..30.0f64, t in 0.0..1.0f64) {
            let points = wave(pitch, height, 1).unwrap();
            let on_sine = [pitch * (t - 0.5), height / 2.0 * (TAU * t).sin()];
            prop_assert!(off(&points, on_sine) <= CHORD_MM * 1.001);
        }

        #[test]
        fn a_smooth_curve_passes_through_its_points(
            points in prop::collection::vec(prop::array::uniform2(-100.0..100.0f64), 2..9),
        ) {
            let curve = smooth(&points).unwrap();
            for p in &points {
                prop_assert!(curve.contains(p));
            }
            for span in curve.windows(2) {
                prop_assert!(span[0] != span[1]);
            }
        }
    }
}

//! Lines along the middle of a solid.

use rayon::prelude::*;

use super::flat::Flat;
use crate::{Cancelled, Plane, Point, Progress, SectionLoop, Solid, Vector, section};

/// What of a section the line leads through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Middle {
    /// The centroid of its area.
    Centroid,
    /// The place deepest inside, farthest from all outlines.
    Deepest,
}

/// How a line is fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineFit {
    /// What it leads through.
    pub middle: Middle,
    /// How many straight runs it may have, at least 1.
    pub most_runs: usize,
    /// No more runs are added once no middle is farther from the line than this, mm.
    pub within_mm: f64,
}

/// A line along the middle: see [`centre_line`].
#[derive(Clone, Debug, PartialEq)]
pub struct CentreLine {
    /// Its points: one more than runs.
    pub line: Vec<Point>,
    /// The middles of the sections.
    pub middles: Vec<Point>,
    /// The farthest that one of them lies from the line, mm.
    pub off_mm: f64,
}

/// Sections that a line is fitted to: one every centimetre of a blade of half a metre (our own choice, no source).
pub const SECTIONS: usize = 49;

/// The line along the middle of `solid` from near `from` to near `to`: fitted to the middles of [`SECTIONS`] sections square
/// to the way between the two, of each the island around the way or else the nearest to it. Its ends lie in the planes
/// through `from` and `to`. One run is the line of least squares; of several runs those between middles that come
/// nearest to all (by dynamic programming). `None` where fewer than two sections have an island, or the two places are one.
pub fn centre_line(
    solid: &Solid,
    from: Point,
    to: Point,
    fit: &LineFit,
    progress: &Progress,
) -> Result<Option<CentreLine>, Cancelled> {
    let Some(along) = (to - from).try_normalize(f64::MIN_POSITIVE).filter(|v| v.iter().all(|x| x.is_finite())) else {
        return Ok(None);
    };
    let length_mm = nalgebra::distance(&from, &to);
    let middles = (0..SECTIONS)
        .into_par_iter()
        .map(|i| {
            progress.check()?;
            // The first and the last just within, since the ends of a solid are often flat.
            let share = (i as f64 + 0.5) / SECTIONS as f64;
            let at = from + along * (length_mm * share);
            let Ok(plane) = Plane::through(at, along) else { return Ok(None) };
            Ok(middle_of(&section(solid, &plane).loops, &plane, &at, fit.middle))
        })
        .collect::<Result<Vec<Option<Point>>, Cancelled>>()?;
    let middles: Vec<Point> = middles.into_iter().flatten().collect();
    if middles.len() < 2 {
        return Ok(None);
    }
    let mut line = straight(&middles, &along);
    let mut off_mm = farthest(&middles, &line);
    for runs in 2..=fit.most_runs.min(middles.len() - 1) {
        if off_mm <= fit.within_mm {
            break;
        }
        let bent = in_runs(&middles, runs);
        let off = farthest(&middles, &bent);
        if off < off_mm {
            (line, off_mm) = (bent, off);
        }
    }
    prolong(&mut line, &along, [&from, &to]);
    Ok(Some(CentreLine { line, middles, off_mm }))
}

/// Leads the first and the last run to the planes square to `along` through two places.
fn prolong(line: &mut [Point], along: &Vector, [from, to]: [&Point; 2]) {
    let last = line.len() - 1;
    for (end, next, place) in [(0, 1, from), (last, last - 1, to)] {
        let run = line[end] - line[next];
        let speed = run.dot(along);
        if speed != 0.0 {
            let share = (place - line[next]).dot(along) / speed;
            // A run that leads the wrong way is left.
            if share.is_finite() && share > 0.0 {
                line[end] = line[next] + run * share;
            }
        }
    }
}

/// The line of least squares: through the mean, along the direction in which the middles differ most.
fn straight(middles: &[Point], along: &Vector) -> Vec<Point> {
    let mean = middles.iter().map(|p| p.coords).sum::<Vector>() / middles.len() as f64;
    let spread: nalgebra::Matrix3<f64> =
        middles.iter().map(|p| (p.coords - mean) * (p.coords - mean).transpose()).sum();
    let eigen = spread.symmetric_eigen();
    let direction = Vector::from(eigen.eigenvectors.column(eigen.eigenvalues.imax()));
    let direction = if direction.dot(along) < 0.0 { -direction } else { direction };
    let at = |p: &Point| Point::from(mean + direction * (p.coords - mean).dot(&direction));
    vec![at(&middles[0]), at(&middles[middles.len() - 1])]
}

/// Runs between middles, chosen so that the farthest of all others lies as near as can be.
fn in_runs(middles: &[Point], runs: usize) -> Vec<Point> {
    let n = middles.len();
    let off = |i: usize, j: usize| farthest(&middles[i..=j], &[middles[i], middles[j]]);
    // least[r][j]: the farthest with r + 1 runs up to j, and where the last of them begins.
    let mut least: Vec<Vec<(f64, usize)>> = vec![(0..n).map(|j| (off(0, j), 0)).collect()];
    for r in 1..runs {
        let next = (0..n)
            .map(|j| {
                let ways = (r..j).map(|i| (least[r - 1][i].0.max(off(i, j)), i));
                ways.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((f64::INFINITY, 0))
            })
            .collect();
        least.push(next);
    }
    let mut line = vec![middles[n - 1]];
    let mut at = n - 1;
    for r in (0..runs).rev() {
        at = least[r][at].1;
        line.push(middles[at]);
    }
    line.reverse();
    line.dedup();
    line
}

fn farthest(middles: &[Point], line: &[Point]) -> f64 {
    let off = |p: &Point| {
        let near = |pair: &[Point]| nalgebra::distance(p, &crate::closest::on_segment(p, &pair[0], &pair[1]));
        line.windows(2).map(near).fold(f64::INFINITY, f64::min)
    };
    middles.iter().map(off).fold(0.0, f64::max)
}

/// The middle of the island around `at` or else the nearest.
fn middle_of(loops: &[SectionLoop], plane: &Plane, at: &Point, middle: Middle) -> Option<Point> {
    let (u, v) = plane.basis();
    let flat = |p: &Point| Flat::new(u.dot(&(p - at)), v.dot(&(p - at)));
    let lines: Vec<(Vec<Flat>, f64)> = loops
        .iter()
        .filter(|line| line.closed)
        .map(|line| (line.points.iter().map(flat).collect(), line.area_mm2))
        .collect();
    let origin = Flat::zeros();
    let islands = lines.iter().filter(|(_, area)| *area > 0.0);
    let (outer, _) = islands.min_by(|(a, _), (b, _)| {
        let off = |line: &[Flat]| if winds(line, &origin) { 0.0 } else { distance(line, &origin) };
        off(a).total_cmp(&off(b))
    })?;
    let holes = lines.iter().filter(|(line, area)| *area < 0.0 && winds(outer, &line[0]));
    let island: Vec<&[Flat]> =
        std::iter::once(outer.as_slice()).chain(holes.map(|(line, _)| line.as_slice())).collect();
    let found = match middle {
        Middle::Centroid => centroid(&island)?,
        Middle::Deepest => deepest(&island),
    };
    Some(at + u * found.x + v * found.y)
}

/// Of the area between lines that turn left and holes that turn right.
fn centroid(island: &[&[Flat]]) -> Option<Flat> {
    let (mut sum, mut area) = (Flat::zeros(), 0.0);
    for line in island {
        for i in 0..line.len() {
            let (p, q) = (line[i], line[(i + 1) % line.len()]);
            let twice = p.perp(&q);
            area += twice;
            sum += (p + q) * (twice / 3.0);
        }
    }
    (area != 0.0).then(|| sum / area)
}

/// The place with the greatest distance from all lines, to within a thousandth of the island's width: squares are halved as
/// long as they may hold a better one (the pole of inaccessibility by a quadtree; common practice).
fn deepest(island: &[&[Flat]]) -> Flat {
    let depth = |p: &Flat| {
        let off = island.iter().map(|line| distance(line, p)).fold(f64::INFINITY, f64::min);
        let turns = island.iter().filter(|line| winds(line, p)).count();
        if turns % 2 == 1 { off } else { -off }
    };
    let outer = island[0];
    let (low, high) = outer.iter().fold((outer[0], outer[0]), |(low, high), p| (low.inf(p), high.sup(p)));
    let half = ((high - low).max() / 2.0).max(f64::MIN_POSITIVE);
    let middle = (low + high) / 2.0;
    let mut best = (depth(&middle), middle);
    let mut open = vec![(best.0, middle, half)];
    let close = half * 1e-3;
    while let Some((off, p, half)) = open.pop() {
        if off + half * 2f64.sqrt() <= best.0 + close {
            continue;
        }
        let mut parts: Vec<(f64, Flat, f64)> = [[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]]
            .map(|d| p + Flat::from(d) * half)
            .map(|q| (depth(&q), q, half / 2.0))
            .to_vec();
        for (off, q, _) in &parts {
            if *off > best.0 {
                best = (*off, *q);
            }
        }
        // The most promising last, to be looked at first.
        parts.sort_by(|a, b| a.0.total_cmp(&b.0));
        open.extend(parts);
    }
    best.1
}

fn distance(line: &[Flat], p: &Flat) -> f64 {
    let off = |i: usize| {
        let (a, b) = (line[i], line[(i + 1) % line.len()]);
        let along = b - a;
        let share = ((p - a).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
        (a + along * if share.is_finite() { share } else { 0.0 } - p).norm()
    };
    (0..line.len()).map(off).fold(f64::INFINITY, f64::min)
}

/// Whether a line goes round a place, by the edges that cross the ray to its right.
fn winds(line: &[Flat], p: &Flat) -> bool {
    let crossed = |i: usize| {
        let (a, b) = (line[i], line[(i + 1) % line.len()]);
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * ((p.y - a.y) / (b.y - a.y))
    };
    (0..line.len()).filter(|i| crossed(*i)).count() % 2 == 1
}

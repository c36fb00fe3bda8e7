//! The lines that show where a cut goes that is not all of a plane.

use seamwright_geometry::{Bounds, CutSurface, Point, Profile, Vector};

use crate::bench::corners;

/// Lines on `surface`, as long as `part` is deep: of a profile its line at both ends, joined at its corners; of a plane
/// that ends, its end.
pub fn lines(surface: &CutSurface, part: &Bounds) -> Vec<Vec<Point>> {
    match surface {
        CutSurface::Plane(_) => Vec::new(),
        CutSurface::FinitePlane(finite) => {
            let across = finite.plane().normal().cross(&finite.inwards());
            let (low, high) = reach(part, &finite.edge_through(), &across);
            vec![vec![finite.edge_through() + across * low, finite.edge_through() + across * high]]
        }
        CutSurface::Profile(profile) => of_profile(profile, part),
    }
}

/// With more corners than this, lines from front to back would cover the model: those of a curve are left out.
const MOST_CORNERS: usize = 40;

fn of_profile(profile: &Profile, part: &Bounds) -> Vec<Vec<Point>> {
    let (u, w) = (profile.along(), profile.axis());
    let origin = profile.origin();
    let (front, back) = reach(part, &origin, &w);
    let (left, right) = reach(part, &origin, &u);
    let points = profile.points();
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return Vec::new() };
    let ends = [[left.min(first[0]), first[1]], [right.max(last[0]), last[1]]];
    let line: Vec<[f64; 2]> = [ends[0]].into_iter().chain(points.iter().copied()).chain([ends[1]]).collect();
    let at = |deep: f64| line.iter().map(|p| profile.place(*p, deep)).collect::<Vec<Point>>();
    let (near, far) = (at(front), at(back));
    let joined: Vec<Vec<Point>> = if line.len() <= MOST_CORNERS {
        near.iter().zip(&far).map(|(a, b)| vec![*a, *b]).collect()
    } else {
        Vec::new()
    };
    [near, far].into_iter().chain(joined).collect()
}

/// How far `part` reaches along `direction` from `from`, both ways.
fn reach(part: &Bounds, from: &Point, direction: &Vector) -> (f64, f64) {
    let along = corners(part).map(|c| (c - from).dot(direction));
    along.into_iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)))
}

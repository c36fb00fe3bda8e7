//! Where magnets go at a seam: spread evenly along its middle.

use std::collections::BTreeMap;

use seamwright_geometry::{Plane, Point, Side};

use crate::outcome::Outcome;
use crate::recipe::CutId;

type Flat = nalgebra::Point2<f64>;

/// Places that are looked at on a seam: one every 2 mm of a square of 130 mm (our own choice, no source).
const PLACES: f64 = 4000.0;
/// Rounds in which the places are moved to the middle of their share: more move them by less than a place (our own choice,
/// no source).
const ROUNDS: usize = 30;

/// `count` places on the cap of `cut`, each at least `keep_mm` from its rims and from other channels, twice as far from one
/// another, and as evenly spread as its form allows: every place is moved to the middle of what is nearest to it (S. Lloyd,
/// "Least squares quantization in PCM", 1982), and from there to where it is farther from the rims. Fails, in the maker's
/// words, where there is no room.
pub fn spaced(outcome: &Outcome, cut: CutId, count: usize, keep_mm: f64) -> Result<Vec<[f64; 3]>, String> {
    let known = outcome.recipe.cut(cut).ok_or("this cut is gone")?;
    let plane = known.plane.plane().map_err(|error| error.to_string())?;
    let seam = Seam::of(outcome, cut, &plane);
    if seam.triangles.is_empty() {
        return Err(format!("{} parts nothing, so that there is no seam for magnets", known.name));
    }
    let places: Vec<Place> = seam.places().into_iter().filter(|place| place.depth_mm >= keep_mm).collect();
    let room = |n: usize| {
        let so_many = if n == 0 { "none".to_owned() } else { format!("only {n}") };
        let name = &known.name;
        format!(
            "{so_many} of {count} have room at {name}: each needs {keep_mm:.1} mm to every rim. Take thinner magnets or fewer"
        )
    };
    if places.is_empty() || count == 0 {
        return Err(room(0));
    }
    let chosen = spread(&places, count, keep_mm);
    let mut apart: Vec<Flat> = Vec::new();
    for p in &chosen {
        if apart.iter().all(|other| nalgebra::distance(p, other) >= 2.0 * keep_mm) {
            apart.push(*p);
        }
    }
    if apart.len() < count {
        return Err(room(apart.len()));
    }
    Ok(apart.iter().map(|p| seam.place(p).coords.into()).collect())
}

/// The places on the cap of `cut` that are nearest to `picked` and at least `keep_mm` from its rims and from other channels.
/// Fails, in the maker's words, where there is none.
pub fn places_with_room(
    outcome: &Outcome,
    cut: CutId,
    picked: &[[f64; 3]],
    keep_mm: f64,
) -> Result<Vec<[f64; 3]>, String> {
    let known = outcome.recipe.cut(cut).ok_or("this cut is gone")?;
    let plane = known.plane.plane().map_err(|error| error.to_string())?;
    let seam = Seam::of(outcome, cut, &plane);
    let places: Vec<Place> = seam.places().into_iter().filter(|place| place.depth_mm >= keep_mm).collect();
    let near = |p: &[f64; 3]| {
        let p = seam.flat(&Point::from(*p));
        if holds_any(&seam.triangles, &p) && seam.depth_mm(&p) >= keep_mm {
            return Some(p);
        }
        let off = |place: &&Place| nalgebra::distance_squared(&place.at, &p);
        places.iter().min_by(|a, b| off(a).total_cmp(&off(b))).map(|place| place.at)
    };
    let nowhere = || {
        format!("{} has no room for magnets: each needs {keep_mm:.1} mm to every rim. Take thinner magnets", known.name)
    };
    picked.iter().map(|p| near(p).map(|p| seam.place(&p).coords.into()).ok_or_else(nowhere)).collect()
}

/// A place on a cap, and how far it is from the nearest rim.
struct Place {
    at: Flat,
    depth_mm: f64,
}

fn spread(places: &[Place], count: usize, keep_mm: f64) -> Vec<Flat> {
    let mut chosen: Vec<Flat> = Vec::with_capacity(count);
    let deepest = places.iter().max_by(|a, b| a.depth_mm.total_cmp(&b.depth_mm));
    chosen.extend(deepest.map(|place| place.at));
    let off = |p: &Flat, chosen: &[Flat]| {
        chosen.iter().map(|c| nalgebra::distance_squared(p, c)).fold(f64::INFINITY, f64::min)
    };
    while chosen.len() < count {
        let farthest = places.iter().max_by(|a, b| off(&a.at, &chosen).total_cmp(&off(&b.at, &chosen)));
        chosen.extend(farthest.map(|place| place.at));
    }
    let mut shares = vec![Vec::new(); count];
    for _ in 0..ROUNDS {
        shares.iter_mut().for_each(Vec::clear);
        for place in places {
            let near = |a: &usize, b: &usize| {
                let off = |i: usize| nalgebra::distance_squared(&place.at, &chosen[i]);
                off(*a).total_cmp(&off(*b))
            };
            let nearest = (0..count).min_by(near).unwrap_or(0);
            shares[nearest].push(place);
        }
        for (at, share) in chosen.iter_mut().zip(&shares).filter(|(_, share)| !share.is_empty()) {
            let sum = share.iter().fold(nalgebra::Vector2::zeros(), |sum, place| sum + place.at.coords);
            *at = Flat::from(sum / share.len() as f64);
        }
    }
    // The middle of a bent share may lie beside it: what is farther from the rims is worth a longer way, up to where it is far
    // enough.
    let cost = |place: &Place, middle: &Flat| {
        nalgebra::distance(&place.at, middle) - DEEPER * place.depth_mm.min(2.0 * keep_mm)
    };
    let best = |(middle, share): (&Flat, &Vec<&Place>)| {
        let best = share.iter().min_by(|a, b| cost(a, middle).total_cmp(&cost(b, middle)));
        best.map_or(*middle, |place| place.at)
    };
    chosen.iter().zip(&shares).map(best).collect()
}

/// A millimetre farther from the rims is worth so many of way (our own choice, no source).
const DEEPER: f64 = 4.0;

/// The cap of a cut on its lower side, flat.
struct Seam {
    origin: Point,
    across: [seamwright_geometry::Vector; 2],
    triangles: Vec<[Flat; 3]>,
    /// Its rims, those between two pieces included.
    rims: Vec<[Flat; 2]>,
}

impl Seam {
    fn of(outcome: &Outcome, cut: CutId, plane: &Plane) -> Seam {
        let (u, v) = plane.basis();
        let origin = Point::from(plane.normal() * plane.offset_mm());
        let mut seam = Seam { origin, across: [u, v], triangles: Vec::new(), rims: Vec::new() };
        for piece in &outcome.pieces {
            let mut uses: BTreeMap<(u32, u32), i32> = BTreeMap::new();
            let caps = piece.solid.origins.iter().enumerate();
            let caps =
                caps.filter(|(_, origin)| origin.cap_label() == Some(cut.0) && origin.cap_side() == Some(Side::Below));
            for (face, _) in caps {
                let t = piece.solid.mesh.triangles[face];
                for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
                    *uses.entry((a.min(b), a.max(b))).or_default() += if a < b { 1 } else { -1 };
                }
                let corners = piece.solid.mesh.corners(face).map(|p| seam.flat(&p));
                seam.triangles.push(corners);
            }
            let rims = uses.into_iter().filter(|(_, uses)| *uses != 0);
            let rims: Vec<[Flat; 2]> =
                rims.map(|((a, b), _)| [a, b].map(|v| seam.flat(&piece.solid.mesh.vertices[v as usize]))).collect();
            seam.rims.extend(rims);
        }
        seam
    }

    fn flat(&self, p: &Point) -> Flat {
        let off = p - self.origin;
        Flat::new(self.across[0].dot(&off), self.across[1].dot(&off))
    }

    fn place(&self, p: &Flat) -> Point {
        self.origin + self.across[0] * p.x + self.across[1] * p.y
    }

    /// Places of a lattice that lie on it.
    fn places(&self) -> Vec<Place> {
        let area = |[a, b, c]: &[Flat; 3]| (b - a).perp(&(c - a)).abs() / 2.0;
        let step = (self.triangles.iter().map(area).sum::<f64>() / PLACES).sqrt();
        let mut found: BTreeMap<(i64, i64), Flat> = BTreeMap::new();
        if !(step > 0.0 && step.is_finite()) {
            return Vec::new();
        }
        for triangle @ [a, b, c] in &self.triangles {
            let low = [a.x.min(b.x).min(c.x), a.y.min(b.y).min(c.y)].map(|x| (x / step).ceil() as i64);
            let high = [a.x.max(b.x).max(c.x), a.y.max(b.y).max(c.y)].map(|x| (x / step).floor() as i64);
            for i in low[0]..=high[0] {
                for j in low[1]..=high[1] {
                    let p = Flat::new(i as f64 * step, j as f64 * step);
                    if holds(triangle, &p) {
                        found.insert((i, j), p);
                    }
                }
            }
        }
        let place = |at: Flat| Place { at, depth_mm: self.depth_mm(&at) };
        found.into_values().map(place).collect()
    }

    fn depth_mm(&self, p: &Flat) -> f64 {
        let off = |[a, b]: &[Flat; 2]| {
            let along = b - a;
            let share = ((p - a).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
            nalgebra::distance(p, &(a + along * if share.is_finite() { share } else { 0.0 }))
        };
        self.rims.iter().map(off).fold(f64::INFINITY, f64::min)
    }
}

fn holds_any(triangles: &[[Flat; 3]], p: &Flat) -> bool {
    triangles.iter().any(|triangle| holds(triangle, p))
}

fn holds([a, b, c]: &[Flat; 3], p: &Flat) -> bool {
    let turns = [(a, b), (b, c), (c, a)].map(|(from, to)| (to - from).perp(&(p - from)));
    turns.iter().all(|turn| *turn >= 0.0) || turns.iter().all(|turn| *turn <= 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square lattice of places on what `depth` gives a depth for.
    fn lattice(depth: impl Fn(f64, f64) -> f64) -> Vec<Place> {
        let at = |i: i32| f64::from(i);
        let all = (-60..=60).flat_map(|i| (-60..=60).map(move |j| (at(i), at(j))));
        all.map(|(x, y)| Place { at: Flat::new(x, y), depth_mm: depth(x, y) }).filter(|p| p.depth_mm > 0.0).collect()
    }

    #[test]
    fn places_on_a_ring_lie_in_the_middle_of_its_wall_and_evenly_apart() {
        // The wall of a hollow thing, 12 mm thick about a radius of 50 mm.
        let ring = lattice(|x, y| 6.0 - (x.hypot(y) - 50.0).abs());
        let allowed: Vec<Place> = ring.into_iter().filter(|place| place.depth_mm >= 4.0).collect();
        let mut places = spread(&allowed, 6, 4.0);
        assert!(places.iter().all(|p| (p.coords.norm() - 50.0).abs() < 1.0), "{places:?}");
        places.sort_by(|a, b| a.y.atan2(a.x).total_cmp(&b.y.atan2(b.x)));
        let turns: Vec<f64> = places.iter().map(|p| p.y.atan2(p.x).to_degrees()).collect();
        assert!(turns.windows(2).all(|pair| (pair[1] - pair[0] - 60.0).abs() < 15.0), "{turns:?}");
    }

    #[test]
    fn places_on_a_plate_keep_away_from_its_rims_and_one_another() {
        let plate: Vec<Place> = lattice(|x, y| (40.0 - x.abs()).min(20.0 - y.abs()))
            .into_iter()
            .filter(|place| place.depth_mm >= 5.0)
            .collect();
        let places = spread(&plate, 4, 5.0);
        for (i, p) in places.iter().enumerate() {
            assert!(p.x.abs() <= 35.0 && p.y.abs() <= 15.0);
            assert!(places[..i].iter().all(|other| nalgebra::distance(p, other) > 15.0), "{places:?}");
        }
    }
}

//! A bed seen from above, for drawing: how far a place is from its edge and from its keep-out zones.
//!
//! What fits is decided by the geometry, never here.

use seamwright_geometry::{Bed, Outline};

/// A place on the bed, in the bed's frame, mm.
pub type Spot = [f64; 2];

/// The shape of a bed, made ready to be asked about places.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    edge: Edge,
    kept_mm: f64,
    around_mm: f64,
    zones: Vec<(Vec<Spot>, f64)>,
}

#[derive(Clone, Debug, PartialEq)]
enum Edge {
    Ring(Vec<Spot>),
    Circle { centre: Spot, radius_mm: f64 },
}

impl Ground {
    /// The ground of `bed`.
    pub fn of(bed: &Bed) -> Ground {
        let edge = match bed.outline {
            Outline::Circle { diameter_mm } => {
                Edge::Circle { centre: [diameter_mm / 2.0; 2], radius_mm: diameter_mm / 2.0 }
            }
            Outline::Rectangle { .. } | Outline::Polygon { .. } => Edge::Ring(bed.drawn_outline_mm()),
        };
        let zones = bed.keep_outs.iter().map(|zone| (zone.corners_mm.clone(), zone.from_mm)).collect();
        Ground { edge, kept_mm: bed.kept_mm(), around_mm: bed.around_mm, zones }
    }

    /// How far `p` lies inside the edge, mm; negative outside.
    pub fn inside_mm(&self, p: Spot) -> f64 {
        match &self.edge {
            Edge::Ring(ring) => inside_ring_mm(ring, p),
            Edge::Circle { centre, radius_mm } => radius_mm - (p[0] - centre[0]).hypot(p[1] - centre[1]),
        }
    }

    /// How far `p` lies inside the room for pieces at the height `z_mm` above the surface, mm; negative outside of it:
    /// in the margin, or in a zone or nearer to it than is kept free around a piece.
    pub fn room_mm(&self, p: Spot, z_mm: f64) -> f64 {
        let zones = self.zones.iter().filter(|(_, from_mm)| *from_mm <= z_mm);
        zones
            .map(|(ring, _)| -inside_ring_mm(ring, p) - self.around_mm)
            .fold(self.inside_mm(p) - self.kept_mm, f64::min)
    }

    /// The same for a shader: a row of four numbers for each edge, after one that tells how many follow. The first group
    /// is the outline (1 for a circle, of which centre and radius follow, else 0; how many; what is kept from it); the
    /// others are zones (0; how many; what is kept from it; the height it begins at).
    pub fn rows(&self) -> Vec<[f32; 4]> {
        let mut rows = Vec::new();
        let mut group = |ring: &[Spot], kept_mm: f64, from_mm: f64| {
            rows.push([0.0, ring.len() as f64, kept_mm, from_mm]);
            let next = ring.iter().cycle().skip(1);
            rows.extend(ring.iter().zip(next).map(|(a, b)| [a[0], a[1], b[0], b[1]]));
        };
        match &self.edge {
            Edge::Ring(ring) => group(ring, self.kept_mm, 0.0),
            Edge::Circle { .. } => {}
        }
        for (ring, from_mm) in &self.zones {
            group(ring, self.around_mm, *from_mm);
        }
        if let Edge::Circle { centre, radius_mm } = self.edge {
            rows.splice(0..0, [[1.0, 1.0, self.kept_mm, 0.0], [centre[0], centre[1], radius_mm, 0.0]]);
        }
        rows.into_iter().map(|row| row.map(|x| x as f32)).collect()
    }
}

/// How far `p` lies inside a ring of corners, mm; negative outside.
pub fn inside_ring_mm(ring: &[Spot], p: Spot) -> f64 {
    let (mut nearest, mut inside) = (f64::INFINITY, false);
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (run, off) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
        let length = (run[0] * run[0] + run[1] * run[1]).max(f64::MIN_POSITIVE);
        let t = ((off[0] * run[0] + off[1] * run[1]) / length).clamp(0.0, 1.0);
        nearest = nearest.min((off[0] - run[0] * t).hypot(off[1] - run[1] * t));
        if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (p[1] - a[1]) * run[0] / run[1] {
            inside = !inside;
        }
    }
    if inside { nearest } else { -nearest }
}

/// The parts inside a ring of the line `across · p = at`, as values of `along · p`.
pub fn spans(ring: &[Spot], across: Spot, along: Spot, at: f64) -> Vec<[f64; 2]> {
    let dot = |a: Spot, p: &Spot| a[0] * p[0] + a[1] * p[1];
    let edges = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossing = |(a, b): (&Spot, &Spot)| {
        let (from, to) = (dot(across, a), dot(across, b));
        ((from > at) != (to > at)).then(|| {
            let t = (at - from) / (to - from);
            dot(along, a) * (1.0 - t) + dot(along, b) * t
        })
    };
    let mut crossings: Vec<f64> = edges.filter_map(crossing).collect();
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
}

/// The corners of the convex hull of `points`, counter-clockwise (A. M. Andrew, "Another efficient algorithm for convex
/// hulls in two dimensions", 1979). For drawing: signs are rounded.
pub fn shadow(mut points: Vec<Spot>) -> Vec<Spot> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turns = |a: Spot, b: Spot, c: Spot| (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0.0;
    let chain = |points: &mut dyn Iterator<Item = Spot>| {
        let mut chain: Vec<Spot> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..]
                && !turns(a, b, p)
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut hull = chain(&mut points.iter().copied());
    hull.extend(chain(&mut points.iter().rev().copied()));
    hull
}

/// Cells along the longer side in which a line of equal distance is looked for: less than three millimetres each on a
/// usual bed, and the line is straight within a cell.
const CELLS: u32 = 96;

/// Where `field` is zero within `extent`, in short straight lines (marching squares).
pub fn zero_lines(extent: [Spot; 2], field: impl Fn(Spot) -> f64) -> Vec<[Spot; 2]> {
    let size = [extent[1][0] - extent[0][0], extent[1][1] - extent[0][1]];
    let step = (size[0].max(size[1]) / f64::from(CELLS)).max(f64::MIN_POSITIVE);
    let count = size.map(|s| (s / step).ceil() as usize + 1);
    let at = |i: usize, j: usize| [extent[0][0] + step * i as f64, extent[0][1] + step * j as f64];
    let values: Vec<f64> = (0..count[0] * count[1]).map(|k| field(at(k % count[0], k / count[0]))).collect();
    let mut lines = Vec::new();
    for j in 1..count[1] {
        for i in 1..count[0] {
            let corners = [(i - 1, j - 1), (i, j - 1), (i, j), (i - 1, j)];
            let ends: Vec<Spot> = (0..4)
                .filter_map(|k| {
                    let [(a, b), (c, d)] = [corners[k], corners[(k + 1) % 4]];
                    let (from, to) = (values[b * count[0] + a], values[d * count[0] + c]);
                    ((from > 0.0) != (to > 0.0)).then(|| {
                        let (t, p, q) = (from / (from - to), at(a, b), at(c, d));
                        [p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t]
                    })
                })
                .collect();
            lines.extend(ends.chunks_exact(2).map(|pair| [pair[0], pair[1]]));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::KeepOut;

    #[test]
    fn a_place_is_as_far_inside_as_the_nearest_wall_is() {
        let square = Bed { margin_mm: 2.0, around_mm: 3.0, ..Bed::rectangle(100.0, 60.0, 90.0) };
        let zone = KeepOut { corners_mm: vec![[80.0, 0.0], [100.0, 0.0], [100.0, 20.0], [80.0, 20.0]], from_mm: 30.0 };
        let ground = Ground::of(&Bed { keep_outs: vec![zone], ..square });
        assert_eq!((ground.inside_mm([10.0, 30.0]), ground.inside_mm([-4.0, 30.0])), (10.0, -4.0));
        assert_eq!((ground.room_mm([70.0, 10.0], 0.0), ground.room_mm([76.0, 10.0], 30.0)), (5.0, 1.0));
        assert_eq!(ground.room_mm([90.0, 10.0], 29.0), 5.0, "below the zone there is room");
        let round = Ground::of(&Bed { margin_mm: 5.0, ..Bed::round(100.0, 90.0) });
        assert!((round.room_mm([50.0, 20.0], 0.0) - 15.0).abs() < 1e-12);
        assert_eq!(round.rows()[..2], [[1.0, 1.0, 5.0, 0.0], [50.0, 50.0, 50.0, 0.0]]);
        assert_eq!(ground.rows().len(), 1 + 4 + 1 + 4);
    }

    #[test]
    fn spans_of_an_l_are_two_where_it_has_two_arms() {
        let ring = [
            [0.0, 0.0],
            [90.0, 0.0],
            [90.0, 60.0],
            [60.0, 60.0],
            [60.0, 20.0],
            [30.0, 20.0],
            [30.0, 60.0],
            [0.0, 60.0],
        ];
        assert_eq!(spans(&ring, [0.0, 1.0], [1.0, 0.0], 10.0), [[0.0, 90.0]]);
        assert_eq!(spans(&ring, [0.0, 1.0], [1.0, 0.0], 40.0), [[0.0, 30.0], [60.0, 90.0]]);
        assert!(spans(&ring, [0.0, 1.0], [1.0, 0.0], 70.0).is_empty());
    }

    #[test]
    fn the_line_of_a_margin_lies_on_it() {
        let ground = Ground::of(&Bed { margin_mm: 10.0, ..Bed::round(200.0, 90.0) });
        let lines = zero_lines([[0.0; 2], [200.0; 2]], |p| ground.room_mm(p, 0.0));
        let length: f64 = lines.iter().map(|[a, b]| (a[0] - b[0]).hypot(a[1] - b[1])).sum();
        assert!((length - std::f64::consts::TAU * 90.0).abs() < 1.0, "{length}");
        assert!(lines.iter().flatten().all(|p| ground.room_mm(*p, 0.0).abs() < 0.1));
    }

    #[test]
    fn a_shadow_is_convex_and_holds_all() {
        let hull = shadow(vec![[0.0, 0.0], [4.0, 0.0], [2.0, 1.0], [4.0, 4.0], [0.0, 4.0], [2.0, 4.0]]);
        assert_eq!(hull, [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]]);
    }
}

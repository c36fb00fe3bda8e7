//! Convex shapes in the plane square to a run of a channel, and how far they are apart.

use super::SectionShape;

/// A place or direction in the plane.
pub(super) type Flat = nalgebra::Vector2<f64>;

/// What a wall is measured from: a disc about the middle and a polygon, of which either may be missing. Together they are the
/// outline of a channel, round instead of many-sided.
pub(super) struct Core {
    /// 0 where there is none.
    disc_mm: f64,
    corners: Vec<Flat>,
    /// No place of it is farther from the middle.
    pub reach_mm: f64,
}

impl Core {
    pub fn of(shape: &SectionShape) -> Core {
        let half = shape.clears_mm() / 2.0;
        let at = |x: f64, y: f64| Flat::new(x * half, y * half);
        // Where the flanks at 45° touch the circle, and where they reach the top of it.
        let (touch, root) = (0.5_f64.sqrt(), 2.0_f64.sqrt());
        let (disc_mm, corners) = match shape {
            // The slit breaks through by intent.
            SectionShape::Round { .. } | SectionShape::Slit { .. } => (half, Vec::new()),
            SectionShape::Teardrop { .. } => (half, vec![at(touch, touch), at(0.0, root), at(-touch, touch)]),
            SectionShape::FlatRoof { .. } => {
                (half, vec![at(touch, touch), at(root - 1.0, 1.0), at(1.0 - root, 1.0), at(-touch, touch)])
            }
            SectionShape::Square { .. } | SectionShape::Hexagon { .. } => {
                (0.0, shape.outline(0.0).into_iter().map(Flat::from).collect())
            }
        };
        let reach_mm = corners.iter().map(Flat::norm).fold(disc_mm, f64::max);
        Core { disc_mm, corners, reach_mm }
    }

    /// The least distance of a convex polygon, mm, and the places nearest to each other: on the core, on the polygon. 0 where
    /// they overlap.
    pub fn distance(&self, other: &[Flat]) -> (f64, [Flat; 2]) {
        let mut best = (f64::INFINITY, [Flat::zeros(); 2]);
        if self.disc_mm > 0.0 || self.corners.is_empty() {
            let near = nearest_to_origin(other);
            let off = near.norm();
            let on_disc = if off > 0.0 { near * (self.disc_mm / off) } else { near };
            best = ((off - self.disc_mm).max(0.0), [on_disc, near]);
        }
        if !self.corners.is_empty() && best.0 > 0.0 {
            let apart = of_polygons(&self.corners, other);
            if apart.0 < best.0 {
                best = apart;
            }
        }
        best
    }
}

/// The place of a convex polygon nearest to the origin; the origin where that lies within.
pub(super) fn nearest_to_origin(polygon: &[Flat]) -> Flat {
    if is_within(polygon, &Flat::zeros()) {
        return Flat::zeros();
    }
    let sides = (0..polygon.len()).map(|i| on_side(&Flat::zeros(), &polygon[i], &polygon[(i + 1) % polygon.len()]));
    sides.min_by(|a, b| a.norm_squared().total_cmp(&b.norm_squared())).unwrap_or_default()
}

fn of_polygons(a: &[Flat], b: &[Flat]) -> (f64, [Flat; 2]) {
    let overlaps = b.iter().any(|p| is_within(a, p)) || a.iter().any(|p| is_within(b, p)) || sides_cross(a, b);
    let mut best = (f64::INFINITY, [Flat::zeros(); 2]);
    let mut offer = |on_a: Flat, on_b: Flat| {
        let apart = (on_a - on_b).norm();
        if apart < best.0 {
            best = (apart, [on_a, on_b]);
        }
    };
    for p in b {
        (0..a.len()).for_each(|i| offer(on_side(p, &a[i], &a[(i + 1) % a.len()]), *p));
    }
    for p in a {
        (0..b.len()).for_each(|i| offer(*p, on_side(p, &b[i], &b[(i + 1) % b.len()])));
    }
    if overlaps { (0.0, best.1) } else { best }
}

fn sides_cross(a: &[Flat], b: &[Flat]) -> bool {
    let turn = |p: &Flat, q: &Flat, r: &Flat| (q - p).perp(&(r - p));
    (0..a.len()).any(|i| {
        let (p, q) = (&a[i], &a[(i + 1) % a.len()]);
        (0..b.len()).any(|j| {
            let (r, s) = (&b[j], &b[(j + 1) % b.len()]);
            turn(p, q, r) * turn(p, q, s) < 0.0 && turn(r, s, p) * turn(r, s, q) < 0.0
        })
    })
}

/// Within a convex polygon that turns either way, or on its rim. Polygons without area hold nothing.
fn is_within(polygon: &[Flat], p: &Flat) -> bool {
    let turns = (0..polygon.len()).map(|i| {
        let (a, b) = (&polygon[i], &polygon[(i + 1) % polygon.len()]);
        (b - a).perp(&(p - a))
    });
    let (mut left, mut right) = (false, false);
    turns.for_each(|turn| {
        left |= turn > 0.0;
        right |= turn < 0.0;
    });
    left != right
}

fn on_side(p: &Flat, a: &Flat, b: &Flat) -> Flat {
    let along = b - a;
    let length = along.norm_squared();
    if length <= 0.0 {
        return *a;
    }
    a + along * ((p - a).dot(&along) / length).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64) -> Vec<Flat> {
        [[x, y], [x + 1.0, y], [x + 1.0, y + 1.0], [x, y + 1.0]].map(Flat::from).to_vec()
    }

    #[test]
    fn cores_are_as_far_from_a_square_as_they_look() {
        let round = Core::of(&SectionShape::Round { diameter_mm: 2.0, sides: 32 });
        assert_eq!(round.distance(&square(3.0, -0.5)).0, 2.0);
        assert_eq!(round.distance(&square(0.5, 0.0)).0, 0.0);
        let drop = Core::of(&SectionShape::Teardrop { diameter_mm: 2.0, sides: 32 });
        assert!((drop.distance(&square(-0.5, 3.0)).0 - (3.0 - 2f64.sqrt())).abs() < 1e-12);
        assert_eq!(drop.distance(&square(-0.5, 1.3)).0, 0.0);
        assert_eq!(drop.distance(&square(-0.5, -3.0)).0, 1.0);
        let box_ = Core::of(&SectionShape::Square { across_flats_mm: 2.0 });
        assert!((box_.distance(&square(4.0, 5.0)).0 - 5.0).abs() < 1e-12);
        assert_eq!(box_.distance(&square(-0.5, -0.5)).0, 0.0);
        // One lies in the other: no sides cross.
        assert_eq!(box_.distance(&[[-9.0, -9.0], [9.0, -9.0], [0.0, 20.0]].map(Flat::from)).0, 0.0);
    }
}

//! The plane that lies nearest to picked points.

use crate::{Plane, PlaneError, Point, Vector};
use nalgebra::Matrix3;

/// A plane and how well it fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestPlane {
    /// The plane.
    pub plane: Plane,
    /// Largest distance of a point from it, mm.
    pub residual_mm: f64,
}

/// Points spread less than this share of their length across it lie on one line: a plane through them would turn about
/// it at a touch. A hundredth is what a hand with a mouse cannot place on purpose.
const LINE_SHARE: f64 = 0.01;

/// The plane with the smallest sum of squared distances to `points`: through their mean, square to the direction of
/// least spread (the eigenvector of their covariance with the smallest eigenvalue; K. Pearson, "On lines and planes of
/// closest fit to systems of points in space", 1901).
pub fn best_plane(points: &[Point]) -> Result<BestPlane, PlaneError> {
    if points.len() < 3 {
        return Err(PlaneError::Collinear);
    }
    if let Some(&bad) = points.iter().flat_map(|p| p.coords.iter()).find(|x| !x.is_finite()) {
        return Err(PlaneError::NotFinite(bad));
    }
    let mean = points.iter().map(|p| p.coords).sum::<Vector>() / points.len() as f64;
    let covariance: Matrix3<f64> = points.iter().map(|p| p.coords - mean).map(|d| d * d.transpose()).sum();
    let eigen = covariance.symmetric_eigen();
    let mut order = [0, 1, 2];
    order.sort_by(|&a, &b| eigen.eigenvalues[a].total_cmp(&eigen.eigenvalues[b]));
    // Eigenvalues are squared lengths.
    if eigen.eigenvalues[order[1]] <= eigen.eigenvalues[order[2]] * LINE_SHARE * LINE_SHARE {
        return Err(PlaneError::Collinear);
    }
    let plane = Plane::through(mean.into(), eigen.eigenvectors.column(order[0]).into_owned())?;
    let residual_mm = points.iter().map(|p| plane.distance_mm(p).abs()).fold(0.0, f64::max);
    Ok(BestPlane { plane, residual_mm })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_points_lie_on_their_plane() {
        let points = [Point::new(10.0, 0.0, 0.0), Point::new(0.0, 20.0, 0.0), Point::new(0.0, 0.0, 30.0)];
        let best = best_plane(&points).unwrap();
        assert!(best.residual_mm < 1e-12);
        // x/10 + y/20 + z/30 = 1
        let expected = Vector::new(6.0, 3.0, 2.0) / 7.0;
        assert!((best.plane.normal().dot(&expected).abs() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_residual_is_the_largest_distance() {
        // A square with corners bent up and down in turn by 1 mm: the best plane is the middle one.
        let points = [(0.0, 0.0, 1.0), (40.0, 0.0, -1.0), (40.0, 40.0, 1.0), (0.0, 40.0, -1.0)];
        let best = best_plane(&points.map(|(x, y, z)| Point::new(x, y, z))).unwrap();
        assert!((best.residual_mm - 1.0).abs() < 1e-12);
        assert!((best.plane.normal().z.abs() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn points_on_a_line_span_no_plane() {
        let line = [0.0, 1.0, 2.0, 5.0].map(|t| Point::new(3.0 * t, 2.0 * t, -t));
        assert_eq!(best_plane(&line), Err(PlaneError::Collinear));
        assert_eq!(best_plane(&line[..2]), Err(PlaneError::Collinear));
    }
}

//! Meshes with something to find and to mend.

use seamwright_geometry::Mesh;

/// One face in so many is left out: prime, so that it follows no row of the model.
const TORN: usize = 1009;
/// One face in so many is turned round.
const TURNED: usize = 7;
/// One face in so many is there twice.
const DOUBLED: usize = 1013;

/// With holes of one face each, none beside another.
pub fn torn(mesh: &Mesh) -> Mesh {
    let mut at_hole = vec![false; mesh.vertices.len()];
    let mut is_kept = |(number, face): &(usize, [u32; 3])| {
        let is_hole = number.is_multiple_of(TORN) && !face.iter().any(|&v| at_hole[v as usize]);
        if is_hole {
            face.iter().for_each(|&v| at_hole[v as usize] = true);
        }
        !is_hole
    };
    let faces = mesh.triangles.iter().copied().enumerate();
    Mesh {
        vertices: mesh.vertices.clone(),
        triangles: faces.filter(|face| is_kept(face)).map(|(_, face)| face).collect(),
    }
}

/// With faces turned round.
pub fn turned(mesh: &Mesh) -> Mesh {
    let mut turned = mesh.clone();
    turned.triangles.iter_mut().step_by(TURNED).for_each(|face| face.swap(1, 2));
    turned
}

/// With faces turned round, and others there twice.
pub fn untidy(mesh: &Mesh) -> Mesh {
    let mut untidy = turned(mesh);
    let doubled: Vec<[u32; 3]> = untidy.triangles.iter().copied().step_by(DOUBLED).collect();
    untidy.triangles.extend(doubled);
    untidy
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::{Point, edge_report, solids};

    #[test]
    fn what_is_spoilt_is_spoilt_everywhere_and_by_as_much_as_is_said() {
        let ball = solids::sphere(Point::origin(), 10.0, 20);
        let faces = ball.triangles.len();
        let report = edge_report(&torn(&ball));
        assert_eq!((report.open, report.over_used), (3 * faces.div_ceil(TORN), 0));
        let report = edge_report(&turned(&ball));
        assert!(report.open == 0 && report.misturned > faces / TURNED, "{report:?}");
    }
}

//! What is wrong with faces, edges and whole shells.

use seamwright_geometry::mend::MendStep;
use seamwright_geometry::{Defects, Mesh, Point};

use super::{Defect, Finding, MOST_FACES, count, finding};
use crate::mending;

fn middle(mesh: &Mesh, face: u32) -> Point {
    let [a, b, c] = mesh.corners(face as usize);
    Point::from((a.coords + b.coords + c.coords) / 3.0)
}

pub(super) fn of_faces_and_edges(mesh: &Mesh, found: &Defects) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut add = |finding: Finding| findings.push(finding);
    let some = |faces: &mut dyn Iterator<Item = u32>| faces.take(MOST_FACES).collect::<Vec<u32>>();
    if let Some(worst) = found.open.first() {
        let text = format!("{}, the longest {:.1} mm long", count(found.open.len(), "hole", "holes"), worst.length_mm);
        add(Finding {
            place: worst.vertices.first().map(|&v| mesh.vertices[v as usize]),
            mends: vec![mending::merge_near(mesh), mending::fill_holes()],
            ..finding(Defect::OpenEdges, found.open.len(), text)
        });
    }
    if let Some(worst) = found.over_used.first() {
        let text = count(found.over_used.len(), "edge with more than two faces", "edges with more than two faces");
        add(Finding {
            place: Some(worst.middle()),
            faces: some(&mut found.over_used.iter().map(|edge| edge.face)),
            mends: vec![MendStep::SplitSheets],
            mends_are_safe: true,
            ..finding(Defect::OverUsedEdges, found.over_used.len(), text)
        });
    }
    if let Some(worst) = found.misturned.first() {
        let text = count(
            found.misturned.len(),
            "edge between faces turned against each other",
            "edges between faces turned against each other",
        );
        add(Finding {
            place: Some(worst.middle()),
            faces: some(&mut found.misturned.iter().map(|edge| edge.face)),
            mends: vec![MendStep::TurnOutward],
            mends_are_safe: true,
            ..finding(Defect::MisturnedFaces, found.misturned.len(), text)
        });
    }
    if let Some(&worst) = found.inside_out.first() {
        let text = count(found.inside_out.len(), "shell is inside out", "shells are inside out");
        add(Finding {
            place: Some(found.shells[worst as usize].bounds.centre()),
            mends: vec![MendStep::TurnOutward],
            mends_are_safe: true,
            ..finding(Defect::InsideOut, found.inside_out.len(), text)
        });
    }
    if let Some(&worst) = found.debris.first() {
        let size = found.shells[worst as usize].bounds.size();
        let text = format!(
            "{}, the largest {:.1} × {:.1} × {:.1} mm: drop them if they are no rivets",
            count(found.debris.len(), "tiny shell", "tiny shells"),
            size.x,
            size.y,
            size.z
        );
        add(Finding {
            place: Some(found.shells[worst as usize].bounds.centre()),
            ..finding(Defect::Debris, found.debris.len(), text)
        });
    }
    if let Some(&worst) = found.zero_area.first() {
        add(Finding {
            place: Some(middle(mesh, worst)),
            faces: some(&mut found.zero_area.iter().copied()),
            mends: vec![MendStep::DropZeroArea],
            mends_are_safe: true,
            ..finding(
                Defect::ZeroAreaFaces,
                found.zero_area.len(),
                count(found.zero_area.len(), "face without area", "faces without area"),
            )
        });
    }
    if let Some(worst) = found.duplicates.first() {
        add(Finding {
            place: Some(middle(mesh, worst.face)),
            faces: some(&mut found.duplicates.iter().map(|duplicate| duplicate.face)),
            mends: vec![MendStep::DropDuplicates],
            mends_are_safe: true,
            ..finding(
                Defect::DuplicateFaces,
                found.duplicates.len(),
                count(found.duplicates.len(), "face is there twice", "faces are there twice"),
            )
        });
    }
    findings
}

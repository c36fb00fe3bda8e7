//! Shells that pass through one another or through themselves, and those that nest too tightly.

use seamwright_geometry::mend::MendStep;
use seamwright_geometry::{
    Cancelled, Crossings, Gap, Meeting, Mesh, Progress, ShellPair, ShellReport, Shells, crossing_depths,
};

use super::{Defect, Finding, MOST_FACES, count, finding};

/// Shells that pass through one another.
pub(super) fn of_crossing_shells(
    mesh: &Mesh,
    shells: &Shells,
    names: &[u32],
    reports: &[ShellReport],
    pairs: &[ShellPair],
    progress: &Progress,
) -> Result<Option<Finding>, Cancelled> {
    let of_two: Vec<_> = pairs.iter().filter(|pair| pair.shells[0] != pair.shells[1] && pair.crossing > 0).collect();
    let Some(first) = of_two.first() else { return Ok(None) };
    let deepest = crossing_depths(mesh, shells, reports, pairs, progress)?.into_iter().next();
    let worst = match deepest {
        Some(depth) => of_two.iter().find(|pair| pair.shells == depth.shells).unwrap_or(first),
        None => first,
    };
    let called = worst.shells.map(|shell| names[shell as usize]);
    let mut text = format!(
        "{}: ",
        count(of_two.len(), "pair of shells passes through each other", "pairs of shells pass through each other")
    );
    match &deepest {
        Some(depth) => text.push_str(&format!("deepest {} by {:.1} mm", both(called), depth.depth_mm)),
        None => text.push_str(&both(called)),
    }
    text.push_str(". Printed apart they would not go back together");
    Ok(Some(Finding {
        place: Some(deepest.map_or_else(|| worst.worst.place(mesh), |depth| depth.deepest)),
        faces: worst.worst.faces.to_vec(),
        shells: Some(called),
        mends: vec![MendStep::UniteCrossing],
        ..finding(Defect::CrossingShells, of_two.len(), text)
    }))
}

/// After mending, several bodies may be what was one shell.
fn both(shells: [u32; 2]) -> String {
    if shells[0] == shells[1] {
        return format!("two bodies of shell {}", u64::from(shells[0]) + 1);
    }
    format!("shells {} and {}", u64::from(shells[0]) + 1, u64::from(shells[1]) + 1)
}

/// Shells that pass through themselves, and faces that lie on each other.
pub(super) fn of_crossings(mesh: &Mesh, crossed: &Crossings, pairs: &[ShellPair]) -> Vec<Finding> {
    let mut findings = Vec::new();
    let own: usize = pairs.iter().filter(|pair| pair.shells[0] == pair.shells[1]).map(|pair| pair.crossing).sum();
    if let Some(pair) = pairs.iter().find(|pair| pair.shells[0] == pair.shells[1] && pair.crossing > 0) {
        let text =
            count(own, "place where a shell passes through itself", "places where a shell passes through itself");
        findings.push(Finding {
            place: Some(pair.worst.place(mesh)),
            faces: crossed.faces(&[Meeting::Crossing]).into_iter().take(MOST_FACES).collect(),
            mends: vec![MendStep::UniteCrossing],
            ..finding(Defect::SelfCrossing, own, text)
        });
    }
    let overlapping = crossed.count(Meeting::Overlapping);
    if let Some(pair) = crossed.pairs.iter().find(|pair| pair.meeting == Meeting::Overlapping) {
        let text = count(overlapping, "pair of faces lies on each other", "pairs of faces lie on each other");
        findings.push(Finding {
            place: Some(pair.place(mesh)),
            faces: crossed.faces(&[Meeting::Overlapping]).into_iter().take(MOST_FACES).collect(),
            ..finding(Defect::OverlappingFaces, overlapping, text)
        });
    }
    findings
}

/// A gap that is nothing when it is told with two decimals, mm.
const TOLD_GAP_MM: f64 = 0.005;

pub(super) fn of_gaps(apart: &[&Gap], names: &[u32]) -> Option<Finding> {
    let worst = apart.first()?;
    let called = worst.shells.map(|shell| names[shell as usize]);
    let between = match worst.gap_mm {
        touching if touching < TOLD_GAP_MM => format!("{} touch", both(called)),
        gap_mm => format!("{gap_mm:.2} mm between {}", both(called)),
    };
    let text = format!(
        "{}: {between}. Printed apart they need more room",
        count(apart.len(), "pair of shells nests tightly", "pairs of shells nest tightly"),
    );
    Some(Finding {
        place: Some(worst.places[0]),
        faces: worst.faces.to_vec(),
        shells: Some(called),
        ..finding(Defect::NearShells, apart.len(), text)
    })
}

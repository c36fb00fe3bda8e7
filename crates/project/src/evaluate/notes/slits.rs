//! Cuts that run along a bore and lay its channel open.

use seamwright_geometry::{Plane, Point};

use super::note;
use crate::cut_form::CutForm;
use crate::edit::Edit;
use crate::outcome::{BoreFacts, Note, Outcome, Weight};

/// A cut within a channel for longer than so many of its diameters runs along it; one that crosses it aslant does not
/// (our own choice, no source).
const ALONG_DIAMETERS: f64 = 3.0;

/// A note for every flat cut that runs along a bore, with the least move that leaves the wall that was asked for.
pub(super) fn notice(outcome: &Outcome) -> Vec<Note> {
    let recipe = &outcome.recipe;
    let mut notes = Vec::new();
    for cut in recipe.cuts.iter().filter(|cut| cut.enabled && cut.form == CutForm::Flat) {
        let Ok(plane) = cut.plane.plane() else { continue };
        // A cut that parts nothing slits nothing.
        if !outcome.seams.iter().any(|seam| seam.cut == cut.id) {
            continue;
        }
        for done in &outcome.bores {
            let (Some(bore), Ok(facts)) = (recipe.bore(done.bore), &done.result) else { continue };
            let same_part = bore.part == cut.part;
            let Some((place, along_mm)) = slit(&plane, facts).filter(|_| same_part && facts.removed_mm3 > 0.0) else {
                continue;
            };
            let away_mm = facts.diameter_mm / 2.0 + bore.least_wall_mm;
            let here_mm = plane.distance_mm(&place);
            // To the side on which the rod lies less far from it.
            let move_mm = if here_mm >= 0.0 { here_mm - away_mm } else { here_mm + away_mm };
            let text = format!(
                "{} runs along {} for {along_mm:.0} mm and lays its channel open: move it aside by {:.1} mm, and the rod \
                 stays in one piece",
                cut.name,
                bore.name,
                move_mm.abs()
            );
            let aside = Plane::new(plane.normal(), plane.offset_mm() + move_mm).ok();
            let edit = aside.map(|aside| Edit::SetCutPlane { cut: cut.id, plane: cut.plane.moved_to(&aside) });
            notes.push(Note {
                cut: Some(cut.id),
                bore: Some(bore.id),
                place: Some(place),
                edit,
                ..note(Weight::Warning, text)
            });
        }
    }
    notes
}

/// Where a plane lies within a channel for long: the middle of that run of its line, and how long it is, mm.
fn slit(plane: &Plane, facts: &BoreFacts) -> Option<(Point, f64)> {
    let radius_mm = facts.diameter_mm / 2.0;
    let runs = facts.line.windows(2).filter_map(|ends| {
        let (a, b) = (ends[0], ends[1]);
        let (h, k) = (plane.distance_mm(&a), plane.distance_mm(&b));
        let within = |limit: f64| (limit - h) / (k - h);
        let (first, last) = if h.abs() < radius_mm && k.abs() < radius_mm {
            (0.0, 1.0)
        } else if (k - h).abs() <= f64::EPSILON {
            // Beside it all along.
            return None;
        } else {
            let (s, t) = (within(-radius_mm), within(radius_mm));
            (s.min(t).max(0.0), s.max(t).min(1.0))
        };
        let length_mm = (last - first) * (b - a).norm();
        (length_mm > ALONG_DIAMETERS * facts.diameter_mm).then(|| (a + (b - a) * ((first + last) / 2.0), length_mm))
    });
    runs.max_by(|a, b| a.1.total_cmp(&b.1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use seamwright_geometry::Vector;

    fn straight(from: [f64; 3], to: [f64; 3]) -> BoreFacts {
        BoreFacts {
            line: vec![from.into(), to.into()],
            from_mm: 0.0,
            to_mm: 100.0,
            blind: [false; 2],
            diameter_mm: 6.0,
            removed_mm3: 1.0,
            mouths: Vec::new(),
            profile: Default::default(),
        }
    }

    #[test]
    fn a_cut_along_a_channel_slits_it_and_one_across_or_beside_does_not() {
        let upright = straight([0.0, 0.0, 0.0], [0.0, 0.0, 100.0]);
        let (middle, length_mm) = slit(&Plane::new(Vector::x(), 2.0).unwrap(), &upright).unwrap();
        assert!((length_mm - 100.0).abs() < 1e-9 && (middle.z - 50.0).abs() < 1e-9);
        assert_eq!(slit(&Plane::new(Vector::x(), 3.5).unwrap(), &upright), None);
        assert_eq!(slit(&Plane::new(Vector::z(), 50.0).unwrap(), &upright), None);
        assert_eq!(slit(&Plane::new(Vector::new(1.0, 0.0, 1.0), 50.0).unwrap(), &upright), None);
        // Nearly along it: within the channel for 60 mm about the crossing.
        let leaning = Plane::through(Point::new(0.0, 0.0, 50.0), Vector::new(1.0, 0.0, 0.1)).unwrap();
        let (middle, length_mm) = slit(&leaning, &upright).unwrap();
        assert!((length_mm - 60.0).abs() < 1.0 && (middle.z - 50.0).abs() < 1e-9, "{length_mm} {middle}");
    }
}

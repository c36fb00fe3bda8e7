//! The rods that a project needs: how long each is sawn, what it weighs, how far it droops, and which bars to buy.

use seamwright_geometry::{Cancelled, Progress};

use super::{Beam, Buying, BuyingError, SAW_MM, buy, droop_from_tip_load_mm, droop_from_weight_mm, stock_lengths_mm};
use crate::bore::{Bore, BoreId, RodChoice};

/// All rods of a project, and what to buy for them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RodList {
    /// The rods to saw, bore by bore.
    pub rods: Vec<RodToSaw>,
    /// What to buy, kind by kind.
    pub kinds: Vec<RodsOfKind>,
}

/// One rod to saw.
#[derive(Clone, Debug, PartialEq)]
pub struct RodToSaw {
    /// The bore that it goes into.
    pub bore: BoreId,
    /// What that is called.
    pub bore_name: String,
    /// Which straight run of the bore, from 0, and of how many.
    pub run: [usize; 2],
    /// What rod it is, in words.
    pub rod: String,
    /// Its diameter, mm.
    pub diameter_mm: f64,
    /// The channel from end to end, mm: from mouth to mouth, or to where it stops.
    pub channel_mm: f64,
    /// What is left free for glue at blind ends, mm.
    pub glue_mm: f64,
    /// What is left free at bends, so that two rods do not get in each other's way, mm.
    pub bends_mm: f64,
    /// How long it is sawn, mm.
    pub length_mm: f64,
    /// What it weighs, g; of a rod that is in no table nobody knows.
    pub mass_g: Option<f64>,
    /// How far it droops by itself.
    pub droop: Option<Droop>,
}

/// How far a rod droops when it is held at one end, level: an estimate by Euler–Bernoulli for the rod alone. What the
/// prints weigh and how far they stiffen it is left out, and so are joints that give and plastic that creeps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Droop {
    /// By its own weight, mm.
    pub own_weight_mm: f64,
    /// By each newton (about 100 g) that hangs at its tip, mm.
    pub per_newton_mm: f64,
    /// By as much again as `carried_g`, spread along it, mm.
    pub loaded_mm: f64,
    /// What the pieces on it would weigh if they were printed solid, g.
    pub carried_g: f64,
}

/// A droop of more than this share of the length is not told: the formula is for small ones. The exact cantilever with a load
/// at its tip (Bisshopp and Drucker, Quarterly of Applied Mathematics 3, 1945, pp. 272-275; from memory) droops 1 % less than
/// the formula has it at a tenth of the length, and 10 % less at a third. That a tenth is the limit is common practice.
pub const SMALL_SHARE: f64 = 0.1;

impl RodToSaw {
    /// A droop of this rod as far as it is known; `None` past what the formula is for.
    pub fn small(&self, droop_mm: f64) -> Option<f64> {
        (droop_mm <= self.length_mm * SMALL_SHARE).then_some(droop_mm)
    }

    /// Whether it is too soft for what it carries, or for its own length: it droops farther than the formula reaches.
    pub fn is_too_soft(&self) -> bool {
        self.droop.is_some_and(|droop| self.small(droop.loaded_mm.max(droop.own_weight_mm)).is_none())
    }
}

/// All rods of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct RodsOfKind {
    /// What rod it is, in words.
    pub rod: String,
    /// How many are sawn.
    pub count: usize,
    /// Their lengths added up, mm.
    pub length_mm: f64,
    /// What they weigh, g.
    pub mass_g: Option<f64>,
    /// The bars to buy; the rods in them are numbers of [`RodList::rods`]. Why there are none, in words, else.
    pub buying: Result<Buying, String>,
}

/// A bore as it was made: how long each of its straight runs is, mm, and how sharply the line bends between them, degrees.
#[derive(Clone, Debug, PartialEq)]
pub struct Runs {
    /// From end to end, mm.
    pub lengths_mm: Vec<f64>,
    /// One fewer, degrees.
    pub bends_deg: Vec<f64>,
    /// Whether it begins, and ends, within the material.
    pub blind: [bool; 2],
    /// What the pieces that the bore goes through would weigh, printed solid, g.
    pub carried_g: f64,
}

/// The rods of these bores.
pub fn rod_list(bores: &[(&Bore, Runs)], progress: &Progress) -> Result<RodList, Cancelled> {
    let rods: Vec<RodToSaw> = bores.iter().flat_map(|(bore, runs)| rods_of(bore, runs)).collect();
    let mut kinds: Vec<RodsOfKind> = Vec::new();
    for rod in &rods {
        if !kinds.iter().any(|kind| kind.rod == rod.rod) {
            kinds.push(kind(&rod.rod, bores, &rods, progress)?);
        }
    }
    Ok(RodList { rods, kinds })
}

fn rods_of(bore: &Bore, runs: &Runs) -> Vec<RodToSaw> {
    if let RodChoice::Magnets(_) = bore.rod {
        return Vec::new();
    }
    let (diameter_mm, all) = (bore.rod.diameter_mm(), runs.lengths_mm.len());
    let whole: f64 = runs.lengths_mm.iter().sum();
    let rod = |(run, channel_mm): (usize, &f64)| {
        let [first, last] = runs.blind;
        let blind = usize::from(run == 0 && first) + usize::from(run + 1 == all && last);
        let glue_mm = bore.glue_mm * blind as f64;
        // Two rods that meet at an angle touch with their rims: half the diameter times the tangent of half the angle.
        let bend = |at: Option<usize>| {
            let deg = at.and_then(|at| runs.bends_deg.get(at)).copied().unwrap_or(0.0);
            diameter_mm / 2.0 * (deg.to_radians() / 2.0).tan()
        };
        let bends_mm = bend(run.checked_sub(1)) + bend(Some(run));
        let length_mm = (channel_mm - glue_mm - bends_mm).max(0.0);
        let listed = bore.rod.listed();
        let carried_g = if whole > 0.0 { runs.carried_g * channel_mm / whole } else { 0.0 };
        RodToSaw {
            bore: bore.id,
            bore_name: bore.name.clone(),
            run: [run, all],
            rod: bore.rod.words(),
            diameter_mm,
            channel_mm: *channel_mm,
            glue_mm,
            bends_mm,
            length_mm,
            mass_g: listed.map(|rod| rod.grams_per_metre() * length_mm * 1e-3),
            droop: listed.filter(|_| length_mm > 0.0).map(|rod| droop(&rod.beam(), length_mm, carried_g)),
        }
    };
    runs.lengths_mm.iter().enumerate().map(rod).collect()
}

fn droop(beam: &Beam, length_mm: f64, carried_g: f64) -> Droop {
    let loaded = Beam { kg_per_m: beam.kg_per_m + carried_g / length_mm, ..*beam };
    Droop {
        own_weight_mm: droop_from_weight_mm(beam, length_mm),
        per_newton_mm: droop_from_tip_load_mm(beam, length_mm, 1.0),
        loaded_mm: droop_from_weight_mm(&loaded, length_mm),
        carried_g,
    }
}

fn kind(words: &str, bores: &[(&Bore, Runs)], rods: &[RodToSaw], progress: &Progress) -> Result<RodsOfKind, Cancelled> {
    let own: Vec<usize> = (0..rods.len()).filter(|&i| rods[i].rod == words && rods[i].length_mm > 0.0).collect();
    let lengths: Vec<f64> = own.iter().map(|&i| rods[i].length_mm).collect();
    let known = bores.iter().find_map(|(bore, _)| bore.rod.listed().filter(|rod| rod.words() == words));
    let bars = stock_lengths_mm(known.map_or("", |rod| rod.name));
    let buying = match buy(&lengths, &bars, SAW_MM, progress) {
        Ok(mut buying) => {
            // The places among the rods of this kind become places in the whole list.
            buying.bars.iter_mut().for_each(|bar| bar.rods.iter_mut().for_each(|rod| *rod = own[*rod]));
            Ok(buying)
        }
        Err(BuyingError::Cancelled) => return Err(Cancelled),
        Err(error) => Err(error.to_string()),
    };
    let masses: Option<Vec<f64>> = own.iter().map(|&i| rods[i].mass_g).collect();
    Ok(RodsOfKind {
        rod: words.to_owned(),
        count: own.len(),
        length_mm: lengths.iter().sum(),
        mass_g: masses.map(|masses| masses.iter().sum()),
        buying,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::PartId;

    fn bore(id: u32, rod: RodChoice) -> Bore {
        Bore::new(BoreId(id), format!("bore {id}"), PartId::MAIN, vec![[0.0; 3], [0.0, 0.0, 700.0]], rod)
    }

    fn runs(lengths_mm: &[f64], bends_deg: &[f64]) -> Runs {
        Runs { lengths_mm: lengths_mm.to_vec(), bends_deg: bends_deg.to_vec(), blind: [false; 2], carried_g: 250.0 }
    }

    #[test]
    fn a_rod_is_shorter_than_its_channel_by_the_room_for_glue_at_blind_ends() {
        let m6 = bore(1, RodChoice::Listed("M6".into()));
        let blind = Runs { blind: [false, true], ..runs(&[300.0], &[]) };
        let list = rod_list(&[(&m6, runs(&[400.0], &[])), (&m6, blind)], &Progress::new()).unwrap();
        assert_eq!(list.rods.iter().map(|rod| rod.length_mm).collect::<Vec<_>>(), [400.0, 298.4]);
        let kind = &list.kinds[0];
        let buying = kind.buying.as_ref().unwrap();
        assert_eq!((kind.count, buying.total_mm, buying.bars[0].rods.as_slice()), (2, 1000.0, &[0, 1][..]));
        assert!((buying.bars[0].offcut_mm - (1000.0 - 698.4 - 2.0)).abs() < 1e-9);
        assert!((kind.mass_g.unwrap() - 0.6984 * 176.5).abs() < 0.5);
    }

    #[test]
    fn a_line_that_bends_takes_a_rod_for_each_run_and_leaves_the_rims_room() {
        let bent = bore(1, RodChoice::Typed(8.0));
        let list = rod_list(&[(&bent, runs(&[200.0, 100.0], &[90.0]))], &Progress::new()).unwrap();
        assert_eq!(list.rods.iter().map(|rod| rod.run).collect::<Vec<_>>(), [[0, 2], [1, 2]]);
        assert!((list.rods[0].length_mm - 196.0).abs() < 1e-9 && (list.rods[1].length_mm - 96.0).abs() < 1e-9);
        assert_eq!((list.rods[0].mass_g, list.kinds[0].mass_g), (None, None), "no table knows what it is made of");
    }

    #[test]
    fn magnets_are_not_sawn_and_a_rod_longer_than_any_bar_is_told() {
        let magnets = bore(1, RodChoice::Magnets(8.0));
        let long = bore(2, RodChoice::Listed("dowel 8 mm".into()));
        let bores = [(&magnets, runs(&[6.0], &[])), (&long, runs(&[1300.0], &[]))];
        let list = rod_list(&bores, &Progress::new()).unwrap();
        assert_eq!((list.rods.len(), list.kinds.len()), (1, 1));
        assert!(list.kinds[0].buying.as_ref().unwrap_err().contains("longer than the longest bar"));
    }

    #[test]
    fn what_a_rod_carries_makes_it_droop_more() {
        let rod = bore(1, RodChoice::Listed("M8".into()));
        let list = rod_list(&[(&rod, runs(&[1000.0], &[]))], &Progress::new()).unwrap();
        let droop = list.rods[0].droop.unwrap();
        // 0.319 kg/m and 250 g spread over a metre.
        let share = (0.319 + 0.25) / 0.319;
        assert!((droop.loaded_mm / droop.own_weight_mm - share).abs() < 0.01, "{droop:?}");
    }
}

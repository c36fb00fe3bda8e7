//! Parallel cuts through a whole that no cut has met yet, made in one pass: what one steps off along a blade.

use std::sync::Arc;

use rayon::prelude::*;
use seamwright_geometry::{CutSurface, Plane, Point, Progress, Side, Solid, Vector, bodies_with, cut_parallel};

use super::{Body, CutMet, Family, Node, Parting, Places, Stop, numbers_of};
use crate::cache::{Cache, Key, Weigh};
use crate::cut_form::CutForm;
use crate::recipe::{Cut, CutId, PieceId, Scope};

/// How many of `cuts`, from the first on, are parallel planes through all that they meet; none if there are not at least
/// two.
pub(super) fn run(cuts: &[&Cut]) -> usize {
    let plane = |cut: &Cut| {
        let is_plain = cut.form == CutForm::Flat && cut.kerf_mm == 0.0 && cut.scope == Scope::All;
        cut.plane.plane().ok().filter(|_| is_plain)
    };
    let Some(normal) = cuts.first().and_then(|cut| plane(cut)).map(|plane| plane.normal()) else { return 0 };
    let run = cuts.iter().take_while(|cut| plane(cut).is_some_and(|plane| plane.normal() == normal)).count();
    if run < 2 { 0 } else { run }
}

/// Makes a [`run`] of cuts on `whole`, with the same pieces and the same told of them as one cut after another. `None`
/// where that is not certain: where a slab between two planes is empty or falls apart, so that the cuts meet more than
/// one piece each, and where the geometry declines.
pub(super) fn part(
    cuts: &[&Cut],
    whole: &Node,
    keep_bodies_together: bool,
    cache: &Cache,
    progress: &Progress,
) -> Result<Option<Parting>, Stop> {
    if !whole.body.caps.is_empty() {
        return Ok(None);
    }
    let Some(slabs) = Slabs::new(cuts, whole, keep_bodies_together) else { return Ok(None) };
    // Where it could not be done once, it is not tried with every move of a cut.
    if cache.get::<Declined>(slabs.declined).is_some() {
        return Ok(None);
    }
    let Some(bodies) = slabs.bodies(whole, keep_bodies_together, cache, progress)? else {
        cache.get_or_make(slabs.declined, || Ok::<_, Stop>(Declined))?;
        return Ok(None);
    };
    let nodes = bodies.into_iter().enumerate().map(|(slab, body)| slabs.node(slab, body, cuts, whole)).collect();
    let met = |cut: &&Cut| CutMet {
        cut: cut.id,
        crossed: usize::from(slabs.place(cut.id).is_some()),
        missing: Vec::new(),
        places: Places::default(),
    };
    Ok(Some(Parting { nodes, met: cuts.iter().map(met).collect() }))
}

/// A whole cannot be parted at once along a normal.
struct Declined;

impl Weigh for Declined {
    fn bytes(&self) -> usize {
        size_of::<Key>()
    }
}

/// What lies between the planes of the cuts that cross the whole, lowest first.
struct Slabs {
    /// The cuts that cross it, rising.
    planes: Vec<(Plane, CutId)>,
    /// The others, with the side on which the whole lies.
    missed: Vec<(CutId, Side)>,
    /// Hashes of what each slab is made from.
    keys: Vec<Key>,
    /// Where it is kept that they cannot be made at once.
    declined: Key,
}

/// How far the solid reaches along `normal`, mm.
fn extents_mm(solid: &Solid, normal: Vector) -> [f64; 2] {
    let of_block = |block: &[Point]| {
        let along = block.iter().map(|p| normal.dot(&p.coords));
        along.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], mm| [low.min(mm), high.max(mm)])
    };
    let both = |a: [f64; 2], b: [f64; 2]| [a[0].min(b[0]), a[1].max(b[1])];
    solid.mesh.vertices.par_chunks(BLOCK).map(of_block).reduce(|| [f64::INFINITY, f64::NEG_INFINITY], both)
}

/// Vertices looked at in one go: enough that handing them out costs nothing beside it.
const BLOCK: usize = 1 << 14;

impl Slabs {
    fn new(cuts: &[&Cut], whole: &Node, keep_bodies_together: bool) -> Option<Slabs> {
        let (mut planes, mut missed) = (Vec::new(), Vec::new());
        let solid = &whole.body.solid;
        let normal = cuts.first()?.plane.plane().ok()?.normal();
        let [low_mm, high_mm] = extents_mm(solid, normal);
        for cut in cuts {
            let plane = cut.plane.plane().ok()?;
            // A plane that only touches misses too. Should rounding here tell one that it does not, a slab is empty.
            if plane.offset_mm() <= low_mm + solid.resolution.on_plane_mm {
                missed.push((cut.id, Side::Above));
            } else if plane.offset_mm() >= high_mm - solid.resolution.on_plane_mm {
                missed.push((cut.id, Side::Below));
            } else {
                planes.push((plane, cut.id));
            }
        }
        planes.sort_by(|(a, _), (b, _)| a.offset_mm().total_cmp(&b.offset_mm()));
        let kind = whole.key.then(if keep_bodies_together { "slab" } else { "slab of one body" });
        let bound = |key: Key, plane: Option<&(Plane, CutId)>| match plane {
            Some((plane, id)) => {
                key.with_numbers(&numbers_of(&CutSurface::Plane(*plane))).with_numbers(&[f64::from(id.0)])
            }
            None => key.then("no plane"),
        };
        let below = |slab: usize| slab.checked_sub(1).and_then(|lower| planes.get(lower));
        let keys = (0..=planes.len()).map(|slab| bound(bound(kind, below(slab)), planes.get(slab))).collect();
        let declined = kind.then("not at once").with_numbers(normal.as_slice());
        (planes.len() > 1).then_some(Slabs { planes, missed, keys, declined })
    }

    /// Where a cut stands among those that cross the whole.
    fn place(&self, cut: CutId) -> Option<usize> {
        self.planes.iter().position(|(_, id)| *id == cut)
    }

    /// One body for each slab, kept each for itself: when one cut moves, the others' stay what they were.
    fn bodies(
        &self,
        whole: &Node,
        keep_bodies_together: bool,
        cache: &Cache,
        progress: &Progress,
    ) -> Result<Option<Vec<Arc<Body>>>, Stop> {
        let known: Option<Vec<Arc<Family>>> = self.keys.iter().map(|key| cache.get(*key)).collect();
        let families = match known {
            Some(families) => families,
            None => {
                let planes: Vec<(Plane, u32)> = self.planes.iter().map(|(plane, id)| (*plane, id.0)).collect();
                let Some(solids) = cut_parallel(&whole.body.solid, &planes, progress)? else { return Ok(None) };
                if !self.are_bounded_as_wanted(&solids) {
                    return Ok(None);
                }
                let family = |(solid, key): (Solid, &Key)| {
                    cache.get_or_make(*key, || {
                        let bodies = if keep_bodies_together { vec![solid] } else { bodies_with(solid, progress)? };
                        Ok::<_, Stop>(Family::of(bodies))
                    })
                };
                solids.into_iter().zip(&self.keys).map(family).collect::<Result<_, Stop>>()?
            }
        };
        let only = |family: &Arc<Family>| match family.0.as_slice() {
            [only] => Some(only.clone()),
            _ => None,
        };
        Ok(families.iter().map(only).collect())
    }

    /// Whether there is a piece for each slab, and every plane has made a cap on both its sides.
    fn are_bounded_as_wanted(&self, solids: &[Solid]) -> bool {
        let caps = |slab| self.caps(slab).into_iter().map(|(id, side)| (id.0, side));
        solids.len() == self.keys.len()
            && (0..).zip(solids).all(|(slab, solid)| solid.caps().into_iter().eq(caps(slab)))
    }

    /// The caps of a slab, by rising label.
    fn caps(&self, slab: usize) -> Vec<(CutId, Side)> {
        let lower = slab.checked_sub(1).and_then(|lower| self.planes.get(lower)).map(|(_, id)| (*id, Side::Above));
        let upper = self.planes.get(slab).map(|(_, id)| (*id, Side::Below));
        let mut caps: Vec<_> = lower.into_iter().chain(upper).collect();
        caps.sort_unstable();
        caps
    }

    /// The piece of a slab, as if the cuts had been made one after another.
    fn node(&self, slab: usize, body: Arc<Body>, cuts: &[&Cut], whole: &Node) -> Node {
        let mut node = Node { key: self.keys[slab].with_numbers(&[0.0]), body, ..whole.clone() };
        // The planes around it that are cut by now.
        let (mut lower, mut upper) = (None, None);
        for cut in cuts {
            let Some(place) = self.place(cut.id) else {
                node.sides.extend(self.missed.iter().filter(|(id, _)| *id == cut.id));
                continue;
            };
            if lower.is_none_or(|lower| place > lower) && upper.is_none_or(|upper| place < upper) {
                let mut path: Vec<(CutId, Side)> = [(lower, Side::Above), (upper, Side::Below)]
                    .into_iter()
                    .filter_map(|(place, side): (Option<usize>, Side)| Some((self.planes[place?].1, side)))
                    .collect();
                path.sort_unstable();
                node.lineage.push(PieceId { path, ..whole.id.clone() });
                if slab > place { lower = Some(place) } else { upper = Some(place) }
            }
            node.sides.push((cut.id, if slab > place { Side::Above } else { Side::Below }));
        }
        node
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use proptest::prelude::*;
    use seamwright_geometry::solids;

    use super::super::{into_bodies, name, one_by_one};
    use super::*;
    use crate::cut_plane::{Axis, CutPlane};
    use crate::recipe::{PartId, Recipe};

    fn cut(id: u32, axis: Axis, offset_mm: f64, tilt_deg: [f64; 2]) -> Cut {
        Cut {
            id: CutId(id),
            name: format!("cut {id}"),
            part: PartId::MAIN,
            plane: CutPlane { tilt_deg, ..CutPlane::square(axis, offset_mm) },
            form: CutForm::Flat,
            kerf_mm: 0.0,
            scope: Scope::All,
            enabled: true,
        }
    }

    fn whole(solid: Solid) -> Node {
        let id = PieceId { part: PartId::MAIN, ..PieceId::default() };
        let body = Arc::new(Body::new(Arc::new(solid)).unwrap());
        Node { key: Key::new("whole"), id, lineage: Vec::new(), sides: Vec::new(), body }
    }

    /// All that is known of a piece but its hash, with the measures of its solid.
    type Known = (Vec<PieceId>, Vec<(CutId, Side)>, Vec<(CutId, Side)>, usize, i64);

    fn known(parting: &Parting) -> (BTreeMap<PieceId, Known>, Vec<(CutId, usize)>) {
        let of_node = |node: &Node| {
            let mesh = &node.body.solid.mesh;
            let volume = (mesh.volume_mm3() * 1e6).round() as i64;
            let measures =
                (node.lineage.clone(), node.sides.clone(), node.body.caps.clone(), mesh.triangles.len(), volume);
            (node.id.clone(), measures)
        };
        (parting.nodes.iter().map(of_node).collect(), parting.met.iter().map(|met| (met.cut, met.crossed)).collect())
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn cuts_at_once_are_told_as_the_same_cuts_one_after_another(
            offsets in Just((-6..=6).map(|i| f64::from(i) * 9.0 + 0.5).collect::<Vec<_>>()).prop_shuffle(),
            count in 2..9_usize,
            tilts in prop::array::uniform2(-30.0..30.0_f64),
            ringed: bool,
            keep_bodies_together: bool,
        ) {
            let ball = solids::sphere(Point::origin(), 40.0, 24);
            let mesh = if ringed { solids::torus(Point::origin(), 30.0, 12.0, 64, 32) } else { ball };
            let whole = whole(Solid::from_stock(mesh));
            let cuts: Vec<Cut> = (1..).zip(&offsets[..count]).map(|(id, mm)| cut(id, Axis::Z, *mm, tilts)).collect();
            let cuts: Vec<&Cut> = cuts.iter().collect();
            prop_assert_eq!(run(&cuts), count);
            let progress = Progress::new();
            let cache = Cache::default();
            let recipe = Recipe { keep_bodies_together, ..Recipe::new("ball") };
            let start = Parting { nodes: vec![whole.clone()], met: Vec::new() };
            let expected = one_by_one(start, &cuts, &recipe, &cache, &progress).unwrap();
            let mut made = part(&cuts, &whole, keep_bodies_together, &cache, &progress).unwrap();
            if let Some(made) = &mut made {
                name(&mut made.nodes);
                prop_assert_eq!(known(made), known(&expected));
            }
            // A ball is never more than one body; a ring may be several between two planes.
            let crossed = expected.met.iter().filter(|met| met.crossed > 0).count();
            if !ringed && crossed > 1 {
                prop_assert!(made.is_some(), "declined");
            }
        }
    }

    #[test]
    fn what_falls_apart_is_cut_one_after_another_and_not_tried_again() {
        let ring = whole(Solid::from_stock(solids::torus(Point::origin(), 30.0, 12.0, 64, 32)));
        let cuts = [cut(1, Axis::X, -4.5, [0.0; 2]), cut(2, Axis::X, 5.5, [0.0; 2])];
        let cuts: Vec<&Cut> = cuts.iter().collect();
        let (cache, progress) = (Cache::default(), Progress::new());
        for _ in 0..2 {
            assert!(part(&cuts, &ring, false, &cache, &progress).unwrap().is_none());
        }
        assert!(cache.get::<Declined>(Slabs::new(&cuts, &ring, false).unwrap().declined).is_some());
        assert_eq!(part(&cuts, &ring, true, &cache, &progress).unwrap().map(|made| made.nodes.len()), Some(3));
        assert_eq!(into_bodies(vec![ring], &cache, &progress).unwrap().len(), 1);
    }

    #[test]
    fn only_plain_cuts_of_one_normal_are_a_run() {
        let plain = cut(1, Axis::Z, 0.0, [0.0; 2]);
        let run = |second: Cut| run(&[&plain, &second]);
        assert_eq!(run(cut(2, Axis::Z, 5.0, [0.0; 2])), 2);
        assert_eq!(run(cut(2, Axis::Z, 5.0, [1.0, 0.0])), 0);
        assert_eq!(run(Cut { kerf_mm: 0.4, ..cut(2, Axis::Z, 5.0, [0.0; 2]) }), 0);
        assert_eq!(run(Cut { scope: Scope::Pieces([PieceId::default()].into()), ..cut(2, Axis::Z, 5.0, [0.0; 2]) }), 0);
    }
}

//! Random recipes and random edits.

pub mod bores;
pub mod measures;

use proptest::collection::{btree_set, vec};
use proptest::prelude::*;
use seamwright_geometry::{Bed, KeepOut, Outline, Side};
use seamwright_project::{
    Axis, BoreId, Cut, CutForm, CutId, CutPlane, CutProfile, Edge, Edit, Line, LoosePart, MeasureId, NamedBed, PartId,
    PieceId, Recipe, Relief, Scope, Size, SizedBy, SourceFile, Stance, Unit, Waves, default_bed,
};

/// Any number that a plane may be made of, very large and very small ones included.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -500.0..500.0,
        1 => prop::num::f64::NORMAL.prop_map(|x| x % 1e9),
        1 => prop::num::f64::SUBNORMAL,
        1 => Just(-0.0),
    ]
}

pub fn plane() -> impl Strategy<Value = CutPlane> {
    let axis = prop::sample::select(Axis::ALL.to_vec());
    (axis, [number(), number(), number()], [number(), number()])
        .prop_map(|(axis, through_mm, tilt_deg)| CutPlane { axis, through_mm, tilt_deg })
        .prop_filter("makes a plane", |cut| cut.plane().is_ok())
}

/// Any form; some make no surface on some planes.
pub fn form() -> impl Strategy<Value = CutForm> {
    let length = || prop_oneof![4 => 0.5..100.0, 1 => Just(5.0)];
    let waves =
        || (length(), length(), 1..9_u32).prop_map(|(pitch_mm, height_mm, count)| Waves { pitch_mm, height_mm, count });
    let drawn = (vec([number(), number()], 1..6), any::<bool>());
    let line = prop_oneof![
        number().prop_map(|rise_mm| Line::Step { rise_mm }),
        waves().prop_map(Line::Zigzag),
        waves().prop_map(Line::Wave),
        (waves(), 0.0..30.0).prop_map(|(waves, flank_deg)| Line::Dovetail { waves, flank_deg }),
        drawn.prop_map(|(points_mm, smooth)| Line::Drawn { points_mm, smooth }),
    ];
    prop_oneof![
        2 => Just(CutForm::Flat),
        1 => (number(), number()).prop_map(|(offset_mm, turn_deg)| CutForm::Ending(Edge { offset_mm, turn_deg })),
        3 => (line, number()).prop_map(|(line, turn_deg)| CutForm::Profile(CutProfile { line, turn_deg })),
    ]
}

pub fn kerf() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), 0.0..20.0]
}

/// A plane with a form that makes a surface on it.
fn formed() -> impl Strategy<Value = (CutPlane, CutForm)> {
    (plane(), form()).prop_filter("makes a surface", |(plane, form)| form.surface(plane).is_ok())
}

fn part_id() -> impl Strategy<Value = PartId> {
    prop_oneof![3 => Just(PartId::MAIN), 1 => any::<u32>().prop_map(PartId)]
}

fn piece_id() -> impl Strategy<Value = PieceId> {
    let side = prop::sample::select(vec![Side::Below, Side::Above]);
    (part_id(), vec((any::<u32>().prop_map(CutId), side), 0..4), any::<u32>()).prop_map(|(part, path, body)| PieceId {
        part,
        path,
        body,
    })
}

pub fn scope() -> impl Strategy<Value = Scope> {
    prop_oneof![Just(Scope::All), btree_set(piece_id(), 0..4).prop_map(Scope::Pieces)]
}

pub fn size() -> impl Strategy<Value = Size> {
    (prop::sample::select(Unit::ALL.to_vec()), 1e-6..1e6).prop_map(|(unit, factor)| Size { unit, factor })
}

/// How a size was arrived at, where that is not told by the factor.
fn sized_by() -> impl Strategy<Value = Option<SizedBy>> {
    let axis = prop::sample::select(Axis::ALL.to_vec());
    prop::option::of(prop_oneof![
        (axis, 1.0..3000.0).prop_map(|(axis, mm)| SizedBy::Dimension { axis, mm }),
        (1.0..3000.0).prop_map(|mm| SizedBy::Distance { mm }),
        ("\\PC{0,12}", 1.0..3000.0, 0.0..50.0).prop_map(|(measure, wearer_mm, gap_mm)| SizedBy::Wearer {
            measure,
            wearer_mm,
            gap_mm
        }),
    ])
}

pub fn stance() -> impl Strategy<Value = Stance> {
    let axis = prop::option::of(prop::sample::select(Axis::ALL.to_vec()));
    let down = prop::array::uniform3(-1.0..1.0f64).prop_filter("points somewhere", |d| d.iter().any(|x| x.abs() > 0.1));
    let foot = prop_oneof![Just(0.0), -100.0..100.0f64];
    (axis, prop::option::of((down, any::<bool>(), foot))).prop_map(|(mirrored, turned)| match turned {
        None => Stance { mirrored, ..Stance::default() },
        // Across it, whatever it is.
        Some((down, is_along, foot)) => {
            let along = if down[0].abs() > 0.1 { [-down[1], down[0], 0.3] } else { [0.3, -down[2], down[1]] };
            Stance { mirrored, down: Some(down), along: is_along.then_some(along), foot }
        }
    })
}

/// Reliefs of different pairs of shells.
pub fn reliefs() -> impl Strategy<Value = Vec<Relief>> {
    let one = (any::<u32>(), any::<u32>(), 1e-3..100.0f64, any::<bool>());
    vec(one, 0..4).prop_map(|drawn| {
        let mut seen = std::collections::BTreeSet::new();
        drawn
            .into_iter()
            .filter(|(shell, by, ..)| shell != by && seen.insert((*shell, *by)))
            .map(|(shell, by, clearance_mm, enabled)| Relief { shell, by, clearance_mm, enabled })
            .collect()
    })
}

pub fn bed() -> impl Strategy<Value = Bed> {
    let keep_out = (prop::array::uniform4(1.0..500.0f64), 0.0..50.0f64)
        .prop_map(|([x, y, w, d], from_mm)| KeepOut { corners_mm: vec![[x, y], [x + w, y], [x, y + d]], from_mm });
    let numbers = [1.0..2000.0, 1.0..2000.0, 1.0..2000.0, 0.0..0.24, 0.0..0.99, 0.0..0.1];
    (0..3_u32, numbers, vec(keep_out, 0..2))
        .prop_map(|(outline, [x, y, height, margin, raft, around], keep_outs)| {
            let bare = match outline {
                0 => Bed::rectangle(x, y, height),
                1 => Bed::round(x.min(y), height),
                _ => {
                    let corners_mm = vec![[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]];
                    Bed::of(Outline::Polygon { corners_mm }, height)
                }
            };
            let side = x.min(y);
            Bed { margin_mm: margin * side, around_mm: around * side, raft_mm: raft * height, keep_outs, ..bare }
        })
        .prop_filter("leaves room", |bed| bed.check().is_ok())
}

pub fn beds() -> impl Strategy<Value = Vec<NamedBed>> {
    vec(("\\PC{0,9}", bed()).prop_map(|(name, bed)| NamedBed { name, bed }), 1..4)
}

pub fn source() -> impl Strategy<Value = SourceFile> {
    ("\\PC{0,20}", any::<u64>(), "[0-9a-f]{64}").prop_map(|(path, bytes, sha256)| SourceFile { path, bytes, sha256 })
}

/// Any recipe that edits could have led to.
pub fn recipe() -> impl Strategy<Value = Recipe> {
    let cuts = vec(("\\PC{0,12}", formed(), kerf(), scope(), any::<bool>(), 1..1000_u32), 0..6).prop_map(|drawn| {
        let mut id = 0;
        let mut cut = |(name, (plane, form), kerf_mm, scope, enabled, step)| {
            id += step;
            Cut { id: CutId(id), name, part: PartId::MAIN, plane, form, kerf_mm, scope, enabled }
        };
        drawn.into_iter().map(&mut cut).collect::<Vec<Cut>>()
    });
    let texts = ("\\PC{0,12}", "\\PC{0,12}");
    let switches = (btree_set(any::<u32>(), 0..4), any::<bool>(), any::<bool>(), 1..100_u32);
    let stand = (vec(source(), 0..3), sized_by(), stance());
    let parts = (vec(btree_set(any::<u32>(), 1..4), 0..4), reliefs(), bores::bores(), measures::measures());
    (texts, prop::option::of(source()), size(), cuts, beds(), switches, stand, parts).prop_map(
        |(
            (name, costume),
            stock,
            size,
            mut cuts,
            mut beds,
            switches,
            (beside, sized_by, stance),
            (parts, reliefs, mut bores, mut measures),
        )| {
            let (dropped_shells, keep_bodies_together, turned, more) = switches;
            let mut taken = dropped_shells.clone();
            let mut loose = Vec::new();
            for shells in parts {
                let shells: std::collections::BTreeSet<u32> = shells.into_iter().filter(|s| taken.insert(*s)).collect();
                if !shells.is_empty() {
                    let id = PartId(2 * loose.len() as u32 + 1);
                    loose.push(LoosePart { id, name: format!("part {}", id.0), shells });
                }
            }
            for (i, cut) in cuts.iter_mut().enumerate() {
                let choice = i % (loose.len() + 1);
                cut.part = if choice == 0 { PartId::MAIN } else { loose[choice - 1].id };
            }
            for (i, bore) in bores.iter_mut().enumerate() {
                let choice = i % (loose.len() + 1);
                bore.part = if choice == 0 { PartId::MAIN } else { loose[choice - 1].id };
            }
            let next_bore = BoreId(bores.last().map_or(0, |bore| bore.id.0) + more);
            for (i, measure) in measures.iter_mut().enumerate() {
                let choice = i % (loose.len() + 1);
                measure.part = if choice == 0 { PartId::MAIN } else { loose[choice - 1].id };
            }
            let next_measure = MeasureId(measures.last().map_or(0, |measure| measure.id.0) + more);
            let next_part = PartId(loose.last().map_or(0, |part| part.id.0) + more);
            let next_cut = CutId(cuts.last().map_or(0, |cut| cut.id.0) + more);
            if turned {
                cuts.reverse();
            }
            let by_factor = if size.factor == 1.0 { SizedBy::AsMade } else { SizedBy::Factor };
            let NamedBed { name: bed_name, bed } = beds.remove(0);
            Recipe {
                leave_out_crumbs: turned,
                bed_name,
                more_beds: beds,
                name,
                costume,
                stock,
                beside,
                size,
                sized_by: sized_by.unwrap_or(by_factor),
                stance,
                dropped_shells,
                loose,
                mends: Vec::new(),
                reliefs,
                bores,
                cuts,
                measures,
                keep_bodies_together,
                bed,
                next_cut,
                next_bore,
                next_measure,
                next_part,
            }
        },
    )
}

fn loose_id() -> impl Strategy<Value = PartId> {
    (0..4_u32).prop_map(PartId)
}

fn cut_id() -> impl Strategy<Value = CutId> {
    (0..6_u32).prop_map(CutId)
}

/// Any edit; about one in five cannot be made, and some change nothing.
pub fn edit() -> impl Strategy<Value = Edit> {
    let name = || prop::sample::select(vec!["", " ", "brow", " crest ", "cut 1"]).prop_map(String::from);
    let plane = || prop_oneof![6 => plane(), 1 => Just(CutPlane::square(Axis::X, f64::NAN))];
    let size = prop_oneof![6 => size(), 1 => Just(Size { unit: Unit::Inch, factor: -1.0 })];
    let bed = prop_oneof![4 => bed(), 2 => Just(default_bed()), 1 => Just(Bed::rectangle(0.0, 220.0, 250.0))];
    let edits: Vec<(u32, BoxedStrategy<Edit>)> = vec![
        (1, name().prop_map(Edit::SetName).boxed()),
        (1, name().prop_map(Edit::SetCostume).boxed()),
        (1, source().prop_map(Edit::SetStock).boxed()),
        (1, source().prop_map(Edit::RelocateStock).boxed()),
        (1, size.prop_map(Edit::SetSize).boxed()),
        (1, (0..3_u32, any::<bool>()).prop_map(|(shell, kept)| Edit::SetShellKept { shell, kept }).boxed()),
        (
            3,
            (name(), loose_id(), plane(), form(), scope())
                .prop_map(|(name, part, plane, form, scope)| Edit::AddCut { name, part, plane, form, scope })
                .boxed(),
        ),
        (
            1,
            (name(), loose_id(), vec(plane(), 0..4), scope())
                .prop_map(|(name, part, planes, scope)| Edit::AddCuts { name, part, planes, scope })
                .boxed(),
        ),
        (1, (cut_id(), form()).prop_map(|(cut, form)| Edit::SetCutForm { cut, form }).boxed()),
        (
            1,
            (cut_id(), prop_oneof![kerf(), Just(-1.0)])
                .prop_map(|(cut, kerf_mm)| Edit::SetCutKerf { cut, kerf_mm })
                .boxed(),
        ),
        (2, bores::added().prop_map(|new| Edit::AddBore(Box::new(new))).boxed()),
        (1, bores::id().prop_map(Edit::RemoveBore).boxed()),
        (3, (bores::id(), bores::change()).prop_map(|(bore, change)| Edit::ChangeBore { bore, change }).boxed()),
        (2, (loose_id(), measures::added()).prop_map(|(part, what)| Edit::AddMeasure { part, what }).boxed()),
        (1, measures::id().prop_map(Edit::RemoveMeasure).boxed()),
        (1, source().prop_map(Edit::AddSource).boxed()),
        (1, (0..3_usize).prop_map(Edit::RemoveSource).boxed()),
        (
            1,
            (0.0..4.0, sized_by())
                .prop_map(|(factor, by)| Edit::SetSizeBy { factor, by: by.unwrap_or_default() })
                .boxed(),
        ),
        (1, stance().prop_map(Edit::SetStance).boxed()),
        (1, (name(), btree_set(0..4_u32, 0..3)).prop_map(|(name, shells)| Edit::AddLoosePart { name, shells }).boxed()),
        (
            1,
            (btree_set(0..4_u32, 0..3), loose_id())
                .prop_map(|(shells, part)| Edit::SetShellsPart { shells, part })
                .boxed(),
        ),
        (1, btree_set(0..4_u32, 0..3).prop_map(Edit::DropShells).boxed()),
        (
            1,
            prop_oneof![4 => reliefs(), 1 => Just(vec![Relief { shell: 1, by: 1, clearance_mm: 0.3, enabled: true }])]
                .prop_map(Edit::SetReliefs)
                .boxed(),
        ),
        (1, loose_id().prop_map(Edit::RemoveLoosePart).boxed()),
        (1, (loose_id(), name()).prop_map(|(part, name)| Edit::RenameLoosePart { part, name }).boxed()),
        (1, cut_id().prop_map(Edit::RemoveCut).boxed()),
        (2, (cut_id(), plane()).prop_map(|(cut, plane)| Edit::SetCutPlane { cut, plane }).boxed()),
        (1, (cut_id(), name()).prop_map(|(cut, name)| Edit::RenameCut { cut, name }).boxed()),
        (1, (cut_id(), scope()).prop_map(|(cut, scope)| Edit::SetCutScope { cut, scope }).boxed()),
        (1, (cut_id(), any::<bool>()).prop_map(|(cut, enabled)| Edit::SetCutEnabled { cut, enabled }).boxed()),
        (
            1,
            (cut_id(), prop_oneof![0..8_usize, Just(usize::MAX)])
                .prop_map(|(cut, to)| Edit::MoveCut { cut, to })
                .boxed(),
        ),
        (1, any::<bool>().prop_map(Edit::SetKeepBodiesTogether).boxed()),
        (1, any::<bool>().prop_map(Edit::SetLeaveOutCrumbs).boxed()),
        (1, bed.prop_map(Edit::SetBed).boxed()),
        (1, prop_oneof![4 => beds(), 1 => Just(Vec::new())].prop_map(Edit::SetBeds).boxed()),
    ];
    prop::strategy::Union::new_weighted(edits)
}

//! Random recipes and random edits.

use proptest::collection::{btree_set, vec};
use proptest::prelude::*;
use seamwright_geometry::{Bed, Side};
use seamwright_project::{
    Axis, Cut, CutId, CutPlane, Edit, PieceId, Recipe, Scope, Size, SourceFile, Unit, default_bed,
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

fn piece_id() -> impl Strategy<Value = PieceId> {
    let side = prop::sample::select(vec![Side::Below, Side::Above]);
    (vec((any::<u32>().prop_map(CutId), side), 0..4), any::<u32>()).prop_map(|(path, body)| PieceId { path, body })
}

pub fn scope() -> impl Strategy<Value = Scope> {
    prop_oneof![Just(Scope::All), btree_set(piece_id(), 0..4).prop_map(Scope::Pieces)]
}

pub fn size() -> impl Strategy<Value = Size> {
    (prop::sample::select(Unit::ALL.to_vec()), 1e-6..1e6).prop_map(|(unit, factor)| Size { unit, factor })
}

pub fn bed() -> impl Strategy<Value = Bed> {
    [1.0..2000.0, 1.0..2000.0, 1.0..2000.0, 0.0..0.49, 0.0..0.99].prop_map(|[x, y, height, margin, raft]: [f64; 5]| {
        let bare = Bed::rectangle(x, y, height);
        Bed { margin_mm: margin * x.min(y), raft_mm: raft * height, ..bare }
    })
}

pub fn source() -> impl Strategy<Value = SourceFile> {
    ("\\PC{0,20}", any::<u64>(), "[0-9a-f]{64}").prop_map(|(path, bytes, sha256)| SourceFile { path, bytes, sha256 })
}

/// Any recipe that edits could have led to.
pub fn recipe() -> impl Strategy<Value = Recipe> {
    let cuts = vec(("\\PC{0,12}", plane(), scope(), any::<bool>(), 1..1000_u32), 0..6).prop_map(|drawn| {
        let mut id = 0;
        let mut cut = |(name, plane, scope, enabled, step)| {
            id += step;
            Cut { id: CutId(id), name, plane, scope, enabled }
        };
        drawn.into_iter().map(&mut cut).collect::<Vec<Cut>>()
    });
    let texts = ("\\PC{0,12}", "\\PC{0,12}");
    let switches = (btree_set(any::<u32>(), 0..4), any::<bool>(), any::<bool>(), 1..100_u32);
    (texts, prop::option::of(source()), size(), cuts, bed(), switches).prop_map(
        |((name, costume), stock, size, mut cuts, bed, (dropped_shells, keep_bodies_together, turned, more))| {
            let next_cut = CutId(cuts.last().map_or(0, |cut| cut.id.0) + more);
            if turned {
                cuts.reverse();
            }
            Recipe { name, costume, stock, size, dropped_shells, cuts, keep_bodies_together, bed, next_cut }
        },
    )
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
        (3, (name(), plane(), scope()).prop_map(|(name, plane, scope)| Edit::AddCut { name, plane, scope }).boxed()),
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
        (1, bed.prop_map(Edit::SetBed).boxed()),
    ];
    prop::strategy::Union::new_weighted(edits)
}

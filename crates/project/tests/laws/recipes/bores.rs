//! Random bores and random changes of them.

use proptest::collection::vec;
use proptest::prelude::*;
use seamwright_project::rods::{Clearance, ClearanceClass, rods};
use seamwright_project::{
    AtSeam, Axis, Bore, BoreChange, BoreEnd, BoreId, BoreShape, CutId, Fitting, NewBore, PartId, Placed, RodChoice,
    Stop,
};

use super::number;

fn line() -> impl Strategy<Value = Vec<[f64; 3]>> {
    prop_oneof![6 => vec([number(), number(), number()], 2..5), 1 => vec([number(), number(), number()], 0..2)]
}

fn rod() -> impl Strategy<Value = RodChoice> {
    let names: Vec<String> = rods().iter().map(|rod| rod.name.to_owned()).collect();
    prop_oneof![
        4 => prop::sample::select(names).prop_map(RodChoice::Listed),
        2 => (0.5..30.0).prop_map(RodChoice::Typed),
        1 => (0.5..30.0).prop_map(RodChoice::Magnets),
        1 => Just(RodChoice::Listed("no such rod".into())),
        1 => Just(RodChoice::Typed(-1.0)),
    ]
}

fn clearance() -> impl Strategy<Value = Clearance> {
    prop_oneof![
        prop::sample::select(ClearanceClass::ALL.to_vec()).prop_map(Clearance::Class),
        (-0.1..3.0).prop_map(Clearance::Typed),
    ]
}

fn placed() -> impl Strategy<Value = Placed> {
    let axes = Axis::ALL.into_iter().map(Placed::Axis);
    prop::sample::select(
        axes.chain([Placed::Typed, Placed::Picked, Placed::Middle, Placed::Centred]).collect::<Vec<_>>(),
    )
}

fn stop() -> impl Strategy<Value = Stop> {
    prop_oneof![Just(Stop::Open), Just(Stop::At), (-1.0..30.0).prop_map(Stop::Blind)]
}

fn fitting() -> impl Strategy<Value = Fitting> {
    prop_oneof![
        Just(Fitting::None),
        (1.0..40.0).prop_map(Fitting::Countersink),
        (0.0..10.0).prop_map(Fitting::NutPocket),
        (0.0..10.0).prop_map(Fitting::WasherPocket)
    ]
}

fn shape() -> impl Strategy<Value = BoreShape> {
    prop::sample::select(BoreShape::ALL.to_vec())
}

fn way() -> impl Strategy<Value = [f64; 3]> {
    prop::array::uniform3(-1.0..1.0f64)
}

/// Bores whose numbers make sense, with rising identities.
pub fn bores() -> impl Strategy<Value = Vec<Bore>> {
    let ends = ((stop(), fitting()), (stop(), fitting()));
    let numbers = (0.0..1.0, 0.0..5.0, 0.0..5.0);
    let choices = (placed(), rod(), clearance(), shape(), way(), any::<(bool, bool, bool)>());
    vec(("\\PC{0,12}", line(), ends, numbers, choices, 1..1000_u32), 0..5).prop_map(|drawn| {
        let mut id = 0;
        let mut bore = |(name, line_mm, (first, last), (printer, wall, glue), choices, step)| {
            let (placed, rod, clearance, shape, up, (may_cross, enabled, up_as_laid)) = choices;
            id += step;
            let end = |(stop, fitting)| BoreEnd { stop, fitting };
            Bore {
                placed,
                clearance,
                printer_mm: printer,
                shape,
                up,
                up_as_laid,
                ends: [end(first), end(last)],
                least_wall_mm: wall,
                glue_mm: glue,
                may_cross,
                enabled,
                ..Bore::new(BoreId(id), name, PartId::MAIN, line_mm, rod)
            }
        };
        let bores: Vec<Bore> = drawn.into_iter().map(&mut bore).collect();
        bores.into_iter().filter(|bore| bore.check().is_ok()).collect()
    })
}

pub fn id() -> impl Strategy<Value = BoreId> {
    (0..4_u32).prop_map(BoreId)
}

pub fn added() -> impl Strategy<Value = NewBore> {
    let name = prop::sample::select(vec!["", " ", "blade", " grip "]).prop_map(String::from);
    (name, super::loose_id(), line(), placed(), rod()).prop_map(|(name, part, line_mm, placed, rod)| NewBore {
        name,
        part,
        line_mm,
        placed,
        rod,
    })
}

/// Any change; about one in five cannot be made.
pub fn change() -> impl Strategy<Value = BoreChange> {
    let name = prop::sample::select(vec!["", "blade", " grip "]).prop_map(String::from);
    prop_oneof![
        name.prop_map(BoreChange::Name),
        (line(), placed()).prop_map(|(line_mm, placed)| BoreChange::Line { line_mm, placed }),
        (0..4_usize, [number(), number(), number()]).prop_map(|(at, to_mm)| BoreChange::Point { at, to_mm }),
        rod().prop_map(BoreChange::Rod),
        clearance().prop_map(BoreChange::Clearance),
        (-0.1..1.0).prop_map(BoreChange::Printer),
        shape().prop_map(BoreChange::Shape),
        way().prop_map(BoreChange::Up),
        Just(BoreChange::UpAsLaid),
        (0..3_u32, -1.0..5.0)
            .prop_map(|(cut, thickness_mm)| BoreChange::Seam(AtSeam { cut: CutId(cut), thickness_mm })),
        (0..3_usize, stop()).prop_map(|(end, stop)| BoreChange::Stop { end, stop }),
        (0..3_usize, fitting()).prop_map(|(end, fitting)| BoreChange::Fitting { end, fitting }),
        (-0.1..5.0).prop_map(BoreChange::LeastWall),
        (-0.1..5.0).prop_map(BoreChange::Glue),
        any::<bool>().prop_map(BoreChange::MayCross),
        any::<bool>().prop_map(BoreChange::Enabled),
    ]
}

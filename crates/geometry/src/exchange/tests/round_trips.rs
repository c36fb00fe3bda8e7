//! What was written reads back as the same solid.

use super::*;
use crate::exchange::{Overwrite, Piece, Unit, WriteError, read, write};
use crate::{Point, solids};
use proptest::prelude::*;

fn written(format: Format, pieces: &[Piece]) -> ModelFile {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(format!("piece.{}", format.ending()));
    let written = write(&path, format, pieces, Overwrite::Refuse).unwrap();
    assert_eq!(written.bytes, std::fs::metadata(&path).unwrap().len());
    let again = write(&path, format, pieces, Overwrite::Refuse);
    assert!(matches!(again, Err(WriteError::Exists { .. })), "{again:?}");
    assert_eq!(write(&path, format, pieces, Overwrite::Allow).unwrap(), written);
    let names = std::fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(names, 1, "nothing is left beside the file");
    let back = read(&path, &ReadOptions::default(), &Progress::new()).unwrap();
    assert_eq!((back.format, back.facets), (format, written.facets));
    let mixed = format == Format::Ply && pieces.windows(2).any(|w| w[0].colour != w[1].colour);
    assert_eq!(back.remarks.len(), usize::from(mixed), "{:?}", back.remarks);
    back
}

const BRASS: [u8; 4] = [0xB0, 0x8D, 0x57, 0xFF];

#[test]
fn names_colours_and_units_are_kept_where_the_format_has_them() {
    let brick = solids::cuboid(Point::new(0.1, 0.2, 1.0 / 3.0), Point::new(30.0, 20.0, 1e-7 + 10.0));
    let ball = solids::sphere(Point::new(100.0, 0.0, 0.0), 20.0, 4);
    let pieces = [
        Piece { name: "helm <1> & \"crest\"", mesh: &brick, colour: Some(BRASS) },
        Piece { name: "glaive\nblade", mesh: &ball, colour: Some([1, 2, 3, 255]) },
    ];
    for format in Format::ALL {
        let back = written(format, &pieces);
        let parts: Vec<_> = back.parts.iter().map(|part| (part.name.as_str(), part.colour)).collect();
        let expected: &[(&str, Option<[u8; 4]>)] = match format {
            Format::Obj | Format::ThreeMf => {
                &[("helm <1> & \"crest\"", Some(BRASS)), ("glaive blade", Some([1, 2, 3, 255]))]
            }
            Format::Stl | Format::Ply => &[("", None)],
        };
        if format != Format::Ply {
            assert_eq!(parts, expected, "{format:?}");
        }
        assert_eq!(back.unit, (format == Format::ThreeMf).then_some(Unit::Millimetre));
        if matches!(format, Format::Obj | Format::ThreeMf) {
            assert_eq!(back.parts[0].mesh, brick, "to the last bit, {format:?}");
            assert_eq!(back.parts[1].mesh, ball, "to the last bit, {format:?}");
        }
        let whole = back.into_mesh().unwrap();
        let volume = brick.volume_mm3() + ball.volume_mm3();
        assert!((whole.volume_mm3() - volume).abs() < 1e-5 * volume && inspect(&whole).closed, "{format:?}");
    }
    let one = written(
        Format::Ply,
        &pieces[..0]
            .iter()
            .chain(&[Piece { name: "one", mesh: &brick, colour: Some(BRASS) }])
            .copied()
            .collect::<Vec<_>>(),
    );
    assert_eq!((one.parts[0].colour, &one.parts[0].mesh), (Some(BRASS), &brick));
}

#[test]
fn what_can_not_be_written_is_refused_and_leaves_the_old_file() {
    let folder = tempfile::tempdir().unwrap();
    let brick = solids::cuboid(Point::origin(), Point::new(1.0, 1.0, 1.0));
    let mut endless = brick.clone();
    endless.vertices[7].y = f64::INFINITY;
    let flat = Mesh { vertices: vec![Point::origin(); 3], triangles: vec![[0, 1, 2]] };
    let empty = Mesh::default();
    for format in Format::ALL {
        let path = folder.path().join(format.ending());
        std::fs::write(&path, "old").unwrap();
        let piece = |mesh| [Piece { name: "x", mesh, colour: None }];
        let result = write(&path, format, &piece(&endless), Overwrite::Allow);
        assert!(matches!(result, Err(WriteError::OutOfRange { vertex: 7, .. })), "{result:?}");
        for nothing in [&flat, &empty] {
            let result = write(&path, format, &piece(nothing), Overwrite::Allow);
            assert!(matches!(result, Err(WriteError::NoFacets { .. })), "{result:?}");
        }
        assert!(matches!(write(&path, format, &[], Overwrite::Allow), Err(WriteError::NoFacets { .. })));
        assert_eq!(std::fs::read(&path).unwrap(), b"old");
        let nowhere = folder.path().join("missing").join("file");
        let result = write(&nowhere, format, &piece(&brick), Overwrite::Refuse);
        assert!(matches!(result, Err(WriteError::Io { .. })), "{result:?}");
    }
}

fn coordinate() -> impl Strategy<Value = f64> {
    prop_oneof![
        3 => (-3i8..4).prop_map(f64::from),
        2 => -1e3..1e3,
        1 => prop_oneof![Just(-0.0), Just(1e-300), Just(5e-324), Just(-1.7e308), Just(1.0 / 3.0), Just(1e15), Just(1e-5)],
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_mesh_reads_back_to_the_last_bit(
        vertices in prop::collection::vec(prop::array::uniform3(coordinate()), 3..40),
        faces in prop::collection::vec(prop::array::uniform3(any::<prop::sample::Index>()), 1..60),
    ) {
        let triangles: Vec<[u32; 3]> = faces.iter().map(|face| face.map(|i| i.index(vertices.len()) as u32)).collect();
        let mesh = Mesh { vertices: vertices.into_iter().map(Point::from).collect(), triangles };
        let places = |mesh: &Mesh| -> Vec<[[u64; 3]; 3]> {
            let bits = |p: Point| [p.x, p.y, p.z].map(|x| (x + 0.0).to_bits());
            let all = (0..mesh.triangles.len()).map(|t| mesh.corners(t).map(bits));
            all.filter(|[a, b, c]| a != b && b != c && c != a).collect()
        };
        let expected = places(&mesh);
        prop_assume!(!expected.is_empty());
        for format in [Format::Obj, Format::Ply, Format::ThreeMf] {
            let back = written(format, &[Piece { name: "soup", mesh: &mesh, colour: None }]);
            prop_assert_eq!(back.collapsed, 0);
            prop_assert_eq!(&places(&back.into_mesh().unwrap()), &expected);
        }
    }
}

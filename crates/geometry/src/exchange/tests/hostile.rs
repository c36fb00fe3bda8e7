//! Files bent in every way: a reader may refuse, and may never panic, hang, or ask for memory without measure.

use super::*;
use crate::exchange::{Overwrite, Piece, write};
use crate::{Point, solids};
use proptest::prelude::*;

/// A small sound file of each format, and of both forms where there are two.
fn sound() -> Vec<Vec<u8>> {
    let folder = tempfile::tempdir().unwrap();
    let ball = solids::sphere(Point::origin(), 20.0, 2);
    let brick = solids::cuboid(Point::new(50.0, 0.0, 0.0), Point::new(60.0, 10.0, 10.0));
    let pieces = [
        Piece { name: "ball", mesh: &ball, colour: Some([1, 2, 3, 4]) },
        Piece { name: "brick", mesh: &brick, colour: None },
    ];
    let mut files: Vec<Vec<u8>> = Format::ALL
        .into_iter()
        .map(|format| {
            let path = folder.path().join(format.ending());
            write(&path, format, &pieces, Overwrite::Refuse).unwrap();
            std::fs::read(path).unwrap()
        })
        .collect();
    files.push(b"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\nendsolid a\n".to_vec());
    files.push(b"ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n3 0 1 2\n".to_vec());
    files.push(b"g a\nv 0 0 0\nv 1 0 0\nv 1 1 0 1 0 0\nv 0 1 0\nf 1//2 -3 3/1/1 4 \\\n1\n".to_vec());
    files
}

#[derive(Clone, Debug)]
enum Bend {
    Flip(prop::sample::Index, u8),
    Set(prop::sample::Index, u8),
    Cut(prop::sample::Index),
    Drop(prop::sample::Index, usize),
    Double(prop::sample::Index, usize),
    Insert(prop::sample::Index, &'static str),
}

fn bend() -> impl Strategy<Value = Bend> {
    let at = any::<prop::sample::Index>;
    let words = prop::sample::select(vec![
        "-1",
        "4294967295",
        "1e999",
        "nan",
        "\n",
        "\\\n",
        "\"",
        "<",
        "/>",
        "&#x0;",
        "99999999999999999999",
        "\u{0}",
        "f ",
        "/",
        "-",
    ]);
    prop_oneof![
        (at(), any::<u8>()).prop_map(|(at, bits)| Bend::Flip(at, bits)),
        (at(), prop::sample::select(vec![0, 0x7F, 0x80, 0xFF, b'0', b'9', b'-', b' ']))
            .prop_map(|(at, byte)| Bend::Set(at, byte)),
        at().prop_map(Bend::Cut),
        (at(), 1..40_usize).prop_map(|(at, count)| Bend::Drop(at, count)),
        (at(), 1..200_usize).prop_map(|(at, count)| Bend::Double(at, count)),
        (at(), words).prop_map(|(at, word)| Bend::Insert(at, word)),
    ]
}

fn bent(mut bytes: Vec<u8>, bends: &[Bend]) -> Vec<u8> {
    for bend in bends {
        if bytes.is_empty() {
            break;
        }
        let length = bytes.len();
        match bend {
            Bend::Flip(at, bits) => bytes[at.index(length)] ^= bits,
            Bend::Set(at, byte) => bytes[at.index(length)] = *byte,
            Bend::Cut(at) => bytes.truncate(at.index(length)),
            Bend::Drop(at, count) => drop(bytes.drain(at.index(length)..(at.index(length) + count).min(length))),
            Bend::Double(at, count) => {
                let from = at.index(length);
                let piece = bytes[from..(from + count).min(length)].to_vec();
                bytes.splice(from..from, piece);
            }
            Bend::Insert(at, word) => drop(bytes.splice(at.index(length)..at.index(length), word.bytes())),
        }
    }
    bytes
}

/// What holds of anything that was read.
fn check(bytes: &[u8], format: Option<Format>) {
    let Ok(model) = parse(bytes, &ReadOptions { format }, &Progress::new()) else { return };
    assert!(!model.parts.is_empty());
    let kept: usize = model.parts.iter().map(|part| part.mesh.triangles.len()).sum();
    assert_eq!(kept + model.set_aside_not_finite + model.collapsed, model.facets);
    for part in &model.parts {
        assert!(!part.mesh.triangles.is_empty());
        let count = part.mesh.vertices.len() as u32;
        assert!(part.mesh.triangles.as_flattened().iter().all(|&i| i < count));
        assert!(part.mesh.vertices.iter().all(|p| p.iter().all(|x| x.is_finite())));
        // Nothing is made up: a triangle takes some bytes of its file. (Copies in 3MF have a bound of their own.)
        assert!(model.format == Format::ThreeMf || part.mesh.triangles.len() <= bytes.len());
    }
    model.into_mesh().unwrap();
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(
        std::env::var("SEAMWRIGHT_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(300)
    ))]

    #[test]
    fn bent_files_of_every_format_are_read_or_refused(
        which in any::<prop::sample::Index>(),
        bends in prop::collection::vec(bend(), 1..6),
    ) {
        let files = sound();
        let bytes = bent(files[which.index(files.len())].clone(), &bends);
        check(&bytes, None);
    }

    /// Inside the package, where damage is not found by its checksum.
    #[test]
    fn bent_models_in_sound_packages_are_read_or_refused(bends in prop::collection::vec(bend(), 1..6)) {
        let files = sound();
        let mut zip = zip::ZipArchive::new(std::io::Cursor::new(&files[3])).unwrap();
        let mut model = Vec::new();
        std::io::copy(&mut zip.by_name("3D/3dmodel.model").unwrap(), &mut model).unwrap();
        check(&threemf::packed(bent(model, &bends)), None);
    }

    #[test]
    fn bytes_of_any_kind_are_read_or_refused_as_every_format(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        for format in Format::ALL {
            check(&bytes, Some(format));
        }
    }
}

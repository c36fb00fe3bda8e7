//! Meshes made by others, held against the figures of their list.
//!
//! The folder is named by `SEAMWRIGHT_MESHES`; its list, `MANIFEST.md`, says where each comes from and how it was
//! measured (trimesh 5.2.0, bit-equal vertices merged). The figures below are copied from there; where ours are not
//! the same, the line says why.

use seamwright_geometry::exchange::{ReadProblem, parse_stl, read_stl};
use seamwright_geometry::{Progress, Report, inspect};
use std::path::{Path, PathBuf};

/// One line of the list.
struct Listed {
    file: &'static str,
    triangles: usize,
    shells: usize,
    /// Every edge in exactly two faces, whichever way they are turned.
    watertight: bool,
    volume: f64,
    size: [f64; 3],
    faults: Faults,
    /// What we find otherwise, and why that is right.
    otherwise: &'static [Otherwise],
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Faults {
    open: usize,
    /// "Non-manifold" in the list.
    over_used: usize,
    /// "Misoriented" in the list.
    misturned: usize,
    duplicate: usize,
    zero_area: usize,
    inside_out: usize,
}

const SOUND: Faults = Faults { open: 0, over_used: 0, misturned: 0, duplicate: 0, zero_area: 0, inside_out: 0 };

enum Otherwise {
    Closed(bool, &'static str),
    Collapsed(usize, &'static str),
    InsideOut(usize, &'static str),
}

#[rustfmt::skip]
const LIST: &[Listed] = &[
    Listed { file: "ADIS16480.STL", triangles: 7_436, shells: 1, watertight: true, volume: 2.819e-5,
        size: [0.044, 0.014, 0.047], faults: SOUND, otherwise: &[] },
    Listed { file: "athena-statue.stl", triangles: 21_000, shells: 1, watertight: false, volume: 8.138e7,
        size: [551.5, 1503.0, 288.9], faults: Faults { over_used: 1, duplicate: 1, ..SOUND },
        otherwise: &[Otherwise::Closed(true,
            "its one edge with four faces has two each way: such a surface bounds a volume, though not by pairs of faces")] },
    Listed { file: "broken-notANumberNormal.ascii.stl", triangles: 4, shells: 1, watertight: true, volume: 0.1667,
        size: [1.0, 1.0, 1.0], faults: SOUND, otherwise: &[] },
    Listed { file: "dancing-girl.stl", triangles: 19_294, shells: 2, watertight: true, volume: 1.537e8,
        size: [814.1, 1800.0, 576.6], faults: Faults { inside_out: 1, ..SOUND }, otherwise: &[] },
    Listed { file: "dog-skull.stl", triangles: 42_480, shells: 23, watertight: true, volume: 0.0002311,
        size: [0.1743, 0.09822, 0.09953], faults: SOUND, otherwise: &[] },
    Listed { file: "featuretype.STL", triangles: 3_476, shells: 1, watertight: false, volume: 11.63,
        size: [5.0, 2.5, 1.375], faults: Faults { open: 576, ..SOUND }, otherwise: &[] },
    Listed { file: "forearm-electric.stl", triangles: 18_689, shells: 3, watertight: false, volume: 0.0005189,
        size: [0.1352, 0.1352, 0.2281], faults: Faults { open: 219, over_used: 451, duplicate: 58, ..SOUND },
        otherwise: &[] },
    Listed { file: "kinect2-assembly.STL", triangles: 18_788, shells: 3, watertight: false, volume: 1.008e6,
        size: [113.4, 295.7, 183.1], faults: Faults { open: 4, ..SOUND }, otherwise: &[] },
    Listed { file: "multibody.stl", triangles: 32, shells: 2, watertight: true, volume: 0.01404,
        size: [0.636, 1.088, 0.3399], faults: Faults { misturned: 12, ..SOUND },
        otherwise: &[Otherwise::Closed(false, "the list does not look at winding here, and twelve edges are misturned")] },
    Listed { file: "poppy-chest.STL", triangles: 12_826, shells: 21, watertight: false, volume: 0.0002076,
        size: [0.1679, 0.09578, 0.09958],
        faults: Faults { open: 34, over_used: 80, duplicate: 23, inside_out: 3, ..SOUND },
        otherwise: &[Otherwise::InsideOut(2,
            "one shell is two faces back to back: its volume is 0, and rounding may fall to either side")] },
    Listed { file: "shoulder-assembly.stl", triangles: 56_993, shells: 23, watertight: false, volume: 2.474e6,
        size: [495.0, 236.5, 148.0], faults: Faults { open: 6_275, inside_out: 12, ..SOUND }, otherwise: &[] },
    Listed { file: "soup.stl", triangles: 100, shells: 100, watertight: false, volume: 0.1682,
        size: [0.9974, 0.9965, 0.9929], faults: Faults { open: 300, ..SOUND }, otherwise: &[] },
    Listed { file: "sphere-binary-solid-header.stl", triangles: 1_360, shells: 1, watertight: true, volume: 4129.0,
        size: [20.0, 20.0, 20.0], faults: SOUND, otherwise: &[] },
    Listed { file: "spider-binary.stl", triangles: 1_368, shells: 18, watertight: false, volume: 10.25,
        size: [6.23, 8.0, 3.299], faults: Faults { open: 72, misturned: 10, zero_area: 56, ..SOUND },
        otherwise: &[Otherwise::Collapsed(56, "all its zero-area facets have two corners at one place: reading drops them")] },
    Listed { file: "teapot.stl", triangles: 894, shells: 4, watertight: false, volume: 2.445e4,
        size: [63.17, 39.31, 29.48], faults: Faults { open: 64, ..SOUND }, otherwise: &[] },
];

/// The list gives four digits.
fn agrees(found: f64, listed: f64) -> bool {
    (found - listed).abs() <= 6e-4 * listed.abs()
}

fn folder() -> Option<PathBuf> {
    let folder = std::env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from);
    if folder.is_none() {
        eprintln!("SKIPPED: SEAMWRIGHT_MESHES names no folder of meshes, so nothing was held against real ones");
    }
    folder
}

#[test]
fn real_files_have_the_figures_of_their_list() {
    let Some(folder) = folder() else { return };
    for listed in LIST {
        let read = read_stl(&folder.join(listed.file), &Progress::new()).unwrap();
        let report = inspect(&read.mesh);
        check(listed, read.facets, read.collapsed, &report);
        assert_eq!((read.set_aside_not_finite, read.trailing_bytes), (0, 0), "{}", listed.file);
    }
}

fn check(listed: &Listed, facets: usize, collapsed: usize, report: &Report) {
    let file = listed.file;
    let (mut closed, mut dropped, mut faults) = (listed.watertight, 0, listed.faults);
    for difference in listed.otherwise {
        let why = match *difference {
            Otherwise::Closed(ours, why) => {
                assert_ne!(closed, ours);
                closed = ours;
                why
            }
            Otherwise::Collapsed(ours, why) => {
                dropped = ours;
                faults.zero_area -= ours;
                why
            }
            Otherwise::InsideOut(ours, why) => {
                assert_ne!(faults.inside_out, ours);
                faults.inside_out = ours;
                why
            }
        };
        println!("{file}: not as listed: {why}");
    }
    assert_eq!((facets, collapsed), (listed.triangles, dropped), "{file}");
    assert_eq!(report.triangles, listed.triangles - dropped, "{file}");
    assert_eq!(report.shells.len(), listed.shells, "{file}");
    assert_eq!(report.closed, closed, "{file}");
    let found = Faults {
        open: report.open_edges,
        over_used: report.over_used_edges,
        misturned: report.misturned_edges,
        duplicate: report.duplicate_faces,
        zero_area: report.zero_area_faces,
        inside_out: report.shells.iter().filter(|shell| shell.turned_inwards()).count(),
    };
    assert_eq!(found, faults, "{file}");
    let size = report.bounds.unwrap().size();
    assert!(size.iter().zip(listed.size).all(|(s, l)| agrees(*s, l)), "{file}: {size:?}");
    // The volume of an open surface depends on the point that it is taken about, so there is nothing to agree on.
    assert!(!closed || agrees(report.volume_mm3, listed.volume), "{file}: {}", report.volume_mm3);
}

#[test]
fn a_facet_of_four_vertices_is_refused_with_its_line() {
    let Some(folder) = folder() else { return };
    let error = read_stl(&folder.join("broken-fourVertices.ascii.stl"), &Progress::new()).unwrap_err();
    assert!(matches!(error.problem, ReadProblem::Line { line: 8, .. }), "{error}");
    assert!(error.to_string().contains("4 vertices"), "{error}");
}

#[test]
fn no_stl_file_of_the_folder_is_forgotten_here() {
    let Some(folder) = folder() else { return };
    let mut unlisted = Vec::new();
    for path in stl_files(&folder) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if LIST.iter().all(|listed| listed.file != name) {
            unlisted.push(name);
        }
    }
    assert_eq!(unlisted, ["broken-fourVertices.ascii.stl"]);
}

#[test]
fn stl_io_finds_the_same_facets_where_it_can_read_the_file() {
    let Some(folder) = folder() else { return };
    let mut refused = Vec::new();
    for path in stl_files(&folder) {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let bytes = std::fs::read(&path).unwrap();
        let Ok(theirs) = stl_io::read_stl(&mut std::io::Cursor::new(&bytes)) else {
            refused.push(name);
            continue;
        };
        let ours = parse_stl(&bytes, &Progress::new()).unwrap();
        if name == "multibody.stl" {
            assert_eq!((theirs.faces.len(), ours.facets), (12, 32), "it stops after the first of two solids");
            continue;
        }
        assert_eq!(ours.facets, theirs.faces.len(), "{name}");
        let corners = theirs.faces.iter().map(|face| face.vertices);
        let theirs: Vec<_> = corners.map(|face| face.map(|i| theirs.vertices[i].0.map(f64::from))).collect();
        let whole = theirs.iter().filter(|[a, b, c]| a != b && b != c && c != a);
        for (t, expected) in whole.enumerate() {
            assert_eq!(&ours.mesh.corners(t).map(|p| [p.x, p.y, p.z]), expected, "{name}, face {t}");
        }
    }
    // The first we refuse too; the second has words for a normal, which we pass over.
    let expected = ["broken-fourVertices.ascii.stl", "broken-notANumberNormal.ascii.stl"];
    assert_eq!(refused, expected);
}

fn stl_files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let is_stl = |path: &PathBuf| path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("stl"));
    let mut files: Vec<_> = entries.filter(is_stl).collect();
    files.sort();
    files
}

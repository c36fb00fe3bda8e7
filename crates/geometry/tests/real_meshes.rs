//! Meshes made by others, held against the figures of their list.
//!
//! The folder is named by `SEAMWRIGHT_MESHES`; its list, `MANIFEST.md`, says where each comes from and how it was
//! measured (trimesh 5.2.0, bit-equal vertices merged). The figures below are copied from there; where ours are not
//! the same, the line says why.

use seamwright_geometry::exchange::{Format, ReadOptions, ReadProblem, Unit, parse_stl, read, read_stl};
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
    ZeroArea(usize, &'static str),
}

const TWO_EACH_WAY: &str =
    "its edges with four faces have two each way: such a surface bounds a volume, though not by pairs of faces";
const CLOSED_WITHOUT: &str = "closed once the zero-area triangles are dropped, as the list says";
const DROPPED: &str = "zero-area triangles with two corners at one place: reading drops them";

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
    Listed { file: "bunny-holes.ply", triangles: 99_785, shells: 1, watertight: false, volume: 2.503e4,
        size: [49.96, 38.7, 49.39], faults: Faults { open: 353, over_used: 132, ..SOUND }, otherwise: &[] },
    Listed { file: "chair-double-sided.obj", triangles: 12_756, shells: 3, watertight: false, volume: 0.0,
        size: [0.531, 0.6638, 0.5267], faults: Faults { over_used: 9_518, duplicate: 6_382, ..SOUND },
        otherwise: &[Otherwise::Closed(true, TWO_EACH_WAY), Otherwise::InsideOut(2,
            "its shells are faces back to back: their volumes are 0, and rounding may fall to either side")] },
    Listed { file: "counterXP.3MF", triangles: 83_750, shells: 6, watertight: true, volume: 8.888e5,
        size: [304.8, 304.4, 25.84], faults: SOUND, otherwise: &[] },
    Listed { file: "cray-inverted.obj", triangles: 576, shells: 2, watertight: true, volume: 1.957e12,
        size: [5.08e4, 5.08e4, 5.08e4], faults: Faults { inside_out: 1, ..SOUND }, otherwise: &[] },
    Listed { file: "demosthenes-bust.obj", triangles: 16_719, shells: 1, watertight: false, volume: 2.004,
        size: [1.751, 2.694, 1.535], faults: Faults { open: 67, ..SOUND }, otherwise: &[] },
    Listed { file: "dragon-vrip.ply", triangles: 871_414, shells: 1, watertight: false, volume: 0.0004783,
        size: [0.2049, 0.1444, 0.09162], faults: Faults { zero_area: 108, ..SOUND },
        otherwise: &[Otherwise::Collapsed(108, DROPPED), Otherwise::Closed(true, CLOSED_WITHOUT)] },
    Listed { file: "featuretype.3MF", triangles: 2_208, shells: 2, watertight: false, volume: 11.64,
        size: [5.0, 2.5, 1.375], faults: Faults { open: 18, ..SOUND }, otherwise: &[] },
    Listed { file: "flight-helmet.ply", triangles: 94_722, shells: 85, watertight: false, volume: 1.765e7,
        size: [342.7, 669.3, 347.3], faults: Faults { open: 296, ..SOUND }, otherwise: &[] },
    Listed { file: "goathead.obj", triangles: 5_522, shells: 1, watertight: true, volume: 421.7,
        size: [12.09, 15.83, 11.56], faults: SOUND, otherwise: &[] },
    Listed { file: "hammer.obj", triangles: 60_160, shells: 1, watertight: true, volume: 3.54,
        size: [2.951, 0.6889, 8.246], faults: SOUND, otherwise: &[] },
    Listed { file: "heartgears.3mf", triangles: 30_636, shells: 1, watertight: false, volume: 1.202e5,
        size: [79.57, 47.67, 76.43], faults: Faults { zero_area: 4, ..SOUND },
        otherwise: &[Otherwise::Collapsed(4, DROPPED), Otherwise::Closed(true, CLOSED_WITHOUT)] },
    Listed { file: "hull-mask.obj", triangles: 7_980, shells: 3, watertight: true, volume: 3.3e6,
        size: [285.0, 318.8, 185.9], faults: SOUND, otherwise: &[] },
    Listed { file: "man-wreath-bust.obj", triangles: 31_514, shells: 1, watertight: false, volume: 0.01972,
        size: [0.3008, 0.6052, 0.3224], faults: Faults { over_used: 2, duplicate: 1, ..SOUND },
        otherwise: &[Otherwise::Closed(true, TWO_EACH_WAY)] },
    Listed { file: "material2-dirty.3mf", triangles: 26_342, shells: 4, watertight: false, volume: 6299.0,
        size: [74.89, 16.07, 42.98],
        faults: Faults { open: 109, over_used: 116, duplicate: 76, zero_area: 9_141, ..SOUND },
        otherwise: &[Otherwise::Collapsed(9_042, DROPPED), Otherwise::ZeroArea(98,
            "of the 99 others, one has all its corners on one line only to rounding, and its place rounds them apart")] },
    Listed { file: "offset1.obj", triangles: 4_418, shells: 39, watertight: false, volume: 1.615e6,
        size: [716.3, 1384.0, 3967.0], faults: Faults { over_used: 4, duplicate: 2, ..SOUND },
        otherwise: &[Otherwise::Closed(true, TWO_EACH_WAY)] },
    Listed { file: "plane-holes.obj", triangles: 16_747, shells: 1, watertight: false, volume: 30.27,
        size: [14.69, 13.29, 4.367], faults: Faults { open: 341, ..SOUND }, otherwise: &[] },
    Listed { file: "plato-bust.ply", triangles: 17_064, shells: 1, watertight: true, volume: 7.882e7,
        size: [410.7, 763.5, 407.1], faults: SOUND, otherwise: &[] },
    Listed { file: "pyramids.3mf", triangles: 3_276, shells: 12, watertight: true, volume: 1.95e5,
        size: [346.7, 163.1, 25.0], faults: SOUND, otherwise: &[] },
    Listed { file: "self-intersect-a.obj", triangles: 17_160, shells: 1, watertight: true, volume: 0.148,
        size: [1.639, 0.9751, 1.991], faults: SOUND, otherwise: &[] },
    Listed { file: "skull.obj", triangles: 100_002, shells: 1, watertight: true, volume: 563.4,
        size: [8.688, 13.9, 12.11], faults: SOUND, otherwise: &[] },
    Listed { file: "stratocaster.ply", triangles: 8_660, shells: 94, watertight: true, volume: 3.968e5,
        size: [504.8, 139.8, 28.83], faults: SOUND, otherwise: &[] },
    Listed { file: "sword-loop2.ply", triangles: 713_312, shells: 1, watertight: true, volume: 2.092e5,
        size: [34.04, 233.4, 914.8], faults: SOUND, otherwise: &[] },
    Listed { file: "sword-quads.obj", triangles: 44_582, shells: 1, watertight: true, volume: 0.0002103,
        size: [0.0343, 0.2339, 0.9156], faults: SOUND, otherwise: &[] },
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
        let read = read(&folder.join(listed.file), &ReadOptions::default(), &Progress::new()).unwrap();
        let expected = Format::of_name(Path::new(listed.file)).unwrap();
        let unit = match (expected, listed.file) {
            (Format::ThreeMf, "featuretype.3MF") => Some(Unit::Inch),
            (Format::ThreeMf, _) => Some(Unit::Millimetre),
            _ => None,
        };
        assert_eq!((read.format, read.unit, read.set_aside_not_finite), (expected, unit, 0), "{}", listed.file);
        read.remarks.iter().for_each(|remark| println!("{}: {remark}", listed.file));
        let (facets, collapsed) = (read.facets, read.collapsed);
        check(listed, facets, collapsed, &inspect(&read.into_mesh().unwrap()));
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
            Otherwise::ZeroArea(ours, why) => {
                assert_ne!(faults.zero_area, ours);
                faults.zero_area = ours;
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
    let nothing = listed.volume == 0.0 && report.volume_mm3.abs() < 1e-15 * size.product();
    // The volume of an open surface depends on the point that it is taken about, so there is nothing to agree on.
    assert!(!closed || nothing || agrees(report.volume_mm3, listed.volume), "{file}: {}", report.volume_mm3);
}

#[test]
fn a_facet_of_four_vertices_is_refused_with_its_line() {
    let Some(folder) = folder() else { return };
    let error = read_stl(&folder.join("broken-fourVertices.ascii.stl"), &Progress::new()).unwrap_err();
    assert!(matches!(error.problem, ReadProblem::Line { line: 8, .. }), "{error}");
    assert!(error.to_string().contains("4 vertices"), "{error}");
}

#[test]
fn what_needs_an_extension_to_have_its_shape_is_refused_with_its_name() {
    let Some(folder) = folder() else { return };
    let path = folder.join("variable-voronoi.3mf");
    let message = read(&path, &ReadOptions::default(), &Progress::new()).unwrap_err().to_string();
    assert!(message.contains("beamlattice") && message.contains("export"), "{message}");
}

#[test]
fn no_mesh_file_of_the_folder_is_forgotten_here() {
    let Some(folder) = folder() else { return };
    let entries = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
    let mut unlisted: Vec<_> = entries
        .filter(|path| Format::of_name(path).is_some())
        .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
        .filter(|name| LIST.iter().all(|listed| listed.file != name))
        .collect();
    unlisted.sort();
    assert_eq!(unlisted, ["broken-fourVertices.ascii.stl", "variable-voronoi.3mf"]);
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

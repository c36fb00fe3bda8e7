//! What the health report finds in real meshes, told in a table and held against the figures of their list.
//!
//! The folder is named by `SEAMWRIGHT_MESHES`; its list, `MANIFEST.md`, says how the faces that meet others were counted:
//! by CGAL through libigl 2.6.3, exactly. That count leaves out faces that are stored twice, ours tells them as lying on
//! each other; taking them out makes the two the same.

use seamwright_geometry::exchange::read_stl;
use seamwright_geometry::mend::{MendStep, mend_all_safe};
use seamwright_geometry::{Crossings, Meeting, Mesh, Progress, crossings, inspect};
use std::path::PathBuf;

/// Faces that meet others away from shared vertices and edges, as listed; all other files have none.
///
/// Pair by pair, on forearm, poppy, kinect, shoulder, teapot and spider, all that the library finds is found here. It
/// overlooks some pairs that share an edge and lie on each other: 47 in `forearm-electric.stl`, 43 in
/// `poppy-chest.STL`, 1 in `shoulder-assembly.stl`; every one was confirmed in exact fractions.
const LISTED: &[(&str, usize)] = &[
    ("dog-skull.stl", 3_115),
    ("featuretype.STL", 896),
    ("forearm-electric.stl", 4_273),
    ("kinect2-assembly.STL", 4_115),
    ("poppy-chest.STL", 2_003),
    ("shoulder-assembly.stl", 2_733),
    ("soup.stl", 99),
    ("spider-binary.stl", 297),
    ("teapot.stl", 51),
];

const KINDS: [Meeting; 3] = [Meeting::Crossing, Meeting::Overlapping, Meeting::Touching];

#[test]
fn faces_that_meet_are_those_that_an_exact_library_finds() {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from) else {
        eprintln!("NOT RUN: SEAMWRIGHT_MESHES names no folder of real meshes");
        return;
    };
    println!("{:<36} {:>7}  pairs [crossing, overlapping, touching]  faces", "mesh", "faces");
    for (name, mesh) in stl_meshes(&folder) {
        let mut found = crossings(&mesh, &Progress::new()).unwrap();
        let kinds = KINDS.map(|kind| found.count(kind));
        println!("{name:<36} {:>7}  {kinds:>8?}  {}", mesh.triangles.len(), found.faces(&KINDS).len());
        take_out_duplicates(&mesh, &mut found);
        let listed = LISTED.iter().find(|(file, _)| *file == name).map_or(0, |(_, faces)| *faces);
        // Faces that meet others in such a pair only.
        let more = match name.as_str() {
            "forearm-electric.stl" => 5,
            "poppy-chest.STL" => 1,
            _ => 0,
        };
        assert_eq!(found.faces(&KINDS).len(), listed + more, "{name}");
        assert!(found.complete);
        if found.pairs.is_empty() {
            assert_eq!(inspect(&mesh).duplicate_faces, kinds.iter().sum::<usize>(), "{name}");
        }
    }
}

#[test]
fn real_meshes_are_mended_and_told_in_a_table() {
    let Some(folder) = std::env::var_os("SEAMWRIGHT_MESHES").map(PathBuf::from) else {
        eprintln!("NOT RUN: SEAMWRIGHT_MESHES names no folder of real meshes");
        return;
    };
    println!("faults: [open, over-used, misturned, without area, duplicate, turned inwards]");
    for (name, mesh) in stl_meshes(&folder) {
        let safe = mend_all_safe(&mesh, &Progress::new()).unwrap();
        let again = mend_all_safe(&safe.mesh, &Progress::new()).unwrap();
        let nothing = again.steps.iter().all(|(_, report)| report.did_nothing());
        let holes = MendStep::FillHoles { most_edges: 500, curved: true }.apply(&safe.mesh, &Progress::new()).unwrap();
        let united = MendStep::UniteCrossing.apply(&holes.mesh, &Progress::new());
        let end = match &united {
            Ok(done) => format!("{:?}, left {}", faults(&done.mesh), done.report.left),
            Err(why) => why.to_string(),
        };
        println!(
            "{name:<36} {:?} safe {:?} holes {:?} left {} united {end}",
            faults(&mesh),
            faults(&safe.mesh),
            faults(&holes.mesh),
            holes.report.left
        );
        assert!(nothing, "{name}: something is left to do a second time");
        // What is safe neither opens nor turns over what was sound.
        let (before, after) = (inspect(&mesh), inspect(&safe.mesh));
        assert!(after.closed || !before.closed, "{name}");
        assert_eq!((after.misturned_edges, after.duplicate_faces), (0, 0), "{name}");
        let bounds = before.bounds.zip(after.bounds);
        assert!(bounds.is_none_or(|(a, b)| (a.size() - b.size()).norm() <= 1e-6 * a.diagonal()), "{name}");
    }
}

fn faults(mesh: &Mesh) -> [usize; 6] {
    let report = inspect(mesh);
    let inwards = report.shells.iter().filter(|shell| shell.turned_inwards()).count();
    [
        report.open_edges,
        report.over_used_edges,
        report.misturned_edges,
        report.zero_area_faces,
        report.duplicate_faces,
        inwards,
    ]
}

fn take_out_duplicates(mesh: &Mesh, found: &mut Crossings) {
    found.pairs.retain(|pair| {
        let [a, b] = pair.faces.map(|face| mesh.corners(face as usize));
        !a.iter().all(|p| b.contains(p))
    });
}

fn stl_meshes(folder: &std::path::Path) -> Vec<(String, Mesh)> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path());
    let mut files: Vec<PathBuf> =
        entries.filter(|path| path.extension().is_some_and(|end| end.eq_ignore_ascii_case("stl"))).collect();
    files.sort();
    let mut meshes = Vec::new();
    for file in files {
        let name = file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        match read_stl(&file, &Progress::new()) {
            Ok(read) => meshes.push((name, read.mesh)),
            Err(problem) => println!("{name}: {problem}"),
        }
    }
    assert!(meshes.len() > 10, "only {} readable STL files in {}", meshes.len(), folder.display());
    meshes
}

//! The kit: files to print and the manifest.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use seamwright_geometry::exchange::{Overwrite, read_stl};
use seamwright_geometry::{Bed, Mesh, Point, Progress, Vector, edge_report, solids};
use seamwright_project::kit::{self, KitError, KitPiece, MANIFEST, Manifest};
use seamwright_project::{Axis, CutId, Edit, NamedBed, Outcome};
use serde_json::Value;

use crate::workshop::{Workshop, assert_near, block, ring, shell, slanted};

fn write(outcome: &Outcome, folder: &Path, overwrite: Overwrite) -> Result<Manifest, KitError> {
    kit::write(outcome, folder, overwrite, &Progress::new())
}

fn read(folder: &Path, piece: &KitPiece) -> Mesh {
    read_stl(&folder.join(&piece.file), &Progress::new()).unwrap().mesh
}

/// What holds for any kit.
fn check(outcome: &Outcome, folder: &Path, manifest: &Manifest) {
    assert_eq!(manifest.pieces.len(), outcome.pieces.len());
    let raft = outcome.recipe.bed.raft_mm;
    let Bed { margin_mm, .. } = outcome.recipe.bed;
    for (piece, made) in manifest.pieces.iter().zip(&outcome.pieces) {
        assert_eq!(
            (&piece.mark, piece.id.clone(), &piece.file),
            (&made.mark, made.id.to_string(), &format!("{}.stl", made.mark))
        );
        let mesh = read(folder, piece);
        assert_eq!(piece.triangles, mesh.triangles.len());
        assert!(edge_report(&mesh).closed(), "{} is open", piece.file);
        assert_near(mesh.volume_mm3(), piece.volume_mm3, 1e-5);
        let bounds = mesh.bounds().unwrap();
        // Single precision: some hundred millimetres are held to 2e-5.
        assert!(bounds.min.z.abs() < 1e-5, "{} begins at {}", piece.file, bounds.min.z);
        assert!((bounds.size() - Vector::from(piece.size_mm)).amax() < 1e-4);
        if made.fit.verdict.fits() {
            let low = [margin_mm, margin_mm, 0.0];
            for (k, (low, room)) in low.into_iter().zip(manifest.bed.room_mm).enumerate() {
                let inside = bounds.min[k] > low - 1e-3 && bounds.max[k] < low + room + 1e-3;
                assert!(inside, "{}: {bounds:?}", piece.file);
            }
            assert!(bounds.max.z + raft <= outcome.recipe.bed.height_mm + 1e-3);
        }
        check_assembly(piece, &mesh, &made.solid.mesh);
    }
}

/// Every vertex of the file comes back to a vertex of the piece, and the other way round.
fn check_assembly(piece: &KitPiece, file: &Mesh, solid: &Mesh) {
    const CELL_MM: f64 = 0.01;
    let cell = |p: &Point| [p.x, p.y, p.z].map(|x| (x / CELL_MM).floor() as i64);
    let mut grid: BTreeMap<[i64; 3], Vec<Point>> = BTreeMap::new();
    for p in &solid.vertices {
        grid.entry(cell(p)).or_default().push(*p);
    }
    let near = |p: &Point| {
        let [i, j, k] = cell(p);
        let around = (0..27).flat_map(|n| grid.get(&[i + n % 3 - 1, j + n / 3 % 3 - 1, k + n / 9 - 1]));
        around.flatten().any(|q| (q - p).norm() < 1e-3)
    };
    for p in &file.vertices {
        let back = kit::assembled(&piece.assembled_from_file, p);
        assert!(near(&back), "{}: {p} comes back to {back}", piece.file);
    }
    assert_eq!(piece.assembled_from_file[3], [0.0, 0.0, 0.0, 1.0]);
}

fn three_cuts(mesh: &Mesh) -> Workshop {
    let mut workshop = Workshop::with(mesh);
    workshop.cut(slanted([8.0, 0.0, 10.0], [0.3, 1.0, 0.2]));
    workshop.cut(slanted([20.0, 5.0, 12.0], [1.0, -0.2, 0.3]));
    workshop.square_cut(Axis::Z, 7.0);
    workshop
}

#[test]
fn pieces_lie_closed_on_the_bed_and_find_back_to_their_place() {
    for mesh in [block(), shell(), ring()] {
        let workshop = three_cuts(&mesh);
        let outcome = workshop.made();
        let folder = workshop.folder().join("a/kit");
        let manifest = write(&outcome, &folder, Overwrite::Refuse).unwrap();
        check(&outcome, &folder, &manifest);
        assert!(manifest.pieces.iter().all(|piece| piece.fit != "too-big" && piece.closed));
    }
}

#[test]
fn a_raft_leaves_pieces_on_the_ground_and_counts_in_the_height() {
    let mut workshop = three_cuts(&block());
    workshop.edit(&Edit::SetBed(Bed { raft_mm: 3.0, margin_mm: 4.0, ..Bed::rectangle(150.0, 120.0, 80.0) }));
    let outcome = workshop.made();
    let folder = workshop.folder().join("kit");
    let manifest = write(&outcome, &folder, Overwrite::Refuse).unwrap();
    check(&outcome, &folder, &manifest);
    assert_eq!(manifest.bed.room_mm, [142.0, 112.0, 77.0]);
}

#[test]
fn a_piece_lies_on_its_largest_cap_where_it_fits_that_way() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 90.0);
    workshop.edit(&Edit::RenameCut { cut: workshop.recipe.cuts[0].id, name: "brow".into() });
    let lays = |workshop: &Workshop| {
        let outcome = workshop.made();
        outcome.pieces.iter().map(|piece| kit::lay(&outcome, piece).by.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(lays(&workshop), ["cap of brow", "cap of brow"]);
    let sizes = |workshop: &Workshop| {
        let folder = workshop.folder().join("kit");
        let manifest = write(&workshop.made(), &folder, Overwrite::Allow).unwrap();
        manifest.pieces.iter().map(|piece| piece.size_mm[2]).collect::<Vec<_>>()
    };
    for (found, expected) in sizes(&workshop).into_iter().zip([90.0, 10.0]) {
        assert!((found - expected).abs() < 1e-9);
    }
    // Too low to stand on its cap, 90 mm high.
    workshop.edit(&Edit::SetBed(Bed::rectangle(120.0, 120.0, 70.0)));
    assert_eq!(lays(&workshop), ["pose that fits", "cap of brow"]);
    // Too small for it in any pose.
    workshop.edit(&Edit::SetBed(Bed::rectangle(61.0, 61.0, 61.0)));
    assert_eq!(lays(&workshop), ["as it stands", "cap of brow"]);
}

#[test]
fn an_uncut_model_is_written_in_the_pose_that_fits() {
    let workshop = Workshop::with(&shell());
    let outcome = workshop.made();
    let folder = workshop.folder().join("kit");
    let manifest = write(&outcome, &folder, Overwrite::Refuse).unwrap();
    check(&outcome, &folder, &manifest);
    assert_eq!((manifest.pieces[0].lay.as_str(), manifest.pieces[0].fit), ("pose that fits", "as-it-stands"));
}

#[test]
fn a_file_in_the_way_stops_all_writing_unless_it_may_be_replaced() {
    let workshop = three_cuts(&block());
    let outcome = workshop.made();
    for taken in ["A3.stl", MANIFEST] {
        let folder = workshop.folder().join(format!("with {taken}"));
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join(taken), "mine").unwrap();
        let error = write(&outcome, &folder, Overwrite::Refuse).unwrap_err();
        assert!(matches!(&error, KitError::Exists { first, others: 0, .. } if first == &folder.join(taken)), "{error}");
        assert!(error.to_string().contains("may be replaced"), "{error}");
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 1);
        assert_eq!(fs::read_to_string(folder.join(taken)).unwrap(), "mine");
        let manifest = write(&outcome, &folder, Overwrite::Allow).unwrap();
        check(&outcome, &folder, &manifest);
        assert_eq!(fs::read_dir(&folder).unwrap().count(), outcome.pieces.len() + 1);
    }
}

#[test]
fn files_of_a_larger_kit_of_before_stay_and_are_told() {
    let mut workshop = three_cuts(&block());
    let folder = workshop.folder().join("kit");
    let larger = write(&workshop.made(), &folder, Overwrite::Refuse).unwrap();
    assert!(larger.left_from_before.is_empty());
    workshop.edit(&Edit::RemoveCut(CutId(3)));
    let mut stays: Vec<String> = larger.pieces.iter().map(|piece| piece.file.clone()).collect();
    for _ in 0..2 {
        let smaller = write(&workshop.made(), &folder, Overwrite::Allow).unwrap();
        stays.retain(|file| !smaller.pieces.iter().any(|piece| piece.file == *file));
        assert!(!stays.is_empty());
        assert_eq!(smaller.left_from_before, stays);
        assert!(stays.iter().all(|file| folder.join(file).is_file()));
    }
}

#[test]
fn pieces_that_are_marked_otherwise_than_in_the_kit_before_are_told() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(300.0, 40.0, 30.0)));
    workshop.square_cut(Axis::X, 200.0);
    let folder = workshop.folder().join("kit");
    let first = write(&workshop.made(), &folder, Overwrite::Refuse).unwrap();
    assert!(first.marks_changed.is_empty());
    workshop.square_cut(Axis::X, 100.0);
    let second = write(&workshop.made(), &folder, Overwrite::Allow).unwrap();
    let of = |kit: &Manifest, id: &str| kit.pieces.iter().find(|piece| piece.id == id).map(|piece| piece.mark.clone());
    let stayed = first.pieces.iter().filter_map(|piece| Some((piece.mark.clone(), of(&second, &piece.id)?)));
    let changed: Vec<(String, String)> = stayed.filter(|(was, now)| was != now).collect();
    assert_eq!(changed.len(), 1, "one end is no longer where it was in the order: {changed:?}");
    let told = second.marks_changed.iter().map(|piece| (piece.was.clone(), piece.now.clone()));
    assert_eq!(told.collect::<Vec<_>>(), changed);
    let third = write(&workshop.made(), &folder, Overwrite::Allow).unwrap();
    assert!(third.marks_changed.is_empty(), "as in the kit before: {third:?}");
}

#[test]
fn a_folder_that_cannot_be_made_is_named() {
    let workshop = Workshop::with(&block());
    let folder = workshop.model().join("kit");
    let error = write(&workshop.made(), &folder, Overwrite::Allow).unwrap_err().to_string();
    assert!(error.contains("part.stl") && error.contains("may write to"), "{error}");
}

#[test]
fn a_recipe_without_pieces_writes_nothing_and_says_why() {
    let workshop = Workshop::with(&block());
    fs::remove_file(workshop.model()).unwrap();
    let folder = workshop.folder().join("kit");
    let error = write(&workshop.outcome(), &folder, Overwrite::Allow).unwrap_err().to_string();
    assert!(error.contains("no pieces") && error.contains("not there any more"), "{error}");
    assert!(!folder.exists());
}

#[test]
fn cancelled_before_it_began_it_writes_no_file() {
    let workshop = three_cuts(&block());
    let outcome = workshop.made();
    let folder = workshop.folder().join("kit");
    let progress = Progress::new();
    progress.cancel();
    assert!(matches!(kit::write(&outcome, &folder, Overwrite::Refuse, &progress), Err(KitError::Cancelled)));
    assert!(!folder.exists() || fs::read_dir(&folder).unwrap().count() == 0);
}

#[test]
fn the_manifest_has_the_keys_that_are_documented() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(50.0, 40.0, 30.0)));
    workshop.square_cut(Axis::X, 20.0);
    workshop.edit(&Edit::SetCostume("The Saltgate Sentinel".into()));
    let folder = workshop.folder().join("kit");
    write(&workshop.made(), &folder, Overwrite::Refuse).unwrap();
    let manifest: Value = serde_json::from_slice(&fs::read(folder.join("part-manifest.json")).unwrap()).unwrap();
    let keys = |value: &Value| {
        let mut keys: Vec<String> = value.as_object().unwrap().keys().cloned().collect();
        keys.sort();
        keys.join(" ")
    };
    assert_eq!(keys(&manifest), "bed beds bores costume format name pieces rods rods_file seams version");
    assert_eq!(keys(&manifest["bed"]), "margin_mm name raft_mm room_mm");
    assert_eq!(
        keys(&manifest["pieces"][0]),
        "area_mm2 assembled_from_file bores closed file fit id in_costume lay mark size_mm slack_mm triangles volume_mm3"
    );
    assert_eq!(keys(&manifest["seams"][0]), "above area_mm2 below cut");
    assert_eq!((&manifest["format"], &manifest["version"]), (&"seamwright-kit".into(), &1.into()));
    assert_eq!((&manifest["name"], &manifest["costume"]), (&"part".into(), &"The Saltgate Sentinel".into()));
    let piece = &manifest["pieces"][0];
    assert_eq!((&piece["mark"], &piece["file"], &piece["id"]), (&"A1".into(), &"part-A1.stl".into(), &"1b#0".into()));
    assert_eq!(piece["in_costume"], "part A1");
    assert_near(piece["volume_mm3"].as_f64().unwrap(), 24_000.0, 1e-12);
    let seam = &manifest["seams"][0];
    assert_eq!((&seam["cut"], &seam["below"], &seam["above"]), (&"cut 1".into(), &"A1".into(), &"A2".into()));
    assert_near(seam["area_mm2"].as_f64().unwrap(), 1200.0, 1e-12);
}

#[test]
fn the_pieces_of_two_parts_of_a_costume_lie_in_one_folder_and_none_is_called_as_another() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(50.0, 40.0, 30.0)));
    workshop.square_cut(Axis::X, 20.0);
    let alone = write(&workshop.made(), &workshop.folder().join("alone"), Overwrite::Refuse).unwrap();
    assert!(alone.pieces.iter().all(|piece| piece.in_costume.is_none()) && alone.pieces[0].file == "A1.stl");
    workshop.edit(&Edit::SetCostume("The Saltgate Sentinel".into()));
    let (folder, mut names) = (workshop.folder().join("both"), Vec::new());
    for part in ["helm", "cuirass"] {
        workshop.edit(&Edit::SetName(part.into()));
        let kit = write(&workshop.made(), &folder, Overwrite::Refuse).unwrap();
        assert!(kit.left_from_before.is_empty(), "what is of the other part is none of this one: {kit:?}");
        names.extend(kit.pieces.into_iter().map(|piece| piece.in_costume.unwrap()));
    }
    let mut files: Vec<String> =
        fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    files.sort();
    let part = |name: &str| ["A1.stl", "A2.stl", MANIFEST].map(|file| format!("{name}-{file}"));
    assert_eq!(files, [part("cuirass"), part("helm")].concat());
    names.sort();
    assert_eq!(names, ["cuirass A1", "cuirass A2", "helm A1", "helm A2"]);
}

#[test]
fn of_several_beds_the_manifest_names_those_that_each_piece_fits() {
    let mut workshop = Workshop::with(&solids::cuboid(Point::origin(), Point::new(300.0, 50.0, 40.0)));
    let bed = |name: &str, bed| NamedBed { name: name.into(), bed };
    let small = Bed::rectangle(110.0, 60.0, 60.0);
    workshop.edit(&Edit::SetBeds(vec![bed("", small), bed("the long one", Bed::rectangle(210.0, 60.0, 60.0))]));
    workshop.square_cut(Axis::X, 100.0);
    let outcome = workshop.made();
    let folder = workshop.folder().join("kit");
    let manifest = write(&outcome, &folder, Overwrite::Refuse).unwrap();
    let names: Vec<&str> = manifest.beds.iter().map(|bed| bed.name.as_str()).collect();
    assert_eq!(names, ["bed 1", "the long one"]);
    let told: Vec<(Option<&str>, Option<Vec<String>>)> =
        manifest.pieces.iter().map(|piece| (piece.bed.as_deref(), piece.fits_on.clone())).collect();
    let both = vec!["bed 1".to_owned(), "the long one".to_owned()];
    assert_eq!(told[0], (Some("bed 1"), Some(both)));
    assert_eq!(told[1], (Some("the long one"), Some(vec!["the long one".to_owned()])));
    assert!((manifest.pieces[1].size_mm[0] - 200.0).abs() < 1e-4, "it is laid for the bed that it fits");
    // With one bed there is nothing to choose.
    workshop.edit(&Edit::SetBeds(vec![bed("only", Bed::rectangle(210.0, 60.0, 60.0))]));
    let manifest = write(&workshop.made(), &folder, Overwrite::Allow).unwrap();
    assert!(manifest.pieces.iter().all(|piece| piece.bed.is_none() && piece.fits_on.is_none()));
}

#[test]
fn a_kit_of_another_part_is_called_by_its_name() {
    let mut workshop = Workshop::with(&block());
    let folder = workshop.folder().join("kit");
    write(&workshop.made(), &folder, Overwrite::Refuse).unwrap();
    let again = write(&workshop.made(), &folder, Overwrite::Refuse).unwrap_err().to_string();
    assert!(!again.contains("another kit"), "{again}");
    workshop.edit(&Edit::SetName("visor".into()));
    let other = write(&workshop.made(), &folder, Overwrite::Refuse).unwrap_err().to_string();
    assert!(other.contains("another kit, that of part") && other.contains("1 more file that this kit"), "{other}");
}

#[test]
fn a_kit_lies_among_other_files_only_where_that_is_agreed_to_and_an_earlier_kit_asks_nothing_of_the_kind() {
    let mut workshop = Workshop::with(&block());
    workshop.square_cut(Axis::X, 30.0);
    let folder = workshop.folder().join("letters");
    fs::create_dir(&folder).unwrap();
    fs::write(folder.join(".hidden"), "").unwrap();
    fs::write(folder.join("Thumbs.db"), "").unwrap();
    let outcome = workshop.made();
    let error = |outcome: &Outcome| write(outcome, &folder, Overwrite::Refuse).unwrap_err();
    for name in ["to my aunt.txt", "to the tax office.txt", "bills"] {
        fs::write(folder.join(name), "").unwrap();
    }
    let told = error(&outcome);
    assert!(matches!(&told, KitError::AmongOthers { first, others: 2, .. } if first == "bills"), "{told}");
    assert!(told.to_string().contains("a new or an empty folder"), "{told}");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 5, "nothing was written");
    let first = write(&outcome, &folder, Overwrite::Allow).unwrap();
    assert!(first.left_from_before.is_empty(), "letters are no kit");
    // From now on it is the folder of a kit: only what would be replaced is asked about.
    assert!(matches!(error(&outcome), KitError::Exists { .. }));
    for file in ["A1.stl", "A2.stl"] {
        fs::remove_file(folder.join(file)).unwrap();
    }
    workshop.edit(&Edit::SetCostume("The Saltgate Sentinel".into()));
    let named = write(&workshop.made(), &folder, Overwrite::Refuse).unwrap();
    assert_eq!(named.left_from_before, [MANIFEST], "the list of the same part before it was one of a costume");
}

//! `bore`: a channel for a rod.

use seamwright_geometry::{Point, solids};
use seamwright_project::rods::Clearance;
use seamwright_project::{
    Axis, BoreChange, BoreId, CutForm, CutPlane, Document, Edit, NewBore, PartId, Placed, RodChoice, Scope, Stop, store,
};
use std::f64::consts::PI;
use std::fs;

use crate::workshop::{Workshop, assert_near, assert_within, brick, list, numbers, tower};

/// The area of a regular polygon around a circle of this diameter, as a share of that of the circle, is between 1 and this:
/// the corners stand off by at most 0.01 mm.
fn most_share(diameter: f64) -> f64 {
    ((diameter + 0.02) / diameter).powi(2)
}

#[test]
fn a_bore_of_exactly_the_diameter_clears_its_rod_and_hardly_more() {
    let shop = Workshop::new();
    let model = shop.model("brick.stl", &brick());
    let args = ["bore", &model, "--from=-20,0,0", "--to=20,0,0", "--diameter", "4", "--clearance", "0"];
    let answer = shop.json(0, &[&args[..], &["--out", "bored.stl"]].concat());
    assert_eq!((&answer["closed"], &answer["diameter_mm"]), (&true.into(), &4.0.into()));
    let removed = answer["removed_mm3"].as_f64().unwrap() / (PI * 4.0 * 30.0);
    assert!(removed >= 1.0 && removed <= most_share(4.0), "{removed}");
    assert_within(&answer["volume_mm3"], 6000.0 - answer["removed_mm3"].as_f64().unwrap(), 1e-9);
    // From the middle 5 mm to the floor, less half of the rod.
    assert_within(&answer["least_wall_mm"], 3.0, 1e-9);
    assert_within(&answer["length_mm"], 30.0, 1e-9);
    let written = shop.json(0, &["inspect", "bored.stl"]);
    assert_eq!(written["closed"], true);
    assert_within(&written["volume_mm3"], answer["volume_mm3"].as_f64().unwrap(), 1e-5);
}

#[test]
fn an_end_in_the_material_stops_there_and_one_on_the_surface_leaves_no_skin() {
    let shop = Workshop::new();
    let model = shop.model("brick.stl", &brick());
    let square = ["--diameter", "4", "--clearance", "0", "--shape", "square"];
    let blind = shop.json(0, &[&["bore", &model, "--from=-15,0,0", "--to=5,0,0"][..], &square].concat());
    assert_within(&blind["removed_mm3"], 16.0 * 20.0, 1e-9);
    assert_eq!(list(&blind["mouths_mm"]).len(), 1);
    let through = shop.json(0, &[&["bore", &model, "--from=-15,0,0", "--to=15,0,0"][..], &square].concat());
    assert_within(&through["removed_mm3"], 16.0 * 30.0, 1e-9);
    assert_eq!(list(&through["mouths_mm"]).len(), 2);
    let below = ["bore", &model, "--from=-15,0,0", "--to=30,0,0", "--blind-to", "6"];
    let below = shop.json(0, &[&below[..], &square].concat());
    assert_within(&below["removed_mm3"], 16.0 * 24.0, 1e-4);
    // A bore beside the model is an answer.
    let beside = shop.json(0, &[&["bore", &model, "--from=-15,0,40", "--to=15,0,40"][..], &square].concat());
    assert_eq!((&beside["closed"], beside["removed_mm3"].as_f64()), (&true.into(), Some(0.0)));
    assert!(beside["least_wall_mm"].is_null());
}

#[test]
fn the_napkin_ring_depends_on_its_height_alone() {
    let shop = Workshop::new();
    let ball = shop.model("ball.stl", &solids::sphere(Point::origin(), 20.0, 40));
    let full = shop.json(0, &["inspect", &ball])["volume_mm3"].as_f64().unwrap();
    let bore = ["bore", &ball, "--from=0,0,-30", "--to=0,0,30", "--diameter", "24", "--clearance", "0"];
    let ring = shop.json(0, &bore)["volume_mm3"].as_f64().unwrap();
    // A ring of height h = 2 √(R² − r²) has the volume π h³ / 6 whatever R is; the ball here is of flat faces.
    let h = 2.0 * (20.0_f64.powi(2) - 12.0_f64.powi(2)).sqrt();
    let facets = full / (4.0 / 3.0 * PI * 20.0_f64.powi(3));
    assert!((ring / (PI * h.powi(3) / 6.0) - 1.0).abs() < 2.0 * (1.0 - facets) + 0.005, "{ring}");
}

#[test]
fn rods_have_names_classes_of_clearance_and_what_the_printer_takes() {
    let shop = Workshop::new();
    let model = shop.model("tower.stl", &tower());
    let along = ["bore", &model, "--from=30,20,-5", "--to=30,20,430"];
    let rod = shop.json(0, &[&along[..], &["--rod", "m8", "--clearance", "fine"]].concat());
    assert_eq!((rod["rod"].as_str(), rod["diameter_from"].as_str()), (Some("M8 threaded rod"), Some("ISO 273")));
    assert_within(&rod["diameter_mm"], 8.4 + 0.2, 1e-12);
    let saw = &list(&rod["rods"]["saw"])[0];
    assert_within(&saw["length_mm"], 420.0, 1e-9);
    assert!(saw["droop_mm"].as_f64().unwrap() > 0.0);
    assert_eq!(numbers(&rod["rods"]["buy"][0]["bars"][0]["rods"]), [1.0]);
    let exact =
        shop.json(0, &[&along[..], &["--rod", "dowel 8 mm", "--clearance", "0.3", "--printer", "0.1"]].concat());
    assert_within(&exact["diameter_mm"], 8.4, 1e-12);
    let nut = [&along[..], &["--rod", "M8", "--open", "--nut-pocket", "2"]].concat();
    let plain = shop.json(0, &[&along[..], &["--rod", "M8", "--open"]].concat());
    let nut = shop.json(0, &nut);
    assert!(nut["removed_mm3"].as_f64().unwrap() > plain["removed_mm3"].as_f64().unwrap() + 500.0);
    assert_eq!(nut["closed"], true);
}

#[test]
fn a_bore_off_the_middle_is_centred_with_the_gain() {
    let shop = Workshop::new();
    let model = shop.model("tower.stl", &tower());
    let answer = shop.json(
        0,
        &["bore", &model, "--from=8,20,-5", "--to=8,20,425", "--diameter", "8", "--clearance", "0", "--centre"],
    );
    let gain = &answer["centred"];
    assert_within(&gain["before_mm"], 4.0, 1e-9);
    // The tower is 40 mm deep: 20 mm less half of the rod.
    assert_within(&gain["after_mm"], 16.0, 0.01);
    assert_eq!(answer["least_wall_mm"], gain["after_mm"]);
}

#[test]
fn what_makes_no_channel_is_refused_and_nothing_is_written() {
    let shop = Workshop::new();
    let model = shop.model("brick.stl", &brick());
    let refused = |more: &[&str]| shop.refusal(&[&["bore", &model, "--out", "bored.stl"], more].concat());
    assert!(refused(&["--from=0,0,0", "--to=0,0,0", "--diameter=4"]).contains("no place of its own"));
    assert!(refused(&["--from=0,0,0", "--to=9,0,0", "--diameter=-4"]).contains("not -4 mm"));
    assert!(refused(&["--from=0,0,0", "--to=9,0,0", "--rod=M9"]).contains("no rod called \"M9\""));
    assert!(
        refused(&["--from=0,0,0", "--to=9,0,0", "--diameter=4", "--clearance=snug"]).contains("fine, medium, coarse")
    );
    assert!(refused(&["--from=0,0,0", "--to=9,0,0"]).contains("--diameter"));
    let mut open = brick();
    let top: Vec<bool> = (0..12).map(|t| open.corners(t).iter().all(|p| p.z > 0.0)).collect();
    let mut is_top = top.into_iter();
    open.triangles.retain(|_| !is_top.next().unwrap());
    shop.model("open.stl", &open);
    let through = ["bore", "open.stl", "--from=-3,2,-20", "--to=-3,2,20", "--diameter=4", "--out", "bored.stl"];
    assert!(shop.refusal(&through).contains("fill its holes"));
    assert!(!shop.path("bored.stl").exists());
}

/// A tower with a blind M6 rod, cut twice.
fn project(shop: &Workshop) -> String {
    let file = shop.project("tower", &tower(), &[140.0, 280.0]);
    let mut document = Document::new(store::open(&shop.path(&file)).unwrap());
    let (name, placed, rod) = ("spine".into(), Placed::Axis(Axis::Z), RodChoice::Listed("M6".into()));
    let line_mm = vec![[30.0, 20.0, 0.0], [30.0, 20.0, 420.0]];
    document.apply(&Edit::AddBore(Box::new(NewBore { name, part: PartId::MAIN, line_mm, placed, rod }))).unwrap();
    let change = BoreChange::Stop { end: 1, stop: Stop::Blind(10.0) };
    document.apply(&Edit::ChangeBore { bore: BoreId(1), change }).unwrap();
    store::save(&shop.path(&file), document.recipe()).unwrap();
    file
}

#[test]
fn a_kit_says_which_pieces_a_bore_crosses_and_what_to_saw_and_buy() {
    let shop = Workshop::new();
    let file = project(&shop);
    let kit = shop.json(0, &["kit", &file, "--out", "kit"]);
    let bore = &list(&kit["bores"])[0];
    assert_eq!((bore["bore"].as_str(), &bore["bored"], list(&bore["pieces"]).len()), (Some("spine"), &true.into(), 3));
    assert_within(&bore["length_mm"], 410.0, 1e-4);
    assert_within(&bore["least_wall_mm"], 10.0, 1e-4);
    for piece in list(&kit["pieces"]) {
        assert_eq!((piece["closed"].as_bool(), list(&piece["bores"]).len()), (Some(true), 1));
    }
    let saw = &list(&kit["rods"]["saw"])[0];
    assert_within(&saw["length_mm"], 410.0 - 1.6, 1e-4);
    assert_near(&kit["rods"]["buy"][0]["total_mm"], 1000.0);
    let list = fs::read_to_string(shop.path("kit/rods.txt")).unwrap();
    assert!(list.contains("saw 1") && list.contains("M6 threaded rod for spine") && list.contains("weapon policy"));
    let again = shop.refusal(&["kit", &file, "--out", "kit"]);
    assert!(again.contains("--force"), "{again}");
}

#[test]
fn check_names_the_bore_that_a_problem_is_about() {
    let shop = Workshop::new();
    let file = project(&shop);
    let mut document = Document::new(store::open(&shop.path(&file)).unwrap());
    let change = BoreChange::Clearance(Clearance::Typed(33.0));
    document.apply(&Edit::ChangeBore { bore: BoreId(1), change }).unwrap();
    let plane = CutPlane::square(Axis::Z, 5.0);
    let (name, form) = (String::new(), CutForm::Flat);
    document.apply(&Edit::AddCut { name, part: PartId::MAIN, plane, form, scope: Scope::All }).unwrap();
    store::save(&shop.path(&file), document.recipe()).unwrap();
    let check = shop.json(1, &["check", &file]);
    let problem = list(&check["problems"]).iter().find(|problem| problem["bore"] == "spine").unwrap();
    assert!(problem["text"].as_str().unwrap().contains("only 0.4 mm thick"), "{problem}");
    assert!(problem["place_mm"].is_array());
}

#[test]
fn inspecting_a_project_says_which_bores_go_through_its_pieces_and_where() {
    let shop = Workshop::new();
    let file = project(&shop);
    let answer = shop.json(0, &["inspect", &file]);
    let pieces = list(&answer["pieces"]);
    assert_eq!(pieces.len(), 3);
    let mut reach = 0.0;
    for piece in pieces {
        let bores = list(&piece["bores"]);
        assert_eq!((bores.len(), bores[0]["bore"].as_str()), (1, Some("spine")));
        reach += bores[0]["to_mm"].as_f64().unwrap() - bores[0]["from_mm"].as_f64().unwrap();
    }
    assert!((reach - 410.0).abs() < 1e-4, "{reach}");
    assert_eq!(list(&answer["bores"])[0]["pieces"].as_array().unwrap().len(), 3);
    let said = String::from_utf8(shop.run(&["inspect", &file]).stdout).unwrap();
    assert!(said.contains("3 pieces, 1 bore") && said.contains("spine from"), "{said}");
    assert!(shop.refusal(&["inspect", &file, "--closely"]).contains("about a model"));
}

#[test]
fn magnets_are_spread_over_a_seam_and_written_into_the_project() {
    let shop = Workshop::new();
    let file = shop.project("tower", &tower(), &[140.0, 280.0]);
    let cut = store::open(&shop.path(&file)).unwrap().cuts[0].name.clone();
    let of = ["magnets", &file, "--cut", &cut, "--diameter", "6", "--thickness", "3"];
    let out = ["--count", "4", "--out", "held.seamwright.json"];
    let answer = shop.json(0, &[&of[..], &out].concat());
    let pockets = list(&answer["pockets"]);
    assert_eq!((pockets.len(), &answer["closed"]), (4, &true.into()));
    for pocket in pockets {
        assert_eq!(list(&pocket["pieces"]).len(), 2);
        assert_within(&pocket["depth_mm"], 3.2, 1e-9);
        assert!(pocket["least_wall_mm"].as_f64().unwrap() >= 1.2 - 1e-6, "{pocket}");
    }
    let kit = shop.json(0, &["kit", "held.seamwright.json", "--out", "kit"]);
    assert_eq!(list(&kit["magnets"])[0]["count"], 8);
    let typed = shop.json(0, &[&of[..], &["--at", "30,20,100"]].concat());
    assert_within(&list(&typed["pockets"])[0]["at_mm"][2], 140.0, 1e-9);
    // At the rim: told, and no.
    let rim = shop.json(1, &[&of[..], &["--at", "1,20,140"]].concat());
    assert_within(&list(&rim["pockets"])[0]["least_wall_mm"], 0.0, 1e-9);
    let nowhere = shop.refusal(&["magnets", &file, "--cut", "brow", "--diameter=6", "--thickness=3", "--count=4"]);
    assert!(nowhere.contains("no cut called \"brow\"") && nowhere.contains(&cut), "{nowhere}");
    assert!(shop.refusal(&[&of[..], &out].concat()).contains("--force"));
}

//! `measure`: lengths taken on a project's model and noted in it.

use crate::workshop::{Workshop, assert_near, list, numbers, tower};
use seamwright_project::store;

/// The tower is 60 × 40 × 420 mm from the origin.
#[test]
fn measures_are_taken_noted_and_listed() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[100.0]);
    let asked = [
        ["--distance", "0,0,0;60,40,0"],
        ["--angle", "60,20,200;30,20,421"],
        ["--thickness", "60,20,200;1,0,0"],
        ["--girth", "60,20,200;z"],
    ];
    let noted = "noted.seamwright.json";
    let args = [&["measure", &project][..], asked.as_flattened(), &["--out", noted]].concat();
    let answer = shop.json(0, &args);
    let [distance, angle, thickness, girth] = list(&answer["measures"]) else { panic!("{answer}") };
    assert_near(&distance["length_mm"], 5200f64.sqrt());
    assert_eq!((&distance["kind"], &distance["angle_deg"]), (&"distance".into(), &serde_json::Value::Null));
    assert_near(&angle["angle_deg"], 90.0);
    assert_eq!(numbers(&angle["places_mm"][1]), [30.0, 20.0, 420.0], "the nearest place on the surface");
    assert_near(&thickness["length_mm"], 60.0);
    assert_eq!(numbers(&thickness["places_mm"][1]), [0.0, 20.0, 200.0]);
    assert_near(&girth["length_mm"], 200.0);
    assert_near(&girth["taut_mm"], 200.0);

    let recipe = store::open(&shop.path(noted)).unwrap();
    assert_eq!((recipe.measures.len(), recipe.cuts.len()), (4, 1));
    let inspected = shop.json(0, &["inspect", noted]);
    assert_eq!(inspected["measures"], answer["measures"]);
    let before = store::open(&shop.path(&project)).unwrap();
    assert!(before.measures.is_empty(), "the project itself stays as it was");
}

#[test]
fn where_there_is_nothing_to_measure_nothing_is_written() {
    let shop = Workshop::new();
    let project = shop.project("tower", &tower(), &[]);
    for (args, words) in [
        (["--thickness", "60,20,200;-1,0,0"], "no far side"),
        (["--girth", "60,20,900;Z"], "no line closes round the model"),
        (["--distance", "1,1,1;1,1,1"], "the same"),
        (["--girth", "60,20,200;W"], "not X, Y or Z"),
    ] {
        let message = shop.refusal(&[&["measure", &project][..], &args, &["--out", "noted.seamwright.json"]].concat());
        assert!(message.contains(words), "{message}");
        assert!(!shop.path("noted.seamwright.json").exists());
    }
    let message = shop.refusal(&["measure", &project]);
    assert!(message.contains("--distance"), "{message}");
}

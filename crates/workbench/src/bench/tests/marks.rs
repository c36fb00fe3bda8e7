//! Marks stand on what they name.

use egui_kittest::Harness;
use seamwright_geometry::{Mesh, Point, solids};

use super::gestures::{Desk, desk, seen, view};
use super::{cuboid, drawn};
use crate::bench::{Label, MeshId, Scene, StandardView, pick};

/// Two posts that are one piece, and a ball between them that is another.
fn posts_about_a_ball() -> Scene {
    let posts = [cuboid([-50.0, -20.0, -50.0], [-34.0, 20.0, 50.0]), cuboid([34.0, -20.0, -50.0], [50.0, 20.0, 50.0])];
    let posts = solids::joined(&[&posts[0], &posts[1]]);
    let ball = solids::sphere(Point::origin(), 25.0, 16);
    let label = |of: u64, text: &str, mesh: &Mesh| {
        let at = mesh.bounds().unwrap().centre();
        Label { at, text: text.into(), strong: false, of: Some(MeshId(of)) }
    };
    let labels = vec![label(1, "A1", &posts), label(2, "A2", &ball)];
    Scene { drawn: vec![drawn(1, posts), drawn(2, ball)], labels, ..Default::default() }
}

/// What lies under the middle of each mark.
fn under_marks(h: &Harness<'_, Desk>) -> Vec<Option<MeshId>> {
    let scene = &h.state().scene;
    let under = |at: egui::Pos2| pick::pick(scene, &view(h).ray(at), true).map(|hit| hit.id);
    h.state().bench.covered.iter().map(|slip| under(slip.center())).collect()
}

#[test]
fn a_mark_stands_on_its_own_piece_where_that_is_to_be_seen_and_keeps_its_spot() {
    let mut h = desk(posts_about_a_ball());
    h.state_mut().bench.look_from(StandardView::Front);
    h.run();
    let mut under = under_marks(&h);
    under.sort();
    assert_eq!(under, [Some(MeshId(1)), Some(MeshId(2))], "each on its own");
    // As the camera turns a little, the spot turns with the piece.
    let on_posts = |h: &Harness<'_, Desk>| {
        let at = under_marks(h).iter().position(|id| *id == Some(MeshId(1))).expect("on the posts");
        h.state().bench.covered[at].center()
    };
    let is_left = |h: &Harness<'_, Desk>| on_posts(h).x < seen(h, &Point::origin()).x;
    let (mut side, mut changes) = (is_left(&h), 0);
    for _ in 0..8 {
        let camera = h.state().bench.camera();
        h.state_mut().bench.set_camera(camera.orbited(&Point::origin(), 2.0, 1.0));
        h.run();
        changes += usize::from(is_left(&h) != side);
        side = is_left(&h);
    }
    assert!(changes <= 1, "only where its spot turns out of sight does it go to another: {changes} times");
}

#[test]
fn what_something_stands_before_is_told_apart_before_the_pointer_was_ever_there() {
    let h = desk(posts_about_a_ball());
    assert!(h.state().scene.drawn.iter().all(|drawn| drawn.body.ready_tree().is_some()));
}

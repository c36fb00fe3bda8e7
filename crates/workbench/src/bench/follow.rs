//! The camera follows pieces that are pulled apart: what was wholly in the picture stays in it. It goes away and to the side
//! no more than that needs, and comes back as the pieces do.
//!
//! Who looks at a place from near has nothing wholly in the picture, and is left there; who comes nearer while the pieces are
//! apart is not sent back. Turning and shifting by hand is done to where the camera comes back to as well.

use seamwright_geometry::{Bounds, Vector};

use super::camera::Camera;
use super::scene::{Emphasis, MeshId, Scene};
use super::view::View;
use super::widget::Bench;

/// What is remembered of the pieces and the camera from frame to frame.
#[derive(Clone, Debug, Default)]
pub(super) struct Follow {
    /// The pieces as they were drawn last.
    shown: Vec<Shown>,
    /// Since the pieces began to move apart.
    course: Option<Course>,
    /// The camera was sent somewhere: how the pieces move at that moment is no matter.
    sent: bool,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Shown {
    id: MeshId,
    revision: u64,
    bounds: Bounds,
    offset: Vector,
}

#[derive(Clone, Debug)]
struct Course {
    /// Where the camera would be if the pieces were together.
    base: Camera,
    /// The pieces that are kept in the picture; `None` until they move, after others came into sight.
    kept: Option<Vec<MeshId>>,
}

impl Follow {
    /// The camera was sent elsewhere on purpose, or came nearer or went away by hand.
    pub fn forget(&mut self) {
        self.course = None;
        self.sent = true;
    }

    /// The camera was turned or shifted by hand: where it comes back to is, too.
    pub fn moved(&mut self, by: impl Fn(Camera) -> Camera) {
        if let Some(course) = &mut self.course {
            course.base = by(course.base);
        }
    }
}

/// Free room around what is kept in the picture: less than is left where something is framed, so that a little pulling apart
/// moves nothing. Our own choice, by eye.
const ROOM: f64 = 1.05;

impl Bench {
    /// Follows the pieces of `scene` if they moved apart or together since the last frame.
    pub(super) fn follow_pieces(&mut self, scene: &Scene, view: &View) {
        let now = shown(scene);
        let before = std::mem::replace(&mut self.follow.shown, now.clone());
        let sent = std::mem::take(&mut self.follow.sent);
        let same = |(a, b): (&Shown, &Shown)| (a.id, a.revision) == (b.id, b.revision);
        if before.len() != now.len() || !before.iter().zip(&now).all(same) {
            self.follow.course.iter_mut().for_each(|course| course.kept = None);
            return;
        }
        if sent || before == now {
            return;
        }
        let goal = self.goal();
        let course = self.follow.course.get_or_insert(Course { base: goal, kept: None });
        let kept = course.kept.get_or_insert_with(|| {
            let view = View { camera: goal, ..*view };
            before.iter().filter(|shown| is_inside(&view, &shown.bounds)).map(|shown| shown.id).collect()
        });
        let kept = now.iter().filter(|shown| kept.contains(&shown.id)).map(|shown| shown.bounds);
        let together = now.iter().all(|shown| shown.offset == Vector::zeros());
        let to = if together { course.base } else { course.base.keeping(kept, view.aspect(), ROOM) };
        if together {
            self.follow.course = None;
        }
        if to != goal {
            self.chase(to);
        }
    }
}

/// What is in sight.
fn shown(scene: &Scene) -> Vec<Shown> {
    let in_sight = scene.drawn.iter().filter(|drawn| drawn.emphasis != Emphasis::Hidden);
    let shown = |drawn: &super::scene::Drawn| {
        let (id, revision, offset) = (drawn.id, drawn.body.revision(), drawn.offset);
        Some(Shown { id, revision, bounds: drawn.bounds()?, offset })
    };
    in_sight.filter_map(shown).collect()
}

/// Whether a box is wholly in the picture.
fn is_inside(view: &View, bounds: &Bounds) -> bool {
    super::scene::corners(bounds).iter().all(|corner| view.project(corner).is_some_and(|at| view.rect.contains(at)))
}

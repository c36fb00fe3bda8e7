//! Words over the picture, on slips of paper: marks, dimensions, numbers. They keep clear of each other, and of the hand.

use egui::{Align2, Color32, FontId, Pos2, Rect, Vec2};

use super::overlay::{LINE, Overlay};
use super::pick;
use super::scene::{Dimension, Label, Scene};
use super::view::View;
use seamwright_geometry::Point;

/// Words that have their place, and what they are about.
struct Taken {
    rect: Rect,
    at: Pos2,
    stands: Pos2,
    text: String,
    ink: Color32,
}

/// Which labels come first where there is no room for all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Strong,
    InSight,
    Behind,
}

impl Rank {
    fn of(label: &Label, scene: &Scene, view: &View) -> Rank {
        if label.strong {
            return Rank::Strong;
        }
        let in_front = label.of.and_then(|of| {
            let hit = pick::pick(scene, &view.ray(view.project(&label.at)?), false)?;
            Some(hit.id != of)
        });
        if in_front == Some(true) { Rank::Behind } else { Rank::InSight }
    }
}

impl Overlay<'_> {
    /// Marks and dimensions of `scene`. Words that would cover earlier ones, or what is in `kept_clear`, stand some lines
    /// aside, or are left out; those of what is in sight come before those of what is behind something else.
    pub fn words(&self, scene: &Scene, kept_clear: &[Rect]) {
        let mut taken: Vec<Taken> = Vec::new();
        // All lines come first: none runs across words.
        let runs: Vec<Vec<Pos2>> = scene.dimensions.iter().map(|dimension| self.run(dimension)).collect();
        for (dimension, run) in scene.dimensions.iter().zip(&runs) {
            self.dimension_line(dimension, run);
        }
        for (i, (dimension, run)) in scene.dimensions.iter().zip(&runs).enumerate() {
            let others = runs.iter().enumerate().filter(|(other, _)| *other != i);
            let lines: Vec<Rect> = others.flat_map(|(_, run)| beads(run)).collect();
            let Some(at) = midway(run) else { continue };
            self.tag_unless_taken(
                at,
                (&dimension.text, self.style.ink),
                (&LED_LINES, true),
                &mut taken,
                [kept_clear, &lines],
            );
        }
        let lines: Vec<Rect> = runs.iter().flat_map(|run| beads(run)).collect();
        let eye = self.view.camera.eye();
        let ranked = |label| (Rank::of(label, scene, &self.view), nalgebra::distance(&eye, &label.at), label);
        let mut labels: Vec<(Rank, f64, &Label)> = scene.labels.iter().map(ranked).collect();
        labels.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for (rank, _, label) in labels {
            self.label(label, rank, &mut taken, [kept_clear, &lines]);
        }
        self.draw_placed(&taken);
    }

    /// One quiet line at the foot of the bench.
    pub fn hint(&self, text: &str) {
        let at = self.view.rect.center_bottom() - Vec2::new(0.0, if self.is_low() { 6.0 } else { 14.0 });
        self.tag(at, Align2::CENTER_BOTTOM, text, self.style.ink);
    }

    fn label(&self, label: &Label, rank: Rank, taken: &mut Vec<Taken>, clear_of: [&[Rect]; 2]) {
        let Some(at) = self.view.project(&label.at).filter(|p| self.view.rect.contains(*p)) else { return };
        let ink = match rank {
            Rank::Strong => self.style.accent,
            Rank::InSight => self.style.ink,
            Rank::Behind => self.style.ink_soft,
        };
        // What stands for a measure is told in any case; a mark among many gives way.
        let steps: &[f32] = if label.of.is_some() { &ASIDE_LINES } else { &LED_LINES };
        self.tag_unless_taken(at, (&label.text, ink), (steps, label.of.is_none()), taken, clear_of);
    }

    /// The line of a dimension, from end to end; of an angle an arc. Empty where it is too short to be told anything of.
    fn run(&self, dimension: &Dimension) -> Vec<Pos2> {
        let places = match dimension.apex {
            None => vec![dimension.from, dimension.to],
            Some(apex) => arc(&apex, &dimension.from, &dimension.to),
        };
        let seen: Option<Vec<Pos2>> = places.iter().map(|place| self.view.project(place)).collect();
        let long = |run: &[Pos2]| run.windows(2).map(|pair| pair[0].distance(pair[1])).sum::<f32>() >= SHORTEST;
        seen.filter(|run| long(run)).unwrap_or_default()
    }

    fn dimension_line(&self, dimension: &Dimension, run: &[Pos2]) {
        let [first, .., last] = run else { return };
        self.haloed_line(run, 1.3, self.style.ink);
        if let Some(apex) = dimension.apex.and_then(|apex| self.view.project(&apex)) {
            // Its legs, somewhat beyond the arc.
            for end in [*first, *last] {
                self.haloed_line(&[apex, apex + (end - apex) * 1.15], 1.0, self.style.ink);
            }
            return;
        }
        let across = (*last - *first).normalized().rot90() * 5.0;
        for end in [*first, *last] {
            self.haloed_line(&[end - across, end + across], 1.3, self.style.ink);
        }
    }

    /// Words about `at`, on the first of these lines that is free; farther off than the next one a line leads back. They keep
    /// clear of other words and, where that is possible, of `lines`. `needed` ones stand beside, and at last over others.
    fn tag_unless_taken(
        &self,
        at: Pos2,
        (text, ink): (&str, Color32),
        (steps, needed): (&[f32], bool),
        taken: &mut Vec<Taken>,
        [kept_clear, lines]: [&[Rect]; 2],
    ) {
        let size = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(13.0), ink).size();
        let mut places: Vec<Vec2> = steps.iter().map(|step| Vec2::new(0.0, step * LINE)).collect();
        if needed {
            let beside = |step: &f32| SIDEWAYS.map(|by| Vec2::new(by * size.x, step * LINE));
            places.extend(LED_LINES.iter().flat_map(beside));
        }
        let there = |aside: &Vec2| {
            let stands = at + *aside;
            (stands, Align2::CENTER_CENTER.anchor_size(stands, size).expand2(Vec2::new(5.0, 2.0)))
        };
        let clear = |rect: &Rect, of: &[Rect]| of.iter().all(|other| !other.intersects(*rect));
        let free: Vec<(Pos2, Rect)> = places
            .iter()
            .map(there)
            .filter(|(_, rect)| clear(rect, kept_clear) && taken.iter().all(|other| !other.rect.intersects(*rect)))
            .collect();
        let seen = |rect: &Rect| !needed || self.view.rect.contains_rect(*rect);
        let best = free.iter().find(|(_, rect)| clear(rect, lines) && seen(rect)).or_else(|| free.first()).copied();
        let Some((stands, rect)) = best.or_else(|| needed.then(|| there(&Vec2::ZERO))) else { return };
        taken.push(Taken { rect, at, stands, text: text.to_owned(), ink });
    }

    /// Draws what has its place: lines that lead back first, so that none runs across words.
    fn draw_placed(&self, taken: &[Taken]) {
        for words in taken.iter().filter(|words| (words.stands - words.at).length() > LED_FROM) {
            self.haloed_line(&[words.at, words.stands], 1.2, words.ink);
        }
        for words in taken {
            self.tag(words.stands, Align2::CENTER_CENTER, &words.text, words.ink);
        }
    }

    pub(super) fn tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32) {
        self.sized_tag(at, align, text, ink, 13.0);
    }

    pub(super) fn big_tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32) {
        self.sized_tag(at, align, text, ink, 16.0);
    }

    fn sized_tag(&self, at: Pos2, align: Align2, text: &str, ink: Color32, size: f32) {
        let inside = self.view.rect.shrink(2.0);
        let galley =
            self.painter.layout(text.to_owned(), FontId::proportional(size), ink, inside.width() - 2.0 * FRAME.x);
        let words = align.anchor_size(at, galley.size());
        // Kept inside the bench, so that a number near the edge can still be read.
        let frame = words.expand2(FRAME);
        let push = Vec2::new(
            (inside.left() - frame.left()).max(0.0) + (inside.right() - frame.right()).min(0.0),
            (inside.top() - frame.top()).max(0.0) + (inside.bottom() - frame.bottom()).min(0.0),
        );
        let frame = frame.translate(push);
        self.taken.borrow_mut().push(frame);
        self.paper(frame, ink);
        self.painter.galley(words.min + push, galley, ink);
    }
}

/// An arc about `apex` from one place to another that is as far from it.
fn arc(apex: &Point, from: &Point, to: &Point) -> Vec<Point> {
    let (a, b) = (from - apex, to - apex);
    let angle = a.angle(&b);
    let along = |share: f64| {
        let [near, far] = [1.0 - share, share].map(|share| (share * angle).sin() / angle.sin());
        apex + a * near + b * far
    };
    if angle.sin().abs() < STRAIGHT {
        return vec![*from, *to];
    }
    (0..=ARC_STEPS).map(|i| along(f64::from(i) / f64::from(ARC_STEPS))).collect()
}

/// Halfway along a line.
fn midway(run: &[Pos2]) -> Option<Pos2> {
    match run {
        [a, b] => Some(*a + (*b - *a) / 2.0),
        run => run.get(run.len() / 2).copied(),
    }
}

/// Small frames along a line, for words to keep clear of.
pub(super) fn beads(run: &[Pos2]) -> Vec<Rect> {
    let along = |pair: &[Pos2]| {
        let (from, way) = (pair[0], pair[1] - pair[0]);
        let n = (way.length() / BEAD).ceil().clamp(1.0, MOST_BEADS);
        (0..=n as usize).map(move |i| Rect::from_center_size(from + way * (i as f32 / n), Vec2::splat(2.0)))
    };
    run.windows(2).flat_map(along).collect()
}

/// A shorter line on the screen is not told of, points.
const SHORTEST: f32 = 12.0;
/// An arc is drawn in so many steps; with a smaller sine there is none between its legs.
const ARC_STEPS: u32 = 24;
const STRAIGHT: f64 = 1e-6;
/// From one frame along a line to the next, points: less than words are high. And so many at most, along a line that runs
/// far out of the picture.
const BEAD: f32 = 10.0;
const MOST_BEADS: f32 = 400.0;
/// How far to the side words may stand that must be told, in their own widths.
const SIDEWAYS: [f32; 4] = [0.8, -0.8, 1.6, -1.6];
/// Paper around words, in points.
pub(super) const FRAME: Vec2 = Vec2::new(6.0, 3.0);
/// Where a mark may stand that would cover another, in lines from where it belongs: farther off it would name something else.
const ASIDE_LINES: [f32; 3] = [0.0, 1.0, -1.0];
/// The same for words that a line leads back to what they are about, when they stand farther off than [`LED_FROM`], points.
const LED_LINES: [f32; 7] = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0];
const LED_FROM: f32 = 1.5 * LINE;

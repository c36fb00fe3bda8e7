//! Slips of paper with words about a place in the picture: where each stands, so that none covers another, nor what the hand
//! holds. Plain geometry, without a painter.

use egui::{Pos2, Rect, Vec2, pos2};

use super::overlay::LINE;

/// Words that want a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slip {
    /// What they are about, on the screen.
    pub about: Pos2,
    /// From there to the middle of their nearer edge: they stand to its right, or where x is negative to its left.
    pub beside: Vec2,
    /// With the paper around them, points.
    pub size: Vec2,
    /// Whether they are told in any case; others are left out where there is no room.
    pub needed: bool,
    /// Where they stood last, as told by [`Laid::place`]: they stay there while it is free and no nearer place has ample room,
    /// so that words do not jump about under a hand that moves.
    pub kept: Option<usize>,
}

/// Where words stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// There.
    pub rect: Rect,
    /// Which of the places that they may have this is.
    pub place: usize,
}

/// Where they may stand, nearest first: on the side that they belong to or across from it, so many lines down.
const PLACES: [(bool, f32); 22] = [
    (true, 0.0),
    (true, 1.0),
    (true, -1.0),
    (true, 2.0),
    (true, -2.0),
    (false, 0.0),
    (false, 1.0),
    (false, -1.0),
    (true, 3.0),
    (true, -3.0),
    (false, 2.0),
    (false, -2.0),
    (true, 4.0),
    (true, -4.0),
    (false, 3.0),
    (false, -3.0),
    (true, 6.0),
    (true, -6.0),
    (false, 5.0),
    (false, -5.0),
    (false, 8.0),
    (false, -8.0),
];
/// What is kept free between two slips, points.
const APART: f32 = 2.0;
/// What must be free about a nearer place for words to go there from where they stand, points. Our own choice, by eye.
const AMPLE: f32 = 10.0;

/// Lays out `slips` within `room`, the first of them first: each as near to what it is about as it keeps clear of those before it
/// and of `clear_of`. Where there is no such place, what is needed stands where it covers least; `None` for the rest.
pub fn lay_out(slips: &[Slip], room: Rect, clear_of: &[Rect]) -> Vec<Option<Laid>> {
    let mut taken: Vec<Rect> = clear_of.to_vec();
    let mut laid = Vec::with_capacity(slips.len());
    for slip in slips {
        let places: Vec<Rect> = PLACES.iter().map(|(own_side, lines)| slip.at(*own_side, *lines, room)).collect();
        let covered = |place: usize, about: f32| {
            taken.iter().map(|other| overlap(other, &places[place].expand(about))).sum::<f32>()
        };
        let is_free = |place: &usize| covered(*place, APART) == 0.0;
        let kept = slip.kept.filter(|place| *place < places.len() && is_free(place));
        let nearer = kept.and_then(|kept| (0..kept).find(|place| covered(*place, AMPLE) == 0.0));
        let least = || (0..places.len()).min_by(|a, b| covered(*a, APART).total_cmp(&covered(*b, APART)));
        let place = nearer
            .or(kept)
            .or_else(|| (0..places.len()).find(is_free))
            .or_else(|| if slip.needed { least() } else { None });
        let found = place.map(|place| Laid { rect: places[place], place });
        taken.extend(found.map(|found| found.rect));
        laid.push(found);
    }
    laid
}

impl Slip {
    /// So many lines down, beside what it is about or across from there, and pushed into the room.
    fn at(&self, own_side: bool, lines: f32, room: Rect) -> Rect {
        let to_left = (self.beside.x < 0.0) == own_side;
        let away = self.beside.x.abs();
        let left = if to_left { self.about.x - away - self.size.x } else { self.about.x + away };
        let top = self.about.y + self.beside.y + lines * LINE - self.size.y / 2.0;
        let within = |at: f32, low: f32, high: f32| at.min(high).max(low);
        let min = pos2(
            within(left, room.left(), room.right() - self.size.x),
            within(top, room.top(), room.bottom() - self.size.y),
        );
        Rect::from_min_size(min, self.size)
    }
}

/// How much of two rectangles is common, square points.
fn overlap(a: &Rect, b: &Rect) -> f32 {
    let common = a.intersect(*b);
    if common.is_positive() { common.area() } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use egui::vec2;

    use super::*;

    fn slip(about: Pos2, beside: Vec2, size: Vec2, needed: bool) -> Slip {
        Slip { about, beside, size, needed, kept: None }
    }

    /// What stands about the arrow of a cut that is dragged: number and facts, both sides, both ends of the band.
    fn about_an_arrow(seat: Pos2) -> Vec<Slip> {
        let at = |x: f32, y: f32| seat + vec2(x, y);
        vec![
            slip(at(0.0, -88.0), vec2(20.0, -14.0), vec2(210.0, 66.0), true),
            slip(at(0.0, 39.0), vec2(22.0, 0.0), vec2(190.0, 22.0), true),
            slip(at(0.0, -55.0), vec2(22.0, 0.0), vec2(190.0, 22.0), true),
            slip(at(-15.0, 60.0), vec2(-12.0, 4.0), vec2(46.0, 22.0), false),
            slip(at(-15.0, 52.0), vec2(-12.0, -4.0), vec2(46.0, 22.0), false),
        ]
    }

    fn arrow(seat: Pos2) -> Rect {
        Rect::from_min_max(seat + vec2(-9.0, -95.0), seat + vec2(9.0, 60.0))
    }

    #[test]
    fn words_about_an_arrow_never_cover_one_another_nor_the_arrow() {
        // A bench in a window of 1280 by 720, and the same at twice the size of writing.
        for room in [vec2(940.0, 480.0), vec2(640.0, 260.0)] {
            let room = Rect::from_min_size(Pos2::ZERO, room);
            for i in 0..200 {
                let share = |n: i32| (i * n % 37) as f32 / 36.0;
                let seat = pos2(room.width() * share(7), room.height() * share(11));
                let laid = lay_out(&about_an_arrow(seat), room, &[arrow(seat)]);
                assert!(laid[..3].iter().all(Option::is_some), "what is needed is told: {laid:?}");
                let rects: Vec<Rect> = laid.iter().flatten().map(|laid| laid.rect).collect();
                for (i, a) in rects.iter().enumerate() {
                    assert!(room.contains_rect(*a), "{a:?} is cut off");
                    assert!(!a.intersects(arrow(seat)), "{a:?} hides the arrow at {seat:?}");
                    assert!(rects[i + 1..].iter().all(|b| !a.intersects(*b)), "{seat:?}: {rects:?}");
                }
            }
        }
    }

    #[test]
    fn words_with_room_stand_where_they_belong_and_those_in_the_way_of_others_near_by() {
        let room = Rect::from_min_size(Pos2::ZERO, vec2(900.0, 600.0));
        let about = pos2(400.0, 300.0);
        let one = slip(about, vec2(20.0, 0.0), vec2(100.0, 22.0), true);
        let laid = lay_out(&[one, one], room, &[]);
        assert_eq!(laid[0].unwrap().rect, Rect::from_min_size(pos2(420.0, 289.0), one.size));
        let second = laid[1].unwrap().rect;
        assert!((second.center() - laid[0].unwrap().rect.center()).length() <= 1.5 * LINE, "{second:?}");
    }

    #[test]
    fn words_stay_where_they_are_until_there_is_ample_room_nearer() {
        let room = Rect::from_min_size(Pos2::ZERO, vec2(900.0, 600.0));
        let one = slip(pos2(400.0, 300.0), vec2(20.0, 0.0), vec2(100.0, 22.0), true);
        let blocked = [Rect::from_min_size(pos2(420.0, 230.0), vec2(80.0, 140.0))];
        let moved = lay_out(&[one], room, &blocked)[0].unwrap();
        assert!(moved.rect.right() < 400.0, "across: {moved:?}");
        let kept = Slip { kept: Some(moved.place), ..one };
        let place = |clear_of: &[Rect]| lay_out(&[kept], room, clear_of)[0].unwrap().place;
        let tight = [
            Rect::from_min_size(pos2(420.0, 255.0), vec2(80.0, 30.0)),
            Rect::from_min_size(pos2(420.0, 315.0), vec2(80.0, 60.0)),
        ];
        assert_eq!(lay_out(&[one], room, &tight)[0].unwrap().place, 0);
        assert_eq!(place(&tight), moved.place, "it does not come back for a gap");
        assert_eq!(place(&[]), 0, "with room it does");
        assert_eq!(place(&[moved.rect]), 0, "and where something is in the way");
    }

    #[test]
    fn where_there_is_no_room_only_what_is_needed_is_told() {
        let room = Rect::from_min_size(Pos2::ZERO, vec2(120.0, 30.0));
        let needed = slip(pos2(10.0, 10.0), vec2(5.0, 0.0), vec2(110.0, 22.0), true);
        let laid = lay_out(&[needed, needed, Slip { needed: false, ..needed }], room, &[]);
        assert!(laid[0].is_some() && laid[1].is_some() && laid[2].is_none(), "{laid:?}");
    }
}

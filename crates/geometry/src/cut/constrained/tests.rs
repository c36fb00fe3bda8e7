use super::*;
use crate::predicates::{in_circle, orient_2d};
use proptest::prelude::*;
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};
use std::collections::BTreeMap;

type Places = Vec<[f64; 2]>;

/// Edges along closed lines through the given places.
fn rings(lines: &[&[u32]]) -> Vec<Bound> {
    lines
        .iter()
        .flat_map(|line| (0..line.len()).map(|i| Bound { from: line[i], to: line[(i + 1) % line.len()], count: 1 }))
        .collect()
}

/// Fills by another library. `None` where that finds edges that cross or pass a place.
fn by_spade(places: &Places, bounds: &[Bound]) -> Option<Filled> {
    let points = places.iter().map(|p| Point2::new(p[0], p[1])).collect();
    let pairs = bounds.iter().map(|b| [b.from as usize, b.to as usize]).collect();
    let mut conflict = false;
    let net: ConstrainedDelaunayTriangulation<Point2<f64>> =
        ConstrainedDelaunayTriangulation::try_bulk_load_cdt(points, pairs, |_| conflict = true).ok()?;
    if conflict || net.num_vertices() != places.len() || net.num_constraints() != bounds.len() {
        return None;
    }
    let mut step: BTreeMap<(usize, usize), i32> = BTreeMap::new();
    for b in bounds {
        step.insert((b.from as usize, b.to as usize), b.count);
        step.insert((b.to as usize, b.from as usize), -b.count);
    }
    let mut turns: BTreeMap<usize, i32> = BTreeMap::from([(net.outer_face().fix().index(), 0)]);
    let mut border: Vec<_> = net.convex_hull().map(|e| e.fix()).collect();
    let mut filled = Filled { triangles: Vec::new(), lowest: 0, highest: 0 };
    while let Some(e) = border.pop() {
        let e = net.directed_edge(e);
        let beyond = e.rev();
        let ends = [beyond.from(), beyond.to()].map(|v| v.fix().index());
        let here = turns[&e.face().fix().index()] + step.get(&ends.into()).copied().unwrap_or(0);
        match turns.insert(beyond.face().fix().index(), here) {
            Some(known) if known != here => return None,
            Some(_) => continue,
            None => {}
        }
        let Some(face) = beyond.face().as_inner() else { continue };
        let [a, b, c] = face.vertices().map(|v| v.fix().index() as u32);
        let triangle = if here > 0 { [a, b, c] } else { [a, c, b] };
        filled.triangles.extend(std::iter::repeat_n(triangle, here.unsigned_abs() as usize));
        filled.lowest = filled.lowest.min(here);
        filled.highest = filled.highest.max(here);
        border.extend(face.adjacent_edges().map(|e| e.fix()));
    }
    Some(filled)
}

/// In an order that does not depend on where each begins.
fn sorted(filled: &Filled) -> Vec<[u32; 3]> {
    let turned = |t: &[u32; 3]| {
        let first = (0..3).min_by_key(|&i| t[i]).unwrap();
        [0, 1, 2].map(|k| t[(first + k) % 3])
    };
    let mut triangles: Vec<[u32; 3]> = filled.triangles.iter().map(turned).collect();
    triangles.sort_unstable();
    triangles
}

fn area(places: &Places, filled: &Filled) -> f64 {
    let doubled = |t: &[u32; 3]| {
        let [a, b, c] = t.map(|v| places[v as usize]);
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    };
    filled.triangles.iter().map(doubled).sum::<f64>() / 2.0
}

/// Whether no edge that two triangles share, unless it is bound to stay, could be turned into a better one.
fn is_delaunay(places: &Places, bounds: &[Bound], filled: &Filled) -> bool {
    let at = |v: u32| places[v as usize];
    let mut apex: BTreeMap<(u32, u32), u32> = BTreeMap::new();
    for t in sorted(filled) {
        let t = if orient_2d(at(t[0]), at(t[1]), at(t[2])) > 0.0 { t } else { [t[0], t[2], t[1]] };
        (0..3).for_each(|i| {
            apex.insert((t[i], t[(i + 1) % 3]), t[(i + 2) % 3]);
        });
    }
    let bound = |a: u32, b: u32| bounds.iter().any(|e| (e.from, e.to) == (a, b) || (e.from, e.to) == (b, a));
    apex.iter().all(|(&(a, b), &c)| match apex.get(&(b, a)) {
        Some(&d) => bound(a, b) || in_circle(at(a), at(b), at(c), at(d)) <= 0.0,
        None => true,
    })
}

/// Checks a filling against the other library's: the same triangles, or, where four places lie on a circle, others that
/// are as good.
fn check(places: &Places, bounds: &[Bound]) -> Result<(), TestCaseError> {
    let (ours, theirs) = (fill(places, bounds), by_spade(places, bounds));
    let (Some(ours), Some(theirs)) = (&ours, &theirs) else {
        prop_assert_eq!(ours.is_some(), theirs.is_some());
        return Ok(());
    };
    prop_assert_eq!((ours.lowest, ours.highest), (theirs.lowest, theirs.highest));
    prop_assert_eq!(ours.triangles.len(), theirs.triangles.len());
    let (a, b) = (area(places, ours), area(places, theirs));
    prop_assert!((a - b).abs() <= 1e-9 * (1.0 + a.abs()), "{} for {}", a, b);
    prop_assert!(is_delaunay(places, bounds, ours));
    if sorted(ours) != sorted(theirs) {
        prop_assert!(is_delaunay(places, bounds, theirs), "we found others, and theirs are no worse");
        prop_assert!(has_four_on_a_circle(places, ours), "there is only one best");
    }
    Ok(())
}

fn has_four_on_a_circle(places: &Places, filled: &Filled) -> bool {
    let at = |v: u32| places[v as usize];
    filled.triangles.iter().any(|t| {
        let on = |v: u32| !t.contains(&v) && in_circle(at(t[0]), at(t[1]), at(t[2]), at(v)) == 0.0;
        (0..places.len() as u32).any(on)
    })
}

/// A closed line that does not meet itself: ever further round a middle.
fn star(reaches: &[f64], middle: [f64; 2]) -> Places {
    let step = std::f64::consts::TAU / reaches.len() as f64;
    let at = |(i, r): (usize, &f64)| {
        let (sin, cos) = (i as f64 * step).sin_cos();
        [middle[0] + r * cos, middle[1] + r * sin]
    };
    reaches.iter().enumerate().map(at).collect()
}

#[test]
fn a_square_with_a_square_hole_is_filled_between() {
    let places = vec![[0., 0.], [9., 0.], [9., 9.], [0., 9.], [3., 3.], [3., 6.], [6., 6.], [6., 3.]];
    let filled = fill(&places, &rings(&[&[0, 1, 2, 3], &[4, 5, 6, 7]])).unwrap();
    assert_eq!((filled.triangles.len(), filled.lowest, filled.highest), (8, 0, 1));
    assert_eq!(area(&places, &filled), 72.0);
}

#[test]
fn a_line_gone_round_twice_is_filled_twice_and_backwards_downwards() {
    let places = vec![[0., 0.], [2., 0.], [2., 1.], [0., 1.]];
    for (count, area_of) in [(2, 4.0), (-1, -2.0)] {
        let mut bounds = rings(&[&[0, 1, 2, 3]]);
        bounds.iter_mut().for_each(|b| b.count = count);
        let filled = fill(&places, &bounds).unwrap();
        assert_eq!(area(&places, &filled), area_of);
        assert_eq!((filled.lowest, filled.highest), (count.min(0), count.max(0)));
    }
}

#[test]
fn long_edges_past_many_points_are_forced_in() {
    // Two combs whose teeth reach between each other, and a thin beam all along: its edges cross everything.
    let mut places: Places = vec![[0.0, -0.01], [100.0, -0.01], [100.0, 0.01], [0.0, 0.01]];
    for i in 0..200 {
        let x = 0.25 + 0.5 * f64::from(i);
        places.extend([[x, 0.02 + f64::from(i % 7) * 0.3], [x + 0.13, -0.02 - f64::from(i % 5) * 0.4]]);
    }
    let bounds = rings(&[&[0, 1, 2, 3]]);
    check(&places, &bounds).unwrap();
    assert!((area(&places, &fill(&places, &bounds).unwrap()) - 2.0).abs() < 1e-12);
}

#[test]
fn edges_that_cross_pass_or_do_not_close_are_refused() {
    let square = vec![[0., 0.], [2., 0.], [2., 2.], [0., 2.], [1., 0.], [1., 1.]];
    assert_eq!(fill(&square, &rings(&[&[0, 2, 1, 3]])), None, "crossing");
    assert_eq!(fill(&square, &rings(&[&[0, 1, 2, 3]])), None, "past a place");
    assert_eq!(fill(&square, &rings(&[&[0, 2, 3]])), None, "past a place within");
    assert_eq!(fill(&square, &rings(&[&[0, 4, 1, 2, 3]])[1..]), None, "open");
    assert_eq!(fill(&square, &rings(&[&[0, 4, 1, 2, 3], &[0, 4, 1, 2, 3]])), None, "twice the same");
    let twice = vec![[0., 0.], [2., 0.], [2., 2.], [0., -0.]];
    assert_eq!(fill(&twice, &rings(&[&[0, 1, 2, 3]])), None, "two at one place");
    for bad in [f64::NAN, f64::INFINITY, 1e300] {
        assert_eq!(fill(&[[0., 0.], [2., 0.], [2., bad]], &rings(&[&[0, 1, 2]])), None, "{bad}");
    }
}

#[test]
fn nothing_is_filled_with_nothing_and_a_line_with_no_triangle() {
    let nothing = Filled { triangles: Vec::new(), lowest: 0, highest: 0 };
    assert_eq!(fill(&[], &[]), Some(Filled { triangles: Vec::new(), ..nothing }));
    assert_eq!(fill(&[[1., 2.]], &[]), Some(Filled { triangles: Vec::new(), ..nothing }));
    let line: Places = (0..9).map(|i| [f64::from(i * 5 % 9), f64::from(i * 5 % 9)]).collect();
    assert_eq!(fill(&line, &[]), Some(nothing));
}

proptest! {
    #[test]
    fn stars_with_holes_are_filled_as_by_another_library(
        outer in prop::collection::vec(5.0_f64..20.0, 3..60),
        inner in prop::collection::vec(0.5_f64..2.0, 3..30),
    ) {
        let (m, n) = (outer.len() as u32, inner.len() as u32);
        let places: Places = [star(&outer, [0.1, 0.2]), star(&inner, [0.3, -0.1])].concat();
        let (round, hole): (Vec<u32>, Vec<u32>) = ((0..m).collect(), (m..m + n).rev().collect());
        check(&places, &rings(&[&round, &hole]))?;
    }

    /// Lines through any points cross more often than not: both must see it.
    #[test]
    fn any_lines_are_judged_as_by_another_library(
        places in prop::collection::vec((-9.0_f64..9.0, -9.0_f64..9.0), 3..9),
    ) {
        let places: Places = places.into_iter().map(|(x, y)| [x, y]).collect();
        let all: Vec<u32> = (0..places.len() as u32).collect();
        check(&places, &rings(&[&all]))?;
    }

    /// Squares of a lattice, with many places in line and on circles; squares that touch at a corner share it.
    #[test]
    fn squares_of_a_lattice_are_filled_as_by_another_library(wanted in prop::collection::vec(-1..=2_i32, 64)) {
        let places: Places = (0..81).map(|i| [f64::from(i % 9), f64::from(i / 9)]).collect();
        let mut balance: BTreeMap<(u32, u32), i32> = BTreeMap::new();
        for (i, count) in (0..).zip(wanted) {
            let low = i / 8 * 9 + i % 8;
            let corners: [u32; 4] = [low, low + 1, low + 10, low + 9];
            for k in 0..4 {
                let (a, b) = (corners[k], corners[(k + 1) % 4]);
                *balance.entry((a.min(b), a.max(b))).or_default() += if a < b { count } else { -count };
            }
        }
        let bounds: Vec<Bound> = balance
            .into_iter()
            .filter(|(_, count)| *count != 0)
            .map(|((from, to), count)| Bound { from, to, count })
            .collect();
        check(&places, &bounds)?;
    }

    /// Slanting edges across a lattice, each past many points that lie in line.
    #[test]
    fn triangles_across_a_lattice_are_filled_as_by_another_library(corners in prop::collection::vec(0..144_u32, 3)) {
        let places: Places = (0..144).map(|i| [f64::from(i % 12), f64::from(i / 12)]).collect();
        prop_assume!(corners[0] != corners[1] && corners[1] != corners[2] && corners[2] != corners[0]);
        check(&places, &rings(&[&corners]))?;
    }
}

//! The results as plots: time against triangles, before cutting and for it, against cuts, against cores, both axes in
//! logarithms.

use std::fs;
use std::path::Path;

use plotters::coord::ranged1d::{KeyPointHint, Ranged};
use plotters::element::{Circle, Cross, DynElement, IntoDynElement, TriangleMarker};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use super::contender::Contender;
use super::plan::{ONE_CUT, SCALED_UP_TO};
use super::results::{Against, Results};
use super::table::{thousands, time, titles};
use xtask::steps::StepError;

/// One line of a plot.
#[derive(Debug)]
struct Line {
    label: String,
    /// Count, seconds.
    points: Vec<(f64, f64)>,
}

/// A plot of times against something that is counted.
struct Plot<'a> {
    title: String,
    /// What is counted.
    noun: &'a str,
    /// Steps of the axis: 2 for counts that double, 10 else.
    base: f64,
    lines: Vec<Line>,
}

/// Draws all into `folder`.
pub fn draw_all(results: &Results, folder: &Path) -> Result<(), StepError> {
    fs::create_dir_all(folder).map_err(|error| format!("could not make {}: {error}", folder.display()))?;
    let scaled = results.rows.iter().map(|row| row.triangles).filter(|&n| n <= SCALED_UP_TO).max().unwrap_or(0);
    let on_scaled = format!("{} triangles", thousands(scaled));
    let plots = [
        ("stock", "Time against triangles, before cutting".to_owned(), "triangles", 10.0, on_stock(results)),
        ("triangles", "Time against triangles".to_owned(), "triangles", 10.0, against_triangles(results)),
        ("cuts", format!("Time against cuts, {on_scaled}"), "cuts", 2.0, against(results, Against::Cuts)),
        ("cores", format!("Time against cores, {on_scaled}"), "cores", 2.0, against(results, Against::Threads)),
    ];
    for (name, title, noun, base, lines) in plots {
        let path = folder.join(name).with_extension("svg");
        let plot = Plot { title, noun, base, lines };
        plot.draw(&path).map_err(|error| format!("could not draw {}: {error}", path.display()))?;
        eprintln!("wrote {}", path.display());
    }
    Ok(())
}

/// What we do to a stock before it is cut.
fn on_stock(results: &Results) -> Vec<Line> {
    let ours = titles(results.rows.iter().filter(|row| row.job.work.is_on_stock()).map(|row| &row.title));
    let lines = ours.into_iter().map(|title| line(results, title, Contender::Ours, title.to_owned()));
    lines.filter(|line| !line.points.is_empty()).collect()
}

/// All our other work, and the libraries at one cut.
fn against_triangles(results: &Results) -> Vec<Line> {
    let ours = titles(results.rows.iter().filter(|row| !row.job.work.is_on_stock()).map(|row| &row.title));
    let ours = ours.into_iter().map(|title| line(results, title, Contender::Ours, title.to_owned()));
    let peers = Contender::PEERS.into_iter();
    let peers = peers.map(|who| line(results, ONE_CUT, who, format!("one cut by {}", who.name())));
    ours.chain(peers).filter(|line| !line.points.is_empty()).collect()
}

fn line(results: &Results, title: &str, who: Contender, label: String) -> Line {
    let rows = results.rows.iter().filter(|row| row.title == title);
    let points = rows.filter_map(|row| Some((row.triangles as f64, row.measured(who)?.median_s())));
    Line { label, points: points.collect() }
}

fn against(results: &Results, against: Against) -> Vec<Line> {
    let is_on_stock = |title: &str| results.rows.iter().any(|row| row.title == title && row.job.work.is_on_stock());
    let all = || results.scaling.iter().filter(move |scaled| scaled.against == against);
    let of_plot = || all().filter(|scaled| !is_on_stock(&scaled.title));
    let line = |title: &str| {
        let scaled = of_plot().filter(|scaled| scaled.title == title);
        let points = scaled.filter_map(|scaled| Some((scaled.count as f64, scaled.answer.measured()?.median_s())));
        Line { label: title.to_owned(), points: points.collect() }
    };
    let lines = titles(of_plot().map(|scaled| &scaled.title)).into_iter().map(line);
    lines.filter(|line| !line.points.is_empty()).collect()
}

const SIZE: (u32, u32) = (1040, 560);
/// Room for the labels to the right of the lines.
const LABELS: i32 = 420;
/// Labels stand at least this far apart.
const LABEL_STEP: i32 = 19;
const INK: RGBColor = RGBColor(34, 34, 34);
const FAINT: RGBColor = RGBColor(218, 218, 218);
/// Colours that are told apart without colour vision (Okabe and Ito, "Color universal design", 2008). Lines of the same
/// colour have other marks.
const COLOURS: [RGBColor; 6] = [
    RGBColor(0, 114, 178),
    RGBColor(213, 94, 0),
    RGBColor(0, 158, 115),
    RGBColor(204, 121, 167),
    RGBColor(230, 159, 0),
    RGBColor(86, 180, 233),
];

impl Plot<'_> {
    fn draw(&self, path: &Path) -> Result<(), Box<dyn std::error::Error>> {
        let root = SVGBackend::new(path, SIZE).into_drawing_area();
        root.fill(&WHITE)?;
        let all = || self.lines.iter().flat_map(|line| &line.points);
        let counts = span(all().map(|p| p.0)).ok_or("nothing was measured")?;
        let seconds = span(all().map(|p| p.1)).ok_or("nothing was measured")?;
        let mut chart = ChartBuilder::on(&root)
            .caption(&self.title, ("sans-serif", 26).into_font().color(&INK))
            .margin(16)
            .margin_right(LABELS)
            .x_label_area_size(52)
            .y_label_area_size(84)
            .build_cartesian_2d(
                Steps { from: counts.0 / 1.15, to: counts.1 * 1.15, base: self.base },
                Steps { from: seconds.0 / 1.5, to: seconds.1 * 1.5, base: 10.0 },
            )?;
        let text = ("sans-serif", 18).into_font().color(&INK);
        chart
            .configure_mesh()
            .bold_line_style(FAINT)
            .light_line_style(TRANSPARENT)
            .axis_style(INK)
            .x_desc(self.noun)
            .y_desc("time")
            .axis_desc_style(text.clone())
            .label_style(text.clone())
            .x_label_formatter(&|count| thousands(count.round() as usize))
            .y_label_formatter(&|seconds| axis_time(*seconds))
            .draw()?;
        let mut labels = Vec::new();
        for (i, line) in self.lines.iter().enumerate() {
            let colour = COLOURS[i % COLOURS.len()];
            chart.draw_series(LineSeries::new(line.points.iter().copied(), colour.stroke_width(2)))?;
            chart.draw_series(line.points.iter().map(|&p| EmptyElement::at(p) + mark(i, colour)))?;
            if let Some(&(count, seconds)) = line.points.last() {
                let at = chart.backend_coord(&(count, seconds));
                labels.push((at, colour, format!("{}, {}", line.label, time(seconds))));
            }
        }
        let left = chart.backend_coord(&(counts.1 * 1.15, seconds.0)).0 + 22;
        let heights = spread(labels.iter().map(|(at, ..)| at.1).collect());
        for ((at, colour, label), y) in labels.into_iter().zip(heights) {
            root.draw(&PathElement::new([(at.0 + 7, at.1), (left - 4, y)], colour.mix(0.5)))?;
            let style = ("sans-serif", 17).into_font().color(&INK).pos(Pos::new(HPos::Left, VPos::Center));
            root.draw(&Text::new(label, (left, y), style))?;
        }
        root.present()?;
        Ok(())
    }
}

/// Marks in turn, so that colour is never all that tells lines apart.
fn mark<'a>(line: usize, colour: RGBColor) -> DynElement<'static, SVGBackend<'a>, (i32, i32)> {
    match (line + line / COLOURS.len()) % 3 {
        0 => Circle::new((0, 0), 4, colour.filled()).into_dyn(),
        1 => TriangleMarker::new((0, 0), 6, colour.filled()).into_dyn(),
        _ => Cross::new((0, 0), 4, colour.stroke_width(2)).into_dyn(),
    }
}

/// Heights near the wanted ones, in the same order from top to bottom, so far apart that labels do not overlap.
fn spread(wanted: Vec<i32>) -> Vec<i32> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by_key(|&i| wanted[i]);
    let mut heights = wanted;
    let bottom = SIZE.1 as i32 - LABEL_STEP;
    let mut least = 0;
    for &i in &order {
        heights[i] = heights[i].max(least);
        least = heights[i] + LABEL_STEP;
    }
    let mut most = bottom;
    for &i in order.iter().rev() {
        heights[i] = heights[i].min(most);
        most = heights[i] - LABEL_STEP;
    }
    heights
}

fn span(all: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    all.filter(|x| *x > 0.0).map(|x| (x, x)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// Whole powers of ten of a second, as a person says them.
fn axis_time(seconds: f64) -> String {
    let (number, unit) = match seconds {
        s if s < 0.9e-3 => (s * 1e6, "µs"),
        s if s < 0.9 => (s * 1e3, "ms"),
        s => (s, "s"),
    };
    format!("{} {unit}", (number * 1e3).round() / 1e3)
}

/// A logarithmic axis with a line at every whole power of its base and nowhere else.
struct Steps {
    from: f64,
    to: f64,
    base: f64,
}

impl Ranged for Steps {
    type FormatOption = plotters::coord::ranged1d::NoDefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, limit: (i32, i32)) -> i32 {
        let share = (value / self.from).ln() / (self.to / self.from).ln();
        limit.0 + (share * f64::from(limit.1 - limit.0)).round() as i32
    }

    fn key_points<Hint: KeyPointHint>(&self, _: Hint) -> Vec<f64> {
        let power = |x: f64| x.ln() / self.base.ln();
        let (first, last) = (power(self.from).ceil() as i32, power(self.to).floor() as i32);
        (first..=last).map(|n| self.base.powi(n)).collect()
    }

    fn range(&self) -> std::ops::Range<f64> {
        self.from..self.to
    }
}

impl plotters::coord::ranged1d::ValueFormatter<f64> for Steps {
    fn format_ext(&self, value: &f64) -> String {
        value.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_keep_their_order_and_do_not_overlap() {
        let heights = spread(vec![100, 102, 99, 300, 558, 559]);
        let mut sorted = heights.clone();
        sorted.sort_unstable();
        assert!(sorted.windows(2).all(|pair| pair[1] - pair[0] >= LABEL_STEP), "{heights:?}");
        assert!(heights[2] < heights[0] && heights[0] < heights[1] && heights[3] == 300 && heights[4] < heights[5]);
    }

    #[test]
    fn axes_say_times_as_people_do() {
        assert_eq!(
            [1e-5, 1e-4, 1e-3, 0.1, 1.0, 10.0].map(axis_time),
            ["10 µs", "100 µs", "1 ms", "100 ms", "1 s", "10 s"]
        );
    }

    #[test]
    fn an_axis_has_lines_at_powers_only() {
        let axis = Steps { from: 0.9, to: 9.0, base: 2.0 };
        assert_eq!(axis.key_points(20), [1.0, 2.0, 4.0, 8.0]);
        assert_eq!([0.9, 9.0].map(|x| axis.map(&x, (10, 110))), [10, 110]);
    }
}

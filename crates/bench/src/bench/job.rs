//! What a measuring process is asked, and what it answers. `tests/reference/speed/measure.py` speaks the same.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

/// One piece of work, to be repeated and timed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Job {
    /// What to do.
    pub work: Work,
    /// The files of the model, without their extensions (see [`Model`](super::model::Model)).
    pub model: PathBuf,
    /// Unit normal of all planes.
    pub normal: [f64; 3],
    /// Where the planes lie along it, mm, rising.
    pub offsets_mm: Vec<f64>,
    /// How many threads ours may use; all cores where not said. Libraries use what they are used to.
    pub threads: Option<usize>,
    /// Fewest runs.
    pub least_runs: usize,
    /// No more runs than this.
    pub most_runs: usize,
    /// No more runs after this much measured time, once there are the fewest, seconds.
    pub enough_s: f64,
}

/// Kinds of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Work {
    /// Binary STL into an indexed mesh. Figure: its volume.
    Read,
    /// Parting by all planes into closed, capped, indexed pieces. Figures: their volumes, lowest piece first.
    Cuts,
    /// Outline of the first plane. Figure: its length.
    Section,
    /// The same through a tree of boxes built before. Figure: its length. Only by us.
    Live,
    /// Building that tree. Figure: the length of an outline found through it. Only by us.
    Support,
    /// A mesh of several shells into one mesh each. Figures: their volumes, rising.
    Shells,
    /// A mesh of several shells into bodies, those that belong into one another kept together. Figures: their volumes,
    /// rising. Only by us.
    Bodies,
    /// Boring for a rod right through. Figure: the volume left.
    Bore,
    /// The wall around a rod along the glaive, through a tree built before. Figure: the least. Only by us.
    Wall,
    /// Moving that rod to where its least wall is greatest. Figure: that wall. Only by us.
    Centre,
    /// Verdicts on both sides of a plane that moves. Figure: what they measure. Only by us.
    LiveFit,
    /// Exact verdicts on both sides of a plane that has come to rest, the tree built before.
    RestFit,
    /// Preparing a mesh for those verdicts.
    FitSupport,
    /// Exact verdicts on five beds, each timed once; the model is a file of its own. Figure: how many were undecided. Only
    /// by us.
    Fit,
    /// A copy of the mesh in memory, for scale. Figure: its volume. Only by us.
    Copy,
    /// OBJ into an indexed mesh. Figure: its volume.
    ReadObj,
    /// Binary PLY into an indexed mesh. Figure: its volume.
    ReadPly,
    /// 3MF into an indexed mesh. Figure: its volume.
    ReadThreeMf,
    /// Loose facets into an indexed mesh. Figure: its vertices.
    Merge,
    /// Looking for edges that have not two faces. Figure: how many there are.
    Edges,
    /// The report that is made of every stock. Figure: its open edges. Only by us.
    Report,
    /// Faces of two shells that pass through each other. Figure: pairs of them.
    Crossings,
    /// All that a close look finds. Figure: kinds of defects. Only by us.
    Close,
    /// Turning faces one way and outwards. Figure: the volume afterwards.
    Turn,
    /// Filling holes. Figure: the faces afterwards.
    Fill,
    /// All that is safe to mend. Figure: the volume afterwards. Only by us.
    Mend,
}

impl Work {
    /// The ending of the file that is read, if one is.
    pub fn file(self) -> Option<&'static str> {
        match self {
            Work::Read => Some("stl"),
            Work::ReadObj => Some("obj"),
            Work::ReadPly => Some("ply"),
            Work::ReadThreeMf => Some("3mf"),
            _ => None,
        }
    }

    /// Whether it is done to a stock before it is cut.
    pub fn is_on_stock(self) -> bool {
        let is_looking = matches!(self, Work::Edges | Work::Report | Work::Crossings | Work::Close);
        let is_mending = matches!(self, Work::Merge | Work::Turn | Work::Fill | Work::Mend);
        self.file().is_some() || is_looking || is_mending
    }
}

/// What came of a job.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Answer {
    /// It was done.
    Measured(Measured),
    /// It was not.
    Failed {
        /// Why not, in a few words.
        error: String,
    },
}

/// Times, memory, and figures of what was made.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Measured {
    /// Version of the library.
    pub version: String,
    /// Every run, in order.
    pub seconds: Vec<f64>,
    /// Memory that the process held before the first run; not known off Linux.
    pub before_mib: Option<f64>,
    /// Most memory that the process held during the first run.
    pub peak_mib: Option<f64>,
    /// Bytes that were asked for and not given back, at most, beyond those before the first run: where an allocator that
    /// counts them was in place, which is only with us.
    #[serde(default)]
    pub live_mib: Option<f64>,
    /// What was made: see [`Work`].
    pub figures: Vec<f64>,
}

impl Measured {
    /// The median of the runs.
    pub fn median_s(&self) -> f64 {
        let mut sorted = self.seconds.clone();
        sorted.sort_by(f64::total_cmp);
        let middle = sorted.len() / 2;
        match sorted.len() {
            0 => f64::NAN,
            odd if odd % 2 == 1 => sorted[middle],
            _ => (sorted[middle - 1] + sorted[middle]) / 2.0,
        }
    }

    /// The largest difference between figures, as a share of what all figures of `other` sum to. Infinite where their
    /// numbers differ.
    pub fn disagreement(&self, other: &Measured) -> f64 {
        if self.figures.len() != other.figures.len() {
            return f64::INFINITY;
        }
        let all: f64 = other.figures.iter().sum();
        self.figures.iter().zip(&other.figures).map(|(a, b)| (a - b).abs() / all.abs()).fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measured(seconds: &[f64], figures: &[f64]) -> Measured {
        let (seconds, figures) = (seconds.to_vec(), figures.to_vec());
        Measured { version: String::new(), seconds, before_mib: None, peak_mib: None, live_mib: None, figures }
    }

    #[test]
    fn the_median_is_the_middle_or_between_the_two_in_the_middle() {
        assert_eq!(measured(&[3.0, 1.0, 2.0], &[]).median_s(), 2.0);
        assert_eq!(measured(&[4.0, 1.0, 2.0, 3.0], &[]).median_s(), 2.5);
    }

    #[test]
    fn figures_disagree_by_their_largest_difference_or_by_their_number() {
        let ours = measured(&[], &[60.0, 40.0]);
        assert_eq!(ours.disagreement(&ours), 0.0);
        assert_eq!(measured(&[], &[60.0, 39.0]).disagreement(&ours), 0.01);
        assert_eq!(measured(&[], &[100.0]).disagreement(&ours), f64::INFINITY);
    }

    #[test]
    fn answers_are_told_apart_by_what_they_hold() {
        let failed = serde_json::from_str(r#"{"error": "ValueError: no"}"#).unwrap();
        assert!(matches!(failed, Answer::Failed { error } if error == "ValueError: no"));
        let done = r#"{"version": "1", "seconds": [0.5], "before_mib": null, "peak_mib": 3.5, "figures": [1.0]}"#;
        let done = serde_json::from_str(done).unwrap();
        assert!(matches!(done, Answer::Measured(m) if m.peak_mib == Some(3.5)));
    }
}

//! All that was measured.

use serde::{Deserialize, Serialize};

use super::contender::Contender;
use super::job::{Answer, Job, Measured};
use super::machine::Machine;

/// A whole run.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Results {
    /// Where and when.
    pub machine: Machine,
    /// Load average when the last measurement was done.
    pub load_at_end: String,
    /// Everything measured beside the libraries.
    pub rows: Vec<Row>,
    /// What only we were measured at.
    pub scaling: Vec<Scaled>,
    /// How long exact verdicts take.
    #[serde(default)]
    pub fits: Option<Fits>,
    /// What was measured once more after the whole run: the words that its titles hold, and where and when.
    #[serde(default)]
    pub renewed: Vec<(String, Machine)>,
}

/// Exact verdicts on meshes made by others, each on five beds.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Fits {
    /// How many meshes.
    pub meshes: usize,
    /// Every verdict.
    pub seconds: Vec<f64>,
    /// How many were undecided.
    pub undecided: usize,
    /// Files that hold nothing to place.
    pub failed: Vec<String>,
}

impl Fits {
    /// The median and the worst, seconds.
    pub fn median_and_worst_s(&self) -> Option<[f64; 2]> {
        let mut sorted = self.seconds.clone();
        sorted.sort_by(f64::total_cmp);
        Some([*sorted.get(sorted.len() / 2)?, *sorted.last()?])
    }
}

/// One piece of work on one mesh, by all.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Row {
    /// What was done, in words.
    pub title: String,
    /// Triangles of the mesh.
    pub triangles: usize,
    /// What it takes in memory as we hold it, MiB; where it is read from a file, without where its faces come from, which
    /// reading does not say.
    pub mesh_mib: f64,
    /// The most that was live of what our own work asked for, MiB, where that was counted.
    #[serde(default)]
    pub live_mib: Option<f64>,
    /// The work.
    pub job: Job,
    /// What came of it.
    pub answers: Vec<(Contender, Answer)>,
}

/// One more measurement of ours: something told in a column, counted in the next.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Scaled {
    /// The table it belongs to.
    pub against: Against,
    /// How many of what the table is about.
    pub count: usize,
    /// What was done, in words.
    pub title: String,
    /// What came of it.
    pub answer: Answer,
}

/// What a scaling table is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Against {
    /// Cuts of one model.
    Cuts,
    /// Threads.
    Threads,
}

impl Results {
    /// With nothing measured yet.
    pub fn new(machine: Machine) -> Results {
        Results {
            load_at_end: machine.load_at_start.clone(),
            machine,
            rows: Vec::new(),
            scaling: Vec::new(),
            fits: None,
            renewed: Vec::new(),
        }
    }

    /// Puts what was measured once more in the place of what was measured before; `words` are those that its titles hold.
    pub fn renew(&mut self, newer: Results, words: &str) {
        for row in newer.rows {
            let is_same = |old: &&mut Row| (&old.title, old.triangles) == (&row.title, row.triangles);
            match self.rows.iter_mut().find(is_same) {
                Some(old) => *old = row,
                None => self.rows.push(row),
            }
        }
        self.fits = newer.fits.or(self.fits.take());
        self.renewed.retain(|(before, _)| before != words);
        self.renewed.push((words.to_owned(), newer.machine));
    }
}

impl Row {
    /// What this one answered, if it was asked.
    pub fn answer(&self, who: Contender) -> Option<&Answer> {
        self.answers.iter().find(|(contender, _)| *contender == who).map(|(_, answer)| answer)
    }

    /// What this one measured, if it did not fail.
    pub fn measured(&self, who: Contender) -> Option<&Measured> {
        self.answer(who)?.measured()
    }

    /// The peer with the shortest time.
    pub fn fastest_peer(&self) -> Option<(Contender, f64)> {
        let peers = Contender::PEERS.into_iter();
        let times = peers.filter_map(|peer| Some((peer, self.measured(peer)?.median_s())));
        times.min_by(|a, b| a.1.total_cmp(&b.1))
    }
}

impl Answer {
    /// What was measured, if it did not fail.
    pub fn measured(&self) -> Option<&Measured> {
        match self {
            Answer::Measured(measured) => Some(measured),
            Answer::Failed { .. } => None,
        }
    }
}

//! The table of differences.

use std::fmt::Write as _;

use crate::{
    judge::{Answer, JudgedCut, Measures},
    told::CutAnswer,
};

/// Rows of text, one per cut.
#[derive(Debug)]
pub struct Table {
    pub text: String,
}

impl Table {
    /// The table's head.
    pub fn new() -> Table {
        const HEAD: &str = "Differences to the formula. Volume above the plane: as a share of the whole model, ours as \
                            told. Cap above the plane: as a share of itself, ours as written in 32 bits.\n";
        let mut table = Table { text: HEAD.to_owned() };
        let volumes = ["above mm³", "ours", "trimesh", "manifold3d"];
        table.row("model and cut", volumes, ["cap mm²", "ours", "trimesh", "manifold3d"]);
        table
    }

    /// One cut.
    pub fn add(&mut self, label: &str, told: &CutAnswer, judged: &JudgedCut, whole_mm3: f64) {
        let formula = &judged.formula;
        let volume = |above_mm3: f64| format!("{:+.0e}", (above_mm3 - formula.above_mm3) / whole_mm3);
        let cap = |cap_mm2: f64| format!("{:+.0e}", cap_mm2 / formula.cap_mm2 - 1.0);
        let volumes = [
            format!("{:.3}", formula.above_mm3),
            volume(told.sum(judged, true, |piece| piece.volume_mm3)),
            show(&judged.trimesh, |measures| volume(measures.above_mm3)),
            show(&judged.manifold3d, |measures| volume(measures.above_mm3)),
        ];
        let caps = [
            format!("{:.4}", formula.cap_mm2),
            cap(judged.written_sum(true, |cap| cap.signed_mm2)),
            show(&judged.trimesh, |measures| cap(measures.cap_mm2)),
            show(&judged.manifold3d, |measures| cap(measures.cap_mm2)),
        ];
        self.row(label, volumes.each_ref().map(String::as_str), caps.each_ref().map(String::as_str));
    }

    /// A line of words.
    pub fn remark(&mut self, text: &str) {
        let _ = writeln!(self.text, "    {text}");
    }

    fn row(&mut self, label: &str, [above, a, b, c]: [&str; 4], [cap, d, e, f]: [&str; 4]) {
        let _ = write!(self.text, "{label:40} {above:>16} {a:>8} {b:>8} {c:>10}");
        let _ = writeln!(self.text, " | {cap:>13} {d:>8} {e:>8} {f:>10}");
    }
}

fn show(answer: &Answer, of: impl Fn(&Measures) -> String) -> String {
    match answer {
        Answer::Measured(measures) => of(measures),
        Answer::Refused { .. } => "refused".to_owned(),
    }
}

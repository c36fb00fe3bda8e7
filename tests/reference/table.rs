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
                            told. Cap above the plane and its outline: as shares of themselves, ours as written in 32 \
                            bits.\n";
        let mut table = Table { text: HEAD.to_owned() };
        let columns = |first| [first, "ours", "trimesh", "manifold3d", "VTK"];
        table.row("model and cut", [columns("above mm³"), columns("cap mm²"), columns("outline mm")]);
        table
    }

    /// One cut.
    pub fn add(&mut self, label: &str, told: &CutAnswer, judged: &JudgedCut, whole_mm3: f64) {
        let formula = &judged.formula;
        let columns = |exact: f64, decimals: usize, ours: f64, whole: f64, of: fn(&Measures) -> f64| {
            let off = |figure: f64| format!("{:+.0e}", (figure - exact) / whole);
            let by_libraries = Answer::LIBRARIES.map(|(_, answer)| show(answer(judged), |m| off(of(m))));
            let mut all = vec![format!("{exact:.decimals$}"), off(ours)];
            all.extend(by_libraries);
            all
        };
        let volume_mm3 = told.sum(judged, true, |piece| piece.volume_mm3);
        let cap_mm2 = judged.written_sum(true, |cap| cap.signed_mm2);
        let outline_mm = judged.written_sum(true, |cap| cap.outline_mm);
        let parts = [
            columns(formula.above_mm3, 3, volume_mm3, whole_mm3, |m| m.above_mm3),
            columns(formula.cap_mm2, 4, cap_mm2, formula.cap_mm2, |m| m.cap_mm2),
            columns(formula.outline_mm, 4, outline_mm, formula.outline_mm, |m| m.outline_mm),
        ];
        self.row(label, parts.each_ref().map(|part| [0, 1, 2, 3, 4].map(|i| part[i].as_str())));
    }

    /// A line of words.
    pub fn remark(&mut self, text: &str) {
        let _ = writeln!(self.text, "    {text}");
    }

    fn row(&mut self, label: &str, parts: [[&str; 5]; 3]) {
        let _ = write!(self.text, "{label:40}");
        for (i, [exact, a, b, c, d]) in parts.into_iter().enumerate() {
            let bar = if i == 0 { "" } else { " |" };
            let _ = write!(self.text, "{bar} {exact:>16} {a:>8} {b:>8} {c:>10} {d:>8}");
        }
        self.text.push('\n');
    }
}

fn show(answer: &Answer, of: impl Fn(&Measures) -> String) -> String {
    match answer {
        Answer::Measured(measures) => of(measures),
        Answer::Refused { .. } => "refused".to_owned(),
    }
}

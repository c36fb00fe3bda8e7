//! The command line: every verb reads, asks `project` or `geometry`, and prints one answer.
//!
//! What is absent: no geometry is done here, nothing here knows a window, and nothing but `output` writes to the
//! standard output. A verb returns an [`Answer`]; this file turns it into text or JSON and into an exit code.

mod args;
mod beds;
mod bore;
mod check;
mod cut;
mod fit;
mod fit_project;
mod inspect;
mod inspect_project;
mod kit;
mod magnets;
mod measure;
mod measures;
mod mend;
mod on_bed;
mod output;
mod own_beds;
mod parting;
mod picture;
mod place;
mod planes;
mod problems;
mod project;
mod rods;
mod size;
mod step_off;
mod stock;
mod targets;
mod trouble;
mod waiting;
mod words;

use std::process::ExitCode;

pub use args::{Arguments, Verb};
pub use beds::is_own_name;
pub use output::{Answer, exit};
pub use trouble::Trouble;

/// Does what `verb` asks, prints the answer or what went wrong, and says how the program ends.
pub fn run(verb: &Verb) -> ExitCode {
    match verb {
        Verb::Inspect(args) if inspect_project::is_project(&args.stock.file) => {
            output::give(inspect_project::run(args), args.output.json)
        }
        Verb::Inspect(args) => output::give(inspect::run(args), args.output.json),
        Verb::Mend(args) => output::give(mend::run(args), args.write.output.json),
        Verb::Size(args) => output::give(size::run(args), args.write.output.json),
        Verb::Measure(args) => output::give(measure::run(args), args.write.output.json),
        Verb::Bore(args) => output::give(bore::run(args), args.write.output.json),
        Verb::Magnets(args) => output::give(magnets::run(args), args.write.output.json),
        Verb::Cut(args) => output::give(cut::run(args), args.write.output.json),
        Verb::Fit(args) => output::give(fit::run(args), args.output.json),
        Verb::Beds(args) => output::give(own_beds::run(args), args.output.json),
        Verb::Place(args) => output::give(place::run(args), args.write.output.json),
        Verb::Kit(args) => output::give(kit::run(args), args.write.output.json),
        Verb::Picture(args) => output::give(picture::run(args), args.output.json),
        Verb::Check(args) => output::give(check::run(args), args.output.json),
    }
}

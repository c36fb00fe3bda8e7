//! Who is measured: we and the libraries, each job in a process of its own.

use std::fs::{self, File};
use std::path::Path;
use std::process::{Child, Command, ExitStatus};
use std::time::{Duration, Instant};

use serde::{Deserialize, Serialize};

use super::environment;
use super::job::{Answer, Job, Work};
use xtask::steps::StepError;

/// One who does the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Contender {
    /// Our geometry.
    Ours,
    /// vtkClipClosedSurface and its kin.
    Vtk,
    /// slice_plane with caps, and its kin.
    Trimesh,
    /// split_by_plane and its kin.
    Manifold3d,
}

/// Longer than this none is waited for.
const PATIENCE: Duration = Duration::from_secs(300);
/// Between two looks whether a process has ended: often enough to lose no time, seldom enough to take none.
const LOOK: Duration = Duration::from_millis(20);

impl Contender {
    /// The libraries.
    pub const PEERS: [Contender; 3] = [Contender::Vtk, Contender::Trimesh, Contender::Manifold3d];

    /// Its name in the tables.
    pub fn name(self) -> &'static str {
        match self {
            Contender::Ours => "Seamwright",
            Contender::Vtk => "VTK",
            Contender::Trimesh => "trimesh",
            Contender::Manifold3d => "manifold3d",
        }
    }

    /// Does the job and waits for the answer. That it failed, crashed or took too long is an answer, too.
    pub fn answer(self, job: &Job) -> Answer {
        self.command().and_then(|command| ask(command, job)).unwrap_or_else(|error| Answer::Failed { error })
    }

    fn command(self) -> Result<Command, StepError> {
        let module = match self {
            Contender::Ours => {
                let mut command = Command::new(std::env::current_exe().map_err(|error| error.to_string())?);
                command.arg("bench-job");
                return Ok(command);
            }
            Contender::Vtk => "vtk",
            Contender::Trimesh => "trimesh",
            Contender::Manifold3d => "manifold3d",
        };
        let mut command = Command::new(environment::interpreter());
        command.arg(environment::script()).arg(module);
        Ok(command)
    }

    /// Whether it has such work at all.
    pub fn does(self, work: Work) -> bool {
        let by_all = matches!(work, Work::Read | Work::Cuts | Work::Section | Work::Shells | Work::Merge);
        let by_two = matches!(work, Work::ReadObj | Work::ReadPly | Work::Edges | Work::Turn | Work::Fill);
        match self {
            Contender::Ours => true,
            Contender::Vtk => by_all || by_two || work == Work::Crossings,
            Contender::Trimesh => by_all || by_two || work == Work::ReadThreeMf,
            // Bored by one of the others, a model does not come out closed.
            Contender::Manifold3d => by_all || work == Work::Bore,
        }
    }
}

/// Bytes that our own process asks for, counted in a process of its own: counting takes time.
pub fn live_mib(job: &Job) -> Option<f64> {
    let once = Job { least_runs: 1, most_runs: 1, ..job.clone() };
    let mut command = Command::new(std::env::current_exe().ok()?.with_file_name(COUNTING));
    command.arg("bench-job");
    match ask(command, &once) {
        Ok(Answer::Measured(measured)) => measured.live_mib,
        Ok(Answer::Failed { error }) | Err(error) => {
            eprintln!("memory not counted: {error}");
            None
        }
    }
}

/// The twin of this program whose allocator counts.
pub const COUNTING: &str = "seamwright-bench-counting";

fn ask(mut command: Command, job: &Job) -> Result<Answer, StepError> {
    let folder = super::folder().join("process");
    fs::create_dir_all(&folder).map_err(|error| error.to_string())?;
    let [asked, said, complained] = ["job.json", "answer.json", "errors.txt"].map(|name| folder.join(name));
    fs::write(&asked, serde_json::to_string(job).map_err(|error| error.to_string())?)
        .map_err(|error| error.to_string())?;
    command.stdin(open(&asked)?).stdout(create(&said)?).stderr(create(&complained)?);
    let mut child = command.spawn().map_err(|error| format!("did not start: {error}"))?;
    let status = wait(&mut child)?.ok_or_else(|| format!("not done after {} s", PATIENCE.as_secs()))?;
    let text = fs::read_to_string(&said).map_err(|error| error.to_string())?;
    serde_json::from_str(&text).map_err(|_| {
        let complaints = fs::read_to_string(&complained).unwrap_or_default();
        format!("ended with {status}: {}", complaints.trim().lines().last().unwrap_or("silent"))
    })
}

/// `None` if it had to be stopped.
fn wait(child: &mut Child) -> Result<Option<ExitStatus>, StepError> {
    let begun = Instant::now();
    while begun.elapsed() < PATIENCE {
        if let Some(status) = child.try_wait().map_err(|error| error.to_string())? {
            return Ok(Some(status));
        }
        std::thread::sleep(LOOK);
    }
    child.kill().and_then(|()| child.wait()).map_err(|error| error.to_string())?;
    Ok(None)
}

fn open(path: &Path) -> Result<File, StepError> {
    File::open(path).map_err(|error| format!("could not open {}: {error}", path.display()))
}

fn create(path: &Path) -> Result<File, StepError> {
    File::create(path).map_err(|error| format!("could not make {}: {error}", path.display()))
}

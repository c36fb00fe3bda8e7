//! A model at a wanted number of triangles.
use super::net::closed_surface;
use super::sdf::V3;
use super::simplify::simplify;
use super::{DemoModel, cuirass, glaive, helm};
use seamwright_geometry::exchange::{Overwrite, WriteError, write_stl};
use seamwright_geometry::{Mesh, Point};
use std::path::{Path, PathBuf};

/// Up to this many triangles a model is meshed finer than asked and simplified: thin walls need a fine grid, and
/// edges come out crisper. Above, the grid alone is fine enough.
const SIMPLIFIED_UP_TO: usize = 400_000;
/// How much finer, where simplified.
const OVERSAMPLING: usize = 15;
/// Most triangles that simplification starts from.
const NET_FOR_SIMPLIFYING: usize = 1_200_000;

/// `model` as about `triangles` triangles (10⁴ to 10⁷): one closed solid, faces outwards, in mm, upright (z up) and
/// resting on z = 0. Coordinates are such as a binary STL holds exactly.
pub fn build(model: DemoModel, triangles: usize) -> Mesh {
    match model {
        DemoModel::Helm => mesh_of(&helm::distance, &helm::SAMPLING, triangles),
        DemoModel::Cuirass => mesh_of(&cuirass::distance, &cuirass::SAMPLING, triangles),
        DemoModel::Glaive => mesh_of(&glaive::distance, &glaive::SAMPLING, triangles),
    }
}

/// Writes every model as binary STL (`helm.stl`, `cuirass.stl`, `glaive.stl`) into the folder `dir`, with about
/// `triangles` triangles each, or with as many as the committed files have; files of these names are replaced. Gives
/// the files written.
pub fn write_models(dir: &Path, triangles: Option<usize>) -> Result<Vec<PathBuf>, WriteError> {
    DemoModel::ALL
        .iter()
        .map(|&model| {
            let path = dir.join(model.name()).with_extension("stl");
            let mesh = build(model, triangles.unwrap_or(committed_triangles(model)));
            write_stl(&path, &mesh, model.name(), Overwrite::Allow)?;
            Ok(path)
        })
        .collect()
}

/// How a model wants to be sampled.
#[derive(Clone, Copy, Debug)]
pub struct Sampling {
    /// The way from outside to inside on which its surface is found.
    pub seed: [V3; 2],
    /// Coarsest spacing of the grid, in mm, that keeps its walls whole.
    pub coarsest_mm: f64,
    /// Triangles of the net × the square of the spacing, in mm²; measured, hardly depends on the spacing.
    pub net_mm2: f64,
}

/// Enough to look well, few enough to keep the repository small (50 bytes a triangle).
fn committed_triangles(model: DemoModel) -> usize {
    match model {
        DemoModel::Helm | DemoModel::Cuirass => 80_000,
        DemoModel::Glaive => 50_000,
    }
}

fn mesh_of(field: &(impl Fn(V3) -> f64 + Sync), sampling: &Sampling, triangles: usize) -> Mesh {
    let simplified = triangles <= SIMPLIFIED_UP_TO;
    let wanted = if simplified { (triangles * OVERSAMPLING).min(NET_FOR_SIMPLIFYING) } else { triangles };
    let cell_mm = (sampling.net_mm2 / wanted as f64).sqrt().min(sampling.coarsest_mm);
    let net = closed_surface(field, sampling.seed, cell_mm);
    rested(if simplified { simplify(net, triangles) } else { net })
}

fn rested(mut mesh: Mesh) -> Mesh {
    let low = mesh.bounds().map_or(0.0, |b| b.min.z);
    for v in &mut mesh.vertices {
        *v = Point::new(v.x, v.y, f64::from((v.z - low) as f32));
    }
    mesh
}

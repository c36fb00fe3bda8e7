//! What the fuzz targets share: solids and planes made from the fuzzer's bytes, and the laws of a closed solid.

mod planes;
mod reading;
mod stock;

pub use planes::AnyPlane;
pub use reading::{read, read_unpacked};
pub use stock::Stock;

use std::collections::BTreeMap;

use arbitrary::Arbitrary;
use seamwright_geometry::{EdgeTable, FaceOrigin, Mesh, Plane, Solid, edge_report, merge_exact};

/// A stock and what it is cut by.
#[derive(Arbitrary)]
pub struct Input {
    stock: Stock,
    planes: Vec<AnyPlane>,
}

/// More planes than this after each other find nothing that few do not, and cost the time of many runs.
const PLANES: usize = 3;

impl Input {
    /// The solid, with bit-equal corners merged as a reader does.
    pub fn solid(&self) -> Option<Solid> {
        let merged = merge_exact(&self.stock.facets()).ok()?;
        Some(Solid::from_stock(merged.mesh))
    }

    /// The planes, some of them laid through vertices, edges or faces of the mesh.
    pub fn planes<'a>(&'a self, mesh: &'a Mesh) -> impl Iterator<Item = Plane> + 'a {
        self.planes.iter().take(PLANES).filter_map(|plane| plane.of(mesh))
    }
}

/// Facets and planes as the code of a test has them: a finding is pasted into `tests/fuzz_findings.rs`.
impl std::fmt::Debug for Input {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(f, "facets: &{:?},", self.stock.facets())?;
        let Some(solid) = self.solid() else { return Ok(()) };
        let planes: Vec<([f64; 3], f64)> =
            self.planes(&solid.mesh).map(|plane| (plane.normal().into(), plane.offset_mm())).collect();
        writeln!(f, "planes: &{planes:?},")
    }
}

/// Coordinates for which the laws are asserted, mm, beside 0: up to a kilometre, and down to where nothing is left of a
/// printer. Beyond, no panic and bounded output are asserted: the triangulation takes no numbers below 2⁻¹⁴², and where
/// one coordinate is a million million times another, all else is on every plane.
const LAWFUL_MM: std::ops::RangeInclusive<f64> = 1e-12..=1e6;

/// Whether all coordinates are in the range of the laws, and every edge is used as often forwards as backwards.
pub fn is_sound(solid: &Solid) -> bool {
    let is_lawful = |x: &f64| *x == 0.0 || LAWFUL_MM.contains(&x.abs());
    let mesh = &solid.mesh;
    // A piece is cut with the resolution of the stock that it comes from.
    stock_extent_mm(solid) <= *LAWFUL_MM.end()
        && mesh.vertices.iter().all(|p| p.iter().all(is_lawful))
        && edge_report(mesh).closed()
}

/// The largest coordinate of the stock that a piece comes from: its resolution is 2⁻²² of that.
fn stock_extent_mm(solid: &Solid) -> f64 {
    solid.resolution.on_plane_mm * f64::from(1 << 22)
}

/// Every face and every vertex is in order, on whatever input.
pub fn assert_in_order(solid: &Solid) {
    assert_eq!(solid.mesh.triangles.len(), solid.origins.len(), "a face without origin");
    let count = solid.mesh.vertices.len() as u32;
    assert!(solid.mesh.triangles.iter().flatten().all(|&v| v < count), "a face with a missing vertex");
    EdgeTable::new(&solid.mesh);
}

/// The parts have the volume of the whole, within a sheet as thick as what counts as on the plane and as wide as the
/// stock: where two outlines cross between vertices that count as on the plane, up to that far beside it, the walls of
/// both are led through one point.
pub fn assert_volume(whole: &Solid, parts: &[&Mesh]) {
    let volume: f64 = parts.iter().map(|part| part.volume_mm3()).sum();
    let (wanted, off) = (whole.mesh.volume_mm3(), whole.resolution.on_plane_mm * stock_extent_mm(whole).powi(2));
    assert!((volume - wanted).abs() <= off, "volume {volume} of the parts for {wanted} of the whole, {off} allowed");
}

/// The faces of a cap by the bits of their corners, turned round if asked.
pub fn cap_faces(solid: &Solid, label: u32, turned: bool) -> BTreeMap<[[u64; 3]; 3], usize> {
    let is_cap = |origin: &FaceOrigin| origin.cap_label() == Some(label);
    let mut faces = BTreeMap::new();
    for (face, _) in solid.origins.iter().enumerate().filter(|(_, origin)| is_cap(origin)) {
        let [a, b, c] = solid.mesh.corners(face);
        let mut corners = if turned { [a, c, b] } else { [a, b, c] }.map(|p| [p.x, p.y, p.z].map(f64::to_bits));
        let first = (0..3).min_by_key(|&i| corners[i]).unwrap_or(0);
        corners.rotate_left(first);
        *faces.entry(corners).or_default() += 1;
    }
    faces
}

/// No more faces than this come of a cut: a face gives three parts at most, and the lines of a section cross at most
/// pairwise.
pub fn most_faces(faces_before: usize) -> usize {
    20 * (faces_before + 10).pow(2)
}

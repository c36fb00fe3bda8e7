//! A mesh whose faces know where they came from.

use crate::{Mesh, Plane};

/// A mesh that was, or may be, cut: every face knows where it came from, so that colour, show faces and seams survive
/// any number of cuts.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// The faces.
    pub mesh: Mesh,
    /// Where each face of `mesh` came from, in the same order.
    pub origins: Vec<FaceOrigin>,
    /// What the cuts of this solid and of all its pieces count as *on* a plane.
    pub resolution: Resolution,
}

/// Where a face came from: a face of the stock, whole or in part, or the cap of a cut. Packed into four bytes, since
/// there is one for every face.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, bytemuck::Pod, bytemuck::Zeroable)]
#[repr(transparent)]
pub struct FaceOrigin(u32);

impl FaceOrigin {
    /// Set for caps; leaves 31 bits for the number of a face or the label of a cut, as 3MF does for its counts.
    const CAP: u32 = 1 << 31;
    /// The highest label that a cap can carry.
    pub const LAST_LABEL: u32 = Self::CAP - 1;

    /// From face `face` of the stock.
    pub fn stock(face: u32) -> FaceOrigin {
        FaceOrigin(face & !Self::CAP)
    }

    /// From the cap of the cut with this label, at most [`LAST_LABEL`](Self::LAST_LABEL).
    pub fn cap(label: u32) -> FaceOrigin {
        FaceOrigin(label | Self::CAP)
    }

    /// Whether the face is part of a cap.
    pub fn is_cap(self) -> bool {
        self.0 & Self::CAP != 0
    }

    /// The label of the cut, for a cap.
    pub fn cap_label(self) -> Option<u32> {
        self.is_cap().then_some(self.0 & !Self::CAP)
    }

    /// The number of the face of the stock, for any other.
    pub fn stock_face(self) -> Option<u32> {
        (!self.is_cap()).then_some(self.0)
    }
}

impl std::fmt::Debug for FaceOrigin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.cap_label() {
            Some(label) => write!(f, "cap({label})"),
            None => write!(f, "stock({})", self.0),
        }
    }
}

/// How near to a plane a vertex counts as lying on it.
///
/// One value for a whole stock and everything cut from it: two pieces must decide alike about the vertices that they
/// share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resolution {
    /// Vertices within this distance of a cut's plane are on it, mm.
    pub on_plane_mm: f64,
}

impl Resolution {
    /// Share of the largest coordinate that counts as nothing: 2⁻²², two units in the last place of single precision,
    /// in which STL stores coordinates. What a cut makes is then never so thin that writing it as STL collapses it;
    /// for a model of two metres it is half a thousandth of a millimetre, far below what a printer resolves.
    const RELATIVE: f64 = 1.0 / (1u64 << 22) as f64;

    /// For a mesh with these coordinates.
    pub fn of(mesh: &Mesh) -> Resolution {
        let largest = mesh.vertices.iter().fold(0.0_f64, |m, p| m.max(p.coords.amax()));
        Resolution { on_plane_mm: largest * Self::RELATIVE }
    }
}

impl Solid {
    /// An uncut stock: face `i` comes from face `i`.
    pub fn from_stock(mesh: Mesh) -> Solid {
        let origins = (0..mesh.triangles.len() as u32).map(FaceOrigin::stock).collect();
        Solid { resolution: Resolution::of(&mesh), mesh, origins }
    }

    /// The labels of the cuts whose caps bound this solid, rising.
    pub fn cap_labels(&self) -> Vec<u32> {
        let mut labels: Vec<u32> = self.origins.iter().filter_map(|origin| origin.cap_label()).collect();
        labels.sort_unstable();
        labels.dedup();
        labels
    }
}

/// What a cut did.
#[derive(Clone, Debug)]
pub enum CutOutcome {
    /// The plane leaves the solid whole: all of it lies on this side.
    Missed(crate::Side),
    /// The plane parts the solid.
    Parted(Box<Parted>),
}

/// The two sides of a parted solid. Each may consist of several bodies (see [`bodies`](crate::bodies)).
#[derive(Clone, Debug)]
pub struct Parted {
    /// The plane.
    pub plane: Plane,
    /// What lies below.
    pub below: Solid,
    /// What lies above.
    pub above: Solid,
    /// Area of the cap, mm². The caps of the two sides have the same vertices and opposite faces.
    pub cap_area_mm2: f64,
    /// Places where the section could not be closed because the solid is open there; empty for a closed solid.
    pub left_open: Vec<crate::Point>,
}

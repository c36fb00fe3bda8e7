//! A mesh whose faces know where they came from.

use crate::{Mesh, Side};

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

/// Where a face came from: a face of the stock, whole or in part, the cap of a cut, or the wall of a bore. Packed into four
/// bytes, since there is one for every face.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, bytemuck::Pod, bytemuck::Zeroable)]
#[repr(transparent)]
pub struct FaceOrigin(u32);

impl FaceOrigin {
    /// Set for caps; leaves 31 bits for the number of a face, as 3MF does for its counts.
    const CAP: u32 = 1 << 31;
    /// Set for caps of what lies above.
    const ABOVE: u32 = 1 << 30;
    /// The highest label that a cap can carry: what those two bits leave.
    pub const LAST_LABEL: u32 = Self::ABOVE - 1;
    /// Walls of bores are numbered from here, above all faces that a stock can have
    /// ([`EdgeTable::MAX_FACES`](crate::EdgeTable::MAX_FACES)).
    const BORE: u32 = 3 << 29;
    /// The highest label that the wall of a bore can carry.
    pub const LAST_BORE: u32 = Self::CAP - Self::BORE - 1;

    /// From face `face` of the stock.
    pub fn stock(face: u32) -> FaceOrigin {
        FaceOrigin((face & !Self::CAP).min(Self::BORE - 1))
    }

    /// From the wall of the bore with this label, at most [`LAST_BORE`](Self::LAST_BORE).
    pub fn bore(label: u32) -> FaceOrigin {
        FaceOrigin(Self::BORE + label.min(Self::LAST_BORE))
    }

    /// The label of the bore, for the wall of one.
    pub fn bore_label(self) -> Option<u32> {
        (Self::BORE..Self::CAP).contains(&self.0).then(|| self.0 - Self::BORE)
    }

    /// From the cap of the cut with this label, at most [`LAST_LABEL`](Self::LAST_LABEL), that bounds what lies on `side`.
    pub fn cap(label: u32, side: Side) -> FaceOrigin {
        let above = if side == Side::Above { Self::ABOVE } else { 0 };
        FaceOrigin(label & Self::LAST_LABEL | above | Self::CAP)
    }

    /// Whether the face is part of a cap.
    pub fn is_cap(self) -> bool {
        self.0 & Self::CAP != 0
    }

    /// The label of the cut, for a cap.
    pub fn cap_label(self) -> Option<u32> {
        self.is_cap().then_some(self.0 & Self::LAST_LABEL)
    }

    /// The side of the cut that the piece with this cap lies on, for a cap.
    pub fn cap_side(self) -> Option<Side> {
        let side = if self.0 & Self::ABOVE == 0 { Side::Below } else { Side::Above };
        self.is_cap().then_some(side)
    }

    /// The number of the face of the stock, for any other.
    pub fn stock_face(self) -> Option<u32> {
        (self.0 < Self::BORE).then_some(self.0)
    }
}

impl std::fmt::Debug for FaceOrigin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (self.cap_label(), self.cap_side(), self.bore_label()) {
            (Some(label), Some(side), _) => write!(f, "cap({label}, {side:?})"),
            (.., Some(label)) => write!(f, "bore({label})"),
            _ => write!(f, "stock({})", self.0),
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

    /// A solid without faces.
    pub(crate) fn empty(resolution: Resolution) -> Solid {
        Solid { mesh: Mesh::default(), origins: Vec::new(), resolution }
    }

    /// The labels of the cuts whose caps bound this solid, with the side that it is on there, rising. Both sides of one
    /// cut where it hangs together round the end of that cut.
    pub fn caps(&self) -> Vec<(u32, Side)> {
        let cap = |origin: &FaceOrigin| Some((origin.cap_label()?, origin.cap_side()?));
        let mut caps: Vec<(u32, Side)> = self.origins.iter().filter_map(cap).collect();
        caps.sort_unstable_by_key(|(label, side)| (*label, *side as usize));
        caps.dedup();
        caps
    }
}

/// What a cut did.
#[derive(Clone, Debug)]
pub enum CutOutcome {
    /// The solid stays whole: all of it lies on this side.
    Missed(Side),
    /// The solid stays whole: it crosses the plane of a finite one, but nowhere wholly where that parts.
    Unreached {
        /// Places where the finite plane ends in the material.
        ended_inside: Vec<crate::Point>,
    },
    /// The solid is parted.
    Parted(Box<Parted>),
}

/// The two sides of a parted solid. Each may consist of several bodies (see [`bodies`](crate::bodies)), or of none where
/// a finite plane or a kerf leaves it nothing.
#[derive(Clone, Debug)]
pub struct Parted {
    /// What lies below.
    pub below: Solid,
    /// What lies above.
    pub above: Solid,
    /// Only for finite planes: bodies that hang together round the end of the plane, with caps of both sides, and bodies
    /// that it does not reach, with none.
    pub around: Option<Solid>,
    /// Area of the cap of the lower side, mm². Without a kerf the caps of the two sides have the same vertices and
    /// opposite faces.
    pub cap_area_mm2: f64,
    /// Volume of what the kerf took away, mm³, measured on it; 0 without a kerf.
    pub removed_mm3: f64,
    /// Places where a finite plane ends in the material.
    pub ended_inside: Vec<crate::Point>,
    /// Places where the section could not be closed because the solid is open there; empty for a closed solid.
    pub left_open: Vec<crate::Point>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::EdgeTable;

    #[test]
    fn an_origin_is_of_one_kind_and_keeps_its_number() {
        for number in [0, 1, 77, EdgeTable::MAX_FACES as u32] {
            let stock = FaceOrigin::stock(number);
            assert_eq!((stock.stock_face(), stock.bore_label(), stock.cap_label()), (Some(number), None, None));
        }
        for label in [0, 5, FaceOrigin::LAST_BORE] {
            let bore = FaceOrigin::bore(label);
            assert_eq!((bore.stock_face(), bore.bore_label(), bore.cap_label()), (None, Some(label), None));
            assert_eq!(format!("{bore:?}"), format!("bore({label})"));
        }
        for label in [0, 5, FaceOrigin::LAST_LABEL] {
            let cap = FaceOrigin::cap(label, Side::Above);
            assert_eq!((cap.stock_face(), cap.bore_label(), cap.cap_label()), (None, None, Some(label)));
        }
    }
}

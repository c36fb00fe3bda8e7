//! Which shells of a part are closed once it is mended and relieved: told shell by shell, as one of several may be.

use std::collections::BTreeMap;
use std::sync::Arc;

use seamwright_geometry::{EdgeTable, Shells, Solid};

use crate::cache::Weigh;
use crate::outcome::{ShellNow, Stock};

/// How a part and its shells are.
pub(super) struct Closing {
    /// Whether all of the part is closed.
    pub closed: bool,
    /// Its shells, by their numbers in the stock.
    pub shells: Arc<BTreeMap<u32, ShellNow>>,
}

impl Weigh for Closing {
    fn bytes(&self) -> usize {
        size_of::<Self>() + self.shells.len() * size_of::<(u32, ShellNow)>()
    }
}

/// Of a part that was neither mended nor relieved: as the file has it.
pub(super) fn as_read(of: &[u32], stock: &Stock) -> Arc<BTreeMap<u32, ShellNow>> {
    let now = |shell: &u32| if stock.report.shells[*shell as usize].closed { ShellNow::Closed } else { ShellNow::Open };
    Arc::new(of.iter().map(|shell| (*shell, now(shell))).collect())
}

/// Of a part made of the shells `of`, as its faces are now. A shell of the stock is open where any surface that faces
/// of it belong to is, whatever that was united with.
pub(super) fn closing(solid: &Solid, of: &[u32], stock: &Stock) -> Closing {
    let edges = EdgeTable::new(&solid.mesh);
    let surfaces = Shells::of_edges(&edges);
    let reports = surfaces.reports(&solid.mesh, &edges);
    let mut shells: BTreeMap<u32, ShellNow> = of.iter().map(|shell| (*shell, ShellNow::Gone)).collect();
    for (origin, surface) in solid.origins.iter().zip(&surfaces.of_triangle) {
        let of_stock = origin.stock_face().and_then(|face| stock.shell_of_face.get(face as usize));
        let Some(now) = of_stock.and_then(|shell| shells.get_mut(shell)) else { continue };
        if !reports[*surface as usize].closed {
            *now = ShellNow::Open;
        } else if *now == ShellNow::Gone {
            *now = ShellNow::Closed;
        }
    }
    Closing { closed: reports.iter().all(|report| report.closed), shells: Arc::new(shells) }
}

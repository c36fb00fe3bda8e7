//! The identities of pieces: by the caps that bound them.

use seamwright_geometry::Bounds;

use super::Node;
use crate::recipe::PieceId;

/// Names every piece by the caps that bound it, and numbers bodies of the same name.
pub(super) fn name(nodes: &mut [Node]) {
    for node in nodes.iter_mut() {
        node.id = PieceId { part: node.id.part, path: node.body.caps.clone(), body: 0 };
    }
    nodes.sort_by(|a, b| a.id.path.cmp(&b.id.path));
    for family in nodes.chunk_by_mut(|a, b| a.id.path == b.id.path) {
        number(family);
    }
}

/// Counts bodies of one name along the axis on which they lie farthest apart: on any other, a small move of a cut could
/// exchange the numbers of two that are alike, such as the two sides of a mask.
fn number(family: &mut [Node]) {
    let centre = |node: &Node| node.body.bounds.centre();
    if let Some(apart) = Bounds::of(family.iter().map(centre)) {
        // Height goes first where two axes are equal.
        let mut axes = [2, 1, 0];
        axes.sort_by(|&a, &b| apart.size()[b].total_cmp(&apart.size()[a]));
        let along = |node: &Node| axes.map(|axis| centre(node)[axis]);
        family.sort_by(|a, b| {
            let each = along(a).into_iter().zip(along(b)).map(|(a, b)| a.total_cmp(&b));
            each.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then)
        });
    }
    for (body, node) in family.iter_mut().enumerate() {
        node.id.body = body as u32;
    }
}

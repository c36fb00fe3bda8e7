//! The facets of binary STL.

use super::ReadProblem;
use super::blocks::for_each_block;
use super::source::Source;
use super::stl::{Collector, Facets, RECORD};
use crate::merge::{FACETS_PER_RUN, Facet};
use crate::{EdgeTable, Progress};
use std::io::Read;

/// Reads `count` facets from where the source is. Whoever calls has seen that the file is long enough.
pub(super) fn facets(source: &mut dyn Source, count: u64, progress: &Progress) -> Result<Facets, ReadProblem> {
    if count > EdgeTable::MAX_FACES as u64 {
        return Err(ReadProblem::TooLarge { limit: EdgeTable::MAX_FACES as u64, of: "facets" });
    }
    let bytes = count * RECORD;
    let mut left = bytes;
    let next = |block: &mut Vec<u8>| {
        block.clear();
        if left == 0 {
            return Ok(None);
        }
        let wanted = left.min(BLOCK);
        (&mut *source).take(wanted).read_to_end(block)?;
        if block.len() as u64 != wanted {
            return Err(std::io::Error::from(std::io::ErrorKind::UnexpectedEof).into());
        }
        left -= wanted;
        Ok(Some(1.0 - left as f64 / bytes as f64))
    };
    let work = |block: &mut Vec<u8>| {
        let mut facets = Collector::default();
        block.as_chunks().0.iter().try_for_each(|record| facets.push(corners(record)))?;
        Ok(facets.finish())
    };
    Ok(for_each_block(next, work, progress)?.into_iter().fold(Facets::default(), Facets::and))
}

/// One run of facets.
const BLOCK: u64 = FACETS_PER_RUN as u64 * RECORD;

/// The corners of a record: they stand behind the normal, which is not used, and before the attribute.
fn corners(record: &[u8; RECORD as usize]) -> Facet {
    let mut facet = [[0.0; 3]; 3];
    for (x, bytes) in facet.as_flattened_mut().iter_mut().zip(record[12..].as_chunks().0) {
        *x = f32::from_le_bytes(*bytes);
    }
    facet
}

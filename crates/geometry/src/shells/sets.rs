//! Disjoint sets that many threads join at once.

use std::sync::atomic::{AtomicU32, Ordering::Relaxed};

use rayon::prelude::*;

/// Sets of numbers. The lowest stands for its set, whatever the order in which they were joined.
///
/// Links go from higher to lower numbers, paths are halved on the way (Anderson and Woll, "Wait-free parallel algorithms
/// for the union-find problem", 1991). All that is ever stored for a number is one of its set that is no higher, so that no
/// order between memory accesses is needed.
pub(super) struct Sets {
    parent: Vec<AtomicU32>,
}

impl Sets {
    /// Each of `0..count` by itself.
    pub(super) fn new(count: usize) -> Sets {
        Sets { parent: (0..count as u32).into_par_iter().map(AtomicU32::new).collect() }
    }

    /// What stands for the set of `i` now.
    pub(super) fn find(&self, mut i: u32) -> u32 {
        loop {
            let above = self.parent[i as usize].load(Relaxed);
            if above == i {
                return i;
            }
            let higher = self.parent[above as usize].load(Relaxed);
            if higher == above {
                return above;
            }
            self.parent[i as usize].store(higher, Relaxed);
            i = higher;
        }
    }

    /// Makes one of the sets of two.
    pub(super) fn join(&self, a: u32, b: u32) {
        loop {
            let (a, b) = (self.find(a), self.find(b));
            if a == b {
                return;
            }
            // Somebody else may have joined the higher one to another meanwhile.
            if self.parent[a.max(b) as usize].compare_exchange(a.max(b), a.min(b), Relaxed, Relaxed).is_ok() {
                return;
            }
        }
    }

    /// For each number one of its set that is no higher, itself for the lowest alone.
    pub(super) fn into_parents(self) -> Vec<u32> {
        self.parent.into_iter().map(AtomicU32::into_inner).collect()
    }
}

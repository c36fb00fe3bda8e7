//! Numbering distinct places in the order in which they first come by.

use super::TooManyVertices;
use crate::Point;

/// Three coordinates, as a file holds them. Two are the same place when they are equal bit for bit, 0.0 and −0.0 being
/// one.
pub(crate) trait Place: Copy + Send + Sync {
    /// What places are told apart by.
    type Key: Copy + Eq;
    /// Adding 0 turns −0 into 0 and changes nothing else.
    fn key(self) -> Self::Key;
    /// Well mixed, the highest bits best.
    fn hash(key: Self::Key) -> u64;
    /// In 64 bits, −0 made 0.
    fn point(self) -> Point;
}

impl Place for [f32; 3] {
    type Key = [u32; 3];

    fn key(self) -> [u32; 3] {
        self.map(|x| (x + 0.0).to_bits())
    }

    fn hash([x, y, z]: [u32; 3]) -> u64 {
        mix(mix(u64::from(x) | u64::from(y) << 32) ^ u64::from(z))
    }

    fn point(self) -> Point {
        Point::from(self.map(|x| f64::from(x + 0.0)))
    }
}

impl Place for [f64; 3] {
    type Key = [u64; 3];

    fn key(self) -> [u64; 3] {
        self.map(|x| (x + 0.0).to_bits())
    }

    fn hash([x, y, z]: [u64; 3]) -> u64 {
        mix(mix(mix(x) ^ y) ^ z)
    }

    fn point(self) -> Point {
        Point::from(self.map(|x| x + 0.0))
    }
}

/// Multiplies by 2⁶⁴ over the golden ratio (the increment of SplitMix64; Steele, Lea, Flood, "Fast splittable
/// pseudorandom number generators", 2014) and folds the high half of the full product into the low one, so that every
/// bit of the result depends on all of `x`.
fn mix(x: u64) -> u64 {
    let product = u128::from(x) * 0x9E37_79B9_7F4A_7C15;
    product as u64 ^ (product >> 64) as u64
}

/// Open addressing over indices into `places`.
#[derive(Debug)]
pub(crate) struct Numbering<P> {
    /// The distinct places.
    pub(crate) places: Vec<P>,
    /// Indices into `places`, or `FREE`; a power of two of them.
    slots: Vec<u32>,
    /// 64 less the logarithm of the number of slots: the hash is shifted down by it.
    shift: u32,
}

const FREE: u32 = u32::MAX;

impl<P: Place> Numbering<P> {
    /// Sized for about `expected` places; it grows when there are more.
    pub(crate) fn with_room_for(expected: usize) -> Numbering<P> {
        let slots = expected.saturating_mul(2).next_power_of_two().max(16);
        Numbering { places: Vec::with_capacity(expected), slots: vec![FREE; slots], shift: 64 - slots.trailing_zeros() }
    }

    /// Forgets all places and keeps the room.
    pub(crate) fn clear(&mut self) {
        self.places.clear();
        self.slots.fill(FREE);
    }

    /// The number of the place, a fresh one if it was not seen before.
    pub(crate) fn number(&mut self, place: P) -> Result<u32, TooManyVertices> {
        let key = place.key();
        let mask = self.slots.len() - 1;
        let mut slot = (P::hash(key) >> self.shift) as usize;
        loop {
            match self.slots[slot] {
                FREE => break,
                index if self.places[index as usize].key() == key => return Ok(index),
                _ => slot = (slot + 1) & mask,
            }
        }
        let index = u32::try_from(self.places.len()).ok().filter(|&index| index != FREE).ok_or(TooManyVertices)?;
        self.places.push(place);
        self.slots[slot] = index;
        if self.places.len() * FULL_DENOMINATOR > self.slots.len() * FULL_NUMERATOR {
            self.grow();
        }
        Ok(index)
    }

    fn grow(&mut self) {
        let mask = self.slots.len() * 2 - 1;
        self.shift -= 1;
        self.slots.clear();
        self.slots.resize(mask + 1, FREE);
        for (index, place) in self.places.iter().enumerate() {
            let mut slot = (P::hash(place.key()) >> self.shift) as usize;
            while self.slots[slot] != FREE {
                slot = (slot + 1) & mask;
            }
            self.slots[slot] = index as u32;
        }
    }
}

/// The table doubles when it is more than 7/10 full: beyond that, chains of taken slots grow long.
const FULL_NUMERATOR: usize = 7;
/// See [`FULL_NUMERATOR`].
const FULL_DENOMINATOR: usize = 10;

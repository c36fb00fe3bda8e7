//! Results kept under the hash of what they were made from.

use std::any::Any;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use sha2::{Digest, Sha256};

/// Results of stages, shared by all evaluations. What was made from the same inputs is never made again while it is
/// kept; what was not asked for longest goes first when the results outgrow their room.
#[derive(Debug)]
pub struct Cache {
    shelf: Mutex<Shelf>,
    room_bytes: usize,
}

/// Room for results unless said otherwise: 3 GiB, which holds some ten states of a four-million-triangle model. Our own
/// choice for machines of 8 GiB and more, no source.
const ROOM_BYTES: usize = 3 << 30;

#[derive(Debug, Default)]
struct Shelf {
    kept: HashMap<Key, Kept>,
    bytes: usize,
    clock: u64,
}

#[derive(Debug)]
struct Kept {
    value: Arc<dyn Any + Send + Sync>,
    bytes: usize,
    used: u64,
}

impl Default for Cache {
    fn default() -> Self {
        Cache::with_room(ROOM_BYTES)
    }
}

impl Cache {
    /// A cache that keeps about this many bytes.
    pub fn with_room(room_bytes: usize) -> Cache {
        Cache { shelf: Mutex::default(), room_bytes }
    }

    /// The value under `key`, made now if it is not kept. Two that ask for the same at once may both make it.
    pub(crate) fn get_or_make<T: Weigh + Send + Sync + 'static, E>(
        &self,
        key: Key,
        make: impl FnOnce() -> Result<T, E>,
    ) -> Result<Arc<T>, E> {
        if let Some(known) = self.get(key) {
            return Ok(known);
        }
        let value = Arc::new(make()?);
        self.keep(key, value.clone());
        Ok(value)
    }

    /// The value under `key`, if it is kept.
    pub(crate) fn get<T: Send + Sync + 'static>(&self, key: Key) -> Option<Arc<T>> {
        let mut shelf = self.lock();
        shelf.clock += 1;
        let now = shelf.clock;
        let kept = shelf.kept.get_mut(&key)?;
        kept.used = now;
        kept.value.clone().downcast().ok()
    }

    fn keep<T: Weigh + Send + Sync + 'static>(&self, key: Key, value: Arc<T>) {
        let bytes = value.bytes();
        let mut shelf = self.lock();
        shelf.clock += 1;
        let used = shelf.clock;
        shelf.bytes += bytes;
        if let Some(replaced) = shelf.kept.insert(key, Kept { value, bytes, used }) {
            shelf.bytes -= replaced.bytes;
        }
        while shelf.bytes > self.room_bytes && shelf.kept.len() > 1 {
            let Some(oldest) = shelf.kept.iter().min_by_key(|(_, kept)| kept.used).map(|(key, _)| *key) else { break };
            if let Some(gone) = shelf.kept.remove(&oldest) {
                shelf.bytes -= gone.bytes;
            }
        }
    }

    /// A panic in another thread leaves the shelf whole: nothing in here stops half-way through a change.
    fn lock(&self) -> MutexGuard<'_, Shelf> {
        self.shelf.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// How much room a result takes.
pub(crate) trait Weigh {
    /// Bytes, roughly.
    fn bytes(&self) -> usize;
}

/// Hash of the inputs of a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Key([u8; 16]);

impl Key {
    /// A key for results of kind `kind`.
    pub fn new(kind: &str) -> Key {
        Key([0; 16]).with(kind.as_bytes())
    }

    /// This key with one more input.
    pub fn with(self, input: &[u8]) -> Key {
        let mut hash = Sha256::new();
        hash.update(self.0);
        hash.update((input.len() as u64).to_le_bytes());
        hash.update(input);
        let mut key = [0; 16];
        key.copy_from_slice(&hash.finalize()[..16]);
        Key(key)
    }

    /// This key with numbers as inputs.
    pub fn with_numbers(self, numbers: &[f64]) -> Key {
        let bytes: Vec<u8> = numbers.iter().flat_map(|x| x.to_bits().to_le_bytes()).collect();
        self.with(&bytes)
    }

    /// This key with another result as an input.
    pub fn with_key(self, other: Key) -> Key {
        self.with(&other.0)
    }

    /// The key of a result of another kind that is made from the one under this key.
    pub fn then(self, kind: &str) -> Key {
        self.with(kind.as_bytes())
    }
}

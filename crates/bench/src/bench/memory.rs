//! The memory of this process, in MiB: as Linux counts it, and as an allocator does.

use std::fs;

/// An allocator that counts what it is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Counting {
    /// Bytes that are live now.
    pub live: fn() -> usize,
    /// The most that were live since the process began.
    pub most: fn() -> usize,
}

/// Forgets earlier peaks and gives what is held now.
pub fn begin() -> Option<f64> {
    // "5" resets the peak: proc_pid_clear_refs(5).
    fs::write("/proc/self/clear_refs", "5").ok()?;
    read("VmRSS:")
}

/// The most that was held since [`begin`].
pub fn peak() -> Option<f64> {
    read("VmHWM:")
}

fn read(name: &str) -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let kib = status.lines().find_map(|line| line.strip_prefix(name))?;
    kib.split_whitespace().next()?.parse::<f64>().ok().map(|kib| kib / 1024.0)
}

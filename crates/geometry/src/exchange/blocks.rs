//! Going through the blocks of a file with all cores: one reads the next block while others work on those before.

use super::ReadProblem;
use crate::Progress;
use std::sync::Mutex;

/// Calls `work` on every block that `next` gives, on all threads of the pool, and returns what it made, in the order
/// of the blocks.
///
/// `next` fills the buffer that it is handed (which a former block may have used) and says how far through the file it
/// came, as a fraction, or `None` at the end. Progress is reported and cancelling heard after every block.
pub(super) fn for_each_block<T: Send, B: Default + Send>(
    next: impl FnMut(&mut B) -> Result<Option<f64>, ReadProblem> + Send,
    work: impl Fn(&mut B) -> Result<T, ReadProblem> + Sync,
    progress: &Progress,
) -> Result<Vec<T>, ReadProblem> {
    let feed = Mutex::new((next, 0_usize));
    let made = Mutex::new(Vec::new());
    // The failure of the first block is told, whichever came to light first.
    let failure: Mutex<Option<(usize, ReadProblem)>> = Mutex::new(None);
    let fail = |block: usize, problem: ReadProblem| {
        let mut failure = lock(&failure);
        if failure.as_ref().is_none_or(|(earlier, _)| block < *earlier) {
            *failure = Some((block, problem));
        }
    };
    let worker = || {
        let mut buffer = B::default();
        while lock(&failure).is_none() {
            let number = {
                let mut feed = lock(&feed);
                let number = feed.1;
                let read = progress.check().map_err(ReadProblem::from).and_then(|()| feed.0(&mut buffer));
                match read {
                    Ok(Some(fraction)) => progress.report(fraction),
                    Ok(None) => return,
                    Err(problem) => return fail(number, problem),
                }
                feed.1 += 1;
                number
            };
            match work(&mut buffer) {
                Ok(result) => lock(&made).push((number, result)),
                Err(problem) => return fail(number, problem),
            }
        }
    };
    rayon::scope(|scope| (0..rayon::current_num_threads()).for_each(|_| scope.spawn(|_| worker())));
    if let Some((_, problem)) = failure.into_inner().unwrap_or_else(|poisoned| poisoned.into_inner()) {
        return Err(problem);
    }
    let mut made = made.into_inner().unwrap_or_else(|poisoned| poisoned.into_inner());
    made.sort_by_key(|(number, _)| *number);
    Ok(made.into_iter().map(|(_, result)| result).collect())
}

fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(|poisoned| poisoned.into_inner())
}

//! Taking a lock.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// The thing behind a lock. A thread that failed while holding it left nothing half done: every
/// change of the garage is one transaction, and the rest is replaced whole.
pub(crate) fn locked<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

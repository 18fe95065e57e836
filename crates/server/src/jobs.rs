//! Long work off the request path, with its progress, that can be stopped.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use tokio::time::Instant;

use crate::error::ErrorWhy;

/// Finished work is kept so long for whoever asked.
const KEPT: Duration = Duration::from_secs(600);
/// Work that waits or runs at once.
const MOST: usize = 16;

/// How far a piece of work is.
#[derive(Debug, Clone)]
pub(crate) enum Progress {
    Waiting,
    /// The share that is done, where it is known.
    Running(Option<f64>),
    /// The answer as JSON text.
    Done(Arc<Vec<u8>>),
    Failed(Box<ErrorWhy>),
    Cancelled,
}

/// A piece of work.
#[derive(Debug, Clone)]
pub(crate) struct Job {
    pub question: &'static str,
    pub progress: Progress,
    /// Set by whoever wants it stopped.
    pub stop: Arc<AtomicBool>,
    ended: Option<Instant>,
}

/// All work that waits, runs, or ended lately.
#[derive(Debug, Default)]
pub(crate) struct Jobs {
    all: BTreeMap<u64, Job>,
    last: u64,
}

impl Jobs {
    /// Takes a piece of work in; nothing when there is too much already.
    pub(crate) fn begin(&mut self, question: &'static str, now: Instant) -> Option<(u64, Job)> {
        self.all.retain(|_, own| own.ended.is_none_or(|ended| now.duration_since(ended) < KEPT));
        if self.all.values().filter(|own| own.ended.is_none()).count() >= MOST {
            return None;
        }
        self.last += 1;
        let stop = Arc::new(AtomicBool::new(false));
        let job = Job { question, progress: Progress::Waiting, stop, ended: None };
        self.all.insert(self.last, job.clone());
        Some((self.last, job))
    }

    pub(crate) fn get(&self, id: u64) -> Option<Job> {
        self.all.get(&id).cloned()
    }

    /// Notes progress; what has ended does not begin again.
    pub(crate) fn set(&mut self, id: u64, progress: Progress, now: Instant) -> bool {
        let Some(job) = self.all.get_mut(&id).filter(|own| own.ended.is_none()) else {
            return false;
        };
        if !matches!(progress, Progress::Waiting | Progress::Running(_)) {
            job.ended = Some(now);
        }
        job.progress = progress;
        true
    }

    /// Stops a piece of work that has not ended.
    pub(crate) fn cancel(&mut self, id: u64, now: Instant) -> bool {
        if let Some(job) = self.all.get(&id) {
            job.stop.store(true, Ordering::Relaxed);
        }
        self.set(id, Progress::Cancelled, now)
    }
}

impl Job {
    /// `waiting`, `running`, `done`, `failed` or `cancelled`.
    pub(crate) fn status(&self) -> &'static str {
        match self.progress {
            Progress::Waiting => "waiting",
            Progress::Running(_) => "running",
            Progress::Done(_) => "done",
            Progress::Failed(_) => "failed",
            Progress::Cancelled => "cancelled",
        }
    }

    /// The share that is done, where it is known.
    pub(crate) fn done(&self) -> Option<f64> {
        match self.progress {
            Progress::Running(share) => share,
            Progress::Done(_) => Some(1.0),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_that_was_cancelled_does_not_end_a_second_time() {
        let now = Instant::now();
        let mut jobs = Jobs::default();
        let (id, job) = jobs.begin("diagnose", now).unwrap();
        assert!(jobs.set(id, Progress::Running(Some(0.5)), now));
        assert!(jobs.cancel(id, now));
        assert!(job.stop.load(Ordering::Relaxed));
        assert!(!jobs.set(id, Progress::Done(Arc::default()), now));
        assert_eq!(jobs.get(id).unwrap().status(), "cancelled");
    }

    #[test]
    fn more_work_than_can_wait_is_refused_and_ended_work_is_forgotten() {
        let now = Instant::now();
        let mut jobs = Jobs::default();
        let ids: Vec<u64> = (0..MOST).map(|_| jobs.begin("diagnose", now).unwrap().0).collect();
        assert!(jobs.begin("diagnose", now).is_none());
        jobs.cancel(ids[0], now);
        assert!(jobs.begin("diagnose", now).is_some());
        let later = now + KEPT;
        assert!(jobs.begin("diagnose", later).is_none());
        assert!(jobs.get(ids[0]).is_none());
    }
}

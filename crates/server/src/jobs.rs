//! Long work off the request path, with its progress, that can be stopped.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use garage::DeviceId;
use tokio::time::Instant;

use crate::error::ErrorWhy;

/// Finished work is kept so long for whoever asked.
const KEPT: Duration = Duration::from_secs(600);
/// So much of it is kept in all, and of one device; the oldest goes first.
const KEPT_BYTES: usize = 64 << 20;
const KEPT_BYTES_OF_ONE: usize = 16 << 20;
/// Work at which nobody looked for so long has nobody who waits for it: pages look several times a second, and
/// browsers let a hidden one look once a minute.
const UNWATCHED: Duration = Duration::from_secs(300);
/// Work that waits or runs at once.
const MOST: usize = 16;
/// The same of all devices together: some places are always the desk's.
const MOST_OF_DEVICES: usize = 12;
/// The same of one device; what it asks beyond takes the place of what it asked first.
const MOST_OF_ONE: usize = 4;

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
    /// The device that began it; nothing for the desk.
    pub owner: Option<DeviceId>,
    looked: Instant,
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
    pub(crate) fn begin(
        &mut self,
        question: &'static str,
        owner: Option<DeviceId>,
        now: Instant,
    ) -> Option<(u64, Job)> {
        self.forget(now);
        if let Some(own) = owner {
            let mine: Vec<u64> = self.unfinished(|job| job.owner == Some(own)).collect();
            if let Some(first) = mine.first().filter(|_| mine.len() >= MOST_OF_ONE) {
                self.cancel(*first, now);
            }
            if self.unfinished(|job| job.owner.is_some()).count() >= MOST_OF_DEVICES {
                return None;
            }
        }
        if self.unfinished(|_| true).count() >= MOST {
            return None;
        }
        self.last += 1;
        let (stop, progress) = (Arc::new(AtomicBool::new(false)), Progress::Waiting);
        let job = Job { question, progress, stop, owner, looked: now, ended: None };
        self.all.insert(self.last, job.clone());
        Some((self.last, job))
    }

    fn unfinished(&self, which: impl Fn(&Job) -> bool) -> impl Iterator<Item = u64> {
        let wanted = self.all.iter().filter(move |(_, job)| job.ended.is_none() && which(job));
        wanted.map(|(id, _)| *id)
    }

    /// A piece of work as whoever may know of it sees it: the device that began it, and the desk.
    pub(crate) fn look(&mut self, id: u64, caller: Option<DeviceId>, now: Instant) -> Option<Job> {
        let job = self.all.get_mut(&id)?;
        if caller.is_some() && caller != job.owner {
            return None;
        }
        job.looked = now;
        Some(job.clone())
    }

    /// Its state, for those who are told of all work.
    pub(crate) fn get(&self, id: u64) -> Option<Job> {
        self.all.get(&id).cloned()
    }

    /// Drops what is too old, stops what nobody looks at; gives what was stopped.
    pub(crate) fn forget(&mut self, now: Instant) -> Vec<u64> {
        self.all.retain(|_, own| own.ended.is_none_or(|ended| now.duration_since(ended) < KEPT));
        let unwatched: Vec<u64> =
            self.unfinished(|job| now.duration_since(job.looked) >= UNWATCHED).collect();
        unwatched.into_iter().filter(|id| self.cancel(*id, now)).collect()
    }

    /// Stops whatever a device began and drops what it has got; gives what was stopped.
    pub(crate) fn cancel_all_of(&mut self, device: DeviceId, now: Instant) -> Vec<u64> {
        let mine: Vec<u64> = self.unfinished(|job| job.owner == Some(device)).collect();
        let stopped = mine.into_iter().filter(|id| self.cancel(*id, now)).collect();
        self.all.retain(|_, job| job.owner != Some(device) || job.bytes() == 0);
        stopped
    }

    /// Drops the oldest finished work beyond the bound: first of the one who has just got an answer, which itself
    /// stays, then of all.
    fn trim(&mut self, last: u64) {
        let owner = self.all.get(&last).and_then(|own| own.owner);
        if owner.is_some() {
            self.trim_to(KEPT_BYTES_OF_ONE, last, |job| job.owner == owner);
        }
        self.trim_to(KEPT_BYTES, last, |_| true);
    }

    fn trim_to(&mut self, most: usize, last: u64, which: impl Fn(&Job) -> bool) {
        let mut finished: Vec<(Instant, u64, usize)> = Vec::new();
        for (id, job) in self.all.iter().filter(|(_, job)| which(job)) {
            if let Some(ended) = job.ended {
                finished.push((ended, *id, job.bytes()));
            }
        }
        finished.sort_unstable();
        let mut kept: usize = finished.iter().map(|(.., bytes)| bytes).sum();
        for (_, id, bytes) in finished {
            if kept <= most {
                break;
            }
            if id != last && bytes > 0 {
                self.all.remove(&id);
                kept -= bytes;
            }
        }
    }

    /// Notes progress; what has ended does not begin again.
    pub(crate) fn set(&mut self, id: u64, progress: Progress, now: Instant) -> bool {
        let Some(job) = self.all.get_mut(&id).filter(|own| own.ended.is_none()) else {
            return false;
        };
        let ends = !matches!(progress, Progress::Waiting | Progress::Running(_));
        job.ended = ends.then_some(now);
        job.progress = progress;
        if ends {
            self.trim(id);
        }
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

    /// What its answer takes.
    fn bytes(&self) -> usize {
        match &self.progress {
            Progress::Done(answer) => answer.len(),
            _ => 0,
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

    const PHONE: Option<DeviceId> = Some(DeviceId(1));
    const OTHER: Option<DeviceId> = Some(DeviceId(2));

    #[test]
    fn work_that_was_cancelled_does_not_end_a_second_time() {
        let now = Instant::now();
        let mut jobs = Jobs::default();
        let (id, job) = jobs.begin("diagnose", None, now).unwrap();
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
        let ids: Vec<u64> =
            (0..MOST).map(|_| jobs.begin("diagnose", None, now).unwrap().0).collect();
        assert!(jobs.begin("diagnose", None, now).is_none());
        jobs.cancel(ids[0], now);
        assert!(jobs.begin("diagnose", None, now).is_some());
        // By the clock, without anybody asking for more.
        jobs.forget(now + KEPT);
        assert!(jobs.get(ids[0]).is_none());
    }

    #[test]
    fn a_device_that_asks_too_much_stops_its_own_and_leaves_places_to_the_desk() {
        let now = Instant::now();
        let mut jobs = Jobs::default();
        let (other, _) = jobs.begin("diagnose", OTHER, now).unwrap();
        let ids: Vec<u64> =
            (0..40).map(|_| jobs.begin("diagnose", PHONE, now).unwrap().0).collect();
        let (stopped, running) = ids.split_at(ids.len() - MOST_OF_ONE);
        assert!(stopped.iter().all(|id| jobs.get(*id).unwrap().status() == "cancelled"));
        assert!(running.iter().all(|id| jobs.get(*id).unwrap().status() == "waiting"));
        assert_eq!(jobs.get(other).unwrap().status(), "waiting");
        let many = (3..20).flat_map(|device| (0..MOST_OF_ONE).map(move |_| DeviceId(device)));
        let begun = many.filter(|own| jobs.begin("diagnose", Some(*own), now).is_some()).count();
        assert_eq!(begun, MOST_OF_DEVICES - MOST_OF_ONE - 1);
        assert!(jobs.begin("diagnose", None, now).is_some());
    }

    #[test]
    fn a_device_sees_its_own_work_alone_and_the_desk_sees_all() {
        let now = Instant::now();
        let mut jobs = Jobs::default();
        let (desk, _) = jobs.begin("diagnose", None, now).unwrap();
        let (phone, _) = jobs.begin("diagnose", PHONE, now).unwrap();
        assert!(jobs.look(desk, PHONE, now).is_none());
        assert!(jobs.look(phone, OTHER, now).is_none());
        assert!(jobs.look(phone, PHONE, now).is_some());
        assert!(jobs.look(phone, None, now).is_some());
    }

    #[test]
    fn what_nobody_looks_at_is_stopped_and_what_a_revoked_device_began_too() {
        let now = Instant::now();
        let mut jobs = Jobs::default();
        let (left, _) = jobs.begin("diagnose", None, now).unwrap();
        let (watched, _) = jobs.begin("diagnose", None, now).unwrap();
        let (phone, _) = jobs.begin("diagnose", PHONE, now).unwrap();
        assert_eq!(jobs.cancel_all_of(DeviceId(1), now), [phone]);
        jobs.look(watched, None, now + UNWATCHED / 2);
        assert_eq!(jobs.forget(now + UNWATCHED), [left]);
        assert_eq!(jobs.get(watched).unwrap().status(), "waiting");
    }

    #[test]
    fn finished_work_is_kept_by_its_bytes_the_oldest_going_first() {
        let now = Instant::now();
        let mut jobs = Jobs::default();
        let mut done = |owner, bytes: usize, after: u64| {
            let now = now + Duration::from_millis(after);
            let (id, _) = jobs.begin("failures", owner, now).unwrap();
            assert!(jobs.set(id, Progress::Done(Arc::new(vec![0; bytes])), now));
            let kept = jobs.all.values().map(Job::bytes).sum::<usize>();
            (id, kept, jobs.all.keys().copied().collect::<Vec<_>>())
        };
        let (desk, ..) = done(None, 10 << 20, 0);
        let mut all = Vec::new();
        for after in 1..12 {
            let (id, kept, known) = done(PHONE, 5 << 20, after);
            assert!(kept <= (10 << 20) + KEPT_BYTES_OF_ONE && known.contains(&id), "{kept}");
            all = known;
        }
        // A device pushes out its own answers, and no one else's.
        assert!(all.contains(&desk) && all.len() == 4, "{all:?}");
        for after in 12..40 {
            let (id, kept, known) = done(None, 5 << 20, after);
            assert!(kept <= KEPT_BYTES && known.contains(&id), "{kept}");
            all = known;
        }
        assert!(!all.contains(&desk));
        // One that is larger than all together is there for whoever asked.
        let (id, kept, known) = done(None, KEPT_BYTES + 1, 40);
        assert_eq!((kept, known), (KEPT_BYTES + 1, vec![id]));
    }
}

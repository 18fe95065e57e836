//! Who waits for an answer: what nobody waits for any more is stopped, and a device has one question at a time.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};

use garage::DeviceId;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

use crate::error::ApiError;
use crate::lock::locked;
use crate::slug::Slug;

/// Questions of one device that wait for their turn.
const MOST_WAITING: usize = 8;

/// A paired device, as long as the program runs.
#[derive(Debug)]
struct Asker {
    /// One question at a time.
    turn: Arc<Semaphore>,
    waiting: AtomicUsize,
    /// Its key was taken away, or its time is over.
    gone: Arc<AtomicBool>,
}

/// All devices that have asked something.
#[derive(Debug, Default)]
pub(crate) struct Askers(BTreeMap<DeviceId, Arc<Asker>>);

impl Askers {
    fn of(&mut self, device: DeviceId) -> Arc<Asker> {
        let fresh = || {
            Arc::new(Asker {
                turn: Arc::new(Semaphore::new(1)),
                waiting: AtomicUsize::new(0),
                gone: Arc::default(),
            })
        };
        Arc::clone(self.0.entry(device).or_insert_with(fresh))
    }

    /// Ends all that a device asked, and lets it ask nothing more.
    pub(crate) fn end(&mut self, device: DeviceId) {
        let asker = self.of(device);
        asker.gone.store(true, Ordering::Relaxed);
        asker.turn.close();
    }
}

/// Asked now and then by whatever computes: is it to stop?
#[derive(Debug, Clone, Default)]
pub(crate) struct Stop {
    /// Nobody waits for the answer.
    left: Arc<AtomicBool>,
    /// Whoever asked may ask nothing more.
    gone: Arc<AtomicBool>,
}

impl Stop {
    /// True when it is to stop.
    pub(crate) fn is_set(&self) -> bool {
        self.left.load(Ordering::Relaxed) || self.gone.load(Ordering::Relaxed)
    }
}

/// The right to have something computed, as long as somebody waits for it.
///
/// It is dropped with the request, also when the connection breaks off: what is computed then stops.
#[derive(Debug)]
pub(crate) struct Turn {
    pub(crate) stop: Stop,
    pub(crate) device: Option<DeviceId>,
    /// Of a device; goes back once the computing has really ended.
    pub(crate) permit: Option<Arc<OwnedSemaphorePermit>>,
}

impl Turn {
    /// Of the program itself, which waits to the end.
    pub(crate) fn own() -> Self {
        Self { stop: Stop::default(), device: None, permit: None }
    }

    /// Of a device, after its own earlier questions.
    pub(crate) async fn of(askers: &Mutex<Askers>, device: DeviceId) -> Result<Self, ApiError> {
        let asker = locked(askers).of(device);
        let waiting = Waiting(Arc::clone(&asker));
        if asker.waiting.fetch_add(1, Ordering::Relaxed) >= MOST_WAITING {
            return Err(ApiError::too_many(1));
        }
        let permit = Arc::clone(&asker.turn).acquire_owned().await.map_err(|_| gone())?;
        drop(waiting);
        let stop = Stop { left: Arc::default(), gone: Arc::clone(&asker.gone) };
        Ok(Self { stop, device: Some(device), permit: Some(Arc::new(permit)) })
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        self.stop.left.store(true, Ordering::Relaxed);
    }
}

/// Counts who waits, also when they leave before their turn.
struct Waiting(Arc<Asker>);

impl Drop for Waiting {
    fn drop(&mut self) {
        self.0.waiting.fetch_sub(1, Ordering::Relaxed);
    }
}

/// The answer to somebody whose key was taken away while they waited.
pub(crate) fn gone() -> ApiError {
    let what = "the key was taken away, or its time is over";
    let expected = Some("a new pairing, from “Let a phone in” at the desk, under Hand on");
    ApiError::new(Slug::KeyRefused, what, expected)
}

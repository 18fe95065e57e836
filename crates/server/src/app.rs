//! What all requests share.

use std::net::SocketAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use garage::{Garage, GarageError};
use jiff::Timestamp;
use tokio::sync::Semaphore;

use crate::asking::Askers;
use crate::error::ApiError;
use crate::events::Events;
use crate::jobs::Jobs;
use crate::limits::Limits;
use crate::pairing::Pairings;
use crate::run::Template;
use crate::subject::Known;

/// What all requests share.
#[derive(Debug)]
pub(crate) struct App {
    pub garage: Mutex<Garage>,
    /// Digest of the key of the desk.
    pub desk: [u8; 32],
    /// Every address at which the server listens.
    pub addresses: Vec<SocketAddr>,
    /// The address for other devices; nothing unless the server is shared.
    pub shared: Option<SocketAddr>,
    pub layouts: Vec<Template>,
    pub examples: Vec<Template>,
    pub program: String,
    /// How long an answer rests each time it tells how far it is.
    pub pace: Duration,
    pub events: Events,
    pub pairings: Mutex<Pairings>,
    pub limits: Mutex<Limits>,
    pub known: Mutex<Known>,
    pub jobs: Mutex<Jobs>,
    pub askers: Mutex<Askers>,
    /// One permit for each core: more computing at once would only be slower.
    pub cores: Arc<Semaphore>,
    /// How many of them devices may have together: one fewer, so that the desk never waits for them.
    pub device_cores: Arc<Semaphore>,
}

/// The same for every request.
pub(crate) type Shared = Arc<App>;

impl App {
    /// With an empty desk: nobody has a key, and nothing listens.
    pub(crate) fn alone(garage: Garage, program: String) -> Self {
        // On a single core too the desk and a device take turns by the system's clock, not by ours.
        let cores = std::thread::available_parallelism().map_or(2, std::num::NonZero::get).max(2);
        Self {
            garage: Mutex::new(garage),
            desk: [0; 32],
            addresses: Vec::new(),
            shared: None,
            layouts: Vec::new(),
            examples: Vec::new(),
            program,
            pace: Duration::ZERO,
            events: Events::default(),
            pairings: Mutex::default(),
            limits: Mutex::default(),
            known: Mutex::default(),
            jobs: Mutex::default(),
            askers: Mutex::default(),
            cores: Arc::new(Semaphore::new(cores)),
            device_cores: Arc::new(Semaphore::new(cores - 1)),
        }
    }

    /// Does something with the garage on a thread that may wait for the disk.
    pub(crate) async fn garage<T: Send + 'static>(
        self: &Arc<Self>,
        act: impl FnOnce(&mut Garage) -> Result<T, GarageError> + Send + 'static,
    ) -> Result<T, ApiError> {
        let app = Arc::clone(self);
        let done = tokio::task::spawn_blocking(move || act(&mut locked(&app.garage))).await;
        done.map_err(|error| ApiError::inside(error.to_string()))?.map_err(ApiError::from)
    }

    /// Computes something on a thread of its own, as many at once as there are cores.
    pub(crate) async fn compute<T: Send + 'static>(
        &self,
        act: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, ApiError> {
        let permit = Arc::clone(&self.cores).acquire_owned().await;
        let permit = permit.map_err(|error| ApiError::inside(error.to_string()))?;
        let done = tokio::task::spawn_blocking(move || {
            let done = act();
            drop(permit);
            done
        });
        done.await.map_err(|error| ApiError::inside(error.to_string()))
    }
}

/// The thing behind a lock. A thread that failed while holding it left nothing half done: every
/// change of the garage is one transaction, and the rest is replaced whole.
pub(crate) fn locked<T>(lock: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Now, as the garage keeps it: RFC 3339 in UTC to the millisecond, so that texts sort as times.
pub(crate) fn now() -> String {
    written(Timestamp::now())
}

/// A time as the garage keeps it.
pub(crate) fn written(time: Timestamp) -> String {
    format!("{time:.3}")
}

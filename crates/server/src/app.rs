//! What all requests share.

use std::net::SocketAddr;
use std::sync::{Arc, Mutex};
use std::time::Duration;

use garage::{DeviceId, Garage, GarageError};
use serde_json::json;
use tokio::sync::Semaphore;
use tokio::time::Instant;

use crate::asking::{Askers, Stop, Turn, gone};
use crate::caller::Caller;
use crate::error::ApiError;
use crate::events::Events;
use crate::jobs::Jobs;
use crate::known::Known;
use crate::limits::Limits;
use crate::lock::locked;
use crate::pairing::Pairings;
use crate::template::Template;

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

    /// Waits for the caller's turn: at once for the desk, after its own earlier questions for a device.
    pub(crate) async fn turn(&self, caller: &Caller) -> Result<Turn, ApiError> {
        match caller.device_id() {
            Some(device) => Turn::of(&self.askers, device).await,
            None => Ok(Turn::own()),
        }
    }

    /// Computes something that somebody waits for, on a thread of its own. Devices leave one core to the desk.
    pub(crate) async fn compute_for<T: Send + 'static>(
        &self,
        turn: &Turn,
        act: impl FnOnce(&Stop) -> T + Send + 'static,
    ) -> Result<T, ApiError> {
        let inside = |error: tokio::sync::AcquireError| ApiError::inside(error.to_string());
        let devices = match turn.device {
            Some(_) => {
                let devices = Arc::clone(&self.device_cores).acquire_owned().await;
                Some(devices.map_err(inside)?)
            }
            None => None,
        };
        let (stop, permit) = (turn.stop.clone(), turn.permit.clone());
        let done = self.compute(move || {
            let done = (!stop.is_set()).then(|| act(&stop));
            drop((devices, permit));
            done
        });
        done.await?.ok_or_else(gone)
    }

    /// Ends what a device began, once its key opens nothing any more. The page that asked is told nothing: it has
    /// no key.
    pub(crate) fn end_device(&self, device: DeviceId) {
        locked(&self.askers).end(device);
        let ended = locked(&self.jobs).cancel_all_of(device, Instant::now());
        for id in ended {
            self.tell_of_job(id);
        }
    }

    /// Tells the pages how far a piece of work is.
    pub(crate) fn tell_of_job(&self, id: u64) {
        let job = locked(&self.jobs).get(id);
        if let Some(job) = job {
            let told = json!({ "id": id, "status": job.status(), "done": job.done() });
            self.events.tell("job", &told);
        }
    }
}

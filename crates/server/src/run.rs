//! Starting the server and ending it.

use std::fmt;
use std::future::Future;
use std::io;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use garage::{Garage, GarageError};
use hyper_util::server::graceful::GracefulShutdown;
use serde_json::json;
use tokio::net::TcpListener;
use tokio::time::{Instant, sleep, timeout};

use crate::app::{App, Shared};
use crate::clock::now;
use crate::error::ApiError;
use crate::keys::{Role, digest, new_key};
use crate::lock::locked;
use crate::routes::devices::{USUAL_HOURS, opened};
use crate::template::Template;
use crate::{USUAL_PORT, listen, openapi};

/// Ports tried after the usual one.
const MORE_PORTS: u16 = 20;
/// How often it is looked whether another program has written to the garage.
const LOOK: Duration = Duration::from_secs(2);
/// Connections that are still busy get so long when the program ends.
const FAREWELL: Duration = Duration::from_secs(3);

/// How the server is to be.
#[derive(Debug)]
pub struct Options {
    /// The garage's file.
    pub garage: PathBuf,
    /// The address for other devices; nothing to be open to this machine alone.
    pub share: Option<IpAddr>,
    /// The port; the usual one or the next that is free when left out.
    pub port: Option<u16>,
    /// The vehicle on which the page opens.
    pub vehicle: Option<i64>,
    /// Shapes to begin with.
    pub layouts: Vec<Template>,
    /// Finished examples.
    pub examples: Vec<Template>,
    /// Name and version of the program.
    pub program: String,
    /// How long an answer rests each time it tells how far it is: nothing, except where a test needs a question
    /// that lasts on any machine.
    pub pace: Duration,
}

/// The server listens.
#[derive(Debug, Clone)]
pub struct Ready {
    /// The link for the desk, with its key: whoever has it may do everything.
    pub link: String,
    /// A first pairing, when other devices may be paired.
    pub pairing: Option<FirstPairing>,
    /// Where the page was not built in: why, and how to get it.
    pub without_page: Option<String>,
}

/// A code with which one device can take readings, valid for two minutes.
#[derive(Debug, Clone)]
pub struct FirstPairing {
    /// The address with the code.
    pub link: String,
    /// The address without it.
    pub address: String,
    /// Eight letters to be typed there.
    pub spoken: String,
    /// The link as a QR code of text.
    pub qr: String,
}

/// Why the server cannot run.
#[derive(Debug)]
pub enum ServerError {
    /// The garage cannot be opened.
    Garage(GarageError),
    /// No address could be listened to.
    Address(SocketAddr, io::Error),
    /// The system refuses threads or random numbers.
    System(String),
}

impl fmt::Display for ServerError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Garage(error) => error.fmt(f),
            Self::Address(address, error) if taken(error) => {
                write!(f, "{address} is taken: another program listens there")
            }
            Self::Address(address, error) => write!(f, "{address} cannot be listened to: {error}"),
            Self::System(error) => f.write_str(error),
        }
    }
}

impl std::error::Error for ServerError {}

/// Serves until interrupted, or until `stop` ends; `ready` is told once everything listens.
///
/// # Errors
///
/// When the garage cannot be opened or no address can be listened to.
pub fn run(
    options: Options,
    ready: impl FnOnce(&Ready),
    stop: impl Future<Output = ()>,
) -> Result<(), ServerError> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|error| ServerError::System(error.to_string()))?;
    let done = runtime.block_on(serve(options, ready, stop));
    // Work that still computes is not waited for: nothing of it is to be stored.
    runtime.shutdown_background();
    done
}

async fn serve(
    options: Options,
    ready: impl FnOnce(&Ready),
    stop: impl Future<Output = ()>,
) -> Result<(), ServerError> {
    let mut garage = Garage::open(&options.garage).map_err(ServerError::Garage)?;
    garage.end_keys(&now()).map_err(ServerError::Garage)?;
    let (listeners, port) = listeners(options.share, options.port).await?;
    let system = |error: ApiError| ServerError::System(error.why.what);
    let key = new_key().map_err(system)?;
    let shared = options.share.map(|address| SocketAddr::new(address, port));
    let vehicle = options.vehicle;
    let app: Shared = Arc::new(App {
        desk: digest(&key),
        addresses: listeners.iter().filter_map(|own| own.local_addr().ok()).collect(),
        shared,
        ..app_of(garage, options)
    });
    let router = openapi::router(&app);
    let ends = Arc::new(GracefulShutdown::new());
    let mut tasks = tokio::task::JoinSet::new();
    for listener in listeners {
        tasks.spawn(listen::serve(listener, router.clone(), Arc::clone(&ends)));
    }
    tasks.spawn(watch(Arc::clone(&app)));
    let pairing = shared.map(|address| first_pairing(&app, address, vehicle));
    let pairing = pairing.transpose().map_err(system)?;
    let link = desk_link(port, &key, vehicle);
    ready(&Ready { link, pairing, without_page: web::without() });
    until_ended(stop).await;
    tasks.shutdown().await;
    app.events.tell("stop", &json!({}));
    farewell(ends).await;
    Ok(())
}

/// What is served of a garage, to nobody yet.
fn app_of(garage: Garage, options: Options) -> App {
    let Options { layouts, examples, pace, program, .. } = options;
    App { layouts, examples, pace, ..App::alone(garage, program) }
}

fn desk_link(port: u16, key: &str, vehicle: Option<i64>) -> String {
    let at = vehicle.map_or_else(String::new, |id| format!("&vehicle={id}"));
    // The very address that is listened to: a name may lead to another one, and to another program.
    format!("http://{}:{port}/#key={key}{at}", Ipv4Addr::LOCALHOST)
}

/// Lets connections that are still busy finish, for a while.
async fn farewell(ends: Arc<GracefulShutdown>) {
    if let Some(ends) = Arc::into_inner(ends) {
        let _ = timeout(FAREWELL, ends.shutdown()).await;
    }
}

/// Waits until somebody wants the server to end.
async fn until_ended(stop: impl Future<Output = ()>) {
    tokio::select! {
        () = stop => {}
        _ = tokio::signal::ctrl_c() => {}
        () = told_to_end() => {}
    }
}

/// The wish of the system, or of another program, that this one ends.
async fn told_to_end() {
    #[cfg(unix)]
    if let Ok(mut asked) = tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate())
    {
        asked.recv().await;
        return;
    }
    std::future::pending().await
}

fn first_pairing(
    app: &App,
    address: SocketAddr,
    vehicle: Option<i64>,
) -> Result<FirstPairing, ApiError> {
    let opened = opened(app, address, Role::Read, USUAL_HOURS, vehicle)?;
    Ok(FirstPairing {
        qr: opened.qr.to_str(),
        link: opened.link,
        address: format!("http://{address}/p"),
        spoken: opened.spoken,
    })
}

/// Addresses of this machine in its networks, each with the name of its interface.
///
/// # Errors
///
/// When the system does not tell.
pub fn network_addresses() -> Result<Vec<(String, IpAddr)>, ServerError> {
    let all = if_addrs::get_if_addrs().map_err(|error| ServerError::System(error.to_string()))?;
    let usable = all.into_iter().filter(|own| !own.is_loopback() && own.ip().is_ipv4());
    Ok(usable.map(|own| (own.name.clone(), own.ip())).collect())
}

/// Listens on this machine, on IPv6 too where there is any, and on the shared address; on one port that nobody else
/// has on any of them, so that no name and no address of this machine leads to somebody else.
async fn listeners(
    share: Option<IpAddr>,
    port: Option<u16>,
) -> Result<(Vec<TcpListener>, u16), ServerError> {
    let ports: Vec<u16> = match port {
        // The system chooses, of one family only.
        Some(0) => vec![0; usize::from(MORE_PORTS)],
        Some(port) => vec![port],
        None => (USUAL_PORT..=USUAL_PORT + MORE_PORTS).collect(),
    };
    let mut refused = None;
    for port in ports {
        match all_at(share, port).await {
            Ok(all) => return Ok(all),
            Err((address, error)) => {
                refused.get_or_insert(ServerError::Address(address, error));
            }
        }
    }
    Err(refused.unwrap_or_else(|| ServerError::System("there is no port".to_owned())))
}

/// One port at every address, or the first address that cannot be had.
async fn all_at(
    share: Option<IpAddr>,
    port: u16,
) -> Result<(Vec<TcpListener>, u16), (SocketAddr, io::Error)> {
    let at = |address: IpAddr, port: u16| SocketAddr::new(address, port);
    let bound = |address: SocketAddr| async move {
        TcpListener::bind(address).await.map_err(|error| (address, error))
    };
    let first = bound(at(Ipv4Addr::LOCALHOST.into(), port)).await?;
    let port = first.local_addr().map_or(port, |own| own.port());
    let mut all = vec![first];
    match bound(at(Ipv6Addr::LOCALHOST.into(), port)).await {
        Ok(listener) => all.push(listener),
        Err((address, error)) if taken(&error) => return Err((address, error)),
        // There is no IPv6 on this machine, so nobody else has the port there either.
        Err(_) => {}
    }
    if let Some(address) = share.filter(|own| !own.is_loopback()) {
        all.push(bound(at(address, port)).await?);
    }
    Ok((all, port))
}

/// True when somebody else has the port. Windows calls one that is held for one program alone forbidden.
fn taken(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::AddrInUse | io::ErrorKind::PermissionDenied)
}

/// Tells the pages when another program has written to the garage, ends keys whose time is over, and drops work
/// that nobody waits for.
async fn watch(app: Shared) {
    let mut last = None;
    loop {
        sleep(LOOK).await;
        let over = locked(&app.garage).end_keys(&now()).unwrap_or_default();
        for device in over {
            app.end_device(device);
            app.events.tell_from(Role::Desk, "device", &json!({ "id": device.0, "what": "ended" }));
        }
        for job in locked(&app.jobs).forget(Instant::now()) {
            app.tell_of_job(job);
        }
        let now = locked(&app.garage).changes_elsewhere().ok();
        if last.is_some() && now != last {
            app.events.tell("missed", &json!({}));
        }
        last = now;
    }
}

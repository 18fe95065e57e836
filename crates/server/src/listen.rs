//! Taking connections: a few from each address, and none that dawdles.

use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use axum::Router;
use axum::extract::{ConnectInfo, Request};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::time::timeout;

use crate::error::ApiError;
use crate::lock::locked;
use crate::slug::Slug;

/// Connections from one address of the network. This machine may have more: it opens tabs.
const MOST_FROM_ONE: usize = 16;
const MOST_FROM_HERE: usize = 512;
/// A request's head arrives in this time.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// A head larger than this is nobody's.
const LARGEST_HEAD: usize = 32 << 10;
/// A request is read and answered in this time: a photograph over a slow network.
const WHOLE_TIME: Duration = Duration::from_secs(120);

/// How many connections each address has.
#[derive(Debug, Default)]
struct Open(Mutex<BTreeMap<IpAddr, usize>>);

/// One connection, counted while it is there.
struct Counted {
    open: Arc<Open>,
    from: IpAddr,
}

impl Counted {
    fn new(open: &Arc<Open>, from: IpAddr) -> Option<Self> {
        let most = if from.is_loopback() { MOST_FROM_HERE } else { MOST_FROM_ONE };
        let mut all = locked(&open.0);
        let number = all.entry(from).or_default();
        if *number >= most {
            return None;
        }
        *number += 1;
        Some(Self { open: Arc::clone(open), from })
    }
}

impl Drop for Counted {
    fn drop(&mut self) {
        let mut all = locked(&self.open.0);
        if let Some(number) = all.get_mut(&self.from) {
            *number -= 1;
            if *number == 0 {
                all.remove(&self.from);
            }
        }
    }
}

/// Serves every connection of a listener until the task is ended.
pub(crate) async fn serve(listener: TcpListener, router: Router, ends: Arc<GracefulShutdown>) {
    let open = Arc::new(Open::default());
    loop {
        let Ok((stream, from)) = listener.accept().await else {
            // Out of file handles, or the connection is gone already.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        // One too many is closed without a word.
        if let Some(counted) = Counted::new(&open, from.ip()) {
            connection(stream, from, router.clone(), ends.watcher(), counted);
        }
    }
}

fn connection(
    stream: TcpStream,
    from: SocketAddr,
    router: Router,
    watcher: Watcher,
    counted: Counted,
) {
    let _ = stream.set_nodelay(true);
    let service = router.layer(axum::Extension(ConnectInfo(from)));
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIME)
        .max_buf_size(LARGEST_HEAD)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(service));
    let connection = watcher.watch(connection);
    tokio::spawn(async move {
        // A connection that breaks off is the other side's affair.
        let _ = connection.await;
        drop(counted);
    });
}

/// Ends a request that takes too long to arrive or to answer.
pub(crate) async fn in_time(request: Request, next: Next) -> Response {
    timeout(WHOLE_TIME, next.run(request)).await.unwrap_or_else(|_| {
        let what = "the request took too long";
        ApiError::new(Slug::TooSlow, what, None).into_response()
    })
}

//! Everything that happens, as a stream of server-sent events.

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::State;
use axum::response::sse::{Event as Sent, Sse};
use futures_util::stream::{Stream, unfold};
use serde_json::json;
use tokio::sync::broadcast::Receiver;
use tokio::sync::broadcast::error::RecvError;
use tokio::time::timeout;

use crate::app::Shared;
use crate::caller::Caller;
use crate::clock::now;
use crate::events::Event;

/// A comment is sent after so long without an event, so that a lost connection is noticed, and the
/// end of a key too.
const QUIET: Duration = Duration::from_secs(15);

struct Listener {
    caller: Caller,
    events: Receiver<Event>,
    number: u64,
}

/// Everything that happens from now on.
#[utoipa::path(get, path = "/api/events", responses((status = 200, content_type = "text/event-stream", body = String)))]
pub(crate) async fn events(
    State(app): State<Shared>,
    caller: Caller,
) -> Sse<impl Stream<Item = Result<Sent, Infallible>>> {
    let events = app.events.listen();
    let listener = Listener { caller, events, number: 0 };
    Sse::new(unfold(listener, |mut listener| async {
        let sent = listener.next().await?;
        Some((Ok(sent), listener))
    }))
}

impl Listener {
    /// The next thing to be sent; nothing when the key has ended or the server stops.
    async fn next(&mut self) -> Option<Sent> {
        self.number += 1;
        if self.number == 1 {
            return Some(self.sent("hello", &json!({ "now": now() })));
        }
        loop {
            if self.ended() {
                return None;
            }
            let event = match timeout(QUIET, self.events.recv()).await {
                Err(_) => return Some(Sent::default().comment("")),
                Ok(Err(RecvError::Closed)) => return None,
                Ok(Err(RecvError::Lagged(_))) => return Some(self.sent("missed", &json!({}))),
                Ok(Ok(event)) => event,
            };
            if event.kind == "stop" || self.revoked_by(&event) {
                return None;
            }
            if self.caller.role >= event.least {
                return Some(self.sent(event.kind, &event.data));
            }
        }
    }

    fn ended(&self) -> bool {
        self.caller.device.as_ref().is_some_and(|own| own.expires <= now())
    }

    fn revoked_by(&self, event: &Event) -> bool {
        event.kind == "device"
            && (event.data["what"] == "revoked" || event.data["what"] == "ended")
            && self.caller.device_id().is_some_and(|own| event.data["id"] == own.0)
    }

    fn sent(&self, kind: &str, data: &serde_json::Value) -> Sent {
        Sent::default().event(kind).id(self.number.to_string()).data(data.to_string())
    }
}

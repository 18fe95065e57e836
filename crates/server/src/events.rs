//! What happened, told to every open page at once.

use serde::Serialize;
use serde_json::Value;
use tokio::sync::broadcast;

use crate::keys::Role;

/// Events kept for a page that is slow; one that falls further behind loads its lists again.
const KEPT: usize = 256;

/// Something that happened.
#[derive(Debug, Clone)]
pub(crate) struct Event {
    pub kind: &'static str,
    pub data: Value,
    /// Who may be told.
    pub least: Role,
}

/// Everybody who listens.
#[derive(Debug)]
pub(crate) struct Events(broadcast::Sender<Event>);

impl Default for Events {
    fn default() -> Self {
        Self(broadcast::Sender::new(KEPT))
    }
}

impl Events {
    /// Tells everybody who may know.
    pub(crate) fn tell(&self, kind: &'static str, data: &impl Serialize) {
        self.tell_from(Role::Look, kind, data);
    }

    /// Tells everybody from a role upwards.
    pub(crate) fn tell_from(&self, least: Role, kind: &'static str, data: &impl Serialize) {
        let data = serde_json::to_value(data).unwrap_or_default();
        // Nobody listens: nobody need be told.
        let _ = self.0.send(Event { kind, data, least });
    }

    /// Listens from now on.
    pub(crate) fn listen(&self) -> broadcast::Receiver<Event> {
        self.0.subscribe()
    }
}

//! A vehicle before and after a change.

use file::edit::{EditError, add_conductor, set_resistance};
use model::{ConductorId, LoadId, Piece, Vehicle};
use network::{LoadStatus, Network, OperatingPoint};
use units::Ohms;

use super::Asked;
use crate::Refusal;
use crate::refusal::Refused;
use crate::refusal::{Place, states};
use crate::room::Watch;
use crate::unsettled;

/// A vehicle before and after a change.
#[derive(Debug)]
pub struct Found<'v> {
    pub(super) vehicle: &'v Vehicle,
    pub(super) changed: Vehicle,
    pub(super) changes: Vec<Change>,
    /// Each state before and after.
    pub(super) states: Vec<(OperatingPoint, OperatingPoint)>,
}

/// What was changed.
#[derive(Debug, Clone, Copy)]
pub(super) enum Change {
    /// A conductor was added.
    Added(ConductorId),
    /// A resistance was set instead of another.
    Set(Piece, Option<Ohms>),
}

impl<'v> Found<'v> {
    pub(super) fn of(vehicle: &'v Vehicle, asked: &Asked, _: Watch<'_>) -> Result<Self, Refused> {
        if asked.set.is_empty() && asked.add.is_empty() {
            return Err(Refusal::new(
                "nothing is changed",
                "`--set NAME=RESISTANCE` or `--add FROM,TO,SIZE,LENGTH`",
            )
            .into());
        }
        let mut refused = Refused::default();
        let states = refused.keep(states(vehicle, asked.state.as_deref()));
        let mut changed = vehicle.clone();
        let changes = change(&mut changed, asked, &mut refused);
        let states = refused.unless(states)?;
        let (mut before, mut after) = (Network::new(vehicle), Network::new(&changed));
        let states = states
            .into_iter()
            .map(|state| (before.operating_point(state), after.operating_point(state)))
            .collect();
        drop(after);
        Ok(Self { vehicle, changed, changes, states })
    }

    /// The conductors that were added.
    pub(super) fn added(&self) -> Vec<ConductorId> {
        let added = self.changes.iter().filter_map(|own| match own {
            Change::Added(id) => Some(*id),
            Change::Set(..) => None,
        });
        added.collect()
    }

    /// True when a load is worse off than before, or nothing was found.
    pub(super) fn wants_attention(&self) -> bool {
        let worse = |was: &OperatingPoint, is: &OperatingPoint, load: LoadId| {
            let fed = |point: &OperatingPoint| {
                matches!(point.load(load).status, LoadStatus::Fed | LoadStatus::Off)
            };
            fed(was) && !fed(is)
        };
        self.states.iter().any(|(was, is)| {
            let mut loads = (0..self.vehicle.loads.len()).map(LoadId::at);
            loads.any(|load| worse(was, is, load))
                || !unsettled::is_found(was)
                || !unsettled::is_found(is)
        })
    }
}

/// Makes every change; each mistake is kept, not only the first.
fn change(changed: &mut Vehicle, asked: &Asked, refused: &mut Refused) -> Vec<Change> {
    let mut changes = Vec::new();
    for text in &asked.add {
        let added = add_conductor(changed, text).map_err(|error| misread("add", text, error));
        changes.extend(refused.keep(added).map(Change::Added));
    }
    for text in &asked.set {
        let before = text.rsplit_once('=').and_then(|(name, _)| changed.piece_named(name.trim()));
        let was = before.map(|piece| changed.piece_resistance(piece));
        let set = set_resistance(changed, text).map_err(|error| misread("set", text, error));
        changes.extend(refused.keep(set).map(|piece| Change::Set(piece, was)));
    }
    changes
}

fn misread(key: &'static str, text: &str, error: EditError) -> Refusal {
    let place = Place { key, text: text.to_owned(), within: Some(error.place) };
    Refusal {
        what: error.what,
        expected: error.expected,
        hint: error.hint,
        place: Some(Box::new(place)),
    }
}

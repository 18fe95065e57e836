//! Who can gain by a repair: loads, and converters at their input.

use model::{LoadId, RegulatedId, StateId, Vehicle};
use units::Volts;

use crate::forward::{Forward, Guess};

/// What a repair can give volts to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Consumer {
    /// A load, at its terminals.
    Load(LoadId),
    /// A converter, at its input: while it holds its output, its loads feel nothing of what its feed loses.
    Converter(RegulatedId),
}

impl Consumer {
    /// All that are on in a state.
    pub(super) fn on(vehicle: &Vehicle, state: StateId) -> impl Iterator<Item = Self> {
        let loads = (0..vehicle.loads.len()).map(LoadId::at);
        let loads = loads.filter(move |id| vehicle.load(*id).is_on_in(state)).map(Self::Load);
        let converters = (0..vehicle.regulated.len()).map(RegulatedId::at).filter(move |id| {
            let own = vehicle.regulated_source(*id);
            own.input.is_some() && own.runs_in(state)
        });
        loads.chain(converters.map(Self::Converter))
    }

    /// The name used in the file.
    #[must_use]
    pub fn id(self, vehicle: &Vehicle) -> &str {
        match self {
            Self::Load(id) => &vehicle.load(id).id,
            Self::Converter(id) => &vehicle.regulated_source(id).id,
        }
    }

    /// The least voltage that it needs, where that is known.
    #[must_use]
    pub fn minimum(self, vehicle: &Vehicle) -> Option<Volts> {
        match self {
            Self::Load(id) => vehicle.load(id).minimum,
            Self::Converter(id) => {
                vehicle.regulated_source(id).input.as_ref().map(|own| own.minimum)
            }
        }
    }

    /// Volts across it; nothing for a state that was not solved.
    pub(super) fn volts(
        self,
        forward: &Forward<'_>,
        guess: &Guess,
        state: StateId,
    ) -> Option<Volts> {
        match self {
            Self::Load(id) => forward.load_volts(guess, state, id),
            Self::Converter(id) => {
                let input = forward.vehicle().regulated_source(id).input.as_ref()?;
                forward.between(guess, state, input.positive, input.negative)
            }
        }
    }
}

/// What a consumer gains in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// Who gains.
    pub consumer: Consumer,
    /// The state.
    pub state: StateId,
    /// Expected gain.
    pub volts: Volts,
    /// Expected voltage after it.
    pub after: Volts,
}

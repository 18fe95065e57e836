//! The smallest sizes, by themselves or tried in a vehicle.

use super::{Asked, alone, in_vehicle};
use crate::arguments::Arguments;
use crate::refusal::Refused;
use crate::room::{Watch, Written};

/// The sizes about the limit.
#[derive(Debug)]
pub enum Found<'v> {
    /// Of a conductor by itself.
    Alone(alone::Found),
    /// Of a conductor that was tried in a vehicle.
    InVehicle(Box<in_vehicle::Found<'v>>),
}

impl<'v> Found<'v> {
    pub(super) fn of(
        written: Option<Written<'v>>,
        asked: &Asked,
        watch: Watch<'_>,
    ) -> Result<Option<Self>, Refused> {
        let arguments = Arguments(Refused(asked.slips(written.is_some())));
        match written {
            Some(written) => {
                let found = in_vehicle::Found::of(written, asked, arguments, watch)?;
                Ok(found.map(Box::new).map(Self::InVehicle))
            }
            None => alone::Found::of(asked, arguments).map(Self::Alone).map(Some),
        }
    }

    pub(super) fn wants_attention(&self) -> bool {
        match self {
            Self::Alone(own) => own.wants_attention(),
            Self::InVehicle(own) => own.wants_attention(),
        }
    }
}

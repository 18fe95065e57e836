//! What is believed after the readings of everything that is no joint.

use diagnosis::{Beliefs, Interval};
use model::{Piece, Vehicle};
use serde::Serialize;
use utoipa::ToSchema;

use crate::Named;

/// A belief in three numbers, in the unit that its list names.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct Believed {
    /// As likely more as less.
    pub median: f64,
    /// The 5 % point.
    pub low: f64,
    /// The 95 % point.
    pub high: f64,
}

shape! {
    /// Beliefs by the names of the file.
    #[schema(as = PartBeliefs)]
    pub struct ByPart from pub(super) (vehicle: &Vehicle, beliefs: &Beliefs) {
        let pieces = |wanted: fn(Piece) -> bool| -> Named<Believed> {
            let own = beliefs.pieces.iter().filter(|(piece, _)| wanted(*piece));
            own.map(|(piece, own)| {
                (vehicle.piece_name(*piece).to_owned(), believed(own, |ohms| ohms.0))
            })
            .collect()
        };
        let loads = vehicle.loads.iter().map(|own| &own.id);
        let batteries = || vehicle.batteries.iter().map(|own| &own.id);
        let sources = vehicle.regulated.iter().map(|own| &own.id);
        /// Ohms of each conductor.
        #[schema(value_type = std::collections::BTreeMap<String, Believed>)]
        pub conductor_ohms: Named<Believed> = pieces(|piece| matches!(piece, Piece::Conductor(_))),
        /// Ohms of the metal between two points of a structure.
        #[schema(value_type = std::collections::BTreeMap<String, Believed>)]
        pub structure_ohms: Named<Believed> = pieces(|piece| matches!(piece, Piece::Stretch(_))),
        /// Ohms of each incidental path.
        #[schema(value_type = std::collections::BTreeMap<String, Believed>)]
        pub incidental_ohms: Named<Believed> =
            pieces(|piece| matches!(piece, Piece::Incidental(_))),
        /// Ohms of each fuse and switch.
        #[schema(value_type = std::collections::BTreeMap<String, Believed>)]
        pub inline_ohms: Named<Believed> = pieces(|piece| matches!(piece, Piece::Inline(_))),
        /// What each load draws, times what the file says.
        #[schema(value_type = std::collections::BTreeMap<String, Believed>)]
        pub draws: Named<Believed> = named(loads, &beliefs.draws, |share| share.0),
        /// Volts of each battery at rest.
        #[schema(value_type = std::collections::BTreeMap<String, Believed>)]
        pub battery_volts: Named<Believed> =
            named(batteries(), &beliefs.battery_volts, |volts| volts.0),
        /// Ohms of each battery.
        #[schema(value_type = std::collections::BTreeMap<String, Believed>)]
        pub battery_ohms: Named<Believed> =
            named(batteries(), &beliefs.battery_ohms, |ohms| ohms.0),
        /// Volts that each regulated source holds.
        #[schema(value_type = std::collections::BTreeMap<String, Believed>)]
        pub held_volts: Named<Believed> = named(sources, &beliefs.held, |volts| volts.0),
    }
}

fn named<'n, T: Copy>(
    names: impl Iterator<Item = &'n String>,
    intervals: &[Interval<T>],
    number: fn(T) -> f64,
) -> Named<Believed> {
    names.cloned().zip(intervals.iter().map(|own| believed(own, number))).collect()
}

fn believed<T: Copy>(own: &Interval<T>, number: fn(T) -> f64) -> Believed {
    Believed { median: number(own.median), low: number(own.low), high: number(own.high) }
}

//! Volts, amperes, watts and degrees of everything, state by state.

use model::{Piece, Vehicle};
use network::{
    Balance, BatteryPoint, LoadPoint, LoadStatus, OperatingPoint, PiecePoint, SourceMode,
    SourcePoint,
};
use serde::Serialize;
use utoipa::ToSchema;

use super::as_solved::{self, NetworkAsSolved};
use super::in_line::{self, OverloadedFuse, SplitRelay};
use super::{ColdCrank, Found, StrayPath};
use crate::Named;
use crate::shape::each;
use crate::stray;
use crate::unsettled::{self, Miss};

shape! {
    /// The answer of `solve`.
    pub struct Solved from pub(super) (found: &Found<'_>) {
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// One for each state.
        pub states: Vec<SolvedState> = with_networks(found),
        /// Cranking from warm to cold, where that was asked for.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[schema(nullable = false)]
        pub cold: Option<Vec<ColdCrank>> =
            found.cold.as_ref().map(|own| each(found.vehicle, own, ColdCrank::of)),
    }

    /// One operating state.
    pub struct SolvedState from pub (vehicle: &Vehicle, point: &OperatingPoint) {
        let flows = |wanted: fn(Piece) -> bool| -> Named<Flow> {
            named(vehicle, point, wanted, Flow::of)
        };
        let points = vehicle.points.iter().zip(&point.points);
        let batteries = vehicle.batteries.iter().zip(&point.batteries);
        let sources = vehicle.regulated.iter().zip(&point.regulated);
        let loads = vehicle.loads.iter().zip(&point.loads);
        /// Its name.
        pub state: String = vehicle.state(point.state).id.clone(),
        /// Volts of points.
        #[schema(value_type = std::collections::BTreeMap<String, PointVolts>)]
        pub points: Named<PointVolts> = points
            .map(|(own, volts)| (own.id.clone(), PointVolts { volts: volts.map(|own| own.0) }))
            .collect(),
        /// Conductors without their joints.
        #[schema(value_type = std::collections::BTreeMap<String, ConductorFlow>)]
        pub conductors: Named<ConductorFlow> =
            named(vehicle, point, |own| matches!(own, Piece::Conductor(_)), ConductorFlow::of),
        /// Joints.
        #[schema(value_type = std::collections::BTreeMap<String, Flow>)]
        pub joints: Named<Flow> = flows(|own| matches!(own, Piece::Joint(_))),
        /// Stretches of structures.
        #[schema(value_type = std::collections::BTreeMap<String, Flow>)]
        pub stretches: Named<Flow> = flows(|own| matches!(own, Piece::Stretch(_))),
        /// Incidental paths.
        #[schema(value_type = std::collections::BTreeMap<String, Flow>)]
        pub incidental: Named<Flow> = flows(|own| matches!(own, Piece::Incidental(_))),
        /// Fuses, switches, diodes.
        #[schema(value_type = std::collections::BTreeMap<String, Flow>)]
        pub inline: Named<Flow> = flows(|own| matches!(own, Piece::Inline(_))),
        /// Batteries.
        #[schema(value_type = std::collections::BTreeMap<String, BatteryState>)]
        pub batteries: Named<BatteryState> =
            batteries.map(|(own, at)| (own.id.clone(), BatteryState::of(at))).collect(),
        /// Other sources.
        #[schema(value_type = std::collections::BTreeMap<String, SourceState>)]
        pub sources: Named<SourceState> =
            sources.map(|(own, at)| (own.id.clone(), SourceState::of(at))).collect(),
        /// Loads.
        #[schema(value_type = std::collections::BTreeMap<String, LoadState>)]
        pub loads: Named<LoadState> =
            loads.map(|(own, at)| (own.id.clone(), LoadState::of(at))).collect(),
        /// Fuses that carry more than they are marked with.
        pub overloaded_fuses: Vec<OverloadedFuse> =
            each(vehicle, &in_line::overloaded(vehicle, point), OverloadedFuse::of),
        /// Split relays: whether they are closed in this state.
        #[schema(value_type = std::collections::BTreeMap<String, SplitRelay>)]
        pub split_relays: Named<SplitRelay> = in_line::split_relays(vehicle)
            .map(|own| (own.id.clone(), SplitRelay::of(own, point.state)))
            .collect(),
        /// Paths never meant for current that carry more than they bear, or a large share of all.
        pub stray_paths: Vec<StrayPath> =
            each(vehicle, &stray::paths(vehicle, point), StrayPath::of),
        /// The power balance.
        pub balance: PowerBalance = PowerBalance::of(&point.balance),
        /// False when no operating point was found.
        pub found: bool = unsettled::is_found(point),
        /// The device that fits worst, when none was found.
        pub misses: Option<Miss> = unsettled::miss(point),
        /// The network as it was solved, where that was asked for.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[schema(nullable = false)]
        pub network: Option<NetworkAsSolved> = None,
    }
}

/// Every state, with its network where that was asked for.
fn with_networks(found: &Found<'_>) -> Vec<SolvedState> {
    let vehicle = found.vehicle;
    let mut states = each(vehicle, &found.points, SolvedState::of);
    let networks = states.iter_mut().zip(found.networks.iter().flatten());
    for ((own, solved), point) in networks.zip(&found.points) {
        own.network = Some(as_solved::of(vehicle, point.state, solved));
    }
    states
}

/// Volts of a point.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PointVolts {
    /// Against the first battery's negative post; null when nothing joins them.
    pub volts: Option<f64>,
}

shape! {
    /// What passes a piece.
    pub struct Flow from (at: &PiecePoint) {
        /// From its beginning to its end.
        pub amps: f64 = at.amps.0,
        /// Lost in that direction.
        pub volts: f64 = at.volts.0,
        /// Heat.
        pub watts: f64 = at.watts.0,
        /// Resistance.
        pub ohms: f64 = at.resistance.0,
    }

    /// What passes a conductor.
    pub struct ConductorFlow from (at: &PiecePoint) {
        /// From its beginning to its end.
        pub amps: f64 = at.amps.0,
        /// Lost in that direction.
        pub volts: f64 = at.volts.0,
        /// Heat.
        pub watts: f64 = at.watts.0,
        /// Resistance at its temperature.
        pub ohms: f64 = at.resistance.0,
        /// Temperature of the metal.
        pub kelvin: Option<f64> = at.temperature.map(|own| own.0),
        /// The same in degrees Celsius.
        pub celsius: Option<f64> = at.temperature.map(units::Kelvin::celsius),
    }

    /// What a battery does.
    pub struct BatteryState from (at: &BatteryPoint) {
        /// Positive when it delivers.
        pub amps: f64 = at.amps.0,
        /// Between its posts.
        pub volts: f64 = at.volts.0,
        /// Positive when it delivers.
        pub watts: f64 = at.watts.0,
    }

    /// What another source does.
    pub struct SourceState from (at: &SourcePoint) {
        /// Positive when it delivers.
        pub amps: f64 = at.amps.0,
        /// Between its terminals.
        pub volts: f64 = at.volts.0,
        /// Positive when it delivers.
        pub watts: f64 = at.watts.0,
        /// `stopped`, `idle`, `regulating`, `limited`, `starved` or `dropped-out`.
        pub mode: &'static str = match at.mode {
            SourceMode::Stopped => "stopped",
            SourceMode::Idle => "idle",
            SourceMode::Regulating => "regulating",
            SourceMode::Limited => "limited",
            SourceMode::Starved => "starved",
            SourceMode::DroppedOut => "dropped-out",
        },
    }

    /// What a load gets.
    pub struct LoadState from (at: &LoadPoint) {
        /// Positive when it draws.
        pub amps: f64 = at.amps.0,
        /// Between its terminals.
        pub volts: f64 = at.volts.0,
        /// Above its minimum; null when it has none.
        pub margin_volts: Option<f64> = at.margin.map(|margin| margin.0),
        /// `off`, `fed`, `dead`, `below-minimum`, `below-usual`, `dropped-out` or `starved`.
        pub status: &'static str = status_word(at.status),
        /// True of a motor that stands still: the voltage cannot overcome what it has to turn.
        pub stalled: bool = at.stalled,
        /// The most it could get, when starved.
        #[serde(skip_serializing_if = "Option::is_none")]
        #[schema(nullable = false)]
        pub most_watts: Option<f64> = match at.status {
            LoadStatus::Starved { most } => Some(most.0),
            _ => None,
        },
    }

    /// Where the power goes, and how well the sums come out.
    pub struct PowerBalance from (balance: &Balance) {
        /// From batteries, alternators, chargers and panels; converters and equalisers only hand on.
        pub sources_watts: f64 = balance.sources.0,
        /// Into loads.
        pub loads_watts: f64 = balance.loads.0,
        /// Into batteries that are being charged.
        pub charging_watts: f64 = balance.charging.0,
        /// Lost on the way.
        pub losses_watts: f64 = balance.losses.0,
        /// Heat in converters and equalisers: what they take less what they give.
        pub conversion_watts: f64 = balance.conversion.0,
        /// What is left over: zero but for rounding.
        pub error_watts: f64 = balance.error.0,
        /// The largest sum of currents into any point: zero but for rounding.
        pub kirchhoff_amps: f64 = balance.kirchhoff.0,
    }
}

/// What passes the pieces of a kind, by their names.
fn named<T>(
    vehicle: &Vehicle,
    point: &OperatingPoint,
    wanted: fn(Piece) -> bool,
    of: fn(&PiecePoint) -> T,
) -> Named<T> {
    let pieces = vehicle.pieces().filter(|own| wanted(*own));
    pieces.map(|own| (vehicle.piece_name(own).to_owned(), of(point.piece(vehicle, own)))).collect()
}

/// How a load fares, as programs read it.
pub(crate) fn status_word(status: LoadStatus) -> &'static str {
    match status {
        LoadStatus::Off => "off",
        LoadStatus::Fed => "fed",
        LoadStatus::Dead => "dead",
        LoadStatus::BelowUsual => "below-usual",
        LoadStatus::BelowMinimum => "below-minimum",
        LoadStatus::DroppedOut => "dropped-out",
        LoadStatus::Starved { .. } => "starved",
    }
}

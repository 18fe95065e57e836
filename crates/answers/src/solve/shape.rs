//! Volts, amperes, watts and degrees of everything, state by state.

use model::{Piece, Vehicle};
use network::{LoadStatus, OperatingPoint, PiecePoint, SourceMode};
use serde::Serialize;
use utoipa::ToSchema;

use super::as_solved::{self, NetworkAsSolved};
use super::{ColdCrank, Found, cold};
use crate::{Named, unsettled};

/// The answer of `solve`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Solved {
    /// The number of the contract.
    pub format: u32,
    /// One for each state.
    pub states: Vec<SolvedState>,
    /// Cranking from warm to cold, where that was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub cold: Option<Vec<ColdCrank>>,
}

/// One operating state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SolvedState {
    /// Its name.
    pub state: String,
    /// Volts of points.
    #[schema(value_type = std::collections::BTreeMap<String, PointVolts>)]
    pub points: Named<PointVolts>,
    /// Conductors without their joints.
    #[schema(value_type = std::collections::BTreeMap<String, ConductorFlow>)]
    pub conductors: Named<ConductorFlow>,
    /// Joints.
    #[schema(value_type = std::collections::BTreeMap<String, Flow>)]
    pub joints: Named<Flow>,
    /// Stretches of structures.
    #[schema(value_type = std::collections::BTreeMap<String, Flow>)]
    pub stretches: Named<Flow>,
    /// Incidental paths.
    #[schema(value_type = std::collections::BTreeMap<String, Flow>)]
    pub incidental: Named<Flow>,
    /// Fuses, switches, diodes.
    #[schema(value_type = std::collections::BTreeMap<String, Flow>)]
    pub inline: Named<Flow>,
    /// Batteries.
    #[schema(value_type = std::collections::BTreeMap<String, BatteryState>)]
    pub batteries: Named<BatteryState>,
    /// Other sources.
    #[schema(value_type = std::collections::BTreeMap<String, SourceState>)]
    pub sources: Named<SourceState>,
    /// Loads.
    #[schema(value_type = std::collections::BTreeMap<String, LoadState>)]
    pub loads: Named<LoadState>,
    /// The power balance.
    pub balance: PowerBalance,
    /// False when no operating point was found.
    pub found: bool,
    /// The device that fits worst, when none was found.
    pub misses: Option<Miss>,
    /// The network as it was solved; only where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub network: Option<NetworkAsSolved>,
}

/// Volts of a point.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PointVolts {
    /// Against the first battery's negative post; null when nothing joins them.
    pub volts: Option<f64>,
}

/// What passes a piece.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Flow {
    /// From its beginning to its end.
    pub amps: f64,
    /// Lost in that direction.
    pub volts: f64,
    /// Heat.
    pub watts: f64,
    /// Resistance.
    pub ohms: f64,
}

/// What passes a conductor.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ConductorFlow {
    /// From its beginning to its end.
    pub amps: f64,
    /// Lost in that direction.
    pub volts: f64,
    /// Heat.
    pub watts: f64,
    /// Resistance at its temperature.
    pub ohms: f64,
    /// Temperature of the metal.
    pub kelvin: Option<f64>,
    /// The same in degrees Celsius.
    pub celsius: Option<f64>,
}

/// What a battery does.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct BatteryState {
    /// Positive when it delivers.
    pub amps: f64,
    /// Between its posts.
    pub volts: f64,
    /// Positive when it delivers.
    pub watts: f64,
}

/// What another source does.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SourceState {
    /// Positive when it delivers.
    pub amps: f64,
    /// Between its terminals.
    pub volts: f64,
    /// Positive when it delivers.
    pub watts: f64,
    /// `stopped`, `idle`, `regulating`, `limited`, `starved` or `dropped-out`.
    pub mode: &'static str,
}

/// What a load gets.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct LoadState {
    /// Positive when it draws.
    pub amps: f64,
    /// Between its terminals.
    pub volts: f64,
    /// Above its minimum; null when it has none.
    pub margin_volts: Option<f64>,
    /// `off`, `fed`, `dead`, `below-minimum`, `below-usual`, `dropped-out` or `starved`.
    pub status: &'static str,
    /// The most it could get, when starved.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub most_watts: Option<f64>,
}

/// Where the power goes, and how well the sums come out.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PowerBalance {
    /// From all sources.
    pub sources_watts: f64,
    /// Into loads.
    pub loads_watts: f64,
    /// Into batteries that are being charged.
    pub charging_watts: f64,
    /// Lost on the way.
    pub losses_watts: f64,
    /// Heat in converters, a part of what goes into loads.
    pub conversion_watts: f64,
    /// What is left over: zero but for rounding.
    pub error_watts: f64,
    /// The largest sum of currents into any point: zero but for rounding.
    pub kirchhoff_amps: f64,
}

/// The device that fits worst.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Miss {
    /// Its name.
    pub at: String,
    /// By how much.
    pub amps: f64,
}

pub(super) fn of(found: &Found<'_>) -> Solved {
    let mut states: Vec<SolvedState> =
        found.points.iter().map(|point| state(found.vehicle, point)).collect();
    let networks = states.iter_mut().zip(found.networks.iter().flatten());
    for ((own, solved), point) in networks.zip(&found.points) {
        own.network = Some(as_solved::of(found.vehicle, point.state, solved));
    }
    let cold = found.cold.as_ref().map(|cold| cold::shape(found.vehicle, cold));
    Solved { format: crate::FORMAT, states, cold }
}

/// One operating point.
#[must_use]
pub fn state(vehicle: &Vehicle, point: &OperatingPoint) -> SolvedState {
    let mut conductors = Named::default();
    let [mut joints, mut stretches, mut incidental, mut inline]: [Named<Flow>; 4] =
        Default::default();
    for piece in vehicle.pieces() {
        let at = point.piece(vehicle, piece);
        let name = vehicle.piece_name(piece).to_owned();
        match piece {
            Piece::Conductor(_) => conductors.0.push((name, conductor(at))),
            Piece::Joint(_) => joints.0.push((name, flow(at))),
            Piece::Stretch(_) => stretches.0.push((name, flow(at))),
            Piece::Incidental(_) => incidental.0.push((name, flow(at))),
            Piece::Inline(_) => inline.0.push((name, flow(at))),
        }
    }
    let points = vehicle.points.iter().zip(&point.points);
    let batteries = vehicle.batteries.iter().zip(&point.batteries);
    let balance = &point.balance;
    SolvedState {
        state: vehicle.state(point.state).id.clone(),
        points: points
            .map(|(own, volts)| (own.id.clone(), PointVolts { volts: volts.map(|own| own.0) }))
            .collect(),
        conductors,
        joints,
        stretches,
        incidental,
        inline,
        batteries: batteries
            .map(|(own, at)| {
                let state = BatteryState { amps: at.amps.0, volts: at.volts.0, watts: at.watts.0 };
                (own.id.clone(), state)
            })
            .collect(),
        sources: sources(vehicle, point),
        loads: loads(vehicle, point),
        balance: PowerBalance {
            sources_watts: balance.sources.0,
            loads_watts: balance.loads.0,
            charging_watts: balance.charging.0,
            losses_watts: balance.losses.0,
            conversion_watts: balance.conversion.0,
            error_watts: balance.error.0,
            kirchhoff_amps: balance.kirchhoff.0,
        },
        found: unsettled::is_found(point),
        misses: unsettled::miss(point),
        network: None,
    }
}

fn flow(at: &PiecePoint) -> Flow {
    Flow { amps: at.amps.0, volts: at.volts.0, watts: at.watts.0, ohms: at.resistance.0 }
}

fn conductor(at: &PiecePoint) -> ConductorFlow {
    ConductorFlow {
        amps: at.amps.0,
        volts: at.volts.0,
        watts: at.watts.0,
        ohms: at.resistance.0,
        kelvin: at.temperature.map(|own| own.0),
        celsius: at.temperature.map(units::Kelvin::celsius),
    }
}

fn sources(vehicle: &Vehicle, point: &OperatingPoint) -> Named<SourceState> {
    let sources = vehicle.regulated.iter().zip(&point.regulated);
    sources
        .map(|(source, at)| {
            let mode = match at.mode {
                SourceMode::Stopped => "stopped",
                SourceMode::Idle => "idle",
                SourceMode::Regulating => "regulating",
                SourceMode::Limited => "limited",
                SourceMode::Starved => "starved",
                SourceMode::DroppedOut => "dropped-out",
            };
            let state = SourceState { amps: at.amps.0, volts: at.volts.0, watts: at.watts.0, mode };
            (source.id.clone(), state)
        })
        .collect()
}

fn loads(vehicle: &Vehicle, point: &OperatingPoint) -> Named<LoadState> {
    let loads = vehicle.loads.iter().zip(&point.loads);
    loads
        .map(|(load, at)| {
            let (status, most_watts) = match at.status {
                LoadStatus::Off => ("off", None),
                LoadStatus::Fed => ("fed", None),
                LoadStatus::Dead => ("dead", None),
                LoadStatus::BelowUsual => ("below-usual", None),
                LoadStatus::BelowMinimum => ("below-minimum", None),
                LoadStatus::DroppedOut => ("dropped-out", None),
                LoadStatus::Starved { most } => ("starved", Some(most.0)),
            };
            let state = LoadState {
                amps: at.amps.0,
                volts: at.volts.0,
                margin_volts: at.margin.map(|margin| margin.0),
                status,
                most_watts,
            };
            (load.id.clone(), state)
        })
        .collect()
}

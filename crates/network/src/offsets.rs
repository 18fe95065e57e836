//! The common-return matrix: by how much each load's current lifts every other one's ground.

use model::{Earth, LoadId, Piece};
use units::{Amperes, Ohms, Volts};

use crate::budget::{Direction, LoadsAnswer};
use crate::circuit::Response;
use crate::network::Network;
use crate::operating_point::OperatingPoint;
use crate::wiring::Device;

/// What one load's current does to the ground of another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offset {
    /// The load whose current it is.
    pub cause: LoadId,
    /// The load whose ground is lifted.
    pub victim: LoadId,
    /// Lift for each ampere that the cause draws.
    pub per_ampere: Ohms,
    /// Lift by the current that it draws in this state.
    pub lift: Volts,
    /// The shared piece to blame: the one that contributes most, with its part of the lift.
    pub blame: Option<(Piece, Volts)>,
}

/// The matrix in one state.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Offsets {
    /// Loads that draw current here, the causes, largest current first.
    pub causes: Vec<LoadId>,
    /// Loads that are lifted: all that are on or have a ground to lift, in the vehicle's order.
    pub victims: Vec<LoadId>,
    /// One entry for each pair, cause after cause, each in the order of the victims.
    pub entries: Vec<Offset>,
}

impl Offsets {
    /// The entry for a pair.
    #[must_use]
    pub fn entry(&self, cause: LoadId, victim: LoadId) -> Option<&Offset> {
        self.entries.iter().find(|entry| entry.cause == cause && entry.victim == victim)
    }
}

impl Network<'_> {
    /// The common-return matrix of a state, for these causes and victims (all loads when empty).
    ///
    /// Lift is the rise of a load's earthed terminal against the earthed post of its own battery,
    /// counted so that it takes voltage away from the load. Other loads go on drawing what they
    /// draw; sources answer.
    #[must_use]
    pub fn offsets(
        &self,
        point: &OperatingPoint,
        causes: &[LoadId],
        victims: &[LoadId],
    ) -> Offsets {
        let vehicle = self.vehicle();
        let every: Vec<LoadId> = (0..vehicle.loads.len()).map(LoadId::at).collect();
        let mut causes: Vec<LoadId> =
            if causes.is_empty() { every.clone() } else { causes.to_vec() };
        causes.retain(|id| point.load(*id).amps > Amperes(1e-6));
        causes.sort_by(|a, b| point.load(*b).amps.0.total_cmp(&point.load(*a).amps.0));
        let victims: Vec<LoadId> = if victims.is_empty() { every } else { victims.to_vec() };
        let circuit = &self.wiring.circuit;
        let Some(mut metal) = self.metal(point) else { return Offsets::default() };
        let Some(mut answering) = self.answering(point, LoadsAnswer::No, Direction::Forward) else {
            return Offsets::default();
        };
        // What takes voltage away from a load lifts a negative ground and sinks a positive one.
        let sign = match vehicle.earth {
            Earth::Negative => 1.0,
            Earth::Positive => -1.0,
        };
        let mut ways = Vec::new();
        for &victim in &victims {
            let Some(home) = self.home(point, victim, &metal) else { continue };
            let (plus, minus) = self.home_terminals(&home);
            let earthed = match vehicle.earth {
                Earth::Negative => minus.index(),
                Earth::Positive => plus.index(),
            };
            let ground = vehicle.load_terminals(victim).1.index();
            if let Some(way) = metal.one_ampere(ground, earthed) {
                ways.push((victim, ground, earthed, way.volts));
            }
        }
        let mut entries = Vec::with_capacity(causes.len() * ways.len());
        for &cause in &causes {
            let Some(device) = self.wiring.device(Device::Load(cause)) else { continue };
            let (plus, minus) = circuit.devices[device];
            // A cause whose two sides hang on separate parts moves nobody.
            let Some(Response { volts, .. }) = answering.one_ampere(minus, plus) else { continue };
            let amps = point.load(cause).amps;
            for (victim, ground, earthed, way) in &ways {
                let per_ampere = Ohms(sign * (volts[*ground] - volts[*earthed]));
                entries.push(Offset {
                    cause,
                    victim: *victim,
                    per_ampere,
                    lift: per_ampere * amps,
                    blame: self.blame(point, &volts, way, sign * amps.0),
                });
            }
        }
        let victims = ways.into_iter().map(|(victim, ..)| victim).collect();
        Offsets { causes, victims, entries }
    }

    /// The piece with the largest part in a lift.
    fn blame(
        &self,
        point: &OperatingPoint,
        flow: &[f64],
        way: &[f64],
        scale: f64,
    ) -> Option<(Piece, Volts)> {
        let mut largest: Option<(Piece, Volts)> = None;
        for (branch, g) in self.wiring.branches.iter().zip(&point.siemens) {
            let (flow, way) =
                (flow[branch.from] - flow[branch.to], way[branch.from] - way[branch.to]);
            let part = scale * g * g * flow * way;
            if part == 0.0 {
                continue;
            }
            for piece in branch.pieces() {
                let volts = Volts(part * point.conditions.ohms(self.vehicle(), piece).0);
                if largest.is_none_or(|(_, most)| volts.abs() > most.abs()) {
                    largest = Some((piece, volts));
                }
            }
        }
        largest
    }
}

//! An estimation written out as numbers that need no vehicle: for programs in other languages.
//!
//! Written anew from the public model, so that it also checks how the network is laid out.

use model::{
    ConductorId, Conducts, IncidentalId, InlineId, InlineKind, JointId, JointOf, LoadId, LoadLaw,
    Measured, Piece, PointId, Probe, StateId, StretchId, Vehicle,
};
use network::{Device, Law, LoadStatus, Network, OperatingPoint};
use serde_json::{Value, json};
use units::Volts;

use crate::Observation;
use crate::fit::{Belief, variance};
use crate::forward::Layout;

/// Everything that an estimation is made from.
pub(super) struct Described<'a> {
    pub name: &'a str,
    pub vehicle: &'a Vehicle,
    pub points: &'a [Option<OperatingPoint>],
    pub layout: Layout,
    pub belief: &'a Belief,
    pub observations: &'a [Observation],
    pub start: &'a [f64],
}

impl Described<'_> {
    /// Unknowns with their beliefs, the network of each state that was measured in, and the readings.
    pub(super) fn json(&self) -> Value {
        let mut states: Vec<StateId> = self.observations.iter().map(|own| own.state).collect();
        states.sort_unstable();
        states.dedup();
        let readings: Vec<Value> = self
            .observations
            .iter()
            .map(|own| {
                let state = states.iter().position(|state| *state == own.state);
                json!({
                    "state": state,
                    "measured": self.measured(own.measured),
                    "value": own.value,
                    "sigma": own.sigma,
                    "variance": variance(own),
                })
            })
            .collect();
        json!({
            "name": self.name,
            "mean": self.belief.mean,
            "spread": self.belief.spread,
            "start": self.start,
            "nodes": self.vehicle.points.len(),
            "reference": self.vehicle.batteries[0].negative.index(),
            "states": states.iter().map(|state| self.state(*state)).collect::<Vec<_>>(),
            "readings": readings,
        })
    }

    /// Ends and pieces of everything that is a resistor.
    fn branches(&self) -> Vec<(PointId, PointId, Vec<Piece>)> {
        let vehicle = self.vehicle;
        let mut found = Vec::new();
        for (at, own) in vehicle.conductors.iter().enumerate() {
            let pieces = [own.from, own.to].map(Piece::Joint);
            let pieces = vec![pieces[0], Piece::Conductor(ConductorId::at(at)), pieces[1]];
            found.push((vehicle.joint(own.from).point, vehicle.joint(own.to).point, pieces));
        }
        for (at, joint) in vehicle.joints.iter().enumerate() {
            let Some(terminal) = vehicle.own_point(joint.this) else { continue };
            found.push((terminal, joint.point, vec![Piece::Joint(JointId::at(at))]));
        }
        for (at, own) in vehicle.stretches.iter().enumerate() {
            found.push((own.from, own.to, vec![Piece::Stretch(StretchId::at(at))]));
        }
        for (at, own) in vehicle.incidentals.iter().enumerate() {
            found.push((own.from, own.to, vec![Piece::Incidental(IncidentalId::at(at))]));
        }
        for (at, own) in vehicle.inlines.iter().enumerate() {
            if !matches!(own.kind, InlineKind::Diode { .. }) {
                found.push((own.from, own.to, vec![Piece::Inline(InlineId::at(at))]));
            }
        }
        found
    }

    fn state(&self, state: StateId) -> Value {
        let vehicle = self.vehicle;
        let point = self.points[state.index()].as_ref().expect("the state was solved");
        let closed = |piece: &Piece| vehicle.conducts(*piece, state) != Conducts::Not;
        let branches: Vec<Value> = self
            .branches()
            .iter()
            .map(|(from, to, pieces)| {
                let ohms: Vec<Value> = pieces
                    .iter()
                    .map(|piece| {
                        let ohms = point.piece(vehicle, *piece).resistance.0;
                        json!({ "unknown": vehicle.piece_slot(*piece), "ohms": ohms })
                    })
                    .collect();
                json!({
                    "a": from.index(), "b": to.index(), "closed": pieces.iter().all(closed), "pieces": ohms,
                })
            })
            .collect();
        let id = &vehicle.state(state).id;
        json!({ "id": id, "branches": branches, "devices": self.devices(state, point) })
    }

    fn devices(&self, state: StateId, point: &OperatingPoint) -> Vec<Value> {
        let vehicle = self.vehicle;
        let mut devices = Vec::new();
        for (at, own) in vehicle.batteries.iter().enumerate() {
            let cold = own.cold(vehicle.state(state).batteries);
            let mut device = json!({
                "kind": "battery2",
                "plus": own.positive.index(),
                "minus": own.negative.index(),
                "volts": own.open_circuit[state.index()].0,
                "ohms": own.resistance.0 * cold.resistance.0,
                "charge_ohms": own.charge_resistance[state.index()].0 / cold.exchange.0,
                "volts_unknown": self.layout.emf(at),
                "ohms_unknown": self.layout.battery(at),
            });
            if own.plates.polarisation > Volts::ZERO {
                device["kind"] = json!("battery3");
                device["polarisation_volts"] = json!(own.plates.polarisation.0);
                device["exchange_amps"] = json!(own.plates.exchange(own.resistance, cold).0);
            }
            devices.push(device);
        }
        for (at, own) in vehicle.regulated.iter().enumerate() {
            assert!(own.sense.is_none() && own.input.is_none(), "no such case is described");
            if own.runs_in(state) {
                devices.push(json!({
                    "kind": "regulated",
                    "plus": own.positive.index(),
                    "minus": own.negative.index(),
                    "volts": own.set_point.0,
                    "droop_ohms": own.droop.0,
                    "max_amps": own.limit[state.index()].0,
                    "volts_unknown": self.layout.held(at),
                }));
            }
        }
        // As solved: a starter turns cold oil.
        let solved = Network::new(vehicle).as_solved(point);
        let law = |load: LoadId| {
            let own = solved.devices.iter().find(|own| own.device == Device::Load(load));
            own.map(|own| own.law)
        };
        for (at, own) in vehicle.loads.iter().enumerate() {
            let status = point.load(LoadId::at(at)).status;
            if !own.is_on_in(state) || status == LoadStatus::DroppedOut {
                continue;
            }
            let Some(Law::Load(law)) = law(LoadId::at(at)) else { continue };
            let mut device = match law {
                LoadLaw::Power { amps, rated, exponent, knee } => json!({
                    "kind": "power_law", "amps": amps.0, "rated_volts": rated.0, "exponent": exponent, "knee_volts": knee.0,
                }),
                LoadLaw::Starter { amps, rated, follows, stall } => json!({
                    "kind": "affine", "amps": amps.0, "rated_volts": rated.0, "slope_share": follows.0, "stall_ohms": stall.0,
                }),
                LoadLaw::Preheat { cold, settled, rated } => json!({
                    "kind": "preheat", "cold_amps": cold.0, "settled_amps": settled.0, "rated_volts": rated.0,
                }),
                LoadLaw::SelfRegulating { .. } => {
                    unreachable!("the outside checks have no such load")
                }
            };
            device["plus"] = json!(own.positive.index());
            device["minus"] = json!(own.negative.index());
            device["draw_unknown"] = json!(self.layout.draw(at));
            devices.push(device);
        }
        for own in &vehicle.inlines {
            if let InlineKind::Diode { drop } = own.kind {
                devices.push(json!({
                    "kind": "diode", "anode": own.from.index(), "cathode": own.to.index(), "volts": drop.0, "ohms": own.resistance.0,
                }));
            }
        }
        devices
    }

    /// A voltage as red and black lead, each a node and what lies between it and the probe; a current
    /// as its branch.
    fn measured(&self, measured: Measured) -> Value {
        match measured {
            Measured::Volts { high, low } => json!([self.probe(high), self.probe(low)]),
            // Conductors come first among the branches, in their own order.
            Measured::Amps { conductor } => json!({ "branch": conductor.index() }),
            Measured::Ohms { .. } | Measured::JumpLead { .. } | Measured::Moved { .. } => {
                unreachable!("no observation")
            }
        }
    }

    fn probe(&self, probe: Probe) -> Value {
        match probe {
            Probe::Point(point) => json!({ "node": point.index() }),
            Probe::Strand(_) => unreachable!("no case asks at a strand"),
            Probe::Lug(id) => {
                let joint = self.vehicle.joint(id);
                let unknown = self.vehicle.piece_slot(Piece::Joint(id));
                match joint.of {
                    // Current counts from the beginning of the conductor to its end.
                    JointOf::From(own) => json!({
                        "node": joint.point.index(), "branch": own.index(), "unknown": unknown, "sign": -1.0,
                    }),
                    JointOf::To(own) => json!({
                        "node": joint.point.index(), "branch": own.index(), "unknown": unknown, "sign": 1.0,
                    }),
                    _ => {
                        json!({ "node": self.vehicle.own_point(id).map(model::PointId::index) })
                    }
                }
            }
        }
    }
}

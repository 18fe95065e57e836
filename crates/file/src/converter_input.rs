//! The least voltage on which a converter works, where the file does not say.

use std::collections::VecDeque;

use model::{PointId, Vehicle};
use units::{Volts, print};

use crate::defaults::taken;
use crate::read::Reader;

impl Reader<'_> {
    /// Gives each converter the least voltage of its input. Everything that joins points is known.
    pub(crate) fn converter_inputs(&mut self) {
        let entries = self.root.clone().tables("converters");
        for (name, entry) in entries {
            let found = self.vehicle.regulated.iter().position(|own| own.id == name.name);
            let Some(at) = found else { continue };
            let stated = entry.quantity("input-minimum", units::Dimension::Voltage).map(Volts);
            let nominal = input_nominal(&self.vehicle, at);
            let least = stated.unwrap_or(nominal * taken().converter_least_input.0);
            if stated.is_none() {
                self.fills.note(
                    format!("{}.input-minimum", name.name),
                    print::volts(least),
                    format!(
                        "three quarters of the {} that feed it, the low end of the usual input ranges of two to one (common practice)",
                        print::volts(nominal)
                    ),
                );
            }
            if let Some(input) = &mut self.vehicle.regulated[at].input {
                input.minimum = least;
            }
        }
    }
}

/// Nominal voltage of what a converter's input is joined to: that of the batteries between its
/// terminals, or else what another source holds there, or else the vehicle's own.
fn input_nominal(vehicle: &Vehicle, at: usize) -> Volts {
    let Some(input) = &vehicle.regulated[at].input else { return vehicle.nominal };
    let between = |joins: &[(PointId, PointId, f64)]| {
        let volts = potential(vehicle, joins, input.negative, input.positive)?;
        (volts > 1.0).then_some(Volts(volts))
    };
    let mut joins = joins(vehicle);
    for battery in &vehicle.batteries {
        joins.push((battery.negative, battery.positive, battery.nominal.0));
    }
    between(&joins)
        .or_else(|| {
            // What charges holds more than the nominal voltage of what it charges.
            let nominal_share = 24.0 / taken().regulated_24_v.0;
            for source in vehicle.regulated.iter().enumerate().filter(|(other, _)| *other != at) {
                let own = source.1;
                joins.push((own.negative, own.positive, own.set_point.0 * nominal_share));
            }
            between(&joins)
        })
        .unwrap_or(vehicle.nominal)
}

/// Whatever may conduct between two points, taken as no voltage.
fn joins(vehicle: &Vehicle) -> Vec<(PointId, PointId, f64)> {
    let conductors = vehicle
        .conductors
        .iter()
        .map(|own| (vehicle.joint(own.from).point, vehicle.joint(own.to).point, 0.0));
    let cases = vehicle.joints.iter().enumerate().filter_map(|(at, joint)| {
        Some((vehicle.own_point(model::JointId::at(at))?, joint.point, 0.0))
    });
    let stretches = vehicle.stretches.iter().map(|own| (own.from, own.to, 0.0));
    let paths = vehicle.incidentals.iter().map(|own| (own.from, own.to, 0.0));
    let parts = vehicle.inlines.iter().map(|own| (own.from, own.to, 0.0));
    conductors.chain(cases).chain(stretches).chain(paths).chain(parts).collect()
}

/// Volts of `to` against `from` along the joins, the shortest way first; nothing when none leads there.
fn potential(
    vehicle: &Vehicle,
    joins: &[(PointId, PointId, f64)],
    from: PointId,
    to: PointId,
) -> Option<f64> {
    let mut next: Vec<Vec<(usize, f64)>> = vec![Vec::new(); vehicle.points.len()];
    for &(a, b, volts) in joins {
        next[a.index()].push((b.index(), volts));
        next[b.index()].push((a.index(), -volts));
    }
    let mut known: Vec<Option<f64>> = vec![None; vehicle.points.len()];
    known[from.index()] = Some(0.0);
    let mut front = VecDeque::from([(from.index(), 0.0)]);
    while let Some((node, volts)) = front.pop_front() {
        for &(other, more) in &next[node] {
            if known[other].is_none() {
                known[other] = Some(volts + more);
                front.push_back((other, volts + more));
            }
        }
    }
    known[to.index()]
}

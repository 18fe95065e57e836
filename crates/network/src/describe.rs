//! A settled solution told as an operating point: what every piece, load and source does.

use model::graph::Parts;
use model::{BatteryId, LoadId, LoadLaw, Piece, RegulatedId};
use units::{Amperes, Ohms, Siemens, Volts, Watts};

use crate::circuit::{Ending, Numbers};
use crate::conditions::{Conditions, LEAST_AMPERES};
use crate::law::Law;
use crate::network::Network;
use crate::operating_point::{
    Balance, BatteryPoint, Convergence, LoadPoint, LoadStatus, OperatingPoint, PiecePoint,
    SourceMode, SourcePoint,
};
use crate::settling::{Moving, Settled};
use crate::wiring::Device;

/// What is told: the state's conditions, the numbers solved with, and what devices carry.
#[derive(Clone, Copy)]
struct Told<'s> {
    conditions: &'s Conditions,
    numbers: &'s Numbers,
    /// Volts across each device.
    across: &'s [f64],
    /// Current into each device.
    amps: &'s [f64],
}

impl Network<'_> {
    /// What a state that has settled is told as.
    pub(crate) fn describe(&self, conditions: Conditions, settled: Settled) -> OperatingPoint {
        let Settled { numbers, solution, steps, moving } = settled;
        let vehicle = self.vehicle();
        let across = self.wiring.across(&solution.volts);
        let amps: Vec<f64> =
            numbers.laws.iter().zip(&across).map(|(law, v)| law.amperes(*v)).collect();
        let told =
            Told { conditions: &conditions, numbers: &numbers, across: &across, amps: &amps };
        let loads = (0..vehicle.loads.len()).map(LoadId::at);
        let batteries = (0..vehicle.batteries.len()).map(BatteryId::at);
        let regulated = (0..vehicle.regulated.len()).map(RegulatedId::at);
        OperatingPoint {
            state: conditions.state,
            points: self.point_volts(&numbers, &solution.volts),
            pieces: self.pieces(&told, &solution.volts),
            loads: loads.map(|id| self.load_point(id, &told)).collect(),
            batteries: batteries.map(|id| self.battery_point(id, &told)).collect(),
            regulated: regulated.map(|id| self.source_point(id, &told, &solution.volts)).collect(),
            balance: self.balance(&told, &solution.volts),
            convergence: match solution.ending {
                Ending::Found => match moving {
                    Some(Moving { at, amps }) => Convergence::NotReached { at, amps },
                    None => self.converters_agree(&numbers.laws, &solution.volts),
                },
                Ending::NotFound { device, amperes } => {
                    Convergence::NotReached { at: self.device_name(device), amps: Amperes(amperes) }
                }
            },
            steps,
            siemens: numbers.siemens,
            laws: numbers.laws,
            conditions,
            volts: solution.volts,
            across,
        }
    }

    /// Current into a device and volts across it.
    fn at_device(&self, device: Device, told: &Told<'_>) -> (f64, f64) {
        self.wiring.device(device).map_or((0.0, 0.0), |at| (told.amps[at], told.across[at]))
    }

    fn battery_point(&self, id: BatteryId, told: &Told<'_>) -> BatteryPoint {
        let (amps, volts) = self.at_device(Device::Battery(id), told);
        BatteryPoint { amps: Amperes(-amps), volts: Volts(volts), watts: Watts(-amps * volts) }
    }

    fn source_point(&self, id: RegulatedId, told: &Told<'_>, volts_of: &[f64]) -> SourcePoint {
        let (amps, volts) = self.at_device(Device::Regulated(id), told);
        let sides = self.converter_sides(id.index(), &told.numbers.laws, volts_of);
        let limited = sides.is_some_and(|sides| sides.limited);
        let limit = self.vehicle().regulated_source(id).limit[told.conditions.state.index()].0;
        let mode = match -amps {
            _ if limit <= 0.0 => SourceMode::Stopped,
            delivered if limited && delivered > LEAST_AMPERES => SourceMode::Starved,
            _ if limited => SourceMode::DroppedOut,
            delivered if delivered >= limit - LEAST_AMPERES => SourceMode::Limited,
            delivered if delivered > LEAST_AMPERES => SourceMode::Regulating,
            _ => SourceMode::Idle,
        };
        SourcePoint { amps: Amperes(-amps), volts: Volts(volts), watts: Watts(-amps * volts), mode }
    }

    fn device_name(&self, device: usize) -> String {
        let vehicle = self.vehicle();
        match self.wiring.devices.get(device) {
            Some(Device::Battery(id)) => vehicle.battery(*id).id.clone(),
            Some(Device::Regulated(id) | Device::Input(id)) => {
                vehicle.regulated_source(*id).id.clone()
            }
            Some(Device::Load(id)) => vehicle.load(*id).id.clone(),
            Some(Device::Diode(id)) => vehicle.inline(*id).id.clone(),
            None => vehicle.name.clone(),
        }
    }

    /// Volts of the points that hang together with the reference.
    fn point_volts(&self, numbers: &Numbers, volts: &[f64]) -> Vec<Option<Volts>> {
        let circuit = &self.wiring.circuit;
        let mut parts = Parts::new(circuit.n);
        for (&(a, b), _) in
            circuit.resistors.iter().zip(&numbers.siemens).filter(|(_, g)| **g > 0.0)
        {
            parts.join(a, b);
        }
        for (&(a, b), _) in
            circuit.devices.iter().zip(&numbers.laws).filter(|(_, law)| law.connects())
        {
            parts.join(a, b);
        }
        if circuit.n == 0 {
            return Vec::new();
        }
        let home = parts.root(circuit.reference);
        volts
            .iter()
            .enumerate()
            .map(|(node, v)| (parts.root(node) == home).then_some(Volts(*v)))
            .collect()
    }

    fn pieces(&self, told: &Told<'_>, volts: &[f64]) -> Vec<PiecePoint> {
        let vehicle = self.vehicle();
        let nothing = PiecePoint {
            amps: Amperes::ZERO,
            resistance: Ohms::ZERO,
            volts: Volts::ZERO,
            watts: Watts::ZERO,
            temperature: None,
        };
        let mut pieces = vec![nothing; vehicle.pieces().count()];
        for (branch, siemens) in self.wiring.branches.iter().zip(&told.numbers.siemens) {
            let across = Volts(volts[branch.from] - volts[branch.to]);
            for piece in branch.pieces() {
                pieces[vehicle.piece_slot(piece)] =
                    self.piece_point(piece, Siemens(*siemens), across, told.conditions);
            }
        }
        for (device, kind) in self.wiring.devices.iter().enumerate() {
            let Device::Diode(id) = kind else { continue };
            let (amps, lost) = (Amperes(told.amps[device]), Volts(told.across[device]));
            pieces[vehicle.piece_slot(Piece::Inline(*id))] = PiecePoint {
                amps,
                resistance: vehicle.inline(*id).resistance,
                volts: lost,
                watts: lost * amps,
                temperature: None,
            };
        }
        pieces
    }

    /// A piece of a branch of this conductance, with these volts across the branch.
    fn piece_point(
        &self,
        piece: Piece,
        siemens: Siemens,
        across: Volts,
        conditions: &Conditions,
    ) -> PiecePoint {
        let resistance = conditions.ohms(self.vehicle(), piece);
        let amps = Amperes(siemens.0 * across.0);
        // Across an open switch stands the whole voltage, though nothing is lost in it.
        let lost = if siemens > Siemens::ZERO { resistance * amps } else { across };
        let temperature = match piece {
            Piece::Conductor(id) if self.vehicle().conductor(id).area.is_some() => {
                Some(conditions.temperatures[id.index()])
            }
            _ => None,
        };
        PiecePoint { amps, resistance, volts: lost, watts: lost * amps, temperature }
    }

    fn load_point(&self, id: LoadId, told: &Told<'_>) -> LoadPoint {
        let (amps, volts) = self.at_device(Device::Load(id), told);
        let volts = Volts(volts);
        let load = self.vehicle().load(id);
        let on = load.is_on_in(told.conditions.state);
        let status = if !on {
            LoadStatus::Off
        } else if told.conditions.dropped[id.index()] {
            LoadStatus::DroppedOut
        } else if load.is_dead_at(volts) {
            LoadStatus::Dead
        } else if load.law.is_starved_at(volts) {
            LoadStatus::Starved { most: self.most_power(id, told) }
        } else if load.minimum.is_some_and(|minimum| volts < minimum) {
            LoadStatus::BelowMinimum
        } else if load.minimum.is_none() && volts < load.usual_minimum {
            LoadStatus::BelowUsual
        } else {
            LoadStatus::Fed
        };
        let margin = load.minimum.filter(|_| on).map(|minimum| volts - minimum);
        let law = self.wiring.device(Device::Load(id)).map(|device| told.numbers.laws[device]);
        let stalled = on && matches!(law, Some(Law::Load(law)) if law.is_stalled_at(volts));
        LoadPoint { amps: Amperes(amps), volts, margin, status, stalled }
    }

    /// The largest power that could be drawn at a load's terminals, the others as they are.
    ///
    /// A source of voltage V behind resistance R yields at most V²/(4R) (maximum power transfer).
    fn most_power(&self, id: LoadId, told: &Told<'_>) -> Watts {
        let circuit = &self.wiring.circuit;
        let Some(device) = self.wiring.device(Device::Load(id)) else { return Watts::ZERO };
        let mut without = told.numbers.clone();
        // A megohm in its place keeps its terminals tied to the rest.
        without.laws[device] = Law::Load(LoadLaw::Power {
            amps: Amperes(1e-6),
            rated: Volts(1.0),
            exponent: 1.0,
            knee: Volts(0.0),
        });
        let mut work = circuit.workspace();
        circuit.prepare(&without, &mut work);
        let open = circuit.solve(&without.laws, told.across, &mut work);
        let (plus, minus) = circuit.devices[device];
        let slopes = self.slopes(&without.laws, &open.volts);
        let resistance = circuit
            .linear(&without.siemens, &slopes)
            .ok()
            .and_then(|mut linear| linear.one_ampere(plus, minus))
            .map_or(f64::INFINITY, |response| response.volts[plus] - response.volts[minus]);
        let voltage = open.volts[plus] - open.volts[minus];
        Watts(voltage * voltage / (4.0 * resistance))
    }

    fn balance(&self, told: &Told<'_>, volts: &[f64]) -> Balance {
        let Told { numbers, across, amps, .. } = *told;
        let mut balance = Balance::default();
        let mut into = vec![0.0; self.wiring.circuit.n];
        for (branch, siemens) in self.wiring.branches.iter().zip(&numbers.siemens) {
            let lost = volts[branch.from] - volts[branch.to];
            let current = siemens * lost;
            into[branch.from] -= current;
            into[branch.to] += current;
            balance.losses += Watts(current * lost);
        }
        for (device, kind) in self.wiring.devices.iter().enumerate() {
            let (plus, minus) = self.wiring.circuit.devices[device];
            into[plus] -= amps[device];
            into[minus] += amps[device];
            let taken = Watts(amps[device] * across[device]);
            match kind {
                Device::Battery(_) if taken > Watts::ZERO => balance.charging += taken,
                // What a converter or an equaliser hands on is neither made nor used up in it.
                Device::Regulated(id) if self.vehicle().regulated_source(*id).input.is_some() => {
                    balance.conversion += taken;
                }
                Device::Input(_) => balance.conversion += taken,
                Device::Battery(_) | Device::Regulated(_) => balance.sources += -taken,
                Device::Load(_) => balance.loads += taken,
                Device::Diode(_) => balance.losses += taken,
            }
        }
        let Balance { sources, loads, charging, conversion, losses, .. } = balance;
        balance.error = sources - loads - charging - conversion - losses;
        // Input and output of a converter are two devices; what ties them is its efficiency, and a
        // converter that made energy would show here.
        for (at, source) in self.vehicle().regulated.iter().enumerate() {
            let sides = self.converter_sides(at, &numbers.laws, volts);
            let (Some(input), Some(sides)) = (&source.input, sides) else { continue };
            balance.error += Watts((sides.given / input.efficiency.0 - sides.taken).abs());
        }
        balance.kirchhoff =
            Amperes(into.iter().fold(0.0, |most: f64, amperes| most.max(amperes.abs())));
        balance
    }
}

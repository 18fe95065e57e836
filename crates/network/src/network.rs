//! A vehicle laid out once, and its operating states solved.

use model::{InlineKind, LoadId, Piece, PointId, RegulatedId, StateId, Vehicle};
use units::{Amperes, Kelvin, Ohms, Volts, Watts};

use crate::circuit::{Ending, Numbers, Parts, Solution, Workspace};
use crate::heating::metal_temperature;
use crate::law::{Law, most_amperes};
use crate::operating_point::{
    Balance, BatteryPoint, Convergence, LoadPoint, LoadStatus, OperatingPoint, PiecePoint,
    SourceMode, SourcePoint,
};
use crate::wiring::{Conditions, Device, Wiring, conductor_ohms};

/// Rounds of settling what depends on the solution: remote sensing, converters, dropouts, heat.
const MOST_ROUNDS: usize = 60;

/// Remote sensing has settled when the sensed voltage is this close to what is held, in volts.
const SENSE_TOLERANCE: f64 = 1e-9;

/// A current that differs from another by less is the same: what a device leaks, in amperes.
const LEAST_AMPERES: f64 = 1e-6;

/// A vehicle laid out for solving: ordering and symbolic factor are computed here, once.
#[derive(Debug)]
pub struct Network<'v> {
    pub(crate) wiring: Wiring<'v>,
    pub(crate) work: Workspace,
}

/// What a state came to rest at.
pub(crate) struct Settled {
    pub numbers: Numbers,
    pub solution: Solution,
    pub steps: usize,
}

impl<'v> Network<'v> {
    /// Lays out a vehicle.
    #[must_use]
    pub fn new(vehicle: &'v Vehicle) -> Self {
        Self::with_extra_paths(vehicle, &[])
    }

    /// Lays a vehicle out with places for paths that its file does not show; they conduct nothing
    /// until [`Deviations`](crate::trial::Deviations) give them a resistance.
    #[must_use]
    pub fn with_extra_paths(vehicle: &'v Vehicle, paths: &[(PointId, PointId)]) -> Self {
        let wiring = Wiring::new(vehicle, paths);
        let work = wiring.circuit.workspace();
        Self { wiring, work }
    }

    /// The vehicle.
    #[must_use]
    pub fn vehicle(&self) -> &'v Vehicle {
        self.wiring.vehicle
    }

    /// Solves one state.
    ///
    /// Always gives an answer; [`OperatingPoint::convergence`] and the loads' statuses say how far
    /// it can be trusted and what could not be fed. Conductors are warmed by their currents for
    /// the state's duration, and their resistance at the end of it is the one used.
    #[must_use]
    pub fn operating_point(&mut self, state: StateId) -> OperatingPoint {
        let mut conditions = self.wiring.first_conditions(state);
        let across = self.first_guess(state, &conditions);
        let mut temperatures = self.air_temperatures(state);
        let Settled { numbers, solution, steps } =
            self.settle(state, &mut conditions, across, Some(&mut temperatures));
        self.describe(state, conditions, &numbers, solution, &temperatures, steps)
    }

    /// Solves, and again as long as sources, loads that drop out or the heat in conductors change
    /// what was solved; without temperatures none is warmed.
    pub(crate) fn settle(
        &mut self,
        state: StateId,
        conditions: &mut Conditions,
        mut across: Vec<f64>,
        mut temperatures: Option<&mut [Kelvin]>,
    ) -> Settled {
        let mut steps = 0;
        let mut round = 0;
        loop {
            let numbers = self.wiring.numbers(state, conditions);
            self.wiring.circuit.prepare(&numbers, &mut self.work);
            let solution = self.wiring.circuit.solve(&numbers.laws, &across, &mut self.work);
            steps += solution.steps;
            round += 1;
            let again = round < MOST_ROUNDS && solution.ending == Ending::Found && {
                across = self.across(&solution.volts);
                self.settle_sources(state, &numbers, &solution, conditions)
                    || self.drop_loads(state, &solution, conditions)
                    || temperatures.as_deref_mut().is_some_and(|temperatures| {
                        self.warm(state, &numbers, &solution, conditions, temperatures)
                    })
            };
            if !again {
                return Settled { numbers, solution, steps };
            }
        }
    }

    /// Solves every state of the vehicle, in its order.
    #[must_use]
    pub fn operating_points(&mut self) -> Vec<OperatingPoint> {
        (0..self.vehicle().states.len()).map(|at| self.operating_point(StateId::at(at))).collect()
    }

    /// Solves a state again from a known point, holding the temperatures and conditions of that
    /// point: a few microseconds after a small change.
    ///
    /// Gives the volts across each load in the vehicle's order, or nothing when no operating point
    /// is found.
    #[must_use]
    pub fn solve_again(&mut self, from: &OperatingPoint) -> Option<Vec<Volts>> {
        let numbers = self.wiring.numbers(from.state, &from.conditions);
        self.wiring.circuit.prepare(&numbers, &mut self.work);
        let solution = self.wiring.circuit.solve(&numbers.laws, &from.across, &mut self.work);
        (solution.ending == Ending::Found).then(|| {
            let across = self.across(&solution.volts);
            (0..self.vehicle().loads.len())
                .map(|at| {
                    Volts(
                        self.wiring
                            .device(Device::Load(LoadId::at(at)))
                            .map_or(0.0, |device| across[device]),
                    )
                })
                .collect()
        })
    }

    fn air_temperatures(&self, state: StateId) -> Vec<Kelvin> {
        let vehicle = self.vehicle();
        (0..vehicle.conductors.len())
            .map(|at| crate::wiring::air(vehicle, model::ConductorId::at(at), state))
            .collect()
    }

    /// Voltages across devices from which Newton begins: what each would like to see.
    pub(crate) fn first_guess(&self, state: StateId, conditions: &Conditions) -> Vec<f64> {
        let nominal = self.vehicle().nominal.0;
        let devices = self.wiring.devices.iter();
        devices
            .map(|device| {
                self.wiring.law(*device, state, conditions).first_look().unwrap_or(nominal)
            })
            .collect()
    }

    pub(crate) fn across(&self, volts: &[f64]) -> Vec<f64> {
        self.wiring
            .circuit
            .devices
            .iter()
            .map(|&(plus, minus)| volts[plus] - volts[minus])
            .collect()
    }

    /// Moves what sources hold and converters take towards what the solution asks; true when
    /// something moved enough to solve again.
    pub(crate) fn settle_sources(
        &self,
        state: StateId,
        numbers: &Numbers,
        solution: &Solution,
        conditions: &mut Conditions,
    ) -> bool {
        let vehicle = self.vehicle();
        let mut changed = false;
        for (at, source) in vehicle.regulated.iter().enumerate() {
            let Some(device) = self.wiring.device(Device::Regulated(RegulatedId::at(at))) else {
                continue;
            };
            let (plus, minus) = self.wiring.circuit.devices[device];
            let own = solution.volts[plus] - solution.volts[minus];
            let law = numbers.laws[device];
            if let (Some((high, low)), Law::Regulated { set, droop, limit, watts }) =
                (source.sense, law)
            {
                // At a limit of power too it holds no voltage any more.
                let limit = most_amperes(own, set, limit, watts);
                let sensed = solution.volts[high.index()] - solution.volts[low.index()];
                let more = conditions.deviations.held.get(at).map_or(0.0, |volts| volts.0);
                let short = source.set_point.0 + more - sensed;
                let delivered = -law.amperes(own);
                let at_limit = delivered >= limit - LEAST_AMPERES;
                let regulating = delivered > 0.0 && !at_limit;
                if regulating && short.abs() > SENSE_TOLERANCE {
                    let follows = self.sense_follows(
                        numbers,
                        solution,
                        device,
                        (high.index(), low.index()),
                        droop,
                    );
                    conditions.held_volts[at] = set + short / follows.max(0.05);
                    changed = true;
                } else if at_limit && short < -SENSE_TOLERANCE {
                    conditions.held_volts[at] = own + droop * limit * 0.5;
                    changed = true;
                } else if delivered <= 0.0 && short > SENSE_TOLERANCE && set < own {
                    conditions.held_volts[at] = own + droop * limit * 0.01;
                    changed = true;
                }
            }
        }
        self.settle_converters(state, numbers, solution, conditions) || changed
    }

    /// Volts by which the sensed voltage rises for each volt that the source holds more.
    fn sense_follows(
        &self,
        numbers: &Numbers,
        solution: &Solution,
        device: usize,
        sense: (usize, usize),
        droop: f64,
    ) -> f64 {
        let slopes = self.slopes(&numbers.laws, &solution.volts);
        let (plus, minus) = self.wiring.circuit.devices[device];
        let column = self
            .wiring
            .circuit
            .linear(&numbers.siemens, &slopes)
            .ok()
            .and_then(|mut linear| linear.one_ampere(plus, minus));
        column.map_or(1.0, |response| (response.volts[sense.0] - response.volts[sense.1]) / droop)
    }

    /// Slope of each device's law at a solution.
    pub(crate) fn slopes(&self, laws: &[Law], volts: &[f64]) -> Vec<f64> {
        let devices = self.wiring.circuit.devices.iter();
        devices
            .zip(laws)
            .map(|(&(plus, minus), law)| law.tangent(volts[plus] - volts[minus]).slope)
            .collect()
    }

    /// Switches off the one load that is furthest below its dropout; true when there was one.
    ///
    /// One at a time, because the others may recover when it goes.
    pub(crate) fn drop_loads(
        &self,
        state: StateId,
        solution: &Solution,
        conditions: &mut Conditions,
    ) -> bool {
        let vehicle = self.vehicle();
        let mut worst: Option<(usize, f64)> = None;
        for (at, load) in vehicle.loads.iter().enumerate() {
            let (Some(dropout), true) =
                (load.dropout, load.is_on_in(state) && !conditions.dropped[at])
            else {
                continue;
            };
            let volts =
                solution.volts[load.positive.index()] - solution.volts[load.negative.index()];
            let share = volts / dropout.0;
            if share < 1.0 && worst.is_none_or(|(_, least)| share < least) {
                worst = Some((at, share));
            }
        }
        if let Some((at, _)) = worst {
            conditions.dropped[at] = true;
        }
        worst.is_some()
    }

    /// Warms conductors by their currents; true when a resistance changed enough to solve again.
    fn warm(
        &self,
        state: StateId,
        numbers: &Numbers,
        solution: &Solution,
        conditions: &mut Conditions,
        temperatures: &mut [Kelvin],
    ) -> bool {
        let vehicle = self.vehicle();
        let mut changed = false;
        for (branch, siemens) in self.wiring.branches.iter().zip(&numbers.siemens) {
            for piece in branch.pieces() {
                let Piece::Conductor(id) = piece else { continue };
                let amps =
                    Amperes(siemens * (solution.volts[branch.from] - solution.volts[branch.to]));
                let temperature = metal_temperature(vehicle, id, amps, state);
                let ohms = conductor_ohms(vehicle, id, temperature).0;
                let before = &mut conditions.conductor_ohms[id.index()];
                temperatures[id.index()] = temperature;
                // A hundred-thousandth of a resistance is far below what any joint is known to.
                if (ohms - *before).abs() > 1e-5 * ohms {
                    *before = ohms;
                    changed = true;
                }
            }
        }
        changed
    }

    pub(crate) fn describe(
        &self,
        state: StateId,
        conditions: Conditions,
        numbers: &Numbers,
        solution: Solution,
        temperatures: &[Kelvin],
        steps: usize,
    ) -> OperatingPoint {
        let vehicle = self.vehicle();
        let across = self.across(&solution.volts);
        let amps: Vec<f64> =
            numbers.laws.iter().zip(&across).map(|(law, v)| law.amperes(*v)).collect();
        let pieces = self.pieces(numbers, &solution.volts, &conditions, temperatures, &amps);
        let of = |device: Device| {
            self.wiring.device(device).map_or((0.0, 0.0), |at| (amps[at], across[at]))
        };
        let loads = (0..vehicle.loads.len())
            .map(|at| {
                self.load_point(
                    state,
                    LoadId::at(at),
                    of(Device::Load(LoadId::at(at))),
                    &conditions,
                    numbers,
                    &across,
                )
            })
            .collect();
        let batteries = (0..vehicle.batteries.len())
            .map(|at| {
                let (amps, volts) = of(Device::Battery(model::BatteryId::at(at)));
                BatteryPoint {
                    amps: Amperes(-amps),
                    volts: Volts(volts),
                    watts: Watts(-amps * volts),
                }
            })
            .collect();
        let limited = |at: usize| {
            let sides = self.converter_sides(at, &numbers.laws, &solution.volts);
            sides.is_some_and(|sides| sides.limited)
        };
        let regulated = (0..vehicle.regulated.len())
            .map(|at| {
                let (amps, volts) = of(Device::Regulated(RegulatedId::at(at)));
                let source = vehicle.regulated_source(RegulatedId::at(at));
                let limit = source.limit[state.index()].0;
                let mode = match -amps {
                    _ if limit <= 0.0 => SourceMode::Stopped,
                    delivered if limited(at) && delivered > LEAST_AMPERES => SourceMode::Starved,
                    _ if limited(at) => SourceMode::DroppedOut,
                    delivered if delivered >= limit - LEAST_AMPERES => SourceMode::Limited,
                    delivered if delivered > LEAST_AMPERES => SourceMode::Regulating,
                    _ => SourceMode::Idle,
                };
                SourcePoint {
                    amps: Amperes(-amps),
                    volts: Volts(volts),
                    watts: Watts(-amps * volts),
                    mode,
                }
            })
            .collect();
        let convergence = match solution.ending {
            Ending::Found => self.converters_agree(&numbers.laws, &solution.volts),
            Ending::NotFound { device, amperes } => {
                Convergence::NotReached { at: self.device_name(device), amps: Amperes(amperes) }
            }
        };
        OperatingPoint {
            state,
            points: self.point_volts(numbers, &solution.volts),
            balance: self.balance(numbers, &solution.volts, &amps, &across),
            pieces,
            loads,
            batteries,
            regulated,
            convergence,
            steps,
            conditions,
            siemens: numbers.siemens.clone(),
            volts: solution.volts,
            across,
        }
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

    fn pieces(
        &self,
        numbers: &Numbers,
        volts: &[f64],
        conditions: &Conditions,
        temperatures: &[Kelvin],
        amps: &[f64],
    ) -> Vec<PiecePoint> {
        let vehicle = self.vehicle();
        let nothing = PiecePoint {
            amps: Amperes::ZERO,
            resistance: Ohms::ZERO,
            volts: Volts::ZERO,
            watts: Watts::ZERO,
            temperature: None,
        };
        let mut pieces = vec![nothing; vehicle.pieces().count()];
        for (branch, siemens) in self.wiring.branches.iter().zip(&numbers.siemens) {
            let across = volts[branch.from] - volts[branch.to];
            let current = Amperes(siemens * across);
            for piece in branch.pieces() {
                let resistance = self.wiring.ohms(piece, conditions);
                // Across an open switch stands the whole voltage, though nothing is lost in it.
                let lost = if *siemens > 0.0 { resistance * current } else { Volts(across) };
                pieces[vehicle.piece_slot(piece)] = PiecePoint {
                    amps: current,
                    resistance,
                    volts: lost,
                    watts: lost * current,
                    temperature: match piece {
                        Piece::Conductor(id) if vehicle.conductor(id).area.is_some() => {
                            Some(temperatures[id.index()])
                        }
                        _ => None,
                    },
                };
            }
        }
        for (device, kind) in self.wiring.devices.iter().enumerate() {
            if let Device::Diode(id) = kind {
                let (plus, minus) = self.wiring.circuit.devices[device];
                let lost = Volts(volts[plus] - volts[minus]);
                let current = Amperes(amps[device]);
                pieces[vehicle.piece_slot(Piece::Inline(*id))] = PiecePoint {
                    amps: current,
                    resistance: vehicle.inline(*id).resistance,
                    volts: lost,
                    watts: lost * current,
                    temperature: None,
                };
            }
        }
        pieces
    }

    fn load_point(
        &self,
        state: StateId,
        id: LoadId,
        (amps, volts): (f64, f64),
        conditions: &Conditions,
        numbers: &Numbers,
        across: &[f64],
    ) -> LoadPoint {
        let load = self.vehicle().load(id);
        let on = load.is_on_in(state);
        let dropped = conditions.dropped[id.index()];
        let law = self.wiring.law(Device::Load(id), state, conditions);
        let status = match law {
            _ if !on => LoadStatus::Off,
            _ if dropped => LoadStatus::DroppedOut,
            _ if load.is_dead_at(Volts(volts)) => LoadStatus::Dead,
            Law::Power { exponent, knee, .. } if exponent < 0.0 && volts < knee => {
                LoadStatus::Starved { most: self.most_power(id, numbers, across) }
            }
            _ if load.minimum.is_some_and(|minimum| volts < minimum.0) => LoadStatus::BelowMinimum,
            _ if load.minimum.is_none() && volts < load.usual_minimum.0 => LoadStatus::BelowUsual,
            _ => LoadStatus::Fed,
        };
        LoadPoint {
            amps: Amperes(amps),
            volts: Volts(volts),
            margin: load.minimum.filter(|_| on).map(|minimum| Volts(volts) - minimum),
            status,
        }
    }

    /// The largest power that could be drawn at a load's terminals, the others as they are.
    ///
    /// A source of voltage V behind resistance R yields at most V²/(4R) (maximum power transfer).
    fn most_power(&self, id: LoadId, numbers: &Numbers, across: &[f64]) -> Watts {
        let circuit = &self.wiring.circuit;
        let Some(device) = self.wiring.device(Device::Load(id)) else { return Watts::ZERO };
        let mut laws = numbers.laws.clone();
        // A megohm in its place keeps its terminals tied to the rest.
        laws[device] = Law::Power { amps: 1e-6, rated: 1.0, exponent: 1.0, knee: 0.0 };
        let without = Numbers { siemens: numbers.siemens.clone(), laws };
        let mut work = circuit.workspace();
        circuit.prepare(&without, &mut work);
        let open = circuit.solve(&without.laws, across, &mut work);
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

    fn balance(&self, numbers: &Numbers, volts: &[f64], amps: &[f64], across: &[f64]) -> Balance {
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
                Device::Battery(_) | Device::Regulated(_) => balance.sources += -taken,
                Device::Load(_) | Device::Input(_) => balance.loads += taken,
                Device::Diode(_) => balance.losses += taken,
            }
        }
        balance.error = balance.sources - balance.loads - balance.charging - balance.losses;
        // Input and output of a converter are two devices, each with its own place in the sum; what
        // ties them is its efficiency, and a converter that made energy would show here.
        for (at, source) in self.vehicle().regulated.iter().enumerate() {
            let sides = self.converter_sides(at, &numbers.laws, volts);
            let (Some(input), Some(sides)) = (&source.input, sides) else { continue };
            balance.conversion += Watts(sides.taken - sides.given);
            balance.error += Watts((sides.given / input.efficiency.0 - sides.taken).abs());
        }
        balance.kirchhoff =
            Amperes(into.iter().fold(0.0, |most: f64, amperes| most.max(amperes.abs())));
        balance
    }

    /// True when a fuse, switch or other in-line part conducts in a state.
    #[must_use]
    pub fn conducts(&self, piece: Piece, state: StateId) -> bool {
        match piece {
            Piece::Inline(id) => match &self.vehicle().inline(id).kind {
                InlineKind::Switch { closed } => closed.contains(&state),
                InlineKind::Fuse { .. } | InlineKind::Diode { .. } => true,
            },
            _ => true,
        }
    }
}

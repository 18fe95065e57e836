//! The volt budget of a load: what every piece on its feed and return side costs it, exactly.
//!
//! Push one imaginary ampere from the load's negative terminal home through the metal (no sources,
//! no loads) to the battery's negative post: `a_k` in branch k. It obeys Kirchhoff's current law, and
//! the real voltages `v_k` obey his voltage law, so by Tellegen's theorem `Σ v_k·a_k` is exactly the
//! voltage between the two places, parallel paths included. Likewise on the other side.

use model::{BatteryId, Earth, LoadId, Piece, PointId, RegulatedId, Vehicle};
use units::{Amperes, Ohms, Ratio, Volts, larger_first};

use crate::circuit::{Linear, Weights};
use crate::law::Law;
use crate::network::Network;
use crate::operating_point::{OperatingPoint, PiecePoint};
use crate::routes::{RouteEnd, RouteStart};
use crate::wiring::Device;

/// Imaginary currents smaller than this share do not make a term.
const LEAST_SHARE: f64 = 1e-9;

/// Whether loads answer a small change, or go on drawing what they draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LoadsAnswer {
    Yes,
    No,
}

/// Whether a cause is followed to its effects, or an effect back to its causes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Direction {
    Forward,
    Adjoint,
}

/// Which way between source and load a piece lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// From the source to the load.
    Feed,
    /// From the load back to the source, through the vehicle's metal.
    Return,
    /// Between the batteries in series that are the source.
    Between,
}

/// What one piece costs a load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// The piece.
    pub piece: Piece,
    /// On which side it lies.
    pub side: Side,
    /// The current it really carries, everybody's.
    pub amps: Amperes,
    /// Its resistance in this state.
    pub resistance: Ohms,
    /// The marginal share: of each further ampere between load and source so much would pass it, one where
    /// there is no other path. How the load's own current divides is told by its routes.
    pub share: Ratio,
    /// What it costs the load; the terms of a side add up to what a meter reads over that side.
    pub volts: Volts,
    /// Change of the load's voltage for each ohm that the piece gains, everything else following.
    pub volts_per_ohm: f64,
}

/// Where a load's circuit begins and ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Home {
    /// At a battery's posts.
    Battery(BatteryId),
    /// At the outer posts of batteries in series, from the lowest up.
    Series(Vec<BatteryId>),
    /// At the terminals of an alternator, charger or converter.
    Source(RegulatedId),
}

/// Whose circuit it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// A load's.
    Load(LoadId),
    /// That of batteries that are being charged: one, or several in series from the lowest up.
    Charging(Vec<BatteryId>),
    /// That of the input of a converter, or of half an equaliser.
    Input(RegulatedId),
}

/// The whole circuit of a load, or of what else takes current: source voltage = feed loss + load voltage + return loss.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// Whose it is.
    pub subject: Subject,
    /// Where its circuit begins and ends.
    pub home: Home,
    /// Voltage between the source's terminals; of batteries in series between the outer posts.
    pub source_volts: Volts,
    /// What is lost between batteries in series: their own volts are so much more than the source's.
    pub between: Volts,
    /// Voltage between the load's terminals.
    pub load_volts: Volts,
    /// Current of the load.
    pub load_amps: Amperes,
    /// What a meter reads over the feed side.
    pub feed: Volts,
    /// What a meter reads over the return side.
    pub back: Volts,
    /// Every piece that costs the load something, feed side first, the largest cost first.
    pub terms: Vec<Term>,
}

impl Budget {
    /// The terms of one side.
    pub fn side(&self, side: Side) -> impl Iterator<Item = &Term> {
        self.terms.iter().filter(move |term| term.side == side)
    }

    /// Sum of the terms of one side.
    #[must_use]
    pub fn sum(&self, side: Side) -> Volts {
        self.side(side).map(|term| term.volts).sum()
    }
}

/// What takes current.
struct Taken {
    plus: PointId,
    minus: PointId,
    volts: Volts,
    amps: Amperes,
}

/// Amperes from which on a battery is being charged.
const LEAST_CHARGE: f64 = 5e-3;

/// True where this slope of a law is that of a regulating band.
fn holds(law: Law, slope: f64) -> bool {
    matches!(law, Law::Regulated(source) if slope > 0.5 / source.droop.0)
}

/// The fewest batteries in series between two points, each joined by metal to the next.
fn series(vehicle: &Vehicle, metal: &Linear<'_>, low: PointId, high: PointId) -> Option<Home> {
    let all = || (0..vehicle.batteries.len()).map(BatteryId::at);
    let joined = |a: PointId, b: PointId| metal.joined(a.index(), b.index());
    let mut chains: Vec<Vec<BatteryId>> =
        all().filter(|id| joined(vehicle.battery(*id).negative, low)).map(|id| vec![id]).collect();
    let mut used: Vec<BatteryId> = chains.iter().flatten().copied().collect();
    // One battery more in every round; each is reached once, by the shortest way.
    while !chains.is_empty() {
        let mut longer = Vec::new();
        for chain in chains {
            let Some(top) = chain.last().map(|id| vehicle.battery(*id).positive) else { continue };
            if joined(top, high) {
                return Some(Home::Series(chain));
            }
            for id in all().filter(|id| joined(vehicle.battery(*id).negative, top)) {
                if !used.contains(&id) {
                    used.push(id);
                    longer.push(chain.iter().copied().chain([id]).collect());
                }
            }
        }
        chains = longer;
    }
    None
}

impl Network<'_> {
    /// The currents with which a source that holds a voltage elsewhere than at its terminals answers, and
    /// the voltage that it keeps; nothing for one that holds its own.
    ///
    /// A source that senses elsewhere keeps the volts there. Half an equaliser keeps the difference of its own
    /// half to half of the bank, and takes from the other half what it gives to its own.
    fn kept(&self, id: RegulatedId, laws: &[Law], across: &[f64]) -> Option<(Weights, Weights)> {
        let source = self.vehicle().regulated_source(id);
        let (plus, minus) = (source.positive.index(), source.negative.index());
        if let Some((high, low)) = source.sense {
            return Some((
                vec![(plus, 1.0), (minus, -1.0)],
                vec![(high.index(), 1.0), (low.index(), -1.0)],
            ));
        }
        let (bank, input) = (source.follows?, source.input.as_ref()?);
        let (output, entry) =
            (self.wiring.device(Device::Regulated(id))?, self.wiring.device(Device::Input(id))?);
        let takes = match laws[entry] {
            Law::Input(_) => across[output] / (input.efficiency.0 * across[entry]),
            _ => 0.0,
        };
        let currents = vec![
            (plus, 1.0),
            (minus, -1.0),
            (input.positive.index(), -takes),
            (input.negative.index(), takes),
        ];
        let kept =
            vec![(plus, 1.0), (minus, -1.0), (bank.top.index(), -0.5), (bank.bottom.index(), 0.5)];
        Some((currents, kept))
    }

    /// The volt budget of a load at an operating point.
    ///
    /// Nothing when no source is joined to both its terminals by conducting metal in this state.
    #[must_use]
    pub fn budget(&self, point: &OperatingPoint, load: LoadId) -> Option<Budget> {
        let own = self.vehicle().load(load);
        let home = self.home_of(point, (own.positive, own.negative), &self.metal(point)?)?;
        self.budget_between(point, Subject::Load(load), home)
    }

    /// The volt budget of a converter's input, or of that of half an equaliser.
    #[must_use]
    pub fn budget_of_input(&self, point: &OperatingPoint, id: RegulatedId) -> Option<Budget> {
        let own = self.vehicle().regulated_source(id).input.as_ref()?;
        let home = self.home_of(point, (own.positive, own.negative), &self.metal(point)?)?;
        self.budget_between(point, Subject::Input(id), home)
    }

    /// The volt budget of a battery that is being charged, from the source from which most of its current
    /// comes; of all between that source's terminals where it stands in series.
    ///
    /// Nothing when it is not charged, or by another battery alone.
    #[must_use]
    pub fn budget_of_charge(&self, point: &OperatingPoint, id: BatteryId) -> Option<Budget> {
        let mut given = vec![0.0; self.vehicle().regulated.len()];
        let wanted = |start| start == RouteStart::Charging(id);
        for route in self.routes_from(point, wanted).routes {
            if let RouteEnd::Source(source) = route.end {
                given[source.index()] += route.amps.0;
            }
        }
        let mut by_amps: Vec<usize> = (0..given.len()).filter(|at| given[*at] > 0.0).collect();
        by_amps.sort_by(|a, b| given[*b].total_cmp(&given[*a]));
        // In series, what charges it may span the bank, and then no route of its own ends there.
        let running = (0..given.len()).filter(|at| given[*at] <= 0.0);
        let charged = point.battery(id).amps < Amperes(-LEAST_CHARGE);
        let mut sources = by_amps.into_iter().chain(running).map(RegulatedId::at);
        sources.find_map(|source| charged.then(|| self.charge(point, id, source))?)
    }

    /// The volt budget of what a source charges most.
    #[must_use]
    pub fn budget_of_charger(&self, point: &OperatingPoint, id: RegulatedId) -> Option<Budget> {
        let mut batteries: Vec<BatteryId> =
            (0..self.vehicle().batteries.len()).map(BatteryId::at).collect();
        batteries.retain(|own| point.battery(*own).amps < Amperes(-LEAST_CHARGE));
        batteries.sort_by(|a, b| point.battery(*a).amps.0.total_cmp(&point.battery(*b).amps.0));
        batteries.into_iter().find_map(|battery| self.charge(point, battery, id))
    }

    /// The budget between a source that delivers and a battery, or a bank with it, that hangs on its terminals.
    fn charge(&self, point: &OperatingPoint, id: BatteryId, source: RegulatedId) -> Option<Budget> {
        if point.source(source).amps < Amperes(LEAST_CHARGE) {
            return None;
        }
        let metal = self.metal(point)?;
        let own = self.vehicle().regulated_source(source);
        let Home::Series(chain) = series(self.vehicle(), &metal, own.negative, own.positive)?
        else {
            return None;
        };
        let (battery, joined) = (self.vehicle().battery(id), |a: PointId, b: PointId| {
            metal.joined(a.index(), b.index())
        });
        let alone =
            joined(battery.positive, own.positive) && joined(battery.negative, own.negative);
        let chain = if alone { vec![id] } else { chain };
        chain
            .contains(&id)
            .then(|| self.budget_between(point, Subject::Charging(chain), Home::Source(source)))?
    }

    /// Terminals, volts and amperes of what takes current.
    fn subject(&self, point: &OperatingPoint, subject: &Subject) -> Option<Taken> {
        let vehicle = self.vehicle();
        let volts = |plus: PointId, minus: PointId| {
            Volts(point.volts[plus.index()] - point.volts[minus.index()])
        };
        let (plus, minus, amps) = match subject {
            Subject::Load(id) => {
                let own = vehicle.load(*id);
                (own.positive, own.negative, point.load(*id).amps)
            }
            Subject::Charging(chain) => {
                let (low, high) = (*chain.first()?, *chain.last()?);
                let (plus, minus) = (vehicle.battery(high).positive, vehicle.battery(low).negative);
                (plus, minus, -point.battery(high).amps)
            }
            Subject::Input(id) => {
                let own = vehicle.regulated_source(*id).input.as_ref()?;
                let device = self.wiring.device(Device::Input(*id))?;
                let amps = point.laws[device].amperes(point.across[device]);
                (own.positive, own.negative, Amperes(amps))
            }
        };
        Some(Taken { plus, minus, volts: volts(plus, minus), amps })
    }

    /// The volt budget between a source and what takes current.
    fn budget_between(
        &self,
        point: &OperatingPoint,
        subject: Subject,
        home: Home,
    ) -> Option<Budget> {
        let vehicle = self.vehicle();
        let mut metal = self.metal(point)?;
        let (source_plus, source_minus) = self.home_terminals(&home);
        let Taken { plus, minus, volts: load_volts, amps: load_amps } =
            self.subject(point, &subject)?;
        let high = metal.one_ampere(source_plus.index(), plus.index())?.volts;
        let low = metal.one_ampere(minus.index(), source_minus.index())?.volts;
        let follows = self
            .answering(point, LoadsAnswer::Yes, Direction::Adjoint)
            .and_then(|mut linear| linear.one_ampere(plus.index(), minus.index()))
            .map(|response| response.volts);
        let (high_side, low_side) = match vehicle.earth {
            Earth::Negative => (Side::Feed, Side::Return),
            Earth::Positive => (Side::Return, Side::Feed),
        };
        let mut terms = self.terms(point, &high, high_side, follows.as_deref());
        terms.extend(self.terms(point, &low, low_side, follows.as_deref()));
        let mut between = Volts::ZERO;
        if let Home::Series(chain) = &home {
            for pair in chain.windows(2) {
                let (out, into) =
                    (vehicle.battery(pair[0]).positive, vehicle.battery(pair[1]).negative);
                between += Volts(point.volts[out.index()] - point.volts[into.index()]);
                let link = metal.one_ampere(out.index(), into.index())?.volts;
                terms.extend(self.terms(point, &link, Side::Between, follows.as_deref()));
            }
        }
        terms.sort_by(|a, b| {
            a.side.cmp(&b.side).then(larger_first(a.volts.0.abs(), b.volts.0.abs()))
        });
        let volts = |id: PointId| point.volts[id.index()];
        let over_high = Volts(volts(source_plus) - volts(plus));
        let over_low = Volts(volts(minus) - volts(source_minus));
        let (feed, back) = match vehicle.earth {
            Earth::Negative => (over_high, over_low),
            Earth::Positive => (over_low, over_high),
        };
        Some(Budget {
            subject,
            home,
            source_volts: Volts(volts(source_plus) - volts(source_minus)),
            between,
            load_volts,
            load_amps,
            feed,
            back,
            terms,
        })
    }

    /// Positive and negative terminal of a home.
    pub(crate) fn home_terminals(&self, home: &Home) -> (PointId, PointId) {
        let vehicle = self.vehicle();
        let own = vehicle.batteries.first().map_or((PointId::at(0), PointId::at(0)), |battery| {
            (battery.positive, battery.negative)
        });
        match home {
            Home::Battery(id) => (vehicle.battery(*id).positive, vehicle.battery(*id).negative),
            Home::Series(chain) => match (chain.first(), chain.last()) {
                (Some(low), Some(high)) => {
                    (vehicle.battery(*high).positive, vehicle.battery(*low).negative)
                }
                _ => own,
            },
            Home::Source(id) => {
                (vehicle.regulated_source(*id).positive, vehicle.regulated_source(*id).negative)
            }
        }
    }

    /// The first battery joined to both terminals of a load, or else the fewest batteries in series
    /// that are, or else the first source.
    pub(crate) fn home(
        &self,
        point: &OperatingPoint,
        load: LoadId,
        metal: &Linear<'_>,
    ) -> Option<Home> {
        let own = self.vehicle().load(load);
        self.home_of(point, (own.positive, own.negative), metal)
    }

    /// The same for any two terminals, positive and negative.
    fn home_of(
        &self,
        point: &OperatingPoint,
        (positive, negative): (PointId, PointId),
        metal: &Linear<'_>,
    ) -> Option<Home> {
        let vehicle = self.vehicle();
        let batteries = (0..vehicle.batteries.len())
            .map(|at| Home::Battery(BatteryId::at(at)))
            .chain(std::iter::once_with(|| series(vehicle, metal, negative, positive)).flatten());
        let sources = (0..vehicle.regulated.len())
            .map(RegulatedId::at)
            .filter(|id| vehicle.regulated_source(*id).runs_in(point.state))
            .map(Home::Source);
        batteries.chain(sources).find(|home| {
            let (plus, minus) = self.home_terminals(home);
            metal.joined(plus.index(), positive.index())
                && metal.joined(minus.index(), negative.index())
        })
    }

    /// The metal alone: no sources, no loads, conducting diodes as the resistance they then are.
    pub(crate) fn metal(&self, point: &OperatingPoint) -> Option<Linear<'_>> {
        let laws = point.laws.iter().zip(&point.across);
        let slopes: Vec<f64> = laws
            .map(|(law, volts)| match law {
                Law::Diode(diode) if *volts > diode.drop.0 => law.amperes(*volts) / volts,
                _ => 0.0,
            })
            .collect();
        self.wiring.circuit.linear(&point.siemens, &slopes).ok()
    }

    /// The network as it answers small changes at an operating point.
    ///
    /// Sources and diodes answer by the slope of their laws; a source that senses elsewhere keeps
    /// the voltage there. Loads answer too, or go on drawing what they draw.
    pub(crate) fn answering(
        &self,
        point: &OperatingPoint,
        loads: LoadsAnswer,
        direction: Direction,
    ) -> Option<Linear<'_>> {
        self.answering_at(&point.siemens, &point.laws, &point.across, loads, direction)
    }

    /// The same for any conductances, laws and voltages across devices.
    pub(crate) fn answering_at(
        &self,
        siemens: &[f64],
        laws: &[Law],
        across: &[f64],
        loads: LoadsAnswer,
        direction: Direction,
    ) -> Option<Linear<'_>> {
        self.answering_with(siemens, laws, across, &[], loads, direction)
    }

    /// The same with slopes of some devices given, in place of those of their laws.
    pub(crate) fn answering_with(
        &self,
        siemens: &[f64],
        laws: &[Law],
        across: &[f64],
        given: &[Option<f64>],
        loads: LoadsAnswer,
        direction: Direction,
    ) -> Option<Linear<'_>> {
        let mut slopes = Vec::with_capacity(self.wiring.devices.len());
        let mut holding = Vec::new();
        for (at, (device, (law, volts))) in
            self.wiring.devices.iter().zip(laws.iter().zip(across)).enumerate()
        {
            if let Some(slope) = given.get(at).copied().flatten() {
                slopes.push(slope);
                continue;
            }
            let slope = law.tangent(*volts).slope;
            slopes.push(match device {
                Device::Load(_) | Device::Input(_) if loads == LoadsAnswer::No => 0.0,
                // Only inside its regulating band does it hold a voltage.
                Device::Regulated(id) if holds(*law, slope) => match self.kept(*id, laws, across) {
                    Some((currents, kept)) => {
                        holding.push((at, currents, kept));
                        0.0
                    }
                    None => slope,
                },
                _ => slope,
            });
        }
        let mut linear = self.wiring.circuit.linear(siemens, &slopes).ok()?;
        for (device, currents, kept) in holding {
            match direction {
                Direction::Forward => linear.hold(device, &currents, kept),
                // The transposed question: what is put in at the sensed points shows at the terminals.
                Direction::Adjoint => linear.hold(device, &kept, currents),
            }
        }
        Some(linear)
    }

    fn terms(
        &self,
        point: &OperatingPoint,
        imaginary: &[f64],
        side: Side,
        follows: Option<&[f64]>,
    ) -> Vec<Term> {
        let vehicle = self.vehicle();
        let mut terms = Vec::new();
        for (branch, siemens) in self.wiring.branches.iter().zip(&point.siemens) {
            let share = siemens * (imaginary[branch.from] - imaginary[branch.to]);
            if share.abs() < LEAST_SHARE {
                continue;
            }
            let answer =
                follows.map_or(0.0, |volts| siemens * (volts[branch.from] - volts[branch.to]));
            for piece in branch.pieces() {
                let &PiecePoint { amps, resistance, volts, .. } = point.piece(vehicle, piece);
                terms.push(Term {
                    piece,
                    side,
                    amps,
                    resistance,
                    share: Ratio(share),
                    volts: volts * share,
                    volts_per_ohm: amps.0 * answer,
                });
            }
        }
        for (device, kind) in self.wiring.devices.iter().enumerate() {
            let Device::Diode(id) = kind else { continue };
            let (plus, minus) = self.wiring.circuit.devices[device];
            let across = point.across[device];
            let amps = point.laws[device].amperes(across);
            let share = amps / across * (imaginary[plus] - imaginary[minus]);
            if across > vehicle.inline(*id).resistance.0 * amps && share.abs() >= LEAST_SHARE {
                terms.push(Term {
                    piece: Piece::Inline(*id),
                    side,
                    amps: Amperes(amps),
                    resistance: vehicle.inline(*id).resistance,
                    share: Ratio(share),
                    volts: Volts(across * share),
                    volts_per_ohm: 0.0,
                });
            }
        }
        terms
    }
}

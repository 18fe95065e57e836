//! Readings of a meter: volts between two places, amperes in a conductor, ohms.

use model::{Accuracy, Code, ConductorId, Measured, PointId, Probe, Problem, StateId, Told};
use units::{Dimension, Ohms, print};

use super::advice::worthless;
use super::flow::one_metal;
use super::known::{Said, Thing};
use super::meaning::{Account, Context, Outcome, Remarks, reading};
use super::value::{Value, most};

/// Below this a hand meter with its leads cannot tell ohms (common practice: the leads alone have
/// 0.2 Ω to 0.5 Ω, the last digit is 0.1 Ω).
const REACH_OF_A_HAND_METER: Ohms = Ohms(1.0);

/// Share of the nominal voltage up to which volts between a device and a place on one of its sides are taken as
/// lost on the way (our judgement: more may be the supply, and is asked back).
const MOST_OF_A_LOSS: f64 = 0.4;

impl Context<'_> {
    pub(super) fn volts(
        &self,
        account: &Account,
        value: &Value,
        remarks: &mut Remarks,
    ) -> Result<Outcome, Problem> {
        let gauge = matches!(value.told, Told::Gauge(_));
        let (high, low) = match (account.names.as_slice(), self.vehicle.batteries.first()) {
            ([], Some(battery)) if gauge => {
                remarks.warnings.push(Problem::warning(
                    Code::GaugeAssumed,
                    value.place.clone(),
                    format!(
                        "where the gauge gets its volts is not told; the posts of `{}` are assumed",
                        battery.id
                    ),
                    "the gauge or module that shows it, or two points",
                ));
                (Probe::Point(battery.positive), Probe::Point(battery.negative))
            }
            _ => match self.two_places(account)? {
                Ok(places) => places,
                Err(nothing) => return Ok(nothing),
            },
        };
        if one_metal(self.vehicle, high, low) {
            return Ok(self.one_place(high, low));
        }
        let accuracy = self.accuracy(account, Dimension::Voltage, value, remarks);
        let nothing = is_nothing(value.told, accuracy);
        let told = match &account.open {
            Some(open) => match self.at_rest(account, high, low) {
                Some(state) => Some(state),
                None => return Ok(self.open_circuit(open)),
            },
            None => self.state(account, (high, low), nothing, remarks),
        };
        let Some(state) = told else {
            return Ok(self.no_state("volts"));
        };
        let measured = Measured::Volts { high, low };
        self.check_possible(Some(state), measured, value, remarks);
        if self.still(state, high, low) {
            if nothing {
                return Ok(self.no_current(state, high, low));
            }
            remarks.warnings.push(self.flows_unexplained(state, value, high, low));
        }
        Ok(Outcome::Reading(reading(account, Some(state), measured, value, accuracy)))
    }

    pub(super) fn amps(
        &self,
        account: &Account,
        value: &Value,
        remarks: &mut Remarks,
    ) -> Result<Outcome, Problem> {
        match value.dimension {
            None if value.told != Told::Nothing => return Err(unit_missing(value)),
            Some(other) if other != Dimension::Current => {
                return Err(Problem::error(
                    Code::ValueUnreadable,
                    value.place.clone(),
                    format!("{} does not flow through a conductor", other.with_article()),
                    "amperes, such as `38 A`",
                ));
            }
            _ => {}
        }
        let conductor = match account.names.as_slice() {
            [] => {
                return Ok(worthless(
                    "in which conductor it flowed is not told",
                    "name the conductor that was inside the clamp, as in `preheat main-negative 38 A`",
                ));
            }
            [name] => self.clamped(name)?,
            [_, second, ..] => return Err(one_conductor(second)),
        };
        let measured = Measured::Amps { conductor };
        let accuracy = self.accuracy(account, Dimension::Current, value, remarks);
        let nothing = is_nothing(value.told, accuracy);
        let turned = self.arrow_turned(account, conductor)?;
        let value = &if turned {
            Value { told: value.told.turned(), ..value.clone() }
        } else {
            value.clone()
        };
        let ends = self.vehicle.conductor(conductor);
        let (a, b) = (Probe::Lug(ends.from), Probe::Lug(ends.to));
        let Some(state) = self.state(account, (a, b), nothing, remarks) else {
            return Ok(self.no_state("amperes"));
        };
        self.check_possible(Some(state), measured, value, remarks);
        if self.still(state, a, b) {
            if nothing {
                return Ok(self.no_current(state, a, b));
            }
            remarks.warnings.push(self.flows_unexplained(state, value, a, b));
        }
        Ok(Outcome::Reading(reading(account, Some(state), measured, value, accuracy)))
    }

    /// True when the clamp's arrow pointed towards the beginning of the conductor.
    fn arrow_turned(&self, account: &Account, conductor: ConductorId) -> Result<bool, Problem> {
        let Some(said) = &account.towards else { return Ok(false) };
        let (from, to) = self.vehicle.conductor_ends(conductor);
        match self.known.probe(said)? {
            Probe::Point(point) if point == from => Ok(true),
            Probe::Point(point) if point == to => Ok(false),
            Probe::Lug(joint) | Probe::Strand(joint)
                if joint == self.vehicle.conductor(conductor).from =>
            {
                Ok(true)
            }
            Probe::Lug(joint) | Probe::Strand(joint)
                if joint == self.vehicle.conductor(conductor).to =>
            {
                Ok(false)
            }
            _ => {
                let [from, to] = [from, to].map(|point| &self.vehicle.point(point).id);
                Err(Problem::error(
                    Code::NoSuchEnd,
                    said.place.clone(),
                    format!(
                        "`{}` is at neither end of `{}`",
                        said.text,
                        self.vehicle.conductor(conductor).id
                    ),
                    format!("`towards {from}` or `towards {to}`"),
                ))
            }
        }
    }

    /// The state at rest, when volts over a battery's posts were told with nothing joined to them.
    fn at_rest(&self, account: &Account, high: Probe, low: Probe) -> Option<StateId> {
        let rest = self.vehicle.state_named("resting")?;
        let posts = self.vehicle.batteries.iter().any(|own| {
            let posts = [Probe::Point(own.positive), Probe::Point(own.negative)];
            posts.contains(&high) && posts.contains(&low)
        });
        (posts && account.state.is_none_or(|state| state == rest)).then_some(rest)
    }

    /// The conductor that a clamp sat on: by its own name, or a load's own lead.
    fn clamped(&self, said: &Said) -> Result<ConductorId, Problem> {
        let known = &self.known;
        if let Some(conductor) = known.conductor(&said.text) {
            return Ok(conductor);
        }
        if let Some(load) = known.load(&said.text) {
            let load = &self.vehicle.load(load).id;
            let leads = ["feed", "return"].map(|lead| known.conductor(&format!("{load}.{lead}")));
            if let Some(lead) = leads.into_iter().flatten().next() {
                return Ok(lead);
            }
        }
        if let Some(lead) = known.place(&said.text).and_then(|thing| self.feed_of(thing)) {
            return Ok(lead);
        }
        let mut problem = known.not_known(Code::UnknownConductor, said, "conductor");
        if problem.hint.is_none() && known.knows(&said.text) {
            problem.hint =
                Some("a clamp sits on a conductor: name the cable or strap itself".to_owned());
        }
        Err(problem)
    }

    /// The only cable by which a device's current comes or goes: its amperes are those of the device.
    fn feed_of(&self, thing: Thing) -> Option<ConductorId> {
        let vehicle = self.vehicle;
        let leads = |id: &ConductorId| {
            let name = &vehicle.conductor(*id).id;
            vehicle.regulated.iter().any(|own| name.strip_prefix(&own.id) == Some(".lead"))
        };
        let (live, leads_too) = match thing {
            Thing::Load(id) => (vehicle.load_terminals(id).0, false),
            Thing::Source(id) => (vehicle.regulated_terminals(id).0, true),
            _ => return None,
        };
        // Behind a switch that carries nothing but its current the cable is the same.
        let before = vehicle.inlines.iter().find_map(|own| match live {
            at if own.to == at => Some(own.from),
            at if own.from == at => Some(own.to),
            _ => None,
        });
        let at = |point: PointId| {
            let ends = |id: &ConductorId| {
                let (from, to) = vehicle.conductor_ends(*id);
                (from == point || to == point) && (leads_too || !leads(id))
            };
            (0..vehicle.conductors.len()).map(ConductorId::at).filter(ends).collect::<Vec<_>>()
        };
        let own = at(live);
        let all = if own.is_empty() { before.map(at).unwrap_or_default() } else { own };
        if let [only] = all.as_slice() { Some(*only) } else { None }
    }

    pub(super) fn ohms(
        &self,
        account: &Account,
        value: &Value,
        remarks: &mut Remarks,
    ) -> Result<Outcome, Problem> {
        let places = self.two_places(account);
        if most(value.told) < REACH_OF_A_HAND_METER.0 && !matches!(places, Ok(Ok(_))) {
            return Ok(beyond_its_reach(
                "measure the volts over that stretch while a current flows through it",
            ));
        }
        if account.names.is_empty() {
            return Ok(worthless(
                "between which places the ohms were is not told, and ohms are told without a current",
                "measure the volts over each stretch while a current flows through it",
            ));
        }
        let (from, to) = match places? {
            Ok(places) => places,
            Err(nothing) => return Ok(nothing),
        };
        let busy = self.busy_states(from, to);
        let advice = if busy.is_empty() {
            "measure the volts between the same two places while a current flows there".to_owned()
        } else {
            format!(
                "measure the volts between `{}` and `{}` under load: {}",
                self.name(from),
                self.name(to),
                busy.join(", ")
            )
        };
        if !self.joined_by_metal(from, to) {
            return Ok(worthless(
                "a battery or loads lie between the two places: an ohmmeter there reads their volts, not a resistance",
                advice,
            ));
        }
        if let Some(state) = account.state
            && !self.still(state, from, to)
        {
            return Ok(worthless(
                format!(
                    "ohms on a live network: in `{}` a current flows between the two places, and its volts spoil the reading",
                    self.vehicle.state(state).id
                ),
                advice,
            ));
        }
        if most(value.told) < REACH_OF_A_HAND_METER.0 {
            return Ok(beyond_its_reach(advice));
        }
        let accuracy = self.accuracy(account, Dimension::Resistance, value, remarks);
        Ok(Outcome::Reading(reading(
            account,
            account.state,
            Measured::Ohms { from, to },
            value,
            accuracy,
        )))
    }

    /// The places of both probes, or what a reading without them is worth.
    fn two_places(&self, account: &Account) -> Result<Result<(Probe, Probe), Outcome>, Problem> {
        match account.names.as_slice() {
            [] => Ok(Err(worthless(
                "where the probes were, and against what, is not told",
                "name both places, as in `cranking: block/front to main/-  0.41 V`",
            ))),
            [only] => {
                let thing = self.known.place(&only.text);
                if account.loss
                    && let Some(thing @ (Thing::Load(_) | Thing::Battery(_) | Thing::Source(_))) =
                        thing
                {
                    return Err(self.known.too_little(only, thing).hint(format!(
                        "a drop is lost between two places; what `{0}` itself has is `{0} 9.1 V`",
                        only.text
                    )));
                }
                if let Some(sides) = thing.and_then(|thing| self.known.sides(thing)) {
                    return Ok(Ok((Probe::Point(sides.0), Probe::Point(sides.1))));
                }
                let probe = self.known.probe(only)?;
                Ok(Err(self.second_unknown(probe)))
            }
            [first, second] => match self.side_of_a_device(account, first, second) {
                Some(places) => Ok(Ok(places)),
                None => Ok(Ok((self.known.probe(first)?, self.known.probe(second)?))),
            },
            [_, _, third, ..] => Err(Problem::error(
                Code::TooManyPlaces,
                third.place.clone(),
                format!("`{}` is a third place", third.text),
                "the places of two probes",
            )),
        }
    }
}

impl Context<'_> {
    /// `Battery plus to starter`: the side of the device that metal joins with the other place, where a value
    /// is told that is a loss and no supply. Both sides of two devices stay asked back.
    fn side_of_a_device(&self, account: &Account, a: &Said, b: &Said) -> Option<(Probe, Probe)> {
        let value = account
            .value
            .as_ref()
            .filter(|own| own.dimension.is_none_or(|own| own == Dimension::Voltage))?;
        if most(value.told) > MOST_OF_A_LOSS * self.vehicle.nominal.0 {
            return None;
        }
        let sides =
            |said: &Said| self.known.place(&said.text).and_then(|own| self.known.sides(own));
        let joined = |device: &Said, other: &Said| {
            let (live, back) = sides(device)?;
            let other = self.known.probe(other).ok()?;
            let on = |point| self.joined_by_metal(Probe::Point(point), other);
            match (on(live), on(back)) {
                (true, false) => Some((Probe::Point(live), other)),
                (false, true) => Some((Probe::Point(back), other)),
                _ => None,
            }
        };
        match (sides(a), sides(b)) {
            (Some(_), None) => joined(a, b),
            (None, Some(_)) => joined(b, a).map(|(own, other)| (other, own)),
            _ => None,
        }
    }
}

fn beyond_its_reach(instead: impl Into<String>) -> Outcome {
    worthless(
        format!(
            "below {} Ω a hand meter reads its own leads; three thousandths of an ohm lose a volt at 300 A",
            print::plain(REACH_OF_A_HAND_METER.0, 2)
        ),
        instead,
    )
}

/// True when the meter may as well have shown nothing.
fn is_nothing(told: Told, accuracy: Accuracy) -> bool {
    match told {
        Told::Nothing => true,
        Told::Between(a, b) => a <= accuracy.limit(a) && b >= -accuracy.limit(b),
        other => most(other) <= accuracy.limit(most(other)),
    }
}

pub(super) fn unit_missing(value: &Value) -> Problem {
    Problem::error(
        Code::UnitMissing,
        value.place.clone(),
        "the value has no unit",
        "amperes in a conductor, `38 A`, or volts between two points, `0.41 V`",
    )
    .hint("a number alone may be anything and is not weighed")
}

fn one_conductor(second: &Said) -> Problem {
    Problem::error(
        Code::TooManyPlaces,
        second.place.clone(),
        format!("`{}` is a second name, and a current flows in one conductor", second.text),
        "the one conductor that was inside the clamp",
    )
}

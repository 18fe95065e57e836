//! Physical nonsense: what is well written and still cannot be meant.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use model::{
    Code, Conducts, Earth, Piece, PointId, PointOwner, Problem, Severity, StateId, Vehicle,
};
use units::{Amperes, Volts, print};

/// Looks at the vehicle as a whole.
pub(crate) fn check(vehicle: &Vehicle, places: &BTreeMap<String, Range<usize>>) -> Vec<Problem> {
    let checks = Checks { vehicle, places };
    let mut problems = Vec::new();
    checks.short_circuits(&mut problems);
    let mut turned = crate::polarity::check(vehicle, places);
    let mut ways = Vec::new();
    checks.ways(&mut ways);
    match turned.iter_mut().find(|own| own.code == Code::EarthAgainstMetal) {
        // Loads without a way follow from it, and are not told beside it.
        Some(own) if !ways.is_empty() => own.severity = Severity::Error,
        _ => problems.extend(ways),
    }
    problems.extend(turned);
    checks.islands(&mut problems);
    checks.thin_starter_cables(&mut problems);
    problems.extend(crate::battery_loops::check(vehicle, places));
    problems.extend(crate::voltage_class::check(vehicle, places));
    problems
}

/// True for water between metals: what leaks through it is no short circuit.
fn wet(vehicle: &Vehicle, piece: Piece) -> bool {
    matches!(piece, Piece::Incidental(id) if vehicle.incidental(id).kind.wet)
}

struct Checks<'v> {
    vehicle: &'v Vehicle,
    places: &'v BTreeMap<String, Range<usize>>,
}

impl Checks<'_> {
    fn place(&self, name: &str) -> Range<usize> {
        self.places.get(name).cloned().unwrap_or(0..0)
    }

    /// Metal from a battery's positive post to its negative one.
    fn short_circuits(&self, problems: &mut Vec<Problem>) {
        let mut told = Vec::new();
        let vehicle = self.vehicle;
        for state in (0..vehicle.states.len()).map(StateId::at) {
            let mut parts = vehicle.parts(|piece| {
                !wet(vehicle, piece) && vehicle.conducts(piece, state) == Conducts::BothWays
            });
            for battery in &self.vehicle.batteries {
                let short = parts.joined(battery.positive.index(), battery.negative.index());
                if short && !told.contains(&&battery.id) {
                    told.push(&battery.id);
                    let problem = Problem::error(
                        Code::ShortCircuit,
                        self.place(&battery.id),
                        format!(
                            "metal joins `{0}/+` to `{0}/-` in the state `{1}`",
                            battery.id,
                            self.vehicle.state(state).id
                        ),
                        "no path from one post to the other except through loads",
                    );
                    problems.push(problem.hint(
                        "look for a conductor with an end at the wrong point, or a load whose feed and return are written as conductors to the same point",
                    ));
                }
            }
        }
    }

    /// Loads that nothing feeds, and loads whose current has no way home.
    fn ways(&self, problems: &mut Vec<Problem>) {
        let vehicle = self.vehicle;
        let states = || (0..vehicle.states.len()).map(StateId::at);
        let mut parts = vehicle
            .parts(|piece| states().any(|state| vehicle.conducts(piece, state) != Conducts::Not));
        let mut joined = |a: PointId, b: PointId| parts.joined(a.index(), b.index());
        let source_terminals: Vec<(PointId, PointId)> = vehicle
            .batteries
            .iter()
            .map(|battery| (battery.positive, battery.negative))
            .chain(vehicle.regulated.iter().map(|source| (source.positive, source.negative)))
            .collect();
        for load in vehicle.loads.iter().filter(|load| !load.on.is_empty()) {
            let fed = source_terminals.iter().any(|(plus, _)| joined(*plus, load.positive));
            let home = source_terminals.iter().any(|(_, minus)| joined(*minus, load.negative));
            let (live, earthed) = match vehicle.earth {
                Earth::Negative => (fed, home),
                Earth::Positive => (home, fed),
            };
            let switched = "in any state that is solved";
            if !live {
                problems.push(
                    Problem::error(
                        Code::LoadWithoutFeed,
                        self.place(&load.id),
                        format!("nothing feeds `{}` {switched}", load.id),
                        "a path of conductors, fuses and closed switches from a battery to it",
                    )
                    .hint(format!(
                        "give it a `feed`, or end a conductor at `{}/{}`",
                        load.id,
                        self.live_sign()
                    )),
                );
            }
            if !earthed {
                problems.push(
                    Problem::error(
                        Code::LoadWithoutReturn,
                        self.place(&load.id),
                        format!("the current of `{}` has no way home {switched}", load.id),
                        "a path of conductors and metal from it back to a battery",
                    )
                    .hint(format!(
                        "give it a `return` or a `case`, or end a conductor at `{}/{}`; then look whether the metal it ends at is joined to a battery",
                        load.id,
                        self.earthed_sign()
                    )),
                );
            }
        }
    }

    fn live_sign(&self) -> &'static str {
        if self.vehicle.earth == Earth::Negative { "+" } else { "-" }
    }

    fn earthed_sign(&self) -> &'static str {
        if self.vehicle.earth == Earth::Negative { "-" } else { "+" }
    }

    /// Points that hang on nothing.
    fn islands(&self, problems: &mut Vec<Problem>) {
        let vehicle = self.vehicle;
        let mut parts = vehicle.parts(|_| true);
        let mut join = |a: PointId, b: PointId| parts.join(a.index(), b.index());
        for battery in &vehicle.batteries {
            join(battery.positive, battery.negative);
        }
        for source in &vehicle.regulated {
            join(source.positive, source.negative);
            if let Some(input) = &source.input {
                join(input.positive, input.negative);
            }
        }
        for load in &vehicle.loads {
            join(load.positive, load.negative);
        }
        let roots = parts.roots();
        let Some(home) = vehicle.batteries.first().map(|battery| roots[battery.negative.index()])
        else {
            return;
        };
        let mut members: BTreeMap<usize, usize> = BTreeMap::new();
        for root in &roots {
            *members.entry(*root).or_default() += 1;
        }
        let mut told = BTreeSet::new();
        for (at, point) in vehicle.points.iter().enumerate() {
            let root = roots[at];
            let device = matches!(point.owner, PointOwner::Positive | PointOwner::Negative);
            if root == home || told.contains(&root) {
                continue;
            }
            let name = point.id.split('/').next().unwrap_or_default();
            if device && !self.places.contains_key(name) {
                continue;
            }
            told.insert(root);
            let company = match members[&root] - 1 {
                0 => String::new(),
                1 => " and one other point".to_owned(),
                many => format!(" and {many} other points"),
            };
            problems.push(
                Problem::warning(
                    Code::Island,
                    self.place(name),
                    format!("nothing joins `{}`{company} to the first battery", point.id),
                    "a conductor, strap or incidental path to the rest of the vehicle",
                )
                .hint("metal that touches other metal through a bolt, a bearing or a hinge is an incidental path or a conductor"),
            );
        }
    }

    /// Starters behind cables that would burn.
    fn thin_starter_cables(&self, problems: &mut Vec<Problem>) {
        let vehicle = self.vehicle;
        for load in vehicle.loads.iter().filter(|load| load.kind == model::LoadKind::Starter) {
            let model::LoadLaw::Starter { amps, .. } = load.law else { continue };
            let terminals = [load.positive, load.negative];
            for conductor in &vehicle.conductors {
                let touches = [conductor.from, conductor.to]
                    .iter()
                    .any(|id| terminals.contains(&vehicle.joint(*id).point));
                let Some(area) = conductor.area.filter(|_| touches) else { continue };
                let lost = conductor.resistance_at_20 * amps;
                // Cranking puts up to about 20 A on each square millimetre; five times that melts PVC in seconds.
                if amps > Amperes(100.0 * area.mm2()) || lost > Volts(vehicle.nominal.0) {
                    problems.push(
                        Problem::warning(
                            Code::StarterCableThin,
                            self.place(&conductor.id),
                            format!(
                                "`{}` has {:.3} mm² and would carry the starter's {}",
                                conductor.id,
                                area.mm2(),
                                print::amperes(amps)
                            ),
                            "a battery cable, usually 16 to 95 mm²",
                        )
                        .hint("is the size right, or is this the control wire? That one ends at a load of its own"),
                    );
                }
            }
        }
    }
}

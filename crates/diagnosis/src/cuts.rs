//! Two faults in parallel ways home, which only together do harm.
//!
//! Each of them alone costs next to nothing, so that neither stands out beside a second: where the
//! search for pairs begins with the likeliest single fault it never comes to them. They are formed on
//! purpose, conductor by conductor: both ways together are what the load's current goes home by.

use std::collections::BTreeSet;

use model::{BatteryId, ConductorId, LoadId, Piece, PointId, RegulatedId, StateId, Vehicle};

use crate::estimator::{Asked, Estimator};
use crate::explanation::Explanation;
use crate::hypothesis::Hypothesis;
use crate::metal::Metal;
use crate::rough::{Base, TRIED, WORTH_FITTING};
use crate::suspect::SuspectKind;

/// Pairs of ways home that are looked at, those that carry most.
const MOST_CUTS: usize = 8;
/// Conductors that are tried as one of two ways.
const MOST_WAYS: usize = 24;
/// Pairs of faults that are fitted, and how many of each two ways at least.
pub(crate) const MOST_FITTED: usize = 24;
const OF_EACH: usize = 1;

/// Points from which a load's or a source's current has to get home.
fn homebound(vehicle: &Vehicle) -> BTreeSet<usize> {
    let loads = (0..vehicle.loads.len()).map(|at| vehicle.load_terminals(LoadId::at(at)).1);
    let sources =
        (0..vehicle.regulated.len()).map(|at| vehicle.regulated_terminals(RegulatedId::at(at)).1);
    loads.chain(sources).map(PointId::index).collect()
}

/// Two conductors that lie in parallel on the way home: with either some load gets home, with neither
/// it does not.
pub(crate) fn cuts(
    vehicle: &Vehicle,
    carried: impl Fn(ConductorId) -> f64,
) -> Vec<[ConductorId; 2]> {
    let metal = Metal::without_incidental(vehicle);
    let posts: Vec<PointId> = (0..vehicle.batteries.len())
        .map(|at| vehicle.battery_terminals(BatteryId::at(at)).1)
        .collect();
    let homes = homebound(vehicle);
    let left = |without: &[ConductorId]| -> usize {
        let edges: Vec<usize> = without.iter().map(|id| metal.conductor(*id)).collect();
        // Each battery needs its own way: what gets home to another one does not help it.
        let to = |post: &PointId| {
            let reached = metal.reached_without([*post].into_iter(), &edges);
            homes.iter().filter(|home| reached.contains(home)).count()
        };
        posts.iter().map(to).sum()
    };
    let all = left(&[]);
    let mut ways: Vec<ConductorId> = (0..vehicle.conductors.len())
        .map(ConductorId::at)
        .filter(|id| carried(*id) > 0.0 && left(&[*id]) == all)
        .collect();
    ways.sort_by(|a, b| carried(*b).total_cmp(&carried(*a)));
    ways.truncate(MOST_WAYS);
    let mut cuts = Vec::new();
    for (at, first) in ways.iter().enumerate() {
        for second in &ways[at + 1..] {
            if cuts.len() < MOST_CUTS && left(&[*first, *second]) < all {
                cuts.push([*first, *second]);
            }
        }
    }
    cuts
}

/// Two ways, each bad or open: the values of their conductors that explain best, and how well.
struct Rough {
    open: [bool; 2],
    values: [f64; 2],
    weight: f64,
}

/// A pair of faults that is worth a fit, and the values from which it begins.
struct Promise {
    cut: usize,
    faults: [usize; 2],
    starts: [f64; 2],
    weight: f64,
}

/// Faults in both of two parallel ways home, the likeliest fitted; of each two ways at least one.
pub(crate) fn in_both_ways(
    estimator: &mut Estimator<'_>,
    asked: &Asked<'_>,
    known: &[Explanation],
) -> Vec<Explanation> {
    let cuts = parallel_ways(estimator);
    let Some(base) = Base::of(estimator, asked).filter(|_| !cuts.is_empty()) else {
        return Vec::new();
    };
    let promises = promises(estimator, cuts, asked, &base);
    let mut best = known.iter().map(|own| own.weight).fold(f64::MIN, f64::max);
    let mut of_each: Vec<usize> = Vec::new();
    let mut fitted = Vec::new();
    for Promise { cut, faults, starts, weight } in promises {
        let already = of_each.iter().filter(|own| **own == cut).count();
        let far = weight < best - WORTH_FITTING || fitted.len() >= MOST_FITTED;
        if far && already >= OF_EACH {
            continue;
        }
        let [one, other] = faults.map(|at| estimator.prior.faults[at].clone());
        let kinds = other.beside(&one.beside(&estimator.prior.as_filed));
        of_each.push(cut);
        if known.iter().any(|own| own.faults == kinds && own.fit.is_some()) {
            continue;
        }
        if let Some(own) = fitted_both(estimator, [&one, &other], starts, kinds, asked) {
            best = best.max(own.weight);
            fitted.push(own);
        }
    }
    fitted
}

/// Two faults fitted together from these values.
fn fitted_both(
    estimator: &mut Estimator<'_>,
    [one, other]: [&Hypothesis; 2],
    starts: [f64; 2],
    kinds: Vec<SuspectKind>,
    asked: &Asked<'_>,
) -> Option<Explanation> {
    let belief = other.belief(&one.belief(&estimator.prior.sound));
    let mut unknowns = estimator.prior.sound.mean.clone();
    (unknowns[one.at], unknowns[other.at]) = (starts[0], starts[1]);
    estimator.explain(asked, belief, &unknowns, kinds, one.log_odds + other.log_odds)
}

/// What faults in both of two ways promise to explain, the most first.
fn promises(
    estimator: &mut Estimator<'_>,
    cuts: Vec<[ConductorId; 2]>,
    asked: &Asked<'_>,
    base: &Base,
) -> Vec<Promise> {
    let mut promises: Vec<Promise> = Vec::new();
    for (cut, ways) in cuts.into_iter().enumerate() {
        let rough = both_ways(estimator, ways, asked, base);
        let [a, b] = ways.map(|id| faults_in(estimator, id));
        for (one, other) in a.iter().flat_map(|one| b.iter().map(move |other| (*one, *other))) {
            promises.extend(promise(estimator, cut, ways, [one, other], &rough));
        }
    }
    promises.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    promises
}

/// What a fault in each of two ways promises to explain; nothing where neither was tried so.
fn promise(
    estimator: &Estimator<'_>,
    cut: usize,
    ways: [ConductorId; 2],
    faults: [usize; 2],
    rough: &[Rough],
) -> Option<Promise> {
    let both = faults.map(|at| &estimator.prior.faults[at]);
    let open = both.map(|fault| matches!(fault.kind, SuspectKind::Open(_)));
    let own = rough.iter().find(|own| own.open == open)?;
    let starts = [0, 1].map(|at| start_of(estimator, both[at], ways[at], own.values[at]));
    let odds: f64 = both.iter().map(|fault| fault.log_odds).sum();
    Some(Promise { cut, faults, starts, weight: own.weight + odds })
}

/// Conductors in pairs that lie in parallel on the way home, those that carry most first.
fn parallel_ways(estimator: &Estimator<'_>) -> Vec<[ConductorId; 2]> {
    let vehicle = estimator.vehicle();
    let points = &estimator.forward.points;
    cuts(vehicle, |id| {
        let amps = (0..vehicle.states.len()).map(StateId::at).filter_map(|state| {
            let point = points[state.index()].as_ref()?;
            Some(point.piece(vehicle, Piece::Conductor(id)).amps.0.abs())
        });
        amps.fold(0.0, f64::max)
    })
}

/// The faults that lie in a conductor and its two joints.
fn faults_in(estimator: &Estimator<'_>, id: ConductorId) -> Vec<usize> {
    let vehicle = estimator.vehicle();
    let of = |fault: &Hypothesis| fault.kind.conductor(vehicle) == Some(id) && !fault.mends;
    (0..estimator.prior.faults.len()).filter(|at| of(&estimator.prior.faults[*at])).collect()
}

/// How well the two ways together explain the readings, roughly, each bad or open: the one as bad as
/// commonly, the other at a few values. Joints and strands of a conductor lie one behind the other,
/// so that the conductor stands for all of them.
fn both_ways(
    estimator: &mut Estimator<'_>,
    ways: [ConductorId; 2],
    asked: &Asked<'_>,
    base: &Base,
) -> Vec<Rough> {
    let mut found = Vec::new();
    for open in [[false, false], [false, true], [true, false], [true, true]] {
        let stands = [0, 1].map(|at| {
            let id = ways[at];
            let kind = if open[at] { SuspectKind::Open(id) } else { SuspectKind::Conductor(id) };
            estimator.prior.fault(kind).cloned()
        });
        let [Some(one), Some(other)] = stands else { continue };
        let kinds = other.beside(&one.beside(&estimator.prior.as_filed));
        let mut best: Option<Rough> = None;
        for (held, varied, turned) in [(&other, &one, false), (&one, &other, true)] {
            for step in TRIED {
                let tried = try_two(estimator, (held, varied), step, &kinds, asked, base);
                let Some((at, weight)) = tried else { continue };
                if best.as_ref().is_none_or(|known| weight > known.weight) {
                    let values = if turned { [at[1], at[0]] } else { at };
                    best = Some(Rough { open, values, weight });
                }
            }
        }
        found.extend(best);
    }
    found
}

/// One fault as bad as commonly and another so many spreads from its middle: the values of the other and
/// the one, and how well both explain the readings.
fn try_two(
    estimator: &mut Estimator<'_>,
    (held, varied): (&Hypothesis, &Hypothesis),
    step: f64,
    kinds: &[SuspectKind],
    asked: &Asked<'_>,
    base: &Base,
) -> Option<([f64; 2], f64)> {
    let mut unknowns = estimator.prior.sound.mean.clone();
    unknowns[held.at] = held.mean;
    unknowns[varied.at] = varied.mean + step * varied.spread;
    let guess = estimator.forward.guess(&unknowns, &[], &asked.states, Some(&base.guess))?;
    let (forward, sound) = (&estimator.forward, &estimator.prior.sound);
    let rough = base.explains(forward, sound, asked.observations, &guess, Some(varied.at))?;
    let heard = estimator.heard(asked.complaint, &guess, (&unknowns, &[]), kinds);
    Some(([unknowns[varied.at], unknowns[held.at]], heard + rough.all - 0.5 * step * step))
}

/// The value from which a fault of a conductor begins that stands for it with this value.
fn start_of(estimator: &Estimator<'_>, fault: &Hypothesis, way: ConductorId, value: f64) -> f64 {
    let vehicle = estimator.vehicle();
    match fault.kind {
        SuspectKind::Joint(id) => {
            let written = vehicle.piece_resistance(Piece::Conductor(way)).0;
            value + (written / vehicle.piece_resistance(Piece::Joint(id)).0).ln()
        }
        _ => value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = include_str!("../../../examples/rescue-ambulance.toml");

    #[test]
    fn each_of_two_ways_home_is_spared_by_the_other_and_not_both_at_once() {
        let vehicle = file::read(FILE.as_bytes()).vehicle.expect("the example is sound");
        let found = cuts(&vehicle, |_| 1.0);
        assert!(!found.is_empty());
        let metal = Metal::without_incidental(&vehicle);
        for [first, second] in found {
            let edges = [metal.conductor(first), metal.conductor(second)];
            let reached = |edges: &[usize]| -> usize {
                let posts = (0..vehicle.batteries.len())
                    .map(|at| vehicle.battery_terminals(BatteryId::at(at)).1);
                posts.map(|post| metal.reached_without([post].into_iter(), edges).len()).sum()
            };
            let names = [first, second].map(|id| &vehicle.conductor(id).id);
            let either = reached(&edges[..1]).min(reached(&edges[1..]));
            assert!(reached(&edges) < either, "{names:?}");
        }
    }
}

//! The five sides, the likeliest first, and the first suspect of each.

use diagnosis::{Side, SideBelief, Standing, SuspectKind};
use model::ConductorId;
use units::Ratio;

use super::Found;
use crate::told::sides::{chance, meaning};
use crate::told::{Line, Span, Told, measuring, name, strong};

/// Letters of a side's word.
const WORD: usize = 8;
/// Letters of a chance.
const CHANCE: usize = 11;

/// The five sides, the likeliest first.
pub(super) fn sides(told: &mut Told, found: &Found) {
    let weighed = &found.weighed;
    let load = weighed.heard.load.map(|id| found.vehicle.load(id).name.as_str());
    told.line(strong("Where it may be"));
    for own in &weighed.account.sides.sides {
        let mut words = match (own.side, load) {
            (Side::Load, Some(load)) => say!("the load itself, {}", name(load)),
            _ => say!("{}", meaning(own.side)),
        };
        match weighed.standing(own) {
            Standing::Suspect => words.extend(say!("; {}", first_of(found, own))),
            Standing::Cleared => words.push(": cleared".into()),
            Standing::UnlikelySoFar => words.push(": unlikely so far, not cleared".into()),
            Standing::Unlikely => words.push(": unlikely from the start".into()),
            Standing::Open => {}
        }
        row(told, own.side.word(), own.probability, words);
    }
    let sides = &weighed.account.sides;
    if sides.elsewhere.0 >= 0.01 {
        row(told, "elsewhere", sides.elsewhere, say!("outside this circuit"));
    }
    row(told, "nothing", sides.nothing, say!("no fault in this circuit at all"));
}

fn row(told: &mut Told, word: &str, probability: Ratio, words: Line) {
    let lead = say!("{}{}  ", format!("  {word:<WORD$} "), chance(probability).right(CHANCE));
    let letters = WORD.max(word.chars().count()) + CHANCE + 5;
    told.item(lead, letters, words);
}

/// The likeliest suspects of a side in words: a whole cable when its pieces share the suspicion.
pub(super) fn first_of(found: &Found, own: &SideBelief) -> Line {
    let (vehicle, weighed) = (&found.vehicle, &found.weighed);
    let Some(first) = own.first else { return Line::new() };
    let cable = |kind: SuspectKind| match kind {
        SuspectKind::Conductor(id) | SuspectKind::Open(id) => Some(id),
        SuspectKind::Joint(id) => vehicle.joint(id).of.conductor(),
        _ => None,
    };
    let mut sums: Vec<(ConductorId, f64)> = Vec::new();
    for suspect in &weighed.account.diagnosis.suspects {
        let side = found.side_of(suspect.kind);
        let Some(id) = cable(suspect.kind).filter(|_| side == Some(own.side)) else { continue };
        match sums.iter_mut().find(|(known, _)| *known == id) {
            Some((_, sum)) => *sum += suspect.probability,
            None => sums.push((id, suspect.probability)),
        }
    }
    let best = sums.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    match best.filter(|_| cable(first).is_some()) {
        Some((id, _)) => {
            let conductor = vehicle.conductor(id);
            let end = |joint| name(&vehicle.point(vehicle.joint(joint).point).id);
            say!(
                "first of all {}: its end at {}, its end at {}, or the cable itself",
                name(&conductor.id),
                end(conductor.from),
                end(conductor.to)
            )
        }
        None => say!("first of all {}", place(found, own.side, first)),
    }
}

/// The suspect of a side in words.
fn place(found: &Found, side: Side, kind: SuspectKind) -> Span {
    match (side, kind) {
        (Side::Control, SuspectKind::LoadOpen(_)) => {
            "key switch, interlock, relay or trigger wire".into()
        }
        (Side::Load, SuspectKind::LoadOpen(_)) => {
            "it draws next to nothing though it is switched on".into()
        }
        _ => measuring::suspect(&found.vehicle, kind).into(),
    }
}

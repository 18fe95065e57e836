//! What is said of readings: what each is worth, what follows from them, and who is suspected.

use diagnosis::agreement::AT_ODDS;
use diagnosis::{Crowded, Observation, Suspect, clues};
use model::Reading;
use units::{Ratio, Volts};

use super::{Asked, Found};
use crate::question;
use crate::told::quantity::ohms;
use crate::told::sides::{chance, summary};
use crate::told::{Column, Line, Told, Tone, attention, left, measuring, name, right, strong};
use crate::unsettled;

mod account;
mod agreement;
mod apart;
mod believed;
mod proof;
mod taught;
mod verdict;

/// Suspects shown when not everything is asked for, and the least probability of one.
const MOST_SUSPECTS: usize = 6;
const LEAST_PROBABLE: f64 = 0.01;
/// From so many ohms on a suspect counts as open.
const OPEN: f64 = 1e3;

pub(super) fn of(found: &Found<'_>, &Asked { all, .. }: &Asked) -> Told {
    let mut told = Told::default();
    head(&mut told, found);
    unsettled::told_states(&mut told, found.vehicle, &found.unsettled);
    question::told(&mut told, found.vehicle, &found.questions);
    readings(&mut told, found);
    proof::told(&mut told, found);
    told.part("taught", |told| taught::told(told, found));
    agreement::told(&mut told, found);
    let noticed = !found.taken.readings.seen.is_empty()
        || !clues(found.vehicle, &found.taken.readings.readings).is_empty();
    if found.seen.is_empty() && noticed {
        told.paragraph(
            "No meter reading counts; what follows rests on what jump leads and pushes did, or was seen.",
        );
        told.gap();
    } else {
        verdict::told(&mut told, found);
    }
    apart::told(&mut told, found);
    if !account::told(&mut told, found) {
        told.part("most_telling", |told| most_telling(told, found));
    }
    told.part("sides", |told| told.paragraph(summary(&found.sides)));
    told.gap();
    suspects(&mut told, found, all);
    if all {
        believed::told(&mut told, found);
    }
    told
}

fn head(told: &mut Told, found: &Found<'_>) {
    let taken = found.taken;
    told.part("before_work", |told| measuring::earlier(told, &taken.earlier));
    if !told.blocks.is_empty() || !taken.problems.is_empty() {
        told.gap();
    }
    told.line(strong(name(&found.vehicle.name)));
    if let Some(complaint) = taken.complaint {
        told.line(say!(
            "complaint: {} while {}",
            name(&found.vehicle.load(complaint.load).id),
            name(&found.vehicle.state(complaint.state).name)
        ));
    }
    told.gap();
}

/// What each reading says beside what was expected, and what proves nothing.
fn readings(told: &mut Told, found: &Found<'_>) {
    let readings = &found.taken.readings;
    let nothing =
        readings.worthless.is_empty() && readings.kept.is_empty() && readings.seen.is_empty();
    if readings.readings.is_empty() && nothing {
        told.line("no readings yet; `groundloom next` says what to measure first");
        told.gap();
        return;
    }
    if !readings.readings.is_empty() {
        told.part("readings", |told| told.rows(&readings.readings, |own| row(found, own)));
        told.gap();
    }
    told.part("crowded", |told| crowded(told, found.crowded));
    for (at, own) in readings.worthless.iter().enumerate() {
        let number = own.number.to_string();
        let (why, instead) = (own.why.as_str(), own.instead.as_str());
        let words = say!("reading {} proves nothing: {}. Instead: {}", number, why, instead);
        told.part(format!("worthless.{at}"), |told| told.item(Line::new(), 2, words));
    }
    for (at, own) in readings.seen.iter().enumerate() {
        let words = crate::sights::understood(found.vehicle, std::slice::from_ref(own));
        let words = say!("entry {}, {}", own.number.to_string(), words);
        told.part(format!("seen.{at}"), |told| told.item(Line::new(), 2, words));
    }
    for (at, own) in readings.kept.iter().enumerate() {
        let words =
            say!("entry {} is kept as written: {}", own.number.to_string(), name(&own.text));
        told.part(format!("kept.{at}"), |told| told.item(Line::new(), 2, words));
    }
    if !nothing {
        told.gap();
    }
}

/// A reading beside what a sound vehicle and the best explanation would show.
fn row(found: &Found<'_>, reading: &Reading) -> [(Column, Line); 7] {
    let at = found.seen.iter().position(|own| own.number == reading.number);
    let expected = at.map(|at| found.diagnosis.expected[at]);
    let residual = at.and_then(|at| found.diagnosis.residuals.get(at));
    let odd = residual.is_some_and(|z| z.abs() > AT_ODDS);
    let value = |number| measuring::value(reading.measured, number);
    let state = reading.state.map(|state| name(&found.vehicle.state(state).id));
    let remark = match found.questions.iter().find(|own| own.number == reading.number) {
        Some(own) if own.doubt.is_weighed() => say!("? minus"),
        Some(_) => say!("? not weighed"),
        None if odd => attention(true, "at odds"),
        None => Line::new(),
    };
    [
        right("no.", reading.number.to_string()),
        left("state", state),
        left("measured", measuring::measured(found.vehicle, reading.measured)),
        right("reading", measuring::told(reading)),
        right("sound", expected.map(|(sound, _)| value(sound))),
        right("explained", expected.map(|(_, explained)| value(explained))),
        left("", remark),
    ]
}

/// Readings too many to be weighed one by one.
fn crowded(told: &mut Told, own: Crowded) {
    let readings = |count| say!("{}{}", count, if count == 1 { " reading" } else { " readings" });
    if own.together > 0 {
        told.paragraph(say!(
            "{} count in the mean of an earlier reading of the same thing in the same state.",
            readings(own.together)
        ));
        told.gap();
    }
    if own.left_out > 0 {
        let words = say!(
            "{} are shown but not weighed: so many different ones came before them. Put first in \
             the file those that matter.",
            readings(own.left_out)
        );
        told.toned(Tone::Warning, words);
        told.gap();
    }
}

/// The reading that says most, in words a person can follow.
fn most_telling(told: &mut Told, found: &Found<'_>) {
    let expected = &found.diagnosis.expected;
    let surprise = |(at, own): &(usize, &Observation)| {
        let sigma = own.sigma.max(0.02 * own.value.abs());
        ((own.value - expected[*at].0) / sigma).abs()
    };
    let seen = found.seen.iter().enumerate();
    let telling = seen.max_by(|a, b| surprise(a).total_cmp(&surprise(b)));
    let Some((at, own)) = telling else { return };
    let more = own.value.abs() - expected[at].0.abs();
    told.paragraph(say!(
        "Most telling is reading {}: {} while {} shows {}, {}{} than a sound vehicle would.",
        own.number.to_string(),
        measuring::measured(found.vehicle, own.measured),
        name(&found.vehicle.state(own.state).name),
        measuring::value(own.measured, own.value),
        measuring::value(own.measured, more.abs()),
        if more >= 0.0 { " more" } else { " less" }
    ));
    told.gap();
}

fn suspects(told: &mut Told, found: &Found<'_>, all: bool) {
    let suspects = found.diagnosis.suspects.iter();
    let shown = suspects.filter(|own| all || own.probability > LEAST_PROBABLE);
    let shown = shown.take(if all { usize::MAX } else { MOST_SUSPECTS });
    let shown = shown.map(|own| {
        let suspect = measuring::suspect(found.vehicle, own.kind);
        (own.probability, suspect, closed(own).map(ohms))
    });
    let nothing = (found.diagnosis.nothing_bad, say!("nothing is wrong"), None);
    told.rows(shown.chain([nothing]), |(probability, what, ohms)| {
        let probability = chance(Ratio(probability));
        [right("probability", probability), left("suspect", what), right("if so", ohms)]
    });
    told.gap();
    let words = "Bad means: costs 0.1 V of 12 V at the largest current it carries in any state, or stated \
                 as bad by the file. Before any reading a joint is bad with a probability that follows its \
                 kind, place and protection (our judgement, docs/diagnosis.md).";
    told.toned(Tone::Aside, say!("{}", words));
}

/// The resistance of a suspect that is not simply open.
fn closed(own: &Suspect) -> Option<units::Ohms> {
    own.ohms.filter(|ohms| ohms.0 < OPEN)
}

/// A voltage without its sign.
fn size(volts: f64) -> Volts {
    Volts(volts.abs())
}

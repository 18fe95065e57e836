//! What the card of a conductor or joint shows of its warmth.

use ::failures::{ConductorWarmth, Contact, JointWarmth, Resting};
use model::{Conductor, Laid, Surroundings, Vehicle};
use units::{Amperes, Kelvin, Ratio, Seconds};

use super::Found;
use crate::told::quantity::{amperes, percent, soon, temperature, watts};
use crate::told::{Line, Paragraph, Span, Told, Tone, joined, strong};

/// From here on a touch of ten minutes burns, whatever the material (ISO 13732-1, from memory).
const BURNS: Kelvin = Kelvin(273.15 + 48.0);

const STILL_AIR: &str =
    "Still air, a constant current from cold; within about a tenth of published ratings.";
const HOTTEST_SPOT: &str = "Hottest if all that it loses beyond a sound joint is lost in one spot: \
                            a warning, not a temperature.";
const BURNING: &str = "Too hot to hold is burning hot: switch off and let it cool before touching.";

pub(super) fn of(told: &mut Told, found: &Found<'_>) {
    let Found { vehicle, warmth, .. } = found;
    for own in &warmth.conductors {
        let part = vehicle.conductor(own.conductor);
        told.beside(format!("conductors.{}", part.id), |told| {
            carrying(told, part, own, warmth.time);
        });
    }
    for own in &warmth.resting() {
        let part = vehicle.conductor(own.conductor);
        told.beside(format!("conductors.{}", part.id), |told| resting(told, part, own));
    }
    for own in warmth.joints.iter().filter(|own| own.telling()) {
        told.beside(key_of_joint(vehicle, own), |told| joint(told, own));
    }
    for (key, words) in [("notes.conductors", STILL_AIR), ("notes.joints", HOTTEST_SPOT)] {
        told.beside(key, |told| note(told, warmth.found, words));
    }
}

fn key_of_joint(vehicle: &Vehicle, own: &JointWarmth) -> String {
    format!("joints.{}", vehicle.joint(own.joint).id)
}

fn note(told: &mut Told, found: bool, words: &str) {
    let last = "No operating point was found: warmth of the last attempt. ";
    told.toned(Tone::Aside, say!("{}{}", if found { "" } else { last }, words));
}

fn carrying(told: &mut Told, part: &Conductor, own: &ConductorWarmth, time: Seconds) {
    let tone = if own.at_end > own.limit { Tone::Warning } else { Tone::Plain };
    bears(told, part, own.bears, own.air);
    let sign = if tone == Tone::Warning { say!("{}", Span::Attention) } else { Line::new() };
    let settles = match own.settles {
        Some(settles) => say!("settles at {}", temperature(settles)),
        None => say!("would melt in time"),
    };
    let duty = if own.duty < Ratio(1.0) {
        say!(" with the duty of its load, {}", percent(own.duty))
    } else {
        Line::new()
    };
    let text = say!("{}{} in {}; {}{}", sign, temperature(own.at_end), soon(time), settles, duty);
    told.row("warms to", Paragraph { text, tone, ..Paragraph::default() });
    let passed = match own.endurance.limit_after {
        None => say!("never passed at this current"),
        Some(after) if after > time => say!("passed in {} if it went on", soon(after)),
        Some(after) => say!("passed in {}", soon(after)),
    };
    let text = say!("{}; {}", limit(part, own.limit), passed);
    told.row("limit", Paragraph { text, tone, ..Paragraph::default() });
    burning(told, own.at_end);
}

fn resting(told: &mut Told, part: &Conductor, own: &Resting) {
    bears(told, part, own.bears, own.air);
    let text = limit(part, own.limit);
    told.row("limit", Paragraph { text, ..Paragraph::default() });
    burning(told, own.air);
}

/// What it bears for ever, and what surrounds it meanwhile.
fn bears(told: &mut Told, part: &Conductor, bears: Amperes, air: Kelvin) {
    let engine = part.surroundings == Surroundings::EngineSpace;
    let space = if engine { " in the engine space" } else { "" };
    let mut place = vec![say!("in air of {}{}", temperature(air), space)];
    if part.laid == Laid::OnMetal {
        place.push(say!("clipped along metal"));
    }
    if part.bundle > 1 {
        place.push(say!("in a bundle of {}", part.bundle as usize));
    }
    let bears = strong(say!("{}", amperes(bears)));
    let text = say!("{} steadily, {}", bears, joined(place, ", "));
    told.row("could carry", Paragraph { text, ..Paragraph::default() });
}

/// What it must not pass, and what bears no more.
fn limit(part: &Conductor, limit: Kelvin) -> Line {
    let whose = if part.insulation.is_some() { "its insulation’s" } else { "of bare metal" };
    say!("{}, {}", temperature(limit), whose)
}

fn burning(told: &mut Told, reaches: Kelvin) {
    if reaches >= BURNS {
        told.paragraph(say!("{}", BURNING));
    }
}

fn joint(told: &mut Told, own: &JointWarmth) {
    let (makes, gets) = (watts(own.watts), temperature(own.reaches));
    let (text, tone) = match own.contact {
        None => (say!("{}, gets {}", makes, gets), Tone::Plain),
        Some(Contact::Melts) => {
            (say!("{}{}, gets {}: its metal melts", Span::Attention, makes, gets), Tone::Warning)
        }
        Some(Contact::Softens) => (
            say!(
                "{}{}, gets {}: too hot from {} on: its plating or insulation suffers",
                Span::Attention,
                makes,
                gets,
                temperature(own.softens)
            ),
            Tone::Warning,
        ),
    };
    told.row("heat", Paragraph { text, tone, ..Paragraph::default() });
    told.paragraph(say!("{}", BURNING));
}

#[cfg(test)]
mod tests {
    use serde_json::json;
    use units::UnitSystem;

    use crate::heat::Asked;
    use crate::room::Question;
    use crate::told::{Block, Told, written};

    const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");

    fn beside(state: &str) -> Told {
        let vehicle = file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors");
        let asked: Asked = serde_json::from_value(json!({ "state": state })).expect("known keys");
        let found = asked.find(&vehicle, &mut |_| true).expect("known").expect("not stopped");
        let mut told = Told::default();
        asked.beside(&found, &mut told);
        told
    }

    /// Head and text of each row of a part.
    fn rows(told: &Told, key: &str) -> Vec<String> {
        let part = told.beside.iter().find(|own| own.key == key).expect("there");
        let paragraphs = part.blocks.iter().map(|own| match own {
            Block::Paragraph(own) => own,
            other => panic!("{other:?}"),
        });
        let words = |line| written(line, UnitSystem::Metric);
        paragraphs.map(|own| format!("{}: {}", words(&own.lead), words(&own.text))).collect()
    }

    #[test]
    fn a_card_says_what_a_cable_could_carry_how_warm_it_gets_and_when_that_is_too_much() {
        let told = beside("winching");
        let rows = rows(&told, "conductors.winch.feed");
        assert_eq!(
            rows,
            [
                "could carry: 165 A steadily, in air of 80 °C in the engine space",
                "warms to: 88 °C in 60 s; settles at 83 °C with the duty of its load, 5.0 %",
                "limit: 105 °C, its insulation’s; passed in 3.7 min if it went on",
                ": Too hot to hold is burning hot: switch off and let it cool before touching.",
            ]
        );
    }

    #[test]
    fn a_cable_that_carries_nothing_still_says_what_it_could_carry() {
        let told = beside("winching");
        let all = told.beside.iter().filter(|own| own.key.starts_with("conductors."));
        let all: Vec<Vec<String>> = all.map(|own| rows(&told, &own.key)).collect();
        assert!(all.iter().all(|rows| rows[0].starts_with("could carry: ")), "{all:?}");
        let rests = |rows: &Vec<String>| rows[1].starts_with("limit: ");
        assert!(all.iter().any(rests) && !all.iter().all(rests), "{all:?}");
    }

    #[test]
    fn a_joint_is_spoken_of_when_its_metal_suffers_or_it_makes_half_a_watt() {
        let told = beside("cranking");
        let joints: Vec<&str> =
            told.beside.iter().filter_map(|own| own.key.strip_prefix("joints.")).collect();
        assert!(joints.contains(&"block-frame.to"), "{joints:?}");
        assert!(!joints.contains(&"tank-strap.to"), "{joints:?}");
        let rows = rows(&told, "joints.block-frame.to");
        assert!(rows[0].starts_with("heat: ") && rows[0].contains(" W, gets "), "{rows:?}");
    }
}

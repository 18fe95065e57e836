//! What a page shows beside readings: what has to be asked of each, and each suspect in the row of its probability.

use diagnosis::SuspectKind;
use model::Vehicle;
use units::Ratio;

use super::Found;
use crate::question;
use crate::told::sides::chance;
use crate::told::{Line, Told, Tone, measuring, name};

/// Suspects that a page has room for, and the least probability of one.
const MOST_SUSPECTS: usize = 8;
const LEAST_PROBABLE: f64 = 0.01;

pub(super) fn of(told: &mut Told, found: &Found<'_>) {
    told.beside("headline", |told| told.paragraph(headline(found)));
    let nothing = found.diagnosis.nothing_bad;
    told.beside_titled("nothing_bad", say!("nothing is wrong"), |told| {
        told.paragraph(say!("{}", chance(Ratio(nothing))));
    });
    for (at, own) in found.questions.iter().enumerate() {
        let words = question::words(found.vehicle, own);
        told.beside(format!("questions.{at}"), |told| told.toned(Tone::Warning, words));
    }
    let suspects = found.diagnosis.suspects.iter().take(MOST_SUSPECTS);
    for (at, own) in suspects.filter(|own| own.probability >= LEAST_PROBABLE).enumerate() {
        let title = who(found.vehicle, own.kind);
        told.beside_titled(format!("suspects.{at}"), title, |told| {
            told.toned(Tone::Aside, what(found.vehicle, own.kind));
        });
    }
}

/// The answer in one line, for a list of answers.
fn headline(found: &Found<'_>) -> Line {
    let nothing = found.diagnosis.nothing_bad;
    match found.diagnosis.suspects.first() {
        Some(first) if nothing <= first.probability => {
            say!("{}, {}", who(found.vehicle, first.kind), chance(Ratio(first.probability)))
        }
        _ => {
            let held = if found.holds.is_empty() { "" } else { " so far, not cleared" };
            say!("nothing is wrong{}, {}", held, chance(Ratio(nothing)))
        }
    }
}

/// Who is suspected; a path that has no name by its ends.
fn who(vehicle: &Vehicle, kind: SuspectKind) -> Line {
    let SuspectKind::ExtraPath { from, to } = kind else {
        return measuring::suspect_name(vehicle, kind);
    };
    let [from, to] = [from, to].map(|end| name(measuring::body(vehicle, end)));
    say!("{} – {}", from, to)
}

/// Of what it is suspected.
fn what(vehicle: &Vehicle, kind: SuspectKind) -> Line {
    match kind {
        SuspectKind::Joint(id) => say!("{}", vehicle.joint(id).kind.to_string()),
        SuspectKind::Conductor(id) => say!("{}", measuring::inside(vehicle.conductor(id))),
        SuspectKind::Open(_) => say!("open or not there"),
        SuspectKind::Inline(id) => say!("{}", vehicle.inline(id).make.to_string()),
        SuspectKind::LoadDrags(_) => say!("draws too much"),
        SuspectKind::LoadOpen(_) => say!("draws next to nothing"),
        SuspectKind::BatteryLow(_) => say!("is low"),
        SuspectKind::BatteryWorn(_) => say!("is worn"),
        SuspectKind::SourceLow(id) if vehicle.regulated_source(id).follows.is_some() => {
            say!("gives this half of the bank too little or nothing")
        }
        SuspectKind::SourceLow(_) => say!("holds too low a voltage or gives nothing"),
        SuspectKind::ExtraPath { .. } => say!("a path that the file does not show"),
    }
}

#[cfg(test)]
mod tests {
    use units::UnitSystem;

    use crate::diagnose::Asked;
    use crate::room::{Measured, Question};
    use crate::taken::Taken;
    use crate::told::{Block, Told, written};

    const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");

    #[test]
    fn each_suspect_has_its_name_and_what_it_is_suspected_of() {
        let vehicle = file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors");
        let mut taken = Taken::default();
        taken.add_line("cranking: block/front to main/- 0.428 V", &vehicle);
        let about = Measured { vehicle: &vehicle, taken: &taken };
        let asked = Asked::default();
        let found = asked.find(about, &mut |_| true).expect("known").expect("not stopped");
        let mut told = asked.told(&found);
        asked.beside(&found, &mut told);
        let first = told.beside.iter().find(|own| own.key == "suspects.0").expect("suspects");
        let [Block::Paragraph(what)] = first.blocks.as_slice() else { panic!("{first:?}") };
        let text = |line| written(line, UnitSystem::Metric);
        let likeliest = &asked.shape(&found).suspects[0].who;
        assert_eq!(likeliest.kind, "joint");
        assert_eq!(Some(text(&first.title)), likeliest.id);
        assert_eq!(text(&what.text), "bolted lug");
        let parts = |told: &Told| {
            let keys = told.blocks.iter().filter_map(|own| match own {
                Block::Part(part) => Some(part.key.clone()),
                _ => None,
            });
            keys.collect::<Vec<_>>()
        };
        for key in ["readings", "taught"] {
            assert!(parts(&told).contains(&key.to_owned()), "{:?}", parts(&told));
        }
    }
}

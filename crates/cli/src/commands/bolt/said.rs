//! The sheet of a joint as a person reads it.

use std::fmt::Write;

use answers::bolt::sheet::{MOST_TERMINALS, Range, Sheet, ZINC_PLATE};
use catalogue::{Catalogue, Preparation, Row};
use units::{Pascals, print};

use crate::answer::Asked;
use crate::names::capital;
use crate::sources::Sources;
use crate::style::{bold, dim, warning, wrapped};

/// Contact pressure at which the resistance of copper bars hardly falls any more, in megapascals.
const FLAT_FROM_MPA: (f64, f64) = (7.0, 10.0);

const INDENT: usize = 4;

/// A sheet in words.
pub(super) struct Said<'s>(pub &'s Sheet);

impl Said<'_> {
    /// Which joint it is; above the figures of the bolt.
    pub(super) fn heading(&self, asked: &Asked) -> String {
        let Some(place) = &self.0.place else { return String::new() };
        let title =
            format!("{}: {} ({} at {})", place.vehicle, place.name, place.kind, place.point);
        let mut text = format!("{}\n", bold(wrapped(&title, asked.width, 0)));
        let mut known = Vec::new();
        if let Some((amps, state)) = &place.carries {
            let volts = place.resistance * *amps;
            let basis = if place.stated { "stated" } else { "typical" };
            known.push(format!(
                "carries up to {} ({state}), at its {basis} {} losing {} and {}",
                print::amperes(*amps),
                print::ohms(place.resistance),
                print::loss(volts),
                print::watts(volts * *amps)
            ));
        }
        if let Some(protection) = &place.protection {
            known.push(format!("protected by {protection}"));
        }
        if let Some(serviced) = &place.serviced {
            known.push(format!("serviced {serviced}"));
        }
        if !known.is_empty() {
            let _ = writeln!(text, "{}", wrapped(&sentence(&known.join("; ")), asked.width, 0));
        }
        text.push('\n');
        text
    }

    /// Faces, pressure, contact, air, advice.
    pub(super) fn text(&self, sources: &mut Sources, asked: &Asked) -> String {
        let mut text = format!("\n{}\n", bold("The joint"));
        let mut say = |line: String, alarm: bool| {
            let width = asked.width.saturating_sub(INDENT);
            let line = wrapped(&if alarm { format!("! {line}") } else { line }, width, INDENT);
            let line = if alarm { warning(line) } else { line };
            let _ = writeln!(text, "  {line}");
        };
        let (line, alarm) = self.couple_text(sources);
        say(line, alarm);
        if let Some(line) = self.pressure_text() {
            say(line, false);
        }
        say(self.contact_text(sources), false);
        if let Some((line, alarm)) = self.stack_text() {
            say(line, alarm);
        }
        if let Some((line, alarm)) = self.forming_text(sources, asked) {
            say(line, alarm);
        }
        if let Some(line) = self.air_text(sources) {
            say(line, false);
        }
        if let Some(washer) = &self.0.asked.washer {
            say(format!("Washers: {washer}."), false);
        }
        let _ = writeln!(text, "\n{}", bold("How it is made, and kept"));
        advice(&mut text, &self.0.advice(), sources, asked);
        let _ = writeln!(text, "\n{}", bold("What tightening it again tells"));
        let told = "A wrench that clicks at the old torque says that the bolt does not turn, not \
            that the clamp force is there, and nothing of the contact. Read the millivolts under \
            load instead; open, clean and tighten anew where they have grown.";
        let width = asked.width.saturating_sub(2);
        let _ = writeln!(text, "  {}", wrapped(told, width, 2));
        advice(&mut text, &self.0.on_torque_later(), sources, asked);
        text
    }

    fn couple_text(&self, sources: &mut Sources) -> (String, bool) {
        let assumed = if self.0.asked.environment_assumed { " (assumed)" } else { "" };
        let Some(couple) = &self.0.couple else {
            let told = self.0.asked.finish.as_ref().map_or_else(
                || "no finish of its faces is stated".to_owned(),
                |finish| format!("`{finish}` does not name two listed metals"),
            );
            let what = format!(
                "Faces: {told}. `--faces 'tin, bare steel'` tells what they do to each other."
            );
            return (what, false);
        };
        let marks = [&couple.first.provenance, &couple.second.provenance]
            .map(|provenance| sources.short_mark(provenance));
        let mark = if marks[0] == marks[1] { marks[0].clone() } else { marks.join(" ") };
        let (first, second) = (couple.first.key(), couple.second.key());
        let corrodes = couple.goes().key();
        let allowed =
            Catalogue::standard().galvanic_allowances.find(&self.0.asked.environment.allowance);
        let allowed = allowed.map_or_else(String::new, |row| sources.short_mark(&row.provenance));
        let line = format!(
            "{} against {}: {:.2} V apart in the anodic index {mark}, {} the {:.2} V usually \
             accepted for {}{assumed} {allowed}{}",
            capital(first),
            second,
            couple.difference.0,
            if couple.suits() { "within" } else { "more than" },
            couple.allowed.0,
            self.0.asked.environment,
            if couple.unlike() && !couple.suits() {
                format!("; where water bridges them the {corrodes} goes. Plate one, or seal it.")
            } else {
                ".".to_owned()
            }
        );
        (line, !couple.suits())
    }

    fn pressure_text(&self) -> Option<String> {
        let ([under_head, over_pad], pad) = self.0.pressures.zip(self.0.pad)?;
        let assumed = if self.0.asked.pad.is_none() { ", assumed" } else { "" };
        Some(format!(
            "Pressure: {} under the head, {} if it spreads over a pad of {} mm{assumed}. Copper bars \
             gain little above {:.0} to {:.0} MPa (from memory).",
            pressure(&under_head),
            pressure(&over_pad),
            print::plain(pad.mm(), 3),
            FLAT_FROM_MPA.0,
            FLAT_FROM_MPA.1
        ))
    }

    fn contact_text(&self, sources: &mut Sources) -> String {
        let mut line = String::from("Contact: ");
        match self.0.couple.as_ref().and_then(|couple| couple.clean.as_ref()) {
            Some((clean, soft)) => {
                let _ = write!(
                    line,
                    "{} to {} if both faces were clean metal, the least that physics allows {}. ",
                    print::ohms(clean.low),
                    print::ohms(clean.high),
                    sources.mark(&soft.provenance)
                );
            }
            None => line.push_str("no least value without two known faces. "),
        }
        let kind = self.0.kind;
        let _ = write!(
            line,
            "Sound ones of this kind ({kind}), films and crimp included, have {} to {}, bad ones {} \
             to {} {}.",
            print::ohms(kind.clean_low),
            print::ohms(kind.clean_high),
            print::ohms(kind.bad_low),
            print::ohms(kind.bad_high),
            sources.mark(&kind.provenance)
        );
        line
    }

    fn stack_text(&self) -> Option<(String, bool)> {
        if self.0.asked.stack < 2 {
            return None;
        }
        let many = self.0.asked.stack > MOST_TERMINALS;
        let line = format!(
            "Stack: {} terminals on one stud. The outermost current passes all faces below it; \
             the largest current goes next to the metal. {}",
            self.0.asked.stack,
            if many {
                "More than the four that are allowed: join studs with a bus."
            } else if self.0.asked.stack > 2 {
                "The faces settle more: 10 % of the clamp force is taken off instead of 5 %."
            } else {
                ""
            }
        );
        Some((line.trim_end().to_owned(), many))
    }

    fn forming_text(&self, sources: &mut Sources, asked: &Asked) -> Option<(String, bool)> {
        let own = self.0.forming?;
        let row = own.screw;
        let over = self.0.overtorqued();
        let mut line = format!(
            "Thread-forming screw: {} is {} the highest torque of {}, it breaks at {} {}.",
            asked.units.torque(own.torque),
            if over { "above" } else { "within" },
            asked.units.torque(row.highest),
            asked.units.torque(row.breaking),
            sources.mark(&row.provenance)
        );
        if own.assumed {
            line.push_str(
                " The forming torque is taken as three eighths of that (from memory: a quarter to a \
                 half in thin sheet): measure it while turning, before the head lands, and give \
                 `--running-torque`.",
            );
        }
        Some((line, over))
    }

    fn air_text(&self, sources: &mut Sources) -> Option<String> {
        let (years, class) = self.0.zinc?;
        Some(format!(
            "Air: read as ISO 9223 class {} at the most (our assignment for {}) {}; {} µm of zinc on \
             plated hardware is gone after {} years there (ISO 9224). Crevices, engine spaces and \
             spray are harsher than open air.",
            class.key(),
            self.0.asked.environment,
            sources.mark(&class.provenance),
            print::plain(ZINC_PLATE.0 * 1e6, 2),
            print::plain(years.0, 2),
        ))
    }
}

fn advice(text: &mut String, rows: &[&'static Preparation], sources: &mut Sources, asked: &Asked) {
    for row in rows {
        let line = format!("– {} {}", row.practice, dim_mark(sources, row));
        let _ = writeln!(text, "  {}", wrapped(&line, asked.width.saturating_sub(4), 4));
    }
    if rows.is_empty() {
        let _ = writeln!(text, "  {}", dim("nothing particular"));
    }
}

fn dim_mark(sources: &mut Sources, row: &Preparation) -> String {
    sources.mark(&row.provenance)
}

fn pressure(range: &Range<Pascals>) -> String {
    format!(
        "{} to {} MPa",
        print::plain(range.low.0 * 1e-6, 2),
        print::plain(range.high.0 * 1e-6, 2)
    )
}

fn sentence(text: &str) -> String {
    format!("{}.", capital(text))
}

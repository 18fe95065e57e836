//! The sheet of a joint as a person reads it, and for programs.

use std::fmt::Write;

use catalogue::{Catalogue, Preparation, Row};
use serde_json::{Value, json};
use units::{Pascals, print};

use super::{MOST_TERMINALS, Range, Sheet, ZINC_PLATE};
use crate::answer::Asked;
use crate::sources::{Sources, with_source};
use crate::style::{bold, dim, warning, wrapped};

/// Contact pressure at which the resistance of copper bars hardly falls any more, in megapascals.
const FLAT_FROM_MPA: (f64, f64) = (7.0, 10.0);

const INDENT: usize = 4;

impl Sheet {
    /// Which joint it is; above the figures of the bolt.
    pub(in crate::commands::bolt) fn heading(&self, asked: &Asked) -> String {
        let Some(place) = &self.place else { return String::new() };
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
    pub(in crate::commands::bolt) fn text(&self, sources: &mut Sources, asked: &Asked) -> String {
        let mut text = format!("\n{}\n", bold("The joint"));
        let mut say = |line: String, alarm: bool| {
            let width = asked.width.saturating_sub(INDENT);
            let line = wrapped(&if alarm { format!("! {line}") } else { line }, width, INDENT);
            let line = if alarm { warning(line) } else { line };
            let _ = writeln!(text, "  {line}");
        };
        let (line, alarm) = self.couple_text(sources);
        say(line, alarm);
        say(self.pressure_text(), false);
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
        if let Some(washer) = &self.washer {
            say(format!("Washers: {washer}."), false);
        }
        let _ = writeln!(text, "\n{}", bold("How it is made, and kept"));
        advice(&mut text, &self.advice, sources, asked);
        let _ = writeln!(text, "\n{}", bold("What tightening it again tells"));
        let told = "A wrench that clicks at the old torque says that the bolt does not turn, not \
            that the clamp force is there, and nothing of the contact. Read the millivolts under \
            load instead; open, clean and tighten anew where they have grown.";
        let width = asked.width.saturating_sub(2);
        let _ = writeln!(text, "  {}", wrapped(told, width, 2));
        advice(&mut text, &self.on_torque_later(), sources, asked);
        text
    }

    fn couple_text(&self, sources: &mut Sources) -> (String, bool) {
        let assumed = if self.environment_assumed { " (assumed)" } else { "" };
        let Some(couple) = &self.couple else {
            let told = self.finish.as_ref().map_or_else(
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
        let corrodes = if couple.first.index > couple.second.index { first } else { second };
        let allowed = Catalogue::standard().galvanic_allowances.find(self.environment.allowance);
        let allowed = allowed.map_or_else(String::new, |row| sources.short_mark(&row.provenance));
        let line = format!(
            "{} against {}: {:.2} V apart in the anodic index {mark}, {} the {:.2} V usually \
             accepted for {}{assumed} {allowed}{}",
            capital(first),
            second,
            couple.difference.0,
            if couple.suits() { "within" } else { "more than" },
            couple.allowed.0,
            self.environment.word,
            if couple.difference.0 > 1e-9 && !couple.suits() {
                format!("; where water bridges them the {corrodes} goes. Plate one, or seal it.")
            } else {
                ".".to_owned()
            }
        );
        (line, !couple.suits())
    }

    fn pressure_text(&self) -> String {
        let pad = if self.pad_assumed { ", assumed" } else { "" };
        format!(
            "Pressure: {} under the head, {} if it spreads over a pad of {} mm{pad}. Copper bars \
             gain little above {:.0} to {:.0} MPa (from memory).",
            pressure(&self.under_head),
            pressure(&self.over_pad),
            print::plain(self.pad.mm(), 3),
            FLAT_FROM_MPA.0,
            FLAT_FROM_MPA.1
        )
    }

    fn contact_text(&self, sources: &mut Sources) -> String {
        let mut line = String::from("Contact: ");
        match self.couple.as_ref().and_then(|couple| couple.clean.as_ref()) {
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
        if let Some(kind) = self.kind {
            let _ = write!(
                line,
                "Sound ones of this kind ({}), films and crimp included, have {} to {}, bad ones \
                 {} to {} {}.",
                kind.key(),
                print::ohms(kind.clean_low),
                print::ohms(kind.clean_high),
                print::ohms(kind.bad_low),
                print::ohms(kind.bad_high),
                sources.mark(&kind.provenance)
            );
        }
        line
    }

    fn stack_text(&self) -> Option<(String, bool)> {
        if self.stack < 2 {
            return None;
        }
        let many = self.stack > MOST_TERMINALS;
        let line = format!(
            "Stack: {} terminals on one stud. The outermost current passes all faces below it; \
             the largest current goes next to the metal. {}",
            self.stack,
            if many {
                "More than the four that are allowed: join studs with a bus."
            } else if self.stack > 2 {
                "The faces settle more: 10 % of the clamp force is taken off instead of 5 %."
            } else {
                ""
            }
        );
        Some((line.trim_end().to_owned(), many))
    }

    fn forming_text(&self, sources: &mut Sources, asked: &Asked) -> Option<(String, bool)> {
        let (row, torque, assumed) = self.forming.as_ref()?;
        let over = self.overtorqued();
        let mut line = format!(
            "Thread-forming screw: {} is {} the highest torque of {}, it breaks at {} {}.",
            asked.units.torque(*torque),
            if over { "above" } else { "within" },
            asked.units.torque(row.highest),
            asked.units.torque(row.breaking),
            sources.mark(&row.provenance)
        );
        if *assumed {
            line.push_str(
                " The forming torque is taken as three eighths of that (from memory: a quarter to a \
                 half in thin sheet): measure it while turning, before the head lands, and give \
                 `--running-torque`.",
            );
        }
        Some((line, over))
    }

    fn air_text(&self, sources: &mut Sources) -> Option<String> {
        let (years, class) = self.zinc?;
        Some(format!(
            "Air: read as ISO 9223 class {} at the most (our assignment for {}) {}; {} µm of zinc on \
             plated hardware is gone after {} years there (ISO 9224). Crevices, engine spaces and \
             spray are harsher than open air.",
            class.key(),
            self.environment.word,
            sources.mark(&class.provenance),
            print::plain(ZINC_PLATE.0 * 1e6, 2),
            print::plain(years.0, 2),
        ))
    }

    /// The sheet for programs.
    pub(in crate::commands::bolt) fn json(&self) -> Value {
        let range = |low: f64, high: f64| json!({ "low": low, "high": high });
        let place = self.place.as_ref().map(|place| {
            json!({
                "joint": place.name,
                "kind": place.kind,
                "point": place.point,
                "ohms": place.resistance.0,
                "stated": place.stated,
                "carries_amps": place.carries.as_ref().map(|own| own.0.0),
                "carries_state": place.carries.as_ref().map(|own| &own.1),
            })
        });
        let couple = self.couple.as_ref().map(|couple| {
            json!({
                "first": couple.first.key(),
                "second": couple.second.key(),
                "difference_volts": couple.difference.0,
                "allowed_volts": couple.allowed.0,
                "suits": couple.suits(),
                "clean_ohms": couple.clean.as_ref().map(|(own, _)| range(own.low.0, own.high.0)),
            })
        });
        let rows = |rows: &[&'static Preparation]| {
            let rows = rows.iter().map(|row| {
                with_source(
                    json!({ "subject": row.key(), "practice": row.practice }),
                    &row.provenance,
                )
            });
            rows.collect::<Vec<_>>()
        };
        json!({
            "place": place,
            "environment": self.environment.word,
            "environment_assumed": self.environment_assumed,
            "faces": couple,
            "under_head_pascals": range(self.under_head.low.0, self.under_head.high.0),
            "over_pad_pascals": range(self.over_pad.low.0, self.over_pad.high.0),
            "pad_metres": self.pad.0,
            "pad_assumed": self.pad_assumed,
            "sound_ohms": self.kind.map(|kind| range(kind.clean_low.0, kind.clean_high.0)),
            "stack": self.stack,
            "forming": self.forming.as_ref().map(|(row, _, assumed)| json!({
                "highest_newton_metres": row.highest.0,
                "breaking_newton_metres": row.breaking.0,
                "forming_torque_assumed": assumed,
            })),
            "zinc_years": self.zinc.map(|own| own.0.0),
            "air": self.zinc.map(|own| own.1.key()),
            "advice": rows(&self.advice),
            "on_torque_later": rows(&self.on_torque_later()),
        })
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

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn sentence(text: &str) -> String {
    format!("{}.", capital(text))
}

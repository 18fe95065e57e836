//! A vehicle file as it is being written, section by section.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::Plan;
use crate::dice::Dice;

/// Conductor areas that are sold, in mm².
const AREAS: [&str; 13] =
    ["0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95"];

/// A vehicle file as it is being written.
pub(crate) struct Draft<'d> {
    pub(crate) dice: &'d mut Dice,
    /// The sign of the terminals that are fed.
    pub(crate) live: char,
    /// The sign of the terminals joined to metal.
    pub(crate) home: char,
    /// The states to solve, quoted and separated by commas.
    pub(crate) states: String,
    sections: BTreeMap<&'static str, Vec<String>>,
}

/// An end with its kind of joint.
pub(crate) fn end(point: &str, kind: &str) -> String {
    format!("{{ point = \"{point}\", joint = \"{kind}\" }}")
}

impl<'d> Draft<'d> {
    pub(crate) fn new(dice: &'d mut Dice, positive_earth: bool) -> Self {
        let (live, home) = if positive_earth { ('-', '+') } else { ('+', '-') };
        Self { dice, live, home, states: String::new(), sections: BTreeMap::new() }
    }

    /// Adds a named entry to a section.
    pub(crate) fn put(&mut self, section: &'static str, name: &str, keys: &str) {
        self.sections.entry(section).or_default().push(format!("{name} = {{ {keys} }}"));
    }

    /// Adds a conductor; `more` holds further keys.
    pub(crate) fn cable(
        &mut self,
        name: &str,
        from: &str,
        to: &str,
        size: &str,
        length: f64,
        more: &str,
    ) {
        let more = if more.is_empty() { String::new() } else { format!(", {more}") };
        self.put(
            "conductors",
            name,
            &format!(
                "from = {from}, to = {to}, size = \"{size}\", length = \"{length:.2} m\"{more}"
            ),
        );
    }

    /// The area in mm² of a conductor for a current, at about so many amperes on a square
    /// millimetre, and now and then a size more or less.
    pub(crate) fn area(&mut self, amps: f64, density: f64) -> &'static str {
        let wanted = amps / (density * self.dice.between(0.7, 1.3));
        AREAS
            .into_iter()
            .find(|area| area.parse::<f64>().is_ok_and(|area| area >= wanted))
            .unwrap_or("95")
    }

    /// How the lug of a battery cable is held to metal.
    pub(crate) fn heavy(&mut self) -> &'static str {
        self.dice.either(0.7, "bolted lug", "ring on weld stud")
    }

    /// How the lug of a strap is held to metal.
    pub(crate) fn stud(&mut self) -> &'static str {
        self.dice
            .pick(&["bolted lug", "bolted lug", "ring on weld stud", "ring on thread-formed stud"])
            .copied()
            .unwrap_or("bolted lug")
    }

    /// How a small ring is held to metal.
    pub(crate) fn fixing(&mut self) -> &'static str {
        self.dice
            .pick(&[
                "ring on weld stud",
                "ring on thread-formed stud",
                "bolted lug",
                "self-tapping screw",
            ])
            .copied()
            .unwrap_or("bolted lug")
    }

    /// How a lead meets a device's terminal.
    pub(crate) fn plug(&mut self, amps: f64) -> &'static str {
        match amps {
            over if over > 25.0 => "bolted lug",
            over if over > 10.0 => "spade",
            _ => self.dice.either(0.5, "spade", "connector pin"),
        }
    }

    /// A count as a number to reckon with.
    pub(crate) fn ordinal(&self, count: usize) -> f64 {
        u32::try_from(count).map_or(0.0, f64::from)
    }

    /// The whole file.
    pub(crate) fn finish(self, plan: &Plan) -> String {
        let earth = if self.live == '+' { "negative" } else { "positive" };
        let mut text = format!(
            "format = 1\n\n[vehicle]\nname = \"a vehicle drawn at random\"\nnominal = \"{} V\"\nearth = \"{earth}\"\nstates = [{}]\n\n[access]\nbonnet = {{ name = \"bonnet\", time = \"20 s\" }}\ndash = {{ name = \"lower dash panel\", time = \"6 min\" }}\nunderside = {{ name = \"under the vehicle\", time = \"4 min\" }}\nrear = {{ name = \"rear trim\", time = \"2 min\" }}\n",
            plan.nominal, self.states
        );
        for (section, entries) in &self.sections {
            // Writing into a text cannot fail.
            let _ = write!(text, "\n[{section}]\n{}\n", entries.join("\n"));
        }
        text
    }
}

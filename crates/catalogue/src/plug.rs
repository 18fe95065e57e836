//! Which pin of a standard plug carries what, and which returns what.

use serde::Deserialize;

use crate::read::table;

/// What one pin of a plug is for.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pin {
    /// Its mark.
    pub pin: String,
    /// What it carries.
    pub carries: String,
    /// The pin that takes its current home; nothing for one that is a return itself, or carries none.
    #[serde(default)]
    pub home: Option<String>,
}

table! {
    /// The pins of a standard plug.
    PlugLayout "plug-layouts"
        "Standard plugs between vehicle and trailer: what each pin carries, and its return"
        "plug";
    /// Its pins.
    pub pins: Vec<Pin> = PLAIN => "pins" by PlugLayout::told;
    /// True where its returns may not be joined in the trailer.
    pub returns_apart: bool = MAY_LACK;
}

impl PlugLayout {
    /// The pin with this mark.
    #[must_use]
    pub fn pin(&self, mark: &str) -> Option<&Pin> {
        self.pins.iter().find(|own| own.pin == mark)
    }

    /// The pins whose current a pin takes home.
    pub fn taken_home<'r>(&'r self, mark: &'r str) -> impl Iterator<Item = &'r Pin> {
        self.pins.iter().filter(move |own| own.home.as_deref() == Some(mark))
    }

    /// Its pins as a cell.
    fn told(&self) -> String {
        let pins = self.pins.iter().map(|own| match &own.home {
            Some(home) => format!("{} {} (home by {home})", own.pin, own.carries),
            None => format!("{} {}", own.pin, own.carries),
        });
        pins.collect::<Vec<_>>().join("; ")
    }
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Row};

    #[test]
    fn every_return_is_a_pin_of_its_plug_and_returns_itself_by_none() {
        for row in Catalogue::standard().plug_layouts.iter() {
            for own in &row.pins {
                let Some(home) = &own.home else { continue };
                let home = row.pin(home).unwrap_or_else(|| panic!("{}: {home}", row.key()));
                assert_eq!(home.home, None, "{}: {}", row.key(), own.pin);
            }
        }
    }

    #[test]
    fn a_pin_stands_once_in_its_plug() {
        for row in Catalogue::standard().plug_layouts.iter() {
            for own in &row.pins {
                let alike = row.pins.iter().filter(|other| other.pin == own.pin);
                assert_eq!(alike.count(), 1, "{}: {}", row.key(), own.pin);
            }
        }
    }
}

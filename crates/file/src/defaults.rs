//! What is taken where a file is silent, and the notes of it; the values are the catalogue's.
//!
//! `groundloom check --defaults` shows every one that was used.

use catalogue::Defaults;
use model::Filled;
use units::{Metres, Volts};

/// The values that are taken, each with its reason in the catalogue's table of defaults.
pub(crate) fn taken() -> &'static Defaults {
    Defaults::standard()
}

/// The voltage that a vehicle's charging holds, and why that one.
pub(crate) fn regulated(nominal: Volts) -> (Volts, &'static str) {
    if (18.0..36.0).contains(&nominal.0) {
        let share = nominal.0 / 24.0;
        let why = "lorries are usually set between 28.0 and 28.4 V (common practice)";
        return (taken().regulated_24_v * share, why);
    }
    let blocks = nominal.0 / 12.0;
    (taken().regulated_12_v * blocks, "middle setting at 25 °C, TM 10-3930-621-12")
}

/// Thickness of thin-wall insulation over a metal diameter.
pub(crate) fn insulation_thickness(metal: Metres) -> Metres {
    let own = taken();
    let thickness = own.insulation_base + metal * own.insulation_slope.0;
    thickness.max(own.insulation_thinnest).min(own.insulation_thickest)
}

/// Collects what was filled in.
#[derive(Debug, Default)]
pub(crate) struct Fills(pub Vec<Filled>);

impl Fills {
    pub(crate) fn note(&mut self, key: String, value: impl Into<String>, why: impl Into<String>) {
        self.0.push(Filled { key, value: value.into(), why: why.into() });
    }
}

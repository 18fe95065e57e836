//! Loads: how current follows voltage, what things usually draw, starters and preheat plugs.

use units::{Amperes, Kelvin, NewtonMetres, Ohms, Ratio, Volts};

use crate::column;
use crate::read::table;
use crate::row::Rows;
use crate::word::words;

table! {
    /// How the current of a kind of load follows the voltage across it.
    LoadLaw "load-laws"
        "Exponent of current against voltage by kind of load: 1 a resistance, −1 a constant power"
        "load";
    /// Relative change of current per relative change of voltage.
    pub exponent: f64 = NUMBER => "exponent";
    /// Lowest exponent to expect.
    pub low: Option<f64> = NUMBER => "from";
    /// Highest exponent to expect.
    pub high: Option<f64> = NUMBER => "to";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

table! {
    /// What a thing usually draws.
    TypicalDraw "typical-draws"
        "What things usually draw; a reading or the maker's figure overrides it"
        "load";
    /// Kind of load, a key of the load laws.
    pub law: String = PLAIN => "kind";
    /// Voltage at which it draws that.
    pub at: Volts = VOLTS "at_v" => "at, V";
    /// Lowest current.
    pub low: Option<Amperes> = AMPERES "low_a" => "from, A";
    /// Typical current.
    pub typical: Amperes = AMPERES "typical_a" => "typical, A";
    /// Highest current.
    pub high: Option<Amperes> = AMPERES "high_a" => "to, A";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

table! {
    /// The least voltage at which a kind of load does its job, where its own papers say nothing.
    UsualMinimum "usual-minima"
        "Least voltage of a load whose own papers state none, as a share of the nominal voltage"
        "load";
    /// The one nominal voltage that the row is about; all for which there is no other when left out.
    pub nominal: Option<Volts> = VOLTS "nominal_v" => "nominal, V";
    /// Share of the nominal voltage.
    pub share: Ratio = RATIO => "share";
    /// What becomes of it below.
    pub note: String = PLAIN => "below it";
}

impl Rows<UsualMinimum> {
    /// The row for a kind of load (`lamp`, `module`) on a nominal voltage.
    #[must_use]
    pub fn of(&self, kind: &str, nominal: Volts) -> Option<&UsualMinimum> {
        self.find(&format!("{kind} on {} V", column::number(nominal.0)))
            .filter(|row| row.nominal == Some(nominal))
            .or_else(|| self.find(kind))
    }
}

words! {
    /// What is done to a starter on the bench.
    StarterTest;
    /// It turns freely.
    NoLoad "no load";
    /// It works against a brake.
    Load "load";
    /// It is held still.
    Stall "stall";
}

table! {
    /// A bench figure of a starter: a limit to accept or reject by, not a point of one curve.
    StarterFigure "starter-figures"
        "Bench figures of starters; limits to accept or reject by, not points of one curve"
        "starter";
    /// Nominal voltage of the system.
    pub nominal: Volts = VOLTS "nominal_v" => "nominal, V";
    /// What is done to it.
    pub test: StarterTest = PLAIN => "test";
    /// Voltage at the starter.
    pub at: Volts = VOLTS "at_v" => "at, V";
    /// Highest current.
    pub current: Amperes = AMPERES "current_a" => "A";
    /// Torque, where given.
    pub torque: Option<NewtonMetres> = NEWTON_METRES "torque_nm" => "torque, N·m";
    /// Turns per minute, where given.
    pub turns_per_minute: Option<f64> = NUMBER => "turns per minute";
}

table! {
    /// What an engine takes while it is cranked.
    CrankingFigure "cranking-figures"
        "Current and system voltage while engines are cranked"
        "engine or air";
    /// Nominal voltage of the system.
    pub nominal: Volts = VOLTS "nominal_v" => "nominal, V";
    /// Lowest current, where given.
    pub low_current: Option<Amperes> = AMPERES "low_a" => "from, A";
    /// Highest current, where given.
    pub high_current: Option<Amperes> = AMPERES "high_a" => "to, A";
    /// Lowest system voltage, where given.
    pub low_voltage: Option<Volts> = VOLTS "low_v" => "from, V";
    /// Highest system voltage, where given.
    pub high_voltage: Option<Volts> = VOLTS "high_v" => "to, V";
    /// Coldest air that the row speaks of, where it speaks of air.
    pub low_air: Option<Kelvin> = CELSIUS "low_air_celsius";
    /// Warmest air that the row speaks of.
    pub high_air: Option<Kelvin> = CELSIUS "high_air_celsius";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

impl CrankingFigure {
    /// True when the row speaks of the system's voltage in such air.
    #[must_use]
    pub fn holds_in(&self, nominal: Volts, air: Kelvin) -> bool {
        let range = self.low_air.zip(self.high_air);
        self.nominal == nominal && range.is_some_and(|(low, high)| low <= air && air <= high)
    }
}

table! {
    /// A preheat plug or intake heater.
    PreheatPlug "preheat-plugs"
        "Preheat plugs and intake heaters: cold resistance, current"
        "plug";
    /// Voltage that it is made for.
    pub rated: Volts = VOLTS "rated_v" => "rated, V";
    /// Lowest resistance when cold, where given.
    pub cold_low: Option<Ohms> = OHMS "cold_low_ohm" => "cold from, Ω";
    /// Highest resistance when cold, where given.
    pub cold_high: Option<Ohms> = OHMS "cold_high_ohm" => "cold to, Ω";
    /// Lowest current once it glows, each.
    pub settled_low: Option<Amperes> = AMPERES "settled_low_a" => "settled from, A";
    /// Highest current once it glows, each.
    pub settled_high: Option<Amperes> = AMPERES "settled_high_a" => "to, A";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

#[cfg(test)]
mod published {
    use crate::Catalogue;

    /// Standard Handbook for Electrical Engineers: a lamp at 11.5 V of 13.5 V takes 0.9156 of it.
    #[test]
    fn a_lamp_at_eleven_and_a_half_volts_keeps_nine_tenths_of_its_current() {
        let lamp = Catalogue::standard().load_laws.find("lamp").expect("listed");
        let share = (11.5_f64 / 13.5).powf(lamp.exponent);
        assert!((share - 0.9156).abs() < 1e-4, "{share}");
    }
}

#[cfg(test)]
mod laws {
    use units::Volts;

    use crate::Catalogue;

    #[test]
    fn what_is_made_for_24_volts_has_a_minimum_of_its_own() {
        let minima = &Catalogue::standard().usual_minima;
        let least = |kind: &str, nominal: f64| {
            minima.of(kind, Volts(nominal)).expect("listed").share.0 * nominal
        };
        assert!((least("module", 12.0) - 6.0).abs() < 1e-9);
        assert!((least("module", 24.0) - 10.0).abs() < 0.01);
        assert!((least("lamp", 24.0) - 12.0).abs() < 1e-9);
    }

    #[test]
    fn every_typical_draw_names_a_listed_load_law() {
        let catalogue = Catalogue::standard();
        for row in catalogue.typical_draws.iter() {
            assert!(catalogue.load_laws.find(&row.law).is_some(), "{row:?}");
        }
    }
}

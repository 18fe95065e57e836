//! Ranges in which nine of ten would lie, where the file's writer knows better or less.

use model::{Code, Likely, Problem};
use units::{Amperes, Dimension, Ohms, Volts, print};

use crate::document::Entry;
use crate::read::Reader;

/// Why a value was taken that the file gives as a range alone.
pub(crate) const MIDDLE_OF_RANGE: &str = "the middle of its likely range";

/// The value that is as many times the lower end as the upper end is of it.
pub(crate) fn geometric_middle(low: Ohms, high: Ohms) -> Ohms {
    Ohms((low.0 * high.0).sqrt())
}

impl Reader<'_> {
    /// A range of resistances, told when the stated resistance lies outside.
    pub(crate) fn likely_ohms(
        &mut self,
        id: &str,
        entry: &Entry<'_>,
        key: &str,
        stated: Option<Ohms>,
    ) -> Option<Likely<Ohms>> {
        let (low, high) = entry.range(key, Dimension::Resistance)?;
        let show = |ohms: f64| print::ohms(Ohms(ohms));
        self.holds(id, entry, key, (low, high), stated.map(|ohms| ohms.0), show);
        Some(Likely { low: Ohms(low), high: Ohms(high) })
    }

    /// A range of voltages, told when the stated voltage lies outside.
    pub(crate) fn likely_volts(
        &mut self,
        id: &str,
        entry: &Entry<'_>,
        key: &str,
        stated: Option<Volts>,
    ) -> Option<Likely<Volts>> {
        let (low, high) = entry.range(key, Dimension::Voltage)?;
        let show = |volts: f64| print::volts(Volts(volts));
        self.holds(id, entry, key, (low, high), stated.map(|volts| volts.0), show);
        Some(Likely { low: Volts(low), high: Volts(high) })
    }

    /// What a load likely draws at its rated voltage, in whatever unit it is written.
    pub(crate) fn likely_amps(
        &mut self,
        id: &str,
        entry: &Entry<'_>,
        rated: Volts,
        draws: Amperes,
    ) -> Option<Likely<Amperes>> {
        let of = |dimension| entry.range("likely", dimension);
        let (low, high) = of(Dimension::Current)
            .or_else(|| of(Dimension::Power).map(|(low, high)| (low / rated.0, high / rated.0)))
            .or_else(|| {
                of(Dimension::Resistance).map(|(low, high)| (rated.0 / high, rated.0 / low))
            })?;
        let show = |amps: f64| print::amperes(Amperes(amps));
        self.holds(id, entry, "likely", (low, high), Some(draws.0), show);
        Some(Likely { low: Amperes(low), high: Amperes(high) })
    }

    /// Tells when a range does not hold the value that stands beside it.
    fn holds(
        &mut self,
        id: &str,
        entry: &Entry<'_>,
        key: &str,
        (low, high): (f64, f64),
        value: Option<f64>,
        show: impl Fn(f64) -> String,
    ) {
        let Some(value) = value else { return };
        if (low * (1.0 - 1e-9)..=high * (1.0 + 1e-9)).contains(&value) {
            return;
        }
        self.problems.push(
            Problem::error(
                Code::LikelyMissesValue,
                entry.place_of(key),
                format!(
                    "`{key}` of `{id}` runs from {} to {} and its own value is {}",
                    show(low),
                    show(high),
                    show(value)
                ),
                format!("a range that holds {}", show(value)),
            )
            .hint("where the value is not known, leave it out: the middle of the range is taken"),
        );
    }
}

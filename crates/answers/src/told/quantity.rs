//! Quantities as they are told: typed until a door writes them in the person's units.

use serde::{Serialize, Serializer};
use units::{
    Amperes, Coulombs, Kelvin, Metres, Money, NewtonMetres, Newtons, Ohms, Ratio, Seconds,
    UnitSystem, Volts, Watts, print,
};
use utoipa::ToSchema;

/// A quantity and the way it is told.
#[derive(Debug, Clone, PartialEq)]
pub enum Quantity {
    /// A supply voltage, to the hundredth of a volt.
    Volts(Volts),
    /// A voltage that is lost, in millivolts below one volt.
    Loss(Volts),
    /// A voltage with its sign, plus included.
    Signed(Volts),
    /// What is won, with its sign where it is plus, told as a loss is.
    Gain(Volts),
    /// A current.
    Amperes(Amperes),
    /// A resistance.
    Ohms(Ohms),
    /// A power.
    Watts(Watts),
    /// A share in per cent.
    Percent(Ratio),
    /// A time.
    Duration(Seconds),
    /// A temperature.
    Temperature(Kelvin),
    /// A length.
    Length(Metres),
    /// A torque.
    Torque(NewtonMetres),
    /// A force.
    Force(Newtons),
    /// A price in a currency.
    Money(Money, String),
    /// A battery's capacity.
    Capacity(Coulombs),
    /// How many.
    Count(usize),
    /// A number with so many decimals, and what stands behind it.
    Fixed(f64, usize, &'static str),
    /// A number in so many digits without zeros at their end, and what stands behind it.
    Plain(f64, usize, &'static str),
    /// How soon something happens, in two digits: more would promise too much.
    Soon(Seconds),
    /// Two currents, or one where they are told alike: `126 to 225 A`.
    AmperesFromTo(Amperes, Amperes),
}

/// A quantity as a page gets it: written in the units of either kind of person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
#[schema(as = ToldQuantity)]
pub struct Written {
    /// In metric units.
    pub metric: String,
    /// In US units; left out where both write it the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub us: Option<String>,
}

impl utoipa::PartialSchema for Quantity {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        Written::schema()
    }
}

impl ToSchema for Quantity {
    fn name() -> std::borrow::Cow<'static, str> {
        Written::name()
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let metric = self.written(UnitSystem::Metric);
        let us = Some(self.written(UnitSystem::Us)).filter(|us| *us != metric);
        Written { metric, us }.serialize(serializer)
    }
}

impl Quantity {
    /// As a person reads it.
    #[must_use]
    pub fn written(&self, units: UnitSystem) -> String {
        match self {
            Self::Volts(value) => print::volts(*value),
            Self::Loss(value) => print::loss(*value),
            Self::Signed(value) => {
                let plus = if *value >= Volts::ZERO { "+" } else { "" };
                format!("{plus}{}", print::volts(*value))
            }
            Self::Gain(value) => {
                let plus = if *value > Volts::ZERO { "+" } else { "" };
                format!("{plus}{}", print::loss(*value))
            }
            Self::Amperes(value) => print::amperes(*value),
            Self::Ohms(value) => print::ohms(*value),
            Self::Watts(value) => print::watts(*value),
            Self::Percent(value) => print::percent(*value),
            Self::Duration(value) => print::duration(*value),
            Self::Temperature(value) => units.temperature(*value),
            Self::Length(value) => units.length(*value),
            Self::Torque(value) => units.torque(*value),
            Self::Force(value) => units.force(*value),
            Self::Money(value, currency) => print::money(*value, currency),
            Self::Capacity(value) => print::capacity(*value),
            Self::Count(count) => count.to_string(),
            Self::Fixed(value, decimals, unit) => {
                format!("{}{unit}", print::fixed(*value, *decimals))
            }
            Self::Plain(value, digits, unit) => {
                format!("{}{unit}", print::plain(*value, *digits))
            }
            Self::Soon(value) => match value.0 {
                seconds if seconds < 0.1 => "under 0.1 s".to_owned(),
                seconds if seconds < 100.0 => format!("{} s", print::plain(seconds, 2)),
                seconds if seconds < 6000.0 => format!("{} min", print::plain(seconds / 60.0, 2)),
                seconds => format!("{} h", print::plain(seconds / 3600.0, 2)),
            },
            Self::AmperesFromTo(least, most) => {
                from_to(&print::amperes(*least), &print::amperes(*most))
            }
        }
    }
}

/// The unit is told once where both have the same.
fn from_to(least: &str, most: &str) -> String {
    match (least.split_once(' '), most.split_once(' ')) {
        _ if least == most => most.to_owned(),
        (Some((number, unit)), Some((_, other))) if unit == other => format!("{number} to {most}"),
        _ => format!("{least} to {most}"),
    }
}

macro_rules! quantities {
    ($($(#[$about:meta])* $name:ident: $unit:ident => $quantity:ident,)*) => {$(
        $(#[$about])*
        #[must_use]
        pub fn $name(value: $unit) -> Quantity {
            Quantity::$quantity(value)
        }
    )*};
}

quantities! {
    /// A supply voltage.
    volts: Volts => Volts,
    /// A voltage that is lost.
    loss: Volts => Loss,
    /// A current.
    amperes: Amperes => Amperes,
    /// A resistance.
    ohms: Ohms => Ohms,
    /// A power.
    watts: Watts => Watts,
    /// A share.
    percent: Ratio => Percent,
    /// A time.
    duration: Seconds => Duration,
    /// A temperature.
    temperature: Kelvin => Temperature,
    /// A length.
    length: Metres => Length,
    /// A torque.
    torque: NewtonMetres => Torque,
    /// A force.
    force: Newtons => Force,
    /// How soon something happens.
    soon: Seconds => Soon,
}

/// A price.
#[must_use]
pub fn money(value: Money, currency: &str) -> Quantity {
    Quantity::Money(value, currency.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_currents_name_their_unit_once_where_it_is_the_same() {
        let written = |least, most| {
            Quantity::AmperesFromTo(Amperes(least), Amperes(most)).written(UnitSystem::Metric)
        };
        assert_eq!(written(126.0, 225.0), "126 to 225 A");
        assert_eq!(written(383.0, 1270.0), "383 A to 1.27 kA");
        assert_eq!(written(4.0, 4.0), Quantity::Amperes(Amperes(4.0)).written(UnitSystem::Metric));
    }
}

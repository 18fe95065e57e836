//! What kind of quantity a text stands for.

/// The kinds of quantity that a vehicle file, a reading or a command line may hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Volts.
    Voltage,
    /// Amperes.
    Current,
    /// Ohms.
    Resistance,
    /// Watts.
    Power,
    /// Ampere-hours.
    Charge,
    /// Metres, millimetres, inches, feet.
    Length,
    /// Square millimetres of metal.
    Area,
    /// Seconds, minutes, hours.
    Time,
    /// Degrees Celsius or Fahrenheit.
    Temperature,
    /// Newton metres, pound-force feet, pound-force inches.
    Torque,
    /// Newtons, pounds-force.
    Force,
    /// Per cent or a plain number.
    Ratio,
}

impl Dimension {
    /// Every dimension, in the order in which they are declared.
    pub const ALL: [Self; 12] = [
        Self::Voltage,
        Self::Current,
        Self::Resistance,
        Self::Power,
        Self::Charge,
        Self::Length,
        Self::Area,
        Self::Time,
        Self::Temperature,
        Self::Torque,
        Self::Force,
        Self::Ratio,
    ];

    /// The word for it in a message: "a length".
    #[must_use]
    pub fn with_article(self) -> &'static str {
        match self {
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::Resistance => "a resistance",
            Self::Power => "a power",
            Self::Charge => "a battery capacity",
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Time => "a time",
            Self::Temperature => "a temperature",
            Self::Torque => "a torque",
            Self::Force => "a force",
            Self::Ratio => "a share",
        }
    }

    /// One way of writing such a quantity, to show in a message.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Self::Voltage => "14.2 V",
            Self::Current => "12 A",
            Self::Resistance => "0.4 mΩ",
            Self::Power => "55 W",
            Self::Charge => "85 Ah",
            Self::Length => "0.8 m",
            Self::Area => "35 mm²",
            Self::Time => "10 s",
            Self::Temperature => "25 °C",
            Self::Torque => "10 N·m",
            Self::Force => "8.5 kN",
            Self::Ratio => "80 %",
        }
    }
}

#[cfg(test)]
mod laws {
    use super::*;

    #[test]
    fn the_list_of_all_follows_the_declaration() {
        for (at, dimension) in Dimension::ALL.into_iter().enumerate() {
            assert_eq!(dimension as usize, at, "{dimension:?}");
        }
        assert_eq!(Dimension::ALL.last(), Some(&Dimension::Ratio), "the last that is declared");
    }

    #[test]
    fn every_dimension_reads_its_own_example_and_no_other_one() {
        for shown in Dimension::ALL {
            for asked in Dimension::ALL {
                let read = crate::parse(shown.example(), asked);
                assert_eq!(read.is_ok(), shown == asked, "{shown:?} as {asked:?}: {read:?}");
            }
        }
    }
}

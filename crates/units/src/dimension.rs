//! What kind of quantity a text stands for.

macro_rules! dimensions {
    ($($(#[$doc:meta])* $name:ident $with_article:literal $example:literal;)*) => {
        /// The kinds of quantity that a vehicle file, a reading or a command line may hold.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Dimension {
            $($(#[$doc])* $name,)*
        }

        impl Dimension {
            /// Every dimension, in the order in which they are declared.
            pub const ALL: [Self; [$($example),*].len()] = [$(Self::$name),*];

            /// The word for it in a message: "a length".
            #[must_use]
            pub fn with_article(self) -> &'static str {
                match self {
                    $(Self::$name => $with_article,)*
                }
            }

            /// One way of writing such a quantity, to show in a message.
            #[must_use]
            pub fn example(self) -> &'static str {
                match self {
                    $(Self::$name => $example,)*
                }
            }
        }
    };
}

dimensions! {
    /// Volts.
    Voltage "a voltage" "14.2 V";
    /// Amperes.
    Current "a current" "12 A";
    /// Ohms.
    Resistance "a resistance" "0.4 mΩ";
    /// Watts.
    Power "a power" "55 W";
    /// Ampere-hours.
    Charge "a battery capacity" "85 Ah";
    /// Metres, millimetres, inches, feet.
    Length "a length" "0.8 m";
    /// Square millimetres of metal.
    Area "an area" "35 mm²";
    /// Seconds, minutes, hours.
    Time "a time" "10 s";
    /// Degrees Celsius or Fahrenheit.
    Temperature "a temperature" "25 °C";
    /// Newton metres, pound-force feet, pound-force inches.
    Torque "a torque" "10 N·m";
    /// Newtons, pounds-force.
    Force "a force" "8.5 kN";
    /// Per cent or a plain number.
    Ratio "a share" "80 %";
}

#[cfg(test)]
mod laws {
    use super::*;

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

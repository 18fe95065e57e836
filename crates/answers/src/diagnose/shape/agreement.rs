//! Whether readings and file fit together at all.

use diagnosis::{Assumption, ChiSquare, Diagnosis, Moved, Observation};
use model::Vehicle;

use crate::diagnose::found::oddest;
use crate::shape::each;

shape! {
    /// How well readings and file fit together.
    pub struct FileAgreement from pub(super) (vehicle: &Vehicle, diagnosis: &Diagnosis, seen: &[Observation]) {
        let agreement = &diagnosis.agreement;
        let test = |own: Option<ChiSquare>| {
            own.map(ChiSquareTest::of)
        };
        /// True when they do not fit under any explanation that was tried.
        pub contradicts: bool = agreement.contradicts(),
        /// Against the vehicle of the file; null when nothing was measured that counts.
        pub as_filed: Option<ChiSquareTest> = test(agreement.as_filed),
        /// Against the best explanation.
        pub explained: Option<ChiSquareTest> = test(agreement.explained),
        /// The reading with the largest normalised residual above three.
        pub oddest_reading: Option<u32> = oddest(diagnosis, seen).map(|(number, _)| number),
        /// What the file says and is most at odds with the readings.
        pub at_odds: Vec<AtOdds> = each(vehicle, &agreement.at_odds, AtOdds::of),
    }

    /// A chi-square test.
    pub struct ChiSquareTest from (own: ChiSquare) {
        /// The weighted sum of squares.
        pub chi_square: f64 = own.statistic,
        /// Degrees of freedom.
        pub degrees: usize = own.degrees,
        /// Probability of so large a sum by chance.
        pub p_value: f64 = own.p_value,
    }

    /// Something the file says that the readings want otherwise.
    pub struct AtOdds from (vehicle: &Vehicle, moved: &Moved) {
        let (what, id) = match moved.assumption {
            Assumption::Resistance(piece) => ("resistance", vehicle.piece_name(piece)),
            Assumption::Draw(id) => ("draw", vehicle.load(id).id.as_str()),
            Assumption::BatteryVolts(id) => ("battery-volts", vehicle.battery(id).id.as_str()),
            Assumption::BatteryOhms(id) => ("battery-ohms", vehicle.battery(id).id.as_str()),
            Assumption::Held(id) => ("held-volts", vehicle.regulated_source(id).id.as_str()),
        };
        let in_volts = moved.assumption.in_volts();
        /// `resistance`, `draw`, `battery-volts`, `battery-ohms` or `held-volts`.
        pub what: &'static str = what,
        /// Of what.
        pub id: String = id.to_owned(),
        /// How many times what the file says; null for volts.
        pub factor: Option<f64> = (!in_volts).then(|| moved.by.exp()),
        /// By how many volts; null for the others.
        pub volts: Option<f64> = in_volts.then_some(moved.by),
        /// The same in standard deviations.
        pub deviations: f64 = moved.deviations,
        /// The normalised residual, of which three is the usual limit.
        pub normalised_residual: f64 = moved.normalised,
    }
}

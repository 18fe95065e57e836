//! Did it work: the same readings before and after.

use diagnosis::{Observation, alike, observations};
use model::{Reading, Vehicle, Work};
use units::{Amperes, UnitSystem, Volts};

use crate::measured_at::{self, MeasuredAt};
use crate::told::quantity::{amperes, loss};
use crate::told::{Column, Line, Told, Tone, left, name, right};

shape! {
    /// A reading that was taken before work and again after it, in volts, or in amperes for a clamp.
    pub struct ProvenReading from (
        vehicle: &Vehicle, now: &Observation, was: &Observation, sign: f64,
    ) {
        let uncertainty = was.sigma.hypot(now.sigma);
        let value = sign * was.value;
        /// The operating state.
        pub state: String = vehicle.state(now.state).id.clone(),
        /// What was measured.
        pub measured: MeasuredAt = measured_at::measured(vehicle, now.measured).0,
        /// The last value before the work.
        pub before: f64 = value,
        /// The last value after it.
        pub after: f64 = now.value,
        /// Standard uncertainty of their difference, both meters' own taken together as independent.
        pub uncertainty: f64 = uncertainty,
        /// True when they differ by more than twice that.
        pub differs: bool = (now.value - value).abs() > COVERAGE * uncertainty,
    }
}

/// Twice the standard uncertainty covers about 95 % (GUM 6.3.3).
const COVERAGE: f64 = 2.0;

/// Readings of the same thing in the same state, before and after, in the order of those after. Leads
/// that were swapped meanwhile only turn the sign.
#[must_use]
pub fn of(vehicle: &Vehicle, before: &[Reading], after: &[Reading]) -> Vec<ProvenReading> {
    let before = observations(vehicle, before);
    let after = observations(vehicle, after);
    let last = |at: usize, own: &Observation| {
        !after[at + 1..].iter().any(|later| same(own, later).is_some())
    };
    let latest = after.iter().enumerate().filter(|(at, own)| last(*at, own)).map(|(_, own)| own);
    latest
        .filter_map(|now| {
            let (was, sign) =
                before.iter().rev().find_map(|was| same(now, was).map(|sign| (was, sign)))?;
            Some(ProvenReading::of(vehicle, now, was, sign))
        })
        .collect()
}

/// What so many pieces of work proved, without a reading in between; nothing where nothing was taken again.
#[must_use]
pub fn told(work: usize, proven: &[ProvenReading]) -> Told {
    let mut told = Told::default();
    if proven.is_empty() {
        return told;
    }
    let others = work.saturating_sub(1);
    let of = if others == 0 { Line::new() } else { say!(" of this and the {} before it", others) };
    told.toned(Tone::Aside, say!("Proof{}: the same readings before and after", of));
    rows(&mut told, proven);
    told
}

/// Each reading with its values before and after, and whether they differ.
pub(crate) fn rows(told: &mut Told, proven: &[ProvenReading]) {
    told.rows(proven, row);
}

fn row(own: &ProvenReading) -> [(Column, Line); 5] {
    let (place, amps) = match &own.measured {
        MeasuredAt::Amps { through, .. } => (say!("clamp round {}", name(through)), true),
        MeasuredAt::Volts { red, black } => (say!("{} to {}", name(red), name(black)), false),
        MeasuredAt::Ohms { .. } | MeasuredAt::JumpLead { .. } | MeasuredAt::Moved { .. } => {
            (Line::new(), false)
        }
    };
    let show = |value: f64| if amps { amperes(Amperes(value)) } else { loss(Volts(value)) };
    let sure = show(COVERAGE * own.uncertainty);
    let differs = if own.differs {
        let less = own.before.abs() - own.after.abs();
        say!("{}{}, ± {}", show(less.abs()), if less > 0.0 { " less" } else { " more" }, sure)
    } else {
        say!("no difference that these meters can tell, ± {}", sure)
    };
    [
        left("state", name(&own.state)),
        left("measured", place),
        right("before", show(own.before)),
        right("after", show(own.after)),
        left("difference", differs),
    ]
}

/// The torque of work that a vehicle file records, with its unit.
#[must_use]
pub fn torque_of(work: &Work) -> Option<String> {
    work.torque.map(|torque| UnitSystem::Metric.torque(torque))
}

/// The sign that turns one value into one of the other; nothing when they are of different things.
fn same(own: &Observation, other: &Observation) -> Option<f64> {
    if own.state == other.state { alike(own.measured, other.measured) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::taken::Taken;

    const FILE: &str = include_str!("../../../examples/rescue-ambulance.toml");

    fn proven(before: &[&str], after: &[&str]) -> Vec<ProvenReading> {
        let file = file::read(FILE.as_bytes());
        let vehicle = file.vehicle.expect("the example has no error");
        let [before, after] = [before, after].map(|lines| {
            let mut taken = Taken::default();
            lines.iter().for_each(|line| taken.add_line(line, &vehicle));
            assert!(taken.problems.is_empty(), "{:?}", taken.problems);
            taken.readings.readings
        });
        of(&vehicle, &before, &after)
    }

    #[test]
    fn a_drop_that_went_from_428_to_91_millivolts_is_proof() {
        let proven = proven(
            &["cranking: block/front to main/- 0.428 V", "cranking: main/+ to main/- 10.93 V"],
            &["cranking: block/front to main/- 0.091 V"],
        );
        let [own] = proven.as_slice() else { panic!("one reading was taken twice: {proven:?}") };
        assert_eq!((own.before, own.after, own.differs), (0.428, 0.091, true));
        assert!(own.uncertainty > 0.0 && own.uncertainty < 0.02, "{}", own.uncertainty);
    }

    #[test]
    fn a_change_within_what_the_meter_can_tell_is_none() {
        let proven = proven(
            &["cranking: block/front to main/- 0.428 V"],
            &["cranking: block/front to main/- 0.426 V"],
        );
        assert_eq!(proven.iter().map(|own| own.differs).collect::<Vec<_>>(), [false]);
    }

    #[test]
    fn swapped_leads_turn_the_sign_and_the_last_of_each_counts() {
        let proven = proven(
            &["cranking: block/front to main/- 0.5 V", "cranking: block/front to main/- 0.428 V"],
            &["cranking: main/- to block/front -0.2 V", "cranking: main/- to block/front -0.09 V"],
        );
        let [own] = proven.as_slice() else { panic!("{proven:?}") };
        assert_eq!((own.before, own.after), (-0.428, -0.09));
    }

    #[test]
    fn proof_is_said_in_the_meters_own_digits_and_no_proof_says_nothing() {
        let proven = proven(
            &["cranking: block/front to main/- 0.428 V"],
            &["cranking: block/front to main/- 0.181 V"],
        );
        let said = serde_json::to_string(&told(2, &proven)).expect("JSON");
        for part in ["247 mV", "428 mV", "181 mV", " less", " of this and the "] {
            assert!(said.contains(part), "{part}: {said}");
        }
        assert_eq!(told(1, &[]), Told::default());
    }

    #[test]
    fn another_state_is_another_thing() {
        let proven = proven(
            &["cranking: block/front to main/- 0.428 V"],
            &["running: block/front to main/- 0.02 V"],
        );
        assert!(proven.is_empty(), "{proven:?}");
    }
}

//! Scores: shares with their intervals, and how well probabilities and intervals keep their word.

use diagnosis::JointBelief;
use model::{JointId, Vehicle};

/// Bins of probability from zero to one.
const BINS: usize = 10;

/// Wilson's interval of 95 % for a share (Wilson 1927).
#[must_use]
pub fn wilson(hits: usize, of: usize) -> (f64, f64) {
    let (hits, of) = (number(hits), number(of));
    if of == 0.0 {
        return (0.0, 1.0);
    }
    let z = 1.96;
    let share = hits / of;
    let middle = share + z * z / (2.0 * of);
    let half = z * (share * (1.0 - share) / of + z * z / (4.0 * of * of)).sqrt();
    let whole = 1.0 + z * z / of;
    (((middle - half) / whole).max(0.0), ((middle + half) / whole).min(1.0))
}

/// A count as a number to reckon with.
#[must_use]
pub fn number(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}

/// One bin: how many, the sum of what was foretold, how many came true.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Bin {
    /// Joints in it.
    pub joints: usize,
    /// Sum of their probabilities.
    pub foretold: f64,
    /// Number that are really bad.
    pub bad: usize,
}

/// How well beliefs about joints keep their word.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Calibration {
    /// All joints.
    pub all: [Bin; BINS],
    /// Joints with a probability above one in a hundred.
    pub above: [Bin; BINS],
    /// Intervals that hold the truth, and all of them.
    pub intervals: (usize, usize),
    /// The same of bad joints alone.
    pub bad_intervals: (usize, usize),
    /// The same of intervals that readings have narrowed, the upper end below four times the lower.
    pub narrow_intervals: (usize, usize),
}

impl Calibration {
    /// The beliefs about one vehicle against what it really is.
    #[must_use]
    pub fn of(beliefs: &[JointBelief], real: &Vehicle, bad: &[JointId]) -> Self {
        let mut own = Self::default();
        for (joint, belief) in real.joints.iter().zip(beliefs) {
            let is_bad = bad.contains(&joint.this);
            own.foretold(belief.bad, is_bad);
            let holds = belief.low <= joint.resistance && joint.resistance <= belief.high;
            let count = |counts: &mut (usize, usize)| {
                counts.0 += usize::from(holds);
                counts.1 += 1;
            };
            count(&mut own.intervals);
            if is_bad {
                count(&mut own.bad_intervals);
            }
            if belief.high < belief.low * 4.0 {
                count(&mut own.narrow_intervals);
            }
        }
        own
    }

    fn foretold(&mut self, probability: f64, bad: bool) {
        let bin = (0..BINS - 1).take_while(|at| probability >= number(at + 1) / 10.0).count();
        let add = |bin: &mut Bin| {
            bin.joints += 1;
            bin.foretold += probability;
            bin.bad += usize::from(bad);
        };
        add(&mut self.all[bin]);
        if probability > 0.01 {
            add(&mut self.above[bin]);
        }
    }

    /// Both together.
    #[must_use]
    pub fn with(mut self, other: &Self) -> Self {
        let pairs =
            (self.all.iter_mut().zip(&other.all)).chain(self.above.iter_mut().zip(&other.above));
        for (own, more) in pairs {
            own.joints += more.joints;
            own.foretold += more.foretold;
            own.bad += more.bad;
        }
        for (own, more) in [
            (&mut self.intervals, other.intervals),
            (&mut self.bad_intervals, other.bad_intervals),
            (&mut self.narrow_intervals, other.narrow_intervals),
        ] {
            own.0 += more.0;
            own.1 += more.1;
        }
        self
    }
}

/// Expected calibration error: the mean over joints of how far the foretold share of their bin is
/// from the real one (Naeini, Cooper and Hauskrecht 2015).
#[must_use]
pub fn calibration_error(bins: &[Bin]) -> f64 {
    let joints: usize = bins.iter().map(|bin| bin.joints).sum();
    if joints == 0 {
        return 0.0;
    }
    bins.iter().map(|bin| (bin.foretold - number(bin.bad)).abs()).sum::<f64>() / number(joints)
}

#[cfg(test)]
mod laws {
    use units::Ohms;

    use super::*;

    #[test]
    fn an_interval_for_a_share_holds_it_and_narrows_with_more_trials() {
        let (low, high) = wilson(475, 500);
        assert!((0.92..0.95).contains(&low) && (0.95..0.97).contains(&high), "{low} {high}");
        let (few_low, few_high) = wilson(19, 20);
        assert!(few_low < low && few_high > high);
        assert!(wilson(500, 500).1 >= 1.0 - 1e-12 && wilson(0, 500).0.abs() < 1e-12);
    }

    fn belief(bad: f64) -> JointBelief {
        JointBelief { median: Ohms(1.0), low: Ohms(0.5), high: Ohms(2.0), bad }
    }

    fn vehicle(joints: usize) -> Vehicle {
        let mut dice = crate::dice::Dice::new(1, "score", 0);
        let mut vehicle = crate::vehicle::draw(&mut dice).expect("a vehicle").real;
        vehicle.joints.truncate(joints);
        for joint in &mut vehicle.joints {
            joint.resistance = Ohms(1.0);
        }
        vehicle
    }

    #[test]
    fn probabilities_that_come_true_as_often_as_they_say_have_no_calibration_error() {
        let vehicle = vehicle(10);
        let beliefs = vec![belief(0.2); 10];
        let right = Calibration::of(&beliefs, &vehicle, &[JointId(0), JointId(1)]);
        assert!(calibration_error(&right.all) < 1e-12);
        let wrong = Calibration::of(&beliefs, &vehicle, &[]);
        assert!((calibration_error(&wrong.all) - 0.2).abs() < 1e-12);
        let both = right.with(&wrong);
        assert_eq!(both.all.iter().map(|bin| bin.joints).sum::<usize>(), 20);
        assert!((calibration_error(&both.all) - 0.1).abs() < 1e-12);
    }

    #[test]
    fn certainty_that_is_wrong_costs_everything() {
        let vehicle = vehicle(1);
        let sure = Calibration::of(&[belief(1.0)], &vehicle, &[]);
        assert!((calibration_error(&sure.all) - 1.0).abs() < 1e-12);
        let right = Calibration::of(&[belief(1.0)], &vehicle, &[JointId(0)]);
        assert!(calibration_error(&right.all) < 1e-12);
    }

    #[test]
    fn an_interval_that_misses_is_counted() {
        let mut vehicle = vehicle(2);
        vehicle.joints[1].resistance = Ohms(2.5);
        let own = Calibration::of(&[belief(0.0), belief(0.0)], &vehicle, &[JointId(1)]);
        assert_eq!((own.intervals, own.bad_intervals), ((1, 2), (0, 1)));
    }
}

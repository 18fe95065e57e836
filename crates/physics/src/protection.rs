//! Fuses and breakers: when they open at a current.
//!
//! What is published of a fuse is a band: at a multiple of its rating it must not open before one
//! time and must have opened by another. Between two published currents both edges are followed on
//! logarithmic scales, as the curves are drawn. Nothing is claimed below the lowest current at which
//! it must open.

use units::{Amperes, Seconds};

/// Time that even a very high current takes to be broken: melting in no time, and an arc in a
/// circuit with inductance (from memory: a few milliseconds are usual in a vehicle).
pub const LEAST_CLEARING: Seconds = Seconds(5e-3);

/// What is known of a fuse or breaker at one current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpeningPoint {
    /// The current.
    pub current: Amperes,
    /// It does not open sooner than this.
    pub not_before: Option<Seconds>,
    /// It has opened by then.
    pub not_after: Option<Seconds>,
}

/// What makes points no curve. Positions are those of the points as given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurveFault {
    /// There is no point.
    Empty,
    /// A current or a time is not above zero, or not finite.
    NotPositive {
        /// The point.
        at: usize,
    },
    /// A point states no time.
    NoTime {
        /// The point.
        at: usize,
    },
    /// Two points are at one current.
    SameCurrent {
        /// The later one as given.
        at: usize,
        /// The other.
        other: usize,
    },
    /// The earliest time is later than the latest.
    Crossed {
        /// The point.
        at: usize,
    },
    /// It would have to hold longer at more current.
    HoldsLonger {
        /// The point of more current.
        at: usize,
        /// The point of less.
        other: usize,
    },
    /// It might open later at more current.
    OpensLater {
        /// The point of more current.
        at: usize,
        /// The point of less.
        other: usize,
    },
}

/// The time–current curve of a fuse or breaker, as a band.
#[derive(Debug, Clone, PartialEq)]
pub struct TimeCurrent {
    /// Earliest opening, by rising current.
    earliest: Vec<(f64, f64)>,
    /// Latest opening, by rising current.
    latest: Vec<(f64, f64)>,
}

/// When a fuse or breaker opens at one current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// It holds at least as long; nothing where that is not known.
    pub earliest: Option<Seconds>,
    /// It has opened by then; nothing where it need not open at all.
    pub latest: Option<Seconds>,
    /// True when the current lies above the highest one published for its latest time, so that the
    /// time follows from the same I²t.
    pub beyond: bool,
}

impl TimeCurrent {
    /// A curve from published points, in any order.
    ///
    /// # Errors
    ///
    /// Every fault found: no point, a point without time, two points at one current, times that
    /// cross, and times that grow with the current.
    ///
    /// # Example
    ///
    /// ```
    /// # use physics::protection::{OpeningPoint, TimeCurrent};
    /// # use units::{Amperes, Seconds};
    /// let point = |amps, from, to| OpeningPoint {
    ///     current: Amperes(amps), not_before: Some(Seconds(from)), not_after: Some(Seconds(to)),
    /// };
    /// let curve = TimeCurrent::new(&[point(20.0, 1.0, 100.0), point(80.0, 0.01, 1.0)]).unwrap();
    /// let between = curve.opening(Amperes(40.0));
    /// assert!((between.latest.unwrap().0 - 10.0).abs() < 1e-9);
    /// assert_eq!(curve.opening(Amperes(19.0)).latest, None);
    /// ```
    pub fn new(points: &[OpeningPoint]) -> Result<Self, Vec<CurveFault>> {
        let faults = faults(points);
        if !faults.is_empty() {
            return Err(faults);
        }
        let edge = |time: fn(&OpeningPoint) -> Option<Seconds>| {
            let mut edge: Vec<(f64, f64)> =
                points.iter().filter_map(|point| Some((point.current.0, time(point)?.0))).collect();
            edge.sort_by(|a, b| a.0.total_cmp(&b.0));
            edge
        };
        Ok(Self { earliest: edge(|point| point.not_before), latest: edge(|point| point.not_after) })
    }

    /// When it opens at a current that flows steadily; the direction does not matter.
    ///
    /// Above the highest published current the same I²t is assumed to melt it (IEC 60269-1 calls
    /// the pre-arcing I²t of short times constant; from memory), but it is never trusted to have
    /// cleared sooner than [`LEAST_CLEARING`].
    #[must_use]
    pub fn opening(&self, current: Amperes) -> Opening {
        let amps = current.0.abs();
        let earliest = match self.earliest.first() {
            None => None,
            // With less current it holds at least as long.
            Some(first) if amps <= first.0 => Some(first.1),
            Some(_) => along(&self.earliest, amps, Seconds::ZERO),
        };
        let latest = along(&self.latest, amps, LEAST_CLEARING);
        let beyond = self.latest.last().is_some_and(|last| amps > last.0);
        Opening { earliest: earliest.map(Seconds), latest: latest.map(Seconds), beyond }
    }
}

/// Time on an edge at a current: nothing below it, logarithmic within, constant I²t above it.
fn along(edge: &[(f64, f64)], amps: f64, floor: Seconds) -> Option<f64> {
    let (first, last) = (edge.first()?, edge.last()?);
    if amps < first.0 || !amps.is_finite() {
        return None;
    }
    if amps >= last.0 {
        let same_heat = last.1 * (last.0 / amps).powi(2);
        return Some(same_heat.max(floor.0.min(last.1)));
    }
    let pair = edge.windows(2).find(|pair| amps < pair[1].0)?;
    let share = (amps / pair[0].0).ln() / (pair[1].0 / pair[0].0).ln();
    Some(pair[0].1 * (pair[1].1 / pair[0].1).powf(share))
}

fn faults(points: &[OpeningPoint]) -> Vec<CurveFault> {
    let mut faults = Vec::new();
    if points.is_empty() {
        faults.push(CurveFault::Empty);
    }
    let positive = |number: f64| number > 0.0 && number.is_finite();
    for (at, point) in points.iter().enumerate() {
        let times = [point.not_before, point.not_after];
        if !positive(point.current.0) || !times.iter().flatten().all(|time| positive(time.0)) {
            faults.push(CurveFault::NotPositive { at });
        }
        match (point.not_before, point.not_after) {
            (None, None) => faults.push(CurveFault::NoTime { at }),
            (Some(before), Some(after)) if before > after => {
                faults.push(CurveFault::Crossed { at })
            }
            _ => {}
        }
    }
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|a, b| points[*a].current.0.total_cmp(&points[*b].current.0));
    for pair in order.windows(2) {
        let (less, more) = (pair[0], pair[1]);
        if points[less].current.0.total_cmp(&points[more].current.0).is_eq() {
            faults.push(CurveFault::SameCurrent { at: less.max(more), other: less.min(more) });
        }
    }
    // Each edge against the nearest lower current that states it, so that one slip is told once.
    let mut falls = |time: fn(&OpeningPoint) -> Option<Seconds>,
                     fault: fn(usize, usize) -> CurveFault| {
        let stated: Vec<usize> =
            order.iter().copied().filter(|at| time(&points[*at]).is_some()).collect();
        for pair in stated.windows(2) {
            if time(&points[pair[1]]) > time(&points[pair[0]]) {
                faults.push(fault(pair[1], pair[0]));
            }
        }
    };
    falls(|point| point.not_before, |at, other| CurveFault::HoldsLonger { at, other });
    falls(|point| point.not_after, |at, other| CurveFault::OpensLater { at, other });
    faults
}

#[cfg(test)]
mod tests;

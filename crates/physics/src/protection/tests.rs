//! Curves whose band is followed by hand, laws of every falling band, and every slip told.

use super::*;
use crate::close::assert_close;
use proptest::prelude::*;

fn point(current: f64, not_before: f64, not_after: f64) -> OpeningPoint {
    OpeningPoint {
        current: Amperes(current),
        not_before: (not_before > 0.0).then_some(Seconds(not_before)),
        not_after: (not_after > 0.0).then_some(Seconds(not_after)),
    }
}

/// Invented: a 10 A fuse whose band is easy to follow by hand.
fn ten_amperes() -> TimeCurrent {
    TimeCurrent::new(&[
        point(11.0, 360_000.0, 0.0),
        point(13.5, 1.0, 1000.0),
        point(20.0, 0.1, 10.0),
        point(60.0, 0.02, 0.1),
    ])
    .unwrap()
}

/// Points of a falling band at rising currents.
fn bands() -> impl Strategy<Value = Vec<OpeningPoint>> {
    let step = (1.01_f64..3.0, 1.0_f64..50.0, 1.0_f64..20.0);
    (1.0_f64..100.0, 1.0_f64..1e4, 1.0_f64..1e3, prop::collection::vec(step, 1..6)).prop_map(
        |(current, latest, ratio, steps)| {
            let (mut amps, mut after, mut before) = (current, latest, latest / ratio);
            let mut points = vec![point(amps, before, after)];
            for (more, sooner, holds) in steps {
                amps *= more;
                after /= sooner;
                before = (before / holds).min(after);
                points.push(point(amps, before, after));
            }
            points
        },
    )
}

#[test]
fn a_published_point_is_kept_exactly() {
    let at_double = ten_amperes().opening(Amperes(20.0));
    assert_close(at_double.earliest.unwrap().0, 0.1, 1e-12);
    assert_close(at_double.latest.unwrap().0, 10.0, 1e-12);
    assert!(!at_double.beyond);
}

#[test]
fn between_two_points_the_curve_is_straight_on_logarithmic_scales() {
    // Half way on the logarithm of current is half way on that of time.
    let middle = Amperes((13.5_f64 * 20.0).sqrt());
    let opening = ten_amperes().opening(middle);
    assert_close(opening.latest.unwrap().0, (1000.0_f64 * 10.0).sqrt(), 1e-12);
    assert_close(opening.earliest.unwrap().0, (1.0_f64 * 0.1).sqrt(), 1e-12);
}

#[test]
fn below_the_lowest_opening_current_nothing_is_promised() {
    let curve = ten_amperes();
    assert!(curve.opening(Amperes(13.5)).latest.is_some());
    let close_below = curve.opening(Amperes(13.4));
    assert_eq!(close_below.latest, None);
    assert_eq!(curve.opening(Amperes(5.0)).earliest, Some(Seconds(360_000.0)));
}

#[test]
fn above_the_highest_point_the_same_heat_melts_it_until_the_arc_takes_longer() {
    let curve = ten_amperes();
    let opening = curve.opening(Amperes(120.0));
    assert!(opening.beyond);
    assert_close(opening.latest.unwrap().0, 0.025, 1e-12);
    assert_close(120.0 * 120.0 * opening.latest.unwrap().0, 60.0 * 60.0 * 0.1, 1e-12);
    assert_eq!(curve.opening(Amperes(5000.0)).latest, Some(LEAST_CLEARING));
}

#[test]
fn the_order_of_the_points_does_not_matter() {
    let given = [point(60.0, 0.02, 0.1), point(13.5, 1.0, 1000.0), point(20.0, 0.1, 10.0)];
    let sorted = [given[1], given[2], given[0]];
    assert_eq!(TimeCurrent::new(&given), TimeCurrent::new(&sorted));
}

proptest! {
    #[test]
    fn more_current_never_opens_later(points in bands(), amps in 1.0..1e4, more in 1.0..10.0) {
        let curve = TimeCurrent::new(&points).unwrap();
        let (at, above) = (curve.opening(Amperes(amps)), curve.opening(Amperes(amps * more)));
        let tolerance = 1.0 + 1e-9;
        if let Some(latest) = at.latest {
            prop_assert!(above.latest.unwrap().0 <= latest.0 * tolerance);
        }
        prop_assert!(above.earliest.unwrap().0 <= at.earliest.unwrap().0 * tolerance);
    }

    #[test]
    fn the_band_never_crosses_within_what_is_published(points in bands(), share in 0.0..1.0) {
        let curve = TimeCurrent::new(&points).unwrap();
        let (low, high) = (points[0].current.0, points[points.len() - 1].current.0);
        let opening = curve.opening(Amperes(low * (high / low).powf(share)));
        if let (Some(early), Some(late)) = (opening.earliest, opening.latest) {
            prop_assert!(early.0 <= late.0 * (1.0 + 1e-9), "{early:?} {late:?}");
        }
    }
}

#[test]
fn every_slip_of_a_curve_is_told_at_once() {
    let faults = TimeCurrent::new(&[
        point(20.0, 5.0, 1.0),
        point(20.0, 0.1, 1.0),
        point(30.0, 0.0, 0.0),
        point(40.0, 0.2, 2.0),
        point(-1.0, 9.0, 9.0),
    ])
    .unwrap_err();
    assert_eq!(
        faults,
        [
            CurveFault::Crossed { at: 0 },
            CurveFault::NoTime { at: 2 },
            CurveFault::NotPositive { at: 4 },
            CurveFault::SameCurrent { at: 1, other: 0 },
            CurveFault::HoldsLonger { at: 3, other: 1 },
            CurveFault::OpensLater { at: 3, other: 1 },
        ]
    );
    assert_eq!(TimeCurrent::new(&[]), Err(vec![CurveFault::Empty]));
}

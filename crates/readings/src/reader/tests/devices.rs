//! Amperes of a device, and values of which only a bound is told.

use model::{Measured, Told};

use super::{conductor, one_line, problem, read, reading, vehicle};

#[test]
fn amperes_of_a_device_are_those_in_its_feed() {
    let v = vehicle();
    for (line, cable) in [
        ("preheat: plugs 38 A", "plugs.feed"),
        ("running: engine-module 9 A", "engine-module.feed"),
        ("running: alternator 55 A", "alternator.lead"),
    ] {
        let own = Measured::Amps { conductor: conductor(&v, cable) };
        assert_eq!(reading(line, &v).measured, own, "{line}");
    }
}

/// Behind this starter's solenoid the cable feeds other things too.
#[test]
fn a_cable_that_feeds_several_tells_the_amperes_of_none() {
    let v = vehicle();
    assert_eq!(problem("cranking: starter 200 A", &v).1, "unknown-conductor");
}

#[test]
fn a_clamp_over_its_range_tells_the_least_that_flows() {
    let v = vehicle();
    for line in [
        "preheat: plugs more than 60 A",
        "preheat: plugs > 60 A",
        "preheat: plugs over 60 A",
        "preheat: plugs pegged at 60 A",
        "preheat: plugs over range at 60 A",
        "preheat: plugs 60 A off scale",
        "preheat: plugs pegged the clamp, 60 A",
    ] {
        assert_eq!(reading(line, &v).told, Told::AtLeast(60.0), "{line}");
    }
    // A bound of volts says next to nothing, and one from above is a range.
    assert_eq!(problem("cranking: main more than 9 V", &v).1, "value-unreadable");
    assert_eq!(reading("preheat: plugs less than 60 A", &v).told, Told::Between(0.0, 60.0));
    assert!(one_line("preheat: plugs more or less 60 A", &v, 1).is_err());
}

#[test]
fn a_file_of_readings_may_hold_what_was_seen() {
    let v = vehicle();
    let text = "cranking: main 9.8 V\nbody-strap gets hot while cranking\nmain-negative.to loose\nbody-strap maybe hot\n";
    let all = read(text.as_bytes(), &v);
    let seen: Vec<u32> = all.seen.iter().map(|own| own.number).collect();
    assert_eq!((all.readings.len(), seen, all.kept.len()), (1, vec![2, 3], 1));
    assert_eq!(all.problems.len(), 1, "{:?}", all.problems);
    assert!(one_line("body-strap gets hot while cranking", &v, 1).is_err());
}

/// A loss between a device and a place is lost on the way to the side that metal joins with that place.
#[test]
fn a_small_value_between_a_device_and_a_post_is_lost_on_the_way_between_them() {
    let vehicle = vehicle();
    for (line, high, low) in [
        ("cranking: main/+ to starter 0.4 V", "main/+", "starter/+"),
        ("cranking: starter to main/- 0.4 V", "starter/-", "main/-"),
    ] {
        let Ok(super::Line::Reading { reading, .. }) = one_line(line, &vehicle, 1) else {
            panic!("{line}")
        };
        let super::Measured::Volts { high: red, low: black } = reading.measured else {
            panic!("{line}")
        };
        assert_eq!([red, black].map(|own| vehicle.probe_name(own)), [high, low], "{line}");
    }
    // More may be the supply.
    assert!(one_line("cranking: main/+ to starter 9 V", &vehicle, 1).is_err());
}

//! Readings that prove nothing, and what is said about them.

use super::*;

#[test]
fn without_a_current_no_joint_loses_volts() {
    let v = vehicle();
    for text in [
        "resting: block/front to main/- 0.00 V",
        "resting: block/front to main/- no drop",
        "key off: block/front to main/- 0.002 V",
        "resting: main-negative 0.0 A",
    ] {
        let found = worthless(text, &v);
        assert!(found.why.starts_with("no load"), "{text}: {}", found.why);
        assert!(found.instead.contains("`cranking`"), "{text}: {}", found.instead);
    }
}

/// The module's current comes home through the body; the block's rear carries none of it.
#[test]
fn a_current_beside_the_path_is_no_current_in_it() {
    let v = vehicle();
    assert_eq!(reading("running: body/right to main/- 0.00 V", &v).told, Told::Value(0.0));
    let found = worthless("running: block/rear to block/front 0.00 V", &v);
    assert!(found.why.starts_with("no load"), "{}", found.why);
}

#[test]
fn two_probes_on_the_same_metal_show_nothing() {
    let v = vehicle();
    let found = worthless("preheat: body/left to body/left 0 V", &v);
    assert!(found.why.contains("both probes"), "{}", found.why);
    let found = worthless("cranking: starter.case to starter/- 56 mV", &v);
    assert!(found.why.contains("the same metal"), "{}", found.why);
    assert!(found.instead.contains("`block/rear`"), "{}", found.instead);
}

#[test]
fn volts_where_nothing_should_flow_are_kept_and_doubted() {
    assert_eq!(warned("resting: block/front to main/- 0.41 V", &vehicle()), ["flow-unexplained"]);
}

#[test]
fn the_second_place_must_be_told() {
    let found = worthless("cranking: 0.4 V at block/front", &vehicle());
    assert!(found.why.starts_with("unknown second point"), "{}", found.why);
    assert!(found.instead.contains("`main/-`"), "{}", found.instead);
    assert!(worthless("cranking: 0.4 V", &vehicle()).why.contains("not told"));
}

#[test]
fn the_state_must_be_told() {
    let found = worthless("block/front to main/- 0.41 V", &vehicle());
    assert!(found.why.starts_with("no state"), "{}", found.why);
    assert!(found.instead.contains("`cranking`"), "{}", found.instead);
}

#[test]
fn ohms_below_the_meters_reach_on_a_live_network_or_across_a_battery_prove_nothing() {
    let v = vehicle();
    for (text, why) in [
        ("ohms 0.3 from block/front to main/-", "its own leads"),
        ("block/front to main/- 3 mΩ", "its own leads"),
        ("cranking: 5 ohm from block/front to main/-", "live network"),
        ("5 ohm from main/+ to main/-", "a battery or loads"),
    ] {
        let found = worthless(text, &v);
        assert!(found.why.contains(why), "{text}: {}", found.why);
        assert!(found.instead.contains("volts"), "{text}: {}", found.instead);
    }
    let open = reading("ohms 40 from block/front to main/-", &v);
    assert_eq!(open.told, Told::Value(40.0));
    assert_eq!(open.state, None);
    assert!(matches!(open.measured, Measured::Ohms { .. }));
}

#[test]
fn a_jump_lead_does_nothing_for_a_load_that_is_off() {
    let text = "resting: same with a jump lead from block/front to main/-: starter";
    assert!(worthless(text, &vehicle()).why.contains("`starter` is off"));
}

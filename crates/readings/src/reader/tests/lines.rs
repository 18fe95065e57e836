//! Lines as people type them, and what they mean.

use super::*;

#[test]
fn a_line_names_the_state_two_places_and_a_value_in_any_order() {
    let v = vehicle();
    let block = volts(&v, "block/front", "main/-");
    for (text, state, measured, told) in [
        ("cranking: block/front to main/-  0.41 V", "cranking", block, Told::Value(0.41)),
        ("0.41V cranking block/front main/-", "cranking", block, Told::Value(0.41)),
        ("Cranking: Block/Front to Main/-, 410 mV", "cranking", block, Told::Value(0.41)),
        ("crank block/front -> main/- = 0,41 V", "cranking", block, Told::Value(0.41)),
        ("cranking:block/front→main/-:0.41V", "cranking", block, Told::Value(0.41)),
        ("cranking main/- and red on block/front 0.41 V", "cranking", block, Told::Value(0.41)),
        ("cranking black main/- red block/front 0.41 V", "cranking", block, Told::Value(0.41)),
        ("cranking from block/front to main/- -0.41 V", "cranking", block, Told::Value(-0.41)),
        (
            "0.3 to 0.8 V starter/- main/- cranking",
            "cranking",
            volts(&v, "starter/-", "main/-"),
            Told::Between(0.3, 0.8),
        ),
        ("cranking block/front main/- about 0.4 V", "cranking", block, Told::About(0.4)),
        (
            "no drop from body/left to main/-, cranking",
            "cranking",
            volts(&v, "body/left", "main/-"),
            Told::Nothing,
        ),
        (
            "min hold 8.9 V at engine-module, cranking",
            "cranking",
            volts(&v, "engine-module/+", "engine-module/-"),
            Told::Held(8.9),
        ),
        ("12,6V battery resting", "resting", volts(&v, "main/+", "main/-"), Told::Value(12.6)),
        (
            "the main battery drops to 9.5 V when it cranks",
            "cranking",
            volts(&v, "main/+", "main/-"),
            Told::Value(9.5),
        ),
        ("main 12.6 V resting", "resting", volts(&v, "main/+", "main/-"), Told::Value(12.6)),
        (
            "0.2 V over solenoid, cranking",
            "cranking",
            volts(&v, "hot-stud", "starter/+"),
            Told::Value(0.2),
        ),
        ("cranking block/front main/- < 10 mV", "cranking", block, Told::Between(0.0, 0.01)),
    ] {
        let reading = reading(text, &v);
        assert_eq!(reading.state, v.state_named(state), "{text}");
        assert_eq!(reading.measured, measured, "{text}");
        assert_eq!(reading.told, told, "{text}");
    }
}

#[test]
fn values_are_read_as_people_write_them() {
    let v = vehicle();
    for (text, told) in [
        ("0.3 - 0.8 V", Told::Between(0.3, 0.8)),
        ("0,3-0,8 V", Told::Between(0.3, 0.8)),
        ("0.3–0.8V", Told::Between(0.3, 0.8)),
        ("0.3...0.8 V", Told::Between(0.3, 0.8)),
        ("0.8 to 0.3 V", Told::Between(0.3, 0.8)),
        ("300 mV to 0.8 V", Told::Between(0.3, 0.8)),
        ("300-800mV", Told::Between(0.3, 0.8)),
        ("0.5 ± 0.25 V", Told::Between(0.25, 0.75)),
        ("about 0.4 V", Told::About(0.4)),
        ("~0.4 V", Told::About(0.4)),
        ("≈ 400 mV", Told::About(0.4)),
        ("roughly 0.4 volts", Told::About(0.4)),
        ("0.4 V or so", Told::About(0.4)),
        ("a bit over 0.4 V", Told::About(0.4)),
        ("less than 10 mV", Told::Between(0.0, 0.01)),
        ("<10mV", Told::Between(0.0, 0.01)),
        ("no drop", Told::Nothing),
        ("zero volts", Told::Nothing),
        ("min 8.9 V", Told::Held(8.9)),
        ("8.9 V min", Told::Held(8.9)),
        ("max hold of 15 V", Told::Held(15.0)),
        ("gauge 13.2 V", Told::Gauge(13.2)),
        ("volts 0.4", Told::Value(0.4)),
        ("0 V", Told::Value(0.0)),
        (".5 V", Told::Value(0.5)),
    ] {
        let text = format!("cranking block/front main/- {text}");
        assert_eq!(reading(&text, &v).told, told, "{text}");
    }
}

#[test]
fn amperes_belong_to_the_conductor_under_the_clamp() {
    let v = vehicle();
    for (text, name) in [
        ("preheat main-negative 38 A", "main-negative"),
        ("38 amps through main-negative, preheat", "main-negative"),
        ("preheat plugs 38 A", "plugs.feed"),
        ("preheat: current main-negative about 38", "main-negative"),
    ] {
        let measured = Measured::Amps { conductor: conductor(&v, name) };
        assert_eq!(reading(text, &v).measured, measured, "{text}");
    }
    assert_eq!(reading("preheat body-strap no current", &v).told, Told::Nothing);
}

#[test]
fn a_lug_is_a_place_of_its_own_beside_the_stud_under_it() {
    let v = vehicle();
    let measured = Measured::Volts {
        high: point(&v, "block/front"),
        low: Probe::Lug(joint(&v, "main-negative.to")),
    };
    let text = "cranking block/front to main-negative.to 0.02 V";
    assert_eq!(reading(text, &v).measured, measured);
}

#[test]
fn the_strand_behind_a_lug_is_a_place_of_its_own() {
    let v = vehicle();
    let end = joint(&v, "main-negative.to");
    let over_the_crimp = Measured::Volts { high: Probe::Lug(end), low: Probe::Strand(end) };
    for text in [
        "cranking main-negative.to to main-negative.to.strand 0.3 V",
        "cranking: lug of main-negative.to to strand of main-negative.to 0.3 V",
        "cranking: 0.3 V from the lug of main-negative.to to the bare strand behind the lug of main-negative.to",
    ] {
        assert_eq!(reading(text, &v).measured, over_the_crimp, "{text}");
    }
    let from_the_post = Measured::Volts { high: point(&v, "main/-"), low: Probe::Strand(end) };
    let text = "cranking: main/- to the strands of main-negative.to 0.3 V";
    assert_eq!(reading(text, &v).measured, from_the_post);
    assert_eq!(v.probe_name(Probe::Strand(end)), "main-negative.to.strand");
    for text in [
        "cranking: strand of block/front to main/- 0.3 V",
        "cranking: main-negative.to to main/- strand 0.3 V",
    ] {
        assert!(one_line(text, &v, 1).is_err(), "{text}");
    }
}

#[test]
fn a_jump_lead_tells_better_worse_or_the_same() {
    let v = vehicle();
    let measured = Measured::JumpLead {
        from: point_id(&v, "block/front"),
        to: point_id(&v, "main/-"),
        load: load(&v, "starter"),
    };
    for (text, change) in [
        ("better with a jump lead from block/front to main/-: starter", 1),
        ("no change with jumper cables block/front main/- on starter", 0),
        ("cranking: starter worse when jump lead between block/front and main/-", -1),
    ] {
        let reading = reading(text, &v);
        assert_eq!((reading.measured, reading.told), (measured, Told::Change(change)), "{text}");
    }
}

#[test]
fn moving_a_joint_tells_whether_the_fault_went_or_came() {
    let v = vehicle();
    let measured = Measured::Moved { joint: joint(&v, "main-negative.to") };
    for (text, change) in [
        ("cured by pushing on main-negative.to", 1),
        ("came back when main-negative.to was pulled", -1),
        ("wiggling main-negative.to: no difference", 0),
    ] {
        let reading = reading(text, &v);
        assert_eq!((reading.measured, reading.told), (measured, Told::Change(change)), "{text}");
    }
}

#[test]
fn a_gauge_without_a_place_is_taken_at_the_first_battery_and_that_is_said() {
    let v = vehicle();
    let text = "gauge 13.2 V running";
    assert_eq!(reading(text, &v).measured, volts(&v, "main/+", "main/-"));
    assert_eq!(reading(text, &v).told, Told::Gauge(13.2));
    assert_eq!(warned(text, &v), ["gauge-assumed"]);
}

#[test]
fn a_missing_unit_between_points_means_volts_in_a_table_and_that_is_said() {
    let v = vehicle();
    let table = "state,from,to,value\ncranking,block/front,main/-,0.41\n";
    let readings = read(table.as_bytes(), &v);
    assert_eq!(codes(&readings), ["unit-assumed"]);
    assert_eq!(readings.readings[0].told, Told::Value(0.41));
    assert!(warned("cranking block/front main/- 0.41 V", &v).is_empty());
}

#[test]
fn when_it_was_becomes_a_note() {
    let v = vehicle();
    let text = "14:32 cranking block/front main/- 0.41 V yesterday evening # after rain";
    let reading = reading(text, &v);
    assert_eq!(reading.time.as_deref(), Some("14:32"));
    assert_eq!(reading.note.as_deref(), Some("yesterday evening; after rain"));
    assert!(warned(text, &v).is_empty());
}

#[test]
fn four_hundred_volts_in_a_twelve_volt_vehicle_are_doubted() {
    assert_eq!(warned("cranking block/front main/- 410 V", &vehicle()), ["value-implausible"]);
}

//! Files in each of the three forms.

use super::*;

const TOML: &str = r#"
# taken on the ramp
format = 1

[complaint]
load = "starter"
state = "cranking"
what = "turns slowly"

[instruments.bench-meter]
volts = [
    { up-to = "6 V", accuracy = "0.5 % + 2", resolution = "1 mV" },
    { up-to = "60 V", accuracy = "±(0,7 % + 3 counts)", resolution = "10 mV" },
]
amps = [{ accuracy = "1.5%", resolution = "0.1 A" }]

[[reading]]
state = "cranking"
from = "block/front"
to = "main/-"
value = "0.41 V"
instrument = "bench-meter"
time = 2026-02-03T10:05:00
after = "main-negative.to"
note = "warm"

[[reading]]
state = "cranking"
red = "main/+"
black = "main/-"
value = "min 9.1 V"
instrument = "bench-meter"
before = "main-negative.to 2025-10-20"

[[reading]]
state = "preheat"
through = "main-negative"
value = "38 A"
instrument = "bench-meter"

[[reading]]
state = "cranking"
from = "block/front"
to = "main/-"
value = 0.4

[[reading]]
from = "block/front"
to = "main/-"
value = "better"

[[reading]]
moved = "main-negative.to"
value = "cured"

[[reading]]
state = "cranking"
from = "starter"
value = "9.0 V"

[[reading]]
state = "resting"
from = "block/front"
to = "main/-"
value = "0 V"

[[reading]]
state = "cranking"
from = "blok/front" # who knows
to = "main/-"
value = "0.41 V"
"#;

#[test]
fn a_file_of_tables_gives_every_reading_its_place_state_and_accuracy() {
    let v = vehicle();
    let readings = read(TOML.as_bytes(), &v);
    let at = |number: u32| {
        let found = readings.readings.iter().find(|reading| reading.number == number);
        found.unwrap_or_else(|| panic!("{number}: {:?}", readings.problems)).clone()
    };
    assert_eq!(readings.readings.len(), 7, "{:?}", readings.problems);
    let first = at(1);
    assert_eq!(first.measured, volts(&v, "block/front", "main/-"));
    assert_eq!(first.time.as_deref(), Some("2026-02-03T10:05:00"));
    assert_eq!(first.note.as_deref(), Some("warm"));
    assert_eq!(
        first.accuracy,
        Accuracy { share: units::Ratio(0.005), counts: 2, resolution: 0.001 }
    );
    assert_eq!(at(2).told, Told::Held(9.1));
    assert_eq!((at(2).accuracy.counts, at(2).accuracy.resolution), (3, 0.01));
    assert_eq!((at(3).accuracy.counts, at(3).accuracy.resolution), (0, 0.1));
    assert_eq!(at(4).accuracy, Accuracy::some_voltmeter(units::Volts(0.4)));
    let lead = Measured::JumpLead {
        from: point_id(&v, "block/front"),
        to: point_id(&v, "main/-"),
        load: load(&v, "starter"),
    };
    assert_eq!(at(5).measured, lead, "the complaint names the load");
    assert_eq!(at(6).measured, Measured::Moved { joint: joint(&v, "main-negative.to") });
    assert_eq!(at(7).measured, volts(&v, "starter/+", "starter/-"));
    assert_eq!(readings.worthless.len(), 1);
    assert_eq!(readings.worthless[0].number, 8);
    assert_eq!(
        readings.complaint,
        Some(Complaint {
            load: v.load_named("starter"),
            state: v.state_named("cranking"),
            what: Some("turns slowly".to_owned()),
        })
    );
    let work: Vec<_> = readings
        .beside_work
        .iter()
        .map(|beside| (beside.number, beside.side, beside.work))
        .collect();
    assert_eq!(work, [(1, Side::After, Some(1)), (2, Side::Before, Some(0))]);
    assert_eq!(codes(&readings), ["unit-assumed", "unknown-point"]);
    assert_eq!(&TOML[readings.problems[0].place.clone()], "0.4");
    assert_eq!(&TOML[readings.problems[1].place.clone()], "blok/front");
}

#[test]
fn an_entry_that_is_not_understood_is_kept_word_for_word() {
    let readings = read(TOML.as_bytes(), &vehicle());
    assert_eq!(readings.kept.len(), 1);
    assert_eq!(readings.kept[0].number, 9);
    assert_eq!(
        readings.kept[0].text,
        "[[reading]]\nstate = \"cranking\"\nfrom = \"blok/front\" # who knows\nto = \"main/-\"\nvalue = \"0.41 V\""
    );
}

#[test]
fn an_instrument_about_which_nothing_is_said_is_some_multimeter_and_that_is_noted_once() {
    let line = "cranking: block/front to main/-  0.41 V\n";
    let readings = read(line.repeat(3).as_bytes(), &vehicle());
    assert_eq!(readings.filled.len(), 1);
    assert_eq!(readings.filled[0].key, "instruments.unnamed.volts");
    assert!(readings.filled[0].why.contains("some multimeter"));
    assert_eq!(readings.readings[0].accuracy, Accuracy::some_voltmeter(units::Volts(0.41)));
}

#[test]
fn an_instrument_that_is_not_there_or_a_value_above_its_ranges_is_told() {
    let text = TOML
        .replace(
            "value = \"38 A\"\ninstrument = \"bench-meter\"",
            "value = \"38 A\"\ninstrument = \"bench-metre\"",
        )
        .replace("min 9.1 V", "min 61 V");
    let readings = read(text.as_bytes(), &vehicle());
    for code in ["unknown-instrument", "above-every-range", "value-implausible"] {
        assert!(codes(&readings).contains(&code), "{code}: {:?}", readings.problems);
    }
}

#[test]
fn a_wrong_key_is_told_and_its_reading_kept_while_the_others_are_read() {
    let text = TOML.replacen("through = ", "thrugh = ", 1).replace("0.5 % + 2", "quite good");
    let readings = read(text.as_bytes(), &vehicle());
    assert_eq!(readings.kept.len(), 2, "{:?}", readings.problems);
    assert_eq!(readings.kept[0].number, 3);
    assert!(codes(&readings).contains(&"unknown-key"));
    assert!(codes(&readings).contains(&"accuracy-unreadable"));
    assert_eq!(readings.readings.len(), 6);
}

#[test]
fn a_reading_whose_text_is_broken_is_kept_and_the_others_are_read() {
    for (right, wrong) in [
        ("value = \"38 A\"", "value = 38 A"),
        ("value = \"38 A\"", "value = \"38 A"),
        ("through = \"main-negative\"", "through \"main-negative\""),
        ("[[reading]]\nstate = \"preheat\"", "[[reading]\nstate = \"preheat\""),
    ] {
        let text = TOML.replacen(right, wrong, 1);
        let readings = read(text.as_bytes(), &vehicle());
        let kept: Vec<&str> = readings.kept.iter().map(|kept| kept.text.as_str()).collect();
        assert!(codes(&readings).contains(&"toml-syntax"), "{wrong}");
        assert!(kept.iter().any(|kept| kept.contains("38 A")), "{wrong}: {kept:?}");
        assert_eq!(readings.readings.len(), 6, "{wrong}: {:?}", readings.problems);
        let entries = readings.readings.len() + readings.worthless.len() + readings.kept.len();
        assert_eq!(entries, 9, "{wrong}: {kept:?}");
    }
}

#[test]
fn a_table_with_a_header_is_read_whatever_parts_its_cells() {
    let v = vehicle();
    let comma = "state,from,to,through,value,instrument,time,note\n\
        cranking,block/front,main/-,,0.41 V,,10:05,\"warm, \"\"wet\"\"\"\n\
        cranking,starter/-,main/-,,\"0,3-0,8 V\",,,\n\
        preheat,,,main-negative,38 A,,,\n\
        \n\
        cranking,blok/front,main/-,,0.41 V,,,\n";
    let semicolon = "State;From;To;Through;Value;Instrument;Time;Note\r\n\
        cranking;block/front;main/-;;0,41 V;;10:05;\"warm, \"\"wet\"\"\"\r\n\
        cranking;starter/-;main/-;;0,3-0,8 V;;;\r\n\
        preheat;;;main-negative;38 A;;;\r\n\
        cranking;blok/front;main/-;;0,41 V;;;\r\n";
    for text in [comma, semicolon, &semicolon.replace(';', "\t")] {
        let readings = read(text.as_bytes(), &v);
        assert_eq!(readings.readings.len(), 3, "{:?}", readings.problems);
        let first = &readings.readings[0];
        assert_eq!(first.measured, volts(&v, "block/front", "main/-"));
        assert_eq!(first.told, Told::Value(0.41));
        assert_eq!(first.note.as_deref(), Some("warm, \"wet\""));
        assert_eq!(first.time.as_deref(), Some("10:05"));
        assert_eq!(readings.readings[1].told, Told::Between(0.3, 0.8));
        let amps = Measured::Amps { conductor: conductor(&v, "main-negative") };
        assert_eq!(readings.readings[2].measured, amps);
        assert_eq!(readings.kept.len(), 1);
        assert_eq!(readings.kept[0].number, 4);
        assert!(
            readings.kept[0].text.starts_with("cranking")
                && readings.kept[0].text.contains("blok/front")
        );
        assert_eq!(codes(&readings), ["unknown-point"]);
        assert_eq!(&text[readings.problems[0].place.clone()], "blok/front");
    }
}

#[test]
fn a_row_that_does_not_fit_its_header_is_kept() {
    let text = "state,from,to,value,colour\n\
        cranking,block/front,main/-,0,41 V\n\
        cranking,block/front,main/-,0.41 V,,x\n\
        cranking,block/front,main/-,\"0.41 V,\n\
        cranking,block/front,main/-,0.41 V,red\n\
        cranking,block/front,main/-,,\n";
    let readings = read(text.as_bytes(), &vehicle());
    assert_eq!(
        codes(&readings),
        ["unknown-column", "decimal-comma", "row-too-long", "quote-open", "value-missing"]
    );
    assert_eq!(readings.kept.len(), 4);
    assert_eq!(&text[readings.problems[1].place.clone()], "0,41 V");
    assert_eq!(readings.kept[2].text, "cranking,block/front,main/-,\"0.41 V,");
    assert_eq!(readings.readings.len(), 1);
}

#[test]
fn one_reading_a_line_is_a_file_too() {
    let text = "\u{feff}# on the ramp\n\ncranking: block/front to main/-  0.41 V\n\
        cranking: blok/front to main/-  0.41 V\r\nresting: block/front to main/- 0 V\n\
        cranking: block/front to main/-  0.43 V\n";
    let readings = read(text.as_bytes(), &vehicle());
    let numbers: Vec<u32> = readings.readings.iter().map(|reading| reading.number).collect();
    assert_eq!(numbers, [1, 4], "contradictions stay");
    assert_eq!(readings.kept[0].text, "cranking: blok/front to main/-  0.41 V");
    assert_eq!(&text[readings.problems[0].place.clone()], "blok/front");
    assert_eq!(&text[readings.worthless[0].place.clone()], "resting: block/front to main/- 0 V");
}

#[test]
fn a_file_without_readings_says_how_to_begin() {
    for text in ["", "  \n\n", "# nothing yet\n", "format = 1\n", "state,from,to,value\n"] {
        let readings = read(text.as_bytes(), &vehicle());
        assert_eq!(codes(&readings), ["no-readings"], "{text:?}");
        let hint = readings.problems[0].hint.clone().unwrap_or_default();
        let example = hint.split('`').nth(1).unwrap_or_default();
        assert_eq!(reading(example, &vehicle()).told, Told::Value(0.41), "{hint}");
    }
}

#[test]
fn a_file_that_is_no_text_is_refused_with_a_way_out() {
    for bytes in [&b"cranking \xb5"[..], &[0xff, 0xfe, b'a', 0]] {
        let readings = read(bytes, &vehicle());
        assert_eq!(codes(&readings), ["not-a-text-file"]);
        assert!(readings.problems[0].hint.as_deref().is_some_and(|hint| hint.contains("UTF-8")));
    }
}

#[test]
fn ten_thousand_readings_all_arrive_in_each_form() {
    let v = vehicle();
    let lines = "cranking: block/front to main/-  0.41 V\n".repeat(10_000);
    let rows = "cranking,block/front,main/-,0.41 V\n".repeat(10_000);
    let rows = format!("state,from,to,value\n{rows}");
    let tables = "[[reading]]\nstate = \"cranking\"\nfrom = \"block/front\"\nto = \"main/-\"\nvalue = \"0.41 V\"\n".repeat(10_000);
    let tables = format!("format = 1\n{tables}");
    for text in [lines, rows, tables] {
        assert_eq!(read(text.as_bytes(), &v).readings.len(), 10_000);
        let slips = read(text.replace("block/front", "blok/front").as_bytes(), &v);
        assert_eq!(slips.kept.len(), 10_000);
    }
}

//! What the page and the program have in common: written numbers, read numbers, sizes of cable, what is told.
//!
//! The page formats and reads numbers by itself while a hand moves. Files beside its tests say what the program
//! makes of the same values; this test holds the program to them, and a test of the page holds the page to them.

use answers::refusal::Refused;
use answers::room::Question;
use answers::told::{Quantity, Told};
use answers::{budget, offsets, routes, solve};
use model::Vehicle;
use serde::Serialize;
use serde_json::{Value, json};
use units::{
    Amperes, Coulombs, Dimension, Kelvin, Metres, Money, NewtonMetres, Newtons, Ohms, Ratio,
    Seconds, UnitSystem, Volts, Watts, parse,
};

const AMBULANCE: &str = include_str!("../../../examples/rescue-ambulance.toml");

/// Around every place where the writing changes: digits, prefixes, units, ties between two last digits.
const SIZES: [f64; 66] = [
    0.0,
    1e-12,
    4.9e-9,
    5e-7,
    1.234e-6,
    1.2345e-5,
    1e-4,
    0.000_42,
    0.000_499,
    0.000_5,
    0.000_999_4,
    0.000_999_5,
    0.001,
    0.001_5,
    0.004_7,
    0.009_994,
    0.009_996,
    0.05,
    0.099_94,
    0.099_96,
    0.1,
    0.125,
    0.147,
    0.3,
    0.356_1,
    0.5,
    0.9,
    0.914_4,
    0.95,
    0.999_4,
    0.999_5,
    0.999_6,
    1.0,
    1.005,
    1.125,
    1.5,
    2.5,
    7.874,
    9.94,
    9.95,
    9.996,
    12.345,
    12.5,
    14.1,
    19.96,
    20.0,
    20.5,
    59.9,
    60.0,
    99.95,
    119.9,
    120.0,
    260.0,
    478.0,
    508.4,
    998.5,
    999.4,
    999.5,
    1500.0,
    1505.0,
    3600.0,
    7199.0,
    7200.0,
    12_345.0,
    999_500.0,
    123_456_789.0,
];

/// Each way of telling a quantity, by the name that the page has for it.
fn quantity(kind: &str, value: f64) -> Quantity {
    match kind {
        "volts" => Quantity::Volts(Volts(value)),
        "loss" => Quantity::Loss(Volts(value)),
        "signed" => Quantity::Signed(Volts(value)),
        "gain" => Quantity::Gain(Volts(value)),
        "amperes" => Quantity::Amperes(Amperes(value)),
        "ohms" => Quantity::Ohms(Ohms(value)),
        "watts" => Quantity::Watts(Watts(value)),
        "percent" => Quantity::Percent(Ratio(value)),
        "duration" => Quantity::Duration(Seconds(value)),
        "temperature" => Quantity::Temperature(Kelvin(value)),
        "length" => Quantity::Length(Metres(value)),
        "torque" => Quantity::Torque(NewtonMetres(value)),
        "force" => Quantity::Force(Newtons(value)),
        "capacity" => Quantity::Capacity(Coulombs(value)),
        _ => Quantity::Money(Money(value), "EUR".to_owned()),
    }
}

const SIGNED: [&str; 7] = ["volts", "loss", "signed", "gain", "amperes", "ohms", "watts"];
const UNSIGNED: [&str; 7] =
    ["percent", "duration", "length", "torque", "force", "capacity", "money"];
const DEGREES: [f64; 10] = [-40.0, -17.5, -0.4, 0.0, 0.5, 20.0, 24.5, 36.6, 105.0, 1084.62];

fn written(kind: &str, value: f64) -> Value {
    let own = quantity(kind, value);
    let (metric, us) = (own.written(UnitSystem::Metric), own.written(UnitSystem::Us));
    json!({ "kind": kind, "value": value, "metric": metric, "us": us })
}

#[test]
fn the_page_writes_numbers_as_the_program_does() {
    let mut all: Vec<Value> = Vec::new();
    for kind in SIGNED {
        all.extend(SIZES.iter().map(|size| written(kind, *size)));
        all.extend(SIZES.iter().map(|size| written(kind, -size)));
    }
    for kind in UNSIGNED {
        all.extend(SIZES.iter().map(|size| written(kind, *size)));
    }
    // What is lost may be money, and a share.
    all.extend(["money", "percent"].into_iter().flat_map(|kind| {
        [-0.04, -0.5, -12.4, -25.5].into_iter().map(move |value| written(kind, value))
    }));
    all.extend(DEGREES.iter().map(|own| written("temperature", Kelvin::from_celsius(*own).0)));
    agrees("tests/vectors/written.json", &lines(&all));
}

/// What people type for a voltage, a current, a resistance and a length, right and wrong.
const TYPED: [(Dimension, &[&str]); 4] = [
    (
        Dimension::Voltage,
        &[
            "0.35 V",
            "0,35V",
            "350 mV",
            "350mv",
            "−12,4 V",
            "-12.4 V",
            "+3 volts",
            ".5 V",
            "12. V",
            "12.4 Vdc",
            "350 millivolts",
            "880 µV",
            "880 \u{3bc}V",
            "880 uV",
            "1.2 kV",
            "1e-3 V",
            "2E3 mV",
            "0,005 V",
            "1,2000 V",
            "12\u{a0}V",
            "12\u{202f}V",
            "1,200 V",
            "1.234,5 V",
            "12 13 V",
            "twelve",
            "--3 V",
            "- 3 V",
            "5 kg",
            "0.3 A",
            "0.3 ohm",
            "e3 V",
            "1e V",
            "1e13 V",
            "V",
            "3 V 4",
        ],
    ),
    (
        Dimension::Current,
        &[
            "120 A",
            "120 amps",
            "1 amp",
            "12 ampere",
            "3 amperes",
            "350 mA",
            "4 µA",
            "1.5 kA",
            "1,200 A",
            "−0,4 A",
            "12 V",
            "7 MA",
        ],
    ),
    (
        Dimension::Resistance,
        &[
            "4.7 mΩ",
            "4,7 mohm",
            "4.7 m\u{2126}",
            "4.7 m\u{3a9}",
            "880 µΩ",
            "880 \u{3bc}ohm",
            "3 R",
            "3 ohms",
            "2 mohms",
            "2 milliohm",
            "2 milliohms",
            "30 microohm",
            "30 microohms",
            "1 kohm",
            "1 Mohm",
            "1 mOhm",
            "2 GΩ",
            "0.4 V",
        ],
    ),
    (
        Dimension::Length,
        &[
            "0.8 m",
            "0,8m",
            "80 cm",
            "800mm",
            "2 ft 7 in",
            "2'7\"",
            "2′ 7″",
            "7 in",
            "7 inches",
            "1 inch",
            "3 feet",
            "1 foot",
            "0.5 yd",
            "1 metre",
            "2 meters",
            "2.5 ft",
            "15.7 in",
            "300 um",
            "1 km",
            "2 kg",
            "about 2 m",
            "-2 m",
            "1.2.3 m",
            "2 ft 7",
            "1,200 m",
        ],
    ),
];

#[test]
fn the_page_reads_numbers_as_the_program_does() {
    let all: Vec<Value> = TYPED
        .iter()
        .flat_map(|(dimension, texts)| texts.iter().map(|text| (*dimension, *text)))
        .map(|(dimension, text)| {
            let value = parse(text, dimension).ok();
            json!({ "dimension": format!("{dimension:?}").to_lowercase(), "text": text, "value": value })
        })
        .collect();
    agrees("tests/vectors/read.json", &lines(&all));
}

#[test]
fn the_page_offers_the_sizes_of_the_catalogue() {
    let rows = catalogue::Catalogue::standard().flexible_cables.iter();
    let sizes: Vec<String> = rows.map(|row| units::print::plain(row.area.mm2(), 6)).collect();
    agrees("src/lib/live/sizes.json", &format!("[{}]\n", sizes.join(", ")));
}

#[derive(Serialize)]
struct Example {
    question: &'static str,
    told: Told,
}

fn told<Q>(question: &'static str, asked: &Q, vehicle: &Vehicle) -> Result<Example, Refused>
where
    Q: for<'v> Question<About<'v> = &'v Vehicle>,
{
    let found = asked.find(vehicle, &mut |_| true)?.ok_or_else(Refused::default)?;
    Ok(Example { question, told: asked.told(&found) })
}

#[test]
fn the_page_knows_the_form_of_what_is_told() {
    let vehicle = file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors");
    let (state, load) = (Some("cranking".to_owned()), "starter".to_owned());
    let of_budget = budget::Asked { load: load.clone(), state: state.clone(), all: false };
    let of_routes =
        routes::Asked { load: Some(load), state: state.clone(), ..routes::Asked::default() };
    let of_offsets = offsets::Asked { state: state.clone(), ..offsets::Asked::default() };
    let examples = [
        told("solve", &solve::Asked { state, ..solve::Asked::default() }, &vehicle),
        told("budget", &of_budget, &vehicle),
        told("routes", &of_routes, &vehicle),
        told("offsets", &of_offsets, &vehicle),
    ];
    let all: Vec<Value> = examples.into_iter().map(|own| json!(own.expect("an answer"))).collect();
    agrees("tests/vectors/told.json", &lines(&all));
}

/// A list with one entry on each line.
fn lines(all: &[Value]) -> String {
    let all: Vec<String> = all.iter().map(Value::to_string).collect();
    format!("[\n{}\n]\n", all.join(",\n"))
}

/// Holds a file of the page to what the program makes now.
fn agrees(path: &str, now: &str) {
    let whole = format!("{}/../../web/{path}", env!("CARGO_MANIFEST_DIR"));
    #[expect(clippy::disallowed_methods, reason = "whoever runs the test may ask for an update")]
    if std::env::var("UPDATE").is_ok() {
        std::fs::write(&whole, now).expect("the page has its folders");
    }
    #[expect(clippy::disallowed_methods, reason = "the page reads a file")]
    let kept = std::fs::read_to_string(&whole).unwrap_or_default();
    assert!(kept == now, "write web/{path} anew: UPDATE=1 cargo test -p answers --test page");
}

//! The network as it was solved, as another program solves it from what is printed (`checks/as_solved.py`).

#![expect(clippy::disallowed_methods, reason = "recorded answers are files")]

use std::path::PathBuf;

use answers::room::Question as _;
use answers::solve::{self, NetworkAsSolved, NetworkDevice, NetworkLaw};
use model::Vehicle;
use serde_json::{Value, json};

const ABOUT: &str = "Networks of random vehicles and of two examples as `solve --network --json` prints them, with volts rounded to a \
                     hundredth to start from; written by the tests of crates/answers, see checks/README.md.";

/// Numbers from 0 to 1 that are the same on every machine (Knuth's multiplier).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 40).expect("24 bits")) / f64::from(1_u32 << 24)
    }

    /// Even on a logarithmic scale, to four digits.
    fn draw(&mut self, least: f64, most: f64) -> f64 {
        let value = least * (most / least).powf(self.next());
        format!("{value:.3e}").parse().expect("a number")
    }
}

/// A series bank with a load on its middle, a reducer behind a joint from sound to very bad, an alternator
/// that may be at its limit and may sense at the bank, a charger of a third battery.
fn series(chance: &mut Chance, worst: f64) -> String {
    let mut draw = |least, most| chance.draw(least, most);
    format!(
        r#"
        [batteries.lower]
        nominal = "12 V"
        voltage = "{} V"
        resistance = "{} mΩ"
        [batteries.upper]
        nominal = "12 V"
        voltage = "{} V"
        resistance = "{} mΩ"
        [batteries.third]
        nominal = "12 V"
        voltage = "{} V"
        resistance = "6 mΩ"
        [structures.frame]
        resistance = "0.2 mΩ"
        points.front = {{}}
        points.middle = {{}}
        points.rear = {{}}
        [conductors.ground]
        from = {{ point = "lower/-", resistance = "{} mΩ" }}
        to = "frame/front"
        size = "70 mm²"
        length = "0.5 m"
        [conductors.link]
        from = {{ point = "lower/+", resistance = "{} mΩ" }}
        to = "upper/-"
        size = "70 mm²"
        length = "0.3 m"
        [conductors.third-ground]
        from = "third/-"
        to = {{ point = "frame/rear", resistance = "{} mΩ" }}
        size = "25 mm²"
        length = "0.5 m"
        [alternators.alternator]
        output = "{} A"
        voltage = "28.2 V"
        {}
        lead = {{ to = "upper/+", size = "25 mm²", length = "1.5 m" }}
        case = {{ point = "frame/front", resistance = "{} mΩ" }}
        [converters.reducer]
        output = "40 A"
        voltage = "13.5 V"
        on = ["running"]
        return = {{ to = "frame/middle", size = "10 mm²", length = "0.5 m" }}
        [conductors.reducer-feed]
        from = {{ point = "upper/+", resistance = "{} mΩ" }}
        to = "reducer/in+"
        size = "10 mm²"
        length = "2 m"
        [conductors.reducer-home]
        from = "reducer/in-"
        to = {{ point = "frame/middle", resistance = "{} mΩ" }}
        size = "10 mm²"
        length = "0.5 m"
        [converters.booster]
        output = "20 A"
        voltage = "14.4 V"
        efficiency = "85 %"
        on = ["running"]
        lead = {{ to = {{ point = "third/+", resistance = "{} mΩ" }}, size = "10 mm²", length = "3 m" }}
        return = {{ to = "third/-", size = "10 mm²", length = "3 m" }}
        [conductors.booster-feed]
        from = {{ point = "reducer/+", resistance = "{} mΩ" }}
        to = "booster/in+"
        size = "10 mm²"
        length = "1 m"
        [conductors.booster-home]
        from = "booster/in-"
        to = "frame/middle"
        size = "10 mm²"
        length = "0.5 m"
        [loads.radio]
        kind = "electronics"
        rated = "13.6 V"
        draws = "{} A"
        feed = {{ from = "lower/+", size = "2.5 mm²", length = "3 m" }}
        return = {{ to = "frame/middle", size = "2.5 mm²", length = "1 m" }}
        [loads.lamp]
        kind = "lamp"
        rated = "13.5 V"
        draws = "{} W"
        feed = {{ from = "reducer/+", size = "2.5 mm²", length = "2 m" }}
        return = {{ to = "frame/rear", size = "2.5 mm²", length = "1 m" }}
        [loads.heater]
        kind = "resistive"
        draws = "{} W"
        feed = {{ from = "upper/+", size = "6 mm²", length = "4 m" }}
        return = {{ to = "frame/rear", size = "6 mm²", length = "1 m" }}
        "#,
        draw(12.0, 13.0),
        draw(3.0, 12.0),
        draw(12.0, 13.0),
        draw(3.0, 12.0),
        draw(11.8, 12.8),
        draw(0.05, 2.0),
        draw(0.05, 2.0),
        draw(0.05, 20.0),
        draw(15.0, 120.0),
        if draw(1.0, 4.0) > 2.0 { "sense = \"upper/+\"" } else { "" },
        draw(0.1, 3.0),
        draw(1.0, worst),
        draw(0.1, 5.0),
        draw(0.1, 50.0),
        draw(0.1, worst),
        draw(2.0, 15.0),
        draw(20.0, 300.0),
        draw(50.0, 600.0),
    )
}

/// An alternator that charges two batteries, whose plates polarise, through a diode each, with loads of every kind.
fn isolated(chance: &mut Chance) -> String {
    let mut draw = |least, most| chance.draw(least, most);
    format!(
        r#"
        [batteries.main]
        voltage = "{} V"
        cranking = "{} A"
        [batteries.house]
        voltage = "{} V"
        capacity = "{} Ah"
        [structures.frame]
        resistance = "0.3 mΩ"
        points.front = {{}}
        points.rear = {{}}
        [conductors.ground]
        from = {{ point = "main/-", resistance = "{} mΩ" }}
        to = "frame/front"
        size = "50 mm²"
        length = "0.5 m"
        [conductors.house-ground]
        from = {{ point = "house/-", resistance = "{} mΩ" }}
        to = "frame/rear"
        size = "25 mm²"
        length = "0.5 m"
        [alternators.alternator]
        output = "{} A"
        voltage = "15.0 V"
        lead = {{ to = "post", size = "25 mm²", length = "1 m" }}
        case = {{ point = "frame/front", resistance = "{} mΩ" }}
        [points.post]
        [diodes.to-main]
        from = "post"
        to = "main/+"
        [diodes.to-house]
        from = "post"
        to = "house/+"
        [loads.plugs]
        kind = "preheat plug"
        draws = "{} A"
        on = ["running"]
        feed = {{ from = "main/+", size = "10 mm²", length = "2 m" }}
        return = {{ to = "frame/front", size = "10 mm²", length = "0.5 m" }}
        [loads.heater]
        kind = "resistive"
        draws = "{} W"
        on = ["running"]
        feed = {{ from = "house/+", size = "10 mm²", length = "2 m" }}
        return = {{ to = {{ point = "frame/rear", resistance = "{} mΩ" }}, size = "10 mm²", length = "1 m" }}
        [loads.inverter]
        kind = "inverter"
        draws = "{} W"
        on = ["running"]
        feed = {{ from = "house/+", size = "16 mm²", length = "2 m" }}
        return = {{ to = "house/-", size = "16 mm²", length = "2 m" }}
        [loads.fan]
        kind = "motor"
        draws = "{} A"
        on = ["running"]
        feed = {{ from = "main/+", size = "4 mm²", length = "3 m" }}
        return = {{ to = "frame/rear", size = "4 mm²", length = "1 m" }}
        "#,
        draw(12.0, 12.9),
        draw(200.0, 900.0),
        draw(11.8, 12.9),
        draw(40.0, 200.0),
        draw(0.05, 5.0),
        draw(0.05, 5.0),
        draw(20.0, 200.0),
        draw(0.1, 3.0),
        draw(10.0, 60.0),
        draw(50.0, 500.0),
        draw(0.1, 100.0),
        draw(100.0, 900.0),
        draw(3.0, 30.0),
    )
}

/// A bank with an equaliser that the load on its middle takes up to its limit and past it.
fn equalised(chance: &mut Chance) -> String {
    let mut draw = |least, most| chance.draw(least, most);
    format!(
        r#"
        [batteries.lower]
        nominal = "12 V"
        voltage = "{} V"
        resistance = "{} mΩ"
        [batteries.upper]
        nominal = "12 V"
        voltage = "{} V"
        resistance = "{} mΩ"
        [equalisers.balancer]
        output = "{} A"
        efficiency = "{}"
        [structures.frame]
        resistance = "0.1 mΩ"
        points.front = {{}}
        points.rear = {{}}
        [conductors.ground]
        from = {{ point = "lower/-", resistance = "{} mΩ" }}
        to = "frame/front"
        size = "70 mm²"
        length = "0.5 m"
        [conductors.link]
        from = {{ point = "lower/+", resistance = "{} mΩ" }}
        to = "upper/-"
        size = "70 mm²"
        length = "0.3 m"
        [conductors.balancer-top]
        from = "upper/+"
        to = "balancer/+"
        size = "6 mm²"
        length = "1 m"
        [conductors.balancer-mid]
        from = {{ point = "lower/+", resistance = "{} mΩ" }}
        to = "balancer/mid"
        size = "6 mm²"
        length = "1 m"
        [conductors.balancer-bottom]
        from = "balancer/-"
        to = "frame/front"
        size = "6 mm²"
        length = "1 m"
        [alternators.alternator]
        output = "80 A"
        lead = {{ to = "upper/+", size = "25 mm²", length = "1.5 m" }}
        case = "frame/front"
        [loads.radio]
        kind = "electronics"
        rated = "13.6 V"
        draws = "{} A"
        feed = {{ from = "lower/+", size = "6 mm²", length = "3 m" }}
        return = {{ to = "frame/rear", size = "6 mm²", length = "1 m" }}
        "#,
        draw(12.0, 13.0),
        draw(4.0, 12.0),
        draw(12.0, 13.0),
        draw(4.0, 12.0),
        draw(3.0, 40.0),
        draw(0.8, 0.97),
        draw(0.05, 2.0),
        draw(0.05, 20.0),
        draw(0.05, 50.0),
        draw(1.0, 30.0),
    )
}

fn vehicles() -> Vec<(String, Vehicle)> {
    let mut chance = Chance(20_417);
    let mut all = Vec::new();
    for at in 0..22 {
        let (nominal, body) = match at {
            // From sound joints to converters far past what their feed gives.
            0..4 => (24, series(&mut chance, 30.0)),
            4..10 => (24, series(&mut chance, 3000.0)),
            10..16 => (12, isolated(&mut chance)),
            _ => (24, equalised(&mut chance)),
        };
        let name = format!("random-{at}");
        let text = format!(
            "format = 1\n[vehicle]\nname = \"{name}\"\nnominal = \"{nominal} V\"\nstates = [\"running\"]\n{body}"
        );
        let reading = file::read(text.as_bytes());
        assert_eq!(reading.errors(), 0, "{:?}", reading.problems);
        all.push((name, reading.vehicle.expect("no errors")));
    }
    all.extend(EXAMPLES.map(|(name, text)| (name.to_owned(), running_alone(text))));
    all
}

/// A series pair with its equaliser, and a booster beside a solar panel.
const EXAMPLES: [(&str, &str); 2] = [
    ("timber-lorry", include_str!("../../../examples/timber-lorry.toml")),
    ("touring-motor-home", include_str!("../../../examples/touring-motor-home.toml")),
];

/// The vehicle of a file in the state running and no other.
fn running_alone(text: &str) -> Vehicle {
    let lines = text.lines().map(|line| match line.strip_prefix("states = [") {
        Some(_) => "states = [\"running\"]",
        None => line,
    });
    let reading = file::read(lines.collect::<Vec<_>>().join("\n").as_bytes());
    assert_eq!(reading.errors(), 0, "{:?}", reading.problems);
    reading.vehicle.expect("no errors")
}

/// What is printed of a vehicle's only state.
fn printed(vehicle: &Vehicle) -> NetworkAsSolved {
    let asked = solve::Asked { network: true, ..solve::Asked::default() };
    let found = asked.find(vehicle, &mut |_| true).expect("answered").expect("not stopped");
    let mut states = asked.shape(&found).states;
    assert!(states.iter().all(|own| own.found), "{}", vehicle.name);
    states.remove(0).network.expect("it was asked for")
}

/// The same without its solution, but for volts to a hundredth.
fn to_solve(name: &str, network: &NetworkAsSolved) -> Value {
    let start: Vec<f64> =
        network.nodes.iter().map(|own| (own.volts * 100.0).round() / 100.0).collect();
    let mut bare = json!(network);
    for list in ["nodes", "branches", "devices"] {
        for entry in bare[list].as_array_mut().expect("a list") {
            let entry = entry.as_object_mut().expect("an object");
            entry.remove("volts");
            entry.remove("amps");
        }
    }
    json!({ "name": name, "start": start, "network": bare })
}

fn checks(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../checks").join(name)
}

fn recorded(name: &str) -> Value {
    let text =
        std::fs::read_to_string(checks(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// What Python is given is what is printed now. `UPDATE=1` writes it anew; then `checks/regenerate.py` has to
/// be run.
#[test]
fn the_networks_that_python_is_given_are_those_that_are_printed() {
    let cases: Vec<Value> =
        vehicles().iter().map(|(name, vehicle)| to_solve(name, &printed(vehicle))).collect();
    if std::env::var("UPDATE").is_ok() {
        let rows: Vec<String> = cases.iter().map(Value::to_string).collect();
        let text = format!(
            "{{\n\"about\": {},\n\"cases\": [\n{}\n]\n}}\n",
            json!(ABOUT),
            rows.join(",\n")
        );
        std::fs::write(checks("networks.json"), text).expect("it may be written");
    }
    let differs = difference(&recorded("networks.json")["cases"], &json!(cases), "");
    assert_eq!(differs, None, "`UPDATE=1 cargo test -p answers`, then `checks/regenerate.py`");
}

/// The first place where two documents differ by more than a millionth.
fn difference(a: &Value, b: &Value, place: &str) -> Option<String> {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) if a.len() == b.len() => {
            a.iter().find_map(|(key, own)| {
                difference(own, b.get(key).unwrap_or(&Value::Null), &format!("{place}/{key}"))
            })
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => a
            .iter()
            .zip(b)
            .enumerate()
            .find_map(|(at, (own, other))| difference(own, other, &format!("{place}/{at}"))),
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64().expect("finite"), y.as_f64().expect("finite"));
            ((x - y).abs() > 1e-6 * x.abs().max(1.0)).then(|| format!("{place}: {x} {y}"))
        }
        _ => (a != b).then(|| format!("{place}: {a} {b}")),
    }
}

#[test]
fn what_is_printed_is_enough_for_another_program_to_find_the_same_volts_and_amperes() {
    let vectors = recorded("vectors/as_solved.json");
    let cases = vectors["cases"].as_array().expect("cases");
    let (mut worst, mut starved, mut polarised) = (0.0_f64, 0, 0);
    let all = vehicles();
    assert_eq!(cases.len(), all.len());
    for ((name, vehicle), theirs) in all.iter().zip(cases) {
        assert_eq!(theirs["name"], **name);
        let ours = printed(vehicle);
        starved += ours
            .devices
            .iter()
            .filter(|own| own.tie.as_ref().is_some_and(|tie| tie.decides == "input"))
            .count();
        polarised += ours.devices.iter().filter(|own| own.amps < -1.0 && polarises(own)).count();
        let number = |list: &str, at: usize| {
            theirs["solution"][list][at].as_f64().unwrap_or_else(|| panic!("{name} {list} {at}"))
        };
        for (at, node) in ours.nodes.iter().enumerate() {
            worst = worst.max((node.volts - number("volts", at)).abs());
            assert!(worst < 1e-6, "{name} {}: {worst}", node.name);
        }
        for (at, device) in ours.devices.iter().enumerate() {
            let apart = (device.amps - number("amps", at)).abs() / device.amps.abs().max(1.0);
            assert!(apart < 1e-5, "{name} {}: {apart}", device.name);
        }
    }
    assert!(starved >= 3, "converters past collapse: {starved}");
    assert!(polarised >= 3, "batteries that deliver and polarise: {polarised}");
}

fn polarises(device: &NetworkDevice) -> bool {
    matches!(device.law, NetworkLaw::Battery { polarisation_volts, .. } if polarisation_volts > 0.0)
}

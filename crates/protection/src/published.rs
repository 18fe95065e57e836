//! Prospective fault currents against recorded ones, found by dense linear algebra in another language.

use model::{PointId, StateId, Vehicle};
use serde_json::Value;
use std::fmt::Write;
use units::{Amperes, Ohms, PerKelvin, Volts};

use crate::Shorts;
use crate::shorts::without_loads;

/// What each end of a conductor adds at the least, and the conductor that joins a source to its node.
const JOINT: f64 = 1e-7;
const LEAD: f64 = 1e-6;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn node(value: &Value) -> usize {
    usize::try_from(value.as_u64().expect("a node")).expect("few nodes")
}

/// The network as a vehicle file: home's nodes are pieces of metal, the others free points.
fn file(network: &Value) -> String {
    let homes = node(&network["homes"]);
    let name = |at: usize| if at < homes { format!("h{at}/p") } else { format!("n{at}") };
    let mut text = String::from(
        "format = 1\n[vehicle]\nname = \"n\"\nnominal = \"12 V\"\nstates = [\"running\"]\n",
    );
    for at in 0..node(&network["nodes"]) {
        if at < homes {
            writeln!(text, "[structures.h{at}.points]\np = {{}}").expect("memory");
        } else {
            writeln!(text, "[points.n{at}]").expect("memory");
        }
    }
    let mut wires = 0;
    let mut wire = |text: &mut String, from: &str, to: &str, ohms: f64| {
        let end = |point: &str| format!("{{ point = \"{point}\", resistance = \"{JOINT} Ω\" }}");
        writeln!(
            text,
            "[conductors.w{wires}]\nfrom = {}\nto = {}\nresistance = \"{} Ω\"",
            end(from),
            end(to),
            ohms - 2.0 * JOINT
        )
        .expect("memory");
        wires += 1;
    };
    for row in network["resistors"].as_array().expect("a list") {
        wire(&mut text, &name(node(&row[0])), &name(node(&row[1])), number(&row[2]));
    }
    for (key, table, letter) in [("batteries", "batteries", "b"), ("regulated", "alternators", "a")]
    {
        for (at, row) in network[key].as_array().expect("a list").iter().enumerate() {
            writeln!(text, "[{table}.{letter}{at}]").expect("memory");
            if table == "alternators" {
                writeln!(text, "output = \"{} A\"", row[4]).expect("memory");
            }
            wire(&mut text, &format!("{letter}{at}/+"), &name(node(&row[0])), LEAD);
            wire(&mut text, &format!("{letter}{at}/-"), &name(node(&row[1])), LEAD);
        }
    }
    // Without a load no vehicle is a vehicle; this one is switched off.
    let (live, home) = (name(homes), name(0));
    writeln!(
        text,
        "[loads.none]\nkind = \"lamp\"\ndraws = \"1 A\"\nfeed = {{ from = \"{live}\", resistance = \"1 Ω\" }}\n\
         return = {{ to = \"{home}\", resistance = \"1 Ω\" }}"
    )
    .expect("memory");
    text
}

/// The numbers that a file rounds or fills in, as the record has them.
fn exact(vehicle: &mut Vehicle, network: &Value) {
    for (battery, row) in
        vehicle.batteries.iter_mut().zip(network["batteries"].as_array().expect("a list"))
    {
        battery.open_circuit = vec![Volts(number(&row[2]))];
        battery.resistance = Ohms(number(&row[3]) - 2.0 * LEAD);
        battery.charge_resistance = vec![battery.resistance];
        battery.plates.polarisation = Volts::ZERO;
    }
    for (source, row) in
        vehicle.regulated.iter_mut().zip(network["regulated"].as_array().expect("a list"))
    {
        source.set_point = Volts(number(&row[2]));
        source.droop = Ohms(number(&row[3]) - 2.0 * LEAD);
        source.limit = vec![Amperes(number(&row[4]))];
        source.sense = None;
    }
    for conductor in &mut vehicle.conductors {
        conductor.temperature_coefficient = PerKelvin(0.0);
    }
}

/// `checks/fault_current.py`: `scipy.linalg.solve` for every regime of the limited sources.
#[test]
fn fault_currents_agree_with_scipy() {
    let recorded: Value =
        serde_json::from_str(include_str!("../../../checks/vectors/fault_current.json"))
            .expect("recorded vectors");
    let short = Ohms(number(&recorded["short_ohms"]));
    let mut compared = 0;
    for network in recorded["networks"].as_array().expect("a list") {
        let reading = file::read(file(network).as_bytes());
        let mut vehicle = reading.vehicle.unwrap_or_else(|| panic!("{:#?}", reading.problems));
        exact(&mut vehicle, network);
        let quiet = without_loads(&vehicle);
        let homes = node(&network["homes"]);
        let point = |at: usize| {
            let name = if at < homes { format!("h{at}/p") } else { format!("n{at}") };
            vehicle.point_named(&name).expect("in the file")
        };
        let live: Vec<PointId> = (homes..node(&network["nodes"])).map(point).collect();
        let mut shorts = Shorts::new(&quiet, &live, &live);
        for row in network["faults"].as_array().expect("a list") {
            let (at, home) = (point(node(&row[0])), point(node(&row[1])));
            let fault = shorts
                .faults()
                .iter()
                .copied()
                .find(|fault| fault.at == at && fault.home == home)
                .expect("every piece of metal is touched");
            let found = shorts.solve(StateId(0), fault, short).expect("a solution").total.0;
            let expected = number(&row[2]);
            assert!(
                (found / expected - 1.0).abs() < 1e-6,
                "{}: {} to {}: {found} {expected}",
                network["name"],
                row[0],
                row[1]
            );
            compared += 1;
        }
    }
    assert_eq!(compared, 180);
}

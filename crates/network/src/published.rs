//! Circuits against what others computed: textbooks, NetworkX, SciPy (`checks/`).

use model::LoadLaw;
use physics::element::Diode;
use physics::source::{Battery, Regulated};
use serde_json::Value;
use units::{Amperes, Ohms, Ratio, Volts, Watts};

use crate::circuit::{Circuit, Ending, Numbers};
use crate::flow::{Flow, Way};
use crate::law::Law;

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn index(value: &Value) -> usize {
    usize::try_from(value.as_u64().unwrap_or_else(|| panic!("an index, not {value}")))
        .expect("small")
}

/// Resistance between pairs of nodes of a network of resistors.
fn effective(nodes: usize, edges: &[(usize, usize, f64)], pairs: &[(usize, usize)]) -> Vec<f64> {
    let ends = edges.iter().map(|&(a, b, _)| (a, b)).collect();
    let siemens: Vec<f64> = edges.iter().map(|&(_, _, ohms)| 1.0 / ohms).collect();
    let circuit = Circuit::new(nodes, ends, Vec::new(), 0);
    let mut linear = circuit.linear(&siemens, &[]).expect("a connected network");
    pairs
        .iter()
        .map(|&(a, b)| {
            let volts = linear.one_ampere(a, b).expect("joined").volts;
            volts[a] - volts[b]
        })
        .collect()
}

/// Resistance distance of 14 textbook graphs and 40 random ones: `networkx.resistance_distance`, and
/// the same by star-mesh elimination in 50 decimal digits (`checks/effective_resistance.py`).
#[test]
fn effective_resistance_agrees_with_networkx() {
    let recorded: Value =
        serde_json::from_str(include_str!("../../../checks/vectors/effective_resistance.json"))
            .expect("JSON");
    let mut compared = 0;
    for graph in recorded["graphs"].as_array().expect("graphs") {
        let edges: Vec<(usize, usize, f64)> = graph["edges"]
            .as_array()
            .expect("edges")
            .iter()
            .map(|edge| (index(&edge[0]), index(&edge[1]), edge[2].as_f64().expect("ohms")))
            .collect();
        let pairs = graph["pairs"].as_array().expect("pairs");
        let asked: Vec<(usize, usize)> =
            pairs.iter().map(|pair| (index(&pair["a"]), index(&pair["b"]))).collect();
        let found = effective(index(&graph["nodes"]), &edges, &asked);
        for (pair, found) in pairs.iter().zip(found) {
            let exact = number(pair, "exact_ohms");
            assert!((found / exact - 1.0).abs() < 1e-8, "{}: {found} {exact}", graph["name"]);
            compared += 1;
        }
    }
    assert!(compared > 300, "{compared}");
}

fn battery(at_rest: f64, discharging: f64, charging: f64) -> Law {
    Law::Battery(Battery::ohmic(Volts(at_rest), Ohms(discharging), Ohms(charging)))
}

fn constant_current(amps: f64) -> Law {
    let (amps, rated) = (Amperes(amps), Volts(12.0));
    Law::Load(LoadLaw::Power { amps, rated, exponent: 0.0, knee: Volts(1.0) })
}

fn law(element: &Value) -> Law {
    let get = |key: &str| number(element, key);
    match element["kind"].as_str().expect("kind") {
        "battery" => battery(get("volts"), get("ohms"), get("ohms")),
        "battery3" => Law::Battery(Battery {
            polarisation: Volts(get("polarisation_volts")),
            exchange: Amperes(get("exchange_amps")),
            ..Battery::ohmic(Volts(get("volts")), Ohms(get("ohms")), Ohms(get("charge_ohms")))
        }),
        "battery2" => battery(get("volts"), get("ohms"), get("charge_ohms")),
        "regulated" => Law::Regulated(Regulated {
            held: Volts(get("volts")),
            droop: Ohms(get("droop_ohms")),
            limit: Amperes(get("max_amps")),
            power: Watts(f64::INFINITY),
        }),
        "diode" => Law::Diode(Diode { drop: Volts(get("volts")), resistance: Ohms(get("ohms")) }),
        "power_law" => Law::Load(LoadLaw::Power {
            amps: Amperes(get("amps")),
            rated: Volts(get("rated_volts")),
            exponent: get("exponent"),
            knee: Volts(get("knee_volts")),
        }),
        "affine" => Law::Load(LoadLaw::Starter {
            amps: Amperes(get("amps")),
            rated: Volts(get("rated_volts")),
            follows: Ratio(get("slope_share")),
            stall: Ohms(get("stall_ohms")),
        }),
        "preheat" => Law::Load(LoadLaw::Preheat {
            cold: Amperes(get("cold_amps")),
            settled: Amperes(get("settled_amps")),
            rated: Volts(get("rated_volts")),
        }),
        "self_regulating" => Law::Load(LoadLaw::SelfRegulating {
            cold: Amperes(get("cold_amps")),
            settled: Amperes(get("settled_amps")),
            rated: Volts(get("rated_volts")),
        }),
        other => panic!("{other}"),
    }
}

/// Whose current leaves where in 24 flows: Bialek's distribution matrix, inverted by
/// `numpy.linalg.inv` (`checks/tracing.py`).
#[test]
fn tracing_agrees_with_the_distribution_matrix() {
    let recorded: Value =
        serde_json::from_str(include_str!("../../../checks/vectors/tracing.json")).expect("JSON");
    let list = |value: &Value| value.as_array().expect("a list").clone();
    let float = |value: &Value| value.as_f64().expect("a number");
    let mut compared = 0;
    for network in list(&recorded["networks"]) {
        let heights: Vec<f64> = list(&network["heights"]).iter().map(float).collect();
        let ways = list(&network["ways"])
            .iter()
            .map(|way| Way { from: index(&way[0]), to: index(&way[1]), amps: float(&way[2]) })
            .collect();
        let exits: Vec<(usize, f64)> = list(&network["leaves"])
            .iter()
            .map(|exit| (index(&exit[0]), float(&exit[1])))
            .collect();
        let flow = Flow::new(&heights, ways, &exits);
        for (enters, shares) in list(&network["enters"]).iter().zip(list(&network["shares"])) {
            let (node, amps) = (index(&enters[0]), float(&enters[1]));
            let mut found = vec![0.0; exits.len()];
            for (exit, _, amps) in flow.trace(node, amps).exits {
                found[exit] += amps;
            }
            for (found, share) in found.iter().zip(list(&shares)) {
                assert!(
                    (found - float(&share)).abs() < 1e-9 * amps,
                    "{} {found} {share}",
                    network["name"]
                );
                compared += 1;
            }
        }
    }
    assert!(compared > 60, "{compared}");
}

/// Operating points of 48 networks with every kind of law, solved by `scipy.optimize.root` along a
/// path of rising load (`checks/operating_point.py`). The leak that our laws add, a gigaohm, may
/// move volts by less than a microvolt.
#[test]
fn operating_points_agree_with_scipy() {
    let recorded: Value =
        serde_json::from_str(include_str!("../../../checks/vectors/operating_point.json"))
            .expect("JSON");
    let cases = recorded["cases"].as_array().expect("cases");
    assert!(cases.len() >= 40);
    for case in cases {
        let elements = case["elements"].as_array().expect("elements");
        let ends = |element: &Value| {
            let (plus, minus) = match element["kind"].as_str() {
                Some("resistor") => ("a", "b"),
                Some("diode") => ("anode", "cathode"),
                _ => ("plus", "minus"),
            };
            (index(&element[plus]), index(&element[minus]))
        };
        let (resistors, devices): (Vec<&Value>, Vec<&Value>) =
            elements.iter().partition(|element| element["kind"] == "resistor");
        let circuit = Circuit::new(
            index(&case["nodes"]),
            resistors.iter().map(|element| ends(element)).collect(),
            devices.iter().map(|element| ends(element)).collect(),
            0,
        );
        let numbers = Numbers {
            siemens: resistors.iter().map(|element| 1.0 / number(element, "ohms")).collect(),
            laws: devices.iter().map(|element| law(element)).collect(),
        };
        let start: Vec<f64> =
            numbers.laws.iter().map(|law| law.first_look().unwrap_or(12.0)).collect();
        let mut work = circuit.workspace();
        circuit.prepare(&numbers, &mut work);
        let solution = circuit.solve(&numbers.laws, &start, &mut work);
        assert_eq!(solution.ending, Ending::Found, "{}", case["name"]);
        let expected = case["solution"]["volts"].as_array().expect("volts");
        for (node, (found, expected)) in solution.volts.iter().zip(expected).enumerate() {
            let expected = expected.as_f64().expect("volts");
            assert!(
                (found - expected).abs() < 1e-6,
                "{} node {node}: {found} {expected}",
                case["name"]
            );
        }
    }
}

/// A Wheatstone bridge in balance passes nothing through its middle, whatever that is.
#[test]
fn a_balanced_bridge_is_22_5_ohms_whatever_its_middle() {
    for middle in [1e-3, 50.0, 1e6] {
        let edges = [(0, 2, 10.0), (2, 1, 20.0), (0, 3, 30.0), (3, 1, 60.0), (2, 3, middle)];
        assert!((effective(4, &edges, &[(0, 1)])[0] - 22.5).abs() < 1e-9);
    }
}

/// An unbalanced bridge of 1, 2, 3, 4 and 5 ohms: 155/74 (star–delta by hand).
#[test]
fn an_unbalanced_bridge_is_155_over_74() {
    let edges = [(0, 2, 1.0), (2, 1, 2.0), (0, 3, 3.0), (3, 1, 4.0), (2, 3, 5.0)];
    assert!((effective(4, &edges, &[(0, 1)])[0] - 155.0 / 74.0).abs() < 1e-12);
}

/// A ladder of n sections of one ohm along and one ohm across is F(2n+1)/F(2n), towards the golden ratio.
#[test]
fn a_ladder_of_unit_resistors_is_a_ratio_of_fibonacci_numbers() {
    let sections = 8;
    let mut edges = Vec::new();
    for section in 0..sections {
        edges.push((section, section + 1, 1.0));
        edges.push((section + 1, sections + 1, 1.0));
    }
    let found = effective(sections + 2, &edges, &[(0, sections + 1)])[0];
    assert!((found - 1597.0 / 987.0).abs() < 1e-9, "{found}");
    assert!((found - f64::midpoint(1.0, 5.0_f64.sqrt())).abs() < 1e-6);
}

/// A triangle of 10, 20 and 30 ohms is the star of 5, 10/3 and 10 ohms: Ra = Rab·Rca / (Rab + Rbc + Rca).
#[test]
fn a_delta_and_its_star_cannot_be_told_apart_from_outside() {
    let delta = [(0, 1, 10.0), (1, 2, 20.0), (2, 0, 30.0)];
    let star = [(0, 3, 5.0), (1, 3, 10.0 / 3.0), (2, 3, 10.0)];
    let pairs = [(0, 1), (1, 2), (0, 2)];
    for (delta, star) in effective(3, &delta, &pairs).into_iter().zip(effective(4, &star, &pairs)) {
        assert!((delta - star).abs() < 1e-12);
    }
}

/// Two batteries of 12.6 V and 5 mΩ, one behind another milliohm, share 400 A as 218.18 to 181.82 A.
#[test]
fn a_milliohm_of_cable_unbalances_two_batteries_in_parallel() {
    let circuit = Circuit::new(3, vec![(1, 2)], vec![(1, 0), (2, 0), (1, 0)], 0);
    let numbers = Numbers {
        siemens: vec![1000.0],
        laws: vec![
            battery(12.6, 0.005, 0.005),
            battery(12.6, 0.005, 0.005),
            constant_current(400.0),
        ],
    };
    let mut work = circuit.workspace();
    circuit.prepare(&numbers, &mut work);
    let solution = circuit.solve(&numbers.laws, &[12.0; 3], &mut work);
    let amps = |device: usize| {
        let (plus, minus) = circuit.devices[device];
        -numbers.laws[device].amperes(solution.volts[plus] - solution.volts[minus])
    };
    assert!((amps(0) - 218.1818).abs() < 1e-3);
    assert!((amps(1) - 181.8182).abs() < 1e-3);
    assert!((solution.volts[1] - 11.509_09).abs() < 1e-4);
}

/// Four batteries with links of 0.5 mΩ in each rail: from one end they share unevenly, from opposite
/// corners evenly in pairs (recomputed from Ohm's and Kirchhoff's laws).
#[test]
fn a_bank_tapped_at_opposite_corners_shares_better_than_at_one_end() {
    for (minus_tap, expected) in
        [(4, [154.161, 104.994, 76.825, 64.020]), (7, [109.091, 90.909, 90.909, 109.091])]
    {
        let links = vec![(0, 1), (1, 2), (2, 3), (4, 5), (5, 6), (6, 7)];
        let devices = vec![(0, 4), (1, 5), (2, 6), (3, 7), (0, minus_tap)];
        let circuit = Circuit::new(8, links, devices, 4);
        let battery = battery(12.6, 0.005, 0.005);
        let load = constant_current(400.0);
        let numbers = Numbers {
            siemens: vec![2000.0; 6],
            laws: vec![battery, battery, battery, battery, load],
        };
        let mut work = circuit.workspace();
        circuit.prepare(&numbers, &mut work);
        let solution = circuit.solve(&numbers.laws, &[12.0; 5], &mut work);
        for (battery_at, expected) in expected.into_iter().enumerate() {
            let (plus, minus) = circuit.devices[battery_at];
            let amps = -battery.amperes(solution.volts[plus] - solution.volts[minus]);
            assert!((amps - expected).abs() < 1e-3, "{battery_at}: {amps}");
        }
    }
}

//! Laws that hold for every network, tried on random ones.

use file::read;
use model::{LoadId, Piece, StateId, Vehicle};
use proptest::prelude::*;
use units::{Ohms, Volts};

use crate::circuit::{Circuit, Linear};
use crate::{Convergence, Network, Side};

/// A connected random network: a tree with chords.
fn network() -> impl Strategy<Value = (usize, Vec<(usize, usize, f64)>)> {
    (3_usize..30)
        .prop_flat_map(|n| {
            let tree =
                proptest::collection::vec((any::<proptest::sample::Index>(), -4.0_f64..1.0), n - 1);
            let chords = proptest::collection::vec((0..n, 0..n, -4.0_f64..1.0), 0..n);
            (Just(n), tree, chords)
        })
        .prop_map(|(n, tree, chords)| {
            let mut edges: Vec<(usize, usize, f64)> = tree
                .iter()
                .enumerate()
                .map(|(at, (parent, exponent))| {
                    (parent.index(at + 1), at + 1, 10_f64.powf(*exponent))
                })
                .collect();
            edges.extend(
                chords
                    .into_iter()
                    .filter(|(a, b, _)| a != b)
                    .map(|(a, b, exponent)| (a, b, 10_f64.powf(exponent))),
            );
            (n, edges)
        })
}

fn laid_out(n: usize, edges: &[(usize, usize, f64)]) -> (Circuit, Vec<f64>) {
    let circuit = Circuit::new(n, edges.iter().map(|&(a, b, _)| (a, b)).collect(), Vec::new(), 0);
    (circuit, edges.iter().map(|&(_, _, ohms)| 1.0 / ohms).collect())
}

fn between(linear: &mut Linear<'_>, a: usize, b: usize) -> f64 {
    let volts = linear.one_ampere(a, b).expect("joined").volts;
    volts[a] - volts[b]
}

proptest! {
    /// Foster's theorem: Σ over edges of effective resistance times conductance is n − 1.
    #[test]
    fn effective_resistances_over_edges_sum_to_one_less_than_the_nodes((n, edges) in network()) {
        let (circuit, siemens) = laid_out(n, &edges);
        let mut linear = circuit.linear(&siemens, &[]).expect("connected");
        let sum: f64 = edges.iter().map(|&(a, b, ohms)| between(&mut linear, a, b) / ohms).sum();
        prop_assert!((sum - (n as f64 - 1.0)).abs() < 1e-6 * n as f64, "{sum}");
    }

    /// Reciprocity: what an ampere here does there, an ampere there does here.
    #[test]
    fn transfer_resistance_is_the_same_both_ways((n, edges) in network(), a in 0_usize..30, b in 0_usize..30) {
        let (a, b, c, d) = (a % n, b % n, (a + 1) % n, (b + 2) % n);
        let (circuit, siemens) = laid_out(n, &edges);
        let mut linear = circuit.linear(&siemens, &[]).expect("connected");
        let here = linear.one_ampere(a, c).expect("joined").volts;
        let there = linear.one_ampere(b, d).expect("joined").volts;
        let scale = edges.iter().map(|edge| edge.2).sum::<f64>();
        prop_assert!(((here[b] - here[d]) - (there[a] - there[c])).abs() < 1e-9 * scale);
    }

    /// Superposition: two currents together do what each does alone.
    #[test]
    fn two_currents_together_do_what_each_does_alone((n, edges) in network(), x in -50.0_f64..50.0, y in -50.0_f64..50.0) {
        let (circuit, siemens) = laid_out(n, &edges);
        let mut linear = circuit.linear(&siemens, &[]).expect("connected");
        let first = linear.one_ampere(1, 0).expect("joined").volts;
        let second = linear.one_ampere(n - 1, 1).expect("joined").volts;
        // Kirchhoff: what flows into each node by both together is x and y where they enter.
        let mut into = vec![0.0; n];
        let volts: Vec<f64> = first.iter().zip(&second).map(|(first, second)| x * first + y * second).collect();
        for (&(a, b, _), g) in edges.iter().zip(&siemens) {
            into[a] += g * (volts[a] - volts[b]);
            into[b] -= g * (volts[a] - volts[b]);
        }
        into[1] -= x - y;
        into[0] += x;
        into[n - 1] -= y;
        for amperes in into {
            prop_assert!(amperes.abs() < 1e-6, "{amperes}");
        }
    }

    /// Opening a resistor never lowers a resistance (Rayleigh's monotonicity).
    #[test]
    fn a_thinner_conductor_never_helps((n, edges) in network(), which in any::<proptest::sample::Index>()) {
        let (circuit, mut siemens) = laid_out(n, &edges);
        let before = between(&mut circuit.linear(&siemens, &[]).expect("connected"), 0, n - 1);
        siemens[which.index(edges.len())] /= 10.0;
        let after = between(&mut circuit.linear(&siemens, &[]).expect("connected"), 0, n - 1);
        prop_assert!(after >= before * (1.0 - 1e-9));
    }
}

/// A vehicle with parallel returns, two batteries, an alternator and loads of every law; resistances
/// as drawn.
pub(crate) fn vehicle(joints: &[f64], positive_earth: bool) -> Vehicle {
    let mut next = joints.iter().cycle().map(|exponent| format!("{} mΩ", 10_f64.powf(*exponent)));
    let mut joint = || next.next().expect("a cycle has no end");
    let (earth, live, home) =
        if positive_earth { ("positive", "-", "+") } else { ("negative", "+", "-") };
    let text = format!(
        r#"
        format = 1
        [vehicle]
        name = "random"
        nominal = "12 V"
        earth = "{earth}"
        [batteries.main]
        cranking = "800 A"
        capacity = "90 Ah"
        [batteries.second]
        capacity = "70 Ah"
        [structures.block]
        resistance = "0.03 mΩ"
        points.front = {{}}
        points.rear = {{}}
        points.side = {{}}
        [structures.body]
        sheet = "0.8 mm"
        points.left = {{}}
        points.right = {{}}
        points.back = {{}}
        [points.bus]
        [conductors.negative]
        from = {{ point = "main/{home}", resistance = "{}" }}
        to = {{ point = "block/rear", resistance = "{}" }}
        size = "50 mm²"
        length = "0.8 m"
        [conductors.body-strap]
        from = {{ point = "main/{home}", resistance = "{}" }}
        to = {{ point = "body/left", resistance = "{}" }}
        size = "16 mm²"
        length = "0.5 m"
        [conductors.block-strap]
        from = {{ point = "block/front", resistance = "{}" }}
        to = {{ point = "body/right", resistance = "{}" }}
        size = "braid 16 mm²"
        length = "0.3 m"
        [conductors.second-negative]
        from = {{ point = "second/{home}", resistance = "{}" }}
        to = "body/back"
        size = "25 mm²"
        length = "0.4 m"
        [conductors.link]
        from = {{ point = "main/{live}", resistance = "{}" }}
        to = "second/{live}"
        size = "25 mm²"
        length = "3 m"
        [conductors.bus-feed]
        from = "main/{live}"
        to = {{ point = "bus", resistance = "{}" }}
        size = "25 mm²"
        length = "1 m"
        [incidental.cable]
        from = "block/side"
        to = "body/left"
        kind = "control cable"
        [alternators.alternator]
        output = "120 A"
        sense = "main/{live}"
        lead = {{ to = "main/{live}", size = "25 mm²", length = "1.5 m" }}
        case = {{ point = "block/front", resistance = "{}" }}
        [loads.starter]
        kind = "starter"
        draws = "300 A"
        feed = {{ from = "main/{live}", size = "50 mm²", length = "1.2 m" }}
        case = {{ point = "block/rear", resistance = "{}" }}
        [loads.lamp]
        kind = "lamp"
        draws = "55 W"
        feed = {{ from = "bus", fuse = "15 A", size = "1.5 mm²", length = "2 m" }}
        return = {{ to = {{ point = "body/right", resistance = "{}" }}, size = "1.5 mm²", length = "0.3 m" }}
        [loads.module]
        kind = "module"
        draws = "8 A"
        minimum = "9 V"
        feed = {{ from = "bus", size = "2.5 mm²", length = "1 m" }}
        return = {{ to = {{ point = "block/front", resistance = "{}" }}, size = "2.5 mm²", length = "1 m" }}
        [loads.inverter]
        kind = "inverter"
        draws = "600 W"
        feed = {{ from = "second/{live}", size = "16 mm²", length = "1 m" }}
        return = {{ to = {{ point = "body/back", resistance = "{}" }}, size = "16 mm²", length = "1 m" }}
        [loads.plugs]
        kind = "preheat plug"
        draws = "40 A"
        feed = {{ from = "bus", size = "10 mm²", length = "1 m" }}
        case = "block/front"
        "#,
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
    );
    let reading = read(text.as_bytes());
    assert_eq!(reading.errors(), 0, "{:?}", reading.problems);
    reading.vehicle.expect("no errors")
}

pub(crate) fn joints() -> impl Strategy<Value = Vec<f64>> {
    proptest::collection::vec(-2.0_f64..0.7, 14)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Sources give what loads take and the way loses; what flows into a point flows out.
    #[test]
    fn power_and_current_balance_in_every_state(joints in joints(), positive in any::<bool>()) {
        let vehicle = vehicle(&joints, positive);
        for point in Network::new(&vehicle).operating_points() {
            prop_assert_eq!(&point.convergence, &Convergence::Reached);
            prop_assert!(point.balance.error.0.abs() < 1e-5, "{:?}", point.balance);
            prop_assert!(point.balance.kirchhoff.0 < 1e-6, "{:?}", point.balance);
        }
    }

    /// Tellegen: the terms of a budget add up to what a meter reads over each side, and with the
    /// load's own voltage to the source's.
    #[test]
    fn a_budget_adds_up_to_the_meters_reading(joints in joints(), positive in any::<bool>()) {
        let vehicle = vehicle(&joints, positive);
        let mut network = Network::new(&vehicle);
        for state in (0..vehicle.states.len()).map(StateId::at) {
            let point = network.operating_point(state);
            for load in (0..vehicle.loads.len()).map(LoadId::at).filter(|id| vehicle.load(*id).is_on_in(state)) {
                let budget = network.budget(&point, load).expect("a way home");
                for (side, reading) in [(Side::Feed, budget.feed), (Side::Return, budget.back)] {
                    prop_assert!((budget.sum(side) - reading).abs() < Volts(1e-8), "{:?} {:?}", budget.sum(side), reading);
                }
                let whole = budget.feed + budget.load_volts + budget.back;
                prop_assert!((whole - budget.source_volts).abs() < Volts(1e-8));
            }
        }
    }

    /// Routes account for every ampere of a load, and for those of all loads together.
    #[test]
    fn routes_account_for_every_ampere(joints in joints(), positive in any::<bool>()) {
        let vehicle = vehicle(&joints, positive);
        let mut network = Network::new(&vehicle);
        for state in (0..vehicle.states.len()).map(StateId::at) {
            let point = network.operating_point(state);
            for load in (0..vehicle.loads.len()).map(LoadId::at).filter(|id| vehicle.load(*id).is_on_in(state)) {
                let routes = network.routes(&point, load);
                let sum: f64 = routes.routes.iter().map(|route| route.amps.0).sum();
                let drawn = point.load(load).amps.0;
                prop_assert!((sum - drawn).abs() < 1e-3 * drawn + 1e-6, "{} {sum} {drawn}", vehicle.load(load).id);
                for route in &routes.routes {
                    let mut once = route.pieces.clone();
                    once.sort();
                    once.dedup();
                    prop_assert_eq!(once.len(), route.pieces.len(), "no piece twice");
                }
            }
            let all = network.routes_from(&point, |_| true);
            let sum: f64 = all.routes.iter().map(|route| route.amps.0).sum();
            prop_assert!((sum - all.total.0).abs() < 1e-3 * all.total.0 + 1e-6, "{sum} {:?}", all.total);
        }
    }

    /// The adjoint's slope is that of the whole network solved again.
    #[test]
    fn a_budgets_slope_is_what_solving_again_shows(joints in joints(), running in any::<bool>()) {
        let mut vehicle = vehicle(&joints, false);
        // Heat would move resistances too; it is left out by leaving out the lengths.
        for conductor in &mut vehicle.conductors { conductor.length = None; }
        let state = vehicle.state_named(if running { "running" } else { "cranking" }).expect("in the file");
        let mut network = Network::new(&vehicle);
        let point = network.operating_point(state);
        let module = vehicle.load_named("module").expect("there is one");
        let budget = network.budget(&point, module).expect("a way home");
        for term in budget.terms.iter().filter(|term| matches!(term.piece, Piece::Joint(_))).take(4) {
            let Piece::Joint(id) = term.piece else { continue };
            let step = 1e-3 * term.resistance.0;
            let mut changed = vehicle.clone();
            changed.joints[id.index()].resistance = Ohms(term.resistance.0 + step);
            let volts = Network::new(&changed).operating_point(state).load(module).volts;
            let slope = (volts - budget.load_volts).0 / step;
            prop_assert!((slope - term.volts_per_ohm).abs() < 0.02 * slope.abs() + 1e-3, "{} {slope} {}", vehicle.piece_name(term.piece), term.volts_per_ohm);
        }
    }

    /// A rank-one update is the linearised network solved again.
    #[test]
    fn an_update_of_one_joint_agrees_with_solving_again(joints in joints(), factor in 0.1_f64..10.0) {
        let mut vehicle = vehicle(&joints, false);
        // Only straight laws, so that the linearised network is the network itself.
        for battery in &mut vehicle.batteries { battery.plates.polarisation = Volts::ZERO; }
        for load in &mut vehicle.loads {
            load.law = model::LoadLaw::Power { amps: units::Amperes(20.0), rated: Volts(12.0), exponent: 1.0, knee: Volts(0.1) };
        }
        let cranking = vehicle.state_named("cranking").expect("there is a starter");
        let mut network = Network::new(&vehicle);
        let point = network.operating_point(cranking);
        let piece = vehicle.piece_named("negative.to").expect("in the file");
        let Piece::Joint(id) = piece else { panic!("a joint") };
        let resistance = vehicle.joint(id).resistance * factor;
        let update = network.update_piece(&point, piece).expect("conducting");
        let before = point.all_volts();
        let mut volts = before.clone();
        update.apply(resistance, &before, &mut volts);
        let mut changed = vehicle.clone();
        changed.joints[id.index()].resistance = resistance;
        let again = Network::new(&changed).operating_point(cranking);
        for (updated, solved) in volts.iter().zip(again.all_volts()) {
            // Heat moves resistances a little more in the full solve.
            prop_assert!((*updated - solved).abs() < Volts(2e-4), "{updated:?} {solved:?}");
        }
    }

    /// An offset's blame is part of a sum that is the offset: what one ampere of a load lifts.
    #[test]
    fn an_offset_is_what_one_load_lifts_when_it_is_switched_on(joints in joints(), positive in any::<bool>()) {
        let mut vehicle = vehicle(&joints, positive);
        let running = vehicle.state_named("running").expect("there is an alternator");
        // A constant current of little amperes moves nothing out of its straight piece.
        let lamp = vehicle.load_named("lamp").expect("in the file");
        let module = vehicle.load_named("module").expect("in the file");
        let current = |amps: f64| model::LoadLaw::Power { amps: units::Amperes(amps), rated: Volts(12.0), exponent: 0.0, knee: Volts(0.1) };
        for load in &mut vehicle.loads { load.law = current(5.0); }
        vehicle.loads[lamp.index()].law = current(1.0);
        for conductor in &mut vehicle.conductors { conductor.length = None; }
        let mut with = vehicle.clone();
        with.loads[lamp.index()].law = current(1.5);
        let mut network = Network::new(&vehicle);
        let point = network.operating_point(running);
        let offsets = network.offsets(&point, &[lamp], &[module]);
        let entry = offsets.entry(lamp, module).expect("both are on");
        let after = Network::new(&with).operating_point(running);
        let lift = |point: &crate::OperatingPoint| {
            let (_, ground) = vehicle.load_terminals(module);
            let (_, earthed) = vehicle.battery_terminals(model::BatteryId(0));
            let volts = (point.point(ground).expect("joined") - point.point(earthed).expect("joined")).0;
            if positive { -volts } else { volts }
        };
        let found = (lift(&after) - lift(&point)) / 0.5;
        prop_assert!((found - entry.per_ampere.0).abs() < 1e-6, "{found} {:?}", entry.per_ampere);
        prop_assert!(entry.blame.is_some());
    }
}

//! What must not mislead the hand: dead loads, states that do not settle, hot joints, remedies.

use std::ops::ControlFlow;

use catalogue::METRIC_ALLOWANCE;
use model::{ConductorId, LoadLaw, Piece, StateId, Vehicle};
use network::{Convergence, Network, duty};
use physics::conductor::ANNEALED_COPPER;
use proptest::prelude::*;
use units::{Amperes, Ohms, SquareMetres, Volts, Watts};

use crate::{Analysis, Change, Contact, Fault, Finding, LostWay, Wear, Where, fault};

const EXAMPLES: [&str; 3] = [
    include_str!("../../../examples/rescue-ambulance.toml"),
    include_str!("../../../examples/harbour-workboat.toml"),
    include_str!("../../../examples/utility-cart.toml"),
];

fn read(text: &str) -> Vehicle {
    let reading = file::read(text.as_bytes());
    assert_eq!(reading.errors(), 0, "{:?}", reading.problems);
    reading.vehicle.expect("no errors")
}

fn states(vehicle: &Vehicle) -> Vec<StateId> {
    (0..vehicle.states.len()).map(StateId::at).collect()
}

/// A tractor: engine joined to the chassis by one strap, chassis to the battery by one cable.
fn tractor(strap: &str) -> Vehicle {
    read(&format!(
        r#"
        format = 1
        [vehicle]
        name = "orchard tractor"
        nominal = "12 V"
        states = ["key-on", "cranking", "running"]
        [batteries.main]
        cranking = "760 A"
        capacity = "95 Ah"
        [structures.chassis]
        resistance = "0.1 mΩ"
        points.tray = {{}}
        points.clutch = {{}}
        points.panel = {{}}
        [structures.engine]
        resistance = "0.04 mΩ"
        points.flange = {{}}
        points.bracket = {{}}
        points.sump = {{}}
        [conductors.chassis-cable]
        from = "main/-"
        to = "chassis/tray"
        size = "50 mm²"
        length = "0.6 m"
        [conductors.engine-strap]
        from = "chassis/clutch"
        to = "engine/sump"
        size = "{strap}"
        length = "0.4 m"
        [alternators.alternator]
        output = "65 A"
        lead = {{ to = "main/+", size = "16 mm²", length = "1.6 m" }}
        case = "engine/bracket"
        [loads.starter]
        kind = "starter"
        draws = "280 A"
        feed = {{ from = "main/+", size = "50 mm²", length = "1.5 m" }}
        case = "engine/flange"
        [loads.lamps]
        kind = "lamp"
        draws = "110 W"
        on = ["running"]
        feed = {{ from = "main/+", fuse = "15 A", size = "2.5 mm²", length = "3 m" }}
        return = {{ to = "chassis/panel", size = "2.5 mm²", length = "0.5 m" }}
        "#
    ))
}

#[test]
fn a_lost_strap_names_what_died_in_every_state_and_what_has_no_way_home() {
    let vehicle = tractor("50 mm²");
    let strap = fault::named(&vehicle, "engine-strap").expect("in the file");
    let mut analysis = Analysis::new(&vehicle, &states(&vehicle));
    let (all, _) = analysis.aftermath(strap);
    assert_eq!(all.len(), vehicle.states.len());
    let starter = vehicle.load_named("starter").expect("there");
    for own in &all {
        let id = vehicle.state(own.state).id.as_str();
        assert!(own.settled, "{id}");
        assert_eq!(own.dead().contains(&starter), id == "cranking", "{id}");
    }
    let lost = LostWay::of(&vehicle, strap).expect("the engine hangs by nothing else");
    assert_eq!(lost.from, [Where::Structure(1)]);
    assert!(lost.look.iter().any(|own| own.contains("propeller shaft")), "{:?}", lost.look);
    // With another strap in the file there is a way home, and so for what is on the feed side.
    let whole = fault::named(&vehicle, "starter.feed").expect("in the file");
    assert_eq!(LostWay::of(&vehicle, whole), None);
    let lead = fault::named(&vehicle, "lamps.return").expect("in the file");
    let lost = LostWay::of(&vehicle, lead).expect("the lamps hang by nothing else");
    assert!(lost.look.is_empty() && matches!(lost.from[..], [Where::Point(_)]), "{lost:?}");
    let main = fault::named(&vehicle, "chassis-cable").expect("in the file");
    let lost = LostWay::of(&vehicle, main).expect("all the metal hangs by it");
    assert_eq!(lost.from.len(), 2);
    assert!(lost.look.iter().any(|own| own.contains("tray")), "{:?}", lost.look);
}

/// A constant power of so many watts behind so many metres of thin wire.
fn inverter(watts: f64, metres: f64) -> Vehicle {
    read(&format!(
        r#"
        format = 1
        [vehicle]
        name = "market stall"
        nominal = "12 V"
        states = ["running"]
        [batteries.main]
        capacity = "110 Ah"
        [loads.inverter]
        kind = "inverter"
        draws = "{watts} W"
        feed = {{ from = "main/+", size = "4 mm²", length = "{metres} m" }}
        return = {{ to = "main/-", size = "4 mm²", length = "2 m" }}
        [loads.lamp]
        kind = "lamp"
        draws = "21 W"
        on = ["running"]
        feed = {{ from = "main/+", size = "1.5 mm²", length = "2 m" }}
        return = {{ to = "main/-", size = "1.5 mm²", length = "2 m" }}
        "#
    ))
}

#[test]
fn a_constant_power_whose_feed_opens_draws_nothing_and_the_rest_goes_on() {
    let vehicle = inverter(400.0, 2.0);
    let running = vehicle.state_named("running").expect("asked");
    for name in ["inverter.feed", "inverter.return"] {
        let mut analysis = Analysis::new(&vehicle, &[running]);
        let fault = fault::named(&vehicle, name).expect("in the file");
        let (after, findings) = analysis.solved(running, &[fault]).expect("asked");
        assert_eq!(after.convergence, Convergence::Reached);
        let inverter = vehicle.load_named("inverter").expect("there");
        assert!(after.load(inverter).amps.abs() < Amperes(1e-3), "{:?}", after.load(inverter));
        assert!(!findings.contains(&Finding::Unsettled), "{findings:?}");
        // The same with the load simply not there.
        let mut without = vehicle.clone();
        without.loads[inverter.index()].law = LoadLaw::Power {
            amps: Amperes(1e-9),
            rated: Volts(12.0),
            exponent: 1.0,
            knee: Volts(0.1),
        };
        let point = Network::new(&without).operating_point(running);
        let lamp = vehicle.load_named("lamp").expect("there");
        let apart = (point.load(lamp).volts - after.load(lamp).volts).abs();
        assert!(apart < Volts(1e-4), "{apart:?}");
    }
}

/// No single failure of an example leaves a state of which nothing can be told.
#[test]
fn every_single_failure_of_every_example_settles() {
    for text in EXAMPLES {
        let vehicle = read(text);
        let mut analysis = Analysis::new(&vehicle, &states(&vehicle));
        let survey = analysis.survey(&mut |_| ControlFlow::Continue(()));
        let lost: Vec<_> = survey
            .cases
            .iter()
            .filter(|case| case.findings.contains(&Finding::Unsettled))
            .map(|case| (case.fault.name(&vehicle), &vehicle.state(case.state).id))
            .collect();
        assert!(lost.is_empty(), "{}: {lost:?}", vehicle.name);
    }
}

/// What a state that does not settle would show is told nowhere.
#[test]
fn a_state_that_did_not_settle_has_no_numbers() {
    let vehicle = tractor("50 mm²");
    let mut analysis = Analysis::new(&vehicle, &states(&vehicle));
    // As if no operating point had been found: the states that were not solved.
    let cranking = vehicle.state_named("cranking").expect("asked");
    analysis.judges.retain(|judge| judge.state() != cranking);
    analysis.unsettled.push(cranking);
    let strap = fault::named(&vehicle, "engine-strap").expect("in the file");
    let (all, inspect) = analysis.aftermath(strap);
    let own = all.iter().find(|own| own.state == cranking).expect("every state is told of");
    assert!(!own.settled && own.carried.is_empty() && own.findings == [Finding::Unsettled]);
    assert!(inspect.is_empty(), "{inspect:?}");
}

/// Clamps that lose half a volt while cranking are daily bread: they get warm and crank slowly.
#[test]
fn a_clamp_that_loses_half_a_volt_for_one_crank_is_no_finding() {
    let vehicle = tractor("50 mm²");
    let cranking = vehicle.state_named("cranking").expect("asked");
    let clamp = vehicle.piece_named("chassis-cable.from").expect("in the file");
    let mut worn = vehicle.clone();
    let Piece::Joint(id) = clamp else { panic!("a joint") };
    worn.joints[id.index()].resistance = Ohms(1.8e-3);
    let mut analysis = Analysis::new(&worn, &[cranking]);
    let own = analysis.judge(cranking).expect("asked").base.piece(&worn, clamp);
    assert!(own.volts.abs() > Volts(0.4) && own.watts > Watts(100.0), "{own:?}");
    assert!(analysis.already()[0].1.is_empty(), "{:?}", analysis.already());
    // Half a minute of it, as long as the state lasted, would be another matter.
    let slot = cranking.index();
    worn.states[slot].duration = Some(units::Seconds(600.0));
    analysis = Analysis::new(&worn, &[cranking]);
    let hot = analysis.already().remove(0).1;
    assert!(
        hot.iter().any(|own| matches!(own, Finding::Joint { joint, .. } if *joint == id)),
        "{hot:?}"
    );
}

/// A crimp that makes ten watts for hours is destroyed, however few volts it loses.
#[test]
fn a_joint_is_judged_by_its_heat_and_not_by_its_volts() {
    let vehicle = tractor("50 mm²");
    let running = vehicle.state_named("running").expect("asked");
    let mut worn = vehicle.clone();
    let crimp = vehicle.piece_named("lamps.feed.to").expect("in the file");
    let Piece::Joint(id) = crimp else { panic!("a joint") };
    worn.joints[id.index()].resistance = Ohms(0.08);
    let analysis = Analysis::new(&worn, &[running]);
    let found = analysis.already().remove(0).1;
    let own = found.iter().find_map(|own| match own {
        Finding::Joint { joint, contact, watts, .. } if *joint == id => Some((*contact, *watts)),
        _ => None,
    });
    let (contact, watts) = own.expect("it is hot");
    assert!(watts > Watts(4.0) && contact == Contact::Melts, "{contact:?} {watts:?}");
}

#[test]
fn the_sound_ambulance_has_no_joint_that_softens() {
    let vehicle = read(EXAMPLES[0]);
    let analysis = Analysis::new(&vehicle, &states(&vehicle));
    for (state, found) in analysis.already() {
        let hot = found.iter().filter(|own| matches!(own, Finding::Joint { .. })).count();
        assert_eq!(hot, 0, "{}: {found:?}", vehicle.state(state).id);
    }
}

/// A main ground whose loss burns a cable stands above a battery clamp that is worn.
#[test]
fn a_ground_that_burns_a_cable_when_it_goes_stands_above_a_worn_clamp() {
    let vehicle = read(&twin_grounds("6 mm²"));
    let mut analysis = Analysis::new(&vehicle, &states(&vehicle));
    let survey = analysis.survey(&mut |_| ControlFlow::Continue(()));
    let rank = |fault: Fault| survey.ranked.iter().position(|own| own.fault == fault);
    let main = rank(fault::named(&vehicle, "main-ground").expect("there")).expect("it burns one");
    let clamp = vehicle.piece_named("main-ground.from").expect("in the file");
    if let Some(worn) = rank(Fault::Worn(clamp, Wear::Ten)) {
        assert!(main < worn, "{main} {worn}");
    }
}

/// A stout ground to the block and a thin one to the body, with a strap between the two.
fn twin_grounds(thin: &str) -> String {
    format!(
        r#"
        format = 1
        [vehicle]
        name = "estate van"
        nominal = "12 V"
        states = ["cranking", "running"]
        [batteries.main]
        cranking = "800 A"
        capacity = "90 Ah"
        [structures.block]
        resistance = "0.03 mΩ"
        points.front = {{}}
        points.rear = {{}}
        points.side = {{}}
        [structures.shell]
        sheet = "0.8 mm"
        points.left = {{}}
        points.right = {{}}
        [conductors.main-ground]
        from = "main/-"
        to = "block/rear"
        size = "70 mm²"
        length = "0.9 m"
        [conductors.body-ground]
        from = "main/-"
        to = "shell/left"
        size = "{thin}"
        length = "0.5 m"
        [conductors.block-strap]
        from = "block/front"
        to = "shell/right"
        size = "{thin}"
        length = "0.4 m"
        [loads.starter]
        kind = "starter"
        draws = "320 A"
        feed = {{ from = "main/+", size = "50 mm²", length = "1.2 m" }}
        case = "block/side"
        [loads.blower]
        kind = "motor"
        draws = "20 A"
        on = ["running"]
        feed = {{ from = "main/+", fuse = "30 A", size = "4 mm²", length = "2 m" }}
        return = {{ to = "shell/right", size = "4 mm²", length = "0.5 m" }}
        "#
    )
}

fn per_metre(area: SquareMetres) -> Ohms {
    Ohms(METRIC_ALLOWANCE * ANNEALED_COPPER.0 / area.0)
}

/// The law of what is offered: a way bears alone, over three cranks from warm, what those beside it carry.
fn bears_alone(vehicle: &Vehicle, change: Change) -> bool {
    let (from, to, area) = match change {
        Change::Parallel { from, to, area, .. } | Change::SecondGround { from, to, area, .. } => {
            (from, to, area)
        }
        Change::Larger { .. } => return true,
    };
    let points = [from, to].iter().all(|end| !vehicle.point(*end).access.out_of_reach);
    let mut network = Network::new(vehicle);
    points
        && states(vehicle).into_iter().all(|state| {
            let base = network.operating_point(state);
            let beside = duty::beside(vehicle, from, to);
            let amps = duty::most(&beside, &base);
            duty::new_cable_bears(vehicle, state, area, per_metre(area), amps)
        })
}

#[test]
fn no_remedy_of_an_example_would_burn_alone() {
    for text in EXAMPLES {
        let vehicle = read(text);
        let mut analysis = Analysis::new(&vehicle, &states(&vehicle));
        let survey = analysis.survey(&mut |_| ControlFlow::Continue(()));
        for own in survey.ranked.iter().take(12) {
            let state = survey.cases[own.cases[0]].state;
            if let Some(remedy) = analysis.remedy(own.fault, state) {
                assert!(bears_alone(&vehicle, remedy.change), "{remedy:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever the starter draws and however thin the second ground is.
    #[test]
    fn a_remedy_bears_alone_what_its_neighbour_carries(
        thin in prop::sample::select(vec!["2.5 mm²", "6 mm²", "10 mm²", "16 mm²", "25 mm²"]),
        amps in 90.0..700.0_f64,
    ) {
        let text = twin_grounds(thin).replace("320 A", &format!("{amps:.0} A"));
        let vehicle = read(&text);
        let mut analysis = Analysis::new(&vehicle, &states(&vehicle));
        let cranking = vehicle.state_named("cranking").expect("asked");
        for name in ["main-ground", "body-ground", "block-strap"] {
            let fault = fault::named(&vehicle, name).expect("in the file");
            if let Some(remedy) = analysis.remedy(fault, cranking) {
                prop_assert!(bears_alone(&vehicle, remedy.change), "{remedy:?}");
                let area = match remedy.change {
                    Change::Parallel { area, .. } | Change::SecondGround { area, .. } => area,
                    Change::Larger { area, .. } => area,
                };
                // Three cranks of a hundred amperes and more are nothing for a thin strap.
                prop_assert!(amps < 120.0 || area > SquareMetres::from_mm2(9.0), "{remedy:?}");
            }
        }
    }
}

/// A thin way beside a stout one is a hidden fuse over three cranks, if not over one.
#[test]
fn three_cranks_burn_what_one_crank_spares() {
    let text = twin_grounds("10 mm²").replace("320 A", "240 A");
    let vehicle = read(&text);
    let mut analysis = Analysis::new(&vehicle, &states(&vehicle));
    let own = vehicle.conductors.iter().find(|own| own.id == "body-ground").expect("there").this;
    let strap: ConductorId = own;
    assert_eq!(analysis.burnt_by(strap), None);
    let burnt = analysis.burnt_on_duty(strap).expect("it burns over three cranks");
    assert_eq!(burnt.fault, fault::named(&vehicle, "main-ground").expect("there"));
    assert!(burnt.endurance.amps > Amperes(200.0), "{:?}", burnt.endurance);
}

//! Failures of the example vehicle, and laws of the survey.

use std::ops::ControlFlow;

use model::{StateId, Vehicle};
use proptest::prelude::*;

use crate::{Analysis, Fault, Inspect, Protection, fault};

fn example() -> Vehicle {
    let text = include_str!("../../../examples/rescue-ambulance.toml");
    file::read(text.as_bytes()).vehicle.expect("the example is sound")
}

fn every_state(vehicle: &Vehicle) -> Vec<StateId> {
    (0..vehicle.states.len()).map(StateId::at).collect()
}

#[test]
fn the_quick_screen_passes_over_nothing_that_a_full_solution_finds() {
    let vehicle = example();
    let mut analysis = Analysis::new(&vehicle, &every_state(&vehicle));
    let survey = analysis.survey(&mut |_| ControlFlow::Continue(()));
    assert!(
        survey.complete && survey.tried > 3 * survey.solved,
        "{} {}",
        survey.tried,
        survey.solved
    );
    let mut missed = Vec::new();
    for state in analysis.states() {
        for fault in crate::fault::singles(&vehicle) {
            let (_, findings) = analysis.solved(state, &[fault]).expect("a state that was asked");
            let known = survey.cases.iter().any(|case| case.fault == fault && case.state == state);
            if known == findings.is_empty() {
                missed.push((
                    fault.name(&vehicle),
                    vehicle.state(state).id.clone(),
                    fault,
                    findings,
                ));
            }
        }
    }
    assert!(missed.is_empty(), "{missed:#?}");
}

#[test]
fn of_the_pairs_passed_over_fewer_than_one_in_a_hundred_are_missed() {
    let vehicle = example();
    let mut analysis = Analysis::new(&vehicle, &every_state(&vehicle));
    let pairs = analysis.pairs(&mut |_| ControlFlow::Continue(()));
    assert!(pairs.complete && pairs.tried > 30_000, "{}", pairs.tried);
    assert!(pairs.solved * 10 < pairs.tried, "{}", pairs.solved);
    assert!(pairs.sampled > 1500 && pairs.missed_at_most.0 < 0.01, "{:?}", pairs.missed_at_most);
    assert!(pairs.cases.iter().all(|case| case.faults[0] != case.faults[1]));
}

/// Every pair solved fully tells how many were really missed.
#[test]
fn no_more_pairs_are_missed_than_the_bound_says() {
    let vehicle = example();
    let states = ["cranking", "night-call"].map(|name| vehicle.state_named(name).expect("there"));
    let mut analysis = Analysis::new(&vehicle, &states);
    let go_on = |_| ControlFlow::Continue(());
    let all = analysis.pairs_with_sample(&mut { go_on }, usize::MAX);
    assert_eq!(all.solved + all.sampled, all.tried);
    let truly = all.missed as f64 / all.sampled as f64;
    for sample in [100, 300, 1000] {
        let pairs = analysis.pairs_with_sample(&mut { go_on }, sample);
        assert!(pairs.sampled < 3 * sample && pairs.solved == all.solved, "{}", pairs.sampled);
        let bound = pairs.missed_at_most.0;
        assert!(truly <= bound && bound < 0.1, "{truly} of at most {bound}");
    }
}

#[test]
fn an_analysis_that_is_stopped_answers_with_what_it_found() {
    let vehicle = example();
    let mut analysis = Analysis::new(&vehicle, &every_state(&vehicle));
    let stop = |limit: usize| {
        move |at: crate::Progress| {
            if at.done < limit { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        }
    };
    let survey = analysis.survey(&mut stop(2000));
    assert!(!survey.complete && !survey.cases.is_empty() && survey.tried < 2100);
    let pairs = analysis.pairs(&mut stop(5000));
    assert!(!pairs.complete && pairs.tried < 6000);
}

/// A starter whose main ground is one cable, with a thin strap from block to body beside it.
fn thin_strap(minutes: &str, strap: &str) -> Vehicle {
    let text = format!(
        r#"
        format = 1
        [vehicle]
        name = "thin strap"
        nominal = "12 V"
        states = ["cranking", "running"]
        [batteries.main]
        cranking = "800 A"
        capacity = "90 Ah"
        [structures.block]
        resistance = "0.03 mΩ"
        points.front = {{}}
        points.rear = {{}}
        [structures.body]
        sheet = "0.8 mm"
        points.left = {{}}
        points.right = {{}}
        [conductors.main-negative]
        from = "main/-"
        to = "block/rear"
        size = "50 mm²"
        length = "0.8 m"
        [conductors.body-negative]
        from = "main/-"
        to = "body/left"
        size = "{strap}"
        length = "0.5 m"
        [conductors.block-strap]
        from = "block/front"
        to = "body/right"
        size = "16 mm²"
        length = "0.3 m"
        [incidental.throttle]
        from = "block/front"
        to = "body/left"
        kind = "control cable"
        [alternators.alternator]
        output = "90 A"
        lead = {{ to = "main/+", size = "25 mm²", length = "1.5 m" }}
        case = "block/front"
        [loads.starter]
        kind = "starter"
        draws = "300 A"
        feed = {{ from = "main/+", size = "50 mm²", length = "1.2 m" }}
        case = "block/rear"
        [loads.fridge]
        kind = "resistive"
        draws = "80 A"
        on = ["running"]
        feed = {{ from = "main/+", fuse = "100 A", size = "16 mm²", length = "1 m" }}
        return = {{ to = "block/rear", size = "16 mm²", length = "1 m" }}
        [states.cranking]
        duration = "{minutes}"
        "#
    );
    let reading = file::read(text.as_bytes());
    assert_eq!(reading.errors(), 0, "{:?}", reading.problems);
    reading.vehicle.expect("no errors")
}

fn surveyed(vehicle: &Vehicle) -> (Analysis<'_>, crate::Survey) {
    let mut analysis = Analysis::new(vehicle, &every_state(vehicle));
    let survey = analysis.survey(&mut |_| ControlFlow::Continue(()));
    (analysis, survey)
}

#[test]
fn a_thin_strap_is_a_hidden_fuse_that_a_second_ground_saves() {
    let vehicle = thin_strap("10 s", "2.5 mm²");
    let (mut analysis, survey) = surveyed(&vehicle);
    let main = fault::named(&vehicle, "main-negative").expect("in the file");
    let cranking = vehicle.state_named("cranking").expect("in the file");
    let strap = vehicle.conductors.iter().find(|own| own.id == "body-negative").expect("there");
    let hidden = analysis.hidden_fuses(&survey);
    let own = hidden.iter().find(|own| own.conductor == strap.this).expect("it burns");
    assert_eq!((own.fault, own.state), (main, cranking));
    assert!(own.endurance.melts() && own.endurance.limit_after < own.endurance.melts_after);
    // Nothing that a starter's current passes is fused.
    let protection = analysis.protection(own.fault, own.state, own.conductor, &own.endurance);
    assert_eq!(protection, Protection::None);
    let remedy = analysis.remedy(main, cranking).expect("a strap helps");
    assert!(remedy.no_damage && remedy.harm_after < remedy.harm_before);
    let (_, inspect) = analysis.aftermath(main);
    assert!(matches!(inspect[0], Inspect::Conductor { conductor, .. } if conductor == strap.this));
    let path = inspect.iter().find(|own| matches!(own, Inspect::Path { .. }));
    let Some(Inspect::Path { look, .. }) = path else { panic!("the throttle cable carries some") };
    assert!(look.contains("free movement"), "{look}");
}

#[test]
fn without_any_source_left_nothing_has_a_share() {
    let vehicle = example();
    let batteries = vehicle.batteries.iter().map(|own| own.id.clone());
    let lost = batteries.filter_map(|name| fault::named(&vehicle, &name));
    let mut analysis = Analysis::new(&vehicle, &every_state(&vehicle));
    for fault in lost {
        let (states, _) = analysis.aftermath(fault);
        for own in states.iter().flat_map(|state| &state.carried) {
            assert!(own.share.0.is_finite() && own.amps > units::Amperes(0.05), "{own:?}");
        }
    }
}

#[test]
fn a_conductor_clipped_along_metal_settles_cooler() {
    let mut vehicle = thin_strap("10 s", "2.5 mm²");
    let running = vehicle.state_named("running").expect("in the file");
    let feed = vehicle.conductors.iter().position(|own| own.id == "fridge.feed").expect("there");
    let settles = |vehicle: &Vehicle| {
        let warmth = crate::Warmth::new(vehicle, running, units::Seconds(60.0), None);
        let own = warmth.conductors.iter().find(|own| own.conductor.index() == feed);
        own.and_then(|own| own.settles).expect("it carries 80 A")
    };
    let free = settles(&vehicle);
    vehicle.conductors[feed].laid = model::Laid::OnMetal;
    let metal = settles(&vehicle);
    assert!(metal < free && metal > vehicle.state(running).air, "{metal:?} {free:?}");
}

#[test]
fn a_stout_strap_is_none() {
    let vehicle = thin_strap("10 s", "50 mm²");
    let (analysis, survey) = surveyed(&vehicle);
    let hidden = analysis.hidden_fuses(&survey);
    let strap = vehicle.conductors.iter().find(|own| own.id == "body-negative").expect("there");
    assert!(hidden.iter().all(|own| own.conductor != strap.this), "{hidden:?}");
}

/// The quick question about one conductor has the answer of the whole survey, where no fuse saves it.
#[test]
fn a_conductor_asked_about_alone_is_burnt_by_what_the_survey_found() {
    for (vehicle, some) in [(thin_strap("10 s", "2.5 mm²"), true), (example(), false)] {
        let (mut analysis, survey) = surveyed(&vehicle);
        let hidden = analysis.hidden_fuses(&survey);
        assert_eq!(!hidden.is_empty(), some);
        for conductor in vehicle.conductors.iter().map(|own| own.this) {
            let known = hidden.iter().find(|own| own.conductor == conductor);
            let alone = analysis.burnt_by(conductor);
            let asked = |own: &crate::HiddenFuse| (own.fault, own.state, own.endurance, own.faults);
            assert_eq!(alone.as_ref().map(asked), known.map(asked));
        }
    }
}

#[test]
fn the_same_current_melts_a_strap_whose_state_lasts_and_spares_it_where_it_is_short() {
    let burns = |duration: &str| {
        let vehicle = thin_strap(duration, "10 mm²");
        let (analysis, survey) = surveyed(&vehicle);
        let strap = vehicle.conductors.iter().find(|own| own.id == "body-negative").expect("there");
        let hidden = analysis.hidden_fuses(&survey);
        hidden.iter().any(|own| own.conductor == strap.this)
    };
    assert!(!burns("1 s"));
    assert!(burns("60 s"));
}

#[test]
fn a_fuse_in_the_way_that_need_not_open_is_no_protection() {
    let vehicle = thin_strap("10 s", "2.5 mm²");
    let (mut analysis, _) = surveyed(&vehicle);
    let running = vehicle.state_named("running").expect("in the file");
    let feed = vehicle.conductors.iter().find(|own| own.id == "fridge.feed").expect("there");
    let worn = Fault::Worn(model::Piece::Conductor(feed.this), crate::Wear::Ten);
    let (after, _) = analysis.solved(running, &[worn]).expect("asked");
    let amps = after.pieces[feed.this.index()].amps;
    let bearing = analysis.judge(running).expect("asked").bearings[feed.this.index()];
    let endurance = bearing.expect("a size").endurance(amps, units::Ratio(10.0));
    // 80 A or less through a fuse of 100 A: it lies in the way, and need not open.
    let protection = analysis.protection(worn, running, feed.this, &endurance);
    let fuse = vehicle.inlines.iter().position(|own| own.id == "fridge.fuse").expect("there");
    let fuse = model::InlineId::at(fuse);
    assert_eq!(protection, Protection::TooLate { fuse, latest: None });
}

/// A bus with a stout feed and, beside it, a thin one behind a fuse.
fn two_feeds(curve: &str) -> Vehicle {
    let text = format!(
        r#"
        format = 1
        [vehicle]
        name = "two feeds"
        nominal = "12 V"
        states = ["running"]
        [batteries.main]
        capacity = "90 Ah"
        cranking = "800 A"
        [structures.body]
        sheet = "0.8 mm"
        points.left = {{}}
        points.right = {{}}
        [points.bus]
        [conductors.negative]
        from = "main/-"
        to = "body/left"
        size = "50 mm²"
        length = "0.5 m"
        [conductors.stout]
        from = "main/+"
        to = "bus"
        size = "50 mm²"
        length = "2 m"
        [fuses.thin-fuse]
        from = "main/+"
        rating = "30 A"
        {curve}
        [conductors.thin]
        from = "thin-fuse/out"
        to = "bus"
        size = "2.5 mm²"
        length = "2 m"
        [loads.heater]
        kind = "resistive"
        draws = "90 A"
        on = ["running"]
        feed = {{ from = "bus", size = "25 mm²", length = "0.5 m" }}
        return = {{ to = "body/right", size = "25 mm²", length = "0.5 m" }}
        "#
    );
    let reading = file::read(text.as_bytes());
    assert_eq!(reading.errors(), 0, "{:?}", reading.problems);
    reading.vehicle.expect("no errors")
}

fn what_saves_the_thin_feed(curve: &str) -> Protection {
    let vehicle = two_feeds(curve);
    let (mut analysis, survey) = surveyed(&vehicle);
    let thin = vehicle.conductors.iter().find(|own| own.id == "thin").expect("there").this;
    let hidden = analysis.hidden_fuses(&survey);
    let own = hidden.iter().find(|own| own.conductor == thin).expect("it is overloaded");
    analysis.protection(own.fault, own.state, own.conductor, &own.endurance)
}

#[test]
fn a_fuse_whose_curve_is_quick_opens_before_the_conductor_is_hurt() {
    let quick = r#"curve = [{ current = "200 %", time = "5 s" }]
        curve-source = "an invented sheet""#;
    let saved = what_saves_the_thin_feed(quick);
    assert!(matches!(saved, Protection::OpensFirst { latest, .. } if latest.0 <= 5.0), "{saved:?}");
}

#[test]
fn a_fuse_without_a_curve_is_not_trusted_to_be_quick() {
    let trusted = what_saves_the_thin_feed("");
    assert!(matches!(trusted, Protection::TooLate { latest: Some(_), .. }), "{trusted:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// A worse condition never makes a failure less likely, and no chance passes one.
    #[test]
    fn chances_lie_between_none_and_certain(which in any::<proptest::sample::Index>()) {
        let vehicle = example();
        let faults = fault::singles(&vehicle);
        let chance = crate::likelihood::chance(&vehicle, faults[which.index(faults.len())]).0;
        prop_assert!(0.0 < chance && chance < 1.0, "{chance}");
    }
}

#[test]
fn a_joint_measured_bad_is_likelier_to_fail_than_one_measured_sound() {
    let mut vehicle = example();
    let joint = vehicle.joints.iter().position(|own| own.id == "block-frame.to").expect("there");
    let bad = crate::likelihood::joint(&vehicle, &vehicle.joints[joint]);
    vehicle.joints[joint].resistance = units::Ohms(0.1e-3);
    let sound = crate::likelihood::joint(&vehicle, &vehicle.joints[joint]);
    assert!(bad > 10.0 * sound, "{bad} {sound}");
}

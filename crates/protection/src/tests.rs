//! A vehicle that is followed by hand, shorts against the whole network solved again, laws.

use model::{ConductorId, InlineId, Piece, PointId, StateId, Vehicle};
use network::Network;
use proptest::prelude::*;
use units::{Amperes, Ohms, Seconds};

use crate::graph::Graph;
use crate::shorts::{DEAD, without_loads};
use crate::state_view::see;
use crate::{Clearing, Custom, Harm, Scope, Shorts, Thermal, Touch, Verdict, at_point, protect};

/// A battery of 12.5 V behind 5 mΩ; a lamp behind a 10 A fuse; a starter; everything stated.
fn file(feed_mm2: f64, curve: &str) -> String {
    format!(
        r#"format = 1
[vehicle]
name = "By hand"
nominal = "12 V"
[batteries.main]
voltage = "12.5 V"
resistance = "5 mΩ"
[structures.body]
resistance = "1 mΩ"
[structures.body.points]
a = {{}}
[conductors.earth]
from = {{ point = "main/-", resistance = "0.5 mΩ" }}
to = {{ point = "body/a", resistance = "0.5 mΩ" }}
size = "25 mm²"
length = "1 m"
resistance = "1 mΩ"
[fuses.lamp-fuse]
from = "main/+"
rating = "10 A"
resistance = "5 mΩ"
breaking-capacity = "500 A"
{curve}
[conductors.lamp-feed]
from = {{ point = "lamp-fuse/out", resistance = "1 mΩ" }}
to = {{ point = "lamp/+", resistance = "1 mΩ" }}
size = "{feed_mm2} mm²"
length = "2 m"
insulation = "PVC 70"
surroundings = "inside"
resistance = "20 mΩ"
[conductors.starter-feed]
from = {{ point = "main/+", resistance = "0.5 mΩ" }}
to = {{ point = "starter/+", resistance = "0.5 mΩ" }}
size = "35 mm²"
length = "1 m"
resistance = "1 mΩ"
[loads.lamp]
kind = "lamp"
draws = "5 A"
case = {{ point = "body/a", resistance = "1 mΩ" }}
[loads.starter]
kind = "starter"
draws = "200 A"
case = {{ point = "body/a", resistance = "1 mΩ" }}
"#
    )
}

/// Invented times, for a fuse that is quick.
const QUICK: &str = r#"curve = [
    { current = "135 %", not-before = "1 s", time = "60 s" },
    { current = "200 %", not-before = "0.1 s", time = "1 s" },
    { current = "600 %", not-before = "0.01 s", time = "0.05 s" },
]"#;

/// Invented times, for one that must open at eight times its rating only.
const SLOW: &str = r#"curve = [{ current = "800 %", time = "1 s" }]"#;

fn read(text: &str) -> Vehicle {
    let reading = file::read(text.as_bytes());
    reading.vehicle.unwrap_or_else(|| panic!("{:#?}", reading.problems))
}

fn verdict(vehicle: &Vehicle, name: &str) -> Verdict {
    let Some(Piece::Conductor(id)) = vehicle.piece_named(name) else { panic!("{name}") };
    let found = protect(vehicle, &Scope::default());
    found.feeds.iter().find(|feed| feed.fed.conductor == id).expect("it is fed").verdict
}

fn near(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "found {found}, expected {expected}"
    );
}

/// Ohm's law by hand: 12.5 V over 5 + 5 + 22 + 2 mΩ, and the starter's 12.5 V over 5 + 2 + 2 mΩ.
/// The cables are at 20 °C, as their stated resistances are.
#[test]
fn a_dead_short_is_the_battery_s_voltage_over_all_that_is_in_its_way() {
    let mut vehicle = read(&file(2.5, QUICK));
    for state in &mut vehicle.states {
        state.air = units::Kelvin::from_celsius(20.0);
        state.engine_space = units::Kelvin::from_celsius(20.0);
    }
    for (point, ohms) in [("lamp/+", 0.034), ("lamp-fuse/out", 0.012), ("starter/+", 0.009)] {
        let at = vehicle.point_named(point).expect("in the file");
        let shorts = at_point(&vehicle, at, DEAD, &Scope::default()).0;
        let strongest =
            shorts.iter().find(|own| own.fault.touch == Touch::Strongest).expect("live");
        near(strongest.total.0, 12.5 / (ohms + DEAD.0), 1e-6);
    }
}

/// Every short of an example in every state, against the same vehicle with a conductor of next to
/// nothing in its place, solved from the beginning.
#[test]
fn a_short_is_what_the_whole_network_shows_with_the_short_in_it() {
    for text in [
        include_str!("../../../examples/rescue-ambulance.toml"),
        include_str!("../../../examples/harbour-workboat.toml"),
    ] {
        let vehicle = read(text);
        let quiet = without_loads(&vehicle);
        let points: Vec<PointId> = (0..vehicle.conductors.len())
            .step_by(5)
            .map(|at| vehicle.joint(vehicle.conductors[at].to).point)
            .collect();
        let mut shorts = Shorts::new(&quiet, &points, &points[..2]);
        let mut compared = 0;
        for fault in shorts.faults().to_vec().into_iter().step_by(3) {
            for state in (0..quiet.states.len()).step_by(2).map(StateId::at) {
                let graph = Graph::new(&quiet, state);
                if graph.joined(fault.at, fault.home) {
                    continue;
                }
                let Some(short) = shorts.solve(state, fault, DEAD) else { continue };
                let mut changed = quiet.clone();
                let ends = (&quiet.point(fault.at).id, &quiet.point(fault.home).id);
                let new = format!("{},{},35mm2,1m", ends.0, ends.1);
                let id = file::edit::add_conductor(&mut changed, &new).expect("two points");
                let conductor = changed.conductor(id).clone();
                changed.conductors[id.index()].temperature_coefficient = units::PerKelvin(0.0);
                changed.conductors[id.index()].resistance_at_20 = DEAD * 0.5;
                for joint in [conductor.from, conductor.to] {
                    changed.joints[joint.index()].resistance = DEAD * 0.25;
                }
                // The network warms conductors by the short's own current; the short leaves them be.
                for conductor in &mut changed.conductors {
                    conductor.metal_diameter = None;
                }
                let point = Network::new(&changed).operating_point(state);
                let whole = point.piece(&changed, Piece::Conductor(id)).amps.abs();
                let scale = whole.0.abs().max(1.0);
                assert!(
                    (whole - short.total).0.abs() < 2e-3 * scale,
                    "{} to {} in {}: {whole:?} {:?}",
                    ends.0,
                    ends.1,
                    quiet.state(state).id,
                    short.total
                );
                compared += 1;
            }
        }
        assert!(compared > 30, "{compared}");
    }
}

/// IEC 60364-4-43 with k 115 for PVC 70: 2.5 mm² bears 500 A for (115 · 2.5 / 500)² = 0.3306 s.
#[test]
fn a_short_burns_pvc_when_i_squared_t_passes_k_squared_s_squared() {
    let vehicle = read(&file(2.5, QUICK));
    let Some(Piece::Conductor(id)) = vehicle.piece_named("lamp-feed") else { panic!() };
    let mut measured = vehicle.clone();
    // The adiabatic law takes the resistance of the metal itself.
    measured.conductors[id.index()].resistance_at_20 = Ohms(17.241e-9 * 2.0 / 2.5e-6);
    let endurance = Thermal::of(&measured, id, StateId(0)).expect("size and length");
    let allowed = (115.0_f64 * 2.5 / 500.0).powi(2);
    let Harm::Burns { after, .. } = endurance.harm(Amperes(500.0), None) else { panic!() };
    near(after.0, allowed, 0.03);
    assert_eq!(endurance.harm(Amperes(500.0), Some(Seconds(0.95 * allowed))), Harm::None);
}

#[test]
fn a_quick_fuse_protects_from_the_short_to_the_last_ampere_and_a_slow_one_leaves_a_gap() {
    let quick = read(&file(2.5, QUICK));
    assert_eq!(verdict(&quick, "lamp-feed"), Verdict::Protected);
    let slow = read(&file(2.5, SLOW));
    let Verdict::Burns(gap) = verdict(&slow, "lamp-feed") else { panic!("a gap") };
    // Nothing has to open below eight times the rating.
    near(gap.to.0, 80.0, 2e-3);
    let Some(Piece::Conductor(id)) = slow.piece_named("lamp-feed") else { panic!() };
    let endurance = Thermal::of(&slow, id, StateId(0)).expect("size and length");
    assert!(gap.from > endurance.lasting, "{gap:?}");
    // With the resistances of the path in the way, just these currents flow.
    let (least, most) = gap.path.expect("a fault at the far end can let it flow");
    let at = slow.point_named("lamp/+").expect("in the file");
    for (path, amps) in [(least, gap.to), (most, gap.from)] {
        let found = at_point(&slow, at, path, &Scope::default()).0;
        let strongest = found
            .iter()
            .filter(|own| own.fault.touch == Touch::Strongest)
            .map(|own| own.total.0)
            .fold(0.0, f64::max);
        near(strongest, amps.0, 0.02);
    }
}

#[test]
fn a_fuse_without_a_curve_is_not_judged_and_one_rated_above_its_cable_is() {
    let silent = read(&file(2.5, ""));
    assert_eq!(verdict(&silent, "lamp-feed"), Verdict::CurveMissing);
    let thin = read(&file(0.35, "").replace("rating = \"10 A\"", "rating = \"60 A\""));
    let Verdict::Burns(gap) = verdict(&thin, "lamp-feed") else { panic!("a gap") };
    // A fuse carries its rating for ever; beyond it nobody has said.
    near(gap.to.0, 60.0, 2e-3);
}

#[test]
fn a_starter_cable_is_unprotected_by_custom_and_said_so() {
    let vehicle = read(&file(2.5, QUICK));
    let found = protect(&vehicle, &Scope::default());
    let feed = found
        .feeds
        .iter()
        .find(|feed| vehicle.conductor(feed.fed.conductor).id == "starter-feed")
        .expect("it is fed");
    assert!(matches!(feed.verdict, Verdict::Nothing { burns: Harm::Burns { .. } }));
    assert_eq!(feed.custom, Some(Custom::Starter));
    let earth = found
        .returns
        .iter()
        .find(|own| vehicle.conductor(own.conductor).id == "earth")
        .expect("it carries the shorts of others");
    let (worst, points) = earth.unfused.as_ref().expect("nothing opens a starter's short");
    assert_eq!(worst.clearing, Clearing::Never);
    assert!(points.len() >= 2 && matches!(worst.harm, Harm::Burns { .. }));
    let fused = earth.fused.expect("the lamp's shorts are cleared");
    assert_eq!(fused.harm, Harm::None);
}

/// A strap suffers most from a short to the metal at its own end, wherever that lies.
#[test]
fn a_return_is_tried_with_the_short_at_its_own_end() {
    let vehicle = read(include_str!("../../../examples/rescue-ambulance.toml"));
    let found = protect(&vehicle, &Scope::default());
    let main = vehicle.battery_terminals(model::BatteryId(0)).0;
    let quiet = without_loads(&vehicle);
    let mut shorts = Shorts::new(&quiet, &[main], &[main]);
    let mut tried = 0;
    for own in &found.returns {
        let Some((worst, _)) = &own.unfused else { continue };
        let mut most: f64 = 0.0;
        for state in (0..vehicle.states.len()).map(StateId::at) {
            for fault in shorts.faults().to_vec() {
                let Some(short) = shorts.solve(state, fault, DEAD) else { continue };
                most = most.max(shorts.amps(&short, Piece::Conductor(own.conductor)).0);
            }
        }
        assert!(own.most.0 >= most * (1.0 - 1e-6), "{} {most}", own.most.0);
        assert!(worst.amps <= own.most);
        tried += 1;
    }
    assert!(tried > 3, "{tried}");
}

#[test]
fn a_fuse_is_told_when_it_cannot_break_what_may_flow() {
    let vehicle = read(&file(2.5, QUICK));
    let found = protect(&vehicle, &Scope::default());
    let fuse = found.fuses[0];
    assert!(fuse.most > fuse.capacity.expect("stated"), "{fuse:?}");
}

/// Cutting each fuse out and looking who still hangs together, against the search for bridges.
#[test]
fn a_fuse_guards_what_hangs_on_it_alone() {
    let vehicle = read(include_str!("../../../examples/rescue-ambulance.toml"));
    let mut guarded = 0;
    for state in (0..vehicle.states.len()).map(StateId::at) {
        let seen = see(&vehicle, state);
        for (source, _, view) in &seen.views {
            let crate::Source::Battery(battery) = source else { continue };
            let live = vehicle.battery_terminals(*battery).0;
            for fuse in crate::state_view::fuses(&vehicle) {
                let cut = without(&vehicle, fuse);
                let graph = Graph::new(&cut, state);
                for point in (0..vehicle.points.len()).map(PointId::at) {
                    let guards = view.fuses(point).contains(&fuse);
                    let hangs = seen.graph.joined(live, point) && !graph.joined(live, point);
                    assert_eq!(guards, hangs, "{}", vehicle.point(point).id);
                    guarded += usize::from(guards);
                }
            }
        }
    }
    assert!(guarded > 100, "{guarded}");
}

/// The vehicle with a fuse taken out: a switch that is closed in no state.
fn without(vehicle: &Vehicle, fuse: InlineId) -> Vehicle {
    let mut cut = vehicle.clone();
    cut.inlines[fuse.index()].kind = model::InlineKind::Switch { closed: Vec::new() };
    cut
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_thicker_cable_is_never_worse_protected(mm2 in 0.35..10.0, more in 1.0..3.0) {
        for curve in [QUICK, SLOW] {
            let rank = |mm2: f64| verdict(&read(&file(mm2, curve)), "lamp-feed").rank();
            prop_assert!(rank(mm2 * more) <= rank(mm2), "{mm2} {more} {curve}");
        }
    }

    #[test]
    fn more_current_for_longer_never_harms_less(
        amps in 5.0..2000.0, more in 1.0..2.0, seconds in 0.01..1e4, longer in 1.0..5.0,
    ) {
        let vehicle = read(&file(2.5, QUICK));
        let Some(Piece::Conductor(id)) = vehicle.piece_named("lamp-feed") else { panic!() };
        let endurance = Thermal::of(&vehicle, id, StateId(0)).expect("size and length");
        let rank = |harm: Harm| match harm {
            Harm::None => 0,
            Harm::Ages { .. } => 1,
            Harm::Burns { .. } => 2,
        };
        let less = rank(endurance.harm(Amperes(amps), Some(Seconds(seconds))));
        let worse = rank(endurance.harm(Amperes(amps * more), Some(Seconds(seconds * longer))));
        prop_assert!(less <= worse, "{less} {worse}");
    }
}

#[test]
fn every_conductor_of_the_examples_is_told_once() {
    for text in [
        include_str!("../../../examples/rescue-ambulance.toml"),
        include_str!("../../../examples/harbour-workboat.toml"),
        include_str!("../../../examples/utility-cart.toml"),
    ] {
        let vehicle = read(text);
        let found = protect(&vehicle, &Scope { recalled: true, ..Scope::default() });
        assert_eq!(found.unsolved, 0);
        for id in (0..vehicle.conductors.len()).map(ConductorId::at) {
            let fed = found.feeds.iter().filter(|own| own.fed.conductor == id).count();
            let returned = found.returns.iter().filter(|own| own.conductor == id).count();
            let dead = found.dead.iter().filter(|own| **own == id).count();
            assert!(fed <= 1 && returned <= 1 && fed + returned + dead >= 1, "{fed} {returned}");
        }
    }
}

//! The estimations that other programs are asked too: vehicles, hidden faults, readings.

use model::{JointId, Measured, Probe, StateId, Vehicle};
use network::Network;
use units::Ohms;

use super::read;
use crate::fit::{Belief, Fit, fit};
use crate::{Observation, Session, SuspectKind};

const LAMP: &str = include_str!("lamp.toml");
const STARTER: &str = include_str!("starter.toml");
pub(super) const DEMO: &str = include_str!("../../../../examples/rescue-ambulance.toml");

/// A question of estimation.
pub(super) struct Case {
    pub name: &'static str,
    pub vehicle: Vehicle,
    pub observations: Vec<Observation>,
    /// The joint that the hypothesis calls bad; none for nothing wrong.
    pub blamed: Option<&'static str>,
}

/// What lies behind the readings, and the readings: state, red lead, black lead, or `~` and the
/// conductor under a clamp.
pub(super) type Asked = (&'static str, &'static str, &'static str);

fn case(
    name: &'static str,
    file: &str,
    hidden: &[(&str, f64)],
    asked: &[Asked],
    blamed: Option<&'static str>,
) -> Case {
    let vehicle = read(file);
    let mut truth = vehicle.clone();
    for (joint, ohms) in hidden {
        let id = joint_named(&vehicle, joint);
        truth.joints[id.index()].resistance = Ohms(*ohms);
    }
    let observations = asked
        .iter()
        .zip(1..)
        .map(|((state, high, low), number)| {
            let state = vehicle.state_named(state).unwrap_or_else(|| panic!("{state}"));
            reading(&truth, state, measured(&vehicle, high, low), number)
        })
        .collect();
    Case { name, vehicle, observations, blamed }
}

pub(super) fn joint_named(vehicle: &Vehicle, name: &str) -> JointId {
    let at = vehicle.joints.iter().position(|joint| joint.id == name);
    JointId::at(at.unwrap_or_else(|| panic!("{name}")))
}

pub(super) fn measured(vehicle: &Vehicle, high: &str, low: &str) -> Measured {
    if high == "~" {
        return super::amps(vehicle, low);
    }
    let probe = |name: &str| match vehicle.point_named(name) {
        Some(point) => Probe::Point(point),
        None => Probe::Lug(joint_named(vehicle, name)),
    };
    Measured::Volts { high: probe(high), low: probe(low) }
}

/// A meter's answer: off by as much as a meter is, differently for each reading, and always the same.
pub(super) fn reading(
    truth: &Vehicle,
    state: StateId,
    measured: Measured,
    number: u32,
) -> Observation {
    let mut network = Network::with_extra_paths(truth, &[]);
    let base = network.operating_point(state);
    let deviations = network::Deviations::none(truth, 0);
    let trial = network.trial(&base, &deviations, None).expect("the truth is solved");
    let exact = network.trial_value(&trial, measured).expect("joined");
    let sigma = 0.006 * exact.abs() + 0.002;
    let shown = exact + sigma * (2.7 * f64::from(number)).sin();
    let value = (shown * 1e3).round() / 1e3;
    Observation { number, state, measured, value, sigma: (sigma * 1e6).round() / 1e6 }
}

/// All cases: small ones with one reading to six, the example with ten to thirty.
pub(super) fn all() -> Vec<Case> {
    const ALONG: [&str; 10] = [
        "block/front",
        "block/rear",
        "block/gearbox",
        "block/head",
        "frame/front",
        "frame/middle",
        "body/left-front",
        "body/bulkhead",
        "body/rear-left",
        "frame/rear",
    ];
    let along = |state: &'static str| ALONG.map(|point| (state, point, "main/-"));
    let lamp: [Asked; 4] = [
        ("key-on", "main/+", "main/-"),
        ("key-on", "body/front", "main/-"),
        ("key-on", "lamp/-", "body/rear"),
        ("key-on", "ground.to", "body/front"),
    ];
    let starter: [Asked; 6] = [
        ("cranking", "metal/block", "main/-"),
        ("cranking", "main/+", "main/-"),
        ("cranking", "~", "main-negative"),
        ("key-on", "module/-", "main/-"),
        ("cranking", "main-negative.to", "metal/block"),
        ("cranking", "main/+", "starter/+"),
    ];
    let mut twenty = along("cranking").to_vec();
    twenty.extend(along("key-on"));
    let mut thirty = twenty.clone();
    thirty.extend(along("night-call"));
    thirty.truncate(27);
    thirty.extend([
        ("cranking", "~", "main-negative"),
        ("cranking", "main-negative.to", "block/front"),
        ("cranking", "main/+", "starter/+"),
    ]);
    let bad_ground = [("main-negative.to", 2e-3)];
    vec![
        case("lamp, sound, 1 reading", LAMP, &[], &lamp[1..2], None),
        case("lamp, sound, 4 readings", LAMP, &[], &lamp, None),
        case(
            "lamp, bad ground, 2 readings",
            LAMP,
            &[("ground.to", 0.03)],
            &lamp[..2],
            Some("ground.to"),
        ),
        case(
            "lamp, bad ground, 4 readings",
            LAMP,
            &[("ground.to", 0.03)],
            &lamp,
            Some("ground.to"),
        ),
        case("lamp, bad ground called sound", LAMP, &[("ground.to", 0.03)], &lamp, None),
        case(
            "lamp, very bad return",
            LAMP,
            &[("lamp.return.to", 0.4)],
            &lamp,
            Some("lamp.return.to"),
        ),
        case("starter, sound, 6 readings", STARTER, &[], &starter, None),
        case(
            "starter, bad ground, 1 reading",
            STARTER,
            &[("main-negative.to", 4e-3)],
            &starter[..1],
            Some("main-negative.to"),
        ),
        case(
            "starter, bad ground, 6 readings",
            STARTER,
            &[("main-negative.to", 4e-3)],
            &starter,
            Some("main-negative.to"),
        ),
        case(
            "starter, very bad ground",
            STARTER,
            &[("main-negative.from", 0.05)],
            &starter,
            Some("main-negative.from"),
        ),
        case("demo, sound, 10 readings", DEMO, &[], &along("cranking"), None),
        case(
            "demo, bad ground, 10 readings",
            DEMO,
            &bad_ground,
            &along("cranking"),
            Some("main-negative.to"),
        ),
        case("demo, bad ground, 20 readings", DEMO, &bad_ground, &twenty, Some("main-negative.to")),
        case("demo, bad ground, 30 readings", DEMO, &bad_ground, &thirty, Some("main-negative.to")),
        case("demo, bad ground called sound, 30 readings", DEMO, &bad_ground, &thirty, None),
    ]
}

/// Small cases for samplers: some nearly linear, some far from it.
pub(super) fn small() -> Vec<Case> {
    let wanted = [
        "lamp, bad ground, 2 readings",
        "lamp, bad ground, 4 readings",
        "lamp, very bad return",
        "starter, bad ground, 1 reading",
        "starter, bad ground, 6 readings",
        "starter, very bad ground",
    ];
    all().into_iter().filter(|case| wanted.contains(&case.name)).collect()
}

impl Case {
    /// The belief under its hypothesis.
    pub(super) fn belief(&self, session: &Session<'_>) -> Belief {
        match self.blamed {
            None => session.estimator.prior.sound.clone(),
            Some(name) => {
                let kind = SuspectKind::Joint(joint_named(&self.vehicle, name));
                session
                    .estimator
                    .prior
                    .fault(kind)
                    .expect("it carries current")
                    .belief(&session.estimator.prior.sound)
            }
        }
    }

    /// Our own answer, from the middle of the belief.
    pub(super) fn fit(&self, session: &mut Session<'_>, belief: &Belief) -> Fit {
        let start = belief.mean.clone();
        fit(&mut session.estimator.forward, &self.observations, belief, &start, &[])
            .expect(self.name)
    }
}

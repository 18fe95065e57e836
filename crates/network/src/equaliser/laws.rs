//! Equalisers over banks in series, tried on random vehicles.

use model::{Piece, RegulatedId, StateId, Vehicle};
use proptest::prelude::*;
use units::{Amperes, Ohms};

use crate::{Convergence, Failed, Network, OperatingPoint, Side, SourceMode};

/// A bank of two with a load on its middle and an equaliser; resistances in powers of ten, milliohms.
fn truck(joints: &[f64], volts: (f64, f64), output: f64, radio: f64) -> Vehicle {
    let mut next = joints.iter().map(|exponent| format!("{} mΩ", 10_f64.powf(*exponent)));
    let mut joint = || next.next().expect("enough of them");
    let (lower, upper) = volts;
    let text = format!(
        r#"
        format = 1
        [vehicle]
        name = "truck"
        nominal = "24 V"
        states = ["resting", "running"]
        [batteries.lower]
        nominal = "12 V"
        voltage = "{lower} V"
        resistance = "6 mΩ"
        [batteries.upper]
        nominal = "12 V"
        voltage = "{upper} V"
        resistance = "5 mΩ"
        [equalisers.balancer]
        output = "{output} A"
        efficiency = "92 %"
        [structures.frame]
        resistance = "0.1 mΩ"
        points.front = {{}}
        points.rear = {{}}
        [conductors.ground]
        from = {{ point = "lower/-", resistance = "{}" }}
        to = "frame/front"
        size = "70 mm²"
        length = "0.5 m"
        [conductors.link]
        from = {{ point = "lower/+", resistance = "{}" }}
        to = "upper/-"
        size = "70 mm²"
        length = "0.3 m"
        [conductors.balancer-top]
        from = {{ point = "upper/+", resistance = "{}" }}
        to = "balancer/+"
        size = "6 mm²"
        length = "1 m"
        [conductors.balancer-mid]
        from = {{ point = "lower/+", resistance = "{}" }}
        to = "balancer/mid"
        size = "6 mm²"
        length = "1 m"
        [conductors.balancer-bottom]
        from = "balancer/-"
        to = {{ point = "frame/front", resistance = "{}" }}
        size = "6 mm²"
        length = "1 m"
        [alternators.alternator]
        output = "80 A"
        lead = {{ to = "upper/+", size = "25 mm²", length = "1.5 m" }}
        case = {{ point = "frame/front", resistance = "{}" }}
        [loads.radio]
        kind = "electronics"
        rated = "13.6 V"
        draws = "{radio} A"
        on = ["resting", "running"]
        feed = {{ from = "lower/+", size = "6 mm²", length = "3 m" }}
        return = {{ to = "frame/rear", size = "6 mm²", length = "1 m" }}
        [loads.heater]
        kind = "resistive"
        draws = "200 W"
        on = ["running"]
        feed = {{ from = "upper/+", size = "6 mm²", length = "4 m" }}
        return = {{ to = "frame/rear", size = "6 mm²", length = "1 m" }}
        "#,
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
        joint(),
    );
    let reading = file::read(text.as_bytes());
    assert_eq!(reading.errors(), 0, "{:?}", reading.problems);
    reading.vehicle.expect("no errors")
}

fn joints() -> impl Strategy<Value = Vec<f64>> {
    proptest::collection::vec(prop_oneof![4 => -2.0_f64..0.3, 1 => 0.3_f64..3.0], 6)
}

/// What holds in every state with an equaliser: it settles, no power is made, both halves are equal where it
/// regulates, and only the fuller half gives.
fn assert_equalised(vehicle: &Vehicle, network: &Network<'_>, point: &OperatingPoint) {
    assert_eq!(point.convergence, Convergence::Reached);
    assert!(point.balance.error.0.abs() < 1e-4, "{:?}", point.balance);
    assert!(point.balance.kirchhoff.0 < 1e-6, "{:?}", point.balance);
    let mut working = 0;
    for (at, source) in vehicle.regulated.iter().enumerate() {
        let Some(bank) = source.follows else { continue };
        let volts = |id: model::PointId| point.volts[id.index()];
        let own = volts(source.positive) - volts(source.negative);
        let half = 0.5 * (volts(bank.top) - volts(bank.bottom));
        let solved = point.source(RegulatedId::at(at));
        let sides = network.converter_sides(at, &point.laws, &point.volts).expect("it runs");
        let efficiency = source.input.as_ref().expect("it takes").efficiency.0;
        assert!((sides.given - sides.taken * efficiency).abs() < 1e-4, "{sides:?}");
        if solved.amps > Amperes(1e-3) {
            working += 1;
            // At its limit it leaves its half the emptier one, and never makes it the fuller.
            assert!(own < half + 1e-6, "{own} {half} {solved:?}");
            assert!(solved.amps <= source.limit[point.state.index()] + Amperes(1e-6));
        }
        if solved.mode == SourceMode::Regulating {
            assert!((own - half).abs() < 1e-6, "{own} {half} {solved:?}");
        }
    }
    assert!(working <= 1, "both halves work against each other");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn an_equaliser_holds_the_middle_at_half_of_the_bank_up_to_its_limit(
        joints in joints(), lower in 11.8_f64..12.9, upper in 11.8_f64..12.9, output in 2.0_f64..60.0, radio in 0.5_f64..40.0,
    ) {
        let vehicle = truck(&joints, (lower, upper), output, radio);
        let mut network = Network::new(&vehicle);
        for point in network.operating_points() {
            assert_equalised(&vehicle, &network, &point);
            for load in ["radio", "heater"] {
                let load = vehicle.load_named(load).expect("one");
                let Some(budget) = network.budget(&point, load) else { continue };
                for (side, reading) in [(Side::Feed, budget.feed), (Side::Return, budget.back)] {
                    prop_assert!((budget.sum(side) - reading).0.abs() < 1e-8);
                }
            }
        }
    }

    /// Whatever opens, the state settles; where that takes more rounds than there are, milliamperes are left and
    /// it is told not to have.
    #[test]
    fn a_bank_with_an_equaliser_settles_to_milliamperes_when_something_opens(
        joints in joints(), radio in 0.5_f64..20.0, which in any::<proptest::sample::Index>(),
    ) {
        let vehicle = truck(&joints, (12.4, 12.6), 20.0, radio);
        let mut network = Network::new(&vehicle);
        let base = network.operating_point(StateId(1));
        let opened = vehicle.conductors[which.index(vehicle.conductors.len())].id.clone();
        let piece = vehicle.piece_named(&opened).expect("one of its own");
        let failed = Failed { opened: vec![piece], ..Failed::default() };
        let after = network.failed_point(&base, &failed);
        match &after.convergence {
            // Sides of a tie that miss each other by a milliwatt count as settled.
            Convergence::Reached => prop_assert!(after.balance.error.0.abs() < 2e-3, "{} {:?}", opened, after.balance),
            Convergence::NotReached { at, amps } => prop_assert!(*amps < Amperes(0.01), "{} {} {:?}", opened, at, amps),
        }
    }

    /// How a load's volts answer an ohm more, the equaliser following, is what solving again shows.
    #[test]
    fn a_slope_counts_what_the_equaliser_does(joints in joints(), radio in 2.0_f64..12.0) {
        let mut vehicle = truck(&joints, (12.4, 12.6), 60.0, radio);
        for conductor in &mut vehicle.conductors { conductor.length = None; }
        let mut network = Network::new(&vehicle);
        let point = network.operating_point(StateId(0));
        let load = vehicle.load_named("radio").expect("one");
        let budget = network.budget(&point, load).expect("a way home");
        let name = "balancer-mid.from";
        let Some(Piece::Joint(id)) = vehicle.piece_named(name) else { panic!("a joint") };
        let Some(term) = budget.terms.iter().find(|own| own.piece == Piece::Joint(id)) else { return Ok(()) };
        let step = 1e-3 * term.resistance.0;
        let mut changed = vehicle.clone();
        changed.joints[id.index()].resistance = Ohms(term.resistance.0 + step);
        let volts = Network::new(&changed).operating_point(StateId(0)).load(load).volts;
        let slope = (volts - budget.load_volts).0 / step;
        prop_assert!((slope - term.volts_per_ohm).abs() < 0.05 * slope.abs() + 2e-2, "{slope} {}", term.volts_per_ohm);
    }
}

#[test]
fn a_lost_equaliser_leaves_the_middle_to_the_batteries() {
    let vehicle = truck(&[-1.0; 6], (12.5, 12.5), 40.0, 20.0);
    let mut network = Network::new(&vehicle);
    let base = network.operating_point(StateId(0));
    let halves = |point: &OperatingPoint| (point.batteries[0].volts, point.batteries[1].volts);
    let (lower, upper) = halves(&base);
    assert!((upper - lower).0 < 0.1, "{lower:?} {upper:?}");
    let gone = Failed { regulated: vec![RegulatedId(1)], ..Failed::default() };
    let after = network.failed_point(&base, &gone);
    assert!(after.regulated.iter().all(|own| own.amps.0.abs() < 1e-9), "{:?}", after.regulated);
    assert!(after.batteries[0].amps > base.batteries[0].amps);
}

//! What ties devices together, tried on random vehicles: converters that cannot give more than they
//! take, routes that add up to what sources deliver, batteries in series.

use std::collections::BTreeMap;

use file::read;
use model::{BatteryId, LoadId, Piece, RegulatedId, StateId, Vehicle};
use proptest::prelude::*;
use units::{Amperes, Volts};

use crate::{
    Convergence, LoadStatus, Network, OperatingPoint, RouteEnd, RouteStart, Routes, Side,
    SourceMode,
};

/// Two batteries in series with a load on the middle, a converter from 24 to 12 V that shares its
/// ground with everything, and one that charges a third battery; resistances as drawn, in powers of ten.
fn vehicle(joints: &[f64], positive_earth: bool) -> Vehicle {
    let mut next = joints.iter().cycle().map(|exponent| format!("{} mΩ", 10_f64.powf(*exponent)));
    let mut joint = || next.next().expect("a cycle has no end");
    let earth = if positive_earth { "positive" } else { "negative" };
    // Batteries stand the other way about where the metal is positive.
    let (top, bottom) = if positive_earth { ("lower", "upper") } else { ("upper", "lower") };
    let (live, home) = if positive_earth { ("-", "+") } else { ("+", "-") };
    let text = format!(
        r#"
        format = 1
        [vehicle]
        name = "random"
        nominal = "24 V"
        earth = "{earth}"
        states = ["resting", "key-on", "cranking", "running"]
        [batteries.lower]
        nominal = "12 V"
        capacity = "100 Ah"
        [batteries.upper]
        nominal = "12 V"
        capacity = "100 Ah"
        [batteries.third]
        nominal = "12 V"
        capacity = "120 Ah"
        charge = "40 %"
        [structures.frame]
        resistance = "0.2 mΩ"
        points.front = {{}}
        points.middle = {{}}
        points.rear = {{}}
        [conductors.ground]
        from = {{ point = "{bottom}/{home}", resistance = "{}" }}
        to = "frame/front"
        size = "70 mm²"
        length = "0.5 m"
        [conductors.link]
        from = {{ point = "lower/+", resistance = "{}" }}
        to = "upper/-"
        size = "70 mm²"
        length = "0.3 m"
        [conductors.third-ground]
        from = {{ point = "third/{home}", resistance = "{}" }}
        to = "frame/rear"
        size = "25 mm²"
        length = "0.5 m"
        [alternators.alternator]
        output = "80 A"
        lead = {{ to = "{top}/{live}", size = "25 mm²", length = "1.5 m" }}
        case = {{ point = "frame/front", resistance = "{}" }}
        [converters.reducer]
        output = "40 A"
        voltage = "13.5 V"
        on = ["key-on", "running"]
        return = {{ to = {{ point = "frame/middle", resistance = "{}" }}, size = "10 mm²", length = "0.5 m" }}
        [conductors.reducer-feed]
        from = {{ point = "{top}/{live}", resistance = "{}" }}
        to = "reducer/in{live}"
        size = "10 mm²"
        length = "2 m"
        [conductors.reducer-home]
        from = "reducer/in{home}"
        to = {{ point = "frame/middle", resistance = "{}" }}
        size = "10 mm²"
        length = "0.5 m"
        [converters.booster]
        output = "20 A"
        voltage = "14.4 V"
        efficiency = "85 %"
        on = ["running"]
        lead = {{ to = {{ point = "third/{live}", resistance = "{}" }}, size = "10 mm²", length = "3 m" }}
        return = {{ to = "third/{home}", size = "10 mm²", length = "3 m" }}
        [conductors.booster-feed]
        from = {{ point = "reducer/{live}", resistance = "{}" }}
        to = "booster/in{live}"
        size = "10 mm²"
        length = "1 m"
        [conductors.booster-home]
        from = "booster/in{home}"
        to = {{ point = "frame/middle", resistance = "{}" }}
        size = "10 mm²"
        length = "0.5 m"
        [loads.starter]
        kind = "starter"
        draws = "300 A"
        feed = {{ from = "{top}/{live}", size = "70 mm²", length = "1.2 m" }}
        case = {{ point = "frame/front", resistance = "{}" }}
        [loads.radio]
        kind = "electronics"
        rated = "13.6 V"
        draws = "8 A"
        feed = {{ from = "{bottom}/{live}", size = "2.5 mm²", length = "3 m" }}
        return = {{ to = {{ point = "frame/middle", resistance = "{}" }}, size = "2.5 mm²", length = "1 m" }}
        [loads.lamp]
        kind = "lamp"
        rated = "13.5 V"
        draws = "70 W"
        feed = {{ from = "reducer/{live}", size = "2.5 mm²", length = "2 m" }}
        return = {{ to = {{ point = "frame/rear", resistance = "{}" }}, size = "2.5 mm²", length = "1 m" }}
        [loads.heater]
        kind = "resistive"
        draws = "200 W"
        feed = {{ from = "{top}/{live}", size = "6 mm²", length = "4 m" }}
        return = {{ to = {{ point = "frame/rear", resistance = "{}" }}, size = "6 mm²", length = "1 m" }}
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
    sound(&text)
}

fn sound(text: &str) -> Vehicle {
    let reading = read(text.as_bytes());
    assert_eq!(reading.errors(), 0, "{:?}", reading.problems);
    reading.vehicle.expect("no errors")
}

/// Sound joints and bad ones, up to an ohm.
fn joints() -> impl Strategy<Value = Vec<f64>> {
    let one = prop_oneof![4 => -2.0_f64..0.3, 1 => 0.3_f64..3.0];
    proptest::collection::vec(one, 14)
}

/// A name for what gives or takes current, so that both can be counted.
fn name(vehicle: &Vehicle, end: RouteEnd) -> Option<String> {
    match end {
        RouteEnd::Battery(id) => Some(vehicle.battery(id).id.clone()),
        RouteEnd::Source(id) => Some(vehicle.regulated_source(id).id.clone()),
        RouteEnd::Load(_) | RouteEnd::Charging(_) | RouteEnd::Input(_) => None,
    }
}

/// What routes of all that flows say, held against the solved state.
fn assert_accounted(vehicle: &Vehicle, point: &OperatingPoint, all: &Routes) {
    let mut given: BTreeMap<String, f64> = BTreeMap::new();
    let mut carried: BTreeMap<usize, f64> = BTreeMap::new();
    for route in &all.routes {
        if let Some(name) = name(vehicle, route.end) {
            *given.entry(name).or_default() += route.amps.0;
        }
        for piece in &route.pieces {
            *carried.entry(vehicle.piece_slot(*piece)).or_default() += route.amps.0;
        }
        assert_with_the_current(vehicle, point, &route.pieces);
    }
    let batteries = vehicle.batteries.iter().map(|own| &own.id);
    let delivered = batteries.zip(&point.batteries).map(|(id, at)| (id, at.amps)).chain(
        vehicle
            .regulated
            .iter()
            .map(|own| &own.id)
            .zip(&point.regulated)
            .map(|(id, at)| (id, at.amps)),
    );
    for (id, amps) in delivered {
        let routed = given.get(id).copied().unwrap_or_default();
        assert!((routed - amps.0.max(0.0)).abs() < 1e-3, "{id}: {routed} {amps:?}");
    }
    for (slot, amps) in carried {
        let most = point.pieces[slot].amps.0.abs();
        assert!(amps < most + 1e-6, "{slot}: {amps} {most}");
    }
    for (at, load) in vehicle.loads.iter().enumerate() {
        let own = all.routes.iter().filter(|own| own.start == RouteStart::Load(LoadId::at(at)));
        let routed: f64 = own.map(|route| route.amps.0).sum();
        let drawn = point.loads[at].amps.0.abs();
        assert!((routed - drawn).abs() < 1e-3, "{}: {routed} {drawn}", load.id);
    }
}

/// Conductors of a route are passed in the direction of their solved current.
fn assert_with_the_current(vehicle: &Vehicle, point: &OperatingPoint, pieces: &[Piece]) {
    let sign = if vehicle.earth == model::Earth::Negative { 1.0 } else { -1.0 };
    for three in pieces.windows(3) {
        let &[Piece::Joint(first), Piece::Conductor(id), Piece::Joint(_)] = three else { continue };
        let forward = if vehicle.conductor(id).from == first { 1.0 } else { -1.0 };
        let amps = point.piece(vehicle, Piece::Conductor(id)).amps;
        assert!(sign * forward * amps.0 > 0.0, "{} {amps:?}", vehicle.conductor(id).id);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Whatever joint is bad: output power is input power times efficiency, the search settles, and a
    /// converter that its feed limits leaves the feed at its least voltage.
    #[test]
    fn a_converter_never_gives_more_than_it_takes(joints in joints(), positive in any::<bool>()) {
        let vehicle = vehicle(&joints, positive);
        let mut network = Network::new(&vehicle);
        for point in network.operating_points() {
            prop_assert_eq!(&point.convergence, &Convergence::Reached);
            prop_assert!(point.balance.error.0.abs() < 1e-4, "{:?}", point.balance);
            prop_assert!(point.balance.kirchhoff.0 < 1e-6, "{:?}", point.balance);
            for at in 0..vehicle.regulated.len() {
                let Some(sides) = network.converter_sides(at, &point.laws, &point.volts) else { continue };
                let input = vehicle.regulated[at].input.as_ref().expect("a converter");
                prop_assert!(sides.given <= sides.taken * input.efficiency.0 + 1e-4, "{sides:?}");
                let feed = point.volts[input.positive.index()] - point.volts[input.negative.index()];
                match point.source(RegulatedId::at(at)).mode {
                    SourceMode::Starved => {
                        prop_assert!(feed >= input.minimum.0 && feed < 1.03 * input.minimum.0, "{feed} {sides:?}");
                    }
                    SourceMode::DroppedOut => prop_assert!(sides.given < 1e-3, "{sides:?}"),
                    _ => prop_assert!(sides.taken < 1e-6 || feed >= input.minimum.0, "{feed} {sides:?}"),
                }
            }
        }
    }

    /// Loads, batteries being charged and converter inputs: what all routes give a source is what it
    /// delivers, and no piece has more of them than it carries, nor against its current.
    #[test]
    fn routes_of_all_that_flows_add_up_to_what_every_source_delivers(joints in joints(), positive in any::<bool>()) {
        let vehicle = vehicle(&joints, positive);
        let mut network = Network::new(&vehicle);
        for point in network.operating_points() {
            assert_accounted(&vehicle, &point, &network.routes_from(&point, |_| true));
        }
    }

    /// The same on a vehicle with batteries in parallel and an alternator that may be at its limit.
    #[test]
    fn routes_add_up_with_batteries_in_parallel(joints in crate::laws::joints(), positive in any::<bool>(), most in 5.0_f64..120.0) {
        let mut vehicle = crate::laws::vehicle(&joints, positive);
        for limit in &mut vehicle.regulated[0].limit {
            *limit = limit.min(Amperes(most));
        }
        let mut network = Network::new(&vehicle);
        for point in network.operating_points() {
            let all = network.routes_from(&point, |_| true);
            assert_accounted(&vehicle, &point, &all);
            // One load's routes are its part of all, not another answer.
            for at in (0..vehicle.loads.len()).map(LoadId::at) {
                let alone: f64 = network.routes(&point, at).routes.iter()
                    .filter(|route| matches!(route.end, RouteEnd::Source(_))).map(|route| route.amps.0).sum();
                let among: f64 = all.routes.iter().filter(|route| route.start == RouteStart::Load(at))
                    .filter(|route| matches!(route.end, RouteEnd::Source(_))).map(|route| route.amps.0).sum();
                prop_assert!((alone - among).abs() < 1e-6, "{alone} {among}");
            }
        }
    }

    /// Batteries in series: feed, load, return and what is lost between them add up, and every list
    /// to what a meter reads.
    #[test]
    fn a_budget_over_batteries_in_series_adds_up(joints in joints(), positive in any::<bool>()) {
        let vehicle = vehicle(&joints, positive);
        let mut network = Network::new(&vehicle);
        let (starter, radio) = (vehicle.load_named("starter").expect("one"), vehicle.load_named("radio").expect("one"));
        for (load, batteries) in [(starter, 2), (radio, 1)] {
            for &state in &vehicle.load(load).on {
                let point = network.operating_point(state);
                let budget = network.budget(&point, load).expect("a source on both sides");
                let chain = match &budget.home {
                    crate::budget::Home::Series(chain) => chain.clone(),
                    crate::budget::Home::Battery(id) => vec![*id],
                    crate::budget::Home::Source(_) => Vec::new(),
                };
                prop_assert_eq!(chain.len(), batteries);
                let sides = [(Side::Feed, budget.feed), (Side::Return, budget.back), (Side::Between, budget.between)];
                for (side, reading) in sides {
                    prop_assert!((budget.sum(side) - reading).abs() < Volts(1e-8), "{:?} {reading:?}", budget.sum(side));
                }
                let whole = budget.feed + budget.load_volts + budget.back;
                prop_assert!((whole - budget.source_volts).abs() < Volts(1e-8));
                let own: Volts = chain.iter().map(|id| point.battery(*id).volts).sum();
                prop_assert!((own - budget.between - budget.source_volts).abs() < Volts(1e-8));
            }
        }
    }
}

/// Another van: 48 V feed a 12 V house through a corroded plug.
fn van(ohms: f64) -> Vehicle {
    sound(&format!(
        r#"
        format = 1
        [vehicle]
        name = "van"
        nominal = "12 V"
        states = ["running"]
        [batteries.house]
        nominal = "12 V"
        voltage = "12.3 V"
        resistance = "6 mΩ"
        [batteries.traction]
        nominal = "48 V"
        voltage = "51 V"
        resistance = "20 mΩ"
        [converters.reducer]
        output = "60 A"
        voltage = "14.2 V"
        on = ["running"]
        lead = {{ to = "house/+", size = "16 mm²", length = "1 m" }}
        return = {{ to = "house/-", size = "16 mm²", length = "1 m" }}
        [conductors.feed]
        from = {{ point = "traction/+", resistance = "{ohms} Ω" }}
        to = "reducer/in+"
        size = "6 mm²"
        length = "3 m"
        [conductors.home]
        from = "reducer/in-"
        to = "traction/-"
        size = "6 mm²"
        length = "3 m"
        [conductors.bond]
        from = "traction/-"
        to = "house/-"
        size = "16 mm²"
        length = "1 m"
        "#
    ))
}

#[test]
fn a_converter_behind_a_bad_joint_gives_what_its_feed_lets_through() {
    for (ohms, mode) in [(0.01, SourceMode::Regulating), (8.0, SourceMode::Starved)] {
        let vehicle = van(ohms);
        let point = Network::new(&vehicle).operating_point(StateId::at(0));
        assert_eq!(point.convergence, Convergence::Reached);
        assert_eq!(point.regulated[0].mode, mode, "{ohms}");
        let input = vehicle.regulated[0].input.as_ref().expect("a converter");
        // 9 V of a nominal 12, 36 V of 48: the nominal voltage is that of what feeds it.
        assert!((input.minimum - Volts(36.0)).abs() < Volts(1e-9));
        let taken = -point.battery(BatteryId::at(1)).amps.0
            * -(point.volts[input.positive.index()] - point.volts[input.negative.index()]);
        let given = point.regulated[0].watts.0;
        assert!((given - taken * input.efficiency.0).abs() < 1e-4, "{given} {taken}");
    }
}

#[test]
fn a_converter_whose_feed_is_too_low_gives_nothing() {
    let mut vehicle = van(0.01);
    vehicle.batteries[1].open_circuit[0] = Volts(35.0);
    let point = Network::new(&vehicle).operating_point(StateId::at(0));
    assert_eq!(point.convergence, Convergence::Reached);
    assert_eq!(point.regulated[0].mode, SourceMode::DroppedOut);
    assert!(point.regulated[0].amps.abs() < Amperes(1e-6));
}

#[test]
fn a_load_with_next_to_no_volts_is_dead_and_one_below_its_usual_minimum_is_not_fed() {
    for (ohms, status) in
        [(0.01, LoadStatus::Fed), (4.0, LoadStatus::BelowUsual), (1e6, LoadStatus::Dead)]
    {
        let vehicle = sound(&format!(
            r#"
            format = 1
            [vehicle]
            name = "one module"
            nominal = "12 V"
            states = ["running"]
            [batteries.main]
            [loads.module]
            kind = "module"
            draws = "2 A"
            feed = {{ from = "main/+", size = "1 mm²", length = "2 m" }}
            return = {{ to = {{ point = "main/-", resistance = "{ohms} Ω" }}, size = "1 mm²", length = "2 m" }}
            "#
        ));
        let point = Network::new(&vehicle).operating_point(StateId::at(0));
        assert_eq!(point.loads[0].status, status, "{ohms} {:?}", point.loads[0]);
    }
}

#[test]
fn a_point_behind_blocking_diodes_lies_between_what_they_lead_to() {
    let vehicle = sound(
        r#"
        format = 1
        [vehicle]
        name = "isolator"
        nominal = "12 V"
        states = ["resting"]
        [batteries.main]
        voltage = "12.6 V"
        [batteries.second]
        voltage = "12.2 V"
        [alternators.alternator]
        output = "90 A"
        lead = { to = "post", size = "16 mm²", length = "1 m" }
        return = { to = "main/-", size = "16 mm²", length = "1 m" }
        [points.post]
        [diodes.to-main]
        from = "post"
        to = "main/+"
        [diodes.to-second]
        from = "post"
        to = "second/+"
        [conductors.ground]
        from = "main/-"
        to = "second/-"
        size = "16 mm²"
        length = "1 m"
        "#,
    );
    let point = Network::new(&vehicle).operating_point(StateId::at(0));
    let post = point.point(vehicle.point_named("post").expect("one")).expect("joined");
    assert!(post > Volts(12.19) && post < Volts(12.61), "{post:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// However steep it is and however bad its way home: one operating point, with its currents balanced.
    #[test]
    fn a_self_regulating_heater_settles_behind_any_joint(exponent in -3.0_f64..1.0, cold in 76.0_f64..3000.0) {
        let ohms = 10_f64.powf(exponent);
        let vehicle = sound(&format!(
            r#"
            format = 1
            [vehicle]
            name = "cabin heater"
            nominal = "12 V"
            states = ["running"]
            [batteries.main]
            [alternators.alternator]
            output = "120 A"
            lead = {{ to = "main/+", size = "25 mm²", length = "1 m" }}
            return = {{ to = "main/-", size = "25 mm²", length = "1 m" }}
            [loads.heater]
            kind = "self-regulating heater"
            draws = "75 A"
            cold = "{cold} A"
            feed = {{ from = "main/+", size = "16 mm²", length = "2 m" }}
            return = {{ to = {{ point = "main/-", resistance = "{ohms} Ω" }}, size = "16 mm²", length = "1 m" }}
            "#
        ));
        let point = Network::new(&vehicle).operating_point(StateId::at(0));
        prop_assert_eq!(&point.convergence, &Convergence::Reached);
        prop_assert!(point.balance.error.0.abs() < 1e-5 && point.balance.kirchhoff.0 < 1e-6, "{:?}", point.balance);
        let heater = &point.loads[0];
        let by_law = vehicle.loads[0].law.at(heater.volts).current;
        prop_assert!((by_law - heater.amps).abs() < Amperes(1e-6), "{by_law:?} {:?}", heater.amps);
    }
}

/// Two converters that feed each other through thin wire and sense at one battery.
const RING: &str = r#"
    format = 1
    [vehicle]
    name = "ring"
    nominal = "12 V"
    states = ["running"]
    [batteries.a]
    resistance = "300 mΩ"
    charge = "20 %"
    [batteries.b]
    resistance = "5 mΩ"
    [converters.x]
    output = "20 A"
    voltage = "14.4 V"
    on = ["running"]
    sense = "a/+"
    lead = { to = "b/+", size = "2.5 mm²", length = "3 m" }
    return = { to = "b/-", size = "1.5 mm²", length = "3 m" }
    [converters.y]
    output = "61 A"
    voltage = "14.4 V"
    on = ["running"]
    sense = "a/+"
    lead = { to = "a/+", size = "2.5 mm²", length = "0.5 m" }
    return = { to = "a/-", size = "1.5 mm²", length = "8 m" }
    [conductors.xp]
    from = "a/+"
    to = "x/in+"
    size = "2.5 mm²"
    length = "20 m"
    [conductors.xm]
    from = "a/-"
    to = "x/in-"
    size = "2.5 mm²"
    length = "3 m"
    [conductors.yp]
    from = "b/+"
    to = "y/in+"
    size = "6 mm²"
    length = "3 m"
    [conductors.ym]
    from = "b/-"
    to = "y/in-"
    size = "6 mm²"
    length = "3 m"
    [loads.pump]
    kind = "inverter"
    draws = "300 W"
    on = ["running"]
    feed = { from = "b/+", size = "1.5 mm²", length = "4 m" }
    return = { to = "b/-", size = "2.5 mm²", length = "4 m" }
"#;

#[test]
fn a_state_whose_converters_go_on_moving_is_not_told_as_found() {
    let vehicle = sound(RING);
    let point = Network::new(&vehicle).operating_point(StateId(0));
    // Each takes what the other gives: the rounds run out.
    let Convergence::NotReached { at, amps } = &point.convergence else { panic!("it settled") };
    assert!(["x", "y"].contains(&at.as_str()), "{at}");
    assert!(*amps > Amperes(1e-6), "{amps:?}");
}

#[test]
fn a_wire_whose_heat_throttles_its_own_current_settles() {
    let vehicle = sound(
        r#"
        format = 1
        [vehicle]
        name = "thin wire"
        nominal = "12 V"
        states = ["running"]
        [batteries.main]
        [loads.inverter]
        kind = "inverter"
        draws = "1500 W"
        on = ["running"]
        feed = { from = "main/+", size = "1.5 mm²", length = "4 m" }
        return = { to = "main/-", size = "1.5 mm²", length = "2 m" }
        "#,
    );
    let point = Network::new(&vehicle).operating_point(StateId(0));
    assert_eq!(point.convergence, Convergence::Reached);
    assert!(point.pieces[0].temperature.is_some_and(|own| own.celsius() > 300.0));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Between a source and what it charges, or what a converter takes: both sides and the battery add up, and every
    /// list to what a meter reads.
    #[test]
    fn the_budget_of_a_charge_adds_up(joints in joints(), positive in any::<bool>()) {
        let vehicle = vehicle(&joints, positive);
        let mut network = Network::new(&vehicle);
        for point in network.operating_points() {
            let charged = (0..vehicle.batteries.len()).map(BatteryId::at);
            let sources = || (0..vehicle.regulated.len()).map(RegulatedId::at);
            let budgets = charged
                .filter_map(|id| network.budget_of_charge(&point, id))
                .chain(sources().filter_map(|id| network.budget_of_charger(&point, id)))
                .chain(sources().filter_map(|id| network.budget_of_input(&point, id)));
            for budget in budgets {
                let sides = [(Side::Feed, budget.feed), (Side::Return, budget.back)];
                for (side, reading) in sides {
                    prop_assert!((budget.sum(side) - reading).abs() < Volts(1e-8), "{:?} {reading:?}", budget.sum(side));
                }
                let whole = budget.feed + budget.load_volts + budget.back;
                prop_assert!((whole - budget.source_volts).abs() < Volts(1e-8));
            }
        }
    }
}

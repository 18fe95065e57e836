//! What is told of single devices, ways and pieces, summed over every vehicle of the tree in every state.

use std::path::Path;

use model::{BatteryId, LoadId, Piece, RegulatedId, Vehicle};
use network::{Convergence, Network, OperatingPoint, Route, RouteEnd, RouteStart, Routes};
use units::Watts;

#[expect(clippy::disallowed_methods, reason = "a test looks through the tree")]
/// Every vehicle that stands in the tree, with its file's name.
fn vehicles() -> Vec<(String, Vehicle)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let cases = root.join("crates/cli/tests/cases/answers");
    let mut folders = vec![root.join("examples"), root.join("layouts")];
    folders.extend(std::fs::read_dir(cases).expect("cases").map(|own| own.expect("one").path()));
    let mut found = Vec::new();
    for folder in folders.into_iter().filter(|own| own.is_dir()) {
        for file in std::fs::read_dir(folder).expect("a folder") {
            let path = file.expect("a file").path();
            if path.extension().is_some_and(|own| own == "toml") {
                let text = std::fs::read(&path).expect("readable");
                let vehicle = file::read(&text).vehicle;
                found.extend(vehicle.map(|own| (path.display().to_string(), own)));
            }
        }
    }
    assert!(found.len() > 9, "{}", found.len());
    found
}

/// Every state of every vehicle that has an operating point.
fn each(mut look: impl FnMut(&str, &Network<'_>, &OperatingPoint)) {
    for (file, vehicle) in vehicles() {
        let mut network = Network::new(&vehicle);
        for point in network.operating_points() {
            if point.convergence == Convergence::Reached {
                let state = &vehicle.state(point.state).id;
                look(&format!("{file} {state}"), &network, &point);
            }
        }
    }
}

/// Watts that batteries and alternators give, that loads and batteries take, that pieces lose, and that
/// converters and equalisers turn to heat.
fn watts(vehicle: &Vehicle, point: &OperatingPoint) -> [f64; 5] {
    let batteries =
        |sign: f64| point.batteries.iter().map(move |own| (sign * own.watts.0).max(0.0));
    let (mut given, mut heat) = (batteries(1.0).sum::<f64>(), 0.0);
    for (at, source) in vehicle.regulated.iter().enumerate() {
        let gives = point.source(RegulatedId::at(at)).watts.0;
        match &source.input {
            // By its efficiency, not by what its input is told to take.
            Some(input) => heat += gives * (1.0 / input.efficiency.0 - 1.0),
            None => given += gives,
        }
    }
    let taken = point.loads.iter().map(|own| own.amps.0 * own.volts.0).sum();
    let lost = point.pieces.iter().map(|own| own.amps.0 * own.volts.0).sum();
    [given, taken, batteries(-1.0).sum(), lost, heat]
}

#[test]
fn what_sources_give_is_what_loads_batteries_metal_and_converters_take() {
    let mut converting = 0;
    each(|at, network, point| {
        let [given, taken, charging, lost, heat] = watts(network.vehicle(), point);
        let near = |told: Watts, own: f64| {
            assert!(
                (told.0 - own).abs() < 5e-3 + 1e-6 * given,
                "{at}: told {told:?}, summed {own}"
            );
        };
        near(point.balance.sources, given);
        near(point.balance.loads, taken);
        near(point.balance.charging, charging);
        near(point.balance.losses, lost);
        near(point.balance.conversion, heat);
        near(Watts(given), taken + charging + lost + heat);
        converting += usize::from(heat > 0.1);
    });
    assert!(converting > 2, "{converting}");
}

/// Amperes by which a sum of ways may miss: a way of a hundred-millionth is not followed.
fn within(amps: f64) -> f64 {
    1e-5 + 1e-6 * amps.abs()
}

/// What a device passes on the way home: what a way that begins or ends there may sum up to.
fn passes(point: &OperatingPoint, end: RouteEnd) -> f64 {
    match end {
        RouteEnd::Battery(id) => point.battery(id).amps.0,
        RouteEnd::Charging(id) => -point.battery(id).amps.0,
        RouteEnd::Source(id) => point.source(id).amps.0,
        RouteEnd::Load(id) => point.load(id).amps.0,
        RouteEnd::Input(_) => f64::INFINITY,
    }
}

/// No way carries more than any piece of it, or against it, and none ends at what gives nothing.
fn assert_flows(at: &str, vehicle: &Vehicle, point: &OperatingPoint, route: &Route) {
    let sign = if vehicle.earth == model::Earth::Negative { 1.0 } else { -1.0 };
    let mut here = route.from;
    for &piece in &route.pieces {
        let carries = point.piece(vehicle, piece).amps.0;
        assert!(route.amps.0 <= carries.abs() + within(carries), "{at}: {route:?} in {carries}");
        let Some((from, to)) = vehicle.piece_ends(piece) else { continue };
        // A conductor and its joints are one way: only where the points of the piece tell its direction.
        if matches!(piece, Piece::Joint(_)) {
            continue;
        }
        let forward =
            if here == from || (here != to && carries * sign >= 0.0) { 1.0 } else { -1.0 };
        assert!(forward * sign * carries >= -within(carries), "{at}: against {piece:?} {route:?}");
        here = if forward > 0.0 { to } else { from };
    }
    let ends = passes(point, route.end);
    assert!(ends + within(ends) >= route.amps.0, "{at}: {route:?} ends at {ends}");
}

#[test]
fn ways_home_of_all_add_up_to_what_each_piece_carries_and_each_source_delivers() {
    each(|at, network, point| {
        let vehicle = network.vehicle();
        let all = network.routes_from(point, |_| true);
        let mut ends: Vec<(RouteEnd, f64)> = Vec::new();
        for route in &all.routes {
            assert_flows(at, vehicle, point, route);
            match ends.iter_mut().find(|(end, _)| *end == route.end) {
                Some((_, sum)) => *sum += route.amps.0,
                None => ends.push((route.end, route.amps.0)),
            }
        }
        for (end, sum) in ends {
            let delivers = passes(point, end);
            let met = match end {
                RouteEnd::Battery(_) | RouteEnd::Source(_) => (sum - delivers).abs(),
                _ => (sum - delivers).max(0.0),
            };
            assert!(met < within(delivers), "{at}: {end:?} {sum} of {delivers}");
        }
        for load in (0..vehicle.loads.len()).map(LoadId::at) {
            let Routes { routes, total } = network.routes(point, load);
            let sum: f64 = routes.iter().map(|own| own.amps.0).sum();
            let draws = point.load(load).amps.0;
            assert!((sum - total.0).abs() < within(draws), "{at}: {sum} of {total:?}");
            assert!((sum - draws).abs() < within(draws), "{at}: {sum} of {draws}");
        }
        for battery in (0..vehicle.batteries.len()).map(BatteryId::at) {
            let own = network.routes_from(point, |own| own == RouteStart::Charging(battery));
            let takes = (-point.battery(battery).amps.0).max(0.0);
            let sum: f64 = own.routes.iter().map(|own| own.amps.0).sum();
            assert!((sum - takes).abs() < within(takes), "{at}: {sum} of {takes}");
        }
    });
}

//! Circuits of batteries in series against the operating point itself.

use network::Network;

use super::*;
use crate::room::shape_of;

const TRUCK: &str = include_str!("../../../cli/tests/cases/answers/equaliser/truck.toml");

/// With a load on the middle the two batteries of a bank are charged by different currents.
#[test]
fn a_battery_in_a_bank_is_charged_by_its_own_current_and_a_source_sends_home_what_it_gives() {
    let vehicle = file::read(TRUCK.as_bytes()).vehicle.expect("no errors");
    let mut differ = 0;
    for state in &vehicle.states {
        let id = vehicle.state_named(&state.id).expect("its own");
        let point = Network::new(&vehicle).operating_point(id);
        let of = |load: &str| {
            let state = Some(state.id.clone());
            let asked = Asked { load: load.to_owned(), state, ..Asked::default() };
            shape_of(&asked, &vehicle).ok()
        };
        let mut amps = Vec::new();
        for (battery, at) in vehicle.batteries.iter().zip(&point.batteries) {
            let Some(found) = of(&battery.id) else { continue };
            let own = &found.states[0];
            assert!((own.budget.load_amps + at.amps.0).abs() < 1e-9, "{} {}", battery.id, state.id);
            assert!((own.routes.total_amps + at.amps.0).abs() < 1e-3 * at.amps.0.abs());
            amps.push(own.budget.load_amps);
        }
        differ += usize::from(amps.windows(2).any(|two| (two[0] - two[1]).abs() > 0.1));
        for (source, at) in vehicle.regulated.iter().zip(&point.regulated) {
            let found = (source.input.is_none() && source.follows.is_none())
                .then(|| of(&source.id))
                .flatten();
            let Some(found) = found else { continue };
            let home = found.states[0].routes.total_amps;
            assert!((home - at.amps.0).abs() < 1e-3 * at.amps.0, "{}: {home} {:?}", source.id, at);
        }
    }
    assert!(differ > 0, "the bank is charged evenly in every state");
}

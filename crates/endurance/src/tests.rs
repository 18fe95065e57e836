//! Faults and failures are held against one set of limits.

use model::{Piece, StateId, Vehicle};
use network::Network;
use units::{Amperes, Kelvin, Ratio, Seconds};

use crate::{BARE_LIMIT, Bearing, Harm, LimitOf, Rule, Thermal};

/// Two conductors of one size, one with a covering and one bare, in a state of hours.
fn vehicle(insulation: &str) -> Vehicle {
    let text = format!(
        r#"
format = 1
[vehicle]
name = "two conductors"
nominal = "12 V"
[batteries.main]
voltage = "12.5 V"
resistance = "5 mΩ"
[loads.lamp]
kind = "lamp"
draws = "5 A"
[conductors.feed]
from = "main/+"
to = "lamp/+"
size = "2.5 mm²"
length = "2 m"
insulation = "{insulation}"
[conductors.return]
from = "lamp/-"
to = "main/-"
size = "2.5 mm²"
length = "2 m"
kind = "braid"
"#
    );
    let reading = file::read(text.as_bytes());
    reading.vehicle.unwrap_or_else(|| panic!("{:?}", reading.problems))
}

const INSULATIONS: [&str; 4] = ["PVC 70", "PVC 105", "XLPE 90", "ISO 6722 C"];

fn conductors(vehicle: &Vehicle) -> Vec<(Thermal, Bearing)> {
    let point = Network::new(vehicle).operating_point(StateId(0));
    let ids = vehicle.pieces().filter_map(|piece| match piece {
        Piece::Conductor(id) => Some(id),
        _ => None,
    });
    ids.map(|id| {
        let thermal = Thermal::of(vehicle, id, StateId(0)).expect("size and length");
        (thermal, Bearing::new(vehicle, id, &point).expect("size and length"))
    })
    .collect()
}

#[test]
fn what_a_conductor_bears_for_ever_harms_it_neither_as_a_fault_nor_in_a_state() {
    for (thermal, bearing) in INSULATIONS.iter().flat_map(|own| conductors(&vehicle(own))) {
        let borne = thermal.lasting * 0.99;
        assert_eq!(thermal.harm(borne, None), Harm::None);
        assert_eq!(bearing.endurance(borne, Ratio(1.0)).limit_after, None);
        let more = thermal.lasting * 1.2;
        assert_ne!(thermal.harm(more, None), Harm::None, "{thermal:?}");
        assert!(bearing.endurance(more, Ratio(1.0)).passes_limit(), "{thermal:?}");
    }
}

#[test]
fn the_longer_a_temperature_lasts_the_lower_it_has_to_be() {
    for (thermal, bearing) in INSULATIONS.iter().flat_map(|own| conductors(&vehicle(own))) {
        let limits = thermal.limits;
        assert!(limits.lasting <= limits.overload && limits.overload <= limits.short);
        assert_eq!(bearing.limit(), limits.lasting);
        let bare = limits.of == LimitOf::BareMetal;
        assert_eq!(bare, [limits.lasting, limits.short] == [BARE_LIMIT; 2], "{limits:?}");
    }
}

#[test]
fn a_fault_is_judged_by_the_temperature_for_its_time_and_says_which() {
    let [(feed, _), _] = conductors(&vehicle("PVC 70"))[..] else { panic!("two conductors") };
    let rule = |amps: f64, seconds: f64| {
        let harm = feed.harm(Amperes(amps), Some(Seconds(seconds)));
        (harm.rule(), matches!(harm, Harm::Burns { limit, .. } if limit > Kelvin(0.0)))
    };
    let bears = feed.lasting.0;
    assert_eq!(rule(500.0, 1.0), (Some(Rule::ShortCircuit), true));
    assert_eq!(rule(2.0 * bears, 3000.0), (Some(Rule::Overload), true));
    assert_eq!(rule(1.1 * bears, 3000.0), (None, false));
    assert_eq!(rule(1.1 * bears, 4000.0), (Some(Rule::Lasting), false));
}

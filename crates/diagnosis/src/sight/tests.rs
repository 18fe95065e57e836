//! What a sight is worth on a car with two ways home.

use model::{Condition, Done, Pieces, Seen, Sight, Spot, StateId, Upset, Vehicle};

use crate::session::Session;
use crate::side::Side;
use crate::symptom::{Account, Heard, Symptom};

const CAR: &str = r#"
format = 1
[vehicle]
name = "saloon"
nominal = "12 V"
states = ["resting", "key-on", "cranking"]
[structures.engine]
likely = ["0.01 mΩ", "0.1 mΩ"]
points = { block = {}, starter = {} }
[structures.body]
likely = ["0.1 mΩ", "1.5 mΩ"]
points = { front = {}, dash = {} }
[points]
fuse-box = {}
[batteries.battery]
likely-voltage = ["12.1 V", "12.8 V"]
likely-resistance = ["3 mΩ", "12 mΩ"]
[conductors.feed-cable]
from = "battery/+"
to = "starter/+"
likely = ["0.3 mΩ", "1.5 mΩ"]
[conductors.panel-cable]
from = "battery/+"
to = "fuse-box"
likely = ["0.5 mΩ", "4 mΩ"]
[conductors.earth-cable]
from = "battery/-"
to = "engine/block"
likely = ["0.2 mΩ", "1.2 mΩ"]
[conductors.wing-cable]
from = "battery/-"
to = "body/front"
likely = ["0.6 mΩ", "4 mΩ"]
[incidental.control-cables]
from = "engine/block"
to = "body/dash"
kind = "control cable"
[loads.starter]
kind = "starter"
draws = "200 A"
likely = ["110 A", "360 A"]
on = ["cranking"]
case = "engine/starter"
[loads.gauges]
kind = "module"
draws = "8 A"
likely = ["3 A", "20 A"]
on = ["key-on", "cranking"]
feed = { from = "fuse-box", likely = ["8 mΩ", "60 mΩ"] }
return = { to = "body/dash", likely = ["3 mΩ", "25 mΩ"] }
"#;

fn car() -> Vehicle {
    let read = file::read(CAR.as_bytes());
    let told: Vec<String> = read.problems.iter().map(|own| own.what.clone()).collect();
    read.vehicle.unwrap_or_else(|| panic!("{told:?}"))
}

fn seen(state: Option<StateId>, sight: Sight) -> Seen {
    Seen { number: 1, state, sight, what: String::new(), text: String::new() }
}

fn heard(vehicle: &Vehicle, symptom: Symptom) -> Heard {
    let state = vehicle.state_named("cranking").expect("a state of the car");
    Heard { symptom, load: vehicle.load_named("starter"), state }
}

fn told(vehicle: &Vehicle, sights: &[Sight]) -> Account {
    let all: Vec<Seen> = sights.iter().map(|own| seen(None, own.clone())).collect();
    Session::new(vehicle).seeing(&all).hear(&[], heard(vehicle, Symptom::SlowCrank))
}

fn of(account: &Account, side: Side) -> f64 {
    account.sides.probability(side).0
}

fn cable(vehicle: &Vehicle, name: &str) -> Spot {
    let all = 0..vehicle.conductors.len();
    let ids = all.map(model::ConductorId::at);
    let conductors = ids.filter(|id| vehicle.conductor(*id).id == name).collect();
    Spot::Pieces(Pieces { conductors, ..Pieces::default() })
}

#[test]
fn a_control_cable_that_gets_hot_accuses_the_way_home() {
    let v = car();
    let before = told(&v, &[]);
    let hot = told(&v, &[Sight::Heat { spot: Spot::Undrawn, hot: true }]);
    let odds = |account: &Account| of(account, Side::Return) / of(account, Side::Source);
    assert!(odds(&hot) > 4.0 * odds(&before), "{} {}", odds(&hot), odds(&before));
    assert!(of(&hot, Side::Return) > of(&before, Side::Return));
    let cool = told(&v, &[Sight::Heat { spot: Spot::Undrawn, hot: false }]);
    assert!(of(&cool, Side::Return) < of(&before, Side::Return));
}

#[test]
fn a_hot_cable_accuses_itself_and_no_other() {
    let v = car();
    let before = told(&v, &[]);
    for (name, own, other) in
        [("feed-cable", Side::Feed, Side::Return), ("earth-cable", Side::Return, Side::Feed)]
    {
        let hot = told(&v, &[Sight::Heat { spot: cable(&v, name), hot: true }]);
        assert!(of(&hot, own) > of(&before, own) + 0.1, "{name}");
        assert!(of(&hot, other) < of(&before, other), "{name}");
    }
}

#[test]
fn what_is_found_loose_is_likelier_at_fault_and_what_is_clean_is_less_so() {
    let v = car();
    let spot = || cable(&v, "earth-cable");
    let found = |condition, so| told(&v, &[Sight::Condition { spot: spot(), condition, so }]);
    let before = of(&told(&v, &[]), Side::Return);
    assert!(of(&found(Condition::Loose, true), Side::Return) > 2.0 * before);
    assert!(of(&found(Condition::Corroded, true), Side::Return) > before);
    assert!(of(&found(Condition::Fine, true), Side::Return) < before);
    assert!(of(&found(Condition::Loose, false), Side::Return) < before);
}

#[test]
fn a_part_replaced_in_vain_is_less_likely_at_fault_and_never_cleared() {
    let v = car();
    let before = told(&v, &[]);
    let vain = |spot| Sight::Worked { spot, done: Done::Replaced, helped: false };
    let after = told(&v, &[vain(Spot::Battery)]);
    assert!(of(&after, Side::Source) < 0.4 * of(&before, Side::Source));
    assert!(of(&after, Side::Source) > 0.0);
    let starter = v.load_named("starter").expect("a load of the car");
    let after = told(&v, &[vain(Spot::Load(starter))]);
    assert!(of(&after, Side::Load) < of(&before, Side::Load));
}

#[test]
fn no_heap_of_sights_makes_a_side_certain() {
    let v = car();
    let many: Vec<Sight> = [
        Sight::Heat { spot: Spot::Undrawn, hot: true },
        Sight::Heat { spot: cable(&v, "earth-cable"), hot: true },
        Sight::Condition { spot: cable(&v, "earth-cable"), condition: Condition::Loose, so: true },
        Sight::Worked { spot: Spot::Battery, done: Done::Replaced, helped: false },
    ]
    .into();
    let account = told(&v, &many);
    assert!(of(&account, Side::Return) > 0.8, "{}", of(&account, Side::Return));
    for side in Side::ALL {
        assert!(of(&account, side) <= 0.9 + 1e-9, "{side:?}");
    }
}

#[test]
fn lamps_that_stay_bright_take_from_the_source() {
    let v = car();
    let gauges = v.load_named("gauges");
    let upset = |so| Sight::Upset { upset: Upset::Dims, device: gauges, so };
    let (dim, bright) = (told(&v, &[upset(true)]), told(&v, &[upset(false)]));
    assert!(of(&dim, Side::Source) > of(&bright, Side::Source));
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    fn any_sight() -> impl Strategy<Value = u8> {
        0_u8..10
    }

    fn sight(vehicle: &Vehicle, at: u8) -> Sight {
        let spot = cable(vehicle, if at.is_multiple_of(2) { "feed-cable" } else { "earth-cable" });
        match at {
            0 | 1 => Sight::Heat { spot, hot: at == 0 },
            2 | 3 => Sight::Condition { spot, condition: Condition::Loose, so: true },
            4 | 5 => Sight::Worked { spot, done: Done::Cleaned, helped: at == 4 },
            6 => Sight::Comes(model::Occasion::Wet),
            7 => Sight::Heat { spot: Spot::Undrawn, hot: true },
            8 => Sight::Worked { spot: Spot::Control, done: Done::Replaced, helped: false },
            _ => Sight::Upset { upset: Upset::Dies, device: None, so: true },
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(12))]

        /// In whatever order they are told, they say the same, and chances stay chances.
        #[test]
        fn the_order_in_which_things_are_told_does_not_matter(
            all in proptest::collection::vec(any_sight(), 0..4)
        ) {
            let v = car();
            let mut told_so: Vec<Sight> = all.iter().map(|at| sight(&v, *at)).collect();
            let one = told(&v, &told_so);
            told_so.reverse();
            let other = told(&v, &told_so);
            for side in Side::ALL {
                let (a, b) = (of(&one, side), of(&other, side));
                prop_assert!((a - b).abs() < 1e-6, "{side:?}: {a} {b}");
                prop_assert!((0.0..=1.0).contains(&a));
            }
        }
    }
}

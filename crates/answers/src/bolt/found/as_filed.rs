//! A joint of a vehicle, with as much as its file says of its bolt.

use catalogue::{Catalogue, ConnectionTorque, Fixing, Known, Row, Thread};
use units::NewtonMetres;

use super::{Found, TorqueFrom, read};
use crate::arguments::Arguments;
use crate::bolt::asked::{Asked, USUAL_FINISH, USUAL_METHOD};
use crate::bolt::place::{Place, Standing};
use crate::bolt::sheet::{JointAsked, Sheet, forming_torque};
use crate::bolt::tightening::{Bolt, Tightening, tightening};

/// Where the file gives no torque, the usual one of its bolt is taken, but only in metal of a structure: a
/// terminal of brass or lead yields long before the bolt.
pub(super) fn of(place: Place) -> Found {
    let asked = read::joint(&Asked::default(), Some(&place), &mut Arguments::default());
    let bolt = place.thread.and_then(|thread| bolt(thread.row(), &place, &asked));
    let bolt = bolt.and_then(|bolt| {
        let (from, found) = tightened(&bolt, &place, &asked)?;
        Some((bolt, found, from))
    });
    let bolted = bolt.as_ref().map(|(bolt, found, _)| (bolt, found));
    let sheet = Sheet::of(&asked, Some(&place), bolted);
    Found::AsFiled { place: Box::new(place), sheet, bolt }
}

fn bolt(thread: &'static Thread, place: &Place, asked: &JointAsked) -> Option<Bolt> {
    let catalogue = Catalogue::standard();
    let usual = || catalogue.property_classes.known(Bolt::usual_class(Some(thread)));
    let class = place.class.or_else(usual)?.row();
    let running = if asked.forming { forming_torque(thread)? } else { NewtonMetres::ZERO };
    Bolt::is_made(thread, class).then_some(Bolt {
        thread,
        class,
        class_assumed: place.class.is_none(),
        finish: catalogue.nut_factors.find(USUAL_FINISH)?,
        method: catalogue.tightening_scatter.find(USUAL_METHOD)?,
        running,
        settling: Bolt::settling_of(asked.stack),
    })
}

/// Where the torque comes from, and what it does.
fn tightened(bolt: &Bolt, place: &Place, asked: &JointAsked) -> Option<(TorqueFrom, Tightening)> {
    let (from, seating) = match place.torque {
        Some(torque) => (TorqueFrom::File, torque - bolt.running),
        None => {
            let by_the_bolt = place.kind.fixing == Fixing::Bolt
                && place.on == Standing::Structure
                && !asked.forming;
            (TorqueFrom::Usual, by_the_bolt.then(|| bolt.usual_seating())?)
        }
    };
    let found = (seating > NewtonMetres::ZERO).then(|| tightening(bolt, seating).ok())??;
    Some((from, found))
}

/// Torques that others give: for this kind of joint, at a battery for batteries, else for lugs and buses.
pub(super) fn connections(place: &Place) -> impl Iterator<Item = &'static ConnectionTorque> {
    let battery = place.on == Standing::Battery;
    let rows = Catalogue::standard().connection_torques.iter();
    rows.filter(move |row| {
        let of_its_kind = row.key() == place.kind.word();
        let of_its_thread =
            row.thread.is_some() && row.thread.as_deref() == place.thread.map(Known::word);
        of_its_kind || (of_its_thread && row.connection.starts_with("battery") == battery)
    })
}

#[cfg(test)]
mod tests {
    use model::Vehicle;

    use crate::bolt::{Asked, BoltAnswer, JointSheet};
    use crate::room::shape_of;

    const USUAL: &str = "usual";

    fn vehicle(text: &str) -> Vehicle {
        file::read(text.as_bytes()).vehicle.expect("no errors")
    }

    fn sheet(vehicle: &Vehicle, joint: &str) -> JointSheet {
        match shape_of(&Asked::of_joint(joint), Some(vehicle)) {
            Ok(BoltAnswer::AsFiled(sheet)) => sheet,
            other => panic!("{other:?}"),
        }
    }

    fn sheets(text: &str) -> Vec<JointSheet> {
        let vehicle = vehicle(text);
        vehicle.joints.iter().map(|joint| sheet(&vehicle, &joint.id)).collect()
    }

    const AMBULANCE: &str = include_str!("../../../../../examples/rescue-ambulance.toml");
    const BOAT: &str = include_str!("../../../../../examples/harbour-workboat.toml");

    /// A stud of brass or a post of lead yields long before a steel bolt does.
    #[test]
    fn a_torque_that_the_file_lacks_is_offered_in_metal_of_a_structure_alone() {
        let mut usual = 0;
        for sheet in sheets(AMBULANCE).into_iter().chain(sheets(BOAT)) {
            let place = sheet.sheet.place.as_ref().expect("of a file");
            match sheet.torque_from {
                Some(USUAL) => {
                    assert_eq!(place.on, "structure", "{}", sheet.joint);
                    let bolt = sheet.bolt.expect("with a torque");
                    let share = bolt.proof_share.nominal;
                    assert!((share - 0.75).abs() < 1e-9, "{share}");
                    assert!(sheet.torque_source.is_some());
                    usual += 1;
                }
                Some(_) => assert!(sheet.bolt.is_some()),
                None => assert!(sheet.bolt.is_none() && sheet.sheet.under_head_pascals.is_none()),
            }
        }
        assert!(usual > 0);
    }

    /// Battery makers' manuals: 5 to 8 N·m for a post clamp.
    #[test]
    fn a_post_clamp_without_a_torque_is_told_what_battery_makers_give() {
        let all = sheets(AMBULANCE);
        let post = all.iter().find(|own| own.joint == "main-negative.from").expect("there");
        assert_eq!((post.torque_from, post.bolt.is_none()), (None, true));
        let [given] = post.connections.as_slice() else { panic!("{:?}", post.connections) };
        assert_eq!((given.low_newton_metres, given.high_newton_metres), (5.0, 8.0));
        assert!(post.sheet.advice.iter().any(|own| own.subject == "battery posts"));
    }

    #[test]
    fn a_bolt_at_its_usual_torque_is_not_said_to_stretch() {
        for sheet in sheets(BOAT).iter().filter(|own| own.torque_from == Some(USUAL)) {
            assert!(!sheet.warnings.contains(&"beyond-proof-load"), "{}", sheet.joint);
        }
    }

    /// A bus has a stud for each lug; five lugs on it are not five on one stud.
    #[test]
    fn lugs_on_a_bus_are_no_stack_and_lugs_on_one_stud_lie_in_the_order_of_their_currents() {
        let boat = sheets(BOAT);
        let bus = boat.iter().find(|own| own.joint == "start-negative.to").expect("there");
        assert_eq!((bus.sheet.stack, bus.warnings.is_empty()), (1, true));
        let stud = r#"
format = 1
[vehicle]
name = "two lamps on one stud"
nominal = "12 V"
[batteries.main]
cranking = "540 A"
[points.stud]
[conductors.main-feed]
size = "16 mm²"
length = "1 m"
from = "main/+"
to = { point = "stud", joint = "bolted lug", thread = "M8" }
[loads.small]
kind = "lamp"
draws = "12 W"
feed = { size = "2.5 mm²", length = "1 m", from = { point = "stud", joint = "bolted lug", thread = "M8" } }
return = { size = "2.5 mm²", length = "1 m", to = "main/-" }
[loads.large]
kind = "lamp"
draws = "120 W"
feed = { size = "6 mm²", length = "1 m", from = { point = "stud", joint = "bolted lug", thread = "M8" } }
return = { size = "6 mm²", length = "1 m", to = "main/-" }
"#;
        let vehicle = vehicle(stud);
        let order = ["main-feed.to", "large.feed.from", "small.feed.from"];
        for name in order {
            let sheet = sheet(&vehicle, name).sheet;
            assert_eq!((sheet.stack, sheet.stacked), (3, order.map(str::to_owned).to_vec()));
        }
    }
}

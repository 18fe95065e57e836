//! Checks of what may be asked, of a vehicle with fuses and cables without.

use super::*;
use crate::room::shape_of;

const AMBULANCE: &str = include_str!("../../../../examples/rescue-ambulance.toml");

fn vehicle() -> Vehicle {
    file::read(AMBULANCE.as_bytes()).vehicle.expect("no errors")
}

#[test]
fn what_does_not_go_together_is_refused() {
    let vehicle = vehicle();
    let at = Some(vehicle.points[0].id.clone());
    let conductor = vec![vehicle.conductors[0].id.clone()];
    let both = Asked { at, conductor, ..Asked::default() };
    let alone = Asked { through: Some("20 mΩ".to_owned()), ..Asked::default() };
    for (asked, key) in [(both, "at"), (alone, "through")] {
        let refused = shape_of(&asked, &vehicle).expect_err("refused");
        let keys = refused.0.iter().filter_map(|own| Some(own.place.as_ref()?.key));
        assert_eq!(keys.collect::<Vec<_>>(), [key]);
    }
}

#[test]
fn a_point_is_answered_by_its_faults_and_a_conductor_by_its_protection() {
    let vehicle = vehicle();
    let feed = vehicle.conductors.iter().find(|own| own.id.ends_with(".feed")).expect("a feed");
    let asked = Asked { conductor: vec![feed.id.clone()], ..Asked::default() };
    let Protect::Vehicle(own) = shape_of(&asked, &vehicle).expect("an answer") else {
        panic!("no answer for a vehicle")
    };
    assert_eq!(own.feeds.iter().map(|own| &own.conductor).collect::<Vec<_>>(), [&feed.id]);
    let point = vehicle.point(vehicle.joint(feed.to).point).id.clone();
    let asked = Asked { at: Some(point.clone()), ..Asked::default() };
    let Protect::At(own) = shape_of(&asked, &vehicle).expect("an answer") else {
        panic!("no answer for a point")
    };
    assert_eq!(own.point, point);
    assert!(!own.at.is_empty());
}

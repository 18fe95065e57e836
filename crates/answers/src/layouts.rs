//! Layouts to begin a vehicle file with.

/// Name, what it is, and the file.
pub const LAYOUTS: [(&str, &str, &str); 6] = [
    (
        "front-engine",
        "engine in front, one battery beside it",
        include_str!("../../../layouts/front-engine.toml"),
    ),
    (
        "two-batteries",
        "two batteries in parallel, as on many diesels",
        include_str!("../../../layouts/two-batteries.toml"),
    ),
    (
        "rear-battery",
        "battery at the back, starter in front",
        include_str!("../../../layouts/rear-battery.toml"),
    ),
    (
        "camper-van",
        "van with an auxiliary battery for living in it",
        include_str!("../../../layouts/camper-van.toml"),
    ),
    ("plant", "tractor or plant, 24 V", include_str!("../../../layouts/plant.toml")),
    (
        "small-boat",
        "small boat with negative bus bars",
        include_str!("../../../layouts/small-boat.toml"),
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_layout_is_a_vehicle_that_can_be_solved_and_cranks() {
        for (name, _, text) in LAYOUTS {
            let reading = file::read(text.as_bytes());
            assert!(reading.problems.is_empty(), "{name}: {:?}", reading.problems);
            let vehicle = reading.vehicle.expect("no errors");
            let cranking =
                vehicle.state_named("cranking").unwrap_or_else(|| panic!("{name} has a starter"));
            let point = network::Network::new(&vehicle).operating_point(cranking);
            assert_eq!(point.convergence, network::Convergence::Reached, "{name}");
            let starter = vehicle.load_named("starter").unwrap_or_else(|| panic!("{name}"));
            let share = point.load(starter).volts.0 / vehicle.nominal.0;
            assert!((0.75..1.0).contains(&share), "{name}: {share}");
        }
    }
}

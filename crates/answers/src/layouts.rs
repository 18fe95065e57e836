//! Layouts to begin a vehicle file with.

/// Name, what it is, and the file.
pub const LAYOUTS: [(&str, &str, &str); 6] = [
    (
        "front-engine",
        "engine in front, one battery beside it",
        include_str!("../../cli/layouts/front-engine.toml"),
    ),
    (
        "two-batteries",
        "two batteries in parallel, as on many diesels",
        include_str!("../../cli/layouts/two-batteries.toml"),
    ),
    (
        "rear-battery",
        "battery at the back, starter in front",
        include_str!("../../cli/layouts/rear-battery.toml"),
    ),
    (
        "camper-van",
        "van with an auxiliary battery for living in it",
        include_str!("../../cli/layouts/camper-van.toml"),
    ),
    ("plant", "tractor or plant, 24 V", include_str!("../../cli/layouts/plant.toml")),
    (
        "small-boat",
        "small boat with negative bus bars",
        include_str!("../../cli/layouts/small-boat.toml"),
    ),
];

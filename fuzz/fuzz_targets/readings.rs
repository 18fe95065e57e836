//! No bytes make the reader of readings panic, and nothing that was entered is lost.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;

static VEHICLE: LazyLock<model::Vehicle> = LazyLock::new(|| {
    file::read(include_bytes!("../../examples/rescue-ambulance.toml"))
        .vehicle
        .expect("the example is sound")
});

fuzz_target!(|bytes: &[u8]| {
    let readings = readings::read(bytes, &VEHICLE);
    for problem in &readings.problems {
        assert!(bytes.get(problem.place.clone()).is_some(), "{problem:?}");
    }
});

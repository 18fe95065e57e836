//! No bytes make the reader of vehicle files panic, what it tells can be shown, and tidy writing
//! keeps what a file means.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let reading = file::read(bytes);
    assert_eq!(reading.vehicle.is_some(), reading.errors() == 0, "{:?}", reading.problems);
    for problem in &reading.problems {
        assert!(bytes.get(problem.place.clone()).is_some(), "{problem:?}");
    }
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let Ok(tidy) = file::format::format(text) else {
        assert!(reading.vehicle.is_none(), "a vehicle was read from a text that is not TOML");
        return;
    };
    assert_eq!(file::format::format(&tidy).as_ref(), Ok(&tidy), "tidying twice changes it again");
    if reading.vehicle.is_some() {
        assert!(file::read(tidy.as_bytes()).vehicle == reading.vehicle, "{text}\nbecomes\n{tidy}");
    }
});

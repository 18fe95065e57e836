//! No line makes the reader of plain words panic, what no phrase stands for stays as written, and every
//! statement and problem stands in its line.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use readings::{Vocabulary, statements};

static VEHICLE: LazyLock<model::Vehicle> = LazyLock::new(|| {
    file::read(include_bytes!("../../examples/rescue-ambulance.toml"))
        .vehicle
        .expect("the example is sound")
});
static WORDS: LazyLock<Vocabulary> = LazyLock::new(|| {
    Vocabulary::of(&VEHICLE).with_words([
        ("battery minus", "main/-".to_owned()),
        ("engine block, engine", "block/front".to_owned()),
        ("b+", "alternator/+".to_owned()),
    ])
});

fuzz_target!(|line: &str| {
    assert_eq!(Vocabulary::default().translated(line).text, line);
    if let Some((_, note)) = line.split_once('#') {
        assert!(WORDS.translated(line).text.ends_with(note));
    }
    for own in statements(line, &VEHICLE, &WORDS, 1) {
        assert!(line.get(own.span.clone()).is_some(), "{own:?}");
        if let Some(problem) = own.problem() {
            assert!(line.get(problem.place.clone()).is_some(), "{own:?}");
        }
    }
});

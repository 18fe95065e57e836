//! No line makes the reader of plain words panic, and what no phrase stands for stays as written.
#![no_main]

use std::sync::LazyLock;

use readings::plain::{Phrase, translated};
use libfuzzer_sys::fuzz_target;

static PHRASES: LazyLock<Vec<Phrase>> = LazyLock::new(|| {
    [
        ("battery minus", "battery/-"),
        ("the engine block", "engine/block"),
        ("engine", "engine/block"),
        ("b+", "alternator/+"),
    ]
    .map(|(words, name)| Phrase::new(words, name))
    .to_vec()
});

fuzz_target!(|line: &str| {
    assert_eq!(translated(line, &[]), line);
    let once = translated(line, &PHRASES);
    // Nothing longer than the longest name comes for each word, and a note stays untouched.
    assert!(once.len() <= line.len() + 12 * line.split_whitespace().count());
    if let Some((_, note)) = line.split_once('#') {
        assert!(once.ends_with(note));
    }
});

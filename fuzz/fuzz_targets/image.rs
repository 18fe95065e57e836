//! No bytes make the look at a picture panic, and nothing that a browser would run is a picture.
#![no_main]

#[path = "../../crates/server/src/image.rs"]
mod image;

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Some(kind) = image::sniff(bytes) {
        assert!(kind.name().starts_with("image/"));
        let first = bytes.iter().find(|own| !own.is_ascii_whitespace());
        assert_ne!(first, Some(&b'<'), "a page is taken for a picture");
    }
});

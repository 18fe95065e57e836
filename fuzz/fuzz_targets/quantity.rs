//! No text makes the readers of quantities and sizes panic, and what they read they can write.
#![no_main]

use libfuzzer_sys::fuzz_target;
use units::{Dimension, ParseError, WireSize, parse};

/// A message underlines its place, so the place must be text.
fn place_is_text(text: &str, error: &ParseError) {
    assert!(text.get(error.place.clone()).is_some(), "{text:?}: {error:?}");
}

fuzz_target!(|text: &str| {
    for dimension in Dimension::ALL {
        match parse(text, dimension) {
            Ok(value) => assert!(value.is_finite(), "{text:?} is read as {value}"),
            Err(error) => place_is_text(text, &error),
        }
    }
    match WireSize::parse(text) {
        Ok(size) => {
            let written = size.to_string();
            // Below four significant digits of a square millimetre a size is written as zero.
            if let Err(error) = WireSize::parse(&written) {
                assert_eq!(error.what, "is not above zero", "{text:?} is written as {written:?}");
            }
        }
        Err(error) => place_is_text(text, &error),
    }
});

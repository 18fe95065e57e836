//! What holds for every file.

use super::*;
use proptest::prelude::*;

fn pieces() -> impl Strategy<Value = String> {
    let words = prop::sample::select(vec![
        "cranking",
        "block/front",
        "main/-",
        "main-negative",
        "main-negative.to",
        "starter",
        "0.41",
        "V",
        "mV",
        "38 A",
        "to",
        "-",
        "about",
        "~",
        "<",
        "min",
        "no drop",
        "better",
        "jump lead",
        "pushing",
        "ohms",
        "gauge",
        "red",
        "black",
        ":",
        ",",
        "\"",
        "\n",
        ";",
        "state,from,to,value\n",
        "[[reading]]\n",
        "value = ",
        "state = ",
        "format = 1\n",
        "#",
        "é",
        "±",
        "0,3-0,8",
        "=",
        "'",
        "[instruments.x]\n",
        "volts = [{ accuracy = \"",
        "\" }]\n",
    ]);
    proptest::collection::vec((words, prop::bool::ANY), 0..24).prop_map(|parts| {
        parts
            .iter()
            .map(|(word, blank)| format!("{word}{}", if *blank { " " } else { "" }))
            .collect()
    })
}

fn sound(bytes: &[u8], vehicle: &Vehicle) {
    let readings = read(bytes, vehicle);
    if let Ok(text) = std::str::from_utf8(bytes) {
        for problem in &readings.problems {
            assert!(text.get(problem.place.clone()).is_some(), "{problem:?} in {text:?}");
        }
        for worthless in &readings.worthless {
            assert!(text.get(worthless.place.clone()).is_some(), "{worthless:?} in {text:?}");
        }
        if let Err(problem) = one_line(text, vehicle, 1) {
            assert!(text.get(problem.place.clone()).is_some(), "{problem:?} in {text:?}");
        }
    }
}

proptest! {
    #[test]
    fn no_bytes_make_the_reader_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        sound(&bytes, &vehicle());
    }

    #[test]
    fn no_text_makes_the_reader_panic_and_every_place_is_in_it(text in "\\PC{0,60}") {
        sound(text.as_bytes(), &vehicle());
    }

    #[test]
    fn no_run_of_a_readings_own_words_makes_the_reader_panic(text in pieces()) {
        sound(text.as_bytes(), &vehicle());
    }

    #[test]
    fn every_line_with_a_word_in_it_ends_somewhere(lines in proptest::collection::vec("[a-z0-9/ .:-]{1,30}", 1..12)) {
        let text = lines.join("\n");
        let readings = read(text.as_bytes(), &vehicle());
        let ends = readings.readings.len() + readings.worthless.len() + readings.kept.len();
        prop_assert_eq!(ends, lines.iter().filter(|line| !line.trim().is_empty()).count());
    }

    #[test]
    fn a_voltage_survives_writing_and_reading(millivolts in 20_u32..30_000, decimal_comma: bool) {
        let value = f64::from(millivolts) / 1000.0;
        let mut text = format!("{value:.4}");
        if decimal_comma {
            text = text.replace('.', ",");
        }
        let line = format!("cranking block/front main/- {text} V");
        prop_assert_eq!(reading(&line, &vehicle()).told, Told::Value(value));
    }
}

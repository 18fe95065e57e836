//! What work and parts cost, as the file has it.

use model::Workshop;
use units::{Dimension, Seconds, print};

use crate::read::Reader;

impl Reader<'_> {
    /// What work and parts cost; what is left out follows from the price of an hour.
    pub(crate) fn workshop(&mut self) {
        let Some(entry) = self.root.table("workshop") else { return };
        let (Some(currency), Some(labour)) = (entry.text("currency"), entry.amount("labour"))
        else {
            return;
        };
        let mut own = Workshop { stated: true, ..Workshop::usual(currency, labour) };
        let fills = &mut self.fills;
        let mut taken = |key: &str, value: String| {
            fills.note(format!("workshop.{key}"), value, "our judgement; no survey was found");
        };
        for (key, price) in [
            ("joint", &mut own.joint),
            ("lug", &mut own.lug),
            ("cable", &mut own.cable),
            ("fixings", &mut own.fixings),
        ] {
            match entry.amount(key) {
                Some(amount) => *price = amount,
                None => taken(key, print::money(*price, currency)),
            }
        }
        for (key, time) in [
            ("clean-time", &mut own.clean),
            ("end-time", &mut own.end),
            ("replace-time", &mut own.replace),
            ("add-time", &mut own.add),
        ] {
            match entry.quantity(key, Dimension::Time) {
                Some(seconds) => *time = Seconds(seconds),
                None => taken(key, print::duration(*time)),
            }
        }
        self.vehicle.workshop = own;
    }
}

#[cfg(test)]
mod laws {
    use model::Vehicle;
    use units::{Money, Seconds};

    const CAR: &str = include_str!("../../../examples/utility-cart.toml");

    fn with(table: &str) -> Result<Vehicle, Vec<model::Problem>> {
        let reading = crate::read(format!("{CAR}\n{table}").as_bytes());
        reading.vehicle.ok_or(reading.problems)
    }

    #[test]
    fn what_the_file_leaves_out_follows_from_its_price_of_an_hour() {
        let vehicle =
            with("[workshop]\ncurrency = \"kr\"\nlabour = 900\nlug = 35.5\nadd-time = \"30 min\"");
        let vehicle = vehicle.expect("a sound file");
        let own = vehicle.workshop;
        assert_eq!((own.currency.as_str(), own.labour, own.stated), ("kr", Money(900.0), true));
        assert_eq!((own.lug, own.joint), (Money(35.5), Money(27.0)));
        assert_eq!((own.add, own.clean), (Seconds(1800.0), Seconds(900.0)));
        let filled: Vec<&str> =
            vehicle.filled.iter().filter_map(|own| own.key.strip_prefix("workshop.")).collect();
        assert_eq!(filled, ["joint", "cable", "fixings", "clean-time", "end-time", "replace-time"]);
    }

    #[test]
    fn a_file_without_prices_has_the_usual_ones_and_says_so() {
        let own = with("").expect("a sound file").workshop;
        assert_eq!(own, model::Workshop::default());
        assert!(!own.stated);
    }

    #[test]
    fn amounts_that_are_no_amounts_are_all_refused() {
        for (wrong, code) in [
            ("labour = \"60 EUR\"", "wrong-kind-of-value"),
            ("labour = -1", "wrong-kind-of-value"),
            ("labour = nan", "wrong-kind-of-value"),
            ("labour = 1e400", "wrong-kind-of-value"),
            ("labour = 60\nlug = true", "wrong-kind-of-value"),
            ("labour = 60\nclean-time = \"0 min\"", "out-of-range"),
            ("labour = 60\nlugs = 3", "unknown-key"),
            ("lug = 3", "missing-key"),
        ] {
            let problems = with(&format!("[workshop]\ncurrency = \"EUR\"\n{wrong}"));
            let codes: Vec<&str> =
                problems.expect_err(wrong).iter().map(|problem| problem.code.word()).collect();
            assert!(codes.contains(&code), "{wrong}: {codes:?}");
        }
    }
}

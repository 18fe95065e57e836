//! Arguments as quantities, sizes, rows and names; all that are wrong are told at once.

use catalogue::{Row, Rows};
use units::{
    Amperes, Dimension, Kelvin, Metres, NewtonMetres, Newtons, Ohms, ParseError, Ratio, Seconds,
    Volts, WireSize, parse,
};

use crate::Refusal;
use crate::refusal::Refused;

/// Air in which conductors lie: the linear law of their resistance holds no further.
const AIR_CELSIUS: (f64, f64) = (-60.0, 250.0);

/// Reads arguments and keeps what was wrong with any of them. A key is written as in a request: `return_length`.
#[derive(Debug, Default)]
pub struct Arguments(pub Refused);

/// A quantity that an argument can be.
pub trait Measure {
    /// What it is written in.
    const DIMENSION: Dimension;

    /// So much of it.
    fn of(number: f64) -> Self;
}

macro_rules! measures {
    ($($quantity:ident: $dimension:ident,)*) => {$(
        impl Measure for $quantity {
            const DIMENSION: Dimension = Dimension::$dimension;

            fn of(number: f64) -> Self {
                Self(number)
            }
        }
    )*};
}

measures! {
    Amperes: Current,
    Kelvin: Temperature,
    Metres: Length,
    NewtonMetres: Torque,
    Newtons: Force,
    Ohms: Resistance,
    Ratio: Ratio,
    Seconds: Time,
    Volts: Voltage,
}

impl Arguments {
    /// A quantity.
    pub fn quantity<Q: Measure>(&mut self, key: &'static str, text: &str) -> Option<Q> {
        self.read(key, text, parse(text, Q::DIMENSION)).map(Q::of)
    }

    /// A quantity that must lie above zero.
    pub fn positive<Q: Measure>(&mut self, key: &'static str, text: &str) -> Option<Q> {
        let value = self.read(key, text, parse(text, Q::DIMENSION))?;
        if 0.0 < value {
            return Some(Q::of(value));
        }
        let (article, example) = (Q::DIMENSION.with_article(), Q::DIMENSION.example());
        let expected = format!("{article} such as `{example}`");
        self.refused(key, text, "is not above zero", expected)
    }

    /// A quantity above zero, where one is given.
    pub fn perhaps<Q: Measure>(&mut self, key: &'static str, text: &Option<String>) -> Option<Q> {
        text.as_deref().and_then(|text| self.positive(key, text))
    }

    /// The argument `ambient`: a temperature of air in which a conductor may lie.
    pub fn air(&mut self, text: &str) -> Option<Kelvin> {
        let air = self.quantity::<Kelvin>("ambient", text)?;
        let (least, most) = AIR_CELSIUS;
        if least <= air.celsius() && air.celsius() <= most {
            return Some(air);
        }
        let what = "is beyond the range of the resistance law";
        let expected = format!("a temperature from {least} to {most} °C");
        self.refused("ambient", text, what, expected)
    }

    /// A conductor size.
    pub fn size(&mut self, key: &'static str, text: &str) -> Option<WireSize> {
        self.read(key, text, WireSize::parse(text))
    }

    /// A row of the catalogue by its name.
    pub fn row<'c, R: Row>(
        &mut self,
        key: &'static str,
        text: &str,
        rows: &'c Rows<R>,
    ) -> Option<&'c R> {
        let found = rows.find(text);
        if found.is_none() {
            let words = rows.iter().flat_map(|row| {
                std::iter::once(row.key()).chain(row.aliases().iter().map(String::as_str))
            });
            let lists = format!("one that `groundloom catalogue {}` lists", R::TABLE);
            let expected = match file::suggest::nearest(text, words) {
                Some(near) => format!("`{near}`, or {lists}"),
                None => lists,
            };
            self.refuse(Refusal::of(key, text, "is not in the catalogue", expected));
        }
        found
    }

    /// One of a few words.
    pub fn word<T: Copy>(
        &mut self,
        key: &'static str,
        text: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let lower = text.trim().to_lowercase();
        let found = words.iter().find(|(word, _)| *word == lower).map(|(_, meaning)| *meaning);
        if found.is_none() {
            let all: Vec<String> = words.iter().map(|(word, _)| format!("`{word}`")).collect();
            let expected = format!("one of {}", all.join(", "));
            self.refuse(Refusal::of(key, text, "is not known", expected));
        }
        found
    }

    /// A thing of the vehicle by its name: `found` if it is there, or the nearest of its kind's names.
    pub fn named<'n, T>(
        &mut self,
        key: &'static str,
        name: &str,
        kind: &str,
        found: Option<T>,
        names: impl Iterator<Item = &'n str>,
    ) -> Option<T> {
        if found.is_none() {
            let expected = file::suggest::nearest(name, names).map_or_else(
                || format!("the name of a {kind} of this vehicle"),
                |near| format!("`{near}`, or another {kind} of this vehicle"),
            );
            self.refuse(Refusal::of(key, name, format!(": there is no such {kind}"), expected));
        }
        found
    }

    /// What was read elsewhere, such as a load or a state of the vehicle.
    pub fn keep<T>(&mut self, read: Result<T, Refusal>) -> Option<T> {
        self.0.keep(read)
    }

    /// What a word stands for, where one is given.
    pub fn perhaps_word<T: Copy>(
        &mut self,
        key: &'static str,
        text: &Option<String>,
        words: &[(&str, T)],
    ) -> Option<T> {
        text.as_deref().and_then(|text| self.word(key, text, words))
    }

    /// What was written cannot be used.
    pub fn refused<T>(
        &mut self,
        key: &'static str,
        text: &str,
        what: impl Into<String>,
        expected: impl Into<String>,
    ) -> Option<T> {
        self.refuse(Refusal::of(key, text, what, expected));
        None
    }

    /// What is asked cannot be answered.
    pub fn denied<T>(&mut self, what: impl Into<String>, expected: impl Into<String>) -> Option<T> {
        self.refuse(Refusal::new(what, expected));
        None
    }

    /// Keeps a problem of arguments that are readable each by itself.
    pub fn refuse(&mut self, refusal: Refusal) {
        self.0.0.push(refusal);
    }

    fn read<T>(&mut self, key: &'static str, text: &str, read: Result<T, ParseError>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(error) => self.refused(key, text, error.what, error.expected),
        }
    }
}

/// The word for something.
pub(crate) fn word_for<T: Copy + PartialEq>(
    words: &[(&'static str, T)],
    wanted: T,
) -> &'static str {
    words.iter().find(|(_, meaning)| *meaning == wanted).map_or("", |(word, _)| word)
}

/// What a word stands for; the first of all where it stands for none.
pub(crate) fn meant<T: Copy>(words: &[(&'static str, T)], said: &str) -> T {
    words.iter().find(|(word, _)| *word == said).unwrap_or(&words[0]).1
}

/// How many of something to show, from one up.
///
/// # Errors
///
/// When it is no such number.
pub fn at_least_one(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(number) if 0 < number => Ok(number),
        _ => Err("expected a whole number from 1 up".to_owned()),
    }
}

/// How many of something to show, which may be none.
///
/// # Errors
///
/// When it is no such number.
pub fn whole_number<N: std::str::FromStr>(text: &str) -> Result<N, String> {
    text.parse().map_err(|_| "expected a whole number from 0 up".to_owned())
}

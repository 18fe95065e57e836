//! A parsed file and its places, checked against [`spec`](crate::spec) and then read by key.
//!
//! Checking comes first and reports everything; the accessors afterwards give nothing for what is
//! missing or was found wrong, so that each mistake is told once.

use std::ops::Range;

use model::{Code, Problem};
use toml::Spanned;
use toml::de::{DeTable, DeValue};
use units::{Dimension, Money, WireSize};

use crate::spec::{Domain, FREE_PREFIX, Key, Kind, LARGEST_AMOUNT, Listing, Table};
use crate::suggest::{did_you_mean, elsewhere, listed, worthwhile};

/// A table of the file with its description and its place.
#[derive(Debug, Clone)]
pub struct Entry<'d> {
    table: &'d DeTable<'d>,
    spec: &'static Table,
    /// Where it stands, as keys joined by full stops.
    pub path: String,
    /// Its bytes of the file.
    pub place: Range<usize>,
}

/// A name in the file and its place.
#[derive(Debug, Clone)]
pub struct Named<T> {
    /// The name.
    pub name: T,
    /// Its bytes of the file.
    pub place: Range<usize>,
}

impl<'d> Entry<'d> {
    /// The whole file.
    pub fn root(table: &'d DeTable<'d>, spec: &'static Table, place: Range<usize>) -> Self {
        Self { table, spec, path: String::new(), place }
    }

    fn value(&self, key: &str) -> Option<&'d Spanned<DeValue<'d>>> {
        debug_assert!(self.spec.keys.iter().any(|known| known.name == key), "{key} is described");
        self.table.get(key)
    }

    /// Every value of this table.
    pub(crate) fn values(&self) -> impl Iterator<Item = &'d DeValue<'d>> {
        self.table.values().map(Spanned::get_ref)
    }

    fn inner_path(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// Place of a key's value, or of the whole table when the key is left out.
    pub fn place_of(&self, key: &str) -> Range<usize> {
        self.value(key).map_or_else(|| self.place.clone(), Spanned::span)
    }

    /// True when this kind of table has such a key at all.
    pub(crate) fn has_key(&self, key: &str) -> bool {
        self.spec.keys.iter().any(|known| known.name == key)
    }

    /// True when the key is written.
    pub fn has(&self, key: &str) -> bool {
        self.value(key).is_some()
    }

    /// The text under a key, if the key holds one.
    pub fn text(&self, key: &str) -> Option<&'d str> {
        self.value(key)?.get_ref().as_str()
    }

    /// The same as a text of its own.
    pub fn owned(&self, key: &str) -> Option<String> {
        self.text(key).map(str::to_owned)
    }

    pub(crate) fn flag(&self, key: &str) -> Option<bool> {
        self.value(key)?.get_ref().as_bool()
    }

    pub(crate) fn count(&self, key: &str) -> Option<u32> {
        integer(self.value(key)?.get_ref()).and_then(|number| u32::try_from(number).ok())
    }

    /// A quantity in its SI unit.
    pub fn quantity(&self, key: &str, dimension: Dimension) -> Option<f64> {
        quantity_of(self.value(key)?.get_ref(), dimension)
    }

    /// An amount of money.
    pub(crate) fn amount(&self, key: &str) -> Option<Money> {
        number(self.value(key)?.get_ref()).map(Money)
    }

    /// The two ends of a range in the SI unit, the lesser first.
    pub(crate) fn range(&self, key: &str, dimension: Dimension) -> Option<(f64, f64)> {
        let list = self.value(key)?.get_ref().as_array()?;
        let end = |at: usize| quantity_of(list.get(at)?.get_ref(), dimension);
        Some((end(0)?, end(1)?)).filter(|(low, high)| 0.0 < *low && low < high)
    }

    pub(crate) fn size(&self, key: &str) -> Option<WireSize> {
        WireSize::parse(self.text(key)?).ok()
    }

    /// A date or a year, as written.
    pub fn date(&self, key: &str) -> Option<String> {
        match self.value(key)?.get_ref() {
            DeValue::String(text) => Some(text.to_string()),
            DeValue::Integer(number) => Some(number.as_str().to_owned()),
            DeValue::Datetime(date) => Some(date.to_string()),
            _ => None,
        }
    }

    /// Two lengths.
    pub(crate) fn place_at(&self, key: &str) -> Option<(f64, f64)> {
        let list = self.value(key)?.get_ref().as_array()?;
        let forward = quantity_of(list.first()?.get_ref(), Dimension::Length)?;
        let left = quantity_of(list.get(1)?.get_ref(), Dimension::Length)?;
        Some((forward, left))
    }

    pub(crate) fn names(&self, key: &str) -> Option<Vec<Named<&'d str>>> {
        let list = self.value(key)?.get_ref().as_array()?;
        Some(
            list.iter()
                .filter_map(|item| {
                    item.get_ref().as_str().map(|name| Named { name, place: item.span() })
                })
                .collect(),
        )
    }

    /// The description of the table or tables that a key holds.
    fn spec_of(&self, key: &str) -> Option<&'static Table> {
        table_spec(self.spec.keys.iter().find(|known| known.name == key)?.kind)
    }

    /// The table under a key, if the key holds one.
    pub fn table(&self, key: &str) -> Option<Entry<'d>> {
        let value = self.value(key)?;
        let spec = self.spec_of(key)?;
        let table = value.get_ref().as_table()?;
        Some(Entry { table, spec, path: self.inner_path(key), place: value.span() })
    }

    /// The tables under a key that holds named ones, in the order of the file.
    pub fn tables(&self, key: &str) -> Vec<(Named<&'d str>, Entry<'d>)> {
        let Some(named) = self.value(key).and_then(|value| value.get_ref().as_table()) else {
            return Vec::new();
        };
        let Some(spec) = self.spec_of(key) else { return Vec::new() };
        let path = self.inner_path(key);
        named
            .iter()
            .filter_map(|(name, value)| {
                let table = value.get_ref().as_table()?;
                let text: &'d str = name.get_ref();
                let entry =
                    Entry { table, spec, path: format!("{path}.{text}"), place: name.span() };
                Some((Named { name: text, place: name.span() }, entry))
            })
            .filter(|(name, _)| name_fault(name.name).is_none())
            .collect()
    }

    /// The tables in a list.
    pub fn many(&self, key: &str) -> Vec<Entry<'d>> {
        let Some(list) = self.value(key).and_then(|value| value.get_ref().as_array()) else {
            return Vec::new();
        };
        let Some(spec) = self.spec_of(key) else { return Vec::new() };
        list.iter()
            .enumerate()
            .filter_map(|(at, item)| {
                let table = item.get_ref().as_table()?;
                Some(Entry {
                    table,
                    spec,
                    path: format!("{}[{at}]", self.inner_path(key)),
                    place: item.span(),
                })
            })
            .collect()
    }
}

fn table_spec(kind: Kind) -> Option<&'static Table> {
    match kind {
        Kind::Table(spec) | Kind::Named(spec) | Kind::Many(spec) => Some(spec),
        Kind::Either(short, long) => table_spec(*long).or_else(|| table_spec(*short)),
        _ => None,
    }
}

fn integer(value: &DeValue<'_>) -> Option<i64> {
    let number = value.as_integer()?;
    i64::from_str_radix(number.as_str(), number.radix()).ok()
}

/// A number written without quotes, whole or with decimals.
fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Float(number) => number.as_str().replace('_', "").parse().ok(),
        DeValue::Integer(_) => {
            integer(value).and_then(|number| i32::try_from(number).ok()).map(f64::from)
        }
        _ => None,
    }
    .filter(|value: &f64| value.is_finite())
}

pub(crate) fn quantity_of(value: &DeValue<'_>, dimension: Dimension) -> Option<f64> {
    match value {
        DeValue::String(text) => units::parse(text, dimension).ok(),
        DeValue::Float(number) if dimension == Dimension::Ratio => {
            number.as_str().replace('_', "").parse().ok().filter(|value: &f64| value.is_finite())
        }
        DeValue::Integer(_) if dimension == Dimension::Ratio => {
            integer(value).and_then(|number| i32::try_from(number).ok()).map(f64::from)
        }
        _ => None,
    }
}

/// What a name may not be, if it is that.
pub(crate) fn name_fault(name: &str) -> Option<&'static str> {
    if name.is_empty() {
        Some("is empty")
    } else if name.chars().count() > 80 {
        Some("is longer than 80 characters")
    } else if !name.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_') {
        Some("holds something other than letters, digits, `-` and `_`")
    } else {
        None
    }
}

/// Checks tables and values against their description, and reports everything that is wrong.
#[derive(Debug)]
pub struct Checker<'s> {
    /// The text of the file.
    pub source: &'s str,
    /// What was found wrong so far.
    pub problems: Vec<Problem>,
}

impl Checker<'_> {
    /// Checks a table and all that it holds.
    pub fn table(&mut self, table: &DeTable<'_>, spec: &'static Table, place: &Range<usize>) {
        for (name, value) in table {
            let word: &str = name.get_ref();
            if let Some(key) = spec.keys.iter().find(|key| key.name == word) {
                self.value(value, &key.kind, key.name);
            } else if !word.starts_with(FREE_PREFIX) {
                let known: Vec<&str> = spec.keys.iter().map(|key| key.name).collect();
                let mut problem = Problem::error(
                    Code::UnknownKey,
                    name.span(),
                    format!("{} has no key `{word}`", spec.name),
                    format!("one of {}", listed(known.iter().copied())),
                );
                let meant = elsewhere(spec.name, word)
                    .or_else(|| self.suggests().then(|| did_you_mean(word, known)).flatten());
                problem.hint = Some(meant.unwrap_or_else(|| {
                    format!(
                        "a key of your own begins with `{FREE_PREFIX}`, as in `{FREE_PREFIX}{word}`"
                    )
                }));
                self.problems.push(problem);
            }
        }
        for Key { name, doc, .. } in
            spec.keys.iter().filter(|key| key.required && !table.contains_key(key.name))
        {
            self.problems.push(Problem::error(
                Code::MissingKey,
                place.clone(),
                format!("{} lacks `{name}`", spec.name),
                format!("`{name}`: {}", lower_first(doc).trim_end_matches('.')),
            ));
        }
    }

    fn value(&mut self, value: &Spanned<DeValue<'_>>, kind: &'static Kind, key: &str) {
        let inner = value.get_ref();
        match kind {
            Kind::Text | Kind::Point => match inner.as_str() {
                Some(text) => self.printable(value, text, key),
                None => self.kind_of(value, false, "a text in quotes", key),
            },
            Kind::Flag => self.kind_of(value, inner.is_bool(), "`true` or `false`", key),
            Kind::Count(least, most) => {
                let right = integer(inner).is_some_and(|number| (*least..=*most).contains(&number));
                let expected = if least == most {
                    format!("{least}")
                } else {
                    format!("a whole number from {least} to {most}")
                };
                self.kind_of(value, right, &expected, key);
            }
            Kind::Amount => {
                let right =
                    number(inner).is_some_and(|amount| (0.0..=LARGEST_AMOUNT).contains(&amount));
                let expected = "an amount from 0 to 1000000000, without quotes or currency";
                self.kind_of(value, right, expected, key);
            }
            Kind::Quantity(dimension, domain) => self.quantity(value, *dimension, *domain, key),
            Kind::Range(dimensions, domain) => self.range(value, dimensions, *domain, key),
            Kind::Size => match inner.as_str() {
                Some(text) => match WireSize::parse(text) {
                    Err(error) => self.report_unreadable(Code::SizeUnreadable, value, text, &error),
                    Ok(size) => self.area_of(value, &size, text, key),
                },
                None => self.kind_of(value, false, "a size in quotes such as `\"35 mm²\"`", key),
            },
            Kind::Names(_) => {
                let right = inner
                    .as_array()
                    .is_some_and(|list| list.iter().all(|item| item.get_ref().is_str()));
                self.kind_of(
                    value,
                    right,
                    "a list of names such as `[\"idle\", \"running\"]`",
                    key,
                );
            }
            Kind::Choice(words) => self.word(value, words.iter().copied(), key),
            Kind::Listed(listing) => self.listed(value, *listing, key),
            Kind::Date => self.date(value, key),
            Kind::Place => self.place(value, key),
            Kind::Table(spec) => match inner.as_table() {
                Some(table) => self.table(table, spec, &value.span()),
                None => self.kind_of(value, false, &format!("a table for {}", spec.name), key),
            },
            Kind::Named(spec) => match inner.as_table() {
                Some(tables) => self.named(tables, spec),
                None => self.kind_of(
                    value,
                    false,
                    &format!("tables, one for each: `[{key}.NAME]`"),
                    key,
                ),
            },
            Kind::Many(spec) => match inner.as_array() {
                Some(list) => {
                    for item in list {
                        match item.get_ref().as_table() {
                            Some(table) => self.table(table, spec, &item.span()),
                            None => self.kind_of(
                                item,
                                false,
                                &format!("a table for {}", spec.name),
                                key,
                            ),
                        }
                    }
                }
                None => self.kind_of(value, false, &format!("a list of tables: `[[{key}]]`"), key),
            },
            Kind::Either(short, long) => self.either(value, short, long, key),
        }
    }

    /// Of a short and a long form, checks the one that the value looks like; of two quantities, the
    /// one whose unit it has.
    fn either(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        short: &'static Kind,
        long: &'static Kind,
        key: &str,
    ) {
        let before = self.problems.len();
        let looks_long = match long {
            Kind::Table(_) => value.get_ref().is_table(),
            Kind::Names(_) | Kind::Many(_) => value.get_ref().is_array(),
            _ => false,
        };
        if looks_long {
            return self.value(value, long, key);
        }
        self.value(value, short, key);
        let unread = |problems: &[Problem]| problems.iter().all(|p| p.code != Code::OutOfRange);
        if self.problems.len() > before
            && unread(&self.problems[before..])
            && !matches!(long, Kind::Table(_) | Kind::Names(_) | Kind::Many(_))
        {
            let mut first: Vec<Problem> = self.problems.drain(before..).collect();
            self.value(value, long, key);
            if self.problems.len() > before && unread(&self.problems[before..]) {
                for (problem, other) in first.iter_mut().zip(self.problems.drain(before..)) {
                    problem.expected = format!("{}, or {}", problem.expected, other.expected);
                }
                self.problems.extend(first);
            }
        }
    }

    /// True while nearest words are still worth looking for.
    fn suggests(&self) -> bool {
        worthwhile(self.problems.len(), 0)
    }

    /// Control characters in a name would rule the terminal on which it is shown.
    fn printable(&mut self, value: &Spanned<DeValue<'_>>, text: &str, key: &str) {
        // The line ends of a text of several lines, also of one that was written on Windows.
        let without_line_ends = text.replace("\r\n", "\n");
        let rules = |c: &char| c.is_control() && !matches!(c, '\n' | '\t');
        if let Some(found) = without_line_ends.chars().find(rules) {
            self.problems.push(Problem::error(
                Code::TextUnprintable,
                value.span(),
                format!("`{key}` holds the control character U+{:04X}", u32::from(found)),
                "a text of printable characters",
            ));
        }
        // They show something else than stands there (UAX #9, section 2).
        let turns = |c: &char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
        if let Some(found) = text.chars().find(turns) {
            self.problems.push(Problem::warning(
                Code::TextTurned,
                value.span(),
                format!(
                    "`{key}` holds the mark U+{:04X}, which turns the direction of writing",
                    u32::from(found)
                ),
                "a text without it: it may show something else than stands there",
            ));
        }
    }

    fn named(&mut self, tables: &DeTable<'_>, spec: &'static Table) {
        for (name, value) in tables {
            let word: &str = name.get_ref();
            if let Some(fault) = name_fault(word) {
                self.problems.push(Problem::error(
                    Code::NameUnusable,
                    name.span(),
                    format!("the name `{word}` {fault}"),
                    "a name of letters, digits and `-`, such as `main-negative`",
                ));
            }
            match value.get_ref().as_table() {
                Some(table) => self.table(table, spec, &name.span()),
                None => self.kind_of(value, false, &format!("a table for {}", spec.name), word),
            }
        }
    }

    pub(crate) fn kind_of(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        right: bool,
        expected: &str,
        key: &str,
    ) {
        if !right {
            let found = match value.get_ref() {
                DeValue::String(text) => format!("`{text}`"),
                DeValue::Integer(number) => format!("`{}`", number.as_str()),
                DeValue::Float(number) => format!("`{}`", number.as_str()),
                DeValue::Boolean(flag) => format!("`{flag}`"),
                DeValue::Datetime(date) => format!("`{date}`"),
                DeValue::Array(_) => "a list".to_owned(),
                DeValue::Table(_) => "a table".to_owned(),
            };
            self.problems.push(Problem::error(
                Code::WrongKindOfValue,
                value.span(),
                format!("`{key}` cannot be {found}"),
                expected.to_owned(),
            ));
        }
    }

    fn word<'w>(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        words: impl Iterator<Item = &'w str> + Clone,
        key: &str,
    ) {
        let Some(word) = value.get_ref().as_str() else {
            return self.kind_of(value, false, &format!("one of {}", listed(words)), key);
        };
        if !words.clone().any(|known| known == word) {
            let mut problem = Problem::error(
                Code::UnknownWord,
                value.span(),
                format!("`{key}` cannot be `{word}`"),
                format!("one of {}", listed(words.clone())),
            );
            problem.hint = self.suggests().then(|| did_you_mean(word, words)).flatten();
            self.problems.push(problem);
        }
    }

    fn listed(&mut self, value: &Spanned<DeValue<'_>>, listing: Listing, key: &str) {
        let rows = listing.rows();
        let known = value.get_ref().as_str().is_some_and(|word| rows.knows(word));
        if !known {
            let before = self.problems.len();
            self.word(value, rows.words().into_iter(), key);
            let (word, suggests) = (value.get_ref().as_str(), self.suggests());
            if let (Some(word), [problem]) = (word, &mut self.problems[before..])
                && problem.hint.is_none()
            {
                let meant = suggests.then(|| did_you_mean(word, listing.other_words())).flatten();
                problem.hint = meant.or_else(|| listing.elsewhere().map(str::to_owned));
            }
        }
    }

    fn date(&mut self, value: &Spanned<DeValue<'_>>, key: &str) {
        let right = match value.get_ref() {
            DeValue::Datetime(_) => true,
            DeValue::Integer(_) => {
                integer(value.get_ref()).is_some_and(|year| (1900..=2200).contains(&year))
            }
            DeValue::String(text) => looks_like_a_date(text),
            _ => false,
        };
        self.kind_of(value, right, "a date such as `2026-04-30`, `\"2026-04\"` or `2026`", key);
    }

    fn place(&mut self, value: &Spanned<DeValue<'_>>, key: &str) {
        let expected = "two lengths, forward and left, such as `[\"0.4 m\", \"-0.3 m\"]`";
        match value.get_ref().as_array() {
            Some(list) if list.len() == 2 => {
                for item in list {
                    self.quantity(item, Dimension::Length, Domain::Any, key);
                }
            }
            _ => self.kind_of(value, false, expected, key),
        }
    }
}

fn looks_like_a_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let number = |part: &str, digits: usize| {
        (part.len() == digits && part.bytes().all(|b| b.is_ascii_digit()))
            .then(|| part.parse::<u32>().unwrap_or(0))
    };
    let year = parts
        .first()
        .and_then(|part| number(part, 4))
        .is_some_and(|year| (1900..=2200).contains(&year));
    let month = parts
        .get(1)
        .is_none_or(|part| number(part, 2).is_some_and(|month| (1..=12).contains(&month)));
    let day =
        parts.get(2).is_none_or(|part| number(part, 2).is_some_and(|day| (1..=31).contains(&day)));
    year && month && day && parts.len() <= 3
}

fn lower_first(text: &str) -> String {
    let mut characters = text.chars();
    characters
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(characters).collect())
}

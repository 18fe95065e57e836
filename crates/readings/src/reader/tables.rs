//! Readings as tables of a TOML file, with their instruments and the complaint.

use std::ops::Range;

use model::{Code, Problem, Severity, Told};
use toml::de::DeTable;

use super::accuracy::Instruments;
use super::known::Said;
use super::meaning::{About, Account, Context};
use super::spec::ROOT;
use super::value;
use super::{Complaint, Side};
use file::document::{Checker, Entry};

/// The keys or cells of one reading, as written.
#[derive(Default)]
pub(super) struct Written {
    pub state: Option<Said>,
    pub from: Option<Said>,
    pub to: Option<Said>,
    pub red: Option<Said>,
    pub black: Option<Said>,
    pub through: Option<Said>,
    pub towards: Option<Said>,
    pub load: Option<Said>,
    pub moved: Option<Said>,
    pub value: Option<Said>,
    pub instrument: Option<Said>,
    pub time: Option<String>,
    pub note: Option<String>,
    pub work: Option<(Side, Said)>,
}

/// Finds what keys or cells say.
pub(super) fn account_of(
    written: Written,
    number: u32,
    text: String,
    place: Range<usize>,
    context: &Context<'_>,
) -> Result<Account, Problem> {
    let state = match &written.state {
        None => None,
        Some(said) => {
            Some(context.known.state(&said.text).ok_or_else(|| context.known.unknown_state(said))?)
        }
    };
    let value = match &written.value {
        None => None,
        Some(said) => Some(value_of(said)?),
    };
    let high = either(written.from, written.red, "from", "red")?;
    let low = either(written.to, written.black, "to", "black")?;
    let probes: Vec<Said> = high.into_iter().chain(low).collect();
    if let (Some(said), None) = (&written.towards, &written.through) {
        return Err(Problem::error(
            Code::NoSuchEnd,
            said.place.clone(),
            "`towards` says where a clamp's arrow points, and there is no clamp",
            "`through` with the conductor under the clamp",
        ));
    }
    let (about, names) = match (written.through, written.moved) {
        (Some(through), None) if probes.is_empty() => (About::Through, vec![through]),
        (None, Some(moved)) if probes.is_empty() => (About::Moved, vec![moved]),
        (None, None) => {
            let changed = matches!(value, Some(value::Value { told: Told::Change(_), .. }));
            (if changed { About::JumpLead } else { About::Meter }, probes)
        }
        (Some(extra), _) | (None, Some(extra)) => {
            return Err(Problem::error(
                Code::TooManyPlaces,
                extra.place,
                "one reading has either two probes, or a conductor, or a moved joint",
                "`from` and `to`, or `through`, or `moved`",
            ));
        }
    };
    Ok(Account {
        number,
        text,
        place,
        about,
        state,
        names,
        towards: written.towards,
        value,
        load: written.load,
        instrument: written.instrument,
        time: written.time,
        note: written.note,
        work: written.work,
        ..Account::default()
    })
}

fn either(
    first: Option<Said>,
    second: Option<Said>,
    one: &str,
    other: &str,
) -> Result<Option<Said>, Problem> {
    match (first, second) {
        (Some(_), Some(extra)) => Err(Problem::error(
            Code::TooManyPlaces,
            extra.place,
            format!("`{one}` and `{other}` are the same probe"),
            "one of the two",
        )),
        (first, second) => Ok(first.or(second)),
    }
}

/// The value, its problems placed in the file.
fn value_of(said: &Said) -> Result<value::Value, Problem> {
    let plain = said.place.len() == said.text.len();
    let moved = |place: Range<usize>| {
        if plain && !place.is_empty() {
            said.place.start + place.start..said.place.start + place.end
        } else {
            said.place.clone()
        }
    };
    match value::of_text(&said.text) {
        Ok(value) => Ok(value::Value { place: moved(value.place), ..value }),
        Err(problem) => Err(Problem { place: moved(problem.place), ..problem }),
    }
}

/// One `[[reading]]`: where it stands, as written, and what was found in it.
pub(super) struct Item {
    pub number: u32,
    pub place: Range<usize>,
    /// Nothing when a problem with its keys is told already.
    pub account: Option<Result<Account, Problem>>,
}

/// Reads a file in TOML. The instruments and the complaint go into the context.
pub(super) fn read(
    text: &str,
    context: &mut Context<'_>,
    problems: &mut Vec<Problem>,
) -> Vec<Item> {
    let (table, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return read_whole(text, table.get_ref(), Vec::new(), context, problems);
    }
    // After some mistakes the TOML reader gives up the rest of a file: what is broken is set aside,
    // and the rest read without it.
    let sound = set_aside(text, problems);
    let (table, errors) = DeTable::parse_recoverable(&sound.text);
    problems.extend(errors.iter().map(|error| syntax_problem(text, 0, error)));
    read_whole(&sound.text, table.get_ref(), sound.broken, context, problems)
}

/// A file without its broken parts.
struct Sound {
    /// The text, what is broken blanked so that every place stays where it was.
    text: String,
    /// The readings among what is broken.
    broken: Vec<Range<usize>>,
}

/// Looks at each table of a broken file by itself.
fn set_aside(text: &str, problems: &mut Vec<Problem>) -> Sound {
    let mut sound = Sound { text: String::with_capacity(text.len()), broken: Vec::new() };
    let mut start = 0;
    while start < text.len() {
        let place = start..next_head(text, start);
        let own = &text[place.clone()];
        let (_, errors) = DeTable::parse_recoverable(own);
        if errors.is_empty() {
            sound.text.push_str(own);
        } else {
            problems.extend(errors.iter().map(|error| syntax_problem(text, start, error)));
            if own.trim_start_matches('[').trim_start().starts_with("reading") {
                sound.broken.push(start..start + own.trim_end().len());
            }
            sound.text.extend(own.bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }));
        }
        start = place.end;
    }
    sound
}

fn syntax_problem(text: &str, offset: usize, error: &toml::de::Error) -> Problem {
    let span = error.span().unwrap_or(0..0);
    let place = (offset + span.start).min(text.len())..(offset + span.end).min(text.len());
    let what = format!("this is not TOML: {}", error.message().trim().replace('\n', ", "));
    Problem::error(Code::TomlSyntax, place, what, "TOML 1.0").hint(
        "texts and values stand in quotes: `value = \"0.41 V\"`; each reading begins with `[[reading]]`",
    )
}

fn read_whole(
    text: &str,
    table: &DeTable<'_>,
    broken: Vec<Range<usize>>,
    context: &mut Context<'_>,
    problems: &mut Vec<Problem>,
) -> Vec<Item> {
    let spoilt = !problems.is_empty();
    let mut checker = Checker { source: text, problems: Vec::new() };
    checker.table(table, &ROOT, &(0..0));
    // Where the text itself is broken, what is missing at the top is most likely in that part.
    problems.extend(checker.problems.into_iter().filter(|problem| {
        !(spoilt && problem.code == Code::MissingKey && problem.place.is_empty())
    }));
    let root = Entry::root(table, &ROOT, 0..0);
    context.instruments = Instruments::read(&root, problems);
    context.complaint = complaint(&root, context, problems);
    let mut faults: Vec<usize> = problems
        .iter()
        .filter(|problem| problem.severity == Severity::Error)
        .map(|problem| problem.place.start)
        .collect();
    faults.sort_unstable();
    let entries = root.many("reading");
    let mut found: Vec<(Range<usize>, Option<&Entry<'_>>)> =
        entries.iter().map(|entry| (extent(text, &entry.place), Some(entry))).collect();
    found.extend(broken.into_iter().map(|place| (place, None)));
    found.sort_by_key(|(place, _)| place.start);
    let item = |(number, (place, entry)): (u32, (Range<usize>, Option<&Entry<'_>>))| {
        let first = faults.partition_point(|fault| *fault < place.start);
        let faulty = faults.get(first).is_some_and(|fault| *fault < place.end.max(place.start + 1));
        let account = entry.filter(|_| !faulty).map(|entry| {
            let own = text[place.clone()].to_owned();
            account_of(written(text, entry), number, own, place.clone(), context)
        });
        Item { number, place, account }
    };
    (1..).zip(found).map(item).collect()
}

/// Where the next table begins after the one at `start`.
fn next_head(text: &str, start: usize) -> usize {
    let mut at = start;
    for (count, line) in text[start..].split_inclusive('\n').enumerate() {
        if count > 0 && line.trim_start().starts_with('[') {
            return at;
        }
        at += line.len();
    }
    text.len()
}

/// From the head of a table to the next head, or the whole of a table in braces.
fn extent(text: &str, place: &Range<usize>) -> Range<usize> {
    let start = place.start.min(text.len());
    if text[start..].starts_with('{') {
        return start..place.end.min(text.len());
    }
    let start = text[..start].rfind('\n').map_or(0, |at| at + 1);
    start..start + text[start..next_head(text, start)].trim_end().len()
}

fn written(text: &str, entry: &Entry<'_>) -> Written {
    let said = |key: &str| {
        let own = entry.text(key)?;
        let whole = entry.place_of(key);
        // Inside the quotes, where the text is written without escapes.
        let inside = whole.start + 1..whole.end.saturating_sub(1);
        let place = if text.get(inside.clone()) == Some(own) { inside } else { whole };
        Some(Said { text: own.to_owned(), place })
    };
    let bare = |key: &str| {
        let place = entry.place_of(key);
        Some(Said { text: text.get(place.clone())?.to_owned(), place })
    };
    let before = said("before").map(|said| (Side::Before, said));
    Written {
        state: said("state"),
        from: said("from"),
        to: said("to"),
        red: said("red"),
        black: said("black"),
        through: said("through"),
        towards: said("towards"),
        load: said("load"),
        moved: said("moved"),
        value: said("value").or_else(|| entry.has("value").then(|| bare("value")).flatten()),
        instrument: said("instrument"),
        time: entry.date("time"),
        note: entry.owned("note"),
        work: before.or_else(|| said("after").map(|said| (Side::After, said))),
    }
}

fn complaint(
    root: &Entry<'_>,
    context: &Context<'_>,
    problems: &mut Vec<Problem>,
) -> Option<Complaint> {
    let entry = root.table("complaint")?;
    let said = |key: &str| {
        entry.text(key).map(|text| Said { text: text.to_owned(), place: entry.place_of(key) })
    };
    let load = said("load").and_then(|said| {
        let found = context.known.load(&said.text);
        if found.is_none() {
            problems.push(context.known.not_known(Code::UnknownLoad, &said, "load"));
        }
        found
    });
    let state = said("state").and_then(|said| {
        let found = context.known.state(&said.text);
        if found.is_none() {
            problems.push(context.known.unknown_state(&said));
        }
        found
    });
    Some(Complaint { load, state, what: entry.owned("what") })
}

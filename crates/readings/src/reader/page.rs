//! The page of what may be said, from the tables by which it is read.

use std::collections::BTreeMap;
use std::fmt::Write;

use model::{Condition, Occasion, Upset};

use super::seen::lexicon::{TERMS, Tag};
use super::statement::Kind;
use super::vocabulary::{Place, WORDS};
use super::{columns, spec, state};

/// Lines of every kind, each read as such.
pub(super) const EXAMPLES: [(Kind, &[&str]); 7] = [
    (
        Kind::Reading,
        &[
            "battery 10.2 V while cranking",
            "cranking: starter case to battery minus 0.4 V",
            "battery plus to starter stud, 0.3 to 0.5 V, cranking",
            "battery plus to starter about 450 mV cranking",
            "cranking: body strap 12 A",
            "battery 12.6 V with everything off",
            "battery 14.1 V at 2000 rpm",
            "alternator stud to battery plus 0.2 V, engine running",
        ],
    ),
    (
        Kind::Observation,
        &[
            "the body strap gets hot while cranking",
            "body strap stays cool while cranking",
            "found the minus clamp loose",
            "no corrosion on the battery terminals",
            "the choke cable smokes while cranking",
        ],
    ),
    (
        Kind::Trial,
        &[
            "jump lead from starter case to battery minus: starter better",
            "new battery, no change",
            "cleaned both clamps, it starts",
            "wiggled the minus clamp, still slow",
        ],
    ),
    (
        Kind::Symptom,
        &["headlights dim while cranking", "only when wet", "comes and goes", "after bumps"],
    ),
    (
        Kind::Nothing,
        &["battery 12.4 V", "starter stud 9.4 V cranking", "starter case to battery minus 0.2 ohm"],
    ),
    (
        Kind::Question,
        &[
            "battery 102 V cranking",
            "battery 9.6 V not cranking",
            "the battery cable gets hot while cranking",
        ],
    ),
    (Kind::Remark, &["it was like that when I bought it"]),
];

fn kind(own: Kind) -> (&'static str, &'static str) {
    match own {
        Kind::Reading => ("A reading", "Where the probes were, when, and the value with its unit."),
        Kind::Observation => ("Something seen or felt", "Of which part, and when."),
        Kind::Trial => ("Something tried", "On which part, and what came of it."),
        Kind::Symptom => ("What else is wrong, or when it comes", "What misbehaves, and when."),
        Kind::Nothing => (
            "What proves nothing",
            "You are told why, and what to do instead: volts without a state or without the second place, ohms of a good joint.",
        ),
        Kind::Question => (
            "What is asked back",
            "A word that is not understood may turn the rest, a value may have slipped, a part may be one of two. Nothing is weighed until you say the line again.",
        ),
        Kind::Remark => ("What is kept as a remark", "Nothing in it can be weighed."),
    }
}

fn place(own: Place) -> &'static str {
    match own {
        Place::Plus => "the battery's plus post",
        Place::Minus => "the battery's minus post",
        Place::PlusClamp => "the clamp on the plus post",
        Place::MinusClamp => "the clamp on the minus post",
        Place::StarterStud => "the thick cable's stud on the starter",
        Place::StarterCase => "the starter's case",
        Place::Trigger => "the small terminal that switches the starter on",
        Place::Engine => "the engine",
        Place::AlternatorStud => "the alternator's output stud",
        Place::AlternatorCase => "the alternator's case",
        Place::FuseBox => "the fuse box",
        Place::Lamp => "a lamp, over both its sides",
        Place::LampFeed => "a lamp's live side",
        Place::LampEarth => "a lamp's earthed side",
        Place::ModuleEarth => "a module's earthed side",
        Place::Body => "the body",
        Place::Frame => "the frame",
        Place::Chassis => "the frame, or the body where there is no frame",
    }
}

/// What a term means, where people choose among such words.
fn meaning(own: Tag) -> Option<&'static str> {
    Some(match own {
        Tag::Hot => "warm or hot",
        Tag::Cool => "not warm",
        Tag::Condition(Condition::Loose) => "loose",
        Tag::Condition(Condition::Corroded) => "corroded, dirty or painted",
        Tag::Condition(Condition::Broken) => "broken",
        Tag::Condition(Condition::Missing) => "off or missing",
        Tag::Condition(Condition::Fine) => "in good order",
        Tag::Upset(Upset::Moves) => "acts up",
        Tag::Upset(Upset::Dims) => "gets weaker",
        Tag::Upset(Upset::Dies) => "goes dead",
        Tag::Well(_) => "goes on as it should",
        Tag::Replaced => "replaced",
        Tag::Cleaned => "cleaned or tightened",
        Tag::Moved => "pushed or pulled",
        Tag::Vain => "it changed nothing",
        Tag::Helped => "it helped",
        Tag::Occasion(Occasion::Wet) => "when wet",
        Tag::Occasion(Occasion::Hot) => "when hot",
        Tag::Occasion(Occasion::Cold) => "when cold",
        Tag::Occasion(Occasion::Shaken) => "after bumps",
        Tag::Occasion(Occasion::ComesAndGoes) => "comes and goes",
        Tag::Not => "no",
        _ => return None,
    })
}

const HEAD: &str = "# What may be said

How readings, things seen and things tried may be told, wherever lines of them are taken: `groundloom start`, `diagnose`, `next`, files with one reading a line, and the page. Written by the program from the tables by which it reads: `UPDATE=1 cargo test -p readings --lib page` writes it anew.

You may say several things in one line where each has its value: `battery 12.4 V at rest, battery 9.9 V cranking` are two. A state in front of all, as in `cranking: battery 9.9 V, starter case to battery minus 0.3 V`, holds for each. What stands behind `#` is a note. Names of the vehicle's file may be used everywhere, and a name such as `body-strap` may be said as `body strap`.

Every word counts: what is not understood and may turn the meaning is asked back, and nothing is weighed until then.
";

const VALUES: &str = "
## Values

A value needs its unit: `V`, `mV`, `volts`; `A`, `mA`, `amps`; `ohm`, `Ω`. It may be `0.41 V`, `0,41 V`, `.4 V`, `0.3 to 0.5 V`, `about 0.4 V`, `less than 10 mV`, `min 8.9 V` for what a meter held, `no drop`, and for amperes `more than 600 A` where a clamp was at its end. A plus or minus in front is the meter's own.

How fast the engine turned, for how long and which test it was may stand beside it: `at 2000 rpm`, `for 3 seconds`, `test 2:`.

## How to say no

Right before what it denies: `not hot`, `no corrosion`, `does not get hot`. Anywhere else it may turn anything, and is asked back.
";

/// The whole page in Markdown.
#[must_use]
pub(super) fn page() -> String {
    let mut text = HEAD.to_owned();
    for (own, lines) in EXAMPLES {
        let (name, what) = kind(own);
        let _ = write!(text, "\n## {name}\n\n{what}\n\n");
        lines.iter().for_each(|line| text.push_str(&format!("- `{line}`\n")));
    }
    text.push_str(VALUES);
    let places = WORDS.iter().map(|(own, words)| (place(*own), spelled(*own, words)));
    table(&mut text, "Places", "place", places);
    let mut states: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for (words, own) in state::idioms() {
        states.entry(own).or_default().push(words.replace('-', " "));
    }
    table(&mut text, "States, beside their names in the file", "state", states.into_iter());
    let mut terms: Vec<(&str, Vec<String>)> = Vec::new();
    for (words, own) in TERMS.iter().filter_map(|(words, tag)| Some((words, meaning(*tag)?))) {
        let words = words.split('|').map(str::to_owned);
        match terms.iter_mut().find(|known| known.0 == own) {
            Some((_, known)) => known.extend(words),
            None => terms.push((own, words.collect())),
        }
    }
    table(&mut text, "What was seen, felt and tried", "meaning", terms.into_iter());
    text
}

const FILES: &str = "# The readings file

What was measured, seen and tried on one vehicle, in a text file in UTF-8. Written by the program from its own description: `UPDATE=1 cargo test -p readings --lib page` writes it anew. It may have one of three forms.

## One line each

As it may be said, [in plain words](what-may-be-said.md) or in the names of the vehicle's file. A line that begins with `#` is a remark.

```text
# before the strap was cleaned
cranking: battery 9.9 V, starter case to battery minus 0.6 V
body strap stays cool while cranking
```

## A table with a header line

Its cells are parted by `,`, `;` or tabs; a value with a decimal comma stands in quotes. The columns are those below, in any order; `value` must be there.

```text
state,from,to,value
cranking,block/front,main/-,0.41 V
```

## TOML

It begins with `format = 1`, and alone can tell the instruments and the complaint.

";

/// The page of the file of readings, in Markdown.
pub(super) fn file_page() -> String {
    let columns = columns::COLUMNS.iter().map(|own| format!("`{own}`")).collect::<Vec<_>>();
    let tables = file::reference::tables(&spec::ROOT);
    format!("{FILES}{tables}## Columns of a table\n\n{}\n", columns.join(", "))
}

/// The words of a place, those of its pole by the first.
fn spelled(own: Place, words: &str) -> Vec<String> {
    let pole = match own {
        Place::Plus | Place::PlusClamp => "plus",
        Place::Minus | Place::MinusClamp => "minus",
        _ => "",
    };
    words.split(", ").map(|own| own.trim().replace('@', pole)).collect()
}

fn table<'r>(
    text: &mut String,
    name: &str,
    first: &str,
    rows: impl Iterator<Item = (&'r str, Vec<String>)>,
) {
    let _ = write!(text, "\n## {name}\n\n| {first} | words |\n| --- | --- |\n");
    for (own, words) in rows {
        let _ = writeln!(text, "| {own} | {} |", words.join(", "));
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::vehicle;
    use super::super::{Vocabulary, statement};
    use super::*;

    #[test]
    fn every_example_of_the_page_is_read_as_what_it_stands_under() {
        let vehicle = vehicle();
        let words = Vocabulary::of(&vehicle);
        for (kind, lines) in EXAMPLES {
            for line in lines {
                let own = statement(line, &vehicle, &words, 1);
                assert_eq!(own.kind(), kind, "{line}: {own:?}");
            }
        }
    }

    /// Compares a page with the one of the docs, or writes that anew.
    #[expect(clippy::disallowed_methods, reason = "the page is written by its own test")]
    fn published(name: &str, page: &str) {
        let path = format!("{}/../../docs/{name}", env!("CARGO_MANIFEST_DIR"));
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(&path, page).expect("the page can be written");
        }
        let published = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(published == page, "{name}: UPDATE=1 cargo test -p readings --lib page");
    }

    #[test]
    fn the_pages_of_the_docs_tell_what_this_program_reads() {
        published("what-may-be-said.md", &page());
        published("readings-file.md", &file_page());
    }

    #[test]
    fn the_example_of_lines_is_read_without_a_problem() {
        let lines = FILES.split("```text\n").nth(1).and_then(|own| own.split("```").next());
        let own = super::super::read(lines.unwrap_or_default().as_bytes(), &vehicle());
        assert!(own.problems.is_empty() && own.kept.is_empty(), "{own:?}");
        assert_eq!((own.readings.len(), own.seen.len()), (2, 1));
    }
}

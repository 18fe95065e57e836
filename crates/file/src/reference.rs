//! The reference page of the vehicle file, in Markdown, made from the one description.

use std::fmt::Write;

use crate::spec::{Domain, FREE_PREFIX, Key, Kind, ROOT, Table, Target};

/// A whole vehicle file that shows them.
const PARTS: &str = include_str!("reference/parts.toml");

/// The page: every table, every key, what it holds and what it means.
#[must_use]
pub fn page() -> String {
    let mut page = String::from(
        "# The vehicle file\n\n\
        A text file in TOML 1.0, UTF-8. This page is made from the program's own description of the file by `groundloom schema --page`; \
        editors that know JSON Schema complete and check a file by `docs/vehicle-file.schema.json` (`groundloom schema`).\n\n\
        ## What stays readable\n\n\
        Every file says `format = 1`. A later program reads every earlier format and means the same by it; a key, a word or a unit that is \
        allowed today stays allowed. When something has to change its meaning, the number rises and the program says what it did with the \
        older file. ",
    );
    let _ = writeln!(
        page,
        "Keys that begin with `{FREE_PREFIX}` are yours: they are kept and never looked at. Any other key that is not listed here is an \
        error, so that a slip of the pen is never silently lost.\n"
    );
    page.push_str(
        "## How things are written\n\n\
        - A **quantity** is a text with its unit: `\"0.8 m\"`, `\"31 in\"`, `\"7 ft 6 in\"`, `\"0.4 mΩ\"`, `\"18 ft-lb\"`, `\"89 lbf·in\"`, `\"25 °C\"`. A comma or a point marks decimals; nothing stands between thousands.\n\
        - A **size** is `\"35 mm²\"`, `\"35 mm2\"`, `\"4 AWG\"`, `\"2/0 AWG\"`, `\"SAE 4\"`, `\"braid 26000 cmil\"`, `\"braid 16 mm²\"`, `\"bar 20 x 3 mm\"`.\n\
        - A **point** is named by what it belongs to. `block/front` is a point of the structure `block`. `main/+` and `main/-` are the posts of the battery `main`; every load and source has `name/+` and `name/-` too. A converter's input is `name/in+` and `name/in-`. A fuse, switch, diode, isolator or shunt has `name/in` and `name/out`. A stud is the point `name`. A plug's pin has `name.socket/PIN` and `name.plug/PIN`. A point of `[points]` stands for itself.\n\
        - A **joint** is named by its conductor: `main-negative.from` and `main-negative.to`; by its load's lead: `horn.feed.from`, `horn.return.to`; by a device's case: `starter.case`; by a stud's foot: `left-ground.foot`; or by a plug's pin: `trailer.3`.\n\
        - A name holds letters, digits, `-` and `_`.\n\n",
    );
    let _ = writeln!(page, "## Parts that are written as one\n\n```toml\n{PARTS}```\n");
    page.push_str(&tables(&ROOT));
    page
}

/// Every table inside one, each with its keys, what they hold and what they mean.
#[must_use]
pub fn tables(root: &'static Table) -> String {
    let mut page = String::new();
    describe(&mut page, root, "", &mut Vec::new());
    page
}

fn describe(page: &mut String, table: &'static Table, heading: &str, told: &mut Vec<&'static str>) {
    if told.contains(&table.name) {
        return;
    }
    told.push(table.name);
    if !heading.is_empty() {
        let _ = writeln!(page, "## {heading}\n\n{}\n", table.doc);
        page.push_str("| key | holds | meaning |\n| --- | --- | --- |\n");
        for key in table.keys {
            let must = if key.required { " **(required)**" } else { "" };
            let _ = writeln!(
                page,
                "| `{}` | {} | {}{must} |",
                key.name,
                holds(&key.kind),
                key.doc.replace('|', "\\|")
            );
        }
        page.push('\n');
    }
    for key in table.keys {
        for inner in inner_tables(key) {
            let heading = match key.kind {
                Kind::Named(_) => format!("`[{}.NAME]` — {}", key.name, inner.name),
                Kind::Many(_) if heading.is_empty() => {
                    format!("`[[{}]]` — {}", key.name, inner.name)
                }
                Kind::Table(_) if heading.is_empty() => {
                    format!("`[{}]` — {}", key.name, inner.name)
                }
                _ => format!("`{} = {{ … }}` — {}", key.name, inner.name),
            };
            describe(page, inner, &heading, told);
        }
    }
}

fn inner_tables(key: &Key) -> Vec<&'static Table> {
    fn of(kind: &Kind) -> Vec<&'static Table> {
        match kind {
            Kind::Table(table) | Kind::Named(table) | Kind::Many(table) => vec![table],
            Kind::Either(short, long) => of(short).into_iter().chain(of(long)).collect(),
            _ => Vec::new(),
        }
    }
    of(&key.kind)
}

/// Lists of up to so many words stand on the page itself; longer ones are in the catalogue.
const SHORT_LIST: usize = 6;

fn choice(words: &[&str]) -> String {
    words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
}

fn holds(kind: &Kind) -> String {
    match kind {
        Kind::Text => "a text".to_owned(),
        Kind::Flag => "`true` or `false`".to_owned(),
        Kind::Count(least, most) if least == most => format!("`{least}`"),
        Kind::Count(least, most) => format!("a whole number, {least} to {most}"),
        Kind::Amount => "a number, zero allowed".to_owned(),
        Kind::Quantity(dimension, domain) => {
            let article = dimension.with_article();
            match domain {
                Domain::Any | Domain::Positive => {
                    format!("{article}, `\"{}\"`", dimension.example())
                }
                Domain::NotNegative => format!("{article}, zero allowed"),
                Domain::Share => format!("{article}, 0 to 100 %"),
                Domain::Chance => format!("{article}, 0.01 to 90 %"),
            }
        }
        Kind::Range(dimensions, _) => {
            let kinds: Vec<&str> =
                dimensions.iter().map(|dimension| dimension.with_article()).collect();
            format!("a list of two, the lesser first, each {}", kinds.join(" or "))
        }
        Kind::Size => "a size".to_owned(),
        Kind::Point => "the name of a point".to_owned(),
        Kind::Names(Target::States) => "names of states".to_owned(),
        Kind::Names(Target::Loads) => "names of loads".to_owned(),
        Kind::Names(Target::Switches) => "names of switches".to_owned(),
        Kind::Names(Target::Pins) => "names of pins".to_owned(),
        Kind::Choice(words) => choice(words),
        Kind::Listed(listing) => {
            let words = listing.rows().words();
            if words.len() <= SHORT_LIST {
                choice(&words)
            } else {
                format!("a word of `groundloom catalogue {}`", listing.rows().table())
            }
        }
        Kind::Date => "a date or a year".to_owned(),
        Kind::Place => "two lengths".to_owned(),
        Kind::Table(table) => format!("{}, a table", table.name),
        Kind::Named(table) => format!("tables, each {}", table.name),
        Kind::Many(table) => format!("a list, each {}", table.name),
        Kind::Either(short, long) => format!("{}, or {}", holds(short), holds(long)),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_example_of_parts_is_a_file_of_which_nothing_is_doubted() {
        let reading = crate::read(super::PARTS.as_bytes());
        assert_eq!(reading.problems, Vec::new());
    }

    #[test]
    fn the_reference_page_tells_what_this_program_reads() {
        let published = include_str!("../../../docs/vehicle-file.md");
        assert_eq!(
            published.trim_end(),
            super::page().trim_end(),
            "write it anew: groundloom schema --page > docs/vehicle-file.md"
        );
    }
}

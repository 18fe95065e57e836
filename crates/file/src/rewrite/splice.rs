//! One place of a text and what is to stand there, so that all the rest stays byte for byte.

use std::ops::Range;

use toml_edit::{Document, InlineTable, Item, Table, Value};

use super::place::End;

/// Bytes of the text, and what takes their place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Splice {
    pub place: Range<usize>,
    pub with: String,
}

/// Sets a key of a table, whatever way the table is written; nothing where there is no safe way.
pub(super) fn set(text: &str, holder: &Item, key: &str, value: &str) -> Option<Splice> {
    if let Some(there) = holder.as_table_like()?.get(key) {
        return Some(Splice { place: there.as_value()?.span()?, with: value.to_owned() });
    }
    match holder {
        Item::Value(Value::InlineTable(own)) => into_braces(own, key, value),
        Item::Table(own) => as_line(text, own, key, value),
        _ => None,
    }
}

/// Sets a key of an end; a short form becomes the long one with the same thing in it.
pub(super) fn end(text: &str, end: &End<'_>, key: &str, value: &str) -> Option<Splice> {
    match end.parent.as_table_like()?.get(end.key) {
        None => set(text, end.parent, end.key, &format!("{{ {key} = {value} }}")),
        Some(long) if long.is_table_like() => set(text, long, key, value),
        Some(short) => {
            let place = short.as_value()?.span()?;
            let kept = text.get(place.clone())?;
            Some(Splice { place, with: format!("{{ {} = {kept}, {key} = {value} }}", end.short) })
        }
    }
}

/// A new named table, as the file writes others of its kind.
pub(super) fn named(
    text: &str,
    document: &Document<String>,
    table: &str,
    name: &str,
    keys: &[(&str, String)],
) -> Option<Splice> {
    if let Some(Item::Value(Value::InlineTable(own))) = document.get(table) {
        let inside: Vec<_> = keys.iter().map(|(key, value)| format!("{key} = {value}")).collect();
        return into_braces(own, name, &format!("{{ {} }}", inside.join(", ")));
    }
    let line = line_end(text);
    let rest = text.trim_end_matches(['\n', '\r']);
    let mut with = format!("{line}{line}[{table}.{name}]{line}");
    for (key, value) in keys {
        with.push_str(&format!("{key} = {value}{line}"));
    }
    // Blank lines at the end of the file stay above what is new; a last line without an end gets one.
    let place = text.len()..text.len();
    if rest.len() == text.len() {
        return Some(Splice { place, with });
    }
    Some(Splice { place, with: with[line.len()..].to_owned() })
}

/// How lines of this text end.
fn line_end(text: &str) -> &'static str {
    if text.contains("\r\n") { "\r\n" } else { "\n" }
}

/// Behind the last value between braces.
fn into_braces(own: &InlineTable, key: &str, value: &str) -> Option<Splice> {
    // A part of a dotted key has no braces of its own.
    if own.is_dotted() {
        return None;
    }
    let place = own.span()?;
    if own.is_empty() {
        return Some(Splice { place, with: format!("{{ {key} = {value} }}") });
    }
    let mut last = None;
    for (_, inner) in own.iter() {
        last = last.max(Some(end_of(inner)?));
    }
    let at = last?;
    Some(Splice { place: at..at, with: format!(", {key} = {value}") })
}

/// Where a value ends; of one that dotted keys make, the last of its parts.
fn end_of(value: &Value) -> Option<usize> {
    match value {
        Value::InlineTable(own) if own.is_dotted() => {
            own.iter().map(|(_, inner)| end_of(inner)).try_fold(0, |most, end| Some(most.max(end?)))
        }
        _ => Some(value.span()?.end),
    }
}

/// On a line of its own, behind the last value of a table; written like that value's key.
fn as_line(text: &str, own: &Table, key: &str, value: &str) -> Option<Splice> {
    let mut last: Option<(usize, usize)> = None;
    for (name, item) in own.iter() {
        let Some(inner) = item.as_value() else { continue };
        let begin = own.key(name)?.span()?.start;
        last = last.max(Some((end_of(inner)?, begin)));
    }
    let (from, before) = match last {
        Some((end, begin)) => {
            let line = text.get(..begin)?.rfind('\n').map_or(0, |at| at + 1);
            (end, text.get(line..begin)?)
        }
        // Nothing but a head: below it. A table that only its inner tables name has none.
        None if !own.is_implicit() && !own.is_dotted() => (own.span()?.end, ""),
        None => return None,
    };
    let at = text.get(from..)?.find('\n').map_or(text.len(), |at| from + at);
    // The end of the line is that of the line above.
    let (at, line) =
        if text.get(..at)?.ends_with('\r') { (at - 1, "\r\n") } else { (at, line_end(text)) };
    Some(Splice { place: at..at, with: format!("{line}{before}{key} = {value}") })
}

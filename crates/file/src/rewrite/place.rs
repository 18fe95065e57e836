//! Where the file describes a thing, found in the parsed document by the thing's name.

use model::{Joint, JointOf, Vehicle};
use toml_edit::{Document, Item};

use super::owner;

/// Tables of devices that may have leads and a case.
const DEVICES: [&str; 4] = ["loads", "alternators", "chargers", "converters"];
/// Tables of parts in the line.
const INLINE: [&str; 4] = ["fuses", "switches", "diodes", "shunts"];

/// How the table of a conductor names its two ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Own<'d> {
    pub item: &'d Item,
    /// Keys of the joint at its beginning and of the one at its end.
    pub ends: [&'static str; 2],
}

/// The end of a conductor, a case or a fuse: there in a short or a long form, or left out.
#[derive(Debug, Clone, Copy)]
pub(super) struct End<'d> {
    /// The table that it is a key of.
    pub parent: &'d Item,
    pub key: &'d str,
    /// What the short form stands for.
    pub short: &'static str,
}

pub(super) fn named<'d>(
    document: &'d Document<String>,
    tables: &[&str],
    name: &str,
) -> Option<&'d Item> {
    tables.iter().find_map(|table| inside(document.get(table)?, name))
}

fn inside<'d>(item: &'d Item, key: &str) -> Option<&'d Item> {
    item.as_table_like()?.get(key)
}

/// A conductor of its own, or a lead inside the table of its device.
pub(super) fn conductor<'d>(document: &'d Document<String>, name: &str) -> Option<Own<'d>> {
    if let Some(item) = named(document, &["conductors"], name) {
        return Some(Own { item, ends: ["from", "to"] });
    }
    let (device, lead) = name.rsplit_once('.')?;
    let ends = match lead {
        "feed" => ["from", "terminal"],
        "lead" | "return" => ["terminal", "to"],
        _ => return None,
    };
    let devices = DEVICES.iter().filter_map(|table| inside(document.get(table)?, device));
    let mut leads = devices.filter_map(|device| inside(device, lead));
    Some(Own { item: leads.next()?, ends })
}

pub(super) fn joint<'d>(
    document: &'d Document<String>,
    vehicle: &Vehicle,
    joint: &Joint,
) -> Option<End<'d>> {
    let (name, first) = owner(vehicle, joint);
    let (parent, key) = match joint.of {
        JointOf::From(_) | JointOf::To(_) => {
            let Own { item, ends } = conductor(document, name)?;
            (item, ends[usize::from(!first)])
        }
        JointOf::FromCrimp(_) | JointOf::ToCrimp(_) => {
            let Own { item, ends } = conductor(document, name)?;
            (inside(item, ends[usize::from(!first)])?, "crimp")
        }
        JointOf::LoadCase(_) => (named(document, &["loads"], name)?, "case"),
        JointOf::Between(_) => return standing(document, joint, name),
        JointOf::SourceCase(_) => (named(document, &DEVICES[1..], name)?, "case"),
    };
    let short = if joint.of.is_crimp() { "made" } else { "point" };
    Some(End { parent, key, short })
}

/// The foot of a stud; the contact of a pin, where the file says something of that pin alone.
fn standing<'d>(document: &'d Document<String>, joint: &Joint, name: &str) -> Option<End<'d>> {
    if let Some(parent) = named(document, &["studs"], name) {
        return Some(End { parent, key: "on", short: "point" });
    }
    let parent = inside(named(document, &["plugs"], name)?, "pin")?;
    let mark = joint.id.split('.').nth(1)?;
    let (key, _) = parent.as_table_like()?.get_key_value(mark)?;
    Some(End { parent, key: key.get(), short: "resistance" })
}

/// A part in the line: of its own, or the fuse of a lead.
pub(super) fn inline<'d>(document: &'d Document<String>, name: &str) -> Option<End<'d>> {
    for table in INLINE {
        let Some((parent, key)) = document.get(table).and_then(|parent| {
            Some((parent, parent.as_table_like()?.get_key_value(name)?.0.get()))
        }) else {
            continue;
        };
        return Some(End { parent, key, short: "rating" });
    }
    let device = name.strip_suffix(".fuse")?;
    let devices = DEVICES.iter().filter_map(|table| inside(document.get(table)?, device));
    let leads = devices.flat_map(|own| ["feed", "lead"].map(|lead| inside(own, lead)));
    let parent = leads.flatten().find(|lead| inside(lead, "fuse").is_some())?;
    Some(End { parent, key: "fuse", short: "rating" })
}

//! The names in a file: every thing is called by one name, and every reference finds its thing or a
//! helpful error.

use std::collections::BTreeMap;
use std::ops::Range;

use model::{Access, Code, Place, Point, PointId, PointOwner, Problem};
use units::{Dimension, Metres, Seconds};

use crate::document::{Entry, Named};
use crate::suggest::{did_you_mean, worthwhile};

/// Points by name, and what else a name may be.
#[derive(Debug, Default)]
pub(crate) struct Names {
    pub points: Vec<Point>,
    point_at: BTreeMap<String, PointId>,
    /// Where each name was given, for messages.
    pub places: BTreeMap<String, Range<usize>>,
    structures: BTreeMap<String, Vec<String>>,
    suggestions: usize,
    /// Sides of pins that a plug has and nothing in the file uses.
    pub unused_pins: Vec<String>,
    /// Access groups that points name, with the places where they do.
    pub access: Vec<(String, Range<usize>)>,
}

impl Names {
    /// Takes a name for a thing; reports when it is taken already.
    pub(crate) fn take(&mut self, name: &Named<&str>, what: &str, problems: &mut Vec<Problem>) {
        if self.places.contains_key(name.name) {
            problems.push(
                Problem::error(
                    Code::NameTaken,
                    name.place.clone(),
                    format!("the name `{}` is taken already", name.name),
                    format!("another name for this {what}"),
                )
                .hint("batteries, sources, loads, structures, points, fuses and switches share their names, because points are called by them"),
            );
        } else {
            self.places.insert(name.name.to_owned(), name.place.clone());
        }
    }

    /// Adds a point. A name that exists already keeps its first point.
    pub(crate) fn add_point(
        &mut self,
        id: String,
        owner: PointOwner,
        entry: Option<&Entry<'_>>,
    ) -> PointId {
        if let Some(known) = self.point_at.get(&id) {
            return *known;
        }
        let place = entry
            .and_then(|entry| entry.place_at("at"))
            .map(|(forward, left)| Place { forward: Metres(forward), left: Metres(left) });
        let access = entry.map_or_else(Access::default, |entry| Access {
            out_of_reach: entry.has_key("out-of-reach") && entry.flag("out-of-reach") == Some(true),
            time: Seconds(if entry.has_key("reach") {
                entry.quantity("reach", Dimension::Time).unwrap_or(0.0)
            } else {
                0.0
            }),
            group: if entry.has_key("access") { entry.owned("access") } else { None },
        });
        let note =
            entry.filter(|entry| entry.has_key("note")).and_then(|entry| entry.owned("note"));
        if let Some(group) = &access.group {
            let place = entry.map_or(0..0, |entry| entry.place_of("access"));
            self.access.push((group.clone(), place));
        }
        let at = PointId::at(self.points.len());
        self.points.push(Point { id: id.clone(), owner, place, access, note });
        self.point_at.insert(id, at);
        at
    }

    /// Lets a point be called by a second name.
    pub(crate) fn alias(&mut self, id: String, point: PointId) {
        self.point_at.entry(id).or_insert(point);
    }

    /// Notes a structure's points, to help those who name the structure alone.
    pub(crate) fn note_structure(&mut self, name: &str, points: Vec<String>) {
        self.structures.insert(name.to_owned(), points);
    }

    pub(crate) fn find(&self, name: &str) -> Option<PointId> {
        self.point_at.get(name).copied()
    }

    /// The point with a name, or a problem that helps to find it.
    pub(crate) fn point(
        &mut self,
        name: &str,
        place: Range<usize>,
        problems: &mut Vec<Problem>,
    ) -> Option<PointId> {
        if let Some(found) = self.find(name) {
            return Some(found);
        }
        let mut problem = Problem::error(
            Code::UnknownPoint,
            place,
            format!("there is no point `{name}`"),
            "the name of a point of this file",
        );
        problem.hint = match self.structures.get(name) {
            Some(points) if !points.is_empty() => {
                let points: Vec<String> =
                    points.iter().take(6).map(|point| format!("`{name}/{point}`")).collect();
                Some(format!(
                    "`{name}` is a structure; name one of its points: {}",
                    points.join(", ")
                ))
            }
            _ => self.suggest_point(name),
        };
        problems.push(problem);
        None
    }

    fn suggest_point(&mut self, name: &str) -> Option<String> {
        let points = &self.point_at;
        if !worthwhile(self.suggestions, points.len()) {
            return None;
        }
        self.suggestions += 1;
        let pins = self.unused_pins.iter().map(String::as_str);
        if let Some(hint) = pin_or_foot(name, points.keys().map(String::as_str).chain(pins.clone()))
        {
            return Some(hint);
        }
        did_you_mean(name, points.keys().map(String::as_str).chain(pins)).or_else(|| {
            let inside = format!("{name}/");
            let terminals: Vec<String> = points
                .keys()
                .filter(|id| id.starts_with(&inside))
                .take(4)
                .map(|id| format!("`{id}`"))
                .collect();
            if terminals.is_empty() {
                Some(format!(
                    "a point that belongs to nothing else is declared as `[points.{}]`",
                    name.replace(['/', ' '], "-")
                ))
            } else {
                Some(format!("`{name}` has the terminals {}", terminals.join(" and ")))
            }
        })
    }
}

/// What is meant by the name of a plug without the side, or by the foot of a stud: nothing for any other name.
fn pin_or_foot<'n>(name: &str, known: impl Iterator<Item = &'n str> + Clone) -> Option<String> {
    let stud = name.strip_suffix(".foot").or_else(|| name.strip_suffix("/foot"));
    if let Some(stud) = stud.filter(|stud| known.clone().any(|own| own == *stud)) {
        return Some(format!(
            "`{stud}.foot` is the joint under the stud, no point: conductors end at `{stud}`"
        ));
    }
    let (plug, pin) = name.split_once('/').unwrap_or((name, ""));
    let side = format!("{plug}.plug/");
    let pins: Vec<&str> = known.clone().filter_map(|own| own.strip_prefix(&side)).collect();
    if pins.is_empty() {
        return None;
    }
    Some(if pins.contains(&pin) {
        format!(
            "`{plug}` is a plug: its pin is `{plug}.plug/{pin}`, and `{plug}.socket/{pin}` on the vehicle's side"
        )
    } else {
        let pins: Vec<String> = pins.iter().take(6).map(|pin| format!("`{side}{pin}`")).collect();
        format!("`{plug}` is a plug; its pins are {}, and the same with `.socket`", pins.join(", "))
    })
}

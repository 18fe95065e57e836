//! Fuses, switches and diodes.

use std::collections::{BTreeMap, BTreeSet};

use catalogue::Catalogue;
use model::{Code, Inline, InlineKind, PointId, PointOwner, StateId};
use units::{Amperes, Dimension, Ohms, Volts, print};

use crate::defaults::taken;
use crate::document::{Entry, Named};
use crate::read::Reader;

/// A fuse as its table has it.
pub(crate) struct Fuse<'d> {
    pub make: &'d str,
    pub kind: InlineKind,
    pub resistance: Ohms,
}

const KEYS: [(&str, &str); 5] = [
    ("fuses", "fuse"),
    ("switches", "switch"),
    ("diodes", "diode"),
    ("isolators", "galvanic isolator"),
    ("shunts", "shunt"),
];

impl<'d> Reader<'d> {
    /// Adds the terminals that in-line parts have of their own. Those joined straight to a point of
    /// the file become second names of it, once all points are known.
    pub(crate) fn inline_points(&mut self) {
        for (key, what) in KEYS {
            for (name, entry) in self.root.clone().tables(key) {
                self.names.take(&name, what, &mut self.problems);
                self.inline_names.insert(name.name.to_owned());
                if key == "shunts" {
                    self.shunts.insert(name.name.to_owned());
                }
                for (side, own) in [("from", "in"), ("to", "out")] {
                    if !entry.has(side) {
                        self.names.add_point(
                            format!("{}/{own}", name.name),
                            PointOwner::Free,
                            Some(&entry),
                        );
                    }
                }
            }
        }
        self.second_names();
    }

    /// Lets each terminal that is joined straight to a point be called by its own name too.
    ///
    /// That point may itself be the second name of another, in whatever order they stand.
    fn second_names(&mut self) {
        let mut joined: BTreeMap<String, &'d str> = BTreeMap::new();
        for (key, _) in KEYS {
            for (name, entry) in self.root.clone().tables(key) {
                for (side, own) in [("from", "in"), ("to", "out")] {
                    if let Some(point) = entry.text(side) {
                        joined.insert(format!("{}/{own}", name.name), point);
                    }
                }
            }
        }
        for first in joined.keys() {
            let (mut chain, mut here) = (BTreeSet::new(), first.as_str());
            let found = loop {
                if let Some(point) = self.names.find(here) {
                    break Some(point);
                }
                let Some(next) = joined.get(here).filter(|_| chain.insert(here)) else {
                    break None;
                };
                here = next;
            };
            match found {
                Some(point) => {
                    for name in chain {
                        self.names.alias(name.to_owned(), point);
                    }
                }
                None if chain.contains(here) => {
                    self.terminals_in_a_ring.extend(chain.into_iter().map(str::to_owned));
                }
                None => {}
            }
        }
    }

    pub(crate) fn inline_ends(
        &mut self,
        name: &Named<&str>,
        entry: &Entry<'d>,
    ) -> Option<(PointId, PointId)> {
        let mut end = |side: &str, own: &str| match entry.text(side) {
            Some(text) if self.terminals_in_a_ring.contains(text) => {
                self.problems.push(
                    model::Problem::error(
                        Code::TerminalsInARing,
                        entry.place_of(side),
                        format!("`{text}` is joined only to terminals that are joined to it again"),
                        "a point that is there without this part",
                    )
                    .hint(format!(
                        "leave `{side}` out: then `{}/{own}` is a terminal of its own",
                        name.name
                    )),
                );
                None
            }
            Some(text) => self.names.point(text, entry.place_of(side), &mut self.problems),
            None => self.names.find(&format!("{}/{own}", name.name)),
        };
        let (from, to) = (end("from", "in"), end("to", "out"));
        let (from, to) = (from?, to?);
        if from == to {
            self.problems.push(model::Problem::error(
                Code::BothEndsAlike,
                entry.place_of("to"),
                format!(
                    "both sides of `{}` are at `{}`",
                    name.name,
                    self.names.points[to.index()].id
                ),
                "two different points",
            ));
            return None;
        }
        // A terminal of its own is where the other one is, if that is joined straight to a point.
        match (entry.has("from"), entry.has("to")) {
            (true, false) => self.lies_at(to, from, entry),
            (false, true) => self.lies_at(from, to, entry),
            _ => {}
        }
        Some((from, to))
    }

    pub(crate) fn inlines(&mut self) {
        for (name, entry) in self.root.clone().tables("fuses") {
            let Some((from, to)) = self.inline_ends(&name, &entry) else { continue };
            let fuse = self.fuse(name.name, &entry);
            self.add_inline(&name, &entry, fuse.make, fuse.kind, (from, to), fuse.resistance.0);
        }
        for (name, entry) in self.root.clone().tables("switches") {
            let Some((from, to)) = self.inline_ends(&name, &entry) else { continue };
            let make = entry.text("kind").unwrap_or("switch");
            let stated = entry.quantity("resistance", Dimension::Resistance);
            let resistance = stated.unwrap_or_else(|| self.contacts(&name, &entry, make));
            let senses = make == "split relay" && !entry.has("closed");
            let closed = if senses { Vec::new() } else { self.closed_states(&name, &entry) };
            if senses {
                self.sensing(&name, &entry, (from, to));
            }
            self.add_inline(
                &name,
                &entry,
                make,
                InlineKind::Switch { closed },
                (from, to),
                resistance,
            );
        }
        for (name, entry) in self.root.clone().tables("diodes") {
            let Some((from, to)) = self.inline_ends(&name, &entry) else { continue };
            let drop = Volts(entry.quantity("drop", Dimension::Voltage).unwrap_or_else(|| {
                self.fills.note(format!("{}.drop", name.name), "0.6 V", "a silicon diode");
                taken().diode_drop.0
            }));
            let resistance =
                entry.quantity("resistance", Dimension::Resistance).unwrap_or(taken().diode.0);
            self.add_inline(
                &name,
                &entry,
                "diode",
                InlineKind::Diode { drop },
                (from, to),
                resistance,
            );
        }
    }

    /// The resistance taken for the contacts of a switch of which none is said.
    fn contacts(&mut self, name: &Named<&str>, entry: &Entry<'d>, make: &str) -> f64 {
        let kinds = &Catalogue::standard().switch_contacts;
        let Some(row) = kinds.find(make).or_else(|| kinds.find("switch")) else { return 0.0 };
        let rating = entry.quantity("rating", Dimension::Current).map(Amperes);
        let (ohms, why) = match rating {
            Some(rating) => {
                let drop = row.drop_at_rating;
                let ohms = Ohms(drop.0 / rating.0);
                let (drop, rating) = (print::volts(drop), print::amperes(rating));
                (ohms, format!("a {make} loses about {drop} at its {rating} (common practice)"))
            }
            None => (row.typical, format!("usual for a {make} (common practice)")),
        };
        self.fills.note(format!("{}.resistance", name.name), print::ohms(ohms), why);
        ohms.0
    }

    /// What a table says of a fuse, wherever it stands; `id` is its name in the answers.
    pub(crate) fn fuse(&mut self, id: &str, entry: &Entry<'d>) -> Fuse<'d> {
        let rating = entry.quantity("rating", Dimension::Current).map(Amperes);
        let make = entry.text("kind").unwrap_or("fuse");
        let curve = self.curve_of_fuse(id, entry, make, rating);
        let stated = entry.quantity("resistance", Dimension::Resistance).map(Ohms);
        let resistance = stated.unwrap_or_else(|| self.fuse_resistance(id, rating));
        let breaking_capacity =
            entry.quantity("breaking-capacity", Dimension::Current).map(Amperes);
        Fuse { make, kind: InlineKind::Fuse { rating, curve, breaking_capacity }, resistance }
    }

    /// The resistance taken for a fuse of which none is said.
    pub(crate) fn fuse_resistance(&mut self, id: &str, rating: Option<Amperes>) -> Ohms {
        let (ohms, why) = match rating {
            Some(rating) => {
                (taken().fuse_drop.0 / rating.0, "a tenth of a volt at the rating (from memory)")
            }
            None => (taken().fuse.0, "a fuse without a rating (common practice)"),
        };
        self.fills.note(format!("{id}.resistance"), print::ohms(Ohms(ohms)), why);
        Ohms(ohms)
    }

    pub(crate) fn add_inline(
        &mut self,
        name: &Named<&str>,
        entry: &Entry<'d>,
        make: &str,
        kind: InlineKind,
        (from, to): (PointId, PointId),
        resistance: f64,
    ) {
        self.vehicle.inlines.push(Inline {
            id: name.name.to_owned(),
            make: make.to_owned(),
            kind,
            from,
            to,
            resistance: Ohms(resistance),
            note: entry.owned("note"),
        });
    }

    pub(crate) fn closed_states(&mut self, name: &Named<&str>, entry: &Entry<'d>) -> Vec<StateId> {
        let (always, names): (bool, BTreeSet<String>) =
            match (entry.text("closed"), entry.names("closed")) {
                (Some("never"), _) => (false, BTreeSet::new()),
                (_, Some(names)) => {
                    self.states.check(&names, &mut self.problems);
                    (false, self.states.and_those_like(names.iter().map(|name| name.name)))
                }
                (Some(_), _) => (true, BTreeSet::new()),
                (None, None) => {
                    self.fills.note(
                        format!("{}.closed", name.name),
                        "always",
                        "a switch about which nothing is said",
                    );
                    (true, BTreeSet::new())
                }
            };
        self.states.where_solved(|state| {
            let closed = always
                || names.contains(&state.state.id)
                || state.closed.iter().any(|own| own == name.name);
            closed && !state.open.iter().any(|own| own == name.name)
        })
    }
}

#[cfg(test)]
mod laws {
    use catalogue::Catalogue;

    use crate::spec::{Kind, SWITCH};

    #[test]
    fn every_kind_of_switch_that_a_file_may_name_has_contacts_in_the_catalogue() {
        let kind = SWITCH.keys.iter().find(|key| key.name == "kind").expect("a key");
        let Kind::Choice(words) = kind.kind else { panic!("a choice of words") };
        let rows = &Catalogue::standard().switch_contacts;
        assert_eq!(words.len(), rows.len());
        for word in words {
            assert!(rows.find(word).is_some(), "{word}");
        }
    }
}

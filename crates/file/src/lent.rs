//! What a part of which the file says little takes from what it belongs to: a return lead from the
//! feed beside it, a terminal from the metal that its device is bolted to.

use std::collections::{BTreeMap, BTreeSet};

use model::{Access, Likely, PointId, PointOwner};
use units::{Dimension, Metres, Ohms, UnitSystem, WireSize};

use crate::defaults::taken;
use crate::document::Entry;
use crate::read::Reader;

/// Size and length of a conductor of which the file says neither.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Lent {
    pub size: Option<WireSize>,
    pub length: Option<Metres>,
}

/// How far a conductor may lie from a resistance that rests on a length nobody measured.
pub(crate) fn spread(resistance: Ohms) -> Likely<Ohms> {
    let times = taken().lead_length_times.0;
    Likely { low: resistance / times, high: resistance * times }
}

impl<'d> Reader<'d> {
    /// What a return lead has when the file leaves it out: the size of its device's other lead, and the
    /// usual length to the metal beside it, or that of the other lead on the way to anywhere else.
    pub(crate) fn lent_to_return(
        &mut self,
        device: &str,
        entry: &Entry<'d>,
        lead: &Entry<'d>,
        end: PointId,
    ) -> Lent {
        if lead.has("resistance") || lead.has("likely") {
            return Lent::default();
        }
        let key = ["feed", "lead"].into_iter().find(|key| entry.has_key(key) && entry.has(key));
        let Some(other) = key.and_then(|key| Some((key, entry.table(key)?))) else {
            return Lent::default();
        };
        let size = if lead.has("size") { None } else { self.lent_size(device, &other) };
        let length = if lead.has("length") { None } else { self.lent_length(device, &other, end) };
        Lent { size, length }
    }

    fn lent_size(&mut self, device: &str, (key, other): &(&str, Entry<'d>)) -> Option<WireSize> {
        let size = other.size("size")?;
        let why = format!("that of its {key} (common practice)");
        self.fills.note(format!("{device}.return.size"), size.to_string(), why);
        Some(size)
    }

    fn lent_length(
        &mut self,
        device: &str,
        (key, other): &(&str, Entry<'d>),
        end: PointId,
    ) -> Option<Metres> {
        let on_metal = matches!(self.names.points[end.index()].owner, PointOwner::Structure(_))
            || self.studs.iter().any(|stud| stud.point == end);
        let (length, why) = if on_metal {
            (
                taken().return_length,
                "a usual lead to the metal beside it (our judgement)".to_owned(),
            )
        } else {
            let length = Metres(other.quantity("length", Dimension::Length)?);
            (length, format!("that of its {key}, along which it is taken to run (our judgement)"))
        };
        let written = UnitSystem::Metric.length(length);
        self.fills.note(format!("{device}.return.length"), written, why);
        Some(length)
    }

    /// Notes that a point lies where another one does, as far as `entry` says nothing of its own.
    pub(crate) fn lies_at(&mut self, own: PointId, other: PointId, entry: &Entry<'d>) {
        if !["access", "reach"].into_iter().any(|key| entry.has_key(key) && entry.has(key)) {
            self.lying_at.insert(own, other);
        }
    }

    /// Gives every point that lies where another one does the cover that is over that one.
    pub(crate) fn covers(&mut self) {
        let lying = std::mem::take(&mut self.lying_at);
        for own in lying.keys() {
            let Some((over, access)) = self.cover_over(*own, &lying) else { continue };
            let over = self.names.points[over.index()].id.clone();
            let point = &mut self.names.points[own.index()];
            if point.access == Access::default() {
                let word = access.group.clone().unwrap_or_else(|| "as there".to_owned());
                let why = format!("that of `{over}`, where it is taken to be (our judgement)");
                point.access = access;
                self.fills.note(format!("{}.access", point.id), word, why);
            }
        }
    }

    /// The first point on the way from one to where it lies of which the file tells how it is reached.
    fn cover_over(
        &self,
        own: PointId,
        lying: &BTreeMap<PointId, PointId>,
    ) -> Option<(PointId, Access)> {
        let (mut here, mut seen) = (own, BTreeSet::new());
        while seen.insert(here) {
            here = *lying.get(&here)?;
            let access = &self.names.points[here.index()].access;
            if *access != Access::default() {
                return Some((here, access.clone()));
            }
        }
        None
    }
}

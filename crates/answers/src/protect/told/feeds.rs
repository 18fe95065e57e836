//! Conductors that feed: without a fuse, opened too late, unfused by custom, not to be judged, and protected.

use model::{InlineId, LoadId};
use protection::{Custom, Feed, Gap, Harm, Origin, Verdict};

use super::super::found::guards;
use super::{HANG, Page, bears, count, size};
use crate::told::quantity::{amperes, duration, ohms, temperature};
use crate::told::{Line, Quantity, Tone, joined, left, name, right};

/// A path of a fault of less resistance is none.
const NO_PATH_OHMS: f64 = 1e-6;

const BY_CUSTOM: &str = "Common practice, no protection: nothing ends a fault here but a battery switch or \
    the melting cable. Kept short, sleeved, clipped clear of edges, heat and moving parts, and \
    under insulating boots.";

const RECALLED: &str = "? marks fuses judged by times that the catalogue recalls and nobody has \
    compared with the standard: UNCONFIRMED. See `groundloom catalogue fuse-times`.";

impl Page<'_> {
    /// A conductor with what it bears, and below it what is to be said.
    fn entry(&mut self, feed: &Feed, said: Line, alarm: bool) {
        let conductor = self.vehicle.conductor(feed.fed.conductor);
        let head = say!(
            "{} ({}{}shorts {})",
            name(&conductor.id),
            size(conductor.size),
            bears(feed.lasting, "; "),
            Quantity::AmperesFromTo(feed.least, feed.most.max(feed.fed.far_short))
        );
        self.told.item(say!("  "), HANG, head);
        if alarm { self.alarm(said) } else { self.body(said) }
    }

    pub(super) fn unprotected(&mut self) {
        let found = self.found;
        let bare = found.feeds.iter().filter(|feed| feed.custom.is_none());
        let bare: Vec<(&Feed, Harm)> = bare
            .filter_map(|feed| match feed.verdict {
                Verdict::Nothing { burns } => Some((feed, burns)),
                _ => None,
            })
            .collect();
        if bare.is_empty() {
            return;
        }
        self.heading(say!("Without any fuse"));
        let all: Vec<&Feed> = bare.iter().map(|(feed, _)| *feed).collect();
        for (feed, burns) in bare {
            if self.told_with_feed(feed, &all) {
                continue;
            }
            let (harm, with) = (self.short_harm(feed, burns), self.with_return(feed, &all));
            self.entry(feed, say!("nothing opens: {}.{}", harm, with), true);
        }
    }

    fn short_harm(&self, feed: &Feed, burns: Harm) -> Line {
        let short = self.short_of(feed);
        match burns {
            Harm::Burns { after, .. } => {
                say!("{} destroys its insulation in {}", short, duration(after))
            }
            Harm::Ages { hottest } => {
                say!("{} holds it at {}", short, temperature(hottest))
            }
            Harm::None => say!("it bears {}, but not one near its beginning", short),
        }
    }

    /// The short that a conductor is held to: at its far end, or inside the load that returns by it.
    fn short_of(&self, feed: &Feed) -> Line {
        let loads = (0..self.vehicle.loads.len()).map(LoadId::at);
        let mut returning =
            loads.filter(|load| self.vehicle.load_terminals(*load).1 == feed.fed.near);
        match returning.next() {
            Some(load) => say!("a short inside {}", name(&self.vehicle.load(load).id)),
            None => say!("a short at {}", name(&self.vehicle.point(feed.fed.far).id)),
        }
    }

    pub(super) fn late(&mut self) {
        let found = self.found;
        let gap = |feed: &Feed| match feed.verdict {
            Verdict::Burns(gap) => Some((gap, true)),
            Verdict::Ages(gap) => Some((gap, false)),
            _ => None,
        };
        for (burns, heading) in
            [(true, "Opened too late"), (false, "Held too warm, though not burnt")]
        {
            let own = found.feeds.iter().filter_map(|feed| Some((feed, gap(feed)?)));
            let own: Vec<(&Feed, Gap)> = own
                .filter(|(_, (_, own))| *own == burns)
                .map(|(feed, (gap, _))| (feed, gap))
                .collect();
            if own.is_empty() {
                continue;
            }
            self.heading(say!("{}", heading));
            let all: Vec<&Feed> = own.iter().map(|(feed, _)| *feed).collect();
            for (feed, gap) in own {
                if self.told_with_feed(feed, &all) {
                    continue;
                }
                let said = say!("{}{}", self.gap(feed, gap), self.with_return(feed, &all));
                self.entry(feed, said, true);
            }
        }
    }

    /// A load's return lead fares as its feed, behind the same fuses: it is told with it.
    fn told_with_feed(&self, feed: &Feed, all: &[&Feed]) -> bool {
        let id = &self.vehicle.conductor(feed.fed.conductor).id;
        let Some(device) = id.strip_suffix(".return") else { return false };
        all.iter().any(|own| {
            self.vehicle.conductor(own.fed.conductor).id.strip_suffix(".feed") == Some(device)
        })
    }

    fn with_return(&self, feed: &Feed, all: &[&Feed]) -> Line {
        let id = &self.vehicle.conductor(feed.fed.conductor).id;
        let Some(device) = id.strip_suffix(".feed") else { return Line::new() };
        let back = format!("{device}.return");
        let there = all.iter().any(|own| self.vehicle.conductor(own.fed.conductor).id == back);
        if there { say!(" The same for {}.", name(back)) } else { Line::new() }
    }

    fn gap(&self, feed: &Feed, gap: Gap) -> Line {
        let fuses = self.fuse_names(&guards(feed));
        let again =
            gap.again.map_or_else(Line::new, |again| say!(" and again above {}", amperes(again)));
        let currents = say!("{}{}", Quantity::AmperesFromTo(gap.from, gap.to), again);
        let path = gap.path.map_or_else(Line::new, |(least, most)| {
            let path = if least.0 < NO_PATH_OHMS {
                say!("Up to {}", ohms(most))
            } else {
                say!("{} to {}", ohms(least), ohms(most))
            };
            say!(" {} in the fault's path let that flow.", path)
        });
        match gap.harm {
            Harm::Burns { after, .. } => say!(
                "{} opens too late from {}: the insulation is lost after as little as {}.{}",
                fuses,
                currents,
                duration(after),
                path
            ),
            Harm::Ages { hottest } => say!(
                "{} need not open from {}, which hold it at up to {}: the insulation ages fast.{}",
                fuses,
                currents,
                temperature(hottest),
                path
            ),
            Harm::None => Line::new(),
        }
    }

    pub(super) fn custom(&mut self) {
        let found = self.found;
        let own: Vec<(&Feed, Custom)> =
            found.feeds.iter().filter_map(|feed| Some((feed, feed.custom?))).collect();
        if own.is_empty() {
            return;
        }
        self.heading(say!("Without a fuse by custom"));
        for (feed, custom) in own {
            let Verdict::Nothing { burns } = feed.verdict else { continue };
            let why = match custom {
                Custom::Starter => "starter cable",
                Custom::Charging => "cable of an alternator",
                Custom::BatteryLink => "link between battery posts",
                Custom::UpToFuses => "the piece up to the first fuses",
            };
            let said = say!("{}: {}.", why, self.short_harm(feed, burns));
            self.entry(feed, said, false);
        }
        self.body(say!("{}", BY_CUSTOM));
    }

    pub(super) fn unjudged(&mut self) {
        let of = |verdict: fn(&Verdict) -> bool| -> Vec<&Feed> {
            self.found.feeds.iter().filter(|feed| verdict(&feed.verdict)).collect()
        };
        let missing = of(|verdict| matches!(verdict, Verdict::CurveMissing));
        let sizeless = of(|verdict| matches!(verdict, Verdict::Unjudged));
        let mut said = Vec::new();
        if !missing.is_empty() {
            said.push(self.without_times(&missing));
        }
        if !sizeless.is_empty() {
            said.push(say!("Size or length is not known: {}.", self.names(&sizeless)));
        }
        if said.is_empty() {
            return;
        }
        self.heading(say!("Cannot be judged"));
        for own in said {
            self.body(own);
        }
    }

    /// Fuses of unknown opening times, and what waits for them.
    fn without_times(&self, missing: &[&Feed]) -> Line {
        let mut fuses: Vec<InlineId> = Vec::new();
        for fuse in missing.iter().flat_map(|feed| guards(feed)) {
            if self.found.curves.curve(fuse).is_none() && !fuses.contains(&fuse) {
                fuses.push(fuse);
            }
        }
        fuses.sort();
        let waiting = if self.all {
            say!("Waiting for them: {}.", self.names(missing))
        } else {
            say!("{} wait for them.", count(missing.len(), "conductor"))
        };
        say!(
            "No opening times are stated for {}. Copy them from the maker's sheet into `curve`, \
             or into `[curves.NAME]` for all fuses of a kind. {}",
            joined(fuses.iter().map(|id| self.fuse(*id)), ", "),
            waiting
        )
    }

    pub(super) fn protected(&mut self) {
        let found = self.found;
        let well = |feed: &&Feed| matches!(feed.verdict, Verdict::Protected | Verdict::Harmless);
        let own: Vec<&Feed> = found.feeds.iter().filter(well).collect();
        let of = found.feeds.len();
        self.heading(say!("Protected over the whole range: {} of {}", own.len(), of));
        if self.all && !own.is_empty() {
            self.table_of(&own);
        } else if !own.is_empty() {
            self.body(say!("{}.", self.names(&own)));
        }
        if !found.dead.is_empty() {
            let names =
                found.dead.iter().map(|id| say!("{}", name(&self.vehicle.conductor(*id).id)));
            self.body(say!("Live in no state looked at: {}.", joined(names, ", ")));
        }
        if found.unsolved > 0 {
            self.alarm(say!("{} shorts have no solution and are left out.", found.unsolved));
        }
        let recalled = |id: usize| {
            let id = InlineId::at(id);
            matches!(found.curves.origin(id), Origin::Recalled(_))
        };
        if (0..self.vehicle.inlines.len()).any(recalled) {
            self.told.toned(Tone::Aside, RECALLED);
        }
    }

    fn table_of(&mut self, feeds: &[&Feed]) {
        let row = |feed: &&Feed| {
            let conductor = self.vehicle.conductor(feed.fed.conductor);
            let nearest = guards(feed).first().map(|id| self.fuse(*id));
            [
                left("conductor", name(&conductor.id)),
                right("size", conductor.size.map_or_else(String::new, |size| size.to_string())),
                right("bears", feed.lasting.map(amperes)),
                right("shorts", Quantity::AmperesFromTo(feed.least, feed.most)),
                left("nearest fuse", nearest.unwrap_or_else(|| say!("none needed"))),
            ]
        };
        let rows: Vec<_> = feeds.iter().map(row).collect();
        self.told.rows(rows, |row| row);
    }
}

//! The answer of `groundloom protect` as a person reads it: what lacks protection first.

use std::fmt::Write;

use answers::cautions::Cautions;
use catalogue::Catalogue;
use model::{InlineId, Vehicle};
use protection::{Carried, Custom, Feed, Gap, Harm, Origin, Protection, Verdict, Worst};
use units::{Amperes, print};

use super::{Arguments, guards, notes, overtaxed};
use crate::answer::Asked;
use crate::cautions;
use crate::problems::count;
use crate::sources::Sources;
use crate::style::{bold, dim, warning, wrapped};
use crate::table::{Column, table};

const HOW: &str = "Each conductor over every current that a fault can send through it, from the \
    short at its beginning down to what it bears for ever; a corroded or chafed path can make any \
    of them. All loads off, every state. Insulation is lost past its short-circuit temperature \
    within 5 s, and past 50 K above what it bears for ever within an hour; bare metal past 150 °C.";

/// Columns by which what belongs to a heading is set in.
const INDENT: usize = 4;

pub(super) fn text(
    vehicle: &Vehicle,
    found: &Protection,
    arguments: &Arguments,
    asked: &Asked,
) -> String {
    let mut text = format!("{}\n{}\n", bold(&vehicle.name), wrapped(HOW, asked.width, 0));
    let page = Page { vehicle, found, asked };
    page.unprotected(&mut text);
    page.late(&mut text);
    page.custom(&mut text);
    page.unjudged(&mut text, arguments.all);
    page.returns(&mut text, arguments.all);
    page.fuses(&mut text);
    page.protected(&mut text, arguments.all);
    text.push('\n');
    for note in notes() {
        let _ = writeln!(text, "{}", wrapped(note, asked.width, 0));
    }
    text.push_str(&cautions::paragraphs(&Cautions::of(vehicle).of_fuses(), asked));
    if vehicle.environment.afloat {
        text.push_str(&rules_for_boats(asked));
    }
    text
}

/// What boats have a code for; told, not checked.
fn rules_for_boats(asked: &Asked) -> String {
    let mut sources = Sources::default();
    let mut text = format!("\n{}\n", bold("Rules for boats, not checked here"));
    for row in
        Catalogue::standard().protection_rules.iter().filter(|row| row.realm.starts_with("boats"))
    {
        let line = format!("– {} {}", row.rule, sources.mark(&row.provenance));
        let _ = writeln!(text, "  {}", wrapped(&line, asked.width.saturating_sub(4), INDENT));
    }
    let _ = write!(text, "\n{}", sources.list(asked.width));
    text
}

struct Page<'a> {
    vehicle: &'a Vehicle,
    found: &'a Protection,
    asked: &'a Asked,
}

impl Page<'_> {
    fn heading(&self, text: &mut String, heading: &str) {
        let _ = writeln!(text, "\n{}", bold(wrapped(heading, self.asked.width, 0)));
    }

    /// A conductor with what it bears, and below it what is to be said.
    fn entry(&self, text: &mut String, feed: &Feed, said: &str, alarm: bool) {
        let conductor = self.vehicle.conductor(feed.fed.conductor);
        let size = conductor.size.map_or_else(String::new, |size| format!("{size}, "));
        let bears = feed
            .lasting
            .map_or_else(String::new, |amps| format!("bears {}; ", print::amperes(amps)));
        let shorts = range(feed.least, feed.most.max(feed.fed.far_short));
        let head = format!("{} ({size}{bears}shorts {shorts})", conductor.id);
        let _ = writeln!(text, "  {}", wrapped(&head, self.asked.width.saturating_sub(2), INDENT));
        if alarm { self.alarm(text, said) } else { self.body(text, said) }
    }

    /// What wants attention; styled after it is wrapped, since styles have no width.
    fn alarm(&self, text: &mut String, said: &str) {
        let width = self.asked.width.saturating_sub(INDENT);
        let lines = wrapped(&format!("! {said}"), width, INDENT);
        let _ = writeln!(text, "    {}", warning(lines));
    }

    fn body(&self, text: &mut String, said: &str) {
        let width = self.asked.width.saturating_sub(INDENT);
        let _ = writeln!(text, "    {}", wrapped(said, width, INDENT));
    }

    fn unprotected(&self, text: &mut String) {
        let bare = self.found.feeds.iter().filter(|feed| feed.custom.is_none());
        let bare: Vec<(&Feed, Harm)> = bare
            .filter_map(|feed| match feed.verdict {
                Verdict::Nothing { burns } => Some((feed, burns)),
                _ => None,
            })
            .collect();
        if bare.is_empty() {
            return;
        }
        self.heading(text, "Without any fuse");
        let all: Vec<&Feed> = bare.iter().map(|(feed, _)| *feed).collect();
        for (feed, burns) in bare {
            if self.told_with_feed(feed, &all) {
                continue;
            }
            let said = format!(
                "nothing opens: {}.{}",
                self.short_harm(feed, burns),
                self.with_return(feed, &all)
            );
            self.entry(text, feed, &said, true);
        }
    }

    fn short_harm(&self, feed: &Feed, burns: Harm) -> String {
        let far = &self.vehicle.point(feed.fed.far).id;
        match burns {
            Harm::Burns { after, .. } => {
                format!("a short at {far} destroys its insulation in {}", print::duration(after))
            }
            Harm::Ages { hottest } => {
                format!("a short at {far} holds it at {}", self.asked.units.temperature(hottest))
            }
            Harm::None => format!("it bears a short at {far}, but not one near its beginning"),
        }
    }

    fn late(&self, text: &mut String) {
        let gap = |feed: &Feed| match feed.verdict {
            Verdict::Burns(gap) => Some((gap, true)),
            Verdict::Ages(gap) => Some((gap, false)),
            _ => None,
        };
        for (burns, heading) in
            [(true, "Opened too late"), (false, "Held too warm, though not burnt")]
        {
            let own = self.found.feeds.iter().filter_map(|feed| Some((feed, gap(feed)?)));
            let own: Vec<(&Feed, Gap)> = own
                .filter(|(_, (_, own))| *own == burns)
                .map(|(feed, (gap, _))| (feed, gap))
                .collect();
            if own.is_empty() {
                continue;
            }
            self.heading(text, heading);
            let all: Vec<&Feed> = own.iter().map(|(feed, _)| *feed).collect();
            for (feed, gap) in own {
                if self.told_with_feed(feed, &all) {
                    continue;
                }
                let said = format!("{}{}", self.gap(feed, gap), self.with_return(feed, &all));
                self.entry(text, feed, &said, true);
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

    fn with_return(&self, feed: &Feed, all: &[&Feed]) -> String {
        let id = &self.vehicle.conductor(feed.fed.conductor).id;
        let Some(device) = id.strip_suffix(".feed") else { return String::new() };
        let name = format!("{device}.return");
        let there = all.iter().any(|own| self.vehicle.conductor(own.fed.conductor).id == name);
        if there { format!(" The same for {name}.") } else { String::new() }
    }

    fn gap(&self, feed: &Feed, gap: Gap) -> String {
        let fuses = self.fuse_names(&guards(feed));
        let again = gap.again.map_or_else(String::new, |again| {
            format!(" and again above {}", print::amperes(again))
        });
        let currents = format!("{}{again}", range(gap.from, gap.to));
        let path = gap.path.map_or_else(String::new, |(least, most)| {
            let path = if least.0 < 1e-6 {
                format!("Up to {}", print::ohms(most))
            } else {
                format!("{} to {}", print::ohms(least), print::ohms(most))
            };
            format!(" {path} in the fault's path let that flow.")
        });
        match gap.harm {
            Harm::Burns { after, .. } => format!(
                "{fuses} opens too late from {currents}: the insulation is lost after as little as {}.{path}",
                print::duration(after)
            ),
            Harm::Ages { hottest } => format!(
                "{fuses} need not open from {currents}, which hold it at up to {}: the insulation ages \
                 fast.{path}",
                self.asked.units.temperature(hottest)
            ),
            Harm::None => String::new(),
        }
    }

    /// The nearest fuse, and how many more stand before it.
    fn fuse_names(&self, fuses: &[InlineId]) -> String {
        match fuses {
            [] => "No fuse".to_owned(),
            [only] => self.fuse(*only),
            [nearest, others @ ..] => {
                format!("{}, with {} more before it,", self.fuse(*nearest), others.len())
            }
        }
    }

    fn fuse(&self, id: InlineId) -> String {
        let part = self.vehicle.inline(id);
        let doubt =
            if matches!(self.found.curves.origin(id), Origin::Recalled(_)) { "?" } else { "" };
        match protection::feeds::rating(self.vehicle, id) {
            Some(rating) => {
                format!("{} ({} A{doubt})", part.id, print::plain(rating.0, 3))
            }
            None => part.id.clone(),
        }
    }

    fn custom(&self, text: &mut String) {
        let own: Vec<(&Feed, Custom)> =
            self.found.feeds.iter().filter_map(|feed| Some((feed, feed.custom?))).collect();
        if own.is_empty() {
            return;
        }
        self.heading(text, "Without a fuse by custom");
        for (feed, custom) in own {
            let Verdict::Nothing { burns } = feed.verdict else { continue };
            let why = match custom {
                Custom::Starter => "starter cable",
                Custom::Charging => "cable of an alternator",
                Custom::BatteryLink => "link between battery posts",
                Custom::UpToFuses => "the piece up to the first fuses",
            };
            self.entry(text, feed, &format!("{why}: {}.", self.short_harm(feed, burns)), false);
        }
        let why = "Common practice, no protection: nothing ends a fault here but a battery switch or \
            the melting cable. Kept short, sleeved, clipped clear of edges, heat and moving parts, and \
            under insulating boots.";
        self.body(text, why);
    }

    fn unjudged(&self, text: &mut String, all: bool) {
        let of = |verdict: fn(&Verdict) -> bool| -> Vec<&Feed> {
            self.found.feeds.iter().filter(|feed| verdict(&feed.verdict)).collect()
        };
        let missing = of(|verdict| matches!(verdict, Verdict::CurveMissing));
        let sizeless = of(|verdict| matches!(verdict, Verdict::Unjudged));
        if missing.is_empty() && sizeless.is_empty() {
            return;
        }
        self.heading(text, "Cannot be judged");
        if !missing.is_empty() {
            let mut fuses: Vec<InlineId> = Vec::new();
            for fuse in missing.iter().flat_map(|feed| guards(feed)) {
                if self.found.curves.curve(fuse).is_none() && !fuses.contains(&fuse) {
                    fuses.push(fuse);
                }
            }
            fuses.sort();
            let names: Vec<String> = fuses.iter().map(|id| self.fuse(*id)).collect();
            let said = format!(
                "No opening times are stated for {}. Copy them from the maker's sheet into `curve`, \
                 or into `[curves.NAME]` for all fuses of a kind. {}",
                names.join(", "),
                if all {
                    format!("Waiting for them: {}.", self.names(&missing))
                } else {
                    format!("{} wait for them.", count(missing.len(), "conductor"))
                }
            );
            self.body(text, &said);
        }
        if !sizeless.is_empty() {
            let said = format!("Size or length is not known: {}.", self.names(&sizeless));
            self.body(text, &said);
        }
    }

    fn names(&self, feeds: &[&Feed]) -> String {
        let names = feeds.iter().map(|feed| self.vehicle.conductor(feed.fed.conductor).id.as_str());
        names.collect::<Vec<_>>().join(", ")
    }

    fn returns(&self, text: &mut String, all: bool) {
        if self.found.returns.is_empty() {
            return;
        }
        self.heading(text, "Returns under the shorts of others");
        let mut told = false;
        for own in &self.found.returns {
            if let Some(worst) = own.fused.filter(|worst| worst.harm != Harm::None) {
                told = true;
                self.carried(text, own, &self.under(&worst, "before it is cleared"));
            }
        }
        let bare: Vec<(&Carried, &Worst)> = self
            .found
            .returns
            .iter()
            .filter_map(|own| Some((own, &own.unfused.as_ref()?.0)))
            .collect();
        if !bare.is_empty() {
            told = true;
            self.body(text, "With a short that nothing opens, such as one of an unfused cable:");
            for (own, worst) in bare {
                let size = self.vehicle.conductor(own.conductor);
                let line = format!("{}: {}", size.id, self.under(worst, ""));
                let width = self.asked.width.saturating_sub(INDENT + 2);
                let _ = writeln!(text, "      {}", wrapped(&line, width, INDENT + 4));
            }
        }
        let waiting: Vec<&str> = self
            .found
            .returns
            .iter()
            .filter(|own| own.unknown.is_some())
            .map(|own| self.vehicle.conductor(own.conductor).id.as_str())
            .collect();
        if !waiting.is_empty() {
            told = true;
            let said = if all {
                format!("Waiting for opening times: {}.", waiting.join(", "))
            } else {
                format!("{} wait for opening times.", count(waiting.len(), "return"))
            };
            self.body(text, &said);
        }
        if !told {
            self.body(text, "No short harms any of them before it is cleared.");
        }
    }

    fn carried(&self, text: &mut String, own: &Carried, said: &str) {
        let conductor = self.vehicle.conductor(own.conductor);
        let size = conductor.size.map_or_else(String::new, |size| format!("{size}, "));
        let bears =
            own.lasting.map_or_else(String::new, |amps| format!("bears {}", print::amperes(amps)));
        let _ = writeln!(text, "  {} ({size}{bears})", conductor.id);
        self.alarm(text, said);
    }

    fn under(&self, worst: &Worst, when: &str) -> String {
        let at = &self.vehicle.point(worst.fault.at).id;
        let amps = print::amperes(worst.amps);
        let end = match worst.harm {
            Harm::Burns { after, .. } => {
                format!("too hot after {}", print::duration(after))
            }
            Harm::Ages { hottest } => {
                format!("held at {}", self.asked.units.temperature(hottest))
            }
            Harm::None => "borne".to_owned(),
        };
        let when = if when.is_empty() { String::new() } else { format!(", {when}") };
        format!("{amps} from a short at {at}, {end}{when}")
    }

    fn fuses(&self, text: &mut String) {
        let beyond: Vec<_> = self.found.fuses.iter().filter(|fuse| overtaxed(fuse)).collect();
        let silent = self.found.fuses.iter().filter(|fuse| fuse.capacity.is_none());
        let largest = silent.clone().max_by(|a, b| a.most.0.total_cmp(&b.most.0));
        if beyond.is_empty() && largest.is_none() {
            return;
        }
        self.heading(text, "What the fuses have to break");
        for own in beyond {
            let capacity = own.capacity.unwrap_or_default();
            let said = format!(
                "{}: up to {}, more than the {} that it can break",
                self.fuse(own.fuse),
                print::amperes(own.most),
                print::amperes(capacity)
            );
            self.alarm(text, &said);
        }
        if let Some(largest) = largest {
            let said = format!(
                "No breaking capacity is stated for {} of {} fuses; the largest short among them is \
                 {} through {}.",
                silent.count(),
                self.found.fuses.len(),
                print::amperes(largest.most),
                self.fuse(largest.fuse)
            );
            self.body(text, &said);
        }
    }

    fn protected(&self, text: &mut String, all: bool) {
        let well = |feed: &&Feed| matches!(feed.verdict, Verdict::Protected | Verdict::Harmless);
        let own: Vec<&Feed> = self.found.feeds.iter().filter(well).collect();
        let heading =
            format!("Protected over the whole range: {} of {}", own.len(), self.found.feeds.len());
        self.heading(text, &heading);
        if all && !own.is_empty() {
            let rows = own.iter().map(|feed| {
                let conductor = self.vehicle.conductor(feed.fed.conductor);
                let fuses = guards(feed);
                vec![
                    conductor.id.clone(),
                    conductor.size.map_or_else(String::new, |size| size.to_string()),
                    feed.lasting.map_or_else(String::new, print::amperes),
                    range(feed.least, feed.most),
                    fuses.first().map_or_else(|| "none needed".to_owned(), |id| self.fuse(*id)),
                ]
            });
            let columns = [
                Column::Left("conductor"),
                Column::Right("size"),
                Column::Right("bears"),
                Column::Right("shorts"),
                Column::Left("nearest fuse"),
            ];
            text.push_str(&table(&columns, rows.collect(), self.asked.width));
        } else if !own.is_empty() {
            self.body(text, &format!("{}.", self.names(&own)));
        }
        if !self.found.dead.is_empty() {
            let names = self.found.dead.iter().map(|id| self.vehicle.conductor(*id).id.as_str());
            let names = names.collect::<Vec<_>>().join(", ");
            self.body(text, &format!("Live in no state looked at: {names}."));
        }
        if self.found.unsolved > 0 {
            let said = format!("{} shorts have no solution and are left out.", self.found.unsolved);
            self.alarm(text, &said);
        }
        let recalled = |id: usize| {
            let id = InlineId::at(id);
            matches!(self.found.curves.origin(id), Origin::Recalled(_))
        };
        if (0..self.vehicle.inlines.len()).any(recalled) {
            let said = "? marks fuses judged by times that the catalogue recalls and nobody has \
                compared with the standard: UNCONFIRMED. See `groundloom catalogue fuse-times`.";
            let _ = writeln!(text, "{}", dim(wrapped(said, self.asked.width, 0)));
        }
    }
}

/// Two currents, or one where they are alike: `126 to 225 A`.
fn range(least: Amperes, most: Amperes) -> String {
    let (low, high) = (print::amperes(least), print::amperes(most));
    if low == high {
        return high;
    }
    match (low.split_once(' '), high.split_once(' ')) {
        (Some((number, unit)), Some((_, other))) if unit == other => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

//! What is said of protection: what lacks it first.

mod at;
mod feeds;
mod returns;

use catalogue::Catalogue;
use model::{InlineId, Vehicle};
use protection::{Feed, Origin, Protection};

use super::found::{Found, Whole};
use super::{Asked, NOTES};
use crate::cautions::Cautions;
use crate::told::quantity::amperes;
use crate::told::sources::Sources;
use crate::told::{
    Line, Paragraph, Quantity, Said, Span, Told, Tone, cautions, joined, name, strong,
};
use crate::unsettled;

const HOW: &str = "Each conductor over every current that a fault can send through it, from the \
    short at its beginning down to what it bears for ever; a corroded or chafed path can make any \
    of them. All loads off, every state. Insulation is lost past its short-circuit temperature \
    within 5 s, and past 50 K above what it bears for ever within an hour; bare metal past 150 °C.";

/// Before what belongs to a heading.
const INDENT: &str = "    ";
/// By how many letters its further lines are set in.
const HANG: usize = 4;

pub(super) fn of(found: &Found<'_>, &Asked { all, .. }: &Asked) -> Told {
    let own = match found {
        Found::Whole(own) => own,
        Found::At(own) => return at::of(own),
    };
    let Whole { vehicle, protection, unsettled } = own;
    let mut told = Told::default();
    told.line(strong(name(&vehicle.name)));
    unsettled::told_states(&mut told, vehicle, unsettled);
    told.paragraph(HOW);
    let mut page = Page { vehicle, found: protection, all, told };
    page.unprotected();
    page.late();
    page.custom();
    page.unjudged();
    page.returns();
    page.fuses();
    page.protected();
    page.told.gap();
    for note in NOTES {
        page.told.paragraph(say!("{}", note));
    }
    cautions::told(&mut page.told, &Cautions::of(vehicle).of_fuses());
    if vehicle.environment.afloat {
        rules_for_boats(&mut page.told);
    }
    page.told
}

/// What boats have a code for; told, not checked.
fn rules_for_boats(told: &mut Told) {
    let mut sources = Sources::default();
    told.heading("Rules for boats, not checked here");
    let rules = Catalogue::standard().protection_rules.iter();
    for row in rules.filter(|row| row.realm.starts_with("boats")) {
        let rule = say!("– {} {}", row.rule.as_str(), sources.mark(&row.provenance));
        told.push(Paragraph::item("  ", HANG, rule).narrower(2));
    }
    told.gap();
    sources.list(told);
}

/// What is said so far, and of what.
struct Page<'a> {
    vehicle: &'a Vehicle,
    found: &'a Protection,
    /// Whether what is well is said too.
    all: bool,
    told: Told,
}

impl Page<'_> {
    fn heading(&mut self, heading: impl Said) {
        self.told.gap();
        self.told.toned(Tone::Strong, heading);
    }

    /// What wants attention.
    fn alarm(&mut self, said: Line) {
        let alarm = Paragraph::item(INDENT, HANG, say!("! {}", said));
        self.told.push(alarm.toned(Tone::Warning));
    }

    fn body(&mut self, said: impl Said) {
        self.told.item(INDENT, HANG, said);
    }

    /// A fuse with its rating; `?` marks one that is judged by recalled times.
    fn fuse(&self, id: InlineId) -> Line {
        let own = name(&self.vehicle.inline(id).id);
        let recalled = matches!(self.found.curves.origin(id), Origin::Recalled(_));
        let doubt = if recalled { "?" } else { "" };
        match protection::feeds::rating(self.vehicle, id) {
            Some(rating) => say!("{} ({}{})", own, Quantity::Plain(rating.0, 3, " A"), doubt),
            None => say!("{}", own),
        }
    }

    /// The nearest fuse, and how many more stand before it.
    fn fuse_names(&self, fuses: &[InlineId]) -> Line {
        match fuses {
            [] => say!("No fuse"),
            [only] => self.fuse(*only),
            [nearest, others @ ..] => {
                say!("{}, with {} more before it,", self.fuse(*nearest), others.len())
            }
        }
    }

    fn names(&self, feeds: &[&Feed]) -> Line {
        let names = feeds.iter().map(|feed| self.vehicle.conductor(feed.fed.conductor).id.as_str());
        joined(names.map(|own| say!("{}", name(own))), ", ")
    }
}

/// `1 conductor`, `2 conductors`, and `no conductors`.
fn count(number: usize, word: &str) -> Line {
    match number {
        0 => say!("{}", format!("no {word}s")),
        1 => say!("{}{}", 1, format!(" {word}")),
        many => say!("{}{}", many, format!(" {word}s")),
    }
}

/// What a conductor bears, ` bears 12 A`, where that is known.
fn bears(lasting: Option<units::Amperes>, then: &str) -> Line {
    lasting.map_or_else(Line::new, |amps| say!("bears {}{}", amperes(amps), then))
}

/// A conductor's size with a comma, where it has one.
fn size(size: Option<units::WireSize>) -> Span {
    size.map_or_else(String::new, |size| format!("{size}, ")).into()
}

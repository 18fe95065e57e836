//! What else misbehaves, and when a fault comes.

use model::{Condition, Occasion, Problem, Sight, Upset};

use super::clauses::Clauses;
use super::lexicon::{Device, Tag, Whose};
use super::parts::{Part, load_of};
use super::sights::{Line, Sights, has, is_condition, is_upset};
use super::tagged::Tagged;

/// What a word tells of a device, and whether it says so or the contrary.
fn told(own: &Tagged) -> Option<(Upset, bool)> {
    match own.tag()? {
        Tag::Upset(upset) => Some((upset, true)),
        Tag::Well(upset) => Some((upset, false)),
        Tag::Condition(Condition::Missing) => Some((Upset::Dies, true)),
        Tag::Condition(Condition::Fine) => Some((Upset::Dies, false)),
        _ => None,
    }
}

/// The device of which a clause tells; nothing where it tells of another part.
fn device(words: &[Tagged]) -> Option<Device> {
    let devices = || {
        words.iter().filter_map(|own| match own.tag() {
            Some(Tag::Device(device)) => Some(device),
            _ => None,
        })
    };
    let other = |own: Device| matches!(own, Device::Control | Device::Fuses | Device::Isolator);
    let starter = has(words, |tag| tag == Tag::Of(Whose::Starter));
    devices().next().filter(|_| !starter && !devices().any(other))
}

/// What such a device does when it does that; nothing where it means nothing.
fn of_device(device: Device, upset: Upset, cranks: bool) -> Option<Upset> {
    match (device, upset) {
        (Device::Lamps, Upset::Moves) => Some(Upset::Dims),
        (Device::All | Device::Other, Upset::Moves) => None,
        // Whatever sees its supply fall acts up while it is cranked.
        (Device::Gauge, Upset::Moves) if cranks => Some(Upset::Dims),
        (_, own) => Some(own),
    }
}

impl Line<'_> {
    pub(super) fn upset(&self, clauses: &Clauses) -> Result<Option<Sights>, Problem> {
        let words = &clauses.main;
        let Some(device) = device(words) else { return Ok(None) };
        let all: Vec<(Upset, bool)> = words.iter().filter_map(told).collect();
        let (upset, so) = match all.as_slice() {
            // `No lights`.
            [] => (Upset::Dies, false),
            [first, rest @ ..] if rest.iter().all(|own| own.1 == first.1) => *first,
            _ => return Err(self.two_things(words)),
        };
        let denied = self.is_denied(words, |tag| {
            is_upset(tag) || is_condition(tag) || (all.is_empty() && matches!(tag, Tag::Device(_)))
        })?;
        let cranks = clauses.states.first() == Some(&"cranking");
        let Some(upset) = of_device(device, upset, cranks) else { return Ok(None) };
        self.when(clauses, upset)?;
        let device = load_of(self.vehicle, device);
        let sight = Sight::Upset { upset, device, so: so != denied };
        Ok(Some(vec![(sight, self.name(&Part::of(words, self.text)))]))
    }

    /// Refuses what tells nothing of when it is so.
    fn when(&self, clauses: &Clauses, upset: Upset) -> Result<(), Problem> {
        let cranks = clauses.states.first() == Some(&"cranking");
        let other = !Part::of(&clauses.when, self.text).is_empty();
        // `No lights either` goes with a starter that does nothing.
        if cranks || other || (upset == Upset::Dies && clauses.states.is_empty()) {
            return Ok(());
        }
        Err(self.ask(
            &clauses.main,
            "when it does so is not told",
            "`while cranking`, or what comes on: `when the lamps are on`",
        ))
    }

    pub(super) fn comes(&self, words: &[Tagged]) -> Result<Option<Sights>, Problem> {
        let occasion = |own: &Tagged| match own.tag() {
            Some(Tag::Occasion(occasion)) => Some(occasion),
            _ => None,
        };
        let mut all = self.words.iter().filter_map(occasion);
        let Some(first) = all.next() else { return Ok(None) };
        if all.any(|own| own != first && own != Occasion::ComesAndGoes) {
            return Err(self.ask(words, "two occasions are told in one", "one a line"));
        }
        // `It only starts when cold`: then the fault comes when it is hot.
        let goes = |tag| matches!(tag, Tag::Well(_) | Tag::Helped | Tag::State(_));
        if has(&self.words, goes) && !has(&self.words, |tag| tag == Tag::Slow) {
            return Err(self.ask(
                &self.words,
                "it is not plain whether the fault comes then, or goes",
                "`the fault comes when hot`, or `only when wet`",
            ));
        }
        if has(&self.words, |tag| tag == Tag::Not) {
            return Err(self.ask(
                &self.words,
                "a word denies something, and it is not plain what",
                "when the fault does come",
            ));
        }
        Ok(Some(vec![(Sight::Comes(first), String::new())]))
    }
}

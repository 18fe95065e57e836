//! What was tried on a part, and what came of it.

use model::{Done, Problem, Sight};

use super::lexicon::Tag;
use super::parts::{Part, Wanted};
use super::sights::{Line, Sights, has, is_heat, is_outcome, is_upset};
use super::tagged::Tagged;

fn done(tag: Tag) -> Option<Done> {
    match tag {
        Tag::Replaced => Some(Done::Replaced),
        Tag::Cleaned => Some(Done::Cleaned),
        Tag::Moved => Some(Done::Moved),
        _ => None,
    }
}

/// Words between commas and `and`.
fn groups(words: &[Tagged]) -> impl Iterator<Item = &[Tagged]> {
    words.split_inclusive(|own| own.is(Tag::And) || own.ends)
}

impl Line<'_> {
    pub(super) fn worked(&self, words: &[Tagged]) -> Result<Option<Sights>, Problem> {
        let mut all = words.iter().filter_map(|own| own.tag().and_then(done));
        let Some(first) = all.next() else { return Ok(None) };
        if all.any(|own| own != first) {
            return Err(self.ask(words, "two kinds of work are told in one", "one a line"));
        }
        let helped = self.helped(words)?;
        let mut sights = Vec::new();
        for group in groups(words) {
            let part = Part::of(group, self.text);
            if part.is_empty() {
                continue;
            }
            let Some(spot) = part.spot(self.vehicle, Wanted::Any)? else {
                let what = "which part is meant is not plain";
                return Err(self.ask(group, what, "a part of the circuit"));
            };
            sights.push((Sight::Worked { spot, done: first, helped }, self.name(&part)));
        }
        if sights.len() > 1 && helped {
            let what = "of several it is not told which one helped";
            return Err(self.ask(words, what, "the part that made the difference"));
        }
        Ok((!sights.is_empty()).then_some(sights))
    }

    /// True where it helped, false where it was in vain.
    fn helped(&self, words: &[Tagged]) -> Result<bool, Problem> {
        let vain = has(words, |tag| tag == Tag::Vain);
        let helped = has(words, |tag| tag == Tag::Helped);
        let denied = self.is_denied(words, is_outcome)?;
        let both = vain && (helped || denied);
        // `It starts slowly`, or sometimes, is no cure.
        let slowly = helped && has(words, |tag| matches!(tag, Tag::Slow | Tag::Occasion(_)));
        if both || slowly || has(words, is_heat) || has(words, is_upset) {
            return Err(self.two_things(words));
        }
        Ok(helped && !denied)
    }
}

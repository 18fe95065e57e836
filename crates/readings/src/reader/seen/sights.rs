//! What kind of thing was seen, and of what.

use model::{Code, Problem, Sight, Vehicle};

use super::clauses::{Clauses, Denied, denied};
use super::lexicon::{Device, Tag};
use super::parts::Part;
use super::tagged::{Meant, Tagged};

/// One or several things seen, each with the words for its part.
pub(super) type Sights = Vec<(Sight, String)>;

/// A line that tells of something seen.
pub(super) struct Line<'l> {
    pub text: &'l str,
    pub vehicle: &'l Vehicle,
    pub words: Vec<Tagged>,
}

/// What a line tells, by its tags.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Worked,
    Heat,
    Condition,
    Upset,
    Comes,
}

pub(super) fn is_work(tag: Tag) -> bool {
    matches!(tag, Tag::Replaced | Tag::Cleaned | Tag::Moved)
}

pub(super) fn is_outcome(tag: Tag) -> bool {
    matches!(tag, Tag::Vain | Tag::Helped)
}

pub(super) fn is_heat(tag: Tag) -> bool {
    matches!(tag, Tag::Hot | Tag::Cool)
}

pub(super) fn is_condition(tag: Tag) -> bool {
    matches!(tag, Tag::Condition(_))
}

pub(super) fn is_upset(tag: Tag) -> bool {
    matches!(tag, Tag::Upset(_) | Tag::Well(_))
}

pub(super) fn has(words: &[Tagged], fits: impl Fn(Tag) -> bool) -> bool {
    words.iter().any(|own| own.tag().is_some_and(&fits))
}

impl Line<'_> {
    /// What was seen and the state's name, if one was told; nothing where the line tells of nothing seen.
    pub(super) fn read(&self) -> Option<Result<(Sights, Option<&'static str>), Problem>> {
        let worked = has(&self.words, is_work) && has(&self.words, is_outcome);
        let clauses = Clauses::of(&self.words, worked);
        let kind = self.kind(&clauses, worked)?;
        let read = self.heeded(&clauses).and_then(|()| match kind {
            Kind::Worked => self.worked(&clauses.main),
            Kind::Heat => self.heat(&clauses),
            Kind::Condition => self.condition(&clauses.main),
            Kind::Upset => self.upset(&clauses),
            Kind::Comes => self.comes(&clauses.main),
        });
        match read {
            Ok(None) => None,
            Ok(Some(sights)) => Some(Ok((sights, clauses.states.first().copied()))),
            Err(problem) => Some(Err(problem)),
        }
    }

    fn kind(&self, clauses: &Clauses, worked: bool) -> Option<Kind> {
        let main = |fits: fn(Tag) -> bool| has(&clauses.main, fits);
        let occasion = |tag: Tag| matches!(tag, Tag::Occasion(_));
        if worked {
            return Some(Kind::Worked);
        }
        let part = Part::of(&clauses.main, self.text);
        let found = if main(is_heat) || main(|tag| tag == Tag::HotLead) {
            Kind::Heat
        } else if main(is_condition) && !self.is_device(&clauses.main) {
            Kind::Condition
        } else if main(is_upset) || self.is_device_off(&clauses.main) {
            Kind::Upset
        } else if has(&self.words, occasion) {
            return Some(Kind::Comes);
        } else {
            return None;
        };
        // `It gets hot` is about nothing that can be weighed, and no more than the symptom.
        (!part.is_empty() || found == Kind::Heat).then_some(found)
    }

    /// True where lamps, gauges or all that is electric are spoken of, and no wire of theirs.
    fn is_device(&self, words: &[Tagged]) -> bool {
        let device = |tag| {
            matches!(tag, Tag::Device(Device::Gauge | Device::Lamps | Device::All | Device::Other))
        };
        let head = |tag| {
            matches!(
                tag,
                Tag::Cable | Tag::Cables | Tag::Terminal | Tag::Clamp | Tag::Strap | Tag::Earthed
            )
        };
        has(words, device) && !has(words, head)
    }

    /// `No lights`: a device and a denial, and nothing that it does.
    fn is_device_off(&self, words: &[Tagged]) -> bool {
        self.is_device(words) && has(words, |tag| tag == Tag::Not)
    }

    /// Refuses words that may turn the rest, two states, and a clause that tells of something itself.
    fn heeded(&self, clauses: &Clauses) -> Result<(), Problem> {
        self.all_read()?;
        if clauses.states.len() > 1 {
            return Err(self.ask(
                &self.words,
                format!("it names two states, {}", clauses.states.join(" and ")),
                "one state: when it was seen",
            ));
        }
        let telling = |tag| is_heat(tag) || is_condition(tag) || is_upset(tag) || tag == Tag::Not;
        if has(&clauses.when, telling) {
            return Err(self.two_things(&clauses.when));
        }
        Ok(())
    }

    /// Refuses words that are not understood, and such as may mean two things.
    fn all_read(&self) -> Result<(), Problem> {
        let is_unread = |at: usize, own: &Tagged| match own.tag {
            Meant::Unread | Meant::Tag(Tag::Doubtful(_)) => true,
            // A number says for how long, or how often.
            Meant::Number => !self.words.get(at + 1).is_some_and(|next| next.is(Tag::Filler)),
            _ => false,
        };
        let all = self.words.iter().enumerate();
        let unread: Vec<&Tagged> =
            all.filter(|(at, own)| is_unread(*at, own)).map(|(_, own)| own).collect();
        let Some(first) = unread.first() else { return Ok(()) };
        let said: Vec<&str> = unread.iter().map(|own| self.said(own)).collect();
        let said = said.join(" ");
        let hint = match first.tag {
            Meant::Tag(Tag::Doubtful(hint)) => hint.to_owned(),
            _ => format!(
                "if `{said}` changes none of it, say the line again with `{said}` left out or behind `#`"
            ),
        };
        let problem = Problem::error(
            Code::WordsUnread,
            first.place.clone(),
            format!("`{said}` was not understood and may change what the rest means"),
            "what was seen, of which part, and when; a remark stands behind `#`",
        );
        Err(problem.hint(hint))
    }

    /// Asks for a line each.
    pub(super) fn two_things(&self, words: &[Tagged]) -> Problem {
        self.ask(words, "two things are told in one", "one thing a line")
    }

    fn said(&self, word: &Tagged) -> &str {
        self.text.get(word.place.clone()).unwrap_or_default()
    }

    pub(super) fn ask(&self, words: &[Tagged], what: impl Into<String>, expected: &str) -> Problem {
        let start = words.first().map_or(0, |own| own.place.start);
        let end = words.last().map_or(self.text.len(), |own| own.place.end);
        Problem::error(Code::WordsUnread, start..end, what.into(), expected)
    }

    pub(super) fn name(&self, part: &Part) -> String {
        // `The strap is hot at the engine end`: what stands behind the word is no part of the name.
        let keyed = |own: &Tagged| {
            own.tag().is_some_and(|tag| is_heat(tag) || is_condition(tag) || is_upset(tag))
        };
        let place = part.place.clone().map(|place| {
            let inside = |own: &&Tagged| place.contains(&own.place.start) && keyed(own);
            let end = self.words.iter().find(inside).map_or(place.end, |own| own.place.start);
            let last = self.words.iter().rfind(|own| {
                own.place.end <= end && own.place.start >= place.start && !own.is(Tag::Filler)
            });
            place.start..last.map_or(place.end, |own| own.place.end)
        });
        let said = place.and_then(|place| self.text.get(place)).unwrap_or_default();
        said.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
    }

    /// Whether what these tags tell is denied; a denial elsewhere may turn anything.
    pub(super) fn is_denied(
        &self,
        words: &[Tagged],
        told: impl Fn(Tag) -> bool,
    ) -> Result<bool, Problem> {
        match denied(words, told) {
            Denied::No => Ok(false),
            Denied::Yes => Ok(true),
            Denied::Unclear => Err(self.ask(
                words,
                "a word denies something, and it is not plain what",
                "the denial right before what it denies, such as `not hot`, `no corrosion`",
            )),
        }
    }
}

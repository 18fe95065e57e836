//! What kind of thing was seen, and of what.

use model::{Code, Condition, Done, Occasion, Problem, Sight, Spot, Upset, Vehicle};

use super::clauses::{Clauses, Denied, denied};
use super::lexicon::{Device, Tag, Whose};
use super::parts::{Part, Wanted, load_of};
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

fn is_work(tag: Tag) -> bool {
    matches!(tag, Tag::Replaced | Tag::Cleaned | Tag::Moved)
}

fn is_outcome(tag: Tag) -> bool {
    matches!(tag, Tag::Vain | Tag::Helped)
}

fn is_heat(tag: Tag) -> bool {
    matches!(tag, Tag::Hot | Tag::Cool)
}

fn is_condition(tag: Tag) -> bool {
    matches!(tag, Tag::Condition(_))
}

fn is_upset(tag: Tag) -> bool {
    matches!(tag, Tag::Upset(_) | Tag::Well(_))
}

fn has(words: &[Tagged], fits: impl Fn(Tag) -> bool) -> bool {
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
        let unread: Vec<&Tagged> = self
            .words
            .iter()
            .enumerate()
            .filter(|(at, own)| match own.tag {
                Meant::Unread => true,
                // A number says for how long, or how often.
                Meant::Number => !self.words.get(at + 1).is_some_and(|next| next.is(Tag::Filler)),
                Meant::Tag(Tag::Doubtful(_)) => true,
                _ => false,
            })
            .map(|(_, own)| own)
            .collect();
        if let Some(first) = unread.first() {
            let said: Vec<&str> = unread.iter().map(|own| self.said(own)).collect();
            let said = said.join(" ");
            let problem = Problem::error(
                Code::WordsUnread,
                first.place.clone(),
                format!("`{said}` was not understood and may change what the rest means"),
                "what was seen, of which part, and when; a remark stands behind `#`",
            );
            return Err(match first.tag {
                Meant::Tag(Tag::Doubtful(hint)) => problem.hint(hint),
                _ => problem.hint(format!(
                    "if `{said}` changes none of it, say the line again with `{said}` left out or behind `#`"
                )),
            });
        }
        if clauses.states.len() > 1 {
            return Err(self.ask(
                &self.words,
                format!("it names two states, {}", clauses.states.join(" and ")),
                "one state: when it was seen",
            ));
        }
        let telling = |tag| is_heat(tag) || is_condition(tag) || is_upset(tag) || tag == Tag::Not;
        if has(&clauses.when, telling) {
            return Err(self.ask(&clauses.when, "two things are told in one", "one thing a line"));
        }
        Ok(())
    }

    fn said(&self, word: &Tagged) -> &str {
        self.text.get(word.place.clone()).unwrap_or_default()
    }

    fn ask(&self, words: &[Tagged], what: impl Into<String>, expected: &str) -> Problem {
        let start = words.first().map_or(0, |own| own.place.start);
        let end = words.last().map_or(self.text.len(), |own| own.place.end);
        Problem::error(Code::WordsUnread, start..end, what.into(), expected)
    }

    fn name(&self, part: &Part) -> String {
        let said = self.text.get(part.place.clone()).unwrap_or_default();
        said.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
    }

    /// Whether what these tags tell is denied; a denial elsewhere may turn anything.
    fn is_denied(&self, words: &[Tagged], told: impl Fn(Tag) -> bool) -> Result<bool, Problem> {
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

    fn heat(&self, clauses: &Clauses) -> Result<Option<Sights>, Problem> {
        let words = &clauses.main;
        if has(words, |tag| tag == Tag::HotLead) {
            return Err(self.ask(
                words,
                "a hot lead is a live one to some, and one that gets hot to others",
                "`the live lead gets hot`, or `live lead` with what it does",
            ));
        }
        let (hot, cool) = (has(words, |tag| tag == Tag::Hot), has(words, |tag| tag == Tag::Cool));
        if (hot && cool) || has(words, is_condition) || has(words, is_upset) {
            return Err(self.ask(words, "two things are told in one", "one thing a line"));
        }
        let denied = self.is_denied(words, is_heat)?;
        if denied && cool {
            return Err(self.ask(words, "`not cool` may be anything", "`hot`, or `stays cool`"));
        }
        let part = Part::of(words, self.text);
        if part.is_empty() {
            return Err(self.ask(
                words,
                "what gets hot is not told",
                "the part, such as `the earth strap gets hot while cranking`",
            ));
        }
        let Some(spot) = part.spot(self.vehicle, Wanted::Heat)? else { return Ok(None) };
        if part.exhaust && clauses.states.first() != Some(&"cranking") {
            return Err(self.ask(
                words,
                "an exhaust or a radiator is hot anyway once the engine has run",
                "`while cranking`, if it got hot from cold by that alone",
            ));
        }
        Ok(Some(vec![(Sight::Heat { spot, hot: hot && !denied }, self.name(&part))]))
    }

    fn condition(&self, words: &[Tagged]) -> Result<Option<Sights>, Problem> {
        if has(words, is_upset) {
            return Err(self.ask(words, "two things are told in one", "one thing a line"));
        }
        let denied = self.is_denied(words, is_condition)?;
        let mut found = words.iter().filter_map(|own| match own.tag() {
            Some(Tag::Condition(condition)) => Some(condition),
            _ => None,
        });
        let Some(first) = found.next() else { return Ok(None) };
        let rest: Vec<Condition> = found.collect();
        let fine = |own: &Condition| *own == Condition::Fine;
        if rest.iter().any(|own| fine(own) != fine(&first)) || (denied && !rest.is_empty()) {
            return Err(self.ask(words, "two things are told in one", "one thing a line"));
        }
        let part = Part::of(words, self.text);
        let spot = part.spot(self.vehicle, Wanted::Piece)?;
        // `The battery is good` is an opinion.
        let Some(spot @ Spot::Pieces(_)) = spot else { return Ok(None) };
        // The gravest of several.
        let condition =
            rest.iter().copied().fold(first, |a, b| if grave(b) > grave(a) { b } else { a });
        let sight = Sight::Condition { spot, condition, so: !denied };
        Ok(Some(vec![(sight, self.name(&part))]))
    }

    fn upset(&self, clauses: &Clauses) -> Result<Option<Sights>, Problem> {
        let words = &clauses.main;
        let part = Part::of(words, self.text);
        let devices: Vec<Device> = words
            .iter()
            .filter_map(|own| match own.tag() {
                Some(Tag::Device(device)) => Some(device),
                _ => None,
            })
            .collect();
        let starter = has(words, |tag| tag == Tag::Of(Whose::Starter));
        let Some(device) = devices.first().copied().filter(|_| !starter) else { return Ok(None) };
        if devices
            .iter()
            .any(|own| matches!(own, Device::Control | Device::Fuses | Device::Isolator))
        {
            return Ok(None);
        }
        let told: Vec<(Upset, bool)> = words
            .iter()
            .filter_map(|own| match own.tag() {
                Some(Tag::Upset(upset)) => Some((upset, true)),
                Some(Tag::Well(upset)) => Some((upset, false)),
                Some(Tag::Condition(Condition::Missing)) => Some((Upset::Dies, true)),
                Some(Tag::Condition(Condition::Fine)) => Some((Upset::Dies, false)),
                _ => None,
            })
            .collect();
        let (upset, so) = match told.as_slice() {
            [] => (Upset::Dies, false),
            [only] => *only,
            [first, rest @ ..] if rest.iter().all(|own| own.1 == first.1) => *first,
            _ => {
                return Err(self.ask(words, "two things are told in one", "one thing a line"));
            }
        };
        let denied = self.is_denied(words, |tag| {
            is_upset(tag) || is_condition(tag) || (told.is_empty() && matches!(tag, Tag::Device(_)))
        })?;
        let upset = match (device, upset) {
            (Device::Lamps, Upset::Moves) => Upset::Dims,
            (Device::All | Device::Other, Upset::Moves) => return Ok(None),
            // Whatever sees its supply fall acts up while it is cranked.
            (Device::Gauge, Upset::Moves) if clauses.states.first() == Some(&"cranking") => {
                Upset::Dims
            }
            (_, own) => own,
        };
        self.when(clauses, upset)?;
        let device = load_of(self.vehicle, device);
        let sight = Sight::Upset { upset, device, so: so != denied };
        Ok(Some(vec![(sight, self.name(&part))]))
    }

    /// Refuses what tells nothing of when it is so.
    fn when(&self, clauses: &Clauses, upset: Upset) -> Result<(), Problem> {
        let another = Part::of(&clauses.when, self.text);
        let cranks = clauses.states.first() == Some(&"cranking");
        let other = !another.is_empty();
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

    fn worked(&self, words: &[Tagged]) -> Result<Option<Sights>, Problem> {
        let vain = has(words, |tag| tag == Tag::Vain);
        let helped = has(words, |tag| tag == Tag::Helped);
        let denied = self.is_denied(words, is_outcome)?;
        if (vain && helped) || (vain && denied) || has(words, is_heat) || has(words, is_upset) {
            return Err(self.ask(words, "two things are told in one", "one thing a line"));
        }
        let done = |tag| match tag {
            Tag::Replaced => Some(Done::Replaced),
            Tag::Cleaned => Some(Done::Cleaned),
            Tag::Moved => Some(Done::Moved),
            _ => None,
        };
        let mut all = words.iter().filter_map(|own| own.tag().and_then(done));
        let Some(first) = all.next() else { return Ok(None) };
        if all.any(|own| own != first) {
            return Err(self.ask(words, "two kinds of work are told in one", "one a line"));
        }
        let mut sights = Vec::new();
        for group in groups(words) {
            let part = Part::of(group, self.text);
            if part.is_empty() {
                continue;
            }
            let Some(spot) = part.spot(self.vehicle, Wanted::Any)? else {
                return Err(self.ask(
                    group,
                    "which part is meant is not plain",
                    "a part of the circuit",
                ));
            };
            let sight = Sight::Worked { spot, done: first, helped: helped && !denied };
            sights.push((sight, self.name(&part)));
        }
        if sights.len() > 1 && helped && !denied {
            return Err(self.ask(
                words,
                "of several it is not told which one helped",
                "the part that made the difference",
            ));
        }
        Ok((!sights.is_empty()).then_some(sights))
    }

    fn comes(&self, words: &[Tagged]) -> Result<Option<Sights>, Problem> {
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

fn grave(condition: Condition) -> u8 {
    match condition {
        Condition::Fine => 0,
        Condition::Corroded => 1,
        Condition::Loose => 2,
        Condition::Broken => 3,
        Condition::Missing => 4,
    }
}

/// Words between commas and `and`.
fn groups(words: &[Tagged]) -> Vec<&[Tagged]> {
    words.split_inclusive(|own| own.is(Tag::And) || own.ends).collect()
}

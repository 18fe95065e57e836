//! What gets hot, and how something was found.

use model::{Condition, Problem, Sight, Spot};

use super::clauses::Clauses;
use super::lexicon::Tag;
use super::parts::{Part, Wanted};
use super::sights::{Line, Sights, has, is_condition, is_heat, is_upset};
use super::tagged::Tagged;

impl Line<'_> {
    pub(super) fn heat(&self, clauses: &Clauses) -> Result<Option<Sights>, Problem> {
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
            return Err(self.two_things(words));
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

    pub(super) fn condition(&self, words: &[Tagged]) -> Result<Option<Sights>, Problem> {
        if has(words, is_upset) {
            return Err(self.two_things(words));
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
            return Err(self.two_things(words));
        }
        let part = Part::of(words, self.text);
        let spot = part.spot(self.vehicle, Wanted::Piece)?;
        // `The battery is good` is an opinion.
        let Some(Spot::Pieces(pieces)) = spot else { return Ok(None) };
        // The gravest of several.
        let condition =
            rest.iter().copied().fold(first, |a, b| if grave(b) > grave(a) { b } else { a });
        let whole = matches!(condition, Condition::Broken | Condition::Missing);
        let pieces = if whole { pieces } else { part.looked_at(self.vehicle, pieces) };
        let sight = Sight::Condition { spot: Spot::Pieces(pieces), condition, so: !denied };
        Ok(Some(vec![(sight, self.name(&part))]))
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

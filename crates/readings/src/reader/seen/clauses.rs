//! What is said of a line's main clause, and what of when it is so.

use super::lexicon::Tag;
use super::tagged::{Meant, Tagged};

/// A line's words by clause.
#[derive(Debug, Default)]
pub(super) struct Clauses {
    /// What is so.
    pub main: Vec<Tagged>,
    /// When it is so.
    pub when: Vec<Tagged>,
    /// The states that were named, each once.
    pub states: Vec<&'static str>,
}

impl Tagged {
    pub(super) fn tag(&self) -> Option<Tag> {
        match self.tag {
            Meant::Tag(tag) => Some(tag),
            _ => None,
        }
    }

    pub(super) fn is(&self, tag: Tag) -> bool {
        self.tag() == Some(tag)
    }
}

impl Clauses {
    /// Parts a line; `whole` leaves everything but states in the main clause.
    pub(super) fn of(words: &[Tagged], whole: bool) -> Self {
        let mut own = Self::default();
        let mut inside = false;
        // A clause in front ends where the state or what is on was told.
        let mut in_front = false;
        for (at, word) in words.iter().enumerate() {
            match word.tag() {
                Some(Tag::When) => {
                    inside = !whole;
                    in_front = at == 0;
                }
                Some(Tag::State(state)) => {
                    if !own.states.contains(&state) {
                        own.states.push(state);
                    }
                    inside &= !in_front;
                }
                _ if inside => {
                    own.when.push(word.clone());
                    inside &= !(in_front && word.is(Tag::On));
                }
                _ => own.main.push(word.clone()),
            }
            inside &= !word.ends;
        }
        own
    }
}

/// How often and where something is denied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Denied {
    /// Nowhere.
    No,
    /// Right in front of what is told.
    Yes,
    /// Somewhere else: it may turn anything.
    Unclear,
}

/// Whether what these tags tell is denied: right before the first of them, with nothing but filling between.
pub(super) fn denied(words: &[Tagged], told: impl Fn(Tag) -> bool) -> Denied {
    let count = words.iter().filter(|own| own.is(Tag::Not)).count();
    let Some(first) = words.iter().position(|own| own.tag().is_some_and(&told)) else {
        return if count == 0 { Denied::No } else { Denied::Unclear };
    };
    let before = words[..first].iter().rev().find(|own| !own.is(Tag::Filler));
    match (count, before.is_some_and(|own| own.is(Tag::Not))) {
        (0, _) => Denied::No,
        (1, true) => Denied::Yes,
        _ => Denied::Unclear,
    }
}

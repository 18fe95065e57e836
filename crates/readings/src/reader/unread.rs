//! Words of an entry that were not understood: it is asked back with what was.

use model::{Code, Problem};
use units::Dimension;

use super::known::Said;
use super::meaning::{About, Account, Context};
use super::value::Value;

impl Context<'_> {
    /// Words that were not understood: whatever they say may turn the rest, so that it is asked back
    /// with what was understood.
    pub(super) fn unread(&self, account: &Account, value: &Value) -> Option<Problem> {
        let kept = match (&account.open, account.about, value.dimension) {
            (Some(open), About::Meter | About::Through, Some(Dimension::Current))
            | (Some(open), About::JumpLead | About::Moved, _) => Some(open),
            _ => None,
        };
        let unread: Vec<&Said> = account.unread.iter().chain(kept).collect();
        let first = unread.first()?;
        if let Some(problem) = self.first_unknown(account) {
            let hint = problem.hint.as_ref().map_or_else(String::new, |hint| format!("{hint} "));
            let hint = format!("{hint}{}", self.understood(account));
            return Some(problem.hint(hint));
        }
        let words: Vec<&str> = unread.iter().map(|said| said.text.as_str()).collect();
        let words = words.join(" ");
        let problem = Problem::error(
            Code::WordsUnread,
            first.place.clone(),
            format!("`{words}` was not understood and may change what the rest means"),
            "places, a state, a value; a remark stands behind `#`",
        );
        let otherwise = self.otherwise(account, &words);
        Some(problem.hint(format!("{}; {otherwise}", self.understood(account))))
    }

    /// What was understood of a line.
    pub(super) fn understood(&self, account: &Account) -> String {
        let state = account.state.map_or("no state", |state| self.vehicle.state(state).id.as_str());
        let names: Vec<&str> = account.names.iter().map(|said| said.text.as_str()).collect();
        let places = if names.is_empty() { "no place".to_owned() } else { names.join(" to ") };
        let told = account
            .value
            .as_ref()
            .map_or(Some("no value"), |value| account.text.get(value.place.clone()));
        let told = told.unwrap_or("a value").trim();
        let about = match account.about {
            About::JumpLead => "jump lead, ",
            About::Moved => "moved, ",
            About::Meter | About::Through => "",
        };
        format!("understood so far: {about}{state}, {places}, {told}")
    }

    /// How a line with words that were not understood would count.
    fn otherwise(&self, account: &Account, unread: &str) -> String {
        let of_a_state =
            |said: &Said| super::state::turns(&said.text) || self.known.state(&said.text).is_some();
        if account.unread.iter().any(of_a_state) {
            let states = self.vehicle.states.iter().map(|state| state.id.as_str());
            format!("say in which state it was: one of {}", file::suggest::listed(states))
        } else {
            format!(
                "if `{unread}` changes none of it, say the line again with `{unread}` left out or behind `#`"
            )
        }
    }

    pub(super) fn first_unknown(&self, account: &Account) -> Option<Problem> {
        let unknown = account.names.iter().find(|said| !self.known.knows(&said.text));
        unknown
            .map(|said| self.known.not_known(Code::UnknownPoint, said, "point"))
            .or_else(|| account.unread.iter().find_map(|said| self.known.nearly(said)))
    }
}

//! A question read from a request, ready to be answered.

use answers::room::{self, About as _, Needs, Watch};
use answers::told::Told;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use crate::error::ApiError;
use crate::slug::Slug;
use crate::subject::{About, Subject, keys};

/// More proposals than this help nobody.
const MOST: u64 = 500;
/// Entries of a list in a request: each is read and weighed, and nobody types so many.
const MOST_ENTRIES: usize = 2_000;

/// Keys and values of a request.
pub(crate) type Keys = Map<String, Value>;

/// Whatever can be answered about a subject.
pub(crate) trait Answerable: Send + Sync {
    /// The answer as JSON text; nothing when `watch` wanted it stopped, which is told how far it is.
    /// Takes long for some: not to be called where requests are served.
    fn answer(&self, subject: &Subject, watch: Watch<'_>) -> Result<Option<Vec<u8>>, ApiError>;
}

/// An answer with what is said of it.
#[derive(Debug, Serialize)]
struct Answered<S> {
    #[serde(flatten)]
    shape: S,
    /// In words, where the request wants them.
    #[serde(skip_serializing_if = "Option::is_none")]
    told: Option<Told>,
}

impl<Q: room::Question + Send + Sync> Answerable for Q {
    fn answer(&self, subject: &Subject, watch: Watch<'_>) -> Result<Option<Vec<u8>>, ApiError> {
        subject.with(needs::<Q>(), |at_hand| {
            // What a question needs was asked for before, so only an empty request comes to nothing here.
            let about = Q::About::of(at_hand);
            let about = about.ok_or_else(|| {
                ApiError::malformed("the question is about nothing", "`vehicle` or `text`")
            })?;
            let mut stopped = false;
            let mut watch = |progress| {
                stopped |= !watch(progress);
                !stopped
            };
            let found = self.find(about, &mut watch)?.filter(|_| !stopped);
            let Some(found) = found else { return Ok(None) };
            let told = subject.told().then(|| {
                let mut told = self.told(&found);
                self.beside(&found, &mut told);
                told
            });
            written(&Answered { shape: self.shape(&found), told }).map(Some)
        })
    }
}

/// What a question needs.
pub(crate) fn needs<Q: room::Question>() -> Needs {
    <Q::About<'static> as room::About>::NEEDS
}

/// An answer as JSON text.
pub(crate) fn written(answer: &impl Serialize) -> Result<Vec<u8>, ApiError> {
    serde_json::to_vec(answer).map_err(|error| ApiError::inside(error.to_string()))
}

/// Reads a question of a type from what was sent. A key that it does not know is refused: it would be answered as if
/// that had not been sent, and a list without end would keep the machine busy.
pub(crate) fn read<Q>(name: &str, needs: Needs, sent: Keys) -> Result<(About, Q), ApiError>
where
    Q: Serialize + DeserializeOwned + Default,
{
    let own = serde_json::to_value(Q::default()).unwrap_or_default();
    let own = |key: &str| own.as_object().is_some_and(|own| own.contains_key(key));
    let about = |key: &str| keys(needs).contains(&key) && !own(key);
    if let Some(unknown) = sent.keys().find(|key| !own(key) && !about(key)) {
        let what = format!("`{name}` asks nothing by `{unknown}`");
        return Err(ApiError::malformed(what, &known::<Q>(needs, unknown)));
    }
    for (key, value) in &sent {
        bounded(name, key, value)?;
    }
    let (of, mut asked): (Keys, Keys) = sent.into_iter().partition(|(key, _)| about(key));
    if let Some(most) = asked.get_mut("most").filter(|most| most.as_u64() > Some(MOST)) {
        *most = MOST.into();
    }
    let wrong = |error: serde_json::Error| {
        ApiError::malformed(format!("`{name}` cannot be read: {error}"), "the documented JSON")
    };
    let of = serde_json::from_value(Value::Object(of)).map_err(wrong)?;
    let asked = serde_json::from_value(Value::Object(asked)).map_err(wrong)?;
    Ok((of, asked))
}

/// Refuses a list of too many entries.
fn bounded(name: &str, key: &str, value: &Value) -> Result<(), ApiError> {
    let entries = value.as_array().map_or(0, Vec::len);
    if entries <= MOST_ENTRIES {
        return Ok(());
    }
    let what = format!("`{key}` has {entries} entries: too many for `{name}`");
    let expected = format!("at most {MOST_ENTRIES} entries");
    Err(ApiError::new(Slug::TooLarge, what, Some(&expected)))
}

/// The keys that a question knows, for one who sent another: the nearest first.
fn known<Q: Serialize + Default>(needs: Needs, sent: &str) -> String {
    let own = serde_json::to_value(Q::default()).unwrap_or_default();
    let own = own.as_object().into_iter().flat_map(Map::keys).map(String::as_str);
    let mut all: Vec<&str> = own.chain(keys(needs).iter().copied()).collect();
    all.dedup();
    let near = file::suggest::nearest(sent, all.iter().copied());
    let near = near.map_or_else(|| "of ".to_owned(), |near| format!("`{near}`, or another of "));
    let all: Vec<String> = all.into_iter().map(|key| format!("`{key}`")).collect();
    near + &all.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn sent(value: Value) -> Keys {
        let Value::Object(keys) = value else { panic!("an object: {value}") };
        keys
    }

    #[test]
    fn a_list_of_two_thousand_entries_is_read_and_a_longer_one_is_refused_in_words() {
        let start = |entries: usize| {
            let readings = vec!["cranking: battery plus to starter stud 0.4 V"; entries];
            let sent = sent(json!({ "symptom": "slow-crank", "readings": readings }));
            read::<answers::start::Asked>("start", Needs::Nothing, sent).map(|(_, asked)| asked)
        };
        assert_eq!(start(2_000).unwrap().readings.len(), 2_000);
        let refused = start(2_001).unwrap_err();
        assert_eq!(refused.why.code, Slug::TooLarge);
        assert_eq!(refused.why.what, "`readings` has 2001 entries: too many for `start`");
        assert_eq!(refused.why.expected.as_deref(), Some("at most 2000 entries"));
    }

    #[test]
    fn lists_of_what_a_question_is_about_are_bounded_too() {
        let set = vec!["main-negative.to=5mΩ"; 2_001];
        let sent = sent(json!({ "vehicle": 1, "set": set }));
        let refused = read::<answers::solve::Asked>("solve", Needs::Vehicle, sent).unwrap_err();
        assert_eq!(refused.why.what, "`set` has 2001 entries: too many for `solve`");
    }
}

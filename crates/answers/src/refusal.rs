//! A question that cannot be answered as asked.

use model::{JointId, LoadId, Piece, StateId, Vehicle};

/// Why a question has no answer: what is wrong, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong, with names in backticks.
    pub what: String,
    /// What would be right.
    pub expected: String,
    /// What may have been meant.
    pub hint: Option<String>,
    /// The argument that is wrong; `what` goes on from its name and value where it is the whole of it.
    pub place: Option<Box<Place>>,
}

/// An argument and, perhaps, a place within its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The argument, as a request's key is written: `return_length`.
    pub key: &'static str,
    /// Its value.
    pub text: String,
    /// Bytes of it that are wrong; all of it when left out.
    pub within: Option<std::ops::Range<usize>>,
}

impl Refusal {
    /// A refusal without a hint.
    pub fn new(what: impl Into<String>, expected: impl Into<String>) -> Self {
        Self { what: what.into(), expected: expected.into(), hint: None, place: None }
    }

    /// A refusal of the whole value of an argument: `what` goes on from its name and value, as in `has no unit`.
    pub fn of(
        key: &'static str,
        text: &str,
        what: impl Into<String>,
        expected: impl Into<String>,
    ) -> Self {
        let place = Place { key, text: text.to_owned(), within: None };
        Self { place: Some(Box::new(place)), ..Self::new(what, expected) }
    }
}

/// The state with a name, or a refusal that lists the states.
///
/// # Errors
///
/// When there is no such state.
pub fn state(vehicle: &Vehicle, name: &str) -> Result<StateId, Refusal> {
    vehicle.state_named(name).ok_or_else(|| {
        let states: Vec<String> =
            vehicle.states.iter().map(|state| format!("`{}`", state.id)).collect();
        Refusal::new(
            format!("`{}` has no state `{name}`", vehicle.name),
            format!("one of {}", states.join(", ")),
        )
    })
}

/// The states asked for, or all.
///
/// # Errors
///
/// When there is no such state.
pub fn states(vehicle: &Vehicle, name: Option<&str>) -> Result<Vec<StateId>, Refusal> {
    match name {
        Some(name) => state(vehicle, name).map(|id| vec![id]),
        None => Ok((0..vehicle.states.len()).map(StateId::at).collect()),
    }
}

/// The load with a name, or a refusal that names the nearest.
///
/// # Errors
///
/// When there is no such load.
pub fn load(vehicle: &Vehicle, name: &str) -> Result<LoadId, Refusal> {
    vehicle.load_named(name).ok_or_else(|| {
        let loads: Vec<String> =
            vehicle.loads.iter().take(40).map(|load| format!("`{}`", load.id)).collect();
        Refusal {
            what: format!("`{}` has no load `{name}`", vehicle.name),
            expected: format!("one of {}", loads.join(", ")),
            hint: nearest(name, vehicle.loads.iter().map(|load| load.id.as_str())),
            place: None,
        }
    })
}

/// How joints are named.
pub(crate) const A_JOINT: &str =
    "a joint: `NAME.from` or `NAME.to` of a conductor, `NAME.case` of a device";

/// The joint with a name, or a refusal that names the nearest.
///
/// # Errors
///
/// When there is no such joint.
pub fn joint(vehicle: &Vehicle, name: &str) -> Result<JointId, Refusal> {
    match vehicle.piece_named(name) {
        Some(Piece::Joint(id)) => Ok(id),
        _ => Err(Refusal {
            what: format!("`{}` has no joint `{name}`", vehicle.name),
            expected: A_JOINT.to_owned(),
            hint: nearest(name, vehicle.joints.iter().map(|joint| joint.id.as_str())),
            place: None,
        }),
    }
}

/// The access group with a name, or a refusal that lists them.
///
/// # Errors
///
/// When there is no such access group.
pub fn access_group(vehicle: &Vehicle, name: &str) -> Result<String, Refusal> {
    let known = vehicle.access_groups.iter().find(|group| group.id == name);
    known.map(|group| group.id.clone()).ok_or_else(|| {
        let groups: Vec<String> =
            vehicle.access_groups.iter().map(|group| format!("`{}`", group.id)).collect();
        Refusal::new(
            format!("`{}` has no access group `{name}`", vehicle.name),
            if groups.is_empty() {
                "none: the file has no table `[access]`".to_owned()
            } else {
                format!("one of {}", groups.join(", "))
            },
        )
    })
}

/// The known name that was probably meant.
pub(crate) fn nearest<'n>(name: &str, known: impl Iterator<Item = &'n str>) -> Option<String> {
    known
        .map(|known| (strsim::damerau_levenshtein(known, name), known))
        .min()
        .filter(|(distance, _)| *distance <= name.len() / 2)
        .map(|(_, known)| format!("did you mean `{known}`?"))
}

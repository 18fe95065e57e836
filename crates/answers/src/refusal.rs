//! A question that cannot be answered as asked.

use file::suggest::did_you_mean;
use model::{BatteryId, JointId, LoadId, Piece, PointId, RegulatedId, StateId, Vehicle};

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

/// Names that are listed at most where another was written.
const MOST_LISTED: usize = 40;

/// A vehicle has nothing of a kind with this name: what it has of it, and what was probably meant.
pub fn no_such<'n>(
    vehicle: &Vehicle,
    kind: &str,
    name: &str,
    known: impl Iterator<Item = &'n str> + Clone,
) -> Refusal {
    let listed: Vec<String> =
        known.clone().take(MOST_LISTED).map(|own| format!("`{own}`")).collect();
    let expected = if listed.is_empty() {
        format!("none: the file has no {kind}")
    } else {
        format!("one of {}", listed.join(", "))
    };
    let what = format!("`{}` has no {kind} `{name}`", vehicle.name);
    Refusal { hint: did_you_mean(name, known), ..Refusal::new(what, expected) }
}

/// Why a question has no answer: everything that is wrong with it, in the order in which it was found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Refused(pub Vec<Refusal>);

impl Refused {
    /// The value, or its refusal kept.
    pub fn keep<T>(&mut self, read: Result<T, Refusal>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(refusal) => {
                self.0.push(refusal);
                None
            }
        }
    }

    /// The values of a question of which nothing was refused.
    ///
    /// # Errors
    ///
    /// Everything that was refused.
    pub fn unless<T>(self, values: Option<T>) -> Result<T, Self> {
        match values {
            Some(values) if self.0.is_empty() => Ok(values),
            _ => Err(self),
        }
    }
}

impl From<Refusal> for Refused {
    fn from(refusal: Refusal) -> Self {
        Self(vec![refusal])
    }
}

/// The state with a name, or a refusal that lists the states.
///
/// # Errors
///
/// When there is no such state.
pub fn state(vehicle: &Vehicle, name: &str) -> Result<StateId, Refusal> {
    vehicle.state_named(name).ok_or_else(|| {
        let states = vehicle.states.iter().map(|state| state.id.as_str());
        let listed: Vec<String> = states.clone().map(|own| format!("\"{own}\", ")).collect();
        let hint = format!(
            "nobody asks for `{name}` in the file; list it in `[vehicle]` to have it solved: `states = [{}\"{name}\"]`",
            listed.concat()
        );
        // States are few, so that the list says enough of others.
        let hint = file::is_known_state(name).then_some(hint);
        Refusal { hint, ..no_such(vehicle, "state", name, states) }
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
        no_such(vehicle, "load", name, vehicle.loads.iter().map(|load| load.id.as_str()))
    })
}

/// What a circuit or ways home may be asked of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Named {
    /// A load.
    Load(LoadId),
    /// A battery.
    Battery(BatteryId),
    /// An alternator, a charger or a converter.
    Source(RegulatedId),
    /// An equaliser, by its first half.
    Equaliser(RegulatedId),
}

/// The load or source with a name, or a refusal that names the nearest. A load comes first.
///
/// # Errors
///
/// When there is no such load and no such source.
pub(crate) fn load_or_source(vehicle: &Vehicle, name: &str) -> Result<Named, Refusal> {
    let battery = vehicle.batteries.iter().position(|own| own.id == name);
    let source = vehicle.regulated.iter().position(|own| own.id == name);
    let whole = |own: &model::Regulated| {
        own.follows.and(own.id.rsplit_once('.')).map(|own| own.0.to_owned())
    };
    let equaliser = vehicle.regulated.iter().position(|own| whole(own).as_deref() == Some(name));
    let found = vehicle
        .load_named(name)
        .map(Named::Load)
        .or_else(|| battery.map(|at| Named::Battery(BatteryId::at(at))))
        .or_else(|| source.map(|at| Named::Source(RegulatedId::at(at))))
        .or_else(|| equaliser.map(|at| Named::Equaliser(RegulatedId::at(at))));
    found.ok_or_else(|| {
        let loads = vehicle.loads.iter().map(|own| own.id.clone());
        let batteries = vehicle.batteries.iter().map(|own| own.id.clone());
        let sources =
            vehicle.regulated.iter().map(|own| whole(own).unwrap_or_else(|| own.id.clone()));
        let mut known: Vec<String> = loads.chain(batteries).chain(sources).collect();
        known.dedup();
        no_such(vehicle, "load or source", name, known.iter().map(String::as_str))
    })
}

/// The point with a name, or a refusal that names the nearest.
///
/// # Errors
///
/// When there is no such point.
pub fn point(vehicle: &Vehicle, name: &str) -> Result<PointId, Refusal> {
    vehicle.point_named(name).ok_or_else(|| {
        no_such(vehicle, "point", name, vehicle.points.iter().map(|point| point.id.as_str()))
    })
}

/// The piece with a name, or a refusal that names the nearest.
///
/// # Errors
///
/// When there is no such piece.
pub fn piece(vehicle: &Vehicle, name: &str) -> Result<Piece, Refusal> {
    vehicle.piece_named(name).ok_or_else(|| {
        let kind = "joint, conductor, stretch, path, fuse or switch";
        let pieces = vehicle.pieces().map(|piece| vehicle.piece_name(piece));
        no_such(vehicle, kind, name, pieces.collect::<Vec<_>>().into_iter())
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
        _ => {
            let joints = vehicle.joints.iter().map(|joint| joint.id.as_str());
            // There are many, and how they are named tells more than the first of them.
            let expected = A_JOINT.to_owned();
            Err(Refusal { expected, ..no_such(vehicle, "joint", name, joints) })
        }
    }
}

/// The access group with a name, or a refusal that names the nearest.
///
/// # Errors
///
/// When there is no such access group.
pub fn access_group(vehicle: &Vehicle, name: &str) -> Result<String, Refusal> {
    let groups = vehicle.access_groups.iter().map(|group| group.id.as_str());
    let known = groups.clone().find(|group| *group == name);
    known.map(str::to_owned).ok_or_else(|| {
        let refusal = no_such(vehicle, "access group", name, groups);
        if vehicle.access_groups.is_empty() {
            let expected = "none: the file has no table `[access]`".to_owned();
            return Refusal { expected, ..refusal };
        }
        refusal
    })
}

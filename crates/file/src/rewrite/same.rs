//! Whether two vehicles differ in nothing but what was to change.

use model::{
    Conductor, ConductorId, Filled, JointId, JointOf, LoadId, Piece, RegulatedId, Vehicle,
};

/// What may differ.
#[derive(Debug, Clone, Copy)]
pub(super) enum Touched<'a> {
    /// The size of a conductor, with all that follows from it.
    Size(ConductorId),
    /// A resistance.
    Resistance(Piece),
    /// A conductor more, of this name.
    Added(&'a str),
}

/// True when nothing but that differs.
pub(super) fn but(before: &Vehicle, after: &Vehicle, touched: Touched<'_>) -> bool {
    let name = match touched {
        Touched::Size(id) => before.conductor(id).id.as_str(),
        Touched::Resistance(piece) => before.piece_name(piece),
        Touched::Added(id) => id,
    };
    let mut after = after.clone();
    if !put_back(before, &mut after, touched) {
        return false;
    }
    let mut before = before.clone();
    for vehicle in [&mut before, &mut after] {
        without_numbers(vehicle);
        let of_it =
            |own: &Filled| own.key.strip_prefix(name).is_some_and(|rest| rest.starts_with('.'));
        vehicle.filled.retain(|own| !of_it(own));
    }
    before == after
}

/// Undoes in `after` what was to change; false when it is not there or changed more.
fn put_back(before: &Vehicle, after: &mut Vehicle, touched: Touched<'_>) -> bool {
    match touched {
        Touched::Size(id) => {
            let old = before.conductor(id);
            let Some(new) = after.conductors.get_mut(id.index()) else { return false };
            let described = |own: &Conductor| {
                let Conductor {
                    kind,
                    length,
                    material,
                    insulation,
                    surroundings,
                    laid,
                    bundle,
                    ..
                } = own.clone();
                (kind, length, material, insulation, surroundings, laid, bundle, own.note.clone())
            };
            let same = described(old) == described(new);
            *new = old.clone();
            same
        }
        Touched::Resistance(piece) => {
            let Some(found) = after.piece_named(before.piece_name(piece)) else { return false };
            match (piece, found) {
                (Piece::Joint(old), Piece::Joint(new)) => {
                    let (old, new) = (before.joint(old), &mut after.joints[new.index()]);
                    (new.resistance, new.stated) = (old.resistance, old.stated);
                }
                (Piece::Conductor(old), Piece::Conductor(new)) => {
                    let (old, new) = (before.conductor(old), &mut after.conductors[new.index()]);
                    (new.resistance_at_20, new.stated) = (old.resistance_at_20, old.stated);
                    new.basis.clone_from(&old.basis);
                }
                (Piece::Incidental(old), Piece::Incidental(new)) => {
                    after.incidentals[new.index()].resistance = before.incidental(old).resistance;
                }
                (Piece::Inline(old), Piece::Inline(new)) => {
                    after.inlines[new.index()].resistance = before.inline(old).resistance;
                }
                _ => return false,
            }
            true
        }
        Touched::Added(id) => {
            let Some(at) = after.conductors.iter().position(|own| own.id == id) else {
                return false;
            };
            let gone = after.conductors.remove(at).this;
            after.joints.retain(|joint| joint.of.conductor() != Some(gone));
            true
        }
    }
}

/// Takes positions out of a vehicle: they follow from the order of the file.
fn without_numbers(vehicle: &mut Vehicle) {
    for own in &mut vehicle.conductors {
        own.this = ConductorId::at(0);
        (own.from, own.to) = (JointId::at(0), JointId::at(0));
        own.crimps = own.crimps.map(|own| own.map(|_| JointId::at(0)));
    }
    for own in &mut vehicle.joints {
        own.this = JointId::at(0);
        let none = ConductorId::at(0);
        own.of = match own.of {
            JointOf::FromCrimp(_) => JointOf::FromCrimp(none),
            JointOf::ToCrimp(_) => JointOf::ToCrimp(none),
            JointOf::From(_) => JointOf::From(none),
            JointOf::To(_) => JointOf::To(none),
            JointOf::LoadCase(_) => JointOf::LoadCase(LoadId::at(0)),
            JointOf::SourceCase(_) => JointOf::SourceCase(RegulatedId::at(0)),
            JointOf::Between(point) => JointOf::Between(point),
        };
    }
    for own in &mut vehicle.loads {
        own.case = own.case.map(|_| JointId::at(0));
    }
    for own in &mut vehicle.regulated {
        own.case = own.case.map(|_| JointId::at(0));
    }
}

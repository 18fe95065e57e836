//! Changes to try on a vehicle: another resistance, a conductor more.

use std::ops::Range;

use catalogue::{Catalogue, TakenAt};
use model::{
    Conductor, ConductorId, ConductorKind, Joint, JointId, JointOf, Laid, Piece, PointId,
    Surroundings, Vehicle,
};
use units::{Dimension, Metres, Ohms, PerKelvin, WireSize};

use crate::quantities::{beyond, stated_area};
use crate::suggest::{did_you_mean, listed};

/// Why a change cannot be tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EditError {
    /// Bytes of the text at fault.
    pub place: Range<usize>,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub expected: String,
    /// What may have been meant.
    pub hint: Option<String>,
}

impl EditError {
    fn new(place: Range<usize>, what: impl Into<String>, expected: impl Into<String>) -> Self {
        Self { place, what: what.into(), expected: expected.into(), hint: None }
    }
}

/// Material of a conductor that is only thought of.
const NEW_MATERIAL: &str = "copper";

/// Sets a resistance as written on a command line: `main-negative.to=5mΩ`, `frame-strap=open`.
///
/// # Errors
///
/// [`EditError`] when the name or the resistance cannot be understood.
pub fn set_resistance(vehicle: &mut Vehicle, text: &str) -> Result<Piece, EditError> {
    let Some((name, value)) = text.rsplit_once('=') else {
        return Err(EditError::new(
            0..text.len(),
            format!("`{text}` has no `=`"),
            "a name and a resistance, such as `main-negative.to=5mΩ`",
        ));
    };
    let (name, value) = (name.trim(), value.trim());
    let Some(piece) = vehicle.piece_named(name) else {
        let names: Vec<&str> = vehicle.pieces().map(|piece| vehicle.piece_name(piece)).collect();
        let mut error = EditError::new(
            0..name.len(),
            format!("there is no joint, conductor, stretch, path, fuse or switch `{name}`"),
            "a name of this vehicle's file; the joints of a conductor are `name.from` and `name.to`",
        );
        error.hint = did_you_mean(name, names.iter().copied());
        return Err(error);
    };
    let offset = text.rfind('=').map_or(0, |at| at + 1);
    let ohms = if value == "open" {
        OPEN
    } else {
        units::parse(value, Dimension::Resistance).map(Ohms).map_err(|error| {
            EditError::new(
                offset..text.len(),
                format!("`{value}` {}", error.what),
                format!("{}, or `open`", error.expected),
            )
        })?
    };
    if let Some(range) = beyond(ohms.0, Dimension::Resistance) {
        let what = format!("a resistance cannot be `{value}`");
        return Err(EditError::new(offset..text.len(), what, format!("{range}, or `open`")));
    }
    match piece {
        Piece::Conductor(id) => {
            let conductor = &mut vehicle.conductors[id.index()];
            conductor.resistance_at_20 = ohms;
            conductor.stated = true;
        }
        Piece::Joint(id) => {
            let joint = &mut vehicle.joints[id.index()];
            joint.resistance = ohms;
            joint.stated = true;
        }
        Piece::Stretch(id) => vehicle.stretches[id.index()].resistance = ohms,
        Piece::Incidental(id) => vehicle.incidentals[id.index()].resistance = ohms,
        Piece::Inline(id) => vehicle.inlines[id.index()].resistance = ohms,
    }
    Ok(piece)
}

/// What an opened piece still conducts: a hundred megohms, which carries nothing that matters.
pub const OPEN: Ohms = Ohms(1e8);

/// Adds a conductor as written on a command line: `main/-,block/front,35mm2,0.6m`.
///
/// Its two ends get clean bolted lugs.
///
/// # Errors
///
/// [`EditError`] when a point, the size or the length cannot be understood.
pub fn add_conductor(vehicle: &mut Vehicle, text: &str) -> Result<ConductorId, EditError> {
    let parts: Vec<&str> = text.split(',').collect();
    let expected = "two points, a size and a length, such as `main/-,block/front,35mm2,0.6m`";
    let [from, to, size, length] = parts.as_slice() else {
        return Err(EditError::new(
            0..text.len(),
            format!("`{text}` has {} parts between commas", parts.len()),
            expected,
        ));
    };
    let mut at = 0;
    let mut places = Vec::new();
    for part in &parts {
        places.push(at..at + part.len());
        at += part.len() + 1;
    }
    let from = point(vehicle, from, &places[0])?;
    let to = point(vehicle, to, &places[1])?;
    if from == to {
        return Err(EditError::new(
            places[1].clone(),
            "both ends are at the same point",
            "two different points",
        ));
    }
    let unreadable = |part: &str, place: &Range<usize>, error: &units::ParseError| {
        EditError::new(
            place.clone(),
            format!("`{}` {}", part.trim(), error.what),
            error.expected.clone(),
        )
    };
    let wire = WireSize::parse(size).map_err(|error| unreadable(size, &places[2], &error))?;
    let metres = units::parse(length, Dimension::Length)
        .map_err(|error| unreadable(length, &places[3], &error))?;
    if let Some(range) = beyond(metres, Dimension::Length) {
        let what = format!("a length cannot be `{}`", length.trim());
        return Err(EditError::new(places[3].clone(), what, range));
    }
    if let Some(range) = stated_area(&wire).and_then(|area| beyond(area, Dimension::Area)) {
        let what = format!("a size cannot be `{}`", size.trim());
        return Err(EditError::new(places[2].clone(), what, range));
    }
    let catalogue = Catalogue::standard();
    let material = catalogue
        .materials
        .known(NEW_MATERIAL)
        .expect("copper is in the embedded catalogue, as a test checks");
    let joint = catalogue.joint_taken_at(TakenAt::Metal);
    let Some(found) = catalogue.conductor_resistance_per_metre(&wire, &material) else {
        return Err(EditError::new(
            places[2].clone(),
            format!("the catalogue has no size {wire}"),
            "a listed gauge or an area in mm²",
        ));
    };
    let this = ConductorId::at(vehicle.conductors.len());
    let id = (1..)
        .map(|number| format!("new-{number}"))
        .find(|id| vehicle.piece_named(id).is_none())
        .unwrap_or_default();
    let first = JointId::at(vehicle.joints.len());
    let second = JointId::at(vehicle.joints.len() + 1);
    for (joint_id, of, place, suffix) in
        [(first, JointOf::From(this), from, "from"), (second, JointOf::To(this), to, "to")]
    {
        vehicle.joints.push(Joint::unknown(joint_id, format!("{id}.{suffix}"), place, of, joint));
    }
    vehicle.conductors.push(Conductor {
        this,
        id,
        from: first,
        to: second,
        crimps: [None; 2],
        kind: ConductorKind::Cable,
        size: Some(wire),
        length: Some(Metres(metres)),
        material,
        area: Some(found.area),
        resistance_at_20: found.per_metre * metres,
        temperature_coefficient: PerKelvin(material.temperature_coefficient),
        basis: found.basis,
        stated: false,
        likely: None,
        insulation: None,
        insulation_limit: None,
        // A conductor that is only thought of stays at air temperature.
        metal_diameter: None,
        outer_diameter: None,
        heat_capacity: None,
        melting: material.melting,
        surroundings: Surroundings::Outside,
        laid: Laid::Free,
        bundle: 1,
        missing: None,
        on_diagram: true,
        fitted: None,
        note: None,
    });
    Ok(this)
}

fn point(vehicle: &Vehicle, name: &str, place: &Range<usize>) -> Result<PointId, EditError> {
    let name = name.trim();
    vehicle.point_named(name).ok_or_else(|| {
        let names = vehicle.points.iter().map(|point| point.id.as_str());
        let mut error = EditError::new(
            place.clone(),
            format!("there is no point `{name}`"),
            "the name of a point of this vehicle",
        );
        let inside = format!("{name}/");
        let owned: Vec<&str> = names.clone().filter(|id| id.starts_with(&inside)).collect();
        error.hint = if owned.is_empty() {
            did_you_mean(name, names)
        } else {
            Some(format!("`{name}` has {}", listed(owned)))
        };
        error
    })
}

//! A vehicle with the new conductor in it, written into its file and read like the rest.

use std::fmt::Write;

use catalogue::{Material, Row};
use model::{ConductorId, Piece, PointId, Severity, Vehicle};

use super::wanted::Wanted;
use crate::Refusal;
use crate::room::Written;
use crate::size::families::Candidate;

/// What the new conductor and its fuse are called.
#[derive(Debug)]
pub(super) struct Names {
    conductor: String,
    fuse: String,
}

impl Names {
    /// Names that nothing in the vehicle has.
    pub(super) fn free_in(vehicle: &Vehicle) -> Self {
        let taken = |own: &Self| {
            vehicle.piece_named(&own.conductor).is_some()
                || vehicle.piece_named(&own.fuse).is_some()
                || vehicle.points.iter().any(|point| point.id.starts_with(&own.conductor))
        };
        let mut number = 1;
        loop {
            let conductor = format!("new-{number}");
            let own = Self { fuse: format!("{conductor}-fuse"), conductor };
            if !taken(&own) {
                return own;
            }
            number += 1;
        }
    }
}

/// A vehicle with the new conductor.
#[derive(Debug)]
pub(super) struct Fitted {
    pub vehicle: Vehicle,
    pub conductor: ConductorId,
    /// The points between which the drop is looked for, the new fuse included.
    pub ends: (PointId, PointId),
}

impl Fitted {
    /// The vehicle with a size of the conductor; nothing where it is no conductor of its own there.
    pub(super) fn with(
        written: Written<'_>,
        wanted: &Wanted,
        names: &Names,
        material: &Material,
        candidate: &Candidate,
    ) -> Result<Option<Self>, Refusal> {
        let text = text(written, wanted, names, material, &candidate.size.to_string());
        let reading = file::read(text.as_bytes());
        let mut vehicle = reading.vehicle.ok_or_else(|| {
            let mut problems = reading.problems.iter();
            let told = problems.find(|problem| problem.severity == Severity::Error);
            let why = told.map_or_else(String::new, |problem| problem.what.clone());
            Refusal::new(
                format!("this conductor cannot be in this vehicle: {why}"),
                "two points that a conductor may join",
            )
        })?;
        let Some(Piece::Conductor(conductor)) = vehicle.piece_named(&names.conductor) else {
            return Ok(None);
        };
        vehicle.conductors[conductor.index()].resistance_at_20 =
            candidate.per_metre * wanted.length.0;
        let ends = ends(&vehicle, conductor, names);
        Ok(Some(Self { vehicle, conductor, ends }))
    }
}

/// Points that the new fuse brought come after those of devices: the two are found again by their pieces.
fn ends(vehicle: &Vehicle, conductor: ConductorId, names: &Names) -> (PointId, PointId) {
    let own = vehicle.conductor(conductor);
    let far = vehicle.joint(own.to).point;
    let near = match vehicle.piece_named(&names.fuse) {
        Some(Piece::Inline(fuse)) => vehicle.inline(fuse).from,
        _ => vehicle.joint(own.from).point,
    };
    (near, far)
}

/// The vehicle's file with the conductor at its end.
fn text(
    Written { vehicle, text }: Written<'_>,
    wanted: &Wanted,
    names: &Names,
    material: &Material,
    size: &str,
) -> String {
    let (from, to) = (&vehicle.point(wanted.from).id, &vehicle.point(wanted.to).id);
    let mut written = format!("{text}\n");
    let joint = quoted(&wanted.joint);
    let mut begin = from.clone();
    if let Some((rating, kind)) = wanted.fuse {
        let _ = writeln!(
            written,
            "[fuses.{}]\nfrom = {}\nrating = \"{} A\"\nkind = {}",
            names.fuse,
            quoted(from),
            rating.0,
            quoted(kind)
        );
        begin = format!("{}/out", names.fuse);
    }
    let _ = writeln!(
        written,
        "[conductors.{}]\nfrom = {{ point = {}, joint = {joint} }}\nto = {{ point = {}, joint = {joint} }}\n\
         size = {}\nlength = \"{} m\"\nmaterial = {}\nkind = \"cable\"\ninsulation = {}",
        names.conductor,
        quoted(&begin),
        quoted(to),
        quoted(size),
        wanted.length.0,
        quoted(material.key()),
        quoted(&wanted.insulation),
    );
    if let Some(surroundings) = wanted.surroundings {
        let _ = writeln!(written, "surroundings = {}", quoted(surroundings));
    }
    if let Some(laid) = wanted.laid {
        let _ = writeln!(written, "laid = {}", quoted(laid));
    }
    if let Some(bundle) = wanted.bundle {
        let _ = writeln!(written, "bundle = {bundle}");
    }
    written
}

/// A text as TOML has it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from('"');
    for letter in text.chars() {
        match letter {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(letter);
            }
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            _ => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

//! Paths never meant for current that carry much of it with nothing failed.

use catalogue::Judgements;
use model::{IncidentalId, Piece, Vehicle};
use network::OperatingPoint;
use units::{Amperes, Ratio};

use crate::told::quantity::{amperes, percent};
use crate::told::{Told, joined, name, names, warning};

/// A path that carries too much.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stray {
    path: IncidentalId,
    amps: Amperes,
    share: Ratio,
}

shape! {
    /// A path never meant for current that carries much of it.
    pub struct StrayPath from pub(crate) (vehicle: &Vehicle, own: &Stray) {
        let path = vehicle.incidental(own.path);
        /// Its name.
        pub name: String = path.id.clone(),
        /// What it is.
        pub kind: String = path.kind.to_string(),
        /// What it carries.
        pub amps: f64 = own.amps.0,
        /// Its share of what all sources deliver.
        pub share: f64 = own.share.0,
        /// Current from which on damage is to be feared; null where nobody has said.
        pub damage_amps: Option<f64> = path.damage.map(|own| own.0),
    }
}

/// The paths that carry more than they bear, or a large share of all.
pub(crate) fn paths(vehicle: &Vehicle, point: &OperatingPoint) -> Vec<Stray> {
    let judged = Judgements::standard();
    let (from, much) = (judged.stray_from, judged.stray_share);
    let batteries = point.batteries.iter().map(|own| own.amps.max(Amperes::ZERO));
    let others = vehicle.regulated.iter().zip(&point.regulated);
    let others = others.filter(|(own, _)| own.input.is_none()).map(|(_, at)| at.amps);
    let all: Amperes = batteries.chain(others.map(|own| own.max(Amperes::ZERO))).sum();
    let paths = (0..vehicle.incidentals.len()).map(IncidentalId::at);
    let mut found: Vec<Stray> = paths
        .filter_map(|path| {
            let amps = point.piece(vehicle, Piece::Incidental(path)).amps.abs();
            let share = Ratio(amps.0 / all.0.max(from.0));
            let harmed = vehicle.incidental(path).damage.is_some_and(|own| amps > own);
            (amps > from && (harmed || share > much)).then_some(Stray { path, amps, share })
        })
        .collect();
    found.sort_by(|a, b| units::larger_first(a.amps.0, b.amps.0));
    found
}

/// Says each, and what it means.
pub(crate) fn told(told: &mut Told, vehicle: &Vehicle, point: &OperatingPoint) {
    let found = paths(vehicle, point);
    if found.is_empty() {
        return;
    }
    for own in &found {
        let path = vehicle.incidental(own.path);
        let mut words = say!(
            "{} carries {}, {} of all that flows, and was never meant to",
            names::piece(vehicle, Piece::Incidental(own.path)),
            amperes(own.amps),
            percent(own.share)
        );
        if let Some(damage) = path.damage {
            words.extend(say!("; damage is to be feared from {}", amperes(damage)));
        }
        words.extend(say!(". Inspect: {}", path.kind.inspect.as_str()));
        told.item(say!("{} ", warning("danger:")), 0, words);
    }
    let ends = found.iter().filter_map(|own| vehicle.piece_ends(Piece::Incidental(own.path)));
    let ends = ends.map(|(from, to)| {
        say!("{} and {}", name(&vehicle.point(from).id), name(&vehicle.point(to).id))
    });
    told.paragraph(say!(
        "A ground is missing or bad beside it: look between {}.",
        joined(ends, ", and between ")
    ));
    told.gap();
}

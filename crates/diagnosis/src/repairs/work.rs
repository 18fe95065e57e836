//! How long a step takes and what it costs.

use catalogue::{Catalogue, Defaults};
use model::{AccessGroup, ConductorId, PointId, Vehicle};
use units::{Metres, Money, Seconds, SquareMetres, WireSize};

use super::Action;

/// Work for all these steps, done in one go: what has to come off comes off once.
#[must_use]
pub fn work_time(vehicle: &Vehicle, actions: &[Action]) -> Seconds {
    let mut points: Vec<PointId> = actions.iter().flat_map(|own| points(vehicle, *own)).collect();
    points.sort_unstable();
    points.dedup();
    let mut groups: Vec<&AccessGroup> = Vec::new();
    for point in &points {
        let name = vehicle.point(*point).access.group.as_deref();
        let group = vehicle.access_groups.iter().find(|own| Some(own.id.as_str()) == name);
        groups.extend(group.filter(|own| !groups.iter().any(|known| known.id == own.id)));
    }
    let itself: Seconds = actions.iter().map(|own| itself(vehicle, *own)).sum();
    let reach: Seconds = points.iter().map(|point| vehicle.point(*point).access.time).sum();
    let access: Seconds = groups.iter().map(|group| group.time).sum();
    itself + reach + access
}

/// Work and parts of one step.
#[must_use]
pub fn price(vehicle: &Vehicle, action: Action) -> Money {
    let shop = &vehicle.workshop;
    let ends = (shop.lug + shop.joint) * 2.0;
    let labour = shop.labour_price(work_time(vehicle, &[action]));
    let parts = match action {
        Action::Clean(_) => shop.joint,
        Action::CleanBoth(_) => shop.joint * 2.0,
        Action::ReplaceEnd(_) => shop.lug + shop.joint,
        Action::Replace(id) => {
            let area = vehicle.conductor(id).area.unwrap_or(Defaults::standard().replaced_area);
            shop.cable_price(length(vehicle, id), area) + ends
        }
        Action::Enlarge { conductor, size, .. } => {
            shop.cable_price(length(vehicle, conductor), area(size)) + ends
        }
        Action::Add { size, length, .. } => {
            shop.cable_price(length, area(size)) + ends + shop.fixings
        }
    };
    labour + parts
}

/// The points that an action opens.
fn points(vehicle: &Vehicle, action: Action) -> Vec<PointId> {
    match action {
        Action::Add { from, to, .. } => vec![from, to],
        _ => {
            let joints = action.joints(vehicle).into_iter();
            joints.map(|joint| vehicle.joint(joint).point).collect()
        }
    }
}

/// The work itself, everything within reach.
fn itself(vehicle: &Vehicle, action: Action) -> Seconds {
    let shop = &vehicle.workshop;
    match action {
        Action::Clean(_) => shop.clean,
        Action::CleanBoth(_) => shop.clean * 2.0,
        Action::ReplaceEnd(_) => shop.end,
        Action::Replace(_) | Action::Enlarge { .. } => shop.replace,
        Action::Add { .. } => shop.add,
    }
}

fn length(vehicle: &Vehicle, id: ConductorId) -> Metres {
    vehicle.conductor(id).length.unwrap_or(Defaults::standard().replaced_length)
}

/// Metal area of a size from the catalogue.
fn area(size: WireSize) -> SquareMetres {
    let catalogue = Catalogue::standard();
    catalogue
        .materials
        .find("copper")
        .and_then(|copper| catalogue.conductor_resistance_per_metre(&size, copper))
        .map_or(Defaults::standard().replaced_area, |found| found.area)
}

//! What is said of ways home.

use model::Vehicle;
use network::routes::RouteStart;
use network::{OperatingPoint, Routes};
use units::{Amperes, Ratio};

use super::{Asked, Found};
use crate::refusal::Named;
use crate::told::quantity::{amperes, percent};
use crate::told::{Line, Span, Told, aside, name, names, strong};
use crate::{stray, unsettled};

/// Routes below this share are summed in one line, unless all are asked for.
const SMALL_SHARE: f64 = 0.005;
/// Letters before a way: its current and its share.
const BEFORE_A_WAY: usize = 20;

pub(super) fn of(found: &Found<'_>, &Asked { small, .. }: &Asked) -> Told {
    let vehicle = found.vehicle;
    let mut told = Told::default();
    for (point, routes) in &found.states {
        let whose = match found.of {
            None => say!("all that flows"),
            Some(of) => whose(vehicle, point, of),
        };
        told.line(say!(
            "{} · {} · {}: {} on the way home",
            strong(name(&vehicle.name)),
            strong(whose),
            strong(names::state(vehicle, point.state)),
            amperes(if found.of.is_none() { routes.taken() } else { routes.total })
        ));
        unsettled::told(&mut told, point);
        if routes.routes.is_empty() {
            told.line("  nothing flows");
        }
        ways(&mut told, vehicle, routes, small);
        told.gap();
        if !routes.routes.is_empty() {
            stray::told(&mut told, vehicle, point);
        }
    }
    told
}

/// Whose ways they are.
fn whose(vehicle: &Vehicle, point: &OperatingPoint, of: Named) -> Line {
    match of {
        Named::Load(load) => say!("{}", name(&vehicle.load(load).name)),
        Named::Battery(id) if point.battery(id).amps > Amperes::ZERO => {
            say!("to {}", name(&vehicle.battery(id).id))
        }
        Named::Battery(id) => names::start(vehicle, RouteStart::Charging(id)),
        Named::Source(id) if vehicle.regulated_source(id).input.is_some() => {
            names::start(vehicle, RouteStart::Input(id))
        }
        Named::Source(id) => say!("to {}", name(&vehicle.regulated_source(id).id)),
        Named::Equaliser(id) => {
            let own = &vehicle.regulated_source(id).id;
            say!("into {}", name(own.rsplit_once('.').map_or(own.as_str(), |own| own.0)))
        }
    }
}

/// One line or more for each route; those of the same way are one.
pub(crate) fn ways(told: &mut Told, vehicle: &Vehicle, routes: &Routes, small: bool) {
    let (mut rest, mut number) = (Amperes::ZERO, 0);
    for (way, amps, share) in together(vehicle, routes) {
        if !small && share.0 < SMALL_SHARE {
            rest += amps;
            number += 1;
            continue;
        }
        let (amps, share) = (Span::from(amperes(amps)), Span::from(percent(share)));
        told.item(say!("  {}  {}  ", amps.right(8), share.right(6)), BEFORE_A_WAY, way);
    }
    if number > 0 {
        let rest = Span::from(amperes(rest)).right(8);
        told.line(aside(say!("  {}          {} smaller ways", rest, number)));
    }
}

/// Each way once, the widest first.
fn together(vehicle: &Vehicle, routes: &Routes) -> Vec<(Line, Amperes, Ratio)> {
    let mut ways: Vec<(Line, Amperes, Ratio)> = Vec::new();
    for route in &routes.routes {
        let mut way = names::way(vehicle, route);
        if routes.routes.iter().any(|other| other.start != route.start) {
            way = [names::start(vehicle, route.start), say!(": "), way].concat();
        }
        match ways.iter_mut().find(|(known, ..)| *known == way) {
            Some((_, amps, share)) => {
                *amps += route.amps;
                *share += route.share;
            }
            None => ways.push((way, route.amps, route.share)),
        }
    }
    ways.sort_by(|a, b| b.1.0.total_cmp(&a.1.0));
    ways
}

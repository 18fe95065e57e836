//! The JSON of ways home.

use model::{ConductorId, Earth, Piece, PointId, Vehicle};
use network::routes::Route;
use network::{OperatingPoint, PiecePoint, Routes};
use serde::Serialize;
use utoipa::ToSchema;

use super::Found;
use crate::told::names::{begins_at, ends_at};
use crate::unsettled::{self, Miss};

shape! {
    /// The answer of `routes`.
    pub struct ReturnRoutes from pub(super) (found: &Found<'_>) {
        let states = found.states.iter().map(|(point, ways)| RoutesState {
            state: found.vehicle.state(point.state).id.clone(),
            routes: RouteList::of(found.vehicle, ways, point),
            found: unsettled::is_found(point),
            misses: unsettled::miss(point),
        });
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The load; null for all.
        pub load: Option<String> = found.load.clone(),
        /// One for each state.
        pub states: Vec<RoutesState> = states.collect(),
    }
}

/// One operating state.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RoutesState {
    /// Its name.
    pub state: String,
    /// Its routes.
    pub routes: RouteList,
    /// False when the state has no operating point; the numbers are then those of the last attempt.
    pub found: bool,
    /// The device that fits worst, when none was found.
    pub misses: Option<Miss>,
}

shape! {
    /// Routes that account for every ampere.
    pub struct RouteList from pub (vehicle: &Vehicle, routes: &Routes, point: &OperatingPoint) {
        let routes_of = routes.routes.iter().map(|route| ReturnRoute::of(vehicle, route, point));
        /// All of them together.
        pub total_amps: f64 = routes.total.0,
        /// The widest first.
        pub routes: Vec<ReturnRoute> = routes_of.collect(),
    }

    /// One way home.
    pub struct ReturnRoute from (vehicle: &Vehicle, route: &Route, point: &OperatingPoint) {
        let (load, load_kind) = begins_at(vehicle, route.start);
        let (end, end_kind) = ends_at(vehicle, route.end);
        // Where the metal is positive, current comes from it: a way home is walked against the current.
        let homeward = if vehicle.earth == Earth::Negative { 1.0 } else { -1.0 };
        let steps = directed(vehicle, route.from, &route.pieces)
            .map(|(piece, along)| {
                let sign = if along { homeward } else { -homeward };
                RouteStep::of(vehicle, piece, sign, point.piece(vehicle, piece))
            })
            .collect::<Vec<_>>();
        let volts = steps.iter().map(|step| step.volts).sum();
        /// The load whose current it is, or what else it begins at.
        pub load: String = load.to_owned(),
        /// What that is: `load`, `charging` (a battery), `converter` (its input), or `source` for current
        /// that a battery passes on to the next in series or that goes home through no load.
        pub load_kind: &'static str = load_kind,
        /// Current on this way.
        pub amps: f64 = route.amps.0,
        /// Its part of all that was asked about.
        pub share: f64 = route.share.0,
        /// The battery or source at which it ends.
        pub end: String = end.to_owned(),
        /// What that is: `source` for a battery or source that delivers, or `load`, `charging` or
        /// `converter` where the current goes on as that one's own.
        pub end_kind: &'static str = end_kind,
        /// Pieces in the order of the way home.
        pub pieces: Vec<String> = steps.iter().map(|step| step.piece.clone()).collect(),
        /// The same pieces with what they carry and lose; their volts add up to `volts`.
        pub steps: Vec<RouteStep> = steps,
        /// What a meter reads from the load to the end of this way; negative where the end is lifted further.
        pub volts: f64 = volts,
        /// Volts of the end against the first battery's negative post; null when nothing joins them.
        pub end_volts: Option<f64> = point.points[route.to.index()].map(|volts| volts.0),
    }

    /// One piece on a way home.
    pub struct RouteStep from (vehicle: &Vehicle, piece: Piece, sign: f64, at: &PiecePoint) {
        /// Its name.
        pub piece: String = vehicle.piece_name(piece).to_owned(),
        /// Everybody's current in it; positive where it runs as this load's own does.
        pub amps: f64 = sign * at.amps.0,
        /// Lost in it on this way; negative where the current of others lifts it.
        pub volts: f64 = sign * at.volts.0,
    }
}

/// The pieces of a way that begins at a point, each with whether it is passed from its beginning to
/// its end.
fn directed<'v>(
    vehicle: &'v Vehicle,
    start: PointId,
    pieces: &'v [Piece],
) -> impl Iterator<Item = (Piece, bool)> + 'v {
    let mut at = start;
    // A conductor with its joints and crimps is several pieces between two points, passed the same way.
    let mut inside: Option<(ConductorId, bool, usize)> = None;
    pieces.iter().map(move |&piece| {
        let conductor = match piece {
            Piece::Conductor(id) => Some(id),
            Piece::Joint(id) => vehicle.joint(id).of.conductor(),
            _ => None,
        };
        if let (Some(id), Some((own, along, left))) = (conductor, inside)
            && own == id
            && left > 0
        {
            inside = Some((own, along, left - 1));
            return (piece, along);
        }
        let ends = vehicle.piece_ends(conductor.map_or(piece, Piece::Conductor));
        let along = ends.is_none_or(|(from, _)| from == at);
        if let Some((from, to)) = ends {
            at = if along { to } else { from };
        }
        inside = conductor.map(|id| (id, along, vehicle.conductor(id).joints().count()));
        (piece, along)
    })
}

#[cfg(test)]
mod tests {
    use model::Vehicle;

    use crate::budget::BudgetState;
    use crate::room::shape_of;
    use crate::solve::SolvedState;
    use crate::{budget, edit, solve};

    const EXAMPLES: [&str; 9] = [
        include_str!("../../../../examples/rescue-ambulance.toml"),
        include_str!("../../../../examples/harbour-workboat.toml"),
        include_str!("../../../../examples/utility-cart.toml"),
        include_str!("../../../../layouts/camper-van.toml"),
        include_str!("../../../../layouts/front-engine.toml"),
        include_str!("../../../../layouts/plant.toml"),
        include_str!("../../../../layouts/rear-battery.toml"),
        include_str!("../../../../layouts/small-boat.toml"),
        include_str!("../../../../layouts/two-batteries.toml"),
    ];
    /// Rounding of sums of a few dozen pieces.
    const NEAR: f64 = 1e-9;

    fn vehicle(text: &str) -> Vehicle {
        file::read(text.as_bytes()).vehicle.unwrap()
    }

    /// A hundredth of an ohm at the first return conductor of the file: ways home shift.
    fn tried(vehicle: &Vehicle) -> Vehicle {
        let joint = vehicle.conductors.iter().find(|own| own.id.contains("negative"));
        let joint =
            joint.map_or_else(|| vehicle.joints[0].id.clone(), |own| format!("{}.to", own.id));
        edit::changed(vehicle, &[format!("{joint}=10 mΩ")], &[]).unwrap()
    }

    fn hold(state: &BudgetState, load: &str, solved: &SolvedState, sign: f64) {
        let BudgetState { state: name, budget, routes, .. } = state;
        let told = format!("{load} in {name}");
        let at = &budget.potentials;
        let between = |a: Option<f64>, b: Option<f64>| sign * (a.unwrap() - b.unwrap());
        let gets = &solved.loads.0.iter().find(|(id, _)| id == load).unwrap().1;
        assert!((budget.load_volts - gets.volts).abs() < NEAR, "{told}");
        if at.source_feed.is_none() {
            return;
        }
        assert!((between(at.load_feed, at.load_home) - gets.volts).abs() < NEAR, "{told}");
        assert!((between(at.source_feed, at.load_feed) - budget.feed_volts).abs() < NEAR, "{told}");
        assert!(
            (between(at.load_home, at.source_home) - budget.return_volts).abs() < NEAR,
            "{told}"
        );
        for route in &routes.routes {
            let meter = between(at.load_home, route.end_volts);
            assert!(
                (route.volts - meter).abs() < NEAR,
                "{told} by {:?}: {} {meter}",
                route.pieces,
                route.volts
            );
            let sum: f64 = route.steps.iter().map(|step| step.volts).sum();
            assert!((sum - route.volts).abs() < NEAR, "{told}");
            if route.end == budget.source {
                assert!((route.volts - budget.return_volts).abs() < NEAR, "{told}");
            }
        }
    }

    #[test]
    fn pieces_of_every_way_home_add_up_to_the_meter_over_it() {
        let mut lifted = 0;
        let mut ways = 0;
        for text in EXAMPLES {
            let as_filed = vehicle(text);
            for vehicle in [tried(&as_filed), as_filed] {
                let sign = if vehicle.earth == model::Earth::Negative { 1.0 } else { -1.0 };
                let solved = shape_of(&solve::Asked::default(), &vehicle).unwrap();
                for load in &vehicle.loads {
                    let asked = budget::Asked { load: load.id.clone(), ..budget::Asked::default() };
                    let Ok(budgets) = shape_of(&asked, &vehicle) else { continue };
                    for state in &budgets.states {
                        let solved =
                            solved.states.iter().find(|own| own.state == state.state).unwrap();
                        hold(state, &load.id, solved, sign);
                        ways += state.routes.routes.len();
                        let steps = state.routes.routes.iter().flat_map(|route| &route.steps);
                        lifted += steps.filter(|step| step.volts < -1e-9).count();
                    }
                }
            }
        }
        assert!(ways > 500, "{ways}");
        // The ways are those of the current that flows: none runs against what its pieces carry.
        assert_eq!(lifted, 0);
    }
}

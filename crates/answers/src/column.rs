//! One column of the inverse network, with which a page answers a changed resistance by itself.
//!
//! For any resistance r of the piece (of the new conductor from end to end),
//!
//! ```text
//! Δg   = 1/(branch_ohms − piece_ohms + r) − 1/branch_ohms     a piece that is there
//! Δg   = 1/r                                                  a new conductor
//! k    = Δg · across_volts / (1 + Δg · own_ohms)
//! v[i] = volts[i] − k · column[i]
//! ```
//!
//! exact for the network linearised at the operating point (Sherman and Morrison 1950).

use model::{Piece, Vehicle};
use network::{Network, OperatingPoint, Update};

use crate::refusal::{self, Refusal};

shape! {
    /// The answer of `column`.
    pub struct Column from (
        vehicle: &Vehicle, point: &OperatingPoint, update: &Update, piece: Option<Piece>,
    ) {
        let parts = update.parts();
        /// The number of the contract.
        pub format: u32 = crate::FORMAT,
        /// The operating state.
        pub state: String = vehicle.state(point.state).id.clone(),
        /// The piece that may change; null for a new conductor.
        pub piece: Option<String> = piece.map(|piece| vehicle.piece_name(piece).to_owned()),
        /// The points at the ends of the branch.
        pub between: [String; 2] = [parts.from, parts.to].map(|end| vehicle.point(end).id.clone()),
        /// The points to which the lists belong.
        pub points: Vec<String> = vehicle.points.iter().map(|point| point.id.clone()).collect(),
        /// Volts at the operating point.
        #[schema(value_type = Vec<Option<f64>>)]
        pub volts: Vec<f64> = point.all_volts().iter().map(|volts| volts.0).collect(),
        /// Volts for an ampere sent from the first end to the second outside of the network.
        #[schema(value_type = Vec<Option<f64>>)]
        pub column: Vec<f64> = parts.column.iter().map(|ohms| ohms.0).collect(),
        /// Volts between the ends at the operating point.
        pub across_volts: f64 = parts.across.0,
        /// Difference of the column between the ends.
        pub own_ohms: f64 = parts.own.0,
        /// Resistance of the whole branch; null for a new conductor.
        pub branch_ohms: Option<f64> = parts.branch.map(|ohms| ohms.0),
        /// Resistance of the piece within it; zero for a new conductor.
        pub piece_ohms: f64 = parts.piece.0,
    }
}

/// What is to change in a [`Column`].
#[derive(Debug, Clone, Copy)]
pub enum Grabbed<'a> {
    /// The resistance of a piece that is there.
    Piece(&'a str),
    /// A conductor drawn between two points.
    Between(&'a [String; 2]),
}

/// The column with which a page answers a changed resistance by itself.
///
/// # Errors
///
/// When there is no such state, piece or point, or the piece does not conduct.
pub fn at(vehicle: &Vehicle, state: &str, what: Grabbed<'_>) -> Result<Column, Refusal> {
    let mut network = Network::new(vehicle);
    let point = network.operating_point(refusal::state(vehicle, state)?);
    match what {
        Grabbed::Piece(name) => piece(vehicle, &network, &point, name),
        Grabbed::Between(ends) => between(vehicle, &network, &point, ends),
    }
}

/// The column of a piece that is there.
///
/// # Errors
///
/// When there is no such piece, or it does not conduct in this state.
fn piece(
    vehicle: &Vehicle,
    network: &Network<'_>,
    point: &OperatingPoint,
    name: &str,
) -> Result<Column, Refusal> {
    let found = refusal::piece(vehicle, name)?;
    let update = network.update_piece(point, found).ok_or_else(|| {
        Refusal::new(
            format!("`{name}` conducts nothing in `{}`", vehicle.state(point.state).id),
            "a piece that conducts in this state, and no diode",
        )
    })?;
    Ok(Column::of(vehicle, point, &update, Some(found)))
}

/// The column of a conductor that is drawn anew.
///
/// # Errors
///
/// When a point is missing, both are one, or nothing was found to linearise.
fn between(
    vehicle: &Vehicle,
    network: &Network<'_>,
    point: &OperatingPoint,
    ends: &[String; 2],
) -> Result<Column, Refusal> {
    let [from, to] = [refusal::point(vehicle, &ends[0])?, refusal::point(vehicle, &ends[1])?];
    if from == to {
        return Err(Refusal::new("both ends are at the same point", "two different points"));
    }
    let update = network.update_between(point, from, to).ok_or_else(|| {
        Refusal::new(
            "no operating point was found in this state",
            "a state in which the loads can be fed",
        )
    })?;
    Ok(Column::of(vehicle, point, &update, None))
}

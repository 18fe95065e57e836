//! What changes when one resistance changes, without solving again: a rank-one update.
//!
//! With `c = G⁻¹(e_a − e_b)` and Δg the change of the branch's conductance,
//! `v = v₀ − c·Δg·(v₀_a − v₀_b) / (1 + Δg·(c_a − c_b))` (Sherman and Morrison 1950), exact for the
//! network linearised at the operating point.

use model::{Piece, PointId};
use units::{Ohms, Siemens, Volts};

use crate::budget::{Direction, LoadsAnswer};
use crate::network::Network;
use crate::operating_point::OperatingPoint;

/// One column of the inverse, ready for any change of one branch's conductance.
#[derive(Debug, Clone)]
pub struct Update {
    from: PointId,
    to: PointId,
    column: Vec<f64>,
    own: f64,
    across: f64,
    /// Resistance of the whole branch at the operating point; nothing for a new one.
    branch: Option<Ohms>,
    /// Resistance of the piece within the branch.
    piece: Ohms,
}

impl Network<'_> {
    /// The update for a piece, at an operating point. Nothing for a diode or an open switch.
    #[must_use]
    pub fn update_piece(&self, point: &OperatingPoint, piece: Piece) -> Option<Update> {
        let at = self.wiring.branch_of(piece)?;
        let siemens = point.siemens[at];
        let branch = &self.wiring.branches[at];
        let mut update =
            self.update_between(point, PointId::at(branch.from), PointId::at(branch.to))?;
        if siemens <= 0.0 {
            return None;
        }
        update.branch = Some(Siemens(siemens).resistance());
        update.piece = point.conditions.ohms(self.vehicle(), piece);
        Some(update)
    }

    /// The update for a conductor drawn anew between two points.
    #[must_use]
    pub fn update_between(
        &self,
        point: &OperatingPoint,
        from: PointId,
        to: PointId,
    ) -> Option<Update> {
        let (a, b) = (from.index(), to.index());
        let column =
            self.answering(point, LoadsAnswer::Yes, Direction::Forward)?.one_ampere(a, b)?.volts;
        let own = column[a] - column[b];
        let across = point.volts[a] - point.volts[b];
        let zero = column[self.wiring.circuit.reference];
        let column = column.into_iter().map(|volts| volts - zero).collect();
        Some(Update { from, to, column, own, across, branch: None, piece: Ohms::ZERO })
    }
}

/// The numbers of an update, for whoever applies it elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct UpdateParts {
    /// One end of the branch.
    pub from: PointId,
    /// Its other end.
    pub to: PointId,
    /// `c`: volts at all points for one ampere driven through the network between the ends.
    pub column: Vec<Ohms>,
    /// `c_a − c_b`.
    pub own: Ohms,
    /// `v₀_a − v₀_b`.
    pub across: Volts,
    /// Resistance of the whole branch; nothing for a new one.
    pub branch: Option<Ohms>,
    /// Resistance of the piece within the branch.
    pub piece: Ohms,
}

impl Update {
    /// Its numbers, with which [`apply`](Self::apply) can be done elsewhere.
    #[must_use]
    pub fn parts(&self) -> UpdateParts {
        UpdateParts {
            from: self.from,
            to: self.to,
            column: self.column.iter().map(|ohms| Ohms(*ohms)).collect(),
            own: Ohms(self.own),
            across: Volts(self.across),
            branch: self.branch,
            piece: self.piece,
        }
    }

    /// Volts at all points when the piece has this resistance instead, or the new conductor has it
    /// from end to end; written over `volts`, which holds those of the operating point.
    ///
    /// # Panics
    ///
    /// When `volts` does not have one entry a point.
    pub fn apply(&self, resistance: Ohms, before: &[Volts], volts: &mut [Volts]) {
        assert_eq!(volts.len(), self.column.len(), "one entry a point");
        let change = match self.branch {
            Some(branch) => 1.0 / (branch.0 - self.piece.0 + resistance.0) - 1.0 / branch.0,
            None => 1.0 / resistance.0,
        };
        let factor = change * self.across / (1.0 + change * self.own);
        for ((after, before), column) in volts.iter_mut().zip(before).zip(&self.column) {
            after.0 = before.0 - factor * column;
        }
    }
}

impl OperatingPoint {
    /// Volts of all points as one list, also of points that nothing joins to the zero of voltages.
    #[must_use]
    pub fn all_volts(&self) -> Vec<Volts> {
        self.volts.iter().map(|volts| Volts(*volts)).collect()
    }
}

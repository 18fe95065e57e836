//! A state again after something has failed: opened, worn, lost.
//!
//! What the network does in the first moments is answered: conductors have the temperatures that
//! they had before, sources and loads have settled, loads that get too little have switched off.

use model::{BatteryId, Piece, RegulatedId, Vehicle};
use units::{Ohms, Ratio};

use crate::deviations::Deviations;
use crate::network::Network;
use crate::operating_point::OperatingPoint;
use crate::settling::Heat;

/// What has failed, or was changed to help.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Failed {
    /// Pieces through which nothing passes any more.
    pub opened: Vec<Piece>,
    /// Pieces whose resistance is so many times that of the file.
    pub worn: Vec<(Piece, Ratio)>,
    /// Batteries that are gone.
    pub batteries: Vec<BatteryId>,
    /// Alternators, chargers and converters that deliver nothing.
    pub regulated: Vec<RegulatedId>,
    /// Resistance of each path for which the network was laid out with
    /// [`Network::with_extra_paths`]; nothing where there is none.
    pub extra: Vec<Option<Ohms>>,
}

impl Failed {
    fn deviations(&self, vehicle: &Vehicle) -> Deviations {
        let mut deviations = Deviations { extra: self.extra.clone(), ..Deviations::default() };
        if !self.opened.is_empty() || !self.worn.is_empty() {
            deviations.pieces = vec![0.0; vehicle.pieces().count()];
        }
        for (piece, times) in &self.worn {
            deviations.pieces[vehicle.piece_slot(*piece)] += times.0.ln();
        }
        for piece in &self.opened {
            // An infinite resistance takes its branch out of the equations altogether.
            deviations.pieces[vehicle.piece_slot(*piece)] = f64::INFINITY;
        }
        deviations
    }
}

impl Network<'_> {
    /// The operating point of the same state after a failure.
    ///
    /// Temperatures are those of `base`, from before the failure. Diodes cannot be opened or worn.
    /// [`OperatingPoint::convergence`] says whether a point was found.
    #[must_use]
    pub fn failed_point(&mut self, base: &OperatingPoint, failed: &Failed) -> OperatingPoint {
        let warm = self.failed_from(base, failed, base.across.clone());
        if warm.convergence == crate::Convergence::Reached {
            return warm;
        }
        // From far away the search sometimes succeeds where it does not from nearby.
        let start = self.first_guess(&base.conditions);
        self.failed_from(base, failed, start)
    }

    fn failed_from(
        &mut self,
        base: &OperatingPoint,
        failed: &Failed,
        across: Vec<f64>,
    ) -> OperatingPoint {
        let mut conditions = base.conditions.under(failed.deviations(self.vehicle()));
        conditions.lost_batteries.clone_from(&failed.batteries);
        conditions.lost_regulated.clone_from(&failed.regulated);
        // An equaliser is one thing, whichever of its halves is named.
        let follows = |id: &RegulatedId| self.vehicle().regulated_source(*id).follows;
        let twins = failed.regulated.iter().filter_map(|id| follows(id).map(|bank| bank.twin));
        conditions.lost_regulated.extend(twins);
        let settled = self.settle(&mut conditions, across, Heat::Stays);
        self.describe(conditions, settled)
    }
}

//! Every single fault that is considered, with what is believed of its unknown when it is there.

use catalogue::Judgements;
use model::{BatteryId, ConductorId, InlineKind, JointId, LoadId, Piece, RegulatedId, Vehicle};
use units::Amperes;

use super::Hypothesis;
use crate::forward::Forward;
use crate::judged;
use crate::paths::same_bodies;
use crate::prior::{
    Prior, bad_from, bad_probability, battery_prior, battery_spread, beyond_usual, blocks_of,
    clean_after_all, draw_prior, draw_spread, rotten_probability, sound_until, stated_bad,
};
use crate::suspect::SuspectKind;

/// Every single fault that is considered.
pub(crate) fn single_faults(forward: &Forward<'_>) -> Vec<Hypothesis> {
    let mut list = List { forward, judged: judged::faults(), faults: Vec::new() };
    let mended = list.pieces();
    list.loads();
    list.batteries();
    list.sources();
    list.paths();
    list.faults.extend(mended);
    list.faults
}

/// A joint that the file states as bad, taken for one that was mended since.
fn mended_since(vehicle: &Vehicle, id: JointId, at: usize) -> Hypothesis {
    let joint = vehicle.joint(id);
    let chance = bad_probability(vehicle, joint);
    let Prior { middle: mean, spread } = clean_after_all(joint);
    Hypothesis {
        kind: SuspectKind::Joint(id),
        at,
        mean,
        spread,
        bad_from: None,
        log_odds: ((1.0 - chance) / chance).ln(),
        present: None,
        mends: true,
    }
}

/// The faults of a vehicle as they are found.
struct List<'f, 'v> {
    forward: &'f Forward<'v>,
    judged: &'static Judgements,
    faults: Vec<Hypothesis>,
}

impl List<'_, '_> {
    fn add(&mut self, kind: SuspectKind, at: usize, (mean, spread): (f64, f64), chance: f64) {
        let bad_from = matches!(
            kind,
            SuspectKind::Joint(_) | SuspectKind::Conductor(_) | SuspectKind::Inline(_)
        )
        .then_some(mean - self.judged.bad_multiple_middle.0);
        let (log_odds, present, mends) = (chance.ln(), None, false);
        self.faults.push(Hypothesis { kind, at, mean, spread, bad_from, log_odds, present, mends });
    }

    /// Bad joints, conductors and contacts; the joints that the file states as bad, as mended.
    fn pieces(&mut self) -> Vec<Hypothesis> {
        let vehicle = self.forward.vehicle();
        let mut mended = Vec::new();
        for piece in vehicle.pieces() {
            let at = vehicle.piece_slot(piece);
            if let Piece::Joint(id) = piece
                && stated_bad(vehicle.joint(id))
            {
                mended.push(mended_since(vehicle, id, at));
                continue;
            }
            let threshold = bad_from(vehicle, piece, &self.forward.points);
            let Some(threshold) = threshold else { continue };
            let written = vehicle.piece_resistance(piece).0;
            let bad = (threshold.0 / written).ln().max(self.judged.bad_least_logarithm.0);
            let mean = bad.max(sound_until(vehicle, piece).unwrap_or(bad))
                + self.judged.bad_multiple_middle.0;
            self.piece(piece, at, (mean, self.judged.bad_multiple_spread.0), written);
        }
        mended
    }

    fn piece(&mut self, piece: Piece, at: usize, bad: (f64, f64), written: f64) {
        let vehicle = self.forward.vehicle();
        match piece {
            Piece::Joint(id) => {
                let joint = vehicle.joint(id);
                let chance = bad_probability(vehicle, joint);
                // A chance that a person states may be large: what counts is how it stands to the
                // chance of its being sound.
                let chance =
                    if joint.suspicion.is_some() { chance / (1.0 - chance) } else { chance };
                self.add(SuspectKind::Joint(id), at, bad, chance);
            }
            Piece::Conductor(id) => {
                let chance = rotten_probability(vehicle.conductor(id));
                self.add(SuspectKind::Conductor(id), at, bad, chance);
                self.open(id, at, written);
            }
            Piece::Inline(id) if !matches!(vehicle.inline(id).kind, InlineKind::Diode { .. }) => {
                self.add(SuspectKind::Inline(id), at, bad, self.judged.inline_bad.0);
            }
            Piece::Inline(_) | Piece::Stretch(_) | Piece::Incidental(_) => {}
        }
    }

    /// What nobody has seen may well not be there; what is drawn was seen.
    fn open(&mut self, id: ConductorId, at: usize, written: f64) {
        let judged = self.judged;
        let missing = self.forward.vehicle().conductor(id).missing;
        let chance = missing.map_or(judged.conductor_open.0, |told| told.0 / (1.0 - told.0));
        let mean = (judged.conductor_open_resistance.0 / written).ln();
        self.add(SuspectKind::Open(id), at, (mean, judged.conductor_open_spread.0), chance);
    }

    fn loads(&mut self) {
        let judged = self.judged;
        let loads = self.forward.vehicle().loads.iter().enumerate();
        for (at, load) in loads.filter(|(_, load)| !load.on.is_empty()) {
            let (id, draw) = (LoadId::at(at), self.forward.layout.draw(at));
            let drags = load.kind.turns();
            let chance = if drags { judged.load_drags } else { judged.load_drags_unless_motor };
            let further = beyond_usual(draw_prior(load), draw_spread(load.kind));
            let more = (judged.load_drags_middle.0 + further, judged.load_drags_spread.0);
            self.add(SuspectKind::LoadDrags(id), draw, more, chance.0);
            let little = (judged.load_open_middle.0, judged.load_open_spread.0);
            self.add(SuspectKind::LoadOpen(id), draw, little, judged.load_open.0);
        }
    }

    fn batteries(&mut self) {
        let (judged, layout) = (self.judged, self.forward.layout);
        for (at, battery) in self.forward.vehicle().batteries.iter().enumerate() {
            let blocks = battery.nominal.0 / 12.0;
            let id = BatteryId::at(at);
            let (voltage, resistance) = battery_prior(battery);
            let (usual_voltage, usual_resistance) = battery_spread(battery.nominal);
            let lower = 2.0 * voltage.middle - beyond_usual(voltage, usual_voltage);
            let low = (
                judged.battery_low_middle_12_v.0 * blocks + lower,
                judged.battery_low_spread_12_v.0 * blocks,
            );
            self.add(SuspectKind::BatteryLow(id), layout.emf(at), low, judged.battery_low.0);
            let worn = (
                judged.battery_worn_middle.0 + beyond_usual(resistance, usual_resistance),
                judged.battery_worn_spread.0,
            );
            self.add(SuspectKind::BatteryWorn(id), layout.battery(at), worn, judged.battery_worn.0);
        }
    }

    fn sources(&mut self) {
        let vehicle = self.forward.vehicle();
        let judged = self.judged;
        for (at, source) in vehicle.regulated.iter().enumerate() {
            if source.limit.iter().any(|limit| *limit > Amperes::ZERO) {
                let blocks = blocks_of(source);
                let low = (
                    judged.source_low_middle_12_v.0 * blocks,
                    judged.source_low_spread_12_v.0 * blocks,
                );
                let kind = SuspectKind::SourceLow(RegulatedId::at(at));
                // The halves of an equaliser are one device, with one chance between them.
                let devices = if source.follows.is_some() { 2.0 } else { 1.0 };
                let chance = judged.source_low.0 / devices;
                self.add(kind, self.forward.layout.held(at), low, chance);
            }
        }
    }

    /// Paths that the file lacks; two that join the same bodies share the chance.
    fn paths(&mut self) {
        let (forward, judged) = (self.forward, self.judged);
        let suspected = &forward.paths[..forward.suspected];
        for (path, ends) in suspected.iter().enumerate() {
            let kind = SuspectKind::ExtraPath { from: ends.0, to: ends.1 };
            let same = |own: &&_| same_bodies(forward.vehicle(), **own, *ends);
            let alike = suspected.iter().filter(same).count();
            let chance = judged.extra_path.0 / alike.max(1) as f64;
            let ohms = (judged.extra_path_middle.0, judged.extra_path_spread.0);
            self.add(kind, forward.layout.extra(path), ohms, chance);
            if let Some(own) = self.faults.last_mut() {
                own.present = Some(path);
            }
        }
    }
}

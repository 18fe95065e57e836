//! The joint about a bolt: its faces, their pressure and contact, what eats them, how it is kept.

use catalogue::{
    AnodicGroup, Catalogue, Corrosivity, Environment, Finish, Fixing, FormingScrew, JointKind,
    Known, Preparation, Row, TakenAt, Thread,
};
use physics::bolt::ring_pressure;
use physics::corrosion::{self, time_to_depth};
use physics::quantity::{MetresPerYear, Years};
use units::{Metres, NewtonMetres, Newtons, Pascals, Ratio};

use super::faces::Couple;
use super::place::Place;
use super::tightening::{Bolt, Tightening};

/// Forming torque over breaking torque in thin steel sheet: 25 to 50 % (from memory); the middle.
const FORMING_SHARE: Ratio = Ratio(0.375);

/// Usual electroplate of zinc on hardware (from memory: 5 to 8 µm).
pub(super) const ZINC_PLATE: Metres = Metres(5e-6);

/// Most terminals on one stud.
pub(super) const MOST_TERMINALS: u32 = 4;

/// Pad of a lug over the diameter of its stud, where nobody says (from memory: tubular lugs have 1.8 to 2.5).
const PAD_OVER_STUD: f64 = 2.0;

/// A range with its two ends.
#[derive(Debug, Clone, Copy)]
pub struct Range<Q> {
    /// The lower end.
    pub low: Q,
    /// The upper end.
    pub high: Q,
}

/// What is asked of the joint about a bolt, read and checked.
#[derive(Debug, Clone)]
pub struct JointAsked {
    /// Terminals on the stud.
    pub stack: u32,
    /// Where it lives.
    pub environment: Known<Environment>,
    /// True when nobody says where it lives.
    pub environment_assumed: bool,
    /// The metals of its faces, as far as they are listed.
    pub faces: Vec<Known<AnodicGroup>>,
    /// Finish of its faces, in words.
    pub finish: Option<Finish>,
    /// Outer diameter of the lug's pad.
    pub pad: Option<Metres>,
    /// Its washers.
    pub washer: Option<String>,
    /// True when the screw forms its own thread.
    pub forming: bool,
}

/// True when a joint's screw forms its own thread.
#[must_use]
pub(super) fn forms_its_thread(place: &Place) -> bool {
    place.kind.fixing == Fixing::FormingScrew
}

/// Torque that the thread takes where the screw forms it and nobody has measured how much; nothing
/// where no such screw is listed.
#[must_use]
pub(super) fn forming_torque(thread: &Thread) -> Option<NewtonMetres> {
    let row = Catalogue::standard().forming_screws.find(thread.key())?;
    Some(row.breaking * FORMING_SHARE.0)
}

/// A screw that forms its own thread.
#[derive(Debug, Clone, Copy)]
pub struct Forming {
    /// What is known of it.
    pub screw: &'static FormingScrew,
    /// What it is tightened with.
    pub torque: NewtonMetres,
    /// True when its forming torque is a guess.
    pub assumed: bool,
}

/// Something about a joint that is against what is recommended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JointWarning {
    /// Its faces are further apart than is accepted where it lives.
    UnlikeFaces,
    /// More terminals on one stud than are allowed.
    TooManyTerminals,
    /// More torque than the thread-forming screw may have.
    AboveHighestTorque,
    /// The highest clamp force is above the proof load.
    BeyondProofLoad,
}

/// Everything about the joint that the bolt alone does not say.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// What the vehicle file adds.
    pub place: Option<Place>,
    /// What was asked, or what the file says.
    pub asked: JointAsked,
    /// Its faces, where both are listed.
    pub couple: Option<Couple>,
    /// Pressure under the head, and over the pad; nothing without a bolt.
    pub pressures: Option<[Range<Pascals>; 2]>,
    /// Outer diameter of the pad; nothing without a bolt.
    pub pad: Option<Metres>,
    /// What is known of its kind.
    pub kind: Known<JointKind>,
    /// The screw that forms its own thread.
    pub forming: Option<Forming>,
    /// Years in which the zinc of plated hardware is gone in this air.
    pub zinc: Option<(Years, &'static Corrosivity)>,
}

impl Sheet {
    /// The sheet of a joint; with pressure and contact where its bolt and torque are known.
    #[must_use]
    pub fn of(
        asked: &JointAsked,
        place: Option<&Place>,
        bolted: Option<(&Bolt, &Tightening)>,
    ) -> Self {
        let catalogue = Catalogue::standard();
        let air = catalogue.corrosivity.find(&asked.environment.air);
        let zinc = air.and_then(|row| {
            let rate = MetresPerYear(row.zinc.0);
            let years = time_to_depth(rate, corrosion::ZINC.mean, ZINC_PLATE).ok()?;
            Some((years, row))
        });
        let forming = bolted.filter(|_| asked.forming).and_then(|(bolt, found)| {
            let screw = catalogue.forming_screws.find(bolt.thread.key())?;
            let assumed = bolt.running == screw.breaking * FORMING_SHARE.0;
            Some(Forming { screw, torque: found.torque, assumed })
        });
        let pressed = bolted.map(|(bolt, found)| pressed(asked, bolt, found));
        Self {
            place: place.cloned(),
            asked: asked.clone(),
            couple: Couple::of(
                &asked.faces,
                &asked.environment,
                bolted.map(|(_, found)| found.clamp),
            ),
            pressures: pressed.map(|(pressures, _)| pressures),
            pad: pressed.map(|(_, pad)| pad),
            kind: place.map_or_else(|| catalogue.joint_taken_at(TakenAt::Metal), |own| own.kind),
            forming,
            zinc,
        }
    }

    /// What is against what is recommended of the joint; of the bolt itself see [`warnings`].
    #[must_use]
    pub fn warnings(&self) -> Vec<JointWarning> {
        let all = [
            (JointWarning::UnlikeFaces, self.couple.is_some_and(|couple| !couple.suits())),
            (JointWarning::TooManyTerminals, self.asked.stack > MOST_TERMINALS),
            (JointWarning::AboveHighestTorque, self.overtorqued()),
        ];
        all.into_iter().filter(|(_, holds)| *holds).map(|(own, _)| own).collect()
    }

    /// True when a thread-forming screw gets more torque than it may have.
    #[must_use]
    pub fn overtorqued(&self) -> bool {
        self.forming.is_some_and(|own| own.torque > own.screw.highest)
    }

    fn finish_says(&self, word: &str) -> bool {
        self.asked.finish.as_ref().is_some_and(|finish| finish.says(word))
    }

    /// The practices that bear on this joint, the first steps first.
    #[must_use]
    pub fn advice(&self) -> Vec<&'static Preparation> {
        let has = |metal: &str| {
            self.finish_says(metal)
                || self.couple.is_some_and(|couple| {
                    couple.first.key().contains(metal) || couple.second.key().contains(metal)
                })
        };
        let washer = |word: &str| {
            self.asked.washer.as_deref().is_some_and(|text| text.to_lowercase().contains(word))
        };
        let post = self.place.as_ref().is_some_and(|place| place.kind.fixing == Fixing::PostClamp);
        let unlike = self.couple.is_some_and(|couple| couple.unlike());
        let wanted: [(&str, bool); 14] = [
            ("clean the faces", !post),
            ("battery posts", post),
            ("take off paint", self.finish_says("paint")),
            ("bare metal at the terminal only", !post && !self.finish_says("bare steel")),
            ("aluminium faces", has("aluminium")),
            ("no washer between faces", true),
            ("star washers", washer("star") || washer("serrated") || washer("tooth")),
            ("pressure over the whole face", self.asked.stack > 1),
            ("terminals on one stud", self.asked.stack > 1),
            ("self-tapping screws", self.forming.is_some()),
            ("similar metals", self.couple.is_some_and(|couple| !couple.suits())),
            ("salt", unlike && self.asked.environment.allowance == "harsh"),
            ("seal after assembly", unlike),
            ("grease", !post),
        ];
        let rows = &Catalogue::standard().preparation;
        wanted
            .into_iter()
            .filter(|(_, wanted)| *wanted)
            .filter_map(|(key, _)| rows.find(key))
            .collect()
    }

    /// What re-torque can and cannot tell.
    #[must_use]
    pub fn on_torque_later(&self) -> Vec<&'static Preparation> {
        let rows = &Catalogue::standard().preparation;
        let post = self.place.as_ref().is_some_and(|place| place.kind.fixing == Fixing::PostClamp);
        let keys = [("checking torque later", true), ("post clamps again", post)];
        keys.into_iter()
            .filter(|(_, wanted)| *wanted)
            .filter_map(|(key, _)| rows.find(key))
            .collect()
    }
}

/// What is against what is recommended, of the joint and of its bolt.
#[must_use]
pub(super) fn warnings(sheet: Option<&Sheet>, found: Option<&Tightening>) -> Vec<JointWarning> {
    let mut all = sheet.map_or_else(Vec::new, Sheet::warnings);
    // The margin absorbs rounding: at the usual torque the two are the same.
    if found.is_some_and(|found| found.clamp.high > found.proof_load * (1.0 + 1e-9)) {
        all.push(JointWarning::BeyondProofLoad);
    }
    all
}

/// Pressure under the head and over the pad, and the pad.
fn pressed(asked: &JointAsked, bolt: &Bolt, found: &Tightening) -> ([Range<Pascals>; 2], Metres) {
    let seat = bolt.thread.seat.as_ref();
    let hole = seat.map_or(bolt.thread.diameter * 1.1, |seat| seat.clearance_hole);
    let head = seat.map_or(bolt.thread.diameter * 1.5, |seat| seat.head_bearing);
    let pad = asked.pad.unwrap_or(bolt.thread.diameter * PAD_OVER_STUD).max(head);
    let pressure = |outer: Metres| {
        let at = |force: Newtons| ring_pressure(force, outer, hole).unwrap_or_default();
        Range { low: at(found.clamp.low), high: at(found.clamp.high) }
    };
    ([pressure(head), pressure(pad)], pad)
}

//! Kinds of joint, clean and bad, and the paths that current finds when a joint is gone.

use serde::Deserialize;
use units::{Amperes, Ohms};

use crate::column;
use crate::read::table;

/// What holds a joint together. Whatever is done differently for some kinds rests on this.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fixing {
    /// A clamp on a battery's post, lead on lead.
    PostClamp,
    /// A bolt of its class that clamps metal, so that the bolt alone bounds the torque.
    Bolt,
    /// A bolt of its own in a bus bar: what meets there is no stack on one stud.
    BusBolt,
    /// A nut on a stud that is welded to sheet.
    WeldStud,
    /// A screw or stud that forms its own thread.
    FormingScrew,
    /// Another thread, in sheet or in lead.
    OtherThread,
    /// A weld.
    Weld,
    /// No thread and no weld: pressed, crimped, plugged, soldered.
    NoThread,
}

/// Where a joint is, as far as the kind that is taken there goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TakenAt {
    /// At a battery's post.
    BatteryPost,
    /// Under the case of a device.
    Case,
    /// Under the flange of a starter.
    StarterCase,
    /// At metal or a stud, or wherever a thread is named.
    Metal,
    /// At a device or a fuse, of a thick conductor.
    ThickConductor,
    /// At a device, of a thin conductor.
    ThinConductor,
    /// At a fuse, of a thin conductor.
    Fuse,
    /// Between the pin of a plug and its wire.
    Pin,
    /// Between the two halves of a mated pin.
    MatedPin,
    /// Between a stud and the metal it stands on.
    Foot,
    /// Between the eye at a conductor's end and its strands.
    Crimp,
}

table! {
    /// A kind of joint and the resistance to expect of it.
    JointKind "joint-kinds"
        "Kinds of joint: resistance to expect when sound and when bad"
        "joint";
    /// Lowest to expect of a sound joint.
    pub clean_low: Ohms = MILLIOHMS "clean_low_mohm" => "sound from, mΩ";
    /// To be taken for a sound joint of which nothing else is known.
    pub clean_typical: Ohms = MILLIOHMS "clean_typical_mohm" => "typical, mΩ";
    /// Highest to expect of a sound joint.
    pub clean_high: Ohms = MILLIOHMS "clean_high_mohm" => "sound to, mΩ";
    /// Lowest of a joint that is bad but still conducts.
    pub bad_low: Ohms = MILLIOHMS "bad_low_mohm" => "bad from, mΩ";
    /// Highest of a joint that is bad but still conducts.
    pub bad_high: Ohms = MILLIOHMS "bad_high_mohm" => "bad to, mΩ";
    /// What holds it together.
    pub fixing: Fixing = PLAIN
        => "fastener" by |row| column::yes(row.expects_fastener());
    /// The ends of conductors and cases of devices at which it is taken where a file names no kind.
    pub taken_at: Vec<TakenAt> = MAY_LACK;
    /// How many times as likely it is bad as other joints.
    pub chance_times: f64 = NUMBER;
    /// Why so.
    pub chance_why: String = PLAIN;
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

impl JointKind {
    /// True when a thread holds it together, so that torque, class and finish may be stated.
    #[must_use]
    pub fn expects_fastener(&self) -> bool {
        !matches!(self.fixing, Fixing::Weld | Fixing::NoThread)
    }

    /// True when it is welded, or sits on a stud that is.
    #[must_use]
    pub fn is_welded(&self) -> bool {
        matches!(self.fixing, Fixing::Weld | Fixing::WeldStud)
    }
}

table! {
    /// Something that was never meant to carry current and does when a strap is gone.
    IncidentalPath "incidental-paths"
        "Paths that were never meant to carry current: resistance, current to fear, what to inspect"
        "path";
    /// Lowest resistance from end to end.
    pub low: Ohms = MILLIOHMS "low_mohm" => "from, mΩ";
    /// To be taken where nothing else is known.
    pub typical: Ohms = MILLIOHMS "typical_mohm" => "typical, mΩ";
    /// Highest resistance from end to end.
    pub high: Ohms = MILLIOHMS "high_mohm" => "to, mΩ";
    /// Current from which damage is to be feared.
    pub damage: Amperes = AMPERES "damage_a" => "damage from, A";
    /// True for water or wet dirt, which is no metal: a leak from a live point to the hull is no short circuit.
    pub wet: bool = MAY_LACK => "wet" by |row| column::yes(row.wet);
    /// What to look at afterwards.
    pub inspect: String = PLAIN => "inspect afterwards";
}

#[cfg(test)]
mod laws {
    use crate::{Catalogue, Row};

    #[test]
    fn a_bad_joint_is_worse_than_a_typical_sound_one_of_its_kind() {
        for row in Catalogue::standard().joint_kinds.iter() {
            assert!(row.clean_low < row.clean_typical, "{}", row.key());
            assert!(row.clean_typical < row.clean_high, "{}", row.key());
            assert!(row.clean_high <= row.bad_low, "{}", row.key());
            assert!(row.bad_low < row.bad_high, "{}", row.key());
        }
    }

    #[test]
    fn one_kind_is_taken_at_each_place() {
        use crate::TakenAt::{
            BatteryPost, Case, Crimp, Foot, Fuse, MatedPin, Metal, Pin, StarterCase,
            ThickConductor, ThinConductor,
        };
        let rows = &Catalogue::standard().joint_kinds;
        for (place, word) in [
            (BatteryPost, "post clamp"),
            (Case, "case mounting"),
            (StarterCase, "starter flange"),
            (Metal, "bolted lug"),
            (ThickConductor, "bolted lug"),
            (ThinConductor, "connector pin"),
            (Fuse, "fuse clip"),
            (Pin, "pin crimp"),
            (MatedPin, "connector pin"),
            (Foot, "stud foot"),
            (Crimp, "lug crimp"),
        ] {
            let taken: Vec<_> = rows.iter().filter(|row| row.taken_at.contains(&place)).collect();
            assert_eq!(taken.len(), 1, "{place:?}");
            assert_eq!(Catalogue::standard().joint_taken_at(place).word(), word);
        }
    }

    #[test]
    fn incidental_paths_run_from_low_to_high() {
        for row in Catalogue::standard().incidental_paths.iter() {
            assert!(row.low < row.typical && row.typical < row.high, "{}", row.key());
        }
    }
}

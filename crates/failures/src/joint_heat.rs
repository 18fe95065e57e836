//! How hot a joint gets from the heat made in it, and where that hurts it.
//!
//! The voltage across a contact tells how hot its hottest place is where there is one clean spot (Holm). A
//! clamp or a lug touches in many, through films, and its metal takes the heat away: clamps that lose half a
//! volt while cranking get warm and are used for years. So what is said of a joint follows from its heat:
//! what it makes beyond a sound one of its kind, for as long as the state lasts, against what its cables,
//! its own metal and the body beneath carry off.

use catalogue::{ContactVoltage, Finish, Fixing, Judgements, Known, METRIC_ALLOWANCE};
use model::{ConductorId, Joint, JointId, PointOwner, Vehicle};
use network::OperatingPoint;
use network::duty::new_cable;
use network::heating::conductor_thermal;
use physics::conductor::ANNEALED_COPPER;
use physics::contact::hottest_temperature;
use physics::heat::{ConductorThermal, end_rise};
use physics::quantity::WattsPerMetreKelvin;
use units::{Amperes, Kelvin, Ohms, Seconds, Volts, Watts};

use crate::fault::conductor_of;
use crate::finding::Contact;

/// Heat that leaves a cable in still air for each kelvin and square metre of its face, radiation with it:
/// 10 W/(m²·K) (from memory).
const FACE_LOSES: f64 = 10.0;
/// What a body of metal takes from a lug for each kelvin: 1 mm of steel sheet about a face of 10 mm radius,
/// 10 W/(m²·K) from both sides, as a fin without end (2π k δ m a K₁(ma)/K₀(ma)). Thicker metal takes more.
const SHEET_TAKES: f64 = 0.17;
/// An insulation is not held against a joint that begins as warm as it bears.
const ROOM: Kelvin = Kelvin(5.0);
const TWENTY: Kelvin = Kelvin::from_celsius(20.0);

/// A joint in a state: how its heat warms it, and the temperatures that hurt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointHeat {
    /// Resistance of a sound one of its kind: crimp and bulk.
    pub sound: Ohms,
    /// Temperature from which the heat warms it.
    pub begins: Kelvin,
    /// From here on its softest metal softens, or the insulation beside it is past what it bears.
    pub softens: Kelvin,
    /// Here its softest metal melts.
    pub melts: Kelvin,
    /// Watts that hold it one kelvin warmer at the end of the time.
    carries_off: f64,
}

impl JointHeat {
    /// A joint at an operating point; nothing where its kind is not known.
    #[must_use]
    pub(crate) fn new(
        vehicle: &Vehicle,
        id: JointId,
        point: &OperatingPoint,
        lasts: Option<Seconds>,
    ) -> Option<Self> {
        let joint = vehicle.joint(id);
        // A post is lead, and so is what lies on it.
        let clamp = joint.kind.fixing == Fixing::PostClamp;
        let bare = || if clamp { Finish::of_a_post() } else { Finish::usual() };
        let contact = joint.finish.as_ref().map_or_else(|| bare().softest(), Finish::softest);
        let begins = begins(vehicle, joint, point, lasts);
        let at = |volts: Volts| hottest_temperature(volts, TWENTY).unwrap_or(TWENTY);
        let insulation = conductor_of(joint)
            .and_then(|own| vehicle.conductor(own).insulation_limit)
            .filter(|limit| *limit > begins + ROOM);
        let softens =
            insulation.map_or(at(contact.softening), |limit| limit.min(at(contact.softening)));
        Some(Self {
            sound: joint.kind.clean_typical,
            begins,
            softens: softens.max(begins + ROOM),
            melts: at(contact.melting).max(begins + ROOM),
            carries_off: carries_off(vehicle, id, lasts),
        })
    }

    /// Heat beyond that of a sound joint of its kind.
    #[must_use]
    pub fn beyond(&self, amps: Amperes, volts: Volts) -> Watts {
        let volts = (volts.abs() - amps.abs() * self.sound).max(Volts::ZERO);
        volts * amps.abs()
    }

    /// How hot it is at the end of the time, its melting point at most: an estimate.
    #[must_use]
    pub fn reaches(&self, amps: Amperes, volts: Volts) -> Kelvin {
        let rise = self.beyond(amps, volts).0 / self.carries_off;
        Kelvin(self.begins.0 + rise).min(self.melts.max(self.begins))
    }

    /// What that does to it.
    #[must_use]
    pub fn contact(&self, amps: Amperes, volts: Volts) -> Option<Contact> {
        match self.reaches(amps, volts) {
            hot if hot >= self.melts => Some(Contact::Melts),
            hot if hot >= self.softens => Some(Contact::Softens),
            _ => None,
        }
    }

    /// Heat beyond a sound one from which it is hurt.
    #[must_use]
    pub fn softens_from(&self) -> Watts {
        Watts((self.softens.min(self.melts) - self.begins).0.max(0.0) * self.carries_off)
    }
}

/// The air for a state that begins cold; its cable's own warmth in one of hours.
fn begins(
    vehicle: &Vehicle,
    joint: &Joint,
    point: &OperatingPoint,
    lasts: Option<Seconds>,
) -> Kelvin {
    let air = vehicle.state(point.state).air;
    let Some(own) = conductor_of(joint) else { return air };
    let warm = point.pieces[own.index()].temperature;
    let around = network::heating::conductor_surroundings(vehicle, own, point.state).air;
    if lasts.is_some() { around } else { warm.unwrap_or(around) }
}

/// Watts for each kelvin: every cable that ends at the point, the joint's own metal for a short time, and
/// the body beneath.
fn carries_off(vehicle: &Vehicle, id: JointId, lasts: Option<Seconds>) -> f64 {
    let joint = vehicle.joint(id);
    let time = lasts.unwrap_or(Seconds(f64::INFINITY));
    let here = |own: &ConductorId| {
        let own = vehicle.conductor(*own);
        [own.from, own.to].iter().any(|end| vehicle.joint(*end).point == joint.point)
    };
    let cables: f64 = (0..vehicle.conductors.len())
        .map(ConductorId::at)
        .filter(here)
        .filter_map(|own| along(&thermal(vehicle, own)?, time))
        .sum();
    let judged = Judgements::standard();
    let holds = match conductor_of(joint) {
        None => judged.case_holds.0,
        Some(_) if joint.kind.fixing == Fixing::PostClamp => judged.clamp_holds.0,
        Some(own) => {
            let as_cable = judged.lug_holds_as_cable.0;
            thermal(vehicle, own).map_or(0.0, |own| own.heat_capacity_per_metre.0 * as_cable)
        }
    };
    let metal = match vehicle.point(joint.point).owner {
        PointOwner::Structure(_) => SHEET_TAKES,
        _ => 0.0,
    };
    (cables + holds / time.0 + metal).max(1e-3)
}

fn thermal(vehicle: &Vehicle, id: ConductorId) -> Option<ConductorThermal> {
    conductor_thermal(vehicle, id).or_else(|| {
        let copper = Judgements::standard().joint_unknown_cable;
        let per_metre = Ohms(METRIC_ALLOWANCE * ANNEALED_COPPER.0 / copper.0);
        new_cable(copper, per_metre)
    })
}

/// Watts that one cable takes at its end for each kelvin.
fn along(cable: &ConductorThermal, time: Seconds) -> Option<f64> {
    let face = std::f64::consts::PI * cable.outer_diameter.0;
    let rise = end_rise(Watts(1.0), cable, WattsPerMetreKelvin(FACE_LOSES * face), time).ok()?;
    (rise.0 > 0.0).then(|| 1.0 / rise.0)
}

/// The contact voltages of the softest metal that the finish of a joint names; of tin, with which lugs are
/// usually plated, where it names none.
pub(crate) fn softest(joint: &Joint) -> Known<ContactVoltage> {
    joint.finish.as_ref().map_or_else(|| Finish::usual().softest(), Finish::softest)
}

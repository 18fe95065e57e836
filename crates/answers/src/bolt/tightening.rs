//! What clamp force a torque gives, how sure that is, and what it rests on.

use catalogue::{
    Catalogue, Confidence, ConnectionTorque, NutFactor, PropertyClass, Provenance, Row, Thread,
    ThreadSystem, TighteningScatter,
};
use physics::PhysicsError;
use physics::bolt::{self, ClampRange, TorqueShares};
use units::{Metres, NewtonMetres, Newtons, Ratio, print};

/// Loss of clamp force by settling of the faces: the design value, and the most, for a stack of terminals.
const SETTLING: Ratio = Ratio(0.05);
const SETTLING_OF_A_STACK: Ratio = Ratio(0.10);
const SETTLING_SOURCE: &str =
    "NASA TM-106943 (1995) p. 6: metal faces settle by 2 to 10 %, design value 5 %";

/// Share of the proof load to which a joint that is opened again is tightened.
pub(super) const USUAL_SHARE: Ratio = Ratio(0.75);
/// Where that share comes from.
pub(super) const USUAL_SHARE_SOURCE: &str =
    "SAE J429 clamp load tables, summary; Shigley and Mischke, as quoted";

/// How sure that is.
pub(super) const USUAL_SHARE_CONFIDENCE: Confidence = Confidence::Secondary;

/// Friction, in thread and under the head, that printed torque tables are mostly built on.
pub(super) const TABLE_FRICTION: Ratio = Ratio(0.14);
const TABLE_FRICTION_SOURCE: &str = "fastener makers' torque tables";

const NUT_FACTOR_LAW: &str = "NASA TM-106943 (1995) eq. 1 and eq. 11 to 16";
const LONG_FORM_LAW: &str = "VDI 2230 and ISO 16047, recalled";

/// What a torque does not say of a joint.
pub(super) const CANNOT_TELL: &str = "What torque cannot tell: most of it goes into friction, so it is a poor \
    measure of clamp force and no measure of the contact. It says nothing of paint, oxide or a \
    washer between the faces, nor of a thread that binds. The proof of a joint is its millivolt \
    drop under current.";

/// What goes before every figure here.
pub(super) const OVERRIDES: &str = "The vehicle maker's torque overrides everything here. A lead or brass \
    terminal, a weld nut or thin sheet yields long before a steel bolt does: these figures are for \
    the bolt alone.";

/// What goes before every work on a joint.
pub(super) const CAUTIONS: &str = "Before you loosen it: grounded side off first and on last, every battery \
    isolated, rings off, no spark near a battery (hydrogen), and wait as the maker says for \
    restraint systems. Not for anything above 60 V. See `groundloom catalogue cautions`.";

/// The bolt and how it is tightened.
#[derive(Debug, Clone, Copy)]
pub struct Bolt {
    /// Its thread.
    pub thread: &'static Thread,
    /// Its property class or grade.
    pub class: &'static PropertyClass,
    /// True when nobody stated the class.
    pub class_assumed: bool,
    /// Finish of thread and head.
    pub finish: &'static NutFactor,
    /// How it is tightened.
    pub method: &'static TighteningScatter,
    /// Torque that the thread takes before the head seats.
    pub running: NewtonMetres,
    /// Share of the clamp force that is lost as the faces settle.
    pub settling: Ratio,
}

/// What was asked for, both ways round, and the marks on its scale.
#[derive(Debug, Clone)]
pub struct Tightening {
    /// The torque, that of the running thread included.
    pub torque: NewtonMetres,
    /// What it clamps with.
    pub clamp: ClampRange,
    /// What makes the lowest clamp force what it is.
    pub low_by: String,
    /// What makes the highest clamp force what it is.
    pub high_by: String,
    /// What the bolt bears without staying longer.
    pub proof_load: Newtons,
    /// Lowest, nominal and highest clamp force over the proof load.
    pub proof_share: [Ratio; 3],
    /// The torque at which the nominal clamp force is the usual share of the proof load.
    pub usual_torque: NewtonMetres,
    /// The torque at which the highest clamp force reaches the proof load.
    pub torque_at_proof: NewtonMetres,
    /// The cross-check.
    pub long_form: LongForm,
}

/// The same torque by the law that counts thread and head apart.
#[derive(Debug, Clone, Copy)]
pub struct LongForm {
    /// Friction in thread and head that the nut factor amounts to.
    pub friction: Ratio,
    /// Where the torque goes.
    pub shares: TorqueShares,
    /// Clamp force under the friction of printed tables.
    pub clamp_at_table_friction: Newtons,
}

impl Bolt {
    /// The share that is lost by settling where so many terminals share the stud.
    #[must_use]
    pub fn settling_of(stack: u32) -> Ratio {
        if stack > 2 { SETTLING_OF_A_STACK } else { SETTLING }
    }

    /// The class that is taken where nobody states one.
    #[must_use]
    pub fn usual_class(thread: Option<&Thread>) -> &'static str {
        let unified = thread.is_some_and(|thread| thread.system == ThreadSystem::Unified);
        if unified { "grade 5" } else { "8.8" }
    }

    /// Whether bolts of this class are made in the size of this thread.
    #[must_use]
    pub fn is_made(thread: &Thread, class: &PropertyClass) -> bool {
        let too_thin = class.above.is_some_and(|above| thread.diameter <= above);
        let too_thick = class.up_to.is_some_and(|up_to| up_to < thread.diameter);
        !too_thin && !too_thick
    }

    /// The torque beyond that of the running thread at which the nominal clamp force is the usual
    /// share of the proof load.
    #[must_use]
    pub fn usual_seating(&self) -> NewtonMetres {
        let force = self.class.proof_load(self.thread) * USUAL_SHARE.0;
        bolt::tightening_torque(force, self.finish.typical, self.thread.diameter)
    }
}

/// What a torque beyond that of the running thread does.
///
/// # Errors
///
/// When a number is outside of what the laws hold for.
pub(super) fn tightening(bolt: &Bolt, seating: NewtonMetres) -> Result<Tightening, PhysicsError> {
    let (thread, finish) = (bolt.thread, bolt.finish);
    let scatter = bolt.method.most;
    let by_method =
        bolt::clamp_range(seating, finish.typical, thread.diameter, scatter, bolt.settling)?;
    let least_friction = finish.low.unwrap_or(finish.typical);
    let most_friction = finish.high.unwrap_or(finish.typical);
    let by_finish = ClampRange {
        low: bolt::clamp_force(seating, most_friction, thread.diameter)? / (1.0 + bolt.settling.0),
        nominal: by_method.nominal,
        high: bolt::clamp_force(seating, least_friction, thread.diameter)?,
    };
    let of_method = format!("{} of the method", spread(scatter));
    let (low, low_by) = if by_finish.low < by_method.low {
        (by_finish.low, format!("nut factor {}", factor(most_friction)))
    } else {
        (by_method.low, of_method.clone())
    };
    let (high, high_by) = if by_method.high < by_finish.high {
        (by_finish.high, format!("nut factor {}", factor(least_friction)))
    } else {
        (by_method.high, of_method)
    };
    let clamp = ClampRange { low, nominal: by_method.nominal, high };
    let proof_load = bolt.class.proof_load(thread);
    let share = |force: Newtons| bolt::proof_share(force, thread.stress_area, bolt.class.proof);
    Ok(Tightening {
        torque: seating + bolt.running,
        clamp,
        low_by: format!(
            "{low_by}, then {} lost as the faces settle",
            print::percent(bolt.settling)
        ),
        high_by,
        proof_load,
        proof_share: [share(clamp.low)?, share(clamp.nominal)?, share(clamp.high)?],
        usual_torque: bolt.usual_seating() + bolt.running,
        torque_at_proof: seating * (proof_load / clamp.high) + bolt.running,
        long_form: long_form(thread, seating, clamp.nominal)?,
    })
}

fn long_form(
    thread: &Thread,
    seating: NewtonMetres,
    clamp: Newtons,
) -> Result<LongForm, PhysicsError> {
    let bearing = mean_bearing(thread);
    let shape = bolt::Thread::new(thread.diameter, thread.pitch)?;
    let friction = bolt::friction_of_test(seating, clamp, &shape, bearing)?;
    let shares = bolt::torque_shares(clamp, &shape, friction, friction, bearing)?;
    let at_table =
        bolt::torque_shares(clamp, &shape, TABLE_FRICTION, TABLE_FRICTION, bearing)?.total();
    Ok(LongForm { friction, shares, clamp_at_table_friction: clamp * (seating / at_table) })
}

/// Mean diameter of the face on which the head turns.
fn mean_bearing(thread: &Thread) -> Metres {
    match &thread.seat {
        Some(seat) => (seat.head_bearing + seat.clearance_hole) * 0.5,
        // As NASA TM-106943 eq. 2 takes it, where no head is listed.
        None => thread.diameter * 1.25,
    }
}

/// A nut factor in two decimals, as handbooks print it.
fn factor(nut_factor: Ratio) -> String {
    print::fixed(nut_factor.0, 2)
}

fn spread(scatter: Ratio) -> String {
    format!("±{}", print::percent(scatter))
}

/// What is left of the proof load beyond a share of it, as a share of the clamp force.
#[must_use]
pub(super) fn margin(share: Ratio) -> Ratio {
    Ratio(1.0 / share.0 - 1.0)
}

/// Torques that others give for connections with this thread.
pub(super) fn connections(bolt: &Bolt) -> impl Iterator<Item = &'static ConnectionTorque> {
    let key = bolt.thread.key().to_owned();
    let rows = Catalogue::standard().connection_torques.iter();
    rows.filter(move |row| row.thread.as_deref() == Some(key.as_str()))
}

/// Every number that went in, and what it rests on.
#[must_use]
pub(super) fn basis(bolt: &Bolt) -> Vec<(&'static str, String, Provenance)> {
    let rule = |source: &str, confidence| Provenance { source: source.to_owned(), confidence };
    let finish = bolt.finish;
    let factors = match (finish.low, finish.high) {
        (Some(low), Some(high)) => {
            format!("{} ({} to {})", factor(finish.typical), factor(low), factor(high))
        }
        _ => factor(finish.typical),
    };
    let area = format!("{} mm²", print::plain(bolt.thread.stress_area.mm2(), 3));
    let proof = format!("{} MPa", print::plain(bolt.class.proof.0 * 1e-6, 3));
    let seat = bolt.thread.seat.as_ref().map_or_else(
        || rule("NASA TM-106943 eq. 2 takes 1.25 times the diameter", Confidence::Derived),
        |seat| seat.provenance.clone(),
    );
    let bearing = format!("{} mm", print::plain(mean_bearing(bolt.thread).mm(), 3));
    vec![
        ("stress area", area, bolt.thread.provenance.clone()),
        ("proof stress", proof, bolt.class.provenance.clone()),
        ("nut factor", factors, finish.provenance.clone()),
        ("scatter of the method", spread(bolt.method.most), bolt.method.provenance.clone()),
        (
            "settling of the faces",
            print::percent(bolt.settling),
            rule(SETTLING_SOURCE, Confidence::Confirmed),
        ),
        (
            "usual share of proof load",
            print::percent(USUAL_SHARE),
            rule(USUAL_SHARE_SOURCE, USUAL_SHARE_CONFIDENCE),
        ),
        (
            "torque, clamp force and spread",
            "T = K·d·F".to_owned(),
            rule(NUT_FACTOR_LAW, Confidence::Confirmed),
        ),
        ("long form", String::new(), rule(LONG_FORM_LAW, Confidence::Unconfirmed)),
        ("bearing of the head, mean", bearing, seat),
        (
            "friction of printed tables",
            print::fixed(TABLE_FRICTION.0, 2),
            rule(TABLE_FRICTION_SOURCE, Confidence::CommonPractice),
        ),
    ]
}

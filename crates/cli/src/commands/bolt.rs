//! `groundloom bolt`: what clamp force a torque gives, how sure that is, and what it does for a joint.

use std::path::PathBuf;

use catalogue::{
    Catalogue, Confidence, ConnectionTorque, NutFactor, PropertyClass, Provenance, Row, Thread,
    ThreadSystem, TighteningScatter,
};
use physics::PhysicsError;
use physics::bolt::{self, ClampRange, TorqueShares};
use serde_json::{Value, json};
use units::{Dimension, Metres, NewtonMetres, Newtons, Ratio, print};

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::option::Options;
use crate::sources::with_source;

mod of_joint;
mod sheet;
mod text;

/// Loss of clamp force by settling of the faces: the design value, and the most, for a stack of terminals.
const SETTLING: Ratio = Ratio(0.05);
const SETTLING_OF_A_STACK: Ratio = Ratio(0.10);
const SETTLING_SOURCE: &str =
    "NASA TM-106943 (1995) p. 6: metal faces settle by 2 to 10 %, design value 5 %";

/// Share of the proof load to which a joint that is opened again is tightened.
const USUAL_SHARE: Ratio = Ratio(0.75);
const USUAL_SHARE_SOURCE: &str =
    "SAE J429 clamp load tables, summary; Shigley and Mischke, as quoted";

/// Friction, in thread and under the head, that printed torque tables are mostly built on.
const TABLE_FRICTION: Ratio = Ratio(0.14);
const TABLE_FRICTION_SOURCE: &str = "fastener makers' torque tables";

const NUT_FACTOR_LAW: &str = "NASA TM-106943 (1995) eq. 1 and eq. 11 to 16";
const LONG_FORM_LAW: &str = "VDI 2230 and ISO 16047, recalled";

const CANNOT_TELL: &str = "What torque cannot tell: most of it goes into friction, so it is a poor \
    measure of clamp force and no measure of the contact. It says nothing of paint, oxide or a \
    washer between the faces, nor of a thread that binds. The proof of a joint is its millivolt \
    drop under current.";

const OVERRIDES: &str = "The vehicle maker's torque overrides everything here. A lead or brass \
    terminal, a weld nut or thin sheet yields long before a steel bolt does: these figures are for \
    the bolt alone.";

const CAUTIONS: &str = "Before you loosen it: grounded side off first and on last, every battery \
    isolated, rings off, no spark near a battery (hydrogen), and wait as the maker says for \
    restraint systems. Not for anything above 60 V. See `groundloom catalogue cautions`.";

/// A bolted joint: torque and clamp force with scatter, faces, pressure, contact, protection.
#[derive(clap::Args, Debug)]
#[command(group(clap::ArgGroup::new("given").required(true).multiple(true).args(["torque", "clamp", "joint"])))]
pub(crate) struct Arguments {
    /// A vehicle file, or `-` for standard input, for `--joint`.
    #[arg(requires = "joint")]
    file: Option<PathBuf>,
    /// A joint of that file, such as `main-negative.to`; what the file says of it need not be repeated.
    #[arg(long, value_name = "NAME", requires = "file")]
    joint: Option<String>,
    /// Thread, such as `M8`, `M10x1.25` or `5/16-18`.
    #[arg(long, required_unless_present = "joint")]
    thread: Option<String>,
    /// Property class or grade, such as `8.8` or `grade 5`; these two are taken when it is left out.
    #[arg(long)]
    class: Option<String>,
    /// Tightening torque, such as `20 N·m` or `15 ft-lb`.
    #[arg(long)]
    torque: Option<String>,
    /// Clamp force instead of torque, such as `12 kN`.
    #[arg(long, conflicts_with = "torque")]
    clamp: Option<String>,
    /// Finish of thread and head, such as `zinc`, `stainless` or `anti-seize`.
    #[arg(long, default_value = "unknown")]
    finish: String,
    /// How it is tightened, such as `by feel` or `torque wrench, lubricated`.
    #[arg(long, default_value = "torque wrench")]
    method: String,
    /// Torque that the thread takes before the head seats: of a locking nut or a forming screw.
    #[arg(long, value_name = "TORQUE")]
    running_torque: Option<String>,
    #[command(flatten)]
    faces: sheet::Options,
}

/// The bolt and how it is tightened.
struct Bolt {
    thread: &'static Thread,
    class: &'static PropertyClass,
    class_assumed: bool,
    finish: &'static NutFactor,
    method: &'static TighteningScatter,
    running: NewtonMetres,
    settling: Ratio,
}

/// What was asked for, both ways round, and the marks on its scale.
struct Tightening {
    torque: NewtonMetres,
    clamp: ClampRange,
    /// What makes the lowest and the highest clamp force what they are.
    low_by: String,
    high_by: String,
    proof_load: Newtons,
    proof_share: [Ratio; 3],
    usual_torque: NewtonMetres,
    torque_at_proof: NewtonMetres,
    long_form: LongForm,
}

/// The same torque by the law that counts thread and head apart.
struct LongForm {
    /// Friction in thread and head that the nut factor amounts to.
    friction: Ratio,
    shares: TorqueShares,
    /// Clamp force under the friction of printed tables.
    clamp_at_table_friction: Newtons,
}

/// Answers with clamp force, proof load and torque.
///
/// JSON: every key ends in its SI unit; ranges are objects of `low`, `nominal` and `high`;
/// `proof_share` and `margin` are ratios, `margin` the proof load over the clamp force less one.
pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let mut options = Options::default();
    let place = match (&arguments.file, &arguments.joint) {
        (Some(file), Some(name)) => Some(of_joint::read(file, name, asked)?),
        _ => None,
    };
    let asked_for = sheet::Asked::read(arguments, place.as_ref(), &mut options);
    let bolt = read_bolt(arguments, place.as_ref(), &asked_for, &mut options);
    let torque = match (arguments.torque.as_deref(), &place) {
        (Some(text), _) => options.positive("--torque", text, Dimension::Torque, NewtonMetres),
        (None, Some(place)) if arguments.clamp.is_none() => {
            if place.torque.is_none() {
                options.refuse(
                    format!("the file states no torque for `{}`", place.name),
                    "`torque` at the joint in the file, or `--torque '20 N·m'`",
                );
            }
            place.torque
        }
        (None, _) => None,
    };
    let clamp = arguments
        .clamp
        .as_deref()
        .and_then(|text| options.positive("--clamp", text, Dimension::Force, Newtons));
    if let (Some(torque), Some(bolt)) = (torque, &bolt)
        && torque <= bolt.running
    {
        options.refuse(
            "`--running-torque` takes all of `--torque`, so that nothing is left to clamp",
            format!("a running torque below {}", asked.units.torque(torque)),
        );
    }
    let (Some(bolt), true) = (bolt, options.all_right()) else { return Err(options.failure()) };
    let seating = match (torque, clamp) {
        (Some(torque), _) => torque - bolt.running,
        (None, Some(clamp)) => {
            bolt::tightening_torque(clamp, bolt.finish.typical, bolt.thread.diameter)
        }
        // The command line asks for one of the two before it comes here.
        (None, None) => return Err(Failure::new("no torque is given", "`--torque` or `--clamp`")),
    };
    let mut tightening = tightening(&bolt, seating).map_err(|error| Failure(error.to_string()))?;
    let sheet = sheet::Sheet::of(&asked_for, place.as_ref(), &bolt, &tightening);
    if let Some((highest, _)) = sheet.as_ref().and_then(sheet::Sheet::forming) {
        // Such a screw breaks long before a bolt of its thread meets its proof load.
        tightening.usual_torque = tightening.usual_torque.min(highest);
        tightening.torque_at_proof = tightening.torque_at_proof.min(highest);
    }
    let beyond = tightening.clamp.high > tightening.proof_load
        || sheet.as_ref().is_some_and(sheet::Sheet::wants_attention);
    let mut json = answer_json(&bolt, &tightening);
    if let Some(object) = json.as_object_mut() {
        object.insert("sheet".to_owned(), sheet.as_ref().map_or(Value::Null, sheet::Sheet::json));
    }
    Ok(Answer {
        text: text::text(&bolt, &tightening, sheet.as_ref(), asked),
        json,
        exit: if beyond { Exit::Finding } else { Exit::Well },
    })
}

/// The bolt from the options, and from the joint of the file where they are silent.
fn read_bolt(
    arguments: &Arguments,
    place: Option<&of_joint::Place>,
    asked_for: &sheet::Asked,
    options: &mut Options,
) -> Option<Bolt> {
    let catalogue = Catalogue::standard();
    let own = arguments.thread.as_deref();
    let thread = match own.or_else(|| place.and_then(|place| place.thread.as_deref())) {
        Some(name) => options.row("--thread", name, &catalogue.threads),
        None => {
            let name = place.map_or("", |place| place.name.as_str());
            options.refuse(
                format!("the file states no thread for `{name}`"),
                "`thread` at the joint in the file, or `--thread M8`",
            );
            None
        }
    };
    let unified = thread.is_some_and(|thread| thread.system == ThreadSystem::Unified);
    let usual = if unified { "grade 5" } else { "8.8" };
    let stated =
        arguments.class.as_deref().or_else(|| place.and_then(|place| place.class.as_deref()));
    let named = stated.unwrap_or(usual);
    let class = options.row("--class", named, &catalogue.property_classes);
    let finish = options.row("--finish", &arguments.finish, &catalogue.nut_factors);
    let method = options.row("--method", &arguments.method, &catalogue.tightening_scatter);
    let running = match arguments.running_torque.as_deref() {
        None => Some(asked_for.forming_torque(thread, options)),
        Some(text) => options.positive("--running-torque", text, Dimension::Torque, NewtonMetres),
    };
    let (thread, class) = (thread?, class?);
    let too_thin = class.above.is_some_and(|above| thread.diameter <= above);
    let too_thick = class.up_to.is_some_and(|up_to| up_to < thread.diameter);
    if too_thin || too_thick {
        options.refuse(
            format!("class `{}` is not made in the size of {}", class.key(), thread.key()),
            "a class that `groundloom catalogue property-classes` lists for this diameter",
        );
    }
    Some(Bolt {
        thread,
        class,
        class_assumed: stated.is_none(),
        finish: finish?,
        method: method?,
        running: running?,
        settling: if asked_for.stack > 2 { SETTLING_OF_A_STACK } else { SETTLING },
    })
}

fn tightening(bolt: &Bolt, seating: NewtonMetres) -> Result<Tightening, PhysicsError> {
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
    let usual =
        bolt::tightening_torque(proof_load * USUAL_SHARE.0, finish.typical, thread.diameter);
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
        usual_torque: usual + bolt.running,
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

fn margin(share: Ratio) -> Ratio {
    Ratio(1.0 / share.0 - 1.0)
}

fn connections(bolt: &Bolt) -> impl Iterator<Item = &'static ConnectionTorque> {
    let key = bolt.thread.key().to_owned();
    let rows = Catalogue::standard().connection_torques.iter();
    rows.filter(move |row| row.thread.as_deref() == Some(key.as_str()))
}

/// Every number that went in, and what it rests on.
fn basis(bolt: &Bolt) -> Vec<(&'static str, String, Provenance)> {
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
            rule(USUAL_SHARE_SOURCE, Confidence::Secondary),
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

fn answer_json(bolt: &Bolt, found: &Tightening) -> Value {
    let range =
        |[low, nominal, high]: [f64; 3]| json!({ "low": low, "nominal": nominal, "high": high });
    let clamp = found.clamp;
    let finish = bolt.finish;
    let long = &found.long_form;
    let connections = connections(bolt).map(|row| {
        let torques = json!({
            "connection": row.connection,
            "low_newton_metres": row.low.0,
            "high_newton_metres": row.high.0,
        });
        with_source(torques, &row.provenance)
    });
    let basis = basis(bolt).into_iter().map(|(what, value, provenance)| {
        with_source(json!({ "what": what, "value": value }), &provenance)
    });
    json!({
        "format": 1,
        "thread": bolt.thread.key(),
        "class": bolt.class.key(),
        "class_assumed": bolt.class_assumed,
        "finish": finish.key(),
        "method": bolt.method.key(),
        "torque_newton_metres": found.torque.0,
        "running_torque_newton_metres": bolt.running.0,
        "nut_factor": range([
            finish.low.unwrap_or(finish.typical).0,
            finish.typical.0,
            finish.high.unwrap_or(finish.typical).0,
        ]),
        "scatter": bolt.method.most.0,
        "clamp_newtons": range([clamp.low.0, clamp.nominal.0, clamp.high.0]),
        "proof_load_newtons": found.proof_load.0,
        "proof_share": range(found.proof_share.map(|share| share.0)),
        "margin": range(found.proof_share.map(|share| margin(share).0)),
        "usual_proof_share": USUAL_SHARE.0,
        "usual_torque_newton_metres": found.usual_torque.0,
        "torque_at_proof_newton_metres": found.torque_at_proof.0,
        "long_form": {
            "friction": long.friction.0,
            "pitch_newton_metres": long.shares.pitch.0,
            "thread_newton_metres": long.shares.thread.0,
            "head_newton_metres": long.shares.head.0,
            "table_friction": TABLE_FRICTION.0,
            "clamp_at_table_friction_newtons": long.clamp_at_table_friction.0,
        },
        "connections": connections.collect::<Vec<_>>(),
        "basis": basis.collect::<Vec<_>>(),
        "notes": [CANNOT_TELL, OVERRIDES, CAUTIONS],
    })
}

#[cfg(test)]
mod tests;

//! `groundloom bolt`: what clamp force a torque gives, how sure that is, and what it does for a joint.

use std::path::PathBuf;

use answers::bolt::place::Place;
use answers::bolt::sheet::{JointAsked, Sheet, warnings};
use answers::bolt::tightening::{Bolt, tightening};
use catalogue::{Catalogue, Known, Row};
use physics::bolt;
use units::{Dimension, NewtonMetres, Newtons};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::option::Options;

mod of_joint;
mod said;
mod sheet;
mod text;

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
    let asked_for = sheet::read(arguments, place.as_ref(), &mut options);
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
    let bolted = Some((&bolt, &tightening));
    let sheet = sheet::wanted(arguments, place.as_ref())
        .then(|| Sheet::of(&asked_for, place.as_ref(), bolted));
    if let Some(highest) = sheet.as_ref().and_then(|own| own.forming).map(|own| own.screw.highest) {
        // Such a screw breaks long before a bolt of its thread meets its proof load.
        tightening.usual_torque = tightening.usual_torque.min(highest);
        tightening.torque_at_proof = tightening.torque_at_proof.min(highest);
    }
    let attention = !warnings(sheet.as_ref(), Some(&tightening)).is_empty();
    Ok(Answer {
        text: text::text(&bolt, &tightening, sheet.as_ref(), asked),
        json: json(&answers::bolt::of(&bolt, &tightening, sheet.as_ref())),
        exit: if attention { Exit::Finding } else { Exit::Well },
    })
}

/// The bolt from the options, and from the joint of the file where they are silent.
fn read_bolt(
    arguments: &Arguments,
    place: Option<&Place>,
    asked_for: &JointAsked,
    options: &mut Options,
) -> Option<Bolt> {
    let catalogue = Catalogue::standard();
    let own = arguments.thread.as_deref();
    let thread = match own.or_else(|| place.and_then(|place| place.thread.map(Known::word))) {
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
    let stated =
        arguments.class.as_deref().or_else(|| place.and_then(|place| place.class.map(Known::word)));
    let named = stated.unwrap_or_else(|| Bolt::usual_class(thread));
    let class = options.row("--class", named, &catalogue.property_classes);
    let finish = options.row("--finish", &arguments.finish, &catalogue.nut_factors);
    let method = options.row("--method", &arguments.method, &catalogue.tightening_scatter);
    let running = match arguments.running_torque.as_deref() {
        None => Some(sheet::forming(asked_for, thread, options)),
        Some(text) => options.positive("--running-torque", text, Dimension::Torque, NewtonMetres),
    };
    let (thread, class) = (thread?, class?);
    if !Bolt::is_made(thread, class) {
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
        settling: Bolt::settling_of(asked_for.stack),
    })
}

#[cfg(test)]
mod tests;

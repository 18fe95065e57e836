//! What is asked of a bolt and its joint, from options and from the file where they are silent.

use catalogue::{AnodicGroup, Catalogue, Environment, Finish, Known, Row, Thread};
use units::{Metres, NewtonMetres, Newtons, UnitSystem};

use super::Given;
use crate::Refusal;
use crate::arguments::Arguments;
use crate::bolt::Asked;
use crate::bolt::place::Place;
use crate::bolt::sheet::{JointAsked, forming_torque, forms_its_thread};
use crate::bolt::tightening::Bolt;

/// The joint about the bolt.
pub(super) fn joint(asked: &Asked, place: Option<&Place>, arguments: &mut Arguments) -> JointAsked {
    let stated = asked.faces.as_deref().map(Finish::read);
    let finish = stated.or_else(|| place.and_then(|place| place.finish.clone()));
    let faces = match &asked.faces {
        Some(text) => named_faces(text, arguments),
        None => finish.as_ref().map_or_else(Vec::new, |own| own.faces().to_vec()),
    };
    let stated = asked.environment.as_deref().and_then(|word| environment(word, arguments));
    let environment = stated.or(place.map(|place| place.environment));
    let stack = asked.stack.or(place.map(|place| place.stack)).unwrap_or(1);
    if !(1..=12).contains(&stack) {
        let expected = "a number of terminals from 1 to 12";
        arguments.refuse(Refusal::new("`--stack` is out of range", expected));
    }
    let pad = arguments.perhaps::<Metres>("pad", &asked.pad);
    let washer = asked.washer.clone();
    JointAsked {
        stack,
        environment: environment.unwrap_or_else(|| Catalogue::standard().usual_environment()),
        environment_assumed: asked.environment.is_none() && place.is_none(),
        faces,
        finish,
        pad,
        washer: washer.or_else(|| place.and_then(|place| place.washer.clone())),
        forming: asked.forming || place.is_some_and(forms_its_thread),
    }
}

fn environment(word: &str, arguments: &mut Arguments) -> Option<Known<Environment>> {
    let all = &Catalogue::standard().environments;
    let words: Vec<(&str, Known<Environment>)> =
        all.iter().map(|row| (row.key(), row.into())).collect();
    arguments.word("environment", word, &words)
}

/// The two faces of an option; each has to be a metal of the catalogue.
fn named_faces(text: &str, arguments: &mut Arguments) -> Vec<Known<AnodicGroup>> {
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    if parts.len() != 2 {
        arguments.refuse(Refusal::of(
            "faces",
            text,
            format!("names {} metals", parts.len()),
            "the two faces with a comma between them, such as `tin, bare steel`",
        ));
        return Vec::new();
    }
    let groups = &Catalogue::standard().anodic_groups;
    let rows = parts.into_iter().filter_map(|part| arguments.row("faces", part, groups));
    rows.map(Known::from).collect()
}

/// The bolt.
pub(super) fn bolt(
    asked: &Asked,
    place: Option<&Place>,
    joint: &JointAsked,
    arguments: &mut Arguments,
) -> Option<Bolt> {
    let catalogue = Catalogue::standard();
    let thread = thread(asked, place, arguments);
    let filed = || place.and_then(|place| place.class.map(Known::word));
    let stated = asked.class.as_deref().or_else(filed);
    let named = stated.unwrap_or_else(|| Bolt::usual_class(thread));
    let class = arguments.row("class", named, &catalogue.property_classes);
    let finish = arguments.row("finish", &asked.finish, &catalogue.nut_factors);
    let method = arguments.row("method", &asked.method, &catalogue.tightening_scatter);
    let running = match asked.running_torque.as_deref() {
        None => Some(forming(joint, thread, arguments)),
        Some(text) => arguments.positive::<NewtonMetres>("running_torque", text),
    };
    let (thread, class) = (thread?, class?);
    if !Bolt::is_made(thread, class) {
        arguments.refuse(Refusal::new(
            format!("class `{}` is not made in the size of {}", class.key(), thread.key()),
            "a class that `groundloom catalogue property-classes` lists for this diameter",
        ));
    }
    Some(Bolt {
        thread,
        class,
        class_assumed: stated.is_none(),
        finish: finish?,
        method: method?,
        running: running?,
        settling: Bolt::settling_of(joint.stack),
    })
}

fn thread(
    asked: &Asked,
    place: Option<&Place>,
    arguments: &mut Arguments,
) -> Option<&'static Thread> {
    let filed = place.and_then(|place| place.thread.map(Known::word));
    if let Some(name) = asked.thread.as_deref().or(filed) {
        return arguments.row("thread", name, &Catalogue::standard().threads);
    }
    arguments.refuse(match place {
        Some(place) => Refusal::new(
            format!("the file states no thread for `{}`", place.name),
            "`thread` at the joint in the file, or `--thread M8`",
        ),
        None => Refusal::new("no thread is given", "`--thread M8`, or `--joint` of a vehicle"),
    });
    None
}

/// Torque that the thread takes where the screw forms it and nobody has measured how much.
fn forming(joint: &JointAsked, thread: Option<&Thread>, arguments: &mut Arguments) -> NewtonMetres {
    let Some(thread) = thread.filter(|_| joint.forming) else { return NewtonMetres::ZERO };
    forming_torque(thread).unwrap_or_else(|| {
        arguments.refuse(Refusal::new(
            format!("no thread-forming screw of {} is listed", thread.key()),
            "a thread of `groundloom catalogue forming-screws`, or `--running-torque`",
        ));
        NewtonMetres::ZERO
    })
}

/// What the bolt is tightened to.
pub(super) fn given(
    asked: &Asked,
    place: Option<&Place>,
    bolt: Option<&Bolt>,
    arguments: &mut Arguments,
) -> Option<Given> {
    if let (Some(_), Some(_)) = (&asked.torque, &asked.clamp) {
        let what = "both a torque and a clamp force are given";
        arguments.refuse(Refusal::new(what, "one of `--torque` and `--clamp`"));
    }
    let torque = match &asked.torque {
        Some(text) => arguments.positive::<NewtonMetres>("torque", text),
        None if asked.clamp.is_none() => filed_torque(place, arguments),
        None => None,
    };
    let clamp = arguments.perhaps::<Newtons>("clamp", &asked.clamp);
    let running = bolt.map_or(NewtonMetres::ZERO, |bolt| bolt.running);
    if let Some(torque) = torque.filter(|torque| bolt.is_some() && *torque <= running) {
        arguments.refuse(Refusal::new(
            "`--running-torque` takes all of `--torque`, so that nothing is left to clamp",
            format!("a running torque below {}", UnitSystem::Metric.torque(torque)),
        ));
    }
    torque.map(Given::Torque).or(clamp.map(Given::Clamp))
}

/// The torque that the file gives.
fn filed_torque(place: Option<&Place>, arguments: &mut Arguments) -> Option<NewtonMetres> {
    let Some(place) = place else {
        arguments.refuse(Refusal::new("no torque is given", "`--torque` or `--clamp`"));
        return None;
    };
    if place.torque.is_none() {
        arguments.refuse(Refusal::new(
            format!("the file states no torque for `{}`", place.name),
            "`torque` at the joint in the file, or `--torque '20 N·m'`",
        ));
    }
    place.torque
}

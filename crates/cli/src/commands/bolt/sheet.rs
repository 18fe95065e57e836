//! What is asked of the joint about a bolt, from options and from the file where they are silent.

use answers::arguments::whole_number;
use answers::bolt::place::Place;
use answers::bolt::sheet::{JointAsked, forming_torque, forms_its_thread};
use catalogue::{AnodicGroup, Catalogue, Environment, Finish, Known, Row, Thread};
use units::{Dimension, Metres, NewtonMetres};

use super::Arguments;

/// What is asked of the joint about the bolt.
#[derive(clap::Args, Debug, Default, Clone)]
pub(crate) struct Options {
    /// The two faces, such as `tin, bare steel`.
    #[arg(long, value_name = "METAL, METAL")]
    pub(super) faces: Option<String>,
    /// Where it lives: dry, inland, salted roads, coast or sea.
    #[arg(long)]
    pub(super) environment: Option<String>,
    /// Terminals on the same stud.
    #[arg(long, value_parser = whole_number::<u32>)]
    pub(super) stack: Option<u32>,
    /// Outer diameter of the lug's pad, or of the face that clamps; twice the thread when left out.
    #[arg(long, value_name = "LENGTH")]
    pub(super) pad: Option<String>,
    /// Washers, such as `flat, star under the lug`.
    #[arg(long)]
    pub(super) washer: Option<String>,
    /// A screw that forms its own thread.
    #[arg(long)]
    pub(super) forming: bool,
}

#[cfg(test)]
impl Options {
    /// Faces in a place.
    pub(super) fn of(faces: &str, environment: &str) -> Self {
        Self {
            faces: Some(faces.to_owned()),
            environment: Some(environment.to_owned()),
            ..Self::default()
        }
    }
}

/// Whether anything but the bolt was asked about.
pub(super) fn wanted(arguments: &Arguments, place: Option<&Place>) -> bool {
    let own = &arguments.faces;
    place.is_some()
        || own.faces.is_some()
        || own.environment.is_some()
        || own.stack.is_some()
        || own.pad.is_some()
        || own.washer.is_some()
        || own.forming
}

/// What was asked, read and checked.
pub(super) fn read(
    arguments: &Arguments,
    place: Option<&Place>,
    options: &mut crate::option::Options,
) -> JointAsked {
    let own = &arguments.faces;
    let stated = own.faces.as_deref().map(Finish::read);
    let finish = stated.or_else(|| place.and_then(|place| place.finish.clone()));
    let faces = match &own.faces {
        Some(text) => named_faces(text, options),
        None => finish.as_ref().map_or_else(Vec::new, |own| own.faces().to_vec()),
    };
    let environments = &Catalogue::standard().environments;
    let words: Vec<(&str, Known<Environment>)> =
        environments.iter().map(|row| (row.key(), row.into())).collect();
    let asked = own.environment.as_deref();
    let stated = asked.and_then(|word| options.word("--environment", word, &words));
    let environment = stated.or(place.map(|place| place.environment));
    let stack = own.stack.or(place.map(|place| place.stack)).unwrap_or(1);
    if !(1..=12).contains(&stack) {
        options.refuse("`--stack` is out of range", "a number of terminals from 1 to 12");
    }
    let pad = own
        .pad
        .as_deref()
        .and_then(|text| options.positive("--pad", text, Dimension::Length, Metres));
    JointAsked {
        stack,
        environment: environment.unwrap_or_else(|| Catalogue::standard().usual_environment()),
        environment_assumed: asked.is_none() && place.is_none(),
        faces,
        finish,
        pad,
        washer: own.washer.clone().or_else(|| place.and_then(|place| place.washer.clone())),
        forming: own.forming || place.is_some_and(forms_its_thread),
    }
}

/// Torque that the thread takes where the screw forms it and nobody has measured how much.
pub(super) fn forming(
    asked: &JointAsked,
    thread: Option<&Thread>,
    options: &mut crate::option::Options,
) -> NewtonMetres {
    let Some(thread) = thread.filter(|_| asked.forming) else { return NewtonMetres::ZERO };
    forming_torque(thread).unwrap_or_else(|| {
        options.refuse(
            format!("no thread-forming screw of {} is listed", thread.key()),
            "a thread of `groundloom catalogue forming-screws`, or `--running-torque`",
        );
        NewtonMetres::ZERO
    })
}

/// The two faces of an option; each has to be a metal of the catalogue.
fn named_faces(text: &str, options: &mut crate::option::Options) -> Vec<Known<AnodicGroup>> {
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    if parts.len() != 2 {
        options.refuse(
            format!("`--faces {text}` names {} metals", parts.len()),
            "the two faces with a comma between them, such as `tin, bare steel`",
        );
        return Vec::new();
    }
    let groups = &Catalogue::standard().anodic_groups;
    let rows = parts.into_iter().filter_map(|part| options.row("--faces", part, groups));
    rows.map(Known::from).collect()
}

//! `groundloom bolt`: a question that names a file only for one of its joints.

use std::path::Path;

use answers::bolt;

use crate::door::{PerhapsOfVehicle, Source, Subject};

// Its help is the question's own, so it has none here.
#[derive(clap::Args, Debug)]
#[command(mut_arg("file", |own| {
    own.requires("joint").help("A vehicle file, or `-` for standard input, for `--joint`")
}))]
pub(crate) struct Arguments {
    #[command(flatten)]
    own: PerhapsOfVehicle<bolt::Asked>,
}

impl Subject for Arguments {
    type Question = bolt::Asked;

    fn parts(&self) -> (&bolt::Asked, Option<&Path>, Option<&Source>) {
        self.own.parts()
    }
}

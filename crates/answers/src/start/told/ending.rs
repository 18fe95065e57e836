//! What was written, and what to go on with.

use super::Found;
use crate::start::Files;
use crate::told::{Line, Told, name};

/// The commands that go on from here.
pub(in crate::start) fn commands(found: &Found, files: &Files) -> Vec<String> {
    let quoted = |path: &str| {
        if path.contains([' ', '\'', '"']) { format!("'{path}'") } else { path.to_owned() }
    };
    let own = quoted(&files.vehicle);
    let both = match &files.readings {
        Some(readings) => format!("{own} {}", quoted(readings)),
        None => own.clone(),
    };
    let heard = &found.weighed.heard;
    let complaint = heard.load.map_or_else(String::new, |load| {
        let (load, state) = (found.vehicle.load(load), found.vehicle.state(heard.state));
        format!(" --complaint {}@{}", load.id, state.id)
    });
    vec![
        format!("groundloom check {own} --defaults"),
        format!("groundloom next {both}{complaint}"),
        format!("groundloom diagnose {both}{complaint}"),
    ]
}

/// Where the rough vehicle is.
pub(super) fn ending(told: &mut Told, found: &Found) {
    match &found.written {
        Some(Ok(files)) => {
            let beside = files.readings.as_ref();
            told.paragraph(say!(
                "The rough vehicle is in {}{}. Put what you know in its place, then:",
                name(&files.vehicle),
                beside.map_or_else(Line::new, |own| say!(", the readings in {}", name(own)))
            ));
            for command in commands(found, files) {
                told.line(say!("{}", format!("  {command}")));
            }
        }
        Some(Err(why)) => {
            told.paragraph(say!(
                "The rough vehicle could not be written: {}. Here it is:",
                why.as_str()
            ));
            told.gap();
            told.line(say!("{}", found.file()));
            if let Some(readings) = found.readings_file() {
                told.line(say!("{}", readings.trim_end()));
            }
        }
        None => told.paragraph(
            "`--output my-vehicle.toml` writes the rough vehicle to refine, with the \
             readings beside it.",
        ),
    }
}

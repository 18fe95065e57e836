//! `groundloom new`: a file to begin with, from the layout that is nearest.

use std::fmt::Write;
use std::path::PathBuf;

use serde_json::json;

pub(crate) use answers::layouts::LAYOUTS;

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::style::bold;
use crate::written::{For, not_written, path_text, write_new};

/// Begin a vehicle file from a layout; without one, list the layouts.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The layout to begin with.
    #[arg(long)]
    layout: Option<String>,
    /// Write to this file instead of the screen; a file that exists is left alone.
    #[arg(long, short)]
    output: Option<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments, _asked: &Asked) -> Result<Answer, Failure> {
    let Some(wanted) = &arguments.layout else {
        let mut text = String::from("layouts to begin with:\n\n");
        for (name, what, _) in LAYOUTS {
            let _ = writeln!(text, "  {} {what}", bold(format!("{name:<14}")));
        }
        text.push_str("\ngroundloom new --layout front-engine --output my-vehicle.toml\n");
        let json = json!({ "format": 1, "layouts": LAYOUTS.map(|(name, what, _)| json!({ "name": name, "what": what })) });
        return Ok(Answer { text, json, exit: Exit::Well });
    };
    let Some((name, _, file)) = LAYOUTS.iter().find(|(name, ..)| name == wanted) else {
        let names: Vec<String> = LAYOUTS.iter().map(|(name, ..)| format!("`{name}`")).collect();
        return Err(Failure::new(
            format!("there is no layout `{wanted}`"),
            format!("one of {}", names.join(", ")),
        ));
    };
    let Some(path) = &arguments.output else {
        return Ok(Answer {
            text: (*file).to_owned(),
            json: json!({ "format": 1, "layout": name, "file": file }),
            exit: Exit::Well,
        });
    };
    write_new(path, file.as_bytes(), For::Anybody).map_err(|error| not_written(path, &error))?;
    let shown = path.display();
    let text = format!(
        "{} is written. Next:\n\n  groundloom check {shown}\n  groundloom solve {shown}\n\nThen put your own lengths and sizes in their places.\n",
        bold(&shown)
    );
    Ok(Answer {
        text,
        json: json!({ "format": 1, "layout": name, "written": path_text(path) }),
        exit: Exit::Well,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_layout_is_a_vehicle_that_can_be_solved_and_cranks() {
        for (name, _, text) in LAYOUTS {
            let reading = file::read(text.as_bytes());
            assert!(reading.problems.is_empty(), "{name}: {:?}", reading.problems);
            let vehicle = reading.vehicle.expect("no errors");
            let cranking =
                vehicle.state_named("cranking").unwrap_or_else(|| panic!("{name} has a starter"));
            let point = network::Network::new(&vehicle).operating_point(cranking);
            assert_eq!(point.convergence, network::Convergence::Reached, "{name}");
            let starter = vehicle.load_named("starter").unwrap_or_else(|| panic!("{name}"));
            let share = point.load(starter).volts.0 / vehicle.nominal.0;
            assert!((0.75..1.0).contains(&share), "{name}: {share}");
        }
    }
}

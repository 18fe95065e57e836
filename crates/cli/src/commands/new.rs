//! `groundloom new`: a file to begin with, from the layout that is nearest.

use std::fmt::Write;
use std::path::PathBuf;

use serde_json::json;

use answers::layouts::LAYOUTS;

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
        return Ok(all_layouts());
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

fn all_layouts() -> Answer {
    let mut text = String::from("layouts to begin with:\n\n");
    for (name, what, _) in LAYOUTS {
        let _ = writeln!(text, "  {} {what}", bold(format!("{name:<14}")));
    }
    text.push_str("\ngroundloom new --layout front-engine --output my-vehicle.toml\n");
    let json = json!({ "format": 1, "layouts": LAYOUTS.map(|(name, what, _)| json!({ "name": name, "what": what })) });
    Answer { text, json, exit: Exit::Well }
}

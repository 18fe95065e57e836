//! `groundloom schema`: the JSON Schema of the vehicle file, or its reference page.

use crate::answer::{Answer, Asked, Exit, Failure};

/// The JSON Schema of the vehicle file, so that editors complete and check it.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The reference page in Markdown instead.
    #[arg(long)]
    page: bool,
}

pub(crate) fn run(arguments: &Arguments, _asked: &Asked) -> Result<Answer, Failure> {
    let json = file::schema::schema();
    let text = if arguments.page {
        file::reference::page()
    } else {
        let mut text = serde_json::to_string_pretty(&json).unwrap_or_default();
        text.push('\n');
        text
    };
    Ok(Answer { text, json, exit: Exit::Well })
}

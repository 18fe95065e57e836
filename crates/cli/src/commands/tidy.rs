//! `groundloom fmt`: tidy writing, with comments and order kept.

use std::fmt::Write as _;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use serde_json::json;

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::style::{MARK, whole_file};
use crate::vehicle_file;

/// Write vehicle files tidily: quantities spaced and signed alike, comments and order kept.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The files; `-` reads standard input and writes the tidy text to the screen.
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// Change nothing; say which files are not tidy.
    #[arg(long)]
    check: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    if arguments.files.iter().any(|path| path == Path::new("-")) && arguments.files.len() > 1 {
        return Err(Failure::new(
            "`-` and files are written to different places",
            "`-` alone, or only files",
        ));
    }
    let mut text = String::new();
    let (mut untidy, mut on_screen, mut failures) = (Vec::new(), None, Vec::new());
    for path in &arguments.files {
        match made_tidy(path, arguments.check, asked) {
            Err(failure) => failures.push(failure.0),
            Ok((_, tidy)) if path == Path::new("-") => {
                text.push_str(&whole_file(&tidy));
                on_screen = Some(tidy);
            }
            Ok((before, tidy)) if before != tidy => {
                untidy.push(path.display().to_string());
                let how = if arguments.check { "is not tidy" } else { "is tidy now" };
                let _ = writeln!(text, "{} {how}", path.display());
            }
            Ok(_) => {}
        }
    }
    if !failures.is_empty() {
        return Err(all_told(&failures, &text));
    }
    let exit = if arguments.check && !untidy.is_empty() { Exit::Finding } else { Exit::Well };
    Ok(Answer { text, json: json!({ "format": 1, "untidy": untidy, "tidy": on_screen }), exit })
}

/// The text of a file, as it was and tidy; the file is written where there is one and it is not only checked.
fn made_tidy(path: &Path, check: bool, asked: &Asked) -> Result<(String, String), Failure> {
    let (before, tidy) = tidied(path, asked)?;
    let is_written = !check && path != Path::new("-");
    if is_written && before != tidy {
        write_whole(path, &tidy)?;
    }
    Ok((before, tidy))
}

/// The text of a file, as it is and tidy.
fn tidied(path: &Path, asked: &Asked) -> Result<(String, String), Failure> {
    let bytes = vehicle_file::read_bytes(path, vehicle_file::VEHICLE_FILE)?;
    // The report of what is wrong, with places, comes from reading the file.
    let refused =
        |bytes: &[u8]| Failure(vehicle_file::understood(path, bytes).problems(asked.width));
    let Ok(before) = std::str::from_utf8(&bytes) else { return Err(refused(&bytes)) };
    if before.trim().is_empty() {
        return Err(refused(&bytes));
    }
    let tidy = file::format::format(before).map_err(|message| {
        let report = refused(&bytes);
        if report.0.is_empty() { Failure::new(message, "TOML 1.0") } else { report }
    })?;
    Ok((before.to_owned(), tidy))
}

/// Every file that could not be tidied, then what became of the others.
fn all_told(failures: &[String], done: &str) -> Failure {
    let mut told: Vec<String> = Vec::new();
    for failure in failures {
        let whole = failure.trim_end();
        // Whoever tells a failure writes `error: ` before the first, unless it is a report.
        let is_report = whole.contains("error[") || whole.contains(MARK);
        let first = told.is_empty() && !failures.iter().any(|own| own.contains("error["));
        let lead = if is_report || first { "" } else { "error: " };
        told.push(format!("{lead}{whole}"));
    }
    told.extend((!done.is_empty()).then(|| done.to_owned()));
    Failure(told.join("\n"))
}

/// Puts the new text in place of the old in one step, so that a file is never half written.
fn write_whole(path: &Path, text: &str) -> Result<(), Failure> {
    replaced(path, text).map_err(|error| {
        Failure::new(
            format!("{}: {}", path.display(), vehicle_file::why(&error)),
            "a file that may be written",
        )
    })
}

fn replaced(path: &Path, text: &str) -> io::Result<()> {
    // Of a link, the file that it leads to; replacing the link would leave that file behind.
    let own = path.canonicalize()?;
    let folder = own.parent().unwrap_or(Path::new("."));
    let permissions = own.metadata()?.permissions();
    if permissions.readonly() {
        return Err(io::ErrorKind::PermissionDenied.into());
    }
    let mut beside = tempfile::NamedTempFile::new_in(folder)?;
    beside.write_all(text.as_bytes())?;
    beside.as_file().set_permissions(permissions)?;
    beside.as_file().sync_all()?;
    beside.persist(&own)?;
    Ok(())
}

//! The `groundloom` command: where a vehicle's volts go, and which way the current comes home.

mod answer;
mod style;
mod table;
mod render;
mod door;
mod problems;
mod vehicle_file;
mod written;
mod watching;
mod kept;
mod commands;

use std::ffi::OsString;
use std::io::{IsTerminal, Write};
use std::process::ExitCode;

use clap::{CommandFactory, Parser, Subcommand, ValueEnum};
use units::UnitSystem;

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::door::Command as _;
use crate::style::{MARK, as_whole_file, is_plain, json_to_terminal, to_terminal};

/// Columns of text when the output is no terminal.
const USUAL_WIDTH: usize = 80;
/// Wider lines are hard to follow with the eye.
const WIDEST: usize = 120;

/// Where a vehicle's volts go, and which way the current comes home.
///
/// A vehicle is a text file: `groundloom new` begins one, `groundloom check` reads it,
/// `groundloom solve` gives every volt and ampere.
#[derive(Parser, Debug)]
#[command(name = "groundloom", version, after_help = EXIT_HELP)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    /// Print the answer as JSON, in the shapes of docs/json.md.
    #[arg(long, global = true)]
    json: bool,
    /// Units of lengths, torques and temperatures in text.
    #[arg(long, global = true, value_enum, default_value_t = Units::Metric)]
    units: Units,
}

const EXIT_HELP: &str = "Exit status: 0 all well; 1 answered, and something wants attention (a load below its minimum, an error in a checked file); 2 not answered (a file or an option that cannot be used).";

#[derive(ValueEnum, Debug, Clone, Copy)]
enum Units {
    /// Metres, newton metres, degrees Celsius.
    Metric,
    /// Feet and inches, pound-force feet and inches, degrees Fahrenheit.
    Us,
}

/// The arguments of a question: its own behind what it is about; some have more that concerns the terminal alone.
macro_rules! arguments {
    (start $of:ident) => { commands::start::Arguments };
    (heat $of:ident) => { commands::heat::Arguments };
    (bolt $of:ident) => { commands::bolt::Arguments };
    ($module:ident $of:ident) => { door::$of<answers::$module::Asked> };
}

/// One command for each question, and those that are no questions.
macro_rules! commands {
    (
        $(#[$first_doc:meta])* Start start $first_word:literal $first_of:ident $first_shape:ident;
        $($(#[$doc:meta])* $name:ident $module:ident $word:literal $of:ident $shape:ident;)*
    ) => {
        #[derive(Subcommand, Debug)]
        enum Command {
            Start(commands::start::Arguments),
            New(commands::new::Arguments),
            $(#[command(name = $word)] $name(arguments!($module $of)),)*
            Fmt(commands::tidy::Arguments),
            Schema(commands::schema::Arguments),
            Open(commands::open::Arguments),
            Garage(commands::garage::Arguments),
            Report(commands::report::Arguments),
            /// Completions for a shell, on standard output.
            Completions {
                /// The shell.
                shell: clap_complete::Shell,
            },
            /// Manual pages, written into a folder.
            Manual {
                /// The folder; it must exist.
                folder: std::path::PathBuf,
            },
        }

        impl Command {
            /// The answer; nothing for what is written without one.
            fn answer(&self, asked: &Asked) -> Option<Result<Answer, Failure>> {
                Some(match self {
                    Self::Start(own) => own.run(asked),
                    $(Self::$name(own) => own.run(asked),)*
                    Self::New(own) => commands::new::run(own, asked),
                    Self::Fmt(own) => commands::tidy::run(own, asked),
                    Self::Schema(own) => commands::schema::run(own, asked),
                    Self::Open(own) => commands::open::run(own, asked),
                    Self::Garage(own) => commands::garage::run(own, asked),
                    Self::Report(own) => commands::report::run(own, asked),
                    Self::Completions { .. } | Self::Manual { .. } => return None,
                })
            }
        }
    };
}

answers::questions!(commands);

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse_from(with_signs(std::env::args_os())) {
        Ok(arguments) => arguments,
        Err(refused) => return not_understood(&refused),
    };
    let width =
        terminal_size::terminal_size().map_or(USUAL_WIDTH, |(width, _)| usize::from(width.0));
    let asked = Asked {
        units: match arguments.units {
            Units::Metric => UnitSystem::Metric,
            Units::Us => UnitSystem::Us,
        },
        width: width.clamp(40, WIDEST),
        json: arguments.json,
    };
    match (&arguments.command, arguments.command.answer(&asked)) {
        (_, Some(answer)) => tell(answer, arguments.json),
        (Command::Completions { shell }, None) => completions(*shell),
        (Command::Manual { folder }, None) => manual(folder),
        (_, None) => ExitCode::SUCCESS,
    }
}

/// Joins `--length` and `-1 m` to one argument, so that a value below zero is read as a value and
/// told what is wrong with it; to clap it would look like another option.
fn with_signs(arguments: impl IntoIterator<Item = OsString>) -> Vec<OsString> {
    let mut joined: Vec<OsString> = Vec::new();
    for argument in arguments {
        let signed = argument
            .to_str()
            .and_then(|text| text.strip_prefix('-'))
            .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit() || c == '.'));
        match joined.last_mut() {
            Some(option)
                if signed
                    && option.to_str().is_some_and(|text| {
                        text.len() > 2 && text.starts_with("--") && !text.contains('=')
                    }) =>
            {
                option.push("=");
                option.push(argument);
            }
            _ => joined.push(argument),
        }
    }
    joined
}

/// Prints an answer, or says why there is none.
fn tell(answer: Result<Answer, Failure>, as_json: bool) -> ExitCode {
    match answer {
        Ok(answer) => {
            let mut out = anstream::stdout().lock();
            let written = if as_json && answer.json.is_null() {
                // All was said while it went on.
                Ok(())
            } else if as_json {
                serde_json::to_string_pretty(&answer.json)
                    .map_err(std::io::Error::from)
                    .and_then(|json| writeln!(out, "{}", json_to_terminal(&json)))
            } else {
                match as_whole_file(&answer.text) {
                    Some(file) if !std::io::stdout().is_terminal() => {
                        std::io::stdout().write_all(file.as_bytes())
                    }
                    Some(file) => out.write_all(to_terminal(file).as_bytes()),
                    None => out.write_all(to_terminal(&answer.text).as_bytes()),
                }
            };
            match written.and_then(|()| out.flush()) {
                // Whoever reads no further has what they wanted.
                Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
                    fail(&format!("the answer cannot be written: {error}"))
                }
                _ if answer.exit == Exit::Finding => ExitCode::from(1),
                _ => ExitCode::SUCCESS,
            }
        }
        Err(Failure(message)) => fail(&message),
    }
}

fn fail(message: &str) -> ExitCode {
    let mut err = anstream::stderr().lock();
    // A report of problems begins with its own words.
    let lead = if message.contains("error[") || message.contains(MARK) { "" } else { "error: " };
    let _ = writeln!(err, "{lead}{}", to_terminal(message.trim_end()));
    ExitCode::from(2)
}

/// Says what is wrong with the arguments, which may be names of files that a shell put there; or helps.
fn not_understood(refused: &clap::Error) -> ExitCode {
    if std::env::args_os().all(|own| is_plain(&own.to_string_lossy())) {
        let _ = refused.print();
    } else {
        let said = to_terminal(&refused.render().to_string());
        let _ = anstream::stderr().lock().write_all(said.as_bytes());
    }
    if refused.use_stderr() { ExitCode::from(2) } else { ExitCode::SUCCESS }
}

fn completions(shell: clap_complete::Shell) -> ExitCode {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "groundloom", &mut script);
    match std::io::stdout().lock().write_all(&script) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => fail(&error.to_string()),
        _ => ExitCode::SUCCESS,
    }
}

fn manual(folder: &std::path::Path) -> ExitCode {
    match clap_mangen::generate_to(Arguments::command(), folder) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => fail(&format!(
            "{}: {}\n  expected a folder that exists",
            folder.display(),
            vehicle_file::why(&error)
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_below_zero_belongs_to_the_option_before_it() {
        let joined = |words: &[&str]| -> Vec<String> {
            with_signs(words.iter().map(OsString::from))
                .into_iter()
                .map(|word| word.into_string().expect("text"))
                .collect()
        };
        assert_eq!(joined(&["size", "--length", "-1 m"]), ["size", "--length=-1 m"]);
        assert_eq!(joined(&["--ambient", "-.5 °C", "-3"]), ["--ambient=-.5 °C", "-3"]);
        // A lone dash is standard input, and what stands behind `--` is no option's.
        assert_eq!(joined(&["check", "-", "--", "-1"]), ["check", "-", "--", "-1"]);
        assert_eq!(joined(&["--length", "--size", "1 m"]), ["--length", "--size", "1 m"]);
    }

    #[test]
    fn the_description_of_the_arguments_is_sound() {
        Arguments::command().debug_assert();
    }
}

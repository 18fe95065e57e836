//! `groundloom start`: from a symptom and the readings at hand, without a vehicle file.

mod ask;
mod setup;
mod rough;
mod symptom;
mod story;
mod asked_back;
mod tell;

use std::io::Write as _;
use std::path::{Path, PathBuf};

use model::{Earth, Vehicle};
use units::Volts;

use self::ask::Asker;
use self::setup::{
    BATTERIES, Choices, EARTHS, METALS, Metal, PLACES, Place, SURROUNDINGS, Setup, VOLTAGES,
    chosen, layouts, voltage,
};
use self::story::{Outcome, Story};
use self::symptom::{SYMPTOMS, symptom};
use crate::answer::{Answer, Asked, Exit, Failure};
use crate::problems::rendered;
use crate::style::{bold, wrapped};
use crate::vehicle_file::why;
use crate::written::{For, write_new};

/// What may be answered to whether the meter showed a minus.
const MINUS: Choices =
    &[("yes", "a minus, or nobody looked"), ("no", "no minus, with the leads as they were told")];
/// The file that is offered where somebody is asked for a name.
const USUAL_FILE: &str = "my-vehicle.toml";

/// From a symptom and the readings at hand, without a vehicle file: which of source, feed, return,
/// load and control is still suspect, and what to measure next.
///
/// Without `--symptom` it asks, one question at a time; Enter takes the usual answer. With it nothing
/// is asked unless `--ask` is given.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// What is wrong: slow-crank, no-crank, weak, not-charging, disturbed, hot.
    #[arg(long)]
    symptom: Option<String>,
    /// The layout that is nearest; `groundloom new` lists them.
    #[arg(long)]
    layout: Option<String>,
    /// Nominal voltage: 6, 12, 24 or 48 V.
    #[arg(long)]
    voltage: Option<String>,
    /// Batteries side by side, 1 or 2; two in series count as one.
    #[arg(long)]
    batteries: Option<String>,
    /// Where the battery is: `near` the engine, or `far`.
    #[arg(long, value_name = "PLACE")]
    battery_place: Option<String>,
    /// Bodies of metal: engine-body, engine-frame-body, engine-frame, engine.
    #[arg(long)]
    metal: Option<String>,
    /// The pole that is joined to the metal: negative or positive.
    #[arg(long)]
    earth: Option<String>,
    /// Where it lives: inland, salted roads, coast, sea, dry.
    #[arg(long)]
    surroundings: Option<String>,
    /// One reading as you would say it: `cranking: battery plus to starter stud 0.4 V`. May be repeated.
    #[arg(long = "reading", value_name = "WORDS")]
    readings: Vec<String>,
    /// Write the rough vehicle file here, and the readings beside it.
    #[arg(long, short)]
    output: Option<PathBuf>,
    /// Write over files that exist.
    #[arg(long)]
    overwrite: bool,
    /// Ask for what is not given, and for further readings, though `--symptom` is given.
    #[arg(long)]
    ask: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    if let Some(path) = &arguments.output {
        free(path, arguments.overwrite)?;
    }
    let asks = arguments.symptom.is_none() || arguments.ask;
    let mut asker = Asker::new(asks, asked.width);
    let mut setup = setup_of(arguments, &mut asker)?;
    let symptom = symptom_of(arguments, &mut asker)?;
    let mut lines = Lines { said: arguments.readings.clone(), asked: false };
    loop {
        match talk(&setup, symptom, lines, (arguments, asked), &mut asker)? {
            Talk::Answer(answer) => return Ok(*answer),
            Talk::Another(nominal, said) => {
                setup.nominal = nominal;
                lines = said;
            }
        }
    }
}

/// Lines at hand, and whether somebody was asked for them already.
struct Lines {
    said: Vec<String>,
    asked: bool,
}

/// How a talk about a vehicle ends: with an answer, or with another voltage and all that was told.
enum Talk {
    Answer(Box<Answer>),
    Another(Volts, Lines),
}

/// Takes what is told of a vehicle of this kind, and weighs it.
fn talk(
    setup: &Setup,
    symptom: diagnosis::Symptom,
    lines: Lines,
    (arguments, asked): (&Arguments, &Asked),
    asker: &mut Asker,
) -> Result<Talk, Failure> {
    let text = rough::file(setup, &[]);
    let reading = file::read(text.as_bytes());
    let vehicle: &Vehicle = reading.vehicle.as_ref().ok_or_else(|| {
        Failure(rendered(&reading.problems, "the rough file", &text, asked.width))
    })?;
    let mut story = Story::new(vehicle, setup, symptom);
    let mut another = None;
    for line in &lines.said {
        another = heard(&mut story, asker, line, asked).or(another);
    }
    if asker.listens() && !lines.asked && another.is_none() {
        another = at_hand(&mut story, asker, asked);
    }
    if let Some(nominal) = another {
        return Ok(Talk::Another(nominal, all_said(&story)));
    }
    let mut account = story.weigh();
    while asker.listens() {
        asker.show(&tell::in_between(&story, &account, asked));
        let Some(line) = asker.line("A further reading (Enter to end):") else { break };
        if line.is_empty() {
            break;
        }
        if let Some(nominal) = heard(&mut story, asker, &line, asked) {
            return Ok(Talk::Another(nominal, all_said(&story)));
        }
        account = story.weigh();
    }
    let target = target(arguments, asker);
    let remarks: Vec<String> = asker.notes.clone();
    let text = rough::file(setup, &remarks);
    let readings = story.file();
    let written = target.map(|path| write(&path, &text, readings.as_deref(), arguments.overwrite));
    let exit = if story.not_understood() || matches!(written, Some(Err(_))) || account.suspicious()
    {
        Exit::Finding
    } else {
        Exit::Well
    };
    Ok(Talk::Answer(Box::new(Answer {
        text: tell::text(&story, &account, written.as_ref(), &text, asked),
        json: tell::json(&story, &account, written.as_ref(), &text, &remarks),
        exit,
    })))
}

/// Everything told, to be taken again of a vehicle of another voltage.
fn all_said(story: &Story<'_>) -> Lines {
    Lines { said: story.told.iter().map(|own| own.said.clone()).collect(), asked: true }
}

/// What was written, or why not.
pub(crate) type Written = Result<(PathBuf, Option<PathBuf>), String>;

fn option(
    given: Option<&String>,
    name: &str,
    choices: &[(&'static str, &'static str)],
    understand: impl Fn(&str) -> Option<&'static str>,
) -> Result<Option<&'static str>, Failure> {
    let Some(said) = given else { return Ok(None) };
    understand(said).map(Some).ok_or_else(|| {
        let words: Vec<String> = choices.iter().map(|(word, _)| format!("`{word}`")).collect();
        Failure::new(
            format!("`--{name} {said}` is not understood"),
            format!("one of {}", words.join(", ")),
        )
    })
}

fn setup_of(arguments: &Arguments, asker: &mut Asker) -> Result<Setup, Failure> {
    let layouts = layouts();
    // All options are looked at before anything is asked.
    let simple =
        |given: &Option<String>, name: &str, choices: &'static [(&'static str, &'static str)]| {
            option(given.as_ref(), name, choices, |said| chosen(said, choices))
        };
    let layout =
        option(arguments.layout.as_ref(), "layout", &layouts, |said| chosen(said, &layouts))?;
    let volts = option(arguments.voltage.as_ref(), "voltage", VOLTAGES, voltage)?;
    let batteries = simple(&arguments.batteries, "batteries", BATTERIES)?;
    let place = simple(&arguments.battery_place, "battery-place", PLACES)?;
    let metal = simple(&arguments.metal, "metal", METALS)?;
    let earth = simple(&arguments.earth, "earth", EARTHS)?;
    let surroundings = simple(&arguments.surroundings, "surroundings", SURROUNDINGS)?;
    option(arguments.symptom.as_ref(), "symptom", SYMPTOMS, symptom)?;

    let layout = layout.unwrap_or_else(|| {
        asker.choose("What is the vehicle like?", &layouts, "front-engine", |said| {
            chosen(said, &layouts)
        })
    });
    let mut setup = Setup::of_layout(layout);
    let mut ask = |given: Option<&'static str>,
                   question: &str,
                   choices: &'static [(&'static str, &'static str)],
                   usual: &'static str,
                   understand: &dyn Fn(&str) -> Option<&'static str>| {
        given.unwrap_or_else(|| asker.choose(question, choices, usual, understand))
    };
    let usual = if setup.nominal == Volts(24.0) { "24 V" } else { "12 V" };
    let word = ask(volts, "Which voltage?", VOLTAGES, usual, &voltage);
    setup.nominal = Volts(units::parse(word, units::Dimension::Voltage).unwrap_or(setup.nominal.0));
    let usual = if setup.batteries == 2 { "two" } else { "one" };
    let of =
        |choices: &'static [(&'static str, &'static str)]| move |said: &str| chosen(said, choices);
    setup.batteries = if ask(
        batteries,
        "How many batteries start it?",
        BATTERIES,
        usual,
        &of(BATTERIES),
    ) == "two"
    {
        2
    } else {
        1
    };
    let usual = if setup.place == Place::Far { "far" } else { "near" };
    setup.place = match ask(place, "Where is the battery?", PLACES, usual, &of(PLACES)) {
        "far" => Place::Far,
        _ => Place::Near,
    };
    let usual = match setup.metal {
        Metal::Engine => "engine",
        Metal::EngineBody => "engine-body",
        Metal::EngineFrame => "engine-frame",
        Metal::EngineFrameBody => "engine-frame-body",
    };
    setup.metal = match ask(metal, "Which bodies of metal are there?", METALS, usual, &of(METALS)) {
        "engine" => Metal::Engine,
        "engine-frame" => Metal::EngineFrame,
        "engine-frame-body" => Metal::EngineFrameBody,
        _ => Metal::EngineBody,
    };
    setup.earth =
        match ask(earth, "Which pole is joined to the metal?", EARTHS, "negative", &of(EARTHS)) {
            "positive" => Earth::Positive,
            _ => Earth::Negative,
        };
    setup.surroundings = ask(
        surroundings,
        "Where does it live?",
        SURROUNDINGS,
        setup.surroundings,
        &of(SURROUNDINGS),
    );
    Ok(setup)
}

fn symptom_of(arguments: &Arguments, asker: &mut Asker) -> Result<diagnosis::Symptom, Failure> {
    let given = option(arguments.symptom.as_ref(), "symptom", SYMPTOMS, symptom)?;
    let listened = asker.listens();
    let word =
        given.unwrap_or_else(|| asker.choose("What is wrong?", SYMPTOMS, "slow-crank", symptom));
    if given.is_none() && (!listened || !asker.listens()) {
        return Err(Failure::new(
            "no symptom is told",
            "`--symptom` with slow-crank, no-crank, weak, not-charging, disturbed or hot, or an answer to the question",
        ));
    }
    Ok(symptom::symptom_named(word))
}

/// Takes the readings that somebody has already; the voltage, when they are of a vehicle of another.
fn at_hand(story: &mut Story<'_>, asker: &mut Asker, asked: &Asked) -> Option<Volts> {
    let (example, other) = story.examples();
    let words = format!(
        "Readings at hand, one a line as you would say them, such as `{example}` or `{other}`. Enter when there are no more."
    );
    asker.show(&format!("\n{}\n{}\n", bold("What was measured?"), wrapped(&words, asked.width, 0)));
    while let Some(line) = asker.line(">") {
        if line.is_empty() {
            break;
        }
        let another = heard(story, asker, &line, asked);
        if another.is_some() {
            return another;
        }
    }
    None
}

/// Takes one line, says how it was understood and asks what it leaves open; the voltage, when it turns
/// out to be of a vehicle of another.
fn heard(story: &mut Story<'_>, asker: &mut Asker, line: &str, asked: &Asked) -> Option<Volts> {
    story.take(line);
    let mut another = None;
    if asker.listens() {
        match story.told.last().map(|own| own.outcome.clone()) {
            Some(Outcome::WhichState { states, guessed, .. }) => {
                if let Some(state) = asked_back::ask_when(story, (&states, guessed), line, asker) {
                    story.settle(state);
                }
            }
            Some(Outcome::WhichVoltage(word, problem)) => {
                another = asked_back::ask_voltage(word, &problem, asker);
            }
            _ => {}
        }
    }
    if let Some(question) = story.asked_of_the_last() {
        let word = asker.choose(&question, MINUS, "yes", |said| chosen(said, MINUS));
        if word == "no" {
            story.without_a_minus();
        }
    }
    if another.is_none()
        && let Some(said) = story.said_of_the_last(asked.width)
    {
        asker.show(&said);
    }
    another
}

/// Where the file is to go: told, asked, or nowhere.
fn target(arguments: &Arguments, asker: &mut Asker) -> Option<PathBuf> {
    if arguments.output.is_some() {
        return arguments.output.clone();
    }
    loop {
        let said = asker
            .line(&format!("\nWrite the vehicle file to (Enter for {USUAL_FILE}, - for none):"))?;
        let name = match said.as_str() {
            "-" => return None,
            "" => USUAL_FILE,
            other => other,
        };
        match free(Path::new(name), arguments.overwrite) {
            Ok(()) => return Some(PathBuf::from(name)),
            Err(Failure(message)) => asker.show(&format!("{message}\n")),
        }
    }
}

/// The readings' file beside a vehicle file.
fn beside(path: &Path) -> PathBuf {
    path.with_extension("readings.txt")
}

fn free(path: &Path, overwrite: bool) -> Result<(), Failure> {
    let taken = [path.to_owned(), beside(path)].into_iter().find(|own| own.exists());
    match taken {
        Some(own) if !overwrite => Err(Failure::new(
            format!("{}: it exists already and is left as it is", own.display()),
            "the name of a file that does not exist yet, or `--overwrite`",
        )),
        _ => Ok(()),
    }
}

fn write(path: &Path, text: &str, readings: Option<&str>, overwrite: bool) -> Written {
    let put = |path: &Path, text: &str| {
        let done = if overwrite {
            let mut options = std::fs::OpenOptions::new();
            options.write(true).create(true).truncate(true);
            options.open(path).and_then(|mut file| file.write_all(text.as_bytes()))
        } else {
            write_new(path, text.as_bytes(), For::Anybody)
        };
        done.map_err(|error| format!("{}: {}", path.display(), why(&error)))
    };
    put(path, text)?;
    let Some(readings) = readings else { return Ok((path.to_owned(), None)) };
    let own = beside(path);
    put(&own, readings)?;
    Ok((path.to_owned(), Some(own)))
}

#[cfg(test)]
mod tests;

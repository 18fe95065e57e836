//! `groundloom start`: the conversation at the keyboard, and the files that come of it.

mod ask;

use std::io::Write as _;
use std::path::{Path, PathBuf};

use answers::room::Question;
use answers::start::{self, Answered, Files, Found, Given, Setup, Story, Written, in_between};

use self::ask::Asker;
use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::door::{self, failure, find};
use crate::problems::rendered;
use crate::render;
use crate::vehicle_file::why;
use crate::written::{For, path_text, write_new};

/// The file that is offered where somebody is asked for a name.
const USUAL_FILE: &str = "my-vehicle.toml";

// What is asked, and what is done at a keyboard. Its help is the question's own, so it has none here.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    #[command(flatten)]
    question: start::Asked,
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

impl door::Command for Arguments {
    fn run(&self, asked: &Asked) -> Result<Answer, Failure> {
        if let Some(path) = &self.output {
            free(path, self.overwrite)?;
        }
        let question = &self.question;
        let asks = question.symptom.is_none() || self.ask;
        let mut asker = Asker::new(asks, asked.width);
        let mut found =
            if asks { conversation(question, asked, &mut asker)? } else { find(question, ())? };
        let target = target(self, &mut asker);
        found.notes = asker.notes;
        found.written = target.map(|path| write(&path, &found, self.overwrite));
        let exit = if question.wants_attention(&found) { Exit::Finding } else { Exit::Well };
        if asked.json {
            let json = json(&question.shape(&found));
            return Ok(Answer { text: String::new(), json, exit });
        }
        let text = render::text(&question.told(&found), asked);
        Ok(Answer { text, json: serde_json::Value::Null, exit })
    }
}

/// Asks for what is not given, and for reading after reading.
fn conversation(
    question: &start::Asked,
    asked: &Asked,
    asker: &mut Asker,
) -> Result<Found, Failure> {
    let mut given = question.given().map_err(failure)?;
    facts(&mut given, asker);
    let (mut setup, symptom) = given.settled().map_err(|own| failure(own.into()))?;
    let mut lines = question.readings.clone();
    let mut at_hand = true;
    loop {
        let vehicle = setup.vehicle().map_err(failure)?;
        let mut story = Story::new(&vehicle, &setup, symptom);
        match talk(&mut story, &lines, at_hand, asker, asked) {
            Talk::Found(found) => return Ok(*found),
            Talk::Another(other) => {
                lines = story.lines();
                setup = *other;
                at_hand = false;
            }
        }
    }
}

/// Asks for the facts that are not given.
fn facts(given: &mut Given, asker: &mut Asker) {
    while let Some(back) = given.open() {
        let word = asker.choose(&back);
        // What is needed is not guessed for somebody who has gone.
        if back.needed && !asker.listens() {
            return;
        }
        given.answer(word);
    }
}

/// How a talk about a vehicle ends: with what was found, or with the vehicle being of another voltage.
enum Talk {
    Found(Box<Found>),
    Another(Box<Setup>),
}

/// Takes what is told of a vehicle of this kind, and weighs it.
fn talk(
    story: &mut Story<'_>,
    lines: &[String],
    at_hand: bool,
    asker: &mut Asker,
    asked: &Asked,
) -> Talk {
    let mut another = None;
    for line in lines {
        another = heard(story, asker, line, asked).or(another);
    }
    if at_hand && asker.listens() && another.is_none() {
        another = readings_at_hand(story, asker, asked);
    }
    if let Some(setup) = another {
        return Talk::Another(setup);
    }
    let mut found = story.weigh();
    while asker.listens() {
        asker.show(&render::text(&in_between(&found), asked));
        let line = asker.line("A further reading (Enter to end):");
        let Some(line) = line.filter(|own| !own.is_empty()) else { break };
        if let Some(setup) = heard(story, asker, &line, asked) {
            return Talk::Another(setup);
        }
        found = story.weigh();
    }
    Talk::Found(Box::new(found))
}

/// Takes the readings that somebody has already; the vehicle, when they are of one of another voltage.
fn readings_at_hand(story: &mut Story<'_>, asker: &mut Asker, asked: &Asked) -> Option<Box<Setup>> {
    asker.show(&render::text(&story.invitation(), asked));
    while let Some(line) = asker.line(">").filter(|own| !own.is_empty()) {
        let another = heard(story, asker, &line, asked);
        if another.is_some() {
            return another;
        }
    }
    None
}

/// Takes a line, statement by statement; the vehicle, when it turns out to be of one of another voltage.
fn heard(
    story: &mut Story<'_>,
    asker: &mut Asker,
    line: &str,
    asked: &Asked,
) -> Option<Box<Setup>> {
    let mut another = None;
    for part in story.parts(line) {
        another = heard_one(story, asker, &part, asked).or(another);
    }
    another
}

/// Takes one statement, asks what it leaves open and says how it was understood.
fn heard_one(
    story: &mut Story<'_>,
    asker: &mut Asker,
    line: &str,
    asked: &Asked,
) -> Option<Box<Setup>> {
    let mut open = story.take(line);
    while let Some(back) = open {
        open = match story.answer(asker.choose(&back)) {
            Answered::Settled => None,
            Answered::Asks(another) => Some(another),
            Answered::OfAnother(setup) => return Some(setup),
        };
    }
    if let Some(remark) = story.remark() {
        if let Some((problem, read)) = remark.problem {
            let one = std::slice::from_ref(problem);
            let shown = rendered(one, "your line", read, asked.width);
            // How many problems a line has need not be counted.
            let shown = shown.rsplit_once("\n\n").map_or(shown.as_str(), |(first, _)| first);
            asker.show(&format!("{shown}\n"));
        }
        asker.show(&render::text(&remark.told, asked));
    }
    None
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

fn write(path: &Path, found: &Found, overwrite: bool) -> Written {
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
    put(path, &found.file())?;
    let vehicle = path_text(path);
    let Some(readings) = found.readings_file() else {
        return Ok(Files { vehicle, readings: None });
    };
    let own = beside(path);
    put(&own, &readings)?;
    Ok(Files { vehicle, readings: Some(path_text(&own)) })
}

//! `groundloom heat`: how warm conductors and joints get in a state, and after how long.

use std::fmt::Write;
use std::path::PathBuf;

use answers::heat::usual_time;
use failures::warmth::ADIABATIC;
use failures::{ConductorWarmth, Contact, Duty, JointWarmth, Warmth};
use model::{Conductor, Laid, Piece, StateId, Surroundings, Vehicle};
use units::{Amperes, Dimension, Ratio, Seconds, print};

use crate::answer::{Answer, Asked, Exit, Failure, json};
use crate::commands::failures::words::soon;
use crate::names;
use crate::option::Options;
use crate::style::{bold, dim, warning, wrapped};
use crate::table::{ATTENTION, Column, table};
use crate::vehicle_file;

mod plot;

/// Conductors and joints shown when not everything is asked for.
const WARMEST: usize = 10;
/// Below this width the temperature at which things settle is left out, so that names stay whole.
const NARROW: usize = 72;

const CAUTIONS: &str = "Still air, a constant current from cold, insulation and metal equally warm; within \
    about a tenth of published current ratings. What a joint gets is an estimate, good to half, from \
    the heat that it makes beyond a sound one and what its cables and the metal carry off. Cables that are too hot \
    to hold are burning hot: switch off and let them cool before touching.";

/// How warm conductors and joints get in an operating state, and how soon.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// The operating state.
    #[arg(long)]
    state: String,
    /// How long it lasts, such as `15 s`; the state's usual duration when left out.
    #[arg(long = "for", value_name = "TIME")]
    time: Option<String>,
    /// Share of the time that the current flows, such as `30 %`; that of each load when left out.
    #[arg(long, requires = "period", value_name = "SHARE")]
    duty: Option<String>,
    /// From one beginning of the current to the next, such as `2 min`.
    #[arg(long, requires = "duty", value_name = "TIME")]
    period: Option<String>,
    /// Write temperature over time of the warmest conductors as an SVG picture.
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Show everything that carries current.
    #[arg(long)]
    all: bool,
}

pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let state = vehicle_file::state(vehicle, &arguments.state)?;
    let (time, duty) = options(arguments, vehicle, state)?;
    let warmth = Warmth::new(vehicle, state, time, duty);
    let mut text = text(vehicle, &warmth, duty, arguments.all, asked);
    if let Some(path) = &arguments.svg {
        let picture = plot::plot(vehicle, &warmth, asked.units);
        let written = std::fs::OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(path)
            .and_then(|mut file| std::io::Write::write_all(&mut file, picture.as_bytes()));
        if let Err(error) = written {
            let expected = match error.kind() {
                std::io::ErrorKind::NotFound => "a file in a folder that exists",
                _ => "the name of a file that does not exist yet",
            };
            return Err(Failure::new(
                format!("{}: {}", path.display(), vehicle_file::why(&error)),
                expected,
            ));
        }
        let _ = writeln!(text, "{} is written", path.display());
    }
    let hot = warmth.conductors.iter().any(|own| own.at_end > own.limit)
        || warmth.joints.iter().any(|own| own.contact.is_some());
    Ok(Answer {
        text,
        json: json(&answers::heat::of(vehicle, &warmth, duty)),
        exit: if hot || !warmth.found { Exit::Finding } else { Exit::Well },
    })
}

fn options(
    arguments: &Arguments,
    vehicle: &Vehicle,
    state: StateId,
) -> Result<(Seconds, Option<Duty>), Failure> {
    let mut options = Options::default();
    let mut time = |option: &str, text: &Option<String>| {
        let text = text.as_deref()?;
        options.positive(option, text, Dimension::Time, Seconds)
    };
    let (asked, period) = (time("--for", &arguments.time), time("--period", &arguments.period));
    let share = arguments
        .duty
        .as_deref()
        .and_then(|text| options.positive("--duty", text, Dimension::Ratio, Ratio));
    if share.is_some_and(|share| share > Ratio(1.0)) {
        let text = arguments.duty.as_deref().unwrap_or_default();
        options.refuse(format!("`--duty {text}` is more than all the time"), "at most `100 %`");
    }
    if !options.all_right() {
        return Err(options.failure());
    }
    let duty = share.zip(period).map(|(share, period)| Duty { share, period });
    Ok((asked.unwrap_or_else(|| usual_time(vehicle, state)), duty))
}

fn text(
    vehicle: &Vehicle,
    warmth: &Warmth,
    duty: Option<Duty>,
    all: bool,
    asked: &Asked,
) -> String {
    let state = &vehicle.state(warmth.state).name;
    let time = print::duration(warmth.time);
    let mut text = format!("{} · {}\n", bold(&vehicle.name), bold(format!("{state}, for {time}")));
    if !warmth.found {
        let _ = writeln!(
            text,
            "{} no operating point was found; what follows is the last attempt",
            warning("warning:")
        );
    }
    if warmth.conductors.is_empty() {
        text.push_str("\nno conductor whose size and length are known carries any current\n");
    } else {
        conductors(&mut text, vehicle, warmth, duty, all, asked);
    }
    shorts(&mut text, vehicle, warmth, asked);
    joints(&mut text, vehicle, warmth, all, asked);
    let _ = writeln!(text, "\n{}", dim(wrapped(CAUTIONS, asked.width, 0)));
    text
}

fn conductors(
    text: &mut String,
    vehicle: &Vehicle,
    warmth: &Warmth,
    duty: Option<Duty>,
    all: bool,
    asked: &Asked,
) {
    /// The column of temperatures at which things settle.
    const SETTLES: usize = 4;
    let narrow = asked.width < NARROW && duty.is_none();
    let shown = if all { warmth.conductors.len() } else { WARMEST };
    let degrees = |own| asked.units.temperature(own);
    let rows = warmth
        .conductors
        .iter()
        .take(shown)
        .map(|own| {
            let mark = if own.at_end > own.limit { ATTENTION } else { "" };
            let rounds = own.cycle.map(|round| {
                // Kept in one piece where the table wraps.
                format!("{}\u{a0}to\u{a0}{}", degrees(round.coolest), degrees(round.warmest))
                    .replace(' ', "\u{a0}")
            });
            let mut row = vec![
                format!("{mark}{}", names::piece(vehicle, Piece::Conductor(own.conductor))),
                print::amperes(own.amps),
                print::amperes(own.bears),
                degrees(own.at_end),
                rounds.unwrap_or_else(|| own.settles.map_or_else(|| "melts".to_owned(), degrees)),
                degrees(own.limit),
                own.endurance.limit_after.map_or_else(|| "never".to_owned(), soon),
            ];
            if narrow {
                row.remove(SETTLES);
            }
            row
        })
        .collect();
    let mut columns = vec![
        Column::Left("conductor"),
        Column::Right("carries"),
        Column::Right("bears"),
        Column::Right("reaches"),
        Column::Right(if duty.is_some() { "round after round" } else { "settles" }),
        Column::Right("limit"),
        Column::Right("limit in"),
    ];
    if narrow {
        columns.remove(SETTLES);
    }
    let _ = write!(text, "\n{}", table(&columns, rows, asked.width));
    let mut notes = Vec::new();
    if warmth.conductors.len() > shown {
        notes.push(format!(
            "{} more carry current; `--all` shows them",
            warmth.conductors.len() - shown
        ));
    }
    notes.push(air(vehicle, &warmth.conductors[..shown.min(warmth.conductors.len())], asked));
    let leads: Vec<&ConductorWarmth> =
        warmth.conductors.iter().take(shown).filter(|own| own.duty < Ratio(1.0)).collect();
    if duty.is_none() && !leads.is_empty() {
        let words: Vec<String> = leads
            .iter()
            .map(|own| {
                format!("{} {}", vehicle.conductor(own.conductor).id, print::percent(own.duty))
            })
            .collect();
        notes.push(format!("settles with the duty of its load: {}", words.join(", ")));
    }
    for note in notes {
        let _ = writeln!(text, "{}", dim(wrapped(&note, asked.width, 0)));
    }
}

/// What surrounds the conductors shown: air, metal, bundles.
fn air(vehicle: &Vehicle, shown: &[ConductorWarmth], asked: &Asked) -> String {
    let named = |wanted: &dyn Fn(&Conductor) -> bool| {
        let conductors = shown.iter().map(|own| vehicle.conductor(own.conductor));
        let names = conductors.filter(|own| wanted(own)).map(|own| own.id.as_str());
        names.collect::<Vec<_>>().join(", ")
    };
    let beside_engine = |own: &Conductor| own.surroundings == Surroundings::EngineSpace;
    let degrees = |wanted: bool| {
        let own =
            shown.iter().find(|own| beside_engine(vehicle.conductor(own.conductor)) == wanted);
        own.map(|own| asked.units.temperature(own.air))
    };
    let mut parts = Vec::new();
    parts.push(match (degrees(true), degrees(false)) {
        (Some(engine), Some(other)) if engine != other => format!(
            "air of {engine} in the engine space about {}; of {other} about the rest",
            named(&beside_engine)
        ),
        (Some(engine), None) => format!("air of {engine} in the engine space about all of them"),
        (_, other) => format!("air of {} about all of them", other.unwrap_or_default()),
    });
    let metal = named(&|own| own.laid == Laid::OnMetal);
    if !metal.is_empty() {
        parts.push(format!("clipped along metal: {metal}"));
    }
    let bundled: Vec<String> = shown
        .iter()
        .map(|own| vehicle.conductor(own.conductor))
        .filter(|own| own.bundle > 1)
        .map(|own| format!("{} (of {})", own.id, own.bundle))
        .collect();
    if !bundled.is_empty() {
        parts.push(format!("in a bundle: {}", bundled.join(", ")));
    }
    parts.join("; ")
}

/// For short times: I²t against k²S².
fn shorts(text: &mut String, vehicle: &Vehicle, warmth: &Warmth, asked: &Asked) {
    if warmth.time > ADIABATIC {
        return;
    }
    let mut worst: Vec<_> = warmth
        .conductors
        .iter()
        .filter_map(|own| own.short.map(|short| (own, short)))
        .map(|(own, short)| (own, short, Ratio(short.integral.0 / short.bears.0)))
        .collect();
    worst.sort_by(|a, b| b.2.0.total_cmp(&a.2.0));
    let Some((own, short, share)) = worst.first() else { return };
    let words = format!(
        "I²t against k²S², nothing lost (IEC 60949): {} uses most, {} of {} up to {}, {}. A current of \
         {} for {} would use it up.",
        vehicle.conductor(own.conductor).id,
        integral(short.integral.0),
        integral(short.bears.0),
        asked.units.temperature(short.last),
        print::percent(*share),
        print::amperes(Amperes((short.bears.0 / warmth.time.0).sqrt())),
        print::duration(warmth.time)
    );
    let _ = writeln!(text, "{}", wrapped(&words, asked.width, 0));
}

fn integral(value: f64) -> String {
    match value {
        value if value >= 1e6 => format!("{} (kA)²s", print::plain(value / 1e6, 3)),
        value => format!("{} A²s", print::plain(value, 3)),
    }
}

fn joints(text: &mut String, vehicle: &Vehicle, warmth: &Warmth, all: bool, asked: &Asked) {
    let telling = |own: &&JointWarmth| all || own.telling();
    let shown: Vec<&JointWarmth> = warmth.joints.iter().filter(telling).collect();
    if shown.is_empty() {
        let _ = writeln!(text, "\nno joint makes as much as half a watt of heat");
        return;
    }
    let most = if all { shown.len() } else { WARMEST };
    let rows = shown
        .iter()
        .take(most)
        .map(|own| {
            let (mark, word) = match own.contact {
                None => ("", String::new()),
                Some(Contact::Softens) => {
                    let from = asked.units.temperature(own.softens);
                    (ATTENTION, format!("too hot from {from} on"))
                }
                Some(Contact::Melts) => (ATTENTION, "melts".to_owned()),
            };
            vec![
                format!("{mark}{}", names::piece(vehicle, Piece::Joint(own.joint))),
                print::loss(own.volts),
                print::watts(own.watts),
                asked.units.temperature(own.reaches),
                word,
            ]
        })
        .collect();
    let columns = [
        Column::Left("joint"),
        Column::Right("loses"),
        Column::Right("heat"),
        Column::Right("gets"),
        Column::Left(""),
    ];
    let _ = write!(text, "\n{}", table(&columns, rows, asked.width));
    if shown.len() > most {
        let _ = writeln!(text, "{}", dim(format!("and {} more", shown.len() - most)));
    }
    let sheet = names::bolt_sheet(vehicle, shown[0].joint);
    let _ = writeln!(text, "{}", dim(wrapped(&sheet, asked.width, 0)));
}

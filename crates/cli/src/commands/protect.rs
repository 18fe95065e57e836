//! `groundloom protect`: which fuse protects which conductor, over the whole range of fault currents.

use std::path::PathBuf;

use answers::cautions::{Cautions, told};
use model::{ConductorId, InlineId, Piece, StateId, Vehicle};
use protection::{
    Broken, Carried, Clearing, Custom, Feed, Harm, Origin, Protection, Rule, Scope, Source, Touch,
    Verdict, Worst, protect,
};
use serde_json::{Value, json};
use units::{Amperes, Dimension, Ohms};

use crate::answer::{Answer, Asked, Exit, Failure};
use crate::option::Options;
use crate::vehicle_file;

mod at;
mod text;

/// Vehicles with more conductors are looked at piece by piece.
const MOST_CONDUCTORS: usize = 2_000;

const RETURNS: &str = "Nothing stands in a return to open it; the fuses before a fault protect it. \
    Returns are tried with dead shorts alone.";

const BEFORE: &str = "Before you work on a high-current cable: every battery isolated, grounded \
    side off first and on last, rings off, no spark near a battery (hydrogen). A fuse is replaced \
    by one of the same rating and kind, never by a larger one. Not for anything above 60 V.";

const CODES: &str = "The maker's instructions come first. Boats, recreational and emergency vehicles \
    have codes of their own, which may ask for more: this is no proof of meeting any of them.";

/// Which fuse protects which conductor, from the dead short down to what a corroded path lets flow.
#[derive(clap::Args, Debug)]
pub(crate) struct Arguments {
    /// The vehicle file, or `-` for standard input.
    file: PathBuf,
    /// One operating state; all that the file has when left out.
    #[arg(long)]
    state: Option<String>,
    /// Only this conductor; may be given several times.
    #[arg(long = "conductor", value_name = "NAME")]
    conductors: Vec<String>,
    /// Prospective fault current at this point, and what opens.
    #[arg(long, value_name = "POINT", conflicts_with = "conductors")]
    at: Option<String>,
    /// Resistance of the fault's own path at that point, such as `20 mΩ`; a dead short when left out.
    #[arg(long, value_name = "RESISTANCE", requires = "at")]
    through: Option<String>,
    /// Let curves that the catalogue recalls, unconfirmed, stand in where the file has none.
    #[arg(long)]
    recalled_curves: bool,
    /// Show the conductors that are protected too.
    #[arg(long)]
    all: bool,
}

/// Answers with what protection every conductor lacks.
///
/// JSON: `feeds`, `returns`, `fuses`, `dead`, `notes`; with `--at` instead: `at`, a list.
pub(crate) fn run(arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(&arguments.file)?;
    let vehicle = opened.vehicle(asked.width)?;
    let mut options = Options::default();
    let state = arguments.state.as_deref().map(|name| vehicle_file::state(vehicle, name));
    let states: Vec<StateId> = state.and_then(|state| options.keep(state)).into_iter().collect();
    let conductors: Vec<ConductorId> = arguments
        .conductors
        .iter()
        .filter_map(|name| conductor(vehicle, name, &mut options))
        .collect();
    let at = arguments.at.as_deref().and_then(|name| {
        let points = vehicle.points.iter().map(|point| point.id.as_str());
        options.named("--at", name, "point", vehicle.point_named(name), points)
    });
    let through = arguments
        .through
        .as_deref()
        .and_then(|text| options.positive("--through", text, Dimension::Resistance, Ohms));
    if vehicle.conductors.len() > MOST_CONDUCTORS && arguments.at.is_none() {
        options.refuse(
            format!("{} conductors are too many for one answer", vehicle.conductors.len()),
            "one point of them, `--at POINT`",
        );
    }
    if !options.all_right() {
        return Err(options.failure());
    }
    let scope = Scope { states, conductors, recalled: arguments.recalled_curves };
    if let Some(point) = at {
        return Ok(at::answer(vehicle, point, through, &scope, asked));
    }
    let found = protect(vehicle, &scope);
    let exit = if finding(&found) { Exit::Finding } else { Exit::Well };
    Ok(Answer {
        text: text::text(vehicle, &found, arguments, asked),
        json: answer_json(vehicle, &found),
        exit,
    })
}

fn conductor(vehicle: &Vehicle, name: &str, options: &mut Options) -> Option<ConductorId> {
    let found = match vehicle.piece_named(name) {
        Some(Piece::Conductor(id)) => Some(id),
        _ => None,
    };
    let names = vehicle.conductors.iter().map(|own| own.id.as_str());
    options.named("--conductor", name, "conductor", found, names)
}

/// True when something wants attention that custom does not excuse.
fn finding(found: &Protection) -> bool {
    let bad = |feed: &Feed| match feed.verdict {
        Verdict::Ages(_) | Verdict::Burns(_) => true,
        Verdict::Nothing { .. } => feed.custom.is_none(),
        _ => false,
    };
    let harmed = |own: &Carried| own.fused.is_some_and(|worst| worst.harm != Harm::None);
    found.feeds.iter().any(bad)
        || found.returns.iter().any(harmed)
        || found.fuses.iter().any(overtaxed)
}

fn overtaxed(fuse: &Broken) -> bool {
    fuse.capacity.is_some_and(|capacity| fuse.most > capacity)
}

/// The name of a source.
fn source(vehicle: &Vehicle, source: Source) -> &str {
    match source {
        Source::Battery(id) => &vehicle.battery(id).id,
        Source::Regulated(id) => &vehicle.regulated_source(id).id,
    }
}

/// Every fuse that guards a conductor, each once.
fn guards(feed: &Feed) -> Vec<InlineId> {
    let mut all = Vec::new();
    for guard in feed.fed.supplies.iter().flat_map(|supply| &supply.guards) {
        if !all.contains(&guard.fuse) {
            all.push(guard.fuse);
        }
    }
    all
}

fn notes() -> [&'static str; 3] {
    [RETURNS, BEFORE, CODES]
}

pub(crate) fn verdict_word(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Protected => "protected",
        Verdict::Harmless => "harmless",
        Verdict::Ages(_) => "ages",
        Verdict::Burns(_) => "burns",
        Verdict::Nothing { .. } => "nothing opens",
        Verdict::CurveMissing => "curve missing",
        Verdict::Unjudged => "not judged",
    }
}

fn custom_word(custom: Custom) -> &'static str {
    match custom {
        Custom::Starter => "starter cable",
        Custom::Charging => "charging cable",
        Custom::BatteryLink => "battery link",
        Custom::UpToFuses => "up to the first fuses",
    }
}

fn touch_word(vehicle: &Vehicle, touch: Touch) -> String {
    match touch {
        Touch::Strongest => "best metal".to_owned(),
        Touch::Weakest => "worst metal".to_owned(),
        Touch::Metal(point) => vehicle.point(point).id.clone(),
        Touch::Inside(load) => format!("inside {}", vehicle.load(load).id),
    }
}

fn harm_json(harm: Harm) -> Value {
    let rule = harm.rule().map(Rule::word);
    match harm {
        Harm::None => json!(null),
        Harm::Ages { hottest } => json!({
            "kind": "ages", "kelvin": hottest.0, "after_seconds": null, "rule": rule,
        }),
        Harm::Burns { limit, after, .. } => json!({
            "kind": "burns", "kelvin": limit.0, "after_seconds": after.0, "rule": rule,
        }),
    }
}

fn clearing_json(clearing: Clearing) -> Value {
    match clearing {
        Clearing::By(time) => json!({ "known": true, "seconds": time.0 }),
        Clearing::Never => json!({ "known": true, "seconds": null }),
        Clearing::Unknown => json!({ "known": false, "seconds": null }),
    }
}

fn origin_json(origin: &Origin) -> Value {
    match origin {
        Origin::File(source) => json!({ "from": "file", "source": source }),
        Origin::Recalled(kind) => json!({ "from": "recalled", "source": kind }),
        Origin::Missing => json!(null),
    }
}

fn answer_json(vehicle: &Vehicle, found: &Protection) -> Value {
    let amps = |amps: Amperes| amps.0;
    let feeds = found.feeds.iter().map(|feed| {
        let fed = &feed.fed;
        let (gap, harm) = match feed.verdict {
            Verdict::Ages(gap) | Verdict::Burns(gap) => (Some(gap), gap.harm),
            Verdict::Nothing { burns } => (None, burns),
            _ => (None, Harm::None),
        };
        let supplies = fed.supplies.iter().map(|supply| {
            let fuses = supply.guards.iter().map(
                |guard| json!({ "fuse": vehicle.inline(guard.fuse).id, "share": guard.share.0 }),
            );
            json!({
                "source": source(vehicle, supply.source),
                "limit_amps": supply.limit.map(amps),
                "fuses": fuses.collect::<Vec<_>>(),
            })
        });
        json!({
            "conductor": vehicle.conductor(fed.conductor).id,
            "verdict": verdict_word(&feed.verdict),
            "custom": feed.custom.map(custom_word),
            "state": vehicle.state(fed.state).id,
            "near": vehicle.point(fed.near).id,
            "far": vehicle.point(fed.far).id,
            "bears_amps": feed.lasting.map(amps),
            "near_short_amps": amps(fed.near_short),
            "far_short_amps": amps(fed.far_short),
            "most_short_amps": amps(feed.most),
            "least_short_amps": amps(feed.least),
            "supplies": supplies.collect::<Vec<_>>(),
            "gap": gap.map(|gap| json!({
                "from_amps": amps(gap.from),
                "to_amps": amps(gap.to),
                "again_from_amps": gap.again.map(amps),
                "least_path_ohms": gap.path.map(|path| path.0.0),
                "most_path_ohms": gap.path.map(|path| path.1.0),
            })),
            "harm": harm_json(harm),
        })
    });
    let worst = |worst: &Worst| {
        json!({
            "at": vehicle.point(worst.fault.at).id,
            "home": vehicle.point(worst.fault.home).id,
            "state": vehicle.state(worst.state).id,
            "amps": amps(worst.amps),
            "cleared": clearing_json(worst.clearing),
            "harm": harm_json(worst.harm),
        })
    };
    let returns = found.returns.iter().map(|own| {
        json!({
            "conductor": vehicle.conductor(own.conductor).id,
            "bears_amps": own.lasting.map(amps),
            "most_short_amps": amps(own.most),
            "fused": own.fused.as_ref().map(worst),
            "unfused": own.unfused.as_ref().map(|(own, _)| worst(own)),
            "unfused_points": own.unfused.as_ref().map_or(0, |(_, points)| points.len()),
            "curve_missing": own.unknown.as_ref().map(worst),
        })
    });
    let fuses = found.fuses.iter().map(|own| {
        json!({
            "fuse": vehicle.inline(own.fuse).id,
            "rating_amps": protection::feeds::rating(vehicle, own.fuse).map(amps),
            "most_short_amps": amps(own.most),
            "breaking_capacity_amps": own.capacity.map(amps),
            "curve": origin_json(found.curves.origin(own.fuse)),
        })
    });
    json!({
        "format": 1,
        "feeds": feeds.collect::<Vec<_>>(),
        "returns": returns.collect::<Vec<_>>(),
        "fuses": fuses.collect::<Vec<_>>(),
        "dead": found.dead.iter().map(|id| &vehicle.conductor(*id).id).collect::<Vec<_>>(),
        "unsolved": found.unsolved,
        "notes": notes(),
        "cautions": told(&Cautions::of(vehicle).of_fuses()),
    })
}

//! `groundloom size FILE`: a new conductor between two points, tried in the network as it is.

use std::fmt::Write;
use std::path::Path;

use answers::arguments::whole_number;
use catalogue::{Catalogue, Material, Row};
use model::{ConductorId, LoadId, Piece, PointId, StateId, Vehicle};
use protection::Scope;
use protection::sizing::{Asked as Wanted, Tried, try_conductor};
use units::{Amperes, Dimension, Metres, Ratio, Volts};

use super::families::{Candidate, Family, families};
use super::{Arguments, USUAL_INSULATION};
use crate::answer::{Answer, Asked, Exit, Failure};
use crate::commands::failures::words;
use crate::option::Options;
use crate::vehicle_file;

mod said;

/// What is asked of a conductor in a vehicle file.
#[derive(clap::Args, Debug, Default, Clone)]
pub(crate) struct Network {
    /// In a vehicle file: the point where the conductor begins, towards the source.
    #[arg(long, requires = "file")]
    from: Option<String>,
    /// In a vehicle file: the point where it ends.
    #[arg(long, requires = "file")]
    to: Option<String>,
    /// In a vehicle file: a load that must get at least `--least`.
    #[arg(long, requires_all = ["file", "least"])]
    load: Option<String>,
    /// The least voltage of that load, such as `11.5 V`.
    #[arg(long, requires = "load")]
    least: Option<String>,
    /// In a vehicle file: rating of a new fuse at the conductor's beginning.
    #[arg(long, requires = "file")]
    fuse: Option<String>,
    /// Kind of that fuse; the file's curve for this kind is used.
    #[arg(long, requires = "fuse", default_value = "bolted fuse")]
    fuse_kind: String,
    /// In a vehicle file: air that it runs through, `engine space`, `inside` or `outside`.
    #[arg(long, requires = "file")]
    surroundings: Option<String>,
    /// In a vehicle file: how it lies, `free` in the air or `on metal`.
    #[arg(long, requires = "file")]
    laid: Option<String>,
    /// In a vehicle file: number of loaded conductors in its bundle, itself included.
    #[arg(long, requires = "file", value_parser = whole_number::<u32>)]
    bundle: Option<u32>,
    /// In a vehicle file: one operating state; all when left out.
    #[arg(long, requires = "file")]
    state: Option<String>,
    /// Price of a metre of one size, `'35 mm²=9.80'` or `'aluminium 35 mm²=4.10'`; may be repeated.
    #[arg(long = "price", value_name = "SIZE=AMOUNT", requires = "file")]
    prices: Vec<String>,
    /// Let curves that the catalogue recalls, unconfirmed, stand in where the file has none.
    #[arg(long, requires = "file")]
    recalled_curves: bool,
}

const FUSE_KINDS: [(&str, &str); 6] = [
    ("blade fuse", "blade fuse"),
    ("strip fuse", "strip fuse"),
    ("bolted fuse", "bolted fuse"),
    ("fusible link", "fusible link"),
    ("breaker", "breaker"),
    ("fuse", "fuse"),
];
const SURROUNDINGS: [(&str, &str); 3] =
    [("engine space", "engine space"), ("inside", "inside"), ("outside", "outside")];
const LAID: [(&str, &str); 2] = [("free", "free"), ("on metal", "on metal")];

/// What was asked, read and checked.
pub(super) struct Question {
    pub name: String,
    pub fuse_name: String,
    pub from: PointId,
    pub to: PointId,
    pub length: Metres,
    pub drop: Option<Volts>,
    pub load: Option<(LoadId, Volts)>,
    pub materials: Vec<&'static Material>,
    pub insulation: String,
    pub joint: String,
    pub fuse: Option<(Amperes, &'static str)>,
    pub surroundings: Option<&'static str>,
    pub laid: Option<&'static str>,
    pub bundle: Option<u32>,
    pub prices: Vec<(String, f64)>,
    pub scope: Scope,
}

/// A size that was tried.
pub(super) struct Size {
    pub candidate: Candidate,
    pub tried: Tried,
    pub burnt_by: Option<BurntBy>,
}

impl Size {
    fn does(&self) -> bool {
        self.tried.reasons.is_empty() && self.burnt_by.is_none()
    }
}

/// A failure elsewhere that would burn the conductor: it must not become a hidden fuse.
pub(super) struct BurntBy {
    /// Such as `main-negative opens`.
    pub fault: String,
    pub state: String,
    pub endurance: failures::Endurance,
}

/// The sizes of one family in one metal, thin to thick, up to the first that does.
pub(super) struct Choice {
    pub material: &'static Material,
    pub family: Family,
    pub smaller: Vec<Size>,
    pub chosen: Option<Size>,
}

pub(super) fn run(path: &Path, arguments: &Arguments, asked: &Asked) -> Result<Answer, Failure> {
    let opened = vehicle_file::open(path)?;
    let vehicle = opened.vehicle(asked.width)?;
    let question = read(vehicle, arguments)?;
    let mut choices = Vec::new();
    for material in &question.materials {
        for (family, candidates) in families(material) {
            let choice = choose(vehicle, &opened.text, &question, material, family, candidates)?;
            choices.push(choice);
        }
    }
    let before = without(vehicle, &question);
    let unmet = choices.iter().all(|choice| choice.chosen.is_none());
    Ok(Answer {
        text: said::text(vehicle, &question, &choices, &before, asked),
        json: said::json(vehicle, &question, &choices, &before),
        exit: if unmet { Exit::Finding } else { Exit::Well },
    })
}

fn read(vehicle: &Vehicle, arguments: &Arguments) -> Result<Question, Failure> {
    let own = &arguments.network;
    let catalogue = Catalogue::standard();
    let mut options = Options::default();
    let from = point(vehicle, "--from", own.from.as_deref(), &mut options);
    let to = point(vehicle, "--to", own.to.as_deref(), &mut options);
    if let (Some(one), Some(other)) = (from, to)
        && one == other
    {
        options.refuse("`--from` and `--to` are the same point", "two different points");
    }
    let length = options.positive("--length", &arguments.length, Dimension::Length, Metres);
    let drop = drop(vehicle, arguments, &mut options);
    let load = own.load.as_deref().and_then(|name| {
        let loads = vehicle.loads.iter().map(|load| load.id.as_str());
        options.named("--load", name, "load", vehicle.load_named(name), loads)
    });
    let least = own
        .least
        .as_deref()
        .and_then(|text| options.positive("--least", text, Dimension::Voltage, Volts));
    let materials: Vec<&'static Material> = arguments
        .material
        .split(',')
        .filter_map(|name| options.row("--material", name.trim(), &catalogue.materials))
        .collect();
    let insulation = arguments.insulation.as_deref().unwrap_or(USUAL_INSULATION);
    let insulation = options.row("--insulation", insulation, &catalogue.insulation);
    let joint = options.row("--joint", &arguments.joint, &catalogue.joint_kinds);
    let kind = options.word("--fuse-kind", &own.fuse_kind, &FUSE_KINDS);
    let fuse = own
        .fuse
        .as_deref()
        .and_then(|text| options.positive("--fuse", text, Dimension::Current, Amperes));
    let surroundings = own
        .surroundings
        .as_deref()
        .and_then(|text| options.word("--surroundings", text, &SURROUNDINGS));
    let laid = own.laid.as_deref().and_then(|text| options.word("--laid", text, &LAID));
    if own.bundle.is_some_and(|bundle| !(1..=500).contains(&bundle)) {
        options.refuse("`--bundle` is out of range", "a number of conductors from 1 to 500");
    }
    let prices = own.prices.iter().filter_map(|text| price(text, &mut options)).collect();
    let state = own.state.as_deref().map(|name| vehicle_file::state(vehicle, name));
    let states: Vec<StateId> = state.and_then(|state| options.keep(state)).into_iter().collect();
    let (Some(from), Some(to), Some(length), true) = (from, to, length, options.all_right()) else {
        return Err(options.failure());
    };
    let (Some(insulation), Some(joint)) = (insulation, joint) else {
        return Err(options.failure());
    };
    let name = free_name(vehicle);
    Ok(Question {
        fuse_name: format!("{name}-fuse"),
        name,
        from,
        to,
        length,
        drop,
        load: load.zip(least),
        materials,
        insulation: insulation.key().to_owned(),
        joint: joint.key().to_owned(),
        fuse: fuse.zip(kind),
        surroundings,
        laid,
        bundle: own.bundle,
        prices,
        scope: Scope { states, conductors: Vec::new(), recalled: own.recalled_curves },
    })
}

fn point(
    vehicle: &Vehicle,
    option: &str,
    name: Option<&str>,
    options: &mut Options,
) -> Option<PointId> {
    let Some(name) = name else {
        options.refuse(format!("`{option}` is not given"), "a point of the vehicle");
        return None;
    };
    let points = vehicle.points.iter().map(|point| point.id.as_str());
    options.named(option, name, "point", vehicle.point_named(name), points)
}

/// The most between the two points; in a vehicle it need not be asked for.
fn drop(vehicle: &Vehicle, arguments: &Arguments, options: &mut Options) -> Option<Volts> {
    if let Some(text) = &arguments.drop {
        return options.positive("--drop", text, Dimension::Voltage, Volts);
    }
    let text = arguments.percent.as_deref()?;
    let share = options.positive("--percent", text, Dimension::Ratio, Ratio)?;
    let nominal = match arguments.nominal.as_deref() {
        Some(text) => options.positive("--nominal", text, Dimension::Voltage, Volts)?,
        None => vehicle.nominal,
    };
    Some(nominal * share.0)
}

fn price(text: &str, options: &mut Options) -> Option<(String, f64)> {
    let read = text.rsplit_once('=').and_then(|(size, amount)| {
        let materials = Catalogue::standard().materials.iter().map(Row::key);
        let metal = materials.filter(|key| size.trim().starts_with(&format!("{key} ")));
        let metal = metal.max_by_key(|key| key.len());
        let rest = metal.map_or(size.trim(), |key| size.trim()[key.len()..].trim());
        let size = units::WireSize::parse(rest).ok()?;
        let size = metal.map_or_else(|| size.to_string(), |key| format!("{key} {size}"));
        let amount: f64 = amount.trim().replace(',', ".").parse().ok()?;
        (amount.is_finite() && amount > 0.0).then_some((size, amount))
    });
    if read.is_none() {
        options.refuse(
            format!("`--price {text}` is not a size and an amount"),
            "a size, `=` and the price of a metre, such as `35 mm²=9.80`",
        );
    }
    read
}

/// A name for the new conductor that nothing in the vehicle has.
fn free_name(vehicle: &Vehicle) -> String {
    let taken = |name: &str| {
        let prefix = format!("{name}-fuse");
        vehicle.piece_named(name).is_some()
            || vehicle.piece_named(&prefix).is_some()
            || vehicle.points.iter().any(|point| point.id.starts_with(name))
    };
    (1..).map(|number| format!("new-{number}")).find(|name| !taken(name)).unwrap_or_default()
}

/// The vehicle with the conductor in it, written into its file and read like the rest.
fn with(
    vehicle: &Vehicle,
    text: &str,
    question: &Question,
    material: &Material,
    size: &str,
) -> Result<Vehicle, Failure> {
    let quoted = |text: &str| toml_text(text);
    let (from, to) = (&vehicle.point(question.from).id, &vehicle.point(question.to).id);
    let mut written = format!("{text}\n");
    let joint = quoted(&question.joint);
    let mut begin = from.clone();
    if let Some((rating, kind)) = question.fuse {
        let _ = writeln!(
            written,
            "[fuses.{}]\nfrom = {}\nrating = \"{} A\"\nkind = {}",
            question.fuse_name,
            quoted(from),
            rating.0,
            quoted(kind)
        );
        begin = format!("{}/out", question.fuse_name);
    }
    let _ = writeln!(
        written,
        "[conductors.{}]\nfrom = {{ point = {}, joint = {joint} }}\nto = {{ point = {}, joint = {joint} }}\n\
         size = {}\nlength = \"{} m\"\nmaterial = {}\nkind = \"cable\"\ninsulation = {}",
        question.name,
        quoted(&begin),
        quoted(to),
        quoted(size),
        question.length.0,
        quoted(material.key()),
        quoted(&question.insulation),
    );
    if let Some(surroundings) = question.surroundings {
        let _ = writeln!(written, "surroundings = {}", quoted(surroundings));
    }
    if let Some(laid) = question.laid {
        let _ = writeln!(written, "laid = {}", quoted(laid));
    }
    if let Some(bundle) = question.bundle {
        let _ = writeln!(written, "bundle = {bundle}");
    }
    let reading = file::read(written.as_bytes());
    reading.vehicle.ok_or_else(|| {
        let told =
            reading.problems.iter().find(|problem| problem.severity == model::Severity::Error);
        let why = told.map_or_else(String::new, |problem| problem.what.clone());
        Failure::new(
            format!("this conductor cannot be in this vehicle: {why}"),
            "two points that a conductor may join",
        )
    })
}

/// A text as TOML has it.
fn toml_text(text: &str) -> String {
    let mut quoted = String::from('"');
    for letter in text.chars() {
        match letter {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(letter);
            }
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            _ => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

fn choose(
    before: &Vehicle,
    text: &str,
    question: &Question,
    material: &'static Material,
    family: Family,
    candidates: Vec<Candidate>,
) -> Result<Choice, Failure> {
    let mut choice = Choice { material, family, smaller: Vec::new(), chosen: None };
    for candidate in candidates {
        let mut vehicle = with(before, text, question, material, &candidate.size.to_string())?;
        let Some(Piece::Conductor(id)) = vehicle.piece_named(&question.name) else { continue };
        vehicle.conductors[id.index()].resistance_at_20 = candidate.per_metre * question.length.0;
        let tried = try_conductor(&vehicle, id, &wanted(&vehicle, question, id));
        let burnt_by = burnt_by(&vehicle, id, &question.scope.states);
        let size = Size { candidate, tried, burnt_by };
        if size.does() {
            choice.chosen = Some(size);
            break;
        }
        choice.smaller.push(size);
    }
    Ok(choice)
}

fn burnt_by(vehicle: &Vehicle, id: ConductorId, states: &[StateId]) -> Option<BurntBy> {
    let all: Vec<StateId> = (0..vehicle.states.len()).map(StateId::at).collect();
    let states = if states.is_empty() { &all } else { states };
    let hidden = failures::Analysis::new(vehicle, states).burnt_on_duty(id)?;
    Some(BurntBy {
        fault: words::fault(vehicle, hidden.fault),
        state: vehicle.state(hidden.state).id.clone(),
        endurance: hidden.endurance,
    })
}

/// The same question about the vehicle with the conductor, whose points and states keep their places.
fn wanted(vehicle: &Vehicle, question: &Question, id: ConductorId) -> Wanted {
    // Points that the new fuse brought come after those of devices: find the two by their names again.
    let conductor = vehicle.conductor(id);
    let far = vehicle.joint(conductor.to).point;
    let near = match vehicle.piece_named(&question.fuse_name) {
        Some(Piece::Inline(fuse)) => vehicle.inline(fuse).from,
        _ => vehicle.joint(conductor.from).point,
    };
    Wanted {
        drop: Some((near, far, question.drop.unwrap_or(Volts(f64::MAX)))),
        load: question.load,
        scope: question.scope.clone(),
    }
}

/// What lies between the two points without the conductor, state by state, at its worst.
fn without(vehicle: &Vehicle, question: &Question) -> Option<(Volts, StateId)> {
    let mut network = network::Network::new(vehicle);
    let states: Vec<StateId> = if question.scope.states.is_empty() {
        (0..vehicle.states.len()).map(StateId::at).collect()
    } else {
        question.scope.states.clone()
    };
    let across = states.into_iter().filter_map(|state| {
        let point = network.operating_point(state);
        Some(((point.point(question.from)? - point.point(question.to)?).abs(), state))
    });
    across.max_by(|a, b| a.0.0.total_cmp(&b.0.0))
}

#[cfg(test)]
mod tests;

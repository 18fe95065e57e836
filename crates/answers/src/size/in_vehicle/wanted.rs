//! What is asked of a conductor in a vehicle, read and checked.

use catalogue::{Catalogue, Material, Row};
use model::{LoadId, PointId, StateId, Vehicle};
use protection::Scope;
use units::{Amperes, Metres, Ratio, Volts, WireSize};

use crate::Refusal;
use crate::arguments::Arguments;
use crate::refusal::{Refused, state};
use crate::size::{Asked, USUAL_INSULATION};

const FUSE_KINDS: [&str; 6] =
    ["blade fuse", "strip fuse", "bolted fuse", "fusible link", "breaker", "fuse"];
const SURROUNDINGS: [&str; 3] = ["engine space", "inside", "outside"];
const LAID: [&str; 2] = ["free", "on metal"];

/// Words that stand for themselves.
fn same<const N: usize>(words: [&'static str; N]) -> [(&'static str, &'static str); N] {
    words.map(|own| (own, own))
}

/// What was asked, read and checked.
#[derive(Debug)]
pub(super) struct Wanted {
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
    /// Prices of a metre by the size, perhaps with the metal before it.
    pub prices: Vec<(String, f64)>,
    pub scope: Scope,
}

impl Wanted {
    pub(super) fn read(
        vehicle: &Vehicle,
        asked: &Asked,
        mut arguments: Arguments,
    ) -> Result<Self, Refused> {
        let catalogue = Catalogue::standard();
        let points = points(vehicle, asked, &mut arguments);
        let length = arguments.positive::<Metres>("length", &asked.length);
        let drop = drop(vehicle, asked, &mut arguments);
        let load = load(vehicle, asked, &mut arguments);
        let materials = asked
            .material
            .split(',')
            .filter_map(|name| arguments.row("material", name.trim(), &catalogue.materials));
        let materials = materials.collect();
        let insulation = asked.insulation.as_deref().unwrap_or(USUAL_INSULATION);
        let insulation = arguments.row("insulation", insulation, &catalogue.insulation);
        let joint = arguments.row("joint", &asked.joint, &catalogue.joint_kinds);
        let fuse = fuse(asked, &mut arguments);
        let (surroundings, laid) = lies(asked, &mut arguments);
        let prices = asked.price.iter().filter_map(|text| price(text, &mut arguments)).collect();
        let states = asked.state.as_deref().map(|name| state(vehicle, name));
        let states: Option<StateId> = states.and_then(|state| arguments.keep(state));
        let read = points.zip(length).zip(insulation.zip(joint));
        let (((from, to), length), (insulation, joint)) = arguments.0.unless(read)?;
        let states = states.into_iter().collect();
        Ok(Self {
            from,
            to,
            length,
            drop,
            load,
            materials,
            insulation: insulation.key().to_owned(),
            joint: joint.key().to_owned(),
            fuse,
            surroundings,
            laid,
            bundle: asked.bundle,
            prices,
            scope: Scope { states, conductors: Vec::new(), recalled: asked.recalled_curves },
        })
    }
}

/// The two points that it joins.
fn points(
    vehicle: &Vehicle,
    asked: &Asked,
    arguments: &mut Arguments,
) -> Option<(PointId, PointId)> {
    let from = point(vehicle, "from", asked.from.as_deref(), arguments);
    let to = point(vehicle, "to", asked.to.as_deref(), arguments);
    let (from, to) = from.zip(to)?;
    if from == to {
        let what = "`--from` and `--to` are the same point";
        arguments.refuse(Refusal::new(what, "two different points"));
    }
    Some((from, to))
}

fn point(
    vehicle: &Vehicle,
    key: &'static str,
    name: Option<&str>,
    arguments: &mut Arguments,
) -> Option<PointId> {
    let Some(name) = name else {
        let what = format!("`--{key}` is not given");
        arguments.refuse(Refusal::new(what, "a point of the vehicle"));
        return None;
    };
    let points = vehicle.points.iter().map(|point| point.id.as_str());
    arguments.named(key, name, "point", vehicle.point_named(name), points)
}

/// The most between the two points; in a vehicle it need not be asked for.
fn drop(vehicle: &Vehicle, asked: &Asked, arguments: &mut Arguments) -> Option<Volts> {
    if let Some(text) = &asked.drop {
        return arguments.positive::<Volts>("drop", text);
    }
    let text = asked.percent.as_deref()?;
    let share = arguments.positive::<Ratio>("percent", text)?;
    let nominal = match asked.nominal.as_deref() {
        Some(text) => arguments.positive::<Volts>("nominal", text)?,
        None => vehicle.nominal,
    };
    Some(nominal * share.0)
}

/// A load and the least that it must get.
fn load(vehicle: &Vehicle, asked: &Asked, arguments: &mut Arguments) -> Option<(LoadId, Volts)> {
    let load = asked.load.as_deref().and_then(|name| {
        let loads = vehicle.loads.iter().map(|load| load.id.as_str());
        arguments.named("load", name, "load", vehicle.load_named(name), loads)
    });
    let least = arguments.perhaps::<Volts>("least", &asked.least);
    load.zip(least)
}

/// A new fuse at its beginning.
fn fuse(asked: &Asked, arguments: &mut Arguments) -> Option<(Amperes, &'static str)> {
    let kind = arguments.word("fuse_kind", &asked.fuse_kind, &same(FUSE_KINDS));
    let rating = arguments.perhaps::<Amperes>("fuse", &asked.fuse);
    rating.zip(kind)
}

/// The air that it runs through and how it lies; a bundle must be one of conductors.
fn lies(asked: &Asked, arguments: &mut Arguments) -> (Option<&'static str>, Option<&'static str>) {
    let surroundings =
        arguments.perhaps_word("surroundings", &asked.surroundings, &same(SURROUNDINGS));
    let laid = arguments.perhaps_word("laid", &asked.laid, &same(LAID));
    if asked.bundle.is_some_and(|bundle| !(1..=500).contains(&bundle)) {
        let expected = "a number of conductors from 1 to 500";
        arguments.refuse(Refusal::new("`--bundle` is out of range", expected));
    }
    (surroundings, laid)
}

fn price(text: &str, arguments: &mut Arguments) -> Option<(String, f64)> {
    let read = text.rsplit_once('=').and_then(|(size, amount)| {
        let materials = Catalogue::standard().materials.iter().map(Row::key);
        let metal = materials.filter(|key| size.trim().starts_with(&format!("{key} ")));
        let metal = metal.max_by_key(|key| key.len());
        let rest = metal.map_or(size.trim(), |key| size.trim()[key.len()..].trim());
        let size = WireSize::parse(rest).ok()?;
        let size = metal.map_or_else(|| size.to_string(), |key| format!("{key} {size}"));
        let amount: f64 = amount.trim().replace(',', ".").parse().ok()?;
        (amount.is_finite() && amount > 0.0).then_some((size, amount))
    });
    if read.is_none() {
        let expected = "a size, `=` and the price of a metre, such as `35 mm²=9.80`";
        arguments.refuse(Refusal::of("price", text, "is not a size and an amount", expected));
    }
    read
}

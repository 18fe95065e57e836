//! What people call the places of a vehicle: "battery minus", "the engine block" for names of its file.

use std::collections::{BTreeMap, BTreeSet};

use model::{LoadId, LoadKind, PointId, RegulatedId, RegulatedKind, Vehicle};

use super::known::{Known, Thing};

/// A place for which people have words of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The plus post of the battery.
    Plus,
    /// Its minus post.
    Minus,
    /// The clamp on the plus post.
    PlusClamp,
    /// The clamp on the minus post.
    MinusClamp,
    /// The stud on the starter at which the thick cable ends.
    StarterStud,
    /// The case of the starter.
    StarterCase,
    /// The small terminal that switches the starter on.
    Trigger,
    /// The block of the engine.
    Engine,
    /// The stud at which the alternator gives its current.
    AlternatorStud,
    /// The case of the alternator.
    AlternatorCase,
    /// Where the fuse box is fed.
    FuseBox,
    /// A lamp, over both its sides.
    Lamp,
    /// Its live side.
    LampFeed,
    /// Its earthed side.
    LampEarth,
    /// The earthed side of a module or gauge.
    ModuleEarth,
    /// The metal of the body.
    Body,
    /// The metal of the frame.
    Frame,
    /// What some call the frame and some the body.
    Chassis,
}

/// Every place and its words; `@` stands for each word of the pole.
pub(super) const WORDS: [(Place, &str); 18] = [
    (Place::Plus, POST),
    (Place::Minus, POST),
    (Place::PlusClamp, CLAMP),
    (Place::MinusClamp, CLAMP),
    (
        Place::StarterStud,
        "starter stud, starter terminal, starter main terminal, starter main stud, starter plus, \
         starter positive, starter post, starter feed, starter input, starter motor stud, \
         starter motor terminal, starter cable stud, starter big terminal, starter large terminal, \
         big terminal of the starter, big stud of the starter, main stud of the starter, \
         starter positive terminal, starter positive stud, starter battery terminal, \
         stud on the starter, stud of the starter, terminal on the starter, starter live terminal",
    ),
    (
        Place::StarterCase,
        "starter case, starter body, starter housing, starter earth, starter ground, starter casing, \
         starter frame, starter shell, starter end plate, starter motor case, starter motor casing, \
         starter motor housing, starter motor body, starter motor frame, starter minus, \
         starter negative, case of the starter, casing of the starter, body of the starter, \
         housing of the starter, starter's case, starter mounting, starter flange, starter mounting bolt",
    ),
    (
        Place::Trigger,
        "trigger, trigger wire, trigger terminal, starter trigger, solenoid trigger, small terminal, \
         signal wire, start wire, s terminal, terminal 50, starter coil, solenoid terminal, \
         small terminal of the solenoid, small wire on the starter, start signal, trigger wire for the solenoid, \
         trigger wire of the solenoid, trigger wire at the solenoid, small terminal on the starter",
    ),
    (
        Place::Engine,
        "engine, block, engine block, engine metal, motor, motor block, engine casing, cylinder block, \
         cylinder head, engine case, engine ground, bare engine metal, bare metal of the engine, \
         bell housing, bellhousing, engine itself",
    ),
    (
        Place::AlternatorStud,
        "alternator stud, alternator output, alternator terminal, b+, alternator plus, alternator b+, \
         alternator +, alternator positive, alternator pos, alternator b+ terminal, alternator b+ stud, \
         alternator positive terminal, alternator output stud, alternator positive stud, alternator post, \
         alternator output terminal, output of the alternator, output stud of the alternator, \
         b+ of the alternator, b+ stud, b+ terminal, b plus, alternator main terminal",
    ),
    (
        Place::AlternatorCase,
        "alternator case, alternator housing, alternator casing, alternator body, alternator frame, \
         case of the alternator, alternator ground, alternator earth, alternator negative, alternator minus, \
         alternator shell, housing of the alternator",
    ),
    (Place::FuseBox, "fuse box, fusebox, fuses"),
    (Place::Lamp, "light, accessory, headlamp, headlight, bulb"),
    (
        Place::LampFeed,
        "lamp plus, lamp feed, lamp live, light feed, light plus, headlamp feed, headlight feed, bulb feed",
    ),
    (
        Place::LampEarth,
        "lamp earth, lamp ground, lamp minus, light earth, light ground, headlamp earth, headlight ground, \
         headlight earth, bulb earth, bulb ground, earth side of the lamp, ground side of the lamp, \
         earth of the lamp, ground of the lamp",
    ),
    (
        Place::ModuleEarth,
        "module earth, module ground, gauge earth, gauge ground, earth of the module, ground of the module",
    ),
    (
        Place::Body,
        "body, bodywork, body shell, wing, fender, cab, inner wing, bulkhead, firewall, body metal, car body",
    ),
    (Place::Frame, "frame, frame rail"),
    (Place::Chassis, "chassis, chassis rail"),
];

const EARTHS: [&str; 5] = ["earth", "ground", "earthing", "grounding", "bare"];
const FIXINGS: [&str; 8] = ["point", "bolt", "mount", "stud", "post", "screw", "terminal", "spot"];
const METALS: [&str; 10] = [
    "engine",
    "motor",
    "block",
    "engine block",
    "body",
    "wing",
    "firewall",
    "bulkhead",
    "frame",
    "chassis",
];
const POST: &str = "battery @, battery @ post, battery @ terminal, battery @ pole, @ post, @ pole, \
    @ terminal of the battery, @ post of the battery, @ pole of the battery, @ of the battery, @ on the battery, \
    @ battery post, @ battery terminal, @ battery pole, battery post @, battery's @ post, battery's @ terminal, \
    battery's @, @ side of the battery, battery @ side";
const CLAMP: &str = "@ clamp, battery @ clamp, @ battery clamp, clamp of the @ post, clamp on the @ post, \
    @ terminal clamp, @ cable clamp";
/// Both sides of the joint between a post and its clamp in one.
const PAIR: &str = "@ post to clamp, @ post to its clamp, @ post to the clamp, @ post and clamp, \
    @ post and its clamp, battery @ post to clamp, battery @ post to its clamp, @ battery post to clamp, \
    @ battery post to its clamp, @ terminal to its clamp, @ terminal to clamp";
const PLUS: [&str; 4] = ["plus", "positive", "pos", "+"];
const MINUS: [&str; 4] = ["minus", "negative", "neg", "-"];

/// Words and the names that they stand for.
#[derive(Debug, Clone, Default)]
pub struct Vocabulary {
    places: Vec<(Place, String)>,
    others: Vec<(String, String)>,
    /// Each name by its words, in lower case with single blanks between them.
    phrases: BTreeMap<String, String>,
    /// Names that hyphens join.
    hyphened: Vec<String>,
    /// Words that are names of the vehicle's file already.
    taken: BTreeSet<&'static str>,
    /// The load that was watched where a trial tells none.
    watched: Option<String>,
    /// Names of the file that are also what people call something else.
    common: Vec<String>,
}

impl Vocabulary {
    /// The words for what a vehicle has but one of.
    #[must_use]
    pub fn of(vehicle: &Vehicle) -> Self {
        let mut own = Self::default();
        let found = WORDS.iter().filter_map(|(place, _)| Some((*place, name(vehicle, *place)?)));
        own.places = found.collect();
        let known = Known::new(vehicle);
        let is_name =
            |word: &&str| known.place(word).is_some_and(|own| !matches!(own, Thing::Structure(_)));
        own.hyphened = known.hyphened().map(str::to_owned).collect();
        own.taken = WORDS.iter().flat_map(|own| own.1.split(", ")).filter(is_name).collect();
        own.gather();
        own
    }

    /// The same with these names of places, whatever else they were called.
    #[must_use]
    pub fn with_places(mut self, places: impl IntoIterator<Item = (Place, String)>) -> Self {
        for (place, name) in places {
            self.places.retain(|own| own.0 != place);
            self.places.push((place, name));
        }
        self.gather();
        self
    }

    /// The same with further words, parted by commas, for one name each.
    #[must_use]
    pub fn with_words<'w>(mut self, words: impl IntoIterator<Item = (&'w str, String)>) -> Self {
        self.others.extend(words.into_iter().map(|(words, name)| (words.to_owned(), name)));
        self.gather();
        self
    }

    /// The same where nobody has seen the file: these of its names are read as the words of which they consist.
    #[must_use]
    pub fn reading_as_words(mut self, names: &[&str]) -> Self {
        self.common = names.iter().map(|own| (*own).to_owned()).collect();
        self.gather();
        self
    }

    /// The same where a trial that names no load watched this one.
    #[must_use]
    pub fn watching(mut self, load: Option<&str>) -> Self {
        self.watched = load.map(str::to_owned);
        self
    }

    /// The load that was watched where a trial tells none.
    pub(super) fn watched(&self) -> Option<&str> {
        self.watched.as_deref()
    }

    /// All words with their names.
    pub fn entries(&self) -> impl Iterator<Item = (&str, &str)> {
        self.phrases.iter().map(|(words, name)| (words.as_str(), name.as_str()))
    }

    /// The name that stands for words in lower case with single blanks between them.
    pub(super) fn name(&self, words: &str) -> Option<&str> {
        self.phrases.get(words).or_else(|| self.phrases.get(fixed(words)?)).map(String::as_str)
    }

    /// A line of what was seen, its common words parted; nothing changes its length.
    pub(super) fn parted(&self, line: &str) -> String {
        let mut line = line.to_owned();
        for name in &self.common {
            let small = line.to_ascii_lowercase();
            for (at, _) in small.match_indices(name.as_str()) {
                line.replace_range(at..at + name.len(), &name.replace('-', " "));
            }
        }
        line
    }

    fn gather(&mut self) {
        let mut all = BTreeMap::new();
        for name in self.hyphened.iter().filter(|own| !self.common.contains(own)) {
            add(&mut all, &name.replace('-', " "), name);
        }
        for (place, name) in &self.places {
            let words = WORDS.iter().find(|own| own.0 == *place).map_or("", |own| own.1);
            for word in pole(*place) {
                let free = words.split(", ").filter(|own| !self.taken.contains(own));
                free.for_each(|own| add(&mut all, &own.replace('@', word), name));
            }
        }
        let named = |place: Place| self.places.iter().find(|own| own.0 == place).map(|own| &own.1);
        for (post, clamp) in [(Place::Plus, Place::PlusClamp), (Place::Minus, Place::MinusClamp)] {
            let Some((own, clamp)) = named(post).zip(named(clamp)) else { continue };
            for word in pole(post) {
                add(&mut all, &PAIR.replace('@', word), &format!("{own} to {clamp}"));
            }
        }
        for (words, name) in &self.others {
            add(&mut all, words, name);
        }
        self.phrases = all;
    }
}

/// The metal of `earth bolt on the engine`: for a probe any bolt there is the metal.
fn fixed(words: &str) -> Option<&str> {
    let words = words.strip_prefix("the ").unwrap_or(words);
    let (earth, rest) = words.split_once(' ')?;
    let (fixing, rest) = rest.split_once(' ')?;
    let metal = ["on the ", "at the ", "of the "].iter().find_map(|on| rest.strip_prefix(on))?;
    let fits = EARTHS.contains(&earth) && FIXINGS.contains(&fixing) && METALS.contains(&metal);
    fits.then_some(metal)
}

/// The words of a place's pole; one empty one where none stands in its words.
fn pole(place: Place) -> &'static [&'static str] {
    match place {
        Place::Plus | Place::PlusClamp => &PLUS,
        Place::Minus | Place::MinusClamp => &MINUS,
        _ => &[""],
    }
}

fn add(phrases: &mut BTreeMap<String, String>, words: &str, name: &str) {
    for own in words.split(", ").map(str::trim) {
        phrases.insert(format!("the {own}"), name.to_owned());
        phrases.insert(own.to_lowercase(), name.to_owned());
    }
}

/// The only one of its kind.
fn only<T>(mut all: impl Iterator<Item = T>) -> Option<T> {
    let first = all.next();
    first.filter(|_| all.next().is_none())
}

/// The name of the place on a vehicle that has but one such.
fn name(vehicle: &Vehicle, place: Place) -> Option<String> {
    let point = |id: PointId| vehicle.point(id).id.clone();
    let starter = || only(of_kind(vehicle, |kind| kind == LoadKind::Starter));
    Some(match place {
        Place::Plus => point(battery(vehicle)?.positive),
        Place::Minus => point(battery(vehicle)?.negative),
        Place::PlusClamp => clamp(vehicle, battery(vehicle)?.positive)?,
        Place::MinusClamp => clamp(vehicle, battery(vehicle)?.negative)?,
        Place::StarterStud => point(vehicle.load_terminals(starter()?).0),
        Place::StarterCase => point(vehicle.load_terminals(starter()?).1),
        Place::Trigger => point(vehicle.load_terminals(vehicle.load(starter()?).control?).0),
        Place::AlternatorStud => point(vehicle.regulated_terminals(alternator(vehicle)?).0),
        Place::AlternatorCase => point(vehicle.regulated_terminals(alternator(vehicle)?).1),
        Place::FuseBox => point(vehicle.point_named("fuse-box")?),
        Place::Lamp => vehicle.load(lamp(vehicle)?).id.clone(),
        Place::LampFeed => point(vehicle.load_terminals(lamp(vehicle)?).0),
        Place::LampEarth => point(vehicle.load_terminals(lamp(vehicle)?).1),
        Place::ModuleEarth => {
            let modules = |kind| matches!(kind, LoadKind::Module | LoadKind::SwitchModeModule);
            point(vehicle.load_terminals(only(of_kind(vehicle, modules))?).1)
        }
        Place::Engine => metal(vehicle, &["engine", "block", "motor"])?,
        Place::Body => metal(vehicle, &["body", "cab", "shell"])?,
        Place::Frame => metal(vehicle, &["frame", "chassis"])?,
        Place::Chassis => metal(vehicle, &["chassis", "frame"])
            .or_else(|| metal(vehicle, &["body"]).filter(|_| !has_metal(vehicle, "frame")))?,
    })
}

/// The only battery, or the one that is called so.
fn battery(vehicle: &Vehicle) -> Option<&model::Battery> {
    let named = vehicle.batteries.iter().find(|own| own.id == "battery");
    named.or_else(|| only(vehicle.batteries.iter()))
}

/// The lug of the only cable on a post.
fn clamp(vehicle: &Vehicle, post: PointId) -> Option<String> {
    let lug = |own: &model::Joint| {
        own.point == post && own.of.conductor().is_some() && !own.of.is_crimp()
    };
    only(vehicle.joints.iter().filter(|own| lug(own))).map(|own| own.id.clone())
}

fn of_kind(vehicle: &Vehicle, fits: impl Fn(LoadKind) -> bool) -> impl Iterator<Item = LoadId> {
    (0..vehicle.loads.len()).map(LoadId::at).filter(move |id| fits(vehicle.load(*id).kind))
}

fn lamp(vehicle: &Vehicle) -> Option<LoadId> {
    only(of_kind(vehicle, |kind| kind == LoadKind::Lamp))
}

fn alternator(vehicle: &Vehicle) -> Option<RegulatedId> {
    let all = (0..vehicle.regulated.len()).map(RegulatedId::at);
    only(all.filter(|id| vehicle.regulated_source(*id).kind == RegulatedKind::Alternator))
}

fn has_metal(vehicle: &Vehicle, word: &str) -> bool {
    vehicle.structures.iter().any(|own| own.id.contains(word))
}

/// The only point of the only metal that is called so, or the one that is called a block.
fn metal(vehicle: &Vehicle, words: &[&str]) -> Option<String> {
    let called = |own: &&model::Structure| words.iter().any(|word| own.id.contains(word));
    let own = only(vehicle.structures.iter().filter(called))?;
    let names = || own.points.iter().map(|id| &vehicle.point(*id).id);
    only(names()).or_else(|| names().find(|id| id.ends_with("/block"))).cloned()
}

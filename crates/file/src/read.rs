//! From the bytes of a file to the vehicle they mean, with every problem on the way.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use catalogue::Catalogue;
use model::{
    AccessGroup, Code, ConductorId, Earth, PointId, Problem, Severity, Vehicle, Work, Workshop,
};
use toml::de::DeTable;
use units::{Dimension, NewtonMetres, Seconds, Volts};

use crate::defaults::Fills;
use crate::document::{Checker, Entry, Named};
use crate::expanded::{Plug, Sensing, Stud};
use crate::names::Names;
use crate::shared_curves::SharedCurves;
use crate::spec::ROOT;
use crate::states::States;
use crate::suggest::{did_you_mean, worthwhile};

/// The largest file that is read.
pub const LARGEST_FILE: usize = 64 << 20;

/// More problems than this have one cause; the rest are counted, not kept.
const MOST_PROBLEMS: usize = 1000;

/// What was understood of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The vehicle; nothing when there is an error.
    pub vehicle: Option<Vehicle>,
    /// Everything that is wrong or looks wrong, in the order of the file.
    pub problems: Vec<Problem>,
    /// Where each name was given, as bytes of the file.
    pub places: BTreeMap<String, Range<usize>>,
}

impl Reading {
    fn failed(problem: Problem) -> Self {
        Self { vehicle: None, problems: vec![problem], places: BTreeMap::new() }
    }

    /// Number of errors.
    #[must_use]
    pub fn errors(&self) -> usize {
        self.problems.iter().filter(|problem| problem.severity == Severity::Error).count()
    }

    /// Number of warnings.
    #[must_use]
    pub fn warnings(&self) -> usize {
        self.problems.len() - self.errors()
    }
}

/// Reads a vehicle file.
///
/// Never fails and never panics: what is wrong is told in [`Reading::problems`], several mistakes in
/// one run. The bytes themselves are untouched; nothing that a person wrote is lost by reading it.
#[must_use]
pub fn read(bytes: &[u8]) -> Reading {
    match text_of(bytes) {
        Ok(text) => read_text(text),
        Err(problem) => Reading::failed(*problem),
    }
}

/// A file of which nothing was read, because there is too much of it.
pub fn too_large(hint: &str) -> Problem {
    Problem::error(
        Code::TooLarge,
        0..0,
        format!("the file is larger than {} MB", LARGEST_FILE >> 20),
        format!("a file of at most {} MB", LARGEST_FILE >> 20),
    )
    .hint(hint)
}

/// The text of a file, or why it is none.
fn text_of(bytes: &[u8]) -> Result<&str, Box<Problem>> {
    let told = |place: Range<usize>, what: &str, hint: &str| {
        Box::new(
            Problem::error(
                Code::NotATextFile,
                place,
                what,
                "a text file in UTF-8, as every editor can save",
            )
            .hint(hint),
        )
    };
    if bytes.len() > LARGEST_FILE {
        return Err(Box::new(too_large("a vehicle file has some tens of kilobytes")));
    }
    // Without its mark at the beginning, UTF-16 shows as a zero beside every letter.
    let beginning = bytes.get(..64).unwrap_or(bytes);
    let zeros = beginning.iter().filter(|byte| **byte == 0).count();
    let halved = beginning.len() > 3
        && beginning.len().abs_diff(2 * zeros) <= beginning.len() / 8
        && beginning.chunks(2).all(|pair| pair.iter().any(|byte| *byte != 0));
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) || halved {
        return Err(told(0..0, "the file is written in UTF-16", "save it again as UTF-8"));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(error) => {
            let at = error.valid_up_to();
            let hint = if bytes[..at]
                .iter()
                .chain(bytes.iter().skip(at).take(64))
                .filter(|b| **b == 0)
                .count()
                > 1
            {
                "this looks like a binary file: is it the right one?"
            } else {
                "characters such as `°` or `Ω` saved in another encoding look like this: save the file again as UTF-8"
            };
            Err(told(at..at, "the file holds bytes that are no text", hint))
        }
    }
}

/// State of reading a file.
pub(crate) struct Reader<'d> {
    pub root: Entry<'d>,
    pub problems: Vec<Problem>,
    pub fills: Fills,
    pub names: Names,
    pub states: States,
    pub vehicle: Vehicle,
    pub battery_names: BTreeSet<String>,
    pub inline_names: BTreeSet<String>,
    pub terminals_in_a_ring: BTreeSet<String>,
    pub load_positions: BTreeMap<String, usize>,
    pub curves: SharedCurves,
    /// Conductors of which the file does not say what air they run through.
    pub unsaid_surroundings: Vec<ConductorId>,
    pub studs: Vec<Stud>,
    pub plugs: Vec<Plug>,
    /// The sides of plugs, as the points of their pins begin.
    pub pin_sides: BTreeSet<String>,
    pub shunts: BTreeSet<String>,
    pub sensing: Vec<Sensing>,
    /// Points that lie where another one does.
    pub lying_at: BTreeMap<PointId, PointId>,
    piece_names: BTreeSet<String>,
    defaults: Option<Entry<'d>>,
}

fn read_text(text: &str) -> Reading {
    // A mark at the beginning is not part of the text; blanks keep every place where it was.
    let blanked;
    let text = match text.strip_prefix('\u{feff}') {
        Some(rest) => {
            blanked = format!("   {rest}");
            blanked.as_str()
        }
        None => text,
    };
    if text.trim().is_empty() {
        return Reading::failed(
            Problem::error(Code::FileEmpty, 0..0, "the file is empty", "a vehicle file")
                .hint("`groundloom new --layout front-engine` writes one to begin with"),
        );
    }
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut problems: Vec<Problem> =
        errors.iter().take(MOST_PROBLEMS).map(|error| syntax_problem(text, error)).collect();
    // The keys of a table that is there twice are there twice too; the table is told, they are not.
    let mut table_end = None;
    problems.retain(|problem| {
        let twice = problem.what.contains("duplicate key");
        let same_table = table_end
            .and_then(|end: usize| text.get(end..problem.place.start))
            .is_some_and(|between| !between.contains("\n["));
        table_end = twice.then_some(problem.place.end);
        !(twice && same_table)
    });
    let mut checker = Checker { source: text, problems: Vec::new() };
    checker.table(table.get_ref(), &ROOT, &(0..0));
    let broken = !problems.is_empty();
    // Where the text itself is broken, missing keys are most likely in the broken part, and what
    // stands at the break has been told.
    let breaks: BTreeSet<usize> = problems.iter().map(|problem| problem.place.start).collect();
    problems.extend(checker.problems.into_iter().filter(|problem| {
        !broken || (problem.code != Code::MissingKey && !breaks.contains(&problem.place.start))
    }));
    if broken {
        return finish(None, problems, BTreeMap::new());
    }
    let root = Entry::root(table.get_ref(), &ROOT, 0..0);
    let (vehicle, more, places) = understand(root, &problems);
    problems.extend(more);
    finish(vehicle, problems, places)
}

fn finish(
    vehicle: Option<Vehicle>,
    mut problems: Vec<Problem>,
    places: BTreeMap<String, Range<usize>>,
) -> Reading {
    problems.sort_by_key(|problem| problem.place.start);
    let fit = problems.iter().all(|problem| problem.severity == Severity::Warning);
    if !fit && problems.len() > MOST_PROBLEMS {
        // No error may be lost behind warnings.
        problems.sort_by_key(|problem| problem.severity == Severity::Warning);
    }
    problems.truncate(MOST_PROBLEMS);
    problems.sort_by_key(|problem| problem.place.start);
    for problem in &mut problems {
        for text in [&mut problem.what, &mut problem.expected].into_iter().chain(&mut problem.hint)
        {
            shorten_quotes(text);
        }
    }
    Reading { vehicle: vehicle.filter(|_| fit), problems, places }
}

/// Cuts what is quoted in a message to a length that can be read; the line itself is shown anyhow.
fn shorten_quotes(text: &mut String) {
    const LONGEST_QUOTE: usize = 80;
    if text.len() <= LONGEST_QUOTE {
        return;
    }
    let parts = text.split('`').enumerate().map(|(at, part)| {
        let quoted = at % 2 == 1;
        match part.char_indices().nth(LONGEST_QUOTE).filter(|_| quoted) {
            Some((end, _)) => format!("{}…", &part[..end]),
            None => part.to_owned(),
        }
    });
    *text = parts.collect::<Vec<_>>().join("`");
}

fn syntax_problem(text: &str, error: &toml::de::Error) -> Problem {
    let place = error.span().unwrap_or(0..0);
    let message = error.message().trim();
    let place = place.start.min(text.len())..place.end.min(text.len());
    let problem = Problem::error(
        Code::TomlSyntax,
        place,
        format!("this is not TOML: {}", message.replace('\n', ", ")),
        "TOML 1.0",
    );
    if message.contains("duplicate key") {
        problem.hint(
            "each table and each key is written once; give the second thing a name of its own",
        )
    } else if message.contains("recurs") {
        problem.hint("lists and tables stand in each other more than 80 deep; a vehicle file needs four levels")
    } else {
        problem.hint("texts and quantities stand in quotes: `length = \"0.8 m\"`; a table begins with `[kind.name]`")
    }
}

type Understood = (Option<Vehicle>, Vec<Problem>, BTreeMap<String, Range<usize>>);

fn understand(root: Entry<'_>, checked: &[Problem]) -> Understood {
    let mut problems = Vec::new();
    let states = States::read(&root, &mut problems);
    let defaults = root.table("defaults");
    let vehicle = empty_vehicle(&root);
    let mut reader = Reader {
        root,
        problems,
        fills: Fills::default(),
        names: Names::default(),
        states,
        vehicle,
        battery_names: BTreeSet::new(),
        inline_names: BTreeSet::new(),
        terminals_in_a_ring: BTreeSet::new(),
        load_positions: BTreeMap::new(),
        curves: SharedCurves::default(),
        unsaid_surroundings: Vec::new(),
        studs: Vec::new(),
        plugs: Vec::new(),
        pin_sides: BTreeSet::new(),
        shunts: BTreeSet::new(),
        sensing: Vec::new(),
        lying_at: BTreeMap::new(),
        piece_names: BTreeSet::new(),
        defaults,
    };
    reader.points();
    reader.access_groups();
    reader.shared_curves();
    let on = reader.choose_states();
    reader.batteries();
    reader.regulated();
    reader.structures();
    reader.conductors();
    reader.incidentals();
    reader.inlines();
    reader.isolators();
    reader.all_shunts();
    reader.loads(&on);
    reader.mated_pins();
    reader.feet();
    reader.work();
    reader.workshop();
    for (name, entry) in reader.root.clone().tables("conductors") {
        reader.check_length(&entry, name.name);
    }
    reader.covers();
    reader.vehicle.points = std::mem::take(&mut reader.names.points);
    reader.split_relays();
    reader.converter_inputs();
    reader.surroundings();
    reader.vehicle.filled = std::mem::take(&mut reader.fills.0);
    let sound =
        !checked.iter().chain(&reader.problems).any(|problem| problem.severity == Severity::Error);
    if sound {
        // Only a vehicle whose every reference holds can be looked at as a whole.
        reader.problems.extend(crate::plausible::check(&reader.vehicle, &reader.names.places));
        reader.check_plugs();
        reader.check_shunts();
    }
    (Some(reader.vehicle), reader.problems, reader.names.places)
}

fn empty_vehicle(root: &Entry<'_>) -> Vehicle {
    let own = root.table("vehicle");
    let text = |key: &str| own.as_ref().and_then(|entry| entry.owned(key));
    let catalogue = Catalogue::standard();
    Vehicle {
        name: text("name").unwrap_or_default(),
        nominal: Volts(
            own.as_ref()
                .and_then(|entry| entry.quantity("nominal", Dimension::Voltage))
                .unwrap_or(12.0),
        ),
        earth: if text("earth").as_deref() == Some("positive") {
            Earth::Positive
        } else {
            Earth::Negative
        },
        environment: text("environment")
            .and_then(|word| catalogue.environments.known(&word))
            .unwrap_or_else(|| catalogue.usual_environment()),
        note: text("note"),
        access_groups: Vec::new(),
        points: Vec::new(),
        structures: Vec::new(),
        stretches: Vec::new(),
        conductors: Vec::new(),
        joints: Vec::new(),
        incidentals: Vec::new(),
        inlines: Vec::new(),
        batteries: Vec::new(),
        regulated: Vec::new(),
        loads: Vec::new(),
        states: Vec::new(),
        work: Vec::new(),
        workshop: Workshop::default(),
        filled: Vec::new(),
    }
}

impl<'d> Reader<'d> {
    /// Adds every point, so that references may run in any order.
    fn points(&mut self) {
        self.source_points();
        self.load_points();
        self.structure_points();
        self.stud_points();
        self.plug_points();
        for (name, entry) in self.root.clone().tables("points") {
            self.names.take(&name, "point", &mut self.problems);
            self.names.add_point(name.name.to_owned(), model::PointOwner::Free, Some(&entry));
        }
        self.inline_points();
    }

    /// Adds the access groups, and checks that those which points name are there.
    fn access_groups(&mut self) {
        for (name, entry) in self.root.clone().tables("access") {
            self.vehicle.access_groups.push(AccessGroup {
                id: name.name.to_owned(),
                name: entry.owned("name").unwrap_or_else(|| name.name.replace('-', " ")),
                time: Seconds(entry.quantity("time", Dimension::Time).unwrap_or(0.0)),
            });
        }
        let groups: Vec<String> =
            self.vehicle.access_groups.iter().map(|group| group.id.clone()).collect();
        for (name, place) in std::mem::take(&mut self.names.access) {
            if groups.contains(&name) {
                continue;
            }
            let mut problem = Problem::error(
                Code::UnknownAccessGroup,
                place,
                format!("there is no access group `{name}`"),
                "the name of a table `[access.NAME]` of this file",
            );
            problem.hint = did_you_mean(&name, groups.iter().map(String::as_str));
            self.problems.push(problem);
        }
    }

    /// Decides which states are solved, and gives for each load the names of those it is on in.
    fn choose_states(&mut self) -> Vec<BTreeSet<String>> {
        let loads = self.root.clone().tables("loads");
        let on: Vec<BTreeSet<String>> =
            loads.iter().map(|(name, entry)| self.on_states(name, entry)).collect();
        let kinds: BTreeSet<&str> =
            loads.iter().filter_map(|(_, entry)| entry.text("kind")).collect();
        let alternators = self.root.has("alternators");
        let chargers = self.root.has("chargers");
        let mut busy: BTreeSet<String> = on.iter().flatten().cloned().collect();
        for state in &self.states.known {
            if !state.on.is_empty() {
                busy.insert(state.state.id.clone());
            }
        }
        // A load that names a state wants it solved; one that is on by habit does not.
        let named: BTreeSet<&str> = loads
            .iter()
            .filter_map(|(_, entry)| entry.names("on"))
            .flatten()
            .map(|name| name.name)
            .collect();
        busy.retain(|state| {
            named.contains(state.as_str())
                || match state.as_str() {
                    "preheat" => kinds.contains("preheat plug"),
                    "cranking" => kinds.contains("starter"),
                    "idle" => alternators,
                    "charging" => alternators || chargers,
                    _ => true,
                }
        });
        let vehicle = self.root.table("vehicle");
        let mut problems = std::mem::take(&mut self.problems);
        self.states.choose(vehicle.as_ref(), &busy, &mut problems);
        let switches: BTreeSet<String> = self
            .root
            .tables("switches")
            .into_iter()
            .map(|(name, _)| name.name.to_owned())
            .collect();
        States::check_members(&self.root, &self.load_positions, &switches, &mut problems);
        self.problems = problems;
        self.vehicle.states = self.states.solved().map(|state| state.state.clone()).collect();
        on
    }

    /// Takes the name of a piece; conductors and incidental paths share their names with in-line parts.
    pub(crate) fn take_piece_name(&mut self, name: &Named<&str>, what: &str) {
        let taken =
            self.inline_names.contains(name.name) || !self.piece_names.insert(name.name.to_owned());
        if taken {
            self.problems.push(Problem::error(
                Code::NameTaken,
                name.place.clone(),
                format!("the name `{}` is taken already", name.name),
                format!("another name for this {what}"),
            ));
        }
        self.names.places.entry(name.name.to_owned()).or_insert_with(|| name.place.clone());
    }

    pub(crate) fn default_text(&self, key: &str) -> Option<String> {
        self.defaults.as_ref().and_then(|entry| entry.owned(key))
    }

    pub(crate) fn default_date(&self, key: &str) -> Option<String> {
        self.defaults.as_ref().and_then(|entry| entry.date(key))
    }

    fn work(&mut self) {
        let known: BTreeSet<&str> = self
            .vehicle
            .joints
            .iter()
            .map(|joint| joint.id.as_str())
            .chain(self.vehicle.conductors.iter().map(|conductor| conductor.id.as_str()))
            .chain(self.vehicle.inlines.iter().map(|part| part.id.as_str()))
            .collect();
        let mut work = Vec::new();
        for entry in self.root.many("work") {
            let Some(on) = entry.owned("on") else { continue };
            if !known.contains(on.as_str()) {
                let mut problem = Problem::error(
                    Code::UnknownPiece,
                    entry.place_of("on"),
                    format!("there is no joint or conductor `{on}`"),
                    "a conductor such as `main-negative`, or one of its joints: `main-negative.from`, `main-negative.to`",
                );
                if worthwhile(self.problems.len(), known.len()) {
                    problem.hint = did_you_mean(&on, known.iter().copied());
                }
                self.problems.push(problem);
            }
            work.push(Work {
                on,
                what: entry.owned("what").unwrap_or_default(),
                date: entry.date("date"),
                torque: entry.quantity("torque", Dimension::Torque).map(NewtonMetres),
                protection: entry.owned("protection"),
                note: entry.owned("note"),
            });
        }
        self.vehicle.work = work;
    }
}

//! What was seen, felt or tried: how it is taken from a line, and what is said of it.

use file::readings;
use model::{Code, Condition, Done, Occasion, Pieces, Problem, Seen, Sight, Spot, Upset, Vehicle};

use super::story::{Outcome, Story};

/// Problems that a line has because it holds no reading; of any other the reading is told of.
const NO_READING: [Code; 5] = [
    Code::ValueMissing,
    Code::ValueUnreadable,
    Code::UnknownName,
    Code::WordsUnread,
    Code::UnknownJoint,
];

impl Story<'_> {
    /// What a line tells that is no reading; nothing where it is one that lacks something.
    pub(super) fn seen(&self, line: &str, number: u32, problem: &Problem) -> Option<Outcome> {
        match readings::seen(line, self.vehicle, number)? {
            Ok(all) => Some(Outcome::Seen(all)),
            Err(own) if NO_READING.contains(&problem.code) => {
                Some(Outcome::NotUnderstood(Box::new(own)))
            }
            Err(_) => None,
        }
    }

    /// Everything seen, felt or tried, in the order in which it was told.
    pub(super) fn sights(&self) -> impl Iterator<Item = &Seen> {
        self.told.iter().flat_map(|own| match &own.outcome {
            Outcome::Seen(all) => all.as_slice(),
            _ => &[],
        })
    }
}

/// How something seen was understood, in full.
pub(super) fn understood(vehicle: &Vehicle, all: &[Seen]) -> String {
    let each: Vec<String> = all.iter().map(|own| one(vehicle, own)).collect();
    format!("understood: {}", each.join("; "))
}

fn one(vehicle: &Vehicle, own: &Seen) -> String {
    let what = &own.what;
    let told = match &own.sight {
        Sight::Heat { hot, .. } => {
            format!("{what} {}", if *hot { "gets hot" } else { "stays cool" })
        }
        Sight::Condition { condition, so, .. } => {
            format!("{what} was found{} {}", if *so { "" } else { " not" }, found(*condition))
        }
        Sight::Upset { upset, so, .. } => format!("{what} {}", does(*upset, *so)),
        Sight::Worked { done, helped, .. } => {
            let came = if *helped { "helped" } else { "changed nothing" };
            format!("{what} {} {came}", worked(*done))
        }
        Sight::Comes(occasion) => format!("the fault comes {}", when(*occasion)),
    };
    let state = own.state.map_or("", |id| vehicle.state(id).id.as_str());
    let state = match state {
        "" => String::new(),
        "cranking" => " while it is cranked".to_owned(),
        other => format!(", state {other}"),
    };
    format!("{told}{state}{}", meant(vehicle, &own.sight))
}

/// The pieces for which the words stand.
fn meant(vehicle: &Vehicle, sight: &Sight) -> String {
    let (Sight::Heat { spot, .. } | Sight::Condition { spot, .. } | Sight::Worked { spot, .. }) =
        sight
    else {
        return String::new();
    };
    match spot {
        Spot::Pieces(own) => format!(" (here {})", names(vehicle, own).join(" or ")),
        Spot::Undrawn => " (metal that was never meant to carry current)".to_owned(),
        _ => String::new(),
    }
}

/// The names of pieces, each once.
fn names(vehicle: &Vehicle, own: &Pieces) -> Vec<String> {
    let conductors = own.conductors.iter().map(|id| format!("`{}`", vehicle.conductor(*id).id));
    let joints = own.joints.iter().map(|id| format!("`{}`", vehicle.joint(*id).id));
    let inlines = own.inlines.iter().map(|id| format!("`{}`", vehicle.inline(*id).id));
    let mut all: Vec<String> = Vec::new();
    for name in conductors.chain(joints).chain(inlines) {
        if !all.contains(&name) {
            all.push(name);
        }
    }
    all
}

fn found(condition: Condition) -> &'static str {
    match condition {
        Condition::Loose => "loose",
        Condition::Corroded => "corroded",
        Condition::Broken => "broken",
        Condition::Missing => "off or missing",
        Condition::Fine => "clean and tight",
    }
}

fn does(upset: Upset, so: bool) -> &'static str {
    match (upset, so) {
        (Upset::Moves, true) => "misbehaves when something else comes on",
        (Upset::Moves, false) => "keeps still when something else comes on",
        (Upset::Dims, true) => "gets dim then",
        (Upset::Dims, false) => "stays bright then",
        (Upset::Dies, true) => "is dead too",
        (Upset::Dies, false) => "works as it should",
    }
}

fn worked(done: Done) -> &'static str {
    match done {
        Done::Replaced => "was replaced, which",
        Done::Cleaned => "was cleaned or tightened, which",
        Done::Moved => "was pushed or pulled, which",
    }
}

fn when(occasion: Occasion) -> &'static str {
    match occasion {
        Occasion::Wet => "when it is wet",
        Occasion::Hot => "when it is hot",
        Occasion::Cold => "when it is cold",
        Occasion::Shaken => "after bumps",
        Occasion::ComesAndGoes => "and goes",
    }
}

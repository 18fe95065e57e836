//! What was seen, felt or tried, in words that every answer uses.

use model::{Condition, Done, Occasion, Pieces, Seen, Sight, Spot, Upset, Vehicle};

/// How something seen was understood, in full.
pub(crate) fn understood(vehicle: &Vehicle, all: &[Seen]) -> String {
    let each: Vec<String> = all.iter().map(|own| one(vehicle, own)).collect();
    format!("understood: {}", each.join("; "))
}

fn one(vehicle: &Vehicle, own: &Seen) -> String {
    let what = &own.what;
    let told = match &own.sight {
        Sight::Heat { hot, .. } => {
            let verb = match (*hot, several(what)) {
                (true, false) => "gets warm or hot",
                (true, true) => "get warm or hot",
                (false, false) => "stays cool",
                (false, true) => "stay cool",
            };
            format!("{what} {verb}")
        }
        Sight::Condition { condition, so, .. } => {
            let was = if several(what) { "were" } else { "was" };
            format!("{what} {was} found{} {}", if *so { "" } else { " not" }, found(*condition))
        }
        Sight::Upset { upset, so, .. } => format!("{what}: {}", does(*upset, *so)),
        Sight::Worked { done, helped, .. } => {
            let came = if *helped { "helped" } else { "changed nothing" };
            format!("{what}: {}, which {came}", worked(*done))
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

/// True for words of several things.
fn several(what: &str) -> bool {
    what.ends_with('s') && !what.ends_with("ss") && !what.ends_with("chassis")
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
        (Upset::Moves, true) => "astray when something else comes on",
        (Upset::Moves, false) => "still when something else comes on",
        (Upset::Dims, true) => "weaker then",
        (Upset::Dims, false) => "as strong as ever",
        (Upset::Dies, true) => "dead too",
        (Upset::Dies, false) => "as it should be",
    }
}

fn worked(done: Done) -> &'static str {
    match done {
        Done::Replaced => "replaced",
        Done::Cleaned => "cleaned or tightened",
        Done::Moved => "pushed or pulled",
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

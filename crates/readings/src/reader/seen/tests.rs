//! What lines without a value say, in words of all kinds, and which of them say nothing.

use model::{Problem, Seen, Sight, Spot, Vehicle};

mod laws;
mod lines;

/// What was seen, against a vehicle alone.
fn seen(text: &str, vehicle: &Vehicle, number: u32) -> Option<Result<Vec<Seen>, Problem>> {
    super::seen(text, &super::Known::new(vehicle), vehicle, number)
}

/// A car with every second way home that people know.
const VEHICLE: &str = r#"
format = 1
[vehicle]
name = "estate car"
nominal = "12 V"
states = ["resting", "key-on", "cranking", "idle", "running"]
[structures.engine]
resistance = "40 µΩ"
points = { block = {}, rear = {} }
[structures.body]
resistance = "0.2 mΩ"
points = { wing = {}, dash = {} }
[points]
fuse-box = {}
[batteries.battery]
capacity = "60 Ah"
[alternators.alternator]
output = "70 A"
lead = { to = "starter/+", size = "16 mm²", length = "1 m" }
case = "engine/block"
[conductors.red-cable]
from = "battery/+"
to = "starter/+"
size = "35 mm²"
length = "1 m"
[conductors.panel-feed]
from = "battery/+"
to = "fuse-box"
size = "10 mm²"
length = "1 m"
[conductors.black-cable]
from = "battery/-"
to = "engine/block"
size = "35 mm²"
length = "1 m"
[conductors.wing-lead]
from = "battery/-"
to = "body/wing"
size = "10 mm²"
length = "0.4 m"
[conductors.bonding]
from = "engine/rear"
to = "body/wing"
size = "16 mm²"
length = "0.4 m"
[loads.starter]
kind = "starter"
draws = "200 A"
on = ["cranking"]
case = "engine/rear"
[loads.gauges]
kind = "module"
draws = "2 A"
on = ["key-on", "cranking", "idle", "running"]
feed = { from = "fuse-box", size = "1 mm²", length = "1 m" }
return = { to = "body/dash", size = "1 mm²", length = "1 m" }
[loads.headlamps]
kind = "lamp"
draws = "110 W"
on = ["key-on", "idle", "running"]
feed = { from = "fuse-box", size = "2.5 mm²", length = "2 m" }
return = { to = "body/wing", size = "2.5 mm²", length = "1 m" }
"#;

fn vehicle() -> Vehicle {
    let read = file::read(VEHICLE.as_bytes());
    let told: Vec<String> = read.problems.iter().map(|own| own.what.clone()).collect();
    read.vehicle.unwrap_or_else(|| panic!("{told:?}"))
}

/// What a line says, in short: `asked` for what is asked back, nothing for a line of another kind.
fn short(line: &str, vehicle: &Vehicle) -> String {
    match seen(line, vehicle, 1) {
        None => String::new(),
        Some(Err(_)) => "asked".to_owned(),
        Some(Ok(all)) => {
            let each: Vec<String> = all.iter().map(|own| one(own, vehicle)).collect();
            each.join("; ")
        }
    }
}

fn one(own: &Seen, vehicle: &Vehicle) -> String {
    let at = own.state.map_or(String::new(), |id| format!("@{}", vehicle.state(id).id));
    let what = match &own.sight {
        Sight::Heat { spot, hot } => {
            format!("{} {}", if *hot { "hot" } else { "cool" }, place(spot, vehicle))
        }
        Sight::Condition { spot, condition, so } => {
            let no = if *so { "" } else { "not-" };
            format!("{no}{condition:?} {}", place(spot, vehicle)).to_lowercase()
        }
        Sight::Upset { upset, device, so } => {
            let no = if *so { "" } else { "not-" };
            let device = device.map_or("-", |id| vehicle.load(id).id.as_str());
            format!("{no}{upset:?} {device}").to_lowercase()
        }
        Sight::Worked { spot, done, helped } => {
            let came = if *helped { "helped" } else { "vain" };
            format!("{done:?}-{came} {}", place(spot, vehicle)).to_lowercase()
        }
        Sight::Comes(occasion) => format!("comes {occasion:?}").to_lowercase(),
    };
    format!("{what}{at}")
}

fn place(spot: &Spot, vehicle: &Vehicle) -> String {
    match spot {
        Spot::Undrawn => "undrawn".to_owned(),
        Spot::Load(id) => vehicle.load(*id).id.clone(),
        Spot::Battery => "battery".to_owned(),
        Spot::Charger => "charger".to_owned(),
        Spot::Control => "control".to_owned(),
        Spot::Pieces(own) => {
            let mut all: Vec<&str> = Vec::new();
            all.extend(own.conductors.iter().map(|id| vehicle.conductor(*id).id.as_str()));
            all.extend(own.joints.iter().map(|id| vehicle.joint(*id).id.as_str()));
            all.extend(own.inlines.iter().map(|id| vehicle.inline(*id).id.as_str()));
            all.sort_unstable();
            all.dedup();
            all.join("+")
        }
    }
}

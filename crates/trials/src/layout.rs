//! Random vehicles as vehicle files: metal, batteries, grounds and straps, buses, loads.
//!
//! Everything here is invented to be plausible; no layout is that of a real machine.

mod draft;
mod loads;

use crate::dice::Dice;
use draft::{Draft, end};

/// What is settled about a vehicle before anything of it is written.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plan {
    pub(crate) nominal: f64,
    /// A frame with a cab on it, instead of one shell.
    pub(crate) framed: bool,
    pub(crate) rear_battery: bool,
    pub(crate) second_battery: bool,
    pub(crate) preheat: bool,
    pub(crate) loads: usize,
    pub(crate) rear_bus: bool,
    pub(crate) dash_bar: bool,
    pub(crate) rear_bar: bool,
    pub(crate) tank: bool,
    /// What the starter draws.
    pub(crate) cranking: f64,
}

impl Plan {
    fn draw(dice: &mut Dice) -> Self {
        let nominal = dice.either(0.75, 12.0, 24.0);
        let loads = dice.count(8, 30);
        let many = loads > 14;
        Self {
            nominal,
            framed: dice.chance(0.5),
            rear_battery: dice.chance(0.3),
            second_battery: dice.chance(0.35),
            preheat: dice.chance(0.35),
            loads,
            rear_bus: many && dice.chance(0.7),
            dash_bar: dice.chance(0.5),
            rear_bar: dice.chance(0.4),
            tank: dice.chance(0.4),
            cranking: dice.between(150.0, 450.0) * 12.0 / nominal,
        }
    }
}

/// The text of a random vehicle file.
#[must_use]
pub fn text(dice: &mut Dice) -> String {
    let plan = Plan::draw(dice);
    let positive_earth = dice.chance(0.05);
    let mut draft = Draft::new(dice, positive_earth);
    metal(&mut draft, &plan);
    sources(&mut draft, &plan);
    grounds(&mut draft, &plan);
    straps(&mut draft, &plan);
    buses(&mut draft, &plan);
    let everything_on = loads::write(&mut draft, &plan);
    states(&mut draft, &plan, &everything_on);
    draft.finish(&plan)
}

fn metal(draft: &mut Draft<'_>, plan: &Plan) {
    let block = draft.dice.between(20.0, 120.0);
    draft.put(
        "structures",
        "block",
        &format!(
            "material = \"grey cast iron\", resistance = \"{block:.0} µΩ\", points = {{ \
             front = {{ at = [\"0.4 m\", \"0.1 m\"], access = \"bonnet\" }}, \
             head = {{ at = [\"0.2 m\", \"0 m\"], access = \"bonnet\" }}, \
             rear = {{ at = [\"-0.2 m\", \"0.1 m\"], access = \"bonnet\", reach = \"1 min\" }}, \
             gearbox = {{ at = [\"-0.9 m\", \"0 m\"], access = \"underside\" }} }}"
        ),
    );
    let rear = draft.dice.between(-4.8, -2.6);
    let sheet = draft.dice.between(0.7, 1.2);
    let behind = if plan.framed {
        String::new()
    } else {
        format!(
            ", rear-left = {{ at = [\"{rear:.1} m\", \"0.7 m\"], access = \"rear\" }}, \
             rear-right = {{ at = [\"{rear:.1} m\", \"-0.7 m\"], access = \"rear\" }}"
        )
    };
    draft.put(
        "structures",
        "body",
        &format!(
            "sheet = \"{sheet:.2} mm\", points = {{ \
             left-front = {{ at = [\"0.5 m\", \"0.7 m\"], access = \"bonnet\" }}, \
             right-front = {{ at = [\"0.5 m\", \"-0.7 m\"], access = \"bonnet\" }}, \
             bulkhead = {{ at = [\"-0.5 m\", \"0.2 m\"], access = \"bonnet\" }}, \
             dash-left = {{ at = [\"-0.7 m\", \"0.7 m\"], access = \"dash\" }}, \
             dash-right = {{ at = [\"-0.7 m\", \"-0.7 m\"], access = \"dash\" }}, \
             roof = {{ at = [\"-1.0 m\", \"0 m\"], reach = \"3 min\" }}{behind} }}"
        ),
    );
    if plan.framed {
        let section = draft.dice.between(600.0, 2500.0);
        draft.put(
            "structures",
            "frame",
            &format!(
                "section = \"{section:.0} mm²\", points = {{ \
                 front = {{ at = [\"0.7 m\", \"0.4 m\"], access = \"bonnet\" }}, \
                 middle = {{ at = [\"-1.6 m\", \"0.4 m\"], access = \"underside\" }}, \
                 rear = {{ at = [\"{rear:.1} m\", \"0.4 m\"], access = \"underside\" }} }}"
            ),
        );
    }
    if plan.tank {
        draft.put(
            "structures",
            "tank",
            "resistance = \"0.2 mΩ\", points = { \
             sender = { at = [\"-2.4 m\", \"0.2 m\"], access = \"underside\" }, \
             bracket = { at = [\"-2.5 m\", \"0.3 m\"], access = \"underside\" } }",
        );
        let to = if plan.framed { "frame/middle" } else { "body/rear-left" };
        let kind = draft.fixing();
        draft.cable(
            "tank-strap",
            &end("tank/bracket", "spade"),
            &end(to, kind),
            "4 mm²",
            0.4,
            "surroundings = \"outside\"",
        );
    }
}

fn sources(draft: &mut Draft<'_>, plan: &Plan) {
    let chemistry = draft.dice.either(0.6, "flooded", "AGM");
    let cold = plan.cranking * draft.dice.between(1.7, 2.3);
    let charge = draft.dice.between(75.0, 95.0);
    let capacity = cold * draft.dice.between(0.10, 0.14);
    let place = if plan.rear_battery { "rear" } else { "bonnet" };
    draft.put(
        "batteries",
        "main",
        &format!(
            "chemistry = \"{chemistry}\", capacity = \"{capacity:.0} Ah\", cranking = \"{cold:.0} A\", charge = \"{charge:.0} %\", access = \"{place}\""
        ),
    );
    let (live, home) = (draft.live, draft.home);
    let output =
        (draft.dice.between(80.0, 120.0) + 6.0 * draft.ordinal(plan.loads)) * 12.0 / plan.nominal;
    let to = *draft.dice.pick(&["starter-stud", "engine-bus"]).unwrap_or(&"starter-stud");
    let area = draft.area(output, 4.5);
    let length = draft.dice.between(0.8, 2.0);
    let way_home = if draft.dice.chance(0.8) {
        "case = { point = \"block/front\", joint = \"case mounting\" }".to_owned()
    } else {
        format!(
            "return = {{ to = {}, size = \"{area} mm²\", length = \"0.4 m\", surroundings = \"engine space\", terminal = {{ joint = \"bolted lug\" }} }}",
            end("block/front", "bolted lug")
        )
    };
    draft.put(
        "alternators",
        "alternator",
        &format!(
            "output = \"{output:.0} A\", access = \"bonnet\", {way_home}, lead = {{ to = {}, size = \"{area} mm²\", length = \"{length:.2} m\", surroundings = \"engine space\", terminal = {{ joint = \"bolted lug\" }} }}",
            end(to, "bolted lug")
        ),
    );
    if !plan.second_battery {
        return;
    }
    draft.put(
        "batteries",
        "second",
        &format!(
            "chemistry = \"{chemistry}\", capacity = \"{capacity:.0} Ah\", cranking = \"{cold:.0} A\", charge = \"{charge:.0} %\", access = \"{place}\""
        ),
    );
    let area = draft.area(plan.cranking, 7.0);
    let (main_live, second_live) = (format!("main/{live}"), format!("second/{live}"));
    let split = draft.dice.chance(0.4);
    let from = if split { "split-relay/out".to_owned() } else { main_live.clone() };
    if split {
        draft.put(
            "switches",
            "split-relay",
            "kind = \"relay\", closed = [\"running\"], resistance = \"0.5 mΩ\", access = \"bonnet\"",
        );
        draft.cable(
            "split-feed",
            &end(&main_live, "post clamp"),
            &end("split-relay/in", "bolted lug"),
            &format!("{area} mm²"),
            0.5,
            "",
        );
    }
    let length = draft.dice.between(0.3, 1.5);
    draft.cable(
        "battery-link",
        &end(&from, if split { "bolted lug" } else { "post clamp" }),
        &end(&second_live, "post clamp"),
        &format!("{area} mm²"),
        length,
        "",
    );
    let second_home = format!("second/{home}");
    let to_metal = split || draft.dice.chance(0.4);
    let metal = match (plan.framed, plan.rear_battery) {
        (true, true) => "frame/rear",
        (true, false) => "frame/front",
        (false, true) => "body/rear-right",
        (false, false) => "body/right-front",
    };
    let main_home = format!("main/{home}");
    let kind = draft.heavy();
    let far = if to_metal { end(metal, kind) } else { end(&main_home, "post clamp") };
    draft.cable(
        "second-ground",
        &end(&second_home, "post clamp"),
        &far,
        &format!("{area} mm²"),
        length,
        "",
    );
}

/// Battery to metal.
fn grounds(draft: &mut Draft<'_>, plan: &Plan) {
    let home = format!("main/{}", draft.home);
    let thick = format!("{} mm²", draft.area(plan.cranking, 7.0));
    let near = match (plan.framed, plan.rear_battery) {
        (true, true) => "frame/rear",
        (true, false) => "frame/front",
        (false, true) => "body/rear-left",
        (false, false) => "body/left-front",
    };
    let to_block = draft.dice.chance(if plan.rear_battery { 0.3 } else { 0.7 });
    let kind = draft.heavy();
    if to_block {
        let length = if plan.rear_battery {
            draft.dice.between(3.0, 4.5)
        } else {
            draft.dice.between(0.6, 1.4)
        };
        draft.cable(
            "main-ground",
            &end(&home, "post clamp"),
            &end("block/front", "bolted lug"),
            &thick,
            length,
            "",
        );
        let thin = *draft.dice.pick(&["6 mm²", "10 mm²", "16 mm²"]).unwrap_or(&"10 mm²");
        draft.cable(
            "body-ground",
            &end(&home, "post clamp"),
            &end(near, kind),
            thin,
            0.5,
            "surroundings = \"engine space\"",
        );
    } else {
        let length = draft.dice.between(0.3, 0.9);
        draft.cable("main-ground", &end(&home, "post clamp"), &end(near, kind), &thick, length, "");
        let to = if plan.framed { "frame/front" } else { "body/bulkhead" };
        let kind = draft.heavy();
        let from = *draft.dice.pick(&["block/rear", "block/gearbox"]).unwrap_or(&"block/rear");
        draft.cable(
            "engine-ground",
            &end(from, "bolted lug"),
            &end(to, kind),
            &thick,
            0.6,
            "surroundings = \"engine space\"",
        );
    }
}

/// Metal to metal, the redundant and the undrawn among them.
fn straps(draft: &mut Draft<'_>, plan: &Plan) {
    let mut wanted: Vec<(&str, &str, &str)> = Vec::new();
    if plan.framed {
        // Frame and cab are always joined somewhere, or nothing in the cab would work.
        wanted.push(("cab-strap", "frame/front", "body/left-front"));
        if draft.dice.chance(0.7) {
            wanted.push(("engine-strap", "block/gearbox", "frame/middle"));
        }
        if draft.dice.chance(0.4) {
            wanted.push(("cab-strap-rear", "frame/middle", "body/dash-right"));
        }
        if draft.dice.chance(0.3) {
            wanted.push(("engine-strap-front", "block/front", "frame/front"));
        }
    }
    if draft.dice.chance(0.5) {
        wanted.push(("bulkhead-strap", "block/head", "body/bulkhead"));
    }
    if draft.dice.chance(0.25) {
        wanted.push(("gearbox-strap", "block/gearbox", "body/dash-left"));
    }
    for (name, from, to) in wanted {
        let size = *draft.dice.pick(&["10 mm²", "16 mm²", "25 mm²", "35 mm²"]).unwrap_or(&"16 mm²");
        let size = if draft.dice.chance(0.6) { format!("braid {size}") } else { size.to_owned() };
        let length = draft.dice.between(0.25, 0.7);
        let undrawn = if draft.dice.chance(0.2) { ", on-diagram = false" } else { "" };
        let kind = draft.stud();
        draft.cable(
            name,
            &end(from, "bolted lug"),
            &end(to, kind),
            &size,
            length,
            &format!("surroundings = \"outside\"{undrawn}"),
        );
    }
    let rear = if plan.framed { "frame/middle" } else { "body/rear-left" };
    let paths = [
        ("throttle", "control cable", "block/rear", "body/bulkhead", 0.3),
        ("clutch", "clutch cable", "block/gearbox", "body/bulkhead", 0.25),
        ("exhaust-pipe", "exhaust", "block/rear", rear, 0.4),
        ("fuel-hose", "braided hose", "block/head", rear, 0.2),
    ];
    for (name, kind, from, to, share) in paths {
        if draft.dice.chance(share) {
            draft.put(
                "incidental",
                name,
                &format!("kind = \"{kind}\", from = \"{from}\", to = \"{to}\""),
            );
        }
    }
    if plan.dash_bar {
        draft.put("points", "dash-bar", "access = \"dash\"");
        let to = *draft.dice.pick(&["body/dash-left", "body/bulkhead"]).unwrap_or(&"body/bulkhead");
        let kind = draft.stud();
        draft.cable(
            "dash-bar-lead",
            &end("dash-bar", "bus bar bolt"),
            &end(to, kind),
            "10 mm²",
            0.6,
            "surroundings = \"inside\"",
        );
    }
    if plan.rear_bar {
        draft.put("points", "rear-bar", "access = \"rear\"");
        let home = format!("main/{}", draft.home);
        let metal = if plan.framed { "frame/rear" } else { "body/rear-right" };
        let to_battery = plan.rear_battery && draft.dice.chance(0.5);
        let kind = draft.stud();
        let far = if to_battery { end(&home, "post clamp") } else { end(metal, kind) };
        let length = draft.dice.between(0.5, 1.5);
        draft.cable(
            "rear-bar-lead",
            &end("rear-bar", "bus bar bolt"),
            &far,
            "16 mm²",
            length,
            "surroundings = \"inside\"",
        );
    }
}

/// The feed side: starter cable, fuse boxes, ignition, lamp relay.
fn buses(draft: &mut Draft<'_>, plan: &Plan) {
    let live = format!("main/{}", draft.live);
    let thick = format!("{} mm²", draft.area(plan.cranking, 7.0));
    let scale = 12.0 / plan.nominal;
    let long =
        if plan.rear_battery { draft.dice.between(3.0, 4.5) } else { draft.dice.between(0.8, 1.8) };
    draft.put("points", "starter-stud", "access = \"underside\"");
    draft.put("points", "engine-bus", "access = \"bonnet\"");
    draft.put("points", "cabin-bus", "access = \"dash\"");
    draft.put("points", "ignition-bus", "access = \"dash\"");
    draft.put("points", "lamp-bus", "access = \"dash\"");
    let mut from = end(&live, "post clamp");
    if draft.dice.chance(0.3) {
        draft.put(
            "switches",
            "isolator",
            "kind = \"battery switch\", closed = \"always\", access = \"bonnet\"",
        );
        draft.cable("main-feed", &from, &end("isolator/in", "bolted lug"), &thick, 0.4, "");
        from = end("isolator/out", "bolted lug");
    }
    draft.cable("starter-feed", &from, &end("starter-stud", "bolted lug"), &thick, long, "");
    let solenoid = format!(
        "kind = \"solenoid\", from = \"starter-stud\", to = \"starter/{}\", closed = [\"cranking\"], resistance = \"0.3 mΩ\", access = \"underside\"",
        draft.live
    );
    draft.put("switches", "solenoid", &solenoid);
    let box_amps = (60.0 + 4.0 * draft.ordinal(plan.loads)) * scale;
    let area = draft.area(box_amps, 5.0);
    let own = draft.dice.chance(0.6);
    let begin = if own { from } else { end("starter-stud", "bolted lug") };
    let length = if own { long } else { draft.dice.between(0.6, 1.2) };
    draft.cable(
        "engine-bus-feed",
        &begin,
        &end("engine-bus", "bus bar bolt"),
        &format!("{area} mm²"),
        length,
        "",
    );
    let cabin = draft.area(50.0 * scale, 4.0);
    let length = draft.dice.between(1.2, 2.8);
    draft.put(
        "fuses",
        "cabin-main",
        &format!(
            "from = \"engine-bus\", rating = \"{:.0} A\", kind = \"strip fuse\", access = \"bonnet\"",
            100.0 * scale
        ),
    );
    draft.cable(
        "cabin-feed",
        &end("cabin-main/out", "bolted lug"),
        &end("cabin-bus", "bus bar bolt"),
        &format!("{cabin} mm²"),
        length,
        "surroundings = \"inside\"",
    );
    draft.put(
        "switches",
        "ignition",
        "kind = \"ignition switch\", to = \"ignition-bus\", closed = [\"key-on\", \"preheat\", \"cranking\", \"running\"], resistance = \"4 mΩ\", access = \"dash\"",
    );
    let key = draft.area(30.0 * scale, 5.0);
    draft.cable(
        "ignition-feed",
        &end("cabin-bus", "spade"),
        &end("ignition/in", "spade"),
        &format!("{key} mm²"),
        0.6,
        "surroundings = \"inside\"",
    );
    draft.put(
        "fuses",
        "lamp-fuse",
        &format!(
            "from = \"cabin-bus\", rating = \"{:.0} A\", kind = \"blade fuse\", access = \"dash\"",
            30.0 * scale
        ),
    );
    draft.put(
        "switches",
        "lamp-relay",
        "kind = \"relay\", to = \"lamp-bus\", closed = [\"loads-on\", \"running\"], resistance = \"3 mΩ\", access = \"dash\"",
    );
    let lamp = draft.area(20.0 * scale, 4.0);
    draft.cable(
        "lamp-feed",
        &end("lamp-fuse/out", "fuse clip"),
        &end("lamp-relay/in", "spade"),
        &format!("{lamp} mm²"),
        0.4,
        "surroundings = \"inside\"",
    );
    if plan.rear_bus {
        draft.put("points", "rear-bus", "access = \"rear\"");
        draft.put(
            "fuses",
            "rear-main",
            &format!(
                "from = \"engine-bus\", rating = \"{:.0} A\", kind = \"strip fuse\", access = \"bonnet\"",
                80.0 * scale
            ),
        );
        let area = draft.area(45.0 * scale, 3.0);
        let length = draft.dice.between(3.0, 5.5);
        draft.cable(
            "rear-feed",
            &end("rear-main/out", "bolted lug"),
            &end("rear-bus", "bus bar bolt"),
            &format!("{area} mm²"),
            length,
            "surroundings = \"inside\"",
        );
    }
    if plan.preheat {
        draft.put("points", "plug-rail", "access = \"bonnet\"");
        draft.put(
            "switches",
            "preheat-relay",
            "kind = \"relay\", from = \"engine-bus\", closed = [\"preheat\", \"cranking\"], resistance = \"1.5 mΩ\", access = \"bonnet\"",
        );
        draft.cable(
            "preheat-feed",
            &end("preheat-relay/out", "bolted lug"),
            &end("plug-rail", "bolted lug"),
            "10 mm²",
            0.9,
            "surroundings = \"engine space\"",
        );
    }
}

fn states(draft: &mut Draft<'_>, plan: &Plan, everything_on: &[String]) {
    let on: Vec<String> = everything_on.iter().map(|name| format!("\"{name}\"")).collect();
    draft.put(
        "states",
        "loads-on",
        &format!(
            "name = \"key on, engine off, everything switched on\", like = \"key-on\", on = [{}]",
            on.join(", ")
        ),
    );
    let preheat = if plan.preheat { "\"preheat\", " } else { "" };
    draft.states = format!("\"key-on\", \"loads-on\", {preheat}\"cranking\", \"running\"");
}

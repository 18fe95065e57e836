//! Random vehicles as vehicle files: metal, batteries, grounds and straps, buses, loads.
//!
//! Everything here is invented to be plausible; no layout is that of a real machine.

mod draft;
mod grounds;
mod buses;
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
    grounds::grounds(&mut draft, &plan);
    grounds::straps(&mut draft, &plan);
    buses::write(&mut draft, &plan);
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

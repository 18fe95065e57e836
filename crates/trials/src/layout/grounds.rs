//! The return side: battery to metal, straps from metal to metal, bars where returns meet.

use super::Plan;
use super::draft::{Draft, end};

/// Battery to metal.
pub(super) fn grounds(draft: &mut Draft<'_>, plan: &Plan) {
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
pub(super) fn straps(draft: &mut Draft<'_>, plan: &Plan) {
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

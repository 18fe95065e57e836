//! The feed side of a random vehicle: starter cable, fuse boxes, ignition, lamp relay.

use super::Plan;
use super::draft::{Draft, end};

/// The feed side: starter cable, fuse boxes, ignition, lamp relay.
pub(super) fn write(draft: &mut Draft<'_>, plan: &Plan) {
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

//! The places of a rough vehicle: what a person sees there, and what people call them.

use model::Earth;
use readings::plain::Phrase;

use super::setup::{Isolator, Metal, Setup};

/// What a person sees there, for every point of a rough file that a probe may touch.
///
/// `live` and `earthed` are the signs of the two poles.
pub(super) fn where_is(point: &str, setup: &Setup) -> Option<String> {
    let (device, place) = point.split_once('/').unwrap_or((point, ""));
    let (live, _) = signs(setup);
    let fed = place == live;
    let pole = if place == "+" { "plus" } else { "minus" };
    Some(match (device, place) {
        ("battery", "+" | "-") => format!("the battery's {pole} post itself, not the clamp"),
        ("second-battery", "+" | "-") => {
            format!("the second battery's {pole} post itself, not the clamp")
        }
        ("starter", _) if fed => "the thick cable's stud on the starter".to_owned(),
        ("starter", _) => "bare metal of the starter's case".to_owned(),
        ("starter-coil", _) if fed => {
            "the small terminal on the starter's solenoid, where the trigger wire ends".to_owned()
        }
        ("starter-coil", _) => "bare metal of the solenoid's case".to_owned(),
        ("alternator", _) if fed => "the thick cable's stud on the alternator".to_owned(),
        ("alternator", _) => "bare metal of the alternator's case".to_owned(),
        ("lamp", _) if fed => "the live pin at the lamp or accessory".to_owned(),
        ("lamp", _) => "the earth pin at the lamp or accessory".to_owned(),
        ("module", _) if fed => "the module's supply pin".to_owned(),
        ("module", _) => "the module's or gauge's earth pin".to_owned(),
        ("fuse-box", _) => "the stud where the fuse box is fed".to_owned(),
        ("start-switch", "out") => "the start wire behind the key switch".to_owned(),
        ("engine", "block") => "bare metal of the engine block".to_owned(),
        ("engine", "starter") => "bare engine metal beside the starter".to_owned(),
        ("engine", "earth-cable") => "the engine where the earth cable is bolted".to_owned(),
        ("body", "front") => "bare body metal at the front, where a strap is bolted".to_owned(),
        ("body", "dash") => "bare body metal behind the dashboard".to_owned(),
        ("body", "rear") => "bare body metal near the battery".to_owned(),
        ("frame", "front") => "bare frame metal beside the engine".to_owned(),
        ("frame", "rear") => "bare frame metal near the battery".to_owned(),
        ("earth-bar", _) => "the bar where the earth cables meet".to_owned(),
        ("isolator", "in") => "the battery switch, battery side".to_owned(),
        ("isolator", "out") => "the battery switch, vehicle side".to_owned(),
        _ => return None,
    })
}

/// Signs of the live and of the earthed pole.
pub(super) fn signs(setup: &Setup) -> (&'static str, &'static str) {
    match setup.earth {
        Earth::Negative => ("+", "-"),
        Earth::Positive => ("-", "+"),
    }
}

/// The clamps on the battery's posts: the ends there of the cables that carry the starter's current.
fn clamps(setup: &Setup, add: &mut impl FnMut(&str, String)) {
    let (live, earthed) = signs(setup);
    let fed = if setup.isolator == Isolator::Live { "battery-cable" } else { "starter-cable" };
    let home = if setup.isolator == Isolator::Earthed { "battery-earth" } else { "main-earth" };
    for (sign, words) in [("+", ["plus", "positive", "pos"]), ("-", ["minus", "negative", "neg"])] {
        let cable = if sign == live { fed } else { home };
        debug_assert!(sign == live || sign == earthed, "a battery has two poles");
        for word in words {
            let single = "@ clamp, battery @ clamp, @ battery clamp, clamp of the @ post";
            add(&single.replace('@', word), format!("{cable}.from"));
            let pair = "@ post to clamp, @ post to its clamp, @ post to the clamp, \
                        battery @ post to clamp, battery @ post to its clamp, \
                        @ battery post to clamp, @ battery post to its clamp";
            add(&pair.replace('@', word), format!("battery/{sign} to {cable}.from"));
        }
    }
}

/// What people call the points of a rough file.
///
/// `watched` is the load that the symptom is about: its two sides are the `ground side` and the
/// `positive side` of a drop that is told without its places.
pub(super) fn phrases(setup: &Setup, watched: Option<&str>) -> Vec<Phrase> {
    let (live, earthed) = signs(setup);
    let mut all = Vec::new();
    let mut add = |words: &str, name: String| {
        for own in words.split(", ") {
            all.push(Phrase::new(own, &name));
            all.push(Phrase::new(&format!("the {own}"), &name));
        }
    };
    for (sign, words) in
        [("+", ["plus", "positive", "pos", "+"]), ("-", ["minus", "negative", "neg", "-"])]
    {
        for word in words {
            let post = "battery @, battery @ post, battery @ terminal, @ post, @ terminal of the battery, \
                        @ of the battery, @ battery post, @ battery terminal";
            add(&post.replace('@', word), format!("battery/{sign}"));
        }
    }
    add(
        "starter stud, starter terminal, starter main terminal, starter plus, \
         starter positive, starter post, starter feed",
        format!("starter/{live}"),
    );
    add(
        "starter case, starter body, starter housing, starter earth, starter ground",
        format!("starter/{earthed}"),
    );
    add(
        "trigger, trigger wire, trigger terminal, starter trigger, solenoid trigger, \
         small terminal, signal wire, start wire, s terminal, terminal 50, starter coil, \
         solenoid terminal",
        format!("starter-coil/{live}"),
    );
    add("engine, block, engine block, engine metal, motor", "engine/block".to_owned());
    add(
        "alternator stud, alternator output, alternator terminal, b+, alternator plus",
        format!("alternator/{live}"),
    );
    add("alternator case, alternator housing", format!("alternator/{earthed}"));
    add(
        "alternator b+, alternator +, alternator positive, alternator pos, alternator b+ terminal, \
         alternator b+ stud, alternator positive terminal, alternator output stud",
        format!("alternator/{live}"),
    );
    clamps(setup, &mut add);
    if let Some(load) = watched {
        add(
            "ground side, earth side, ground side drop, earth side drop, ground side voltage drop",
            format!("{load}/{earthed} to battery/{earthed}"),
        );
        if setup.earth == Earth::Negative {
            add(
                "positive side, feed side, positive side drop, feed side drop, positive side voltage drop",
                format!("battery/+ to {load}/+"),
            );
            add(
                "negative side, negative side drop, negative side voltage drop",
                format!("{load}/- to battery/-"),
            );
        }
    }
    add("fuse box, fusebox, fuses", "fuse-box".to_owned());
    add("light, accessory, headlamp, headlight, bulb", "lamp".to_owned());
    add("lamp plus, lamp feed, lamp live", format!("lamp/{live}"));
    add("lamp earth, lamp ground, lamp minus", format!("lamp/{earthed}"));
    add("module earth, module ground, gauge earth, gauge ground", format!("module/{earthed}"));
    if matches!(setup.metal, Metal::EngineBody | Metal::EngineFrameBody) {
        add("body, bodywork, body shell, wing, fender, cab", "body/front".to_owned());
        if setup.metal == Metal::EngineBody {
            add("chassis", "body/front".to_owned());
        }
    }
    if matches!(setup.metal, Metal::EngineFrame | Metal::EngineFrameBody) {
        add("frame, chassis, frame rail", "frame/front".to_owned());
    }
    all
}

#[cfg(test)]
mod tests;

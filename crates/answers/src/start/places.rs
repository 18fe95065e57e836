//! The places of a rough vehicle: what a person sees there, and what people call them.

use model::{Earth, Vehicle};
use readings::{Place, Vocabulary};

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

/// What people call the places of a rough file.
///
/// `watched` is the load that the symptom is about: its two sides are the `ground side` and the
/// `positive side` of a drop that is told without its places.
pub(super) fn words(vehicle: &Vehicle, setup: &Setup, watched: Option<&str>) -> Vocabulary {
    let (live, earthed) = signs(setup);
    let mut words = Vec::new();
    if let Some(load) = watched {
        let home = format!("{load}/{earthed} to battery/{earthed}");
        words.push((
            "ground side, earth side, ground side drop, earth side drop, ground side voltage drop",
            home.clone(),
        ));
        if setup.earth == Earth::Negative {
            words.push((
                "positive side, feed side, positive side drop, feed side drop, positive side voltage drop",
                format!("battery/+ to {load}/+"),
            ));
            words.push(("negative side, negative side drop, negative side voltage drop", home));
        }
    }
    Vocabulary::of(vehicle)
        .with_places(own_places(setup, live))
        .with_words(words)
        .watching(watched)
        // Nobody has seen the rough file: who says `engine-strap` means a strap on the engine.
        .reading_as_words(&["engine-strap"])
}

/// Where a rough file has several for one word: the metal that is easiest to reach, and the clamps of the
/// cables that carry the starter's current.
fn own_places(setup: &Setup, live: &str) -> Vec<(Place, String)> {
    let fed = if setup.isolator == Isolator::Live { "battery-cable" } else { "starter-cable" };
    let home = if setup.isolator == Isolator::Earthed { "battery-earth" } else { "main-earth" };
    let (plus, minus) = if live == "+" { (fed, home) } else { (home, fed) };
    let mut places = vec![
        (Place::PlusClamp, format!("{plus}.from")),
        (Place::MinusClamp, format!("{minus}.from")),
    ];
    let body = matches!(setup.metal, Metal::EngineBody | Metal::EngineFrameBody);
    let frame = matches!(setup.metal, Metal::EngineFrame | Metal::EngineFrameBody);
    if body {
        places.push((Place::Body, "body/front".to_owned()));
    }
    if frame {
        places.push((Place::Frame, "frame/front".to_owned()));
    }
    if body || frame {
        let metal = if frame { "frame" } else { "body" };
        places.push((Place::Chassis, format!("{metal}/front")));
    }
    places
}

#[cfg(test)]
mod tests;

//! Lines with what they say.

use super::{short, vehicle};

const EARTHS: &str = "black-cable+bonding+wing-lead";
const ENGINE: &str = "black-cable+bonding";
const BODY: &str = "bonding+wing-lead";
const MINUS: &str = "black-cable.from+wing-lead.from";
const PLUS: &str = "panel-feed.from+red-cable.from";

fn check(lines: &[(&str, &str)]) {
    let v = vehicle();
    let wrong: Vec<String> = lines
        .iter()
        .filter_map(|(line, expected)| {
            let expected = expected
                .replace("EARTHS", EARTHS)
                .replace("ENGINE", ENGINE)
                .replace("BODY", BODY)
                .replace("MINUS", MINUS)
                .replace("PLUS", PLUS);
            let own = short(line, &v);
            (own != expected).then(|| format!("{line}: `{own}`, not `{expected}`"))
        })
        .collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn what_gets_hot_is_understood_with_its_place() {
    check(&[
        ("the throttle cable gets hot while it is cranked", "hot undrawn@cranking"),
        ("choke cable smokes when I crank", "hot undrawn@cranking"),
        ("cranking: speedo cable warm", "hot undrawn@cranking"),
        ("the gear linkage is too hot to touch after cranking", "hot undrawn@cranking"),
        ("braided brake hose glows during cranking", "hot undrawn@cranking"),
        ("prop shaft heats up a little when the engine is cranked", "hot undrawn@cranking"),
        ("clutch cable melted", "hot undrawn"),
        ("accelerator cable burnt", "hot undrawn"),
        ("the thin black wire of the radio gets hot when starting", "hot undrawn@cranking"),
        ("the shield of the aerial lead is scorched", "hot undrawn"),
        ("exhaust hanger gets warm while cranking", "hot undrawn@cranking"),
        ("the engine strap gets hot during cranking", "hot ENGINE@cranking"),
        ("earth strap hot after 10 seconds of cranking", "hot EARTHS@cranking"),
        ("ground strap smoking", "hot EARTHS"),
        ("negative battery clamp hot after cranking", "hot MINUS@cranking"),
        ("battery plus terminal is warm when cranking", "hot PLUS@cranking"),
        (
            "the thick positive cable gets very hot while starting",
            "hot panel-feed+red-cable@cranking",
        ),
        ("starter stud burning hot", "hot alternator.lead.to+red-cable.to"),
        (
            "both battery clamps are hot",
            "hot black-cable.from+panel-feed.from+red-cable.from+wing-lead.from",
        ),
        ("starter motor overheats while cranking", "hot starter@cranking"),
        ("bonding gets hot", "hot bonding"),
        ("black-cable warm while cranking", "hot black-cable@cranking"),
        ("body strap toasty", "hot BODY"),
    ]);
}

#[test]
fn what_stays_cool_is_the_contrary_of_what_gets_hot() {
    check(&[
        ("the throttle cable stays cool while it is cranked", "cool undrawn@cranking"),
        ("earth strap does not get hot while cranking", "cool EARTHS@cranking"),
        ("negative clamp is not hot", "cool MINUS"),
        ("battery cables never get warm", "cool black-cable+panel-feed+red-cable+wing-lead"),
        ("no smoke from the engine strap", "cool ENGINE"),
        ("earth strap is cold after cranking", "cool EARTHS@cranking"),
    ]);
}

#[test]
fn what_was_found_is_understood_with_its_place() {
    check(&[
        ("found the engine strap loose", "loose black-cable.to+bonding"),
        ("the negative clamp could be turned by hand", "loose MINUS"),
        ("ground stud on the chassis is green", "corroded bonding.to+wing-lead.to"),
        ("earth strap missing between engine and body", "missing bonding"),
        ("strap from engine to fender is off", "missing bonding"),
        ("battery earth cable corroded at the wing", "corroded wing-lead"),
        ("the braid is hanging by a thread", "broken EARTHS"),
        ("positive post furred up", "corroded PLUS"),
        ("strap between block and chassis was not there", "missing bonding"),
        ("rusty ground on the bulkhead", "corroded bonding+wing-lead.to"),
        ("gauge earth is corroded", "corroded gauges.return"),
        (
            "the nut on the starter stud was only finger tight",
            "loose alternator.lead.to+red-cable.to",
        ),
        ("engine ground disconnected", "missing ENGINE"),
        (
            "no corrosion on the battery terminals",
            "not-corroded black-cable.from+panel-feed.from+red-cable.from+wing-lead.from",
        ),
        ("earth strap is clean and tight", "fine EARTHS"),
        ("the minus clamp is not loose", "not-loose MINUS"),
        ("alternator connection is dirty", "corroded alternator.lead.from"),
    ]);
}

#[test]
fn what_else_misbehaves_is_understood_with_when_it_does() {
    check(&[
        ("fuel gauge moves when the headlights are on", "moves gauges"),
        ("when the lights are switched on the temperature gauge rises", "moves gauges"),
        ("the needle jumps with the indicators", "moves gauges"),
        ("radio crackles when the wipers are on", "moves gauges"),
        ("plotter resets while cranking", "dims gauges@cranking"),
        ("chart plotter reboots when the windlass is used", "moves gauges"),
        ("headlights dim while cranking", "dims headlamps@cranking"),
        ("lights flicker when cranking", "dims headlamps@cranking"),
        ("dome light goes out when I try to start", "dies headlamps@cranking"),
        ("the lamps stay bright while cranking", "not-dims headlamps@cranking"),
        ("lights do not dim when cranking", "not-dims headlamps@cranking"),
        ("radio does not work while cranking", "dies gauges@cranking"),
        ("everything else works", "not-dies -"),
        ("everything is dead", "dies -"),
        ("no lights either", "dies headlamps"),
        ("fuel gauge stays steady with the headlights on", "not-moves gauges"),
    ]);
}

#[test]
fn what_was_tried_is_understood_with_what_came_of_it() {
    check(&[
        ("new battery changed nothing", "replaced-vain battery"),
        ("replaced the starter, nothing better", "replaced-vain starter"),
        ("swapped the alternator - no difference", "replaced-vain charger"),
        ("new battery and new starter, no change", "replaced-vain battery; replaced-vain starter"),
        ("fitted a new starter relay without effect", "replaced-vain control"),
        ("new earth strap made no difference", "replaced-vain EARTHS"),
        ("new positive battery cable, still the same", "replaced-vain panel-feed+red-cable"),
        (
            "cleaned the battery terminals, did not help",
            "cleaned-vain black-cable.from+panel-feed.from+red-cable.from+wing-lead.from",
        ),
        ("tightened the minus clamp and it works again", "cleaned-helped MINUS"),
        ("wiggling the negative clamp helps", "moved-helped MINUS"),
        ("pushing on the engine strap does nothing", "moved-vain ENGINE"),
        ("a new engine ground strap cured it", "replaced-helped ENGINE"),
        ("hitting the starter makes it work", "moved-helped starter"),
        ("changed the solenoid, no luck", "replaced-vain control"),
    ]);
}

#[test]
fn when_a_fault_comes_is_understood() {
    check(&[
        ("only when wet", "comes wet"),
        ("it happens when it rains", "comes wet"),
        ("only when the engine is hot", "comes hot"),
        ("worse on cold mornings", "comes cold"),
        ("comes and goes", "comes comesandgoes"),
        ("appears after a bump", "comes shaken"),
        ("cranks slowly when hot", "comes hot@cranking"),
        ("sluggish in the cold", "comes cold"),
    ]);
}

/// Every one of these looks like something that was seen, and may mean something else.
#[test]
fn what_may_mean_something_else_is_asked_back() {
    check(&[
        ("the hot lead is loose", "asked"),
        ("the cable gets hot", "asked"),
        ("a terminal is corroded", "asked"),
        ("battery cable hot while cranking", "asked"),
        ("it gets hot", "asked"),
        ("the earth strap might get hot", "asked"),
        ("earth strap hardly gets hot", "asked"),
        ("the earth strap used to get hot", "asked"),
        ("earth strap would get hot if it were bad", "asked"),
        ("strap hot but clamp cool", "asked"),
        ("earth strap hot, not sure", "asked"),
        ("not only the strap gets hot", "asked"),
        ("the strap is not cool", "asked"),
        ("exhaust gets hot", "asked"),
        ("earth strap gets hot while running and cranking", "asked"),
        ("earth strap hot and loose", "asked"),
        ("no strap that I saw was not loose", "asked"),
        ("earth strap loose on my neighbour's van", "asked"),
        ("fuel gauge moves", "asked"),
        ("gauge jumps while the lamp is dim", "asked"),
        ("a new battery and an earth strap cured it", "asked"),
        ("new battery, no change, lights dim", "asked"),
        ("new battery, tightened the clamps, no change", "asked"),
        ("not when wet", "asked"),
        ("it only starts when cold", "asked"),
        ("it only cranks when cold", "asked"),
        ("only when wet and when hot", "asked"),
        ("lights dim at 40 mph while cranking", "asked"),
        ("the gauge wire is corroded", "asked"),
        ("throttle cable gets hot unless I crank briefly", "asked"),
        ("earth strap clean but loose", "asked"),
    ]);
}

#[test]
fn lines_of_another_kind_stay_what_they_are() {
    check(&[
        ("is the earth strap hot?", ""),
        ("new battery", ""),
        ("works when hot", ""),
        ("earth strap cold", ""),
        ("battery is good", ""),
        ("starter is dead", ""),
        ("the engine gets hot while running", ""),
        ("cranking: battery 9.1 V", ""),
        ("12.6 V at the battery", ""),
        ("alternator replaced last year", ""),
        ("it will not start", ""),
        ("engine to battery minus no drop", ""),
        ("zero luck cranking", ""),
        ("nothing found between engine and battery", ""),
    ]);
}

//! The answer for programs.

use diagnosis::{SideBelief, Standing};
use model::Vehicle;
use serde_json::{Value, json};

use super::commands;
use super::next::{WORTH_TAKING, outcomes};
use super::worth::worth_words;
use crate::answer::json as shape;
use crate::commands::start::Written;
use crate::commands::start::setup::{Isolator, Metal, Place};
use crate::commands::start::story::{Outcome, Story, Weighed};
use crate::commands::start::symptom::symptom_word;
use crate::written::path_text;

/// The same for programs.
pub(crate) fn json(
    story: &Story<'_>,
    weighed: &Weighed,
    written: Option<&Written>,
    file: &str,
    remarks: &[String],
) -> Value {
    let vehicle: &Vehicle = story.vehicle;
    let setup = story.setup;
    let side = |own: &SideBelief| {
        let mut value = shape(&answers::sides::of(vehicle, own));
        if let Some(object) = value.as_object_mut() {
            object.insert("before".to_owned(), json!(weighed.first(own.side).0));
            let standing = match weighed.standing(own) {
                Standing::Suspect => "suspect",
                Standing::Open => "open",
                Standing::Cleared => "cleared",
                Standing::UnlikelySoFar => "unlikely-so-far",
                Standing::Unlikely => "unlikely",
            };
            object.insert("standing".to_owned(), json!(standing));
        }
        value
    };
    let told: Vec<Value> = story
        .told
        .iter()
        .map(|own| {
            let worth = match &own.outcome {
                Outcome::Reading(_) if weighed.left_out(own.number).is_some() => "kept",
                Outcome::Reading(_) => "weighed",
                Outcome::Worthless(_) => "nothing",
                _ => "kept",
            };
            let problem = own.outcome.problem().map_or(Value::Null, |problem| {
                shape(&answers::problem::of(std::slice::from_ref(problem), &own.read).pop())
            });
            let states = match &own.outcome {
                Outcome::WhichState { states, .. } => {
                    json!(states.iter().map(|state| &vehicle.state(*state).id).collect::<Vec<_>>())
                }
                _ => Value::Null,
            };
            let moved: Value = weighed.steps.iter().find(|step| step.number == own.number).map_or(Value::Null, |step| {
                json!(step.sides.iter().map(|(side, a, b)| json!({ "side": side.word(), "before": a.0, "after": b.0 })).collect::<Vec<_>>())
            });
            json!({
                "number": own.number,
                "said": own.said,
                "read": own.read,
                "assumed_state": own.assumed.map(|state| vehicle.state(state).id.clone()),
                "turned": own.turned,
                "worth": worth,
                "words": worth_words(story, weighed, own),
                "moved": moved,
                "problem": problem,
                "may_be": states,
            })
        })
        .collect();
    let next = weighed.next.first().filter(|own| own.gain > WORTH_TAKING).map(|own| {
        let mut value = shape(&answers::next::proposed(vehicle, own));
        if let Some(object) = value.as_object_mut() {
            let outcomes: Vec<Value> = outcomes(story, weighed, own)
                .into_iter()
                .map(|(near, points_to)| json!({ "near": near, "points_to": points_to }))
                .collect();
            object.insert("outcomes".to_owned(), json!(outcomes));
        }
        value
    });
    let (path, readings, failed) = match written {
        Some(Ok((path, readings))) => (Some(path), readings.as_ref(), None),
        Some(Err(why)) => (None, None, Some(why)),
        None => (None, None, None),
    };
    json!({
        "format": 1,
        "setup": {
            "layout": setup.layout,
            "nominal_volts": setup.nominal.0,
            "batteries": setup.batteries,
            "battery_place": if setup.place == Place::Far { "far" } else { "near" },
            "metal": match setup.metal {
                Metal::Engine => "engine",
                Metal::EngineBody => "engine-body",
                Metal::EngineFrame => "engine-frame",
                Metal::EngineFrameBody => "engine-frame-body",
            },
            "battery_switch": match setup.isolator {
                Isolator::None => "none",
                Isolator::Live => "live",
                Isolator::Earthed => "earthed",
            },
            "earth": if setup.earth == model::Earth::Negative { "negative" } else { "positive" },
            "surroundings": setup.surroundings,
        },
        "symptom": symptom_word(story.symptom),
        "cautions": answers::cautions::told(&answers::cautions::Cautions::of(vehicle).of_reading()),
        "load": weighed.heard.load.map(|load| vehicle.load(load).id.clone()),
        "state": vehicle.state(weighed.heard.state).id,
        "sides": weighed.account.sides.sides.iter().map(side).collect::<Vec<_>>(),
        "elsewhere": weighed.account.sides.elsewhere.0,
        "nothing_bad": weighed.account.sides.nothing.0,
        "not_cleared": weighed.holds.iter().map(|own| shape(&answers::holds::of(vehicle, &weighed.seen, *own))).collect::<Vec<_>>(),
        "suspects": weighed.account.diagnosis.suspects.iter().take(10).map(|own| {
            let mut value = shape(&answers::diagnose::suspect_name(vehicle, own.kind));
            if let Some(object) = value.as_object_mut() {
                object.insert("probability".to_owned(), json!(own.probability));
            }
            value
        }).collect::<Vec<_>>(),
        "take_again": weighed.account.diagnosis.take_again.iter().map(|(number, chance)| json!({ "number": number, "probability": chance })).collect::<Vec<_>>(),
        "told": told,
        "next": next,
        "notes": remarks,
        "written": path.map(|own| path_text(own)),
        "readings_written": readings.map(|own| path_text(own)),
        "not_written": failed,
        "file": if path.is_some() { Value::Null } else { json!(file) },
        "readings_file": if path.is_some() { Value::Null } else { json!(story.file()) },
        "commands": path.map(|path| commands(story, weighed, path, readings.map(std::path::PathBuf::as_path))),
    })
}

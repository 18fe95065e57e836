//! What is done at a joint on the sheet of a job: faces, assembly, torque, protection, each in the order of the work.

use std::collections::BTreeSet;

use catalogue::{Fixing, Preparation, Provenance, Row};
use model::{JointId, Vehicle};

use crate::bolt::Asked;
use crate::bolt::found::{Found, TorqueFrom};
use crate::bolt::place::Place;
use crate::bolt::sheet::{JointWarning, Sheet};
use crate::bolt::tightening::{USUAL_SHARE_CONFIDENCE, USUAL_SHARE_SOURCE};
use crate::told::names::{capital, joint_owner};
use crate::told::quantity::{force, torque, volts};
use crate::told::{Line, joined, name};

/// The catalogue's practices, shortened for the bench: what is done to the faces.
const FACES: [(&str, &str); 4] = [
    (POSTS, "Clean post, clamp and bolt to bright metal; spread the clamp, do not hammer it on."),
    (
        "clean the faces",
        "No paint, oxide, oil, water or grit on them; plating stays where it is sound.",
    ),
    (
        "take off paint",
        "Paint off the lug’s footprint to bright metal, finished fine and wiped with solvent.",
    ),
    ("aluminium faces", "On bare aluminium a conversion coating within a day."),
];
/// How it is put together.
const ASSEMBLY: [(&str, &str); 2] = [
    (
        "no washer between faces",
        "No washer between the lug and its face: the current goes through the faces.",
    ),
    ("star washers", "Star washers only where the joint is sealed afterwards."),
];
/// What follows when it is tight.
const AFTERWARDS: [(&str, &str); 3] = [
    (POSTS, "Coat clamp and post with grease or silicone and wipe off the rest."),
    (
        "seal after assembly",
        "The metals differ: coat the closed joint (silicone, epoxy, polyurethane), so that no \
         liquid bridges it.",
    ),
    ("grease", "Seal outside only, after tightening; nothing between the faces."),
];
/// The practice of battery posts.
const POSTS: &str = "battery posts";
/// What a joint is kept by where nothing keeps it.
const NOTHING: &str = "none";

/// What is done at one joint.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct JointJob {
    /// The joint.
    pub joint: String,
    /// Its kind.
    pub kind: String,
    /// The point at which it is.
    pub point: String,
    /// False for plugs, clips and splices: nothing is screwed.
    pub fastened: bool,
    /// Its faces.
    pub faces: Line,
    /// Washers and the order of its stack; empty where there is nothing to say.
    pub assembly: Line,
    /// What it is tightened to.
    pub torque: Line,
    /// What keeps it afterwards; empty where there is nothing to say.
    pub protection: Line,
    /// What is against what is recommended.
    pub warnings: Vec<Line>,
    /// Where practices and torques come from.
    pub sources: Vec<Provenance>,
}

impl JointJob {
    /// What is done at a joint of a vehicle; nothing where nobody knows it.
    pub(crate) fn of(vehicle: &Vehicle, joint: JointId) -> Option<Self> {
        let asked = Asked::of_joint(&vehicle.joint(joint).id);
        let found = Found::of(Some(vehicle), &asked, &mut |_| true).ok()?;
        let Found::AsFiled { place, sheet, .. } = &found else { return None };
        let advice = advice(place, sheet);
        let warnings = found.warnings();
        Some(Self {
            joint: place.name.clone(),
            kind: place.kind.to_string(),
            point: place.point.clone(),
            fastened: place.kind.expects_fastener(),
            faces: faces(sheet, &advice),
            assembly: assembly(vehicle, place, sheet, &advice),
            torque: torque_of(&found, place, sheet),
            protection: protection(place, &advice),
            warnings: warnings.into_iter().filter_map(|own| warning(own, &found, sheet)).collect(),
            sources: sources(&found, &advice),
        })
    }
}

/// The advice that a job repeats: a post's clamp has no faces for washers, and is coated whole.
fn advice(place: &Place, sheet: &Sheet) -> Vec<&'static Preparation> {
    let post = place.kind.fixing == Fixing::PostClamp;
    let said: BTreeSet<&str> =
        FACES.iter().chain(&ASSEMBLY).chain(&AFTERWARDS).map(|(key, _)| *key).collect();
    let wanted = |own: &&Preparation| own.key() == POSTS || (!post && said.contains(own.key()));
    sheet.advice().into_iter().filter(wanted).collect()
}

/// The words for those practices that bear on the joint.
fn practices<'w>(
    words: &'w [(&str, &str)],
    advice: &'w [&'static Preparation],
) -> impl Iterator<Item = Line> + 'w {
    let said = words.iter().filter(|(key, _)| advice.iter().any(|own| own.key() == *key));
    said.map(|(_, words)| say!("{}", *words))
}

fn faces(sheet: &Sheet, advice: &[&'static Preparation]) -> Line {
    let mut all = Vec::new();
    if !advice.iter().any(|own| own.key() == POSTS) {
        let metals = sheet
            .couple
            .map_or_else(Line::new, |own| say!(" ({} on {})", own.first.key(), own.second.key()));
        all.push(say!("Both faces{} to bare bright metal, and the thread.", metals));
    }
    all.extend(practices(&FACES, advice));
    joined(all, " ")
}

fn assembly(
    vehicle: &Vehicle,
    place: &Place,
    sheet: &Sheet,
    advice: &[&'static Preparation],
) -> Line {
    let mut all = Vec::new();
    if let Some(washer) = &sheet.asked.washer {
        all.push(say!("Washers in the file: {}.", name(washer)));
    }
    all.extend(practices(&ASSEMBLY, advice));
    if sheet.asked.stack > 1 {
        all.push(stack(vehicle, place, sheet));
    }
    joined(all, " ")
}

/// How many share the stud, and in which order from the metal outwards.
fn stack(vehicle: &Vehicle, place: &Place, sheet: &Sheet) -> Line {
    let joints = place.stacked.iter().filter_map(|own| {
        let joint = vehicle.joints.iter().find(|joint| joint.id == *own)?;
        Some(say!("{}", name(joint_owner(vehicle, joint))))
    });
    let order =
        if place.stacked.len() > 1 { say!(": {}", joined(joints, ", then ")) } else { Line::new() };
    let count = sheet.asked.stack as usize;
    say!("{} terminals on this stud, the largest current next to the metal{}.", count, order)
}

fn torque_of(found: &Found, place: &Place, sheet: &Sheet) -> Line {
    let maker = "Tighten to the maker’s torque (the file gives none).";
    let Found::AsFiled { bolt: Some((bolt, tightening, from)), .. } = found else {
        if let Some(filed) = place.torque {
            let overrides = "(from the file; the maker’s figure overrides it)";
            return say!("Tighten to {} {}.", torque(filed), overrides);
        }
        let given = found.connections().into_iter().map(|own| {
            let most =
                if own.low == own.high { Line::new() } else { say!(" to {}", torque(own.high)) };
            say!("{}{} ({})", torque(own.low), most, own.connection.as_str())
        });
        let given = joined(given, ", ");
        return if given.is_empty() {
            say!("{}", maker)
        } else {
            say!("{} Others give {}.", maker, given)
        };
    };
    let thread = place.thread.map(|own| own.to_string()).unwrap_or_default();
    let class = if bolt.class.key().starts_with("grade") { "" } else { "class " };
    if *from == TorqueFrom::Usual {
        let head = if bolt.class_assumed { ", if its head says so," } else { "" };
        return say!(
            "{} A steel bolt {} of {}{}{} bears {} in steel or iron at the most; sheet, weld \
             nuts, aluminium, brass and lead much less.",
            maker,
            thread,
            class,
            bolt.class.key(),
            head,
            torque(tightening.torque)
        );
    }
    let mut line = say!(
        "Tighten to {} (from the file; the maker’s figure overrides it). {}, {}{}{}: it clamps \
         with {} to {}.",
        torque(tightening.torque),
        thread,
        class,
        bolt.class.key(),
        if bolt.class_assumed { " (assumed: read the head)" } else { "" },
        force(tightening.clamp.low),
        force(tightening.clamp.high)
    );
    if let Some(own) = sheet.forming {
        line.extend(say!(
            " The screw forms its own thread: {} at the most, it breaks at {}.",
            torque(own.screw.highest),
            torque(own.screw.breaking)
        ));
    }
    line
}

fn protection(place: &Place, advice: &[&'static Preparation]) -> Line {
    let kept = place.protection.map(|own| own.to_string()).filter(|own| own != NOTHING);
    let kept = kept.map(|own| say!("It was kept by {}: renew that.", own));
    joined(practices(&AFTERWARDS, advice).chain(kept), " ")
}

fn warning(own: JointWarning, found: &Found, sheet: &Sheet) -> Option<Line> {
    Some(match own {
        JointWarning::UnlikeFaces => unlike(sheet)?,
        JointWarning::TooManyTerminals => {
            say!("One stud holds four terminals at the most: join studs with a bus.")
        }
        JointWarning::AboveHighestTorque => {
            let (_, tightening) = found.bolted()?;
            say!("{} is above the highest torque of such a screw.", torque(tightening.torque))
        }
        JointWarning::BeyondProofLoad => say!(
            "With little friction this torque stretches the bolt for good: ask the maker before \
             tightening."
        ),
    })
}

fn unlike(sheet: &Sheet) -> Option<Line> {
    let own = sheet.couple?;
    let assumed = if sheet.asked.environment_assumed { " (assumed)" } else { "" };
    Some(say!(
        "{} on {}: {} apart, more than the {} usual for {}{}. Wet, the {} goes: seal it, or \
         plate one.",
        capital(own.first.key()),
        own.second.key(),
        volts(own.difference),
        volts(own.allowed),
        sheet.asked.environment.to_string(),
        assumed,
        own.goes().key()
    ))
}

fn sources(found: &Found, advice: &[&'static Preparation]) -> Vec<Provenance> {
    let mut all: Vec<Provenance> = advice.iter().map(|own| own.provenance.clone()).collect();
    match found {
        Found::AsFiled { bolt: Some((_, _, TorqueFrom::Usual)), .. } => all.push(Provenance {
            source: USUAL_SHARE_SOURCE.to_owned(),
            confidence: USUAL_SHARE_CONFIDENCE,
        }),
        Found::AsFiled { bolt: None, .. } => {
            all.extend(found.connections().into_iter().map(|own| own.provenance.clone()));
        }
        _ => {}
    }
    all
}

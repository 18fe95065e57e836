//! The joint about a bolt: its faces, their pressure and contact, what eats them, how it is kept.

use catalogue::{
    AnodicGroup, Catalogue, ContactMetal, Corrosivity, FormingScrew, JointKind, Preparation, Row,
    Thread,
};
use physics::bolt::ring_pressure;
use physics::contact::clean_resistance;
use physics::corrosion::{self, time_to_depth};
use physics::quantity::{MetresPerYear, Years};
use units::{Dimension, Metres, NewtonMetres, Newtons, Ohms, Pascals, Ratio, Volts};

use super::of_joint::Place;
use super::{Arguments, Bolt, Tightening};
use crate::option::whole_number;

mod said;

/// Forming torque over breaking torque in thin steel sheet: 25 to 50 % (from memory); the middle.
const FORMING_SHARE: Ratio = Ratio(0.375);

/// Usual electroplate of zinc on hardware (from memory: 5 to 8 µm).
const ZINC_PLATE: Metres = Metres(5e-6);

/// Most terminals on one stud.
const MOST_TERMINALS: u32 = 4;

/// Pad of a lug over the diameter of its stud, where nobody says (from memory: tubular lugs have 1.8 to 2.5).
const PAD_OVER_STUD: f64 = 2.0;

/// What is asked of the joint about the bolt.
#[derive(clap::Args, Debug, Default, Clone)]
pub(crate) struct Options {
    /// The two faces, such as `tin, bare steel`.
    #[arg(long, value_name = "METAL, METAL")]
    pub(super) faces: Option<String>,
    /// Where it lives: dry, inland, salted roads, coast or sea.
    #[arg(long)]
    pub(super) environment: Option<String>,
    /// Terminals on the same stud.
    #[arg(long, value_parser = whole_number::<u32>)]
    pub(super) stack: Option<u32>,
    /// Outer diameter of the lug's pad, or of the face that clamps; twice the thread when left out.
    #[arg(long, value_name = "LENGTH")]
    pub(super) pad: Option<String>,
    /// Washers, such as `flat, star under the lug`.
    #[arg(long)]
    pub(super) washer: Option<String>,
    /// A screw that forms its own thread.
    #[arg(long)]
    pub(super) forming: bool,
}

#[cfg(test)]
impl Options {
    /// Faces in a place.
    pub(super) fn of(faces: &str, environment: &str) -> Self {
        Self {
            faces: Some(faces.to_owned()),
            environment: Some(environment.to_owned()),
            ..Self::default()
        }
    }
}

/// The places that a file may name, with the allowance and the class of air read for them.
const ENVIRONMENTS: [(&str, Environment); 5] = [
    ("dry", Environment { word: "dry", allowance: "normal", air: "C2" }),
    ("inland", Environment { word: "inland", allowance: "normal", air: "C3" }),
    ("salted roads", Environment { word: "salted roads", allowance: "harsh", air: "C4" }),
    ("coast", Environment { word: "coast", allowance: "harsh", air: "C5" }),
    ("sea", Environment { word: "sea", allowance: "harsh", air: "CX" }),
];

/// Where the joint lives, and what that means (the assignment is ours).
#[derive(Debug, Clone, Copy)]
struct Environment {
    word: &'static str,
    allowance: &'static str,
    air: &'static str,
}

/// What was asked, read and checked.
pub(super) struct Asked {
    pub stack: u32,
    environment: Environment,
    environment_assumed: bool,
    faces: Vec<&'static AnodicGroup>,
    finish: Option<String>,
    pad: Option<Metres>,
    washer: Option<String>,
    forming: bool,
    wanted: bool,
}

impl Asked {
    pub(super) fn read(
        arguments: &Arguments,
        place: Option<&Place>,
        options: &mut crate::option::Options,
    ) -> Self {
        let own = &arguments.faces;
        let finish = own.faces.clone().or_else(|| place.and_then(|place| place.finish.clone()));
        let faces = match &own.faces {
            Some(text) => named_faces(text, options),
            None => finish.as_deref().map_or_else(Vec::new, faces_in),
        };
        let word = own.environment.as_deref().or(place.map(|place| place.environment.as_str()));
        let environment = word.and_then(|word| options.word("--environment", word, &ENVIRONMENTS));
        let stack = own.stack.or(place.map(|place| place.stack)).unwrap_or(1);
        if !(1..=12).contains(&stack) {
            options.refuse("`--stack` is out of range", "a number of terminals from 1 to 12");
        }
        let pad = own
            .pad
            .as_deref()
            .and_then(|text| options.positive("--pad", text, Dimension::Length, Metres));
        let thread_formed = place.is_some_and(|place| place.kind.contains("form"));
        Self {
            stack,
            environment: environment.unwrap_or(ENVIRONMENTS[1].1),
            environment_assumed: word.is_none(),
            faces,
            finish,
            pad,
            washer: own.washer.clone().or_else(|| place.and_then(|place| place.washer.clone())),
            forming: own.forming || thread_formed,
            wanted: place.is_some()
                || own.faces.is_some()
                || own.environment.is_some()
                || own.stack.is_some()
                || own.pad.is_some()
                || own.washer.is_some()
                || own.forming,
        }
    }

    /// Torque that the thread takes where the screw forms it and nobody has measured how much.
    pub(super) fn forming_torque(
        &self,
        thread: Option<&Thread>,
        options: &mut crate::option::Options,
    ) -> NewtonMetres {
        if !self.forming {
            return NewtonMetres::ZERO;
        }
        let Some(thread) = thread else { return NewtonMetres::ZERO };
        match Catalogue::standard().forming_screws.find(thread.key()) {
            Some(row) => row.breaking * FORMING_SHARE.0,
            None => {
                options.refuse(
                    format!("no thread-forming screw of {} is listed", thread.key()),
                    "a thread of `groundloom catalogue forming-screws`, or `--running-torque`",
                );
                NewtonMetres::ZERO
            }
        }
    }
}

/// The two faces of an option; each has to be a metal of the catalogue.
fn named_faces(text: &str, options: &mut crate::option::Options) -> Vec<&'static AnodicGroup> {
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    if parts.len() != 2 {
        options.refuse(
            format!("`--faces {text}` names {} metals", parts.len()),
            "the two faces with a comma between them, such as `tin, bare steel`",
        );
        return Vec::new();
    }
    let groups = &Catalogue::standard().anodic_groups;
    parts.into_iter().filter_map(|part| options.row("--faces", part, groups)).collect()
}

/// Words of the workshop that name a group in its list by less than its name.
const LOOSE_WORDS: [(&str, &str); 4] = [
    ("stainless", "stainless steel"),
    ("galvani", "hot-dip zinc"),
    ("iron", "grey cast iron"),
    ("chrom", "chromium plate"),
];

/// The metals that a finish in words speaks of, such as `tin on bare steel`.
fn faces_in(finish: &str) -> Vec<&'static AnodicGroup> {
    let lower = finish.to_lowercase();
    let parts = [" on ", " against ", " to ", ", ", " and "]
        .into_iter()
        .find_map(|between| lower.split_once(between))
        .map_or_else(|| vec![lower.as_str()], |(one, other)| vec![one, other]);
    let named = |part: &str| {
        let words = |row: &'static AnodicGroup| {
            std::iter::once(row.key()).chain(row.aliases().iter().map(String::as_str))
        };
        let groups = Catalogue::standard().anodic_groups.iter();
        groups
            .flat_map(|row| words(row).map(move |word| (word, row)))
            .filter(|(word, _)| part.contains(&word.to_lowercase()))
            .max_by_key(|(word, _)| word.len())
            .map(|(_, row)| row)
            .or_else(|| {
                let (_, group) = LOOSE_WORDS.iter().find(|(word, _)| part.contains(word))?;
                Catalogue::standard().anodic_groups.find(group)
            })
    };
    parts.into_iter().filter_map(named).collect()
}

/// A range with its two ends.
#[derive(Debug, Clone, Copy)]
struct Range<Q> {
    low: Q,
    high: Q,
}

/// The faces and what they do to each other.
struct Couple {
    first: &'static AnodicGroup,
    second: &'static AnodicGroup,
    difference: Volts,
    allowed: Volts,
    /// What clean metal alone would have, where both are listed as contact metals.
    clean: Option<(Range<Ohms>, &'static ContactMetal)>,
}

impl Couple {
    fn suits(&self) -> bool {
        // Indices are multiples of 0.05 V; the margin absorbs the rounding of their difference.
        self.difference <= self.allowed + Volts(1e-9)
    }
}

/// Everything about the joint that the bolt alone does not say.
pub(super) struct Sheet {
    place: Option<SheetPlace>,
    environment: Environment,
    environment_assumed: bool,
    finish: Option<String>,
    couple: Option<Couple>,
    under_head: Range<Pascals>,
    over_pad: Range<Pascals>,
    pad: Metres,
    pad_assumed: bool,
    kind: Option<&'static JointKind>,
    stack: u32,
    washer: Option<String>,
    forming: Option<(&'static FormingScrew, NewtonMetres, bool)>,
    /// Years in which the zinc of plated hardware is gone in this air.
    zinc: Option<(Years, &'static Corrosivity)>,
    advice: Vec<&'static Preparation>,
}

/// What the vehicle file adds.
struct SheetPlace {
    name: String,
    vehicle: String,
    point: String,
    kind: String,
    protection: Option<String>,
    serviced: Option<String>,
    resistance: Ohms,
    stated: bool,
    carries: Option<(units::Amperes, String)>,
}

impl Sheet {
    /// The sheet; nothing when only the bolt was asked about.
    pub(super) fn of(
        asked: &Asked,
        place: Option<&Place>,
        bolt: &Bolt,
        found: &Tightening,
    ) -> Option<Self> {
        if !asked.wanted {
            return None;
        }
        let catalogue = Catalogue::standard();
        let hole = bolt
            .thread
            .seat
            .as_ref()
            .map_or(bolt.thread.diameter * 1.1, |seat| seat.clearance_hole);
        let head =
            bolt.thread.seat.as_ref().map_or(bolt.thread.diameter * 1.5, |seat| seat.head_bearing);
        let pad = asked.pad.unwrap_or(bolt.thread.diameter * PAD_OVER_STUD).max(head);
        let pressure = |outer: Metres| {
            let at = |force: Newtons| ring_pressure(force, outer, hole).unwrap_or_default();
            Range { low: at(found.clamp.low), high: at(found.clamp.high) }
        };
        let couple = couple(asked, found);
        let air = catalogue.corrosivity.find(asked.environment.air);
        let zinc = air.and_then(|row| {
            let rate = MetresPerYear(row.zinc.0);
            let years = time_to_depth(rate, corrosion::ZINC.mean, ZINC_PLATE).ok()?;
            Some((years, row))
        });
        let forming = asked.forming.then(|| {
            let row = catalogue.forming_screws.find(bolt.thread.key())?;
            Some((row, found.torque, bolt.running == row.breaking * FORMING_SHARE.0))
        });
        let kind = place.and_then(|place| catalogue.joint_kinds.find(&place.kind));
        let mut sheet = Self {
            place: place.map(|place| SheetPlace {
                name: place.name.clone(),
                vehicle: place.vehicle.clone(),
                point: place.point.clone(),
                kind: place.kind.clone(),
                protection: place.protection.clone(),
                serviced: place.serviced.clone(),
                resistance: place.resistance,
                stated: place.stated,
                carries: place.carries.clone(),
            }),
            environment: asked.environment,
            environment_assumed: asked.environment_assumed,
            finish: asked.finish.clone(),
            couple,
            under_head: pressure(head),
            over_pad: pressure(pad),
            pad,
            pad_assumed: asked.pad.is_none(),
            kind: kind.or_else(|| catalogue.joint_kinds.find("bolted lug")),
            stack: asked.stack,
            washer: asked.washer.clone(),
            forming: forming.flatten(),
            zinc,
            advice: Vec::new(),
        };
        sheet.advice = sheet.advise();
        Some(sheet)
    }

    /// The highest torque and the breaking torque, where the screw forms its own thread.
    pub(super) fn forming(&self) -> Option<(NewtonMetres, NewtonMetres)> {
        self.forming.as_ref().map(|(row, _, _)| (row.highest, row.breaking))
    }

    /// True when something about the joint is against what is recommended.
    pub(super) fn wants_attention(&self) -> bool {
        self.couple.as_ref().is_some_and(|couple| !couple.suits())
            || self.stack > MOST_TERMINALS
            || self.overtorqued()
    }

    fn overtorqued(&self) -> bool {
        self.forming.as_ref().is_some_and(|(row, torque, _)| *torque > row.highest)
    }

    fn finish_says(&self, word: &str) -> bool {
        self.finish.as_deref().is_some_and(|finish| finish.to_lowercase().contains(word))
    }

    /// The practices that bear on this joint, the first steps first.
    fn advise(&self) -> Vec<&'static Preparation> {
        let has = |metal: &str| {
            self.finish_says(metal)
                || self.couple.as_ref().is_some_and(|couple| {
                    couple.first.key().contains(metal) || couple.second.key().contains(metal)
                })
        };
        let washer = |word: &str| {
            self.washer.as_deref().is_some_and(|text| text.to_lowercase().contains(word))
        };
        let post = self.place.as_ref().is_some_and(|place| place.kind.contains("post"));
        let unlike = self.couple.as_ref().is_some_and(|couple| couple.difference > Volts(1e-9));
        let wanted: [(&str, bool); 14] = [
            ("clean the faces", !post),
            ("battery posts", post),
            ("take off paint", self.finish_says("paint")),
            ("bare metal at the terminal only", !post && !self.finish_says("bare steel")),
            ("aluminium faces", has("aluminium")),
            ("no washer between faces", true),
            ("star washers", washer("star") || washer("serrated") || washer("tooth")),
            ("pressure over the whole face", self.stack > 1),
            ("terminals on one stud", self.stack > 1),
            ("self-tapping screws", self.forming.is_some()),
            ("similar metals", self.couple.as_ref().is_some_and(|couple| !couple.suits())),
            ("salt", unlike && self.environment.allowance == "harsh"),
            ("seal after assembly", unlike),
            ("grease", !post),
        ];
        let rows = &Catalogue::standard().preparation;
        wanted
            .into_iter()
            .filter(|(_, wanted)| *wanted)
            .filter_map(|(key, _)| rows.find(key))
            .collect()
    }

    /// What re-torque can and cannot tell.
    fn on_torque_later(&self) -> Vec<&'static Preparation> {
        let rows = &Catalogue::standard().preparation;
        let post = self.place.as_ref().is_some_and(|place| place.kind.contains("post"));
        let keys = [("checking torque later", true), ("post clamps again", post)];
        keys.into_iter()
            .filter(|(_, wanted)| *wanted)
            .filter_map(|(key, _)| rows.find(key))
            .collect()
    }
}

fn couple(asked: &Asked, found: &Tightening) -> Option<Couple> {
    let [first, second] = asked.faces.as_slice() else { return None };
    let catalogue = Catalogue::standard();
    let allowance = catalogue.galvanic_allowances.find(asked.environment.allowance)?;
    let metals = &catalogue.contact_metals;
    let metal = |group: &AnodicGroup| {
        let words = std::iter::once(group.key()).chain(group.aliases().iter().map(String::as_str));
        words.filter_map(|word| metals.find(word)).next()
    };
    let clean = metal(first).zip(metal(second)).and_then(|(one, other)| {
        // The softer face yields.
        let soft = if one.hardness_low <= other.hardness_low { one } else { other };
        let at = |one_rho, other_rho, hardness, force| {
            clean_resistance(one_rho, other_rho, hardness, force).ok()
        };
        let low =
            at(one.resistivity_low, other.resistivity_low, soft.hardness_low, found.clamp.high)?;
        let high =
            at(one.resistivity_high, other.resistivity_high, soft.hardness_high, found.clamp.low)?;
        Some((Range { low, high }, soft))
    });
    Some(Couple {
        first,
        second,
        difference: corrosion::anodic_difference(first.index, second.index),
        allowed: allowance.difference,
        clean,
    })
}

//! Joints: what the file says of the end of a conductor, and what is taken where it is silent.

use catalogue::{Catalogue, Finish, JointKind, Known, TakenAt};
use model::{Code, Joint, JointId, JointOf, PointId, Problem};
use physics::bolt;
use units::{Dimension, NewtonMetres, Ohms, Ratio, SquareMetres, UnitSystem, print};

use crate::defaults::taken;
use crate::document::Entry;
use crate::likely::{MIDDLE_OF_RANGE, geometric_middle};
use crate::read::Reader;

/// Nut factor of an unknown bolt (Shigley and Mischke, 5th ed., §8-8), and of a dry unplated one.
const NUT_FACTOR: (f64, f64) = (0.20, 0.30);

/// Terminals on one stud: more want a bus across studs (FAA AC 43.13-1B, 11-174b).
pub(crate) const MOST_STACKED: u32 = 4;

/// What a joint's place lets one expect of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Seat {
    BatteryPost,
    Metal,
    Terminal,
    Fuse,
    Case,
    StarterCase,
    /// The wire's side of a plug's pin.
    Pin,
    MatedPin,
    Foot,
}

impl Reader<'_> {
    /// Adds the joint at one end. `entry` holds its keys when the file gives the long form.
    pub(crate) fn joint(
        &mut self,
        id: String,
        of: JointOf,
        point: PointId,
        seat: Seat,
        area: Option<SquareMetres>,
        entry: Option<&Entry<'_>>,
    ) -> JointId {
        let kind = self.joint_kind(&id, seat, area, entry);
        let stated =
            entry.and_then(|entry| entry.quantity("resistance", Dimension::Resistance)).map(Ohms);
        let likely = entry.and_then(|entry| self.likely_ohms(&id, entry, "likely", stated));
        let middle = likely.map(|range| geometric_middle(range.low, range.high));
        let resistance = stated.or(middle).unwrap_or(kind.clean_typical);
        if stated.is_none() && likely.is_some() {
            self.fills.note(format!("{id}.resistance"), print::ohms(resistance), MIDDLE_OF_RANGE);
        } else if stated.is_none() {
            self.fills.note(
                format!("{id}.resistance"),
                print::ohms(resistance),
                format!(
                    "typical of a clean {} ({}, {})",
                    kind.word(),
                    kind.provenance.confidence.word(),
                    kind.provenance.source
                ),
            );
        }
        let catalogue = Catalogue::standard();
        // The table of a plug has fewer keys than that of a joint.
        let entry_of = |key: &str| entry.filter(|entry| entry.has_key(key));
        let text = |key: &str| entry_of(key).and_then(|entry| entry.owned(key));
        let stud = self.studs.iter().find(|stud| stud.point == point).copied();
        let of_stud = stud
            .and_then(|stud| stud.thread)
            .filter(|_| !entry.is_some_and(|own| own.has("thread")));
        if let Some(thread) = of_stud {
            self.fills.note(format!("{id}.thread"), thread.word(), "that of its stud");
        }
        let this = JointId::at(self.vehicle.joints.len());
        let joint = Joint {
            this,
            id,
            point,
            of,
            kind,
            resistance,
            stated: stated.is_some(),
            likely,
            suspicion: entry
                .and_then(|entry| entry.quantity("suspicion", Dimension::Ratio))
                .map(Ratio),
            thread: text("thread").and_then(|word| catalogue.threads.known(&word)).or(of_stud),
            class: text("class")
                .and_then(|word| catalogue.property_classes.known(&word))
                .or(stud.and_then(|stud| stud.class)),
            torque: entry_of("torque")
                .and_then(|entry| entry.quantity("torque", Dimension::Torque))
                .map(NewtonMetres),
            finish: text("finish").map(|words| Finish::read(&words)),
            protection: text("protection")
                .or_else(|| self.default_text("protection"))
                .and_then(|word| catalogue.joint_protections.known(&word)),
            washer: text("washer"),
            crimp: text("crimp").or_else(|| {
                entry_of("crimp").and_then(|entry| entry.table("crimp")?.owned("made"))
            }),
            stack: entry_of("stack").and_then(|entry| entry.count("stack")).unwrap_or(1),
            serviced: entry
                .and_then(|entry| entry.date("serviced"))
                .or_else(|| self.default_date("serviced")),
            note: text("note"),
        };
        if let Some(entry) = entry {
            if of.conductor().is_none()
                && entry_of("crimp").is_some_and(|own| own.table("crimp").is_some())
            {
                self.problems.push(Problem::error(
                    Code::WrongKindOfValue,
                    entry.place_of("crimp"),
                    format!(
                        "`{}` holds no cable, so that no crimp of its own lies behind it",
                        joint.id
                    ),
                    "how a lug there is made, in words, or the table at the end of a cable",
                ));
            }
            if entry.has_key("torque") {
                self.check_torque(&joint, entry);
            }
            self.check_stated(&joint, entry);
            if joint.stack > MOST_STACKED {
                self.problems.push(Problem::warning(
                    Code::StackTooHigh,
                    entry.place_of("stack"),
                    format!("`{}` is one of {} terminals on one stud", joint.id, joint.stack),
                    format!("at most {MOST_STACKED} on a stud, and a bus across studs beyond that (FAA AC 43.13-1B, 11-174b)"),
                ));
            }
        }
        self.vehicle.joints.push(joint);
        this
    }

    /// The crimp at an end, where the file says more of it than how it is made.
    pub(crate) fn crimp(
        &mut self,
        of: JointOf,
        face: JointId,
        end: Option<&Entry<'_>>,
    ) -> Option<JointId> {
        let entry = end.filter(|own| own.has_key("crimp"))?.table("crimp")?;
        if !["resistance", "likely", "suspicion"].iter().any(|key| entry.has(key)) {
            return None;
        }
        let this = JointId::at(self.vehicle.joints.len());
        let mut crimp = Joint::crimp(this, of, self.vehicle.joint(face));
        let stated = entry.quantity("resistance", Dimension::Resistance).map(Ohms);
        crimp.likely = self.likely_ohms(&crimp.id, &entry, "likely", stated);
        let middle = crimp.likely.map(|range| geometric_middle(range.low, range.high));
        crimp.resistance = stated.or(middle).unwrap_or(crimp.resistance);
        if stated.is_none() {
            let why = match middle {
                Some(_) => MIDDLE_OF_RANGE.to_owned(),
                None => format!("typical of a sound {}", crimp.kind.word()),
            };
            self.fills.note(format!("{}.resistance", crimp.id), print::ohms(crimp.resistance), why);
        }
        crimp.stated = stated.is_some();
        crimp.suspicion = entry.quantity("suspicion", Dimension::Ratio).map(Ratio);
        crimp.note = entry.owned("note");
        self.check_stated(&crimp, &entry);
        self.vehicle.joints.push(crimp);
        Some(this)
    }

    /// Tells where the file itself says that a joint is bad.
    fn check_stated(&mut self, joint: &Joint, entry: &Entry<'_>) {
        if catalogue::stated_bad(&joint.kind, joint.stated_ohms()) {
            self.problems.push(stated_bad(joint, entry));
        }
    }

    fn joint_kind(
        &mut self,
        id: &str,
        seat: Seat,
        area: Option<SquareMetres>,
        entry: Option<&Entry<'_>>,
    ) -> Known<JointKind> {
        let catalogue = Catalogue::standard();
        let named = entry.and_then(|entry| entry.text("joint"));
        if let Some(kind) = named.and_then(|word| catalogue.joint_kinds.known(word)) {
            return kind;
        }
        let thick = area.is_none_or(|area| area.mm2() >= taken().lug_from.mm2() - 1e-9);
        let threaded = entry.is_some_and(|entry| entry.has_key("thread") && entry.has("thread"));
        let (place, why) = match seat {
            Seat::BatteryPost => (TakenAt::BatteryPost, "the end is at a battery's post"),
            Seat::Case => (TakenAt::Case, "a device's case is bolted to metal"),
            Seat::StarterCase => (TakenAt::StarterCase, "a starter's flange is bolted to metal"),
            Seat::MatedPin => (TakenAt::MatedPin, "two pins meet in a plug"),
            Seat::Foot => (TakenAt::Foot, "a stud stands on metal"),
            Seat::Metal | Seat::Terminal | Seat::Fuse | Seat::Pin if threaded => {
                (TakenAt::Metal, "a thread is named")
            }
            Seat::Metal => (TakenAt::Metal, "the end is at a stud or at metal"),
            Seat::Terminal | Seat::Fuse if thick => {
                (TakenAt::ThickConductor, "the conductor has 6 mm² or more")
            }
            Seat::Pin => (TakenAt::Pin, "the end is in a pin of a plug"),
            Seat::Fuse => (TakenAt::Fuse, "the end is at a fuse"),
            Seat::Terminal => (TakenAt::ThinConductor, "a thin conductor ends at a device"),
        };
        let kind = catalogue.joint_taken_at(place);
        self.fills.note(format!("{id}.joint"), kind.word(), why);
        kind
    }

    /// Compares the clamp force of the torque with the proof load of the bolt.
    fn check_torque(&mut self, joint: &Joint, entry: &Entry<'_>) {
        let (Some(torque), Some(thread), Some(class)) = (joint.torque, joint.thread, joint.class)
        else {
            return;
        };
        let proof = class.proof_load(&thread);
        let clamp = |factor: f64| bolt::clamp_force(torque, Ratio(factor), thread.diameter).ok();
        let (Some(usual), Some(least)) = (clamp(NUT_FACTOR.0), clamp(NUT_FACTOR.1)) else { return };
        if usual <= proof {
            return;
        }
        let metric = UnitSystem::Metric;
        let what = format!(
            "{} on {} {} pulls with {} at a nut factor of {}, past its proof load of {}",
            metric.torque(torque),
            thread,
            class,
            metric.force(usual),
            NUT_FACTOR.0,
            metric.force(proof)
        );
        let highest = 0.75 * proof.0 * NUT_FACTOR.0 * thread.diameter.0;
        let expected = format!(
            "about {} for three quarters of proof load",
            metric.torque(NewtonMetres(highest))
        );
        let place = entry.place_of("torque");
        let problem = if least > proof {
            Problem::error(Code::TorquePastProofLoad, place, what, expected)
        } else {
            Problem::warning(Code::TorquePastProofLoad, place, what, expected)
        };
        self.problems.push(problem.hint(
            "the vehicle maker's torque overrides this; check the thread, the class and the unit",
        ));
    }
}

/// The file itself says that a joint is bad: every answer takes it as that.
fn stated_bad(joint: &Joint, entry: &Entry<'_>) -> Problem {
    Problem::warning(
        Code::JointStatedBad,
        entry.place_of("resistance"),
        format!(
            "`{}` is stated with {}, at which a {} is bad",
            joint.id,
            print::ohms(joint.resistance),
            joint.kind
        ),
        format!("under {}, or work on it", print::ohms(joint.kind.bad_low)),
    )
    .hint("`diagnose`, `failures` and `repairs` take it as bad; write what it has when it is mended, or `likely` where it may have so much")
}

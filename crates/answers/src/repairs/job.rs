//! What has to be done, in order, for one repair. Trade practice; the maker's procedure overrides it.

use std::collections::BTreeMap;

use diagnosis::Action;
use model::{ConductorId, Earth, JointId, PointId, Vehicle};
use units::Metres;

use crate::bolt::JointJob;
use crate::told::quantity::length;
use crate::told::{Line, joined, name, strong};

const LOOK: &str = "Look at it before cleaning: colour, heat marks, looseness, broken strands at \
                    the crimp. Photograph it.";
const PULL: &str = "Pull on it by hand: it must not move.";

/// A job on its sheet.
#[derive(Debug, Default)]
pub(super) struct Job {
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// Where practices and torques come from.
    pub sources: Vec<String>,
}

/// What is done, in one line or several.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Step {
    /// Says what must not be passed over.
    pub caution: bool,
    /// What is done.
    pub lines: Vec<Line>,
}

/// The jobs on a vehicle; what is known of a joint is asked once.
#[derive(Debug)]
pub(super) struct Jobs<'v> {
    vehicle: &'v Vehicle,
    joints: BTreeMap<JointId, Option<JointJob>>,
}

impl<'v> Jobs<'v> {
    /// Those on this vehicle.
    pub(super) fn of(vehicle: &'v Vehicle) -> Self {
        Self { vehicle, joints: BTreeMap::new() }
    }

    /// The job of a repair.
    pub(super) fn of_action(&mut self, action: Action) -> Job {
        let mut job = Job::default();
        self.isolate(&mut job);
        match action {
            Action::Clean(joint) => self.clean(&mut job, joint),
            Action::CleanBoth(id) => {
                self.ends(id).into_iter().for_each(|joint| self.clean(&mut job, joint));
            }
            Action::ReplaceEnd(joint) => self.new_end(&mut job, joint),
            Action::Replace(id) => {
                let size = self.vehicle.conductor(id).size.map(|size| size.to_string());
                self.replace(&mut job, id, size);
            }
            Action::Enlarge { conductor, size, .. } => {
                self.replace(&mut job, conductor, Some(size.to_string()));
            }
            Action::Add { from, to, size, length, .. } => {
                self.add(&mut job, [from, to], &size.to_string(), length);
            }
        }
        self.join(&mut job);
        job
    }

    /// Before anything is opened. The side that is joined to the metal comes off first: a spanner that slips then
    /// does no harm.
    fn isolate(&self, job: &mut Job) {
        job.caution(say!(
            "Rings and watch off. Battery ventilated: hydrogen, so no spark and no flame. Eye \
             protection."
        ));
        let off = match self.vehicle.earth {
            Earth::Positive => {
                "Positive off first: it is the side that this vehicle’s metal is joined to. Cover \
                 the negative post."
            }
            Earth::Negative => "Negative off first. Cover the positive post.",
        };
        job.caution(say!(
            "Ignition off and key away; wait as long as the maker says for restraint systems and \
             modules. {}",
            off
        ));
    }

    /// When all is closed again.
    fn join(&self, job: &mut Job) {
        let on = match self.vehicle.earth {
            Earth::Positive => "Positive",
            Earth::Negative => "Negative",
        };
        job.step(say!(
            "{} on last. Radio codes, window and steering learning as the maker says.",
            on
        ));
        job.step(say!("Take the same reading again and write both down below."));
    }

    fn ends(&self, id: ConductorId) -> [JointId; 2] {
        let own = self.vehicle.conductor(id);
        [own.from, own.to]
    }

    fn clean(&mut self, job: &mut Job, joint: JointId) {
        let own = self.vehicle.joint(joint);
        let point = name(&self.vehicle.point(own.point).id);
        job.step(say!("Open {} ({} at {}). {}", name(&own.id), own.kind.to_string(), point, LOOK));
        self.close(job, &[joint]);
    }

    fn new_end(&mut self, job: &mut Job, joint: JointId) {
        job.step(say!(
            "Open {}. Cut the cable back until every strand is bright; is it too short then, \
             replace it whole.",
            name(&self.vehicle.joint(joint).id)
        ));
        job.step(say!(
            "Crimp a new lug of the cable’s size with the right die, and seal it. Pull on it by \
             hand."
        ));
        self.close(job, &[joint]);
    }

    fn replace(&mut self, job: &mut Job, id: ConductorId, size: Option<String>) {
        let own = self.vehicle.conductor(id);
        let size = size.map_or_else(Line::new, |size| say!(", {} or larger", size));
        let metres = own.length.map_or_else(Line::new, |metres| say!(", {}", length(metres)));
        job.step(say!(
            "Take {} off at both ends. Bend it by hand: crackling or stiff strands are rotten \
             inside.",
            name(&own.id)
        ));
        job.step(say!(
            "Fit a new one{}{}, lugs crimped with the right die and sealed.",
            size,
            metres
        ));
        self.close(job, &self.ends(id));
    }

    fn add(&self, job: &mut Job, ends: [PointId; 2], size: &str, metres: Metres) {
        let [from, to] = ends.map(|end| name(&self.vehicle.point(end).id));
        job.step(say!(
            "Make a cable of {} or the least that the route allows, of {}, with a crimped and \
             sealed lug at each end.",
            length(metres),
            size
        ));
        job.step(say!(
            "Bare bright metal, a hand wide, at {} and at {}. Lug flat on metal, washer under the \
             nut, never between lug and metal.",
            from,
            to
        ));
        job.step(say!(
            "Route it clear of heat, edges and moving parts; clip it so that it cannot chafe. A \
             feed cable needs a fuse at its source."
        ));
        job.step(say!(
            "Tighten as the maker or the fastener’s table says. Wax or grease over the finished \
             joint."
        ));
    }

    /// Faces, assembly, torque and protection of joints that are open.
    fn close(&mut self, job: &mut Job, joints: &[JointId]) {
        let vehicle = self.vehicle;
        let known = joints.iter().filter_map(|id| {
            self.joints.entry(*id).or_insert_with(|| JointJob::of(vehicle, *id)).clone()
        });
        let (screwed, others): (Vec<_>, Vec<_>) = known.partition(|own| own.fastened);
        if !others.is_empty() {
            // Plugs, clips and splices.
            let names = others.iter().map(|own| say!("{}", name(&own.joint)));
            job.step(say!(
                "{}: clean the contact to bright metal without grinding plating off; replace \
                 what no longer grips. Close it, pull on it by hand, seal it outside.",
                joined(names, ", ")
            ));
        }
        match screwed.as_slice() {
            [] => {}
            [only] => one(job, only),
            several => together(job, several),
        }
        let sources = screwed.iter().flat_map(|own| &own.sources);
        job.sources.extend(sources.map(|own| format!("{} ({})", own.source, own.confidence)));
    }
}

impl Job {
    fn step(&mut self, line: Line) {
        self.lines(false, vec![line]);
    }

    fn caution(&mut self, line: Line) {
        self.lines(true, vec![line]);
    }

    fn lines(&mut self, caution: bool, lines: Vec<Line>) {
        let lines: Vec<Line> = lines.into_iter().filter(|own| !own.is_empty()).collect();
        if !lines.is_empty() {
            self.steps.push(Step { caution, lines });
        }
    }
}

/// A joint that is closed alone, step by step.
fn one(job: &mut Job, own: &JointJob) {
    own.warnings.iter().for_each(|line| job.caution(line.clone()));
    job.step(own.faces.clone());
    job.step(own.assembly.clone());
    job.step(own.torque.clone());
    let afterwards = [say!("{}", PULL), own.protection.clone()];
    job.step(joined(afterwards.into_iter().filter(|own| !own.is_empty()), " "));
}

/// Joints that are closed in one go.
fn together(job: &mut Job, all: &[JointJob]) {
    by_joint(job, true, all, |own| vec![joined(own.warnings.iter().cloned(), " ")]);
    by_joint(job, false, all, |own| {
        [&own.faces, &own.assembly, &own.torque, &own.protection].map(Line::clone).to_vec()
    });
    job.step(say!("{}", PULL));
}

/// One step where all joints ask for the same, else one for each with its name.
fn by_joint(job: &mut Job, caution: bool, all: &[JointJob], said: impl Fn(&JointJob) -> Vec<Line>) {
    let each = || all.iter().map(|own| (own, said(own)));
    let mut others = each().map(|(_, lines)| lines);
    let first = others.next().unwrap_or_default();
    if others.all(|own| own == first) {
        job.lines(caution, first);
        return;
    }
    for (own, lines) in each() {
        let mut lines: Vec<Line> = lines.into_iter().filter(|own| !own.is_empty()).collect();
        if let Some(first) = lines.first_mut() {
            *first = say!("{} {}", strong(say!("{}:", name(&own.joint))), std::mem::take(first));
        }
        job.lines(caution, lines);
    }
}

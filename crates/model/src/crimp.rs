//! The crimps between the eyes at a conductor's ends and its strands: pieces of their own where the file
//! states one, or where a reading at the strand tells it apart from the cable.

use catalogue::{Catalogue, TakenAt};
use units::print;

use crate::conductor::Conductor;
use crate::id::{ConductorId, JointId, PointId};
use crate::joint::{Joint, JointOf};
use crate::reading::{Measured, Probe, Reading};
use crate::vehicle::{Filled, Vehicle};

/// What a probe inside a conductor's end stands behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Behind {
    /// The point that the end meets, or the place itself where nothing lies between.
    pub point: PointId,
    /// The joints between that point and the probe.
    pub joints: [Option<JointId>; 2],
    /// True at the beginning of a conductor, where its current has passed them when it comes to the probe.
    pub passed: bool,
}

impl Measured {
    /// The two places that its probes touch, where it has such.
    #[must_use]
    pub fn probes(self) -> Option<[Probe; 2]> {
        match self {
            Self::Volts { high: a, low: b } | Self::Ohms { from: a, to: b } => Some([a, b]),
            Self::Amps { .. } | Self::JumpLead { .. } | Self::Moved { .. } => None,
        }
    }
}

impl Vehicle {
    /// The crimp behind the lug of a joint, where there is one as a piece of its own.
    #[must_use]
    pub fn crimp_at(&self, joint: JointId) -> Option<JointId> {
        match self.joint(joint).of {
            JointOf::From(id) => self.conductor(id).crimps[0],
            JointOf::To(id) => self.conductor(id).crimps[1],
            _ => None,
        }
    }

    /// The joint between the lug of a crimp and its point; any other joint is that itself.
    #[must_use]
    pub fn face_of(&self, joint: JointId) -> JointId {
        match self.joint(joint).of {
            JointOf::FromCrimp(id) => self.conductor(id).from,
            JointOf::ToCrimp(id) => self.conductor(id).to,
            _ => joint,
        }
    }

    /// A probe's place as a readings file names it: `block/front`, `main-negative.to`,
    /// `main-negative.to.strand`.
    #[must_use]
    pub fn probe_name(&self, probe: Probe) -> String {
        match probe {
            Probe::Point(id) => self.point(id).id.clone(),
            Probe::Lug(id) => self.joint(id).id.clone(),
            Probe::Strand(id) => format!("{}.strand", self.joint(id).id),
        }
    }

    /// The point nearest to a probe, and the joints between them.
    #[must_use]
    pub fn behind(&self, probe: Probe) -> Behind {
        let joint = match probe {
            Probe::Point(point) => return Behind { point, joints: [None; 2], passed: false },
            Probe::Lug(joint) => joint,
            Probe::Strand(joint) => self.crimp_at(joint).unwrap_or(joint),
        };
        // A case's own side of its joint is the terminal of its device.
        if let Some(point) = self.own_point(joint) {
            return Behind { point, joints: [None; 2], passed: false };
        }
        let face = self.face_of(joint);
        let own = self.joint(joint);
        let joints = [Some(face), (joint != face).then_some(joint)];
        Behind { point: own.point, joints, passed: own.of.is_at_the_beginning() }
    }

    /// True when both crimps of a conductor are pieces of their own, so that its strands can be told
    /// from them.
    #[must_use]
    pub fn is_told_apart(&self, id: ConductorId) -> bool {
        self.conductor(id).crimps.iter().all(Option::is_some)
    }

    /// The same with the crimps of these conductors as pieces of their own; nothing where they are so
    /// already.
    ///
    /// All that there was keeps its number.
    #[must_use]
    pub fn told_apart(&self, conductors: impl IntoIterator<Item = ConductorId>) -> Option<Self> {
        let mut wanted: Vec<ConductorId> = conductors.into_iter().collect();
        wanted.retain(|id| !self.is_told_apart(*id));
        wanted.sort_unstable();
        wanted.dedup();
        if wanted.is_empty() {
            return None;
        }
        let mut own = self.clone();
        for id in wanted {
            for of in [JointOf::FromCrimp(id), JointOf::ToCrimp(id)] {
                own.add_crimp(of);
            }
        }
        Some(own)
    }

    /// The conductor between whose lug and the strand behind it two probes are: only its crimp lies there.
    #[must_use]
    pub fn over_a_crimp(&self, a: Probe, b: Probe) -> Option<ConductorId> {
        match (a, b) {
            (Probe::Lug(lug), Probe::Strand(strand)) | (Probe::Strand(strand), Probe::Lug(lug)) => {
                self.joint(lug).of.conductor().filter(|_| lug == strand)
            }
            _ => None,
        }
    }

    /// The conductors whose strands a reading touches.
    #[must_use]
    pub fn strands_touched(&self, readings: &[Reading]) -> Vec<ConductorId> {
        let probes = readings.iter().filter_map(|own| own.measured.probes()).flatten();
        probes
            .filter_map(|probe| match probe {
                Probe::Strand(joint) => self.joint(joint).of.conductor(),
                Probe::Point(_) | Probe::Lug(_) => None,
            })
            .collect()
    }

    /// Adds a crimp of which nothing is known, where there is none.
    fn add_crimp(&mut self, of: JointOf) {
        let Some(id) = of.conductor() else { return };
        let at = usize::from(!of.is_at_the_beginning());
        let this = JointId::at(self.joints.len());
        let own: &mut Conductor = &mut self.conductors[id.index()];
        if own.crimps[at].is_some() {
            return;
        }
        own.crimps[at] = Some(this);
        let face = if at == 0 { own.from } else { own.to };
        let crimp = Joint::crimp(this, of, self.joint(face));
        self.filled.push(Filled {
            key: format!("{}.resistance", crimp.id),
            value: print::ohms(crimp.resistance),
            why: format!("typical of a sound {}", crimp.kind.word()),
        });
        self.joints.push(crimp);
    }
}

impl Joint {
    /// A crimp of which nothing is known, behind the lug of a joint.
    #[must_use]
    pub fn crimp(this: JointId, of: JointOf, face: &Self) -> Self {
        let kind = Catalogue::standard().joint_taken_at(TakenAt::Crimp);
        let id = format!("{}.crimp", face.id);
        Self { crimp: face.crimp.clone(), ..Self::unknown(this, id, face.point, of, kind) }
    }
}

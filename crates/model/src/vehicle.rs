//! The vehicle: every list in one place, and the pieces that carry current.

use catalogue::{Environment, Known};
use units::{Ohms, Seconds, Volts};

use crate::conductor::Conductor;
use crate::id::{
    BatteryId, ConductorId, IncidentalId, InlineId, JointId, LoadId, PointId, RegulatedId, StateId,
    StretchId,
};
use crate::inline::Inline;
use crate::joint::{Joint, JointOf};
use crate::load::Load;
use crate::point::{AccessGroup, Point};
use crate::source::{Battery, Regulated};
use crate::state::State;
use crate::structure::{Incidental, Stretch, Structure};
use crate::work::Work;
use crate::workshop::Workshop;

/// Which pole is joined to the vehicle's metal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Earth {
    /// Negative to metal, as almost everywhere today.
    Negative,
    /// Positive to metal, as on many older vehicles.
    Positive,
}

/// A value that the file leaves out, what was taken instead, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Filled {
    /// The place in the file, such as `conductors.main-negative.material`.
    pub key: String,
    /// What was taken.
    pub value: String,
    /// Why, with its source where there is one.
    pub why: String,
}

/// A piece with a resistance, through which current passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Piece {
    /// A conductor without its joints.
    Conductor(ConductorId),
    /// A joint at the end of a conductor, under a device's case, at a stud's foot, or a mated pin.
    Joint(JointId),
    /// A stretch of a structure's metal.
    Stretch(StretchId),
    /// An incidental path.
    Incidental(IncidentalId),
    /// A fuse, a switch, a shunt or a diode.
    Inline(InlineId),
}

/// A vehicle whose references all exist and whose quantities are all inside their domains.
#[derive(Debug, Clone, PartialEq)]
pub struct Vehicle {
    /// What it is called.
    pub name: String,
    /// Nominal voltage of the loads.
    pub nominal: Volts,
    /// Which pole is joined to the metal.
    pub earth: Earth,
    /// Where it lives.
    pub environment: Known<Environment>,
    /// A remark for people.
    pub note: Option<String>,
    /// Covers whose removal opens several points at once.
    pub access_groups: Vec<AccessGroup>,
    /// All points, terminals of devices included.
    pub points: Vec<Point>,
    /// Bodies of metal.
    pub structures: Vec<Structure>,
    /// The pieces of those bodies between their points.
    pub stretches: Vec<Stretch>,
    /// Cables, braids, straps, bars.
    pub conductors: Vec<Conductor>,
    /// The joints of conductors, device cases, studs and plugs.
    pub joints: Vec<Joint>,
    /// Incidental paths.
    pub incidentals: Vec<Incidental>,
    /// Fuses, switches, shunts, diodes.
    pub inlines: Vec<Inline>,
    /// Batteries; the first one's negative post is zero volts.
    pub batteries: Vec<Battery>,
    /// Alternators, chargers, converters.
    pub regulated: Vec<Regulated>,
    /// Loads.
    pub loads: Vec<Load>,
    /// Operating states to solve, in the order of use.
    pub states: Vec<State>,
    /// Work that was done.
    pub work: Vec<Work>,
    /// What work and parts cost.
    pub workshop: Workshop,
    /// Every default that was filled in, with its reason.
    pub filled: Vec<Filled>,
}

macro_rules! lookup {
    ($($(#[$doc:meta])* $name:ident $list:ident $id:ident $item:ident;)*) => {$(
        $(#[$doc])*
        ///
        /// # Panics
        ///
        /// When the id comes from another vehicle with a longer list.
        #[must_use]
        pub fn $name(&self, id: $id) -> &$item {
            &self.$list[id.index()]
        }
    )*};
}

impl Vehicle {
    lookup! {
        /// The point with this id.
        point points PointId Point;
        /// The conductor with this id.
        conductor conductors ConductorId Conductor;
        /// The joint with this id.
        joint joints JointId Joint;
        /// The stretch with this id.
        stretch stretches StretchId Stretch;
        /// The incidental path with this id.
        incidental incidentals IncidentalId Incidental;
        /// The in-line part with this id.
        inline inlines InlineId Inline;
        /// The battery with this id.
        battery batteries BatteryId Battery;
        /// The regulated source with this id.
        regulated_source regulated RegulatedId Regulated;
        /// The load with this id.
        load loads LoadId Load;
        /// The state with this id.
        state states StateId State;
    }

    /// Every piece that carries current, in the order conductors, joints, stretches, incidental
    /// paths, in-line parts.
    pub fn pieces(&self) -> impl Iterator<Item = Piece> + '_ {
        let conductors = (0..self.conductors.len()).map(|at| Piece::Conductor(ConductorId::at(at)));
        let joints = (0..self.joints.len()).map(|at| Piece::Joint(JointId::at(at)));
        let stretches = (0..self.stretches.len()).map(|at| Piece::Stretch(StretchId::at(at)));
        let incidentals =
            (0..self.incidentals.len()).map(|at| Piece::Incidental(IncidentalId::at(at)));
        let inlines = (0..self.inlines.len()).map(|at| Piece::Inline(InlineId::at(at)));
        conductors.chain(joints).chain(stretches).chain(incidentals).chain(inlines)
    }

    /// The position of a piece in the order of [`pieces`](Self::pieces).
    #[must_use]
    pub fn piece_slot(&self, piece: Piece) -> usize {
        let joints = self.conductors.len();
        let stretches = joints + self.joints.len();
        let incidentals = stretches + self.stretches.len();
        let inlines = incidentals + self.incidentals.len();
        match piece {
            Piece::Conductor(id) => id.index(),
            Piece::Joint(id) => joints + id.index(),
            Piece::Stretch(id) => stretches + id.index(),
            Piece::Incidental(id) => incidentals + id.index(),
            Piece::Inline(id) => inlines + id.index(),
        }
    }

    /// The name of a piece as used in the file and in answers.
    #[must_use]
    pub fn piece_name(&self, piece: Piece) -> &str {
        match piece {
            Piece::Conductor(id) => &self.conductor(id).id,
            Piece::Joint(id) => &self.joint(id).id,
            Piece::Stretch(id) => &self.stretch(id).id,
            Piece::Incidental(id) => &self.incidental(id).id,
            Piece::Inline(id) => &self.inline(id).id,
        }
    }

    /// The resistance of a piece at 20 °C, conducting.
    #[must_use]
    pub fn piece_resistance(&self, piece: Piece) -> Ohms {
        match piece {
            Piece::Conductor(id) => self.conductor(id).resistance_at_20,
            Piece::Joint(id) => self.joint(id).resistance,
            Piece::Stretch(id) => self.stretch(id).resistance,
            Piece::Incidental(id) => self.incidental(id).resistance,
            Piece::Inline(id) => self.inline(id).resistance,
        }
    }

    /// The state with this name.
    #[must_use]
    pub fn state_named(&self, name: &str) -> Option<StateId> {
        self.states.iter().position(|state| state.id == name).map(StateId::at)
    }

    /// The load with this name.
    #[must_use]
    pub fn load_named(&self, name: &str) -> Option<LoadId> {
        self.loads.iter().position(|load| load.id == name).map(LoadId::at)
    }

    /// The point with this name.
    #[must_use]
    pub fn point_named(&self, name: &str) -> Option<PointId> {
        self.points.iter().position(|point| point.id == name).map(PointId::at)
    }

    /// The piece with this name.
    #[must_use]
    pub fn piece_named(&self, name: &str) -> Option<Piece> {
        self.pieces().find(|piece| self.piece_name(*piece) == name)
    }

    /// Time to get a meter on a point, the cover of its access group included; nothing when no meter
    /// reaches it.
    #[must_use]
    pub fn reach_time(&self, id: PointId) -> Option<Seconds> {
        let access = &self.point(id).access;
        let group = access
            .group
            .as_deref()
            .and_then(|name| self.access_groups.iter().find(|own| own.id == name));
        (!access.out_of_reach).then(|| access.time + group.map_or(Seconds::ZERO, |own| own.time))
    }

    /// Of a positive and a negative point the one on the live side, then the one on the side of the metal.
    #[must_use]
    pub fn live_and_earthed(&self, positive: PointId, negative: PointId) -> (PointId, PointId) {
        match self.earth {
            Earth::Negative => (positive, negative),
            Earth::Positive => (negative, positive),
        }
    }

    /// The terminal of a load that is fed, and the one from which its current goes home.
    #[must_use]
    pub fn load_terminals(&self, id: LoadId) -> (PointId, PointId) {
        let load = self.load(id);
        self.live_and_earthed(load.positive, load.negative)
    }

    /// The terminal from which a regulated source feeds, and the one to which current comes home.
    #[must_use]
    pub fn regulated_terminals(&self, id: RegulatedId) -> (PointId, PointId) {
        let source = self.regulated_source(id);
        self.live_and_earthed(source.positive, source.negative)
    }

    /// The point on a joint's own side: the terminal of the load or source whose case it fixes to metal,
    /// the eyes on a stud, one side of a mated pin; nothing for the joint at an end of a conductor.
    #[must_use]
    pub fn own_point(&self, id: JointId) -> Option<PointId> {
        match self.joint(id).of {
            JointOf::LoadCase(load) => Some(self.load_terminals(load).1),
            JointOf::SourceCase(source) => Some(self.regulated_terminals(source).1),
            JointOf::Between(point) => Some(point),
            JointOf::From(_) | JointOf::To(_) | JointOf::FromCrimp(_) | JointOf::ToCrimp(_) => None,
        }
    }

    /// The points at the beginning and the end of a conductor.
    #[must_use]
    pub fn conductor_ends(&self, id: ConductorId) -> (PointId, PointId) {
        let conductor = self.conductor(id);
        (self.joint(conductor.from).point, self.joint(conductor.to).point)
    }

    /// The two points of a piece; nothing for a joint that belongs to a conductor.
    #[must_use]
    pub fn piece_ends(&self, piece: Piece) -> Option<(PointId, PointId)> {
        Some(match piece {
            Piece::Conductor(id) => self.conductor_ends(id),
            Piece::Joint(id) => (self.own_point(id)?, self.joint(id).point),
            Piece::Stretch(id) => (self.stretch(id).from, self.stretch(id).to),
            Piece::Incidental(id) => (self.incidental(id).from, self.incidental(id).to),
            Piece::Inline(id) => (self.inline(id).from, self.inline(id).to),
        })
    }

    /// The post of a battery that feeds, and the one to which current comes home.
    #[must_use]
    pub fn battery_terminals(&self, id: BatteryId) -> (PointId, PointId) {
        let battery = self.battery(id);
        self.live_and_earthed(battery.positive, battery.negative)
    }
}

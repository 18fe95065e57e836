//! Conductors: cable, braid, strap, bar between two points.

use catalogue::{Insulation, Known, Material};
use units::{JoulesPerKelvin, Kelvin, Metres, Ohms, PerKelvin, Ratio, SquareMetres, WireSize};

use crate::id::{ConductorId, JointId};
use crate::likely::Likely;

/// What a conductor is made as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ConductorKind {
    /// Stranded, insulated.
    Cable,
    /// Woven strands, flat or tubular, usually bare.
    Braid,
    /// A short bonding conductor of any make.
    Strap,
    /// Solid metal of rectangular section.
    Bar,
}

/// What air a conductor runs through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surroundings {
    /// Beside the engine: the state's engine-space temperature.
    EngineSpace,
    /// Inside the body: the state's air temperature.
    Inside,
    /// Under or outside the body: the state's air temperature.
    Outside,
}

/// How a conductor lies over most of its length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laid {
    /// With air all round it.
    Free,
    /// Clipped along metal, which takes part of its heat.
    OnMetal,
}

/// A conductor between two points, each end through a joint of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Conductor {
    /// Position in the vehicle's list.
    pub this: ConductorId,
    /// The name used in the file, such as `main-negative` or `starter.feed`.
    pub id: String,
    /// The joint at its beginning.
    pub from: JointId,
    /// The joint at its end.
    pub to: JointId,
    /// The crimps at its beginning and its end, where the file states one or a reading tells it apart. A
    /// sound one adds nothing (IEC 61238-1, from memory: no more than the same length of its conductor).
    pub crimps: [Option<JointId>; 2],
    /// What it is made as.
    pub kind: ConductorKind,
    /// Its size as written.
    pub size: Option<WireSize>,
    /// Length along the conductor.
    pub length: Option<Metres>,
    /// Its metal.
    pub material: Known<Material>,
    /// Metal area, where a size is known.
    pub area: Option<SquareMetres>,
    /// Resistance of the conductor itself at 20 °C, joints excluded.
    pub resistance_at_20: Ohms,
    /// Relative rise of resistance per kelvin about 20 °C.
    pub temperature_coefficient: PerKelvin,
    /// Where the resistance comes from, in words.
    pub basis: String,
    /// True when the file states the resistance itself.
    pub stated: bool,
    /// The range in which the file's writer expects that resistance when sound.
    pub likely: Option<Likely<Ohms>>,
    /// The chance that it is not there, or open, where nobody has seen it.
    pub missing: Option<Ratio>,
    /// Its insulation; none for bare metal.
    pub insulation: Option<Known<Insulation>>,
    /// Highest temperature the insulation bears continuously.
    pub insulation_limit: Option<Kelvin>,
    /// Diameter over the metal, strands and the air between them included.
    pub metal_diameter: Option<Metres>,
    /// Outer diameter over the insulation; that of the metal when bare.
    pub outer_diameter: Option<Metres>,
    /// Heat that warms the whole conductor by one kelvin, insulation included.
    pub heat_capacity: Option<JoulesPerKelvin>,
    /// Temperature at which its metal melts.
    pub melting: Kelvin,
    /// What air it runs through.
    pub surroundings: Surroundings,
    /// How it lies there.
    pub laid: Laid,
    /// Number of loaded conductors bundled with it, itself included.
    pub bundle: u32,
    /// False for a strap that the diagram does not show.
    pub on_diagram: bool,
    /// When it was fitted, as written.
    pub fitted: Option<String>,
    /// A remark for people.
    pub note: Option<String>,
}

impl Conductor {
    /// Its joints in their order from its beginning to its end, what lies before its strands first.
    #[must_use]
    pub fn ends(&self) -> [[Option<JointId>; 2]; 2] {
        let [first, second] = self.crimps;
        [[Some(self.from), first], [second, Some(self.to)]]
    }

    /// All its joints, crimps among them, from its beginning to its end.
    pub fn joints(&self) -> impl Iterator<Item = JointId> {
        self.ends().into_iter().flatten().flatten()
    }
}

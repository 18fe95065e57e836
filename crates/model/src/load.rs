//! Loads: what the current is for.

pub use physics::load::LoadLaw;
use units::{Amperes, Ratio, Volts};

use crate::id::{JointId, LoadId, PointId, StateId};
use crate::likely::Likely;

/// What a load is, in the words of the trade.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadKind {
    /// A heater element, a resistor, a coil.
    Resistive,
    /// Filament lamp.
    Lamp,
    /// Motor of a fan, blower, pump or wiper.
    Motor,
    /// Motor of a fan or blower, whose torque follows the square of its speed.
    Fan,
    /// Motor of a pump that moves the same at every turn, against a pressure.
    Pump,
    /// Motor of a winch, by its pull and the layers of rope on its drum.
    Winch,
    /// Motor of an anchor windlass.
    Windlass,
    /// Motor of a hydraulic pack, against the pressure of its valve.
    HydraulicPack,
    /// The engine's starter motor.
    Starter,
    /// A preheat plug whose resistance rises as it glows.
    PreheatPlug,
    /// A heater whose resistance rises with its temperature, by which it regulates itself.
    SelfRegulatingHeater,
    /// Electronics that take a constant current.
    Electronics,
    /// Electronics or an inverter that take a constant power.
    Inverter,
    /// A control module whose ground reference matters.
    Module,
    /// A control module with a switch-mode supply, which takes a constant power.
    SwitchModeModule,
    /// A sensor or gauge sender whose ground reference matters.
    Sensor,
}

impl LoadKind {
    /// True for what measures or is measured against its own ground.
    #[must_use]
    pub fn is_reference(self) -> bool {
        matches!(self, Self::Module | Self::SwitchModeModule | Self::Sensor)
    }

    /// True for what turns: it may drag, and takes most of its current at rest.
    #[must_use]
    pub fn turns(self) -> bool {
        matches!(
            self,
            Self::Motor
                | Self::Fan
                | Self::Pump
                | Self::Winch
                | Self::Windlass
                | Self::HydraulicPack
                | Self::Starter
        )
    }

    /// The word used in the file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Resistive => "resistive",
            Self::Lamp => "lamp",
            Self::Motor => "motor",
            Self::Fan => "fan",
            Self::Pump => "pump",
            Self::Winch => "winch",
            Self::Windlass => "windlass",
            Self::HydraulicPack => "hydraulic pack",
            Self::Starter => "starter",
            Self::PreheatPlug => "preheat plug",
            Self::SelfRegulatingHeater => "self-regulating heater",
            Self::Electronics => "electronics",
            Self::Inverter => "inverter",
            Self::Module => "module",
            Self::SwitchModeModule => "switch-mode module",
            Self::Sensor => "sensor",
        }
    }
}

/// How much it matters that a load works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Importance {
    /// Nice to have.
    Comfort,
    /// Wanted in ordinary use.
    Ordinary,
    /// The vehicle, or a person, depends on it.
    Vital,
}

/// Something that draws current.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The name used in the file.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// What it is.
    pub kind: LoadKind,
    /// Its positive terminal.
    pub positive: PointId,
    /// Its negative terminal, or its case.
    pub negative: PointId,
    /// The joint of its case to metal, if it returns that way.
    pub case: Option<JointId>,
    /// How its current depends on its voltage.
    pub law: LoadLaw,
    /// The range in which the file's writer expects its current at rated voltage when sound.
    pub likely: Option<Likely<Amperes>>,
    /// The coil that switches it on, itself a load of the vehicle.
    pub control: Option<LoadId>,
    /// Nominal voltage of the system that it is made for.
    pub nominal: Volts,
    /// The least voltage at which it does its job, as the file states it.
    pub minimum: Option<Volts>,
    /// The least voltage at which its kind usually does its job.
    pub usual_minimum: Volts,
    /// The voltage below which it switches itself off.
    pub dropout: Option<Volts>,
    /// How much it matters.
    pub importance: Importance,
    /// Share of the time that it draws current while on; for heat, not for volts.
    pub duty: Ratio,
    /// States in which it is on.
    pub on: Vec<StateId>,
    /// A remark for people.
    pub note: Option<String>,
}

/// Share of its nominal voltage below which a load is dead: a relay's coil has let go by then
/// (common practice).
const DEAD_SHARE: f64 = 0.1;

impl Load {
    /// True when that voltage is next to nothing for it.
    #[must_use]
    pub fn is_dead_at(&self, volts: Volts) -> bool {
        volts < self.nominal * DEAD_SHARE
    }

    /// True when it is switched on in the state.
    #[must_use]
    pub fn is_on_in(&self, state: StateId) -> bool {
        self.on.contains(&state)
    }
}

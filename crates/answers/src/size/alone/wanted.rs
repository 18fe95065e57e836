//! What is asked of a conductor by itself, read and checked.

use catalogue::{Catalogue, Insulation, JointKind, Material};
use units::{Amperes, Kelvin, Metres, Ohms, Ratio, Volts, print};

use crate::Refusal;
use crate::arguments::Arguments;
use crate::refusal::Refused;
use crate::size::{Asked, USUAL_INSULATION};

/// Joints taken for each cable, one at either end, where their number is not given.
const JOINTS_OF_A_CABLE: u32 = 2;

/// Air about the conductor where none is named.
const USUAL_AIR: &str = "20 °C";

/// What was asked, read and checked.
#[derive(Debug)]
pub(super) struct Wanted {
    pub current: Amperes,
    pub length: Metres,
    pub return_length: Option<Metres>,
    pub allowed: Volts,
    pub material: &'static Material,
    pub ambient: Kelvin,
    pub insulation: &'static Insulation,
    pub insulation_assumed: bool,
    pub n_joints: u32,
    pub joints_assumed: bool,
    pub joint: &'static JointKind,
}

impl Wanted {
    pub(super) fn read(asked: &Asked, mut arguments: Arguments) -> Result<Self, Refused> {
        let catalogue = Catalogue::standard();
        let current = arguments.perhaps::<Amperes>("current", &asked.current);
        let length = arguments.positive::<Metres>("length", &asked.length);
        let return_length = arguments.perhaps::<Metres>("return_length", &asked.return_length);
        let allowed = allowed(asked, &mut arguments);
        let material = arguments.row("material", &asked.material, &catalogue.materials);
        let ambient = arguments.air(asked.ambient.as_deref().unwrap_or(USUAL_AIR));
        let insulation = asked.insulation.as_deref().unwrap_or(USUAL_INSULATION);
        let insulation = arguments.row("insulation", insulation, &catalogue.insulation);
        let joint = arguments.row("joint", &asked.joint, &catalogue.joint_kinds);
        let numbers = current.zip(length).zip(allowed).zip(ambient);
        let rows = material.zip(insulation).zip(joint);
        let read = arguments.0.unless(numbers.zip(rows))?;
        let ((((current, length), allowed), ambient), ((material, insulation), joint)) = read;
        let conductors = if return_length.is_some() { 2 } else { 1 };
        Ok(Self {
            current,
            length,
            return_length,
            allowed,
            material,
            ambient,
            insulation,
            insulation_assumed: asked.insulation.is_none(),
            n_joints: asked.joints.unwrap_or(JOINTS_OF_A_CABLE * conductors),
            joints_assumed: asked.joints.is_none(),
            joint,
        })
    }

    /// Feed and return together.
    pub(super) fn path(&self) -> Metres {
        self.length + self.return_length.unwrap_or(Metres::ZERO)
    }

    /// What all joints lose, each of so much.
    pub(super) fn joints_drop(&self, each: Ohms) -> Volts {
        each * self.current * f64::from(self.n_joints)
    }
}

/// The drop that is allowed, from whichever of the arguments gives it.
fn allowed(asked: &Asked, arguments: &mut Arguments) -> Option<Volts> {
    let nominal = arguments.perhaps::<Volts>("nominal", &asked.nominal);
    if let Some(text) = &asked.drop {
        return arguments.positive::<Volts>("drop", text);
    }
    let Some(text) = &asked.percent else {
        return arguments
            .denied("no drop is given", "`--drop '0.3 V'`, or `--percent '3 %' --nominal '12 V'`");
    };
    if asked.nominal.is_none() {
        let what = "`--percent` is a share of nothing";
        arguments.refuse(Refusal::new(what, "`--nominal '12 V'` beside it"));
    }
    let share = arguments.positive::<Ratio>("percent", text)?;
    if share.0 >= 1.0 {
        let what = format!("is {}", print::percent(share));
        let expected = "a share below 100 %, such as `3 %`";
        return arguments.refused("percent", text, what, expected);
    }
    Some(nominal? * share.0)
}

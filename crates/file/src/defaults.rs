//! What is taken where a file is silent, each with its reason and how sure it is.
//!
//! Values without a source are common practice or from memory and say so; `groundloom check
//! --defaults` shows every one that was used.

use model::Filled;

/// Radius of a lug or washer seat on sheet metal, for the spreading of current around it.
pub(crate) const SEAT_RADIUS_M: f64 = 0.008;
/// Distance taken between fixings on a shell where their places are not given.
pub(crate) const SHELL_DISTANCE_M: f64 = 1.5;
/// Resistance between two points of a body of metal about which nothing is said.
pub(crate) const BODY_OHMS: f64 = 0.1e-3;
/// Share of the space between strands that is metal.
pub(crate) const STRAND_FILL: f64 = 0.75;
/// Heat that one cubic metre of plastic insulation takes for one kelvin.
pub(crate) const INSULATION_HEAT_J_PER_M3_K: f64 = 1.7e6;

/// Thickness of thin-wall insulation over a metal diameter, both in metres: between 0.25 mm on the
/// thinnest and 1.6 mm on the thickest cables of the ISO 6722 thin-wall outer diameters.
pub(crate) fn insulation_thickness_m(metal_diameter: f64) -> f64 {
    (0.15e-3 + 0.09 * metal_diameter).clamp(0.25e-3, 1.6e-3)
}

/// Regulated voltage of a 12 V system at 25 °C: the middle setting of TM 10-3930-621-12.
pub(crate) const REGULATED_12_V: f64 = 14.4;
/// Output voltage of a converter for 12 V loads (common practice).
pub(crate) const CONVERTER_12_V: f64 = 13.8;
/// Fall of a regulator's voltage from nothing to full output, on 12 V (from memory).
pub(crate) const REGULATOR_FALL_12_V: f64 = 0.2;
/// Output at idle over rated output: between 0.33 (16 A of 48 A at 1300 per minute, hot) and 0.5.
pub(crate) const IDLE_SHARE: f64 = 0.4;
/// Efficiency of a DC-DC converter (common practice).
pub(crate) const CONVERTER_EFFICIENCY: f64 = 0.9;

/// Capacity taken for a battery without one (common practice).
pub(crate) const BATTERY_AH: f64 = 80.0;
/// State of charge taken for a battery without one.
pub(crate) const BATTERY_CHARGE: f64 = 0.9;
/// Cold cranking bound to warm resistance: at −18 °C a battery has 1.8 to 2.5 times the resistance
/// of 25 °C (from memory); the middle is taken.
pub(crate) const COLD_RESISTANCE_FACTOR: f64 = 2.1;
/// Resistance of an 80 Ah, 12 V battery about which only the chemistry is known, in ohms.
pub(crate) fn battery_ohms_80_ah(chemistry: &str) -> f64 {
    match chemistry {
        "AGM" | "gel" => 3.0e-3,
        "lithium iron phosphate" => 4.0e-3,
        _ => 4.5e-3,
    }
}
/// Charging current that a battery accepts at the regulated voltage, as a share of its capacity an
/// hour: as much as is missing, but at least a twentieth (common practice).
pub(crate) fn acceptance_share(chemistry: &str, charge: f64) -> f64 {
    if chemistry == "lithium iron phosphate" { 0.5 } else { (1.0 - charge).max(0.05) }
}

/// Voltage lost in a fuse at its rating (from memory: blade fuses lose about a tenth of a volt).
pub(crate) const FUSE_DROP_V: f64 = 0.1;
/// Resistance of a fuse or link about which nothing is known.
pub(crate) const FUSE_OHMS: f64 = 1.0e-3;
/// Resistance of switching contacts by kind (common practice, no survey found).
pub(crate) fn switch_ohms(kind: &str) -> f64 {
    match kind {
        "relay" => 5e-3,
        "contactor" => 0.4e-3,
        "battery switch" => 0.25e-3,
        "solenoid" => 0.5e-3,
        "ignition switch" => 10e-3,
        _ => 10e-3,
    }
}
/// Resistance of a diode above its forward voltage, in ohms (common practice).
pub(crate) const DIODE_OHMS: f64 = 2e-3;
/// Forward voltage of a silicon diode at low current.
pub(crate) const DIODE_DROP_V: f64 = 0.6;

/// Share of a starter's current that follows the voltage; the rest is set by torque (from memory).
pub(crate) const STARTER_FOLLOWS: f64 = 0.4;
/// Stall current over cranking current at the same voltage; bench limits of starters in workshop
/// manuals give 2.3 to 3.2 at lower voltages.
pub(crate) const STALL_FACTOR: f64 = 2.5;
/// First current of a preheat plug over its settled one (from memory: 20 to 30 A falling to 8 to 10 A).
pub(crate) const PREHEAT_COLD_FACTOR: f64 = 2.5;

/// Conductors at least this thick end in bolted lugs, thinner ones in pins and spades.
pub(crate) const LUG_FROM_MM2: f64 = 6.0;

/// Collects what was filled in.
#[derive(Debug, Default)]
pub(crate) struct Fills(pub Vec<Filled>);

impl Fills {
    pub(crate) fn note(&mut self, key: String, value: impl Into<String>, why: impl Into<String>) {
        self.0.push(Filled { key, value: value.into(), why: why.into() });
    }
}

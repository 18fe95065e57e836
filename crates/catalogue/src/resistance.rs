//! Resistance of one metre of a conductor of a named size, with the basis on which it rests.

use units::print::plain;
use units::{Ohms, SquareMetres, WireSize};

use crate::Catalogue;
use crate::cable::FlexibleCable;
use crate::gauge::{AwgNumber, awg_area};
use crate::material::Material;
use crate::provenance::{Confidence, Provenance};
use crate::row::Row;

/// Lay and tolerance of flexible cable that IEC 60228 does not list.
///
/// Source: derived; the class 5 rows lie 1.10 to 1.16 above a solid conductor of their area.
pub const METRIC_ALLOWANCE: f64 = 1.12;

/// Lay of stranded cable named by AWG.
///
/// Source: unconfirmed; strands run 2 % longer than the cable.
pub const STRANDING_ALLOWANCE: f64 = 1.02;

/// Slant of the strands of a braid.
///
/// Source: unconfirmed; strands at 20° to 35° run 6 to 22 % longer. The range is 1.08 to 1.30.
pub const BRAID_ALLOWANCE: f64 = 1.15;

/// What one metre of a conductor opposes to current at 20 °C, and why that is believed.
#[derive(Debug, Clone, PartialEq)]
pub struct ConductorResistance {
    /// Resistance of one metre at 20 °C.
    pub per_metre: Ohms,
    /// Metal area.
    pub area: SquareMetres,
    /// What the resistance rests on, in words.
    pub basis: String,
    /// Where it comes from.
    pub provenance: Provenance,
}

impl Catalogue {
    /// Resistance of one metre of a conductor at 20 °C.
    ///
    /// ```text
    /// R' = allowance · ρ₂₀ / A
    /// ```
    ///
    /// Sizes that IEC 60228 lists for class 5 have its highest permitted resistance instead; other
    /// metals are scaled from it by resistivity. None for a gauge that is not listed and for an
    /// area that is not above zero.
    ///
    /// # Source
    ///
    /// IEC 60228:2004 class 5; ASTM B258 for AWG areas; least areas of SAE J1127 and J1128; the
    /// allowances are constants of this module.
    ///
    /// # Example
    ///
    /// ```
    /// # use catalogue::Catalogue;
    /// # use units::{SquareMetres, WireSize};
    /// let catalogue = Catalogue::standard();
    /// let copper = catalogue.materials.find("copper").expect("copper is listed");
    /// let size = WireSize::Area(SquareMetres::from_mm2(25.0));
    /// let cable = catalogue.conductor_resistance_per_metre(&size, copper).expect("25 mm² is listed");
    /// assert!((cable.per_metre.0 - 0.780e-3).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn conductor_resistance_per_metre(
        &self,
        size: &WireSize,
        material: &Material,
    ) -> Option<ConductorResistance> {
        match *size {
            WireSize::Area(area) => {
                match self.flexible_cables.iter().find(|row| near(row.area, area)) {
                    Some(row) => self.listed(row, material),
                    None => over_area(area, METRIC_ALLOWANCE, "stranding", material),
                }
            }
            WireSize::Awg(number) => {
                let area = awg_area(AwgNumber::new(number)?);
                let mut found = over_area(area, STRANDING_ALLOWANCE, "stranding", material)?;
                found.provenance.source = format!("ASTM B258 area; {}", found.provenance.source);
                found.provenance.confidence = Confidence::Unconfirmed;
                Some(found)
            }
            WireSize::Sae(number) => {
                let row = self.sae_gauges.iter().find(|row| row.number == number)?;
                let rho = material.resistivity.0;
                Some(ConductorResistance {
                    per_metre: Ohms(rho / row.least_area.0),
                    area: row.least_area,
                    basis: format!(
                        "resistivity of {} over the least area of {}, {} mm²",
                        material.key(),
                        row.key(),
                        plain(row.least_area.mm2(), 4)
                    ),
                    provenance: weaker(&row.provenance, &material.provenance),
                })
            }
            WireSize::Braid(area) => {
                let mut found = over_area(area, BRAID_ALLOWANCE, "slant of the strands", material)?;
                found.provenance.confidence = Confidence::Unconfirmed;
                Some(found)
            }
            WireSize::Bar { width, thickness } => {
                let area = SquareMetres(width.0 * thickness.0);
                over_area(area, 1.0, "", material)
            }
        }
    }

    fn listed(&self, row: &FlexibleCable, material: &Material) -> Option<ConductorResistance> {
        let copper = self.materials.find("copper")?;
        let published = |per_metre: Ohms, finish: &str| ConductorResistance {
            per_metre,
            area: row.area,
            basis: format!("IEC 60228 class 5 maximum for {}, {finish} copper", row.key()),
            provenance: row.provenance.clone(),
        };
        Some(match material.key() {
            "copper" => published(row.plain, "plain"),
            "tinned copper" => published(row.tinned, "tinned"),
            other => {
                let ratio = material.resistivity.0 / copper.resistivity.0;
                ConductorResistance {
                    per_metre: row.plain * ratio,
                    area: row.area,
                    basis: format!(
                        "IEC 60228 class 5 maximum for {} of plain copper, times {} for {other}",
                        row.key(),
                        plain(ratio, 4)
                    ),
                    provenance: derived(
                        &material.provenance,
                        "IEC 60228 class 5 scaled by resistivity",
                    ),
                }
            }
        })
    }
}

/// Areas that are the same but for the rounding of their decimal digits.
fn near(one: SquareMetres, other: SquareMetres) -> bool {
    (one / other - 1.0).abs() < 1e-6
}

fn over_area(
    area: SquareMetres,
    allowance: f64,
    reason: &str,
    material: &Material,
) -> Option<ConductorResistance> {
    if !(SquareMetres::ZERO < area && area.is_finite()) {
        return None;
    }
    let metal = material.key();
    let allowed = if reason.is_empty() {
        String::new()
    } else {
        format!(", times {} for the {reason}", plain(allowance, 3))
    };
    Some(ConductorResistance {
        per_metre: Ohms(allowance * material.resistivity.0 / area.0),
        area,
        basis: format!("resistivity of {metal} over {} mm²{allowed}", plain(area.mm2(), 4)),
        provenance: derived(&material.provenance, "resistivity over area"),
    })
}

/// A computed value is never surer than its inputs, and never surer than computed.
fn derived(from: &Provenance, rule: &str) -> Provenance {
    let confidence = from.confidence.max(Confidence::Derived);
    Provenance::new(format!("{rule}; resistivity: {}", from.source), confidence)
}

fn weaker(one: &Provenance, other: &Provenance) -> Provenance {
    Provenance::new(
        format!("{}; resistivity: {}", one.source, other.source),
        one.confidence.max(other.confidence).max(Confidence::Derived),
    )
}

#[cfg(test)]
mod published {
    use super::*;
    use units::Metres;

    pub(super) fn per_metre(size: WireSize, material: &str) -> f64 {
        let catalogue = Catalogue::standard();
        let material = catalogue.materials.find(material).expect(material);
        catalogue.conductor_resistance_per_metre(&size, material).expect("a size").per_metre.0
    }

    pub(super) fn mm2(area: f64) -> WireSize {
        WireSize::Area(SquareMetres::from_mm2(area))
    }

    /// IEC 60228:2004 class 5.
    #[test]
    fn listed_metric_sizes_have_the_maximum_of_iec_60228() {
        assert!((per_metre(mm2(35.0), "copper") / 0.554e-3 - 1.0).abs() < 1e-9);
        assert!((per_metre(mm2(35.0), "tinned copper") / 0.565e-3 - 1.0).abs() < 1e-9);
    }

    /// Wire table: 0.2485 Ω per 1000 ft for 4 AWG, stranding allowance aside.
    #[test]
    fn four_gauge_cable_is_two_percent_above_the_wire_table() {
        let table = 0.2485 / 304.8;
        assert!((per_metre(WireSize::Awg(4), "copper") / table - 1.02).abs() < 1e-3);
    }

    /// SAE 4 at its least area of 37 360 circular mils: 0.911 mΩ/m.
    #[test]
    fn sae_four_has_more_resistance_than_awg_four() {
        let sae = per_metre(WireSize::Sae(4), "copper");
        assert!((sae / 0.911e-3 - 1.0).abs() < 1e-3);
        assert!(sae > per_metre(WireSize::Awg(4), "copper"));
    }

    #[test]
    fn a_copper_bar_of_20_by_3_is_287_microhms_a_metre() {
        let bar = WireSize::Bar { width: Metres::from_mm(20.0), thickness: Metres::from_mm(3.0) };
        assert!((per_metre(bar, "copper") / 287.35e-6 - 1.0).abs() < 1e-4);
    }
}

#[cfg(test)]
mod refusals {
    use super::*;

    fn nothing(size: WireSize) {
        let catalogue = Catalogue::standard();
        let copper = catalogue.materials.find("copper").expect("listed");
        assert_eq!(catalogue.conductor_resistance_per_metre(&size, copper), None, "{size:?}");
    }

    #[test]
    fn sizes_without_metal_or_without_a_row_have_no_resistance() {
        nothing(WireSize::Area(SquareMetres(0.0)));
        nothing(WireSize::Area(SquareMetres(f64::NAN)));
        nothing(WireSize::Braid(SquareMetres(-1e-6)));
        nothing(WireSize::Awg(41));
        nothing(WireSize::Sae(11));
    }

    #[test]
    fn allowances_that_are_recalled_make_the_result_unconfirmed() {
        let catalogue = Catalogue::standard();
        let copper = catalogue.materials.find("copper").expect("listed");
        for size in [WireSize::Awg(4), WireSize::Braid(SquareMetres(1e-5))] {
            let found = catalogue.conductor_resistance_per_metre(&size, copper).expect("a size");
            assert_eq!(found.provenance.confidence, Confidence::Unconfirmed, "{size:?}");
        }
    }
}

#[cfg(test)]
mod laws {
    use super::published::{mm2, per_metre};
    use super::*;

    #[test]
    fn a_metric_size_between_the_listed_ones_lies_between_their_resistances() {
        let between = per_metre(mm2(30.0), "copper");
        assert!(between < per_metre(mm2(25.0), "copper"));
        assert!(per_metre(mm2(35.0), "copper") < between);
    }

    #[test]
    fn a_braid_has_fifteen_percent_more_than_its_strands_laid_straight() {
        let braid = WireSize::Braid(SquareMetres::from_mm2(17.241));
        assert!((per_metre(braid, "copper") / 1.15e-3 - 1.0).abs() < 1e-4);
    }

    #[test]
    fn aluminium_has_1_64_times_the_resistance_of_copper_in_every_form() {
        for size in [mm2(35.0), mm2(30.0), WireSize::Awg(2), WireSize::Sae(2)] {
            let ratio = per_metre(size, "aluminium") / per_metre(size, "copper");
            assert!((ratio - 1.6394).abs() < 1e-3, "{size}: {ratio}");
        }
    }
}

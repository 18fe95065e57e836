//! American wire gauge: a geometric series of diameters, so a formula and not a table.

use units::{Metres, SquareMetres};

use crate::column;
use crate::provenance::{Confidence, Provenance};
use crate::row::{Row, Rows, from_fields};

/// An AWG number from 4/0 to 40.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct AwgNumber(i32);

impl AwgNumber {
    /// The thickest, 4/0, is −3.
    pub const THICKEST: i32 = -3;
    /// The thinnest that the catalogue lists.
    pub const THINNEST: i32 = 40;

    /// The gauge with this number, where 1/0, 2/0, 3/0 and 4/0 are 0, −1, −2 and −3; none outside
    /// 4/0 to 40.
    #[must_use]
    pub fn new(number: i32) -> Option<Self> {
        (Self::THICKEST..=Self::THINNEST).contains(&number).then_some(Self(number))
    }

    /// The number, where 1/0, 2/0, 3/0 and 4/0 are 0, −1, −2 and −3.
    #[must_use]
    pub fn number(self) -> i32 {
        self.0
    }
}

impl std::fmt::Display for AwgNumber {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.0 < 1 { write!(f, "{}/0 AWG", 1 - self.0) } else { write!(f, "{} AWG", self.0) }
    }
}

/// Diameter of a solid wire of this gauge.
///
/// ```text
/// d = 0.005 in · 92^((36 − n) / 39)
/// ```
///
/// # Source
///
/// ASTM B258.
#[must_use]
pub fn awg_diameter(gauge: AwgNumber) -> Metres {
    let steps = f64::from(36 - gauge.0) / 39.0;
    Metres::from_mm(0.127 * 92.0_f64.powf(steps))
}

/// Metal area of this gauge; a stranded wire of the gauge has the same metal area.
///
/// # Source
///
/// ASTM B258: π/4 of the square of [`awg_diameter`].
///
/// # Example
///
/// ```
/// # use catalogue::{AwgNumber, awg_area};
/// let ten = AwgNumber::new(10).expect("gauge 10 is between 4/0 and 40");
/// assert!((awg_area(ten).mm2() - 5.2612).abs() < 1e-4);
/// ```
#[must_use]
pub fn awg_area(gauge: AwgNumber) -> SquareMetres {
    let diameter = awg_diameter(gauge).0;
    SquareMetres(std::f64::consts::PI / 4.0 * diameter * diameter)
}

/// A size of the American wire gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct AwgSize {
    key: String,
    aliases: Vec<String>,
    /// The gauge.
    pub gauge: AwgNumber,
    /// Metal area.
    pub area: SquareMetres,
    provenance: Provenance,
}

impl Row for AwgSize {
    const TABLE: &'static str = "awg";
    const DESCRIPTION: &'static str =
        "American wire gauge: solid diameter and metal area by the defining formula";
    const HEADS: &'static [&'static str] = &["size", "diameter, mm", "area, mm²"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            column::number(awg_diameter(self.gauge).mm()),
            column::number(self.area.mm2()),
        ]
    }
}

/// Every gauge from 4/0 to 40.
pub(crate) fn awg_sizes() -> Rows<AwgSize> {
    let gauges = (AwgNumber::THICKEST..=AwgNumber::THINNEST).map(AwgNumber);
    Rows::new(
        gauges
            .map(|gauge| {
                let key = gauge.to_string();
                let aliases = vec![format!("AWG {}", key.trim_end_matches(" AWG"))];
                AwgSize {
                    key,
                    aliases,
                    gauge,
                    area: awg_area(gauge),
                    provenance: Provenance::new(
                        "ASTM B258, formula of the diameters",
                        Confidence::Derived,
                    ),
                }
            })
            .collect(),
    )
}

#[cfg(test)]
mod published {
    use super::*;

    /// Ohms per 1000 ft at 20 °C of annealed copper, from wire tables of the NBS Handbook 100 kind.
    const OHMS_PER_1000_FEET: [(i32, f64); 28] = [
        (-3, 0.04901),
        (-2, 0.06180),
        (-1, 0.07793),
        (0, 0.09827),
        (1, 0.1239),
        (2, 0.1563),
        (3, 0.1970),
        (4, 0.2485),
        (5, 0.3133),
        (6, 0.3951),
        (7, 0.4982),
        (8, 0.6282),
        (9, 0.7921),
        (10, 0.9989),
        (11, 1.260),
        (12, 1.588),
        (13, 2.003),
        (14, 2.525),
        (15, 3.184),
        (16, 4.016),
        (17, 5.064),
        (18, 6.385),
        (19, 8.051),
        (20, 10.15),
        (21, 12.8),
        (22, 16.14),
        (23, 20.36),
        (24, 25.67),
    ];

    #[test]
    fn copper_over_the_gauge_area_agrees_with_the_wire_table() {
        let catalogue = crate::Catalogue::standard();
        let copper = catalogue.materials.find("copper").expect("copper is a material");
        for (number, printed) in OHMS_PER_1000_FEET {
            let area = awg_area(AwgNumber::new(number).expect("a gauge of the table"));
            let computed = copper.resistivity.0 / area.0 * 304.8;
            assert!((computed / printed - 1.0).abs() < 1e-3, "{number}: {computed} {printed}");
        }
    }

    /// ASTM B258: No. 4/0 is 0.4600 in and No. 36 is 0.0050 in by definition.
    #[test]
    fn four_noughts_are_0_46_inches_and_thirty_six_is_0_005() {
        let inches = |n| awg_diameter(AwgNumber::new(n).expect("a gauge")).0 / 0.0254;
        assert!((inches(-3) - 0.46).abs() < 1e-6);
        assert!((inches(36) - 0.005).abs() < 1e-12);
        assert!((inches(10) - 0.101_90).abs() < 1e-5);
        assert!((inches(20) - 0.031_96).abs() < 1e-5);
    }
}

#[cfg(test)]
mod refusals {
    use super::*;

    #[test]
    fn gauges_beyond_four_noughts_and_forty_are_not_listed() {
        assert_eq!(AwgNumber::new(-4), None);
        assert_eq!(AwgNumber::new(41), None);
    }
}

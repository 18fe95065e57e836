//! Threads and the strength of what is made with them.

use serde::Deserialize;
use units::{Metres, NewtonMetres, Newtons, Pascals, SquareMetres};

use crate::cell;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Row, from_fields};

/// The family of a thread; both have a profile of 60°.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum ThreadSystem {
    /// ISO metric, coarse pitch.
    #[serde(rename = "metric coarse")]
    MetricCoarse,
    /// ISO metric, fine pitch.
    #[serde(rename = "metric fine")]
    MetricFine,
    /// Unified.
    #[serde(rename = "unified")]
    Unified,
}

/// A thread of a bolt, screw or stud.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Thread {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Its family.
    pub system: ThreadSystem,
    /// Nominal diameter.
    #[serde(rename = "diameter_mm", deserialize_with = "read::millimetres")]
    pub diameter: Metres,
    /// Pitch.
    #[serde(rename = "pitch_mm", deserialize_with = "read::millimetres")]
    pub pitch: Metres,
    /// Pitch diameter, d₂.
    #[serde(rename = "pitch_diameter_mm", deserialize_with = "read::millimetres")]
    pub pitch_diameter: Metres,
    /// Minor diameter of the external thread, d₃; metric threads only.
    #[serde(rename = "minor_diameter_mm", default, deserialize_with = "read::millimetres")]
    pub minor_diameter: Option<Metres>,
    /// Tensile stress area.
    #[serde(rename = "stress_area_mm2", deserialize_with = "read::square_millimetres")]
    pub stress_area: SquareMetres,
    /// What it stands on; metric threads only.
    pub seat: Option<Seat>,
    /// Where the row comes from.
    pub provenance: Provenance,
}

/// Where a hexagon head of a thread bears.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seat {
    /// Outer diameter of the bearing face under the head.
    #[serde(rename = "head_bearing_mm", deserialize_with = "read::millimetres")]
    pub head_bearing: Metres,
    /// Medium clearance hole, the inner diameter of the bearing face.
    #[serde(rename = "clearance_hole_mm", deserialize_with = "read::millimetres")]
    pub clearance_hole: Metres,
    /// Where the two diameters come from.
    pub provenance: Provenance,
}

impl Row for Thread {
    const TABLE: &'static str = "threads";
    const DESCRIPTION: &'static str =
        "Threads of bolts and studs: diameters, stress area, hexagon head bearing, clearance hole";
    const HEADS: &'static [&'static str] = &[
        "thread",
        "pitch, mm",
        "pitch diameter, mm",
        "minor diameter, mm",
        "stress area, mm²",
        "head bearing, mm",
        "clearance hole, mm",
    ];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.pitch.mm()),
            cell::number(self.pitch_diameter.mm()),
            cell::optional(self.minor_diameter.map(Metres::mm)),
            cell::number(self.stress_area.mm2()),
            cell::optional(self.seat.as_ref().map(|seat| seat.head_bearing.mm())),
            cell::optional(self.seat.as_ref().map(|seat| seat.clearance_hole.mm())),
        ]
    }
}

/// A property class or grade of bolts, screws and studs.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PropertyClass {
    key: String,
    #[serde(default)]
    aliases: Vec<String>,
    /// Proof stress.
    #[serde(rename = "proof_mpa", deserialize_with = "read::megapascals")]
    pub proof: Pascals,
    /// Least yield strength.
    #[serde(rename = "yield_mpa", deserialize_with = "read::megapascals")]
    pub yield_strength: Pascals,
    /// Least tensile strength.
    #[serde(rename = "tensile_mpa", deserialize_with = "read::megapascals")]
    pub tensile: Pascals,
    /// Holds for nominal diameters above this.
    #[serde(rename = "above_mm", default, deserialize_with = "read::millimetres")]
    pub above: Option<Metres>,
    /// Holds for nominal diameters up to this.
    #[serde(rename = "up_to_mm", default, deserialize_with = "read::millimetres")]
    pub up_to: Option<Metres>,
    /// What else to know.
    #[serde(default)]
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl PropertyClass {
    /// The load that a fastener of this class must bear without lasting stretch.
    #[must_use]
    pub fn proof_load(&self, thread: &Thread) -> Newtons {
        self.proof * thread.stress_area
    }
}

impl Row for PropertyClass {
    const TABLE: &'static str = "property-classes";
    const DESCRIPTION: &'static str = "Strength of steel bolts, screws and studs by class or grade";
    const HEADS: &'static [&'static str] =
        &["class", "proof, MPa", "yield, MPa", "tensile, MPa", "above, mm", "up to, mm", "note"];

    from_fields!(key: str, aliases: [String], provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.proof.0 * 1e-6),
            cell::number(self.yield_strength.0 * 1e-6),
            cell::number(self.tensile.0 * 1e-6),
            cell::optional(self.above.map(Metres::mm)),
            cell::optional(self.up_to.map(Metres::mm)),
            self.note.clone(),
        ]
    }
}

/// Limits of a thread-forming screw in sheet steel.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FormingScrew {
    key: String,
    /// Least torque at which the screw breaks.
    #[serde(rename = "breaking_nm", deserialize_with = "read::newton_metres")]
    pub breaking: NewtonMetres,
    /// Highest tightening torque, forming torque included.
    #[serde(rename = "highest_nm", deserialize_with = "read::newton_metres")]
    pub highest: NewtonMetres,
    /// Least tensile load.
    #[serde(rename = "tensile_kn", deserialize_with = "read::kilonewtons")]
    pub tensile: Newtons,
    /// Pilot hole in steel up to 2 mm thick.
    #[serde(rename = "pilot_hole_mm", default, deserialize_with = "read::millimetres")]
    pub pilot_hole: Option<Metres>,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Row for FormingScrew {
    const TABLE: &'static str = "forming-screws";
    const DESCRIPTION: &'static str =
        "DIN 7500 thread-forming screws: breaking torque, highest tightening torque, pilot hole";
    const HEADS: &'static [&'static str] = &[
        "thread",
        "breaks at, N·m",
        "highest torque, N·m",
        "tensile load, kN",
        "pilot hole in steel ≤ 2 mm, mm",
    ];

    from_fields!(key: str, provenance: Provenance);

    fn cells(&self) -> Vec<String> {
        vec![
            self.key.clone(),
            cell::number(self.breaking.0),
            cell::number(self.highest.0),
            cell::number(self.tensile.0 * 1e-3),
            cell::optional(self.pilot_hole.map(Metres::mm)),
        ]
    }
}

#[cfg(test)]
mod published {
    use crate::Catalogue;

    /// ISO 898-1:2013, proof loads of coarse threads in newtons: 4.6, 5.8, 8.8, 10.9, 12.9.
    const PROOF_LOADS: [(&str, [f64; 5]); 8] = [
        ("M4", [1_980.0, 3_340.0, 5_100.0, 7_290.0, 8_520.0]),
        ("M5", [3_200.0, 5_400.0, 8_230.0, 11_800.0, 13_800.0]),
        ("M6", [4_520.0, 7_640.0, 11_600.0, 16_700.0, 19_500.0]),
        ("M8", [8_240.0, 13_900.0, 21_200.0, 30_400.0, 35_500.0]),
        ("M10", [13_000.0, 22_000.0, 33_700.0, 48_100.0, 56_300.0]),
        ("M12", [19_000.0, 32_000.0, 48_900.0, 70_000.0, 81_800.0]),
        ("M14", [25_900.0, 43_700.0, 66_700.0, 95_500.0, 112_000.0]),
        ("M16", [35_300.0, 59_700.0, 91_000.0, 130_000.0, 152_000.0]),
    ];

    #[test]
    fn proof_loads_agree_with_iso_898_1() {
        let catalogue = Catalogue::standard();
        for (thread, loads) in PROOF_LOADS {
            let row = catalogue.threads.find(thread).expect(thread);
            for (class, printed) in ["4.6", "5.8", "8.8", "10.9", "12.9"].into_iter().zip(loads) {
                let strength = catalogue.property_classes.find(class).expect(class);
                let load = strength.proof_load(row).0;
                assert!((load / printed - 1.0).abs() < 7e-3, "{thread} {class}: {load}");
            }
        }
    }

    /// ISO 898-1 nominal stress areas in mm².
    #[test]
    fn metric_stress_areas_agree_with_iso_898_1() {
        let printed = [
            ("M4", 8.78),
            ("M5", 14.2),
            ("M6", 20.1),
            ("M8", 36.6),
            ("M10", 58.0),
            ("M12", 84.3),
            ("M14", 115.0),
            ("M16", 157.0),
        ];
        for (key, area) in printed {
            let row = Catalogue::standard().threads.find(key).expect(key);
            assert!((row.stress_area.mm2() / area - 1.0).abs() < 5e-3, "{key}");
        }
    }

    /// Stress areas in square inches, NASA TM-106943 and handbook tables of unified threads.
    #[test]
    fn unified_stress_areas_agree_with_the_handbooks() {
        let printed = [
            ("#8-32", 0.0140),
            ("#10-24", 0.0175),
            ("#10-32", 0.0200),
            ("1/4-20", 0.0318),
            ("1/4-28", 0.0364),
            ("5/16-18", 0.0524),
            ("5/16-24", 0.0580),
            ("3/8-16", 0.0775),
            ("3/8-24", 0.0878),
            ("7/16-14", 0.1063),
            ("1/2-13", 0.1419),
            ("1/2-20", 0.1599),
        ];
        for (key, area) in printed {
            let row = Catalogue::standard().threads.find(key).expect(key);
            let ratio = row.stress_area.mm2() / 645.16 / area;
            assert!((ratio - 1.0).abs() < 3e-3, "{key}: {ratio}");
        }
    }

    /// Naval Ships' Technical Manual chapter 075: 3816 lbf for 1/4-20 of grade 8.
    #[test]
    fn a_quarter_inch_grade_8_bolt_proves_to_3816_pounds() {
        let catalogue = Catalogue::standard();
        let thread = catalogue.threads.find("1/4-20").expect("a thread");
        let grade = catalogue.property_classes.find("grade 8").expect("a grade");
        let pounds = grade.proof_load(thread).0 / 4.448_22;
        assert!((pounds / 3816.0 - 1.0).abs() < 2e-3, "{pounds}");
    }
}

#[cfg(test)]
mod laws {
    use super::ThreadSystem;
    use crate::Catalogue;
    use std::f64::consts::PI;

    /// ISO 68-1 profile: d₂ = d − 0.649519 P, d₃ = d − 1.226869 P, area of their mean.
    #[test]
    fn threads_follow_the_sixty_degree_profile() {
        for row in &Catalogue::standard().threads {
            let (d, p) = (row.diameter.mm(), row.pitch.mm());
            let d2 = d - 0.649_519 * p;
            assert!((row.pitch_diameter.mm() - d2).abs() < 1.5e-3, "{row:?}");
            if row.system == ThreadSystem::Unified {
                // NASA TM-106943 equation 4; 1/n is the pitch.
                let area = PI / 4.0 * (d - 0.9743 * p).powi(2);
                assert!((row.stress_area.mm2() / area - 1.0).abs() < 1e-3, "{row:?}");
            } else {
                let d3 = d - 1.226_869 * p;
                let area = PI / 4.0 * f64::midpoint(d2, d3).powi(2);
                assert!((row.minor_diameter.expect("metric").mm() - d3).abs() < 1.5e-3, "{row:?}");
                assert!((row.stress_area.mm2() / area - 1.0).abs() < 1e-3, "{row:?}");
            }
        }
    }

    #[test]
    fn a_forming_screw_is_tightened_to_eight_tenths_of_what_breaks_it() {
        for row in &Catalogue::standard().forming_screws {
            assert!((row.highest.0 / row.breaking.0 - 0.8).abs() < 0.02, "{row:?}");
        }
    }
}

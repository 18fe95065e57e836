//! Threads and the strength of what is made with them.

use serde::Deserialize;
use units::{Metres, NewtonMetres, Newtons, Pascals, SquareMetres};

use crate::column;
use crate::provenance::Provenance;
use crate::read::table;
use crate::word::words;

words! {
    /// The family of a thread; both have a profile of 60°.
    ThreadSystem;
    /// ISO metric, coarse pitch.
    MetricCoarse "metric coarse";
    /// ISO metric, fine pitch.
    MetricFine "metric fine";
    /// Unified.
    Unified "unified";
}

table! {
    /// A thread of a bolt, screw or stud.
    Thread "threads"
        "Threads of bolts and studs: diameters, stress area, hexagon head bearing, clearance hole"
        "thread";
    /// Its family.
    pub system: ThreadSystem = PLAIN;
    /// Nominal diameter.
    pub diameter: Metres = MILLIMETRES "diameter_mm";
    /// Pitch.
    pub pitch: Metres = MILLIMETRES "pitch_mm" => "pitch, mm";
    /// Pitch diameter, d₂.
    pub pitch_diameter: Metres = MILLIMETRES "pitch_diameter_mm" => "pitch diameter, mm";
    /// Minor diameter of the external thread, d₃; metric threads only.
    pub minor_diameter: Option<Metres> = MILLIMETRES "minor_diameter_mm" => "minor diameter, mm";
    /// Tensile stress area.
    pub stress_area: SquareMetres = SQUARE_MILLIMETRES "stress_area_mm2" => "stress area, mm²";
    /// What it stands on; metric threads only.
    pub seat: Option<Seat> = MAY_LACK
        => "head bearing, mm" by |row| of_seat(row, |seat| seat.head_bearing)
        => "clearance hole, mm" by |row| of_seat(row, |seat| seat.clearance_hole);
}

fn of_seat(thread: &Thread, diameter: fn(&Seat) -> Metres) -> String {
    column::optional(thread.seat.as_ref().map(|seat| diameter(seat).mm()))
}

/// Where a hexagon head of a thread bears.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seat {
    /// Outer diameter of the bearing face under the head.
    #[serde(rename = "head_bearing_mm", deserialize_with = "column::millimetres")]
    pub head_bearing: Metres,
    /// Medium clearance hole, the inner diameter of the bearing face.
    #[serde(rename = "clearance_hole_mm", deserialize_with = "column::millimetres")]
    pub clearance_hole: Metres,
    /// Where the two diameters come from.
    pub provenance: Provenance,
}

table! {
    /// A property class or grade of bolts, screws and studs.
    PropertyClass "property-classes"
        "Strength of steel bolts, screws and studs by class or grade"
        "class";
    /// Proof stress.
    pub proof: Pascals = MEGAPASCALS "proof_mpa" => "proof, MPa";
    /// Least yield strength.
    pub yield_strength: Pascals = MEGAPASCALS "yield_mpa" => "yield, MPa";
    /// Least tensile strength.
    pub tensile: Pascals = MEGAPASCALS "tensile_mpa" => "tensile, MPa";
    /// Holds for nominal diameters above this.
    pub above: Option<Metres> = MILLIMETRES "above_mm" => "above, mm";
    /// Holds for nominal diameters up to this.
    pub up_to: Option<Metres> = MILLIMETRES "up_to_mm" => "up to, mm";
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

impl PropertyClass {
    /// The load that a fastener of this class must bear without lasting stretch.
    #[must_use]
    pub fn proof_load(&self, thread: &Thread) -> Newtons {
        self.proof * thread.stress_area
    }
}

table! {
    /// Limits of a thread-forming screw in sheet steel.
    FormingScrew "forming-screws"
        "DIN 7500 thread-forming screws: breaking torque, highest tightening torque, pilot hole"
        "thread";
    /// Least torque at which the screw breaks.
    pub breaking: NewtonMetres = NEWTON_METRES "breaking_nm" => "breaks at, N·m";
    /// Highest tightening torque, forming torque included.
    pub highest: NewtonMetres = NEWTON_METRES "highest_nm" => "highest torque, N·m";
    /// Least tensile load.
    pub tensile: Newtons = KILONEWTONS "tensile_kn" => "tensile load, kN";
    /// Pilot hole in steel up to 2 mm thick.
    pub pilot_hole: Option<Metres> = MILLIMETRES "pilot_hole_mm" => "pilot hole in steel ≤ 2 mm, mm";
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
        for row in Catalogue::standard().threads.iter() {
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
        for row in Catalogue::standard().forming_screws.iter() {
            assert!((row.highest.0 / row.breaking.0 - 0.8).abs() < 0.02, "{row:?}");
        }
    }
}

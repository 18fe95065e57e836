//! The catalogue that ships with the program: each table read once, when it is first looked at.

use std::sync::LazyLock;

use units::{Kelvin, Ratio, Volts};

use crate::environment::Environment;
use crate::gauge::{AwgSize, awg_sizes};
use crate::joint::{JointKind, TakenAt};
use crate::known::Known;
use crate::provenance::Provenance;
use crate::read;
use crate::row::{Rows, Table};
use crate::{
    assumed, battery, cable, contact, environment, fastener, fuse, insulation, joint, limit, load,
    material, plug, practice, surface, switch, tightening,
};

macro_rules! catalogue {
    ($($(#[$doc:meta])* $field:ident: $row:ty;)*) => {
        /// Every table of the catalogue.
        #[derive(Debug)]
        pub struct Catalogue {
            /// American wire gauge, computed from its defining formula.
            pub awg: LazyLock<Rows<AwgSize>>,
            $($(#[$doc])* pub $field: LazyLock<Rows<$row>>,)*
        }

        impl Catalogue {
            const fn new() -> Self {
                Self {
                    awg: LazyLock::new(awg_sizes),
                    $($field: LazyLock::new(|| {
                        read::rows(include_str!(concat!("../data/", stringify!($field), ".toml")))
                            .expect("a test of this crate reads every table")
                    }),)*
                }
            }

            /// Every table as text, for people who look things up.
            #[must_use]
            pub fn tables(&self) -> Vec<Table> {
                vec![self.awg.table(), $(self.$field.table(),)*]
            }
        }
    };
}

catalogue! {
    /// Metals.
    materials: material::Material;
    /// Anodic index of metals and finishes.
    anodic_groups: material::AnodicGroup;
    /// Difference of anodic index that an environment allows.
    galvanic_allowances: material::GalvanicAllowance;
    /// IEC 60228 class 5 sizes.
    flexible_cables: cable::FlexibleCable;
    /// ISO 6722-1 sizes.
    road_vehicle_cables: cable::RoadVehicleCable;
    /// SAE gauges.
    sae_gauges: cable::SaeGauge;
    /// Constructions of braid.
    braids: cable::Braid;
    /// Kinds of insulation.
    insulation: insulation::Insulation;
    /// Kinds of joint.
    joint_kinds: joint::JointKind;
    /// Where vehicles live.
    environments: environment::Environment;
    /// How likely things are at fault, how far they spread.
    judgements: assumed::Judgement;
    /// How readings are taken and go wrong, and how long they take.
    reading_judgements: assumed::ReadingJudgement;
    /// What people say and notice.
    symptom_judgements: assumed::SymptomJudgement;
    /// What people see, feel and try.
    sight_judgements: assumed::SightJudgement;
    /// From which chance on something is said.
    verdict_judgements: assumed::VerdictJudgement;
    /// Which repairs are worth doing, and how long and thick a strap is.
    repair_judgements: assumed::RepairJudgement;
    /// What a ground has to bear.
    duty_judgements: assumed::DutyJudgement;
    /// What is taken where a file is silent.
    defaults: assumed::Default;
    /// Resistance of switching contacts.
    switch_contacts: switch::SwitchContact;
    /// Which pin of a plug carries what.
    plug_layouts: plug::PlugLayout;
    /// Voltages at which contacts soften and melt.
    contact_voltages: contact::ContactVoltage;
    /// Paths that were never meant to carry current.
    incidental_paths: joint::IncidentalPath;
    /// Threads.
    threads: fastener::Thread;
    /// Property classes and grades.
    property_classes: fastener::PropertyClass;
    /// Nut factors by finish.
    nut_factors: tightening::NutFactor;
    /// Scatter of preload by method of tightening.
    tightening_scatter: tightening::TighteningScatter;
    /// Thread-forming screws.
    forming_screws: fastener::FormingScrew;
    /// Torques given for connections.
    connection_torques: tightening::ConnectionTorque;
    /// Open-circuit voltage against state of charge.
    rested_voltages: battery::RestedVoltage;
    /// Resistance of batteries.
    battery_resistances: battery::BatteryResistance;
    /// What cold leaves of a battery.
    cold_capacity: battery::ColdCapacity;
    /// What cranking ratings promise.
    cranking_ratings: battery::CrankingRating;
    /// Least voltages in the half-rating load test.
    load_test_minima: battery::LoadTestMinimum;
    /// How current follows voltage.
    load_laws: load::LoadLaw;
    /// Least voltages of loads that state none.
    usual_minima: load::UsualMinimum;
    /// What things usually draw.
    typical_draws: load::TypicalDraw;
    /// Bench figures of starters.
    starter_figures: load::StarterFigure;
    /// Current and voltage while cranking.
    cranking_figures: load::CrankingFigure;
    /// Preheat plugs.
    preheat_plugs: load::PreheatPlug;
    /// Limits of loss and of bond resistance.
    limits: limit::DropLimit;
    /// Opening times of fuses.
    fuse_times: fuse::FuseTime;
    /// Where protection stands and how it is rated.
    protection_rules: practice::ProtectionRule;
    /// Metals as faces of a contact.
    contact_metals: surface::ContactMetal;
    /// Classes of open air.
    corrosivity: surface::Corrosivity;
    /// What keeps water and salt off joints.
    joint_protections: practice::JointProtection;
    /// Preparation and protection of joints.
    preparation: practice::Preparation;
    /// Cautions.
    cautions: practice::Caution;
}

static STANDARD: Catalogue = Catalogue::new();

impl Catalogue {
    /// The catalogue that ships with the program.
    #[must_use]
    pub fn standard() -> &'static Self {
        &STANDARD
    }

    /// The table of this name as text; a space may stand for a hyphen.
    #[must_use]
    pub fn table(&self, name: &str) -> Option<Table> {
        let name = name.trim().to_lowercase().replace(' ', "-");
        self.tables().into_iter().find(|table| table.name == name)
    }

    /// The kind of joint that is taken at a place where a file names none.
    ///
    /// # Panics
    ///
    /// Never: a test of this crate finds a kind for every place.
    #[must_use]
    pub fn joint_taken_at(&'static self, place: TakenAt) -> Known<JointKind> {
        self.joint_kinds
            .known_by(|row| row.taken_at.contains(&place))
            .expect("a test finds a kind for every place")
    }

    /// The environment that is taken where nobody says.
    ///
    /// # Panics
    ///
    /// Never: a test of this crate finds one.
    #[must_use]
    pub fn usual_environment(&'static self) -> Known<Environment> {
        self.environments.known_by(|row| row.usual).expect("a test finds one")
    }

    /// Share of its warm cranking ability that the cold leaves a fully charged lead-acid battery.
    #[must_use]
    pub fn cranking_ability(&self, temperature: Kelvin) -> Ratio {
        battery::cranking_ability(&self.cold_capacity, temperature)
    }

    /// Open-circuit voltage of a rested battery of the 12 V class at a state of charge, and where
    /// it comes from; none for a chemistry that is not listed.
    ///
    /// Straight lines between the rows of [`rested_voltages`](Self::rested_voltages); beyond the
    /// outermost rows their voltage is held.
    #[must_use]
    pub fn open_circuit(&self, chemistry: &str, charge: Ratio) -> Option<(Volts, &Provenance)> {
        battery::open_circuit(&self.rested_voltages, chemistry, charge)
    }
}

#[cfg(test)]
mod laws {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_row_of_every_table_has_a_source_and_a_cell_for_each_head() {
        for table in Catalogue::standard().tables() {
            assert!(!table.rows.is_empty(), "{}", table.name);
            for row in &table.rows {
                let key = &row.cells[0];
                assert!(row.provenance.source.trim().len() > 5, "{}: {key}", table.name);
                assert_eq!(row.cells.len(), table.heads.len(), "{}: {key}", table.name);
                assert!(!key.trim().is_empty(), "{}", table.name);
            }
        }
    }

    #[test]
    fn no_source_is_a_web_site() {
        for table in Catalogue::standard().tables() {
            for row in &table.rows {
                for text in row.cells.iter().chain([&row.provenance.source]) {
                    for mark in ["http", "www.", ".com", ".org", ".net", ".gov"] {
                        assert!(!text.contains(mark), "{}: {text}", table.name);
                    }
                }
            }
        }
    }

    #[test]
    fn keys_and_other_words_are_unique_within_a_table() {
        fn check<R: crate::Row>(rows: &Rows<R>) {
            let mut seen = BTreeSet::new();
            for row in rows {
                for word in
                    std::iter::once(row.key()).chain(row.aliases().iter().map(String::as_str))
                {
                    assert!(seen.insert(word.to_lowercase()), "{}: {word} twice", R::TABLE);
                    let found = rows.find(word).expect("every word finds a row");
                    assert_eq!(found.key(), row.key(), "{}: {word}", R::TABLE);
                }
            }
        }
        let c = Catalogue::standard();
        check(&c.awg);
        check(&c.materials);
        check(&c.anodic_groups);
        check(&c.galvanic_allowances);
        check(&c.flexible_cables);
        check(&c.road_vehicle_cables);
        check(&c.sae_gauges);
        check(&c.braids);
        check(&c.insulation);
        check(&c.joint_kinds);
        check(&c.joint_protections);
        check(&c.environments);
        check(&c.judgements);
        check(&c.reading_judgements);
        check(&c.symptom_judgements);
        check(&c.sight_judgements);
        check(&c.verdict_judgements);
        check(&c.repair_judgements);
        check(&c.duty_judgements);
        check(&c.defaults);
        check(&c.switch_contacts);
        check(&c.plug_layouts);
        check(&c.contact_voltages);
        check(&c.incidental_paths);
        check(&c.threads);
        check(&c.property_classes);
        check(&c.nut_factors);
        check(&c.tightening_scatter);
        check(&c.forming_screws);
        check(&c.connection_torques);
        check(&c.rested_voltages);
        check(&c.battery_resistances);
        check(&c.cold_capacity);
        check(&c.cranking_ratings);
        check(&c.load_test_minima);
        check(&c.load_laws);
        check(&c.usual_minima);
        check(&c.typical_draws);
        check(&c.starter_figures);
        check(&c.cranking_figures);
        check(&c.preheat_plugs);
        check(&c.limits);
        check(&c.fuse_times);
        check(&c.protection_rules);
        check(&c.contact_metals);
        check(&c.corrosivity);
        check(&c.preparation);
        check(&c.cautions);
    }

    #[test]
    fn a_table_is_found_by_its_name() {
        let catalogue = Catalogue::standard();
        for table in catalogue.tables() {
            assert_eq!(catalogue.table(table.name), Some(table));
        }
        assert!(catalogue.table("Joint kinds").is_some());
        assert_eq!(catalogue.table("recipes"), None);
    }

    #[test]
    fn a_key_is_found_whatever_its_case_and_spacing() {
        let catalogue = Catalogue::standard();
        assert!(catalogue.joint_kinds.find("  Bolted   Lug ").is_some());
        assert!(catalogue.insulation.find("pvc 105").is_some());
        assert!(catalogue.materials.find("Aluminum").is_some());
        assert!(catalogue.materials.find("unobtainium").is_none());
    }
}

//! Published and trade facts for vehicle wiring: every row has its source and says how sure it is.
//!
//! The rows are data files, read once by [`Catalogue::standard`]. It knows nothing of any vehicle.

mod word;
mod provenance;
mod row;
mod known;
mod column;
mod read;
mod assumed;
mod gauge;
mod material;
mod cable;
mod fastener;
mod tightening;
mod insulation;
mod joint;
mod environment;
mod finish;
mod contact;
mod chance;
mod battery;
mod load;
mod limit;
mod switch;
mod plug;
mod fuse;
mod practice;
mod surface;
mod standard;
mod shipped;
mod resistance;

pub use assumed::{
    Default, Defaults, DutyJudgement, DutyJudgements, Judgement, Judgements, ReadingJudgement,
    ReadingJudgements, RepairJudgement, RepairJudgements, SightJudgement, SightJudgements,
    SymptomJudgement, SymptomJudgements, VerdictJudgement, VerdictJudgements,
};
pub use battery::{
    BatteryResistance, ColdCapacity, CrankingRating, LoadTestMinimum, RestedVoltage,
};
pub use cable::{Braid, FlexibleCable, RoadVehicleCable, SaeGauge};
pub use chance::{bad_joint_chance, stated_bad};
pub use contact::ContactVoltage;
pub use environment::Environment;
pub use fastener::{FormingScrew, PropertyClass, Seat, Thread, ThreadSystem};
pub use finish::Finish;
pub use fuse::FuseTime;
pub use gauge::{AwgNumber, AwgSize, awg_area, awg_diameter};
pub use insulation::Insulation;
pub use joint::{Fixing, IncidentalPath, JointKind, TakenAt};
pub use known::Known;
pub use limit::{Circuit, DropLimit, Limit, Part};
pub use load::{
    CrankingFigure, LoadLaw, PreheatPlug, StarterFigure, StarterTest, TypicalDraw, UsualMinimum,
};
pub use material::{AdiabaticConstants, AnodicGroup, GalvanicAllowance, Material};
pub use plug::{Pin, PlugLayout};
pub use practice::{Caution, JointProtection, Preparation, ProtectionRule};
pub use provenance::{Confidence, Provenance};
pub use resistance::{BRAID_ALLOWANCE, ConductorResistance, METRIC_ALLOWANCE, STRANDING_ALLOWANCE};
pub use row::{Row, Rows, Table, TableRow};
pub use standard::Catalogue;
pub use surface::{ContactMetal, Corrosivity};
pub use switch::SwitchContact;
pub use tightening::{ConnectionTorque, NutFactor, TighteningScatter};

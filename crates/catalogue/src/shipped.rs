//! The single values that ship with the program, taken out of their tables once.

use std::sync::LazyLock;

use crate::assumed::{
    Defaults, DutyJudgements, Judgements, ReadingJudgements, RepairJudgements, SightJudgements,
    SymptomJudgements, VerdictJudgements,
};
use crate::standard::Catalogue;

macro_rules! shipped {
    ($($values:ident $rows:ident;)*) => {$(
        impl $values {
            /// The values that ship with the program.
            #[must_use]
            pub fn standard() -> &'static Self {
                static STANDARD: LazyLock<$values> = LazyLock::new(|| {
                    $values::of(&Catalogue::standard().$rows)
                        .expect("a test finds a row of the right unit for every field")
                });
                &STANDARD
            }
        }
    )*};
}

shipped! {
    Judgements judgements;
    ReadingJudgements reading_judgements;
    SymptomJudgements symptom_judgements;
    SightJudgements sight_judgements;
    VerdictJudgements verdict_judgements;
    RepairJudgements repair_judgements;
    DutyJudgements duty_judgements;
    Defaults defaults;
}

//! Chances, spreads, factors and thresholds of judgement, from the catalogue's tables: each has its reason there.

use catalogue::{
    Judgements, ReadingJudgements, RepairJudgements, SightJudgements, SymptomJudgements,
    VerdictJudgements,
};

/// How likely things are at fault, and how far they spread.
pub(crate) fn faults() -> &'static Judgements {
    Judgements::standard()
}

/// How readings are taken and go wrong.
pub(crate) fn readings() -> &'static ReadingJudgements {
    ReadingJudgements::standard()
}

/// What people say and notice.
pub(crate) fn symptoms() -> &'static SymptomJudgements {
    SymptomJudgements::standard()
}

/// What people see, feel and try.
pub(crate) fn sights() -> &'static SightJudgements {
    SightJudgements::standard()
}

/// From which chance on something is said.
pub(crate) fn verdicts() -> &'static VerdictJudgements {
    VerdictJudgements::standard()
}

/// Which repairs are worth doing.
pub(crate) fn repairs() -> &'static RepairJudgements {
    RepairJudgements::standard()
}

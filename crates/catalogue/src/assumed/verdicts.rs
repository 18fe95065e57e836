//! From which chance on something is said.

use units::Ratio;

assumed! {
    /// Chances and shares from which something is said.
    VerdictJudgements,
    /// A chance or share from which something is said, with its reason.
    VerdictJudgement "verdict-judgements" "From which chance on something is said";
    /// A side is the one to look at when it is at fault with at least this chance.
    suspect_from: Ratio,
    /// A side is unlikely when it is at fault with less than this chance.
    unlikely_below: Ratio,
    /// A side is cleared when the readings took its chance below this.
    cleared_below: Ratio,
    /// What the readings have to leave of a side's chance for it to be cleared by them, at most.
    cleared_share: Ratio,
    /// From this chance of being wrong on nothing is said from a reading until it is taken again.
    more_likely_wrong: Ratio,
    /// From this chance of a set of joints on it is the set that is to be told apart next.
    set_from: Ratio,
    /// A fault is told with its reasons from this probability on, that of its conductor's pieces together.
    told_from: Ratio,
    /// A reading speaks against something when its squared misfit grows by so much.
    speaks_from: Ratio,
    /// A reading shows about as much too much as another from this share on.
    about_as_much: Ratio,
    /// How far from its middle a thing may be that is as it should be: logarithm, or volts.
    as_it_should_be: Ratio,
    /// Suspects below this probability are in no set.
    worth_naming: Ratio,
    /// Suspects from this probability on need no order among them.
    sure_from: Ratio,
    /// From this probability on a reading is named as one to take again.
    take_again_from: Ratio,
    /// Suspects from this probability on are opened by somebody: what to beware of there is said beside them.
    opened_from: Ratio,
}

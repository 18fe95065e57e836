//! What a ground has to bear.

use units::{Kelvin, Metres, Ratio, Seconds};

assumed! {
    /// What a ground has to bear: for how long, and from how warm.
    DutyJudgements,
    /// A time, factor or limit about what a ground has to bear, with its reason.
    DutyJudgement "duty-judgements" "What a ground has to bear";
    /// Cranks, one after another, that a ground has to bear.
    cranks: Ratio,
    /// How long each lasts.
    crank: Seconds,
    /// The rest between them.
    rest: Seconds,
    /// Air beside an engine that has just been stopped.
    hot_engine: Kelvin,
    /// How many times its current a conductor has to bear.
    in_hand: Ratio,
    /// What the insulation of a new cable bears.
    new_cable_limit: Kelvin,
    /// Plastic wall of a new cable.
    new_cable_wall: Metres,
}

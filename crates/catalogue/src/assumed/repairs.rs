//! Which repairs are worth doing, and how long and thick a strap is.

use units::{Amperes, Metres, Ratio, Seconds, SquareMetres, Volts};

assumed! {
    /// What a repair is worth doing for, and of what a strap is made.
    RepairJudgements,
    /// A factor or limit about repairs, with its reason.
    RepairJudgement "repair-judgements" "Which repairs are worth doing, and how long and thick a strap is";
    /// Chance that what is wrong at a conductor's end lies in the crimp.
    in_the_crimp: Ratio,
    /// Gains and losses below this are not listed, and a larger or added conductor that gains less is left.
    gain_worth_telling: Volts,
    /// What is bad is mended from this gain on.
    gain_worth_mending: Volts,
    /// A step helps a load when it gains it what makes a joint bad, divided by this.
    helps_from_parts: Ratio,
    /// A step that mends something with less than this chance is not worth doing.
    mends_at_least: Ratio,
    /// A step without new parts comes first when it mends so well as one with them, in part of it.
    cleaning_as_well: Ratio,
    /// What slopes must promise of a larger conductor to be worked out.
    promises_from: Volts,
    /// What a suspect is worth when slopes do not see it, for its probability.
    suspected_worth: Volts,
    /// Probability from which replacing a conductor is worked out.
    rotten_from: Ratio,
    /// How much more metal the next larger size has at least.
    larger_from_times: Ratio,
    /// Volts between two points from which a conductor between them is worth a look.
    strap_promises_from: Volts,
    /// Length that the two ends of a strap count for when places for it are compared.
    strap_ends_length: Metres,
    /// Beyond this a strap is no strap.
    strap_longest: Metres,
    /// The shortest strap.
    strap_shortest: Metres,
    /// Straps are cut to whole multiples of this.
    strap_step: Metres,
    /// Length of a conductor over that of the straight line.
    strap_detour_times: Ratio,
    /// The thinnest strap.
    strap_thinnest: SquareMetres,
    /// The thickest strap.
    strap_thickest: SquareMetres,
    /// Amperes a square millimetre that an added conductor carries for long.
    strap_amperes_a_mm2_for_hours: Ratio,
    /// Amperes a square millimetre that it carries for a minute at most.
    strap_amperes_a_mm2_for_a_minute: Ratio,
    /// What lasts no longer is short for an added conductor.
    strap_short_time: Seconds,
    /// From this share of what a conductor carries that comes over an added one when it lets go, the added one is beside it and has to bear all of it alone.
    beside_from_share: Ratio,
    /// What carries less than this burns nothing beside it.
    beside_least: Amperes,
}

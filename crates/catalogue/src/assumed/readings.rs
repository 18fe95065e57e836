//! How readings are taken and go wrong, and how long they take.

use units::{Amperes, Metres, Ratio, Seconds, Volts};

assumed! {
    /// Chances, spreads and times by which readings are weighed and proposed.
    ReadingJudgements,
    /// A chance, spread or time about readings, with its reason.
    ReadingJudgement "reading-judgements" "How readings are taken and go wrong, and how long they take";
    /// Chance that a reading is wrong at all.
    wrong: Ratio,
    /// Share of the wrong readings that were taken with probes or clamp the wrong way round.
    wrong_reversed: Ratio,
    /// Share of them of which a decimal point or prefix slipped to the left; as many slipped to the right.
    wrong_slipped: Ratio,
    /// Share of them of which a probe or the clamp was at another place; what is left is a value from anywhere.
    wrong_elsewhere: Ratio,
    /// What is not known of a value at another place, as a share of it.
    elsewhere_share: Ratio,
    /// The least of that, in volts or amperes.
    elsewhere_floor: Ratio,
    /// Width of the range of a voltage from anywhere, in nominal voltages.
    anywhere_nominal_times: Ratio,
    /// Width of the range of a current from anywhere.
    anywhere_amperes: Amperes,
    /// What a word like "about" may be off, as a share.
    about: Ratio,
    /// What is over a meter's range, or told as more than something, may be so many times as much.
    most_above_times: Ratio,
    /// Spread of a gauge on a dashboard.
    gauge: Volts,
    /// Spread of a caught minimum or maximum, as a share.
    held: Ratio,
    /// What a person calls no drop may be so much.
    nothing: Volts,
    /// What no model is better than, as a share of a value.
    model_share: Ratio,
    /// The least of that, in volts or amperes.
    model_floor: Ratio,
    /// How sure it has to be which sign was meant, as the logarithm of odds.
    sign_clear: Ratio,
    /// Chance that somebody leaves a minus off.
    minus_left_off: Ratio,
    /// Chance that leads or places were crossed where a minus was told.
    leads_crossed: Ratio,
    /// A value fits what is foretold within so many standard deviations.
    fits_within: Ratio,
    /// From this share of the nominal voltage on a value is that of a supply, whose sign no fault turns.
    supply_from: Ratio,
    /// Up to this share of the nominal voltage a minus of a supply is none.
    supply_minus_until: Ratio,
    /// Time for one reading by one person, probes at hand.
    one_reading: Seconds,
    /// Time more for cranking.
    cranking_more: Seconds,
    /// Time more for a lead that has to be lengthened.
    long_lead_more: Seconds,
    /// Time more for a probe on a lug under a boot or nut.
    lug_more: Seconds,
    /// Time for a reading at a coil while a helper holds the key.
    coil_reading: Seconds,
    /// How far apart a meter's own leads reach.
    leads_reach: Metres,
    /// Spread that is foreseen of a voltage, as a share.
    foreseen_volts_share: Ratio,
    /// The least of that.
    foreseen_volts_floor: Volts,
    /// Spread that is foreseen of a current, as a share.
    foreseen_amperes_share: Ratio,
    /// The least of that.
    foreseen_amperes_floor: Amperes,
    /// Doubt that loads and clean joints leave in a value before it is worked out, as a share.
    rough_doubt_share: Ratio,
    /// The most of that for a voltage.
    rough_doubt_most: Volts,
    /// A reading that tells this share of what another tells, tells as much.
    tells_as_much: Ratio,
    /// How much more a reading beside a running engine has to tell for its work to come first.
    running_tells_times: Ratio,
    /// A reading beside a running engine is looked at closely when it seems to tell so much of what the best without one tells.
    running_looked_at: Ratio,
    /// Of a first plan so much is chosen for what the losses over conductors leave hidden.
    survey_hidden_share: Ratio,
    /// Value at which a moderate fault is to be seen in a first plan, in spreads from its middle.
    survey_moderate_fault: Ratio,
    /// The same of a plain one.
    survey_plain_fault: Ratio,
    /// Squared multiple of its own uncertainty at which half of a fault counts as seen in a first plan.
    survey_half_seen: Ratio,
    /// A conductor that carries no more in any state has no place in a first plan.
    survey_carries_from: Amperes,
    /// Probability of a fault inside a cable from which its crimps are asked about apart from its strands.
    crimps_asked_from: Ratio,
}

//! What people say and notice: how likely with which fault.

use units::{Ohms, Ratio, Volts};

assumed! {
    /// Chances of what people say and notice, with a fault and without one.
    SymptomJudgements,
    /// A chance about what people say and notice, with its reason.
    SymptomJudgement "symptom-judgements" "What people say and notice: how likely with which fault";
    /// Chance that somebody names a symptom of a circuit that gives no reason for it.
    groundless: Ratio,
    /// Chance that somebody says of a dead starter that it turns slowly.
    impossible: Ratio,
    /// A conductor that nobody has seen explains nothing when it makes what is said less than so many times as likely as no reason does.
    idle_groundless_times: Ratio,
    /// Loss at a 12 V starter that half of people notice as slow cranking.
    slow_crank_noticed: Volts,
    /// How sharply.
    slow_crank_sharpness: Volts,
    /// Loss at a 12 V starter at which half of them no longer turn.
    no_crank_noticed: Volts,
    /// How sharply.
    no_crank_sharpness: Volts,
    /// Loss at a 12 V load that half of people notice as weak or dim.
    weak_noticed: Volts,
    /// How sharply.
    weak_sharpness: Volts,
    /// Loss at a 12 V battery that half of people notice as not being charged.
    not_charging_noticed: Volts,
    /// How sharply.
    not_charging_sharpness: Volts,
    /// Volts between a module's earth and the battery, of 12, that disturb half of them.
    disturbed_noticed: Volts,
    /// How sharply.
    disturbed_sharpness: Volts,
    /// Share of what a supply falls that disturbs as much as a lifted earth.
    disturbed_by_supply: Ratio,
    /// How many times as likely as other motors a starter drags.
    starters_wear_times: Ratio,
    /// Chance of a starter that does not turn, when engine or starter drag.
    stuck_starter_clicks: Ratio,
    /// Chance of a starter that does not turn, when a battery is low.
    low_battery_clicks: Ratio,
    /// Chance that a load that does not work at all is called weak.
    dead_called_weak: Ratio,
    /// Chance that something gets hot when a conductor is open or a load drags.
    detour_hot: Ratio,
    /// Share of the nominal voltage at which half of coils pull in.
    pulls_in: Ratio,
    /// How sharply.
    pulls_in_sharpness: Ratio,
    /// Chance that a coil's terminal has its volts though its control is at fault.
    volts_all_the_same: Ratio,
    /// Chance that it has them when its control works.
    volts_as_it_should: Ratio,
    /// Share of what looks like a dead load that is one not switched on, where something switches it.
    not_switched_on: Ratio,
    /// Resistance of a jump lead of 25 mm² and two metres with its clamps.
    lead_resistance: Ohms,
    /// Gain of a 12 V load by a jump lead that half of people notice.
    gain_noticed: Volts,
    /// How sharply.
    gain_sharpness: Volts,
    /// Chance of noticing what is not there, and of missing what is.
    gain_mistaken: Ratio,
    /// Chance of a load that gets worse for a lead.
    worse_for_a_lead: Ratio,
    /// Chance that moving a bad joint changes its fault.
    moved_itself: Ratio,
    /// Chance that moving a joint changes a fault at the same stud or at the other end of the same cable.
    moved_beside: Ratio,
    /// Chance that moving a joint changes a fault in its conductor.
    moved_conductor: Ratio,
    /// Chance that anything else changes when a joint is moved.
    moved_elsewhere: Ratio,
    /// Loss of a 12 V load that half of people complain about.
    complained_of: Volts,
    /// How sharply.
    complained_sharpness: Volts,
    /// Chance of a complaint about a load that gets what it should.
    complaint_groundless: Ratio,
}

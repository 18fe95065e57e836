//! How likely things are at fault, and how far they spread.

use units::{Amperes, JoulesPerKelvin, Metres, Ohms, Ratio, SquareMetres, Volts};

assumed! {
    /// Chances before any reading, the factors and spreads by which readings are weighed, the harm of what fails, and
    /// what joints hold of heat.
    Judgements,
    /// A chance, factor, spread or harm with its reason.
    Judgement "judgements" "Chances and factors of our judgement: how likely things are at fault, how far they spread, how much harm they do";
    /// Chance that a joint is bad of which nothing is known, inland.
    joint_bad: Ratio,
    /// The most of that chance, whatever its place, kind and protection say against it.
    joint_bad_at_most: Ratio,
    /// Chance that a joint is bad of which the file states a resistance that is bad for its kind.
    joint_stated_bad: Ratio,
    /// How many times as likely a joint is bad of which the file says that nothing protects it.
    joint_unprotected_times: Ratio,
    /// How many times as likely a joint is bad of which the file says what protects it.
    joint_protected_times: Ratio,
    /// How many times as likely a joint is bad of which the file says that a face of it is painted.
    joint_painted_times: Ratio,
    /// How many times as likely a joint is bad that is stated above the clean range of its kind.
    joint_above_clean_times: Ratio,
    /// How many times as likely a joint is bad that is stated within the clean range of its kind.
    joint_within_clean_times: Ratio,
    /// What a joint costs of a 12 V vehicle at the largest current that it carries in any state from which it is bad.
    bad_drop_12_v: Volts,
    /// Spread of a resistance that the file states.
    stated_spread: Ratio,
    /// Spread of a resistance that the file states of a joint that is bad at it.
    stated_bad_spread: Ratio,
    /// Spread of a conductor's resistance.
    conductor_spread: Ratio,
    /// Spread of the resistance of a structure's metal.
    structure_spread: Ratio,
    /// Spread of the resistance of a fuse's or a switch's contacts.
    inline_spread: Ratio,
    /// Spread of what a load draws.
    draw_spread: Ratio,
    /// Spread of what a starter draws.
    starter_draw_spread: Ratio,
    /// Spread of a 12 V battery's voltage at rest.
    battery_rest_spread_12_v: Volts,
    /// Spread of a battery's resistance.
    battery_spread: Ratio,
    /// Spread of what a 12 V regulator holds.
    regulator_spread_12_v: Volts,
    /// Spread of the difference at which an equaliser leaves half of a bank from half of the whole.
    equaliser_spread: Volts,
    /// Middle of the logarithm of how many times the resistance from which it is bad a bad piece has.
    bad_multiple_middle: Ratio,
    /// Spread of that logarithm.
    bad_multiple_spread: Ratio,
    /// Chance that a conductor has rotted, its strands or the crimp at either end.
    conductor_rotten: Ratio,
    /// Part of that chance that is in the crimp at one of its ends.
    rotten_in_a_crimp: Ratio,
    /// Chance that the contacts of a fuse or switch are bad.
    inline_bad: Ratio,
    /// Chance that a conductor is open.
    conductor_open: Ratio,
    /// Chance that a motor draws too much.
    load_drags: Ratio,
    /// Chance that a load does not draw.
    load_open: Ratio,
    /// Chance that a battery is discharged.
    battery_low: Ratio,
    /// Chance that a battery is worn.
    battery_worn: Ratio,
    /// Chance that a regulated source holds too little.
    source_low: Ratio,
    /// What a 12 V alternator at fault holds more.
    source_low_middle_12_v: Volts,
    /// Spread of that.
    source_low_spread_12_v: Volts,
    /// Chance that two bodies are joined by a path that the file lacks.
    extra_path: Ratio,
    /// Middle of the logarithm of such a path in ohms.
    extra_path_middle: Ratio,
    /// Spread of that logarithm.
    extra_path_spread: Ratio,
    /// Least spread of a clean joint's resistance, however narrow the clean range of its kind.
    kind_spread_least: Ratio,
    /// Most spread of it, however wide that range.
    kind_spread_most: Ratio,
    /// Spread of the resistance of a diode above its forward voltage.
    diode_spread: Ratio,
    /// Least current in any state at which a piece can be found out as bad.
    found_out_from: Amperes,
    /// Least logarithm of how many times what the file says a piece has from which it is bad.
    bad_least_logarithm: Ratio,
    /// Resistance that an open conductor is taken to have.
    conductor_open_resistance: Ohms,
    /// Spread of it.
    conductor_open_spread: Ratio,
    /// Chance that a load draws too much that is no motor.
    load_drags_unless_motor: Ratio,
    /// Middle of the logarithm of how many times its draw a load that drags takes.
    load_drags_middle: Ratio,
    /// Spread of that logarithm.
    load_drags_spread: Ratio,
    /// Middle of the logarithm of the share of its draw that a dead load takes.
    load_open_middle: Ratio,
    /// Spread of that logarithm.
    load_open_spread: Ratio,
    /// What a discharged 12 V battery has more at rest.
    battery_low_middle_12_v: Volts,
    /// Spread of that.
    battery_low_spread_12_v: Volts,
    /// Middle of the logarithm of how many times its resistance a worn battery has.
    battery_worn_middle: Ratio,
    /// Spread of that logarithm.
    battery_worn_spread: Ratio,
    /// Share of the bad joints that have a hundred times the resistance of a sound one; the rest have ten times.
    worn_hundredfold: Ratio,
    /// Share of the bad joints that are open.
    joint_open: Ratio,
    /// How many times as likely as others of its kind a joint that is bad already gets worse.
    bad_joint_worsens_times: Ratio,
    /// The most of that chance.
    bad_joint_worsens_at_most: Ratio,
    /// Chance that a conductor is broken through.
    conductor_broken: Ratio,
    /// Chance that a conductor is worn to a tenth of its strands.
    conductor_frayed_tenfold: Ratio,
    /// Chance that a conductor is worn to a hundredth of its strands.
    conductor_frayed_hundredfold: Ratio,
    /// How many times as likely a braid outside wears.
    braid_outside_times: Ratio,
    /// Chance that a fuse is blown or its clips burnt.
    fuse_blown: Ratio,
    /// Chance that a battery has a broken link or a clamp off.
    battery_lost: Ratio,
    /// Chance that an alternator or other source is dead.
    source_lost: Ratio,
    /// Harm of a conductor that melts.
    harm_conductor_melts: Ratio,
    /// Harm of a conductor that passes its limit.
    harm_conductor_past_limit: Ratio,
    /// Harm of a conductor that would pass its limit if the state lasted longer than usual.
    harm_conductor_near_limit: Ratio,
    /// Harm of an incidental path that carries what it just does not bear.
    harm_path: Ratio,
    /// How many times that at most, for more current.
    harm_path_at_most_times: Ratio,
    /// Harm of a joint that melts and makes much heat.
    harm_joint_melts: Ratio,
    /// Harm of a joint that is too hot and makes much heat.
    harm_joint_hot: Ratio,
    /// The least part of that, for little heat.
    harm_joint_least_part: Ratio,
    /// Harm of a vital load lost.
    harm_load_vital: Ratio,
    /// Harm of an ordinary load lost.
    harm_load_ordinary: Ratio,
    /// Harm of a comfort lost.
    harm_load_comfort: Ratio,
    /// Part of that where a load is only below its minimum.
    harm_load_low_part: Ratio,
    /// Part of the harm of each load that counts beside the worst that fails with it.
    harm_further_load_part: Ratio,
    /// Share of its marked current that a fuse is to carry for hours.
    fuse_held_share: Ratio,
    /// Harm of a fuse above its rating.
    harm_fuse_over_rating: Ratio,
    /// Harm of a battery that gives more than its part.
    harm_battery_unfair: Ratio,
    /// Harm of a network that cannot settle.
    harm_unsettled: Ratio,
    /// So much of its cable holds as much heat as a lug and its bolt.
    lug_holds_as_cable: Metres,
    /// Heat that a battery clamp holds.
    clamp_holds: JoulesPerKelvin,
    /// Heat that the case of a device holds about its mounting.
    case_holds: JoulesPerKelvin,
    /// Copper of a cable that carries heat off a joint where the file gives no size.
    joint_unknown_cable: SquareMetres,
    /// What is fed with more than so many times the voltage that it is made for is of another class.
    fed_too_high_times: Ratio,
    /// What is fed with less than so much of the voltage that it is made for is of another class.
    fed_too_low_times: Ratio,
    /// Share of all that sources deliver from which on a path never meant for current is told.
    stray_share: Ratio,
    /// Currents on such a path below this harm nothing.
    stray_from: Amperes,
}

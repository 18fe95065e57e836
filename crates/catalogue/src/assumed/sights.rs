//! What people see, feel and try without a meter: how likely with which fault.

use units::{Amperes, Ratio};

assumed! {
    /// Chances of what people see, feel and try.
    SightJudgements,
    /// A chance about what people see, feel and try, with its reason.
    SightJudgement "sight-judgements" "What people see, feel and try: how likely with which fault";
    /// Metal that was never meant to carry current gets hot: hot return.
    undrawn_hot_return: Ratio,
    /// Metal that was never meant to carry current gets hot: hot otherwise.
    undrawn_hot_otherwise: Ratio,
    /// Metal that was never meant to carry current gets hot: hot amperes.
    undrawn_hot_amperes: Amperes,
    /// Metal that was never meant to carry current gets hot: hot sharpness.
    undrawn_hot_sharpness: Ratio,
    /// Metal that was never meant to carry current gets hot: hot unsolved.
    undrawn_hot_unsolved: Ratio,
    /// Something gets hot: itself.
    hot_itself: Ratio,
    /// Something gets hot: beside.
    hot_beside: Ratio,
    /// Something gets hot: large current.
    hot_large_current: Ratio,
    /// Something gets hot: otherwise.
    hot_otherwise: Ratio,
    /// A device gets hot: otherwise.
    device_hot_otherwise: Ratio,
    /// Something gets hot: watts times.
    hot_watts_times: Ratio,
    /// Something gets hot: watts sharpness.
    hot_watts_sharpness: Ratio,
    /// Something is found loose: itself.
    loose_itself: Ratio,
    /// Something is found loose: otherwise.
    loose_otherwise: Ratio,
    /// Something is found corroded: itself.
    corroded_itself: Ratio,
    /// Something is found corroded: otherwise.
    corroded_otherwise: Ratio,
    /// Something is found broken: itself.
    broken_itself: Ratio,
    /// Something is found broken: otherwise.
    broken_otherwise: Ratio,
    /// Something is found missing: itself.
    missing_itself: Ratio,
    /// Something is found missing: otherwise.
    missing_otherwise: Ratio,
    /// Something is found clean and tight: itself.
    fine_itself: Ratio,
    /// Something is found clean and tight: otherwise.
    fine_otherwise: Ratio,
    /// A gauge moves with another load: return.
    moves_return: Ratio,
    /// A gauge moves with another load: feed.
    moves_feed: Ratio,
    /// A gauge moves with another load: source.
    moves_source: Ratio,
    /// A gauge moves with another load: otherwise.
    moves_otherwise: Ratio,
    /// Lamps dim: shared.
    dims_shared: Ratio,
    /// Lamps dim: heavy load.
    dims_heavy_load: Ratio,
    /// Lamps dim: otherwise.
    dims_otherwise: Ratio,
    /// Other things are dead too: shared.
    dies_shared: Ratio,
    /// Other things are dead too: otherwise.
    dies_otherwise: Ratio,
    /// A part replaced changes nothing: itself.
    vain_itself: Ratio,
    /// A part replaced changes nothing: otherwise.
    vain_otherwise: Ratio,
    /// Work on a part helps: itself.
    helped_itself: Ratio,
    /// Work on a part helps: otherwise.
    helped_otherwise: Ratio,
    /// A part cleaned or tightened changes nothing: vain itself.
    cleaned_vain_itself: Ratio,
    /// It comes when wet: joint.
    wet_joint: Ratio,
    /// It comes when wet: otherwise.
    wet_otherwise: Ratio,
    /// It comes when hot: device.
    hot_device: Ratio,
    /// It comes when hot: weather otherwise.
    hot_weather_otherwise: Ratio,
    /// It comes when cold: source.
    cold_source: Ratio,
    /// It comes when cold: device.
    cold_device: Ratio,
    /// It comes when cold: otherwise.
    cold_otherwise: Ratio,
    /// It comes after bumps: joint.
    shaken_joint: Ratio,
    /// It comes after bumps: otherwise.
    shaken_otherwise: Ratio,
    /// It comes and goes: joint.
    comes_and_goes_joint: Ratio,
    /// It comes and goes: otherwise.
    comes_and_goes_otherwise: Ratio,
    /// Most that is believed of a side without any reading.
    most_without_reading: Ratio,
}

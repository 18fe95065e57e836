//! What is taken where a file is silent.

use units::{Coulombs, JoulesPerKelvin, Kelvin, Metres, Ohms, Ratio, SquareMetres, Volts};

assumed! {
    /// What is taken where a file is silent.
    Defaults,
    /// A value that is taken where a file is silent, with its reason.
    Default "defaults" "What is taken where a file is silent";
    /// Radius of a lug or washer seat on sheet metal, for the spreading of current around it.
    seat_radius: Metres,
    /// Distance taken between fixings on a shell where their places are not given.
    shell_distance: Metres,
    /// Resistance between two points of a body of metal about which nothing is said.
    body: Ohms,
    /// Share of the space between strands that is metal.
    strand_fill: Ratio,
    /// Thickness of thin-wall insulation on a conductor without metal.
    insulation_base: Metres,
    /// How much thicker thin-wall insulation gets with the diameter of the metal.
    insulation_slope: Ratio,
    /// The thinnest insulation.
    insulation_thinnest: Metres,
    /// The thickest insulation.
    insulation_thickest: Metres,
    /// Heat that one cubic metre of plastic insulation takes for one kelvin.
    insulation_heat: JoulesPerKelvin,
    /// Regulated voltage of a 12 V system at 25 °C.
    regulated_12_v: Volts,
    /// Regulated voltage of a 24 V system at 25 °C.
    regulated_24_v: Volts,
    /// Output voltage of a converter for 12 V loads.
    converter_12_v: Volts,
    /// Fall of a regulator's voltage from nothing to full output, on 12 V.
    regulator_fall_12_v: Volts,
    /// Output of an alternator at idle over its rated output.
    idle_share: Ratio,
    /// Efficiency of a converter.
    converter_efficiency: Ratio,
    /// Share of the nominal voltage at its input below which a converter gives up.
    converter_least_input: Ratio,
    /// Efficiency of an equaliser.
    equaliser_efficiency: Ratio,
    /// Warmth of the air around a vehicle in a state of the trade.
    outside_air: Kelvin,
    /// Capacity taken for a battery without one.
    battery_capacity: Coulombs,
    /// State of charge taken for a battery without one.
    battery_charge: Ratio,
    /// Voltage of a 12 V battery at rest from which the cold cranking test begins.
    battery_rested_12_v: Volts,
    /// Volts that a sound 12 V battery keeps above what its cranking rating asks for.
    battery_rating_in_hand_12_v: Volts,
    /// State of charge taken for a battery that is being charged.
    battery_charge_when_charging: Ratio,
    /// Least share of its capacity an hour that a battery accepts at the regulated voltage; as much as is missing where that is more.
    least_acceptance: Ratio,
    /// Voltage lost in a fuse at its rating.
    fuse_drop: Volts,
    /// Resistance of a fuse or link about which nothing is known.
    fuse: Ohms,
    /// Voltage over a shunt at its marked current.
    shunt_drop: Volts,
    /// Resistance of a shunt or battery's sensor about which nothing is known.
    shunt: Ohms,
    /// Voltage at which a galvanic isolator begins to conduct, either way.
    isolator_drop: Volts,
    /// Voltage at which a split relay of a 12 V system closes.
    split_closes_12_v: Volts,
    /// Voltage at which a split relay of a 12 V system opens again.
    split_opens_12_v: Volts,
    /// Resistance of a diode above its forward voltage.
    diode: Ohms,
    /// Forward voltage of a diode at low current.
    diode_drop: Volts,
    /// Share of a starter's current that follows the voltage; the rest is set by torque.
    starter_follows: Ratio,
    /// Stall current of a starter over its cranking current at the same voltage.
    starter_stall_times: Ratio,
    /// First current of a preheat plug over its settled one.
    preheat_cold_times: Ratio,
    /// What a starter draws at −18 °C over what it draws at 20 °C.
    cold_oil_times: Ratio,
    /// First current of a filament lamp over its settled one.
    lamp_first_times: Ratio,
    /// Torque that each further layer of rope on a winch's drum adds for the same pull.
    winch_layer: Ratio,
    /// Share of its current at the rated pull that a winch draws without load.
    winch_idle_share: Ratio,
    /// Conductors at least this thick end in bolted lugs, thinner ones in pins and spades.
    lug_from: SquareMetres,
    /// Length of a return lead to metal or a stud of which the file gives none.
    return_length: Metres,
    /// How many times longer or shorter a lead of which the length was taken may be.
    lead_length_times: Ratio,
    /// Length of a conductor to be replaced of which the file gives only the resistance.
    replaced_length: Metres,
    /// Metal area of a conductor to be replaced of which the file gives no size.
    replaced_area: SquareMetres,
    /// Length of an added conductor between points whose places are unknown.
    strap_length: Metres,
}

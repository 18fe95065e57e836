//! Things that are written as one and are several to the current: studs, plugs, isolators, shunts.

use units::Dimension;

use super::{
    ACCESS, AT, END_KIND, INLINE_FROM, INLINE_RESISTANCE, INLINE_TO, JOINT_KIND, JOINT_RESISTANCE,
    Kind, LIKELY_JOINT, Listing, NOTE, PROTECTION, REACH, SERVICED, SUSPICION, TERMINAL_JOINT,
    Table, Target, key, must, quantity,
};
use crate::spec::Domain;

/// A stud that several eyes share.
pub static STUD: Table = Table {
    name: "a stud",
    doc: "A stud with eyes on it, standing on metal. Conductors end at the point `name`, each with an eye's joint of its own; the joint `name.foot` carries all of them to the metal together. Eyes that name no thread have that of the foot.",
    keys: &[
        must(
            "on",
            END_KIND,
            "The metal it stands on: a point, or a table with the point and the joint of its foot.",
        ),
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

/// A plug in its socket.
pub static PLUG: Table = Table {
    name: "a plug",
    doc: "A plug in its socket, or any connector between two wires. Conductors end at `name.socket/PIN` on the vehicle's side and at `name.plug/PIN` on the other, each with its own crimp or screw; between the two the contact of the mated pin, `name.PIN`, is counted once.",
    keys: &[
        key(
            "layout",
            Kind::Listed(Listing::PlugLayouts),
            "The standard that says which pin carries what; `groundloom catalogue plug-layouts` lists them.",
        ),
        key(
            "pins",
            Kind::Names(Target::Pins),
            "Names of its pins, as in `[\"1\", \"2\"]`, where no layout names them.",
        ),
        key("pin", Kind::Named(&TERMINAL_JOINT), "What is known of the contact of single pins."),
        JOINT_KIND,
        JOINT_RESISTANCE,
        LIKELY_JOINT,
        SUSPICION,
        PROTECTION,
        SERVICED,
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

/// A galvanic isolator.
pub static ISOLATOR: Table = Table {
    name: "a galvanic isolator",
    doc: "Diodes both ways in a protective or bonding conductor, which block the small voltages between metals in water: `name.there` passes current from `from` to `to`, `name.back` the other way.",
    keys: &[
        INLINE_FROM,
        INLINE_TO,
        quantity(
            "drop",
            Dimension::Voltage,
            Domain::Positive,
            "Voltage, either way, at which it begins to conduct; that of two diodes in series when left out.",
        ),
        INLINE_RESISTANCE,
        AT,
        NOTE,
    ],
};

/// A shunt or a battery's sensor.
pub static SHUNT: Table = Table {
    name: "a shunt",
    doc: "A measuring shunt or a battery's sensor, which has to see all that the battery takes and gives. `check` tells what reaches the battery's post without passing it.",
    keys: &[
        INLINE_FROM,
        INLINE_TO,
        key(
            "battery",
            Kind::Text,
            "The battery whose current it is to see; the one whose post is nearest when left out.",
        ),
        quantity("rating", Dimension::Current, Domain::Positive, "Marked current."),
        INLINE_RESISTANCE,
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

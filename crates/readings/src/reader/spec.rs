//! What may be written in a file of readings in TOML, and which columns a table of readings may have.

use units::Dimension;

use file::spec::{Domain, FORMAT, Key, Kind, Table};

const fn key(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, required: false, doc }
}

const fn must(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, required: true, doc }
}

const NOTE: Key =
    key("note", Kind::Text, "A remark for people; kept and shown, never interpreted.");
const ACCURACY: Key = must(
    "accuracy",
    Kind::Text,
    "What the maker promises in this range: `0.5 % + 2`, `±(0.5 % + 2 counts)`, `1.5 %`.",
);

const fn range(dimension: Dimension) -> [Key; 3] {
    [
        key(
            "up-to",
            Kind::Quantity(dimension, Domain::Positive),
            "The largest value of the range; any value when left out.",
        ),
        ACCURACY,
        key(
            "resolution",
            Kind::Quantity(dimension, Domain::Positive),
            "One count of the last digit in this range.",
        ),
    ]
}

/// A range of volts of an instrument.
pub static VOLTS: Table = Table {
    name: "a range of volts",
    doc: "How accurate the instrument is up to a voltage.",
    keys: &range(Dimension::Voltage),
};

/// A range of amperes of an instrument.
pub static AMPS: Table = Table {
    name: "a range of amperes",
    doc: "How accurate the instrument is up to a current.",
    keys: &range(Dimension::Current),
};

/// A range of ohms of an instrument.
pub static OHMS: Table = Table {
    name: "a range of ohms",
    doc: "How accurate the instrument is up to a resistance.",
    keys: &range(Dimension::Resistance),
};

/// An instrument.
pub static INSTRUMENT: Table = Table {
    name: "an instrument",
    doc: "A meter or clamp, with the accuracy that its maker prints for each range.",
    keys: &[
        key("volts", Kind::Many(&VOLTS), "Its ranges of volts."),
        key("amps", Kind::Many(&AMPS), "Its ranges of amperes."),
        key("ohms", Kind::Many(&OHMS), "Its ranges of ohms."),
        NOTE,
    ],
};

/// What is complained about.
pub static COMPLAINT: Table = Table {
    name: "the complaint",
    doc: "What the vehicle does wrong, as far as it is known.",
    keys: &[
        key("load", Kind::Text, "The load that does not work as it should."),
        key("state", Kind::Text, "The operating state in which that shows."),
        key("what", Kind::Text, "What is seen or heard, in anybody's words."),
    ],
};

static TEXT: Kind = Kind::Text;
static NUMBER: Kind = Kind::Quantity(Dimension::Ratio, Domain::Any);
static DATE: Kind = Kind::Date;

/// One reading.
pub static READING: Table = Table {
    name: "a reading",
    doc: "What a person measured or noticed: where, in which state, with what.",
    keys: &[
        key("state", Kind::Text, "The operating state in which it was taken."),
        key(
            "from",
            Kind::Text,
            "Where the red probe is: a point, the lug of a joint such as `main-negative.to`, or the bare strand behind its crimp, `main-negative.to.strand`. A load or a battery alone is measured across its terminals.",
        ),
        key("to", Kind::Text, "Where the black probe is."),
        key("red", Kind::Text, "Another word for `from`."),
        key("black", Kind::Text, "Another word for `to`."),
        key("through", Kind::Text, "The conductor under the clamp, for amperes."),
        key(
            "towards",
            Kind::Text,
            "The point at that end of the conductor towards which the clamp's arrow points; the end named `to` in the vehicle file when left out.",
        ),
        key(
            "load",
            Kind::Text,
            "The load that was watched while a jump lead joined `from` and `to`.",
        ),
        key("moved", Kind::Text, "The joint that was pushed, pulled or tapped."),
        must(
            "value",
            Kind::Either(&TEXT, &NUMBER),
            "What was seen: `0.41 V`, `0.3 to 0.8 V`, `about 0.4 V`, `no drop`, `min 8.9 V`, `< 10 mV`, `better`, `cured`.",
        ),
        key("instrument", Kind::Text, "The instrument, one of `[instruments.NAME]`."),
        key("time", Kind::Either(&TEXT, &DATE), "When, as written."),
        key("before", Kind::Text, "The piece of some work before which it was taken."),
        key("after", Kind::Text, "The piece of some work after which it was taken."),
        NOTE,
    ],
};

/// The file.
pub static ROOT: Table = Table {
    name: "a file of readings",
    doc: "Readings of one vehicle, in the order in which they were taken.",
    keys: &[
        must(
            "format",
            Kind::Count(1, FORMAT),
            "The number of the format, so that this file can be read in ten years: 1.",
        ),
        key("complaint", Kind::Table(&COMPLAINT), COMPLAINT.doc),
        key("instruments", Kind::Named(&INSTRUMENT), INSTRUMENT.doc),
        key("reading", Kind::Many(&READING), READING.doc),
        NOTE,
    ],
};

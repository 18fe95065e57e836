//! What may be written in a vehicle file: every table, every key, what it holds, what it means.
//!
//! This is the one description. The reader checks against it, suggestions of near names come from
//! it, the JSON Schema for editors and the reference page are generated from it, and the formatter
//! knows from it which texts are quantities.

use units::Dimension;

mod parts;

pub use parts::{ISOLATOR, PLUG, SHUNT, STUD};

/// The number that every file carries as `format`.
pub const FORMAT: i64 = 1;

/// Keys that begin with this are kept and never looked at.
pub const FREE_PREFIX: &str = "x-";

/// More money than any piece of work costs, in any currency.
pub const LARGEST_AMOUNT: f64 = 1e9;

/// Which values of a quantity make sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Domain {
    /// Above zero.
    Positive,
    /// Zero or above.
    NotNegative,
    /// Any finite value.
    Any,
    /// From zero to one.
    Share,
    /// A chance: above zero, and short of certainty.
    Chance,
}

/// A list in the catalogue whose keys are the allowed words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Listing {
    /// Materials of conductors and structures.
    Materials,
    /// Kinds of joint.
    JointKinds,
    /// Insulations.
    Insulations,
    /// Threads.
    Threads,
    /// Property classes and grades.
    Classes,
    /// Kinds of incidental path.
    IncidentalKinds,
    /// What keeps water and salt off joints, `none` among it.
    Protections,
    /// Where vehicles live.
    Environments,
    /// Which pin of a plug carries what.
    PlugLayouts,
}

/// What a list of names refers to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// Operating states.
    States,
    /// Loads.
    Loads,
    /// Switches.
    Switches,
    /// Pins of a plug, which may have any names.
    Pins,
}

/// What a key holds.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// Any text.
    Text,
    /// `true` or `false`.
    Flag,
    /// A whole number in a range, ends included.
    Count(i64, i64),
    /// An amount of money: a plain number, zero or above, in the currency of its table.
    Amount,
    /// A quantity with its unit.
    Quantity(Dimension, Domain),
    /// Two quantities of one of these dimensions, the lesser first: nine of ten lie between.
    Range(&'static [Dimension], Domain),
    /// A conductor size.
    Size,
    /// The name of a point.
    Point,
    /// A list of names.
    Names(Target),
    /// One of these words.
    Choice(&'static [&'static str]),
    /// One of the catalogue's words.
    Listed(Listing),
    /// A date as `2026-04-30`, `2026-04` or `2026`.
    Date,
    /// Two lengths: forward of the front axle's middle, and to the left of the middle line.
    Place,
    /// One table.
    Table(&'static Table),
    /// A table of tables, each with a name of its own.
    Named(&'static Table),
    /// A list of tables.
    Many(&'static Table),
    /// A short form, or a long one.
    Either(&'static Kind, &'static Kind),
}

/// One key of a table.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// The word before the equals sign.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// True when it may not be left out.
    pub required: bool,
    /// What it means, in one sentence or two.
    pub doc: &'static str,
}

/// One table.
#[derive(Debug)]
pub struct Table {
    /// What a message calls it: "a conductor".
    pub name: &'static str,
    /// What it stands for.
    pub doc: &'static str,
    /// Its keys, in the order a person would write them.
    pub keys: &'static [Key],
}

const fn key(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, required: false, doc }
}

const fn must(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, required: true, doc }
}

const fn quantity(
    name: &'static str,
    dimension: Dimension,
    domain: Domain,
    doc: &'static str,
) -> Key {
    key(name, Kind::Quantity(dimension, domain), doc)
}

const NOTE: Key =
    key("note", Kind::Text, "A remark for people; kept and shown, never interpreted.");
const AT: Key = key(
    "at",
    Kind::Place,
    "Where it lies, seen from above: forward of the middle of the front axle, then to the left of the middle line, as in `[\"0.4 m\", \"-0.3 m\"]`.",
);
const ACCESS: Key = key(
    "access",
    Kind::Text,
    "The access group whose cover must be off before a meter reaches it.",
);
const REACH: Key = quantity(
    "reach",
    Dimension::Time,
    Domain::NotNegative,
    "Time to get a meter on it, beyond the access group's time.",
);
const OUT_OF_REACH: Key =
    key("out-of-reach", Kind::Flag, "True when no meter reaches it without taking things apart.");

const POINT_KEYS: &[Key] = &[AT, ACCESS, REACH, OUT_OF_REACH, NOTE];
/// A point of a structure, or a free one.
pub static POINT: Table = Table {
    name: "a point",
    doc: "A place with one potential where conductors meet: a stud, a bus bar, a splice.",
    keys: POINT_KEYS,
};

const LIKELY_OHMS: Kind = Kind::Range(&[Dimension::Resistance], Domain::Positive);
const JOINT_KIND: Key = key("joint", Kind::Listed(Listing::JointKinds), "Kind of joint.");
const JOINT_RESISTANCE: Key = quantity(
    "resistance",
    Dimension::Resistance,
    Domain::Positive,
    "Resistance of the joint; left out, the kind's typical clean value is taken.",
);
const LIKELY_JOINT: Key = key(
    "likely",
    LIKELY_OHMS,
    "Range in which nine of ten such joints lie when sound, as in `[\"0.1 mΩ\", \"3 mΩ\"]`; the kind's own range when left out.",
);
const SUSPICION: Key = quantity(
    "suspicion",
    Dimension::Ratio,
    Domain::Chance,
    "Chance that it is bad before any reading, as in `5 %`; follows from kind, place, protection and finish when left out.",
);
const THREAD: Key =
    key("thread", Kind::Listed(Listing::Threads), "Thread of the stud, bolt or screw.");
const CLASS: Key =
    key("class", Kind::Listed(Listing::Classes), "Property class or grade of the bolt.");
const TORQUE: Key = quantity(
    "torque",
    Dimension::Torque,
    Domain::Positive,
    "Tightening torque that was or is to be applied.",
);
const FINISH: Key = key(
    "finish",
    Kind::Text,
    "Finish of the two faces, such as `tin on bare steel` or `tin on painted steel`.",
);
const WASHER: Key = key("washer", Kind::Text, "Washers in the joint and where they sit.");
/// The crimp of a lug on its cable.
pub static CRIMPED: Table = Table {
    name: "a crimp",
    doc: "The crimp between the lug and the strands, where it is not sound or not known to be. A sound one adds nothing to its cable (IEC 61238-1, from memory) and needs no table.",
    keys: &[
        key("made", Kind::Text, "How it is made, such as `hexagonal crimp, sealed sleeve`."),
        quantity(
            "resistance",
            Dimension::Resistance,
            Domain::Positive,
            "What it has between lug and strand beyond its cable: volts between the two over amperes.",
        ),
        LIKELY_JOINT,
        quantity(
            "suspicion",
            Dimension::Ratio,
            Domain::Chance,
            "Chance that it is bad before any reading, as in `5 %`; that of any crimp when left out.",
        ),
        NOTE,
    ],
};
static CRIMP_MADE: Kind = Kind::Text;
static CRIMP_TABLE: Kind = Kind::Table(&CRIMPED);
const CRIMP: Key = key(
    "crimp",
    Kind::Either(&CRIMP_MADE, &CRIMP_TABLE),
    "How the lug is fixed to the strands, such as `hexagonal crimp, sealed sleeve`; or a table with what the crimp has, as in `{ resistance = \"1.2 mΩ\" }`.",
);
const STACK: Key =
    key("stack", Kind::Count(1, 12), "Number of terminals on the same stud, this one included.");
const PROTECTION: Key = key(
    "protection",
    Kind::Listed(Listing::Protections),
    "What keeps water and salt off, such as `petroleum jelly`; `none` where you looked and there is nothing. Anything else about it belongs in `note`.",
);
const SERVICED: Key =
    key("serviced", Kind::Date, "When it was last opened, cleaned and tightened.");

/// A joint at a device's own terminal, where the point needs no name.
pub static TERMINAL_JOINT: Table = Table {
    name: "a joint",
    doc: "The joint at the device's own terminal.",
    keys: &[
        JOINT_KIND,
        JOINT_RESISTANCE,
        LIKELY_JOINT,
        SUSPICION,
        THREAD,
        CLASS,
        TORQUE,
        FINISH,
        WASHER,
        CRIMP,
        STACK,
        PROTECTION,
        SERVICED,
        NOTE,
    ],
};

/// The end of a conductor with its joint.
pub static END: Table = Table {
    name: "an end",
    doc: "The end of a conductor: the point it meets, and the joint between them.",
    keys: &[
        must("point", Kind::Point, "The point that the end meets."),
        JOINT_KIND,
        JOINT_RESISTANCE,
        LIKELY_JOINT,
        SUSPICION,
        THREAD,
        CLASS,
        TORQUE,
        FINISH,
        WASHER,
        CRIMP,
        STACK,
        PROTECTION,
        SERVICED,
        NOTE,
    ],
};
static POINT_NAME: Kind = Kind::Point;
static END_TABLE: Kind = Kind::Table(&END);
const END_KIND: Kind = Kind::Either(&POINT_NAME, &END_TABLE);

const SIZE: Key = key(
    "size",
    Kind::Size,
    "Size: `35 mm²`, `4 AWG`, `SAE 4`, `braid 26000 cmil`, `braid 16 mm²`, `bar 20 x 3 mm`.",
);
const LENGTH: Key = quantity(
    "length",
    Dimension::Length,
    Domain::Positive,
    "Length along the conductor, not the straight distance.",
);
const MATERIAL: Key =
    key("material", Kind::Listed(Listing::Materials), "Metal; copper when left out.");
const INSULATION: Key = key(
    "insulation",
    Kind::Listed(Listing::Insulations),
    "Insulation, which limits the temperature.",
);
const SURROUNDINGS_WORDS: &[&str] = &["engine space", "inside", "outside"];
const SURROUNDINGS: Key =
    key("surroundings", Kind::Choice(SURROUNDINGS_WORDS), "What air it runs through.");
const LAID: Key = key(
    "laid",
    Kind::Choice(&["free", "on metal"]),
    "How it lies over most of its length: with air all round it, or clipped along metal, which takes part of its heat; free when left out.",
);
const BUNDLE: Key = key(
    "bundle",
    Kind::Count(1, 500),
    "Number of loaded conductors in the same bundle, this one included.",
);
const RESISTANCE_OF_CONDUCTOR: Key = quantity(
    "resistance",
    Dimension::Resistance,
    Domain::Positive,
    "Resistance of the conductor itself at 20 °C, joints excluded, if it was measured; otherwise it follows from size and length.",
);
const LIKELY_CONDUCTOR: Key = key(
    "likely",
    LIKELY_OHMS,
    "Range in which nine of ten such conductors lie when sound, joints excluded; its middle is taken where size and length are unknown.",
);
const ON_DIAGRAM: Key = key(
    "on-diagram",
    Kind::Flag,
    "False for a strap or cable that the maker's diagram does not show.",
);
const MISSING: Key = quantity(
    "missing",
    Dimension::Ratio,
    Domain::Chance,
    "Chance that it is not there, or open, where nobody has seen it, as in `20 %`; leave it out when you have. While it stands, the way home is not called cleared before a reading has seen it.",
);
const FITTED: Key = key("fitted", Kind::Date, "When it was fitted.");

/// A conductor with both ends.
pub static CONDUCTOR: Table = Table {
    name: "a conductor",
    doc: "A cable, braid, strap or bar between two points. Each end meets its point through a joint of its own.",
    keys: &[
        must(
            "from",
            END_KIND,
            "The end towards the source: a point, or a table with the point and its joint.",
        ),
        must("to", END_KIND, "The other end: a point, or a table with the point and its joint."),
        SIZE,
        LENGTH,
        key(
            "kind",
            Kind::Choice(&["cable", "braid", "strap", "bar"]),
            "What it is made as; follows from the size when left out.",
        ),
        MATERIAL,
        INSULATION,
        SURROUNDINGS,
        LAID,
        BUNDLE,
        RESISTANCE_OF_CONDUCTOR,
        LIKELY_CONDUCTOR,
        MISSING,
        ON_DIAGRAM,
        FITTED,
        NOTE,
    ],
};

/// A feed lead written inside a device.
pub static FEED: Table = Table {
    name: "a feed lead",
    doc: "The lead that feeds a device, written inside it.",
    keys: &[
        must(
            "from",
            END_KIND,
            "Where it comes from: a point, or a table with the point and its joint.",
        ),
        SIZE,
        LENGTH,
        key(
            "fuse",
            Kind::Either(&CURRENT, &LEAD_FUSE_TABLE),
            "A fuse in this lead, at its beginning: its rating, or a table.",
        ),
        key("terminal", Kind::Table(&TERMINAL_JOINT), "The joint at the device's own terminal."),
        MATERIAL,
        INSULATION,
        SURROUNDINGS,
        LAID,
        BUNDLE,
        RESISTANCE_OF_CONDUCTOR,
        LIKELY_CONDUCTOR,
        NOTE,
    ],
};

/// A return lead written inside a device.
pub static RETURN: Table = Table {
    name: "a return lead",
    doc: "The lead that takes a device's current home, written inside it.",
    keys: &[
        must("to", END_KIND, "Where it goes: a point, or a table with the point and its joint."),
        SIZE,
        LENGTH,
        key("terminal", Kind::Table(&TERMINAL_JOINT), "The joint at the device's own terminal."),
        MATERIAL,
        INSULATION,
        SURROUNDINGS,
        LAID,
        BUNDLE,
        RESISTANCE_OF_CONDUCTOR,
        LIKELY_CONDUCTOR,
        ON_DIAGRAM,
        NOTE,
    ],
};

const FEED_KEY: Key = key(
    "feed",
    Kind::Table(&FEED),
    "The lead that feeds it; leave it out when a conductor of the file ends at its terminal.",
);
const RETURN_KEY: Key =
    key("return", Kind::Table(&RETURN), "The lead that takes its current home.");
const CASE_KEY: Key = key(
    "case",
    END_KIND,
    "The metal its case is bolted to, when it returns that way instead of through a lead.",
);

/// A stated resistance between two points of a structure.
pub static BETWEEN: Table = Table {
    name: "a stretch",
    doc: "A stated resistance between two points of the structure.",
    keys: &[
        must("from", Kind::Text, "One point of this structure, without the structure's name."),
        must("to", Kind::Text, "Another point of this structure."),
        must(
            "resistance",
            Kind::Quantity(Dimension::Resistance, Domain::Positive),
            "Resistance of the metal between them.",
        ),
        key("likely", LIKELY_OHMS, "Range in which nine of ten such stretches lie."),
    ],
};

/// A body of metal.
pub static STRUCTURE: Table = Table {
    name: "a structure",
    doc: "Metal that conducts without being a wire: engine block, frame rail, body shell, hull. One of `resistance`, `section`, `sheet` and `between` says how well.",
    keys: &[
        key("name", Kind::Text, "What people call it."),
        MATERIAL,
        must(
            "points",
            Kind::Named(&POINT),
            "Its points, each named `structure/point` elsewhere in the file.",
        ),
        quantity(
            "resistance",
            Dimension::Resistance,
            Domain::Positive,
            "Resistance between any two of its points.",
        ),
        key(
            "likely",
            LIKELY_OHMS,
            "Range in which nine of ten such structures lie between any two points; not beside `section`, `sheet` or `between`.",
        ),
        quantity(
            "section",
            Dimension::Area,
            Domain::Positive,
            "Metal section of a rail or beam; resistance follows from material and the distances between points, which need `at`.",
        ),
        quantity(
            "sheet",
            Dimension::Length,
            Domain::Positive,
            "Thickness of a shell or plate; resistance follows from the spreading of current around each fixing.",
        ),
        key("between", Kind::Many(&BETWEEN), "Stated resistances between its points."),
        NOTE,
    ],
};

/// An incidental path.
pub static INCIDENTAL: Table = Table {
    name: "an incidental path",
    doc: "Metal that was never meant to carry current but will when a strap is gone: a control cable, a bearing, a propeller shaft, a braided hose.",
    keys: &[
        must("from", Kind::Point, "One end."),
        must("to", Kind::Point, "The other end."),
        must("kind", Kind::Listed(Listing::IncidentalKinds), "What it is."),
        quantity(
            "resistance",
            Dimension::Resistance,
            Domain::Positive,
            "Resistance from end to end; the kind's typical value when left out.",
        ),
        key(
            "likely",
            LIKELY_OHMS,
            "Range in which nine of ten such paths lie; the kind's own range when left out.",
        ),
        quantity(
            "damage",
            Dimension::Current,
            Domain::Positive,
            "Current above which damage must be feared.",
        ),
        NOTE,
    ],
};

pub(crate) const CHEMISTRIES: &[&str] = &["flooded", "AGM", "gel", "lithium iron phosphate"];

/// A battery.
pub static BATTERY: Table = Table {
    name: "a battery",
    doc: "A battery with the posts `name/+` and `name/-`. The first one's negative post is the zero of all voltages.",
    keys: &[
        key("chemistry", Kind::Choice(CHEMISTRIES), "What it is; flooded when left out."),
        quantity(
            "nominal",
            Dimension::Voltage,
            Domain::Positive,
            "Nominal voltage, when it differs from the vehicle's.",
        ),
        quantity("capacity", Dimension::Charge, Domain::Positive, "Capacity."),
        quantity(
            "cranking",
            Dimension::Current,
            Domain::Positive,
            "Cold cranking current on its label.",
        ),
        key(
            "rating",
            Kind::Choice(&["SAE CCA", "EN", "DIN", "IEC", "CA"]),
            "The rule behind its cranking current; SAE CCA when left out. A sound battery is taken to keep 0.3 V more than the rule asks for.",
        ),
        quantity("charge", Dimension::Ratio, Domain::Share, "State of charge."),
        quantity(
            "voltage",
            Dimension::Voltage,
            Domain::Positive,
            "Rested open-circuit voltage, if measured; otherwise it follows from chemistry and charge.",
        ),
        quantity(
            "resistance",
            Dimension::Resistance,
            Domain::Positive,
            "Volts lost for each ampere while it cranks at 20 °C, if known; otherwise resistance and polarisation follow from the cranking current or the capacity. What a conductance tester shows is less than that: leave it out and give the cranking current.",
        ),
        key(
            "likely-voltage",
            Kind::Range(&[Dimension::Voltage], Domain::Positive),
            "Range in which nine of ten such batteries lie at rest, as in `[\"12.0 V\", \"12.8 V\"]`.",
        ),
        key(
            "likely-resistance",
            LIKELY_OHMS,
            "Range in which nine of ten such batteries lie when sound.",
        ),
        quantity(
            "acceptance",
            Dimension::Current,
            Domain::Positive,
            "Charging current it accepts at the regulated voltage; follows from capacity and charge when left out.",
        ),
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

const SET_POINT: Key = quantity(
    "voltage",
    Dimension::Voltage,
    Domain::Positive,
    "Voltage it holds; the usual one for the nominal voltage when left out.",
);
const LIMIT: Key =
    key("output", Kind::Quantity(Dimension::Current, Domain::Positive), "The most it delivers.");
const SENSE: Key = key(
    "sense",
    Kind::Point,
    "The point whose voltage it holds, when it does not sense at its own terminal.",
);

/// An alternator.
pub static ALTERNATOR: Table = Table {
    name: "an alternator",
    doc: "An alternator with the terminals `name/+` and `name/-`, or returning through its case.",
    keys: &[
        must("output", Kind::Quantity(Dimension::Current, Domain::Positive), "Rated output."),
        quantity(
            "idle-output",
            Dimension::Current,
            Domain::Positive,
            "Output at idle; 40 % of the rated output when left out.",
        ),
        SET_POINT,
        SENSE,
        FEED_OUT,
        RETURN_KEY,
        CASE_KEY,
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

/// The lead from a source's positive terminal, written inside it.
pub static OUT: Table = Table {
    name: "an output lead",
    doc: "The lead from a source's live terminal to where it delivers, written inside it.",
    keys: &[
        must("to", END_KIND, "Where it goes: a point, or a table with the point and its joint."),
        SIZE,
        LENGTH,
        key(
            "fuse",
            Kind::Either(&CURRENT, &LEAD_FUSE_TABLE),
            "A fuse in this lead, at its far end: its rating, or a table.",
        ),
        key("terminal", Kind::Table(&TERMINAL_JOINT), "The joint at the source's own terminal."),
        MATERIAL,
        INSULATION,
        SURROUNDINGS,
        LAID,
        BUNDLE,
        RESISTANCE_OF_CONDUCTOR,
        LIKELY_CONDUCTOR,
        NOTE,
    ],
};
const FEED_OUT: Key = key("lead", Kind::Table(&OUT), "The lead from its live terminal.");

/// A charger or solar regulator.
pub static CHARGER: Table = Table {
    name: "a charger",
    doc: "A mains or shore charger, or a solar panel with its regulator, with the terminals `name/+` and `name/-`.",
    keys: &[
        key("kind", Kind::Choice(&["charger", "solar"]), "What it is; a charger when left out."),
        LIMIT_REQUIRED,
        SET_POINT,
        SENSE,
        key("on", Kind::Names(Target::States), "States in which it works."),
        FEED_OUT,
        RETURN_KEY,
        CASE_KEY,
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};
const LIMIT_REQUIRED: Key = Key { required: true, ..LIMIT };

/// A DC-DC converter.
pub static CONVERTER: Table = Table {
    name: "a converter",
    doc: "A DC-DC converter with the input terminals `name/in+` and `name/in-` and the output terminals `name/+` and `name/-`.",
    keys: &[
        LIMIT_REQUIRED,
        SET_POINT,
        SENSE,
        quantity(
            "efficiency",
            Dimension::Ratio,
            Domain::Share,
            "Output power over input power; 90 % when left out.",
        ),
        quantity(
            "input-minimum",
            Dimension::Voltage,
            Domain::Positive,
            "The least voltage at its input: where its feed gives no more, it gives less rather than go below. Three quarters of the nominal voltage that feeds it when left out.",
        ),
        key("on", Kind::Names(Target::States), "States in which it works."),
        FEED_OUT,
        RETURN_KEY,
        CASE_KEY,
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

/// A battery equaliser.
pub static EQUALISER: Table = Table {
    name: "an equaliser",
    doc: "A battery equaliser over a bank of batteries in series, with the terminals `name/+` (the bank's highest post), `name/mid` (its middle) and `name/-` (its lowest). It holds the middle at half of the bank's volts and moves power from the fuller half to the emptier one; answers name `name.lower` what it gives to the lower half and `name.upper` what it gives to the upper.",
    keys: &[
        LIMIT_REQUIRED,
        quantity(
            "power",
            Dimension::Power,
            Domain::Positive,
            "The most power it moves, at the nominal volts of half of the bank; only its current limits it when left out.",
        ),
        quantity(
            "efficiency",
            Dimension::Ratio,
            Domain::Share,
            "What it gives to one half over what it takes from the other; 90 % when left out.",
        ),
        quantity(
            "nominal",
            Dimension::Voltage,
            Domain::Positive,
            "Nominal voltage of the whole bank; that of the vehicle when left out.",
        ),
        key(
            "on",
            Kind::Names(Target::States),
            "States in which it works; every state when left out.",
        ),
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

const INLINE_FROM: Key = key(
    "from",
    Kind::Point,
    "The point on the source's side; left out, it has a terminal `name/in` of its own.",
);
const INLINE_TO: Key = key(
    "to",
    Kind::Point,
    "The point on the load's side; left out, it has a terminal `name/out` of its own.",
);
const INLINE_RESISTANCE: Key = quantity(
    "resistance",
    Dimension::Resistance,
    Domain::Positive,
    "Resistance when conducting, its own contacts included.",
);

static CURRENT: Kind = Kind::Quantity(Dimension::Current, Domain::Positive);
static OF_RATING: Kind = Kind::Quantity(Dimension::Ratio, Domain::Positive);

/// One point of a fuse's curve.
pub static CURVE: Table = Table {
    name: "a point of the curve",
    doc: "A current, and the times between which the fuse opens. One of the two times may be left out.",
    keys: &[
        must(
            "current",
            Kind::Either(&CURRENT, &OF_RATING),
            "Current, or a share of the rating: `135 %`.",
        ),
        quantity(
            "not-before",
            Dimension::Time,
            Domain::Positive,
            "Time before which it does not open.",
        ),
        quantity(
            "time",
            Dimension::Time,
            Domain::Positive,
            "Time by which it has opened; left out where it need not open.",
        ),
    ],
};

/// A curve that several fuses share.
pub static SHARED_CURVE: Table = Table {
    name: "a curve",
    doc: "Opening times that several fuses or breakers share, at shares of their rating.",
    keys: &[
        key(
            "for",
            Kind::Choice(FUSE_KINDS),
            "Holds for every fuse of this kind without a curve of its own; `fuse` is one whose kind is not said, as in a lead.",
        ),
        must("source", Kind::Text, "Where it comes from: the maker's sheet with its date."),
        must("points", Kind::Many(&CURVE), "Its points, in any order."),
        NOTE,
    ],
};

static CURVE_NAME: Kind = Kind::Text;
static CURVE_POINTS: Kind = Kind::Many(&CURVE);
const CURVE_KEY: Key = key(
    "curve",
    Kind::Either(&CURVE_NAME, &CURVE_POINTS),
    "Opening times from its maker's sheet: the name of a curve `[curves.NAME]`, or its points.",
);
const CURVE_SOURCE: Key = key("curve-source", Kind::Text, "Where points written here come from.");
const BREAKING: Key = quantity(
    "breaking-capacity",
    Dimension::Current,
    Domain::Positive,
    "The most current it can break at the vehicle's voltage.",
);
const FUSE_KINDS: &[&str] =
    &["blade fuse", "strip fuse", "bolted fuse", "fusible link", "breaker", "fuse"];
const FUSE_KIND: Key = key("kind", Kind::Choice(FUSE_KINDS), "What it is.");

/// A fuse written inside a lead.
pub static LEAD_FUSE: Table = Table {
    name: "a fuse in a lead",
    doc: "A fuse or breaker in a device's own lead.",
    keys: &[
        must("rating", Kind::Quantity(Dimension::Current, Domain::Positive), "Marked current."),
        FUSE_KIND,
        INLINE_RESISTANCE,
        CURVE_KEY,
        CURVE_SOURCE,
        BREAKING,
        NOTE,
    ],
};
static LEAD_FUSE_TABLE: Kind = Kind::Table(&LEAD_FUSE);

/// A fuse or breaker.
pub static FUSE: Table = Table {
    name: "a fuse",
    doc: "A fuse, fusible link or breaker.",
    keys: &[
        INLINE_FROM,
        INLINE_TO,
        quantity("rating", Dimension::Current, Domain::Positive, "Marked current."),
        FUSE_KIND,
        INLINE_RESISTANCE,
        CURVE_KEY,
        CURVE_SOURCE,
        BREAKING,
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

static STATE_NAMES: Kind = Kind::Names(Target::States);
static ALWAYS_NEVER: Kind = Kind::Choice(&["always", "never"]);

/// A switch.
pub static SWITCH: Table = Table {
    name: "a switch",
    doc: "A switch, relay, contactor, battery switch or solenoid contact.",
    keys: &[
        INLINE_FROM,
        INLINE_TO,
        key(
            "kind",
            Kind::Choice(&[
                "switch",
                "ignition switch",
                "relay",
                "contactor",
                "battery switch",
                "solenoid",
                "isolator",
                "split relay",
            ]),
            "What it is. A split relay of which `closed` is not said closes where a source that works holds enough on a side that it senses.",
        ),
        quantity(
            "rating",
            Dimension::Current,
            Domain::Positive,
            "Marked continuous current, from which the resistance of its contacts follows where that is not said.",
        ),
        key(
            "sense",
            Kind::Point,
            "The point whose voltage closes a split relay; its own terminal on the source's side when left out.",
        ),
        key(
            "both-ways",
            Kind::Flag,
            "True for a split relay that closes by the voltage on either side.",
        ),
        quantity(
            "closes-at",
            Dimension::Voltage,
            Domain::Positive,
            "Voltage at which a split relay closes; 13.3 V on 12 V when left out.",
        ),
        quantity(
            "opens-at",
            Dimension::Voltage,
            Domain::Positive,
            "Voltage at which it opens again; 12.8 V on 12 V when left out.",
        ),
        key(
            "closed",
            Kind::Either(&ALWAYS_NEVER, &STATE_NAMES),
            "`always`, `never`, or the states in which it is closed.",
        ),
        INLINE_RESISTANCE,
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

/// A diode.
pub static DIODE: Table = Table {
    name: "a diode",
    doc: "A diode or diode splitter branch that passes current from `from` to `to`.",
    keys: &[
        INLINE_FROM,
        INLINE_TO,
        quantity(
            "drop",
            Dimension::Voltage,
            Domain::NotNegative,
            "Forward voltage at which it begins to conduct; 0.6 V when left out.",
        ),
        INLINE_RESISTANCE,
        AT,
        NOTE,
    ],
};

static POWER: Kind = Kind::Quantity(Dimension::Power, Domain::Positive);
static RESISTANCE: Kind = Kind::Quantity(Dimension::Resistance, Domain::Positive);
static POWER_OR_RESISTANCE: Kind = Kind::Either(&POWER, &RESISTANCE);

const LOAD_KINDS: &[&str] = &[
    "resistive",
    "lamp",
    "motor",
    "fan",
    "pump",
    "winch",
    "windlass",
    "hydraulic pack",
    "starter",
    "preheat plug",
    "self-regulating heater",
    "electronics",
    "inverter",
    "module",
    "switch-mode module",
    "sensor",
];

/// A load.
pub static LOAD: Table = Table {
    name: "a load",
    doc: "Something that draws current, with the terminals `name/+` and `name/-`.",
    keys: &[
        key("name", Kind::Text, "What people call it."),
        must(
            "kind",
            Kind::Choice(LOAD_KINDS),
            "What it is, which says how its current follows the voltage.",
        ),
        must(
            "draws",
            Kind::Either(&CURRENT, &POWER_OR_RESISTANCE),
            "What it draws at its rated voltage: amperes, watts or ohms.",
        ),
        key(
            "likely",
            Kind::Range(
                &[Dimension::Current, Dimension::Power, Dimension::Resistance],
                Domain::Positive,
            ),
            "Range in which nine of ten such loads draw when sound, in amperes, watts or ohms at the rated voltage.",
        ),
        key(
            "control",
            Kind::Text,
            "The load that switches it on: a relay's or solenoid's coil, written as a load of its own.",
        ),
        quantity(
            "rated",
            Dimension::Voltage,
            Domain::Positive,
            "The voltage at which it draws that; the usual one for its kind when left out.",
        ),
        key(
            "on",
            Kind::Names(Target::States),
            "States in which it is on; the usual ones for its kind when left out.",
        ),
        quantity(
            "minimum",
            Dimension::Voltage,
            Domain::Positive,
            "The least voltage at which it does its job.",
        ),
        quantity(
            "dropout",
            Dimension::Voltage,
            Domain::Positive,
            "The voltage below which it switches itself off.",
        ),
        quantity(
            "cold",
            Dimension::Current,
            Domain::Positive,
            "Current in the first moment of a preheat plug or a self-regulating heater, at its rated voltage.",
        ),
        quantity(
            "stall",
            Dimension::Current,
            Domain::Positive,
            "Current at its rated voltage with the rotor held, of a starter, winch, windlass or hydraulic pack.",
        ),
        quantity(
            "pull",
            Dimension::Ratio,
            Domain::Share,
            "What a winch or windlass pulls, as a share of its rated pull at which it `draws`; all of it when left out.",
        ),
        key(
            "layer",
            Kind::Count(1, 10),
            "The layer of rope on a winch's drum from which it pulls; the first when left out.",
        ),
        quantity(
            "idle",
            Dimension::Current,
            Domain::Positive,
            "Current of a winch or windlass without any pull; a fifth of what it draws when left out.",
        ),
        quantity(
            "duty",
            Dimension::Ratio,
            Domain::Share,
            "Share of the time that it draws current while on; for heat, not for volts.",
        ),
        key(
            "importance",
            Kind::Choice(&["comfort", "ordinary", "vital"]),
            "How much it matters that it works.",
        ),
        FEED_KEY,
        RETURN_KEY,
        CASE_KEY,
        AT,
        ACCESS,
        REACH,
        NOTE,
    ],
};

/// An operating state.
pub static STATE: Table = Table {
    name: "a state",
    doc: "An operating state. `resting`, `key-on`, `preheat`, `cranking`, `idle`, `running` and `charging` exist already; a table here changes one or adds another. Two more are solved where `states` of the vehicle lists them: `repeated-cranking`, the last of three cranks of 15 s from a warm engine, and `preheat-inrush`, the first moment of preheating.",
    keys: &[
        key("name", Kind::Text, "What people call it."),
        key(
            "like",
            Kind::Text,
            "The state it begins as a copy of; `key-on` for a new one when left out.",
        ),
        key(
            "alternators",
            Kind::Choice(&["off", "idle", "full"]),
            "What the engine lets the alternators do.",
        ),
        quantity(
            "duration",
            Dimension::Time,
            Domain::Positive,
            "How long it usually lasts; hours when left out.",
        ),
        quantity(
            "air",
            Dimension::Temperature,
            Domain::Any,
            "Temperature of the air inside and around the vehicle.",
        ),
        quantity(
            "engine-space",
            Dimension::Temperature,
            Domain::Any,
            "Temperature beside the engine, and of the engine; as much above the air as usual when left out: not at all with the engine off, 50 °C idling, 60 °C running.",
        ),
        quantity(
            "batteries",
            Dimension::Temperature,
            Domain::Any,
            "Temperature of the batteries; that of the air when left out.",
        ),
        key(
            "first-moment",
            Kind::Flag,
            "True for the first moment after switching on: lamps and plugs are cold, motors stand.",
        ),
        quantity(
            "charge",
            Dimension::Ratio,
            Domain::Share,
            "State of charge of all batteries, when it differs from theirs. In `charging` 60 % is taken for those of which the file says nothing.",
        ),
        key(
            "on",
            Kind::Names(Target::Loads),
            "Loads that are on here besides those that say so themselves.",
        ),
        key("off", Kind::Names(Target::Loads), "Loads that are off here all the same."),
        key(
            "closed",
            Kind::Names(Target::Switches),
            "Switches that are closed here besides those that say so themselves.",
        ),
        key("open", Kind::Names(Target::Switches), "Switches that are open here all the same."),
        NOTE,
    ],
};

/// One thing that was done.
pub static WORK: Table = Table {
    name: "a piece of work",
    doc: "What was done to which joint or conductor, when and how.",
    keys: &[
        must("on", Kind::Text, "The joint (`main-negative.to`) or conductor it was done to."),
        must("what", Kind::Text, "What was done."),
        key("date", Kind::Date, "When."),
        quantity("torque", Dimension::Torque, Domain::Positive, "Torque applied."),
        key("protection", Kind::Text, "What was put on against water and salt, in your words."),
        NOTE,
    ],
};

const fn duration(name: &'static str, doc: &'static str) -> Key {
    quantity(name, Dimension::Time, Domain::Positive, doc)
}

/// What work and parts cost.
pub static WORKSHOP: Table = Table {
    name: "the workshop",
    doc: "What work and parts cost here, for `groundloom repairs`. Amounts are plain numbers in `currency`.",
    keys: &[
        must("currency", Kind::Text, "What amounts are in, such as `EUR`."),
        must("labour", Kind::Amount, "An hour of work."),
        key(
            "joint",
            Kind::Amount,
            "What cleaning and protecting a joint uses up; 3 % of an hour when left out.",
        ),
        key(
            "lug",
            Kind::Amount,
            "A lug or terminal with its sleeve; 6 % of an hour when left out.",
        ),
        key(
            "cable",
            Kind::Amount,
            "A metre of cable for each square millimetre; 0.4 % of an hour when left out.",
        ),
        key(
            "fixings",
            Kind::Amount,
            "Bolts, clips and conduit of a conductor that is added; 5 % of an hour when left out.",
        ),
        duration(
            "clean-time",
            "To open a joint, clean, tighten and protect it; 15 min when left out.",
        ),
        duration(
            "end-time",
            "To cut an end back and fix a new lug, its joint cleaned with it; 25 min when left out.",
        ),
        duration(
            "replace-time",
            "To take a conductor out and fit another with its ends; 40 min when left out.",
        ),
        duration(
            "add-time",
            "To make and fit a conductor that was not there; 45 min when left out.",
        ),
        NOTE,
    ],
};

/// The vehicle's own table.
pub static VEHICLE: Table = Table {
    name: "the vehicle",
    doc: "What the vehicle is.",
    keys: &[
        must("name", Kind::Text, "What it is called."),
        must(
            "nominal",
            Kind::Quantity(Dimension::Voltage, Domain::Positive),
            "Nominal voltage of its loads: `12 V`, `24 V`, `48 V`.",
        ),
        key(
            "earth",
            Kind::Choice(&["negative", "positive"]),
            "Which pole is joined to the metal; negative when left out.",
        ),
        key(
            "environment",
            Kind::Listed(Listing::Environments),
            "Where it lives, which decides how fast joints age; inland when left out.",
        ),
        key(
            "states",
            Kind::Names(Target::States),
            "The operating states to solve, in order; those in which something happens when left out.",
        ),
        NOTE,
    ],
};

/// Defaults for the whole file.
pub static DEFAULTS: Table = Table {
    name: "the defaults",
    doc: "What holds wherever the file does not say otherwise.",
    keys: &[MATERIAL, INSULATION, SURROUNDINGS, PROTECTION, SERVICED],
};

/// An access group.
pub static ACCESS_GROUP: Table = Table {
    name: "an access group",
    doc: "A cover or part whose removal opens several points at once.",
    keys: &[
        key("name", Kind::Text, "What has to come off."),
        must(
            "time",
            Kind::Quantity(Dimension::Time, Domain::NotNegative),
            "Time to take it off and put it back.",
        ),
        NOTE,
    ],
};

/// The file.
pub static ROOT: Table = Table {
    name: "a vehicle file",
    doc: "A vehicle's wiring, feed and return, as far as a person knows it.",
    keys: &[
        must(
            "format",
            Kind::Count(1, FORMAT),
            "The number of the format, so that this file can be read in ten years: 1.",
        ),
        must("vehicle", Kind::Table(&VEHICLE), VEHICLE.doc),
        key("defaults", Kind::Table(&DEFAULTS), DEFAULTS.doc),
        key("access", Kind::Named(&ACCESS_GROUP), ACCESS_GROUP.doc),
        key("points", Kind::Named(&POINT), POINT.doc),
        key("structures", Kind::Named(&STRUCTURE), STRUCTURE.doc),
        key("studs", Kind::Named(&STUD), STUD.doc),
        key("plugs", Kind::Named(&PLUG), PLUG.doc),
        must("batteries", Kind::Named(&BATTERY), BATTERY.doc),
        key("alternators", Kind::Named(&ALTERNATOR), ALTERNATOR.doc),
        key("chargers", Kind::Named(&CHARGER), CHARGER.doc),
        key("converters", Kind::Named(&CONVERTER), CONVERTER.doc),
        key("equalisers", Kind::Named(&EQUALISER), EQUALISER.doc),
        key("conductors", Kind::Named(&CONDUCTOR), CONDUCTOR.doc),
        key("incidental", Kind::Named(&INCIDENTAL), INCIDENTAL.doc),
        key("fuses", Kind::Named(&FUSE), FUSE.doc),
        key("curves", Kind::Named(&SHARED_CURVE), SHARED_CURVE.doc),
        key("switches", Kind::Named(&SWITCH), SWITCH.doc),
        key("diodes", Kind::Named(&DIODE), DIODE.doc),
        key("isolators", Kind::Named(&ISOLATOR), ISOLATOR.doc),
        key("shunts", Kind::Named(&SHUNT), SHUNT.doc),
        key("loads", Kind::Named(&LOAD), LOAD.doc),
        key("states", Kind::Named(&STATE), STATE.doc),
        key("work", Kind::Many(&WORK), WORK.doc),
        key("workshop", Kind::Table(&WORKSHOP), WORKSHOP.doc),
    ],
};

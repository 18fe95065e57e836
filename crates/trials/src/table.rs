//! The figures as lines of a table: what was measured, how sure that is, what was wanted.

use crate::fault;
use crate::run;
use crate::scenario::{self, Outcomes};
use crate::score::{Calibration, calibration_error, number, wilson};
use crate::vehicle::{CLEAN_LOSES, JOINTS, SPREAD};

/// What a figure is meant to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wanted {
    /// This or more.
    AtLeast(f64),
    /// This or less.
    AtMost(f64),
    /// From one to the other.
    Between(f64, f64),
    /// Told for information.
    Nothing,
}

impl Wanted {
    /// Whether a figure is what it is meant to be; nothing when no figure was named.
    #[must_use]
    pub fn met(self, figure: f64) -> Option<bool> {
        match self {
            Self::AtLeast(least) => Some(figure >= least),
            Self::AtMost(most) => Some(figure <= most),
            Self::Between(least, most) => Some((least..=most).contains(&figure)),
            Self::Nothing => None,
        }
    }

    fn words(self, share: bool) -> String {
        let figure = |value: f64| {
            if share { format!("{:.0} %", 100.0 * value) } else { format!("{value}") }
        };
        match self {
            Self::AtLeast(least) => format!("≥ {}", figure(least)),
            Self::AtMost(most) => format!("≤ {}", figure(most)),
            Self::Between(least, most) => {
                format!("{} to {}", figure(least), figure(most))
            }
            Self::Nothing => String::new(),
        }
    }
}

/// One line.
#[derive(Debug, Clone)]
pub struct Row {
    scenario: &'static str,
    what: String,
    measured: String,
    sure: String,
    wanted: String,
    met: Option<bool>,
    of: usize,
}

fn share(scenario: &'static str, what: &str, hits: usize, of: usize, wanted: Wanted) -> Row {
    let (low, high) = wilson(hits, of);
    let measured = number(hits) / number(of.max(1));
    Row {
        scenario,
        what: what.to_owned(),
        measured: format!("{:.1} %", 100.0 * measured),
        sure: format!("{:.1} to {:.1} %", 100.0 * low, 100.0 * high),
        wanted: wanted.words(true),
        met: wanted.met(measured).filter(|_| of > 0),
        of,
    }
}

fn plain(scenario: &'static str, what: &str, value: f64, of: usize, wanted: Wanted) -> Row {
    Row {
        scenario,
        what: what.to_owned(),
        measured: format!("{value:.3}"),
        sure: String::new(),
        wanted: wanted.words(false),
        met: wanted.met(value).filter(|_| of > 0),
        of,
    }
}

/// The scenarios by name, in the order of the table.
pub const SCENARIOS: [&str; 7] =
    ["single", "pair", "survey", "healthy", "calibration", "extra-path", "corrupted"];

/// Counts outcomes.
fn count(outcomes: &Outcomes, is: impl Fn(&scenario::Outcome) -> bool) -> (usize, usize) {
    (outcomes.outcomes.iter().filter(|own| is(own)).count(), outcomes.outcomes.len())
}

fn mean_readings(scenario: &'static str, outcomes: &Outcomes) -> Row {
    let sum: usize = outcomes.outcomes.iter().map(|own| own.readings).sum();
    let of = outcomes.outcomes.len();
    plain(scenario, "mean number of readings", number(sum) / number(of.max(1)), of, Wanted::Nothing)
}

fn left_out(scenario: &'static str, why: &str, outcomes: &Outcomes) -> Option<Row> {
    let all = outcomes.left_out + outcomes.outcomes.len();
    (outcomes.left_out > 0).then(|| share(scenario, why, outcomes.left_out, all, Wanted::Nothing))
}

/// The lines of a scenario other than calibration; none for an unknown name.
#[must_use]
pub fn rows(name: &str, outcomes: &Outcomes) -> Vec<Row> {
    let right = count(outcomes, |own| own.right);
    let also = count(outcomes, |own| own.also);
    match name {
        "single" => vec![
            share(
                "single",
                "bad joint is first, or in a set of two",
                right.0,
                right.1,
                Wanted::AtLeast(0.95),
            ),
            mean_readings("single", outcomes),
            share(
                "single",
                "a right reading is called wrong (> 50 %)",
                also.0,
                also.1,
                Wanted::Nothing,
            ),
        ],
        "pair" => vec![
            share(
                "pair",
                "both bad joints among the first three",
                right.0,
                right.1,
                Wanted::AtLeast(0.80),
            ),
            share("pair", "at least one of them", also.0, also.1, Wanted::Nothing),
            mean_readings("pair", outcomes),
        ],
        "survey" => [
            Some(share(
                "survey",
                "bad shared joint is first, or in a set of two",
                right.0,
                right.1,
                Wanted::AtLeast(0.90),
            )),
            Some(share("survey", "among the first three", also.0, also.1, Wanted::Nothing)),
            Some(mean_readings("survey", outcomes)),
            left_out("survey", "left out: no shared joint can cost enough", outcomes),
        ]
        .into_iter()
        .flatten()
        .collect(),
        "healthy" => {
            let half = |complains: bool| {
                let of = count(outcomes, |own| own.also == complains).0;
                (count(outcomes, |own| own.also == complains && !own.right).0, of)
            };
            let (with, without) = (half(true), half(false));
            vec![
                share(
                    "healthy",
                    "a joint is falsely called bad (> 50 %)",
                    right.1 - right.0,
                    right.1,
                    Wanted::AtMost(0.03),
                ),
                share(
                    "healthy",
                    "with an unfounded complaint, step by step",
                    with.0,
                    with.1,
                    Wanted::Nothing,
                ),
                share(
                    "healthy",
                    "with a first plan and no complaint",
                    without.0,
                    without.1,
                    Wanted::Nothing,
                ),
                share(
                    "healthy",
                    "a path that is not there is reported (> 50 %)",
                    count(outcomes, |own| own.path).0,
                    right.1,
                    Wanted::Nothing,
                ),
                mean_readings("healthy", outcomes),
            ]
        }
        "extra-path" => [
            Some(share(
                "extra-path",
                "an undrawn path is reported (> 50 %)",
                right.0,
                right.1,
                Wanted::AtLeast(0.80),
            )),
            Some(share(
                "extra-path",
                "between the right structures",
                also.0,
                also.1,
                Wanted::Nothing,
            )),
            Some(mean_readings("extra-path", outcomes)),
            left_out("extra-path", "left out: no reading could show it", outcomes),
        ]
        .into_iter()
        .flatten()
        .collect(),
        // Two readings that agree on nothing cannot say which of them is wrong.
        "corrupted" => [
            Some(share(
                "corrupted",
                "the wrong reading is first to be taken again",
                right.0,
                right.1,
                Wanted::AtLeast(0.90),
            )),
            Some(share("corrupted", "and called wrong (> 50 %)", also.0, also.1, Wanted::Nothing)),
            Some({
                let long = |own: &scenario::Outcome| own.readings >= 4;
                let of = count(outcomes, long).0;
                let hits = count(outcomes, |own| long(own) && own.right).0;
                let what = "first, where four readings or more were taken";
                share("corrupted", what, hits, of, Wanted::Nothing)
            }),
            Some(mean_readings("corrupted", outcomes)),
            left_out("corrupted", "left out: no slip would move a reading", outcomes),
        ]
        .into_iter()
        .flatten()
        .collect(),
        _ => Vec::new(),
    }
}

/// The lines of calibration, over vehicles with a fault of any kind.
#[must_use]
pub fn calibration_rows(outcomes: &Outcomes) -> Vec<Row> {
    let all = (outcomes.outcomes.iter())
        .fold(Calibration::default(), |sum, own| sum.with(&own.calibration));
    let of = |bins: &[crate::score::Bin]| bins.iter().map(|bin| bin.joints).sum::<usize>();
    let name = "calibration";
    let mut rows = vec![
        plain(
            name,
            "calibration error, all joints",
            calibration_error(&all.all),
            of(&all.all),
            Wanted::AtMost(0.05),
        ),
        plain(
            name,
            "calibration error, joints above 1 %",
            calibration_error(&all.above),
            of(&all.above),
            Wanted::AtMost(0.05),
        ),
        share(
            name,
            "90 % intervals that hold the truth",
            all.intervals.0,
            all.intervals.1,
            Wanted::Between(0.87, 0.93),
        ),
        share(
            name,
            "  of those narrowed to a factor of four",
            all.narrow_intervals.0,
            all.narrow_intervals.1,
            Wanted::Nothing,
        ),
        share(name, "  of bad joints", all.bad_intervals.0, all.bad_intervals.1, Wanted::Nothing),
    ];
    let joints = count(outcomes, |own| own.also).0;
    let found = count(outcomes, |own| own.also && own.right).0;
    rows.push(share(name, "a bad joint among any faults is first", found, joints, Wanted::Nothing));
    for (at, bin) in all.all.iter().enumerate().filter(|(_, bin)| bin.joints > 0) {
        let foretold = 100.0 * bin.foretold / number(bin.joints);
        let what = format!("  bad, where {}0 to {}0 %: {foretold:.1} % foretold", at, at + 1);
        rows.push(share(name, &what, bin.bad, bin.joints, Wanted::Nothing));
    }
    rows
}

/// The heads of the table, as wide as its lines.
#[must_use]
pub fn heads() -> String {
    line(["scenario", "figure", "measured", "95 % interval", "wanted", "met", "of"])
}

impl Row {
    /// The line.
    #[must_use]
    pub fn line(&self) -> String {
        let met = match self.met {
            Some(true) => "yes",
            Some(false) => "NO",
            None => "",
        };
        let of = self.of.to_string();
        line([self.scenario, &self.what, &self.measured, &self.sure, &self.wanted, met, &of])
    }

    /// Whether the figure is what it is meant to be; nothing when no figure was named.
    #[must_use]
    pub fn met(&self) -> Option<bool> {
        self.met
    }
}

fn line([scenario, what, measured, sure, wanted, met, of]: [&str; 7]) -> String {
    format!("{scenario:<12} {what:<46} {measured:>9} {sure:>16} {wanted:>12} {met:>4} {of:>7}")
}

/// What the trials assume, in lines.
#[must_use]
pub fn assumptions() -> Vec<String> {
    let spread = SPREAD;
    vec![
        format!(
            "Vehicles are invented: 12 or 24 V, one or two batteries, 8 to 30 loads, {} to {} joints; layouts, sizes and draws are drawn at random.",
            JOINTS.0, JOINTS.1
        ),
        format!(
            "Hidden from the diagnosis: clean joints off by a lognormal factor {} (drawn again until below their kind's bad range and losing less than {} V), structures {} and each stretch {}, incidental paths {}, fuses and switches {}, conductors ±{} % (one deviation), loads ±{} %, batteries ±{} % and a factor {}, regulators ±{} %.",
            spread.joint,
            CLEAN_LOSES.0,
            spread.structure,
            spread.stretch,
            spread.incidental,
            spread.inline,
            100.0 * spread.conductor,
            100.0 * spread.load,
            100.0 * spread.open_circuit,
            spread.battery,
            100.0 * spread.set_point
        ),
        format!(
            "A bad joint is any joint, its ohms evenly over the decades of its kind's bad range, if that costs some load {} V to {} % of the nominal voltage.",
            fault::LEAST_COST.0,
            100.0 * fault::MOST_COST_SHARE
        ),
        "Meter: ±(1 % + 3 counts) volts, ±(3 % + 5 counts) amperes, errors independent, never outside; readings are where and in the state asked for; every lug and terminal can be touched unless its point is out of reach.".to_owned(),
        "For calibration the fault is of any kind (joint, conductor, fuse or switch, a load that drags, a battery low or worn, an alternator low, or nothing but a complaint), each as often as docs/diagnosis.md believes; how bad it is differs from what is believed.".to_owned(),
        format!(
            "Measuring stops when the diagnosis is surer than {} %, asks nothing more, or the readings are used up; the complaint is the load and state that lost most against its rated volts.",
            100.0 * run::SURE
        ),
        format!(
            "A slip (wrong point, slipped decimal, reversed) moves its reading by at least {} times the meter's limit. An undrawn path is searched by a plan of {} readings and up to {} more.",
            crate::meter::LEAST_SLIP,
            scenario::PLAN,
            scenario::AFTER_PLAN
        ),
    ]
}

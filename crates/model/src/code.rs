//! What kind of problem it is: one name each, explained in `docs/problems.md`.

macro_rules! codes {
    ($($code:ident $word:literal,)*) => {
        /// A kind of problem, by a name that never changes; its section of `docs/problems.md` explains it.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $(#[doc = concat!("`", $word, "`.")] $code,)*
        }

        impl Code {
            /// Every kind of problem.
            pub const ALL: &'static [Self] = &[$(Self::$code),*];

            /// Its name, as text and JSON have it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$code => $word,)*
                }
            }
        }
    };
}

codes! {
    AboveEveryRange "above-every-range",
    AccuracyUnreadable "accuracy-unreadable",
    BatteriesOpposed "batteries-opposed",
    BatteryReversed "battery-reversed",
    BatteryWrongWayRound "battery-wrong-way-round",
    BothEndsAlike "both-ends-alike",
    CurveCurrentTwice "curve-current-twice",
    CurveEmpty "curve-empty",
    CurveInAmperes "curve-in-amperes",
    CurveInTwoUnits "curve-in-two-units",
    CurveKindTaken "curve-kind-taken",
    CurveNeedsRating "curve-needs-rating",
    CurveRises "curve-rises",
    CurveTimesCrossed "curve-times-crossed",
    CurveWithoutTime "curve-without-time",
    DecimalComma "decimal-comma",
    EarthAgainstMetal "earth-against-metal",
    EntryTooLong "entry-too-long",
    EqualiserMiswired "equaliser-miswired",
    FileEmpty "file-empty",
    FlowUnexplained "flow-unexplained",
    GaugeAssumed "gauge-assumed",
    Island "island",
    JointMissing "joint-missing",
    JointStatedBad "joint-stated-bad",
    LengthUnlikely "length-unlikely",
    LikelyMissesValue "likely-misses-value",
    LikelyUnusable "likely-unusable",
    LikelyWithoutResistance "likely-without-resistance",
    LoadMissing "load-missing",
    LoadWithoutFeed "load-without-feed",
    LoadWithoutReturn "load-without-return",
    MissingKey "missing-key",
    NameReserved "name-reserved",
    NameTaken "name-taken",
    NameUnusable "name-unusable",
    NoReadings "no-readings",
    NoSuchEnd "no-such-end",
    NotATextFile "not-a-text-file",
    OutOfRange "out-of-range",
    PinAgainstLayout "pin-against-layout",
    PinCountedTwice "pin-counted-twice",
    PinHalfWired "pin-half-wired",
    PlaceMissing "place-missing",
    PointNotJoined "point-not-joined",
    QuantityUnreadable "quantity-unreadable",
    QuoteOpen "quote-open",
    ResistanceUnknown "resistance-unknown",
    RowTooLong "row-too-long",
    ShortCircuit "short-circuit",
    ShuntBypassed "shunt-bypassed",
    SizeNotListed "size-not-listed",
    SizeUnreadable "size-unreadable",
    SourceWrongWayRound "source-wrong-way-round",
    SplitRelayCrossed "split-relay-crossed",
    SplitRelayHeld "split-relay-held",
    SplitRelayIdle "split-relay-idle",
    StackTooHigh "stack-too-high",
    StarterCableThin "starter-cable-thin",
    StateAssumed "state-assumed",
    StatesInARing "states-in-a-ring",
    StructureSaidTwice "structure-said-twice",
    TerminalsInARing "terminals-in-a-ring",
    TextTurned "text-turned",
    TextUnprintable "text-unprintable",
    TomlSyntax "toml-syntax",
    TooManyPlaces "too-many-places",
    TooLarge "too-large",
    TorquePastProofLoad "torque-past-proof-load",
    TwoPointsWanted "two-points-wanted",
    TwoStates "two-states",
    TwoValues "two-values",
    UnitAssumed "unit-assumed",
    UnitMissing "unit-missing",
    UnknownAccessGroup "unknown-access-group",
    UnknownColumn "unknown-column",
    UnknownConductor "unknown-conductor",
    UnknownCurve "unknown-curve",
    UnknownInstrument "unknown-instrument",
    UnknownJoint "unknown-joint",
    UnknownKey "unknown-key",
    UnknownLoad "unknown-load",
    UnknownName "unknown-name",
    UnknownPiece "unknown-piece",
    UnknownPoint "unknown-point",
    UnknownState "unknown-state",
    UnknownSwitch "unknown-switch",
    UnknownWord "unknown-word",
    UnknownWork "unknown-work",
    ValueImplausible "value-implausible",
    ValueMissing "value-missing",
    ValueUnreadable "value-unreadable",
    VoltageClass "voltage-class",
    VoltageTooHigh "voltage-too-high",
    WhichJoint "which-joint",
    WhichState "which-state",
    WhichTerminal "which-terminal",
    WhichVoltage "which-voltage",
    WordsUnread "words-unread",
    WrongKindOfValue "wrong-kind-of-value",
}

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.word())
    }
}

#[cfg(test)]
mod laws {
    use super::Code;

    /// `TextTurned` as `text-turned`.
    fn kebab(name: &str) -> String {
        let mut word = String::new();
        for letter in name.chars() {
            if letter.is_ascii_uppercase() && !word.is_empty() {
                word.push('-');
            }
            word.push(letter.to_ascii_lowercase());
        }
        word
    }

    #[test]
    fn a_code_is_called_in_text_as_in_the_program() {
        for code in Code::ALL {
            assert_eq!(code.word(), kebab(&format!("{code:?}")));
        }
    }

    #[test]
    fn every_code_has_one_section_that_explains_it_and_every_section_a_code() {
        let page = include_str!("../../../docs/problems.md");
        let heads = page.lines().filter_map(|line| line.strip_prefix("## "));
        let mut heads: Vec<&str> = heads.map(|head| head.trim_matches('`')).collect();
        let mut words: Vec<&str> = Code::ALL.iter().map(|code| code.word()).collect();
        heads.sort_unstable();
        words.sort_unstable();
        assert_eq!(heads, words);
    }
}

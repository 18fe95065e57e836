//! What is left of every side once the lines are weighed, one after the other.

use diagnosis::{
    Account, Clue, Heard, Heeded, Hold, Observation, Proposal, Question, Session, Side, SideBelief,
    Standing, clues,
};
use model::{Measured, Reading, Seen};
use units::Ratio;

use super::found::Found;
use super::story::Story;
use crate::room::{Progress, Watch};

/// A reading of the symptom's own state that is expected to tell at least this comes first.
const WORTH_HOLDING: f64 = 0.05;

/// What one reading did: its number, and each side before and after it.
#[derive(Debug, Clone)]
pub(super) struct Step {
    pub number: u32,
    pub sides: [(Side, Ratio, Ratio); 5],
}

/// What the readings leave, and what each of them did.
#[derive(Debug, Clone)]
pub(super) struct Weighed {
    pub heard: Heard,
    pub account: Account,
    pub before: Account,
    /// For each reading or trial that counts.
    pub steps: Vec<Step>,
    pub next: Vec<Proposal>,
    /// What keeps sides from being called cleared, and the readings that it is about.
    pub holds: Vec<Hold>,
    pub seen: Vec<Observation>,
    /// What has to be asked about readings.
    pub questions: Vec<Question>,
    /// Two readings of one thing that contradict each other.
    pub again: Option<(Reading, Reading)>,
    /// The reading that is more likely wrong than not, from which nothing is said, and how likely.
    pub doubted: Option<(u32, Ratio)>,
}

impl Weighed {
    /// What was believed of a side before any reading.
    pub(super) fn first(&self, side: Side) -> Ratio {
        self.before.sides.probability(side)
    }

    /// How a side stands.
    pub(super) fn standing(&self, own: &SideBelief) -> Standing {
        own.standing(self.first(own.side), &self.holds)
    }

    /// What is asked about a reading that is kept and not weighed.
    pub(super) fn left_out(&self, number: u32) -> Option<&Question> {
        self.questions.iter().find(|own| own.number == number && !own.doubt.is_weighed())
    }

    /// True when something is more likely wrong than not.
    pub(super) fn suspicious(&self) -> bool {
        self.account.diagnosis.nothing_bad < 0.5
    }
}

impl Story<'_> {
    /// What counts of the readings, and what has to be asked about them.
    fn heeded(&mut self) -> Heeded {
        let readings: Vec<Reading> = self.readings().cloned().collect();
        self.session = Session::new(self.vehicle);
        self.session.heed(&readings, None)
    }

    /// What a jump lead or a push did, each with its number.
    fn noticed(&self) -> Vec<(u32, Clue)> {
        let one = |own: &Reading| {
            clues(self.vehicle, std::slice::from_ref(own)).pop().map(|clue| (own.number, clue))
        };
        self.readings().filter_map(one).collect()
    }

    /// What everything told so far leaves.
    pub fn weigh(&mut self) -> Found {
        self.weigh_watched(&mut |_| true).0
    }

    /// The same, told how far it is; and false where that stopped it.
    pub(super) fn weigh_watched(&mut self, watch: Watch<'_>) -> (Found, bool) {
        let heard = self.heard();
        let Heeded { seen, questions } = self.heeded();
        self.session = Session::new(self.vehicle);
        let before = self.session.hear(&[], heard);
        let mut weighed = Weighed {
            heard,
            account: before.clone(),
            before,
            steps: Vec::new(),
            next: Vec::new(),
            holds: Vec::new(),
            seen,
            questions,
            again: self.contradicted(),
            doubted: None,
        };
        let whole = self.step_by_step(&mut weighed, watch);
        let doubted = weighed.doubted;
        weighed.seen.retain(|own| doubted.is_none_or(|(number, _)| own.number != number));
        weighed.next = self.next(&weighed);
        let Weighed { account, seen, .. } = &weighed;
        weighed.holds = self.session.holds(&account.diagnosis, seen, heard.load);
        let only_seen = self.only_seen(&weighed);
        weighed.holds.extend(only_seen);
        (Found::of_story(self, weighed), whole)
    }

    /// Weighs reading after reading and trial after trial; false where it was stopped.
    fn step_by_step(&mut self, weighed: &mut Weighed, watch: Watch<'_>) -> bool {
        let noticed = self.noticed();
        let mut numbers: Vec<u32> = weighed.seen.iter().map(|own| own.number).collect();
        numbers.extend(noticed.iter().map(|own| own.0));
        let sights: Vec<Seen> = self.sights().cloned().collect();
        numbers.extend(sights.iter().map(|own| own.number));
        numbers.sort_unstable();
        numbers.dedup();
        let mut tried: Vec<Clue> = Vec::new();
        for (done, number) in numbers.iter().copied().enumerate() {
            let share = done as f64 / numbers.len() as f64;
            if !watch(Progress { what: "weighing", share }) {
                return false;
            }
            let clue = noticed.iter().find(|own| own.0 == number);
            tried.extend(clue.map(|own| own.1));
            if clue.is_some() || sights.iter().any(|own| own.number == number) {
                let session = Session::with_clues(self.vehicle, &tried);
                self.session = session.seeing(until(&sights, number));
            }
            let last = weighed.seen.partition_point(|own| own.number <= number);
            let (now, doubted) = self.session.hear_undoubted(&weighed.seen[..last], weighed.heard);
            weighed.doubted = doubted;
            let sides = Side::ALL.map(|side| {
                let of = |account: &Account| account.sides.probability(side);
                (side, of(&weighed.account), of(&now))
            });
            weighed.steps.push(Step { number, sides });
            weighed.account = now;
        }
        true
    }

    /// Sides that nothing but what was seen and tried makes unlikely.
    fn only_seen(&self, weighed: &Weighed) -> Vec<Hold> {
        if self.sights().next().is_none() {
            return Vec::new();
        }
        let tried: Vec<Clue> = self.noticed().into_iter().map(|own| own.1).collect();
        let mut without = Session::with_clues(self.vehicle, &tried);
        let (account, _) = without.hear_undoubted(&weighed.seen, weighed.heard);
        let cleared = |sides: &[SideBelief], side: Side| {
            let own = sides.iter().find(|own| own.side == side);
            own.is_some_and(|own| {
                own.standing(weighed.first(side), &weighed.holds) == Standing::Cleared
            })
        };
        let now = &weighed.account.sides.sides;
        let held = Side::ALL
            .into_iter()
            .filter(|side| cleared(now, *side) && !cleared(&account.sides.sides, *side));
        held.map(|side| Hold::OnlySeen { side }).collect()
    }

    /// The readings that split best what is left.
    fn next(&mut self, weighed: &Weighed) -> Vec<Proposal> {
        let Weighed { account, seen, heard, .. } = weighed;
        let mut next = self.session.split(account, seen, *heard);
        // Whoever has told of no clamp may have none.
        if !seen.iter().any(|own| matches!(own.measured, Measured::Amps { .. })) {
            next.retain(|own| !matches!(own.measured, Measured::Amps { .. }));
        }
        // The state in which it shows tells most, unless nothing is left to tell there.
        if next.iter().any(|own| own.state == heard.state && own.gain > WORTH_HOLDING) {
            next.retain(|own| own.state == heard.state);
        }
        // Before one of two is known to be wrong, nothing else is worth as much.
        let again = weighed.again.as_ref().and_then(|own| self.again(&own.1));
        next.splice(..0, again);
        next
    }
}

/// What was seen up to a line.
fn until(sights: &[Seen], number: u32) -> &[Seen] {
    &sights[..sights.partition_point(|own| own.number <= number)]
}

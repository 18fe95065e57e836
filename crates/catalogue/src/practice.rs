//! How joints are prepared and protected, and what may hurt the person who does it.

use crate::column;
use crate::read::table;

table! {
    /// A statement of practice in preparing or protecting a joint.
    Preparation "preparation"
        "How joints are prepared, tightened, protected and checked"
        "subject";
    /// What to do, in our words.
    pub practice: String = PLAIN => "practice";
}

table! {
    /// What keeps water and salt off a joint, or that nothing does.
    JointProtection "joint-protections"
        "What keeps water and salt off a joint"
        "protection" also "also called";
    /// False for the words that say that there is nothing.
    pub guards: bool = PLAIN => "keeps off" by |row| column::yes(row.guards);
    /// What else to know.
    pub note: String = MAY_LACK => "note";
}

table! {
    /// A rule about where protection stands and how it is rated.
    ProtectionRule "protection-rules"
        "Where fuses stand and how they are rated; each rule holds in its own realm"
        "subject";
    /// What it is a rule for: `boats with petrol inboards`, `vessels`, `general`.
    pub realm: String = PLAIN => "realm";
    /// The rule, in our words.
    pub rule: String = PLAIN => "rule";
}

table! {
    /// A caution.
    Caution "cautions"
        "What may hurt people or things; the maker's procedure overrides"
        "subject";
    /// The caution, in our words.
    pub caution: String = PLAIN => "caution";
    /// It concerns a place in whose name one of these stands.
    words: Vec<String> = MAY_LACK;
    /// Words that make something else of one of those when they stand beside it.
    not_beside: Vec<String> = MAY_LACK;
    /// It concerns every place of a vehicle in whose name one of these stands.
    vehicles: Vec<String> = MAY_LACK;
}

impl Caution {
    /// Whether a name or remark speaks of a place that this caution is about: one of its words stands
    /// there whole, in one or in several pieces (`seat belt`, `seat-belt`, `seatbelt`).
    #[must_use]
    pub fn speaks_of(&self, text: &str) -> bool {
        holds(text, &self.words, &self.not_beside)
    }

    /// Whether the name of a vehicle, or a remark on it, is that of one which it concerns everywhere.
    #[must_use]
    pub fn concerns_all_of(&self, vehicle: &str) -> bool {
        holds(vehicle, &self.vehicles, &[])
    }
}

fn holds(text: &str, words: &[String], not_beside: &[String]) -> bool {
    let text = text.to_lowercase();
    let pieces: Vec<&str> =
        text.split(|c: char| !c.is_alphanumeric()).filter(|own| !own.is_empty()).collect();
    let other =
        |piece: Option<&&str>| piece.is_some_and(|piece| not_beside.iter().any(|own| own == piece));
    words.iter().any(|words| {
        let wanted: Vec<&str> = words.split(' ').collect();
        (0..pieces.len()).any(|at| {
            let taken = taken_by(&wanted, &pieces[at..]);
            taken.is_some_and(|taken| {
                let before = at.checked_sub(1).and_then(|at| pieces.get(at));
                !other(before) && !other(pieces.get(at + taken))
            })
        })
    })
}

/// How many pieces a word of one or more parts takes, where it stands at the beginning of the pieces.
fn taken_by(wanted: &[&str], pieces: &[&str]) -> Option<usize> {
    if pieces.starts_with(wanted) {
        return Some(wanted.len());
    }
    // Written in one, or numbered: `gaslocker`, `brake2`.
    let first = pieces.first()?.trim_end_matches(|c: char| c.is_ascii_digit());
    (first == wanted.concat()).then_some(1)
}

#[cfg(test)]
mod tests {
    use crate::Catalogue;

    fn speaks(key: &str, text: &str) -> bool {
        let rows = &Catalogue::standard().cautions;
        rows.find(key).expect("a row of the table").speaks_of(text)
    }

    #[test]
    fn a_bolt_is_known_by_its_name_and_a_lamp_of_the_same_name_is_none() {
        for name in [
            "body/seat-belt-left",
            "body/seatbelt2",
            "frame/fuel tank strap",
            "rear/brake_caliper",
            "body/srs-module",
            "Air-bag bracket",
            "frame/shock.absorber",
        ] {
            assert!(speaks("not these bolts", name), "{name}");
        }
        for name in [
            "body/brake-lamp",
            "frame/water-tank",
            "body/seat-heater",
            "block/front",
            "belt-tensioner",
            "fuel-pump",
            "thankful/stud",
        ] {
            assert!(!speaks("not these bolts", name), "{name}");
        }
        assert!(speaks("gas locker", "LPG bottles, under the bench"));
        assert!(!speaks("gas locker", "exhaust gasket"));
        assert!(speaks("battery sensor", "main/shunt") && !speaks("battery sensor", "oil sensor"));
    }

    #[test]
    fn a_boat_is_known_by_its_name_or_by_the_sea_that_it_lives_in() {
        let rows = &Catalogue::standard().cautions;
        let vapour = rows.find("petrol vapour").expect("there");
        for name in ["Harbour workboat, 11 m", "my boat", "Motor yacht", "sea"] {
            assert!(vapour.concerns_all_of(name), "{name}");
        }
        for name in [
            "Rescue ambulance 2, coast station",
            "seat",
            "steamboats' tug",
            "Land cruiser",
            "Fire tender",
        ] {
            assert!(!vapour.concerns_all_of(name), "{name}");
        }
    }
}

//! The table of all questions. Every door is made from it: the commands, the server's routes and their description,
//! long work, the parts of a report; `docs/json.md` has a head for each.

/// Hands the table to a macro of a door.
///
/// A row is: the name as a type, its module here, its name in commands and routes, what it is asked about, the shape
/// of its answer. A door knows the third-last word as its own type that reads such a subject.
#[macro_export]
macro_rules! questions {
    ($door:ident) => {
        $door! {
            /// From a symptom and the readings at hand to the side that is suspect, without a vehicle file.
            Start start "start" OfNothing Started;
            /// What is wrong with the file, and what is in it.
            Check check "check" OfFile Check;
            /// Volts, amperes, watts and degrees of everything.
            Solve solve "solve" OfVehicle Solved;
            /// Where the volts of a load go.
            Budget budget "budget" OfVehicle Budgets;
            /// Which way the current comes home.
            Routes routes "routes" OfVehicle ReturnRoutes;
            /// Who lifts whose ground.
            Offsets offsets "offsets" OfVehicle GroundOffsets;
            /// Before and after a change.
            WhatIf what_if "what-if" OfVehicle WhatIf;
            /// Which joint is bad.
            Diagnose diagnose "diagnose" OfMeasured Diagnosed;
            /// What to measure next, or a first plan.
            Next next "next" OfMeasured NextOrPlan;
            /// What is worth doing.
            Repairs repairs "repairs" OfMeasured Repairs;
            /// What protection every conductor lacks.
            Protect protect "protect" OfVehicle Protect;
            /// What fails when something fails.
            Failures failures "failures" OfVehicle Failures;
            /// How warm conductors and joints get, and how soon.
            Heat heat "heat" OfVehicle Heat;
            /// A drop that was measured, beside the limits that are published.
            Limits limits "limits" OfNothing Limits;
            /// The smallest conductor that keeps a drop, or in a vehicle everything at once.
            Size size "size" PerhapsOfVehicle Sizes;
            /// A bolted joint: torque and clamp force, faces, washers, stack, protection.
            Bolt bolt "bolt" PerhapsOfVehicle BoltAnswer;
            /// Published and trade facts, each with its source and how sure it is.
            Catalogue lookup "catalogue" OfNothing Lookup;
        }
    };
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    macro_rules! names {
        ($($(#[$doc:meta])* $name:ident $module:ident $word:literal $of:ident $shape:ident;)*) => {
            [$($word),*]
        };
    }

    #[test]
    fn every_question_has_a_name_of_its_own_and_a_head_in_the_contract() {
        let names = crate::questions!(names);
        assert_eq!(names.iter().collect::<BTreeSet<_>>().len(), names.len());
        let contract = include_str!("../../../docs/json.md");
        for name in names {
            assert!(
                contract.contains(&format!("\n## {name}\n")),
                "docs/json.md says nothing of `{name}`"
            );
        }
    }
}

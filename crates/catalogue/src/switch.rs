//! Switching contacts by kind of switch.

use units::{Ohms, Volts};

use crate::read::table;

table! {
    /// The resistance to expect of the contacts of a kind of switch.
    SwitchContact "switch-contacts"
        "Resistance to expect of switching contacts by kind; no survey was found"
        "kind";
    /// To be taken for sound contacts of which nothing else is known.
    pub typical: Ohms = MILLIOHMS "typical_mohm" => "typical, mΩ";
    /// What sound contacts lose at their marked current: the resistance of those of which it is known.
    pub drop_at_rating: Volts = MILLIVOLTS "drop_at_rating_mv" => "drop at the rating, mV";
}

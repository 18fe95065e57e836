//! Switching contacts by kind of switch.

use units::Ohms;

use crate::read::table;

table! {
    /// The resistance to expect of the contacts of a kind of switch.
    SwitchContact "switch-contacts"
        "Resistance to expect of switching contacts by kind; no survey was found"
        "kind";
    /// To be taken for sound contacts of which nothing else is known.
    pub typical: Ohms = MILLIOHMS "typical_mohm" => "typical, mΩ";
}

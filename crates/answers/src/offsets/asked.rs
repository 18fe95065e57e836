//! What is asked of the grounds.

use crate::arguments::whole_number;

asked! {
    /// By how many millivolts each load's current lifts every other one's ground.
    #[schema(as = OffsetsAsked)]
    pub struct Asked {
        /// The operating state; all that the file has when left out.
        #[arg(long)]
        pub state: Option<String>,
        /// Only what lifts the ground of this load; may be given several times.
        #[arg(long = "load")]
        pub loads: Vec<String>,
        /// Lines for each lifted load, the largest lifts first.
        #[arg(long, default_value_t = Self::default().causes, value_parser = whole_number::<usize>)]
        pub causes: usize = 3,
    }
}

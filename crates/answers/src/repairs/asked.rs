//! How much of what is worth doing is asked for.

use crate::arguments::at_least_one;

asked! {
    /// Repairs and additions ranked by what they gain for a minute of work.
    #[schema(as = RepairsAsked)]
    pub struct Asked {
        /// How many to show.
        #[arg(long, default_value_t = 8, value_parser = at_least_one)]
        pub most: usize = 8,
    }
}

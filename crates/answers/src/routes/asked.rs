//! What is asked of the ways home.

asked! {
    /// The return routes of a load's current, or of all that flows.
    #[schema(as = RoutesAsked)]
    pub struct Asked {
        /// The load; or a battery, an alternator, a charger, a converter, an equaliser: what comes home to one that
        /// delivers, and from one that takes.
        #[arg(long, required_unless_present = "all", conflicts_with = "all")]
        pub load: Option<String>,
        /// The routes of all that flows: loads, batteries being charged, converters.
        #[arg(long)]
        pub all: bool,
        /// The operating state; all in which something flows when left out.
        #[arg(long)]
        pub state: Option<String>,
        /// Show the smallest routes too.
        #[arg(long)]
        pub small: bool,
    }
}

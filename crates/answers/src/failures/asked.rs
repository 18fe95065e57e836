//! What is asked of failures.

asked! {
    /// What fails when something fails: every joint and conductor opened and worn, every fuse blown,
    /// each battery and alternator lost, ranked by harm and likelihood.
    #[schema(as = FailuresAsked)]
    pub struct Asked {
        /// One operating state; all that the file has when left out.
        #[arg(long)]
        pub state: Option<String>,
        /// Two ways open at once too, where together they do what neither does alone.
        #[arg(long, conflicts_with = "after")]
        pub pairs: bool,
        /// A failure that has happened: what carried the current since, and what to inspect.
        #[arg(long, value_name = "NAME")]
        pub after: Option<String>,
        /// How many failures to show.
        #[arg(long, default_value_t = Self::default().most)]
        pub most: usize = 8,
    }
}

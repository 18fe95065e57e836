//! What is asked of the operating states.

asked! {
    /// Where the volts go and what flows, in one operating state or in all.
    #[schema(as = SolveAsked)]
    pub struct Asked {
        /// One operating state; all that the file has when left out.
        #[arg(long)]
        pub state: Option<String>,
        /// Show every point, conductor and joint, not only the largest losses.
        #[arg(long)]
        pub all: bool,
    }
}

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
        /// Crank from warm to cold too, beside what is published.
        #[arg(long)]
        pub cold: bool,
        /// Give the network as it was solved, in the JSON: every node, branch and device with its law and numbers.
        #[arg(long)]
        pub network: bool,
    }
}

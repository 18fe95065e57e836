//! What is asked of readings.

asked! {
    /// Which joint is bad, from a few readings with an ordinary meter.
    #[schema(as = DiagnoseAsked)]
    pub struct Asked {
        /// Show every suspect and what is believed of every joint, conductor, structure, load and source.
        #[arg(long)]
        pub all: bool,
    }
}

//! What is asked of the fuses.

asked! {
    /// Which fuse protects which conductor, from the dead short down to what a corroded path lets flow.
    #[schema(as = ProtectAsked)]
    pub struct Asked {
        /// One operating state; all that the file has when left out.
        #[arg(long)]
        pub state: Option<String>,
        /// Only this conductor; may be given several times.
        #[arg(long = "conductor", value_name = "NAME")]
        pub conductor: Vec<String>,
        /// Prospective fault current at this point, and what opens.
        #[arg(long, value_name = "POINT", conflicts_with = "conductor")]
        pub at: Option<String>,
        /// Resistance of the fault's own path at that point, such as `20 mΩ`; a dead short when left out.
        #[arg(long, value_name = "RESISTANCE", requires = "at")]
        pub through: Option<String>,
        /// Let curves that the catalogue recalls, unconfirmed, stand in where the file has none.
        #[arg(long)]
        pub recalled_curves: bool,
        /// Show the conductors that are protected too.
        #[arg(long)]
        pub all: bool,
    }
}

//! What is to be changed.

asked! {
    /// What every load gains or loses when something is changed or added.
    #[schema(as = WhatIfAsked)]
    pub struct Asked {
        /// Set a resistance: `main-negative.to=5mΩ`, or open it: `frame-strap=open`. May be repeated.
        #[arg(long = "set", value_name = "NAME=RESISTANCE")]
        pub set: Vec<String>,
        /// Add a conductor: `main/-,block/front,35mm2,0.6m`. May be repeated.
        #[arg(long = "add", value_name = "FROM,TO,SIZE,LENGTH")]
        pub add: Vec<String>,
        /// One operating state; all that the file has when left out.
        #[arg(long)]
        pub state: Option<String>,
        /// Show loads that hardly change too.
        #[arg(long)]
        pub all: bool,
    }
}

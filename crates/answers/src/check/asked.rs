//! What is asked of a file.

asked! {
    /// Diagnostics of a vehicle file and a one-screen inventory.
    #[derive(Copy)]
    #[schema(as = CheckAsked)]
    pub struct Asked {
        /// List every value that was filled in, and why.
        #[arg(long)]
        pub defaults: bool,
    }
}

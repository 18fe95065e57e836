//! What is looked up.

asked! {
    /// Look up published and trade facts, each with its source and how sure it is.
    ///
    /// Without a table it lists the tables.
    #[schema(as = LookupAsked)]
    pub struct Asked {
        /// The table, such as `threads` or `joint-kinds`.
        pub table: Option<String>,
        /// Only rows that hold this word, in one table or in all.
        #[arg(long, value_name = "WORD")]
        pub find: Option<String>,
    }
}

//! Enumerations of which a data file writes each by a word.

/// States each case of an enumeration with the word by which data files and tables know it.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident; $($(#[$doc:meta])* $case:ident $word:literal;)*) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize)]
        pub enum $name {
            $($(#[$doc])* #[serde(rename = $word)] $case,)*
        }

        impl $name {
            /// The word that the tables use for it.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self {
                    $(Self::$case => $word,)*
                }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }
    };
}
pub(crate) use words;

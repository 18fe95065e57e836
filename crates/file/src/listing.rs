//! Lists of the catalogue whose words a file may use.

use catalogue::{Catalogue, Row, Rows};

use crate::spec::Listing;

impl Listing {
    /// The rows of the catalogue whose words they are.
    pub(crate) fn rows(self) -> &'static dyn Words {
        let catalogue = Catalogue::standard();
        match self {
            Self::Materials => &*catalogue.materials,
            Self::JointKinds => &*catalogue.joint_kinds,
            Self::Insulations => &*catalogue.insulation,
            Self::Threads => &*catalogue.threads,
            Self::Classes => &*catalogue.property_classes,
            Self::IncidentalKinds => &*catalogue.incidental_paths,
            Self::Protections => &*catalogue.joint_protections,
            Self::Environments => &*catalogue.environments,
            Self::PlugLayouts => &*catalogue.plug_layouts,
        }
    }

    /// Other words for what is in the list, where people have many.
    pub(crate) fn other_words(self) -> Vec<&'static str> {
        if self == Self::Protections { self.rows().other_words() } else { Vec::new() }
    }

    /// Where something goes that is no word of the list.
    pub(crate) fn elsewhere(self) -> Option<&'static str> {
        let words = "only what is known to keep water off counts; `none` where there is nothing, and `note` takes any words";
        matches!(self, Self::Protections).then_some(words)
    }
}

/// The words of one table of the catalogue, whatever its rows hold.
pub(crate) trait Words {
    /// The table's name.
    fn table(&self) -> &'static str;
    /// True when a word, or another word for it, is there.
    fn knows(&self, word: &str) -> bool;
    /// Every word.
    fn words(&self) -> Vec<&str>;
    /// Every other word for one of them.
    fn other_words(&self) -> Vec<&str>;
}

impl<R: Row> Words for Rows<R> {
    fn table(&self) -> &'static str {
        R::TABLE
    }

    fn knows(&self, word: &str) -> bool {
        self.find(word).is_some()
    }

    fn words(&self) -> Vec<&str> {
        self.keys().collect()
    }

    fn other_words(&self) -> Vec<&str> {
        self.iter().flat_map(Row::aliases).map(String::as_str).collect()
    }
}

//! A JSON object whose keys are names of the vehicle file, in the order of the file.

use serde::{Serialize, Serializer};

/// Values under their names, in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Named<T>(pub Vec<(String, T)>);

impl<T> Named<T> {
    /// The value under a name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&T> {
        self.0.iter().find(|(known, _)| known == name).map(|(_, value)| value)
    }
}

impl<T> Default for Named<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> FromIterator<(String, T)> for Named<T> {
    fn from_iter<I: IntoIterator<Item = (String, T)>>(items: I) -> Self {
        Self(items.into_iter().collect())
    }
}

impl<T: Serialize> Serialize for Named<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

//! What every question has, whoever asks: typed arguments, what was found, its JSON, and what is said of it.
//!
//! A question is a folder of four files of the same shape: `asked` holds its arguments, `found` goes from a vehicle
//! and the arguments to what was found, `shape` is its part of the contract in `docs/json.md`, `told` what a person is
//! told. The doors, a terminal and a server, know nothing but this.

use model::Vehicle;
use serde::Serialize;

use crate::Refusal;
use crate::told::Told;

/// Told which share of the most work is done; false stops it.
pub type Watch<'w> = &'w mut (dyn FnMut(f64) -> bool + Send);

/// A question about a vehicle, with what is asked.
pub trait Question {
    /// True where an answer says that the file has warnings.
    const WARNS: bool = false;
    /// What was found.
    type Found<'v>;
    /// Its JSON.
    type Shape: Serialize;

    /// Finds it; nothing when `watch` stopped it.
    ///
    /// # Errors
    ///
    /// All that is wrong with what was asked.
    fn find<'v>(
        &self,
        vehicle: &'v Vehicle,
        watch: Watch<'_>,
    ) -> Result<Option<Self::Found<'v>>, Refused>;

    /// The JSON of what was found.
    fn shape(&self, found: &Self::Found<'_>) -> Self::Shape;

    /// What is said of it.
    fn told(&self, found: &Self::Found<'_>) -> Told;

    /// True where something in the answer wants attention.
    fn wants_attention(&self, _found: &Self::Found<'_>) -> bool {
        false
    }
}

/// The JSON of a question about a vehicle on which nothing was measured.
///
/// # Errors
///
/// All that is wrong with what was asked.
pub fn shape_of<Q: Question>(asked: &Q, vehicle: &Vehicle) -> Result<Q::Shape, Refused> {
    let found = asked.find(vehicle, &mut |_| true)?;
    // Nobody stopped it, so something was found.
    found.map(|found| asked.shape(&found)).ok_or_else(Refused::default)
}

/// Why a question has no answer: everything that is wrong with it, in the order in which it was found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Refused(pub Vec<Refusal>);

impl Refused {
    /// The value, or its refusal kept.
    pub fn keep<T>(&mut self, read: Result<T, Refusal>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(refusal) => {
                self.0.push(refusal);
                None
            }
        }
    }

    /// The values of a question of which nothing was refused.
    ///
    /// # Errors
    ///
    /// Everything that was refused.
    pub fn unless<T>(self, values: Option<T>) -> Result<T, Self> {
        match values {
            Some(values) if self.0.is_empty() => Ok(values),
            _ => Err(self),
        }
    }
}

impl From<Refusal> for Refused {
    fn from(refusal: Refusal) -> Self {
        Self(vec![refusal])
    }
}

//! What every question has, whoever asks: typed arguments, what was found, its JSON, and what is said of it.
//!
//! A question is a folder of four files of the same shape: `asked` holds its arguments, `found` goes from a vehicle
//! and the arguments to what was found, `shape` is its part of the contract in `docs/json.md`, `told` what a person is
//! told. The doors, a terminal and a server, know nothing but this.

use model::Vehicle;
use serde::Serialize;

use crate::refusal::Refused;
use crate::taken::Taken;
use crate::told::Told;

/// Told how far the work is; false stops it.
pub type Watch<'w> = &'w mut (dyn FnMut(Progress) -> bool + Send);

/// How far a piece of work is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// What is gone through.
    pub what: &'static str,
    /// Which share of it is done at least, 0 to 1.
    pub share: f64,
}

/// What a door has at hand for a question.
#[derive(Debug, Clone, Copy, Default)]
pub struct AtHand<'v> {
    /// The vehicle file.
    pub file: Option<File<'v>>,
    /// What was measured.
    pub taken: Option<&'v Taken>,
}

/// A vehicle file as it was understood, with its text.
#[derive(Debug, Clone, Copy)]
pub struct File<'v> {
    /// What it means, and what is wrong with it.
    pub reading: &'v file::Reading,
    /// Its text.
    pub text: &'v str,
}

/// A vehicle and the file that says so, for a question that writes something into it.
#[derive(Debug, Clone, Copy)]
pub struct Written<'v> {
    /// The vehicle.
    pub vehicle: &'v Vehicle,
    /// The text of its file.
    pub text: &'v str,
}

/// A vehicle and what was measured on it.
#[derive(Debug, Clone, Copy)]
pub struct Measured<'v> {
    /// The vehicle.
    pub vehicle: &'v Vehicle,
    /// The readings.
    pub taken: &'v Taken,
}

/// What a door has to have at hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Needs {
    /// Nothing.
    Nothing,
    /// A vehicle, where one is named.
    PerhapsVehicle,
    /// A vehicle.
    Vehicle,
    /// A vehicle and what was measured on it.
    Measured,
    /// A vehicle file, which may have errors.
    File,
}

/// What a question is asked about.
pub trait About<'v>: Copy {
    /// What a door has to have at hand.
    const NEEDS: Needs;

    /// Takes it from what is at hand; nothing when that is not enough.
    fn of(at: AtHand<'v>) -> Option<Self>;
}

impl<'v> About<'v> for () {
    const NEEDS: Needs = Needs::Nothing;

    fn of(_: AtHand<'v>) -> Option<Self> {
        Some(())
    }
}

impl<'v> About<'v> for Option<&'v Vehicle> {
    const NEEDS: Needs = Needs::PerhapsVehicle;

    fn of(at: AtHand<'v>) -> Option<Self> {
        Some(<&Vehicle>::of(at))
    }
}

impl<'v> About<'v> for Option<Written<'v>> {
    const NEEDS: Needs = Needs::PerhapsVehicle;

    fn of(at: AtHand<'v>) -> Option<Self> {
        let written = |file: File<'v>| {
            Some(Written { vehicle: file.reading.vehicle.as_ref()?, text: file.text })
        };
        Some(at.file.and_then(written))
    }
}

impl<'v> About<'v> for &'v Vehicle {
    const NEEDS: Needs = Needs::Vehicle;

    fn of(at: AtHand<'v>) -> Option<Self> {
        at.file?.reading.vehicle.as_ref()
    }
}

impl<'v> About<'v> for Measured<'v> {
    const NEEDS: Needs = Needs::Measured;

    fn of(at: AtHand<'v>) -> Option<Self> {
        let (vehicle, taken) = (<&Vehicle>::of(at)?, at.taken?);
        // A reading at a strand tells its crimps from the cable.
        Some(Self { vehicle: taken.told_apart.as_deref().unwrap_or(vehicle), taken })
    }
}

impl<'v> About<'v> for File<'v> {
    const NEEDS: Needs = Needs::File;

    fn of(at: AtHand<'v>) -> Option<Self> {
        at.file
    }
}

/// A question, with what is asked.
pub trait Question {
    /// True where an answer says that the file has warnings.
    const WARNS: bool = false;
    /// True where every piece is tried, or every pair of them.
    const LONG: bool = false;
    /// What it is asked about: a vehicle, a vehicle and its readings, a file, nothing.
    type About<'v>: About<'v>;
    /// What was found.
    type Found<'v>;
    /// Its JSON.
    type Shape: Serialize;

    /// Finds it; nothing when `watch` stopped it and half an answer says nothing.
    ///
    /// # Errors
    ///
    /// All that is wrong with what was asked.
    fn find<'v>(
        &self,
        about: Self::About<'v>,
        watch: Watch<'_>,
    ) -> Result<Option<Self::Found<'v>>, Refused>;

    /// The JSON of what was found.
    fn shape(&self, found: &Self::Found<'_>) -> Self::Shape;

    /// What is said of it.
    fn told(&self, found: &Self::Found<'_>) -> Told;

    /// What a page shows beside the things that it is about: a card, a plan, the sheet of a job. No terminal asks for it.
    fn beside(&self, _found: &Self::Found<'_>, _told: &mut Told) {}

    /// How a report on a vehicle asks it; nothing where it has no place in one.
    fn reported(_at: AtHand<'_>) -> Vec<Part<Self>>
    where
        Self: Sized,
    {
        Vec::new()
    }

    /// True where something in the answer wants attention.
    fn wants_attention(&self, found: &Self::Found<'_>) -> bool;
}

/// The question of a room: what it is about, what is found of that, the JSON of it, and what it has of its own.
///
/// The room's `Found::of` finds it, or nothing where it was stopped; `of` of its shape and `told::of` tell it.
macro_rules! question {
    ($about:ty => $found:ty => $shape:ident { $($own:tt)* }) => {
        impl $crate::room::Question for Asked {
            type About<'v> = $about;
            type Found<'v> = $found;
            type Shape = $shape;

            fn find<'v>(
                &self,
                about: Self::About<'v>,
                watch: $crate::room::Watch<'_>,
            ) -> Result<Option<Self::Found<'v>>, $crate::refusal::Refused> {
                Found::of(about, self, watch).map(Into::into)
            }

            fn shape(&self, found: &Self::Found<'_>) -> $shape {
                $shape::of(found)
            }

            fn told(&self, found: &Self::Found<'_>) -> $crate::told::Told {
                told::of(found, self)
            }

            fn wants_attention(&self, found: &Self::Found<'_>) -> bool {
                found.wants_attention()
            }

            $($own)*
        }
    };
}

/// A part of a report: an answer under a name, or one of several under it.
#[derive(Debug, Clone, PartialEq)]
pub struct Part<Q> {
    /// The name, such as `budget`.
    pub name: &'static str,
    /// What it is about where there are several: a load, a state.
    pub of: Option<String>,
    /// What is asked.
    pub asked: Q,
}

impl<Q> Part<Q> {
    /// The only part under its name.
    pub fn only(name: &'static str, asked: Q) -> Vec<Self> {
        vec![Self { name, of: None, asked }]
    }

    /// A part for each of several things.
    pub fn each(
        name: &'static str,
        of: impl IntoIterator<Item = String>,
        asked: impl Fn(&str) -> Q,
    ) -> Vec<Self> {
        of.into_iter().map(|of| Self { name, asked: asked(&of), of: Some(of) }).collect()
    }
}

/// The JSON of a question that nobody stops.
///
/// # Errors
///
/// All that is wrong with what was asked.
#[cfg(test)]
pub(crate) fn shape_of<'v, Q: Question>(
    asked: &Q,
    about: Q::About<'v>,
) -> Result<Q::Shape, Refused> {
    let found = asked.find(about, &mut |_| true)?;
    // Nobody stopped it, so something was found.
    found.map(|found| asked.shape(&found)).ok_or_else(Refused::default)
}

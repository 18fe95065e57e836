//! What a current does to a conductor over time, and by which rule that is judged.
//!
//! One heat balance ([`Thermal`]) and one set of temperatures ([`Limits`]) answer two questions. A
//! *fault* flows until a fuse has cut it off: [`Thermal::harm`] holds it against the insulation's
//! short-circuit temperature within five seconds, against its overload temperature within an hour, and
//! beyond that against what it bears for ever. A current that a *failure* elsewhere lets flow lasts as
//! long as an operating state does: [`Bearing`] holds it against what the insulation bears for ever.
//! Every answer says its [`Rule`].

mod limits;
mod thermal;
mod fault;
mod bearing;

pub use bearing::{Bearing, Endurance};
pub use fault::Harm;
pub use limits::{BARE_LIMIT, LimitOf, Limits, OVERLOAD, OVERLOAD_RISE, Rule, SHORT};
pub use thermal::Thermal;

#[cfg(test)]
mod tests;

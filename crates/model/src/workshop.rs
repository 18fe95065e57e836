//! What work and parts cost, for weighing one repair against another.

use units::{Metres, Money, Seconds, SquareMetres};

/// Times and prices. Amounts are in [`currency`](Self::currency).
#[derive(Debug, Clone, PartialEq)]
pub struct Workshop {
    /// What amounts are in, a word such as `EUR`.
    pub currency: String,
    /// An hour of work.
    pub labour: Money,
    /// What cleaning and protecting a joint uses up: washer, abrasive, grease.
    pub joint: Money,
    /// A lug or terminal with its sleeve.
    pub lug: Money,
    /// A metre of cable for each square millimetre of metal.
    pub cable: Money,
    /// Bolts, clips and conduit of a conductor that is added.
    pub fixings: Money,
    /// Opening a joint, cleaning its faces, tightening and protecting it.
    pub clean: Seconds,
    /// Cutting an end back and fixing a new lug, its joint cleaned with it.
    pub end: Seconds,
    /// Taking a conductor out and fitting another with its ends.
    pub replace: Seconds,
    /// Making and fitting a conductor that was not there.
    pub add: Seconds,
    /// True when the file states its prices.
    pub stated: bool,
}

impl Workshop {
    /// Usual times, and prices in proportion to an hour of work.
    ///
    /// Parts are shares of the hour, so that they hold in any currency. All of them are our
    /// judgement: no survey was found.
    #[must_use]
    pub fn usual(currency: &str, labour: Money) -> Self {
        Self {
            currency: currency.to_owned(),
            labour,
            joint: labour * 0.03,
            lug: labour * 0.06,
            cable: labour * 0.004,
            fixings: labour * 0.05,
            clean: Seconds(15.0 * 60.0),
            end: Seconds(25.0 * 60.0),
            replace: Seconds(40.0 * 60.0),
            add: Seconds(45.0 * 60.0),
            stated: false,
        }
    }

    /// A piece of cable without its ends.
    #[must_use]
    pub fn cable_price(&self, length: Metres, area: SquareMetres) -> Money {
        self.cable * (length.0 * area.mm2())
    }

    /// Work of some duration.
    #[must_use]
    pub fn labour_price(&self, time: Seconds) -> Money {
        self.labour * (time.0 / 3600.0)
    }
}

impl Default for Workshop {
    fn default() -> Self {
        Self::usual("EUR", Money(60.0))
    }
}

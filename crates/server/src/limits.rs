//! How often somebody may ask, by address.

use std::collections::{BTreeMap, VecDeque};
use std::net::IpAddr;
use std::time::Duration;

use tokio::time::Instant;

/// Addresses remembered at most; the longest quiet ones are forgotten first.
const MOST_ADDRESSES: usize = 1024;

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Counted {
    /// Attempts to pair: five a minute.
    Pairing,
    /// Requests with a wrong key: thirty a minute.
    WrongKey,
    /// Requests of other devices: fifty a second.
    Request,
}

impl Counted {
    fn limit(self) -> (usize, Duration) {
        match self {
            Self::Pairing => (5, Duration::from_secs(60)),
            Self::WrongKey => (30, Duration::from_secs(60)),
            Self::Request => (50, Duration::from_secs(1)),
        }
    }
}

/// When each address did what.
#[derive(Debug, Default)]
pub(crate) struct Limits {
    times: BTreeMap<(Counted, IpAddr), VecDeque<Instant>>,
}

impl Limits {
    /// Counts one more, or says after how many seconds it may be tried again.
    pub(crate) fn count(&mut self, what: Counted, from: IpAddr, now: Instant) -> Result<(), u64> {
        self.check(what, from, now)?;
        self.times.entry((what, from)).or_default().push_back(now);
        if self.times.len() > MOST_ADDRESSES {
            let oldest = self.times.iter().min_by_key(|(_, times)| times.back().copied());
            if let Some(key) = oldest.map(|(key, _)| *key) {
                self.times.remove(&key);
            }
        }
        Ok(())
    }

    /// Says whether one more would be too many, without counting it.
    pub(crate) fn check(&mut self, what: Counted, from: IpAddr, now: Instant) -> Result<(), u64> {
        let (most, window) = what.limit();
        let Some(times) = self.times.get_mut(&(what, from)) else { return Ok(()) };
        while times.front().is_some_and(|first| now.duration_since(*first) >= window) {
            times.pop_front();
        }
        match times.front() {
            Some(first) if times.len() >= most => {
                let left = window.saturating_sub(now.duration_since(*first));
                Err(left.as_secs().max(1))
            }
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sixth_attempt_within_a_minute_is_too_many_and_the_first_of_the_next_is_not() {
        let mut limits = Limits::default();
        let from = IpAddr::from([192, 0, 2, 7]);
        let start = Instant::now();
        for _ in 0..5 {
            assert_eq!(limits.count(Counted::Pairing, from, start), Ok(()));
        }
        assert_eq!(limits.count(Counted::Pairing, from, start), Err(60));
        let other = IpAddr::from([192, 0, 2, 8]);
        assert_eq!(limits.count(Counted::Pairing, other, start), Ok(()));
        let later = start + Duration::from_secs(60);
        assert_eq!(limits.count(Counted::Pairing, from, later), Ok(()));
    }

    #[test]
    fn addresses_without_end_do_not_fill_the_memory() {
        let mut limits = Limits::default();
        let now = Instant::now();
        for number in 0..5000_u32 {
            let _ = limits.count(Counted::Request, IpAddr::from(number.to_be_bytes()), now);
        }
        assert!(limits.times.len() <= MOST_ADDRESSES);
    }
}

//! Codes with which a device is paired: once, within two minutes.

use std::time::Duration;

use tokio::time::Instant;

use crate::keys::{Role, digest};

/// How long a code can be used.
pub(crate) const VALID: Duration = Duration::from_secs(120);
/// Wrong codes after which all that are open are void: somebody is guessing.
const MOST_WRONG: u32 = 20;
/// Codes open at once.
const MOST_OPEN: usize = 8;

/// A code that waits for its device.
#[derive(Debug)]
struct Pairing {
    id: u64,
    codes: [[u8; 32]; 2],
    role: Role,
    hours: u32,
    until: Instant,
}

/// All codes that wait. They end with the program.
#[derive(Debug, Default)]
pub(crate) struct Pairings {
    open: Vec<Pairing>,
    last: u64,
    wrong: u32,
}

impl Pairings {
    /// Opens a code in its long and its spoken form; gives its number.
    pub(crate) fn open(
        &mut self,
        code: &str,
        spoken: &str,
        role: Role,
        hours: u32,
        now: Instant,
    ) -> u64 {
        self.forget(now);
        if self.open.len() >= MOST_OPEN {
            self.open.remove(0);
        }
        self.last += 1;
        self.wrong = 0;
        let codes = [digest(code), digest(spoken)];
        self.open.push(Pairing { id: self.last, codes, role, hours, until: now + VALID });
        self.last
    }

    /// Uses a code up: the role and the hours that it gives, or nothing for any code that is wrong,
    /// used or too old.
    pub(crate) fn take(&mut self, code: &str, now: Instant) -> Option<(Role, u32)> {
        self.forget(now);
        let plain = code.trim();
        let spoken: String = plain
            .chars()
            .filter(char::is_ascii_alphanumeric)
            .map(|own| own.to_ascii_uppercase())
            .collect();
        let wanted = [digest(plain), digest(&spoken)];
        let found =
            self.open.iter().position(|own| own.codes.iter().any(|code| wanted.contains(code)));
        let Some(found) = found else {
            self.wrong += 1;
            if self.wrong >= MOST_WRONG {
                self.open.clear();
            }
            return None;
        };
        let own = self.open.remove(found);
        Some((own.role, own.hours))
    }

    /// Closes a code that was not used.
    pub(crate) fn close(&mut self, id: u64) -> bool {
        let before = self.open.len();
        self.open.retain(|own| own.id != id);
        self.open.len() < before
    }

    fn forget(&mut self, now: Instant) {
        self.open.retain(|own| now < own.until);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_pairs_once_in_either_form_and_not_after_two_minutes() {
        let now = Instant::now();
        let mut pairings = Pairings::default();
        pairings.open("abc", "BCDFGHKM", Role::Read, 12, now);
        assert_eq!(pairings.take("abd", now), None);
        assert_eq!(pairings.take("bcdf ghkm", now), Some((Role::Read, 12)));
        assert_eq!(pairings.take("abc", now), None);
        pairings.open("abc", "BCDFGHKM", Role::Edit, 1, now);
        assert_eq!(pairings.take("abc", now + VALID), None);
    }

    #[test]
    fn twenty_wrong_codes_void_every_open_one() {
        let now = Instant::now();
        let mut pairings = Pairings::default();
        pairings.open("abc", "BCDFGHKM", Role::Read, 12, now);
        for _ in 0..MOST_WRONG {
            assert_eq!(pairings.take("guess", now), None);
        }
        assert_eq!(pairings.take("abc", now), None);
    }
}

//! Keys and what they allow.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use utoipa::ToSchema;

use crate::error::ApiError;

/// What a key allows; each includes those before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Role {
    /// Read and ask.
    Look,
    /// Take readings, note work, take photographs.
    Read,
    /// Change vehicle files.
    Edit,
    /// Pair devices and take vehicles out of the list; the key of the desk alone.
    Desk,
}

impl Role {
    /// The word under which it is stored and told.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Look => "look",
            Self::Read => "read",
            Self::Edit => "edit",
            Self::Desk => "desk",
        }
    }

    /// The role of a device as it is stored; what is not known may only look.
    pub(crate) fn of_device(word: &str) -> Self {
        match word {
            "edit" => Self::Edit,
            "read" => Self::Read,
            _ => Self::Look,
        }
    }
}

/// What is kept of a key. Digests are compared, never keys, so that the time of a comparison says
/// nothing about a key.
pub(crate) fn digest(key: &str) -> [u8; 32] {
    Sha256::digest(key.as_bytes()).into()
}

/// A new key of 256 random bits.
pub(crate) fn new_key() -> Result<String, ApiError> {
    random::<32>().map(|bytes| hexadecimal(&bytes))
}

/// A new pairing code of 128 random bits.
pub(crate) fn new_code() -> Result<String, ApiError> {
    random::<16>().map(|bytes| hexadecimal(&bytes))
}

/// Eight letters to be typed, none of which looks like another one or makes a word.
pub(crate) fn new_spoken_code() -> Result<String, ApiError> {
    /// As many letters as divide 256 evenly, so that each is as likely.
    const LETTERS: &[u8; 16] = b"BCDFGHKMNPRSTVWX";
    let bytes = random::<8>()?;
    Ok(bytes.iter().map(|byte| char::from(LETTERS[usize::from(byte % 16)])).collect())
}

fn random<const N: usize>() -> Result<[u8; N], ApiError> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes)
        .map_err(|error| ApiError::inside(format!("no random numbers: {error}")))?;
    Ok(bytes)
}

fn hexadecimal(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    bytes
        .iter()
        .flat_map(|byte| [DIGITS[usize::from(byte >> 4)], DIGITS[usize::from(byte & 15)]])
        .map(char::from)
        .collect()
}

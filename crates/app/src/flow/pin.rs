//! Numbers people sign in with: chosen by the program, shown once, kept as a salted hash.
//!
//! Argon2id (RFC 9106) with 19 MiB and two passes, the least the OWASP password storage cheat
//! sheet asks for. Six digits are a million numbers: whoever copies the gym's folder can try them
//! all in some hours. The hash keeps a number from being read, not from being searched for.

use argon2::{Algorithm, Argon2, Params, Version};
use std::fmt::Write as _;
use uuid::Uuid;

/// Digits of a number.
const DIGITS: usize = 6;
/// What a kept hash begins with.
const KIND: &str = "argon2id";
const MEMORY_KIB: u32 = 19_456;
const PASSES: u32 = 2;
const HASH_BYTES: usize = 32;
/// More memory than this is no hash of ours: a damaged record must not take the computer down.
const MOST_MEMORY_KIB: u32 = 262_144;

/// A number nobody chose.
pub fn new() -> String {
    let random = Uuid::new_v4().as_u128() % 10_u128.pow(6);
    format!("{random:0DIGITS$}")
}

/// The form in which a number is kept; `None` when there is no memory to make it.
pub fn hashed(pin: &str) -> Option<String> {
    let salt = Uuid::new_v4().into_bytes();
    let hash = hash(pin, &salt, MEMORY_KIB, PASSES)?;
    Some(format!("{KIND}:{MEMORY_KIB}:{PASSES}:{}:{}", hex(&salt), hex(&hash)))
}

/// The form in which a number of a version before there were hashes is kept from now on, where
/// that is what stands there: nothing when there is no memory to make it, and its owner is entered
/// anew.
pub fn of_plain(kept: &str) -> Option<Option<String>> {
    (!kept.starts_with(KIND)).then(|| hashed(kept))
}

/// Whether a typed number is the one that is kept.
pub fn fits(kept: &str, typed: &str) -> bool {
    let parts: Vec<&str> = kept.split(':').collect();
    let [_, memory, passes, salt, wanted] = parts.as_slice() else { return false };
    let (Ok(memory), Ok(passes)) = (memory.parse::<u32>(), passes.parse()) else { return false };
    let (Some(salt), Some(wanted)) = (bytes(salt), bytes(wanted)) else { return false };
    if memory > MOST_MEMORY_KIB {
        return false;
    }
    hash(typed, &salt, memory, passes).is_some_and(|hash| same(&hash, &wanted))
}

fn hash(pin: &str, salt: &[u8], memory_kib: u32, passes: u32) -> Option<[u8; HASH_BYTES]> {
    let params = Params::new(memory_kib, passes, 1, Some(HASH_BYTES)).ok()?;
    let mut hash = [0; HASH_BYTES];
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(pin.as_bytes(), salt, &mut hash)
        .ok()?;
    Some(hash)
}

/// Compares without stopping at the first difference: how long it takes tells nothing.
fn same(one: &[u8], other: &[u8]) -> bool {
    let different = one.iter().zip(other).fold(0, |all, (one, other)| all | (one ^ other));
    one.len() == other.len() && different == 0
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing into memory does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

fn bytes(hex: &str) -> Option<Vec<u8>> {
    let pairs = hex.as_bytes().chunks(2);
    pairs.map(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_kept_as_a_hash_of_its_own_salt() {
        let (one, other) = (hashed("271828").unwrap(), hashed("271828").unwrap());
        assert_ne!(one, other, "the same number twice is not seen to be the same");
        assert!(!one.contains("271828"));
        assert!(fits(&one, "271828") && fits(&other, "271828"));
        assert!(!fits(&one, "271829") && !fits(&one, ""));
    }

    #[test]
    fn only_a_number_that_is_kept_as_it_is_is_hashed() {
        let kept = of_plain("500500").unwrap().unwrap();
        assert!(fits(&kept, "500500") && !fits("500500", "500500"));
        assert_eq!(of_plain(&kept), None);
    }

    #[test]
    fn a_damaged_hash_opens_nothing() {
        for kept in [
            "argon2id",
            "argon2id:x:2:00:00",
            "argon2id:19456:2::",
            "argon2id:4000000000:2:00112233445566778899aabbccddeeff:00",
        ] {
            assert!(!fits(kept, ""), "{kept}");
        }
    }

    /// What the reference implementation gives (phc-winner-argon2, test.c, Argon2id version 0x13,
    /// 2 passes, 256 KiB, 1 lane: "password" and "somesalt").
    #[test]
    fn the_hash_is_that_of_the_reference_implementation() {
        let wanted = "9dfeb910e80bad0311fee20f9c0e2b12c17987b4cac90c2ef54d5b3021c68bfe";
        assert_eq!(hex(&hash("password", b"somesalt", 256, 2).unwrap()), wanted);
    }
}

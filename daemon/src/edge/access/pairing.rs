//! The code that lets one device in: eight characters from an alphabet without look-alikes, good for ten minutes, once, and
//! void after three wrong tries. There is at most one; it is kept in memory alone.

use super::{AccessError, locked};
use std::sync::Mutex;
use subtle::ConstantTimeEq as _;

/// Without 0 and O, 1, I and L: 31 characters, so that there are 31⁸ codes, some 8.5 · 10¹¹.
const ALPHABET: &[u8; 31] = b"ABCDEFGHJKMNPQRSTUVWXYZ23456789";
const LENGTH: usize = 8;
/// For how long a code is good.
pub const SECONDS: u64 = 600;
const WRONG_MOST: u32 = 3;

struct Open {
    code: String,
    name: String,
    by: String,
    until_ms: u64,
    wrong: u32,
}

/// The code that is open, if one is.
#[derive(Default)]
pub struct Pairing {
    open: Mutex<Option<Open>>,
}

impl std::fmt::Debug for Pairing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Pairing")
    }
}

/// What the device is to be called, and who lets it in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Let {
    /// What the shop calls it.
    pub name: String,
    /// Who lets it in.
    pub by: String,
}

impl Pairing {
    /// Opens a code; the one before is void. `now_ms` is the time since the machine was started.
    pub fn open(&self, name: String, by: String, now_ms: u64) -> Result<String, AccessError> {
        let code = code()?;
        *locked(&self.open) = Some(Open {
            code: code.clone(),
            name,
            by,
            until_ms: now_ms.saturating_add(SECONDS * 1_000),
            wrong: 0,
        });
        let (one, other) = code.split_at(LENGTH / 2);
        Ok(format!("{one}-{other}"))
    }

    /// Tries a code. A right one is used up; nothing tells a wrong one from one that is void or was never there.
    pub fn take(&self, typed: &str, now_ms: u64) -> Option<Let> {
        let typed: String = typed
            .chars()
            .filter(char::is_ascii_alphanumeric)
            .map(|c| c.to_ascii_uppercase())
            .collect();
        let mut open = locked(&self.open);
        open.take_if(|open| now_ms >= open.until_ms);
        let known = open.as_mut()?;
        if known.code.as_bytes().ct_eq(typed.as_bytes()).into() {
            let known = open.take()?;
            return Some(Let {
                name: known.name,
                by: known.by,
            });
        }
        known.wrong += 1;
        open.take_if(|open| open.wrong >= WRONG_MOST);
        None
    }
}

/// A fresh code. A byte beyond the last whole multiple of the alphabet is thrown away, so that no character is likelier.
fn code() -> Result<String, AccessError> {
    let most = (256 / ALPHABET.len()) * ALPHABET.len();
    let mut code = String::with_capacity(LENGTH);
    while code.len() < LENGTH {
        let [byte] = super::super::keys::random::<1>()
            .map_err(|error| AccessError::Secret(error.to_string()))?;
        if usize::from(byte) < most {
            code.push(char::from(ALPHABET[usize::from(byte) % ALPHABET.len()]));
        }
    }
    Ok(code)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{ALPHABET, Let, Pairing, SECONDS};

    fn asked(pairing: &Pairing) -> String {
        pairing.open("tablet".into(), "Mara".into(), 0).unwrap()
    }

    #[test]
    fn a_code_lets_one_device_in_once() {
        let pairing = Pairing::default();
        let code = asked(&pairing);
        let wanted = Let {
            name: "tablet".into(),
            by: "Mara".into(),
        };
        let typed = format!(" {} ", code.to_lowercase().replace('-', " "));
        assert_eq!(pairing.take(&typed, 1), Some(wanted));
        assert_eq!(pairing.take(&code, 1), None, "it is used up");
    }

    #[test]
    fn a_code_is_void_after_ten_minutes_three_wrong_tries_or_the_next_code() {
        let pairing = Pairing::default();
        let code = asked(&pairing);
        assert_eq!(pairing.take(&code, SECONDS * 1_000), None, "too late");
        assert_eq!(pairing.take(&code, 0), None, "and gone for good");

        let code = asked(&pairing);
        for _ in 0..2 {
            assert_eq!(pairing.take("AAAA-AAAA", 0), None);
        }
        assert!(pairing.take(&code, 0).is_some(), "two are forgiven");
        let code = asked(&pairing);
        for wrong in ["", "AAAA-AAAA", &code[1..]] {
            assert_eq!(pairing.take(wrong, 0), None);
        }
        assert_eq!(pairing.take(&code, 0), None, "three are not");

        let code = asked(&pairing);
        asked(&pairing);
        assert_eq!(pairing.take(&code, 0), None, "another one is open");
    }

    #[test]
    fn codes_are_drawn_evenly_from_an_alphabet_without_look_alikes() {
        let pairing = Pairing::default();
        let mut counts = [0_u32; 31];
        for _ in 0..4_000 {
            for character in asked(&pairing).bytes().filter(|byte| *byte != b'-') {
                let at = ALPHABET.iter().position(|known| *known == character);
                counts[at.unwrap()] += 1;
            }
        }
        // 32 000 draws: 1 032 each, with a standard deviation of 32; six of them either way.
        assert!(
            counts.iter().all(|count| (840..1_225).contains(count)),
            "{counts:?}"
        );
    }
}

//! A secret key as it stands on paper: groups of four digits, the last of which tells a slip of the hand.

use crate::canonical::Digest32;
use ed25519_dalek::SigningKey;

/// Digits in a group.
const GROUP: usize = 4;

/// Why what was typed is no key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PaperError {
    /// Too few or too many digits, or something else than digits.
    #[error("the recovery key has 17 groups of 4 digits (0 to 9, a to f); this is something else")]
    Form,
    /// The last group does not fit the others.
    #[error("a digit of the recovery key was typed wrong: its last group does not fit the others")]
    Check,
}

fn check_group(seed: &[u8]) -> String {
    Digest32::of(seed).to_string().chars().take(GROUP).collect()
}

/// The text that is printed: 64 digits and a group that follows from them.
pub fn secret_text(key: &SigningKey) -> String {
    let seed = key.to_bytes();
    let digits = hex::encode(seed) + &check_group(&seed);
    let signs: Vec<char> = digits.chars().collect();
    let groups: Vec<String> = signs
        .chunks(GROUP)
        .map(|group| group.iter().collect())
        .collect();
    groups.join(" ")
}

/// Reads it back; blanks, dashes and line ends do not matter.
pub fn read_secret(text: &str) -> Result<SigningKey, PaperError> {
    let digits: String = text
        .chars()
        .filter(|sign| !sign.is_whitespace() && *sign != '-')
        .flat_map(char::to_lowercase)
        .collect();
    if !digits.is_ascii() || digits.len() != 64 + GROUP {
        return Err(PaperError::Form);
    }
    let (secret, check) = digits.split_at(64);
    let mut seed = [0; 32];
    hex::decode_to_slice(secret, &mut seed).map_err(|_| PaperError::Form)?;
    if check_group(&seed) != check {
        return Err(PaperError::Check);
    }
    Ok(SigningKey::from_bytes(&seed))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_secret_goes_on_paper_and_back() {
        let key = SigningKey::from_bytes(&[0x5a; 32]);
        let text = secret_text(&key);
        assert_eq!(text.split(' ').count(), 17);
        let typed = text.to_uppercase().replace(' ', " - \n");
        assert_eq!(read_secret(&typed).unwrap().to_bytes(), key.to_bytes());
    }

    #[test]
    fn one_wrong_digit_is_found() {
        let text = secret_text(&SigningKey::from_bytes(&[0x5a; 32]));
        for at in (0..text.len()).filter(|at| text.as_bytes()[*at] != b' ') {
            let mut typed = text.clone().into_bytes();
            typed[at] = if typed[at] == b'7' { b'8' } else { b'7' };
            let typed = String::from_utf8(typed).unwrap();
            assert_eq!(read_secret(&typed).err(), Some(PaperError::Check), "{at}");
        }
        assert_eq!(read_secret("abcd").err(), Some(PaperError::Form));
        assert_eq!(read_secret(&"é".repeat(34)).err(), Some(PaperError::Form));
    }
}

//! The receipt that a customer keeps: an entry's index, the hashes up to the root, and the signed head of
//! the log (`c2sp.org/tlog-proof`, version 1; file ending `.tlog-proof`). It is checked offline with the
//! log's key.
//!
//! The `extra` line of the format is not signed by anyone; it is not written, and refused when read.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::canonical::Digest32;
use crate::checkpoint::{Checkpoint, CheckpointError, VerifierKey, read_hash, read_whole};
use crate::tree::{self, TreeError};

const FIRST_LINE: &str = "c2sp.org/tlog-proof@v1";
/// A tree of 2^64 leaves has no longer proof.
const MAX_HASHES: usize = 64;

/// Why a receipt does not hold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReceiptError {
    /// It is not a receipt.
    #[error("this is not a receipt of a log: {what}")]
    NotAReceipt {
        /// What is wrong with it.
        what: &'static str,
    },
    /// The signed head in it does not hold.
    #[error("the signed head in the receipt: {0}")]
    Checkpoint(#[from] CheckpointError),
    /// The hashes do not lead to the signed root.
    #[error("the receipt is not one for this entry: {0}")]
    Tree(#[from] TreeError),
}

/// A receipt, as read or made; not checked yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Receipt {
    /// Which entry, counted from 0.
    pub index: u64,
    /// The hashes from the entry's neighbour up to the root.
    pub proof: Vec<Digest32>,
    /// The signed checkpoint, as it was signed.
    pub checkpoint: String,
}

impl Receipt {
    /// The text of the file.
    pub fn text(&self) -> String {
        let hashes: String = self
            .proof
            .iter()
            .map(|hash| STANDARD.encode(hash.as_bytes()) + "\n")
            .collect();
        format!(
            "{FIRST_LINE}\nindex {}\n{hashes}\n{}",
            self.index, self.checkpoint
        )
    }

    /// Reads the text of the file; nothing is checked yet but its form.
    pub fn read(text: &str) -> Result<Self, ReceiptError> {
        let wrong = |what| ReceiptError::NotAReceipt { what };
        let rest = text
            .strip_prefix(FIRST_LINE)
            .and_then(|rest| rest.strip_prefix('\n'))
            .ok_or(wrong("its first line is another one"))?;
        let (head, checkpoint) = rest
            .split_once("\n\n")
            .ok_or(wrong("it holds no signed head"))?;
        let mut lines = head.split('\n');
        let index = lines
            .next()
            .and_then(|line| line.strip_prefix("index "))
            .and_then(read_whole)
            .ok_or(wrong("its second line is not \"index\" and a whole number"))?;
        let mut proof = Vec::new();
        for line in lines {
            if proof.len() >= MAX_HASHES {
                return Err(wrong("it has too many hashes"));
            }
            proof.push(read_hash(line).ok_or(wrong("a hash is not the base64 text of 32 bytes"))?);
        }
        Ok(Self {
            index,
            proof,
            checkpoint: checkpoint.to_owned(),
        })
    }

    /// Checks that the entry with this leaf hash is in the log of this key, and gives the log's head back.
    pub fn verify(&self, leaf: &Digest32, vkey: &VerifierKey) -> Result<Checkpoint, ReceiptError> {
        let head = Checkpoint::open(&self.checkpoint, vkey)?;
        tree::verify_inclusion(leaf, self.index, head.size, &self.proof, &head.root)?;
        Ok(head)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;
    use crate::multikey::DidKey;
    use ed25519_dalek::SigningKey;
    use proptest::prelude::*;

    const LOG: &str = "bench.example/stand-2";

    fn receipt(size: u64, index: u64) -> (Receipt, Digest32, VerifierKey) {
        let key = SigningKey::from_bytes(&[7; 32]);
        let leaves: Vec<_> = (0..size)
            .map(|i| tree::leaf_hash(&i.to_be_bytes()))
            .collect();
        let head = Checkpoint {
            origin: LOG.to_owned(),
            size,
            root: tree::root_of(&leaves),
        };
        let receipt = Receipt {
            index,
            proof: tree::inclusion_proof(&leaves, index).unwrap(),
            checkpoint: head.sign(&key, LOG).unwrap(),
        };
        let leaf = tree::leaf_hash(&index.to_be_bytes());
        (
            receipt,
            leaf,
            VerifierKey::new(LOG, DidKey::of(&key)).unwrap(),
        )
    }

    #[test]
    fn other_forms_are_refused() {
        let (receipt, ..) = receipt(9, 4);
        let text = receipt.text();
        for (from, to) in [
            ("@v1", "@v2"),
            ("index 4", "index 04"),
            ("index 4", "index +4"),
            ("index 4", "extra AAAA\nindex 4"),
            ("index 4", "index 4\nAAAA"),
            ("index 4\n", "index 4\n\n\n"),
        ] {
            let changed = text.replacen(from, to, 1);
            assert_ne!(changed, text);
            let read = Receipt::read(&changed);
            let (_, leaf, vkey) = super::tests::receipt(9, 4);
            assert!(
                read.and_then(|read| read.verify(&leaf, &vkey)).is_err(),
                "{to}"
            );
        }
        let long = text.replacen(
            "index 4\n",
            &format!("index 4\n{}", (STANDARD.encode([0; 32]) + "\n").repeat(64)),
            1,
        );
        assert!(matches!(
            Receipt::read(&long),
            Err(ReceiptError::NotAReceipt { .. })
        ));
    }

    proptest! {
        // Signatures are slow without optimization.
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn a_receipt_holds_for_its_own_entry(size in 1_u64..80, a: u64, b: u64) {
            let (index, other) = (a % size, b % size);
            let (receipt, leaf, vkey) = receipt(size, index);
            let read = Receipt::read(&receipt.text()).unwrap();
            prop_assert_eq!(&read, &receipt);
            prop_assert_eq!(read.verify(&leaf, &vkey).unwrap().size, size);
            if other != index {
                let moved = Receipt { index: other, ..receipt };
                prop_assert!(moved.verify(&leaf, &vkey).is_err());
                prop_assert!(read.verify(&tree::leaf_hash(&other.to_be_bytes()), &vkey).is_err());
            }
        }

        #[test]
        fn no_text_makes_it_panic(tail in "(index |[0-9]|\n|[A-Za-z0-9+/=]{4,8}|\u{2014} |.){0,40}") {
            let _ = Receipt::read(&tail);
            let _ = Receipt::read(&format!("{FIRST_LINE}\nindex {tail}"));
        }
    }
}

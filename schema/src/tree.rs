//! The append-only tree over the ledger's entries (RFC 6962 section 2.1, kept by RFC 9162 section 2.1):
//! its root, the proof that an entry is in it, and the proof that a later tree only grew.
//!
//! It works on leaf hashes that the caller keeps; it stores nothing. Proofs are made from all leaf
//! hashes: a bench has some thousand of them, so there is no cache of inner nodes.

mod several;

pub use several::{root_of_several, several_proof};

use crate::canonical::Digest32;

/// The largest tree that is handled: sizes go into JSON as whole numbers.
pub const MAX_SIZE: u64 = crate::canonical::MAX_WHOLE;

/// Why a proof does not hold, or cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TreeError {
    /// No such leaf.
    #[error("entry {index} is not in a log of {size} entries (the first is 0)")]
    NoSuchLeaf {
        /// The leaf asked for.
        index: u64,
        /// The size of the tree.
        size: u64,
    },
    /// Nothing can be proved from an empty log: every log grew from it.
    #[error("an empty log proves nothing about a later one")]
    FromEmpty,
    /// The older tree is larger than the newer one.
    #[error("the log cannot have shrunk from {from} to {to} entries")]
    Shrunk {
        /// The size before.
        from: u64,
        /// The size after.
        to: u64,
    },
    /// The proof has fewer hashes than the sizes demand.
    #[error("the proof has too few hashes for a log of {size} entries")]
    TooShort {
        /// The size of the tree.
        size: u64,
    },
    /// The proof has more hashes than the sizes allow.
    #[error("the proof has too many hashes for a log of {size} entries")]
    TooLong {
        /// The size of the tree.
        size: u64,
    },
    /// The hashes do not lead to the root: the entry is another one, or the log is.
    #[error("the hashes do not lead to the root of the log: the entry or the log was changed")]
    WrongRoot,
    /// The hashes do not lead to the older root.
    #[error("the hashes do not lead to the older root: the log was rewritten")]
    WrongOldRoot,
    /// The stored tops do not fit the size.
    #[error("a log of {size} entries has {expected} tops, not {found}")]
    Tops {
        /// The size of the tree.
        size: u64,
        /// How many it must have.
        expected: usize,
        /// How many there are.
        found: usize,
    },
    /// The size is beyond [`MAX_SIZE`].
    #[error("a log of {size} entries is larger than can be handled")]
    TooLarge {
        /// The size.
        size: u64,
    },
}

/// The hash of one entry: SHA-256 of a zero byte and the entry.
pub fn leaf_hash(entry: &[u8]) -> Digest32 {
    let mut bytes = Vec::with_capacity(entry.len() + 1);
    bytes.push(0);
    bytes.extend_from_slice(entry);
    Digest32::of(&bytes)
}

/// The hash of an inner node: SHA-256 of a one byte and both hashes below.
pub fn node_hash(left: &Digest32, right: &Digest32) -> Digest32 {
    let mut bytes = Vec::with_capacity(65);
    bytes.push(1);
    bytes.extend_from_slice(left.as_bytes());
    bytes.extend_from_slice(right.as_bytes());
    Digest32::of(&bytes)
}

/// A hash as it stands in files: base64.
pub fn hash_text(hash: &Digest32) -> String {
    use base64::Engine as _;
    base64::engine::general_purpose::STANDARD.encode(hash.as_bytes())
}

/// The root of the empty tree: SHA-256 of nothing.
pub fn empty_root() -> Digest32 {
    Digest32::of(&[])
}

/// What must be kept to append to a log without its leaves: the tops of the full subtrees, largest
/// first, one for each bit that is set in the size.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Frontier {
    size: u64,
    tops: Vec<Digest32>,
}

impl Frontier {
    /// The empty log.
    pub fn new() -> Self {
        Self::default()
    }

    /// A log of these leaf hashes.
    pub fn from_leaves(leaves: &[Digest32]) -> Self {
        let mut frontier = Self::new();
        for leaf in leaves {
            frontier.append(*leaf);
        }
        frontier
    }

    /// A log that was put away as its size and its tops.
    pub fn from_parts(size: u64, tops: Vec<Digest32>) -> Result<Self, TreeError> {
        if size > MAX_SIZE {
            return Err(TreeError::TooLarge { size });
        }
        let expected = usize::try_from(size.count_ones()).unwrap_or(usize::MAX);
        if tops.len() != expected {
            return Err(TreeError::Tops {
                size,
                expected,
                found: tops.len(),
            });
        }
        Ok(Self { size, tops })
    }

    /// Adds a leaf hash at the end.
    pub fn append(&mut self, leaf: Digest32) {
        // Every set bit at the low end is a full subtree that the new one completes.
        let full = self.size.trailing_ones();
        let top = (0..full).fold(leaf, |right, _| match self.tops.pop() {
            Some(left) => node_hash(&left, &right),
            None => right,
        });
        self.tops.push(top);
        self.size += 1;
    }

    /// How many entries there are.
    pub const fn size(&self) -> u64 {
        self.size
    }

    /// The tops of the full subtrees, largest first.
    pub fn tops(&self) -> &[Digest32] {
        &self.tops
    }

    /// The root as it stands.
    pub fn root(&self) -> Digest32 {
        let mut tops = self.tops.iter().rev().copied();
        match tops.next() {
            None => empty_root(),
            Some(last) => tops.fold(last, |right, left| node_hash(&left, &right)),
        }
    }
}

/// The root over these leaf hashes.
pub fn root_of(leaves: &[Digest32]) -> Digest32 {
    Frontier::from_leaves(leaves).root()
}

/// Cuts leaves at the largest power of two below their number. Call it with two or more only.
fn halves(leaves: &[Digest32]) -> (&[Digest32], &[Digest32]) {
    let left = leaves.len().div_ceil(2).next_power_of_two();
    leaves.split_at(left.min(leaves.len()))
}

/// The hashes that lead from leaf `index` to the root, from the bottom up (RFC 6962 section 2.1.1).
pub fn inclusion_proof(leaves: &[Digest32], index: u64) -> Result<Vec<Digest32>, TreeError> {
    let size = size_of(leaves);
    match usize::try_from(index) {
        Ok(at) if at < leaves.len() => Ok(path(at, leaves)),
        _ => Err(TreeError::NoSuchLeaf { index, size }),
    }
}

fn path(at: usize, leaves: &[Digest32]) -> Vec<Digest32> {
    if leaves.len() < 2 {
        return Vec::new();
    }
    let (left, right) = halves(leaves);
    let (mut below, other) = if at < left.len() {
        (path(at, left), right)
    } else {
        (path(at - left.len(), right), left)
    };
    below.push(root_of(other));
    below
}

/// The hashes that show that the tree of all leaves grew from its first `from` leaves (RFC 6962
/// section 2.1.2). From a size to itself the proof is empty.
pub fn consistency_proof(leaves: &[Digest32], from: u64) -> Result<Vec<Digest32>, TreeError> {
    if from == 0 {
        return Err(TreeError::FromEmpty);
    }
    match usize::try_from(from) {
        Ok(old) if old <= leaves.len() => Ok(subproof(old, leaves, true)),
        _ => Err(TreeError::Shrunk {
            from,
            to: size_of(leaves),
        }),
    }
}

/// `whole`: the old tree is this subtree, so the checker has its root already.
fn subproof(old: usize, leaves: &[Digest32], whole: bool) -> Vec<Digest32> {
    if old == leaves.len() {
        return if whole {
            Vec::new()
        } else {
            vec![root_of(leaves)]
        };
    }
    let (left, right) = halves(leaves);
    let (mut below, other) = if old <= left.len() {
        (subproof(old, left, whole), right)
    } else {
        (subproof(old - left.len(), right, false), left)
    };
    below.push(root_of(other));
    below
}

fn size_of(leaves: &[Digest32]) -> u64 {
    u64::try_from(leaves.len()).unwrap_or(u64::MAX)
}

/// Checks that `leaf` is entry `index` of the log of `size` entries with this root (RFC 9162 section
/// 2.1.3.2). That every hash has 32 bytes is seen to by the type.
pub fn verify_inclusion(
    leaf: &Digest32,
    index: u64,
    size: u64,
    proof: &[Digest32],
    root: &Digest32,
) -> Result<(), TreeError> {
    if index >= size {
        return Err(TreeError::NoSuchLeaf { index, size });
    }
    let mut place = Place {
        at: index,
        last: size - 1,
    };
    let mut reached = *leaf;
    for hash in proof {
        if place.last == 0 {
            return Err(TreeError::TooLong { size });
        }
        reached = if place.is_right() {
            node_hash(hash, &reached)
        } else {
            node_hash(&reached, hash)
        };
        place.up();
    }
    match place.last {
        0 if reached == *root => Ok(()),
        0 => Err(TreeError::WrongRoot),
        _ => Err(TreeError::TooShort { size }),
    }
}

/// Checks that the log of `to` entries grew from the one of `from` entries (RFC 9162 section 2.1.4.2).
/// A check from the empty log is refused: it would hold for any log.
pub fn verify_consistency(
    from: u64,
    to: u64,
    old_root: &Digest32,
    new_root: &Digest32,
    proof: &[Digest32],
) -> Result<(), TreeError> {
    match (from, from.cmp(&to)) {
        (0, _) => Err(TreeError::FromEmpty),
        (_, std::cmp::Ordering::Greater) => Err(TreeError::Shrunk { from, to }),
        (_, std::cmp::Ordering::Equal) if !proof.is_empty() => Err(TreeError::TooLong { size: to }),
        (_, std::cmp::Ordering::Equal) if old_root != new_root => Err(TreeError::WrongOldRoot),
        (_, std::cmp::Ordering::Equal) => Ok(()),
        (_, std::cmp::Ordering::Less) => grew(from, to, old_root, new_root, proof),
    }
}

/// The case `0 < from < to`.
fn grew(
    from: u64,
    to: u64,
    old_root: &Digest32,
    new_root: &Digest32,
    proof: &[Digest32],
) -> Result<(), TreeError> {
    let mut place = Place {
        at: from - 1,
        last: to - 1,
    };
    while place.at & 1 == 1 {
        place.shift();
    }
    // A power of two is a full subtree of the new tree: its root is not sent again.
    let (start, rest) = match proof.split_first() {
        None => return Err(TreeError::TooShort { size: to }),
        Some(_) if from.is_power_of_two() => (old_root, proof),
        Some((first, rest)) => (first, rest),
    };
    let (mut old, mut new) = (*start, *start);
    for hash in rest {
        if place.last == 0 {
            return Err(TreeError::TooLong { size: to });
        }
        if place.is_right() {
            old = node_hash(hash, &old);
            new = node_hash(hash, &new);
        } else {
            new = node_hash(&new, hash);
        }
        place.up();
    }
    match place.last {
        0 if old != *old_root => Err(TreeError::WrongOldRoot),
        0 if new != *new_root => Err(TreeError::WrongRoot),
        0 => Ok(()),
        _ => Err(TreeError::TooShort { size: to }),
    }
}

/// Where a walk from the bottom to the root is: the node and the last node of its level (`fn` and `sn`
/// in RFC 9162).
struct Place {
    at: u64,
    last: u64,
}

impl Place {
    /// Is the next hash of a proof the left one?
    const fn is_right(&self) -> bool {
        self.at & 1 == 1 || self.at == self.last
    }

    /// To the level of the next hash. A last node without a partner rises until it is a right child.
    fn up(&mut self) {
        if self.is_right() {
            while self.at & 1 == 0 && self.at != 0 {
                self.shift();
            }
        }
        self.shift();
    }

    const fn shift(&mut self) {
        self.at >>= 1;
        self.last >>= 1;
    }
}

#[cfg(test)]
mod tests;

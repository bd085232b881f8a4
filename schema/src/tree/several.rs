//! The proof that several entries are in a log at once: the tree with everything else cut off.
//!
//! Seen from the top, a subtree without any of the entries is one hash; one of a single leaf that is asked for is that
//! leaf's hash; any other is cut at the largest power of two below its size, as RFC 6962 cuts it. The hashes are listed
//! in the order in which they are met from left to right, and nothing else has to be said.

use super::{TreeError, node_hash, root_of, size_of};
use crate::canonical::Digest32;

/// The hashes that lead from these leaves to the root. `wanted` has to rise.
pub fn several_proof(leaves: &[Digest32], wanted: &[u64]) -> Result<Vec<Digest32>, TreeError> {
    let size = size_of(leaves);
    check_rising(wanted.iter().copied(), size)?;
    let mut hashes = Vec::new();
    collect(leaves, 0, wanted, &mut hashes);
    Ok(hashes)
}

fn check_rising(mut wanted: impl Iterator<Item = u64>, size: u64) -> Result<(), TreeError> {
    let mut least = 0;
    wanted.try_for_each(|index| {
        if index < least || index >= size {
            return Err(TreeError::NoSuchLeaf { index, size });
        }
        least = index + 1;
        Ok(())
    })
}

fn collect(leaves: &[Digest32], from: u64, wanted: &[u64], hashes: &mut Vec<Digest32>) {
    if wanted.is_empty() {
        hashes.push(root_of(leaves));
        return;
    }
    if leaves.len() < 2 {
        return;
    }
    let (left, right) = super::halves(leaves);
    let middle = from + size_of(left);
    let (below, above) = wanted.split_at(wanted.partition_point(|index| *index < middle));
    collect(left, from, below, hashes);
    collect(right, middle, above, hashes);
}

/// The root of the log of `size` entries that holds these leaves at these places, which have to rise.
pub fn root_of_several(
    size: u64,
    given: &[(u64, Digest32)],
    hashes: &[Digest32],
) -> Result<Digest32, TreeError> {
    if size > super::MAX_SIZE {
        return Err(TreeError::TooLarge { size });
    }
    if given.is_empty() {
        return Err(TreeError::NoSuchLeaf { index: 0, size });
    }
    check_rising(given.iter().map(|(index, _)| *index), size)?;
    let mut hashes = hashes.iter();
    let root = rebuild(0, size, given, &mut hashes).ok_or(TreeError::TooShort { size })?;
    if hashes.next().is_some() {
        return Err(TreeError::TooLong { size });
    }
    Ok(root)
}

fn rebuild<'a>(
    from: u64,
    size: u64,
    given: &[(u64, Digest32)],
    hashes: &mut impl Iterator<Item = &'a Digest32>,
) -> Option<Digest32> {
    match given {
        [] => return hashes.next().copied(),
        [(_, leaf)] if size == 1 => return Some(*leaf),
        _ => {}
    }
    let left = size.div_ceil(2).next_power_of_two();
    let middle = from + left;
    let (below, above) = given.split_at(given.partition_point(|(index, _)| *index < middle));
    let below = rebuild(from, left, below, hashes)?;
    let above = rebuild(middle, size - left, above, hashes)?;
    Some(node_hash(&below, &above))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::leaf_hash;
    use super::*;
    use proptest::prelude::*;

    fn leaves(size: u64) -> Vec<Digest32> {
        (0..size).map(|i| leaf_hash(&i.to_be_bytes())).collect()
    }

    #[test]
    fn one_leaf_needs_as_many_hashes_as_its_own_proof() {
        let leaves = leaves(21);
        for index in 0..21 {
            let mut one = super::super::inclusion_proof(&leaves, index).unwrap();
            let mut several = several_proof(&leaves, &[index]).unwrap();
            one.sort_unstable();
            several.sort_unstable();
            assert_eq!(one, several);
        }
        assert!(several_proof(&leaves, &[3, 3]).is_err());
        assert!(several_proof(&leaves, &[4, 3]).is_err());
        assert!(several_proof(&leaves, &[21]).is_err());
        assert!(root_of_several(21, &[], &[]).is_err());
        assert!(root_of_several(u64::MAX, &[(0, leaves[0])], &[]).is_err());
    }

    proptest! {
        #[test]
        fn several_leaves_lead_to_the_root_and_others_do_not(
            size in 1_u64..90, picks in prop::collection::btree_set(0_u64..90, 1..20), other: u64
        ) {
            let leaves = leaves(size);
            let wanted: Vec<u64> = picks.into_iter().map(|pick| pick % size).collect::<std::collections::BTreeSet<_>>()
                .into_iter().collect();
            let hashes = several_proof(&leaves, &wanted).unwrap();
            let given: Vec<_> = wanted.iter().map(|&at| (at, leaves[usize::try_from(at).unwrap()])).collect();
            let root = root_of(&leaves);
            prop_assert_eq!(root_of_several(size, &given, &hashes).unwrap(), root);

            let mut changed = given.clone();
            let at = usize::try_from(other).unwrap_or(0) % changed.len();
            changed[at].1 = leaf_hash(b"another");
            prop_assert_ne!(root_of_several(size, &changed, &hashes).unwrap(), root);
            let mut longer = hashes.clone();
            longer.push(root);
            prop_assert!(root_of_several(size, &given, &longer).is_err());
            if !hashes.is_empty() {
                prop_assert!(root_of_several(size, &given, &hashes[1..]).is_err());
            }
        }
    }
}

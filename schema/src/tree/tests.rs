//! Proofs made here hold, hold for nothing else, and are those of an independent implementation.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use super::*;
use ct_merkle::mem_backed_tree::MemoryBackedTree;
use proptest::prelude::*;

fn entries(n: u64) -> Vec<Vec<u8>> {
    (0..n).map(|i| format!("entry {i}").into_bytes()).collect()
}

fn leaves(n: u64) -> Vec<Digest32> {
    entries(n).iter().map(|entry| leaf_hash(entry)).collect()
}

fn bytes(proof: &[Digest32]) -> Vec<u8> {
    proof.iter().flat_map(|hash| *hash.as_bytes()).collect()
}

#[test]
fn the_frontier_knows_every_root_on_the_way() {
    let all = leaves(70);
    let mut frontier = Frontier::new();
    assert_eq!(frontier.root(), empty_root());
    for (i, leaf) in all.iter().enumerate() {
        frontier.append(*leaf);
        let so_far = &all[..=i];
        assert_eq!(frontier.root(), recursive_root(so_far));
        assert_eq!(frontier.size(), size_of(so_far));
        let again = Frontier::from_parts(frontier.size(), frontier.tops().to_vec()).unwrap();
        assert_eq!(again, frontier);
    }
    let few = frontier.tops()[1..].to_vec();
    assert_eq!(
        Frontier::from_parts(70, few),
        Err(TreeError::Tops {
            size: 70,
            expected: 3,
            found: 2
        })
    );
    assert!(Frontier::from_parts(u64::MAX, vec![empty_root(); 64]).is_err());
}

/// The definition, word for word (RFC 6962 section 2.1): split at the largest power of two below n.
fn recursive_root(leaves: &[Digest32]) -> Digest32 {
    match leaves {
        [] => empty_root(),
        [one] => *one,
        more => {
            let mut k = 1;
            while k * 2 < more.len() {
                k *= 2;
            }
            node_hash(&recursive_root(&more[..k]), &recursive_root(&more[k..]))
        }
    }
}

#[test]
fn every_inclusion_up_to_18_holds_for_its_own_place_only() {
    for size in 1..=18 {
        let all = leaves(size);
        let root = root_of(&all);
        for (index, leaf) in (0..).zip(&all) {
            let proof = inclusion_proof(&all, index).unwrap();
            assert_eq!(verify_inclusion(leaf, index, size, &proof, &root), Ok(()));
            for (other, other_leaf) in (0..).zip(&all).filter(|(other, _)| *other != index) {
                assert!(verify_inclusion(leaf, other, size, &proof, &root).is_err());
                assert!(verify_inclusion(other_leaf, index, size, &proof, &root).is_err());
            }
            assert!(verify_inclusion(leaf, size, size, &proof, &root).is_err());
        }
        assert_eq!(
            inclusion_proof(&all, size),
            Err(TreeError::NoSuchLeaf { index: size, size })
        );
    }
}

#[test]
fn every_growth_up_to_18_holds_for_its_own_sizes_only() {
    for to in 1..=18 {
        let all = leaves(to);
        let new_root = root_of(&all);
        for from in 1..=to {
            let old_root = root_of(&all[..usize::try_from(from).unwrap()]);
            let proof = consistency_proof(&all, from).unwrap();
            assert_eq!(
                verify_consistency(from, to, &old_root, &new_root, &proof),
                Ok(())
            );
            for other in (0..=to + 1).filter(|other| *other != from) {
                assert!(verify_consistency(other, to, &old_root, &new_root, &proof).is_err());
            }
            let rewritten = leaf_hash(b"another history");
            assert!(verify_consistency(from, to, &rewritten, &new_root, &proof).is_err());
            assert!(verify_consistency(from, to, &old_root, &rewritten, &proof).is_err());
        }
        assert_eq!(consistency_proof(&all, 0), Err(TreeError::FromEmpty));
        assert!(consistency_proof(&all, to + 1).is_err());
    }
}

#[test]
fn sizes_at_the_edge_do_not_overflow() {
    let root = empty_root();
    for size in [0, 1, u64::MAX - 1, u64::MAX] {
        for index in [0, 1, u64::MAX - 1, u64::MAX] {
            for n in [0, 1, 63, 64, 65, 130] {
                let proof = vec![root; n];
                assert!(verify_inclusion(&root, index, size, &proof, &leaf_hash(b"x")).is_err());
                let _ = verify_consistency(index, size, &root, &root, &proof);
            }
        }
    }
}

proptest! {
    #[test]
    fn an_independent_implementation_agrees(size in 1_u64..300, a in any::<u64>(), b in any::<u64>()) {
        let (index, from) = (a % size, 1 + b % size);
        let all = leaves(size);
        let mut other = MemoryBackedTree::<sha2::Sha256, Vec<u8>>::new();
        for entry in entries(size) {
            other.push(entry);
        }

        let (root, their_root) = (root_of(&all), other.root());
        prop_assert_eq!(root.as_bytes().as_slice(), their_root.as_bytes().as_slice());
        let proof = inclusion_proof(&all, index).unwrap();
        let theirs = other.prove_inclusion(usize::try_from(index).unwrap());
        prop_assert_eq!(bytes(&proof), theirs.as_bytes());
        prop_assert!(verify_inclusion(
            &all[usize::try_from(index).unwrap()], index, size, &proof, &root_of(&all)).is_ok());

        let proof = consistency_proof(&all, from).unwrap();
        let theirs = other.prove_consistency(usize::try_from(size - from).unwrap());
        prop_assert_eq!(bytes(&proof), theirs.as_bytes());
    }

    #[test]
    fn a_changed_proof_does_not_hold(
        size in 2_u64..300, a in any::<u64>(), at in any::<prop::sample::Index>(), bit in 0_u8..8
    ) {
        let index = a % size;
        let all = leaves(size);
        let leaf = all[usize::try_from(index).unwrap()];
        let root = root_of(&all);
        let proof = inclusion_proof(&all, index).unwrap();

        let mut flat = bytes(&proof);
        let place = at.index(flat.len());
        flat[place] ^= 1 << bit;
        let changed: Vec<Digest32> =
            flat.as_chunks::<32>().0.iter().map(|chunk| Digest32::new(*chunk)).collect();
        prop_assert_eq!(
            verify_inclusion(&leaf, index, size, &changed, &root), Err(TreeError::WrongRoot));
        let shorter = &proof[..proof.len() - 1];
        prop_assert_eq!(
            verify_inclusion(&leaf, index, size, shorter, &root), Err(TreeError::TooShort { size }));
        let longer = [proof.clone(), vec![root]].concat();
        prop_assert_eq!(
            verify_inclusion(&leaf, index, size, &longer, &root), Err(TreeError::TooLong { size }));
    }
}

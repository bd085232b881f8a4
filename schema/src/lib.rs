//! What things are in Pullmark: quantities, plans, tools, readings, verdicts, ledger entries, records.
//!
//! This crate is pure. It opens no file, reads no clock, draws no random number and knows no async runtime; time,
//! seeds and bytes are arguments. Whoever has this crate alone can read a plan, replay a ledger and check a record.
#![forbid(unsafe_code)]

pub mod adapter;
pub mod api;
pub mod build;
pub mod canonical;
pub mod certificate;
pub mod check;
pub mod checkpoint;
pub mod due;
pub mod entry;
pub mod gauge;
pub mod joint;
pub mod keys;
pub mod map;
pub mod measure;
pub mod multikey;
pub mod placement;
pub mod plan;
pub mod practice;
pub mod profile;
pub mod proof;
pub mod quantity;
pub mod reading;
pub mod recall;
pub mod receipt;
pub mod record;
pub mod schemas;
pub mod sheet;
pub mod shown;
pub mod tool;
pub mod trace;
pub mod tree;
pub mod verdict;

pub use ed25519_dalek::SigningKey;

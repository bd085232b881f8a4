//! The mathematics of measuring: what a reading is worth, and what may be said about it.
//!
//! Pure functions over `f64`. Torques are in N·m, relative figures in percent where a name says so. No ledger type comes
//! in here and nothing is rounded: whoever stores a figure turns it into whole small units first.
//!
//! | module | what for | after |
//! | --- | --- | --- |
//! | [`statistics`] | distributions, mean, standard deviation | textbook |
//! | [`budget`] | many small uncertainties, one large one | JCGM 100:2008, ISO 6789-1 and -2:2017 |
//! | [`decision`] | under, within or over, and how sure that is | JCGM 106:2012, ILAC-G8:09/2019, ISO 14253-1 |
//! | [`adapter`] | an offset adapter changes the effective length | lever arithmetic |
//! | [`interpolation`] | the error of a tool between two points of its certificate | JCGM 100:2008 |
//! | [`drift`] | what may have changed since, and whether two calibrations agree | ISO 13528 |
//! | [`chart`] | a tool that creeps away, seen before it is out | NIST/SEMATECH e-Handbook, 6.3.2 |
//! | [`capability`] | how the readings of one kind of fastener lie in their limits | ISO 22514-2 |
//!
//! Nothing here panics and nothing here is hidden: a figure that is not a number or has an impossible sign makes the
//! result boundless or not a number, as each function says, and never a narrower one.

pub mod adapter;
pub mod budget;
pub mod capability;
pub mod chart;
pub mod decision;
pub mod drift;
pub mod interpolation;
pub mod statistics;

#[cfg(test)]
mod testing;

//! Shear areas and tolerances against published tables.

use super::super::*;
use super::{close, thread, within};
use crate::plan::Engaged;

/// Shear areas in mm² at an engagement of one diameter, 6H/6g: J. H. Bickford, Introduction to the Design and Behavior of
/// Bolted Joints, 4th edition, table of stress and shear areas (read in an excerpt). The tolerances here come from the
/// formulas of ISO 965-1 and not from its rounded tables, so one and a half per cent is left.
#[test]
fn shear_areas_are_those_of_a_published_table() {
    for (size, bolt, nut) in [
        ("M5", 35.366, 49.994),
        ("M6", 51.875, 73.145),
        ("M8", 97.290, 134.63),
        ("M10", 155.80, 214.77),
        ("M12", 227.72, 313.41),
    ] {
        let thread = thread(size);
        let engagement = thread.diameter();
        within(external_shear_area(thread, engagement), bolt, 0.015, size);
        within(internal_shear_area(thread, engagement), nut, 0.015, size);
    }
}

/// ISO 965-2:1998, limits of size of M10, 6g, and of M5 and M6, 6g (read in excerpts), mm.
#[test]
fn tolerances_are_those_of_the_standard() {
    for (size, major, pitch) in [
        ("M10", 9.732, Some(8.862)),
        ("M6", 5.794, None),
        ("M5", 4.826, Some(4.361)),
        ("M4", 3.838, Some(3.433)),
        ("M3", 2.874, Some(2.580)),
    ] {
        let thread = thread(size);
        close(thread.least_major_diameter(), major, 0.006, size);
        if let Some(pitch) = pitch {
            close(thread.least_bolt_pitch_diameter(), pitch, 0.006, size);
        }
    }
}

/// What every workshop knows: in a steel nut the bolt breaks first, in aluminium the thread goes first unless it is
/// deeper. ISO 898-2 makes nuts of 0.8 d for that.
#[test]
fn in_steel_the_bolt_breaks_and_in_aluminium_the_thread_strips() {
    for size in ["M5", "M6", "M8", "M10"] {
        let thread = thread(size);
        let d = thread.diameter();
        let class = PropertyClass::Steel8_8;
        let load = |material, engagement| {
            stripping_load(thread, engagement, Some(class), material).unwrap()
        };
        let steel = load(Engaged::Steel, 1.0 * d);
        assert!(steel > class.ultimate_load(thread), "{size}: {steel}");
        let strong = Some(PropertyClass::Steel12_9);
        let aluminium = stripping_load(thread, d, strong, Engaged::Aluminium).unwrap();
        let breaks = PropertyClass::Steel12_9.ultimate_load(thread);
        assert!(aluminium < breaks, "{size}: {aluminium}");
        let deep = stripping_load(thread, 2.0 * d, strong, Engaged::Aluminium).unwrap();
        within(deep, 2.0 * aluminium, 1e-9, size);
    }
    let m6 = thread("M6");
    assert_eq!(stripping_load(m6, 6.0, None, Engaged::Insert), None);
    // a soft bolt in titanium strips its own thread
    let soft = stripping_load(m6, 6.0, Some(PropertyClass::Stainless50), Engaged::Titanium);
    assert!(soft.unwrap() < stripping_load(m6, 6.0, None, Engaged::Titanium).unwrap());
}

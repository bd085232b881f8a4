//! The canonical form of an entry of a reading. It follows the types in the schema crate; whatever is missing here is read
//! the long way, and whatever is here must be read the same by the long way: the tests draw texts from it.

use super::grammar::Form::{Hash, Keep, List, Mark, Object, One, Text, Whole, Word};
use super::grammar::{Form, Member, asked, maybe};
use pullmark_schema::canonical::MAX_WHOLE;

/// What is kept: the number of the entry, the hash of the one before, and that of the raw bytes.
pub(super) const SEQUENCE: usize = 0;
pub(super) const PREVIOUS: usize = 1;
pub(super) const RAW: usize = 2;

const MOST: i64 = MAX_WHOLE.cast_signed();
const SIZE: Form = Whole(0, MOST);
const SIGNED: Form = Whole(-MOST, MOST);
const U8: Form = Whole(0, u8::MAX as i64);
const U16: Form = Whole(0, u16::MAX as i64);
const U32: Form = Whole(0, u32::MAX as i64);
const I32: Form = Whole(i32::MIN as i64, i32::MAX as i64);

pub(super) const ENTRY: Form = Object(&[
    asked!("bench", Text),
    asked!("body", PULLED),
    maybe!("in_build", SIZE),
    asked!("kind", Word(&["pulled"])),
    asked!("previous", Keep(PREVIOUS, &Hash)),
    asked!("sequence", Keep(SEQUENCE, &SIZE)),
    asked!("since_boot_ms", SIZE),
    asked!("time", Text),
    asked!("version", U32),
]);

const PULLED: Form = Object(&[
    maybe!("alarm", ALARM),
    maybe!("build", Text),
    maybe!("expected", PLACE),
    maybe!("gap_ms", SIZE),
    asked!("placement", One(PLACEMENTS)),
    asked!("reading", READING),
    maybe!("verdict", VERDICT),
]);

const ALARM: Form = Object(&[
    asked!("place", PLACE),
    asked!("upper_millinewton_metre", SIGNED),
]);

const PLACE: Form = Object(&[asked!("fastener", Text), asked!("pass", U8)]);

const PLACEMENTS: &[Member] = &[
    asked!(
        "by-choice",
        Object(&[asked!("by", Text), asked!("place", PLACE)])
    ),
    asked!(
        "by-order",
        Object(&[
            asked!("kind", KIND),
            maybe!("others", List(&CANDIDATE, false)),
            asked!("place", PLACE),
            asked!("probability_millionths", U32),
            maybe!("why", WHY),
        ])
    ),
    asked!(
        "held",
        Object(&[
            asked!(
                "because",
                Word(&[
                    "unclear",
                    "no-build",
                    "nothing-planned",
                    "wrong-way",
                    "pass-skipped",
                    "earlier-held",
                    "other-unit",
                ])
            ),
            asked!("candidates", List(&CANDIDATE, true)),
        ])
    ),
    asked!(
        "nowhere",
        Object(&[asked!("by", Text), asked!("reason", Text)])
    ),
];

const CANDIDATE: Form = Object(&[
    asked!("kind", KIND),
    maybe!("place", PLACE),
    asked!("probability_millionths", U32),
    maybe!("why", WHY),
]);

const KIND: Form = Word(&[
    "next",
    "repeat",
    "out-of-order",
    "again",
    "test",
    "other-build",
]);

const WHY: Form = Object(&[
    asked!("order", I32),
    asked!("time", I32),
    asked!("value", I32),
]);

const READING: Form = Object(&[
    maybe!("adapter", ADAPTER),
    maybe!("applied_millinewton_metre", SIGNED),
    maybe!("counter", SIZE),
    maybe!(
        "displayed",
        Object(&[asked!("unit", Text), asked!("value", Text)])
    ),
    maybe!("flags", List(&FLAG, false)),
    asked!(
        "origin",
        One(&[
            asked!("attested", Object(&[asked!("by", Text)])),
            asked!("measured", Object(&[asked!("raw", Keep(RAW, &Hash))])),
        ])
    ),
    asked!("tool", Text),
    maybe!("trace", TRACE),
    maybe!("worth", WORTH),
]);

const FLAG: Form = Word(&["battery-low", "over-range", "sent-again", "first-peak"]);

const ADAPTER: Form = Object(&[
    asked!(
        "adapter",
        Object(&[
            asked!("angle_degrees", U16),
            maybe!("length_micrometre", SIGNED),
            asked!("title", Text),
        ])
    ),
    maybe!("lever_micrometre", SIGNED),
]);

const TRACE: Form = Object(&[
    maybe!("clicked", Mark),
    asked!("duration_ms", SIZE),
    maybe!("held_millinewton_metre", SIGNED),
    asked!("rate_hertz", SIZE),
    asked!("reached_millinewton_metre", SIGNED),
    maybe!("repeat", Mark),
    asked!("samples", SIZE),
    maybe!("samples_lost", Mark),
]);

const WORTH: Form = Object(&[
    asked!(
        "basis",
        One(&[
            asked!("certificate", Object(&[asked!("number", Text)])),
            asked!(
                "class",
                Object(&[asked!(
                    "because",
                    Word(&["no-certificate", "no-points", "outside-points"])
                )])
            ),
        ])
    ),
    asked!("coverage_thousandths", U32),
    asked!("deviation_ppm", I32),
    asked!("expanded_micronewton_metre", SIGNED),
    maybe!("freedom", U32),
    asked!("standard_micronewton_metre", SIGNED),
    asked!("standard_micronewton_metre_of", LINES),
]);

const LINES: Form = Object(&[
    maybe!("adapter", SIGNED),
    maybe!("certificate", SIGNED),
    maybe!("certificate_freedom", U32),
    maybe!("class", SIGNED),
    maybe!("drift", SIGNED),
    maybe!("interpolation", SIGNED),
    maybe!("repeatability", SIGNED),
    maybe!("repeatability_freedom", U32),
    maybe!("reproducibility", SIGNED),
    maybe!("resolution", SIGNED),
]);

const VERDICT: Form = Object(&[
    asked!("answer", Word(&["within", "under", "over", "undecided"])),
    maybe!("cautions", List(&CAUTION, false)),
    maybe!("expanded_uncertainty_millinewton_metre", SIGNED),
    asked!(
        "limits",
        Object(&[
            maybe!("lower_millinewton_metre", SIGNED),
            maybe!("target_millinewton_metre", SIGNED),
            asked!("upper_millinewton_metre", SIGNED),
        ])
    ),
    maybe!(
        "outside",
        Object(&[
            asked!("over_millionths", U32),
            asked!("under_millionths", U32),
        ])
    ),
    asked!("rule", Word(&["simple", "guarded", "guarded-upper"])),
]);

const CAUTION: Form = Word(&[
    "no-certificate",
    "certificate-past",
    "below-tool-range",
    "above-tool-range",
    "past-tool-range",
    "battery-low",
    "no-lower-limit",
    "attested",
    "outside-certificate",
    "no-points",
    "with-adapter",
    "other-adapter",
    "lever-not-known",
    "check-warns",
    "check-beyond",
    "tool-not-fit",
    "first-peak-only",
]);

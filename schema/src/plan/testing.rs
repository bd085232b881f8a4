//! Random drafts, sound and unsound, for the tests of what writes and reads them.

use super::{
    AdapterFile, CheckDraft, DueDraft, Engaged, FastenerDraft, Hand, JointFile, PartDraft, Pattern,
    PlanDraft, SettledFile, SourceFile, SpecFile, StageDraft, ThreadFile,
};
use crate::map::FrameKind;
use crate::verdict::Rule;
use proptest::prelude::*;

/// Text of a person: any letter, no space at either end.
fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-zA-Z0-9äß·\"'\\\\#=;,\\[\\]{}+@-]{1,3}( [a-z0-9\"',;#]{1,5}){0,3}",
        "[a-z]\\PC{0,6}[a-z]",
    ]
}

fn maybe<T: std::fmt::Debug + 'static>(
    of: impl Strategy<Value = T> + 'static,
) -> impl Strategy<Value = Option<T>> {
    prop::option::weighted(0.3, of)
}

fn id() -> impl Strategy<Value = String> {
    "[a-z]{1,4}[.-][a-z0-9]{1,4}"
}

fn figure() -> impl Strategy<Value = String> {
    prop_oneof![
        (1..60_u32).prop_map(|n| format!("{n} N·m")),
        (1..60_u32, 1..10_u32).prop_map(|(n, d)| format!("{n}.{d} lbf·in")),
        Just("80 mm".to_owned()),
        Just("-4 °C".to_owned()),
    ]
}

fn spec() -> impl Strategy<Value = SpecFile> {
    (figure(), maybe(figure()), maybe(figure())).prop_map(|(one, lower, upper)| SpecFile {
        target: Some(one),
        lower,
        upper,
    })
}

fn sources() -> impl Strategy<Value = Vec<SourceFile>> {
    let one = (text(), spec()).prop_map(|(place, figures)| SourceFile {
        place,
        target: figures.target,
        lower: figures.lower,
        upper: figures.upper,
    });
    prop::collection::vec(one, 0..3)
}

fn settled() -> impl Strategy<Value = SettledFile> {
    (text(), text(), maybe(figure())).prop_map(|(by, reason, target)| SettledFile {
        by,
        reason,
        target,
        lower: None,
        upper: None,
    })
}

fn rule() -> impl Strategy<Value = Rule> {
    prop::sample::select(vec![Rule::Simple, Rule::Guarded, Rule::GuardedUpper])
}

fn thread() -> impl Strategy<Value = ThreadFile> {
    let engaged = prop::sample::select(vec![Engaged::Steel, Engaged::Insert]);
    let friction = prop::sample::select(vec![vec![0.1, 0.16], vec![0.08, 0.35]]);
    (
        "M[0-9]{1,2}",
        maybe(Just("8.8".to_owned())),
        maybe(engaged),
        maybe(Just("8 mm".to_owned())),
        maybe(friction),
        any::<bool>(),
    )
        .prop_map(
            |(size, property_class, engages, engagement, friction, left)| ThreadFile {
                size,
                property_class,
                engages,
                engagement,
                friction,
                hand: if left { Hand::Left } else { Hand::Right },
            },
        )
}

fn fastener() -> impl Strategy<Value = FastenerDraft> {
    let adapter =
        (text(), maybe(Just("30 mm".to_owned())), 0..181_u16).prop_map(|(title, length, angle)| {
            AdapterFile {
                title,
                length,
                angle,
            }
        });
    let joint = prop::sample::select(vec![JointFile::Carbon, JointFile::Metal]);
    let first = (id(), text(), maybe(text()), maybe(rule()), maybe(text()));
    let more = (
        maybe(adapter),
        maybe(thread()),
        maybe(joint),
        maybe(spec()),
        sources(),
    );
    let last = (
        maybe(settled()),
        prop::collection::vec("[a-z\"]{1,9}", 0..3),
        maybe(text()),
        maybe(text()),
        any::<bool>(),
    );
    (first, more, last).prop_map(
        |((id, title, kind, rule, note), (adapter, thread, joint, spec, sources), rest)| {
            let (settled, prep, drive, at, second_look) = rest;
            FastenerDraft {
                id,
                title,
                kind,
                rule,
                note,
                adapter,
                thread,
                joint,
                spec,
                sources,
                settled,
                prep,
                drive,
                at,
                second_look,
            }
        },
    )
}

fn check() -> impl Strategy<Value = CheckDraft> {
    let first = (id(), text(), maybe(spec()), sources(), maybe(settled()));
    let last = (
        maybe(rule()),
        maybe(0..99_u16),
        maybe(text()),
        maybe(text()),
        maybe(text()),
    );
    (first, last).prop_map(
        |((id, title, spec, sources, settled), (rule, readings, formula, note, at))| CheckDraft {
            id,
            title,
            spec,
            sources,
            settled,
            rule,
            readings,
            formula,
            note,
            at,
        },
    )
}

fn stage() -> impl Strategy<Value = StageDraft> {
    let pattern = prop::sample::select(vec![Pattern::InOrder, Pattern::Alternate, Pattern::Cross]);
    let passes = prop::sample::select(vec![vec![0.6, 1.0], vec![0.57, 0.29], vec![1.0]]);
    (
        id(),
        text(),
        pattern,
        maybe(passes),
        prop::collection::vec(fastener(), 0..4),
        prop::collection::vec(check(), 0..3),
    )
        .prop_map(|(id, title, pattern, passes, fastener, check)| StageDraft {
            id,
            title,
            pattern,
            passes,
            fastener,
            check,
        })
}

fn due() -> impl Strategy<Value = DueDraft> {
    (
        id(),
        text(),
        maybe(0..4000_u16),
        maybe(0..130_u16),
        maybe(0..200_000_u32),
        prop::collection::vec(id(), 0..3),
        maybe(text()),
    )
        .prop_map(
            |(id, title, days, months, kilometres, fasteners, source)| DueDraft {
                id,
                title,
                days,
                months,
                kilometres,
                fasteners,
                source,
            },
        )
}

/// Any plan file that a person may have written, sound or not.
pub(super) fn draft() -> impl Strategy<Value = PlanDraft> {
    let frame = prop::sample::select(FrameKind::ALL.to_vec());
    let part = (
        id(),
        text(),
        maybe(text()),
        prop::collection::vec(id(), 0..3),
    )
        .prop_map(|(id, title, kind, fasteners)| PartDraft {
            id,
            title,
            kind,
            fasteners,
        });
    (
        (text(), text(), maybe(frame), maybe(text()), maybe(rule())),
        prop::collection::vec(stage(), 0..4),
        prop::collection::vec(part, 0..3),
        prop::collection::vec(due(), 0..3),
    )
        .prop_map(
            |((title, edition, frame, tolerance, rule), stage, part, due)| PlanDraft {
                title,
                edition,
                frame,
                tolerance,
                rule,
                stage,
                part,
                due,
            },
        )
}

//! From a fastener's table to a fastener.

use super::super::file::{AdapterFile, FastenerFile, JointFile, ThreadFile};
use super::super::finding::{PlanCode, Severity};
use super::super::{Fastener, Thread};
use super::{Questions, Reader};
use crate::adapter::Adapter;
use crate::joint::Friction;
use crate::quantity::{Length, Rounding, Stated};
use crate::verdict::Rule;
use std::ops::Range;
use toml::Spanned;

/// The longest kind, in letters.
const LONGEST_KIND: usize = 64;
/// The longest note: what can be shown beside a fastener.
const LONGEST_NOTE: usize = 240;
/// The longest title of an adapter.
const LONGEST_TITLE: usize = 64;
/// The longest engagement that is read: 200 mm.
const LONGEST_ENGAGEMENT: Length = Length::from_small_units(200_000);

/// Where in the text a fastener says what.
pub(super) struct Places {
    /// Its torque: the spec, else the first source, else its id.
    pub(super) torque: Range<usize>,
    /// Its thread, else where its torque stands.
    pub(super) thread: Range<usize>,
}

impl Places {
    fn of(file: &FastenerFile) -> Self {
        let torque = match (&file.spec, file.sources.first()) {
            (Some(spec), _) => spec.span(),
            (None, Some(source)) => source.span(),
            (None, None) => file.id.span(),
        };
        Self {
            thread: file
                .thread
                .as_ref()
                .map_or_else(|| torque.clone(), Spanned::span),
            torque,
        }
    }
}

impl Reader<'_> {
    pub(super) fn fastener(&mut self, fastener: Spanned<FastenerFile>) -> Fastener {
        let span = fastener.span();
        let file = fastener.into_inner();
        self.id(&file.id);
        let spec = self.spec(&file);
        self.prep(&file, &span);
        let places = Places::of(&file);
        let joint = file.joint.map(Spanned::into_inner);
        let fastener = Fastener {
            title: file.title,
            spec,
            rule: file.rule.or(self.rule).unwrap_or(match joint {
                Some(JointFile::Carbon) => Rule::GuardedUpper,
                _ => Rule::Simple,
            }),
            kind: file.kind.and_then(|kind| self.kind(kind)),
            note: file.note.and_then(|note| self.note(note)),
            adapter: file.adapter.and_then(|adapter| self.adapter(adapter)),
            hand: file
                .thread
                .as_ref()
                .map(|thread| thread.get_ref().hand)
                .unwrap_or_default(),
            thread: file.thread.map(|thread| self.thread(thread)),
            joint,
            prep: file.prep,
            drive: file.drive,
            at: file.at.map(|at| self.at(at)),
            second_look: file.second_look,
            id: file.id.into_inner(),
        };
        self.plausible(&fastener, &places);
        self.reach(&fastener, &places);
        fastener
    }

    /// A place that the map does not have takes nothing from the plan: the fastener is listed beside the map.
    pub(super) fn at(&mut self, at: Spanned<String>) -> String {
        let frame = self.frame;
        if matches!(self.questions, Questions::All { .. }) && !frame.has(at.get_ref()) {
            let what = format!("the map of a {frame} bike has no place {:?}", at.get_ref());
            let advice = format!(
                "write one that it has, such as {}; the plan file's page lists all of them. Else it is listed beside the map",
                frame.like(at.get_ref(), 3).join(", ")
            );
            self.say(
                at.span(),
                (Severity::Warning, PlanCode::UnknownPlace),
                what,
                advice,
            );
        }
        at.into_inner()
    }

    pub(super) fn kind(&mut self, kind: Spanned<String>) -> Option<String> {
        let text = kind.get_ref();
        let is_word = |word: &str| {
            let is_legal = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit();
            !word.is_empty() && word.bytes().all(is_legal)
        };
        if text.len() <= LONGEST_KIND && text.split('-').all(is_word) {
            return Some(kind.into_inner());
        }
        let what = format!("the kind {text:?} cannot be used");
        let advice = "use up to 64 small letters a to z and digits, words joined by single dashes: \"seat-clamp\"";
        self.error(kind.span(), PlanCode::BadKind, what, advice);
        None
    }

    pub(super) fn note(&mut self, note: Spanned<String>) -> Option<String> {
        if is_text(note.get_ref(), LONGEST_NOTE) {
            return Some(note.into_inner());
        }
        let what = "the note is no sentence that can be shown beside a fastener";
        let advice = "write 1 to 240 characters on one line, or take the note out";
        self.error(note.span(), PlanCode::BadNote, what, advice);
        None
    }

    fn adapter(&mut self, adapter: Spanned<AdapterFile>) -> Option<Adapter> {
        let span = adapter.span();
        let AdapterFile {
            title,
            length,
            angle,
        } = adapter.into_inner();
        let mut wrong = |what: String, advice: &str| {
            self.error(span.clone(), PlanCode::BadAdapter, what, advice);
        };
        if !is_text(&title, LONGEST_TITLE) {
            let advice = "call it what it is called on the bench, in 1 to 64 characters: \"crow-foot, 15 mm\"";
            wrong("the adapter has no title".to_owned(), advice);
            return None;
        }
        if angle > Adapter::LARGEST_ANGLE {
            let what = format!("the adapter's angle is {angle} degrees");
            let advice = "write 0 for straight out, 90 for square to the handle, 180 for folded back under it";
            wrong(what, advice);
            return None;
        }
        if length.is_none() && angle != 0 {
            let what = "the adapter has an angle and no length".to_owned();
            let advice = "measure from the centre of the wrench's drive to the centre of the fastener and write it like length = \"30 mm\"; an extension in line with the drive has neither";
            wrong(what, advice);
            return None;
        }
        let length = length
            .map(|text| length_of(&text, Adapter::LONGEST))
            .transpose()
            .map_err(|what| {
                let advice = "write a length of more than 0 and at most 1 m, like \"30 mm\"";
                wrong(format!("the adapter's length: {what}"), advice);
            })
            .ok()?;
        Some(Adapter {
            title,
            length,
            angle_degrees: angle,
        })
    }

    fn thread(&mut self, thread: Spanned<ThreadFile>) -> Thread {
        let span = thread.span();
        let file = thread.into_inner();
        let engagement = file.engagement.and_then(|text| {
            length_of(&text, LONGEST_ENGAGEMENT)
                .map_err(|what| {
                    let advice = "write a length of more than 0 and at most 200 mm, like \"8 mm\"";
                    let what = format!("the length of engagement: {what}");
                    self.error(span.clone(), PlanCode::BadThread, what, advice);
                })
                .ok()
        });
        let friction = file.friction.and_then(|coefficients| {
            let friction = Friction::from_coefficients(&coefficients);
            if friction.is_none() {
                let what = format!("{coefficients:?} is no range of coefficients of friction");
                let advice = "write the least and the greatest, from 0.01 to 1 with at most three decimals: [0.10, 0.16]";
                self.error(span.clone(), PlanCode::BadThread, what, advice);
            }
            friction
        });
        Thread {
            size: file.size,
            property_class: file.property_class,
            engages: file.engages,
            engagement,
            friction,
        }
    }

    fn prep(&mut self, file: &FastenerFile, span: &Range<usize>) {
        let says_paste = file
            .prep
            .iter()
            .any(|prep| prep.to_lowercase().contains("paste"));
        if let Some(joint) = &file.joint
            && *joint.get_ref() == JointFile::Carbon
            && !says_paste
        {
            let what = format!(
                "{:?} clamps carbon and its prep names no assembly paste",
                file.id.get_ref()
            );
            let advice = "add it to prep if the part's maker wants it, or write there why not";
            self.say(
                joint.span(),
                (Severity::Warning, PlanCode::CarbonWithoutPaste),
                what,
                advice,
            );
        }
        if file.prep.is_empty() {
            let what = format!("{:?} says nothing about prep", file.id.get_ref());
            let advice = "name grease, paste or threadlock, or write \"dry\": the same torque clamps harder when greased";
            self.say(
                span.clone(),
                (Severity::Note, PlanCode::NoPrep),
                what,
                advice,
            );
        }
    }
}

fn is_text(text: &str, longest: usize) -> bool {
    !text.trim().is_empty()
        && text.chars().count() <= longest
        && !text.chars().any(char::is_control)
}

fn length_of(text: &str, longest: Length) -> Result<Length, String> {
    let stated = Stated::parse(text).map_err(|error| error.to_string())?;
    let length = Length::of(stated, Rounding::Nearest).map_err(|error| error.to_string())?;
    if length.small_units() > 0 && length <= longest {
        Ok(length)
    } else {
        Err(format!("{stated} is out of range"))
    }
}

//! From the figures of a fastener to the limits that follow from them.

use super::super::file::FastenerFile;
use super::super::finding::{PlanCode, Severity};
use super::super::spec::{self, Figures, Settlement, Source, Spec, Trouble};
use super::Reader;
use crate::quantity::{Kind, QuantityError, Rounding, Stated, Torque};
use std::ops::Range;
use toml::Spanned;

impl Reader<'_> {
    pub(super) fn spec(&mut self, file: &FastenerFile) -> Spec {
        let found_before = self.findings.len();
        let mut all = Vec::new();
        let mut sources = Vec::new();
        if let Some(spec) = &file.spec {
            let s = spec.get_ref();
            self.place(
                &mut all,
                &mut sources,
                "plan",
                spec.span(),
                [&s.target, &s.lower, &s.upper],
            );
        }
        for source in &file.sources {
            let s = source.get_ref();
            self.place(
                &mut all,
                &mut sources,
                &s.place,
                source.span(),
                [&s.target, &s.lower, &s.upper],
            );
        }
        let settled = file.settled.as_ref().map(|s| {
            let span = file.id.span();
            let place = format!("settled by {}", s.by);
            if s.by.trim().is_empty() || s.reason.trim().is_empty() {
                let what = format!(
                    "{:?} is settled without a name or without a reason",
                    file.id.get_ref()
                );
                self.error(
                    span.clone(),
                    PlanCode::ConflictingSources,
                    what,
                    "say in settled who decided, and why",
                );
            }
            let figures = [&s.target, &s.lower, &s.upper];
            if figures.iter().any(|figure| figure.is_some()) {
                let mut only = Vec::new();
                self.place(&mut only, &mut sources, &place, span, figures);
                // What a person settled stands alone; the figures it overrules stay listed among the sources.
                all = only;
            }
            Settlement {
                by: s.by.clone(),
                reason: s.reason.clone(),
            }
        });
        let is_readable = self.findings.len() == found_before;
        let (limits, tolerance_percent) = self.limits(file, &all, is_readable);
        Spec {
            limits,
            sources,
            tolerance_percent,
            settled,
        }
    }

    fn limits(
        &mut self,
        file: &FastenerFile,
        all: &[(String, Figures)],
        is_readable: bool,
    ) -> (spec::Limits, Option<u8>) {
        let id = file.id.get_ref();
        let span = file
            .spec
            .as_ref()
            .map_or_else(|| file.id.span(), Spanned::span);
        match spec::effective(all, self.tolerance) {
            Ok((limits, tolerance)) => {
                if limits.lower.is_none() {
                    let what = format!("{id:?} has an upper limit and no lower one");
                    let advice = "nothing says when it is tight enough: look for a target in the part maker's leaflet";
                    self.say(span, (Severity::Note, PlanCode::UpperOnly), what, advice);
                }
                (limits, tolerance)
            }
            Err(trouble) => {
                match trouble {
                    // A figure that cannot be read was reported; it is not missing as well.
                    Trouble::Nothing if !is_readable => {}
                    Trouble::Nothing => {
                        let what = format!("{id:?} has neither a target nor an upper limit");
                        let advice = "add spec = { target = \"5 N·m\" } with the figure on the part or in its leaflet";
                        self.error(span, PlanCode::NoLimits, what, advice);
                    }
                    Trouble::Conflict { lower, upper } => {
                        let what = format!("{id:?}: these cannot both hold: {lower}; {upper}");
                        let advice = "settle it: settled = { by = \"…\", reason = \"…\", target = \"…\", upper = \"…\" }";
                        self.error(span, PlanCode::ConflictingSources, what, advice);
                    }
                }
                let nothing = Torque::from_small_units(0);
                (
                    spec::Limits {
                        lower: None,
                        target: None,
                        upper: nothing,
                    },
                    None,
                )
            }
        }
    }

    fn place(
        &mut self,
        all: &mut Vec<(String, Figures)>,
        sources: &mut Vec<Source>,
        place: &str,
        span: Range<usize>,
        texts: [&Option<String>; 3],
    ) {
        let [target, lower, upper] =
            texts.map(|text| text.as_ref().and_then(|text| self.torque(text, &span)));
        all.push((
            place.to_owned(),
            Figures {
                target,
                lower,
                upper,
            },
        ));
        let [target, lower, upper] = texts.map(Clone::clone);
        sources.push(Source {
            place: place.to_owned(),
            target,
            lower,
            upper,
        });
    }

    fn torque(&mut self, text: &str, span: &Range<usize>) -> Option<Stated> {
        let read = Stated::parse(text).and_then(|stated| {
            let torque = Torque::of(stated, Rounding::Nearest)?;
            Ok((stated, torque))
        });
        match read {
            Ok((stated, torque)) if torque.small_units() > 0 && torque.is_sane() => Some(stated),
            Ok((stated, _)) => {
                let what = format!("{stated} is not a torque for a fastener on a bike");
                self.error(
                    span.clone(),
                    PlanCode::OutOfRange,
                    what,
                    "write more than 0 and at most 2000 N·m",
                );
                None
            }
            Err(error) => {
                self.error(
                    span.clone(),
                    PlanCode::NotATorque,
                    error.to_string(),
                    torque_advice(&error),
                );
                None
            }
        }
    }
}

fn torque_advice(error: &QuantityError) -> &'static str {
    match error {
        QuantityError::OtherKind {
            found: Kind::Force | Kind::Mass,
            ..
        } => "\"lb\" and \"kg\" are not torques: is it lbf·in, lbf·ft or kgf·cm?",
        _ => "write a number and a unit of torque, for example \"5 N·m\" or \"44 lbf·in\"",
    }
}

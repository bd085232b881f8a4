//! From a check's table to a check: the limits that follow from its figures, and its formula.

use super::super::Stage;
use super::super::file::{CheckFile, SpecFile};
use super::super::finding::{PlanCode, Severity};
use super::super::spec::{Settlement, Source};
use super::Reader;
use crate::check::{
    Check, CheckLimits, CheckSpec, Formula, FormulaError, MOST_READINGS, MeasuringTool, SmallUnit,
};
use crate::quantity::{Kind, Rounding, Stated};
use crate::tool::Tool;
use crate::verdict::Rule;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;

/// A formula whose checks may come later in the file.
pub(super) struct Pending {
    check: String,
    text: Spanned<String>,
    states_a_degree: bool,
}

/// One figure as stated: where, which of the three, and what.
struct Figure {
    place: String,
    role: Role,
    stated: Stated,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Role {
    Target,
    Lower,
    Upper,
}

const ROLES: [Role; 3] = [Role::Target, Role::Lower, Role::Upper];

impl Role {
    const fn rounding(self) -> Rounding {
        match self {
            Self::Target => Rounding::Nearest,
            Self::Lower => Rounding::Down,
            Self::Upper => Rounding::Up,
        }
    }
}

/// What is known of a check while it is read.
struct At<'f> {
    file: &'f CheckFile,
    span: Range<usize>,
}

impl Reader<'_> {
    pub(super) fn check(&mut self, check: Spanned<CheckFile>) -> Check {
        let mut file = check.into_inner();
        self.id(&file.id);
        let span = file
            .spec
            .as_ref()
            .map_or_else(|| file.id.span(), Spanned::span);
        let formula = file.formula.take();
        let (note, at) = (file.note.take(), file.at.take());
        let here = At {
            file: &file,
            span: span.clone(),
        };
        let (spec, states_a_degree) = self.check_spec(&here);
        let readings = self.readings(&file, formula.is_some());
        if let Some(text) = formula {
            self.formulas.push(Pending {
                check: file.id.get_ref().clone(),
                text,
                states_a_degree,
            });
        }
        let check = Check {
            title: file.title,
            spec,
            rule: file.rule.or(self.rule).unwrap_or(Rule::Simple),
            readings,
            formula: None,
            note: note.and_then(|note| self.note(note)),
            at: at.map(|at| self.at(at)),
            id: file.id.into_inner(),
        };
        self.reach_check(&check, &span);
        check
    }

    fn readings(&mut self, file: &CheckFile, is_derived: bool) -> u16 {
        let Some(readings) = &file.readings else {
            return 1;
        };
        let wanted = *readings.get_ref();
        if is_derived && wanted != 1 {
            let what = format!(
                "{:?} is computed and wants {wanted} readings",
                file.id.get_ref()
            );
            let advice = "say readings at the checks that the formula names";
            self.error(readings.span(), PlanCode::BadReadings, what, advice);
            return 1;
        }
        if !(1..=MOST_READINGS).contains(&wanted) {
            let what = format!("{:?} wants {wanted} readings", file.id.get_ref());
            let advice = "write a number from 1 to 64, such as the spokes on one side";
            self.error(readings.span(), PlanCode::BadReadings, what, advice);
            return 1;
        }
        wanted
    }

    fn check_spec(&mut self, here: &At<'_>) -> (CheckSpec, bool) {
        let file = here.file;
        let found_before = self.findings.len();
        let (mut all, mut sources) = (Vec::new(), Vec::new());
        if let Some(spec) = &file.spec {
            let SpecFile {
                target,
                lower,
                upper,
            } = spec.get_ref();
            let texts = [target, lower, upper];
            self.figures(&mut all, &mut sources, "plan", spec.span(), texts);
        }
        for source in &file.sources {
            let s = source.get_ref();
            let texts = [&s.target, &s.lower, &s.upper];
            self.figures(&mut all, &mut sources, &s.place, source.span(), texts);
        }
        let settled = file.settled.as_ref().map(|s| {
            if s.by.trim().is_empty() || s.reason.trim().is_empty() {
                let what = format!(
                    "{:?} is settled without a name or without a reason",
                    file.id.get_ref()
                );
                let advice = "say in settled who decided, and why";
                let span = file.id.span();
                self.error(span, PlanCode::ConflictingSources, what, advice);
            }
            let texts = [&s.target, &s.lower, &s.upper];
            if texts.iter().any(|text| text.is_some()) {
                let mut only = Vec::new();
                let place = format!("settled by {}", s.by);
                self.figures(&mut only, &mut sources, &place, file.id.span(), texts);
                // What a person settled stands alone; the figures it overrules stay listed among the sources.
                all = only;
            }
            Settlement {
                by: s.by.clone(),
                reason: s.reason.clone(),
            }
        });
        let is_readable = self.findings.len() == found_before;
        let states_a_degree = all.iter().any(|figure| figure.stated.unit.has_a_zero());
        let (limits, tolerance_percent) = self.check_limits(here, &all, is_readable);
        let spec = CheckSpec {
            limits,
            sources,
            tolerance_percent,
            settled,
        };
        (spec, states_a_degree)
    }

    fn figures(
        &mut self,
        all: &mut Vec<Figure>,
        sources: &mut Vec<Source>,
        place: &str,
        span: Range<usize>,
        texts: [&Option<String>; 3],
    ) {
        for (role, text) in ROLES.into_iter().zip(texts) {
            let Some(text) = text else { continue };
            match Stated::parse(text) {
                Ok(stated) => all.push(Figure {
                    place: place.to_owned(),
                    role,
                    stated,
                }),
                Err(error) => self.error(
                    span.clone(),
                    PlanCode::NotAValue,
                    error.to_string(),
                    "write a number with its unit, like \"70 mm\", \"6.5 bar\", \"1100 N\", \"8.2 kg\" or \"21 °C\"",
                ),
            }
        }
        let [target, lower, upper] = texts.map(Clone::clone);
        sources.push(Source {
            place: place.to_owned(),
            target,
            lower,
            upper,
        });
    }

    fn check_limits(
        &mut self,
        here: &At<'_>,
        all: &[Figure],
        is_readable: bool,
    ) -> (CheckLimits, Option<u8>) {
        let unknown = CheckLimits {
            unit: SmallUnit::Micrometre,
            lower: None,
            target: None,
            upper: None,
        };
        let id = here.file.id.get_ref();
        let span = here.span.clone();
        let Some(first) = all.first() else {
            if is_readable {
                self.no_limits(id, span);
            }
            return (unknown, None);
        };
        let Some(unit) = SmallUnit::of(first.stated.unit.kind) else {
            let what = format!("{id:?} states a torque, {}", first.stated);
            let advice = "a torque belongs to a [[stage.fastener]]; a check is a length, mass, pressure, force or temperature";
            self.error(span, PlanCode::NotAValue, what, advice);
            return (unknown, None);
        };
        let unknown = CheckLimits { unit, ..unknown };
        if let Some(other) = all
            .iter()
            .find(|figure| figure.stated.unit.kind != unit.kind())
        {
            let what = format!(
                "{id:?} mixes quantities: {}: {} is a {}, {}: {} is a {}",
                first.place,
                first.stated,
                unit.kind(),
                other.place,
                other.stated,
                other.stated.unit.kind
            );
            let advice = "state all figures of a check in units of one quantity; make two checks of it where two things are measured";
            self.error(span, PlanCode::MixedQuantities, what, advice);
            return (unknown, None);
        }
        match effective(unit, all, self.tolerance) {
            Ok(found) => found,
            Err(Trouble::Nothing) => {
                self.no_limits(id, span);
                (unknown, None)
            }
            Err(Trouble::NoRoom(figure)) => {
                let what = format!("{id:?}: {figure} cannot be measured here");
                let advice = "a pressure, force or mass is not below nothing, and nothing in a workshop is larger than a tonne or a kilometre";
                self.error(span, PlanCode::OutOfRange, what, advice);
                (unknown, None)
            }
            Err(Trouble::Conflict { lower, upper }) => {
                let what = format!("{id:?}: these cannot both hold: {lower}; {upper}");
                let advice = "settle it: settled = { by = \"…\", reason = \"…\", lower = \"…\", upper = \"…\" }";
                self.error(span, PlanCode::ConflictingSources, what, advice);
                (unknown, None)
            }
        }
    }

    fn no_limits(&mut self, id: &str, span: Range<usize>) {
        let what = format!("{id:?} has no limit");
        let advice = "add spec = { lower = \"70 mm\" } or an upper limit with the figure on the part or in its leaflet; a target alone gets the plan's tolerance, but not a temperature";
        self.error(span, PlanCode::NoLimits, what, advice);
    }

    /// Whether a tool that measures this quantity reaches the limits, and can tell them apart.
    fn reach_check(&mut self, check: &Check, span: &Range<usize>) {
        let limits = check.spec.limits;
        let fitting = |tool: &Tool| {
            let known = tool.measures.clone();
            known.filter(|known| known.unit == limits.unit)
        };
        let known: Vec<MeasuringTool> = self.tools().iter().filter_map(fitting).collect();
        // Where no tool at all is named for the quantity, a person with a ruler is meant.
        if known.is_empty() || limits.lower.or(limits.upper).is_none() || check.is_derived() {
            return;
        }
        let reaches = |tool: &&MeasuringTool| {
            let bounds = [limits.lower, limits.target, limits.upper];
            let reached = |value: i64| {
                tool.lowest.is_none_or(|lowest| lowest <= value)
                    && tool.highest.is_none_or(|highest| value <= highest)
            };
            bounds.into_iter().flatten().all(reached)
        };
        let usable: Vec<&MeasuringTool> = known.iter().filter(reaches).collect();
        if usable.is_empty() {
            let what = format!(
                "{:?} wants {}, and no tool reaches it",
                check.id,
                limits.text()
            );
            let advice = "bring another tool, or look for a slipped point or a wrong unit";
            let kind = (Severity::Warning, PlanCode::OutsideToolRange);
            return self.say(span.clone(), kind, what, advice);
        }
        let (Some(lower), Some(upper)) = (limits.lower, limits.upper) else {
            return;
        };
        let is_coarse = |tool: &&MeasuringTool| {
            let (_, worth) = crate::check::weigh(Some(tool), upper, 0);
            worth.is_some_and(|worth| worth.guard().saturating_mul(2) > upper - lower)
        };
        if usable.iter().all(is_coarse) {
            let what = format!(
                "{:?} wants {}, and no tool tells that apart",
                check.id,
                limits.text()
            );
            let advice =
                "bring a better tool, or a calibration certificate that states less uncertainty";
            let kind = (Severity::Warning, PlanCode::ToolTooCoarse);
            self.say(span.clone(), kind, what, advice);
        }
    }

    /// Formulas name checks of the whole plan, so they are read when all of those are known.
    pub(super) fn formulas(&mut self, stages: &mut [Stage]) {
        let pending = std::mem::take(&mut self.formulas);
        let derived: Vec<String> = pending.iter().map(|one| one.check.clone()).collect();
        let known: BTreeMap<String, (SmallUnit, u16)> = stages
            .iter()
            .flat_map(|stage| &stage.checks)
            .map(|check| (check.id.clone(), (check.unit(), check.readings)))
            .collect();
        for Pending {
            check,
            text,
            states_a_degree,
        } in pending
        {
            let found = Formula::parse(text.get_ref(), |id| known.contains_key(id));
            let found = found.map_err(|error| {
                let advice = formula_advice(&error);
                (error.to_string(), advice)
            });
            let found = found.and_then(|formula| {
                let unit = known.get(&check).map(|(unit, _)| *unit);
                let is_of_degrees = states_a_degree && unit == Some(SmallUnit::Millikelvin);
                suits(&formula, unit, &known, &derived, is_of_degrees).map(|()| formula)
            });
            match found {
                Ok(formula) => {
                    let mut all = stages.iter_mut().flat_map(|stage| &mut stage.checks);
                    if let Some(planned) = all.find(|planned| planned.id == check) {
                        planned.formula = Some(formula);
                    }
                }
                Err((what, advice)) => {
                    let what = format!("the formula of {check:?}: {what}");
                    self.error(text.span(), PlanCode::BadFormula, what, advice);
                }
            }
        }
    }
}

const fn formula_advice(error: &FormulaError) -> &'static str {
    match error {
        FormulaError::UnknownCheck(_) | FormulaError::NoCheck => {
            "name checks by their ids; put an id with dashes in braces, like {post-depth}"
        }
        FormulaError::Dimension => {
            "add lengths to lengths and pressures to pressures; a bare number may only multiply or divide"
        }
        _ => "use checks, numbers, + - * / ( ), abs, min, max, mean and spread",
    }
}

/// Whether the checks of a formula go together, and with the check it is for.
fn suits(
    formula: &Formula,
    unit: Option<SmallUnit>,
    known: &BTreeMap<String, (SmallUnit, u16)>,
    derived: &[String],
    is_of_degrees: bool,
) -> Result<(), (String, &'static str)> {
    for id in &formula.inputs {
        if derived.contains(id) {
            let what = format!("{id:?} is computed itself");
            return Err((what, "name the checks that are measured"));
        }
        if let (Some((of, _)), Some(unit)) = (known.get(id), unit)
            && *of != unit
        {
            let what = format!("{id:?} is a {of}, and its own limits are a {unit}");
            return Err((
                what,
                "all checks of a formula and its limits are of one quantity",
            ));
        }
    }
    for id in formula.wants_one_of() {
        if known.get(&id).is_some_and(|(_, readings)| *readings > 1) {
            let what = format!("{id:?} has several readings");
            return Err((
                what,
                "say which number is meant: mean, min, max or spread of it",
            ));
        }
    }
    if is_of_degrees {
        let what = "its limits are in degrees, and a difference is not".to_owned();
        return Err((what, "write the limits in K"));
    }
    Ok(())
}

/// Why figures give no limits.
enum Trouble {
    Nothing,
    NoRoom(String),
    Conflict { lower: String, upper: String },
}

/// The limits that follow from all figures: the lowest upper limit and the highest lower limit that anybody states. A
/// target that stands alone gets the plan's tolerance either way, which is said in the second value.
fn effective(
    unit: SmallUnit,
    all: &[Figure],
    tolerance: u8,
) -> Result<(CheckLimits, Option<u8>), Trouble> {
    let mut named: Vec<(Role, i64, String)> = Vec::new();
    for figure in all {
        let text = format!("{}: {}", figure.place, figure.stated);
        let value = unit
            .value_of(figure.stated, figure.role.rounding())
            .map_err(|_| Trouble::NoRoom(figure.stated.to_string()))?;
        let is_below_nothing = value < 0 && unit.kind() != Kind::Length;
        if is_below_nothing {
            return Err(Trouble::NoRoom(figure.stated.to_string()));
        }
        named.push((figure.role, value, text));
    }
    let of = |role| named.iter().filter(move |(of, _, _)| *of == role);
    let target = of(Role::Target).next();
    let mut lower = of(Role::Lower)
        .max_by_key(|(_, value, _)| *value)
        .map(|(_, value, text)| (*value, text.clone()));
    let mut upper = of(Role::Upper)
        .min_by_key(|(_, value, _)| *value)
        .map(|(_, value, text)| (*value, text.clone()));
    let mut by_tolerance = None;
    if let (None, None) = (&lower, &upper) {
        let Some((_, value, text)) = target.filter(|_| unit != SmallUnit::Millikelvin) else {
            return Err(Trouble::Nothing);
        };
        let part = i128::from(value.unsigned_abs()) * i128::from(tolerance);
        let room = i64::try_from((part + 99) / 100).unwrap_or(0);
        lower = Some((value - room, format!("{text} - {tolerance} %")));
        upper = Some((value + room, format!("{text} + {tolerance} %")));
        by_tolerance = Some(tolerance);
    }
    let conflict = |lower: &str, upper: &str| Trouble::Conflict {
        lower: lower.to_owned(),
        upper: upper.to_owned(),
    };
    if let (Some((least, at_least)), Some((most, at_most))) = (&lower, &upper)
        && least > most
    {
        return Err(conflict(at_least, at_most));
    }
    for (_, value, text) in of(Role::Target) {
        if let Some((most, at_most)) = &upper
            && value > most
        {
            return Err(conflict(text, at_most));
        }
        if let Some((least, at_least)) = &lower
            && value < least
        {
            return Err(conflict(at_least, text));
        }
    }
    let limits = CheckLimits {
        unit,
        lower: lower.map(|(value, _)| value),
        target: target.map(|(_, value, _)| *value),
        upper: upper.map(|(value, _)| value),
    };
    Ok((limits, by_tolerance))
}

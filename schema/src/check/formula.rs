//! The formula of a check that is computed from others: `spread(wheel.left) - {wheel.right-side}`.
//!
//! Sums, differences, products, quotients and brackets of checks by their ids; `abs`; and over all readings of one or
//! several checks `min`, `max`, `mean` and `spread` (the largest less the smallest). Nothing else can be called. All
//! inputs are of one quantity, and so is the result: whether a formula keeps to that is tried out, by looking whether twice
//! the inputs give exactly twice the result (a length plus a bare number does not).
//!
//! Words are cut and their order is checked here, within fixed bounds; only then does a parser of arithmetic see them, with
//! no names in it but our own. Every operation is exact or rounded as IEEE 754 says, so every machine gets the same number.

mod words;

use exmex::{BinOp, Express, FlatEx, MakeOperators, Operator};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt::Write as _;
use words::{Token, cut, put_together};

/// The longest formula, in bytes.
pub const LONGEST_FORMULA: usize = 240;
/// The most brackets inside brackets.
pub const MOST_NESTED: usize = 12;

/// Why a text is no formula.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FormulaError {
    /// Empty or longer than anything that a person reads.
    #[error("the formula has to have 1 to {LONGEST_FORMULA} characters")]
    Length,
    /// A character that has no meaning here.
    #[error("{0:?} means nothing in a formula")]
    Character(char),
    /// Brackets that do not match, or too many inside one another.
    #[error(
        "its brackets do not match, or more than {MOST_NESTED} of them stand inside one another"
    )]
    Brackets,
    /// A number with a second point or too many digits.
    #[error("{0:?} is not a number: write it like 2 or 0.5")]
    Number(String),
    /// A name that is neither a check nor a function.
    #[error("there is no check {0:?} in the plan")]
    UnknownCheck(String),
    /// A function that is not ours.
    #[error("there is no function {0:?}: abs, min, max, mean and spread are known")]
    UnknownFunction(String),
    /// A function over readings with something else than checks in it.
    #[error("{0} takes checks by their ids and nothing else, like {0}(wheel.left, wheel.right)")]
    NotChecks(String),
    /// Two values or two operations side by side, or nothing where something has to be.
    #[error("something is missing or too much near {0:?}")]
    Order(String),
    /// No check in it.
    #[error("it names no check")]
    NoCheck,
    /// It adds what does not add, or gives another quantity than its inputs.
    #[error(
        "its result is not of its inputs' quantity: twice the inputs do not give twice the result"
    )]
    Dimension,
}

/// How readings of the named checks become one number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Gather {
    /// The one reading that a check has.
    One,
    Min,
    Max,
    Mean,
    Spread,
}

impl Gather {
    fn find(name: &str) -> Option<Self> {
        Some(match name {
            "min" => Self::Min,
            "max" => Self::Max,
            "mean" => Self::Mean,
            "spread" => Self::Spread,
            _ => return None,
        })
    }

    const fn word(self) -> &'static str {
        match self {
            Self::One => "",
            Self::Min => "min",
            Self::Max => "max",
            Self::Mean => "mean",
            Self::Spread => "spread",
        }
    }

    #[expect(clippy::cast_precision_loss, reason = "a few hundred readings")]
    fn of(self, values: &[f64]) -> Option<f64> {
        let least = || values.iter().copied().reduce(f64::min);
        let most = || values.iter().copied().reduce(f64::max);
        match self {
            Self::One => values.last().copied(),
            Self::Min => least(),
            Self::Max => most(),
            Self::Spread => Some(most()? - least()?),
            Self::Mean => {
                let sum: f64 = values.iter().sum();
                (!values.is_empty()).then(|| sum / values.len() as f64)
            }
        }
    }
}

/// One operand: readings gathered into a number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Operand {
    pub(super) gather: Gather,
    pub(super) checks: Vec<String>,
}

/// A formula, written out with every check in braces, so that it can be read without the plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Formula {
    /// The text.
    pub text: String,
    /// The checks in it, each once, in the order in which they come.
    pub inputs: Vec<String>,
}

impl Formula {
    /// Reads a formula. `is_check` knows the ids.
    pub fn parse(text: &str, is_check: impl Fn(&str) -> bool) -> Result<Self, FormulaError> {
        let tokens = cut(text, &is_check)?;
        let mut inputs: Vec<String> = Vec::new();
        for operand in operands(&tokens) {
            for id in &operand.checks {
                if !inputs.contains(id) {
                    inputs.push(id.clone());
                }
            }
        }
        if inputs.is_empty() {
            return Err(FormulaError::NoCheck);
        }
        let compiled = Compiled::new(&tokens)?;
        if !compiled.keeps_its_quantity() {
            return Err(FormulaError::Dimension);
        }
        Ok(Self {
            text: put_together(&tokens),
            inputs,
        })
    }

    /// Makes it ready to compute with. What was parsed once can be.
    pub(super) fn compile(&self) -> Result<Compiled, FormulaError> {
        let tokens = cut(&self.text, &|id| {
            self.inputs.iter().any(|known| known == id)
        })?;
        Compiled::new(&tokens)
    }

    /// Checks that stand alone in it: one reading each is meant.
    pub fn wants_one_of(&self) -> Vec<String> {
        let Ok(compiled) = self.compile() else {
            return Vec::new();
        };
        let alone = compiled.operands.into_iter();
        alone
            .filter(|operand| operand.gather == Gather::One)
            .flat_map(|operand| operand.checks)
            .collect()
    }
}

fn operands(tokens: &[Token]) -> impl Iterator<Item = &Operand> {
    tokens.iter().filter_map(|token| match token {
        Token::Operand(operand) => Some(operand),
        _ => None,
    })
}

/// The five things that may be done to numbers.
#[derive(Clone, Debug)]
struct Arithmetic;

impl MakeOperators<f64> for Arithmetic {
    fn make<'a>() -> Vec<Operator<'a, f64>> {
        // Nothing is moved about: each machine computes in the order in which it is written.
        let binary = |apply, prio| BinOp {
            apply,
            prio,
            is_commutative: false,
        };
        vec![
            Operator::make_bin_unary("+", binary(|a, b| a + b, 0), |a| a),
            Operator::make_bin_unary("-", binary(|a, b| a - b, 1), |a: f64| -a),
            Operator::make_bin("*", binary(|a, b| a * b, 2)),
            Operator::make_bin("/", binary(|a, b| a / b, 3)),
            Operator::make_unary("abs", f64::abs),
        ]
    }
}

/// A formula that is ready to compute with.
#[derive(Debug)]
pub(super) struct Compiled {
    expression: FlatEx<f64, Arithmetic>,
    operands: Vec<Operand>,
    /// Which operand each variable of the expression is.
    order: Vec<usize>,
}

impl Compiled {
    fn new(tokens: &[Token]) -> Result<Self, FormulaError> {
        let operands: Vec<Operand> = operands(tokens).cloned().collect();
        let mut number = 0;
        let mut plain = String::new();
        for token in tokens {
            match token {
                Token::Operand(_) => {
                    let _ = write!(plain, " v{number} ");
                    number += 1;
                }
                Token::Number(digits) => {
                    let _ = write!(plain, " {digits} ");
                }
                Token::Abs => plain.push_str(" abs "),
                Token::Sign(sign) => plain.push(*sign),
            }
        }
        let wrong = |_| FormulaError::Order(put_together(tokens));
        let expression = FlatEx::<f64, Arithmetic>::parse(&plain).map_err(wrong)?;
        let order = expression.var_names().iter().map(|name| {
            let digits = name.trim_start_matches('v');
            digits.parse().unwrap_or(usize::MAX)
        });
        Ok(Self {
            order: order.collect(),
            operands,
            expression,
        })
    }

    /// What it comes to; nothing where an input is missing or the result is no number.
    pub(super) fn value(&self, of: impl Fn(&str) -> Vec<f64>) -> Option<f64> {
        let gathered: Option<Vec<f64>> = self
            .operands
            .iter()
            .map(|operand| {
                let all: Vec<f64> = operand.checks.iter().flat_map(|id| of(id)).collect();
                operand.gather.of(&all)
            })
            .collect();
        self.with(&gathered?)
    }

    fn with(&self, operands: &[f64]) -> Option<f64> {
        let values: Option<Vec<f64>> = self
            .order
            .iter()
            .map(|number| operands.get(*number).copied())
            .collect();
        let result = self.expression.eval(&values?).ok()?;
        result.is_finite().then_some(result)
    }

    /// Tried out at several points: doubling is exact in binary arithmetic, so what keeps the quantity doubles exactly.
    fn keeps_its_quantity(&self) -> bool {
        let mut seed = 0x2545_f491_4f6c_dd1d_u64;
        let mut next = || {
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            // 1 to 100 000, with fractions of 1024 so that sums stay exact.
            f64::from(u32::try_from(seed % 102_400_000).unwrap_or(1) + 1_024) / 1_024.0
        };
        let mut tried = 0;
        for _ in 0..24 {
            let point: Vec<f64> = self.operands.iter().map(|_| next()).collect();
            let Some(once) = self.with(&point) else {
                continue;
            };
            for factor in [2.0, 0.25, 1_024.0] {
                let scaled: Vec<f64> = point.iter().map(|value| value * factor).collect();
                let Some(result) = self.with(&scaled) else {
                    return false;
                };
                if result.to_bits() != (once * factor).to_bits() {
                    return false;
                }
            }
            tried += 1;
        }
        tried > 0
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

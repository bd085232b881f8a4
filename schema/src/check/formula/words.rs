//! Cuts a formula into words, and looks that they stand in an order that can be computed.

use super::{FormulaError, Gather, LONGEST_FORMULA, MOST_NESTED, Operand};
use std::fmt::Write as _;

/// The most digits of a number: what a double holds exactly.
const MOST_DIGITS: usize = 15;

/// One word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Token {
    /// Readings gathered into a number.
    Operand(Operand),
    /// Digits with at most one point.
    Number(String),
    /// The size of what follows in brackets.
    Abs,
    /// `+ - * / ( )`
    Sign(char),
}

/// The words of a text.
pub(super) fn cut(text: &str, is_check: &dyn Fn(&str) -> bool) -> Result<Vec<Token>, FormulaError> {
    if text.trim().is_empty() || text.len() > LONGEST_FORMULA {
        return Err(FormulaError::Length);
    }
    let mut rest = Rest { text, is_check };
    let mut tokens = Vec::new();
    while let Some(token) = rest.next()? {
        tokens.push(token);
    }
    check_order(&tokens)?;
    Ok(tokens)
}

struct Rest<'a> {
    text: &'a str,
    is_check: &'a dyn Fn(&str) -> bool,
}

const fn is_of_a_name(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '.' | '_' | '-')
}

impl<'a> Rest<'a> {
    fn next(&mut self) -> Result<Option<Token>, FormulaError> {
        self.text = self.text.trim_start();
        let Some(first) = self.text.chars().next() else {
            return Ok(None);
        };
        let token = match first {
            '+' | '-' | '*' | '/' | '(' | ')' => {
                self.text = self.text.get(1..).unwrap_or_default();
                Token::Sign(first)
            }
            '{' => Token::Operand(one(self.braced()?)),
            _ if first.is_ascii_digit() || first == '.' => self.number()?,
            _ if first.is_ascii_alphabetic() || first == '_' => self.name()?,
            _ => return Err(FormulaError::Character(first)),
        };
        Ok(Some(token))
    }

    fn take(&mut self, is_of: impl Fn(char) -> bool) -> &'a str {
        let end = self.text.find(|c| !is_of(c)).unwrap_or(self.text.len());
        let (taken, rest) = self.text.split_at(end);
        self.text = rest;
        taken
    }

    fn number(&mut self) -> Result<Token, FormulaError> {
        let digits = self.take(|c| c.is_ascii_digit() || c == '.');
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let is_number = !whole.is_empty()
            && !part.contains('.')
            && whole.len() + part.len() <= MOST_DIGITS
            && (part.is_empty() != digits.contains('.'));
        if is_number {
            Ok(Token::Number(digits.to_owned()))
        } else {
            Err(FormulaError::Number(digits.to_owned()))
        }
    }

    /// `{wheel.left-side}`
    fn braced(&mut self) -> Result<String, FormulaError> {
        let inside = self.text.strip_prefix('{').unwrap_or_default();
        let Some((id, rest)) = inside.split_once('}') else {
            return Err(FormulaError::Brackets);
        };
        if !(self.is_check)(id) {
            return Err(FormulaError::UnknownCheck(id.to_owned()));
        }
        self.text = rest;
        Ok(id.to_owned())
    }

    fn name(&mut self) -> Result<Token, FormulaError> {
        let before = self.text;
        let run = self.take(is_of_a_name);
        if self.text.trim_start().starts_with('(') {
            return self.function(run);
        }
        let (id, rest) = self.id_of(before, run)?;
        self.text = rest;
        Ok(Token::Operand(one(id)))
    }

    /// The longest known id at the beginning: an id may have dashes, and a dash may be a minus.
    fn id_of(&self, before: &'a str, run: &str) -> Result<(String, &'a str), FormulaError> {
        let dashes = run.char_indices().rev().filter(|(_, c)| *c == '-');
        let ends = std::iter::once(run.len()).chain(dashes.map(|(at, _)| at));
        for end in ends {
            if let (Some(id), Some(rest)) = (run.get(..end), before.get(end..))
                && (self.is_check)(id)
            {
                return Ok((id.to_owned(), rest));
            }
        }
        Err(FormulaError::UnknownCheck(run.to_owned()))
    }

    fn function(&mut self, name: &str) -> Result<Token, FormulaError> {
        if name == "abs" {
            return Ok(Token::Abs);
        }
        let gather =
            Gather::find(name).ok_or_else(|| FormulaError::UnknownFunction(name.to_owned()))?;
        let wrong = || FormulaError::NotChecks(name.to_owned());
        self.text = self.text.trim_start().strip_prefix('(').ok_or_else(wrong)?;
        let mut checks = Vec::new();
        loop {
            self.text = self.text.trim_start();
            let id = if self.text.starts_with('{') {
                self.braced()?
            } else {
                let run = self.take(is_of_a_name);
                if run.is_empty() {
                    return Err(wrong());
                }
                if !(self.is_check)(run) {
                    return Err(FormulaError::UnknownCheck(run.to_owned()));
                }
                run.to_owned()
            };
            if checks.contains(&id) {
                return Err(wrong());
            }
            checks.push(id);
            self.text = self.text.trim_start();
            if let Some(rest) = self.text.strip_prefix(')') {
                self.text = rest;
                return Ok(Token::Operand(Operand { gather, checks }));
            }
            self.text = self.text.strip_prefix(',').ok_or_else(wrong)?;
        }
    }
}

fn one(id: String) -> Operand {
    Operand {
        gather: Gather::One,
        checks: vec![id],
    }
}

/// Values and operations take turns, brackets match, a sign stands at most once before a value.
fn check_order(tokens: &[Token]) -> Result<(), FormulaError> {
    let wrong = |token: &Token| FormulaError::Order(put_together(std::slice::from_ref(token)));
    let (mut depth, mut wants_value, mut may_sign, mut wants_open) = (0_usize, true, true, false);
    for token in tokens {
        let is_open = *token == Token::Sign('(');
        if wants_open && !is_open {
            return Err(wrong(token));
        }
        wants_open = false;
        match token {
            Token::Operand(_) | Token::Number(_) if wants_value => wants_value = false,
            Token::Abs if wants_value => wants_open = true,
            Token::Sign('(') if wants_value => {
                depth += 1;
                may_sign = true;
                if depth > MOST_NESTED {
                    return Err(FormulaError::Brackets);
                }
            }
            Token::Sign(')') if !wants_value => {
                depth = depth.checked_sub(1).ok_or(FormulaError::Brackets)?;
            }
            Token::Sign('+' | '-') if wants_value && may_sign => may_sign = false,
            Token::Sign('+' | '-' | '*' | '/') if !wants_value => {
                wants_value = true;
                may_sign = false;
            }
            token => return Err(wrong(token)),
        }
    }
    match tokens.last() {
        _ if depth > 0 => Err(FormulaError::Brackets),
        Some(last) if wants_value || wants_open => Err(wrong(last)),
        None => Err(FormulaError::Length),
        Some(_) => Ok(()),
    }
}

/// Written out with every check in braces.
pub(super) fn put_together(tokens: &[Token]) -> String {
    let mut text = String::new();
    for token in tokens {
        match token {
            Token::Operand(operand) => {
                let checks: Vec<String> = operand
                    .checks
                    .iter()
                    .map(|id| format!("{{{id}}}"))
                    .collect();
                let checks = checks.join(", ");
                if operand.gather == Gather::One {
                    text.push_str(&checks);
                } else {
                    let _ = write!(text, "{}({checks})", operand.gather.word());
                }
            }
            Token::Number(digits) => text.push_str(digits),
            Token::Abs => text.push_str("abs"),
            Token::Sign(sign @ ('(' | ')')) => text.push(*sign),
            Token::Sign(sign) => {
                let _ = write!(text, " {sign} ");
            }
        }
    }
    text.trim().to_owned()
}

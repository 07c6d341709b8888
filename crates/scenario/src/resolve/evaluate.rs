//! What expressions come to.

use std::borrow::Cow;
use std::rc::Rc;

use super::Resolver;
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::document::{Expression, ExpressionKind, Operator, ParameterType, Piece};
use crate::ids;
use crate::source::Span;

/// So long may a text become when parameters are filled in: each could be twice the one before.
const LONGEST_TEXT_BYTES: usize = 4096;

/// So many names may a list come to.
const MOST_NAMES: usize = 1_000_000;

/// What an expression comes to.
#[derive(Clone, Debug)]
pub(super) enum Value {
    /// A whole number.
    Number(i64),
    /// A number with a fraction.
    Decimal(f64),
    /// True or false.
    Flag(bool),
    /// A text, and the scope in which it was written: where a part of that name is looked up.
    Text(Rc<str>, ScopeId),
    /// A list.
    List(Rc<[Value]>),
}

impl Value {
    /// Its type.
    pub(super) fn type_of(&self) -> ParameterType {
        match self {
            Self::Number(_) | Self::Decimal(_) => ParameterType::Number,
            Self::Flag(_) => ParameterType::Flag,
            Self::Text(..) => ParameterType::Name,
            Self::List(_) => ParameterType::List,
        }
    }

    fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Number(one), Self::Number(two)) => one == two,
            (Self::Decimal(one), Self::Decimal(two)) => one == two,
            (Self::Flag(one), Self::Flag(two)) => one == two,
            (Self::Text(one, _), Self::Text(two, _)) => one == two,
            _ => false,
        }
    }
}

/// A type in words.
pub(super) fn in_words(kind: ParameterType) -> &'static str {
    match kind {
        ParameterType::Number => "a number",
        ParameterType::Flag => "`true` or `false`",
        ParameterType::Name => "a text in quotes",
        ParameterType::List => "a list",
    }
}

impl<'d> Resolver<'d> {
    /// What an expression comes to. `None` if that cannot be said, which is reported.
    pub(super) fn value(&mut self, scope: ScopeId, expression: &'d Expression) -> Option<Value> {
        Some(match &expression.kind {
            ExpressionKind::Number(number) => Value::Number(*number),
            ExpressionKind::Decimal(number) => Value::Decimal(*number),
            ExpressionKind::Flag(flag) => Value::Flag(*flag),
            ExpressionKind::Text(text) => Value::Text(text.as_ref().into(), scope),
            ExpressionKind::Template(pieces) => {
                return self.template(scope, pieces, expression.span);
            }
            ExpressionKind::List(values) => {
                let values: Vec<Option<Value>> = values
                    .iter()
                    .map(|value| self.value(scope, value))
                    .collect();
                Value::List(values.into_iter().collect::<Option<Rc<[Value]>>>()?)
            }
            ExpressionKind::Operation(operator, values) => {
                return self.operation(scope, *operator, values, expression.span);
            }
        })
    }

    /// A text with its parameters filled in. A parameter that stands alone keeps its type.
    fn template(&mut self, scope: ScopeId, pieces: &'d [Piece], span: Span) -> Option<Value> {
        if let [Piece::Parameter(name)] = pieces {
            return self.parameter(scope, name, span);
        }
        let mut text = String::new();
        let mut written_in = scope;
        for (index, piece) in pieces.iter().enumerate() {
            match piece {
                Piece::Plain(plain) => text.push_str(plain),
                Piece::Parameter(name) => match self.parameter(scope, name, span)? {
                    Value::Number(number) => text.push_str(&number.to_string()),
                    Value::Decimal(number) => text.push_str(&number.to_string()),
                    Value::Flag(flag) => text.push_str(&flag.to_string()),
                    Value::Text(inner, inner_scope) => {
                        text.push_str(&inner);
                        let behind = pieces.get(1);
                        if index == 0
                            && matches!(behind, Some(Piece::Plain(plain)) if plain.starts_with(['.', '[']))
                        {
                            // `$lane.eye` is the eye of whatever the parameter names.
                            written_in = inner_scope;
                        }
                    }
                    Value::List(_) => {
                        let message = format!(
                            "the parameter `{name}` is a list, which cannot stand in a text"
                        );
                        self.report_wrong_value(span, message);
                        return None;
                    }
                },
            }
        }
        if text.len() > LONGEST_TEXT_BYTES {
            let message = format!("this comes to a text of more than {LONGEST_TEXT_BYTES} bytes");
            self.report_wrong_value(span, message);
            return None;
        }
        Some(Value::Text(text.into(), written_in))
    }

    fn operation(
        &mut self,
        scope: ScopeId,
        operator: Operator,
        values: &'d [Expression],
        span: Span,
    ) -> Option<Value> {
        Some(match operator {
            Operator::Plus
            | Operator::Minus
            | Operator::Times
            | Operator::Divided
            | Operator::Remainder
            | Operator::Below => return self.arithmetic(scope, operator, values, span),
            Operator::Is => {
                let one = self.value(scope, &values[0]);
                let two = self.value(scope, &values[1]);
                Value::Flag(one?.is_same(&two?))
            }
            Operator::Not => Value::Flag(!self.flag(scope, &values[0])?),
            Operator::Both => {
                let one = self.flag(scope, &values[0]);
                let two = self.flag(scope, &values[1]);
                Value::Flag(one? && two?)
            }
            Operator::Either => {
                let one = self.flag(scope, &values[0]);
                let two = self.flag(scope, &values[1]);
                Value::Flag(one? || two?)
            }
            Operator::If => {
                let chosen = if self.flag(scope, &values[0])? { 1 } else { 2 };
                return self.value(scope, &values[chosen]);
            }
            Operator::Pick => {
                let list = self.list(scope, &values[0])?;
                let number = self.integer(scope, &values[1])?;
                let picked = usize::try_from(number).ok().and_then(|at| list.get(at));
                if picked.is_none() {
                    let length = list.len();
                    let message = format!(
                        "there is no number {number} in a list of {length}, counted from 0"
                    );
                    self.report_wrong_value(span, message);
                }
                return picked.cloned();
            }
            Operator::Length => {
                let list = self.list(scope, &values[0])?;
                Value::Number(i64::try_from(list.len()).unwrap_or(i64::MAX))
            }
        })
    }

    fn arithmetic(
        &mut self,
        scope: ScopeId,
        operator: Operator,
        values: &'d [Expression],
        span: Span,
    ) -> Option<Value> {
        let one = self.integer(scope, &values[0]);
        let two = self.integer(scope, &values[1]);
        let (one, two) = (one?, two?);
        let result = match operator {
            Operator::Plus => one.checked_add(two),
            Operator::Minus => one.checked_sub(two),
            Operator::Times => one.checked_mul(two),
            Operator::Divided => one.checked_div_euclid(two),
            Operator::Remainder => one.checked_rem_euclid(two),
            _ => return Some(Value::Flag(one < two)),
        };
        if result.is_none() {
            let message = format!("this cannot be worked out with {one} and {two}");
            self.problems
                .report(Diagnostic::error(ids::BAD_NUMBER, span, message));
        }
        result.map(Value::Number)
    }

    /// A list.
    pub(super) fn list(
        &mut self,
        scope: ScopeId,
        expression: &'d Expression,
    ) -> Option<Rc<[Value]>> {
        match self.value(scope, expression)? {
            Value::List(list) => Some(list),
            other => {
                self.report_type(expression.span, "a list", &other);
                None
            }
        }
    }

    /// A whole number.
    pub(super) fn integer(&mut self, scope: ScopeId, expression: &'d Expression) -> Option<i64> {
        match self.value(scope, expression)? {
            Value::Number(number) => Some(number),
            other => {
                self.report_type(expression.span, "a whole number", &other);
                None
            }
        }
    }

    /// A whole number of at least `least` that fits its place.
    pub(super) fn number_from<T: TryFrom<i64>>(
        &mut self,
        scope: ScopeId,
        expression: &'d Expression,
        least: i64,
    ) -> Option<T> {
        let number = self.integer(scope, expression)?;
        let fitting = T::try_from(number).ok().filter(|_| number >= least);
        if fitting.is_none() {
            let message = if number < least {
                format!("{number} is too small: it must be at least {least}")
            } else {
                format!("{number} is too large here")
            };
            self.problems
                .report(Diagnostic::error(ids::BAD_NUMBER, expression.span, message));
        }
        fitting
    }

    /// A number that may have a fraction, from 0 to `most`.
    pub(super) fn decimal(
        &mut self,
        scope: ScopeId,
        expression: &'d Expression,
        most: f64,
    ) -> Option<f64> {
        let number = match self.value(scope, expression)? {
            #[allow(clippy::cast_precision_loss, reason = "bounds are small numbers")]
            Value::Number(number) => number as f64,
            Value::Decimal(number) => number,
            other => {
                self.report_type(expression.span, "a number", &other);
                return None;
            }
        };
        if (0.0..=most).contains(&number) {
            return Some(number);
        }
        let message = format!("{number} is not from 0 to {most}");
        self.problems
            .report(Diagnostic::error(ids::BAD_NUMBER, expression.span, message));
        None
    }

    /// True or false.
    pub(super) fn flag(&mut self, scope: ScopeId, expression: &'d Expression) -> Option<bool> {
        match self.value(scope, expression)? {
            Value::Flag(flag) => Some(flag),
            other => {
                self.report_type(expression.span, "`true` or `false`", &other);
                None
            }
        }
    }

    /// Whether something is there. An absent condition always holds.
    pub(super) fn holds(&mut self, scope: ScopeId, when: Option<&'d Expression>) -> Option<bool> {
        match when {
            None => Some(true),
            Some(condition) => self.flag(scope, condition),
        }
    }

    /// A text, and the scope in which it was written.
    pub(super) fn text(
        &mut self,
        scope: ScopeId,
        expression: &'d Expression,
        expected: &str,
    ) -> Option<(Cow<'d, str>, ScopeId)> {
        if let ExpressionKind::Text(text) = &expression.kind {
            return Some((text.as_ref().into(), scope));
        }
        match self.value(scope, expression)? {
            Value::Text(text, scope) => Some((text.to_string().into(), scope)),
            other => {
                self.report_type(expression.span, expected, &other);
                None
            }
        }
    }

    /// A name, and the scope in which it was written.
    pub(super) fn name(
        &mut self,
        scope: ScopeId,
        expression: &'d Expression,
    ) -> Option<(Cow<'d, str>, ScopeId)> {
        self.text(scope, expression, "a name in quotes")
    }

    /// All names of a list, with the scope in which each was written and its place. A single name
    /// counts as a list of one, and lists in lists are laid out flat.
    pub(super) fn names(
        &mut self,
        scope: ScopeId,
        expression: &'d Expression,
    ) -> Vec<(Cow<'d, str>, ScopeId, Span)> {
        let span = expression.span;
        match &expression.kind {
            ExpressionKind::Text(text) => vec![(text.as_ref().into(), scope, span)],
            ExpressionKind::List(values) => values
                .iter()
                .flat_map(|value| self.names(scope, value))
                .collect(),
            _ => {
                let mut names = Vec::new();
                if let Some(value) = self.value(scope, expression) {
                    self.flatten(&value, span, &mut names);
                }
                names
            }
        }
    }

    fn flatten(
        &mut self,
        value: &Value,
        span: Span,
        names: &mut Vec<(Cow<'d, str>, ScopeId, Span)>,
    ) {
        match value {
            Value::Text(text, scope) => names.push((text.to_string().into(), *scope, span)),
            Value::List(values) => {
                for value in values.iter() {
                    if names.len() > MOST_NAMES {
                        let message = format!("this list comes to more than {MOST_NAMES} names");
                        self.report_wrong_value(span, message);
                        return;
                    }
                    self.flatten(value, span, names);
                }
            }
            other => self.report_type(span, "a name in quotes", other),
        }
    }

    /// Reports that a value is of the wrong type.
    pub(super) fn report_type(&mut self, span: Span, expected: &str, found: &Value) {
        let message = match found {
            Value::Number(number) => format!("expected {expected}, found the number {number}"),
            Value::Decimal(number) => format!("expected {expected}, found the number {number}"),
            Value::Flag(flag) => format!("expected {expected}, found `{flag}`"),
            Value::Text(text, _) => format!("expected {expected}, found the text `{text}`"),
            Value::List(_) => format!("expected {expected}, found a list"),
        };
        let help = match found {
            Value::Text(text, scope) => self.forgotten_dollar(*scope, text),
            Value::Number(_) | Value::Decimal(_) | Value::Flag(_) | Value::List(_) => None,
        };
        self.problems
            .report(Diagnostic::error(ids::WRONG_TYPE, span, message).help(help));
    }

    /// Reports that a value does not fit.
    pub(super) fn report_wrong_value(&mut self, span: Span, message: String) {
        self.problems
            .report(Diagnostic::error(ids::WRONG_VALUE, span, message));
    }
}

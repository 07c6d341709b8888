//! The values that a search tries for each parameter.

use super::Resolver;
use super::evaluate::{Value, in_words};
use super::names::ScopeId;
use super::parameters::LineParameter;
use crate::LoadOptions;
use crate::diagnostic::Diagnostic;
use crate::document::{Expression, ExpressionKind, ParameterType, RangeDocument, SpanDocument};
use crate::ids;
use crate::range::{ParameterRange, RangeValue};
use crate::source::Span;
use crate::text::Entry;
use crate::text::Spanned;

/// So many values may one range have.
const MOST_VALUES: u64 = 10_000;

/// A value and where it is written.
type Written = (RangeValue, Span);

impl<'d> Resolver<'d> {
    /// Works out all ranges: those declared, each replaced by one of the command line if there is
    /// one, and then those that only the command line has.
    pub(super) fn set_up_ranges(&mut self, options: &LoadOptions) {
        let document = self.document;
        let reported_before = self.problems.count();
        let given = self.command_line(&options.ranges);
        let mut ranges = Vec::new();
        for entry in &document.ranges.list {
            let declared = self.declared_range(entry);
            let name = entry.name.text.as_str();
            let values = match given.iter().rev().find(|given| given.name == name) {
                Some(given) => self.given_range(given),
                None => declared,
            };
            ranges.extend(values.map(|values| named(name, values)));
        }
        for (place, range) in given.iter().enumerate() {
            let is_declared = document.ranges.get(&range.name).is_some();
            let is_repeated = given[place + 1..]
                .iter()
                .any(|later| later.name == range.name);
            if !is_declared && !is_repeated {
                let values = self.given_range(range);
                ranges.extend(values.map(|values| named(&range.name, values)));
            }
        }
        let is_sound = document.ranges.is_whole
            && document
                .ranges
                .list
                .iter()
                .all(|entry| entry.value.is_some())
            && self.problems.count() == reported_before;
        self.ranges = is_sound.then_some(ranges);
    }

    fn declared_range(
        &mut self,
        entry: &'d Entry<Spanned<RangeDocument>>,
    ) -> Option<Vec<RangeValue>> {
        let document = self.document;
        let name = &entry.name;
        if let Some(first) = document
            .ranges
            .get(&name.text)
            .filter(|one| one.name.span != name.span)
        {
            let message = format!("the parameter `{}` has two ranges", name.text);
            let problem = Diagnostic::error(ids::DUPLICATE_NAME, name.span, message);
            self.problems
                .report(problem.context(first.name.span, "first given here"));
            return None;
        }
        if document.parameters.get(&name.text).is_none() {
            let message = format!("the scenario has no parameter `{}`", name.text);
            let problem = Diagnostic::error(ids::UNKNOWN_PARAMETER, name.span, message);
            self.problems
                .report_not_in(problem, &name.text, &document.parameters);
            return None;
        }
        let range = entry.value.as_ref()?;
        let values = match &range.value {
            RangeDocument::OneOf(list) => {
                let list: Vec<_> = list.iter().map(|value| self.written(value)).collect();
                list.into_iter().collect::<Option<Vec<Written>>>()?
            }
            RangeDocument::Span(span) => {
                let numbers = self.span_numbers(span)?;
                let numbers = numbers.map(|number| (RangeValue::Number(number), range.span));
                numbers.collect()
            }
        };
        self.sound_range(&name.text, values, range.span)
    }

    /// A value of a list, which is written out.
    fn written(&mut self, value: &Expression) -> Option<Written> {
        let range_value = match &value.kind {
            ExpressionKind::Number(number) => RangeValue::Number(*number),
            ExpressionKind::Decimal(number) => RangeValue::Decimal(*number),
            ExpressionKind::Flag(flag) => RangeValue::Flag(*flag),
            ExpressionKind::Text(text) => RangeValue::Name(text.to_string()),
            ExpressionKind::Template(_)
            | ExpressionKind::List(_)
            | ExpressionKind::Operation(..) => {
                self.report_not_written_out(value.span);
                return None;
            }
        };
        Some((range_value, value.span))
    }

    fn report_not_written_out(&mut self, span: Span) {
        let message = "the values of a range are written out: numbers, names, `true` or `false`";
        let help = "let other parameters follow from one with a range".to_owned();
        self.problems
            .report(Diagnostic::error(ids::WRONG_TYPE, span, message).help(help));
    }

    fn span_numbers(&mut self, span: &SpanDocument) -> Option<impl Iterator<Item = i64> + use<>> {
        let from = self.whole(&span.from);
        let to = self.whole(&span.to);
        let step = match &span.step {
            None => Some(1),
            Some(step) => self.whole(step),
        };
        self.numbers(from?, to?, step?, span.span)
    }

    fn whole(&mut self, value: &Expression) -> Option<i64> {
        match &value.kind {
            ExpressionKind::Number(number) => Some(*number),
            _ => {
                let message = "a range goes from one whole number to another, written out";
                self.problems
                    .report(Diagnostic::error(ids::WRONG_TYPE, value.span, message));
                None
            }
        }
    }

    /// `from`, `from + step`, … up to `to`.
    fn numbers(
        &mut self,
        from: i64,
        to: i64,
        step: i64,
        span: Span,
    ) -> Option<impl Iterator<Item = i64> + use<>> {
        if step < 1 {
            self.report_bad_range(span, format!("the step is {step}: it must be at least 1"));
            return None;
        }
        if from > to {
            self.report_bad_range(span, format!("there is nothing from {from} to {to}"));
            return None;
        }
        let count = to.abs_diff(from) / step.unsigned_abs();
        let count = count.saturating_add(1);
        if count > MOST_VALUES {
            let message =
                format!("this comes to {count} values, more than a range's {MOST_VALUES}");
            self.report_bad_range(span, message);
            return None;
        }
        Some((0..count).map(move |number| from + i64::try_from(number).unwrap_or(0) * step))
    }

    /// A range of the command line: `40..200/8` or values with commas between them.
    fn given_range(&mut self, given: &LineParameter) -> Option<Vec<RangeValue>> {
        let (text, span) = (given.text.as_str(), given.span);
        let wanted = self.top_type(&given.name)?;
        if wanted == ParameterType::Number
            && let Some((from, rest)) = text.split_once("..")
        {
            let (to, step) = rest.split_once('/').unwrap_or((rest, "1"));
            let numbers = [from, to, step].map(|number| number.trim().parse().ok());
            let [Some(from), Some(to), Some(step)] = numbers else {
                let message = format!("`{text}` is not FROM..TO or FROM..TO/STEP in whole numbers");
                self.report_bad_range(span, message);
                return None;
            };
            let numbers = self.numbers(from, to, step, span)?;
            return Some(numbers.map(RangeValue::Number).collect());
        }
        let mut values = Vec::new();
        for piece in text.split(',').map(str::trim) {
            if piece.is_empty() {
                self.report_bad_range(span, "a value is missing".to_owned());
                return None;
            }
            let value = self.parse_set(ScopeId::TOP, (piece, span), Some(wanted), ';')?;
            let Some(value) = range_value(&value) else {
                self.report_not_written_out(span);
                return None;
            };
            values.push((value, span));
        }
        self.sound_range(&given.name, values, span)
    }

    /// The values, if there are any, not too many, each once and of the parameter's type.
    fn sound_range(
        &mut self,
        name: &str,
        values: Vec<Written>,
        span: Span,
    ) -> Option<Vec<RangeValue>> {
        if values.is_empty() {
            self.report_bad_range(span, "there is no value in it".to_owned());
        }
        if values.len() as u64 > MOST_VALUES {
            let message = format!("these are more than a range's {MOST_VALUES} values");
            self.report_bad_range(span, message);
            return None;
        }
        let wanted = self.top_type(name);
        let mut kept: Vec<RangeValue> = Vec::new();
        for (value, span) in values {
            let found = type_of(&value);
            if let Some(wanted) = wanted.filter(|wanted| *wanted != found) {
                let (wanted, found) = (in_words(wanted), in_words(found));
                let message = format!("the parameter `{name}` is {wanted}, not {found}");
                self.report_wrong_value(span, message);
                return None;
            }
            if kept.contains(&value) {
                self.report_bad_range(span, format!("`{}` is there twice", value.set_text()));
                return None;
            }
            kept.push(value);
        }
        Some(kept).filter(|kept| !kept.is_empty())
    }

    fn report_bad_range(&mut self, span: Span, message: String) {
        self.problems
            .report(Diagnostic::error(ids::BAD_RANGE, span, message));
    }
}

fn named(name: &str, values: Vec<RangeValue>) -> ParameterRange {
    ParameterRange {
        name: name.to_owned(),
        values,
    }
}

fn type_of(value: &RangeValue) -> ParameterType {
    match value {
        RangeValue::Number(_) | RangeValue::Decimal(_) => ParameterType::Number,
        RangeValue::Flag(_) => ParameterType::Flag,
        RangeValue::Name(_) => ParameterType::Name,
    }
}

/// A value that was set on the command line; `None` for a list.
fn range_value(value: &Value) -> Option<RangeValue> {
    Some(match value {
        Value::Number(number) => RangeValue::Number(*number),
        Value::Decimal(number) => RangeValue::Decimal(*number),
        Value::Flag(flag) => RangeValue::Flag(*flag),
        Value::Text(text, _) => RangeValue::Name(text.to_string()),
        Value::List(_) => return None,
    })
}

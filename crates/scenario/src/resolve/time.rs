//! Times as builders write them: `90s`, `1800t`, `10min`, `24h`.

use super::Resolver;
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::document::Expression;
use crate::ids;
use crate::source::Span;

/// The longest time, in ticks: some 450,000 years, so that sums of times are in no danger.
pub(super) const LONGEST_TICKS: i64 = 1 << 48;

/// A time with its unit, such as `90s`, in ticks of which so many are a second.
///
/// # Errors
///
/// Says what is wrong with it.
pub fn parse(text: &str, ticks_per_second: u32) -> Result<i64, String> {
    let number_length = text
        .find(|letter: char| letter.is_alphabetic() || letter == ' ')
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(number_length);
    let ticks_a_unit: i64 = match unit.trim() {
        "t" => 1,
        "s" => ticks_per_second.into(),
        "min" => 60 * i64::from(ticks_per_second),
        "h" => 3_600 * i64::from(ticks_per_second),
        "" => return Err(format!("the time `{text}` has no unit")),
        other => return Err(format!("`{other}` is no unit of time")),
    };
    let (whole, fraction) = number.split_once('.').unwrap_or((number, ""));
    let is_digits = |digits: &str| digits.bytes().all(|byte| byte.is_ascii_digit());
    let negative = whole.starts_with('-');
    let whole = whole.strip_prefix('-').unwrap_or(whole);
    if whole.is_empty() || !is_digits(whole) || !is_digits(fraction) || fraction.len() > 9 {
        return Err(format!("`{text}` is no time"));
    }
    let scale = 10_i128.pow(u32::try_from(fraction.len()).unwrap_or(0));
    let digits: i128 = format!("{whole}{fraction}")
        .parse()
        .map_err(|_| format!("the time `{text}` is too long"))?;
    let scaled = digits
        .checked_mul(ticks_a_unit.into())
        .ok_or_else(|| format!("the time `{text}` is too long"))?;
    if scaled % scale != 0 {
        return Err(format!("`{text}` is no whole number of ticks"));
    }
    let ticks =
        i64::try_from(scaled / scale).map_err(|_| format!("the time `{text}` is too long"))?;
    if ticks > LONGEST_TICKS {
        return Err(format!("the time `{text}` is too long"));
    }
    Ok(if negative { -ticks } else { ticks })
}

impl<'d> Resolver<'d> {
    /// A time in ticks, at least 0.
    pub(super) fn ticks(&mut self, scope: ScopeId, expression: &'d Expression) -> Option<u64> {
        let ticks = self.signed_ticks(scope, expression)?;
        u64::try_from(ticks)
            .map_err(|_| {
                self.report_bad_time(expression.span, "a time cannot be negative here".into())
            })
            .ok()
    }

    /// A time in ticks that may be negative.
    pub(super) fn signed_ticks(
        &mut self,
        scope: ScopeId,
        expression: &'d Expression,
    ) -> Option<i64> {
        let (text, written_in) = self.text(scope, expression, "a time such as `\"90s\"`")?;
        if parse(&text, self.rules.ticks_per_second).is_err()
            && let Some(help) = self.forgotten_dollar(written_in, &text)
        {
            let message = format!("`{text}` is no time");
            let problem = Diagnostic::error(ids::BAD_TIME, expression.span, message);
            self.problems.report(problem.help(help));
            return None;
        }
        self.time(&text, expression.span)
    }

    /// A duration of a part in ticks, at least 0.
    pub(super) fn part_ticks(&mut self, scope: ScopeId, expression: &'d Expression) -> Option<u32> {
        let ticks = self.ticks(scope, expression)?;
        u32::try_from(ticks)
            .map_err(|_| self.report_bad_time(expression.span, "this time is too long".into()))
            .ok()
    }

    /// A time that was written somewhere, in ticks.
    pub(super) fn time(&mut self, text: &str, span: Span) -> Option<i64> {
        parse(text, self.rules.ticks_per_second)
            .map_err(|message| self.report_bad_time(span, message))
            .ok()
    }

    fn report_bad_time(&mut self, span: Span, message: String) {
        let help = "write ticks `8t`, seconds `1.5s`, minutes `10min` or hours `24h`".to_owned();
        self.problems
            .report(Diagnostic::error(ids::BAD_TIME, span, message).help(help));
    }
}

#[cfg(test)]
mod tests {
    use super::parse;

    #[test]
    fn ticks_seconds_minutes_and_hours_become_ticks() {
        // 20 ticks a second: 90 s = 1,800 t, 1.5 s = 30 t, 10 min = 12,000 t.
        assert_eq!(parse("90s", 20), Ok(1800));
        assert_eq!(parse("1.5s", 20), Ok(30));
        assert_eq!(parse("10min", 20), Ok(12_000));
        assert_eq!(parse("24h", 20), Ok(1_728_000));
        assert_eq!(parse("0.5h", 20), Ok(36_000));
        assert_eq!(parse("-3t", 20), Ok(-3));
        assert_eq!(parse("0.05 s", 20), Ok(1));
    }

    #[test]
    fn what_makes_no_whole_ticks_is_refused() {
        for text in [
            "0.01s",
            "90",
            "5d",
            "s",
            "1e3t",
            "",
            "1.5t",
            "99999999999999999999s",
            "99999999999999s",
        ] {
            assert!(parse(text, 20).is_err(), "{text}");
        }
    }
}

//! Goals in words.

use hallwright_report::figures::{Amount, Quantity};
use hallwright_report::findings::Findings;
use hallwright_report::goals::{Bound, Check, Verdict};
use hallwright_report::units::{count, decimal, grouped, mean, percent, rate, time};

/// A goal in words: what was measured against which bound, and when it went wrong.
#[must_use]
pub fn goal_words(verdict: &Verdict, found: &Findings) -> String {
    let several_stops = found.stops.len() > 1;
    let mut words = verdict.subject.clone();
    // Of many stops, those that missed are reported, or else the last.
    let checks: Vec<&Check> = verdict
        .checks
        .iter()
        .filter(|check| !check.is_met())
        .collect();
    let checks = if checks.is_empty() {
        // A resuming has no check for a stop without a restart.
        let last = verdict.checks.iter().filter_map(|check| check.stop).max();
        let checks = verdict.checks.iter();
        checks
            .filter(|check| check.stop.is_none() || check.stop == last)
            .collect()
    } else {
        checks
    };
    let shown: Vec<String> = same_measure(&checks)
        .iter()
        .take(3)
        .map(|checks| {
            let stop = checks[0].stop.filter(|_| several_stops);
            let stop = stop.map_or_else(String::new, |stop| {
                let at = found.stops[stop].at.0;
                format!(" for the stop at {}", time(at, found.ticks_per_second))
            });
            format!("{}{stop}", check_words(checks, found.ticks_per_second))
        })
        .collect();
    if !shown.is_empty() {
        words.push_str(&format!(": {}", shown.join("; ")));
    }
    let reported = same_measure(&checks).len();
    if reported > 3 {
        words.push_str(&format!(" … and {} more", reported - 3));
    }
    // A mark is reported in ticks after its stop; a moment of the run beside it would only confuse.
    let is_mark = verdict
        .checks
        .iter()
        .any(|check| matches!(check.measured.amount, Amount::Ticks(_)));
    if let Some(at) = verdict.went_wrong_at.filter(|_| !is_mark) {
        words.push_str(&format!(
            ", first at {}",
            time(at.0, found.ticks_per_second)
        ));
    }
    if let Some(remark) = &verdict.remark {
        words.push_str(&format!(" ({remark})"));
    }
    words
}

/// Checks of the same value, one after the other, are reported together.
fn same_measure(checks: &[&Check]) -> Vec<Vec<Check>> {
    let mut groups: Vec<Vec<Check>> = Vec::new();
    for check in checks.iter().copied() {
        match groups.last_mut() {
            Some(group) if group[0].measured == check.measured && group[0].stop == check.stop => {
                group.push(*check);
            }
            _ => groups.push(vec![*check]),
        }
    }
    groups
}

/// `12.6 s (252 t), at most 10.0 s (200 t)`. The checks are all of one value.
fn check_words(checks: &[Check], ticks_per_second: u32) -> String {
    let measured = checks[0].measured;
    let shown = |bound: f64| bound_words(bound, measured, ticks_per_second);
    let bounds: Vec<String> = match checks {
        [
            Check {
                bound: Bound::AtLeast(least),
                ..
            },
            Check {
                bound: Bound::AtMost(most),
                ..
            },
        ] if least == most => vec![format!("exactly {}", shown(*most))],
        checks => checks
            .iter()
            .map(|check| match check.bound {
                Bound::AtLeast(least) => format!("at least {}", shown(least)),
                Bound::AtMost(most) => format!("at most {}", shown(most)),
            })
            .collect(),
    };
    let measured = quantity_words(measured, ticks_per_second);
    format!("{measured}, {}", bounds.join(", "))
}

/// A quantity with its unit: `12.6 s (252 t)`, `3 items`, `never`.
#[must_use]
pub fn quantity_words(quantity: Quantity, ticks_per_second: u32) -> String {
    let (one, many) = quantity.unit.things();
    match quantity.amount {
        Amount::Count(number) => count(number, one, many),
        Amount::Ticks(None) | Amount::Moment(None) => "never".to_owned(),
        Amount::Ticks(Some(ticks)) | Amount::Span(ticks) => time(ticks, ticks_per_second),
        Amount::Moment(Some(tick)) => format!("at {}", time(tick.0, ticks_per_second)),
        Amount::Rate(pace, ticks_per_second) => rate(pace, many, ticks_per_second),
        Amount::Share(share) => percent(share),
        Amount::Mean { sum, count } => {
            let unit = quantity.unit.words();
            format!("{} {unit}", decimal(mean(sum, count), 2))
        }
    }
}

/// A bound in the unit of what it bounds.
fn bound_words(bound: f64, measured: Quantity, ticks_per_second: u32) -> String {
    // Bounds on counts and ticks were whole numbers from the start.
    let whole = bound as u64;
    match (measured.amount, measured.unit) {
        (Amount::Ticks(_) | Amount::Span(_) | Amount::Moment(_), _) => {
            time(whole, ticks_per_second)
        }
        (Amount::Count(_), _) => grouped(whole),
        (Amount::Rate(..), unit) => format!("{bound:.2} {}/s", unit.things().1),
        (Amount::Share(_), _) => format!("{:.1} %", bound * 100.0),
        (Amount::Mean { .. }, unit) => format!("{} {}", decimal(bound, 2), unit.words()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hallwright_report::figures::Unit;
    use hallwright_report::units::Rate;

    fn of(amount: Amount, unit: Unit) -> Quantity {
        Quantity { amount, unit }
    }

    fn shown(measured: Quantity, bound: Bound) -> String {
        let check = Check {
            measured,
            bound,
            stop: None,
        };
        check_words(&[check], 20)
    }

    #[test]
    fn two_bounds_on_one_value_are_reported_together() {
        let check = |bound| Check {
            measured: of(Amount::Count(104), Unit::Items),
            bound,
            stop: None,
        };
        let least = check(Bound::AtLeast(104.0));
        let same = check(Bound::AtMost(104.0));
        let more = check(Bound::AtMost(1_000.0));
        assert_eq!(check_words(&[least, same], 20), "104 items, exactly 104");
        assert_eq!(
            check_words(&[least, more], 20),
            "104 items, at least 104, at most 1,000"
        );
        assert_eq!(same_measure(&[&least, &more]), [[least, more]]);
    }

    #[test]
    fn a_bound_is_shown_in_the_unit_of_what_it_bounds() {
        assert_eq!(
            shown(
                of(Amount::Ticks(Some(252)), Unit::Ticks),
                Bound::AtMost(200.0)
            ),
            "12.6 s (252 t), at most 10.0 s (200 t)"
        );
        assert_eq!(
            shown(of(Amount::Ticks(None), Unit::Ticks), Bound::AtMost(200.0)),
            "never, at most 10.0 s (200 t)"
        );
        let pace = Rate {
            items: 32,
            ticks: 256,
        };
        assert_eq!(
            shown(
                of(Amount::Rate(pace, 20), Unit::ItemsPerSecond),
                Bound::AtLeast(2.5)
            ),
            "2.50 items/s, at least 2.50 items/s"
        );
        assert_eq!(
            shown(
                of(Amount::Mean { sum: 30, count: 8 }, Unit::HoppersPerBlock),
                Bound::AtMost(4.0)
            ),
            "3.75 hoppers/block, at most 4.00 hoppers/block"
        );
    }
}

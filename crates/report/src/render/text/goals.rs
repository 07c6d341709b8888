//! Goals: those missed first.

use super::answers::LABEL;
use super::page::{Page, ROWS};
use crate::findings::Findings;
use crate::goals::{Bound, Check, MeanUnit, Measured, Verdict};
use crate::units::{count, grouped, items, percent, rate, time};

/// Writes how many goals were met, and each of them.
pub(super) fn write(page: &mut Page, found: &Findings) {
    if found.verdicts.is_empty() {
        return;
    }
    let (met, missed): (Vec<&Verdict>, Vec<&Verdict>) =
        found.verdicts.iter().partition(|verdict| verdict.is_met());
    page.labelled(
        "Goals",
        LABEL,
        &format!("{} of {} met", met.len(), found.verdicts.len()),
    );
    for verdict in &missed {
        page.labelled("  missed", LABEL, &words(verdict, found));
    }
    let shown = if met.len() > ROWS + 1 {
        ROWS
    } else {
        met.len()
    };
    for verdict in &met[..shown] {
        page.labelled("  met", LABEL, &words(verdict, found));
    }
    if shown < met.len() {
        page.labelled("", LABEL, &format!("… and {} more met", met.len() - shown));
    }
}

/// A goal in words: what was measured against which bound, and when it went wrong.
fn words(verdict: &Verdict, found: &Findings) -> String {
    let several_stops = found.stops.len() > 1;
    let mut words = verdict.subject.clone();
    // Of many stops, those that missed are told, or else the last.
    let checks: Vec<&Check> = verdict
        .checks
        .iter()
        .filter(|check| !check.is_met())
        .collect();
    let checks = if checks.is_empty() {
        verdict
            .checks
            .iter()
            .filter(|check| check.stop.is_none_or(|stop| stop + 1 == found.stops.len()))
            .collect()
    } else {
        checks
    };
    let shown: Vec<String> = checks
        .iter()
        .take(3)
        .map(|check| {
            let stop = check.stop.filter(|_| several_stops);
            let stop = stop.map_or_else(String::new, |stop| {
                let at = found.stops[stop].at.0;
                format!(" for the stop at {}", time(at, found.ticks_per_second))
            });
            format!("{}{stop}", check_words(check, found.ticks_per_second))
        })
        .collect();
    if !shown.is_empty() {
        words.push_str(&format!(": {}", shown.join("; ")));
    }
    if checks.len() > 3 {
        words.push_str(&format!(" … and {} more", checks.len() - 3));
    }
    if let Some(at) = verdict.went_wrong_at {
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

/// `12.6 s (252 t), at most 10.0 s (200 t)`.
fn check_words(check: &Check, ticks_per_second: u32) -> String {
    let (word, bound) = match check.bound {
        Bound::AtLeast(bound) => ("at least", bound),
        Bound::AtMost(bound) => ("at most", bound),
    };
    let measured = measured_words(check.measured, ticks_per_second);
    format!(
        "{measured}, {word} {}",
        bound_words(bound, check.measured, ticks_per_second)
    )
}

fn measured_words(measured: Measured, ticks_per_second: u32) -> String {
    match measured {
        Measured::Items(number) => items(number),
        Measured::Sieves(number) => count(number, "sieve", "sieves"),
        Measured::Ticks(None) | Measured::Moment(None) => "never".to_owned(),
        Measured::Ticks(Some(ticks)) => time(ticks, ticks_per_second),
        Measured::Moment(Some(tick)) => format!("at {}", time(tick.0, ticks_per_second)),
        Measured::Throughput(pace, ticks_per_second) => rate(pace, "items", ticks_per_second),
        Measured::Share(share) => percent(share),
        Measured::Mean(sum, number, unit) => {
            format!("{:.2} {}", crate::units::mean(sum, number), mean_unit(unit))
        }
    }
}

/// A bound in the unit of what it bounds.
fn bound_words(bound: f64, measured: Measured, ticks_per_second: u32) -> String {
    // Bounds on counts and ticks were whole numbers from the start.
    let whole = bound as u64;
    match measured {
        Measured::Items(_) | Measured::Sieves(_) => grouped(whole),
        Measured::Ticks(_) | Measured::Moment(_) => time(whole, ticks_per_second),
        Measured::Throughput(..) => format!("{bound:.2} items/s"),
        Measured::Share(_) => format!("{:.1} %", bound * 100.0),
        Measured::Mean(_, _, unit) => format!("{bound:.2} {}", mean_unit(unit)),
    }
}

fn mean_unit(unit: MeanUnit) -> &'static str {
    match unit {
        MeanUnit::WorkPerTick => "units/t",
        MeanUnit::HoppersPerBlock => "hoppers/block",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Rate;

    fn shown(measured: Measured, bound: Bound) -> String {
        let check = Check {
            measured,
            bound,
            stop: None,
        };
        check_words(&check, 20)
    }

    #[test]
    fn a_bound_is_shown_in_the_unit_of_what_it_bounds() {
        assert_eq!(
            shown(Measured::Ticks(Some(252)), Bound::AtMost(200.0)),
            "12.6 s (252 t), at most 10.0 s (200 t)"
        );
        assert_eq!(
            shown(Measured::Ticks(None), Bound::AtMost(200.0)),
            "never, at most 10.0 s (200 t)"
        );
        let pace = Rate {
            items: 32,
            ticks: 256,
        };
        assert_eq!(
            shown(Measured::Throughput(pace, 20), Bound::AtLeast(2.5)),
            "2.50 items/s, at least 2.50 items/s"
        );
        assert_eq!(
            shown(
                Measured::Mean(30, 8, MeanUnit::HoppersPerBlock),
                Bound::AtMost(4.0)
            ),
            "3.75 hoppers/block, at most 4.00 hoppers/block"
        );
    }
}

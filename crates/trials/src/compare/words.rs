//! Figures in words, each with its unit.

use super::range::Value;
use hallwright_report::figures::Unit;
use hallwright_report::units::{count, decimal, seconds, time};

/// A value with its unit: `23.1 s (462 t)`, `0 items`, `never`, `-` where nothing was measured.
#[must_use]
pub fn value_words(value: Value, unit: Unit, ticks_per_second: u32) -> String {
    match value {
        Value::Number(number) => number_words(number, unit, ticks_per_second),
        Value::Never => "never".to_owned(),
        Value::Nothing => "-".to_owned(),
    }
}

/// A number of at least 0 with its unit.
#[must_use]
pub fn number_words(number: f64, unit: Unit, ticks_per_second: u32) -> String {
    let whole = (number.fract() == 0.0).then_some(number as u64);
    match (unit, whole) {
        (Unit::Ticks | Unit::Tick, Some(ticks)) => time(ticks, ticks_per_second),
        (Unit::Ticks | Unit::Tick, None) => format!(
            "{} s ({} t)",
            decimal(number / f64::from(ticks_per_second.max(1)), 2),
            decimal(number, 1)
        ),
        (Unit::ItemsPerSecond | Unit::BoxesPerSecond | Unit::HoppersPerBlock, _) => {
            let slash = unit.words();
            format!("{} {slash}", decimal(number, 2))
        }
        // Rounded down, so that 100 % means all.
        (Unit::Share | Unit::StackShare, _) => {
            format!("{:.1} %", (number * 1000.0 + 1e-9).floor() / 10.0)
        }
        (Unit::MillisecondsPerTick, _) => {
            format!("{} {}", decimal(number, 4), unit.words())
        }
        (Unit::Hours, _) => format!("{} {}", decimal(number, 2), unit.words()),
        (Unit::WorkPerTick, _) | (_, None) => {
            format!("{} {}", decimal(number, 1), unit.words())
        }
        (unit, Some(number)) => {
            let (one, many) = unit.things();
            count(number, one, many)
        }
    }
}

/// A number with its unit, short enough for a narrow column: times in seconds alone.
#[must_use]
pub fn short_words(value: Value, unit: Unit, ticks_per_second: u32) -> String {
    match (unit, value) {
        (Unit::Ticks, Value::Number(ticks)) if ticks.fract() == 0.0 => {
            seconds(ticks as u64, ticks_per_second)
        }
        (unit, value) => value_words(value, unit, ticks_per_second),
    }
}

/// A difference with its sign and unit: `+14.3 s (286 t)`, `-3 items`, `0 items`.
#[must_use]
pub fn difference_words(difference: f64, unit: Unit, ticks_per_second: u32) -> String {
    let size = number_words(difference.abs(), unit, ticks_per_second);
    let size = match unit {
        Unit::Share | Unit::StackShare => format!("{:.1} points", difference.abs() * 100.0),
        _ => size,
    };
    format!("{}{size}", sign(difference))
}

fn sign(difference: f64) -> &'static str {
    if difference > 0.0 {
        "+"
    } else if difference < 0.0 {
        "-"
    } else {
        ""
    }
}

/// The number of a difference and its sign, without a unit; times in seconds.
fn bare(difference: f64, unit: Unit, ticks_per_second: u32) -> String {
    let size = difference.abs();
    let size = match unit {
        Unit::Ticks => decimal(size / f64::from(ticks_per_second.max(1)), 2),
        Unit::ItemsPerSecond | Unit::BoxesPerSecond | Unit::HoppersPerBlock | Unit::Hours => {
            decimal(size, 2)
        }
        Unit::MillisecondsPerTick => decimal(size, 4),
        Unit::Share | Unit::StackShare => decimal(size * 100.0, 1),
        _ if size.fract() == 0.0 => decimal(size, 0),
        _ => decimal(size, 1),
    };
    format!("{}{size}", sign(difference))
}

/// The unit of [`bare`] numbers.
fn bare_unit(unit: Unit) -> &'static str {
    match unit {
        Unit::Ticks => "s",
        Unit::Share | Unit::StackShare => "points",
        unit => unit.words(),
    }
}

/// From the least to the greatest difference: `+12.00 to +15.10 s`; one number if they are the same.
#[must_use]
pub fn span_words(least: f64, most: f64, unit: Unit, ticks_per_second: u32) -> String {
    if least == most {
        return difference_words(least, unit, ticks_per_second);
    }
    format!(
        "{} to {} {}",
        bare(least, unit, ticks_per_second),
        bare(most, unit, ticks_per_second),
        bare_unit(unit)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_has_its_unit() {
        let words = |number, unit| number_words(number, unit, 20);
        assert_eq!(words(462.0, Unit::Ticks), "23.1 s (462 t)");
        assert_eq!(words(462.5, Unit::Ticks), "23.12 s (462.5 t)");
        assert_eq!(words(1.0, Unit::Items), "1 item");
        assert_eq!(words(2.5, Unit::ItemsPerSecond), "2.50 items/s");
        assert_eq!(words(84.25, Unit::WorkPerTick), "84.2 units/t");
        // 1999/2000 is not all; 57/100 is not 56.9 %.
        assert_eq!(words(0.9995, Unit::Share), "99.9 %");
        assert_eq!(words(0.57, Unit::Share), "57.0 %");
        assert_eq!(value_words(Value::Never, Unit::Ticks, 20), "never");
    }

    #[test]
    fn differences_have_their_sign() {
        assert_eq!(difference_words(286.0, Unit::Ticks, 20), "+14.3 s (286 t)");
        assert_eq!(difference_words(-3.0, Unit::Items, 20), "-3 items");
        assert_eq!(difference_words(0.0, Unit::Goals, 20), "0 goals");
        assert_eq!(difference_words(-0.25, Unit::Share, 20), "-25.0 points");
        assert_eq!(
            span_words(-20.0, 302.0, Unit::Ticks, 20),
            "-1.00 to +15.10 s"
        );
        assert_eq!(span_words(4.0, 4.0, Unit::Hoppers, 20), "+4 hoppers");
    }
}

//! How numbers are shown: thousands set apart, each with what it counts, times in seconds and in ticks.

/// A whole number with commas between the thousands: `1,728`.
#[must_use]
pub fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut shown = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            shown.push(',');
        }
        shown.push(digit);
    }
    shown
}

/// A number of things with the right ending: `1 item`, `2 items`, `3 boxes`.
#[must_use]
pub fn count(number: u64, one: &str, many: &str) -> String {
    format!(
        "{} {}",
        grouped(number),
        if number == 1 { one } else { many }
    )
}

/// Seconds with one decimal, or two where one would not be exact: `12.6 s`, `12.65 s`.
#[must_use]
pub fn seconds(ticks: u64, ticks_per_second: u32) -> String {
    let rate = u128::from(ticks_per_second.max(1));
    let hundredths = (u128::from(ticks) * 100 + rate / 2) / rate;
    let whole = grouped(u64::try_from(hundredths / 100).unwrap_or(u64::MAX));
    let rest = hundredths % 100;
    if rest.is_multiple_of(10) {
        format!("{whole}.{} s", rest / 10)
    } else {
        format!("{whole}.{rest:02} s")
    }
}

/// A time in seconds and ticks: `12.6 s (252 t)`.
#[must_use]
pub fn time(ticks: u64, ticks_per_second: u32) -> String {
    format!(
        "{} ({} t)",
        seconds(ticks, ticks_per_second),
        grouped(ticks)
    )
}

/// A number with so many decimals, and commas between the thousands: `2,403.1`.
#[must_use]
pub fn decimal(number: f64, decimals: usize) -> String {
    let shown = format!("{number:.decimals$}");
    let (whole, rest) = shown.split_once('.').unwrap_or((&shown, ""));
    match whole.parse::<u64>() {
        Ok(whole) if rest.is_empty() => grouped(whole),
        Ok(whole) => format!("{}.{rest}", grouped(whole)),
        Err(_) => shown,
    }
}

/// Names in a row, cut where they are too many: `a, b … and 3 more`.
#[must_use]
pub fn listed(names: &[String], most: usize) -> String {
    if names.len() <= most {
        return names.join(", ");
    }
    format!(
        "{} … and {} more",
        names[..most].join(", "),
        names.len() - most
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_show_seconds_and_ticks() {
        // 252 / 20 = 12.6, 253 / 20 = 12.65, 72,000 / 20 = 3,600; 1 / 3 = 0.333...
        assert_eq!(time(252, 20), "12.6 s (252 t)");
        assert_eq!(time(253, 20), "12.65 s (253 t)");
        assert_eq!(time(72_000, 20), "3,600.0 s (72,000 t)");
        assert_eq!(time(0, 20), "0.0 s (0 t)");
        assert_eq!(seconds(1, 3), "0.33 s");
    }

    #[test]
    fn thousands_are_set_apart() {
        assert_eq!(grouped(12), "12");
        assert_eq!(grouped(100), "100");
        assert_eq!(grouped(1_234_567), "1,234,567");
        assert_eq!(decimal(2403.06, 1), "2,403.1");
        assert_eq!(decimal(0.5, 2), "0.50");
    }

    #[test]
    fn what_is_counted_has_its_ending() {
        assert_eq!(count(1, "box", "boxes"), "1 box");
        assert_eq!(count(2, "box", "boxes"), "2 boxes");
    }

    #[test]
    fn what_is_too_much_for_a_list_is_counted() {
        let names = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(listed(&names, 3), "a, b, c");
        assert_eq!(listed(&names, 2), "a, b … and 1 more");
    }
}

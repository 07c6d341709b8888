//! What was worked out from halls that were measured, for people.

use super::page::Page;
use hallwright_report::units::{count, decimal};
use hallwright_trials::calibrate::{Fit, FittedWeight, WhyZero};

/// The weights, how well they fit, and a line to paste into a scenario.
#[must_use]
pub fn calibrate_text(fit: &Fit, costs: &str, width_columns: u16) -> String {
    let mut page = Page::new(width_columns);
    page.line(&format!(
        "From {} that were measured:",
        count(fit.halls.len() as u64, "hall", "halls")
    ));
    page.blank();
    page.unbroken(costs);
    page.blank();
    for weight in &fit.weights {
        if let Some(why) = &weight.why_zero {
            page.line(&zero_words(weight, why, fit));
        }
    }
    page.blank();
    page.line(&how_well(fit));
    let rows = fit.halls.iter().map(|one| {
        let counts = one.hall.counts.map(|count| decimal(count, 2));
        let measured = decimal(one.hall.measured_ms, 4);
        let fitted = decimal(one.fitted_ms, 4);
        let [turns, updates, loose] = counts;
        let share = one.off_share();
        let share = share.map_or_else(|| "-".to_owned(), |share| signed(share * 100.0, 1));
        let off = signed(one.off_ms(), 4);
        vec![
            one.hall.name.clone(),
            turns,
            updates,
            loose,
            measured,
            fitted,
            off,
            share,
        ]
    });
    let header = [
        "hall",
        "turns",
        "updates",
        "loose",
        "ms/t",
        "by weights",
        "off",
        "off %",
    ];
    page.whole_table(&header, &rows.collect::<Vec<_>>());
    page.finish()
}

fn zero_words(weight: &FittedWeight, why: &WhyZero, fit: &Fit) -> String {
    let (field, words) = (weight.of.field(), weight.of.words());
    let halls = count(fit.halls.len() as u64, "hall tells", "halls tell");
    match why {
        WhyZero::NoneOfIt => format!("{field} is left at 0: no hall has any {words}."),
        WhyZero::TooFewHalls => format!(
            "{field} is left at 0: {halls} of no more weights. Measure another hall with \
             more or less of {words}."
        ),
        WhyZero::NotApart => format!(
            "{field} is left at 0: in these halls {words} and the other weights rise and fall \
             together, so nothing tells them apart. Measure a hall in which only one of them differs."
        ),
        WhyZero::BelowZero => format!(
            "{field} is 0: the other weights explain these halls at least as well without it."
        ),
    }
}

/// How well the weights fit, in plain words.
fn how_well(fit: &Fit) -> String {
    if fit.is_bound_to_fit() {
        return "There are as many weights as halls, so they fit whatever was measured: how good \
                they are, only another hall can show."
            .to_owned();
    }
    let off = decimal(fit.root_mean_square_ms(), 4);
    let farthest = fit
        .halls
        .iter()
        .max_by(|one, other| one.off_ms().abs().total_cmp(&other.off_ms().abs()));
    let farthest = farthest.map_or_else(String::new, |one| {
        let size = decimal(one.off_ms().abs(), 4);
        format!(", and {size} ms for \"{}\", the worst", one.hall.name)
    });
    // Rounded down, so that 100 % means all.
    let explained = fit.explained_share().map_or_else(String::new, |share| {
        let percent = (share * 1000.0 + 1e-9).floor() / 10.0;
        match percent {
            percent if percent < 0.0 => {
                " They fit worse than one number for all halls would (R² below 0).".to_owned()
            }
            percent => {
                format!(
                    " They explain {percent:.1} % of how the halls differ (R² {:.4}).",
                    (share * 10_000.0 + 1e-9).floor() / 10_000.0
                )
            }
        }
    });
    format!(
        "The weights are off by {off} ms a tick (root of the mean square){farthest}.{explained}"
    )
}

/// A number with its sign; 0 has none.
fn signed(number: f64, decimals: usize) -> String {
    let size = decimal(number.abs(), decimals);
    let is_zero = size
        .chars()
        .all(|letter| !letter.is_ascii_digit() || letter == '0');
    match number {
        _ if is_zero => size,
        number if number < 0.0 => format!("-{size}"),
        _ => format!("+{size}"),
    }
}

//! Arrivals by chance come as often as is said, whatever came in the tick before.
//!
//! Critical value: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4, upper 5 %, one degree of freedom.

use hallwright_core::timeline::Action;
use hallwright_scenario::LoadOptions;

use crate::{load_text, readable};

/// How many seeds each rate is tried with, for how many ticks.
const SEEDS: u64 = 1000;
const TICKS: usize = 1000;

const RATES: [f64; 3] = [0.05, 0.3, 0.75];

/// What chi-square exceeds in 5 % of all cases.
const CRITICAL: f64 = 3.841;

/// So many of the seeds may exceed it: 5 %, and four standard deviations more or less.
const REJECTED: std::ops::RangeInclusive<usize> = 22..=78;

/// In which ticks something comes.
fn ticks_of(rate: f64, seed: u64) -> Vec<bool> {
    let text = format!(
        r#"(
            title: "Rain",
            run_for: "{TICKS}t",
            goods: {{"ham": 16}},
            parts: {{"pond": Mouth}},
            arrivals: {{"rain": ByChance(place: "pond", kind: "ham", per_tick: {rate}, until: "{TICKS}t")}},
        )"#
    );
    let options = LoadOptions {
        seed: Some(seed),
        ..LoadOptions::default()
    };
    let mut ticks = vec![false; TICKS];
    for (tick, action) in readable(load_text(&text, &options)).timeline.entries() {
        assert!(matches!(action, Action::Deliver { count: 1, .. }));
        ticks[tick.0 as usize] = true;
    }
    ticks
}

/// How far counts are from what is expected.
fn chi_square(counts: &[f64], expected: &[f64]) -> f64 {
    let pairs = counts.iter().zip(expected);
    pairs
        .map(|(count, expected)| (count - expected).powi(2) / expected)
        .sum()
}

/// Whether a tick in which something comes follows one in which something came as often as chance would have it.
fn chi_square_of_neighbours(ticks: &[bool]) -> f64 {
    let mut counts = [0.0; 4];
    for pair in ticks.windows(2) {
        counts[2 * usize::from(pair[0]) + usize::from(pair[1])] += 1.0;
    }
    let all: f64 = counts.iter().sum();
    let [rows, columns] = [
        [counts[0] + counts[1], counts[2] + counts[3]],
        [counts[0] + counts[2], counts[1] + counts[3]],
    ];
    let expected = [(0, 0), (0, 1), (1, 0), (1, 1)]
        .map(|(row, column): (usize, usize)| rows[row] * columns[column] / all);
    chi_square(&counts, &expected)
}

#[test]
fn arrivals_by_chance_keep_their_rate() {
    for rate in RATES {
        let (mut of_rate, mut of_neighbours, mut came) = (0, 0, 0);
        for seed in 0..SEEDS {
            let ticks = ticks_of(rate, seed);
            let count = ticks.iter().filter(|comes| **comes).count();
            let (count, all) = (count as f64, TICKS as f64);
            let expected = [all * rate, all * (1.0 - rate)];
            of_rate += usize::from(chi_square(&[count, all - count], &expected) > CRITICAL);
            of_neighbours += usize::from(chi_square_of_neighbours(&ticks) > CRITICAL);
            came += count as u64;
        }
        assert!(REJECTED.contains(&of_rate), "{rate}: {of_rate}");
        assert!(REJECTED.contains(&of_neighbours), "{rate}: {of_neighbours}");
        // All seeds together, within four standard deviations.
        let all = SEEDS as f64 * TICKS as f64;
        let far = (came as f64 - all * rate).abs();
        assert!(
            far < 4.0 * (all * rate * (1.0 - rate)).sqrt(),
            "{rate}: {came}"
        );
    }
}

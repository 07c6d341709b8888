//! Counts how far the inputs came that coverage guides.

use std::sync::atomic::{AtomicU64, Ordering};

use hallwright_fuzz::Came;
use hallwright_fuzz::choices::Choices;

/// How many inputs were refused, read, and came through.
static COUNTS: [AtomicU64; 3] = [const { AtomicU64::new(0) }; 3];

/// Tries an input, which is mostly only read, and says now and then how far all of them came.
pub fn counted(try_one: fn(&mut Choices<'_>) -> Came, bytes: &[u8]) {
    let came = try_one(&mut Choices::mostly_read(bytes));
    COUNTS[came as usize].fetch_add(1, Ordering::Relaxed);
    let [refused, read, through] = COUNTS.each_ref().map(|count| count.load(Ordering::Relaxed));
    let all = refused + read + through;
    if all.is_power_of_two() && all >= 1024 {
        let share = |count: u64| 100.0 * count as f64 / all as f64;
        eprintln!(
            "{all} inputs: {:.1} % got past the parser, {:.1} % came through",
            share(read + through),
            share(through)
        );
    }
}

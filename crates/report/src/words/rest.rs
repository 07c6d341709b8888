//! What stood in the way of rest after a stop.

use crate::findings::{Leftovers, StopFinding};
use crate::units::{items, listed, time};

/// The most names that one list shows.
pub const MOST_NAMED: usize = 4;

/// What stood in the way of a mark that never came.
#[must_use]
pub fn why_never(stop: &StopFinding, ticks_per_second: u32) -> Option<String> {
    let marks = &stop.all;
    if marks.safe_to_close_ticks.is_some() && marks.quiet.ticks.is_some() {
        return None;
    }
    let mut left = obstacles(&stop.left);
    if left.is_empty() && marks.quiet.goods_arrive {
        return Some("goods go on arriving".to_owned());
    }
    left.extend(moves_later(stop, ticks_per_second));
    if left.is_empty() {
        return Some("what held at the end held for too short a time to be certain".to_owned());
    }
    Some(left.join("; "))
}

/// What stands in the way of rest, a phrase for each sort of it.
#[must_use]
pub fn obstacles(left: &Leftovers) -> Vec<String> {
    let held = |rows: &[crate::findings::PartCount]| -> Vec<String> {
        let rows = rows.iter();
        rows.map(|row| format!("{} ({})", row.part, items(row.items)))
            .collect()
    };
    let loose: Vec<String> = left
        .loose
        .iter()
        .map(|stack| format!("{} {} at {}", stack.items, stack.kind, stack.mouth))
        .collect();
    let lists = [
        ("still holding", held(&left.holding)),
        ("pulse under way", left.pulses.clone()),
        ("loose", loose),
        ("inside", held(&left.in_selectors)),
        ("aboard", held(&left.aboard)),
        ("to be lifted", held(&left.to_be_lifted)),
        ("still moving", left.still_moving.clone()),
    ];
    let named = lists.iter().filter(|(_, names)| !names.is_empty());
    named
        .map(|(label, names)| format!("{label}: {}", listed(names, MOST_NAMED)))
        .collect()
}

/// What the hall does by itself after the watch of a stop, if it stood still at its end.
#[must_use]
pub fn moves_later(stop: &StopFinding, ticks_per_second: u32) -> Option<String> {
    let later = stop.left.moves_later.as_ref()?;
    Some(format!(
        "goes on by itself without a restart or other input: {} {} later",
        listed(&later.parts, MOST_NAMED),
        time(later.after_ticks, ticks_per_second)
    ))
}

//! The way to a mark in words: what decided it, its rows, what a shorter time would save.

use hallwright_report::units::{Share, count, grouped, percent, time};

use super::explanation::{Beyond, CauseSum, PathRow, Shorter, StopPath};
use super::words::cause_words;

/// What cost most of the ticks from a stop to its mark, in a sentence.
#[must_use]
pub fn decided_words(stop: &StopPath, ticks: u64) -> String {
    let top = stop.by_cause.iter().take(2).map(|sum| {
        let share = Share {
            part: sum.ticks,
            whole: ticks,
        };
        let (cause, share) = (cause_words(sum.cause), percent(share));
        format!("{cause} ({share}, {})", where_most(sum))
    });
    let top: Vec<String> = top.collect();
    format!("What decided it: {}.", top.join(", then "))
}

/// Where a cause cost most, unless many parts are alike.
pub(super) fn where_most(sum: &CauseSum) -> String {
    match sum.alike {
        0 | 1 => format!("most of it at {}", sum.most_at),
        parts => format!("about as much at each of {} parts", grouped(parts)),
    }
}

/// What a shorter time would save, in words: which time, and by how much the mark comes sooner.
#[must_use]
pub fn shorter_words(shorter: &Shorter, ticks_per_second: u32) -> String {
    let time = |ticks| time(ticks, ticks_per_second);
    let together = match shorter.parts {
        1 => String::new(),
        parts => format!(" in all {}", grouped(parts)),
    };
    let what = format!(
        "{} of {} ({} t{together})",
        cause_words(shorter.cause),
        shorter.part,
        grouped(shorter.own_ticks)
    );
    let slack = time(shorter.slack_ticks);
    let words = match (shorter.slack_ticks, shorter.beyond) {
        (0, Beyond::NeverReached) => {
            "saves nothing; cut it, and the mark is never reached".to_owned()
        }
        (0, _) => "saves nothing; another path is slower".to_owned(),
        (_, Beyond::NoShorter) => format!("saves as much as you cut, up to {slack}"),
        (_, Beyond::AnotherWay) => {
            format!("saves up to {slack}; beyond that another path is slower")
        }
        (_, Beyond::NeverReached) => {
            format!("saves up to {slack}; cut more, and the mark is never reached")
        }
    };
    // What is bound to a beat is saved in steps.
    match shorter.most_ticks {
        Some(most) if shorter.slack_ticks == 0 && most > 0 => {
            format!("{what}: saves in steps, {} if cut to the least", time(most))
        }
        Some(most) if most > shorter.slack_ticks => {
            format!("{what}: {words}; cut to the least, it saves {}", time(most))
        }
        _ => format!("{what}: {words}"),
    }
}

/// A row of a way that is shown, or some that are left out.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ShownRow<'a> {
    /// A row.
    Row(&'a PathRow),
    /// Rows that are left out.
    Left {
        /// How many waits they are.
        rows: u64,
        /// Ticks of all of them.
        ticks: u64,
    },
}

/// The rows that cost most, at most so many, in the order of time; what is left out is counted.
#[must_use]
pub fn shown_rows(rows: &[PathRow], most: usize) -> Vec<ShownRow<'_>> {
    let mut by_ticks: Vec<usize> = (0..rows.len()).collect();
    by_ticks.sort_by_key(|row| std::cmp::Reverse(rows[*row].ticks.max(rows[*row].blocked_ticks)));
    by_ticks.truncate(most);
    by_ticks.sort_unstable();
    let mut shown = Vec::new();
    let mut next = 0;
    let left = |from: usize, to: usize| ShownRow::Left {
        rows: rows[from..to].iter().map(|row| row.waits).sum(),
        ticks: rows[from..to].iter().map(|row| row.ticks).sum(),
    };
    for row in by_ticks {
        if row > next {
            shown.push(left(next, row));
        }
        shown.push(ShownRow::Row(&rows[row]));
        next = row + 1;
    }
    if next < rows.len() {
        shown.push(left(next, rows.len()));
    }
    shown
}

/// A row in words: what it cost, why, and where.
#[must_use]
pub fn row_words(row: &PathRow) -> String {
    let blocked = if row.blocked_ticks > 0 {
        format!(
            "; something stood before it for {} t",
            grouped(row.blocked_ticks)
        )
    } else {
        String::new()
    };
    if row.rounds > 1 {
        let round = row.round.iter();
        let round = round.map(|(cause, part)| format!("{} ({part})", cause_words(*cause)));
        let round: Vec<String> = round.collect();
        return format!(
            "{} t in {} rounds of {}{blocked}",
            grouped(row.ticks),
            grouped(row.rounds),
            round.join(", ")
        );
    }
    if row.ticks == 0 {
        return format!("{} had room again{blocked}", row.first_part);
    }
    let parts = if row.first_part == row.last_part {
        row.first_part.clone()
    } else {
        format!("{} to {}", row.first_part, row.last_part)
    };
    let times = if row.waits > 1 {
        format!(" in {}", count(row.waits, "wait", "waits"))
    } else {
        String::new()
    };
    format!(
        "{} t{times}: {}, {parts}{blocked}",
        grouped(row.ticks),
        cause_words(row.cause)
    )
}

//! The page that explains a run.

mod troubles;
mod wrong;

use crate::text::page::Page;
use hallwright_explain::{Beyond, Explanation, PathRow, Shorter, StopPath, cause_words};
use hallwright_report::Heading;
use hallwright_report::goals::mark_words;
use hallwright_report::units::{Share, count, grouped, percent, time};

/// How many rows of the way are shown at most.
const ROWS: usize = 24;

/// The explanation as text of this width.
#[must_use]
pub fn explain_text(heading: &Heading, found: &Explanation, width_columns: u16) -> String {
    let mut page = Page::new(width_columns);
    let variant = heading.variant.as_ref();
    let variant = variant.map_or_else(String::new, |variant| format!(" — variant {variant}"));
    page.line(&format!("{}{variant}", heading.title));
    page.line(&format!(
        "seed {}, update order {}, signal order {}, version {}, input {}",
        heading.seed,
        heading.update_order,
        heading.signal_order,
        heading.version,
        heading.input_digest
    ));
    page.blank();
    let reporter = Teller {
        ticks_per_second: found.ticks_per_second,
    };
    match &found.stop {
        Some(stop) => reporter.stop(&mut page, stop),
        // Without a stop, what went wrong is all there is to explain.
        None if found.troubles.is_empty() => {
            page.line("The run has no stop, and all that is judged is as it should be.");
        }
        None => page.line("The run has no stop."),
    }
    wrong::write(&mut page, found);
    if !heading.command.is_empty() {
        page.blank();
        page.line(&format!("Again: {}", heading.command));
    }
    page.finish()
}

struct Teller {
    ticks_per_second: u32,
}

impl Teller {
    fn time(&self, ticks: u64) -> String {
        time(ticks, self.ticks_per_second)
    }

    fn stop(&self, page: &mut Page, stop: &StopPath) {
        let at = self.time(stop.at.0);
        let mark = mark_words(stop.mark);
        let Some(ticks) = stop.ticks else {
            page.line(&format!("Stopped at {at}, and never {mark}:"));
            for obstacle in &stop.in_the_way {
                page.labelled("", 2, obstacle);
            }
            wrong::stuck(page, &stop.stuck);
            return;
        };
        if stop.rows.is_empty() {
            page.line(&format!("Stopped at {at}: it was {mark} already."));
            return;
        }
        page.line(&format!(
            "Stopped at {at}, {mark} {} later. {}",
            self.time(ticks),
            self.summary(stop, ticks)
        ));
        self.sums(page, stop, ticks);
        self.way(page, stop, ticks);
        self.shorter(page, stop);
    }

    /// What cost most, in a sentence.
    fn summary(&self, stop: &StopPath, ticks: u64) -> String {
        let top = stop.by_cause.iter().take(2).map(|sum| {
            format!(
                "{} ({}, most of it at {})",
                cause_words(sum.cause),
                percent(share(sum.ticks, ticks)),
                sum.most_at
            )
        });
        let top: Vec<String> = top.collect();
        format!("What decided it: {}.", top.join(", then "))
    }

    fn sums(&self, page: &mut Page, stop: &StopPath, ticks: u64) {
        let causes: Vec<Vec<String>> = stop
            .by_cause
            .iter()
            .map(|sum| {
                vec![
                    cause_words(sum.cause).to_owned(),
                    grouped(sum.waits),
                    self.time(sum.ticks),
                    percent(share(sum.ticks, ticks)),
                    sum.most_at.clone(),
                ]
            })
            .collect();
        page.table(
            &["Waited for", "waits", "time", "share", "most at"],
            &causes,
        );
        let places: Vec<Vec<String>> = stop
            .by_place
            .iter()
            .map(|sum| {
                vec![
                    sum.place.clone(),
                    self.time(sum.ticks),
                    percent(share(sum.ticks, ticks)),
                    cause_words(sum.most_by).to_owned(),
                ]
            })
            .collect();
        page.table(&["Section", "time", "share", "most for"], &places);
    }

    fn way(&self, page: &mut Page, stop: &StopPath, ticks: u64) {
        page.blank();
        page.line("The way from the stop, in ticks after it:");
        let digits = grouped(ticks).len() + 4;
        let moment = |at: u64| format!("{:>digits$}  ", format!("{} t", grouped(at)));
        let width = digits + 2;
        let origin = if stop.from_the_stop {
            "the operator's stop"
        } else {
            "what was under way at the stop"
        };
        page.labelled(&moment(0), width, origin);
        for shown in shown_rows(&stop.rows) {
            match shown {
                Shown::Row(row) => {
                    page.labelled(&moment(row.from_ticks + row.ticks), width, &row_words(row));
                }
                Shown::Left { rows, ticks } => {
                    let waits = count(rows, "wait", "waits");
                    let words = format!("… {waits} more, {} t together", grouped(ticks));
                    page.labelled("", width, &words);
                }
            }
        }
        page.labelled(&moment(ticks), width, mark_words(stop.mark));
    }

    fn shorter(&self, page: &mut Page, stop: &StopPath) {
        if stop.shorter.is_empty() {
            return;
        }
        page.blank();
        page.line("What a shorter time would win (each tried by itself):");
        for shorter in &stop.shorter {
            page.labelled("", 2, &self.shorter_words(shorter));
        }
    }

    fn shorter_words(&self, shorter: &Shorter) -> String {
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
        let slack = self.time(shorter.slack_ticks);
        let words = match (shorter.slack_ticks, shorter.beyond) {
            (0, Beyond::NeverReached) => {
                "nothing, any shorter and the mark is never reached".to_owned()
            }
            (0, _) => "nothing, another way decides".to_owned(),
            (_, Beyond::NoShorter) => format!("all that is cut, at most {slack}"),
            (_, Beyond::AnotherWay) => format!("up to {slack}, then another way decides"),
            (_, Beyond::NeverReached) => {
                format!("up to {slack}, any shorter and the mark is never reached")
            }
        };
        // What is bound to a beat is won in steps.
        match shorter.most_ticks {
            Some(most) if shorter.slack_ticks == 0 && most > 0 => {
                format!("{what}: in steps, {} if cut to the least", self.time(most))
            }
            Some(most) if most > shorter.slack_ticks => {
                format!("{what}: {words}; cut to the least, {}", self.time(most))
            }
            _ => format!("{what}: {words}"),
        }
    }
}

enum Shown<'a> {
    Row(&'a PathRow),
    Left { rows: u64, ticks: u64 },
}

/// The rows that cost most, in the order of time; what is left out is counted.
fn shown_rows(rows: &[PathRow]) -> Vec<Shown<'_>> {
    let mut by_ticks: Vec<usize> = (0..rows.len()).collect();
    by_ticks.sort_by_key(|row| std::cmp::Reverse(rows[*row].ticks.max(rows[*row].blocked_ticks)));
    by_ticks.truncate(ROWS);
    by_ticks.sort_unstable();
    let mut shown = Vec::new();
    let mut next = 0;
    let left = |from: usize, to: usize| Shown::Left {
        rows: rows[from..to].iter().map(|row| row.waits).sum(),
        ticks: rows[from..to].iter().map(|row| row.ticks).sum(),
    };
    for row in by_ticks {
        if row > next {
            shown.push(left(next, row));
        }
        shown.push(Shown::Row(&rows[row]));
        next = row + 1;
    }
    if next < rows.len() {
        shown.push(left(next, rows.len()));
    }
    shown
}

fn share(part: u64, whole: u64) -> Share {
    Share { part, whole }
}

/// A row in words: what it cost, why, and where.
fn row_words(row: &PathRow) -> String {
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

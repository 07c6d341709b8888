//! The page that explains a run.

mod troubles;
mod wrong;

use crate::text::page::Page;
use hallwright_declared::declarations::Mark;
use hallwright_explain::{
    Explanation, ShownRow, StopPath, cause_words, decided_words, row_words, shorter_words,
    shown_rows,
};
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
            decided_words(stop, ticks)
        ));
        page.line(&other_marks(stop.mark));
        self.sums(page, stop, ticks);
        self.way(page, stop, ticks);
        self.shorter(page, stop);
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
                    match sum.alike {
                        0 | 1 => sum.most_at.clone(),
                        parts => format!("{} parts alike", grouped(parts)),
                    },
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
        for shown in shown_rows(&stop.rows, ROWS) {
            match shown {
                ShownRow::Row(row) => {
                    page.labelled(&moment(row.from_ticks + row.ticks), width, &row_words(row));
                }
                ShownRow::Left { rows, ticks } => {
                    let waits = count(rows, "wait", "waits");
                    let words = format!("… {waits} more, {} t together", grouped(ticks));
                    page.labelled("", width, &words);
                }
            }
        }
        page.labelled(&moment(ticks), width, mark_words(stop.mark));
    }

    fn shorter(&self, page: &mut Page, stop: &StopPath) {
        page.blank();
        if stop.shorter.is_empty() {
            page.line("No shorter time was tried: no wait on the way has a time of its own.");
            return;
        }
        page.line("What a shorter time would save in this run (each tried by itself):");
        for shorter in &stop.shorter {
            page.labelled("", 2, &shorter_words(shorter, self.ticks_per_second));
        }
        page.line(
            "In other orders of turns it may save less, or harm: try it in all orders with `hallwright check`.",
        );
    }
}

/// Which mark is explained, and how the others are asked for: each has causes of its own.
fn other_marks(mark: Mark) -> String {
    let [one, other] = match mark {
        Mark::Cleared => ["safe-to-close", "quiet"],
        Mark::SafeToClose => ["cleared", "quiet"],
        Mark::Quiet | Mark::Resumed => ["cleared", "safe-to-close"],
    };
    format!(
        "This explains \"{}\". Other marks have other causes: ask with `--mark {one}` or `--mark {other}`.",
        mark_words(mark)
    )
}

fn share(part: u64, whole: u64) -> Share {
    Share { part, whole }
}

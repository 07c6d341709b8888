//! The stops as the page shows them: the marks of the hall and of each section, and the way to each.

use hallwright_declared::declarations::Mark;
use hallwright_explain::{
    MarkWay, ShownRow, decided_words, mark_ways, row_words, shorter_words, shown_rows,
    slowest_first,
};
use hallwright_report::RunInput;
use hallwright_report::findings::{Findings, Marks};
use hallwright_report::goals::mark_words;
use hallwright_report::units::{count, grouped};
use serde_json::{Value, json};

/// So many stops are shown.
const STOPS: usize = 3;
/// So many rows of a way.
const ROWS: usize = 16;
/// Shorter times are tried as long as that takes no more than so many parts times ticks, for all stops.
const MOST_WORK: u64 = 800_000_000;

/// The first stops of a run: when, and of the hall and each section the marks, the slowest section first.
pub(super) fn stopping(input: &RunInput<'_>, found: &Findings) -> Value {
    let stops = found.stops.iter().enumerate().take(STOPS);
    let shown = stops.len().max(1) as u64;
    let stopping = stops.map(|(number, stop)| {
        let ways = mark_ways(input, found, number, MOST_WORK / shown);
        let row = |name: &str, section: Option<usize>, marks: &Marks| -> Value {
            let names = [Mark::Cleared, Mark::SafeToClose, Mark::Quiet];
            let marks = names.map(|mark| {
                let mut ways = ways.iter();
                let way = ways.find(|way| way.section == section && way.path.mark == mark);
                json!({
                    "name": mark_words(mark),
                    "ticks": ticks_of(marks, mark),
                    "isSure": mark != Mark::Quiet || marks.quiet.is_known,
                    "why": way.and_then(|way| why(way, found.ticks_per_second)),
                })
            });
            json!({"name": name, "isHall": section.is_none(), "marks": marks})
        };
        let mut rows = vec![row("the whole hall", None, &stop.all)];
        let sections = slowest_first(stop).into_iter();
        rows.extend(sections.map(|number| {
            let section = &stop.sections[number];
            row(&section.name, Some(number), &section.marks)
        }));
        json!({"at": stop.at.0, "rows": rows})
    });
    stopping.collect()
}

fn ticks_of(marks: &Marks, mark: Mark) -> Option<u64> {
    match mark {
        Mark::Cleared => marks.cleared_ticks,
        Mark::SafeToClose => marks.safe_to_close_ticks,
        Mark::Quiet | Mark::Resumed => marks.quiet.ticks,
    }
}

/// Why a mark came no sooner, in words, each row of the way with ticks after the stop and a part.
fn why(way: &MarkWay, ticks_per_second: u32) -> Option<Value> {
    let path = &way.path;
    let Some(ticks) = path.ticks else {
        let left = &path.in_the_way;
        return (!left.is_empty()).then(|| json!({"inTheWay": left}));
    };
    if path.rows.is_empty() {
        return None;
    }
    let rows = shown_rows(&path.rows, ROWS)
        .into_iter()
        .map(|row| match row {
            ShownRow::Row(row) => {
                json!([row.from_ticks + row.ticks, row.last_part, row_words(row)])
            }
            ShownRow::Left { rows, ticks } => {
                let waits = count(rows, "wait", "waits");
                json!([
                    null,
                    null,
                    format!("… {waits} more, {} t together", grouped(ticks))
                ])
            }
        });
    let shorter = path.shorter.iter();
    Some(json!({
        "decided": decided_words(path, ticks),
        "begin": match path.from_the_stop {
            true => "the operator's stop",
            false => "what was under way at the stop",
        },
        "rows": rows.collect::<Vec<Value>>(),
        "isTried": way.is_tried,
        "shorter": shorter.map(|shorter| shorter_words(shorter, ticks_per_second)).collect::<Vec<_>>(),
    }))
}

//! Requests, stacks put together, and what is left behind.

use super::page::{LABEL, Page};
use hallwright_report::findings::{
    DeskFinding, Findings, LeftBehind, RequestFinding, Stacks, TakingEnd,
};
use hallwright_report::units::{count, grouped, items, listed, time};
use hallwright_words::kinds;

/// Writes what a builder asks first: whether all requests were served, and what cannot be got out.
pub(super) fn answers(page: &mut Page, found: &Findings) {
    let requests: Vec<&RequestFinding> =
        found.desks.iter().flat_map(|desk| &desk.requests).collect();
    if !requests.is_empty() {
        page.labelled("Requests", LABEL, &requests_words(&requests, found));
    }
    if !found.left_behind.is_empty() {
        page.labelled("Left", LABEL, &left_words(&found.left_behind, found));
    }
}

fn requests_words(requests: &[&RequestFinding], found: &Findings) -> String {
    let all = requests.len() as u64;
    let open = requests.iter().filter(|request| request.owed_boxes > 0);
    let owed: u64 = open.clone().map(|request| request.owed_boxes).sum();
    let slowest = requests
        .iter()
        .filter_map(|request| request.running_ticks());
    let slowest = slowest.max().map_or_else(String::new, |ticks| {
        let time = time(ticks, found.ticks_per_second);
        format!("; the slowest in {time}, stops left out")
    });
    match open.count() as u64 {
        0 => format!("{} of {all} served{slowest}", grouped(all)),
        open => format!(
            "{} of {} served, {} still owed{slowest}",
            grouped(all - open),
            grouped(all),
            count(owed, "box", "boxes")
        ),
    }
}

fn left_words(open: &[LeftBehind], found: &Findings) -> String {
    let left: u64 = open.iter().map(|open| open.items).sum();
    let first = &open[0];
    let time = time(first.continued_ticks, found.ticks_per_second);
    let ended = match first.ended {
        TakingEnd::Quiet => format!("all was quiet {time} after the end"),
        TakingEnd::NothingCame => format!("nothing more came out by {time} after the end"),
        TakingEnd::Bound => format!("not certain: things still came out {time} after the end"),
    };
    match left {
        0 => format!("nothing behind in {}; {ended}", places(open)),
        left => format!("{} behind in {}; {ended}", items(left), places(open)),
    }
}

fn places(open: &[LeftBehind]) -> String {
    let names: Vec<String> = open
        .iter()
        .map(|open| format!("\"{}\"", open.name))
        .collect();
    listed(&names, 3)
}

/// Writes the tables.
pub(super) fn tables(page: &mut Page, found: &Findings) {
    requests(page, found);
    gathers(page, found);
    left_behind(page, found);
}

fn requests(page: &mut Page, found: &Findings) {
    let tps = found.ticks_per_second;
    let mut requests: Vec<(&DeskFinding, &RequestFinding)> = Vec::new();
    for desk in &found.desks {
        requests.extend(desk.requests.iter().map(|request| (desk, request)));
    }
    requests.sort_by_key(|(_, request)| request.at);
    let rows: Vec<Vec<String>> = requests
        .iter()
        .map(|(desk, request)| {
            let after = |tick: Option<hallwright_core::tick::Tick>| {
                tick.map_or_else(|| "never".to_owned(), |tick| time(tick - request.at, tps))
            };
            vec![
                format!("{} {}", grouped(request.asked_boxes), desk.kind),
                time(request.at.0, tps),
                after(request.first_at),
                after(request.last_at.filter(|_| request.owed_boxes == 0)),
                match request.stopped_ticks {
                    0 => "-".to_owned(),
                    ticks => time(ticks, tps),
                },
                count(request.owed_boxes, "box", "boxes"),
            ]
        })
        .collect();
    page.table(
        &[
            "Boxes of",
            "asked at",
            "first after",
            "last after",
            "stopped meanwhile",
            "owed",
        ],
        &rows,
    );
}

fn gathers(page: &mut Page, found: &Findings) {
    let cells = |stacks: Stacks| {
        [
            count(stacks.stacks, "stack", "stacks"),
            grouped(stacks.part_stacks),
        ]
    };
    let rows: Vec<Vec<String>> = found
        .gathers
        .iter()
        .map(|gather| {
            let mut row = vec![gather.name.clone()];
            row.extend(cells(gather.came_in));
            row.extend(cells(gather.left));
            row
        })
        .collect();
    page.table(
        &["Gather", "came in", "part stacks", "left", "part stacks"],
        &rows,
    );
}

fn left_behind(page: &mut Page, found: &Findings) {
    let rows: Vec<Vec<String>> = found
        .left_behind
        .iter()
        .map(|open| {
            let parts = open.parts.iter();
            let parts: Vec<String> = parts
                .map(|row| format!("{} {}", row.part, grouped(row.items)))
                .collect();
            let or_none = |words: String| match words.is_empty() {
                true => "nothing".to_owned(),
                false => words,
            };
            vec![
                open.name.clone(),
                items(open.taken_items),
                or_none(kinds(&open.contents)),
                count(open.boxes, "box", "boxes"),
                or_none(listed(&parts, 2)),
            ]
        })
        .collect();
    page.table(
        &[
            "Open to take",
            "taken at the end",
            "left behind",
            "of it in boxes",
            "where",
        ],
        &rows,
    );
}

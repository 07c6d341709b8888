//! The tables below the answers. What is not declared is left out.

use super::fit::CURVE;
use super::page::Page;
use super::retrieval;
use hallwright_report::figures::{Name, Of};
use hallwright_report::findings::{
    Backlog, Capacity, Findings, Marks, OverflowReason, SectionFinding, SieveFinding, StopFinding,
    StoreFinding, WorstWindow,
};
use hallwright_report::units::{
    Share, count, grouped, items, mean, ms_per_tick, percent, rate, seconds, things, time,
    work_per_tick,
};
use hallwright_words::build_words;
use hallwright_words::{kinds, quantity_words, reason_words};

/// Writes every table that has rows.
pub(super) fn write(page: &mut Page, found: &Findings) {
    stops(page, found);
    losses(page, found);
    stores(page, found);
    overflow(page, found);
    sieves(page, found);
    sections(page, found);
    flows(page, found);
    lamps(page, found);
    retrieval::tables(page, found);
    cost(page, found);
}

fn stops(page: &mut Page, found: &Findings) {
    // The marks of all together are reported above.
    for stop in found
        .stops
        .iter()
        .filter(|stop| stop.sections.len() > 1)
        .take(2)
    {
        stop_table(page, stop, found.ticks_per_second);
    }
}

fn stop_table(page: &mut Page, stop: &StopFinding, tps: u32) {
    let shown =
        |ticks: Option<u64>| ticks.map_or_else(|| "never".to_owned(), |ticks| time(ticks, tps));
    let row = |name: &str, marks: &Marks| {
        let doubt = marks.quiet.ticks.is_some() && !marks.quiet.is_known;
        vec![
            name.to_owned(),
            shown(marks.cleared_ticks),
            shown(marks.safe_to_close_ticks),
            format!(
                "{}{}",
                shown(marks.quiet.ticks),
                if doubt { "?" } else { "" }
            ),
        ]
    };
    let mut sections: Vec<_> = stop.sections.iter().collect();
    // The slowest first, those that never came to it before all.
    sections.sort_by_key(|section| {
        std::cmp::Reverse(section.marks.safe_to_close_ticks.unwrap_or(u64::MAX))
    });
    // All together first: never sooner than the slowest of them.
    let mut rows = vec![row("whole hall", &stop.all)];
    rows.extend(
        sections
            .iter()
            .map(|section| row(&section.name, &section.marks)),
    );
    let title = format!("Stop at {}", seconds(stop.at.0, tps));
    page.table(&[&title, "cleared", "safe to close", "quiet"], &rows);
    let sections = stop.sections.iter().map(|section| &section.marks);
    let mut all = sections.chain([&stop.all]);
    let is_in_doubt = |marks: &&Marks| marks.quiet.ticks.is_some() && !marks.quiet.is_known;
    if let Some(marks) = all.find(is_in_doubt) {
        page.line(match marks.quiet.goods_arrive {
            true => "? no item event since then, but goods go on arriving",
            false => "? no item event since then; watched for too short to be certain",
        });
    }
}

fn losses(page: &mut Page, found: &Findings) {
    let rows: Vec<Vec<String>> = found
        .loss
        .rows
        .iter()
        .map(|row| {
            let inside = kinds(&row.contents);
            let inside = if inside.is_empty() {
                inside
            } else {
                format!(" ({inside})")
            };
            vec![
                format!("{} {}{inside}", grouped(row.items), row.kind),
                row.mouth.clone(),
                time(row.at.0, found.ticks_per_second),
                seconds(row.age_ticks, found.ticks_per_second),
                reason_words(row.reason).to_owned(),
            ]
        })
        .collect();
    page.table(&["Lost", "at", "when", "age", "why"], &rows);
}

fn stores(page: &mut Page, found: &Findings) {
    let mut stores: Vec<&StoreFinding> = found.stores.iter().collect();
    // Those with something to find fault with first.
    stores.sort_by_key(|store| store.misplaced.is_empty());
    let any_misplaced = stores.iter().any(|store| !store.misplaced.is_empty());
    let rows: Vec<Vec<String>> = stores
        .iter()
        .map(|store| {
            let counted = |number| match store.capacity.is_for_boxes {
                true => count(number, "box", "boxes"),
                false => items(number),
            };
            let mut row = vec![
                store.name.clone(),
                counted(store.final_items),
                counted(store.peak_items),
                counted(store.arrived_items),
                room(&store.capacity),
            ];
            if any_misplaced {
                let misplaced = kinds(&store.misplaced);
                row.push(if misplaced.is_empty() {
                    "none".to_owned()
                } else {
                    misplaced
                });
            }
            row
        })
        .collect();
    let header = [
        "Store",
        "at the end",
        "most",
        "arrived",
        "room",
        "misplaced",
    ];
    page.table(&header[..if any_misplaced { 6 } else { 5 }], &rows);
}

/// What fits into a store: `250 boxes (432,000 items)`.
fn room(capacity: &Capacity) -> String {
    match (capacity.items, capacity.is_for_boxes) {
        (Some(number), true) => {
            format!(
                "{} ({})",
                count(capacity.slots, "box", "boxes"),
                items(number)
            )
        }
        (Some(number), false) => items(number),
        (None, true) => count(capacity.slots, "box", "boxes"),
        (None, false) => count(capacity.slots, "slot", "slots"),
    }
}

fn overflow(page: &mut Page, found: &Findings) {
    let mut names: Vec<&str> = found
        .overflow
        .rows
        .iter()
        .map(|row| row.kind.as_str())
        .collect();
    names.dedup();
    let is_box = |name: &str| {
        let mut rows = found.overflow.rows.iter();
        rows.any(|row| row.kind == name && row.is_box)
    };
    let rows: Vec<Vec<String>> = names
        .into_iter()
        .map(|name| {
            let of = |reason: OverflowReason| -> String {
                let rows = found.overflow.rows.iter();
                let rows = rows.filter(|row| row.kind == name && row.reason == reason);
                let sum = rows.map(|row| row.items).sum();
                things(sum, if is_box(name) { sum } else { 0 })
            };
            vec![
                name.to_owned(),
                of(OverflowReason::PassedBy),
                of(OverflowReason::StoreFull),
                of(OverflowReason::NoStore),
            ]
        })
        .collect();
    page.table(
        &[
            "Reached overflow",
            "passed by",
            "own store full",
            "no store",
        ],
        &rows,
    );
}

fn sieves(page: &mut Page, found: &Findings) {
    let rows: Vec<Vec<String>> = found
        .broken_sieves()
        .map(|sieve: &SieveFinding| {
            let since = sieve.broken_since.map_or_else(
                || "the start".to_owned(),
                |at| time(at.0, found.ticks_per_second),
            );
            let or_none = |words: String| {
                if words.is_empty() {
                    "none".to_owned()
                } else {
                    words
                }
            };
            vec![
                sieve.part.clone(),
                or_none(kinds(&sieve.missing)),
                or_none(kinds(&sieve.foreign)),
                since,
            ]
        })
        .collect();
    page.table(&["Sieve not intact", "missing", "foreign", "since"], &rows);
}

fn sections(page: &mut Page, found: &Findings) {
    let cover = |share: Share| {
        if share.whole == 0 {
            "-".to_owned()
        } else {
            percent(share)
        }
    };
    let has_returns = found
        .sections
        .iter()
        .any(|section| section.returned.is_some());
    let has_widths = found
        .sections
        .iter()
        .any(|section| section.width_blocks.is_some());
    // There is no width for everything.
    let has_curves = !(has_widths && has_returns);
    let row = |section: &SectionFinding| {
        let mut row = vec![
            section.name.clone(),
            things(section.backlog.peak_items, section.backlog.peak_boxes),
            things(section.backlog.final_items, section.backlog.final_boxes),
            cover(section.lock_cover),
        ];
        if has_widths {
            let hoppers = section
                .width_blocks
                .filter(|blocks| *blocks > 0)
                .map_or_else(
                    || count(section.hoppers, "hopper", "hoppers"),
                    |blocks| format!("{:.2}/block", mean(section.hoppers, blocks.into())),
                );
            row.push(hoppers);
        }
        if has_returns {
            let returned = section.returned.map(|returned| {
                let rounds = count(returned.rounds, "round", "rounds");
                format!("{}, {rounds}", items(returned.items))
            });
            row.push(returned.unwrap_or_else(|| "-".to_owned()));
        }
        if has_curves {
            row.push(curve(&section.backlog));
        }
        row
    };
    let rows: Vec<Vec<String>> = found.sections.iter().map(row).collect();
    let mut header = vec!["Section", "most waiting", "at the end", "lock cover"];
    header.extend(has_widths.then_some("hoppers"));
    header.extend(has_returns.then_some("went round"));
    header.extend(has_curves.then_some(CURVE));
    page.table(&header, &rows);
    for name in Name::all_noted() {
        if let Some(words) = noted(name, found) {
            page.line(&words);
        }
    }
}

/// What the catalogue has to report of sections: of each figure the worst section, if there is anything
/// to report.
fn noted(name: Name, found: &Findings) -> Option<String> {
    let sections = found.sections.iter().enumerate().rev();
    let of_each = sections.filter_map(|(place, section)| {
        let quantity = name.worst(found, &Of::section(Some(place)))?;
        Some((section, quantity, quantity.value()?))
    });
    // Of equals, the first.
    let (section, quantity, value) = of_each.max_by(|(.., one), (.., two)| {
        let order = one.total_cmp(two);
        if name.more_is_better() {
            order.reverse()
        } else {
            order
        }
    })?;
    let words = quantity_words(quantity, found.ticks_per_second);
    (value > 0.0).then(|| format!("{}: {words} in {} at worst", name.words(), section.name))
}

/// How many steps a drawn curve has.
const STEPS: usize = 16;

/// A backlog over time, drawn in bars: the most in each part of the run against the most of all.
fn curve(backlog: &Backlog) -> String {
    const BARS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
    let points = &backlog.curve_items;
    let step = points.len().div_ceil(STEPS).max(1);
    let heights = points
        .chunks(step)
        .map(|points| points.iter().copied().max().unwrap_or(0));
    let bar = |items: u64| match items * 7 {
        0 => BARS[0],
        // Whatever is there is seen.
        items => BARS[items.div_ceil(backlog.peak_items.max(1)).min(7) as usize],
    };
    heights.map(bar).collect()
}

fn flows(page: &mut Page, found: &Findings) {
    let tps = found.ticks_per_second;
    let rows: Vec<Vec<String>> = found
        .flows
        .iter()
        .map(|flow| {
            vec![
                flow.name.clone(),
                match flow.counts_boxes {
                    true => count(flow.items, "box", "boxes"),
                    false => items(flow.items),
                },
                flow.worst.as_ref().map_or_else(
                    || "not known".to_owned(),
                    |worst| worst_cell(worst, flow.unit(), tps),
                ),
                rate(flow.steadiest, flow.unit(), tps),
                rate(flow.counting, flow.unit(), tps),
                rate(flow.whole, flow.unit(), tps),
            ]
        })
        .collect();
    page.table(
        &[
            "Flow",
            "counted",
            "worst minute",
            "steadiest",
            "first to last",
            "whole run",
        ],
        &rows,
    );
}

/// `2.41 items/s`, or `2.41 items/s in 12.0 s` of a window that is no whole minute.
fn worst_cell(worst: &WorstWindow, unit: &str, tps: u32) -> String {
    let pace = rate(worst.rate, unit, tps);
    match worst.is_full {
        true => pace,
        false => format!("{pace} in {}", seconds(worst.rate.ticks, tps)),
    }
}

fn lamps(page: &mut Page, found: &Findings) {
    let rows: Vec<Vec<String>> = found
        .lamps
        .iter()
        .map(|lamp| {
            let (when, watched) = lamp.first_rise.map_or_else(
                || ("never".to_owned(), "-".to_owned()),
                |rise| {
                    (
                        time(rise.at.0, found.ticks_per_second),
                        things(rise.watched_items, lamp.first_rise_boxes),
                    )
                },
            );
            vec![
                lamp.name.clone(),
                when,
                watched,
                grouped(lamp.rises),
                if lamp.is_on { "on" } else { "off" }.to_owned(),
            ]
        })
        .collect();
    page.table(
        &["Lamp", "first rise", "holding then", "rises", "at the end"],
        &rows,
    );
}

fn cost(page: &mut Page, found: &Findings) {
    let cost = &found.cost;
    page.blank();
    let mut words = vec![format!(
        "work {} mean, {} units/t at most at {}",
        work_per_tick(cost.work_units, cost.work_ticks),
        grouped(cost.peak_work_units),
        time(cost.peak_at.0, found.ticks_per_second)
    )];
    if cost.rest_ticks > 0 {
        words.push(format!(
            "{} at rest",
            work_per_tick(cost.rest_work_units, cost.rest_ticks)
        ));
    }
    let mut hoppers = count(cost.hoppers, "hopper", "hoppers");
    if let Some(blocks) = cost.width_blocks.filter(|blocks| *blocks > 0) {
        let per_block = mean(cost.hoppers, blocks.into());
        hoppers.push_str(&format!(" on {blocks} blocks ({per_block:.2} a block)"));
    }
    words.push(hoppers);
    if cost.lock_cover.whole > 0 {
        words.push(format!("lock cover {}", percent(cost.lock_cover)));
    }
    if cost.clicks + cost.throws + cost.handed_on > 0 {
        words.push(format!(
            "droppers: {}, {} thrown, {} handed on",
            count(cost.clicks, "click", "clicks"),
            items(cost.throws),
            items(cost.handed_on)
        ));
    }
    if let Some(load) = &cost.load {
        let worst_at = time(load.worst_from.0, found.ticks_per_second);
        words.push(format!(
            "{} mean, {} in the worst second, from {worst_at}",
            ms_per_tick(load.mean_ms()),
            ms_per_tick(load.worst_ms()),
        ));
    }
    if cost.build.is_declared {
        words.push(build_words(&cost.build));
    }
    page.labelled("Cost", super::page::LABEL, &words.join("; "));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_shows_the_most_of_each_part() {
        // Thirty-two points are drawn two by two.
        let mut points = vec![0; 32];
        points[1] = 70;
        points[2] = 35;
        points[31] = 1;
        let backlog = Backlog {
            peak_items: 70,
            curve_items: points,
            ..Backlog::default()
        };
        // 70 of 70 is the highest bar, 35 of 70 is 3.5 of 7 and shown as 4, 1 of 70 still shows.
        assert_eq!(curve(&backlog), "█▅▁▁▁▁▁▁▁▁▁▁▁▁▁▂");
    }
}

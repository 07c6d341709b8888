//! What came of the runs, for people.

use std::fmt::Write as _;

use super::text::{row, table, time};
use crate::proof::{Proof, StopsProof};
use crate::report::PlanReport;

/// The section of the report about its runs.
pub(super) fn proof(report: &PlanReport, text: &mut String) {
    text.push_str("What came of it, beside what was promised\n");
    let Some(proof) = &report.proof else {
        text.push_str("nothing was run: `--no-proof`\n\n");
        return;
    };
    if proof.unmade_runs > 0 {
        let (runs, were) = match proof.unmade_runs {
            1 => ("run", "was"),
            _ => ("runs", "were"),
        };
        let _ = writeln!(
            text,
            "cut short: {} {runs} {were} not made, so this is not proven\n",
            proof.unmade_runs
        );
    }
    hauls(proof, text);
    stops(&proof.stops, text);
    room(proof, text);
    for promise in &proof.broken_promises {
        let _ = writeln!(text, "broken: {promise}");
    }
    if !proof.is_kept {
        text.push('\n');
    }
}

fn hauls(proof: &Proof, text: &mut String) {
    let mut rows = vec![row([
        &"items",
        &"sent",
        &"where they belong",
        &"in full sieves",
        &"waiting",
        &"astray",
        &"a second",
        &"goals met",
    ])];
    for haul in &proof.hauls {
        rows.push(row([
            &haul.variant,
            &haul.sent_items,
            &haul.home_items,
            &haul.full_sieves_items,
            &haul.waiting_items,
            &haul.astray_items,
            &format!("{:.2}", haul.items_a_second),
            &format!("{} of {}", haul.goals_met, haul.goals),
        ]));
    }
    table(&rows, text);
    for left_out in &proof.not_run {
        let _ = writeln!(text, "not run: {left_out}");
    }
    if !proof.not_run.is_empty() {
        text.push('\n');
    }
}

fn stops(stops: &StopsProof, text: &mut String) {
    if stops.runs == 0 {
        text.push_str("Stops under full load: none was tried\n\n");
        return;
    }
    let _ = writeln!(
        text,
        "Stops under full load: {} from tick {} to {}, in {}; {} of {} runs landed everything",
        stops.stop_ticks,
        stops.from_tick,
        stops.to_tick,
        stops.orders_words,
        stops.landed_runs,
        stops.runs
    );
    let worst = stops.worst_ticks.map_or_else(|| "never".to_owned(), time);
    let rows = [
        row([&"safe to close, wished within", &time(stops.wished_ticks)]),
        row([&"promised at most", &time(stops.promised_ticks)]),
        row([&"measured at worst", &worst]),
    ];
    table(&rows, text);
    // The table leaves a blank line; what belongs to it comes before that.
    text.pop();
    let _ = writeln!(
        text,
        "at worst: stop at tick {}, {}\nagain: hallwright run scenario.ron {}\n",
        stops.worst_stop_tick, stops.worst_orders, stops.worst_flags
    );
}

fn room(proof: &Proof, text: &mut String) {
    let mut rows = vec![row([
        &"stacks of room",
        &"slices in use",
        &"planned",
        &"in their stores",
    ])];
    for room in &proof.room {
        rows.push(row([
            &room.sort,
            &room.used_slices,
            &room.planned_stacks,
            &room.built_stacks,
        ]));
    }
    table(&rows, text);
}

//! The stop sweep in a table.

use super::page::{LABEL, Page};
use hallwright_report::figures::Name;
use hallwright_report::units::{count, grouped, listed, time};
use hallwright_trials::check::JUDGED_ANYWAY;
use hallwright_trials::compare::{Value, value_words};
use hallwright_trials::sweep::{MarkRange, SweepFindings, stop_ticks_of};
use hallwright_trials::{Case, order_words};

/// How many stop ticks are named.
const TICKS: usize = 5;

/// Writes what a sweep found.
pub(super) fn write(page: &mut Page, sweep: &SweepFindings) {
    page.blank();
    page.labelled("Sweep", LABEL, &heading(sweep));
    for missed in &sweep.missed {
        let asked = match missed.goal {
            Some(_) => String::new(),
            None => format!(", {JUDGED_ANYWAY}"),
        };
        let at = ticks(&missed.missed_in);
        let words = format!("{}{asked}: stop at {at}", missed.subject);
        page.labelled("  missed", LABEL, &words);
    }
    for (label, cases) in [
        (Name::MISPLACED.words(), &sweep.misplaced_in),
        (Name::PASSED_BY.words(), &sweep.passed_by_in),
        (Name::LOST.words(), &sweep.lost_in),
    ] {
        // A missed goal has said so already.
        let is_reported = sweep.missed.iter().any(|missed| missed.subject == label);
        if !cases.is_empty() && !is_reported {
            let words = format!("something was {label}: stop at {}", ticks(cases));
            page.labelled("", LABEL, &words);
        }
    }
    let mut sections: Vec<_> = sweep
        .marks
        .iter()
        .filter_map(|range| range.section.as_ref())
        .collect();
    sections.dedup();
    // A single section says little that all together do not say.
    let shown = sweep
        .marks
        .iter()
        .filter(|range| range.section.is_none() || sections.len() > 1);
    let mut header = vec!["Mark", "best", "worst", "worst stop at"];
    if sweep.tried.orders.pairs > 1 {
        header.extend(["update order", "signal order"]);
    }
    if sweep.tried.seeds > 1 {
        header.push("seed");
    }
    let rows: Vec<Vec<String>> = shown.map(|range| row(sweep, range)).collect();
    page.table(&header, &rows);
}

/// What was tried, and whether the goals were met.
fn heading(sweep: &SweepFindings) -> String {
    let answer = if sweep.goals_met() {
        "every goal met at each".to_owned()
    } else {
        let goals = sweep.missed.iter().filter(|missed| missed.goal.is_some());
        let goals = goals.count();
        let anyway = sweep.missed.len() - goals;
        let goals = (goals > 0).then(|| count(goals as u64, "goal", "goals"));
        let anyway = (anyway > 0).then(|| format!("{anyway} judged anyway"));
        let missed: Vec<String> = goals.into_iter().chain(anyway).collect();
        format!("{} missed at some", missed.join(" and "))
    };
    let cut_short = match sweep.unmade_runs {
        0 => String::new(),
        unmade => format!(
            "; cut short before {}",
            count(unmade, "more run", "more runs")
        ),
    };
    format!("{}: {answer}{cut_short}", tried(sweep))
}

/// Over what the worst was looked for: stop ticks, and, where there are several, orders and seeds.
fn tried(sweep: &SweepFindings) -> String {
    let (tried, tps) = (sweep.tried, sweep.ticks_per_second);
    let mut words = format!(
        "{} from {} to {}",
        count(tried.stop_ticks, "stop", "stops"),
        time(sweep.range.from.0, tps),
        time(sweep.range.to.0, tps)
    );
    if tried.orders.pairs > 1 || tried.seeds > 1 {
        words.push_str(&format!(
            " × {} × {} = {}",
            tried.orders.words(),
            count(tried.seeds, "seed", "seeds"),
            count(tried.runs, "run", "runs")
        ));
    }
    words
}

fn row(sweep: &SweepFindings, range: &MarkRange) -> Vec<String> {
    let shown = |value| shown(range, value, sweep.ticks_per_second);
    let stop_at = range.worst_in.stop_at;
    let scope = range.section.as_deref().unwrap_or("all");
    let worst = &range.worst_in;
    let mut row = vec![
        format!("{scope} {}", range.mark.words()),
        shown(range.ticks.best),
        shown(range.ticks.worst),
        stop_at.map_or_else(String::new, |tick| time(tick.0, sweep.ticks_per_second)),
    ];
    if sweep.tried.orders.pairs > 1 {
        row.push(order_words(&worst.orders.update));
        row.push(order_words(&worst.orders.signal));
    }
    if sweep.tried.seeds > 1 {
        row.push(worst.seed.to_string());
    }
    row
}

fn shown(range: &MarkRange, value: Value, ticks_per_second: u32) -> String {
    value_words(value, range.mark.unit(), ticks_per_second)
}

/// The same for a check: what was tried, then a line for each mark of all sections together.
pub(super) fn lines(sweep: &SweepFindings) -> Vec<String> {
    let (tried, tps) = (sweep.tried, sweep.ticks_per_second);
    let mut lines = vec![format!(
        "worst of {} from {} to {} × {} × {}:",
        count(tried.stop_ticks, "stop tick", "stop ticks"),
        time(sweep.range.from.0, tps),
        time(sweep.range.to.0, tps),
        tried.orders.words(),
        count(tried.seeds, "seed", "seeds"),
    )];
    let all = sweep.marks.iter().filter(|range| range.section.is_none());
    lines.extend(all.map(|range| {
        let never = match range.ticks.never {
            0 => String::new(),
            never => format!(" in {}", count(never, "run", "runs")),
        };
        format!(
            "{}: {}{never}, with {}",
            range.mark.words(),
            shown(range, range.ticks.worst, tps),
            range.worst_in.words(tps)
        )
    }));
    lines
}

fn ticks(cases: &[Case]) -> String {
    let ticks = stop_ticks_of(cases);
    let names: Vec<String> = ticks
        .iter()
        .map(|tick| format!("{} t", grouped(tick.0)))
        .collect();
    listed(&names, TICKS)
}

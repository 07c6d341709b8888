//! What a search found, for people.

use super::page::{Page, ROWS};
use hallwright_names as names;
use hallwright_report::units::{count, decimal, grouped, listed};
use hallwright_trials::check::JUDGED_ANYWAY;
use hallwright_trials::compare::{Value, value_words};
use hallwright_trials::tune::{Costs, Design, Fate, Measure, Near, Obstacle, Refusal, TuneReport};

/// The words that say what a line is about, and the room they take.
const LABEL: usize = 11;
/// How many values of a range are shown.
const VALUES: usize = 12;

/// What a search found as text of this width.
#[must_use]
pub fn tune_text(report: &TuneReport, width_columns: u16) -> String {
    let mut page = Page::new(width_columns);
    head(&mut page, report);
    page.blank();
    match report.cheapest {
        Some(cheapest) => found(&mut page, report, cheapest),
        None => none(&mut page, report),
    }
    refused(&mut page, report);
    broken(&mut page, report);
    if let Some(found) = &report.found {
        page.blank();
        page.line(match report.untried() {
            0 => "As a variant, to put among the scenario's own:",
            _ => "The best so far as a variant, to put among the scenario's own:",
        });
        for line in found.text.lines() {
            page.unbroken(&format!("    {line}"));
        }
    }
    page.finish()
}

/// The found design as a line to put among the scenario's variants; empty if there is none. If the search was cut
/// short, a comment says so.
#[must_use]
pub fn tune_variant(report: &TuneReport) -> String {
    let found = report.found.as_ref();
    // What is spelled out means the same in a text of RON.
    let comment = match report.untried() {
        0 => "",
        _ => "// Cut short: not proven to be the cheapest in its ranges.\n",
    };
    found.map_or_else(String::new, |found| {
        format!("{comment}{}\n", names::page(&found.text))
    })
}

fn head(page: &mut Page, report: &TuneReport) {
    let variant = report.variant.as_ref();
    let variant = variant.map_or_else(String::new, |variant| format!(" — variant {variant}"));
    page.line(&format!("{}{variant}", report.title));
    let compiled = report.designs.iter().filter(|one| one.fate.is_ok());
    let stops = match report.runs.stop_ticks {
        Some(stops) => format!(" × {}", count(stops, "stop tick", "stop ticks")),
        None => " × their stop ticks".to_owned(),
    };
    page.line(&format!(
        "{} × {} × {}{stops}: {}",
        count(compiled.count() as u64, "design", "designs"),
        report.runs.orders.words(),
        count(report.runs.seeds, "seed", "seeds"),
        count(report.runs.all, "run", "runs"),
    ));
    for range in &report.ranges {
        page.line(&format!(
            "{}: {}",
            range.name,
            listed(&range.values, VALUES)
        ));
    }
}

fn found(page: &mut Page, report: &TuneReport, cheapest: usize) {
    let words = format!(
        "{} of {} meet{} {} in every run{}",
        grouped(report.found() as u64),
        tried_words(report),
        if report.found() == 1 { "s" } else { "" },
        goals_words(report),
        cut_short_words(report),
    );
    page.labelled("Found", LABEL, &words);
    let (label, proven) = match report.untried() {
        0 => ("Cheapest", ""),
        _ => ("So far", "; not proven to be the cheapest"),
    };
    let words = format!(
        "by {}: {}{proven}",
        report.by.words(),
        report.settings(cheapest)
    );
    page.labelled(label, LABEL, &words);
    if let Some(costs) = report.designs[cheapest].costs() {
        page.labelled("", LABEL, &costs_words(costs, report).join(", "));
    }
    let again = &report.designs[cheapest].command;
    page.labelled("", LABEL, &format!("again: {again}"));
    kept_out(page, report);
    undominated(page, report);
}

/// How many designs the words are about: all, or those that were tried to the end.
fn tried_words(report: &TuneReport) -> String {
    let all = report.designs.len() as u64;
    match report.untried() as u64 {
        0 => count(all, "design", "designs"),
        untried => count(all - untried, "design tried", "designs tried"),
    }
}

/// How many designs were not tried to the end; empty if all were.
fn cut_short_words(report: &TuneReport) -> String {
    match report.untried() as u64 {
        0 => String::new(),
        1 => "; cut short before 1 more was tried to the end".to_owned(),
        untried => format!(
            "; cut short before {} more were tried to the end",
            grouped(untried)
        ),
    }
}

fn goals_words(report: &TuneReport) -> String {
    let goals = match report.goal_lines.len() as u64 {
        1 => "the goal".to_owned(),
        goals => format!("all {} goals", grouped(goals)),
    };
    // What is judged anyway is worth a word where it made a difference.
    let kept_out = report.kept_out();
    let mut anyway = kept_out
        .iter()
        .filter(|(goal, ..)| report.line_of(*goal).is_none());
    match anyway.next() {
        None => goals,
        Some(_) => format!("{goals} and all that is judged anyway"),
    }
}

/// How many designs each goal kept out.
fn kept_out(page: &mut Page, report: &TuneReport) {
    for (goal, subject, kept_out) in report.kept_out() {
        let words = format!(
            "{subject} kept out {}{}",
            count(kept_out as u64, "design", "designs"),
            asked_words(report, goal)
        );
        page.labelled(&line_label(report, goal), LABEL, &words);
    }
}

/// The label of a goal: its line in the scenario.
fn line_label(report: &TuneReport, goal: usize) -> String {
    let line = report.line_of(goal);
    let line = line.map_or_else(|| "-".to_owned(), |line| line.to_string());
    format!("  {line:>6} ")
}

/// That no goal asks it, where that is so.
fn asked_words(report: &TuneReport, goal: usize) -> String {
    match report.line_of(goal) {
        Some(_) => String::new(),
        None => format!(", {JUDGED_ANYWAY}"),
    }
}

fn costs_words(costs: &Costs, report: &TuneReport) -> Vec<String> {
    let words = Measure::ALL.map(|measure| cost_words(costs, measure, report));
    words.into_iter().flatten().collect()
}

/// One figure with its unit; `None` if the design has no such thing.
fn cost_words(costs: &Costs, measure: Measure, report: &TuneReport) -> Option<String> {
    let name = measure.figure(report.has_sections);
    let value = costs.value(measure);
    let words = value_words(value, name.unit(), report.ticks_per_second);
    match (measure, value) {
        (_, Value::Nothing) => None,
        (Measure::Stop, Value::Never) => Some(format!("{words} {}", name.words())),
        (Measure::Stop, _) => Some(format!("{} after {words}", name.words())),
        _ => Some(words),
    }
}

/// The designs that no other beats. Those that cost the same are one row.
fn undominated(page: &mut Page, report: &TuneReport) {
    let mut groups: Vec<(usize, &Costs, u64)> = Vec::new();
    for number in &report.undominated {
        let Some(costs) = report.designs[*number].costs() else {
            continue;
        };
        match groups.iter_mut().find(|(_, first, _)| first.is_same(costs)) {
            Some((.., more)) => *more += 1,
            None => groups.push((*number, costs, 0)),
        }
    }
    let shown: Vec<Measure> = Measure::ALL
        .into_iter()
        .filter(|measure| {
            let mut costs = groups.iter().map(|(_, costs, _)| costs);
            costs.any(|costs| cost_words(costs, *measure, report).is_some())
        })
        .collect();
    let rows: Vec<Vec<String>> = groups
        .iter()
        .map(|(number, costs, more)| {
            let values: Vec<&str> = report.values(*number).map(|(_, value)| value).collect();
            let mut name = values.join(", ");
            if *more > 0 {
                name.push_str(&format!(" and {more} more"));
            }
            let figures = shown.iter().map(|measure| figure(costs, *measure, report));
            std::iter::once(name).chain(figures).collect()
        })
        .collect();
    let names: Vec<&str> = report
        .ranges
        .iter()
        .map(|range| range.name.as_str())
        .collect();
    page.blank();
    let other = match report.untried() {
        0 => "No other",
        _ => "So far no other",
    };
    page.line(&format!(
        "{other} beats these values of {}:",
        names.join(", ")
    ));
    let mut header = vec!["values"];
    header.extend(shown.iter().map(|measure| match measure {
        Measure::Stop => measure.figure(report.has_sections).words(),
        other => other.words(),
    }));
    page.table(&header, &rows);
}

/// A figure below the name of its column.
fn figure(costs: &Costs, measure: Measure, report: &TuneReport) -> String {
    let unit = measure.figure(report.has_sections).unit();
    match (measure, costs.value(measure)) {
        (_, Value::Nothing) => "—".to_owned(),
        // The name is the unit.
        (Measure::Hoppers, Value::Number(hoppers)) => decimal(hoppers, 0),
        (_, value) => value_words(value, unit, report.ticks_per_second),
    }
}

fn none(page: &mut Page, report: &TuneReport) {
    let so_far = match report.untried() {
        0 => "in these ranges",
        _ => "so far",
    };
    let words = format!(
        "{so_far}: of {}, none meets {} in every run{}",
        tried_words(report),
        goals_words(report),
        cut_short_words(report),
    );
    page.labelled("None", LABEL, &words);
    if report.is_cut_short {
        kept_out(page, report);
        let words = "not worked out, for the search was cut short";
        page.labelled("Nearest", LABEL, words);
    }
    if let Some((_, first)) = report.nearest.first() {
        let missed = count(report.nearest.len() as u64, "goal", "goals");
        let words = format!("{} misses {missed}", report.settings(first.candidate));
        page.labelled("Nearest", LABEL, &words);
        for (goal, near) in &report.nearest {
            let label = line_label(report, *goal);
            let words = format!("{}{}", near_words(near, report), asked_words(report, *goal));
            page.labelled(&label, LABEL, &words);
        }
        let again = &report.designs[first.candidate].command;
        page.labelled("", LABEL, &format!("again: {again}"));
    }
    if !report.obstacles.is_empty() {
        page.blank();
        page.line("Goals that failed (designs lost to each, and the nearest miss):");
    }
    for obstacle in &report.obstacles {
        let label = line_label(report, obstacle.goal);
        page.labelled(&label, LABEL, &obstacle_words(obstacle, report));
    }
}

/// A goal in the run in which it came off worst.
fn near_words(near: &Near, report: &TuneReport) -> String {
    let case = &report.designs[near.candidate].cases[near.run];
    let case = case.words(report.ticks_per_second);
    format!("{}; worst with {case}", near.figure.words)
}

fn obstacle_words(obstacle: &Obstacle, report: &TuneReport) -> String {
    let nearest = &obstacle.nearest;
    let how = if nearest.figure.is_met {
        "met"
    } else {
        "nearest"
    };
    format!(
        "{} lost{}; {how} with {}: {}",
        count(obstacle.kept_out as u64, "design", "designs"),
        asked_words(report, obstacle.goal),
        report.settings(nearest.candidate),
        nearest.figure.words,
    )
}

/// Designs that do not compile.
fn refused(page: &mut Page, report: &TuneReport) {
    let refusals = report.designs.iter().enumerate();
    let refusals: Vec<(usize, &Refusal)> = refusals
        .filter_map(|(number, one)| Some((number, one.fate.as_ref().err()?)))
        .collect();
    if refusals.is_empty() {
        return;
    }
    page.blank();
    let number = count(refusals.len() as u64, "design does", "designs do");
    page.labelled("Refused", LABEL, &format!("{number} not compile"));
    for (number, refusal) in refusals.iter().take(ROWS) {
        let line = refusal
            .line
            .map_or_else(String::new, |line| format!(":{line}"));
        let words = format!(
            "{}: {}{line}: {}",
            report.settings(*number),
            refusal.file,
            refusal.message
        );
        page.labelled("", LABEL, &words);
    }
    if refusals.len() > ROWS {
        let more = refusals.len() - ROWS;
        page.labelled("", LABEL, &format!("… and {more} more"));
    }
}

/// Designs that broke an invariant.
fn broken(page: &mut Page, report: &TuneReport) {
    let designs = report.designs.iter().enumerate();
    for (number, design) in designs {
        let Design { cases, command, .. } = design;
        let Ok(Fate::Broken(run, message)) = &design.fate else {
            continue;
        };
        page.blank();
        let settings = report.settings(number);
        page.labelled(
            "Broken",
            LABEL,
            &format!("{settings}: an invariant broke: {message}"),
        );
        if let Some(case) = cases.get(*run) {
            let case = case.words(report.ticks_per_second);
            page.labelled("", LABEL, &format!("with {case}; a bug in hallwright"));
        }
        page.labelled("", LABEL, &format!("again: {command}"));
    }
}

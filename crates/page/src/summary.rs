//! What a builder asks first, as the page shows it.

use hallwright_core::declare::{Declarations, Goal, Mark};
use serde::Serialize;

use hallwright_report::Heading;
use hallwright_report::findings::{Findings, OverflowReason, StopFinding};
use hallwright_report::units::{
    count, decimal, grouped, items, percent, rate, time, work_per_tick,
};
use hallwright_report::words::{self, goal_words};

/// The summary of one run.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct Summary {
    /// What the run is called: its variant, or its title.
    pub(super) name: String,
    /// The answers.
    pub(super) cards: Vec<Card>,
    /// Every goal, those missed first.
    pub(super) goals: Vec<GoalRow>,
    /// What the run was made from.
    pub(super) made_from: Vec<(String, String)>,
}

/// One question and its answer.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct Card {
    /// What is asked.
    pub(super) question: &'static str,
    /// `good`, `bad` or `plain`.
    pub(super) state: &'static str,
    /// How many pixels wide it should be.
    pub(super) room_pixels: u16,
    /// The answer in a word or a figure.
    pub(super) answer: String,
    /// What there is to say to it, line by line.
    pub(super) lines: Vec<Line>,
}

/// A line of a card.
#[derive(Clone, PartialEq, Debug, Default, Serialize)]
pub(super) struct Line {
    /// What the figure is.
    pub(super) label: String,
    /// The figure with its unit.
    pub(super) figure: String,
    /// The bound that a goal sets.
    pub(super) bound: String,
    /// `good` or `bad` where there is a bound.
    pub(super) state: &'static str,
}

/// A goal.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct GoalRow {
    /// `good` or `bad`.
    pub(super) state: &'static str,
    /// What was measured against which bound.
    pub(super) words: String,
}

/// Sums up a run.
pub(super) fn summary(heading: &Heading, declared: &Declarations, found: &Findings) -> Summary {
    let mut cards = vec![goals_card(found), sorting_card(found)];
    cards.extend(throughput_card(declared, found));
    let stops = found.stops.iter().enumerate().take(3);
    cards.extend(stops.map(|(number, stop)| stop_card(number, stop, declared, found)));
    if found.stops.is_empty() {
        cards.push(rest_card(found));
    }
    cards.push(loss_card(declared, found));
    cards.push(cost_card(declared, found));
    let (met, missed): (Vec<_>, Vec<_>) =
        found.verdicts.iter().partition(|verdict| verdict.is_met());
    let row = |state| {
        move |verdict| GoalRow {
            state,
            words: goal_words(verdict, found),
        }
    };
    let goals = missed.into_iter().map(row("bad"));
    let goals = goals.chain(met.into_iter().map(row("good")));
    let variant = heading.variant.clone();
    Summary {
        name: variant.unwrap_or_else(|| heading.title.clone()),
        cards,
        goals: goals.collect(),
        made_from: made_from(heading, found),
    }
}

fn state(is_good: bool) -> &'static str {
    if is_good { "good" } else { "bad" }
}

fn made_from(heading: &Heading, found: &Findings) -> Vec<(String, String)> {
    let pair = |label: &str, text: String| (label.to_owned(), text);
    vec![
        pair("ran", time(found.run_ticks, found.ticks_per_second)),
        pair("seed", heading.seed.to_string()),
        pair("update order", heading.order.clone()),
        pair("version", heading.version.clone()),
        pair("input", heading.input_digest.clone()),
        pair("again", heading.command.clone()),
    ]
}

fn goals_card(found: &Findings) -> Card {
    let met = found.verdicts.iter().filter(|verdict| verdict.is_met());
    let (met, all) = (met.count(), found.verdicts.len());
    let missed = found.verdicts.iter().filter(|verdict| !verdict.is_met());
    let lines = missed.take(4).map(|verdict| Line {
        label: goal_words(verdict, found),
        state: "bad",
        ..Line::default()
    });
    Card {
        room_pixels: 138,
        question: "Goals",
        state: if all == 0 { "plain" } else { state(met == all) },
        answer: if all == 0 {
            "none set".to_owned()
        } else {
            format!("{met} of {all} met")
        },
        lines: lines.collect(),
    }
}

/// An answer such as `yes: this; that` as a card with a line for each of the things said.
fn answered(question: &'static str, words: &str) -> Card {
    let (answer, rest) = words.split_once(": ").unwrap_or((words, ""));
    let lines = rest.split("; ").filter(|line| !line.is_empty());
    Card {
        room_pixels: 185,
        question,
        state: match answer {
            "yes" | "nothing" => "good",
            "no" => "bad",
            _ => "plain",
        },
        answer: answer.to_owned(),
        lines: lines.map(said).collect(),
    }
}

fn said(words: &str) -> Line {
    Line {
        label: words.to_owned(),
        ..Line::default()
    }
}

/// A figure without a bound.
fn figure(label: &str, figure: String) -> Line {
    Line {
        label: label.to_owned(),
        figure,
        ..Line::default()
    }
}

fn sorting_card(found: &Findings) -> Card {
    if found.stores.is_empty() && found.sieves.is_empty() {
        return Card {
            room_pixels: 185,
            question: "Sorted",
            state: "plain",
            answer: "not known".to_owned(),
            lines: vec![said("no store is declared")],
        };
    }
    let mut card = answered("Sorted", &words::sorted(found));
    card.lines.clear();
    let here = &found.whereabouts;
    if !found.stores.is_empty() {
        let passed_by = found.overflow.items(OverflowReason::PassedBy);
        let misplaced = found.misplaced_items();
        let wrong = |label, items| Line {
            state: if items > 0 { "bad" } else { "" },
            ..figure(label, grouped(items))
        };
        card.lines = vec![
            figure("where they belong", grouped(here.sorted_items)),
            wrong("misplaced", misplaced),
            wrong("passed by", passed_by),
            figure("in overflow", grouped(here.overflow_items)),
            figure("in no store", grouped(here.unstored_items())),
        ];
    }
    if !found.sieves.is_empty() {
        let intact = found
            .sieves
            .iter()
            .filter(|sieve| sieve.is_intact())
            .count();
        let all = found.sieves.len();
        card.lines.push(Line {
            state: if intact < all { "bad" } else { "" },
            ..figure("sieves intact", format!("{intact} of {all}"))
        });
    }
    card
}

fn throughput_card(declared: &Declarations, found: &Findings) -> Option<Card> {
    if found.flows.is_empty() && found.sections.is_empty() {
        return None;
    }
    let waiting = words::kept_up(found);
    let mut card = answered("Kept up", waiting.split("; ").next().unwrap_or(""));
    card.room_pixels = 230;
    card.lines = waiting_lines(found);
    for (index, flow) in found.flows.iter().enumerate().take(4) {
        let least = declared.goals.iter().find_map(|goal| match goal {
            Goal::ThroughputAtLeast {
                flow,
                items_per_second,
            } if *flow == index => Some(*items_per_second),
            _ => None,
        });
        let measured = flow.steadiest.per_second(found.ticks_per_second);
        card.lines.push(Line {
            label: flow.name.clone(),
            figure: rate(flow.steadiest, flow.unit(), found.ticks_per_second),
            bound: least.map_or_else(String::new, |least| format!("≥ {least:.2}")),
            state: least.map_or("", |least| state(measured >= least)),
        });
    }
    if found.sections.is_empty() {
        card.answer = String::new();
        card.state = "plain";
    }
    Some(card)
}

/// The most that waited anywhere, and what waits at the end.
fn waiting_lines(found: &Findings) -> Vec<Line> {
    // Of equals, the first.
    let sections = found.sections.iter().rev();
    let worst = sections.max_by_key(|section| section.backlog.peak_items);
    let Some(worst) = worst.filter(|section| section.backlog.peak_items > 0) else {
        return Vec::new();
    };
    let left: u64 = found
        .sections
        .iter()
        .map(|section| section.backlog.final_items)
        .sum();
    vec![
        figure("left at the end", items(left)),
        figure(
            &format!("most, in {}", worst.name),
            items(worst.backlog.peak_items),
        ),
    ]
}

fn stop_card(number: usize, stop: &StopFinding, declared: &Declarations, found: &Findings) -> Card {
    let tps = found.ticks_per_second;
    let bound = |which: Mark| {
        declared.goals.iter().find_map(|goal| match goal {
            Goal::MarkWithin {
                mark,
                section: None,
                ticks,
            } if *mark == which => Some(*ticks),
            _ => None,
        })
    };
    let line = |label: &str, mark: Mark, ticks: Option<u64>, figure: String| {
        let most = bound(mark);
        Line {
            label: label.to_owned(),
            figure,
            bound: most.map_or_else(String::new, |most| {
                format!("≤ {}", hallwright_report::units::seconds(most, tps))
            }),
            state: most.map_or("", |most| state(ticks.is_some_and(|ticks| ticks <= most))),
        }
    };
    let marks = &stop.all;
    let after =
        |ticks: Option<u64>| ticks.map_or_else(|| "never".to_owned(), |ticks| time(ticks, tps));
    let mut lines = Vec::new();
    if !stop.sections.is_empty() {
        let ticks = marks.cleared_ticks;
        lines.push(line("cleared", Mark::Cleared, ticks, after(ticks)));
    }
    let ticks = marks.safe_to_close_ticks;
    lines.push(line(
        "safe to close",
        Mark::SafeToClose,
        ticks,
        after(ticks),
    ));
    let ticks = marks.quiet.ticks;
    let quiet = match ticks {
        Some(ticks) if !marks.quiet.is_known => format!("{}?", time(ticks, tps)),
        ticks => after(ticks),
    };
    lines.push(line("quiet", Mark::Quiet, ticks, quiet));
    if let Some(resume) = &stop.resume {
        let ticks = resume.resumed_ticks;
        lines.push(line("resumed", Mark::Resumed, ticks, after(ticks)));
    }
    if marks.quiet.ticks.is_some() && !marks.quiet.is_known {
        lines.push(said(
            "? no item event since; watched too briefly to be certain",
        ));
    }
    lines.extend(words::why_never(stop).map(|why| said(&why)));
    let is_well = marks.safe_to_close_ticks.is_some() && marks.quiet.ticks.is_some();
    Card {
        room_pixels: 290,
        question: ["Stopped", "Stopped again", "And again"][number.min(2)],
        state: state(is_well),
        answer: match marks.safe_to_close_ticks {
            Some(ticks) => format!("safe in {}", hallwright_report::units::seconds(ticks, tps)),
            None => "not safe to close".to_owned(),
        },
        lines,
    }
}

fn rest_card(found: &Findings) -> Card {
    answered("Came to rest", &words::quiet_run(found))
}

fn loss_card(declared: &Declarations, found: &Findings) -> Card {
    let most = declared.goals.iter().find_map(|goal| match goal {
        Goal::LostAtMost(most) => Some(*most),
        _ => None,
    });
    let lost = found.loss.items;
    let mut lines = Vec::new();
    if let Some(most) = most {
        lines.push(Line {
            label: "items".to_owned(),
            figure: grouped(lost),
            bound: format!("≤ {}", grouped(most)),
            state: state(lost <= most),
        });
    }
    let rows = found.loss.rows.iter().take(2);
    lines.extend(rows.map(|row| Line {
        label: format!("{} at {}", row.kind, row.mouth),
        figure: time(row.at.0, found.ticks_per_second),
        ..Line::default()
    }));
    Card {
        room_pixels: 105,
        question: "Lost",
        state: state(most.map_or(lost == 0, |most| lost <= most)),
        answer: words::lost(found),
        lines,
    }
}

fn cost_card(declared: &Declarations, found: &Findings) -> Card {
    let cost = &found.cost;
    let most = declared.goals.iter().find_map(|goal| match goal {
        Goal::WorkPerTickAtMost(most) => Some(*most),
        _ => None,
    });
    let mean = hallwright_report::units::mean(cost.work_units, cost.work_ticks);
    let mut lines = vec![
        figure(
            "most in a tick",
            format!("{} units", grouped(cost.peak_work_units)),
        ),
        figure("lock cover", percent(cost.lock_cover)),
        figure("built of", count(cost.hoppers, "hopper", "hoppers")),
    ];
    if let Some(most) = most {
        let line = Line {
            label: "mean".to_owned(),
            figure: format!("{} units/t", decimal(mean, 1)),
            bound: format!("≤ {}", decimal(most, 0)),
            state: state(mean <= most),
        };
        lines.insert(0, line);
    }
    Card {
        room_pixels: 205,
        question: "Cost",
        state: most.map_or("plain", |most| state(mean <= most)),
        answer: work_per_tick(cost.work_units, cost.work_ticks),
        lines,
    }
}

#[cfg(test)]
mod tests;

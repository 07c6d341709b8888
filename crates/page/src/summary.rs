//! What a builder asks first, as the page shows it.

use hallwright_core::declare::Declarations;
use serde::Serialize;

use hallwright_report::Heading;
use hallwright_report::figures::{Name, Of, Quantity};
use hallwright_report::findings::{Findings, StopFinding};
use hallwright_report::goals::{Bound, bound_on};
use hallwright_report::units::{decimal, grouped, items, percent, rate, seconds, time};
use hallwright_report::words::{self, goal_words, quantity_words};

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

/// A measured value and the bound that the first goal about it sets, if any.
struct Bounded {
    bound: Option<Bound>,
    measured: Option<Quantity>,
}

impl Bounded {
    fn of(name: Name, of: &Of, declared: &Declarations, found: &Findings) -> Self {
        Self {
            bound: bound_on(declared, name, of),
            measured: name.worst(found, of),
        }
    }

    /// Whether the bound holds, if there is one. What never came holds none.
    fn is_met(&self) -> Option<bool> {
        let bound = self.bound?;
        let measured = self.measured.and_then(Quantity::value);
        Some(measured.is_some_and(|measured| bound.holds(measured)))
    }

    /// `good` or `bad` where there is a bound.
    fn state(&self) -> &'static str {
        self.is_met().map_or("", state)
    }

    /// What was measured, with its unit.
    fn figure(&self, ticks_per_second: u32) -> String {
        let measured = self.measured;
        measured.map_or_else(String::new, |found| quantity_words(found, ticks_per_second))
    }

    /// The bound, as `number` writes it; empty if there is none.
    fn words(&self, number: impl Fn(f64) -> String) -> String {
        match self.bound {
            None => String::new(),
            Some(Bound::AtLeast(least)) => format!("≥ {}", number(least)),
            Some(Bound::AtMost(most)) => format!("≤ {}", number(most)),
        }
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
    if !found.stores.is_empty() {
        let told = |name: Name| figure(name.words(), grouped(name.count(found)));
        let wrong = |name: Name| Line {
            state: if name.count(found) > 0 { "bad" } else { "" },
            ..told(name)
        };
        card.lines = vec![
            figure("where they belong", grouped(Name::SORTED.count(found))),
            wrong(Name::MISPLACED),
            wrong(Name::PASSED_BY),
            told(Name::IN_OVERFLOW),
            told(Name::IN_NO_STORE),
        ];
    }
    if !found.sieves.is_empty() {
        let all = found.sieves.len() as u64;
        let intact = all - Name::SIEVES_NOT_INTACT.count(found);
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
        let bounded = throughput_bound(index, declared, found);
        let tps = found.ticks_per_second;
        let best = rate(flow.steadiest, flow.unit(), tps);
        card.lines.push(Line {
            label: flow.name.clone(),
            figure: match &flow.worst {
                Some(worst) => {
                    format!("{:.2} at worst, {best} at best", worst.rate.per_second(tps))
                }
                None => best,
            },
            bound: bounded.words(|least| format!("{least:.2}")),
            state: bounded.state(),
        });
    }
    if found.sections.is_empty() {
        card.answer = String::new();
        card.state = "plain";
    }
    Some(card)
}

/// The bound on a flow's worst window, or else on its best one, and what is held against it: where
/// goods never waited long enough for a worst window, the best must do.
fn throughput_bound(index: usize, declared: &Declarations, found: &Findings) -> Bounded {
    let of = Of::Flow(index);
    let best = Bounded::of(Name::THROUGHPUT, &of, declared, found);
    let worst = Bounded::of(Name::WORST_THROUGHPUT, &of, declared, found);
    if worst.bound.is_none() {
        return best;
    }
    Bounded {
        measured: worst.measured.or(best.measured),
        ..worst
    }
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
    let marks = &stop.all;
    let is_guess = marks.quiet.ticks.is_some() && !marks.quiet.is_known;
    let line = |name: Name| {
        let readings = name.readings(found, &Of::Whole);
        let reading = readings.iter().find(|one| one.stop == Some(number))?;
        let bounded = Bounded {
            bound: bound_on(declared, name, &Of::Whole),
            measured: Some(reading.quantity),
        };
        let doubt = if is_guess && name == Name::QUIET {
            "?"
        } else {
            ""
        };
        Some(Line {
            label: name.words().to_owned(),
            figure: bounded.figure(tps) + doubt,
            // Bounds on ticks were whole numbers from the start.
            bound: bounded.words(|most| seconds(most as u64, tps)),
            state: bounded.state(),
        })
    };
    let cleared = (!stop.sections.is_empty()).then_some(Name::CLEARED);
    let names = [Name::SAFE_TO_CLOSE, Name::QUIET, Name::RESUMED];
    let names = cleared.into_iter().chain(names);
    let mut lines: Vec<Line> = names.filter_map(line).collect();
    if is_guess {
        lines.push(said(match marks.quiet.goods_arrive {
            true => "? no item event since, but goods go on arriving",
            false => "? no item event since; watched too briefly to be certain",
        }));
    }
    lines.extend(words::why_never(stop, tps).map(|why| said(&why)));
    let is_well = marks.safe_to_close_ticks.is_some() && marks.quiet.ticks.is_some();
    Card {
        room_pixels: 290,
        question: ["Stopped", "Stopped again", "And again"][number.min(2)],
        state: state(is_well),
        answer: match marks.safe_to_close_ticks {
            Some(ticks) => format!("safe in {}", seconds(ticks, tps)),
            None => "not safe to close".to_owned(),
        },
        lines,
    }
}

fn rest_card(found: &Findings) -> Card {
    answered("Came to rest", &words::quiet_run(found))
}

fn loss_card(declared: &Declarations, found: &Findings) -> Card {
    let bounded = Bounded::of(Name::LOST, &Of::Whole, declared, found);
    let lost = Name::LOST.count(found);
    let mut lines = Vec::new();
    if bounded.bound.is_some() {
        lines.push(Line {
            label: "items".to_owned(),
            figure: grouped(lost),
            // Bounds on counts were whole numbers from the start.
            bound: bounded.words(|most| grouped(most as u64)),
            state: bounded.state(),
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
        state: state(bounded.is_met().unwrap_or(lost == 0)),
        answer: words::lost(found),
        lines,
    }
}

fn cost_card(declared: &Declarations, found: &Findings) -> Card {
    let cost = &found.cost;
    let measured = |name| Bounded::of(name, &Of::Whole, declared, found);
    let bounded = measured(Name::MEAN_WORK);
    let mean = bounded.measured.and_then(Quantity::value);
    let unit = Name::MEAN_WORK.unit().words();
    let work = format!("{} {unit}", decimal(mean.unwrap_or(0.0), 1));
    let mut lines = vec![
        figure(
            "most in a tick",
            format!("{} units", grouped(cost.peak_work_units)),
        ),
        figure(Name::LOCK_COVER.words(), percent(cost.lock_cover)),
        figure(
            "built of",
            measured(Name::HOPPERS).figure(found.ticks_per_second),
        ),
    ];
    if bounded.bound.is_some() {
        let line = Line {
            label: "mean".to_owned(),
            figure: work.clone(),
            bound: bounded.words(|most| decimal(most, 0)),
            state: bounded.state(),
        };
        lines.insert(0, line);
    }
    Card {
        room_pixels: 205,
        question: "Cost",
        state: bounded.is_met().map_or("plain", state),
        answer: work,
        lines,
    }
}

#[cfg(test)]
mod tests;

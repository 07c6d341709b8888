//! What a builder asks first, as the page shows it.

mod stops;
mod verdicts;

use hallwright_declared::declarations::{Declarations, Goal};
use serde::Serialize;

use hallwright_report::Heading;
use hallwright_report::figures::{Amount, Name};
use hallwright_report::findings::{Amounts, Findings, FlowFinding, Standing};
use hallwright_report::goals::{Check, Verdict};
use hallwright_report::units::{
    Rate, count, grouped, items, listed, ms_per_tick, percent, rate, things, time, work_per_tick,
};
use hallwright_report::verdicts::{Question, Ruling};
use hallwright_words::{self as words, amount_words, build_words, goal_words};

pub(super) use self::verdicts::state;
use self::verdicts::{Topic, bound_words, causes, is_worth_reporting, worst};

/// How many verdicts that are not as they should be the first card reports.
const MISSED: usize = 4;
/// So many goals that no other card reports are reported one by one; of more, those that are not as they should
/// be.
const OTHERS: usize = 5;
/// How many flows are reported that no goal is about.
const FLOWS: usize = 4;

/// The summary of one run.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct Summary {
    /// What the run is called: its variant, or its title.
    pub(super) name: String,
    /// The answers.
    pub(super) cards: Vec<Card>,
    /// Every verdict, those that are not as they should be first.
    pub(super) goals: Vec<GoalRow>,
    /// What the run was made from.
    pub(super) made_from: Vec<(String, String)>,
}

/// One question and its answer.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct Card {
    /// What is asked.
    pub(super) question: &'static str,
    /// How it came off: `good`, `allowed`, `open` (not finished), `unknown`, `bad`, or `plain` where
    /// nothing is judged. It is never better than any of its lines.
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
    /// How it came off, as of a card; empty where nothing is judged.
    pub(super) state: &'static str,
}

/// A verdict.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub(super) struct GoalRow {
    /// How it came off, as of a card.
    pub(super) state: &'static str,
    /// The same in words.
    pub(super) ruling: &'static str,
    /// Whether no goal of the file asks it.
    pub(super) is_judged_anyway: bool,
    /// What was measured against which bound.
    pub(super) words: String,
    /// Why it is not as it should be.
    pub(super) why: Vec<String>,
}

/// Sums up a run.
pub(super) fn summary(heading: &Heading, declared: &Declarations, found: &Findings) -> Summary {
    let mut cards = vec![goals_card(found), sorting_card(declared, found)];
    cards.extend(throughput_card(declared, found));
    cards.extend(stops::cards(declared, found));
    cards.push(loss_card(declared, found));
    cards.extend(refused_card(declared, found));
    cards.extend(others_card(declared, found));
    cards.push(cost_card(declared, found));
    let mut verdicts: Vec<&Verdict> = found.verdicts.iter().collect();
    // Of equals, the first of the list.
    verdicts.sort_by_key(|verdict| std::cmp::Reverse(verdict.ruling));
    let goals = verdicts.into_iter().map(|verdict| GoalRow {
        state: state(verdict.ruling),
        ruling: match verdict.ruling {
            Ruling::Ok if !verdict.is_judged_anyway() => "met",
            ruling => ruling.words(),
        },
        is_judged_anyway: verdict.is_judged_anyway(),
        words: goal_words(verdict, found),
        why: match verdict.ruling {
            Ruling::Ok => Vec::new(),
            _ => verdict.why.clone(),
        },
    });
    let variant = heading.variant.clone();
    Summary {
        name: variant.unwrap_or_else(|| heading.title.clone()),
        cards,
        goals: goals.collect(),
        made_from: made_from(heading, found),
    }
}

impl Card {
    /// Colours it by the worst of what it reports; without anything it stays plain.
    fn rule(&mut self, worst: Option<Ruling>) {
        self.state = worst.map_or("plain", state);
    }
}

fn made_from(heading: &Heading, found: &Findings) -> Vec<(String, String)> {
    let pair = |label: &str, text: String| (label.to_owned(), text);
    let befell = [
        ("slept", words::slept(found)),
        ("mishaps", words::mishaps(found)),
        ("by hand", words::by_hand(found)),
        ("at word", words::taken_at_word(found)),
        ("built", found.site.as_ref().map(words::built)),
    ];
    let befell = befell
        .into_iter()
        .filter_map(|(label, text)| Some(pair(label, text?)));
    let mut made_from = vec![
        pair("ran", time(found.run_ticks, found.ticks_per_second)),
        pair("seed", heading.seed.to_string()),
        pair("update order", heading.update_order.clone()),
        pair("signal order", heading.signal_order.clone()),
        pair("version", heading.version.clone()),
        pair("input", heading.input_digest.clone()),
    ];
    made_from.extend(befell);
    made_from.push(pair("again", heading.command.clone()));
    made_from
}

/// All verdicts: how many are as they should be, and the first that are not.
fn goals_card(found: &Findings) -> Card {
    let is_met = found.verdicts.iter().filter(|verdict| verdict.is_met());
    let (met, all) = (is_met.count(), found.verdicts.len());
    let missed: Vec<&Verdict> = found
        .verdicts
        .iter()
        .filter(|verdict| !verdict.is_met())
        .collect();
    let mut lines: Vec<Line> = missed
        .iter()
        .take(MISSED)
        .map(|verdict| Line {
            state: state(verdict.ruling),
            ..said(&goal_words(verdict, found))
        })
        .collect();
    if missed.len() > MISSED {
        lines.push(said(&format!(
            "… and {} more missed",
            missed.len() - MISSED
        )));
    }
    for ruling in [Ruling::Allowed, Ruling::NotFinished] {
        let verdicts = found.verdicts.iter();
        let subjects: Vec<String> = verdicts
            .filter(|verdict| verdict.ruling == ruling)
            .map(|verdict| verdict.subject.clone())
            .collect();
        if !subjects.is_empty() {
            lines.push(Line {
                state: state(ruling),
                ..said(&listed(&subjects, MISSED))
            });
        }
    }
    let anyway = found.judged_anyway().count();
    lines.push(said(&format!("{anyway} of them checked in every run")));
    let mut card = Card {
        room_pixels: 175,
        question: "Goals",
        state: "plain",
        answer: format!("{met} of {all} met"),
        lines,
    };
    card.rule(worst(found.verdicts.iter()));
    card
}

/// An answer such as `yes: this; that` as a card with a line for each of the things said, and how it
/// came off by itself.
fn answered(question: &'static str, words: &str) -> (Card, Option<Ruling>) {
    let (answer, rest) = words.split_once(": ").unwrap_or((words, ""));
    let lines = rest.split("; ").filter(|line| !line.is_empty());
    let ruling = match answer {
        "yes" => Some(Ruling::Ok),
        "no" => Some(Ruling::Missed),
        "not finished" => Some(Ruling::NotFinished),
        _ => None,
    };
    let card = Card {
        room_pixels: 185,
        question,
        state: ruling.map_or("plain", state),
        answer: answer.to_owned(),
        lines: lines.map(said).collect(),
    };
    (card, ruling)
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

/// So much: items in no box, and boxes with what they hold in a line of their own, for they are never
/// added.
fn amount_lines(label: &str, amount: Amounts) -> Vec<Line> {
    let mut lines = Vec::new();
    if amount.goods > 0 || amount.boxes == 0 {
        lines.push(figure(label, items(amount.goods)));
    }
    if amount.boxes > 0 {
        let boxes = count(amount.boxes, "box", "boxes");
        let boxes = match amount.goods_in_boxes {
            0 => boxes,
            goods => format!("{} in {boxes}", grouped(goods)),
        };
        lines.push(figure(&format!("{label}, boxed"), boxes));
    }
    lines
}

fn sorting_card(declared: &Declarations, found: &Findings) -> Card {
    let (mut card, own) = if found.stores.is_empty() && found.sieves.is_empty() {
        let (mut card, own) = answered("Sorted", "not known");
        card.lines.push(said("no store is declared"));
        (card, own)
    } else {
        let (mut card, own) = answered("Sorted", &words::sorted(found));
        card.lines.clear();
        (card, own)
    };
    card.room_pixels = 270;
    let account = &found.account;
    if !found.stores.is_empty() {
        card.lines
            .extend(amount_lines("home", account.amount(Standing::Home)));
    }
    let mut reported = Vec::new();
    for verdict in Topic::Sorted.verdicts(declared, found) {
        reported.push(verdict);
        let always = [Question::Misplaced, Question::PassedBy, Question::Sieves];
        if verdict.ruling == Ruling::Ok && !always.contains(&verdict.question) {
            continue;
        }
        if verdict.question == Question::Sieves && !found.sieves.is_empty() {
            let all = found.sieves.len() as u64;
            let intact = all - Name::SIEVES_NOT_INTACT.count(found);
            card.lines.push(Line {
                state: state(verdict.ruling),
                ..figure("sieves intact", format!("{intact} of {all}"))
            });
            card.lines.extend(causes(verdict));
        } else {
            card.lines.extend(verdicts::lines(verdict, found));
        }
    }
    let on_the_way = found.going_on.on_the_way;
    if !on_the_way.is_none() {
        let label = match found.going_on.was_stopped {
            true => "held back",
            false => "on the way",
        };
        card.lines.extend(amount_lines(label, on_the_way));
    }
    if !found.stores.is_empty() {
        let sum = |holds: fn(Standing) -> bool| -> Amounts {
            let rows = account.rows.iter();
            let rows = rows.filter(|(standing, _)| holds(*standing));
            rows.map(|(_, amount)| *amount).sum()
        };
        let sums = [
            ("in overflow", sum(is_overflow)),
            ("in lines", sum(Standing::is_unsettled)),
        ];
        for (label, amount) in sums {
            if !amount.is_none() {
                card.lines.extend(amount_lines(label, amount));
            }
        }
    }
    card.rule(own.into_iter().chain(worst(reported.into_iter())).max());
    card
}

fn is_overflow(standing: Standing) -> bool {
    matches!(
        standing,
        Standing::OverflowStoreFull
            | Standing::OverflowNoHome
            | Standing::OverflowPassedBy
            | Standing::OverflowPutThere
    )
}

fn throughput_card(declared: &Declarations, found: &Findings) -> Option<Card> {
    if found.flows.is_empty() && found.sections.is_empty() {
        return None;
    }
    let waiting = words::kept_up(found);
    let (mut card, own) = answered("Kept up", waiting.split("; ").next().unwrap_or(""));
    card.room_pixels = 260;
    card.lines = waiting_lines(found);
    let mut rulings = Vec::new();
    for (index, flow) in found.flows.iter().enumerate() {
        let verdicts = Topic::KeptUp.verdicts(declared, found);
        let asked = verdicts.filter(|verdict| {
            let goal = verdict.goal.and_then(|goal| declared.goals.get(goal));
            matches!(goal, Some(Goal::ThroughputAtLeast { flow, .. }) if *flow == index)
        });
        let ruling = worst(asked.clone());
        if index >= FLOWS && ruling.is_none() {
            continue;
        }
        rulings.extend(ruling);
        card.lines.extend(pace_lines(flow, asked.clone(), found));
        let unjudged = asked.filter(|verdict| verdict.checks.is_empty());
        let unjudged = unjudged.flat_map(|verdict| verdicts::lines(verdict, found));
        card.lines.extend(unjudged);
    }
    let own = own.filter(|_| !found.sections.is_empty());
    if found.sections.is_empty() {
        card.answer = String::new();
    }
    card.rule(own.into_iter().chain(rulings).max());
    Some(card)
}

/// How fast a flow was at best, and at worst while goods waited for it, each with the goals about it.
fn pace_lines<'f>(
    flow: &FlowFinding,
    asked: impl Iterator<Item = &'f Verdict> + Clone,
    found: &Findings,
) -> Vec<Line> {
    let tps = found.ticks_per_second;
    let line = |label: String, pace: Rate| {
        // A goal says by its bound's figure which of the two it is about.
        let is_this =
            |check: &&Check| matches!(check.measured.amount, Amount::Rate(of, _) if of == pace);
        let asked = asked
            .clone()
            .filter(|verdict| verdict.checks.iter().any(|check| is_this(&check)));
        let checks = asked.clone().flat_map(|verdict| &verdict.checks);
        let bounds: Vec<String> = checks.map(|check| bound_words(check, tps)).collect();
        Line {
            label,
            figure: rate(pace, flow.unit(), tps),
            bound: bounds.join(", "),
            state: worst(asked).map_or("", state),
        }
    };
    let mut lines = vec![line(flow.name.clone(), flow.steadiest)];
    let worst = flow.worst.as_ref().map(|worst| worst.rate);
    // The same pace twice says nothing more.
    let worst = worst.filter(|worst| *worst != flow.steadiest);
    lines.extend(worst.map(|worst| line(format!("{}, at worst", flow.name), worst)));
    lines
}

/// The most that waited anywhere, and what waits at the end.
fn waiting_lines(found: &Findings) -> Vec<Line> {
    // Of equals, the first.
    let sections = found.sections.iter().rev();
    let worst = sections.max_by_key(|section| section.backlog.peak_items);
    let Some(worst) = worst.filter(|section| section.backlog.peak_items > 0) else {
        return Vec::new();
    };
    let backlogs = found.sections.iter().map(|section| &section.backlog);
    let left: u64 = backlogs.clone().map(|backlog| backlog.final_items).sum();
    let left_boxes: u64 = backlogs.map(|backlog| backlog.final_boxes).sum();
    vec![
        figure("left at the end", things(left, left_boxes)),
        figure(
            &format!("most, in {}", worst.name),
            things(worst.backlog.peak_items, worst.backlog.peak_boxes),
        ),
    ]
}

fn loss_card(declared: &Declarations, found: &Findings) -> Card {
    let verdicts = Topic::Lost.verdicts(declared, found);
    // Nothing is nothing, whatever is allowed.
    let reported = verdicts
        .clone()
        .filter(|verdict| verdict.ruling != Ruling::Ok);
    let mut lines: Vec<Line> = reported
        .flat_map(|verdict| verdicts::lines(verdict, found))
        .collect();
    let rows = found.loss.rows.iter().take(2);
    lines.extend(rows.map(|row| {
        let at = time(row.at.0, found.ticks_per_second);
        figure(&format!("{} at {}", row.kind, row.mouth), at)
    }));
    let mut card = Card {
        room_pixels: 150,
        question: "Lost",
        state: "plain",
        answer: words::lost(found),
        lines,
    };
    card.rule(worst(verdicts));
    card
}

/// What deliveries found no room for; nothing to say where all was let in and no goal asks.
fn refused_card(declared: &Declarations, found: &Findings) -> Option<Card> {
    let verdicts = Topic::Refused.verdicts(declared, found);
    let reported = verdicts.filter(|verdict| is_worth_reporting(verdict));
    let ruling = worst(reported.clone())?;
    let refused = found.account.refused;
    Some(Card {
        room_pixels: 185,
        question: "Refused",
        state: state(ruling),
        answer: match refused.is_none() {
            true => "nothing".to_owned(),
            false => amount_words(refused),
        },
        lines: reported
            .flat_map(|verdict| verdicts::lines(verdict, found))
            .collect(),
    })
}

/// The goals that no other card reports, if there are any.
fn others_card(declared: &Declarations, found: &Findings) -> Option<Card> {
    let verdicts = Topic::Else.verdicts(declared, found);
    let ruling = worst(verdicts.clone())?;
    let all = verdicts.clone().count();
    let met = verdicts.clone().filter(|verdict| verdict.is_met()).count();
    let reported = verdicts.filter(|verdict| all <= OTHERS || verdict.ruling != Ruling::Ok);
    let lines = reported.flat_map(|verdict| verdicts::lines(verdict, found));
    let lines = lines.collect();
    Some(Card {
        room_pixels: 230,
        question: "Also asked",
        state: state(ruling),
        answer: format!("{met} of {all} met"),
        lines,
    })
}

fn cost_card(declared: &Declarations, found: &Findings) -> Card {
    let cost = &found.cost;
    let verdicts = Topic::Cost.verdicts(declared, found);
    let reported = verdicts.filter(|verdict| is_worth_reporting(verdict));
    let mut lines: Vec<Line> = reported
        .clone()
        .flat_map(|verdict| verdicts::lines(verdict, found))
        .collect();
    lines.extend([
        figure(
            "most in a tick",
            format!("{} units", grouped(cost.peak_work_units)),
        ),
        figure("lock cover", percent(cost.lock_cover)),
        figure("built of", count(cost.hoppers, "hopper", "hoppers")),
    ]);
    lines.extend(cost.load.iter().flat_map(|load| {
        [
            figure("takes", ms_per_tick(load.mean_ms())),
            figure("in the worst second", ms_per_tick(load.worst_ms())),
        ]
    }));
    if cost.build.is_declared {
        lines.push(figure("time to build", build_words(&cost.build)));
    }
    let mut card = Card {
        room_pixels: 205,
        question: "Cost",
        state: "plain",
        answer: work_per_tick(cost.work_units, cost.work_ticks),
        lines,
    };
    card.rule(worst(reported));
    card
}

#[cfg(test)]
mod tests;

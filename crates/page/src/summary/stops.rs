//! The cards of stops: how long each took, and what the goals and what is judged anyway say of it.

use hallwright_declared::declarations::{Declarations, Mark};
use hallwright_report::figures::{Name, Of};
use hallwright_report::findings::{Findings, StopFinding};
use hallwright_report::goals::{Check, Verdict, asked};
use hallwright_report::units::{count, seconds, time};
use hallwright_report::verdicts::{Question, Ruling};
use hallwright_words::{self as words, goal_words};

use super::verdicts::{Topic, bound_words, is_worth_reporting, of_check, state, worst};
use super::{Card, Line, answered, said};

/// How many stops have a card of their own.
const CARDS: usize = 3;

/// A card for each of the first stops, or else one that says whether the run came to rest.
pub(super) fn cards(declared: &Declarations, found: &Findings) -> Vec<Card> {
    if found.stops.is_empty() {
        let (mut card, own) = answered("Came to rest", &words::quiet_run(found));
        let verdicts = Topic::Stopped.verdicts(declared, found);
        let reported = verdicts.filter(|verdict| is_worth_reporting(verdict));
        card.lines
            .extend(reported.clone().map(|verdict| unjudged(verdict, found)));
        let stays = [found.going_on.stuck, found.going_on.backed_up];
        let is_jammed = stays.iter().any(|amount| amount.goods_and_boxes() > 0);
        // What stands in a jam is at rest, and nothing to be glad of.
        let own = if own == Some(Ruling::Ok) && is_jammed {
            "at a standstill".clone_into(&mut card.answer);
            card.lines.push(said("some of it before it came home"));
            None
        } else {
            own
        };
        card.rule(own.into_iter().chain(worst(reported)).max());
        return vec![card];
    }
    let stops = found.stops.iter().enumerate().take(CARDS);
    stops
        .map(|(number, stop)| card(number, stop, declared, found))
        .collect()
}

/// A verdict that belongs to no stop.
fn unjudged(verdict: &Verdict, found: &Findings) -> Line {
    Line {
        state: state(verdict.ruling),
        ..said(&goal_words(verdict, found))
    }
}

fn card(number: usize, stop: &StopFinding, declared: &Declarations, found: &Findings) -> Card {
    let tps = found.ticks_per_second;
    let marks = &stop.all;
    let mut lines = mark_lines(number, stop, declared, found);
    if marks.quiet.ticks.is_some() && !marks.quiet.is_known {
        lines.push(said(match marks.quiet.goods_arrive {
            true => "? no item event since, but goods go on arriving",
            false => "? no item event since; watched too briefly to be certain",
        }));
    }
    lines.extend(words::why_never(stop, tps).map(|why| said(&why)));
    let is_allowed = |verdict: &Verdict| ruling_at(verdict, number, found) == Some(Ruling::Allowed);
    let is_well = marks.safe_to_close_ticks.is_some() && marks.quiet.ticks.is_some();
    let mut rulings = vec![match is_well {
        true => Ruling::Ok,
        false if Topic::Stopped.verdicts(declared, found).any(is_allowed) => Ruling::Allowed,
        false => Ruling::Missed,
    }];
    let verdicts = Topic::Stopped.verdicts(declared, found);
    rulings.extend(
        verdicts
            .clone()
            .filter_map(|verdict| ruling_at(verdict, number, found)),
    );
    if number == 0 {
        let never_judged = verdicts.filter(|verdict| verdict.checks.is_empty());
        rulings.extend(never_judged.clone().map(|verdict| verdict.ruling));
        lines.extend(never_judged.map(|verdict| unjudged(verdict, found)));
    }
    let more = found.stops.len().saturating_sub(CARDS) as u64;
    if number == CARDS - 1 && more > 0 {
        let ruling = (CARDS..found.stops.len())
            .flat_map(|later| {
                let verdicts = Topic::Stopped.verdicts(declared, found);
                verdicts.filter_map(move |verdict| ruling_at(verdict, later, found))
            })
            .max();
        rulings.extend(ruling);
        lines.push(Line {
            state: ruling.map_or("", state),
            ..said(&format!("… and {}", count(more, "more stop", "more stops")))
        });
    }
    let mut card = Card {
        room_pixels: 290,
        question: ["Stopped", "Stopped again", "And again"][number.min(2)],
        state: "plain",
        answer: match marks.safe_to_close_ticks {
            Some(ticks) => format!("safe in {}", seconds(ticks, tps)),
            None => "not safe to close".to_owned(),
        },
        lines,
    };
    card.rule(rulings.into_iter().max());
    card
}

/// The marks of the whole hall, each with the goal about it; then what else is asked of this stop.
fn mark_lines(
    number: usize,
    stop: &StopFinding,
    declared: &Declarations,
    found: &Findings,
) -> Vec<Line> {
    let tps = found.ticks_per_second;
    let marks = &stop.all;
    let after =
        |ticks: Option<u64>| ticks.map_or_else(|| "never".to_owned(), |ticks| time(ticks, tps));
    let quiet = match marks.quiet.ticks {
        Some(ticks) if !marks.quiet.is_known => format!("{}?", time(ticks, tps)),
        ticks => after(ticks),
    };
    let cleared = (!stop.sections.is_empty()).then(|| after(marks.cleared_ticks));
    let resumed = stop.resume.as_ref();
    let rows = [
        (Mark::Cleared, cleared),
        (Mark::SafeToClose, Some(after(marks.safe_to_close_ticks))),
        (Mark::Quiet, Some(quiet)),
        (
            Mark::Resumed,
            resumed.map(|resume| after(resume.resumed_ticks)),
        ),
    ];
    let mut reported: Vec<&Verdict> = Vec::new();
    let mut lines = Vec::new();
    for (mark, figure) in rows {
        let Some(figure) = figure else { continue };
        let name = Name::of_mark(mark);
        let mut line = Line {
            label: name.words().to_owned(),
            figure,
            ..Line::default()
        };
        let mut rulings = Vec::new();
        for verdict in &found.verdicts {
            if is_about(verdict, name, declared) {
                reported.push(verdict);
                rulings.extend(ruling_at(verdict, number, found));
                let check = checks_at(verdict, number).next();
                if let Some(check) = check.filter(|_| line.bound.is_empty()) {
                    line.bound = bound_words(check, tps);
                }
            } else if mark == Mark::SafeToClose && verdict.question == Question::SafeToClose {
                // How many stops were not safe says of this one only whether it was.
                reported.push(verdict);
                let ruling = ruling_at(verdict, number, found);
                rulings.extend(ruling.filter(|ruling| *ruling != Ruling::Ok));
            }
        }
        line.state = rulings.into_iter().max().map_or("", state);
        lines.push(line);
    }
    let others = Topic::Stopped.verdicts(declared, found);
    for verdict in others.filter(|other| {
        !reported
            .iter()
            .any(|reported| std::ptr::eq(*reported, *other))
    }) {
        let checks = checks_at(verdict, number);
        lines.extend(checks.map(|check| {
            let ruling = match check.is_met() {
                true => Ruling::Ok,
                false => Ruling::Missed,
            };
            of_check(verdict, check, ruling, found)
        }));
    }
    lines
}

/// Whether a verdict is on a goal about this figure of the whole hall.
fn is_about(verdict: &Verdict, name: Name, declared: &Declarations) -> bool {
    let goal = verdict
        .goal
        .and_then(|place| Some((place, declared.goals.get(place)?)));
    goal.is_some_and(|(place, goal)| {
        let asked = asked(place, goal);
        asked.figure == name && asked.of == Of::Whole
    })
}

fn checks_at(verdict: &Verdict, number: usize) -> impl Iterator<Item = &Check> {
    let checks = verdict.checks.iter();
    checks.filter(move |check| check.stop == Some(number))
}

/// How a verdict came off at one stop; `None` where it says nothing of that stop.
fn ruling_at(verdict: &Verdict, number: usize, found: &Findings) -> Option<Ruling> {
    let is_of_all = verdict.checks.iter().any(|check| check.stop.is_none());
    if is_of_all {
        // It counts the stops that were not safe.
        let never = found.stops[number].all.safe_to_close_ticks.is_none();
        return Some(if never { verdict.ruling } else { Ruling::Ok });
    }
    let mut checks = checks_at(verdict, number).peekable();
    checks.peek()?;
    Some(match checks.all(Check::is_met) {
        true if verdict.ruling == Ruling::Missed => Ruling::Ok,
        true => verdict.ruling,
        false => Ruling::Missed,
    })
}

//! Answers to what a builder asks first: did everything land where it should, did it keep up, did it
//! come to rest, was anything lost.

use hallwright_report::figures::Name;
use hallwright_report::findings::{
    Amounts, Findings, FlowFinding, Marks, Standing, StopFinding, Whereabouts, WorstWindow,
};
use hallwright_report::units::{count, grouped, items, listed, rate, seconds, things, time};
use hallwright_report::verdicts::Question;
use hallwright_report::words::{MOST_NAMED, amount_words};

/// Whether everything landed where it should, and where it is.
#[must_use]
pub fn sorted(found: &Findings) -> String {
    let [misplaced, passed_by, broken] =
        [Name::MISPLACED, Name::PASSED_BY, Name::SIEVES_NOT_INTACT].map(|name| name.count(found));
    let gone_on = &found.going_on;
    let is_missed = |question: Question| {
        let mut verdicts = found.verdicts.iter();
        verdicts.any(|verdict| verdict.question == question && !verdict.is_met())
    };
    let coming = match gone_on.was_stopped {
        true => format!("{} held back", amount_words(gone_on.on_the_way)),
        false => format!("{} on the way", amount_words(gone_on.on_the_way)),
    };
    let answer = if SORTING.into_iter().any(is_missed) {
        "no".to_owned()
    } else if gone_on.on_the_way.is_none() {
        "yes".to_owned()
    } else {
        format!("not finished: {coming}")
    };
    let is_reported = answer.contains(&coming);
    let mut words = Vec::new();
    if !found.stores.is_empty() {
        words.push(format!(
            "{} home, {} misplaced, {} passed by",
            amount_words(found.account.amount(Standing::Home)),
            items(misplaced),
            items(passed_by)
        ));
    }
    for (amount, what) in [
        (gone_on.stuck, "stuck"),
        (gone_on.backed_up, "backed up"),
        (gone_on.homeless, "without a home"),
    ] {
        if !amount.is_none() {
            words.push(format!("{} {what}", amount_words(amount)));
        }
    }
    if !gone_on.on_the_way.is_none() && !is_reported {
        words.push(coming);
    }
    let overflow: Amounts = [
        Standing::OverflowStoreFull,
        Standing::OverflowNoHome,
        Standing::OverflowPassedBy,
        Standing::OverflowPutThere,
    ]
    .into_iter()
    .map(|line| found.account.amount(line))
    .sum();
    if !overflow.is_none() {
        words.push(format!("{} in overflow", amount_words(overflow)));
    }
    if !found.sieves.is_empty() {
        let all = found.sieves.len() as u64;
        words.push(format!(
            "{} of {} intact",
            all - broken,
            count(all, "sieve", "sieves")
        ));
    }
    if words.is_empty() {
        return answer;
    }
    let separator = if answer.contains(':') { "; " } else { ": " };
    format!("{answer}{separator}{}", words.join("; "))
}

/// What must be as it should be for everything to be sorted.
const SORTING: [Question; 7] = [
    Question::Misplaced,
    Question::PassedBy,
    Question::Sieves,
    Question::Stuck,
    Question::BackedUp,
    Question::WithoutHome,
    Question::SharedHome,
];

/// What goes round for ever, for each section.
#[must_use]
pub fn going_round(found: &Findings) -> Vec<String> {
    let sections = found.sections.iter();
    let rounds = sections.filter_map(|section| Some((section, section.going_round?)));
    let words = rounds.map(|(section, round)| {
        let ticks = found.run_ticks - round.since.0;
        let (go, none) = match round.items {
            1 => ("goes", "it was not stored"),
            _ => ("go", "none of them was stored"),
        };
        format!(
            "{} still {go} round in \"{}\" at the end: {none} for {}",
            items(round.items),
            section.name,
            time(ticks, found.ticks_per_second)
        )
    });
    words.collect()
}

/// What came into no store: where it still is, and what was lost.
#[must_use]
pub fn in_no_store(here: &Whereabouts) -> Vec<String> {
    let mut words = Vec::new();
    if here.waiting_items > 0 {
        let waiting = things(here.waiting_items, here.waiting_boxes);
        words.push(format!("{waiting} waiting"));
    }
    let still: u64 = here.in_lines.iter().map(|row| row.items).sum();
    let boxes: u64 = here.in_lines.iter().map(|row| row.boxes).sum();
    if still > 0 {
        let rows = here.in_lines.iter();
        let named: Vec<String> = rows
            .map(|row| match row.boxes {
                0 => format!("{} {}", row.part, grouped(row.items)),
                boxes => format!("{} {}", row.part, things(row.items, boxes)),
            })
            .collect();
        words.push(format!(
            "{} in no store ({})",
            things(still, boxes),
            listed(&named, 3)
        ));
    }
    let full: Vec<String> = here
        .no_room
        .iter()
        .map(|row| format!("\"{}\" for {}", row.store, items(row.items)))
        .collect();
    if !full.is_empty() {
        words.push(format!("no room is left in {}", listed(&full, 3)));
    }
    if here.loose_items > 0 {
        words.push(format!("{} loose", items(here.loose_items)));
    }
    if here.lost_items > 0 {
        words.push(format!("{} lost", items(here.lost_items)));
    }
    words
}

/// Whether anything waits at the end, and how fast the flows were.
#[must_use]
pub fn kept_up(found: &Findings) -> String {
    let mut words = Vec::new();
    if !found.sections.is_empty() {
        words.push(waiting(found));
    }
    let flows: Vec<String> = found
        .flows
        .iter()
        .map(|flow| format!("\"{}\" {}", flow.name, pace(flow, found.ticks_per_second)))
        .collect();
    if !flows.is_empty() {
        words.push(listed(&flows, 3));
    }
    words.join("; ")
}

/// How fast a flow was at worst while goods waited, and at best:
/// `worst minute 0.00 items/s, at best 2.50`.
fn pace(flow: &FlowFinding, ticks_per_second: u32) -> String {
    let best = flow.steadiest.per_second(ticks_per_second);
    match &flow.worst {
        Some(worst) => format!(
            "{} {}, at best {best:.2}",
            worst_words(worst, ticks_per_second),
            rate(worst.rate, flow.unit(), ticks_per_second)
        ),
        None => format!(
            "{} at best, goods never waited long enough for a worst minute",
            rate(flow.steadiest, flow.unit(), ticks_per_second)
        ),
    }
}

/// `worst minute`, or how long the worst window is.
fn worst_words(worst: &WorstWindow, ticks_per_second: u32) -> String {
    match worst.is_full {
        true => "worst minute".to_owned(),
        false => format!("worst {}", seconds(worst.rate.ticks, ticks_per_second)),
    }
}

/// Whether anything waits at the end, and the most that waited anywhere.
fn waiting(found: &Findings) -> String {
    let backlogs = found.sections.iter().map(|section| &section.backlog);
    let left: u64 = backlogs.clone().map(|backlog| backlog.final_items).sum();
    let left_boxes: u64 = backlogs.map(|backlog| backlog.final_boxes).sum();
    // Of equals, the first.
    let sections = found.sections.iter().rev();
    let worst = sections.max_by_key(|section| section.backlog.peak_items);
    let peak = match worst {
        Some(section) if section.backlog.peak_items > 0 => format!(
            "at most {} in \"{}\" at {}",
            things(section.backlog.peak_items, section.backlog.peak_boxes),
            section.name,
            time(section.backlog.peak_at.0, found.ticks_per_second)
        ),
        _ => return "yes: nothing ever waited".to_owned(),
    };
    match left {
        0 => format!("yes: nothing waits at the end, {peak}"),
        left => {
            let left = things(left, left_boxes);
            format!("no: {left} still waiting at the end, {peak}")
        }
    }
}

/// Whether everything came to rest, and when.
#[must_use]
pub fn quiet_run(found: &Findings) -> String {
    match found.quiet.ticks {
        None if found.quiet.goods_arrive => "no: goods go on arriving".to_owned(),
        None => "no: not all had come to rest at the end".to_owned(),
        Some(ticks) => {
            let time = time(ticks, found.ticks_per_second);
            if found.quiet.is_known {
                format!("yes: since {time}")
            } else {
                format!(
                    "perhaps: no item event since {time}, but the run is too short to be certain"
                )
            }
        }
    }
}

/// When a mark came: `after 12.6 s (252 t)`, `at once` or `never`.
#[must_use]
pub fn after(ticks: Option<u64>, ticks_per_second: u32) -> String {
    match ticks {
        None => "never".to_owned(),
        Some(0) => "at once".to_owned(),
        Some(ticks) => format!("after {}", time(ticks, ticks_per_second)),
    }
}

/// When a stop became quiet, or since when nothing has happened.
#[must_use]
pub fn quiet(marks: &Marks, ticks_per_second: u32) -> String {
    match marks.quiet.ticks {
        Some(ticks) if !marks.quiet.is_known => {
            format!(
                "no item event since {} after it",
                time(ticks, ticks_per_second)
            )
        }
        ticks => format!("quiet {}", after(ticks, ticks_per_second)),
    }
}

/// What a stop did not come to before its restart: `not before the restart`, or else `never`.
#[must_use]
pub fn after_in(stop: &StopFinding, ticks: Option<u64>, ticks_per_second: u32) -> String {
    match (ticks, &stop.resume) {
        (None, Some(_)) => "not before the restart".to_owned(),
        _ => after(ticks, ticks_per_second),
    }
}

/// The hoppers that a stop left unlocked though they should be locked: nothing moves through them now,
/// but what arrives does.
#[must_use]
pub fn unlocked(stop: &StopFinding) -> Option<String> {
    let names = &stop.left.unlocked;
    let number = names.len() as u64;
    (number > 0).then(|| {
        format!(
            "{} not locked: {}",
            count(number, "hopper", "hoppers"),
            listed(names, MOST_NAMED)
        )
    })
}

/// The parts that no section names, if any is declared. They count in what is said of the whole hall.
#[must_use]
pub fn in_no_section(found: &Findings) -> Option<String> {
    let names = &found.in_no_section;
    let number = names.len() as u64;
    (number > 0 && !found.sections.is_empty() && !found.stops.is_empty()).then(|| {
        format!(
            "{} in no section: {}",
            count(number, "part", "parts"),
            listed(names, MOST_NAMED)
        )
    })
}

/// How much was lost.
#[must_use]
pub fn lost(found: &Findings) -> String {
    let loss = &found.loss;
    if loss.items == 0 {
        return "nothing".to_owned();
    }
    format!(
        "{} in {}",
        amount_words(found.account.amount(Standing::Lost)),
        count(loss.stacks, "stack", "stacks")
    )
}

//! What becomes of a hall that is left, in lines.

use hallwright_core::tick::Tick;
use hallwright_report::units::{count, grouped, items, listed, time};
use hallwright_trials::leave::{
    Breakage, BrokenLeave, Change, Crosses, Crossing, LampReport, LeaveAsked, LeaveReported,
    Pattern, When,
};
use hallwright_trials::orders_words;

use super::page::{LABEL, Page};

/// How many ticks or names are listed.
const LISTED: usize = 5;
/// How many things that broke are shown, and how many crossings.
const SHOWN: usize = 3;

/// Writes the section of a run's report.
pub(super) fn write(page: &mut Page, asked: &LeaveAsked) {
    page.blank();
    for (place, line) in lines(asked).iter().enumerate() {
        page.labelled(if place == 0 { "Left" } else { "" }, LABEL, line);
    }
}

/// All that is report: first the answer, then what was tried, the lamp, and what broke.
pub(crate) fn lines(asked: &LeaveAsked) -> Vec<String> {
    let report = match asked {
        LeaveAsked::NoRegions => {
            return vec![
                "not tried: no regions are declared, so nobody knows what falls asleep when".to_owned(),
                "`regions: {\"near\": [\"quay\"], \"far\": [\"store\"]}` names modules and parts, from near \
                 to far"
                    .to_owned(),
            ];
        }
        LeaveAsked::RunEnds(end) => {
            return vec![format!(
                "not tried: its run ends at {} t, before the first tick asked for",
                grouped(end.0)
            )];
        }
        LeaveAsked::CutShort(leaves) => {
            return vec![format!(
                "not tried: cut short before the first of {}",
                count(*leaves, "leave", "leaves")
            )];
        }
        LeaveAsked::Reported(report) => report,
    };
    let mut lines = vec![answer(report), tried(report)];
    lines.extend(never_slept(report));
    lines.push(lamp(report));
    for (tick, message) in report.failed().take(SHOWN) {
        let at = time(tick.0, report.ticks_per_second);
        lines.push(format!(
            "left at {at}, an invariant broke: {message}; a bug in hallwright"
        ));
    }
    for broken in report.reported_broken() {
        lines.extend(broken_lines(report, broken));
    }
    lines
}

/// From which tick on nothing broke.
pub(crate) fn answer(report: &LeaveReported) -> String {
    let answer = answer_of_what_slept(report);
    match report.found.in_no_region.is_empty() {
        true => answer,
        false => format!("not known of the whole hall: {answer}"),
    }
}

fn answer_of_what_slept(report: &LeaveReported) -> String {
    let at = |tick: Tick| time(tick.0, report.ticks_per_second);
    let ways = count(report.ways.len() as u64, "way", "ways");
    let single = report.found.ticks.len() == 1;
    if report.found.unmade() > 0 {
        let broke = match report.found.last_broken() {
            Some(left) => format!("something broke, left at {}", at(left.tick)),
            None => "nothing broke".to_owned(),
        };
        return format!(
            "cut short after {} of {}: {broke}; whether it may be left is not known",
            grouped(report.leaves()),
            count(
                report.leaves() + report.found.unmade() as u64,
                "leave",
                "leaves"
            )
        );
    }
    match report.found.well_from() {
        Some(tick) if single => format!("left at {}: nothing broke, in {ways}", at(tick)),
        Some(tick) => format!(
            "left at {} or later (of {}): nothing broke, in {ways}",
            at(tick),
            range_words(report)
        ),
        None if single => format!("left at {}: something broke", at(report.range.from)),
        None => format!(
            "left at the last tick tried (of {}), something broke still",
            range_words(report)
        ),
    }
}

/// The ticks tried: `2,550..3,500/50 t`.
fn range_words(report: &LeaveReported) -> String {
    let range = report.range;
    format!(
        "{}..{}/{} t",
        grouped(range.from.0),
        grouped(range.to.0),
        range.step_ticks
    )
}

/// How much was tried.
fn tried(report: &LeaveReported) -> String {
    let tps = report.ticks_per_second;
    let leave = &report.leave;
    let cut = report.cut_at.map_or_else(String::new, |end| {
        format!("; no later, for the run ends at {}", time(end.0, tps))
    });
    let unmade_leaves = report.found.unmade() as u64;
    let unmade = match unmade_leaves {
        0 => String::new(),
        unmade => format!(", {} of them not made", grouped(unmade)),
    };
    let regions = report.regions.len();
    let apart = match regions {
        1 => String::new(),
        _ => format!(", {} apart", time(leave.apart_ticks, tps)),
    };
    format!(
        "tried: {} × {} = {}{unmade}, each beside the hall undisturbed{cut}; {}: {}{apart}, up to {} late, switched \
         on {} after the last",
        count(report.found.ticks.len() as u64, "tick", "ticks"),
        count(report.ways.len() as u64, "way", "ways"),
        count(report.leaves() + unmade_leaves, "leave", "leaves"),
        count(regions as u64, "region", "regions"),
        listed(&report.regions, LISTED),
        time(leave.late_ticks, tps),
        time(leave.pause_ticks, tps)
    )
}

/// What stays awake in every run, so that nothing is known of it.
fn never_slept(report: &LeaveReported) -> Option<String> {
    let parts = &report.found.in_no_region;
    (!parts.is_empty()).then(|| {
        let are = count(
            parts.len() as u64,
            "part is in no region",
            "parts are in no region",
        );
        format!(
            "{are} and never slept, so that this is known of the rest only: {}",
            listed(parts, LISTED)
        )
    })
}

/// Whether the lamp is right.
pub(crate) fn lamp(report: &LeaveReported) -> String {
    let ticks = |ticks: &[Tick]| {
        let names: Vec<String> = ticks
            .iter()
            .map(|tick| format!("{} t", grouped(tick.0)))
            .collect();
        listed(&names, LISTED)
    };
    match &report.lamp {
        LampReport::None => {
            "no lamp says when it may be left: none is declared in `lamps`".to_owned()
        }
        LampReport::NoneNamed(names) => format!(
            "which lamp says when it may be left is not declared: `leave: (lamp: …)` names one of {}",
            listed(names, LISTED)
        ),
        LampReport::Judged { name, false_at, .. } if !false_at.is_empty() => format!(
            "false light: the lamp `{name}` was on, and something broke, left at {}",
            ticks(false_at)
        ),
        LampReport::Judged { name, .. } if report.found.unmade() > 0 => {
            format!("whether the lamp `{name}` is right is not known")
        }
        LampReport::Judged {
            name,
            stays_off: true,
            ..
        } => {
            format!("the lamp `{name}` was never on when nothing broke any more")
        }
        LampReport::Judged { name, on_at, .. } if on_at.is_empty() => {
            format!("the lamp `{name}` was on at none of these ticks")
        }
        LampReport::Judged { name, on_at, .. } => format!(
            "the lamp `{name}` was right: on at {}, first at {}, and nothing broke there",
            count(on_at.len() as u64, "tick", "ticks"),
            time(on_at[0].0, report.ticks_per_second)
        ),
    }
}

/// What broke at one tick, how it had been left, and why.
fn broken_lines(report: &LeaveReported, broken: &BrokenLeave) -> Vec<String> {
    let at = time(broken.tick.0, report.ticks_per_second);
    let (ways, of) = broken.ways();
    let is_last = report
        .reported_broken()
        .next()
        .is_some_and(|last| last.tick == broken.tick);
    let so_far = match report.found.unmade() {
        0 => "",
        _ => " so far",
    };
    let which = match (report.found.ticks.len(), is_last) {
        (1, _) => String::new(),
        (_, true) => format!(", the last tick at which something broke{so_far}"),
        (_, false) => format!(", the first tick at which something broke{so_far}"),
    };
    let ends = match report.regions.len() {
        1 => String::new(),
        _ => format!(
            ": {} of {} near first, {} of {} far first",
            broken.near_first.0, broken.near_first.1, broken.far_first.0, broken.far_first.1
        ),
    };
    let mut lines = vec![format!(
        "left at {at}{which}: it broke in {ways} of {of} ways{ends}"
    )];
    lines.push(format!("such as {}", way_words(report, &broken.way)));
    lines.extend(breakages(broken));
    lines.push(why(report, broken));
    lines.extend(crossing_lines(report, broken));
    let explained = broken.explained.iter().take(SHOWN);
    lines.extend(explained.map(|line| format!("explained: {line}")));
    lines.push(format!("again: {}", broken.command));
    lines
}

/// How it was left: `far first, all there at once, opened in …`.
fn way_words(report: &LeaveReported, way: &Pattern) -> String {
    let tps = report.ticks_per_second;
    let mut words = Vec::new();
    if report.regions.len() > 1 {
        words.push(
            if way.near_first {
                "near first"
            } else {
                "far first"
            }
            .to_owned(),
        );
    }
    let late = report
        .regions
        .iter()
        .zip(&way.late_ticks)
        .filter(|(_, late)| **late > 0);
    let late: Vec<String> = late
        .map(|(region, late)| format!("{region} {} late", time(*late, tps)))
        .collect();
    words.push(match late.is_empty() {
        true => "no region late".to_owned(),
        false => late.join(", "),
    });
    if let Some(before) = &way.before {
        words.push(format!("run before in {}", orders_words(before)));
    }
    words.push(format!("opened in {}", orders_words(&way.orders)));
    words.push(match way.at_once {
        true => "switched on as soon as all was there".to_owned(),
        false => "switched on no sooner than planned".to_owned(),
    });
    words.join("; ")
}

/// What broke, in lines: what was broken at rest, then what was once it had been switched on.
fn breakages(broken: &BrokenLeave) -> Vec<String> {
    let of = |when: When| {
        let what = broken.what.iter().filter(move |(found, _)| *found == when);
        let words: Vec<String> = what.map(|(_, what)| breakage_words(broken, what)).collect();
        words
    };
    let at_rest = of(When::AtRest);
    let on = of(When::SwitchedOn);
    let mut lines = Vec::new();
    // What stays as it was found says nothing new.
    let on: Vec<String> = on
        .into_iter()
        .filter(|words| !at_rest.contains(words))
        .collect();
    for (intro, words) in [
        ("opened again and at rest", at_rest),
        ("switched on again and at its end", on),
    ] {
        if !words.is_empty() {
            lines.push(format!("{intro}: {}", listed(&words, SHOWN)));
        }
    }
    lines
}

fn breakage_words(broken: &BrokenLeave, what: &Breakage) -> String {
    let part = |name: &str| match broken.region_of.get(name) {
        Some(region) => format!("`{name}` ({region})"),
        None => format!("`{name}`"),
    };
    let kinds = |kinds: &[(String, u64)]| {
        let each = kinds
            .iter()
            .map(|(kind, items)| format!("{} {kind}", grouped(*items)));
        let each: Vec<String> = each.collect();
        listed(&each, SHOWN)
    };
    match what {
        Breakage::Lost { kind, at, items } => {
            format!("{} {kind} lost at {}", grouped(*items), part(at))
        }
        Breakage::Misplaced { items: more } => format!("{} misplaced", items(*more)),
        Breakage::Stuck { kind, at, items } => {
            format!("{} {kind} stuck in {}", grouped(*items), part(at))
        }
        Breakage::Refused { kind, at, items } => {
            format!("{} {kind} refused at {}", grouped(*items), part(at))
        }
        Breakage::Signal {
            name,
            level,
            undisturbed,
        } => format!("{} at level {level}, not {undisturbed}", part(name)),
        Breakage::Inventory { name, more, fewer } => {
            let mut words = Vec::new();
            if !more.is_empty() {
                words.push(format!("{} too many", kinds(more)));
            }
            if !fewer.is_empty() {
                words.push(format!("{} too few", kinds(fewer)));
            }
            format!("{} with {}", part(name), words.join(" and "))
        }
    }
}

/// What mends it.
fn why(report: &LeaveReported, broken: &BrokenLeave) -> String {
    let words = |changes: &[Change]| -> Vec<String> {
        let each = changes.iter();
        each.map(|change| change_words(report, &broken.way, *change))
            .collect()
    };
    if broken.mended_by.is_empty() && !broken.untried.is_empty() {
        return "why: not known, for it was cut short".to_owned();
    }
    if broken.mended_by.is_empty() {
        let tried = words(&broken.changed).join(", ");
        return format!("why: no one thing alone; it breaks as well {tried}");
    }
    format!(
        "why: nothing breaks {}",
        words(&broken.mended_by).join(", or ")
    )
}

/// A change after which nothing breaks, as the end of a sentence.
pub(crate) fn change_words(report: &LeaveReported, way: &Pattern, change: Change) -> String {
    match change {
        Change::Awake(place) => format!("if {} stays awake", report.regions[place]),
        Change::OtherEndFirst if way.near_first => "with the far end asleep first".to_owned(),
        Change::OtherEndFirst => "with the near end asleep first".to_owned(),
        Change::NoneLate => "if no region is late".to_owned(),
        Change::SameOrders => "if it is opened in the orders in which it ran".to_owned(),
        Change::OwnOrdersBefore => "if it ran in its own orders before".to_owned(),
        Change::NotAtOnce => "if it is switched on no sooner than planned".to_owned(),
    }
}

/// What was still to cross between a region that slept and one that did not.
fn crossing_lines(report: &LeaveReported, broken: &BrokenLeave) -> Vec<String> {
    let all = &broken.crossings;
    let mut lines: Vec<String> = all
        .iter()
        .take(SHOWN)
        .map(|crossing| format!("undisturbed, {}", crossing_words(report, crossing)))
        .collect();
    if all.len() > SHOWN {
        let more = (all.len() - SHOWN) as u64;
        lines.push(format!(
            "… and {} between regions",
            count(more, "link more", "links more")
        ));
    }
    lines
}

/// What crosses: `` `head` (near) hands on to `chest` (far) 3 times, … while `chest` would sleep ``.
pub(crate) fn crossing_words(report: &LeaveReported, crossing: &Crossing) -> String {
    let tps = report.ticks_per_second;
    let part = |name: &str, region: &Option<String>| match region {
        Some(region) => format!("`{name}` ({region})"),
        None => format!("`{name}` (in no region)"),
    };
    let from = part(&crossing.from, &crossing.from_region);
    let to = part(&crossing.to, &crossing.to_region);
    let sleeper = match crossing.from_sleeps {
        true => &crossing.from,
        false => &crossing.to,
    };
    let when = match crossing.times {
        1 => format!("at {}", time(crossing.first_at.0, tps)),
        times => format!(
            "{} times from {} to {}",
            grouped(times),
            time(crossing.first_at.0, tps),
            time(crossing.last_at.0, tps)
        ),
    };
    match crossing.what {
        Crosses::Items => {
            format!("{from} hands on to {to} {when}, while `{sleeper}` is asleep here")
        }
        Crosses::Change => {
            format!("{to} notices a change of {from} {when}, while `{sleeper}` is asleep here")
        }
    }
}

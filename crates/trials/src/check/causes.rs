//! Why a goal was missed, as far as the run can report.

use hallwright_declared::declarations::{Goal, Mark};

use hallwright_report::figures::{Name, Of};
use hallwright_report::findings::{
    ContentsFinding, DeskFinding, Findings, GatherFinding, KindCount, OverflowReason, Stacks,
    StopFinding,
};
use hallwright_report::goals::{Asked, Verdict, mark_of, mark_words};
use hallwright_report::units::{count, grouped, items, listed, percent, time};
use hallwright_words::{
    going_round, in_no_store, kinds, moves_later, obstacles, quantity_words, reason_words,
};

/// The most lines that one miss gets.
const MOST: usize = 4;

/// What in the findings speaks to a missed goal, a line each: which store got which kind, which
/// section was late, what was lost where. `asked`: what the goal asks for.
pub(super) fn causes(
    goal: &Goal,
    asked: &Asked,
    verdict: &Verdict,
    found: &Findings,
) -> Vec<String> {
    if !verdict.why.is_empty() {
        return cut(verdict.why.clone());
    }
    let lines = match goal {
        Goal::MisplacedAtMost(_) => misplaced(found),
        Goal::PassedByAtMost(_) => passed_by(found),
        Goal::SievesBrokenAtMost(_) => sieves(found),
        Goal::LostAtMost(_) => lost(found),
        Goal::InNoStoreAtMost(_) => in_no_store(&found.whereabouts),
        Goal::GoingRoundAtMost(_) => going_round(found),
        Goal::ThroughputAtLeast { flow, .. } => throughput(*flow, found),
        Goal::MarkWithin {
            mark,
            section,
            ticks,
        } => late(*mark, *section, *ticks, found),
        Goal::LockCoverAtLeast { section, .. } => lock_cover(*section, found),
        Goal::RequestWithin { desk, .. } => requests(&found.desks[*desk], found),
        Goal::PartStacksOutAtMost { gather, .. } => part_stacks(&found.gathers[*gather]),
        Goal::LeftBehindAtMost(_) => left_behind(found),
        Goal::WorkPerTickAtMost(_) => work(found),
        Goal::Crowded(_) => {
            let crowded = found.crowded.iter().filter(|place| !place.is_allowed);
            crowded.map(|place| place.words.clone()).collect()
        }
        Goal::Contents { .. } => match asked.of {
            Of::Contents(goal) => found
                .contents_for(goal)
                .map_or_else(Vec::new, |contents| elsewhere(contents, found)),
            _ => Vec::new(),
        },
        Goal::LampRise { lamp, .. } => found.lamps[*lamp]
            .first_rise
            .map(|rise| {
                let at = time(rise.at.0, found.ticks_per_second);
                format!(
                    "it first rose at {at}, holding {}",
                    items(rise.watched_items)
                )
            })
            .into_iter()
            .collect(),
        _ if asked.figure == Name::HOPPERS_PER_BLOCK => hoppers(found),
        _ => by_section(asked, found),
    };
    cut(lines)
}

/// The sections that miss the bounds by themselves, the worst first.
fn by_section(asked: &Asked, found: &Findings) -> Vec<String> {
    let sections = (0..found.sections.len()).filter(|place| match &asked.of {
        Of::Sections(sections) => sections.contains(place),
        _ => true,
    });
    let figures = sections.filter_map(|place| {
        let quantity = asked.figure.worst(found, &Of::section(Some(place)))?;
        Some((&found.sections[place].name, quantity, quantity.value()?))
    });
    let misses = |value: f64| asked.bounds.iter().any(|bound| !bound.is_met_by(value));
    let mut figures: Vec<_> = figures.filter(|(.., value)| misses(*value)).collect();
    figures.sort_by(|(.., one), (.., two)| match asked.figure.more_is_better() {
        true => one.total_cmp(two),
        false => two.total_cmp(one),
    });
    let lines = figures.iter().map(|(name, quantity, _)| {
        let words = quantity_words(*quantity, found.ticks_per_second);
        format!("\"{name}\": {words}")
    });
    lines.collect()
}

fn cut(mut lines: Vec<String>) -> Vec<String> {
    if lines.len() > MOST + 1 {
        let more = lines.len() - MOST;
        lines.truncate(MOST);
        lines.push(format!("… and {more} more"));
    }
    lines
}

fn misplaced(found: &Findings) -> Vec<String> {
    let stores = found
        .stores
        .iter()
        .filter(|store| !store.misplaced.is_empty());
    let lines = stores.map(|store| {
        let since = store.first_misplaced_at.map_or_else(String::new, |tick| {
            format!(", the first at {}", time(tick.0, found.ticks_per_second))
        });
        format!("{} in {}{since}", kinds(&store.misplaced), store.name)
    });
    lines.collect()
}

fn requests(desk: &DeskFinding, found: &Findings) -> Vec<String> {
    let tps = found.ticks_per_second;
    let lines = desk.requests.iter().map(|request| {
        let asked = count(request.asked_boxes, "box", "boxes");
        let served = match request.served_ticks() {
            Some(ticks) => format!("served after {}", time(ticks, tps)),
            None => format!("{} still owed", count(request.owed_boxes, "box", "boxes")),
        };
        let stopped = match request.stopped_ticks {
            0 => String::new(),
            ticks => format!(", the hall stopped for {} of it", time(ticks, tps)),
        };
        format!(
            "{asked} asked at {}: {served}{stopped}",
            time(request.at.0, tps)
        )
    });
    lines.collect()
}

fn part_stacks(gather: &GatherFinding) -> Vec<String> {
    let words = |stacks: Stacks| {
        let all = count(stacks.stacks, "stack", "stacks");
        format!("{} of {all} were part stacks", grouped(stacks.part_stacks))
    };
    vec![
        format!("came in: {}", words(gather.came_in)),
        format!("left: {}", words(gather.left)),
    ]
}

fn left_behind(found: &Findings) -> Vec<String> {
    let open = found.left_behind.iter().filter(|open| open.items > 0);
    let lines = open.map(|open| {
        let parts = open.parts.iter();
        let parts: Vec<String> = parts
            .map(|row| format!("{} ({})", row.part, items(row.items)))
            .collect();
        let parts = listed(&parts, 3);
        format!(
            "behind \"{}\": {} in {parts}",
            open.name,
            kinds(&open.contents)
        )
    });
    lines.collect()
}

fn passed_by(found: &Findings) -> Vec<String> {
    let rows = found.overflow.rows.iter();
    rows.filter(|row| row.reason == OverflowReason::PassedBy)
        .map(|row| {
            format!(
                "{} {} reached overflow while their slice had room",
                grouped(row.items),
                row.kind
            )
        })
        .collect()
}

fn sieves(found: &Findings) -> Vec<String> {
    let lines = found.broken_sieves().map(|sieve| {
        let reported = |what: &str, counts: &[KindCount]| {
            (!counts.is_empty()).then(|| format!("{what} {}", kinds(counts)))
        };
        let since = sieve.broken_since.map(|tick| {
            let since = time(tick.0, found.ticks_per_second);
            format!("not intact since {since}")
        });
        let facts: Vec<String> = [
            reported("lacks", &sieve.missing),
            reported("holds", &sieve.foreign),
            since,
        ]
        .into_iter()
        .flatten()
        .collect();
        format!("{} {}", sieve.part, facts.join(", "))
    });
    lines.collect()
}

fn lost(found: &Findings) -> Vec<String> {
    let rows = found.loss.rows.iter();
    rows.map(|row| {
        let (at, age) = (
            time(row.at.0, found.ticks_per_second),
            time(row.age_ticks, found.ticks_per_second),
        );
        format!(
            "{} {} at {}, at {at}, {age} old: {}",
            grouped(row.items),
            row.kind,
            row.mouth,
            reason_words(row.reason)
        )
    })
    .collect()
}

fn throughput(flow: usize, found: &Findings) -> Vec<String> {
    let flow = &found.flows[flow];
    let (Some(first), Some(last)) = (flow.first_at, flow.last_at) else {
        return vec![format!("nothing came into \"{}\"", flow.name)];
    };
    let tps = found.ticks_per_second;
    let mut lines = vec![format!(
        "{} {} counted from {} to {}",
        grouped(flow.items),
        flow.unit(),
        time(first.0, tps),
        time(last.0, tps)
    )];
    if let Some(worst) = &flow.worst {
        lines.push(format!(
            "goods waited, and {} {} came from {} to {}",
            grouped(worst.rate.items),
            flow.unit(),
            time(worst.from.0, tps),
            time(worst.from.0 + worst.rate.ticks, tps)
        ));
    }
    lines
}

fn late(mark: Mark, section: Option<usize>, most_ticks: u64, found: &Findings) -> Vec<String> {
    let is_late = |stop: &StopFinding, section: Option<usize>| {
        mark_of(stop, mark, section).filter(|ticks| ticks.is_none_or(|ticks| ticks > most_ticks))
    };
    let mut lines = Vec::new();
    for stop in found
        .stops
        .iter()
        .filter(|stop| is_late(stop, section).is_some())
    {
        // Of all sections together, those that held the mark up.
        let slow = (0..stop.sections.len()).filter(|_| section.is_none());
        for slow in slow {
            let Some(ticks) = is_late(stop, Some(slow)) else {
                continue;
            };
            let after = ticks.map_or_else(
                || format!("not {}", mark_words(mark)),
                |ticks| {
                    let after = time(ticks, found.ticks_per_second);
                    format!("{} after {after}", mark_words(mark))
                },
            );
            lines.push(format!("\"{}\" was {after}", stop.sections[slow].name));
        }
        if is_late(stop, section) == Some(None) {
            let mut left = obstacles(&stop.left);
            left.extend(moves_later(stop, found.ticks_per_second));
            if !left.is_empty() {
                lines.push(format!("left: {}", left.join("; ")));
            }
        }
    }
    lines
}

fn lock_cover(section: Option<usize>, found: &Findings) -> Vec<String> {
    let mut sections: Vec<_> = found
        .sections
        .iter()
        .enumerate()
        .filter(|(place, each)| {
            section.is_none_or(|section| section == *place) && each.lock_cover.whole > 0
        })
        .map(|(_, section)| section)
        .collect();
    // The least covered first.
    sections.sort_by_key(|section| {
        let cover = section.lock_cover;
        u128::from(cover.part) * 1_000_000 / u128::from(cover.whole)
    });
    let lines = sections.iter().map(|section| {
        let cover = section.lock_cover;
        format!(
            "{}: {} unlocked of {} without a call ({} locked)",
            section.name,
            count(cover.whole - cover.part, "hopper-tick", "hopper-ticks"),
            grouped(cover.whole),
            percent(cover)
        )
    });
    lines.collect()
}

fn work(found: &Findings) -> Vec<String> {
    let cost = &found.cost;
    vec![format!(
        "{} hoppers; the most is {} units in one tick, at {}",
        grouped(cost.hoppers),
        grouped(cost.peak_work_units),
        time(cost.peak_at.0, found.ticks_per_second)
    )]
}

fn hoppers(found: &Findings) -> Vec<String> {
    let blocks = found.cost.width_blocks;
    let line = blocks.map(|blocks| {
        format!(
            "{} hoppers on {} blocks",
            grouped(found.cost.hoppers),
            grouped(blocks.into())
        )
    });
    line.into_iter().collect()
}

/// Where the kinds that a goal asks about are besides: in stores, lost. If it asks about all, what
/// is in wrong stores.
fn elsewhere(contents: &ContentsFinding, found: &Findings) -> Vec<String> {
    let asked = |kind: &String| contents.kinds.contains(kind);
    let mut lines = Vec::new();
    if contents.kinds.is_empty() {
        lines = misplaced(found);
        lines.truncate(MOST - 1);
    }
    let held: Vec<String> = found
        .stores
        .iter()
        .filter_map(|store| {
            let of_these: Vec<KindCount> = store
                .contents
                .iter()
                .filter(|row| asked(&row.kind))
                .cloned()
                .collect();
            (!of_these.is_empty()).then(|| format!("{} ({})", store.name, kinds(&of_these)))
        })
        .collect();
    if !held.is_empty() {
        lines.push(format!("in stores: {}", listed(&held, 6)));
    }
    let lost: u64 = found
        .loss
        .rows
        .iter()
        .filter(|row| asked(&row.kind))
        .map(|row| row.items)
        .sum();
    if lost > 0 {
        lines.push(format!("{} lost", items(lost)));
    }
    let left = obstacles(&found.left);
    if !left.is_empty() {
        lines.push(format!("at the end of the run: {}", left.join("; ")));
    }
    lines
}

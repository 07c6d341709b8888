//! The explanation of a run, for programs.

use serde::Serialize;

use super::SCHEMA_VERSION;
use crate::explain::{Beyond, Explanation, StopPath};
use crate::render::Heading;
use crate::render::text::{cause_words, explain_mark_words};

#[derive(Serialize)]
struct Report<'a> {
    schema_version: u32,
    title: &'a str,
    variant: Option<&'a str>,
    seed: u64,
    update_order: &'a str,
    version: &'a str,
    input_digest: &'a str,
    command: &'a str,
    ticks_per_second: u32,
    stop: Option<Stop<'a>>,
}

#[derive(Serialize)]
struct Stop<'a> {
    at_tick: u64,
    mark: &'static str,
    mark_ticks: Option<u64>,
    in_the_way: &'a [String],
    begins_with_the_stop: bool,
    way: Vec<Wait<'a>>,
    by_cause: Vec<ByCause<'a>>,
    by_section: Vec<BySection<'a>>,
    shorter: Vec<Shorter<'a>>,
}

#[derive(Serialize)]
struct Wait<'a> {
    from_ticks: u64,
    wait_ticks: u64,
    waits: u64,
    cause: &'static str,
    first_part: &'a str,
    last_part: &'a str,
    section: &'a str,
    blocked_ticks: u64,
}

#[derive(Serialize)]
struct ByCause<'a> {
    cause: &'static str,
    waits: u64,
    wait_ticks: u64,
    most_at: &'a str,
}

#[derive(Serialize)]
struct BySection<'a> {
    section: &'a str,
    wait_ticks: u64,
    most_for: &'static str,
}

#[derive(Serialize)]
struct Shorter<'a> {
    part: &'a str,
    cause: &'static str,
    own_ticks: u64,
    slack_ticks: u64,
    beyond: &'static str,
}

impl<'a> Stop<'a> {
    fn of(stop: &'a StopPath) -> Self {
        let way = stop.rows.iter().map(|row| Wait {
            from_ticks: row.from_ticks,
            wait_ticks: row.ticks,
            waits: row.waits,
            cause: cause_words(row.cause),
            first_part: &row.first_part,
            last_part: &row.last_part,
            section: &row.place,
            blocked_ticks: row.blocked_ticks,
        });
        let by_cause = stop.by_cause.iter().map(|sum| ByCause {
            cause: cause_words(sum.cause),
            waits: sum.waits,
            wait_ticks: sum.ticks,
            most_at: &sum.most_at,
        });
        let by_section = stop.by_place.iter().map(|sum| BySection {
            section: &sum.place,
            wait_ticks: sum.ticks,
            most_for: cause_words(sum.most_by),
        });
        let shorter = stop.shorter.iter().map(|shorter| Shorter {
            part: &shorter.part,
            cause: cause_words(shorter.cause),
            own_ticks: shorter.own_ticks,
            slack_ticks: shorter.slack_ticks,
            beyond: match shorter.beyond {
                Beyond::NoShorter => "no shorter",
                Beyond::AnotherWay => "another way",
                Beyond::NeverReached => "never reached",
            },
        });
        Self {
            at_tick: stop.at.0,
            mark: explain_mark_words(stop.mark),
            mark_ticks: stop.ticks,
            in_the_way: &stop.in_the_way,
            begins_with_the_stop: stop.from_the_stop,
            way: way.collect(),
            by_cause: by_cause.collect(),
            by_section: by_section.collect(),
            shorter: shorter.collect(),
        }
    }
}

/// The explanation as indented JSON.
///
/// # Panics
///
/// Never: plain data can always be written.
#[must_use]
pub fn explain_json(heading: &Heading, found: &Explanation) -> String {
    let report = Report {
        schema_version: SCHEMA_VERSION,
        title: &heading.title,
        variant: heading.variant.as_deref(),
        seed: heading.seed,
        update_order: &heading.order,
        version: &heading.version,
        input_digest: &heading.input_digest,
        command: &heading.command,
        ticks_per_second: found.ticks_per_second,
        stop: found.stop.as_ref().map(Stop::of),
    };
    serde_json::to_string_pretty(&report).expect("plain data can always be written")
}

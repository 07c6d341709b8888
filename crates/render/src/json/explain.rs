//! The explanation of a run, for programs.

use serde::Serialize;

use super::SCHEMA_VERSION;
use hallwright_explain::cause_words;
use hallwright_explain::{
    Beyond, Doing, Explanation, FlowWay, Misplacement, OrderCause, Ring, Standing, StayFinding,
    StopPath, Stuck, Trouble,
};
use hallwright_report::Heading;
use hallwright_report::goals::mark_words;

#[derive(Serialize)]
struct ExplainDocument<'a> {
    schema_version: u32,
    title: &'a str,
    variant: Option<&'a str>,
    seed: u64,
    update_order: &'a str,
    signal_order: &'a str,
    version: &'a str,
    input_digest: &'a str,
    command: &'a str,
    ticks_per_second: u32,
    stop: Option<StopDocument<'a>>,
    troubles: Vec<Troubled<'a>>,
    deadlocks: Vec<Ringed<'a>>,
    circulations: Vec<Ringed<'a>>,
    lost_stacks: u64,
    lost: Vec<Lost<'a>>,
    misplaced_items: u64,
    misplaced: Vec<Misplaced<'a>>,
    flows: Vec<Flow<'a>>,
}

#[derive(Serialize)]
struct Troubled<'a> {
    question: &'static str,
    verdict: &'static str,
    words: &'a str,
    /// Which order is why: `update`, `signal`, `together` or `each`.
    order_cause: Option<&'static str>,
    causes: Vec<Caused<'a>>,
    left_out: u64,
}

#[derive(Serialize)]
struct Caused<'a> {
    what: &'a [String],
    why: &'a [String],
    could: &'a [String],
}

#[derive(Serialize)]
struct Ringed<'a> {
    members: &'a [String],
    since_tick: u64,
    items: u64,
    moves: u64,
}

impl<'a> Ringed<'a> {
    fn of(ring: &'a Ring) -> Self {
        Self {
            members: &ring.members,
            since_tick: ring.since.0,
            items: ring.items,
            moves: ring.moves,
        }
    }
}

#[derive(Serialize)]
struct Stay<'a> {
    part: &'a str,
    since_tick: Option<u64>,
    stay_ticks: u64,
}

fn stays(found: &[StayFinding]) -> Vec<Stay<'_>> {
    let stays = found.iter().map(|stay| Stay {
        part: &stay.part,
        since_tick: stay.since.map(|since| since.0),
        stay_ticks: stay.ticks,
    });
    stays.collect()
}

#[derive(Serialize)]
struct Lost<'a> {
    kind: &'a str,
    at_tick: u64,
    stays: Vec<Stay<'a>>,
}

#[derive(Serialize)]
struct Misplaced<'a> {
    kind: &'a str,
    store: &'a str,
    own_stores: &'a [String],
    at_tick: u64,
    stays: Vec<Stay<'a>>,
    turn: Option<Turned<'a>>,
}

#[derive(Serialize)]
struct Turned<'a> {
    part: &'a str,
    at_tick: u64,
    went_to: &'a str,
    there: &'a str,
    ways: &'a [(String, String)],
    is_match: Option<bool>,
}

impl<'a> Misplaced<'a> {
    fn of(found: &'a Misplacement) -> Self {
        Self {
            kind: &found.kind,
            store: &found.store,
            own_stores: &found.own_stores,
            at_tick: found.at.0,
            stays: stays(&found.stays),
            turn: found.turn.as_ref().map(|turn| Turned {
                part: &turn.part,
                at_tick: turn.at.0,
                went_to: &turn.went_to,
                there: &turn.there,
                ways: &turn.ways,
                is_match: turn.is_match,
            }),
        }
    }
}

#[derive(Serialize)]
struct Flow<'a> {
    flow: &'a str,
    watched_ticks: u64,
    bottleneck: Option<&'a str>,
    bottleneck_was: Option<&'static str>,
    parts: Vec<FlowPart<'a>>,
}

#[derive(Serialize)]
struct FlowPart<'a> {
    part: &'a str,
    hops: usize,
    items: u64,
    busy_ticks: u64,
    starved_ticks: u64,
    blocked_ticks: u64,
    locked_ticks: u64,
}

impl<'a> Flow<'a> {
    fn of(found: &'a FlowWay) -> Self {
        let parts = found.parts.iter().map(|part| FlowPart {
            part: &part.part,
            hops: part.hops,
            items: part.items,
            busy_ticks: part.busy.part,
            starved_ticks: part.starved.part,
            blocked_ticks: part.blocked.part,
            locked_ticks: part.locked.part,
        });
        let bottleneck = found.bottleneck.as_ref();
        Self {
            flow: &found.flow,
            watched_ticks: found.ticks,
            bottleneck: bottleneck.map(|(part, _)| part.as_str()),
            bottleneck_was: bottleneck.map(|(_, doing)| match doing {
                Doing::Busy => "busy",
                Doing::Starved => "starved",
                Doing::Blocked => "blocked",
                Doing::Locked => "locked",
            }),
            parts: parts.collect(),
        }
    }
}

#[derive(Serialize)]
struct StuckPart<'a> {
    part: &'a str,
    why: &'static str,
    /// The part without room, or the lock's signal.
    by: Option<&'a str>,
    locked_after_ticks: Option<u64>,
}

impl<'a> StuckPart<'a> {
    fn of(stuck: &'a Stuck) -> Self {
        let (why, by) = match &stuck.why {
            Standing::NoWayOn => ("no way on", None),
            Standing::Locked { by, .. } => ("locked", Some(by.as_str())),
            Standing::FullTarget(target) => ("full target", Some(target.as_str())),
            Standing::NotTriggered => ("not triggered", None),
            Standing::UnderWay => ("under way", None),
        };
        Self {
            part: &stuck.part,
            why,
            by,
            locked_after_ticks: stuck.locked.as_ref().map(|locked| locked.after_ticks),
        }
    }
}

#[derive(Serialize)]
struct StopDocument<'a> {
    at_tick: u64,
    mark: &'static str,
    mark_ticks: Option<u64>,
    in_the_way: &'a [String],
    stuck: Vec<StuckPart<'a>>,
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
    rounds: u64,
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
    parts: u64,
    cause: &'static str,
    own_ticks: u64,
    slack_ticks: u64,
    beyond: &'static str,
    most_ticks: Option<u64>,
}

impl<'a> StopDocument<'a> {
    fn of(stop: &'a StopPath) -> Self {
        let way = stop.rows.iter().map(|row| Wait {
            from_ticks: row.from_ticks,
            wait_ticks: row.ticks,
            waits: row.waits,
            rounds: row.rounds,
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
            parts: shorter.parts,
            cause: cause_words(shorter.cause),
            own_ticks: shorter.own_ticks,
            slack_ticks: shorter.slack_ticks,
            beyond: match shorter.beyond {
                Beyond::NoShorter => "no shorter",
                Beyond::AnotherWay => "another way",
                Beyond::NeverReached => "never reached",
            },
            most_ticks: shorter.most_ticks,
        });
        Self {
            at_tick: stop.at.0,
            mark: mark_words(stop.mark),
            mark_ticks: stop.ticks,
            in_the_way: &stop.in_the_way,
            stuck: stop.stuck.iter().map(StuckPart::of).collect(),
            begins_with_the_stop: stop.from_the_stop,
            way: way.collect(),
            by_cause: by_cause.collect(),
            by_section: by_section.collect(),
            shorter: shorter.collect(),
        }
    }
}

impl<'a> Troubled<'a> {
    fn of(trouble: &'a Trouble) -> Self {
        let causes = trouble.causes.iter();
        Self {
            question: trouble.question.key(),
            verdict: trouble.ruling.key(),
            words: &trouble.verdict,
            order_cause: trouble.by_order.map(order_cause_key),
            causes: causes
                .map(|cause| Caused {
                    what: &cause.what,
                    why: &cause.why,
                    could: &cause.could,
                })
                .collect(),
            left_out: trouble.left_out,
        }
    }
}

fn order_cause_key(cause: OrderCause) -> &'static str {
    match cause {
        OrderCause::Update => "update",
        OrderCause::Signal => "signal",
        OrderCause::Together => "together",
        OrderCause::Each => "each",
    }
}

/// The explanation as indented JSON.
///
/// # Panics
///
/// Never: plain data can always be written.
#[must_use]
pub fn explain_json(heading: &Heading, found: &Explanation) -> String {
    let report = ExplainDocument {
        schema_version: SCHEMA_VERSION,
        title: &heading.title,
        variant: heading.variant.as_deref(),
        seed: heading.seed,
        update_order: &heading.update_order,
        signal_order: &heading.signal_order,
        version: &heading.version,
        input_digest: &heading.input_digest,
        command: &heading.command,
        ticks_per_second: found.ticks_per_second,
        stop: found.stop.as_ref().map(StopDocument::of),
        troubles: found.troubles.iter().map(Troubled::of).collect(),
        deadlocks: found.deadlocks.iter().map(Ringed::of).collect(),
        circulations: found.circulations.iter().map(Ringed::of).collect(),
        lost_stacks: found.lost_stacks,
        lost: found
            .lost
            .iter()
            .map(|life| Lost {
                kind: &life.kind,
                at_tick: life.at.0,
                stays: stays(&life.stays),
            })
            .collect(),
        misplaced_items: found.misplaced_items,
        misplaced: found.misplaced.iter().map(Misplaced::of).collect(),
        flows: found.flows.iter().map(Flow::of).collect(),
    };
    super::written(&report).trim_end().to_owned()
}

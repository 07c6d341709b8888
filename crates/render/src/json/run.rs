//! What was found over the whole run, as it is written.

use std::collections::BTreeMap;

use hallwright_declared::declarations::StorePurpose;
use serde::Serialize;
use serde_json::{Map, Number, Value};

use self::Row::{Fact, Figure};
use super::arrivals::Arrival;
use super::stops::Left;
use hallwright_report::figures::{Name, Of};
use hallwright_report::findings::{
    Findings, FlowFinding, KindCount, LossReason, LossRow, OverflowReason, SieveFinding,
    StoreFinding,
};
use hallwright_report::units::{Rate, Share};

/// Items by the name of their kind.
pub(super) type ByKind<'a> = BTreeMap<&'a str, u64>;

pub(super) fn by_kind(counts: &[KindCount]) -> ByKind<'_> {
    counts
        .iter()
        .map(|row| (row.kind.as_str(), row.items))
        .collect()
}

/// What is written in a row, in this order.
type Rows = Map<String, Value>;

enum Row {
    /// A figure of the catalogue, by its key.
    Figure(Name),
    /// What else there is to report.
    Fact(&'static str, Value),
}

fn rows(found: &Findings, of: &Of, rows: impl IntoIterator<Item = Row>) -> Rows {
    let rows = rows.into_iter().map(|row| match row {
        Figure(name) => (name.key().to_owned(), figure(name, found, of).into()),
        Fact(key, value) => (key.to_owned(), value),
    });
    rows.collect()
}

/// What a figure came to; `None` for never, and where there is nothing to measure.
fn figure(name: Name, found: &Findings, of: &Of) -> Option<Number> {
    let quantity = name.worst(found, of)?;
    let whole = quantity.whole().map(Number::from);
    whole.or_else(|| Number::from_f64(quantity.value()?))
}

#[derive(Serialize)]
pub(super) struct Run<'a> {
    ticks_per_second: u32,
    run_ticks: u64,
    quiet_at_tick: Option<u64>,
    quiet_is_certain: bool,
    left_at_the_end: Left<'a>,
    arrivals: Vec<Arrival<'a>>,
    sorting: Sorting<'a>,
    flows: Vec<Flow<'a>>,
    sections: Vec<Section<'a>>,
    parts_in_no_section: &'a [String],
    loss: LossReport<'a>,
    cost: CostReport,
    lamps: Vec<Lamp<'a>>,
}

impl<'a> Run<'a> {
    pub(super) fn of(found: &'a Findings) -> Self {
        let tps = found.ticks_per_second;
        Self {
            ticks_per_second: tps,
            run_ticks: Name::RUN.count(found),
            quiet_at_tick: found.quiet.ticks,
            quiet_is_certain: found.quiet.is_known,
            left_at_the_end: Left::of(&found.left),
            arrivals: found.arrivals.iter().map(Arrival::of).collect(),
            sorting: Sorting::of(found),
            flows: found.flows.iter().map(|flow| Flow::of(flow, tps)).collect(),
            sections: (0..found.sections.len())
                .map(|place| Section::of(place, found))
                .collect(),
            parts_in_no_section: &found.in_no_section,
            loss: LossReport {
                lost_items: Name::LOST.count(found),
                lost_stacks: found.loss.stacks,
                rows: found.loss.rows.iter().map(LossEntry::of).collect(),
            },
            cost: CostReport::of(found),
            lamps: (0..found.lamps.len())
                .map(|place| Lamp::of(place, found))
                .collect(),
        }
    }
}

#[derive(Serialize)]
struct Sorting<'a> {
    misplaced_items: u64,
    passed_by_items: u64,
    first_passed_by_at_tick: Option<u64>,
    sieves_intact: bool,
    whereabouts: Rows,
    stores: Vec<Store<'a>>,
    overflow: Vec<OverflowEntry<'a>>,
    sieves: Vec<Sieve<'a>>,
}

impl<'a> Sorting<'a> {
    fn of(found: &'a Findings) -> Self {
        let overflow = &found.overflow;
        Self {
            misplaced_items: Name::MISPLACED.count(found),
            passed_by_items: Name::PASSED_BY.count(found),
            first_passed_by_at_tick: overflow.first_passed_by_at.map(|tick| tick.0),
            sieves_intact: Name::SIEVES_NOT_INTACT.count(found) == 0,
            whereabouts: whereabouts(found),
            stores: found.stores.iter().map(Store::of).collect(),
            overflow: overflow
                .rows
                .iter()
                .map(|row| OverflowEntry {
                    kind: &row.kind,
                    reason: match row.reason {
                        OverflowReason::PassedBy => "passed_by",
                        OverflowReason::StoreFull => "store_full",
                        OverflowReason::NoStore => "no_store",
                    },
                    items: row.items,
                })
                .collect(),
            sieves: found.sieves.iter().map(Sieve::of).collect(),
        }
    }
}

fn whereabouts(found: &Findings) -> Rows {
    let here = &found.whereabouts;
    let facts = [
        Figure(Name::SORTED),
        Fact("sorted_boxes", here.sorted_boxes.into()),
        Fact("misplaced_items", here.misplaced_items.into()),
        Figure(Name::IN_OVERFLOW),
        Fact("overflow_boxes", here.overflow_boxes.into()),
        Fact("sieve_items", here.sieve_items.into()),
        Fact("loose_items", here.loose_items.into()),
        Figure(Name::IN_LINES),
        Fact("waiting_items", here.waiting_items.into()),
        Figure(Name::IN_NO_STORE),
        Fact("lost_items", here.lost_items.into()),
        Fact("withdrawn_items", here.withdrawn_items.into()),
        Figure(Name::DELIVERED),
    ];
    rows(found, &Of::Whole, facts)
}

#[derive(Serialize)]
struct Store<'a> {
    name: &'a str,
    purpose: &'static str,
    final_items: u64,
    peak_items: u64,
    arrived_items: u64,
    room_slots: u64,
    room_boxes: Option<u64>,
    room_items: Option<u64>,
    contents_items: ByKind<'a>,
    misplaced_items: ByKind<'a>,
    first_misplaced_at_tick: Option<u64>,
}

impl<'a> Store<'a> {
    fn of(found: &'a StoreFinding) -> Self {
        Self {
            name: &found.name,
            purpose: match found.purpose {
                StorePurpose::Slice => "slice",
                StorePurpose::Overflow => "overflow",
                StorePurpose::Serving => "serving",
            },
            final_items: found.final_items,
            peak_items: found.peak_items,
            arrived_items: found.arrived_items,
            room_slots: found.capacity.slots,
            room_boxes: found.capacity.is_for_boxes.then_some(found.capacity.slots),
            room_items: found.capacity.items,
            contents_items: by_kind(&found.contents),
            misplaced_items: by_kind(&found.misplaced),
            first_misplaced_at_tick: found.first_misplaced_at.map(|tick| tick.0),
        }
    }
}

#[derive(Serialize)]
struct OverflowEntry<'a> {
    kind: &'a str,
    reason: &'static str,
    items: u64,
}

#[derive(Serialize)]
struct Sieve<'a> {
    part: &'a str,
    intact: bool,
    missing_items: ByKind<'a>,
    foreign_items: ByKind<'a>,
    surplus_items: ByKind<'a>,
    broken_since_tick: Option<u64>,
}

impl<'a> Sieve<'a> {
    fn of(found: &'a SieveFinding) -> Self {
        Self {
            part: &found.part,
            intact: found.is_intact(),
            missing_items: by_kind(&found.missing),
            foreign_items: by_kind(&found.foreign),
            surplus_items: by_kind(&found.surplus),
            broken_since_tick: found.broken_since.map(|tick| tick.0),
        }
    }
}

/// A rate as the exact count it comes from and as items a second.
#[derive(Serialize)]
struct RateReport {
    items: u64,
    ticks: u64,
    throughput_items_per_second: f64,
}

impl RateReport {
    fn of(rate: Rate, ticks_per_second: u32) -> Self {
        Self {
            items: rate.items,
            ticks: rate.ticks,
            throughput_items_per_second: rate.per_second(ticks_per_second),
        }
    }
}

#[derive(Serialize)]
struct Flow<'a> {
    name: &'a str,
    counts_boxes: bool,
    items: u64,
    first_at_tick: Option<u64>,
    last_at_tick: Option<u64>,
    steadiest_window_ticks: u64,
    steadiest: RateReport,
    /// The worst window in which goods waited; nothing if they never waited long enough.
    worst: Option<WorstReport>,
    first_to_last: RateReport,
    whole_run: RateReport,
}

impl<'a> Flow<'a> {
    fn of(found: &'a FlowFinding, tps: u32) -> Self {
        Self {
            name: &found.name,
            counts_boxes: found.counts_boxes,
            items: found.items,
            first_at_tick: found.first_at.map(|tick| tick.0),
            last_at_tick: found.last_at.map(|tick| tick.0),
            steadiest_window_ticks: found.window_ticks,
            steadiest: RateReport::of(found.steadiest, tps),
            worst: found.worst.as_ref().map(|worst| WorstReport {
                from_tick: worst.from.0,
                is_full_minute: worst.is_full,
                rate: RateReport::of(worst.rate, tps),
            }),
            first_to_last: RateReport::of(found.counting, tps),
            whole_run: RateReport::of(found.whole, tps),
        }
    }
}

/// The worst window in which goods waited for a flow.
#[derive(Serialize)]
struct WorstReport {
    from_tick: u64,
    /// False if goods never waited for 60 s, and shorter windows had to do.
    is_full_minute: bool,
    #[serde(flatten)]
    rate: RateReport,
}

/// A share with the counts it comes from.
#[derive(Serialize)]
struct Cover {
    locked_hopper_ticks: u64,
    counted_hopper_ticks: u64,
    share: Option<f64>,
}

impl Cover {
    fn of(share: Share) -> Self {
        Self {
            locked_hopper_ticks: share.part,
            counted_hopper_ticks: share.whole,
            share: share.value(),
        }
    }
}

#[derive(Serialize)]
struct Section<'a> {
    name: &'a str,
    hoppers: u64,
    width_blocks: Option<u32>,
    hoppers_per_block: Option<Number>,
    lock_cover: Cover,
    returned_items: Option<u64>,
    returned_rounds: Option<u64>,
    going_round_items: u64,
    going_round_since_tick: Option<u64>,
    backlog_peak_items: Option<Number>,
    backlog_peak_boxes: Option<Number>,
    backlog_peak_at_tick: u64,
    backlog_final_items: u64,
    backlog_final_boxes: u64,
    backlog_step_ticks: u64,
    backlog_curve_items: &'a [u64],
    /// The figures of the catalogue that are reported of each section, by their keys.
    #[serde(flatten)]
    noted: Rows,
}

impl<'a> Section<'a> {
    fn of(place: usize, all: &'a Findings) -> Self {
        let of = Of::section(Some(place));
        let found = &all.sections[place];
        let backlog = &found.backlog;
        Self {
            name: &found.name,
            hoppers: found.hoppers,
            width_blocks: found.width_blocks,
            hoppers_per_block: figure(Name::HOPPERS_PER_BLOCK, all, &of),
            lock_cover: Cover::of(found.lock_cover),
            returned_items: found.returned.map(|returned| returned.items),
            returned_rounds: found.returned.map(|returned| returned.rounds),
            going_round_items: found.going_round.map_or(0, |round| round.items),
            going_round_since_tick: found.going_round.map(|round| round.since.0),
            backlog_peak_items: figure(Name::MOST_WAITING, all, &of),
            backlog_peak_boxes: figure(Name::MOST_BOXES_WAITING, all, &of),
            backlog_peak_at_tick: backlog.peak_at.0,
            backlog_final_items: backlog.final_items,
            backlog_final_boxes: backlog.final_boxes,
            backlog_step_ticks: backlog.step_ticks,
            backlog_curve_items: &backlog.curve_items,
            noted: rows(all, &of, Name::all_noted().map(Figure)),
        }
    }
}

#[derive(Serialize)]
struct LossReport<'a> {
    lost_items: u64,
    lost_stacks: u64,
    rows: Vec<LossEntry<'a>>,
}

#[derive(Serialize)]
struct LossEntry<'a> {
    kind: &'a str,
    items: u64,
    contents_items: ByKind<'a>,
    mouth: &'a str,
    came_loose_at: &'a str,
    at_tick: u64,
    age_ticks: u64,
    loose_ticks: u64,
    reason: &'static str,
}

impl<'a> LossEntry<'a> {
    fn of(row: &'a LossRow) -> Self {
        Self {
            kind: &row.kind,
            items: row.items,
            contents_items: by_kind(&row.contents),
            mouth: &row.mouth,
            came_loose_at: &row.came_loose_at,
            at_tick: row.at.0,
            age_ticks: row.age_ticks,
            loose_ticks: row.loose_ticks,
            reason: match row.reason {
                LossReason::NoHopper => "no_hopper",
                LossReason::StillOnStream => "still_on_stream",
                LossReason::Locked => "hoppers_locked",
                LossReason::Busy => "hoppers_busy",
                LossReason::Full => "hoppers_full",
                LossReason::LockedInPart => "hoppers_locked_in_part",
            },
        }
    }
}

#[derive(Serialize)]
struct CostReport {
    lock_cover: Cover,
    #[serde(flatten)]
    rows: Rows,
}

impl CostReport {
    fn of(found: &Findings) -> Self {
        let cost = &found.cost;
        let facts = [
            Fact("work_units", cost.work_units.into()),
            Figure(Name::MEAN_WORK),
            Fact("peak_work_units_per_tick", cost.peak_work_units.into()),
            Fact("peak_work_at_tick", cost.peak_at.0.into()),
            Figure(Name::WORK_BUSY),
            Figure(Name::WORK_AT_REST),
            Figure(Name::HOPPERS),
            Figure(Name::WIDTH),
            Figure(Name::HOPPERS_PER_BLOCK),
            Fact("dropper_clicks", cost.clicks.into()),
            Fact("dropper_throws_items", cost.throws.into()),
            Fact("dropper_handed_on_items", cost.handed_on.into()),
        ];
        let load = cost.load.iter().flat_map(|load| {
            [
                Fact("hopper_turns", load.counts.hopper_turns.into()),
                Fact("comparator_updates", load.counts.comparator_updates.into()),
                Fact("loose_stack_ticks", load.counts.loose_stack_ticks.into()),
                Figure(Name::TICK_TIME),
                Figure(Name::WORST_TICK_TIME),
                Fact("worst_second_from_tick", load.worst_from.0.into()),
            ]
        });
        let build = Some(&cost.build).filter(|build| build.is_reported());
        let build = build.into_iter().flat_map(|build| {
            [
                Fact("placed_blocks", build.placed_blocks.into()),
                Fact("assumed_blocks", build.assumed_blocks.into()),
                Fact("blocks_per_hour", build.blocks_per_hour.into()),
                Figure(Name::BUILD_HOURS),
            ]
        });
        Self {
            lock_cover: Cover::of(cost.lock_cover),
            rows: rows(
                found,
                &Of::Whole,
                facts.into_iter().chain(load).chain(build),
            ),
        }
    }
}

#[derive(Serialize)]
struct Lamp<'a> {
    name: &'a str,
    #[serde(flatten)]
    rises: Rows,
    falls: u64,
    is_on_at_the_end: bool,
    changes: Vec<LampEntry>,
}

#[derive(Serialize)]
struct LampEntry {
    at_tick: u64,
    rose: bool,
    watched_items: u64,
}

impl<'a> Lamp<'a> {
    fn of(place: usize, found: &'a Findings) -> Self {
        let lamp = &found.lamps[place];
        let boxes = lamp.first_rise.map(|_| lamp.first_rise_boxes);
        let facts = [
            Figure(Name::FIRST_RISE),
            Figure(Name::FIRST_RISE_HOLDING),
            Fact("first_rise_watched_boxes", boxes.into()),
            Figure(Name::RISES),
        ];
        let changes = lamp.changes.iter();
        Self {
            name: &lamp.name,
            rises: rows(found, &Of::Lamp(place), facts),
            falls: lamp.falls,
            is_on_at_the_end: lamp.is_on,
            changes: changes
                .map(|change| LampEntry {
                    at_tick: change.at.0,
                    rose: change.rose,
                    watched_items: change.watched_items,
                })
                .collect(),
        }
    }
}

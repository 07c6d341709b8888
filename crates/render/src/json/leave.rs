//! What becomes of a hall that is left, as it is written.

use serde::Serialize;

use hallwright_core::tick::Tick;
use hallwright_trials::leave::{
    Breakage, BrokenLeave, Change, Crosses, Crossing, LampReport, LeaveAsked, LeaveReported,
    LeftAt, When,
};
use hallwright_trials::order_words;

use crate::text::leave_lines;

/// What was asked, and what came of it.
#[derive(Serialize)]
pub(super) struct LeaveReport<'a> {
    was_tried: bool,
    is_ok: bool,
    unmade_leaves: u64,
    /// All of it in words.
    words: Vec<String>,
    #[serde(flatten)]
    report: Option<Report<'a>>,
}

#[derive(Serialize)]
struct Report<'a> {
    well_from_tick: Option<u64>,
    from_tick: u64,
    to_tick: u64,
    step_ticks: u64,
    run_ends_at_tick: Option<u64>,
    ways: usize,
    leaves: u64,
    apart_ticks: u64,
    most_late_ticks: u64,
    pause_ticks: u64,
    regions: &'a [String],
    in_no_region: &'a [String],
    lamp: Option<Lamp<'a>>,
    /// One for each tick tried.
    left_at: Vec<Left>,
    first_broken: Option<Broken<'a>>,
    last_broken: Option<Broken<'a>>,
}

#[derive(Serialize)]
struct Lamp<'a> {
    name: &'a str,
    on_at_ticks: Vec<u64>,
    false_at_ticks: Vec<u64>,
    stays_off: bool,
}

#[derive(Serialize)]
struct Left {
    tick: u64,
    ways: usize,
    broken_ways: usize,
    failed_ways: usize,
}

#[derive(Serialize)]
struct Broken<'a> {
    tick: u64,
    near_first_ways: usize,
    near_first_broken_ways: usize,
    far_first_ways: usize,
    far_first_broken_ways: usize,
    way: Way,
    what: Vec<What<'a>>,
    changed: Vec<Mend<'a>>,
    mended_by: Vec<Mend<'a>>,
    untried: Vec<Mend<'a>>,
    crossings: Vec<Cross<'a>>,
    explained: &'a [String],
    command: &'a str,
}

#[derive(Serialize)]
struct Way {
    near_first: bool,
    late_ticks: Vec<u64>,
    update_order_before: Option<String>,
    signal_order_before: Option<String>,
    update_order: String,
    signal_order: String,
    at_once: bool,
}

#[derive(Serialize)]
struct What<'a> {
    when: &'static str,
    what: &'static str,
    at: Option<&'a str>,
    region: Option<&'a str>,
    kind: Option<&'a str>,
    items: Option<u64>,
    level: Option<u8>,
    undisturbed_level: Option<u8>,
    more: &'a [(String, u64)],
    fewer: &'a [(String, u64)],
}

#[derive(Serialize)]
struct Mend<'a> {
    change: &'static str,
    region: Option<&'a str>,
}

#[derive(Serialize)]
struct Cross<'a> {
    what: &'static str,
    from: &'a str,
    from_region: Option<&'a str>,
    to: &'a str,
    to_region: Option<&'a str>,
    from_sleeps: bool,
    times: u64,
    first_at_tick: u64,
    last_at_tick: u64,
}

impl<'a> LeaveReport<'a> {
    pub(super) fn of(asked: &'a LeaveAsked) -> Self {
        Self {
            was_tried: asked.report().is_some(),
            is_ok: asked.is_ok(),
            unmade_leaves: asked.unmade_leaves(),
            words: leave_lines(asked),
            report: asked.report().map(report),
        }
    }
}

fn report(report: &LeaveReported) -> Report<'_> {
    Report {
        well_from_tick: report.found.well_from().map(|tick| tick.0),
        from_tick: report.range.from.0,
        to_tick: report.range.to.0,
        step_ticks: report.range.step_ticks,
        run_ends_at_tick: report.cut_at.map(|tick| tick.0),
        ways: report.ways.len(),
        leaves: report.leaves(),
        apart_ticks: report.leave.apart_ticks,
        most_late_ticks: report.leave.late_ticks,
        pause_ticks: report.leave.pause_ticks,
        regions: &report.regions,
        in_no_region: &report.found.in_no_region,
        lamp: lamp(&report.lamp),
        left_at: report.found.ticks.iter().map(left).collect(),
        first_broken: report
            .first_broken
            .as_ref()
            .map(|broken| broken_row(report, broken)),
        last_broken: report
            .reported_broken()
            .next()
            .map(|broken| broken_row(report, broken)),
    }
}

fn numbers(ticks: &[Tick]) -> Vec<u64> {
    ticks.iter().map(|tick| tick.0).collect()
}

fn lamp(lamp: &LampReport) -> Option<Lamp<'_>> {
    match lamp {
        LampReport::None | LampReport::NoneNamed(_) => None,
        LampReport::Judged {
            name,
            on_at,
            false_at,
            stays_off,
        } => Some(Lamp {
            name,
            on_at_ticks: numbers(on_at),
            false_at_ticks: numbers(false_at),
            stays_off: *stays_off,
        }),
    }
}

fn left(left: &LeftAt) -> Left {
    Left {
        tick: left.tick.0,
        ways: left.patterns,
        broken_ways: left.broken.len(),
        failed_ways: left.failed.len(),
    }
}

fn broken_row<'a>(report: &'a LeaveReported, broken: &'a BrokenLeave) -> Broken<'a> {
    let way = &broken.way;
    let before = way.before.as_ref();
    Broken {
        tick: broken.tick.0,
        near_first_ways: broken.near_first.1,
        near_first_broken_ways: broken.near_first.0,
        far_first_ways: broken.far_first.1,
        far_first_broken_ways: broken.far_first.0,
        way: Way {
            near_first: way.near_first,
            late_ticks: way.late_ticks.clone(),
            update_order_before: before.map(|orders| order_words(&orders.update)),
            signal_order_before: before.map(|orders| order_words(&orders.signal)),
            update_order: order_words(&way.orders.update),
            signal_order: order_words(&way.orders.signal),
            at_once: way.at_once,
        },
        what: broken
            .what
            .iter()
            .map(|(when, what)| what_row(broken, *when, what))
            .collect(),
        changed: mends(report, &broken.changed),
        mended_by: mends(report, &broken.mended_by),
        untried: mends(report, &broken.untried),
        crossings: broken.crossings.iter().map(cross).collect(),
        explained: &broken.explained,
        command: &broken.command,
    }
}

fn what_row<'a>(broken: &'a BrokenLeave, when: When, what: &'a Breakage) -> What<'a> {
    let at = what.at();
    let mut row = What {
        when: match when {
            When::AtRest => "at_rest",
            When::SwitchedOn => "switched_on",
        },
        what: "",
        at,
        region: at
            .and_then(|at| broken.region_of.get(at))
            .map(String::as_str),
        kind: None,
        items: None,
        level: None,
        undisturbed_level: None,
        more: &[],
        fewer: &[],
    };
    (row.what, row.kind, row.items) = match what {
        Breakage::Lost { kind, items, .. } => ("lost", Some(kind.as_str()), Some(*items)),
        Breakage::Misplaced { items } => ("misplaced", None, Some(*items)),
        Breakage::Stuck { kind, items, .. } => ("stuck", Some(kind.as_str()), Some(*items)),
        Breakage::Refused { kind, items, .. } => ("refused", Some(kind.as_str()), Some(*items)),
        Breakage::Signal { .. } => ("signal", None, None),
        Breakage::Inventory { .. } => ("inventory", None, None),
    };
    match what {
        Breakage::Signal {
            level, undisturbed, ..
        } => {
            row.level = Some(*level);
            row.undisturbed_level = Some(*undisturbed);
        }
        Breakage::Inventory { more, fewer, .. } => {
            row.more = more;
            row.fewer = fewer;
        }
        _ => {}
    }
    row
}

fn mends<'a>(report: &'a LeaveReported, changes: &[Change]) -> Vec<Mend<'a>> {
    changes.iter().map(|change| mend(report, *change)).collect()
}

fn mend(report: &LeaveReported, change: Change) -> Mend<'_> {
    let (change, region) = match change {
        Change::Awake(place) => ("awake", report.regions.get(place).map(String::as_str)),
        Change::OtherEndFirst => ("other_end_first", None),
        Change::NoneLate => ("none_late", None),
        Change::SameOrders => ("same_orders", None),
        Change::OwnOrdersBefore => ("own_orders_before", None),
        Change::NotAtOnce => ("not_at_once", None),
    };
    Mend { change, region }
}

fn cross(crossing: &Crossing) -> Cross<'_> {
    Cross {
        what: match crossing.what {
            Crosses::Items => "items",
            Crosses::Change => "change",
        },
        from: &crossing.from,
        from_region: crossing.from_region.as_deref(),
        to: &crossing.to,
        to_region: crossing.to_region.as_deref(),
        from_sleeps: crossing.from_sleeps,
        times: crossing.times,
        first_at_tick: crossing.first_at.0,
        last_at_tick: crossing.last_at.0,
    }
}

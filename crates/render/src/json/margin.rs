//! How much slower selectors and shuttles may be, for programs.

use serde::Serialize;

use super::check::{CaseRow, case_row};
use hallwright_trials::Unmade;
use hallwright_trials::margin::{
    Depth, GroupMargin, Knob, Less, MOST_TIMES, Margin, Missed, Slower, Together,
};

#[derive(Serialize)]
pub(super) struct MarginReport<'a> {
    /// What is missed at the present pace already; then there are no groups.
    missed_now: &'a [String],
    /// In how many runs each value that is ok was confirmed.
    runs: u64,
    /// Nothing slower than so many times was tried.
    most_times: u64,
    /// How many searches were not made to the end because they were cut short.
    unmade_searches: u64,
    groups: Vec<GroupRow<'a>>,
    together: Option<TogetherRow<'a>>,
}

#[derive(Serialize)]
struct GroupRow<'a> {
    name: &'a str,
    parts: &'a [String],
    /// `interval`, `latency`, `travel` or `dwell`.
    what: &'static str,
    now_ticks: u64,
    /// An invariant broke.
    broken: Option<&'a str>,
    is_cut_short: bool,
    #[serde(flatten)]
    found: Option<SlowerRow<'a>>,
}

#[derive(Serialize)]
struct SlowerRow<'a> {
    ok_up_to_ticks: u64,
    first_missed_at_ticks: Option<u64>,
    missed: Option<MissedRow<'a>>,
    ok_again_at_ticks: Vec<u64>,
    less_done: Option<LessRow<'a>>,
    tried: Vec<TriedRow>,
}

#[derive(Serialize)]
struct MissedRow<'a> {
    subjects: &'a [String],
    #[serde(flatten)]
    case: CaseRow,
}

#[derive(Serialize)]
struct LessRow<'a> {
    from_ticks: u64,
    /// `null` for what gets home.
    flow: Option<&'a str>,
    items: u64,
    items_now: u64,
}

#[derive(Serialize)]
struct TriedRow {
    ticks: u64,
    in_all_runs: bool,
    is_ok: bool,
}

#[derive(Serialize)]
struct TogetherRow<'a> {
    is_ok: bool,
    missed: Option<MissedRow<'a>>,
    broken: Option<&'a str>,
    is_cut_short: bool,
}

impl<'a> MarginReport<'a> {
    pub(super) fn of(margin: &'a Margin) -> Self {
        Self {
            missed_now: &margin.missed_now,
            runs: margin.runs,
            most_times: MOST_TIMES,
            unmade_searches: margin.unmade_searches(),
            groups: margin.groups.iter().map(group_row).collect(),
            together: margin.together.as_ref().map(together_row),
        }
    }
}

fn group_row(margin: &GroupMargin) -> GroupRow<'_> {
    GroupRow {
        name: &margin.group.name,
        parts: &margin.parts,
        what: match margin.group.knob {
            Knob::Interval => "interval",
            Knob::Latency => "latency",
            Knob::Travel => "travel",
            Knob::Dwell => "dwell",
        },
        now_ticks: margin.group.now_ticks,
        broken: margin.found.as_ref().err().and_then(said),
        is_cut_short: margin.found == Err(Unmade::CutShort),
        found: margin.found.as_ref().ok().map(slower_row),
    }
}

fn slower_row(slower: &Slower) -> SlowerRow<'_> {
    let tried = slower.border.tried.iter();
    SlowerRow {
        ok_up_to_ticks: slower.border.good,
        first_missed_at_ticks: slower.border.bad,
        missed: slower.missed.as_ref().map(missed_row),
        ok_again_at_ticks: slower.border.good_again(),
        less_done: slower.less.as_ref().map(less_row),
        tried: tried
            .map(|(ticks, (depth, is_ok))| TriedRow {
                ticks: *ticks,
                in_all_runs: *depth == Depth::All,
                is_ok: *is_ok,
            })
            .collect(),
    }
}

fn missed_row(missed: &Missed) -> MissedRow<'_> {
    MissedRow {
        subjects: &missed.subjects,
        case: case_row(&missed.case),
    }
}

fn less_row(less: &Less) -> LessRow<'_> {
    LessRow {
        from_ticks: less.ticks,
        flow: less.flow.as_deref(),
        items: less.items,
        items_now: less.items_now,
    }
}

/// What was said when an invariant broke.
fn said(unmade: &Unmade) -> Option<&str> {
    match unmade {
        Unmade::Broke(said) => Some(said),
        Unmade::CutShort => None,
    }
}

fn together_row(together: &Result<Together, Unmade>) -> TogetherRow<'_> {
    let missed = together.as_ref().ok().and_then(|all| all.missed.as_ref());
    TogetherRow {
        is_ok: together.as_ref().is_ok_and(|all| all.missed.is_none()),
        missed: missed.map(missed_row),
        broken: together.as_ref().err().and_then(said),
        is_cut_short: *together == Err(Unmade::CutShort),
    }
}

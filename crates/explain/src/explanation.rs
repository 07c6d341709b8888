//! What was found out about a run: plain data, with names in place of ids, exact integers throughout.

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Mark;

use super::condition::Cause;
use super::flow::FlowWay;
use super::losses::{LostLife, Misplacement};
use super::rings::Ring;
use super::stuck::Stuck;
use super::troubles::Trouble;

/// Everything found out about one run.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Explanation {
    /// Ticks a second of the run's world.
    pub ticks_per_second: u32,
    /// Why the stop took as long as it did; `None` without a stop.
    pub stop: Option<StopPath>,
    /// What came off badly, with its cause.
    pub troubles: Vec<Trouble>,
    /// Parts that wait for each other at the end of the run.
    pub deadlocks: Vec<Ring>,
    /// Parts among which items went round to the end.
    pub circulations: Vec<Ring>,
    /// How many stacks were lost.
    pub lost_stacks: u64,
    /// The lives of the first of them.
    pub lost: Vec<LostLife>,
    /// How many items are misplaced.
    pub misplaced_items: u64,
    /// The first of them, of some stores.
    pub misplaced: Vec<Misplacement>,
    /// The flows whose throughput missed a goal.
    pub flows: Vec<FlowWay>,
}

/// Why a mark of a stop was reached no sooner.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StopPath {
    /// When the operator stopped the hall.
    pub at: Tick,
    /// The mark.
    pub mark: Mark,
    /// Ticks from the stop to the mark; `None` if it was never reached.
    pub ticks: Option<u64>,
    /// What stood in the way, in words, if it was never reached.
    pub in_the_way: Vec<String>,
    /// If it was never reached: the line parts that still held something, and why.
    pub stuck: Vec<Stuck>,
    /// Whether the way begins with what the operator did; otherwise with something that was under way
    /// at the stop.
    pub from_the_stop: bool,
    /// The steps in the order of time, those alike reported as one. Their ticks add up to `ticks`.
    pub rows: Vec<PathRow>,
    /// The ticks by cause, the most first.
    pub by_cause: Vec<CauseSum>,
    /// The ticks by section (or, for parts of none, by use), the most first.
    pub by_place: Vec<PlaceSum>,
    /// What could be won by shortening the longest waits that have a time of their own.
    pub shorter: Vec<Shorter>,
}

/// Steps of a path that follow each other and are alike.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PathRow {
    /// Ticks after the stop at which the first of them begins.
    pub from_ticks: u64,
    /// What they cost together.
    pub ticks: u64,
    /// How many waits they are.
    pub waits: u64,
    /// How many times the same waits follow each other; 1 for most rows.
    pub rounds: u64,
    /// Of several rounds: what each is made of, in the order of time.
    pub round: Vec<(Cause, String)>,
    /// The cause of most of these ticks.
    pub cause: Cause,
    /// Where the first wait was.
    pub first_part: String,
    /// Where the last was.
    pub last_part: String,
    /// The section or use.
    pub place: String,
    /// For a full target: for how long something stood before it.
    pub blocked_ticks: u64,
}

/// What one cause cost.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CauseSum {
    /// The cause.
    pub cause: Cause,
    /// How many waits.
    pub waits: u64,
    /// Ticks.
    pub ticks: u64,
    /// The part where it cost most.
    pub most_at: String,
    /// At how many parts it cost about as much as there, that one counted; 1 if that one stands out.
    pub alike: u64,
}

/// What was waited in one place.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlaceSum {
    /// The section or use.
    pub place: String,
    /// Ticks.
    pub ticks: u64,
    /// The cause of most of them.
    pub most_by: Cause,
}

/// What could be won by cutting one time, by itself.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Shorter {
    /// The part whose time it is; of parts whose names differ in their numbers alone, which are cut
    /// together, the name with `*` for the numbers.
    pub part: String,
    /// How many parts that are.
    pub parts: u64,
    /// Why it is waited for.
    pub cause: Cause,
    /// Its time as declared, in ticks.
    pub own_ticks: u64,
    /// A cut of `k` ticks brings the mark sooner by `k` ticks up to here.
    pub slack_ticks: u64,
    /// What a longer cut would come to.
    pub beyond: Beyond,
    /// By how many ticks the mark comes sooner with the least time that it can have; `None` if the
    /// mark is never reached then. More than the slack where cuts win in steps, as before a clock.
    pub most_ticks: Option<u64>,
}

/// What cutting a time by more than its slack comes to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Beyond {
    /// It cannot be shorter.
    NoShorter,
    /// Another way decides.
    AnotherWay,
    /// The mark is never reached.
    NeverReached,
}

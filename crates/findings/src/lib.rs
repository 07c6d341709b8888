//! What was found in a run: plain data, with names in place of ids, exact integers throughout.

mod account;
mod arrivals;
mod going_on;
mod retrieval;
mod site;
pub mod units;
mod upsets;

pub use account::{Account, Amounts, KindAccount, Refusal, Standing};
pub use arrivals::ArrivalFinding;
pub use going_on::{Fate, GoingOn, GoingOnEnd, StayReason, StayRow};
pub use retrieval::{DeskFinding, GatherFinding, LeftBehind, RequestFinding, Stacks, TakingEnd};
pub use site::{DrawnLinkFinding, SiteFinding, SiteProblemFinding};
pub use upsets::{SelectorsAtWord, ShuttleAtWord, SpellFinding, SpellSort, TakenAtWord, Upsets};

use hallwright_analysis::homes::KindHomes;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{CostWeights, StorePurpose};
use serde::{Deserialize, Serialize};

use crate::units::{Rate, Share, mean};

/// Everything measured in one run. No goal is judged yet: what can be shown is [`Findings`].
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Measured {
    /// Ticks a second of the run's world.
    pub ticks_per_second: u32,
    /// How many ticks were run.
    pub run_ticks: u64,
    /// The names of all kinds, in order.
    pub kind_names: Vec<String>,
    /// What became of what was sent: by arrival, those of the operator last, then by kind.
    pub arrivals: Vec<ArrivalFinding>,
    /// Where everything is at the end.
    pub whereabouts: Whereabouts,
    /// Where everything is at the end, and where it came from.
    pub account: Account,
    /// What would become of it if the run went on.
    pub going_on: GoingOn,
    /// The homes of everything that arrives, by kind and form.
    pub homes: Vec<KindHomes>,
    /// What the stores hold, in the order of declaration.
    pub stores: Vec<StoreFinding>,
    /// What reached overflow, and why.
    pub overflow: Overflow,
    /// The sieves, in the order of declaration.
    pub sieves: Vec<SieveFinding>,
    /// The flows, in the order of declaration.
    pub flows: Vec<FlowFinding>,
    /// The sections, in the order of declaration.
    pub sections: Vec<SectionFinding>,
    /// The stops that the run reached.
    pub stops: Vec<StopFinding>,
    /// When the whole run came to rest, in ticks from its start.
    pub quiet: QuietMark,
    /// What is left to do at the end of the run.
    pub left: Leftovers,
    /// What was lost.
    pub loss: Loss,
    /// What the parts cost the world.
    pub cost: Cost,
    /// The lamps, in the order of declaration.
    pub lamps: Vec<LampFinding>,
    /// The desks with the requests made there, in the order of declaration.
    pub desks: Vec<DeskFinding>,
    /// The gathers, in the order of declaration.
    pub gathers: Vec<GatherFinding>,
    /// What the operator cannot get out, for each declaration of open places.
    pub left_behind: Vec<LeftBehind>,
    /// What each goal about contents asks for, in the order of the goals.
    pub contents: Vec<ContentsFinding>,
    /// The hoppers, droppers, selectors, benches and shuttles that no section names, in the order of
    /// declaration.
    pub in_no_section: Vec<String>,
    /// Where there is more around a part than fits, in the order of declaration.
    pub crowded: Vec<CrowdedFinding>,
    /// Whether the network can be built where its layout says; `None` if that says of no part where it
    /// stands.
    pub site: Option<SiteFinding>,
    /// What befell the hall: parts that slept, reopenings, mishaps.
    pub upsets: Upsets,
    /// The selectors and shuttles that are taken at their word.
    pub taken_at_word: TakenAtWord,
}

impl Measured {
    /// Items at rest in stores that are not declared for them.
    #[must_use]
    pub fn misplaced_items(&self) -> u64 {
        let rows = self.stores.iter().flat_map(|store| &store.misplaced);
        rows.map(|row| row.items).sum()
    }

    /// The sieves that did not end holding what they started with.
    pub fn broken_sieves(&self) -> impl Iterator<Item = &SieveFinding> + Clone {
        self.sieves.iter().filter(|sieve| !sieve.is_intact())
    }

    /// Whether every sieve ended holding what it started with.
    #[must_use]
    pub fn sieves_intact(&self) -> bool {
        self.broken_sieves().next().is_none()
    }

    /// The contents that a goal asks for, by its place among the goals.
    #[must_use]
    pub fn contents_for(&self, goal: usize) -> Option<&ContentsFinding> {
        self.contents.iter().find(|contents| contents.goal == goal)
    }

    /// Items that still go round along midway returns at the end.
    #[must_use]
    pub fn going_round_items(&self) -> u64 {
        let sections = self.sections.iter();
        let rounds = sections.filter_map(|section| section.going_round);
        rounds.map(|round| round.items).sum()
    }
}

/// A place with more around it than fits.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CrowdedFinding {
    /// The part that is crowded.
    pub part: String,
    /// By what, and how much fits, as it is reported.
    pub words: String,
    /// The parts around it, of which there are too many.
    pub parts: Vec<String>,
    /// Whether a goal allows it.
    pub is_allowed: bool,
}

/// So many items of one kind.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct KindCount {
    /// The kind's name.
    pub kind: String,
    /// How many.
    pub items: u64,
}

/// What some inventories hold at the end, those in boxes included.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ContentsFinding {
    /// The goal that asks about it, by its place among the goals.
    pub goal: usize,
    /// The inventories.
    pub parts: Vec<String>,
    /// The kinds that are counted; empty for all.
    pub kinds: Vec<String>,
    /// How many items.
    pub items: u64,
}

/// So many items in one part.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct PartCount {
    /// The part's name.
    pub part: String,
    /// How many; a box in a slot counts as one.
    pub items: u64,
}

/// What one part holds, boxes kept apart.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PartHeld {
    /// The part's name.
    pub part: String,
    /// Items, those in boxes and each box among them.
    pub items: u64,
    /// The boxes among them.
    pub boxes: u64,
}

/// Items in no store for which the store that takes them has no room.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NoRoom {
    /// The full store.
    pub store: String,
    /// Items, those in boxes and each box among them.
    pub items: u64,
}

/// Where all items are at the end. What boxes hold counts, and so does each box.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Whereabouts {
    /// In slices that take them. A box with contents counts as its contents do.
    pub sorted_items: u64,
    /// Of these, boxes.
    pub sorted_boxes: u64,
    /// In slices that do not.
    pub misplaced_items: u64,
    /// In overflow stores.
    pub overflow_items: u64,
    /// Of these, boxes.
    pub overflow_boxes: u64,
    /// In sieves.
    pub sieve_items: u64,
    /// Loose.
    pub loose_items: u64,
    /// Anywhere else: in lines, queues, droppers, benches, selectors, shuttles.
    pub in_lines_items: u64,
    /// Of these, those that wait in the queues of sections, in parts that do not hold just what they
    /// held at the start.
    pub waiting_items: u64,
    /// Of these, boxes.
    pub waiting_boxes: u64,
    /// Of those in lines, queues aside, where they are: parts that do not hold just what they held at
    /// the start, those with the most first.
    pub in_lines: Vec<PartHeld>,
    /// Of those waiting or in lines: what has no room in the only stores that take it, those stores
    /// with the most first.
    pub no_room: Vec<NoRoom>,
    /// Gone by despawning.
    pub lost_items: u64,
    /// Taken out by the operator.
    pub withdrawn_items: u64,
    /// Delivered during the run.
    pub delivered_items: u64,
}

impl Whereabouts {
    /// Items that came into no store and are not lost: those that wait, those in lines, droppers and
    /// the like, and those that are loose.
    #[must_use]
    pub fn in_no_store_items(&self) -> u64 {
        let rows = self.in_lines.iter().map(|row| row.items);
        self.waiting_items + rows.sum::<u64>() + self.loose_items
    }
}

/// What one store holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StoreFinding {
    /// Its name.
    pub name: String,
    /// What it is for.
    pub purpose: StorePurpose,
    /// Items in its slots at the end, a box counting as one.
    pub final_items: u64,
    /// The most that was in its slots at the end of any tick, or at the start.
    pub peak_items: u64,
    /// Items that came in from outside, a box counting as one.
    pub arrived_items: u64,
    /// How much fits in.
    pub capacity: Capacity,
    /// At the end, by kind, with what boxes hold; a box with contents is not counted itself.
    pub contents: Vec<KindCount>,
    /// Of these, those that do not belong here.
    pub misplaced: Vec<KindCount>,
    /// When the first item that does not belong here came in.
    pub first_misplaced_at: Option<Tick>,
}

/// How much of its own goods a store holds when it is full.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Capacity {
    /// Its slots that stand there at the end: the most boxes that fit.
    pub slots: u64,
    /// Whether it held nothing but boxes at the end, and at least one.
    pub is_for_boxes: bool,
    /// Items that fit: by the least stack limit of the goods it takes, boxes aside, and in full boxes
    /// if it is for boxes. `None` where it takes no goods in particular.
    pub items: Option<u64>,
}

/// Why an item reached overflow.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Serialize, Deserialize)]
pub enum OverflowReason {
    /// Its own slice had room: it was passed by.
    PassedBy,
    /// Its own slice was full.
    StoreFull,
    /// No slice takes it.
    NoStore,
}

/// What reached overflow, from outside every overflow store and not put there by the operator.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Overflow {
    /// By kind and reason, in the order of kinds. A box counts as one item of its own kind.
    pub rows: Vec<OverflowRow>,
    /// When the first item was passed by.
    pub first_passed_by_at: Option<Tick>,
}

impl Overflow {
    /// Items that reached overflow for this reason.
    #[must_use]
    pub fn items(&self, reason: OverflowReason) -> u64 {
        let rows = self.rows.iter().filter(|row| row.reason == reason);
        rows.map(|row| row.items).sum()
    }
}

/// Items of one kind that reached overflow for one reason.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OverflowRow {
    /// The kind's name.
    pub kind: String,
    /// Whether the kind is a box.
    pub is_box: bool,
    /// Why.
    pub reason: OverflowReason,
    /// How many.
    pub items: u64,
}

/// What became of a sieve.
///
/// A sieve is **intact** when every slot that held something at the start still holds that kind and
/// no fewer of it, and every slot that was empty is empty. More of the same kind in such a slot is a
/// **surplus**: goods on their way through, which a sieve may hold.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SieveFinding {
    /// The hopper's name.
    pub part: String,
    /// What it held at the start and does not hold now, by kind.
    pub missing: Vec<KindCount>,
    /// What lies in its slots that was not there at the start, by kind; surplus left out.
    pub foreign: Vec<KindCount>,
    /// Goods on their way through, by kind.
    pub surplus: Vec<KindCount>,
    /// Since when it has not been intact.
    pub broken_since: Option<Tick>,
    /// Whether it ever did not, even if it ended intact.
    pub was_broken: bool,
}

impl SieveFinding {
    /// Whether it ended holding what it started with.
    #[must_use]
    pub fn is_intact(&self) -> bool {
        self.missing.is_empty() && self.foreign.is_empty()
    }
}

/// A flow's throughput.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FlowFinding {
    /// Its name.
    pub name: String,
    /// Whether all kinds it counts are boxes.
    pub counts_boxes: bool,
    /// Items counted.
    pub items: u64,
    /// The tick of the first count.
    pub first_at: Option<Tick>,
    /// The tick of the last count.
    pub last_at: Option<Tick>,
    /// Over the whole run.
    pub whole: Rate,
    /// From the first count to the last: the items after the first tick of counting.
    pub counting: Rate,
    /// The best sustained rate: over windows that begin at one count and end at the first count at
    /// least `window_ticks` later; the items after the first and up to the last.
    pub steadiest: Rate,
    /// The worst window in which goods waited to come in; `None` if they never waited for so long.
    pub worst: Option<WorstWindow>,
    /// The length that such a window has at least: a quarter of the time from the first count to the
    /// last, at most 60 s.
    pub window_ticks: u64,
}

/// The window in which the fewest items came into a flow while more of them waited one link before it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct WorstWindow {
    /// What came in it.
    pub rate: Rate,
    /// Its first tick.
    pub from: Tick,
    /// Whether it is one of 60 s. If goods never waited for so long, it is one of the length that the
    /// flow's steadiest window has at least.
    pub is_full: bool,
}

impl FlowFinding {
    /// What is counted: `items` or `boxes`.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        if self.counts_boxes { "boxes" } else { "items" }
    }
}

/// What waits in a section over time: items in its lines and queues, loose ones included, a box
/// counting as one.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Backlog {
    /// The most at the end of any tick, or at the start.
    pub peak_items: u64,
    /// Of these, boxes.
    pub peak_boxes: u64,
    /// The first tick of the peak.
    pub peak_at: Tick,
    /// At the end.
    pub final_items: u64,
    /// Of these, boxes.
    pub final_boxes: u64,
    /// Ticks between two points of the curve.
    pub step_ticks: u64,
    /// The curve: items at the end of tick 0, of tick `step_ticks`, and so on.
    pub curve_items: Vec<u64>,
}

/// What went back along midway returns.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Returned {
    /// Items that passed a return.
    pub items: u64,
    /// Rounds begun. A round is over when as many items have passed as the line held when it began.
    pub rounds: u64,
}

/// What still goes round in a section at the end of the run, and has for a while.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct GoingRound {
    /// Items in its line, its queue and on the way back to them.
    pub items: u64,
    /// When anything last left it; the start of the run if nothing ever did.
    pub since: Tick,
}

/// What was found in one section over the whole run.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SectionFinding {
    /// Its name.
    pub name: String,
    /// Its backlog.
    pub backlog: Backlog,
    /// Of the hopper-ticks in which its call was off (all, if it has no call), those spent locked.
    pub lock_cover: Share,
    /// Whether it has hoppers to be locked but a call that was never off, so that its lock cover says
    /// nothing.
    pub was_never_idle: bool,
    /// The most ticks in a row in which its call was on while nothing was in its lines and queues;
    /// `None` if it has no call.
    pub call_idle_ticks: Option<u64>,
    /// What went round; `None` if it has no returns.
    pub returned: Option<Returned>,
    /// What still goes round at the end, and was never stored.
    pub going_round: Option<GoingRound>,
    /// Its hoppers.
    pub hoppers: u64,
    /// Its width in blocks.
    pub width_blocks: Option<u32>,
}

/// When it became quiet, in ticks from some start.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct QuietMark {
    /// Ticks to the last item event; `None` if something was still moving, loose or under way.
    pub ticks: Option<u64>,
    /// Whether nothing more can happen without a new input. If not, all that can be said is that
    /// there was no item event since.
    pub is_known: bool,
    /// Whether it is not known because goods go on arriving: a longer run would say no more.
    pub goods_arrive: bool,
}

/// The marks of a stop, in ticks from the stop; `None` for never.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Marks {
    /// The lines hold nothing from then on.
    pub cleared_ticks: Option<u64>,
    /// Besides, nothing in the whole hall (for a section: nothing of its own) moves again without a new
    /// input: nothing is loose, in a selector, aboard a shuttle under way or about to be lifted, and no
    /// pulse is under way.
    pub safe_to_close_ticks: Option<u64>,
    /// Nothing moves.
    pub quiet: QuietMark,
}

/// One stop, watched until the restart after it, the next stop or the end of the run.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct StopFinding {
    /// When the operator stopped the hall.
    pub at: Tick,
    /// The first tick that no longer belongs to it.
    pub watched_until: Tick,
    /// The marks of all sections together and everything between.
    pub all: Marks,
    /// The marks of each section, in the order of declaration.
    pub sections: Vec<SectionStop>,
    /// What stood in the way of the marks at the end of the watch.
    pub left: Leftovers,
    /// What happened after the restart, if the run reached it.
    pub resume: Option<ResumeFinding>,
}

/// The marks of one section.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct SectionStop {
    /// Its name.
    pub name: String,
    /// Its marks.
    pub marks: Marks,
    /// Items in its lines and queues at the stop.
    pub backlog_at_stop_items: u64,
    /// What went round since the stop; `None` if it has no returns.
    pub returned: Option<Returned>,
}

/// What still stood, moved or was loose when the watch of a stop, or the run, ended.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Leftovers {
    /// Line parts that still held something.
    pub holding: Vec<PartCount>,
    /// Hoppers that should be locked and were not. They stand in the way of no mark.
    pub unlocked: Vec<String>,
    /// Signals and droppers with an event pending.
    pub pulses: Vec<String>,
    /// Loose stacks.
    pub loose: Vec<LooseLeft>,
    /// Selectors with items inside.
    pub in_selectors: Vec<PartCount>,
    /// Shuttles under way with items aboard.
    pub aboard: Vec<PartCount>,
    /// Parts that the last item event before the end went from or to, if that was so late that more
    /// must have been to come.
    pub still_moving: Vec<String>,
    /// Benches whose box will be lifted.
    pub to_be_lifted: Vec<PartCount>,
    /// What the hall does by itself after the watch of a stop, if nothing could be seen of it before.
    pub moves_later: Option<MovesLater>,
}

/// The first that happens without an input after the watch of a stop.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct MovesLater {
    /// Ticks from the end of the watch.
    pub after_ticks: u64,
    /// The parts where an item moves, or the part with an event pending.
    pub parts: Vec<String>,
}

/// A loose stack at the end of a watch.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct LooseLeft {
    /// Its kind.
    pub kind: String,
    /// How many.
    pub items: u64,
    /// The mouth where it rests, or will.
    pub mouth: String,
    /// The tick in which it would be lost.
    pub lost_at: Tick,
}

/// What happened after a restart.
///
/// **Held back** is what was in lines, queues and loose at the restart. It is sorted when as many
/// items have entered stores since (for one section: have left it), or when no backlog is left,
/// whichever comes first.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct ResumeFinding {
    /// When the operator started the hall again.
    pub at: Tick,
    /// Items held back.
    pub held_back_items: u64,
    /// Ticks from the restart until they were sorted; `None` for never.
    pub resumed_ticks: Option<u64>,
    /// Ticks from the restart until what each section held back was sorted, in the order of
    /// declaration; `None` for never.
    pub sections: Vec<Option<u64>>,
    /// Items that entered a slice they do not belong in since the restart.
    pub misplaced_items: u64,
}

/// What was lost.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Loss {
    /// All items lost, those inside boxes included.
    pub items: u64,
    /// How many loose stacks were lost.
    pub stacks: u64,
    /// The losses, in the order in which they happened; at most [`Loss::ROWS`].
    pub rows: Vec<LossRow>,
}

impl Loss {
    /// How many losses are reported one by one.
    pub const ROWS: usize = 1000;
}

/// One loose stack that was lost.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct LossRow {
    /// Its kind.
    pub kind: String,
    /// How many.
    pub items: u64,
    /// For a box: what it held.
    pub contents: Vec<KindCount>,
    /// The mouth where it lay, or was on its way to.
    pub mouth: String,
    /// Where it came loose.
    pub came_loose_at: String,
    /// The tick in which it was lost.
    pub at: Tick,
    /// The age at which it was lost. Merging can have made it younger than the time since it came
    /// loose.
    pub age_ticks: u64,
    /// Ticks since it came loose.
    pub loose_ticks: u64,
    /// Why no hopper took it.
    pub reason: LossReason,
}

/// Why no hopper took a loose stack.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum LossReason {
    /// There is no hopper at that mouth.
    NoHopper,
    /// It never reached the mouth.
    StillOnStream,
    /// Every hopper there was locked as long as it lay there.
    Locked,
    /// Hoppers there were taking other stacks while it lay there.
    Busy,
    /// No hopper there has room for it.
    Full,
    /// Hoppers there were locked or cooling down whenever it could have been taken.
    LockedInPart,
}

/// What the parts cost the world.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Cost {
    /// Lock cover of all sections together.
    pub lock_cover: Share,
    /// All work, in work units.
    pub work_units: u64,
    /// The ticks in which it was done.
    pub work_ticks: u64,
    /// The most work in one tick.
    pub peak_work_units: u64,
    /// The tick of the peak.
    pub peak_at: Tick,
    /// Work done while nothing moved at the end of the run, cooldowns over.
    pub still_work_units: u64,
    /// For how many ticks; 0 if things moved to the end.
    pub still_ticks: u64,
    /// Work done over [`Cost::rest_ticks`] once the hall had come to rest by itself: no input since the
    /// end of the run, nothing moving and no pulse under way any more, whatever the run's length.
    pub rest_work_units: u64,
    /// Over how many ticks: those in which all clocks come round; 0 if the hall does not come to rest.
    pub rest_ticks: u64,
    /// Hoppers.
    pub hoppers: u64,
    /// Parts of every sort, signals included.
    pub parts: u64,
    /// The width of the whole design, in blocks.
    pub width_blocks: Option<u32>,
    /// How long the world takes for it; `None` where nothing says what anything takes.
    pub load: Option<Load>,
    /// What there is to build, and how fast that goes.
    pub build: BuildTime,
    /// Firings of droppers and dispensers with nothing inside.
    pub clicks: u64,
    /// Items that droppers and dispensers threw loose.
    pub throws: u64,
    /// Items that droppers handed on into their targets, and boxes that dispensers set down.
    pub handed_on: u64,
}

/// What a hall did that takes the world time.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Counts {
    /// Hopper turns that got as far as pushing.
    pub hopper_turns: u64,
    /// How often a comparator looked again, because something it reads changed.
    pub comparator_updates: u64,
    /// Loose stacks, each counted once for each tick at the end of which it was there and awake.
    pub loose_stack_ticks: u64,
    /// The ticks in which all that was counted.
    pub ticks: u64,
}

/// How long the world takes for what a hall does.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct Load {
    /// What was counted.
    pub counts: Counts,
    /// What each of it takes.
    pub weights: CostWeights,
    /// The whole run, in picoseconds.
    pub picoseconds: u64,
    /// The second that took the most, in picoseconds.
    pub worst_picoseconds: u64,
    /// Its ticks: fewer than a second's only if the run was shorter than a second.
    pub worst_ticks: u64,
    /// Its first tick.
    pub worst_from: Tick,
}

impl Load {
    /// Picoseconds in a millisecond.
    pub const PICOSECONDS_A_MILLISECOND: u64 = 1_000_000_000;

    /// What a tick takes on average, in milliseconds.
    #[must_use]
    pub fn mean_ms(&self) -> f64 {
        mean(
            self.picoseconds,
            self.counts
                .ticks
                .saturating_mul(Self::PICOSECONDS_A_MILLISECOND),
        )
    }

    /// What a tick of the worst second takes on average, in milliseconds.
    #[must_use]
    pub fn worst_ms(&self) -> f64 {
        mean(
            self.worst_picoseconds,
            self.worst_ticks
                .saturating_mul(Self::PICOSECONDS_A_MILLISECOND),
        )
    }
}

/// What there is to build, and how fast that goes.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub struct BuildTime {
    /// Blocks that stand where the layout says, supports and wire among them; open ones are none.
    pub placed_blocks: u64,
    /// The blocks of the parts of which nothing says where they stand, counted from the parts alone: without
    /// supports, and without wire between them that is no part.
    pub assumed_blocks: u64,
    /// How many blocks are set in an hour.
    pub blocks_per_hour: u32,
    /// Whether the scenario or a flag says how many.
    pub is_declared: bool,
}

impl BuildTime {
    /// All blocks.
    #[must_use]
    pub fn blocks(&self) -> u64 {
        self.placed_blocks + self.assumed_blocks
    }

    /// Whether it is reported though nobody asked for it: somebody said how fast, or everything stands.
    #[must_use]
    pub fn is_reported(&self) -> bool {
        self.is_declared || (self.assumed_blocks == 0 && self.placed_blocks > 0)
    }
}

/// What a lamp did.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct LampFinding {
    /// Its name.
    pub name: String,
    /// The first rise: its tick and the items in what the lamp watches. A lamp that is on from the
    /// start rises at its first rise after that.
    pub first_rise: Option<LampChange>,
    /// The boxes among the items in what it watches at the first rise.
    pub first_rise_boxes: u64,
    /// How often it rose.
    pub rises: u64,
    /// How often it fell.
    pub falls: u64,
    /// The first changes, at most [`LampFinding::CHANGES`].
    pub changes: Vec<LampChange>,
    /// Whether it is on at the end.
    pub is_on: bool,
}

impl LampFinding {
    /// How many changes are reported one by one.
    pub const CHANGES: usize = 100;
}

/// A rise or fall of a lamp.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct LampChange {
    /// When.
    pub at: Tick,
    /// Whether it rose.
    pub rose: bool,
    /// Items in what it watches, a box counting as one.
    pub watched_items: u64,
}

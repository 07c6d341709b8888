//! What is sent through a planned hall, when it is stopped, and how long its runs take.
//!
//! There are four hauls, each a variant of the scenario. All come in at the inlet of the first section,
//! wait there for room, and stay away while the hall is switched off: so nothing depends on when the
//! operator stops the hall and starts it again.

use crate::Plan;
use crate::boxes::items_a_box;
use crate::flow;
use crate::hall::Sort;
use crate::wing;

/// A line carries an item every 8 ticks (tick rules, section 4).
pub const TICKS_AN_ITEM: u64 = 8;

/// What does not stack takes a slot for each item: it comes half as fast, so that what is under way
/// at a stop fits into the next buffer.
const LEAST_TICKS_A_STACK: u64 = 16;

/// At least so long does a stop take before the restart.
const LEAST_PAUSE_TICKS: u64 = 1200;

/// For so long a stop is tried at every tick: a minute.
pub const STOPS_TICKS: u64 = 1200;

/// An hour.
pub const HOUR_TICKS: u64 = 72_000;

/// What is sent through the hall.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Sent {
    /// One stack of every kind, one kind after another, with a stop half way.
    Stack,
    /// What comes in within an hour, all kinds mixed.
    Hour,
    /// All that the hall is planned for, one kind after another.
    Stock,
    /// All kinds mixed, as fast as the line takes them, with a stop once it is full to its end.
    Load,
}

impl Sent {
    /// The variant of the scenario in which it is sent.
    #[must_use]
    pub fn variant(self) -> &'static str {
        match self {
            Self::Stack => "one stack of every kind",
            Self::Hour => "an hour of its inflows",
            Self::Stock => "the whole stock",
            Self::Load => "a stop under full load",
        }
    }

    /// What the parameter `sent` is then.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Stack => "stack",
            Self::Hour => "hour",
            Self::Stock => "stock",
            Self::Load => "load",
        }
    }
}

/// One haul.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Haul {
    /// What is sent.
    pub sent: Sent,
    /// The operator's stop, if there is one.
    pub stop_ticks: Option<u64>,
    /// The whole run.
    pub run_ticks: u64,
}

/// How many come of each kind: its number in the catalogue, and how many, at least 1.
pub type Shares = Vec<(usize, u64)>;

/// The hauls of a scenario, and their times, in ticks.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Schedule {
    /// What is sent in one variant each, in their order.
    pub hauls: Vec<Haul>,
    /// When a stack of which goods arrives.
    pub stacks: Vec<(u64, usize)>,
    /// Of what mixture an hour brings, in thousandths of an item.
    pub hour: Shares,
    /// The items that it brings, at most what the line carries.
    pub hour_items: u64,
    /// Of what mixture the full load is, in items.
    pub load: Shares,
    /// The time from one item of the full load to the next.
    pub load_every_ticks: u64,
    /// The time at which the full load ends.
    pub load_until_ticks: u64,
    /// From the stop to the restart.
    pub pause_ticks: u64,
    /// The full boxes that come, of each of the goods that are kept in boxes.
    pub boxes: Vec<Boxes>,
    /// How long before the end of each run a box of each kind is asked for.
    pub fetch_ticks: u64,
    /// How long before the stops under full load the boxes come.
    pub box_lead_ticks: u64,
}

/// The full boxes of one of the goods.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Boxes {
    /// Its number in the catalogue.
    pub good: usize,
    /// How many come beside a stack of every other kind.
    pub few: u64,
    /// How many keep the wing busy for the minute of stops.
    pub load: u64,
    /// How many come within an hour.
    pub hour: u64,
    /// The whole stock.
    pub stock: u64,
}

/// Whether goods come in full boxes, and not down the line.
#[must_use]
pub fn is_boxed(plan: &Plan, good: usize) -> bool {
    let wing = plan.wing.as_ref();
    wing.is_some_and(|wing| wing.goods.contains(&good))
}

/// The boxes that come to the wing.
fn boxes(plan: &Plan) -> Vec<Boxes> {
    const FEW: u64 = 3;
    // Two minutes at the pace of the quay.
    let load = 2 * STOPS_TICKS / TICKS_AN_ITEM;
    let kinds = plan.wing.as_ref().map_or(1, |wing| wing.goods.len()) as u64;
    let goods = plan.wing.iter().flat_map(|wing| &wing.goods);
    let each = goods.map(|number| {
        let good = &plan.catalogue.goods[*number];
        let a_box = items_a_box(u64::from(good.stack_limit));
        let stock = wing::boxes(good);
        let hour = good.inflow_thousandths.div_ceil(1000 * a_box);
        Boxes {
            good: *number,
            few: FEW.min(stock),
            load: load.div_ceil(kinds).clamp(1, stock),
            hour: hour.clamp(1, stock),
            stock,
        }
    });
    each.collect()
}

/// How long boxes need to their columns: the quay hands on one every 8 ticks, each half waits for its signals.
fn boxes_ticks(plan: &Plan, count: u64) -> u64 {
    let columns = plan
        .wing
        .as_ref()
        .map_or(0, |wing| wing.wing.columns().len());
    if count == 0 {
        0
    } else {
        16 * count + 150 * (columns as u64).div_ceil(3) + 600
    }
}

impl Schedule {
    /// The haul of this sort, if it is sent.
    #[must_use]
    pub fn haul(&self, sent: Sent) -> Option<&Haul> {
        self.hauls.iter().find(|haul| haul.sent == sent)
    }

    /// How many moves of items a haul takes at most: how much there is to do in it.
    #[must_use]
    pub fn most_moves(&self, plan: &Plan, sent: Sent) -> u64 {
        // Down through a filter, and into the next buffer.
        const MOVES_BESIDE: u64 = 8;
        let goods = &plan.catalogue.goods;
        let mut moves_of = vec![0; goods.len()];
        let mut moves = 0;
        for laid in &plan.layout.laid {
            moves += laid.section.line_hoppers + MOVES_BESIDE;
            let own = laid.section.sort.map(|sort| plan.used(laid, sort));
            for good in own.into_iter().flatten().flat_map(|(_, goods)| goods) {
                moves_of[*good] = moves;
            }
        }
        let each = goods.iter().zip(&moves_of);
        match sent {
            Sent::Stack => each
                .map(|(good, moves)| u64::from(good.stack_limit) * moves)
                .sum(),
            Sent::Stock => each.fold(0, |sum: u64, (good, moves)| {
                sum.saturating_add(good.amount.saturating_mul(*moves))
            }),
            Sent::Hour => self.hour_items * moves,
            Sent::Load => self
                .load
                .iter()
                .map(|(good, items)| items * moves_of[*good])
                .sum(),
        }
    }
}

/// Schedules all hauls. What comes to nothing (an hour without inflows) is left out.
#[must_use]
pub fn schedule(plan: &Plan) -> Schedule {
    let goods = &plan.catalogue.goods;
    let slowest = plan.stop_ticks();
    let pause_ticks = (2 * slowest.max(plan.hall.stop_within_ticks)).max(LEAST_PAUSE_TICKS);
    let through_ticks = through_ticks(plan);
    // All that waited at the stop comes behind the others.
    let after_ticks = 2 * through_ticks + 2 * slowest + LEAST_PAUSE_TICKS;

    let boxes = boxes(plan);
    let boxed = |count: fn(&Boxes) -> u64| boxes_ticks(plan, boxes.iter().map(count).sum());
    // A barge for each twelve kinds comes to each of its docks in turn.
    let fetch_ticks = match boxes.len() {
        0 => 0,
        kinds => 3000 + 200 * kinds.min(12) as u64,
    };
    let (stacks, stacks_ticks) = stacks(plan);
    let few_ticks = boxed(|boxes| boxes.few);
    let mut hauls = vec![Haul {
        sent: Sent::Stack,
        stop_ticks: Some(stacks_ticks / 2),
        run_ticks: stacks_ticks.max(few_ticks) + pause_ticks + after_ticks + fetch_ticks,
    }];

    let rooms = rooms(plan);
    let (hour, hour_items) = hour(plan, &rooms);
    if hour_items > 0 || !boxes.is_empty() {
        hauls.push(Haul {
            sent: Sent::Hour,
            stop_ticks: None,
            run_ticks: HOUR_TICKS + after_ticks + fetch_ticks,
        });
    }

    let loose = (0..goods.len()).filter(|good| !is_boxed(plan, *good));
    let stock: u64 = loose.map(|good| goods[good].amount).sum();
    if stock > 0 || !boxes.is_empty() {
        hauls.push(Haul {
            sent: Sent::Stock,
            stop_ticks: None,
            run_ticks: (TICKS_AN_ITEM * stock).max(boxed(|boxes| boxes.stock))
                + after_ticks
                + fetch_ticks,
        });
    }

    // Until the last stop that is tried, and so much longer that something waits for the restart.
    let wanted_ticks = through_ticks + STOPS_TICKS + LEAST_PAUSE_TICKS / 4;
    let pace_ticks = TICKS_AN_ITEM / plan.hall.lines.max(1);
    let load = load(plan, &rooms, wanted_ticks / pace_ticks);
    let load_items: u64 = load.iter().map(|(_, items)| items).sum();
    // No line gets more than it carries.
    let busiest = busiest_line(plan, &load);
    let least_ticks = (TICKS_AN_ITEM * busiest).div_ceil(load_items.max(1));
    let load_every_ticks = (wanted_ticks / load_items.max(1)).max(least_ticks.max(1));
    let load_until_ticks = load_items * load_every_ticks;
    hauls.push(Haul {
        sent: Sent::Load,
        stop_ticks: Some(through_ticks),
        run_ticks: (load_until_ticks + boxed(|boxes| boxes.load))
            + pause_ticks
            + after_ticks
            + fetch_ticks,
    });
    Schedule {
        hauls,
        stacks,
        hour,
        hour_items,
        load,
        load_every_ticks,
        load_until_ticks,
        pause_ticks,
        boxes,
        fetch_ticks,
        box_lead_ticks: STOPS_TICKS / 2,
    }
}

/// The time in which an item comes through the whole hall, at most.
fn through_ticks(plan: &Plan) -> u64 {
    let laid = &plan.layout.laid;
    let line_hoppers: u64 = laid.iter().map(|laid| laid.section.line_hoppers).sum();
    // Every section may wait for its signals, and has a head and a filter.
    TICKS_AN_ITEM * line_hoppers + 100 * laid.len() as u64
}

/// When a stack of every kind comes, in the order of the catalogue, and how long that takes.
fn stacks(plan: &Plan) -> (Vec<(u64, usize)>, u64) {
    let mut tick = 0;
    let mut stacks = Vec::with_capacity(plan.catalogue.goods.len());
    for (number, good) in plan.catalogue.goods.iter().enumerate() {
        if is_boxed(plan, number) {
            continue;
        }
        stacks.push((tick, number));
        tick += (TICKS_AN_ITEM * u64::from(good.stack_limit)).max(LEAST_TICKS_A_STACK);
    }
    (stacks, tick)
}

/// Of each good, how many items have room in its slices if the others there get theirs: those of its
/// stacks, and its part of what its slice has beyond them.
fn rooms(plan: &Plan) -> Vec<u64> {
    let goods = &plan.catalogue.goods;
    let mut stacks: Vec<u64> = goods.iter().map(crate::catalogue::Good::stacks).collect();
    let mut slices_of = vec![0_u64; goods.len()];
    let lines = &plan.allocation.lines;
    for good in lines.iter().flat_map(|line| &line.slices).flatten() {
        slices_of[*good] += 1;
    }
    for sort in Sort::ALL {
        let Some(slice) = plan.hall.slice(sort) else {
            continue;
        };
        for own in &lines[sort.index()].slices {
            // A kind with several slices fills them by itself.
            if own.iter().any(|good| slices_of[*good] > 1) {
                continue;
            }
            let needed: u64 = own.iter().map(|good| goods[*good].stacks()).sum();
            let spare = slice.room_stacks.saturating_sub(needed) / own.len().max(1) as u64;
            for good in own {
                stacks[*good] += spare;
            }
        }
    }
    let each = stacks.into_iter().zip(goods);
    each.map(|(stacks, good)| stacks * u64::from(good.stack_limit))
        .collect()
}

/// What comes in within an hour, in thousandths of each, and how many items of it the line takes. Of no
/// kind there is more than has room, since nobody takes anything out.
fn hour(plan: &Plan, rooms: &[u64]) -> (Shares, u64) {
    let goods = plan.catalogue.goods.iter().zip(rooms).enumerate();
    let shares = goods.map(|(number, (good, room))| {
        let most = room.saturating_mul(1000);
        (number, good.inflow_thousandths.min(most))
    });
    let shares = shares.filter(|(number, share)| *share > 0 && !is_boxed(plan, *number));
    let shares: Shares = shares.collect();
    let items = shares.iter().map(|(_, share)| share).sum::<u64>() / 1000;
    (
        shares,
        items.min(plan.hall.lines.max(1) * HOUR_TICKS / TICKS_AN_ITEM),
    )
}

/// So many items of all kinds, as far as they have room. Half of them go to the last slice in use of a
/// section, so that every line is full to its end.
fn load(plan: &Plan, rooms: &[u64], items: u64) -> Shares {
    let mut is_far = vec![false; rooms.len()];
    for (laid, sort) in plan.sections() {
        if let Some((_, goods)) = plan.used(laid, sort).last() {
            for good in goods {
                is_far[*good] = true;
            }
        }
    }
    let mut counts = vec![0; rooms.len()];
    let far: Vec<usize> = (0..rooms.len()).filter(|good| is_far[*good]).collect();
    let all: Vec<usize> = (0..rooms.len())
        .filter(|good| !is_boxed(plan, *good))
        .collect();
    let given = share_out(items / 2, &far, rooms, &mut counts);
    share_out(items - given, &all, rooms, &mut counts);
    let counts = counts.into_iter().enumerate();
    counts.filter(|(_, count)| *count > 0).collect()
}

/// How many items of a load are for the line that gets most.
fn busiest_line(plan: &Plan, load: &Shares) -> u64 {
    let lines = flow::lines_of(&plan.catalogue, &plan.allocation, &plan.layout, &plan.lines);
    let mut items = vec![0; plan.layout.unsorted.len()];
    for (good, count) in load {
        if let Some(line) = lines[*good] {
            items[line] += count;
        }
    }
    items.into_iter().max().unwrap_or(0)
}

/// Shares items out as evenly as there is room: how many could be.
fn share_out(items: u64, among: &[usize], rooms: &[u64], counts: &mut [u64]) -> u64 {
    let mut left = items;
    loop {
        let open: Vec<usize> = among
            .iter()
            .copied()
            .filter(|good| counts[*good] < rooms[*good])
            .collect();
        if left == 0 || open.is_empty() {
            return items - left;
        }
        let each = (left / open.len() as u64).max(1);
        for good in open {
            let more = each.min(rooms[good] - counts[good]).min(left);
            counts[good] += more;
            left -= more;
        }
    }
}

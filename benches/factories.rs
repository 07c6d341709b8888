//! The networks that the bench runs, each under the name it is reported by.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};

/// How many phases there are: a hopper acts every 8 ticks, so that lines can start in any of 8.
const PHASES: u64 = 8;

/// A network, and what of its run is measured.
pub(crate) struct Workload {
    /// The network.
    pub(crate) network: Network,
    /// What comes from outside.
    pub(crate) setup: Setup,
    /// How many ticks are run before the measured ones.
    pub(crate) warm_ticks: u64,
    /// How many ticks are measured.
    pub(crate) ticks: u64,
}

impl Workload {
    /// This workload with another stretch of its run measured.
    pub(crate) fn measured(self, warm_ticks: u64, ticks: u64) -> Self {
        Self {
            warm_ticks,
            ticks,
            ..self
        }
    }
}

/// One line of 288 hoppers that carries 20,000 items into a store at its end, until all are there.
pub(crate) fn line_288() -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let feed = add_line(&mut builder, "line", 288, 20_000, None);
    fill_up(&mut builder, feed, barley, 20_000);
    build(builder, Setup::default(), 0, LINE_TICKS)
}

/// So long 20,000 items take through 288 hoppers.
pub(crate) const LINE_TICKS: u64 = 20_000 * 8 + 288 * 8;

/// 50,000 hoppers, every 173rd of which belongs to one line that carries what [`line_288`] does. The
/// rest is locked, with an item in each. `is_under_way` begins with an item in every hopper of the
/// line, so that all of them act from the first tick.
pub(crate) fn hall_idle(is_under_way: bool) -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let shut = builder.add("shut", Part::Signal(Signal::Lever { starts_on: true }));
    let end = builder.add("end", Part::Container(Container { slots: 320 }));
    let aside = builder.add("aside", Part::Container(Container { slots: 27 }));
    let mut working = Vec::new();
    for index in 0..50_000 {
        let id = builder.declare(&format!("h{index}"));
        let works = index % 173 == 0 && working.len() < 288;
        if works {
            working.push(id);
        } else {
            define_hopper(&mut builder, id, Some(aside), Intake::Cap, Some(shut));
        }
        if is_under_way || !works {
            fill(&mut builder, id, 0, barley, 1);
        }
    }
    let feed = add_feed(&mut builder, "feed", 20_000);
    fill_up(&mut builder, feed, barley, 20_000);
    connect_line(&mut builder, &working, feed, end, None);
    build(builder, Setup::default(), 0, LINE_TICKS)
}

/// 50,000 hoppers in one line, all locked.
pub(crate) fn hall_locked(ticks: u64) -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let shut = builder.add("shut", Part::Signal(Signal::Lever { starts_on: true }));
    let feed = add_line(&mut builder, "line", 50_000, 320, Some(shut));
    fill_up(&mut builder, feed, barley, 320);
    build(builder, Setup::default(), 0, ticks)
}

/// Lines of hoppers that all act, in 8 phases: the feed of each line is delivered in one of the first 8
/// ticks, and what is measured begins when every line has an item in each of its hoppers.
pub(crate) fn busy(lines: &BusyLines) -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let mut deliveries = Vec::with_capacity(lines.lines);
    for line in 0..lines.lines {
        let name = format!("line {line}");
        let items = lines.items();
        let feed = add_line(&mut builder, &name, lines.hoppers_a_line, items, None);
        let delivery = Action::Deliver {
            place: feed,
            kind: barley,
            count: items,
            contents: Vec::new(),
            terms: Terms::default(),
        };
        deliveries.push((Tick(line as u64 % PHASES), delivery));
    }
    let setup = Setup {
        timeline: Timeline::new(deliveries),
        ..Setup::default()
    };
    build(builder, setup, lines.warm_ticks(), lines.ticks)
}

/// How many lines of what length act, and for how long.
#[derive(Clone, Copy)]
pub(crate) struct BusyLines {
    /// How many lines.
    pub(crate) lines: usize,
    /// How many hoppers each has.
    pub(crate) hoppers_a_line: usize,
    /// How many ticks are measured.
    pub(crate) ticks: u64,
}

impl BusyLines {
    /// 50,112 hoppers.
    pub(crate) const HALL_BUSY: Self = Self {
        lines: 174,
        hoppers_a_line: 288,
        ticks: 800,
    };

    /// 1,000,000 hoppers.
    pub(crate) const MILLION: Self = Self {
        lines: 8_000,
        hoppers_a_line: 125,
        ticks: 80,
    };

    /// So many lines in place of these.
    pub(crate) fn with_lines(self, lines: usize) -> Self {
        Self { lines, ..self }
    }

    /// So long it takes until every hopper acts.
    pub(crate) fn warm_ticks(&self) -> u64 {
        (self.hoppers_a_line as u64 + 1) * 8
    }

    /// So many items keep a line busy until the end.
    pub(crate) fn items(&self) -> u32 {
        u32::try_from((self.warm_ticks() + self.ticks) / 8).expect("a bench's run is short")
    }
}

/// Finishes a network whose run is measured in these ticks.
pub(crate) fn build(
    builder: NetworkBuilder,
    setup: Setup,
    warm_ticks: u64,
    ticks: u64,
) -> Workload {
    let network = builder.build().expect("the bench's networks are sound");
    Workload {
        network,
        setup,
        warm_ticks,
        ticks,
    }
}

/// A line of hoppers with an empty container above its head and one behind its end, each with room for
/// so many items. Gives the container above.
fn add_line(
    builder: &mut NetworkBuilder,
    name: &str,
    hoppers: usize,
    items: u32,
    lock: Option<PartId>,
) -> PartId {
    let feed = add_feed(builder, &format!("{name} feed"), items);
    let end = add_feed(builder, &format!("{name} end"), items);
    let ids: Vec<PartId> = (0..hoppers)
        .map(|index| builder.declare(&format!("{name} {index}")))
        .collect();
    connect_line(builder, &ids, feed, end, lock);
    feed
}

/// Makes a line of declared hoppers, between a container above its head and one behind its end.
fn connect_line(
    builder: &mut NetworkBuilder,
    ids: &[PartId],
    feed: PartId,
    end: PartId,
    lock: Option<PartId>,
) {
    for (place, id) in ids.iter().enumerate() {
        let target = ids.get(place + 1).copied().unwrap_or(end);
        let intake = match place {
            0 => Intake::Above(feed),
            _ => Intake::Cap,
        };
        define_hopper(builder, *id, Some(target), intake, lock);
    }
}

fn define_hopper(
    builder: &mut NetworkBuilder,
    id: PartId,
    target: Option<PartId>,
    intake: Intake,
    lock: Option<PartId>,
) {
    let hopper = Hopper {
        target,
        intake,
        lock,
    };
    builder.define(id, Part::Hopper(hopper));
}

/// An empty container with room for so many items of stack limit 64.
fn add_feed(builder: &mut NetworkBuilder, name: &str, items: u32) -> PartId {
    let slots = u16::try_from(items.div_ceil(64)).expect("a bench's containers are no larger");
    builder.add(name, Part::Container(Container { slots }))
}

/// Puts so many items into a container, in stacks of 64.
fn fill_up(builder: &mut NetworkBuilder, part: PartId, kind: KindId, items: u32) {
    for slot in 0..items.div_ceil(64) {
        let count = (items - slot * 64).min(64) as u8;
        fill(builder, part, slot as u16, kind, count);
    }
}

/// Puts items into one slot.
pub(crate) fn fill(builder: &mut NetworkBuilder, part: PartId, slot: u16, kind: KindId, count: u8) {
    let filling = Filling {
        slot,
        kind,
        count,
        contents: Vec::new(),
    };
    builder.fill(part, filling);
}

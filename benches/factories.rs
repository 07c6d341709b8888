//! The networks that the benches run, each under the name it is reported by.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;

/// A network and how many ticks of it are measured.
pub(crate) struct Workload {
    /// The network.
    pub(crate) network: Network,
    /// How many ticks to run.
    pub(crate) ticks: u64,
}

/// One line of 288 hoppers that carries 20,000 items into chests at its end.
pub(crate) fn line_288() -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    add_line(&mut builder, barley, "line", 288, 20_000, None);
    build(builder, 20_000 * 8 + 288 * 8)
}

/// 50,000 hoppers, every 173rd of which belongs to one working line; the rest is locked.
pub(crate) fn hall_idle() -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let shut = builder.add("shut", Part::Signal(Signal::Lever { starts_on: true }));
    let end = builder.add("end", Part::Container(Container { slots: 1000 }));
    let aside = builder.add("aside", Part::Container(Container { slots: 27 }));
    let mut working = Vec::new();
    for index in 0..50_000 {
        let id = builder.declare(&format!("h{index}"));
        if index % 173 == 0 && working.len() < 288 {
            working.push(id);
        } else {
            define_hopper(&mut builder, id, Some(aside), Intake::Cap, Some(shut));
            fill(&mut builder, id, barley, 1);
        }
    }
    let feed = feed(&mut builder, "feed", barley, 20_000);
    for (place, id) in working.iter().enumerate() {
        let target = working.get(place + 1).copied().unwrap_or(end);
        let intake = if place == 0 {
            Intake::Above(feed)
        } else {
            Intake::Cap
        };
        define_hopper(&mut builder, *id, Some(target), intake, None);
    }
    build(builder, 20_000)
}

/// 50,112 hoppers in 174 lines, all acting.
pub(crate) fn hall_busy() -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    for line in 0..174 {
        add_line(
            &mut builder,
            barley,
            &format!("line {line}"),
            288,
            300,
            None,
        );
    }
    build(builder, 2_400)
}

/// 50,000 hoppers, all locked.
pub(crate) fn hall_locked(ticks: u64) -> Workload {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let shut = builder.add("shut", Part::Signal(Signal::Lever { starts_on: true }));
    add_line(&mut builder, barley, "line", 50_000, 320, Some(shut));
    build(builder, ticks)
}

fn build(builder: NetworkBuilder, ticks: u64) -> Workload {
    let network = builder.build().expect("the bench's networks are sound");
    Workload { network, ticks }
}

/// A line of hoppers fed from a container above its head.
fn add_line(
    builder: &mut NetworkBuilder,
    kind: KindId,
    name: &str,
    hoppers: usize,
    items: u32,
    lock: Option<PartId>,
) {
    let feed = feed(builder, &format!("{name} feed"), kind, items);
    let slots = u16::try_from(items.div_ceil(64)).expect("a bench's line carries few items");
    let end = builder.add(&format!("{name} end"), Part::Container(Container { slots }));
    let ids: Vec<PartId> = (0..hoppers)
        .map(|index| builder.declare(&format!("{name} {index}")))
        .collect();
    for (place, id) in ids.iter().enumerate() {
        let target = ids.get(place + 1).copied().unwrap_or(end);
        let intake = if place == 0 {
            Intake::Above(feed)
        } else {
            Intake::Cap
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
    builder.define(
        id,
        Part::Hopper(Hopper {
            target,
            intake,
            lock,
        }),
    );
}

fn feed(builder: &mut NetworkBuilder, name: &str, kind: KindId, items: u32) -> PartId {
    let slots = u16::try_from(items.div_ceil(64)).expect("a bench's feed holds few items");
    let feed = builder.add(name, Part::Container(Container { slots }));
    for slot in 0..slots {
        let count = (items - u32::from(slot) * 64).min(64);
        let filling = Filling {
            slot,
            kind,
            count: count as u8,
            contents: Vec::new(),
        };
        builder.fill(feed, filling);
    }
    feed
}

fn fill(builder: &mut NetworkBuilder, part: PartId, kind: KindId, count: u8) {
    builder.fill(
        part,
        Filling {
            slot: 0,
            kind,
            count,
            contents: Vec::new(),
        },
    );
}

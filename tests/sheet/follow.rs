//! Whoever follows the table block by block has the hall that was tried: it does the same, tick by tick.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::id::{BoxId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::Signal;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::space::Block;
use hallwright_report::{RunInput, setup_for};
use hallwright_scenario::Scenario;
use hallwright_sheet::{Sort, csv, sheet};
use hallwright_site::blocks::{Piece, Shape, World};
use hallwright_site::derive::derive;
use hallwright_site::network::sources;

use crate::reader::{nowhere, pieces};
use crate::support::{all_files, layouts, loaded, problems, scenario, scenarios};

/// The network of the hall that somebody built who had only the table, the rules and the list of goods.
fn built(table: &str, scenario: &Scenario) -> Result<Network, String> {
    let kinds = scenario.network.kinds();
    let names: Vec<&str> = kinds.iter().map(|kind| kind.name.as_str()).collect();
    let all = pieces(table, &names).into_iter();
    let all = all.chain(nowhere(table, &names));
    let (world, taken) = World::of_pieces(all);
    if !taken.is_empty() {
        return Err(format!("two things in one block: {taken:?}"));
    }
    let derived = derive(&world, *scenario.network.rules(), kinds);
    let derived = derived.map_err(|errors| format!("no network: {errors:?}"))?;
    Ok(turned_back(&derived.network, &world))
}

/// The same network, with slots 0 to 26 of each double chest in the half that the table has first. Derived, they
/// are in the half that comes first in the order of blocks: which half it is depends on how a hall is turned.
fn turned_back(network: &Network, world: &World) -> Network {
    let is_turned = |part: PartId| {
        let piece = world
            .named(network.name(part))
            .map(|piece| world.piece(piece));
        piece.is_some_and(|piece| {
            piece.shape == Shape::DoubleChest
                && piece.first_block() != piece.blocks.first().copied()
        })
    };
    let mut builder = NetworkBuilder::new(*network.rules());
    for kind in network.kinds() {
        match kind.is_box {
            true => builder.box_kind(&kind.name),
            false => builder.kind(&kind.name, kind.stack_limit),
        };
    }
    for (part, _) in network.parts() {
        builder.declare(network.name(part));
    }
    for (part, what) in network.parts() {
        builder.define(part, what.clone());
    }
    for (part, filling) in network.fillings() {
        let mut filling = filling.clone();
        if is_turned(*part) {
            filling.slot = (filling.slot + HALF_SLOTS) % (2 * HALF_SLOTS);
        }
        builder.fill(*part, filling);
    }
    builder.build().expect("it was a network before")
}

/// Slots of one half of a double chest.
const HALF_SLOTS: u16 = 27;

fn is_wire(network: &Network, part: PartId) -> bool {
    matches!(network.signal(part), Some(Signal::Wire { .. }))
}

/// The orders of the declared network that are those of the built one: parts go by their names. A wire, which
/// is cut otherwise there, comes after all that is no wire.
fn orders_of(declared: &Network, built: &Network) -> Result<Orders, String> {
    let same = |part: PartId| declared.find(built.name(part));
    let names = |network: &Network| -> BTreeSet<String> {
        let plain = network.part_ids().filter(|part| !is_wire(network, *part));
        plain.map(|part| network.name(part).to_owned()).collect()
    };
    let (tried, found) = (names(declared), names(built));
    if tried != found {
        let other: Vec<&String> = tried.symmetric_difference(&found).collect();
        return Err(format!("parts of only one of the two halls: {other:?}"));
    }
    let update: Vec<PartId> = built.turn_takers().filter_map(same).collect();
    let takers = built.change_takers();
    let plain = takers.iter().filter(|part| !is_wire(built, **part));
    let mut signal: Vec<PartId> = plain.filter_map(|part| same(*part)).collect();
    let wires = declared.change_takers().into_iter();
    signal.extend(wires.filter(|part| is_wire(declared, *part)));
    let orders = Orders {
        update: Order::Listed(update),
        signal: Order::Listed(signal),
    };
    match orders.problem(declared) {
        None => Ok(orders),
        Some(problem) => Err(problem),
    }
}

/// All that is done from outside, with the parts of the same names in the other network.
fn moved(timeline: &Timeline, from: &Network, to: &Network) -> Result<Timeline, String> {
    let same = |part: PartId| {
        let name = from.name(part);
        to.find(name).ok_or_else(|| format!("there is no {name}"))
    };
    let mut entries = Vec::new();
    for (tick, action) in timeline.entries() {
        let mut action = action.clone();
        match &mut action {
            Action::MoveLever { lever, .. } => *lever = same(*lever)?,
            Action::Press { button } => *button = same(*button)?,
            Action::Deliver { place, terms, .. } => {
                *place = same(*place)?;
                if let Some(gate) = &mut terms.while_on {
                    // Of a wire with one source that source: only on and off count.
                    let heard = sources(from, *gate);
                    let only: Vec<PartId> = heard.iter().map(|(source, _)| source).collect();
                    assert_eq!(only.len(), 1, "a delivery waits for one signal");
                    *gate = same(only[0])?;
                }
            }
            Action::Withdraw { place, .. }
            | Action::Fill { place, .. }
            | Action::TakeBox { place } => *place = same(*place)?,
            Action::Sleep { parts, .. } | Action::Stick { signals: parts, .. } => {
                let plain = parts.iter().filter(|part| !is_wire(from, **part));
                *parts = plain.map(|part| same(*part)).collect::<Result<_, _>>()?;
            }
            Action::Reopen { orders } => *orders = Orders::default(),
        }
        entries.push((*tick, action));
    }
    Ok(Timeline::new(entries))
}

/// What happened in a run, by names.
fn happened(network: &Network, setup: &Setup, run_ticks: u64) -> Trace {
    let mut trace = Trace::default();
    Engine::new(network, setup).run_until(Tick(run_ticks), &mut trace);
    assert!(!trace.events.is_empty(), "nothing happens in {network:?}");
    trace
}

/// One thing that happened in a tick, in words that do not depend on the numbers of parts.
fn line(network: &Network, event: &Event, numbers: &mut Numbers) -> Option<String> {
    let name = |part: PartId| network.name(part);
    let mut item = |item: Item| {
        let which = item.box_id.map(|id| numbers.of_box(id));
        format!("{} {which:?}", network.kind(item.kind).name)
    };
    Some(match *event {
        Event::SignalChanged { signal, level } => {
            if is_wire(network, signal) {
                return None;
            }
            format!("{} is {level}", name(signal))
        }
        Event::Locked { part } => format!("{} is locked", name(part)),
        Event::Unlocked { part } => format!("{} is unlocked", name(part)),
        Event::ItemMoved { from, to, item: it } => {
            format!("{} from {} to {}", item(it), name(from), name(to))
        }
        Event::Delivered { place, kind, count } => {
            let kind = &network.kind(kind).name;
            format!("{count} {kind} delivered to {}", name(place))
        }
        Event::Withdrawn {
            place,
            item: it,
            count,
        } => format!("{count} {} withdrawn from {}", item(it), name(place)),
        Event::Clicked { dropper } => format!("{} clicked", name(dropper)),
        Event::Thrown { dropper, item: it } => format!("{} thrown by {}", item(it), name(dropper)),
        Event::CameLoose {
            item: it,
            count,
            place,
            ..
        } => format!("{count} {} loose at {}", item(it), name(place)),
        Event::Merged { count, mouth, .. } => format!("{count} merged at {}", name(mouth)),
        Event::Collected {
            hopper,
            item: it,
            count,
            ..
        } => format!("{count} {} collected by {}", item(it), name(hopper)),
        Event::Lost {
            item: it,
            count,
            mouth,
            ..
        } => format!("{count} {} lost at {}", item(it), name(mouth)),
        Event::BoxSet {
            bench, item: it, ..
        } => format!("{} set on {}", item(it), name(bench)),
        Event::BoxLifted { bench, item: it } => format!("{} lifted off {}", item(it), name(bench)),
        Event::Docked { shuttle, place } => format!("{} at {}", name(shuttle), name(place)),
        Event::Departed { shuttle, place } => format!("{} leaves {}", name(shuttle), name(place)),
    })
}

/// Boxes by when each was first seen: at the start they are numbered by part, in each network otherwise.
#[derive(Default)]
struct Numbers(BTreeMap<BoxId, usize>);

impl Numbers {
    fn of_box(&mut self, id: BoxId) -> usize {
        let next = self.0.len();
        *self.0.entry(id).or_insert(next)
    }

    /// From here on these are taken for one another: of several benches whose time is over in one tick none is first by
    /// its blocks, so which of the boxes comes loose first is not asked.
    fn are_alike(&mut self, ids: &[BoxId]) {
        let least = ids.iter().map(|id| self.of_box(*id)).min();
        for id in ids {
            self.0.extend(least.map(|least| (*id, least)));
        }
    }
}

/// Every line of a trace with its tick. What moves keeps its order within the tick; levels and locks, of which
/// each part has one, are sorted, and so are boxes lifted off their benches, and droppers that fire with nothing in
/// them: through how many pieces of wire they come is not asked.
fn lines(network: &Network, trace: &Trace) -> Vec<(Tick, String)> {
    let mut numbers = Numbers::default();
    let mut moves: BTreeMap<Tick, Vec<String>> = BTreeMap::new();
    let mut levels: BTreeMap<Tick, BTreeMap<String, String>> = BTreeMap::new();
    let mut lifted: BTreeMap<Tick, Vec<BoxId>> = BTreeMap::new();
    for (moment, event) in &trace.events {
        if let Event::BoxLifted { item, .. } = event {
            lifted.entry(moment.tick).or_default().extend(item.box_id);
        }
    }
    for (moment, event) in &trace.events {
        if matches!(event, Event::BoxLifted { .. }) {
            numbers.are_alike(&lifted.remove(&moment.tick).unwrap_or_default());
        }
        let Some(line) = line(network, event, &mut numbers) else {
            continue;
        };
        if let Event::BoxLifted { bench, .. } = event {
            let states = levels.entry(moment.tick).or_default();
            states.insert(format!("{} lifted", network.name(*bench)), line);
        } else if event.is_item_event() {
            moves.entry(moment.tick).or_default().push(line);
        } else if matches!(event, Event::Clicked { .. }) {
            // It fired with nothing in it. Which of several did first is a matter of their wires.
            let states = levels.entry(moment.tick).or_default();
            let before = states.keys().filter(|key| key.starts_with(&line)).count();
            states.insert(format!("{line} {before}"), line);
        } else {
            let (part, state) = line.split_once(" is ").expect("of a state");
            let sort = if state.contains("locked") {
                "lock"
            } else {
                "level"
            };
            let key = format!("{part} {sort}");
            levels.entry(moment.tick).or_default().insert(key, line);
        }
    }
    let moves = moves
        .into_iter()
        .flat_map(|(tick, lines)| lines.into_iter().map(move |line| (tick, 0, line)));
    let levels = levels
        .into_iter()
        .flat_map(|(tick, lines)| lines.into_values().map(move |line| (tick, 1, line)));
    let mut all: Vec<(Tick, u8, String)> = moves.chain(levels).collect();
    all.sort_by_key(|(tick, sort, _)| (*tick, *sort));
    all.into_iter()
        .map(|(tick, _, line)| (tick, line))
        .collect()
}

/// Follows a table and runs both halls. Gives how many things happened in both, or how they differ.
fn followed(table: &str, scenario: &Scenario) -> Result<usize, String> {
    let declared = &scenario.network;
    let built = built(table, scenario)?;
    for (part, _) in declared.parts() {
        let name = declared.name(part);
        assert_eq!(declared.stream_tag(part), name, "chance goes by names");
    }
    let input = RunInput {
        network: declared,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: orders_of(declared, &built)?,
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    };
    let setup = setup_for(&input);
    let other = Setup {
        timeline: moved(&setup.timeline, declared, &built)?,
        orders: Orders::default(),
        seed: setup.seed,
    };
    let problems = other.problems(&built);
    if !problems.is_empty() {
        return Err(format!("{problems:?}"));
    }
    let expected = lines(declared, &happened(declared, &setup, input.run_ticks));
    let found = lines(&built, &happened(&built, &other, input.run_ticks));
    let differs = expected.iter().zip(&found).find(|(a, b)| a != b);
    match differs {
        Some((a, b)) => Err(format!("tried {a:?}, built {b:?}")),
        None if expected.len() != found.len() => Err("one goes on, one does not".to_owned()),
        None => Ok(expected.len()),
    }
}

/// Where a sheet is tried: anywhere is as good.
const FROM: Block = Block::new(-7, 63, 120);

/// The variants of the whole granary that are followed; all of them with `FOLLOW_ALL`.
const OF_THE_HALL: [&str; 2] = ["five sections", "two lines"];

/// The scenarios that stand, with nothing wrong, by their file's name, and their variants.
fn standing() -> Vec<(String, Scenario)> {
    let mut found = Vec::new();
    for path in all_files() {
        let name = path.strip_prefix(scenarios("")).expect("it is below");
        let name = name.display().to_string();
        // Modules and descriptions of halls are no scenarios.
        let Some(usual) = loaded(&path, None) else {
            continue;
        };
        if usual.declarations.site.is_none() {
            continue;
        }
        let all = usual.variants.iter().map(String::as_str);
        let is_short = std::env::var_os("FOLLOW_ALL").is_none();
        let is_hall = name == "granary.ron" && is_short;
        // The variants of a planned hall are what is sent through it: it stands alike in all of them.
        let is_planned = usual.title.starts_with("Hall for") && is_short;
        let chosen = all.filter(|variant| !is_hall || OF_THE_HALL.contains(variant));
        let chosen = chosen.take(if is_planned { 1 } else { usize::MAX });
        let variants: Vec<Option<&str>> = match usual.variants.is_empty() {
            true => vec![None],
            false => chosen.map(Some).collect(),
        };
        for variant in variants {
            let scenario = loaded(&path, variant).expect("its variants load");
            let sheet = sheet(&scenario, Block::default());
            if sheet.problems == 0 && !sheet.placed.is_empty() {
                found.push((format!("{name} {variant:?}"), scenario));
            }
        }
    }
    found
}

#[test]
fn whoever_follows_a_sheet_has_the_hall_that_was_tried() {
    let all = standing();
    let names: BTreeSet<&str> = all
        .iter()
        .filter_map(|(name, _)| name.split(' ').next())
        .collect();
    for (name, scenario) in &all {
        let table = csv(&sheet(scenario, FROM));
        match followed(&table, scenario) {
            Ok(events) => println!("{name}: {events} events are the same"),
            Err(difference) => panic!("{name}: {difference}"),
        }
    }
    println!("{names:?}");
    for name in [
        "standing/bench.ron",
        "standing/bulk-column.ron",
        "standing/filter.ron",
        "standing/lift.ron",
        "standing/multi-item.ron",
        "standing/return.ron",
        "bulk-slice.ron",
        "first-slice.ron",
        "leaving.ron",
        "multi-item-line.ron",
        "granary.ron",
        "granary/bulk.ron",
        "granary/line.ron",
        "granary/retrieval.ron",
    ] {
        assert!(names.contains(name), "{name} does not stand: {names:?}");
    }
}

#[test]
fn a_table_says_all_of_every_piece() {
    // Whatever stands somewhere in any layout of the project, whether something is wrong with it or not.
    let mut seen = BTreeSet::new();
    let (mut openings, mut declared, mut meant, mut boxed) = (0, 0, 0, 0);
    for path in all_files().into_iter().chain(layouts()) {
        let is_own = path.ends_with("data/words.ron");
        assert!(
            !is_own || loaded(&path, None).is_some(),
            "{}",
            problems(&path)
        );
        let Some(scenario) = loaded(&path, None) else {
            continue;
        };
        let sheet = sheet(&scenario, FROM);
        let kinds: Vec<&str> = sheet.kinds.iter().map(|kind| kind.name.as_str()).collect();
        let read = pieces(&csv(&sheet), &kinds);
        let own: Vec<Piece> = sheet.placed.iter().map(|own| own.piece.clone()).collect();
        assert_eq!(read, own, "{}", path.display());
        seen.extend(sheet.placed.iter().map(|own| own.sort));
        for piece in own {
            openings += piece.openings.len();
            declared += piece.declared.len();
            meant += piece.meant.len();
            let held = piece.contents.iter();
            boxed += held.filter(|one| !one.contents.is_empty()).count();
        }
    }
    let missing: Vec<Sort> = Sort::ALL
        .into_iter()
        .filter(|sort| !seen.contains(sort))
        .collect();
    println!(
        "{openings} openings, {declared} declared, {meant} meant, {boxed} boxes, not {missing:?}"
    );
    assert!(openings > 0 && declared > 0 && meant > 0 && boxed > 0);
    assert!(missing.is_empty(), "{missing:?}");
}

/// The table of a scenario with one cell of one row changed; `None` takes the row out.
fn changed(file: &str, row: &str, change: Option<(&str, &str)>) -> Result<usize, String> {
    let scenario = scenario(file);
    let table = csv(&sheet(&scenario, Block::default()));
    let mut rows: Vec<String> = table.lines().map(str::to_owned).collect();
    let place = rows.iter().position(|line| line.contains(row));
    let place = place.unwrap_or_else(|| panic!("no row has {row}: {table}"));
    match change {
        Some((word, other)) => {
            let new = rows[place].replacen(word, other, 1);
            assert_ne!(new, rows[place], "nothing is changed");
            rows[place] = new;
        }
        None => drop(rows.remove(place)),
    }
    followed(&rows.join("\n"), &scenario)
}

#[test]
fn a_sheet_with_a_mistake_in_it_makes_another_hall() {
    for (row, change) in [
        // The sieve's outlet turned onto the hopper below it.
        ("hopper,1,3,0,sieve", Some(("to +z", "down"))),
        // The repeater turned round.
        ("repeater,2,2,1,shut", Some(("to -x", "to +x"))),
        // One item less in the sieve: it opens one item later.
        ("hopper,1,3,0,sieve", Some((": 41 ", ": 40 "))),
        // A longer delay.
        (
            "repeater,2,2,1,shut",
            Some(("delay_ticks=2", "delay_ticks=4")),
        ),
        // The wire cut.
        ("wire,2,3,2", None),
        // The block that is to be weak in the lock's way.
        ("full block,1,2,1", None),
        // The cap open, the store gone.
        ("cap,1,5,0", None),
        ("chest,1,0,0,store", None),
        ("hopper,1,1,0,drop", None),
    ] {
        let followed = changed("standing/filter.ron", row, change);
        assert!(followed.is_err(), "{row}, {change:?}: {followed:?}");
    }
}

#[test]
fn a_mistake_in_a_way_to_what_stands_nowhere_makes_another_hall() {
    for (row, change) in [
        ("quay.head,down", Some(("quay.halt", "quay.moving"))),
        (",permit.called,", Some(("delay_ticks=4", "delay_ticks=6"))),
        (",quay.moving,", Some(("hold_ticks=40", "hold_ticks=42"))),
        (",quay.halt,", None),
    ] {
        let followed = changed("granary/quay.ron", row, change);
        assert!(followed.is_err(), "{row}, {change:?}: {followed:?}");
    }
}

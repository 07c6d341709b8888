//! A compiled scenario as one flat layout: every part by its full name, nothing left to work out.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::placement::{Placement, Room};
use hallwright_declared::space::Block;
use hallwright_scenario::write::{
    parts as part_names, quoted, rules_that_differ, ticks, written_weights,
};
use hallwright_scenario::{Arrival, Course, Scenario};

use crate::{action, declarations, delivery, parts, terms};

/// What a written layout has of its own: how its parts are written, and which blocks are none.
pub(crate) struct Layout {
    /// The lines above everything, each with `//` before it and a line end behind it.
    pub(crate) comment: String,
    /// Each part with its name.
    pub(crate) parts: Vec<String>,
    /// Fields for blocks, with their values.
    pub(crate) blocks: Vec<(&'static str, String)>,
}

/// Writes a scenario without modules and parameters. What is read from it has the same parts in the
/// same order, with the same names, and runs in the same way.
#[must_use]
pub fn flat(scenario: &Scenario) -> String {
    let Placement {
        full, caps, wires, ..
    } = &scenario.declarations.placement;
    let mut fields = Vec::new();
    for (name, blocks) in [("full", full), ("caps", caps), ("wires", wires)] {
        if !blocks.is_empty() {
            let blocks: Vec<String> = blocks.iter().map(Block::to_string).collect();
            fields.push((name, block('[', &blocks, ']')));
        }
    }
    fields.extend(rooms(
        &scenario.network,
        &scenario.declarations.placement.rooms,
    ));
    let comment = "// Written out in full; the names of parts are kept as they are.\n".to_owned();
    write(
        scenario,
        &Layout {
            comment,
            parts: part_lines(scenario),
            blocks: fields,
        },
    )
}

/// The rooms of a layout, as a field; `None` if there are none.
pub(crate) fn rooms(network: &Network, rooms: &[Room]) -> Option<(&'static str, String)> {
    let rooms = rooms.iter().map(|room| {
        let (name, parts) = (quoted(&room.name), part_names(network, &room.parts));
        let (corner, size) = (room.corner, room.size);
        format!("{name}: (position: {corner}, size: {size}, parts: {parts})")
    });
    let rooms: Vec<String> = rooms.collect();
    (!rooms.is_empty()).then(|| ("rooms", block('{', &rooms, '}')))
}

/// Writes a scenario with this layout.
pub(crate) fn write(scenario: &Scenario, layout: &Layout) -> String {
    let network = &scenario.network;
    let mut text = format!("{}(\n", layout.comment);
    let mut field = |name: &str, value: &str| {
        text.push_str("    ");
        text.push_str(name);
        text.push_str(": ");
        text.push_str(value);
        text.push_str(",\n");
    };
    field("title", &quoted(&scenario.title));
    field("flat", "true");
    field("seed", &scenario.seed.to_string());
    field("run_for", &ticks(scenario.run_ticks));
    let rules: Vec<String> = rules_that_differ(network.rules())
        .map(|(name, value)| format!("{name}: {value}"))
        .collect();
    if !rules.is_empty() {
        field("rules", &format!("({})", rules.join(", ")));
    }
    field("goods", &block('{', &goods(network), '}'));
    field("parts", &block('{', &layout.parts, '}'));
    for (name, blocks) in &layout.blocks {
        field(name, blocks);
    }
    field("arrivals", &block('{', &arrival_lines(scenario), '}'));
    field("operator", &block('[', &moments(scenario), ']'));
    field(
        "sieves",
        &declarations::sieves(network, &scenario.declarations),
    );
    for (name, lines) in declarations::fields(network, &scenario.declarations) {
        let is_list = ["stops", "goals"].contains(&name);
        let (open, close) = if is_list { ('[', ']') } else { ('{', '}') };
        field(name, &block(open, &lines, close));
    }
    if let Some(leave) = declarations::leave(network, &scenario.declarations) {
        field("leave", &leave);
    }
    if let Some(width) = scenario.declarations.width_blocks {
        field("width_blocks", &width.to_string());
    }
    if let Some(weights) = &scenario.declarations.costs {
        let weights = written_weights(weights).map(|(name, value)| format!("{name}: {value}"));
        field("costs", &format!("({})", weights.join(", ")));
    }
    if let Some(rate) = scenario.declarations.blocks_per_hour {
        field("blocks_per_hour", &rate.to_string());
    }
    text.push_str(")\n");
    text
}

/// Lines between two brackets.
pub(crate) fn block(open: char, lines: &[String], close: char) -> String {
    if lines.is_empty() {
        return format!("{open}{close}");
    }
    let lines: String = lines
        .iter()
        .map(|line| format!("        {line},\n"))
        .collect();
    format!("{open}\n{lines}    {close}")
}

fn goods(network: &Network) -> Vec<String> {
    let kinds = network.kinds().iter();
    kinds
        .map(|kind| {
            let limit = if kind.is_box {
                "Box".to_owned()
            } else {
                kind.stack_limit.items().to_string()
            };
            format!("{}: {limit}", quoted(&kind.name))
        })
        .collect()
}

/// What each part holds at the start.
pub(crate) fn fillings_of(network: &Network) -> BTreeMap<PartId, Vec<Filling>> {
    let mut holds: BTreeMap<PartId, Vec<Filling>> = BTreeMap::new();
    for (part, filling) in network.fillings() {
        holds.entry(*part).or_default().push(filling.clone());
    }
    holds
}

fn part_lines(scenario: &Scenario) -> Vec<String> {
    let network = &scenario.network;
    let holds = fillings_of(network);
    network
        .parts()
        .map(|(id, part)| {
            let holds = holds.get(&id).map_or(&[][..], Vec::as_slice);
            let placed = scenario.declarations.placement.of(id);
            let part = parts::part(network, (id, part), holds, placed);
            format!("{}: {part}", quoted(network.name(id)))
        })
        .collect()
}

/// A number that was kept in billionths.
fn billionths(number: u64) -> String {
    let (whole, fraction) = (number / 1_000_000_000, number % 1_000_000_000);
    let fraction = format!("{fraction:09}");
    let fraction = fraction.trim_end_matches('0');
    format!(
        "{whole}.{}",
        if fraction.is_empty() { "0" } else { fraction }
    )
}

/// How fast something comes.
fn rate(every_ticks: Option<u64>, billionths_per_second: u64) -> String {
    match every_ticks {
        Some(every) => format!("every: {}", ticks(every)),
        None => format!("per_second: {}", billionths(billionths_per_second)),
    }
}

fn arrival_lines(scenario: &Scenario) -> Vec<String> {
    let arrivals = scenario.arrivals.iter();
    arrivals
        .filter_map(|arrival| arrival_line(&scenario.network, arrival))
        .collect()
}

/// One arrival; `None` if nothing comes of it.
fn arrival_line(network: &Network, arrival: &Arrival) -> Option<String> {
    let name = quoted(&arrival.name);
    let period = |from: &Tick, until: &Tick| {
        let is_some = from < until;
        is_some.then(|| format!("from: {}, until: {}", ticks(from), ticks(until)))
    };
    Some(match &arrival.course {
        Course::Steady {
            delivery: what,
            every_ticks,
            billionths_per_second,
            from,
            until,
        } => {
            let rate = rate(*every_ticks, *billionths_per_second);
            let (period, terms) = (period(from, until)?, terms(network, what));
            let what = delivery(network, what)?;
            format!("{name}: Steady({what}, {rate}, {period}{terms})")
        }
        Course::Mixed {
            deliveries,
            is_by_chance,
            every_ticks,
            billionths_per_second,
            from,
            until,
        } => {
            let rate = rate(*every_ticks, *billionths_per_second);
            let period = period(from, until)?;
            let (first, _) = deliveries.first()?;
            let Action::Deliver { place, count, .. } = first else {
                return None;
            };
            let shares = deliveries.iter().filter_map(|(action, share)| {
                let Action::Deliver { kind, .. } = action else {
                    return None;
                };
                Some(format!("{}: {share}", quoted(&network.kind(*kind).name)))
            });
            let shares: Vec<String> = shares.collect();
            let shares = shares.join(", ");
            let by = if *is_by_chance { "Chance" } else { "Turns" };
            let (place, terms) = (quoted(network.name(*place)), terms(network, first));
            format!(
                "{name}: Mixed(place: {place}, kinds: {{{shares}}}, count: {count}, by: {by}, {rate}, {period}{terms})"
            )
        }
        Course::ByChance {
            delivery: what,
            billionths_per_tick,
            from,
            until,
        } => {
            let chance = billionths(*billionths_per_tick);
            let (period, terms) = (period(from, until)?, terms(network, what));
            let what = delivery(network, what)?;
            format!("{name}: ByChance({what}, per_tick: {chance}, {period}{terms})")
        }
        Course::Listed(entries) => {
            let terms = entries
                .first()
                .map_or_else(String::new, |(_, first)| terms(network, first));
            let entries = entries.iter().filter_map(|(at, action)| {
                let what = delivery(network, action)?;
                Some(format!("            (at: {}, {what}),\n", ticks(at)))
            });
            let entries: String = entries.collect();
            format!("{name}: Listed(entries: [\n{entries}        ]{terms})")
        }
    })
}

/// What the operator does, each thing by itself.
fn moments(scenario: &Scenario) -> Vec<String> {
    let one = |(at, what): &(Tick, Action)| {
        let what = action(&scenario.network, what);
        format!("(at: {}, actions: [{what}])", ticks(at))
    };
    scenario.operator.iter().map(one).collect()
}

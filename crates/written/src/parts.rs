//! Parts of a network, as a layout writes them.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{
    ComparatorMode, Hopper, Intake, Lift, Outlet, Part, Rear, Selector, Shuttle, Signal, Watched,
};
use hallwright_core::placement::{Built, Placed};
use hallwright_core::predicate::Predicate;
use hallwright_core::slot::Filling;
use hallwright_core::space::{Block, Side};
use hallwright_scenario::write::{kinds, list, part as name, parts as names, quoted, ticks};

use crate::fillings;

/// The fields of a part, written one after another.
struct Fields<'n> {
    network: &'n Network,
    list: Vec<String>,
}

impl Fields<'_> {
    fn add(&mut self, field: &str, value: impl std::fmt::Display) {
        self.list.push(format!("{field}: {value}"));
    }

    fn part(&mut self, field: &str, part: impl Into<Option<PartId>>) {
        if let Some(part) = part.into() {
            let name = name(self.network, part);
            self.add(field, name);
        }
    }
}

/// A part with what it holds and where it stands.
pub(super) fn part(
    network: &Network,
    (id, part): (PartId, &Part),
    holds: &[Filling],
    placed: Option<&Placed>,
) -> String {
    let mut fields = Fields {
        network,
        list: Vec::new(),
    };
    let word = word_and_fields(id, part, placed, &mut fields);
    if !holds.is_empty() {
        let holds = fillings(network, holds);
        fields.add("holds", holds);
    }
    if let Some(placed) = placed {
        placing(placed, &mut fields);
    }
    format!("{word}({})", fields.list.join(", "))
}

/// Where it stands and how it is turned, in the frame of the whole hall.
fn placing(placed: &Placed, fields: &mut Fields<'_>) {
    let quoted_side = |side: Side| quoted(side.name());
    if let Some(position) = placed.position {
        fields.add("position", position);
    }
    let turns = [
        ("faces", placed.faces),
        ("along", placed.along),
        ("on", placed.on),
    ];
    for (field, side) in turns {
        if let Some(side) = side {
            fields.add(field, quoted_side(side));
        }
    }
    for (field, blocks) in [("path", &placed.path), ("sources", &placed.sources)] {
        if !blocks.is_empty() {
            let blocks: Vec<String> = blocks.iter().map(Block::to_string).collect();
            fields.add(field, format!("[{}]", blocks.join(", ")));
        }
    }
    if placed.built == Built::ChestApart {
        fields.add("apart", true);
    }
    if let Some(size) = placed.size {
        fields.add("size", size);
    }
    if !placed.sides.is_empty() {
        let gates = placed.sides.iter().map(|gate| {
            let (name, side) = (quoted(&gate.name), quoted_side(gate.side));
            format!("{name}: (at: {}, side: {side})", gate.at)
        });
        let gates: Vec<String> = gates.collect();
        fields.add("sides", format!("{{{}}}", gates.join(", ")));
    }
}

/// The word that says what a part is, and its own fields.
fn word_and_fields(
    id: PartId,
    part: &Part,
    placed: Option<&Placed>,
    fields: &mut Fields<'_>,
) -> &'static str {
    match part {
        Part::Container(container) => match container.slots {
            27 if placed.is_some_and(|placed| placed.built == Built::Barrel) => "Barrel",
            27 => "Chest",
            54 => "DoubleChest",
            slots => {
                fields.add("slots", slots);
                "Container"
            }
        },
        Part::Hopper(hopper) => hopper_fields(hopper, fields),
        Part::Dropper(dropper) => {
            fields.part("trigger", dropper.trigger);
            match dropper.outlet {
                Outlet::Into(target) => fields.part("target", target),
                Outlet::Loose(out) => fields.part("out", out),
                Outlet::Bench(bench) => {
                    fields.part("bench", bench);
                    return "Dispenser";
                }
            }
            "Dropper"
        }
        Part::Mouth => {
            let blocks = fields.network.mouth_blocks(id);
            if blocks != 1 {
                fields.add("blocks", blocks);
            }
            "Mouth"
        }
        Part::Stream(stream) => {
            fields.add("transit", ticks(stream.transit_ticks));
            fields.part("mouth", stream.mouth);
            "Stream"
        }
        Part::Bench(bench) => {
            let lift = match bench.lift {
                Lift::Empty => "Empty".to_owned(),
                Lift::Full => "Full".to_owned(),
                Lift::Signal(signal) => format!("Signal({})", name(fields.network, signal)),
            };
            fields.add("lift", lift);
            fields.add("after", ticks(bench.after_ticks));
            fields.part("out", bench.output);
            "Bench"
        }
        Part::Selector(selector) => selector_fields(selector, fields),
        Part::Dock => "Dock",
        Part::Shuttle(shuttle) => shuttle_fields(shuttle, fields),
        Part::Signal(signal) => signal_fields(signal, fields),
    }
}

fn hopper_fields(hopper: &Hopper, fields: &mut Fields<'_>) -> &'static str {
    match hopper.intake {
        Intake::Above(above) => fields.part("above", above),
        Intake::Mouth(mouth) => fields.part("mouth", mouth),
        Intake::Cap => {}
    }
    fields.part("target", hopper.target);
    fields.part("lock", hopper.lock);
    "Hopper"
}

fn selector_fields(selector: &Selector, fields: &mut Fields<'_>) -> &'static str {
    let takes = predicate(fields.network, &selector.takes);
    fields.add("takes", takes);
    fields.part("match", selector.match_target);
    fields.part("rest", selector.rest_target);
    fields.part("when_full", selector.when_full);
    fields.part("lock", selector.lock);
    fields.add("latency", ticks(selector.latency_ticks));
    fields.add("interval", ticks(selector.interval_ticks));
    fields.add("holds", selector.holds);
    "Selector"
}

fn predicate(network: &Network, takes: &Predicate) -> String {
    let inner = |all: &[Predicate]| list(all.iter().map(|one| predicate(network, one)));
    match takes {
        Predicate::Kinds(of) => format!("Kinds({})", kinds(network, of)),
        Predicate::BoxOf(of) => format!("BoxOf({})", kinds(network, of)),
        Predicate::BoxFull => "BoxFull".to_owned(),
        Predicate::BoxEmpty => "BoxEmpty".to_owned(),
        Predicate::Box => "Box".to_owned(),
        Predicate::Single => "Single".to_owned(),
        Predicate::All(all) => format!("All({})", inner(all)),
        Predicate::Any(any) => format!("Any({})", inner(any)),
        Predicate::Not(one) => format!("Not({})", predicate(network, one)),
    }
}

fn shuttle_fields(shuttle: &Shuttle, fields: &mut Fields<'_>) -> &'static str {
    fields.add("slots", shuttle.slots);
    let stops = list(shuttle.stops.iter().map(|stop| {
        let release = stop.release.map_or_else(String::new, |release| {
            format!(", release: {}", name(fields.network, release))
        });
        format!(
            "(dock: {}, travel: {}, dwell: {}{release})",
            name(fields.network, stop.dock),
            ticks(stop.travel_ticks),
            ticks(stop.dwell_ticks)
        )
    }));
    fields.add("stops", stops);
    "Shuttle"
}

#[allow(clippy::too_many_lines, reason = "one short arm for each signal")]
fn signal_fields(signal: &Signal, fields: &mut Fields<'_>) -> &'static str {
    let network = fields.network;
    match signal {
        Signal::Lever { starts_on } => {
            fields.add("starts_on", starts_on);
            "Lever"
        }
        Signal::Button { hold_ticks } => {
            fields.add("hold", ticks(hold_ticks));
            "Button"
        }
        Signal::Wire { inputs } => {
            let inputs = inputs.iter().map(|(input, loss)| match loss {
                0 => name(network, *input),
                loss => format!("Loss({}, {loss})", name(network, *input)),
            });
            fields.add("inputs", list(inputs));
            "Wire"
        }
        Signal::Repeater {
            input,
            delay_ticks,
            lock,
        } => {
            fields.part("input", *input);
            fields.add("delay", ticks(delay_ticks));
            fields.part("lock", *lock);
            "Repeater"
        }
        Signal::Comparator { rear, side, mode } => {
            match rear {
                Rear::Inventory(inventory) => fields.part("reads", *inventory),
                Rear::Signal(rear) => fields.part("rear", *rear),
            }
            fields.part("side", *side);
            if *mode == ComparatorMode::Subtract {
                fields.add("mode", "Subtract");
            }
            "Comparator"
        }
        Signal::Inverter { input } => {
            fields.part("input", *input);
            "Inverter"
        }
        Signal::Observer { watches } => {
            let watches = match watches {
                Watched::Signal(of) => format!("Signal({})", name(network, *of)),
                Watched::Lock(of) => format!("Lock({})", name(network, *of)),
                Watched::Trigger(of) => format!("Trigger({})", name(network, *of)),
                Watched::Matches(of) => format!("Matches({})", name(network, *of)),
            };
            fields.add("watches", watches);
            "Observer"
        }
        Signal::Hold { input, hold_ticks } => {
            fields.part("input", *input);
            fields.add("hold", ticks(hold_ticks));
            "Hold"
        }
        Signal::Latch { set, reset } => {
            fields.part("set", *set);
            fields.part("reset", *reset);
            "Latch"
        }
        Signal::AllOf { inputs } => {
            fields.add("inputs", names(network, inputs));
            "AllOf"
        }
        Signal::NoneOf { inputs } => {
            fields.add("inputs", names(network, inputs));
            "NoneOf"
        }
        Signal::Clock {
            period_ticks,
            high_ticks,
            phase_ticks,
        } => {
            fields.add("period", ticks(period_ticks));
            fields.add("high", ticks(high_ticks));
            fields.add("phase", ticks(phase_ticks));
            "Clock"
        }
        Signal::DelayLine { input, delay_ticks } => {
            fields.part("input", *input);
            fields.add("delay", ticks(delay_ticks));
            "DelayLine"
        }
        Signal::Toggle { input } => {
            fields.part("input", *input);
            "Toggle"
        }
    }
}

//! Parts of a network, as a layout writes them.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{
    ComparatorMode, Hopper, Intake, Lift, Outlet, Part, Rear, Selector, Shuttle, Signal, Watched,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::slot::Filling;
use hallwright_declared::placement::{Built, Placed};
use hallwright_declared::space::Block;
use hallwright_scenario::write::{kinds, list, part as name, parts as names, quoted, ticks};

use crate::fillings;

/// The fields of a part, written one after another.
struct Fields<'n> {
    network: &'n Network,
    list: Vec<String>,
    /// Whether the part is drawn, so that its blocks say what it is linked to.
    is_drawn: bool,
    /// Whether it has blocks of its own. Those of a wire say what it loses unless it says it itself.
    has_blocks: bool,
}

impl Fields<'_> {
    fn add(&mut self, field: &str, value: impl std::fmt::Display) {
        self.list.push(format!("{field}: {value}"));
    }

    /// What the part is linked to, if it is.
    fn link(&mut self, field: &str, part: impl Into<Option<PartId>>) {
        if let Some(part) = part.into() {
            let name = name(self.network, part);
            self.made_by_blocks(field, name);
        }
    }

    /// A field that the blocks say of a part that is drawn.
    fn made_by_blocks(&mut self, field: &str, value: impl std::fmt::Display) {
        if !self.is_drawn {
            self.add(field, value);
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
        is_drawn: false,
        has_blocks: placed
            .is_some_and(|placed| placed.position.is_some() || !placed.path.is_empty()),
    };
    let word = word_and_fields(id, part, placed, &mut fields);
    held(holds, &mut fields);
    if let Some(placed) = placed {
        placing(placed, &mut fields);
    }
    format!("{word}({})", fields.list.join(", "))
}

/// A part that is drawn: only how it is set and what it holds. The floors begin at `origin`.
pub(super) fn drawn(
    network: &Network,
    (id, part): (PartId, &Part),
    holds: &[Filling],
    placed: Option<&Placed>,
    origin: Block,
) -> String {
    let mut fields = Fields {
        network,
        list: Vec::new(),
        is_drawn: true,
        has_blocks: true,
    };
    let mut word = word_and_fields(id, part, placed, &mut fields);
    let built = placed.map(|placed| placed.built);
    if word == "Dropper" && built == Some(Built::Dispenser) {
        word = "Dispenser";
    }
    held(holds, &mut fields);
    if let Some(placed) = placed {
        let sources: Vec<Block> = placed.sources.iter().map(|own| *own - origin).collect();
        blocks("sources", &sources, &mut fields);
        apart(placed, &mut fields);
        sides(placed, &mut fields);
    }
    format!("{word}({})", fields.list.join(", "))
}

/// What it holds at the start.
fn held(holds: &[Filling], fields: &mut Fields<'_>) {
    if !holds.is_empty() {
        let holds = fillings(fields.network, holds);
        fields.add("holds", holds);
    }
}

/// A field with blocks, unless there are none.
fn blocks(field: &str, blocks: &[Block], fields: &mut Fields<'_>) {
    if !blocks.is_empty() {
        let blocks: Vec<String> = blocks.iter().map(Block::to_string).collect();
        fields.add(field, format!("[{}]", blocks.join(", ")));
    }
}

/// Where it stands and how it is turned, in the frame of the whole hall.
fn placing(placed: &Placed, fields: &mut Fields<'_>) {
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
            fields.add(field, quoted(side.name()));
        }
    }
    blocks("path", &placed.path, fields);
    blocks("sources", &placed.sources, fields);
    apart(placed, fields);
    if placed.is_added_wire() {
        fields.add("drawn", true);
    }
    if let Some(size) = placed.size {
        fields.add("size", size);
    }
    sides(placed, fields);
}

/// Whether a chest joins none beside it.
fn apart(placed: &Placed, fields: &mut Fields<'_>) {
    if placed.built == Built::ChestApart {
        fields.add("apart", true);
    }
}

/// Through which of its sides something goes in or out of a box.
fn sides(placed: &Placed, fields: &mut Fields<'_>) {
    if !placed.sides.is_empty() {
        let gates = placed.sides.iter().map(|gate| {
            let (name, side) = (quoted(&gate.name), quoted(gate.side.name()));
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
    let built = placed.map(|placed| placed.built);
    match part {
        Part::Container(container) => match container.slots {
            27 if built == Some(Built::Barrel) => "Barrel",
            27 if matches!(built, Some(Built::Chest | Built::ChestApart)) => "Chest",
            54 => "DoubleChest",
            slots => {
                fields.add("slots", slots);
                "Container"
            }
        },
        Part::Hopper(hopper) => hopper_fields(hopper, fields),
        Part::Dropper(dropper) => {
            fields.link("trigger", dropper.trigger);
            match dropper.outlet {
                Outlet::Into(target) => fields.link("target", target),
                Outlet::Loose(out) => fields.link("out", out),
                Outlet::Bench(bench) => {
                    fields.link("bench", bench);
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
            fields.link("mouth", stream.mouth);
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
            fields.link("out", bench.output);
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
        Intake::Above(above) => fields.link("above", above),
        Intake::Mouth(mouth) => fields.link("mouth", mouth),
        Intake::Cap => {}
    }
    fields.link("target", hopper.target);
    fields.link("lock", hopper.lock);
    "Hopper"
}

fn selector_fields(selector: &Selector, fields: &mut Fields<'_>) -> &'static str {
    let takes = predicate(fields.network, &selector.takes);
    fields.add("takes", takes);
    fields.link("match", selector.match_target);
    fields.link("rest", selector.rest_target);
    fields.link("when_full", selector.when_full);
    fields.link("lock", selector.lock);
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
        // The box of one that is drawn hears what lets it go.
        let release = stop.release.filter(|_| !fields.is_drawn);
        let release = release.map_or_else(String::new, |release| {
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
    let (network, has_blocks) = (fields.network, fields.has_blocks);
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
                0 if !has_blocks => name(network, *input),
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
            fields.link("input", *input);
            fields.add("delay", ticks(delay_ticks));
            fields.link("lock", *lock);
            "Repeater"
        }
        Signal::Comparator { rear, side, mode } => {
            match rear {
                Rear::Inventory(inventory) => fields.link("reads", *inventory),
                Rear::Signal(rear) => fields.link("rear", *rear),
            }
            fields.link("side", *side);
            if *mode == ComparatorMode::Subtract {
                fields.add("mode", "Subtract");
            }
            "Comparator"
        }
        Signal::Inverter { input } => {
            fields.link("input", *input);
            "Inverter"
        }
        Signal::Observer { watches } => {
            let watches = match watches {
                Watched::Signal(of) => format!("Signal({})", name(network, *of)),
                Watched::Lock(of) => format!("Lock({})", name(network, *of)),
                Watched::Trigger(of) => format!("Trigger({})", name(network, *of)),
                Watched::Matches(of) => format!("Matches({})", name(network, *of)),
            };
            fields.made_by_blocks("watches", watches);
            "Observer"
        }
        Signal::Hold { input, hold_ticks } => {
            fields.link("input", *input);
            fields.add("hold", ticks(hold_ticks));
            "Hold"
        }
        Signal::Latch { set, reset } => {
            fields.link("set", *set);
            fields.link("reset", *reset);
            "Latch"
        }
        Signal::AllOf { inputs } => {
            fields.made_by_blocks("inputs", names(network, inputs));
            "AllOf"
        }
        Signal::NoneOf { inputs } => {
            fields.made_by_blocks("inputs", names(network, inputs));
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
            fields.link("input", *input);
            fields.add("delay", ticks(delay_ticks));
            "DelayLine"
        }
        Signal::Toggle { input } => {
            fields.link("input", *input);
            "Toggle"
        }
    }
}

//! Declarations and goals, as a scenario writes them.

use hallwright_core::declare::{Declarations, Goal, Mark, Section, StorePurpose};
use hallwright_core::network::Network;

use super::{actions, decimal, kinds, list, part, parts, quoted, ticks};

/// The fields of a scenario that declare something, each with its value in lines.
pub(super) fn fields(
    network: &Network,
    declarations: &Declarations,
) -> Vec<(&'static str, Vec<String>)> {
    let stores = declarations.stores.iter().map(|store| {
        format!(
            "{}: (parts: {}, takes: {}, overflow: {})",
            quoted(&store.name),
            parts(network, &store.parts),
            kinds(network, &store.takes),
            store.purpose == StorePurpose::Overflow
        )
    });
    let flows = declarations.flows.iter().map(|flow| {
        format!(
            "{}: (into: {}, kinds: {})",
            quoted(&flow.name),
            parts(network, &flow.into),
            kinds(network, &flow.kinds)
        )
    });
    let sections = declarations.sections.iter();
    let sections = sections.map(|one| section(network, one));
    let lamps = declarations.lamps.iter().map(|lamp| {
        format!(
            "{}: (signal: {}, watches: {})",
            quoted(&lamp.name),
            part(network, lamp.signal),
            parts(network, &lamp.watches)
        )
    });
    let stops = declarations.stops.iter().map(|stop| {
        let restart = stop.restart.as_ref().map_or_else(String::new, |restart| {
            format!(
                ", restart: (after: {}, actions: {})",
                ticks(restart.after_ticks),
                actions(network, &restart.actions)
            )
        });
        format!(
            "(at: {}, actions: {}{restart})",
            ticks(stop.at),
            actions(network, &stop.actions)
        )
    });
    let goals = declarations.goals.iter();
    let goals = goals.map(|one| goal(network, declarations, one));
    let mut fields = vec![
        ("stops", stops.collect()),
        ("stores", stores.collect()),
        ("flows", flows.collect()),
        ("sections", sections.collect()),
        ("lamps", lamps.collect()),
        ("goals", goals.collect()),
    ];
    fields.extend(retrieval(network, declarations));
    fields
}

/// The fields about getting goods out.
fn retrieval(network: &Network, declarations: &Declarations) -> [(&'static str, Vec<String>); 3] {
    let desks = declarations.desks.iter().map(|desk| {
        format!(
            "{}: (kind: {}, desk: {}, token: {}, counter: {})",
            quoted(&desk.name),
            quoted(&network.kind(desk.kind).name),
            part(network, desk.desk),
            quoted(&network.kind(desk.token).name),
            parts(network, &desk.counter)
        )
    });
    let gathers = declarations.gathers.iter();
    let gathers = gathers.map(|gather| {
        let at = parts(network, &gather.at);
        format!("{}: (at: {at})", quoted(&gather.name))
    });
    let open = declarations.open.iter().map(|open| {
        format!(
            "{}: (places: {}, behind: {}, kinds: {})",
            quoted(&open.name),
            parts(network, &open.places),
            parts(network, &open.behind),
            kinds(network, &open.kinds)
        )
    });
    [
        ("requests", desks.collect()),
        ("gathers", gathers.collect()),
        ("open", open.collect()),
    ]
}

fn section(network: &Network, section: &Section) -> String {
    let mut fields = vec![
        format!("line: {}", parts(network, &section.line)),
        format!("queue: {}", parts(network, &section.queue)),
        format!("locked: {}", parts(network, &section.locked)),
        format!("returns: {}", parts(network, &section.returns)),
    ];
    fields.extend(
        section
            .call
            .map(|call| format!("call: {}", part(network, call))),
    );
    fields.extend(
        section
            .width_blocks
            .map(|width| format!("width_blocks: {width}")),
    );
    format!("{}: ({})", quoted(&section.name), fields.join(", "))
}

/// Optional fields, each behind a comma.
fn optional(fields: &[(&str, Option<String>)]) -> String {
    let given = fields.iter().filter_map(|(name, value)| {
        let value = value.as_ref()?;
        Some(format!(", {name}: {value}"))
    });
    given.collect()
}

#[allow(clippy::too_many_lines, reason = "one short arm for each goal")]
fn goal(network: &Network, declarations: &Declarations, goal: &Goal) -> String {
    let section = |number: &Option<usize>| {
        let section = number.and_then(|number| declarations.sections.get(number));
        section.map(|section| quoted(&section.name))
    };
    match goal {
        Goal::MisplacedAtMost(most) => format!("MisplacedAtMost({most})"),
        Goal::PassedByAtMost(most) => format!("PassedByAtMost({most})"),
        Goal::SievesIntact => "SievesIntact".to_owned(),
        Goal::LostAtMost(most) => format!("LostAtMost({most})"),
        Goal::InNoStoreAtMost(most) => format!("InNoStoreAtMost({most})"),
        Goal::GoingRoundAtMost(most) => format!("GoingRoundAtMost({most})"),
        Goal::ThroughputAtLeast {
            flow,
            items_per_second,
        } => {
            let name = declarations
                .flows
                .get(*flow)
                .map_or("", |flow| flow.name.as_str());
            let rate = decimal(*items_per_second);
            format!(
                "ThroughputAtLeast(flow: {}, items_per_second: {rate})",
                quoted(name)
            )
        }
        Goal::RequestWithin {
            desk,
            ticks: within,
            with_stops,
        } => {
            let desk = declarations.desks.get(*desk);
            let kind = desk.map_or("", |desk| network.kind(desk.kind).name.as_str());
            format!(
                "RequestWithin(kind: {}, within: {}, with_stops: {with_stops})",
                quoted(kind),
                ticks(within)
            )
        }
        Goal::PartStacksOutAtMost { gather, stacks } => {
            let gather = declarations.gathers.get(*gather);
            let name = quoted(gather.map_or("", |gather| gather.name.as_str()));
            format!("PartStacksOutAtMost(gather: {name}, stacks: {stacks})")
        }
        Goal::LeftBehindAtMost(most) => format!("LeftBehindAtMost({most})"),
        Goal::MarkWithin {
            mark,
            section: of,
            ticks: within,
        } => {
            let mark = match mark {
                Mark::Cleared => "Cleared",
                Mark::SafeToClose => "SafeToClose",
                Mark::Quiet => "Quiet",
                Mark::Resumed => "Resumed",
            };
            let of = optional(&[("section", section(of))]);
            format!("MarkWithin(mark: {mark}{of}, within: {})", ticks(within))
        }
        Goal::LockCoverAtLeast { section: of, share } => {
            let of = optional(&[("section", section(of))]);
            format!("LockCoverAtLeast(share: {}{of})", decimal(*share))
        }
        Goal::WorkPerTickAtMost(most) => format!("WorkPerTickAtMost({})", decimal(*most)),
        Goal::HoppersPerBlockAtMost(most) => format!("HoppersPerBlockAtMost({})", decimal(*most)),
        Goal::Contents {
            parts: of,
            kinds: counted,
            at_least,
            at_most,
        } => {
            let bounds = optional(&[
                ("at_least", at_least.map(|least| least.to_string())),
                ("at_most", at_most.map(|most| most.to_string())),
            ]);
            let (of, counted) = (parts(network, of), kinds(network, counted));
            format!("Contents(parts: {of}, kinds: {counted}{bounds})")
        }
        Goal::LampRise {
            lamp,
            not_before,
            not_after,
            at_least_items,
            at_most_items,
        } => {
            let lamp = declarations
                .lamps
                .get(*lamp)
                .map_or("", |lamp| lamp.name.as_str());
            let bounds = optional(&[
                ("not_before", not_before.map(ticks)),
                ("not_after", not_after.map(ticks)),
                (
                    "at_least_items",
                    at_least_items.map(|least| least.to_string()),
                ),
                ("at_most_items", at_most_items.map(|most| most.to_string())),
            ]);
            format!("LampRise(lamp: {}{bounds})", quoted(lamp))
        }
    }
}

/// The sieves, as one list.
pub(super) fn sieves(network: &Network, declarations: &Declarations) -> String {
    list(
        declarations
            .sieves
            .iter()
            .map(|sieve| part(network, *sieve)),
    )
}

//! Declarations, as a scenario writes them.

use hallwright_core::network::Network;
use hallwright_declared::declarations::{Declarations, Leave, Section, StorePurpose};
use hallwright_scenario::write::{goal, kinds, list, part, parts, quoted, ticks};

use crate::actions;

/// The fields of a scenario that declare something, each with its value in lines.
pub(super) fn fields(
    network: &Network,
    declarations: &Declarations,
) -> Vec<(&'static str, Vec<String>)> {
    let stores = declarations.stores.iter().map(|store| {
        format!(
            "{}: (parts: {}, takes: {}, overflow: {}, serves: {})",
            quoted(&store.name),
            parts(network, &store.parts),
            kinds(network, &store.takes),
            store.purpose == StorePurpose::Overflow,
            store.purpose == StorePurpose::Serving
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
    let regions = declarations.regions.iter();
    let regions = regions.map(|region| {
        let parts = parts(network, &region.parts);
        format!("{}: {parts}", quoted(&region.name))
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
        ("regions", regions.collect()),
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
            "{}: (parts: {}, behind: {}, kinds: {})",
            quoted(&open.name),
            parts(network, &open.parts),
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

/// How the builder leaves; `None` if as usual.
pub(super) fn leave(network: &Network, declarations: &Declarations) -> Option<String> {
    let leave = &declarations.leave;
    let usual = Leave::usual(network.rules().ticks_per_second);
    if *leave == usual {
        return None;
    }
    let lamp = leave.lamp.and_then(|lamp| declarations.lamps.get(lamp));
    let lamp = lamp.map_or_else(String::new, |lamp| {
        format!(", lamp: {}", quoted(&lamp.name))
    });
    Some(format!(
        "(apart: {}, late: {}, pause: {}{lamp})",
        ticks(leave.apart_ticks),
        ticks(leave.late_ticks),
        ticks(leave.pause_ticks)
    ))
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

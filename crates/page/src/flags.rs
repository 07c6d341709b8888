//! The flags worth going to: stops and their marks, losses, what went wrong first, what the
//! operator did.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Goal, Mark};
use serde::Serialize;

use hallwright_report::RunInput;
use hallwright_report::findings::{Findings, Marks};
use hallwright_report::units::{count, items, time};

/// The most flags of one sort.
const MOST: usize = 200;

/// A moment.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub(super) struct Flag {
    /// The tick at whose end it can be seen.
    pub(super) tick: u64,
    /// `stop`, `mark`, `limit`, `loss`, `wrong` or `operator`.
    pub(super) sort: &'static str,
    /// What it is.
    pub(super) name: String,
    /// The part that it is about.
    pub(super) part: Option<String>,
}

/// The flags of a run, by tick.
pub(super) fn flags(input: &RunInput<'_>, found: &Findings) -> Vec<Flag> {
    let mut flags = Vec::new();
    for (number, stop) in found.stops.iter().enumerate() {
        let which = match found.stops.len() {
            1 => String::new(),
            _ => format!(" {}", number + 1),
        };
        add(&mut flags, "stop", stop.at.0, format!("stop{which}"));
        marks(&mut flags, stop.at.0, &stop.all, &which);
        let restart = stop.resume.as_ref().map(|resume| resume.at.0);
        limits(&mut flags, input.declarations, stop.at.0, restart);
        if let Some(resume) = &stop.resume {
            let at = resume.at.0;
            add(&mut flags, "stop", at, format!("restart{which}"));
            if let Some(ticks) = resume.resumed_ticks {
                add(&mut flags, "mark", at + ticks, format!("resumed{which}"));
            }
        }
    }
    for loss in found.loss.rows.iter().take(MOST) {
        flags.push(Flag {
            tick: loss.at.0,
            sort: "loss",
            name: format!("lost: {} of {}", items(loss.items), loss.kind),
            part: Some(loss.mouth.clone()),
        });
    }
    let wrong = "wrong";
    for store in &found.stores {
        if let Some(at) = store.first_misplaced_at {
            let name = format!("first misplaced in {}", store.name);
            add(&mut flags, wrong, at.0, name);
        }
    }
    if let Some(at) = found.overflow.first_passed_by_at {
        add(&mut flags, wrong, at.0, "first passed by".to_owned());
    }
    for sieve in &found.sieves {
        if let Some(at) = sieve.broken_since {
            flags.push(Flag {
                tick: at.0,
                sort: wrong,
                name: format!("sieve not intact: {}", sieve.part),
                part: Some(sieve.part.clone()),
            });
        }
    }
    flags.extend(operator(input));
    flags.retain(|moment| moment.tick < found.run_ticks);
    flags.sort_by_key(|moment| moment.tick);
    flags
}

fn add(flags: &mut Vec<Flag>, sort: &'static str, tick: u64, name: String) {
    flags.push(Flag {
        tick,
        sort,
        name,
        part: None,
    });
}

fn marks(flags: &mut Vec<Flag>, at: u64, marks: &Marks, which: &str) {
    let named = [
        ("cleared", marks.cleared_ticks),
        ("safe to close", marks.safe_to_close_ticks),
        ("quiet", marks.quiet.ticks),
    ];
    for (name, ticks) in named {
        if let Some(ticks) = ticks {
            add(flags, "mark", at + ticks, format!("{name}{which}"));
        }
    }
}

/// Until when the goals want the marks of a stop, and the resuming from the restart.
fn limits(flags: &mut Vec<Flag>, declared: &Declarations, stop: u64, restart: Option<u64>) {
    for goal in &declared.goals {
        let Goal::MarkWithin {
            mark,
            section: None,
            ticks,
        } = goal
        else {
            continue;
        };
        let (name, from) = match mark {
            Mark::Cleared => ("cleared", Some(stop)),
            Mark::SafeToClose => ("safe to close", Some(stop)),
            Mark::Quiet => ("quiet", Some(stop)),
            Mark::Resumed => ("resumed", restart),
        };
        if let Some(from) = from {
            add(flags, "limit", from + ticks, format!("limit: {name}"));
        }
    }
}

/// What the operator does, deliveries left out: carts bring those, and there are very many.
fn operator(input: &RunInput<'_>) -> Vec<Flag> {
    let setup = hallwright_report::setup_for(input);
    let entries = setup.timeline.entries().iter();
    let reported = entries.filter_map(|(tick, action)| {
        let (name, part) = words(input.network, action)?;
        Some(Flag {
            tick: tick.0,
            sort: "operator",
            name,
            part: part.map(|part| input.network.name(part).to_owned()),
        })
    });
    reported.take(MOST).collect()
}

/// A spell in words: which parts, how they are, for how long.
fn spell(network: &Network, parts: &[PartId], how: &str, action: &Action) -> String {
    let who = match parts {
        [only] => network.name(*only).to_owned(),
        many => count(many.len() as u64, "part", "parts"),
    };
    let ticks = u64::from(action.spell_ticks().unwrap_or(0));
    let length = time(ticks, network.rules().ticks_per_second);
    format!("{who} {how} for {length}")
}

fn words(network: &Network, action: &Action) -> Option<(String, Option<PartId>)> {
    let (name, part) = match action {
        Action::MoveLever { lever, on } => {
            let to = if *on { "on" } else { "off" };
            (format!("{} {to}", network.name(*lever)), *lever)
        }
        Action::Press { button } => (format!("press {}", network.name(*button)), *button),
        Action::Withdraw { place, count } => {
            let name = network.name(*place);
            let items = items((*count).into());
            (format!("take out {items} from {name}"), *place)
        }
        Action::Fill { place, kind, .. } => {
            let (name, kind) = (network.name(*place), &network.kind(*kind).name);
            (format!("fill {name} with {kind} by hand"), *place)
        }
        Action::TakeBox { place } => {
            let name = network.name(*place);
            (format!("take a box away from {name}"), *place)
        }
        Action::Sleep { parts, .. } => (spell(network, parts, "asleep", action), *parts.first()?),
        Action::Stick { signals, on, .. } => {
            let how = if *on { "stuck on" } else { "stuck off" };
            (spell(network, signals, how, action), *signals.first()?)
        }
        Action::Reopen { .. } => return Some(("opened again".to_owned(), None)),
        Action::Deliver { .. } => return None,
    };
    Some((name, Some(part)))
}

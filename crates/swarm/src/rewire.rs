//! Changes what the parts of a network are connected to, for taking parts out of it.

use hallwright_core::id::PartId;
use hallwright_core::part::{
    Dropper, Hopper, Intake, Leg, Lift, Outlet, Part, Rear, Selector, Shuttle, Signal, Watched,
};

/// A copy of a part with every id put through `to`. Where `to` gives none, a connection that may be
/// missing is left out; a part that cannot be without the connection is `None` itself.
pub(crate) fn rewired(part: &Part, to: &impl Fn(PartId) -> Option<PartId>) -> Option<Part> {
    let optional = |id: &Option<PartId>| id.and_then(to);
    let rewired = match part {
        Part::Container(_) | Part::Mouth | Part::Dock => part.clone(),
        Part::Hopper(hopper) => Part::Hopper(Hopper {
            target: optional(&hopper.target),
            intake: rewired_intake(hopper.intake, to),
            lock: optional(&hopper.lock),
        }),
        Part::Dropper(dropper) => Part::Dropper(Dropper {
            trigger: optional(&dropper.trigger),
            outlet: match dropper.outlet {
                Outlet::Into(id) => Outlet::Into(to(id)?),
                Outlet::Bench(id) => Outlet::Bench(to(id)?),
                Outlet::Loose(id) => Outlet::Loose(to(id)?),
            },
        }),
        Part::Stream(stream) => {
            let mut stream = stream.clone();
            stream.mouth = to(stream.mouth)?;
            Part::Stream(stream)
        }
        Part::Bench(bench) => {
            let mut bench = bench.clone();
            bench.output = to(bench.output)?;
            if let Lift::Signal(signal) = bench.lift {
                bench.lift = Lift::Signal(to(signal)?);
            }
            Part::Bench(bench)
        }
        Part::Selector(selector) => Part::Selector(Box::new(Selector {
            match_target: to(selector.match_target)?,
            rest_target: to(selector.rest_target)?,
            when_full: optional(&selector.when_full),
            lock: optional(&selector.lock),
            ..(**selector).clone()
        })),
        Part::Shuttle(shuttle) => Part::Shuttle(Box::new(rewired_shuttle(shuttle, to)?)),
        Part::Signal(signal) => Part::Signal(rewired_signal(signal, to)?),
    };
    Some(rewired)
}

fn rewired_intake(intake: Intake, to: &impl Fn(PartId) -> Option<PartId>) -> Intake {
    match intake {
        Intake::Above(id) => to(id).map_or(Intake::Cap, Intake::Above),
        Intake::Mouth(id) => to(id).map_or(Intake::Cap, Intake::Mouth),
        Intake::Cap => Intake::Cap,
    }
}

fn rewired_shuttle(shuttle: &Shuttle, to: &impl Fn(PartId) -> Option<PartId>) -> Option<Shuttle> {
    let stops: Vec<Leg> = shuttle
        .stops
        .iter()
        .filter_map(|stop| {
            Some(Leg {
                dock: to(stop.dock)?,
                release: stop.release.and_then(to),
                ..stop.clone()
            })
        })
        .collect();
    (!stops.is_empty()).then_some(Shuttle {
        slots: shuttle.slots,
        stops,
    })
}

fn rewired_signal(signal: &Signal, to: &impl Fn(PartId) -> Option<PartId>) -> Option<Signal> {
    let all = |ids: &[PartId]| ids.iter().copied().filter_map(to).collect();
    let mut signal = signal.clone();
    match &mut signal {
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Clock { .. } => {}
        Signal::Wire { inputs } => {
            *inputs = inputs
                .iter()
                .filter_map(|(input, loss)| Some((to(*input)?, *loss)))
                .collect();
        }
        Signal::Repeater { input, lock, .. } => {
            *input = to(*input)?;
            *lock = lock.and_then(to);
        }
        Signal::Comparator { rear, side, .. } => {
            *rear = match *rear {
                Rear::Inventory(id) => Rear::Inventory(to(id)?),
                Rear::Signal(id) => Rear::Signal(to(id)?),
            };
            *side = side.and_then(to);
        }
        Signal::Inverter { input }
        | Signal::Hold { input, .. }
        | Signal::Toggle { input }
        | Signal::DelayLine { input, .. } => *input = to(*input)?,
        Signal::Observer { watches } => {
            *watches = match *watches {
                Watched::Signal(id) => Watched::Signal(to(id)?),
                Watched::Lock(id) => Watched::Lock(to(id)?),
                Watched::Trigger(id) => Watched::Trigger(to(id)?),
                Watched::Matches(id) => Watched::Matches(to(id)?),
            };
        }
        Signal::Latch { set, reset } => {
            *set = to(*set)?;
            *reset = to(*reset)?;
        }
        Signal::AllOf { inputs } | Signal::NoneOf { inputs } => *inputs = all(inputs),
    }
    Some(signal)
}

/// Copies of a part, in each of which another one of the connections that may be missing is left out.
pub(crate) fn loosened(part: &Part) -> Vec<Part> {
    let mut looser = Vec::new();
    match part {
        Part::Hopper(hopper) => {
            let mut without = |change: fn(&mut Hopper)| {
                let mut other = hopper.clone();
                change(&mut other);
                looser.push(Part::Hopper(other));
            };
            without(|hopper| hopper.lock = None);
            without(|hopper| hopper.intake = Intake::Cap);
            without(|hopper| hopper.target = None);
        }
        Part::Dropper(dropper) => {
            let mut other = dropper.clone();
            other.trigger = None;
            looser.push(Part::Dropper(other));
        }
        Part::Selector(selector) => {
            let mut without = |change: fn(&mut Selector)| {
                let mut other = selector.clone();
                change(&mut other);
                looser.push(Part::Selector(other));
            };
            without(|selector| selector.lock = None);
            without(|selector| selector.when_full = None);
            without(|selector| selector.holds = 1);
            without(|selector| selector.latency_ticks = 0);
            without(|selector| selector.interval_ticks = 0);
        }
        Part::Shuttle(shuttle) => {
            for index in 0..shuttle.stops.len() {
                let mut other = shuttle.clone();
                if other.stops.len() > 1 {
                    other.stops.remove(index);
                    looser.push(Part::Shuttle(other.clone()));
                }
                let mut other = shuttle.clone();
                other.stops[index].release = None;
                looser.push(Part::Shuttle(other));
            }
        }
        Part::Signal(signal) => looser.extend(loosened_signal(signal).map(Part::Signal)),
        Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) | Part::Dock => {}
    }
    looser.retain(|other| other != part);
    looser
}

fn loosened_signal(signal: &Signal) -> Option<Signal> {
    let mut other = signal.clone();
    match &mut other {
        Signal::Wire { inputs } => drop(inputs.pop()),
        Signal::AllOf { inputs } | Signal::NoneOf { inputs } => drop(inputs.pop()),
        Signal::Repeater { lock, .. } => *lock = None,
        Signal::Comparator { side, .. } => *side = None,
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Clock { .. } => return None,
        Signal::Inverter { .. } | Signal::Observer { .. } | Signal::Hold { .. } => return None,
        Signal::Latch { .. } | Signal::Toggle { .. } | Signal::DelayLine { .. } => return None,
    }
    Some(other)
}

//! Selectors and shuttles that are alike, and what of them can be slower.

use hallwright_core::id::PartId;
use hallwright_core::network::{Network, Pace};
use hallwright_core::part::Part;
use hallwright_core::predicate::Predicate;

/// What of a selector or shuttle is slower.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Knob {
    /// The ticks between two items of a selector.
    Interval,
    /// The ticks that an item is in a selector.
    Latency,
    /// The ticks of travel in a shuttle's round, all its ways together, each slower in proportion.
    Travel,
    /// The ticks that a shuttle stays at its docks at least, in a round, each longer in proportion.
    Dwell,
}

/// Selectors or shuttles that are alike, and of which one thing is slower in all of them at once.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Group {
    /// Which parts.
    pub parts: Vec<PartId>,
    /// What they share of their names: `line[*].eye`.
    pub name: String,
    /// What is slower.
    pub knob: Knob,
    /// Its ticks at present.
    pub now_ticks: u64,
    /// What is doubled if it is less: a tick, or one at each stop.
    pub unit_ticks: u64,
}

/// What parts that are slowed together have in common.
#[derive(PartialEq, Eq)]
struct Alike {
    pace: Pace,
    /// How much they hold.
    room: u32,
    /// What a selector takes, the kinds left out.
    takes: String,
    /// Whether a selector has another target for what is refused, and a lock.
    has: [bool; 2],
    /// The last word of the name, its number left out.
    last: String,
}

/// The groups of a network, in the order of their first parts: of selectors interval and latency, of shuttles
/// travel and dwell.
#[must_use]
pub fn groups(network: &Network) -> Vec<Group> {
    let mut alike: Vec<(Alike, Vec<PartId>)> = Vec::new();
    for (id, part) in network.parts() {
        let Some(shared) = shared(network, id, part) else {
            continue;
        };
        match alike.iter_mut().find(|(other, _)| *other == shared) {
            Some((_, parts)) => parts.push(id),
            None => alike.push((shared, vec![id])),
        }
    }
    let each = alike.into_iter();
    each.flat_map(|(shared, parts)| {
        let names: Vec<&str> = parts.iter().map(|id| network.name(*id)).collect();
        let name = shared_name(&names);
        knobs(&shared.pace).map(move |(knob, now_ticks, unit_ticks)| Group {
            parts: parts.clone(),
            name: name.clone(),
            knob,
            now_ticks,
            unit_ticks,
        })
    })
    .collect()
}

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "only selectors and shuttles have a pace"
)]
fn shared(network: &Network, id: PartId, part: &Part) -> Option<Alike> {
    let (room, takes, has) = match part {
        Part::Selector(selector) => {
            let has = [selector.when_full.is_some(), selector.lock.is_some()];
            (selector.holds, sort_of(&selector.takes), has)
        }
        Part::Shuttle(shuttle) => (shuttle.slots.into(), String::new(), [false; 2]),
        _ => return None,
    };
    let last = network.name(id).rsplit('.').next().unwrap_or_default();
    Some(Alike {
        pace: network.pace(id)?,
        room,
        takes,
        has,
        last: unnumbered(last).to_owned(),
    })
}

fn knobs(pace: &Pace) -> [(Knob, u64, u64); 2] {
    match pace {
        Pace::Selector {
            latency_ticks,
            interval_ticks,
        } => [
            (Knob::Interval, (*interval_ticks).into(), 1),
            (Knob::Latency, (*latency_ticks).into(), 1),
        ],
        Pace::Shuttle(stops) => {
            let sum =
                |of: fn(&(u32, u32)) -> u32| stops.iter().map(|stop| u64::from(of(stop))).sum();
            let unit = stops.len() as u64;
            [
                (Knob::Travel, sum(|stop| stop.0), unit),
                (Knob::Dwell, sum(|stop| stop.1), unit),
            ]
        }
    }
}

impl Group {
    /// The network with these parts at so many ticks.
    #[must_use]
    pub fn at(&self, network: &Network, ticks: u64) -> Network {
        let paces = self.parts.iter().map(|id| {
            let pace = network.pace(*id).expect("a selector or shuttle");
            (*id, slowed(self.knob, pace, ticks))
        });
        network.paced(&paces.collect::<Vec<_>>())
    }
}

fn slowed(knob: Knob, mut pace: Pace, ticks: u64) -> Pace {
    let whole = u32::try_from(ticks).unwrap_or(u32::MAX);
    match (&mut pace, knob) {
        (Pace::Selector { interval_ticks, .. }, Knob::Interval) => *interval_ticks = whole,
        (Pace::Selector { latency_ticks, .. }, Knob::Latency) => *latency_ticks = whole,
        (Pace::Shuttle(stops), Knob::Travel) => {
            spread(stops.iter_mut().map(|stop| &mut stop.0), ticks)
        }
        (Pace::Shuttle(stops), Knob::Dwell) => {
            spread(stops.iter_mut().map(|stop| &mut stop.1), ticks)
        }
        (Pace::Selector { .. }, Knob::Travel | Knob::Dwell)
        | (Pace::Shuttle(_), Knob::Interval | Knob::Latency) => {}
    }
    pace
}

/// Makes times add up to so many ticks, in proportion to what they are; evenly if they are nothing.
fn spread<'a>(times: impl Iterator<Item = &'a mut u32>, ticks: u64) {
    let times: Vec<&mut u32> = times.collect();
    let all: u64 = times.iter().map(|time| u64::from(**time)).sum();
    let total = if all == 0 { times.len() as u64 } else { all };
    let (mut passed, mut given) = (0, 0);
    for time in times {
        passed += if all == 0 { 1 } else { u64::from(*time) };
        let until = u128::from(passed) * u128::from(ticks) / u128::from(total.max(1));
        let until = u64::try_from(until).unwrap_or(u64::MAX);
        *time = u32::try_from(until - given).unwrap_or(u32::MAX);
        given = until;
    }
}

/// What a predicate asks, the kinds left out.
fn sort_of(takes: &Predicate) -> String {
    let each = |all: &[Predicate]| all.iter().map(sort_of).collect::<Vec<_>>().join(",");
    match takes {
        Predicate::Kinds(_) => "kinds".to_owned(),
        Predicate::BoxOf(_) => "box of".to_owned(),
        Predicate::BoxFull => "full".to_owned(),
        Predicate::BoxEmpty => "empty".to_owned(),
        Predicate::Box => "box".to_owned(),
        Predicate::Single => "single".to_owned(),
        Predicate::All(all) => format!("all({})", each(all)),
        Predicate::Any(any) => format!("any({})", each(any)),
        Predicate::Not(not) => format!("not({})", sort_of(not)),
    }
}

/// A word without its number in brackets.
fn unnumbered(word: &str) -> &str {
    match word.rfind('[') {
        Some(at) if word.ends_with(']') => &word[..at],
        _ => word,
    }
}

/// What names have in common, word by word: `row[0].eye` and `row[1].eye` are `row[*].eye`.
fn shared_name(names: &[&str]) -> String {
    let split: Vec<Vec<&str>> = names.iter().map(|name| name.split('.').collect()).collect();
    let first = &split[0];
    if split.iter().any(|words| words.len() != first.len()) {
        let last = first.last().copied().unwrap_or_default();
        let is_same = split.iter().all(|words| words.last() == first.last());
        return match is_same {
            true => format!("*.{last}"),
            false => format!("*.{}[*]", unnumbered(last)),
        };
    }
    let shared = first.iter().enumerate().map(|(place, word)| {
        let all = |same: &dyn Fn(&str) -> bool| split.iter().all(|words| same(words[place]));
        if all(&|other| other == *word) {
            (*word).to_owned()
        } else if all(&|other| unnumbered(other) == unnumbered(word)) {
            format!("{}[*]", unnumbered(word))
        } else {
            "*".to_owned()
        }
    });
    shared.collect::<Vec<_>>().join(".")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn groups_are_named_by_what_they_share() {
        assert_eq!(shared_name(&["fork"]), "fork");
        assert_eq!(shared_name(&["row[0].eye", "row[1].eye"]), "row[*].eye");
        assert_eq!(
            shared_name(&["first.row[0].eye", "second.row[1].eye"]),
            "*.row[*].eye"
        );
        assert_eq!(shared_name(&["eye[0]", "eye[1]"]), "eye[*]");
        assert_eq!(shared_name(&["eye", "row[1].eye"]), "*.eye");
    }

    #[test]
    fn a_round_is_slowed_in_proportion_and_to_the_tick() {
        let slow = |times: [u32; 3], ticks| {
            let mut times = times;
            spread(times.iter_mut(), ticks);
            times
        };
        assert_eq!(slow([10, 20, 10], 80), [20, 40, 20]);
        assert_eq!(slow([10, 20, 10], 41), [10, 20, 11]);
        assert_eq!(slow([0, 0, 0], 6), [2, 2, 2]);
        assert_eq!(slow([0, 5, 0], 7), [0, 7, 0]);
    }
}

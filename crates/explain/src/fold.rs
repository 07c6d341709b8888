//! Steps reported as rows and sums.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Section;

use super::condition::Cause;
use super::explanation::{CauseSum, PathRow, PlaceSum};
use super::walk::Step;
use hallwright_report::measure::parts_of;

/// The section of each part; for the others the use, or else the part itself.
pub(super) struct Places<'a> {
    network: &'a Network,
    sections: &'a [Section],
    of_part: BTreeMap<PartId, usize>,
    /// What the names of all parts of a section's use begin with.
    prefixes: Vec<Option<&'a str>>,
}

impl<'a> Places<'a> {
    pub(super) fn new(network: &'a Network, sections: &'a [Section]) -> Self {
        let mut of_part = BTreeMap::new();
        for (index, section) in sections.iter().enumerate() {
            for part in parts_of(section) {
                of_part.entry(part).or_insert(index);
            }
        }
        let own = |section: &'a Section| section.name.rsplit_once('.').map(|(prefix, _)| prefix);
        let prefixes: Vec<Option<&str>> = sections.iter().map(own).collect();
        Self {
            network,
            sections,
            of_part,
            prefixes,
        }
    }

    /// The name of the place that a part belongs to.
    pub(super) fn of(&self, part: PartId) -> String {
        if let Some(section) = self.of_part.get(&part) {
            return self.sections[*section].name.clone();
        }
        let name = self.network.name(part);
        let inside = |prefix: &str| {
            name.strip_prefix(prefix)
                .is_some_and(|rest| rest.starts_with('.'))
        };
        let mut owners =
            (0..self.sections.len()).filter(|index| self.prefixes[*index].is_some_and(inside));
        if let (Some(owner), None) = (owners.next(), owners.next()) {
            return self.sections[owner].name.clone();
        }
        match name.split_once('.') {
            Some((use_name, _)) => use_name.to_owned(),
            None => "hall".to_owned(),
        }
    }
}

/// Causes that an item on its way meets at every hop.
fn is_hop(cause: Cause) -> bool {
    matches!(cause, Cause::Cooldown | Cause::Turn | Cause::Selector)
}

/// Steps that follow each other and are alike, as one row.
pub(super) fn rows(
    steps: &[Step],
    stop: Tick,
    network: &Network,
    places: &Places<'_>,
) -> Vec<PathRow> {
    let mut rows: Vec<PathRow> = Vec::new();
    let mut causes: Vec<BTreeMap<Cause, u64>> = Vec::new();
    for step in steps {
        let ticks = step.until - step.from;
        let place = places.of(step.part);
        let name = network.name(step.part).to_owned();
        let goes_on = rows.last().is_some_and(|row| {
            row.place == place
                && row.blocked_ticks == 0
                && step.blocked_ticks == 0
                && (row.cause == step.cause || (is_hop(row.cause) && is_hop(step.cause)))
        });
        if goes_on && let (Some(row), Some(sums)) = (rows.last_mut(), causes.last_mut()) {
            row.ticks += ticks;
            row.waits += 1;
            row.last_part = name;
            *sums.entry(step.cause).or_insert(0) += ticks;
            row.cause = most(sums).unwrap_or(row.cause);
        } else {
            causes.push(BTreeMap::from([(step.cause, ticks)]));
            rows.push(PathRow {
                from_ticks: step.from - stop,
                ticks,
                waits: 1,
                rounds: 1,
                round: Vec::new(),
                cause: step.cause,
                first_part: name.clone(),
                last_part: name,
                place,
                blocked_ticks: step.blocked_ticks,
            });
        }
    }
    rounds(rows)
}

/// The most rows that one round can be made of.
const ROUND_ROWS: usize = 4;

/// Rows that come again and again, at least three times, as one.
fn rounds(rows: Vec<PathRow>) -> Vec<PathRow> {
    let alike = |one: &PathRow, other: &PathRow| {
        one.cause == other.cause
            && one.first_part == other.first_part
            && one.last_part == other.last_part
    };
    let mut reported = Vec::new();
    let mut at = 0;
    while at < rows.len() {
        let repeats = |length: usize| {
            let same =
                (at + length..rows.len()).take_while(|row| alike(&rows[*row], &rows[row - length]));
            1 + same.count() / length
        };
        let lengths = (1..=ROUND_ROWS).filter(|length| at + length <= rows.len());
        // The most rows reported by the shortest round.
        let best = lengths
            .map(|length| (length, repeats(length)))
            .filter(|(_, times)| *times > 2)
            .max_by_key(|(length, times)| (length * times, std::cmp::Reverse(*length)));
        match best {
            Some((length, times)) => {
                reported.push(one_row(&rows[at..at + length * times], length));
                at += length * times;
            }
            None => {
                reported.push(rows[at].clone());
                at += 1;
            }
        }
    }
    reported
}

/// One row for several rounds of so many rows: named after what costs most.
fn one_row(rows: &[PathRow], length: usize) -> PathRow {
    let mut sums: BTreeMap<usize, u64> = BTreeMap::new();
    for (place, row) in rows.iter().enumerate() {
        *sums.entry(place % length).or_insert(0) += row.ticks;
    }
    let longest = &rows[most(&sums).unwrap_or(0)];
    let round = rows[..length].iter();
    PathRow {
        from_ticks: rows[0].from_ticks,
        ticks: rows.iter().map(|row| row.ticks).sum(),
        waits: rows.iter().map(|row| row.waits).sum(),
        rounds: (rows.len() / length) as u64,
        round: round
            .map(|row| (row.cause, row.first_part.clone()))
            .collect(),
        blocked_ticks: rows.iter().map(|row| row.blocked_ticks).sum(),
        ..longest.clone()
    }
}

/// The key with the most; of equals the first.
fn most<K: Copy + Ord>(sums: &BTreeMap<K, u64>) -> Option<K> {
    let best = sums.iter().rev().max_by_key(|(_, ticks)| **ticks);
    best.map(|(key, _)| *key)
}

/// How many of some sums are about as large as the largest, that one counted. It stands out, and is the only one,
/// if it is a fifth larger than the next, or larger by a tenth of all of them.
fn alike(mut sums: Vec<u64>) -> u64 {
    sums.sort_unstable_by_key(|sum| std::cmp::Reverse(*sum));
    let all: u64 = sums.iter().sum();
    let Some(largest) = sums.first().copied() else {
        return 0;
    };
    let is_near = |sum: &u64| *sum * 6 > largest * 5;
    let stands_out = |next: &u64| !is_near(next) || (largest - next) * 10 >= all;
    match sums.get(1).is_none_or(stands_out) {
        true => 1,
        false => sums.iter().filter(|sum| is_near(sum)).count() as u64,
    }
}

/// What each cause cost, the most first.
pub(super) fn by_cause(steps: &[Step], network: &Network) -> Vec<CauseSum> {
    let mut sums: BTreeMap<Cause, (u64, BTreeMap<PartId, u64>)> = BTreeMap::new();
    for step in steps.iter().filter(|step| step.until > step.from) {
        let (waits, parts) = sums.entry(step.cause).or_default();
        *waits += 1;
        *parts.entry(step.part).or_insert(0) += step.until - step.from;
    }
    let rows = sums.into_iter().map(|(cause, (waits, parts))| CauseSum {
        cause,
        waits,
        ticks: parts.values().sum(),
        most_at: most(&parts).map_or_else(String::new, |part| network.name(part).to_owned()),
        alike: alike(parts.values().copied().collect()),
    });
    let mut rows: Vec<CauseSum> = rows.collect();
    rows.sort_by_key(|row| std::cmp::Reverse(row.ticks));
    rows
}

/// What was waited in each place, the most first.
pub(super) fn by_place(steps: &[Step], places: &Places<'_>) -> Vec<PlaceSum> {
    let mut sums: BTreeMap<String, BTreeMap<Cause, u64>> = BTreeMap::new();
    for step in steps.iter().filter(|step| step.until > step.from) {
        let causes = sums.entry(places.of(step.part)).or_default();
        *causes.entry(step.cause).or_insert(0) += step.until - step.from;
    }
    let rows = sums.into_iter().map(|(place, causes)| PlaceSum {
        place,
        ticks: causes.values().sum(),
        most_by: most(&causes).unwrap_or(Cause::Turn),
    });
    let mut rows: Vec<PlaceSum> = rows.collect();
    rows.sort_by_key(|row| std::cmp::Reverse(row.ticks));
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_stands_out_if_it_is_a_fifth_or_a_tenth_of_all_ahead() {
        assert_eq!(alike(vec![7]), 1);
        assert_eq!(alike(vec![4; 112]), 112);
        assert_eq!(alike(vec![5, 6, 5]), 1, "a fifth more");
        assert_eq!(alike(vec![90, 100, 91, 20]), 3, "the last is far behind");
        assert_eq!(alike(vec![100, 88]), 2);
        assert_eq!(alike(vec![100, 81]), 1, "more by a tenth of all");
    }
}

//! The trail of a run: a short number for everything that has happened up to a tick, kept now and
//! then, so that two runs can be compared without their events.

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::fnv::Fnv64;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;

/// The most marks that a trail has.
const MOST_MARKS: u64 = 64;

/// Watches a run and hashes its events with FNV-1a: which event, when, and the ids and numbers in it.
/// No word goes into it, so that a word may change and the records stay.
#[derive(Default)]
pub(super) struct TrailWatch {
    hash: Fnv64,
    /// The hash after each tick in which something happened.
    after: Vec<(Tick, u64)>,
}

impl Observer for TrailWatch {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        let _ = view;
        self.hash.number(moment.tick.0);
        self.hash.number(moment.phase as u64);
        for number in numbers(event) {
            self.hash.number(number);
        }
        match self.after.last_mut() {
            Some((tick, hash)) if *tick == moment.tick => *hash = self.hash.value(),
            _ => self.after.push((moment.tick, self.hash.value())),
        }
    }
}

/// An event as numbers: which one it is, then its fields. What stands for an event here never changes,
/// for records are kept; a new event gets a new number.
#[expect(clippy::too_many_lines, reason = "a table with an arm for each event")]
fn numbers(event: &Event) -> [u64; 6] {
    let part = |part: PartId| part.index() as u64;
    let kind = |kind: KindId| kind.index() as u64;
    // A box counts from 1, and 0 is none.
    let boxed = |item: Item| item.box_id.map_or(0, |id| id.index() as u64 + 1);
    match *event {
        Event::SignalChanged { signal, level } => [0, part(signal), level.into(), 0, 0, 0],
        Event::Locked { part: locked } => [1, part(locked), 0, 0, 0, 0],
        Event::Unlocked { part: unlocked } => [2, part(unlocked), 0, 0, 0, 0],
        Event::ItemMoved { from, to, item } => {
            [3, part(from), part(to), kind(item.kind), boxed(item), 0]
        }
        Event::Delivered {
            place,
            kind: delivered,
            count,
        } => [4, part(place), kind(delivered), count.into(), 0, 0],
        Event::Withdrawn { place, item, count } => [
            5,
            part(place),
            kind(item.kind),
            boxed(item),
            count.into(),
            0,
        ],
        Event::Clicked { dropper } => [6, part(dropper), 0, 0, 0, 0],
        Event::Thrown { dropper, item } => [7, part(dropper), kind(item.kind), boxed(item), 0, 0],
        Event::CameLoose {
            stack,
            item,
            count,
            place,
        } => [
            8,
            stack.0,
            kind(item.kind),
            boxed(item),
            count.into(),
            part(place),
        ],
        Event::Merged {
            stack,
            into,
            kind: merged,
            count,
            mouth,
        } => [9, stack.0, into.0, kind(merged), count.into(), part(mouth)],
        Event::Collected {
            hopper,
            stack,
            item,
            count,
        } => [
            10,
            part(hopper),
            stack.0,
            kind(item.kind),
            boxed(item),
            count.into(),
        ],
        Event::Lost {
            stack,
            item,
            count,
            mouth,
        } => [
            11,
            stack.0,
            kind(item.kind),
            boxed(item),
            count.into(),
            part(mouth),
        ],
        Event::BoxSet {
            dispenser,
            bench,
            item,
        } => [
            12,
            part(dispenser),
            part(bench),
            kind(item.kind),
            boxed(item),
            0,
        ],
        Event::BoxLifted { bench, item } => [13, part(bench), kind(item.kind), boxed(item), 0, 0],
        Event::Docked { shuttle, place } => [14, part(shuttle), part(place), 0, 0, 0],
        Event::Departed { shuttle, place } => [15, part(shuttle), part(place), 0, 0, 0],
    }
}

/// The marks of a run, evenly spaced.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub(super) struct Trail {
    /// Ticks between two marks, at least 1.
    pub(super) step_ticks: u64,
    /// The first stands for all that happened in the first `step_ticks` ticks, and so on. The last
    /// stands for all the rest of the run, in which nothing more happened.
    pub(super) marks: Vec<u16>,
}

/// A number of ticks that leaves no more marks than a file should have: 1, 2, 5, 10, 20, 50, …
pub(super) fn step_for(run_ticks: u64) -> u64 {
    let steps = (0..18).flat_map(|power| [1, 2, 5].map(|digit| digit * 10_u64.pow(power)));
    steps
        .into_iter()
        .find(|step| run_ticks / step <= MOST_MARKS)
        .unwrap_or(u64::MAX)
}

impl TrailWatch {
    /// The trail of a run of so many ticks with a mark every so many.
    pub(super) fn trail(&self, run_ticks: u64, step_ticks: u64) -> Trail {
        let step_ticks = step_ticks.max(1);
        let mut hash = Fnv64::default().value();
        let mut after = self.after.iter().peekable();
        let mut marks = Vec::new();
        for mark in 1..=run_ticks / step_ticks {
            while let Some((_, next)) = after.next_if(|(tick, _)| tick.0 < mark * step_ticks) {
                hash = *next;
            }
            marks.push(folded(hash));
        }
        while let [.., before, last] = marks[..]
            && before == last
        {
            marks.pop();
        }
        Trail { step_ticks, marks }
    }
}

#[cfg(test)]
impl TrailWatch {
    /// As if the run had these hashes after these ticks.
    pub(super) fn mark_for_tests(&mut self, after: &[(u64, u64)]) {
        let after = after.iter().map(|(tick, hash)| (Tick(*tick), *hash));
        self.after.extend(after);
    }
}

fn folded(hash: u64) -> u16 {
    let parts = [hash, hash >> 16, hash >> 32, hash >> 48];
    parts
        .into_iter()
        .fold(0, |folded, part| folded ^ (part & 0xffff) as u16)
}

impl Trail {
    /// The ticks between which this run and another, marked at the same steps, part: until the
    /// first all is the same, before the second something is not. `None` if they do not part.
    pub(super) fn parts_from(&self, other: &Self) -> Option<(Tick, Tick)> {
        let mark = |trail: &Self, place: usize| {
            let mark = trail.marks.get(place).or(trail.marks.last());
            mark.copied()
        };
        let length = self.marks.len().max(other.marks.len());
        let place = (0..length).find(|place| mark(self, *place) != mark(other, *place))? as u64;
        let tick = |marks: u64| Tick(marks * self.step_ticks);
        Some((tick(place), tick(place + 1)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_stands_for_all_before_its_tick() {
        let watch = TrailWatch {
            hash: Fnv64::default(),
            after: vec![(Tick(0), 5), (Tick(9), 6), (Tick(10), 7)],
        };
        // The mark of tick 10 counts ticks 0 to 9.
        assert_eq!(watch.trail(25, 10).marks, [6, 7]);
        assert!(watch.trail(9, 10).marks.is_empty());
        assert_eq!(watch.trail(1000, 10).marks, [6, 7], "at rest");
    }

    #[test]
    fn runs_part_in_the_step_of_the_first_difference() {
        let trail = |marks: &[u16]| Trail {
            step_ticks: 50,
            marks: marks.to_vec(),
        };
        let old = trail(&[1, 2, 3, 4]);
        assert_eq!(
            old.parts_from(&trail(&[1, 2, 9, 4])),
            Some((Tick(100), Tick(150)))
        );
        // The shorter one came to rest, the other went on.
        assert_eq!(
            old.parts_from(&trail(&[1, 2])),
            Some((Tick(100), Tick(150)))
        );
        assert_eq!(old.parts_from(&old), None);
    }

    #[test]
    fn a_file_has_few_marks() {
        assert_eq!(step_for(64), 1);
        assert_eq!(step_for(8400), 200, "42 marks; 100 would leave 84");
        assert_eq!(step_for(72_000), 2000);
    }
}

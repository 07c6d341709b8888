//! What was still to cross from one region to another when the builder left.
//!
//! It is looked up in the twin, which goes on as if nobody had left: whatever goes from part to part there
//! while of their two regions one sleeps and the other does not, cannot go so in the hall that was left.

use std::collections::{BTreeMap, HashMap};

use hallwright_analysis::signals::readers;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, SignalRole};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Region;
use hallwright_report::{RunInput, setup_for};

use super::left::{asleep, pair};
use super::{Leaving, Pattern};

/// What crosses.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Crosses {
    /// Items are handed on.
    Items,
    /// The level of a signal changes, or what an inventory contains, and another part reads it.
    Change,
}

/// Something that goes from one part to another while one of the two sleeps.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Crossing {
    /// What it is.
    pub what: Crosses,
    /// From which part.
    pub from: String,
    /// The region of that part; `None` if it is in none.
    pub from_region: Option<String>,
    /// To which part.
    pub to: String,
    /// The region of that part; `None` if it is in none.
    pub to_region: Option<String>,
    /// Whether it is the part that it comes from that sleeps; otherwise it is the one that it goes to.
    pub from_sleeps: bool,
    /// How often.
    pub times: u64,
    /// When first.
    pub first_at: Tick,
    /// When last.
    pub last_at: Tick,
}

/// Everything that crosses while one side sleeps, in the order of the ticks in which it first does.
pub(super) fn crossings(
    base: &RunInput<'_>,
    regions: &[Region],
    leaving: Leaving,
    way: &Pattern,
    at: Tick,
) -> Vec<Crossing> {
    let base = &way.before(base);
    let [_, twin] = pair(base, regions, leaving, way, at);
    let input = twin.input();
    let asleep = asleep(leaving, way, at);
    let awake_at = asleep.iter().map(|(_, awake_at)| *awake_at).max();
    let mut region_of = HashMap::new();
    for (place, region) in regions.iter().enumerate() {
        region_of.extend(region.parts.iter().map(|part| (*part, place)));
    }
    let mut watch = Watch {
        network: base.network,
        region_of,
        asleep,
        met: BTreeMap::new(),
    };
    let setup = setup_for(&input);
    let mut engine = Engine::new(input.network, &setup);
    engine.run_unwatched(at + 1);
    engine.run_watched(awake_at.unwrap_or(at + 1), &mut watch);
    watch.found(regions)
}

/// From which part to which, what, and whether the first sleeps.
type Key = (PartId, PartId, Crosses, bool);

struct Watch<'n> {
    network: &'n Network,
    region_of: HashMap<PartId, usize>,
    /// When each region sleeps.
    asleep: Vec<(Tick, Tick)>,
    /// How often each crossing was met, and when first and last.
    met: BTreeMap<Key, (u64, Tick, Tick)>,
}

impl Watch<'_> {
    fn sleeps(&self, part: PartId, tick: Tick) -> bool {
        let region = self.region_of.get(&part);
        region.is_some_and(|place| {
            let (from, until) = self.asleep[*place];
            (from..until).contains(&tick)
        })
    }

    fn note(&mut self, tick: Tick, from: PartId, to: PartId, what: Crosses) {
        let from_sleeps = self.sleeps(from, tick);
        if from_sleeps == self.sleeps(to, tick) {
            return;
        }
        let met = self.met.entry((from, to, what, from_sleeps));
        let (times, _, last) = met.or_insert((0, tick, tick));
        *times += 1;
        *last = tick;
    }

    /// Something that others read has changed.
    fn note_readers(&mut self, tick: Tick, part: PartId) {
        let network = self.network;
        for (reader, role) in readers(network, part) {
            // A lock, trigger or release that sleeps is what its signal says all the same, but for a
            // dropper, which misses the change that it fires on.
            let is_of_state = matches!(role, SignalRole::Lock | SignalRole::Release);
            if !(is_of_state && self.sleeps(reader, tick)) {
                self.note(tick, part, reader, Crosses::Change);
            }
        }
    }

    fn found(self, regions: &[Region]) -> Vec<Crossing> {
        let region = |part: &PartId| {
            let place = self.region_of.get(part)?;
            Some(regions[*place].name.clone())
        };
        let name = |part: PartId| self.network.name(part).to_owned();
        let each = self.met.iter();
        let mut all: Vec<Crossing> = each
            .map(
                |((from, to, what, from_sleeps), (times, first, last))| Crossing {
                    what: *what,
                    from: name(*from),
                    from_region: region(from),
                    to: name(*to),
                    to_region: region(to),
                    from_sleeps: *from_sleeps,
                    times: *times,
                    first_at: *first,
                    last_at: *last,
                },
            )
            .collect();
        all.sort_by_key(|crossing| (crossing.what, crossing.first_at));
        all
    }
}

impl Observer for Watch<'_> {
    fn event(&mut self, moment: Moment, event: &Event, _: &View<'_>) {
        let tick = moment.tick;
        match *event {
            Event::ItemMoved { from, to, .. } => {
                self.note(tick, from, to, Crosses::Items);
                self.note_readers(tick, from);
                self.note_readers(tick, to);
            }
            Event::Collected { hopper, .. } => {
                if let Some(mouth) = self.network.part(hopper).mouth() {
                    self.note(tick, mouth, hopper, Crosses::Items);
                }
                self.note_readers(tick, hopper);
            }
            Event::SignalChanged { signal, .. } => self.note_readers(tick, signal),
            _ => {}
        }
    }
}

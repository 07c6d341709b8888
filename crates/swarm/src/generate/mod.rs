//! Draws a network, what it holds and what happens to it from a seed.
//!
//! Every network has a style of its own: some features are switched off altogether, so that the
//! others are met more often, and in stranger company. Numbers are kept small (few slots, short
//! delays, inventories that are nearly full), so that edges are reached within few ticks.

mod goods;
mod mishaps;
mod predicate;
mod setting;
mod signals;
mod sleep;
mod storage;
mod style;
mod timeline;

use hallwright_core::goods::Kind;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::order::Orders;
use hallwright_core::part::Part;
use hallwright_core::slot::Filling;

use crate::blueprint::{Blueprint, NamedPart};
use crate::draw::Draw;
use style::Style;

/// The network of this seed.
#[must_use]
pub fn generate(seed: u64) -> Blueprint {
    let mut draw = Draw::new(seed);
    let style = Style::draw(&mut draw);
    let rules = setting::rules(&mut draw, &style);
    let kinds = goods::kinds(&mut draw, &style);
    let cast = Cast::draw(&mut draw, &style);
    let mut sketch = Sketch::new(draw, style, kinds, cast);
    sketch.define_storage();
    sketch.define_signals();
    let fillings = sketch.fillings();
    let length_ticks = u64::from(sketch.draw.between(60, 250));
    let mut timeline = sketch.timeline(length_ticks);
    let update = sketch.update_order();
    let run_seed = sketch.draw.number();
    sketch.add_meeting(&mut timeline);
    sketch.add_landings(&mut timeline, length_ticks);
    let signal = sketch.signal_order();
    sketch.add_sleep(&mut timeline, length_ticks);
    sketch.add_mishaps(&mut timeline, length_ticks);
    sketch.watch_together();
    Blueprint {
        rules,
        parts: sketch.named_parts(),
        kinds: sketch.kinds,
        fillings,
        seed: run_seed,
        orders: Orders { update, signal },
        timeline,
        length_ticks,
    }
}

/// The parts of a network by what they are. Ids follow the order of declaration, which is shuffled;
/// each list has an order of its own, the line order, in which its parts tend to be connected.
#[derive(Default)]
struct Cast {
    containers: Vec<PartId>,
    hoppers: Vec<PartId>,
    droppers: Vec<PartId>,
    mouths: Vec<PartId>,
    streams: Vec<PartId>,
    benches: Vec<PartId>,
    selectors: Vec<PartId>,
    places: Vec<PartId>,
    shuttles: Vec<PartId>,
    signals: Vec<PartId>,
}

impl Cast {
    fn draw(draw: &mut Draw, style: &Style) -> Self {
        let counts = style.counts(draw);
        let total: u32 = counts.iter().sum();
        let mut ids: Vec<PartId> = (0..total as usize).map(PartId::from_index).collect();
        draw.shuffle(&mut ids);
        let mut cast = Self::default();
        for ((list, _), count) in cast.lists_mut().into_iter().zip(counts) {
            let rest = ids.split_off(count as usize);
            *list = std::mem::replace(&mut ids, rest);
        }
        cast
    }

    /// Every list with the word for what is in it.
    fn lists_mut(&mut self) -> [(&mut Vec<PartId>, &'static str); 10] {
        [
            (&mut self.containers, "container"),
            (&mut self.hoppers, "hopper"),
            (&mut self.droppers, "dropper"),
            (&mut self.mouths, "mouth"),
            (&mut self.streams, "stream"),
            (&mut self.benches, "bench"),
            (&mut self.selectors, "selector"),
            (&mut self.places, "place"),
            (&mut self.shuttles, "shuttle"),
            (&mut self.signals, "signal"),
        ]
    }
}

/// A network under way.
struct Sketch {
    draw: Draw,
    style: Style,
    kinds: Vec<Kind>,
    /// The kinds that are no boxes.
    plain_kinds: Vec<KindId>,
    /// The kinds that are boxes.
    box_kinds: Vec<KindId>,
    cast: Cast,
    names: Vec<String>,
    parts: Vec<Option<Part>>,
}

impl Sketch {
    fn new(draw: Draw, style: Style, kinds: Vec<Kind>, mut cast: Cast) -> Self {
        let ids_where = |is_box: bool| {
            (0..kinds.len())
                .filter(|index| kinds[*index].is_box == is_box)
                .map(KindId::from_index)
                .collect()
        };
        let mut names = Vec::new();
        for (list, word) in cast.lists_mut() {
            for (number, id) in list.iter().enumerate() {
                if names.len() <= id.index() {
                    names.resize(id.index() + 1, String::new());
                }
                names[id.index()] = format!("{word}{number}");
            }
        }
        Self {
            draw,
            style,
            plain_kinds: ids_where(false),
            box_kinds: ids_where(true),
            kinds,
            cast,
            parts: vec![None; names.len()],
            names,
        }
    }

    fn define(&mut self, id: PartId, part: Part) {
        self.parts[id.index()] = Some(part);
    }

    /// The finished parts.
    fn named_parts(&mut self) -> Vec<NamedPart> {
        let names = std::mem::take(&mut self.names);
        let parts = std::mem::take(&mut self.parts);
        names
            .into_iter()
            .zip(parts)
            .map(|(name, part)| NamedPart {
                part: part.unwrap_or_else(|| unreachable!("{name} was defined")),
                name,
                stream_tag: None,
            })
            .collect()
    }

    /// One signal, if there is any.
    fn any_signal(&mut self) -> Option<PartId> {
        self.draw.pick(&self.cast.signals)
    }

    /// A signal in so many of a hundred cases.
    fn maybe_signal(&mut self, percent: u32) -> Option<PartId> {
        self.draw
            .percent(percent)
            .then(|| self.any_signal())
            .flatten()
    }

    /// A mouth or stream, if there is any.
    fn loose_place(&mut self) -> Option<PartId> {
        let streams = self.draw.percent(50) && !self.cast.streams.is_empty();
        let list = if streams {
            &self.cast.streams
        } else {
            &self.cast.mouths
        };
        self.draw.pick(list)
    }

    /// Something of these lists other than the part itself; each list as likely as its weight says.
    fn pick_other(&mut self, itself: PartId, lists: &[(u32, List)]) -> Option<PartId> {
        for _ in 0..4 {
            let list = self.draw.weighted(lists);
            let found = match list {
                List::Containers => self.draw.pick(&self.cast.containers),
                List::Hoppers => self.draw.pick(&self.cast.hoppers),
                List::Droppers => self.draw.pick(&self.cast.droppers),
                List::Benches => self.draw.pick(&self.cast.benches),
                List::Selectors => self.draw.pick(&self.cast.selectors),
                List::Places => self.draw.pick(&self.cast.places),
                List::Loose => self.loose_place(),
            };
            if found.is_some_and(|found| found != itself) {
                return found;
            }
        }
        None
    }

    /// Something to push into, other than the part itself.
    fn any_target(&mut self, itself: PartId) -> PartId {
        let weights = [
            (30, List::Containers),
            (40, List::Hoppers),
            (6, List::Droppers),
            (12, List::Benches),
            (15, List::Selectors),
            (15, List::Places),
        ];
        self.pick_other(itself, &weights)
            .unwrap_or(self.cast.containers[0])
    }

    /// An inventory, other than the part itself.
    fn any_inventory(&mut self, itself: PartId) -> PartId {
        let weights = [
            (50, List::Containers),
            (25, List::Hoppers),
            (8, List::Droppers),
            (20, List::Benches),
            (20, List::Places),
        ];
        self.pick_other(itself, &weights)
            .unwrap_or(self.cast.containers[0])
    }

    /// What an inventory holds at the start.
    fn fillings(&mut self) -> Vec<(PartId, Filling)> {
        let mut fillings = Vec::new();
        for index in 0..self.parts.len() {
            let id = PartId::from_index(index);
            for filling in self.fill_part(id) {
                fillings.push((id, filling));
            }
        }
        fillings
    }
}

/// One of the lists of a [`Cast`] that items can go to.
#[derive(Clone, Copy)]
enum List {
    Containers,
    Hoppers,
    Droppers,
    Benches,
    Selectors,
    Places,
    Loose,
}

//! The style of one network: which features it has, and how often.

use crate::draw::Draw;

/// What a network is made of. A feature that is off does not occur at all.
pub(super) struct Style {
    /// Whether there are far more hoppers than usual: more than fit into one machine word of bits.
    pub(super) vast: bool,
    /// Whether rules differ from their defaults.
    pub(super) own_rules: bool,
    /// Whether there are boxes.
    pub(super) boxes: bool,
    /// Whether anything can come loose.
    pub(super) loose: bool,
    /// Whether loose items travel on streams.
    pub(super) streams: bool,
    /// Whether there are droppers.
    pub(super) droppers: bool,
    /// Whether there are benches. They come with boxes and mouths.
    pub(super) benches: bool,
    /// Whether there are selectors.
    pub(super) selectors: bool,
    /// Whether there are shuttles.
    pub(super) shuttles: bool,
    /// Whether there are signals.
    pub(super) signals: bool,
    /// Whether signals may form loops.
    pub(super) feedback: bool,
    /// Whether comparators read inventories.
    pub(super) readings: bool,
    /// How many hoppers and selectors of a hundred have a lock.
    pub(super) locks_percent: u32,
    /// How many hoppers of a hundred push into the next one.
    pub(super) line_percent: u32,
    /// How many hoppers of a hundred pull from the hopper before.
    pub(super) column_percent: u32,
    /// How many hoppers of a hundred are below the mouth where most things rest.
    pub(super) gathering_percent: u32,
    /// How many hoppers of a hundred start as item filters.
    pub(super) sieves_percent: u32,
    /// How many operator actions there are at most.
    pub(super) most_actions: u32,
    /// Whether inventories tend to start nearly full.
    pub(super) crowded: bool,
}

impl Style {
    pub(super) fn draw(draw: &mut Draw) -> Self {
        let boxes = draw.percent(55);
        let loose = draw.percent(70);
        let signals = draw.percent(85);
        Self {
            vast: draw.percent(2),
            own_rules: draw.percent(60),
            boxes,
            loose,
            streams: loose && draw.percent(60),
            droppers: draw.percent(65),
            benches: boxes && loose && draw.percent(75),
            selectors: draw.percent(50),
            shuttles: draw.percent(35),
            signals,
            feedback: draw.percent(60),
            readings: draw.percent(75),
            locks_percent: draw.weighted(&[(30, 0), (40, 25), (30, 60)]),
            line_percent: draw.weighted(&[(25, 0), (40, 50), (35, 85)]),
            column_percent: draw.weighted(&[(50, 0), (30, 20), (20, 60)]),
            gathering_percent: draw.weighted(&[(65, 0), (35, 60)]),
            sieves_percent: draw.weighted(&[(60, 10), (40, 50)]),
            most_actions: draw.weighted(&[(10, 0), (30, 6), (60, 24)]),
            crowded: draw.percent(35),
        }
    }

    /// How many parts of each list of the cast there are.
    pub(super) fn counts(&self, draw: &mut Draw) -> [u32; 10] {
        let mut some = |is_on: bool, low: u32, high: u32| {
            let count = draw.between(low, high);
            if is_on { count } else { 0 }
        };
        let droppers = some(self.droppers || self.benches, 1, 4);
        let (least_hoppers, most_hoppers) = if self.vast { (60, 140) } else { (2, 11) };
        [
            some(true, 1, 6),
            some(true, least_hoppers, most_hoppers),
            droppers,
            some(self.loose, 1, 3),
            some(self.streams, 1, 2),
            some(self.benches, 1, 2),
            some(self.selectors, 1, 3),
            some(self.shuttles, 2, 4),
            some(self.shuttles, 1, 2),
            some(self.signals, 2, 14),
        ]
    }
}

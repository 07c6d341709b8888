//! Catalogues and halls at random, each from a seed.

use std::fmt::Write as _;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};

/// What a line carries, in thousandths of an item an hour (tick rules: an item in 8 ticks).
const LINE_THOUSANDTHS: u64 = 9_000_000;

/// Names end in these, so that nothing depends on what letters mean elsewhere.
const ENDINGS: [&str; 8] = [
    "", "'s", " (old)", "/long", " #2", " 50%", " {each}", " grün",
];

/// A row of a catalogue.
#[derive(Clone, Debug)]
pub(crate) struct DrawnGood {
    pub(crate) name: String,
    pub(crate) stack_limit: u64,
    pub(crate) amount: u64,
    pub(crate) inflow_thousandths: u64,
    pub(crate) family: String,
    pub(crate) wish: String,
}

/// What slices of a sort are like.
#[derive(Clone, Debug)]
pub(crate) struct DrawnSlice {
    pub(crate) width_blocks: u64,
    pub(crate) slots: u64,
    pub(crate) kinds: u64,
    pub(crate) sections: Option<u64>,
}

/// The description of a hall. Without slices of a sort it has none of them.
#[derive(Clone, Debug)]
pub(crate) struct DrawnHall {
    pub(crate) sides: u64,
    /// How many parallel lines: 1 or 2.
    pub(crate) lines: u64,
    pub(crate) rows: Option<u64>,
    pub(crate) stop_within_ticks: u64,
    pub(crate) families: &'static str,
    pub(crate) bulk_share: Option<f64>,
    /// As a hall says it, and of what sort with which numbers.
    pub(crate) growth: (String, Value),
    /// The sort, the number of the first, and how many.
    pub(crate) left_out: Option<(&'static str, u64, u64)>,
    /// So many levels a column of boxes has, in place of bulk slices, and whether the first has a hatch.
    pub(crate) boxes: Option<(u32, bool)>,
    pub(crate) slices: [Option<DrawnSlice>; 3],
}

/// The sorts, in the order in which goods pass them.
pub(crate) const SORTS: [&str; 3] = ["bulk", "multi", "oddments"];

/// A catalogue and a hall for it.
#[derive(Clone, Debug)]
pub(crate) struct Drawn {
    pub(crate) goods: Vec<DrawnGood>,
    pub(crate) hall: DrawnHall,
}

impl Drawn {
    /// Draws both: from 1 to 2,000 kinds, most of them few.
    pub(crate) fn draw(seed: u64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let hall = DrawnHall::draw(&mut random);
        let count = match random.random_range(0..100) {
            0..50 => random.random_range(1..=12),
            50..80 => random.random_range(13..=60),
            80..97 => random.random_range(61..=250),
            _ => random.random_range(251..=2000),
        };
        let mut goods = draw_goods(count, "", &hall, &mut random);
        let inflow = match random.random_range(0..10) {
            0 => 0,
            1..4 => LINE_THOUSANDTHS,
            _ => random.random_range(1..=LINE_THOUSANDTHS),
        };
        share_out(inflow, &mut goods, &mut random);
        Self { goods, hall }
    }

    /// The same with two parallel lines, which need rows of their own.
    pub(crate) fn with_two_lines(mut self) -> Self {
        self.hall.lines = 2;
        self.hall.rows = None;
        self
    }

    /// The same with so many kinds at most.
    pub(crate) fn with_at_most(mut self, kinds: usize) -> Self {
        self.goods.truncate(kinds);
        self
    }

    /// The same with a box wing, once in so many times: bulk goods come in boxes. Something stays loose, for which there is
    /// a line.
    pub(crate) fn perhaps_with_boxes(self, seed: u64, one_in: u32) -> Self {
        // What else is drawn stays the same.
        let mut random = ChaCha8Rng::seed_from_u64(seed.wrapping_add(1 << 32));
        match random.random_ratio(1, one_in) {
            true => self.with_boxes(&mut random),
            false => self,
        }
    }

    /// The same with a box wing.
    fn with_boxes(mut self, random: &mut ChaCha8Rng) -> Self {
        const MOST_KINDS: usize = 100;
        let levels = random.random_range(1..=5);
        let multi = self.hall.slices[1].is_some();
        self.hall.boxes = Some((levels, random.random()));
        self.hall.bulk_share = Some(f64::from(random.random_range(0..=8)) / 8.0);
        self.hall.slices[0] = None;
        if let Some(("bulk", ..)) = self.hall.left_out {
            self.hall.left_out = None;
        }
        self.goods.truncate(MOST_KINDS);
        for (number, good) in self.goods.iter_mut().enumerate() {
            if good.stack_limit == 1 {
                continue;
            }
            // A column of boxes stands at no side of an aisle.
            good.wish
                .truncate(good.wish.find(" side").unwrap_or(good.wish.len()));
            match random.random_range(0..10) {
                _ if number == 0 => {
                    good.wish = if multi { "multi" } else { "oddments" }.to_owned();
                }
                0..3 => good.wish = "bulk".to_owned(),
                // Some fill several columns of up to 327 boxes of 27 stacks.
                3 => {
                    good.wish = "bulk".to_owned();
                    good.amount = random.random_range(1..=1000) * 27 * good.stack_limit;
                }
                _ => {}
            }
        }
        self
    }

    /// Some kinds more, and nothing else: wherever they stand in the catalogue.
    pub(crate) fn with_more(&self, seed: u64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let count = random.random_range(1..=10);
        let mut new = draw_goods(count, "new ", &self.hall, &mut random);
        let inflow: u64 = self.goods.iter().map(|good| good.inflow_thousandths).sum();
        share_out((LINE_THOUSANDTHS - inflow) / 2, &mut new, &mut random);
        let mut more = self.clone();
        for good in new {
            // One that wishes for a side may push others away.
            let wish = good.wish.split(" side").next().unwrap_or_default();
            let wish = wish.to_owned();
            let at = random.random_range(0..=more.goods.len());
            more.goods.insert(at, DrawnGood { wish, ..good });
        }
        more
    }

    /// The rows of the catalogue.
    pub(crate) fn rows(&self) -> String {
        let mut rows = String::new();
        for good in &self.goods {
            let (whole, part) = (
                good.inflow_thousandths / 1000,
                good.inflow_thousandths % 1000,
            );
            let _ = writeln!(
                rows,
                "{}, {}, {}, {whole}.{part:03}, {}, {}",
                good.name, good.stack_limit, good.amount, good.family, good.wish
            );
        }
        rows
    }

    /// Both for a program in another language.
    pub(crate) fn as_json(&self) -> Value {
        let goods = self.goods.iter().map(|good| {
            json!({
                "name": good.name,
                "stack_limit": good.stack_limit,
                "amount": good.amount,
                "inflow_thousandths": good.inflow_thousandths,
                "family": good.family,
                "wish": good.wish,
            })
        });
        let goods: Vec<Value> = goods.collect();
        json!({ "goods": goods, "hall": self.hall.as_json() })
    }
}

impl DrawnHall {
    fn draw(random: &mut ChaCha8Rng) -> Self {
        let is_there = match random.random_range(0..10) {
            0 => [true, true, false],
            1 => [false, true, true],
            2 => [true, false, true],
            3 => [false, false, true],
            4 => [random.random(), true, false],
            _ => [true, true, true],
        };
        let mut slice = |sort: usize, widths: std::ops::RangeInclusive<u64>| {
            let width_blocks = random.random_range(widths);
            let most_kinds = if sort == 2 { 30 } else { width_blocks };
            let drawn = DrawnSlice {
                width_blocks,
                slots: 27 * random.random_range(1..=13),
                kinds: random.random_range(1..=most_kinds),
                sections: random.random_bool(0.1).then(|| random.random_range(1..=6)),
            };
            is_there[sort].then_some(drawn)
        };
        let slices = [slice(0, 1..=3), slice(1, 1..=14), slice(2, 2..=14)];
        let few = |random: &mut ChaCha8Rng| random.random_range(0..4_u64);
        let growth = match random.random_range(0..4) {
            0 => {
                let tenths = random.random_range(0..6);
                let text = format!("Share(0.{tenths})");
                (text, json!({ "share_tenths": tenths }))
            }
            1 => {
                let counts: Vec<u64> = (0..3).map(|_| few(random)).collect();
                let text = SORTS.iter().zip(&counts);
                let text: Vec<String> = text
                    .map(|(sort, count)| format!("{sort}: {count}"))
                    .collect();
                let text = format!("Slices({})", text.join(", "));
                (text, json!({ "slices": counts }))
            }
            2 => {
                let (a_year, years) = (few(random), few(random));
                let text = format!("NewKinds(a_year: {a_year}, years: {years})");
                (text, json!({ "new_kinds": a_year * years }))
            }
            _ => (String::new(), json!({ "slices": [0, 0, 0] })),
        };
        let left_out = random.random_bool(0.2).then(|| {
            let sort = (0..3).find(|sort| is_there[*sort]).unwrap_or(0);
            let from = random.random_range(1..=5);
            (SORTS[sort], from, random.random_range(1..=3))
        });
        Self {
            sides: random.random_range(1..=2),
            lines: 1,
            rows: random.random_bool(0.2).then(|| random.random_range(1..=9)),
            // Some of them are too short for what a section takes.
            stop_within_ticks: *[200, 400, 600, 900, 1200]
                .get(random.random_range(0..20_usize))
                .unwrap_or(&800),
            families: ["Mixed", "Together", "Neighbours"][random.random_range(0..3)],
            bulk_share: random
                .random_bool(0.3)
                .then(|| f64::from(random.random_range(0..=8)) / 8.0),
            growth,
            left_out,
            boxes: None,
            slices,
        }
    }

    /// As a builder writes it.
    pub(crate) fn text(&self) -> String {
        let mut text = format!(
            "(sides: {}, lines: {}, stop_within: \"{}t\", families: {}, ",
            self.sides, self.lines, self.stop_within_ticks, self.families
        );
        if let Some(rows) = self.rows {
            let _ = write!(text, "rows: {rows}, ");
        }
        if let Some(share) = self.bulk_share {
            let _ = write!(text, "bulk_share: {share:?}, ");
        }
        if !self.growth.0.is_empty() {
            let _ = write!(text, "growth: {}, ", self.growth.0);
        }
        if let Some((sort, from, count)) = self.left_out {
            let gap = format!("slices: \"{sort}\", from: {from}, count: {count}");
            let _ = write!(text, "left_out: [({gap})], ");
        }
        if let Some((levels, has_hatch)) = self.boxes {
            let _ = write!(text, "boxes: (levels: {levels}, hatch: {has_hatch}), ");
        }
        for (sort, slice) in SORTS.iter().zip(&self.slices) {
            let Some(slice) = slice else { continue };
            let sections = slice
                .sections
                .map_or_else(String::new, |sections| format!(", sections: {sections}"));
            let _ = write!(
                text,
                "{sort}: (width_blocks: {}, slots: {}, kinds: {}{sections}), ",
                slice.width_blocks, slice.slots, slice.kinds
            );
        }
        text.push(')');
        text
    }

    fn as_json(&self) -> Value {
        let slices = self.slices.iter().map(|slice| {
            slice.as_ref().map(|slice| {
                json!({
                    "width_blocks": slice.width_blocks,
                    "slots": slice.slots,
                    "kinds": slice.kinds,
                    "sections": slice.sections,
                })
            })
        });
        let slices: Vec<Option<Value>> = slices.collect();
        json!({
            "sides": self.sides,
            "rows": self.rows,
            "stop_within_ticks": self.stop_within_ticks,
            "families": self.families,
            "bulk_share": self.bulk_share,
            "growth": self.growth.1,
            "left_out": self.left_out,
            "slices": slices,
        })
    }
}

/// Goods for a hall: most of them few items, some of them very many.
fn draw_goods(
    count: usize,
    prefix: &str,
    hall: &DrawnHall,
    random: &mut ChaCha8Rng,
) -> Vec<DrawnGood> {
    let [bulk, multi, oddments] = hall.slices.each_ref().map(Option::is_some);
    let bulk = bulk || hall.boxes.is_some();
    let smallest = hall
        .slices
        .iter()
        .flatten()
        .map(|slice| slice.slots)
        .min()
        .unwrap_or(27);
    let is_odd = random.random_bool(0.3);
    let families = random.random_range(0..=count / 3 + 1);
    let goods = (0..count).map(|number| {
        let stack_limit = match random.random_range(0..10) {
            0 | 1 if oddments => 1,
            0..=2 => 16,
            _ => 64,
        };
        // Stacks by a power of two drawn evenly; few of them more than a slice holds.
        let stacks = 2_f64.powf(random.random_range(0.0..9.0)) as u64;
        let most = match random.random_range(0..20) {
            0 => 6 * smallest,
            _ => smallest,
        };
        let amount = stacks.min(most) * stack_limit;
        let amount = amount.saturating_sub(random.random_range(0..stack_limit));
        let ending = ENDINGS[random.random_range(0..ENDINGS.len())];
        let ending = if is_odd { ending } else { "" };
        let family = match random.random_range(0..=families) {
            0 => String::new(),
            family => format!("family {family}"),
        };
        let wish = match random.random_range(0..40) {
            0 if bulk && stack_limit > 1 => "bulk",
            1 if multi && stack_limit > 1 => "multi",
            2 if oddments => "oddments",
            3 if hall.sides == 2 && count > 20 => "automatic side 2",
            4 => "automatic side 1",
            5 => "automatic",
            _ => "",
        };
        DrawnGood {
            name: format!("{prefix}kind {number}{ending}"),
            stack_limit,
            amount,
            inflow_thousandths: 0,
            family,
            wish: wish.to_owned(),
        }
    });
    goods.collect()
}

/// Shares an inflow out: to most kinds little, to a few nearly all. All of it comes in, to the last thousandth.
fn share_out(inflow: u64, goods: &mut [DrawnGood], random: &mut ChaCha8Rng) {
    let weights: Vec<u64> = (0..goods.len())
        .map(|_| 1 << random.random_range(0..16))
        .collect();
    let sum: u64 = weights.iter().sum();
    let mut left = inflow;
    for (good, weight) in goods.iter_mut().zip(weights) {
        good.inflow_thousandths = inflow * weight / sum;
        left -= good.inflow_thousandths;
    }
    goods[0].inflow_thousandths += left;
}

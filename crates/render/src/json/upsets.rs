//! What befell a hall, and what a result rests on, as they are written.

use serde::Serialize;

use super::run::{ByKind, by_kind};
use hallwright_report::findings::{SpellSort, TakenAtWord, Upsets};

#[derive(Serialize)]
pub(super) struct UpsetsReport<'a> {
    spells: Vec<Spell<'a>>,
    reopened_at_ticks: Vec<u64>,
    put_in_by_hand_items: ByKind<'a>,
    boxes_taken_away: u64,
}

#[derive(Serialize)]
struct Spell<'a> {
    sort: &'static str,
    begins_at_tick: u64,
    over_at_tick: u64,
    region: Option<&'a str>,
    parts: &'a [String],
}

impl<'a> UpsetsReport<'a> {
    pub(super) fn of(upsets: &'a Upsets) -> Self {
        let spells = upsets.spells.iter();
        Self {
            spells: spells
                .map(|spell| Spell {
                    sort: match spell.sort {
                        SpellSort::Asleep => "asleep",
                        SpellSort::StuckOn => "stuck_on",
                        SpellSort::StuckOff => "stuck_off",
                    },
                    begins_at_tick: spell.at.0,
                    over_at_tick: spell.over_at.0,
                    region: spell.region.as_deref(),
                    parts: &spell.parts,
                })
                .collect(),
            reopened_at_ticks: upsets.reopened_at.iter().map(|at| at.0).collect(),
            put_in_by_hand_items: by_kind(&upsets.put_in),
            boxes_taken_away: upsets.boxes_taken,
        }
    }
}

#[derive(Serialize)]
pub(super) struct AtWordReport<'a> {
    selectors: Vec<Selectors<'a>>,
    shuttles: Vec<Shuttle<'a>>,
}

#[derive(Serialize)]
struct Selectors<'a> {
    parts: &'a [String],
    items_per_second: f64,
    interval_ticks: u32,
    latency_ticks: u32,
    holds_items: u32,
}

#[derive(Serialize)]
struct Shuttle<'a> {
    part: &'a str,
    round_ticks: u64,
}

impl<'a> AtWordReport<'a> {
    pub(super) fn of(at_word: &'a TakenAtWord, ticks_per_second: u32) -> Self {
        let selectors = at_word.selectors.iter().map(|row| Selectors {
            parts: &row.parts,
            items_per_second: row.fastest().per_second(ticks_per_second),
            interval_ticks: row.interval_ticks,
            latency_ticks: row.latency_ticks,
            holds_items: row.holds_items,
        });
        let shuttles = at_word.shuttles.iter().map(|row| Shuttle {
            part: &row.part,
            round_ticks: row.round_ticks,
        });
        Self {
            selectors: selectors.collect(),
            shuttles: shuttles.collect(),
        }
    }
}

//! What befell a hall, and what a result rests on, in words.

use hallwright_report::findings::{Findings, SelectorsAtWord, SpellFinding, SpellSort};
use hallwright_report::units::{count, listed, rate, seconds, time};

use super::kinds;

/// So many spells, or reopenings, are named one by one.
const MOST: usize = 4;

/// Which parts slept when, and when the world was opened again; `None` if neither was.
#[must_use]
pub fn slept(found: &Findings) -> Option<String> {
    let asleep = |spell: &&SpellFinding| spell.sort == SpellSort::Asleep;
    let spells: Vec<String> = found
        .upsets
        .spells
        .iter()
        .filter(asleep)
        .map(|spell| spell_words(spell, "part", "", found))
        .collect();
    let reopened = found.upsets.reopened_at.iter();
    let reopened: Vec<String> = reopened
        .map(|at| seconds(at.0, found.ticks_per_second))
        .collect();
    let mut words = Vec::new();
    if !spells.is_empty() {
        words.push(listed(&spells, MOST));
    }
    if !reopened.is_empty() {
        words.push(format!("opened again at {}", listed(&reopened, MOST)));
    }
    (!words.is_empty()).then(|| words.join("; "))
}

/// Which signals were stuck when; `None` if none was.
#[must_use]
pub fn mishaps(found: &Findings) -> Option<String> {
    let stuck = found.upsets.spells.iter().filter_map(|spell| {
        let how = match spell.sort {
            SpellSort::Asleep => return None,
            SpellSort::StuckOn => " stuck on",
            SpellSort::StuckOff => " stuck off",
        };
        Some(spell_words(spell, "signal", how, found))
    });
    let stuck: Vec<String> = stuck.collect();
    (!stuck.is_empty()).then(|| listed(&stuck, MOST))
}

/// What the operator put in, and how many boxes were taken away; `None` if there is nothing of it.
#[must_use]
pub fn by_hand(found: &Findings) -> Option<String> {
    let upsets = &found.upsets;
    let mut words = Vec::new();
    if !upsets.put_in.is_empty() {
        words.push(format!("{} put in", kinds(&upsets.put_in)));
    }
    if upsets.boxes_taken > 0 {
        let boxes = count(upsets.boxes_taken, "box", "boxes");
        words.push(format!("{boxes} taken away"));
    }
    (!words.is_empty()).then(|| words.join("; "))
}

/// `far from 10.0 s to 15.0 s`; the rest of a run without an end. `how` stands behind who it is.
fn spell_words(spell: &SpellFinding, one: &str, how: &str, found: &Findings) -> String {
    let who = match (&spell.region, spell.parts.as_slice()) {
        (Some(region), _) => region.clone(),
        (None, [only]) => only.clone(),
        (None, parts) => count(parts.len() as u64, one, &format!("{one}s")),
    };
    let tps = found.ticks_per_second;
    let from = seconds(spell.at.0, tps);
    if spell.over_at.0 > found.run_ticks {
        format!("{who}{how} from {from} on")
    } else {
        format!(
            "{who}{how} from {from} to {}",
            seconds(spell.over_at.0, tps)
        )
    }
}

/// Which selectors and shuttles a result rests on: `5 selectors and 1 shuttle are taken at their word:
/// 2.5 items/s, 4 t; a round of 20.0 s (400 t)`. `None` if there are none.
#[must_use]
pub fn taken_at_word(found: &Findings) -> Option<String> {
    let (who, what) = at_word(found)?;
    let are = if who.1 == 1 { "is" } else { "are" };
    let their = if who.1 == 1 { "its" } else { "their" };
    Some(format!("{} {are} taken at {their} word: {what}", who.0))
}

/// The same without its verb: who, how many they are, and what they are said to do.
fn at_word(found: &Findings) -> Option<((String, u64), String)> {
    let at_word = &found.taken_at_word;
    let selectors: u64 = at_word
        .selectors
        .iter()
        .map(|row| row.parts.len() as u64)
        .sum();
    let shuttles = at_word.shuttles.len() as u64;
    let mut who = Vec::new();
    if selectors > 0 {
        who.push(count(selectors, "selector", "selectors"));
    }
    if shuttles > 0 {
        who.push(count(shuttles, "shuttle", "shuttles"));
    }
    if who.is_empty() {
        return None;
    }
    let mut what: Vec<String> = Vec::new();
    let is_one_sort = at_word.selectors.len() == 1;
    for row in &at_word.selectors {
        let words = selector_words(row, found.ticks_per_second);
        what.push(match is_one_sort {
            true => words,
            false => format!("{} of {words}", row.parts.len()),
        });
    }
    let mut rounds: Vec<u64> = at_word.shuttles.iter().map(|row| row.round_ticks).collect();
    rounds.sort_unstable();
    rounds.dedup();
    let rounds: Vec<String> = rounds
        .iter()
        .map(|ticks| format!("a round of {}", time(*ticks, found.ticks_per_second)))
        .collect();
    what.extend((!rounds.is_empty()).then(|| listed(&rounds, MOST)));
    Some(((who.join(" and "), selectors + shuttles), what.join("; ")))
}

/// `2.5 items/s, 4 t`.
fn selector_words(row: &SelectorsAtWord, ticks_per_second: u32) -> String {
    let fastest = rate(row.fastest(), "items", ticks_per_second);
    format!("{fastest}, {} t", row.latency_ticks)
}

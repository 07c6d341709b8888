//! The steps of building.

use std::collections::BTreeMap;

use hallwright_core::slot::Filling;
use hallwright_names::Page;

use super::page::{heading, item};
use crate::{Doing, Entry, Sheet, Sort, Step, words};

pub(super) fn write(page: &mut Page, sheet: &Sheet) {
    heading(page, "Build in this order");
    for (number, step) in (1..).zip(&sheet.order) {
        let number: usize = number;
        page.blank();
        page.line(&format!("{number}. {}", step.doing.words()));
        one(page, sheet, step);
    }
}

fn one(page: &mut Page, sheet: &Sheet, step: &Step) {
    let mut blocks: BTreeMap<Sort, Vec<String>> = BTreeMap::new();
    let mut ring = None;
    for entry in &step.entries {
        // Blocks without a name are alike: where they are is all there is to say.
        if let Some(piece) = entry.piece
            && sheet.placed[piece].piece.name.is_empty()
        {
            let own = &sheet.placed[piece];
            let listed = blocks.entry(own.sort).or_default();
            listed.extend(own.piece.blocks.iter().map(ToString::to_string));
            continue;
        }
        if entry.ring != ring {
            ring = entry.ring;
            if let Some(ring) = ring {
                item(
                    page,
                    &format!("ring {ring}: goods go round in what follows"),
                );
            }
        }
        item(page, &line(sheet, step.doing, entry));
    }
    for (sort, blocks) in blocks {
        item(page, &format!("{} {}", sort.words(), blocks.join(" ")));
    }
}

/// One thing and what is done with it.
fn line(sheet: &Sheet, doing: Doing, entry: &Entry) -> String {
    let mut unplaced = sheet.nowhere.iter();
    let unplaced = unplaced.find(|own| Some(own.part) == entry.part);
    let mut line = match entry.piece {
        Some(piece) => {
            let placed = &sheet.placed[piece];
            let blocks: Vec<String> = placed
                .piece
                .blocks
                .iter()
                .map(ToString::to_string)
                .collect();
            format!(
                "{} {} {}",
                placed.sort.words(),
                placed.piece.name,
                blocks.join(" ")
            )
        }
        None => unplaced.map_or_else(String::new, |own| {
            format!("{} {}", own.sort.words(), own.name)
        }),
    };
    if matches!(doing, Doing::Sieves | Doing::Contents) {
        let contents: &[Filling] = match entry.piece {
            Some(piece) => &sheet.placed[piece].piece.contents,
            None => unplaced.map_or(&[], |own| &own.contents),
        };
        line.push_str(", by slot ");
        line.push_str(&words::contents(contents, &sheet.kinds));
    }
    if entry.is_restless {
        line.push_str(
            "; nothing locks it, so this moves on at once: fill it when all else is done",
        );
    }
    let is_open = entry
        .piece
        .is_some_and(|piece| sheet.placed[piece].sort.is_left_open());
    if is_open && doing == Doing::Inventories {
        line.push_str(", left open");
    }
    if let Some(position) = entry.lever_words() {
        line.push_str(", to ");
        line.push_str(position);
    }
    if let Some(ring) = entry.ring {
        line.push_str(&format!(" (ring {ring})"));
    }
    line
}

//! The sheet for people: a plan of each height, what to bring, and the steps of building.

mod page;
mod plan;
mod steps;

use hallwright_core::goods::Kind;
use hallwright_names::Page;
use hallwright_site::blocks::Declared;
use hallwright_words::build_words;

use self::page::{heading, item, labelled};
use crate::{Bring, Height, HeldBy, Sheet, words};

/// The fewest columns that a page has.
const LEAST_COLUMNS: u16 = 40;

/// The sheet as text of this width, but for no less than 40 columns. It needs no colour.
#[must_use]
pub fn text(sheet: &Sheet, width_columns: u16) -> String {
    let mut page = page::new(width_columns.max(LEAST_COLUMNS));
    head(&mut page, sheet);
    heading(&mut page, "Bring, in all");
    bring(&mut page, &sheet.bring, &sheet.kinds);
    if !sheet.at_its_word.is_empty() {
        at_its_word(&mut page, sheet);
    }
    if sheet.placed.is_empty() {
        nowhere(&mut page, sheet);
    } else {
        plan::legend(&mut page, sheet);
        for height in &sheet.heights {
            one_height(&mut page, sheet, height);
        }
        nowhere(&mut page, sheet);
    }
    steps::write(&mut page, sheet);
    page.finish()
}

fn head(page: &mut Page, sheet: &Sheet) {
    page.line(&sheet.title);
    if let Some(variant) = &sheet.variant {
        page.line(&format!("variant {}", words::quoted(variant)));
    }
    match sheet.extent {
        None => page.line(
            "This scenario has no positions: nothing says where its parts stand. Here are its parts, \
             and in which order to build them.",
        ),
        Some((corner, size)) => {
            page.line(&format!(
                "{} x {} x {} blocks (x, y, z) from {corner}, {} of them filled",
                size.x,
                size.y,
                size.z,
                sheet.filled_blocks()
            ));
            page.line(&format!("the layout's (0, 0, 0) is at {}", sheet.from));
        }
    }
    page.line(&build_words(&sheet.build));
    if sheet.problems > 0 {
        page.line(&format!(
            "{} with where the parts stand: what is built is not what was tried. `hallwright run` says \
             what is wrong.",
            counted(sheet.problems as u64, "problem")
        ));
    }
    let word = sheet.links.all.saturating_sub(sheet.links.proven);
    if sheet.extent.is_some() && word > 0 {
        let all = sheet.links.all;
        page.line(&format!(
            "{word} of {} taken at their word: no block makes them",
            counted(all as u64, "link")
        ));
    }
}

/// What to bring, in lines.
fn bring(page: &mut Page, bring: &Bring, kinds: &[Kind]) {
    let blocks = bring.blocks.iter();
    let mut listed: Vec<String> = blocks.map(|(sort, count)| sort.counted(*count)).collect();
    if bring.water_sources > 0 {
        listed.push(counted(bring.water_sources, "water source"));
    }
    let nothing = listed.is_empty() && bring.goods.is_empty();
    if !listed.is_empty() {
        labelled(page, "blocks", &listed.join(", "));
    }
    for (held_by, label) in [
        (HeldBy::Sieve, "sieves"),
        (HeldBy::Other, "goods"),
        (HeldBy::Box, "in boxes"),
    ] {
        let goods = bring.goods_of(kinds).filter(|one| one.held_by == held_by);
        let goods: Vec<String> = goods
            .map(|one| {
                let box_word = if one.is_box { " (box)" } else { "" };
                format!("{} {}{box_word}", one.count, kinds[one.kind.index()].name)
            })
            .collect();
        if !goods.is_empty() {
            labelled(page, label, &goods.join(", "));
        }
    }
    if nothing {
        page.line("  nothing");
    }
}

fn at_its_word(page: &mut Page, sheet: &Sheet) {
    heading(page, "Taken at its word: how it is built is yours");
    for one in &sheet.at_its_word {
        let at = one
            .piece
            .and_then(|piece| sheet.placed[piece].piece.blocks.first());
        let at = at.map_or_else(|| "nowhere".to_owned(), ToString::to_string);
        let set = words::settings(&one.settings, &sheet.kinds);
        let set = if set.is_empty() {
            set
        } else {
            format!(", {set}")
        };
        let links = counted(one.links as u64, "link");
        item(
            page,
            &format!("{} {}, {at}, {links}{set}", one.sort.words(), one.name),
        );
    }
}

fn one_height(page: &mut Page, sheet: &Sheet, height: &Height) {
    heading(page, &format!("Height y = {}", height.y));
    bring(page, &height.bring, &sheet.kinds);
    let new: Vec<&str> = height.new_sorts.iter().map(|sort| sort.words()).collect();
    if !new.is_empty() {
        labelled(page, "first", &new.join(", "));
    }
    plan::draw(page, sheet, height);
    plan::list(page, sheet, height);
}

fn nowhere(page: &mut Page, sheet: &Sheet) {
    if sheet.nowhere.is_empty() {
        return;
    }
    heading(
        page,
        "No plan has these: in a room, or the layout does not say where",
    );
    for part in &sheet.nowhere {
        let mut line = format!("{} {}", part.sort.words(), part.name);
        if let Some(room) = &part.room {
            line.push_str(&format!(" in {room}"));
        }
        add_set(&mut line, &words::settings(&part.settings, &sheet.kinds));
        add_held(&mut line, &words::contents(&part.contents, &sheet.kinds));
        add_declared(&mut line, &part.declared);
        item(page, &line);
    }
}

/// Adds settings, if there are any.
fn add_set(line: &mut String, settings: &str) {
    if !settings.is_empty() {
        line.push_str(", ");
        line.push_str(settings);
    }
}

/// Adds what something holds, by slot, if it holds anything.
fn add_held(line: &mut String, contents: &str) {
    if !contents.is_empty() {
        line.push_str(", holds by slot ");
        line.push_str(contents);
    }
}

/// Adds the links that no block makes, if there are any.
fn add_declared(line: &mut String, declared: &[Declared]) {
    if !declared.is_empty() {
        line.push_str(", by a way of yours ");
        line.push_str(&words::declared(declared));
    }
}

/// `1 link`, `2 links`.
fn counted(count: u64, what: &str) -> String {
    match count {
        1 => format!("1 {what}"),
        _ => format!("{count} {what}s"),
    }
}

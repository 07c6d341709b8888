//! The sheet as one page for browser and paper, with boxes to tick off.

mod tiles;

use std::collections::BTreeSet;

use hallwright_core::slot::Filling;
use hallwright_site::blocks::{Declared, Settings};
use hallwright_words::build_words;
use minijinja::{AutoEscape, Environment, Value, context};

use self::tiles::{Tile, tiles};
use crate::{Bring, Cell, Entry, Height, HeldBy, Sheet, Sort, words};

const TEMPLATE: &str = include_str!("sheet.html");
const STYLE: &str = include_str!("sheet.css");
const SCRIPT: &str = include_str!("sheet.js");

/// The sheet as a page that needs no other file. Nothing on it is said by colour alone; printed, each height
/// begins on a page of its own, cut into tiles that fit on A4 and on letter.
///
/// # Errors
///
/// If the template cannot be filled, which is a mistake of ours.
pub fn html(sheet: &Sheet) -> Result<String, minijinja::Error> {
    let mut environment = Environment::new();
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.add_template("sheet", TEMPLATE)?;
    let heights = sheet
        .heights
        .iter()
        .map(|height| height_value(sheet, height));
    environment.get_template("sheet")?.render(context! {
        style => STYLE,
        script => SCRIPT,
        title => shown(&sheet.title),
        variant => sheet.variant.as_deref().map(shown),
        from => sheet.from.to_string(),
        extent => sheet.extent.map(|(corner, size)| context! {
            corner => corner.to_string(),
            size => format!("{} x {} x {}", size.x, size.y, size.z),
        }),
        filled => sheet.filled_blocks(),
        build => build_words(&sheet.build),
        problems => sheet.problems,
        links => sheet.links.all,
        at_their_word => sheet.links.all.saturating_sub(sheet.links.proven),
        bring => bring_value(sheet, &sheet.bring),
        heights => heights.collect::<Vec<_>>(),
        letters => letters(sheet),
        steps => steps(sheet),
        word => at_its_word(sheet),
        nowhere => nowhere(sheet),
    })
}

/// A name as it is shown: nothing in it changes how what stands around it is read.
fn shown(name: &str) -> String {
    hallwright_names::text(name).into_owned()
}

fn bring_value(sheet: &Sheet, bring: &Bring) -> Value {
    let blocks = bring.blocks.iter();
    let mut blocks: Vec<Value> = blocks
        .map(|(sort, count)| context! { count => count, what => sort.words() })
        .collect();
    if bring.water_sources > 0 {
        blocks.push(context! { count => bring.water_sources, what => "water source" });
    }
    let goods = bring.goods_of(&sheet.kinds).map(|one| {
        context! {
            count => one.count,
            what => shown(&sheet.kinds[one.kind.index()].name),
            is_box => one.is_box,
            held_by => match one.held_by {
                HeldBy::Sieve => "for sieves",
                HeldBy::Other => "to lie ready",
                HeldBy::Box => "in boxes",
            },
        }
    });
    let goods: Vec<Value> = goods.collect();
    context! { blocks, goods }
}

fn height_value(sheet: &Sheet, height: &Height) -> Value {
    let Some(extent) = sheet.extent else {
        return Value::UNDEFINED; // A height has blocks, so there is an extent.
    };
    let tiles = tiles(height, extent);
    let count = tiles.len();
    let tiles = tiles.iter().enumerate();
    let tiles = tiles.map(|(number, tile)| tile_value(sheet, tile, (number + 1, count)));
    let new = height.new_sorts.iter().map(|sort| sort.words());
    context! {
        y => height.y,
        bring => bring_value(sheet, &height.bring),
        first => new.collect::<Vec<_>>().join(", "),
        tiles => tiles.collect::<Vec<_>>(),
        parts => parts_of(sheet, height),
    }
}

fn tile_value(sheet: &Sheet, tile: &Tile<'_>, (number, of): (usize, usize)) -> Value {
    let row = |z: i32| {
        let cells = (tile.x.0..=tile.x.1).map(|x| match tile.at(x, z) {
            Some(cell) => cell_value(sheet, cell),
            None => Value::from(()),
        });
        context! { z => z, cells => cells.collect::<Vec<_>>() }
    };
    context! {
        number => number,
        of => of,
        columns => (tile.x.0..=tile.x.1).collect::<Vec<_>>(),
        rows => (tile.z.0..=tile.z.1).map(row).collect::<Vec<_>>(),
    }
}

fn cell_value(sheet: &Sheet, cell: &Cell) -> Value {
    let letter = if cell.is_source {
        'W'
    } else {
        cell.sort.letter()
    };
    context! {
        letter => letter.to_string(),
        sign => cell.facing.map(|side| side.sign().to_string()),
        is_new => cell.is_new,
        is_open => cell.is_open,
        title => format!("{} {}, {}", cell.sort.words(), shown(sheet.name(cell.piece)), cell.block),
    }
}

/// What stands on a height and has a name: each thing once, where its first block is.
fn parts_of(sheet: &Sheet, height: &Height) -> Vec<Value> {
    let named = height.cells.iter().filter(|cell| {
        let own = &sheet.placed[cell.piece];
        cell.index == 0 && !own.piece.name.is_empty()
    });
    named
        .map(|cell| {
            let own = &sheet.placed[cell.piece];
            let settings = own.piece.settings.as_ref();
            context! {
                id => format!("p{}", cell.piece),
                at => cell.block.to_string(),
                letter => cell.sort.letter().to_string(),
                what => cell.sort.words(),
                name => shown(&own.piece.name),
                facing => cell.facing.map(words::side),
                is_fastened => matches!(cell.sort, Sort::Inverter | Sort::Lever | Sort::Button),
                set => settings.map(|settings| set(sheet, settings)),
                holds => holds(sheet, &own.piece.contents),
                ways => Some(&own.piece).filter(|_| cell.index == 0).map(|piece| ways(&piece.declared)),
            }
        })
        .collect()
}

/// How a part is set; nothing of what its sort says already.
fn set(sheet: &Sheet, settings: &Settings) -> String {
    match settings {
        Settings::Container { .. } => String::new(),
        _ => shown(&words::settings(settings, &sheet.kinds)),
    }
}

/// The links that no block makes.
fn ways(declared: &[Declared]) -> String {
    shown(&words::declared(declared))
}

/// What something holds, slot by slot; neighbouring slots that hold the same stand together.
fn holds(sheet: &Sheet, contents: &[Filling]) -> String {
    let mut runs: Vec<(u16, &Filling)> = Vec::new();
    for filling in contents {
        match runs.last_mut() {
            Some((last, first))
                if last.checked_add(1) == Some(filling.slot) && same(first, filling) =>
            {
                *last = filling.slot;
            }
            _ => runs.push((filling.slot, filling)),
        }
    }
    let each = runs.iter().map(|(last, first)| {
        let one = words::contents(std::slice::from_ref(first), &sheet.kinds);
        let what = one.split_once(": ").map_or(one.as_str(), |(_, what)| what);
        match first.slot == *last {
            true => format!("{last}: {what}"),
            false => format!("{} to {last}: {what} each", first.slot),
        }
    });
    shown(&each.collect::<Vec<_>>().join(", "))
}

/// Whether two slots hold the same.
fn same(one: &Filling, other: &Filling) -> bool {
    let slot = other.slot;
    Filling {
        slot,
        ..one.clone()
    } == *other
}

/// The letters of what there is.
fn letters(sheet: &Sheet) -> Vec<Value> {
    let sorts: BTreeSet<Sort> = sheet.placed.iter().map(|own| own.sort).collect();
    let mut letters: Vec<Value> = sorts
        .iter()
        .map(|sort| context! { letter => sort.letter().to_string(), what => sort.words() })
        .collect();
    if sheet.bring.water_sources > 0 {
        letters.push(context! { letter => "W", what => "stream, where water is poured" });
    }
    letters
}

fn steps(sheet: &Sheet) -> Vec<Value> {
    let steps = sheet.order.iter().enumerate();
    steps
        .map(|(step, own)| {
            let numbered = own.entries.iter().enumerate();
            let entries = numbered.map(|(number, entry)| entry_value(sheet, entry, (step, number)));
            context! { doing => own.doing.words(), entries => entries.collect::<Vec<_>>() }
        })
        .collect()
}

fn entry_value(sheet: &Sheet, entry: &Entry, (step, number): (usize, usize)) -> Value {
    let placed = entry.piece.map(|piece| &sheet.placed[piece]);
    let at = placed.and_then(|own| own.piece.blocks.first());
    let nowhere = || {
        let nowhere = sheet.nowhere.iter();
        nowhere.clone().find(|own| Some(own.part) == entry.part)
    };
    let name = match entry.piece {
        Some(piece) => sheet.name(piece).to_owned(),
        None => nowhere().map_or_else(String::new, |own| own.name.clone()),
    };
    context! {
        id => format!("s{step}-{number}"),
        name => shown(&name),
        at => at.map(ToString::to_string),
        ring => entry.ring,
        lever => entry.lever_words(),
        is_restless => entry.is_restless,
    }
}

fn at_its_word(sheet: &Sheet) -> Vec<Value> {
    let all = sheet.at_its_word.iter();
    all.map(|own| {
        let at = own
            .piece
            .and_then(|piece| sheet.placed[piece].piece.blocks.first());
        context! {
            what => own.sort.words(),
            name => shown(&own.name),
            at => at.map(ToString::to_string),
            links => own.links,
            set => set(sheet, &own.settings),
        }
    })
    .collect()
}

fn nowhere(sheet: &Sheet) -> Vec<Value> {
    let all = sheet.nowhere.iter();
    all.map(|own| {
        context! {
            what => own.sort.words(),
            name => shown(&own.name),
            set => set(sheet, &own.settings),
            holds => holds(sheet, &own.contents),
            room => own.room.as_deref().map(shown),
            ways => ways(&own.declared),
        }
    })
    .collect()
}

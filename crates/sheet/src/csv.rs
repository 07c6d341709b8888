//! The sheet as a table for programs and spreadsheets: `docs/do/sheet.md` says what each column is.

use csv::Writer;
use hallwright_core::goods::Kind;
use hallwright_core::slot::Filling;
use hallwright_site::blocks::Settings;

use crate::{Cell, Nowhere, PlacedPiece, Sheet, Sort, words};

/// The columns, in their order.
const COLUMNS: [&str; 17] = [
    "piece", "block", "what", "x", "y", "z", "name", "facing", "settings", "contents", "openings",
    "meant", "declared", "source", "new", "part", "open",
];

/// One row for each block, from below, by z and by x; behind them what has no block.
///
/// What belongs to a whole piece stands in the row of its first block. The table says all that there is to say
/// of every [`Piece`](hallwright_site::blocks::Piece): whoever places its rows has the same hall.
#[must_use]
pub fn csv(sheet: &Sheet) -> String {
    let mut table = Writer::from_writer(Vec::new());
    // Writing to memory cannot fail, and all rows have the same length.
    let _ = table.write_record(COLUMNS);
    for cell in sheet.heights.iter().flat_map(|height| &height.cells) {
        let _ = table.write_record(block_row(sheet, cell));
    }
    let numbered = sheet.placed.iter().enumerate();
    for (number, placed) in numbered.filter(|(_, placed)| placed.piece.blocks.is_empty()) {
        let mut row = whole(sheet, placed);
        row[0] = number.to_string();
        let _ = table.write_record(row);
    }
    for part in &sheet.nowhere {
        let _ = table.write_record(nowhere_row(sheet, part));
    }
    let bytes = table.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// The row of one block.
fn block_row(sheet: &Sheet, cell: &Cell) -> [String; COLUMNS.len()] {
    let placed = &sheet.placed[cell.piece];
    let mut row = if cell.index == 0 {
        whole(sheet, placed)
    } else {
        let mut row: [String; COLUMNS.len()] = Default::default();
        row[2] = placed.sort.words().to_owned();
        row[6] = name(&placed.piece.name);
        row
    };
    row[0] = cell.piece.to_string();
    row[1] = (cell.index + 1).to_string();
    row[3] = cell.block.x.to_string();
    row[4] = cell.block.y.to_string();
    row[5] = cell.block.z.to_string();
    row[7] = cell.facing.map_or("", words::side).to_owned();
    row[13] = yes(cell.is_source);
    row[14] = yes(cell.is_new);
    row[16] = yes(cell.is_open);
    row
}

/// What is said of a whole piece.
fn whole(sheet: &Sheet, placed: &PlacedPiece) -> [String; COLUMNS.len()] {
    let piece = &placed.piece;
    let mut row = described(
        &sheet.kinds,
        placed.sort,
        &piece.name,
        piece.settings.as_ref(),
        &piece.contents,
    );
    row[10] = words::openings(&piece.openings);
    let meant: Vec<String> = piece.meant.iter().map(|name| words::quoted(name)).collect();
    row[11] = meant.join(", ");
    row[12] = words::declared(&piece.declared);
    row[15] = yes(placed.part.is_some());
    row
}

/// The row of a part that stands nowhere.
fn nowhere_row(sheet: &Sheet, part: &Nowhere) -> [String; COLUMNS.len()] {
    let mut row = described(
        &sheet.kinds,
        part.sort,
        &part.name,
        Some(&part.settings),
        &part.contents,
    );
    row[12] = words::declared(&part.declared);
    row[15] = yes(true);
    row
}

/// A row with what something is, and how it is set and filled.
fn described(
    kinds: &[Kind],
    sort: Sort,
    called: &str,
    settings: Option<&Settings>,
    contents: &[Filling],
) -> [String; COLUMNS.len()] {
    let mut row: [String; COLUMNS.len()] = Default::default();
    row[2] = sort.words().to_owned();
    row[6] = name(called);
    row[8] = settings.map_or_else(String::new, |settings| words::settings(settings, kinds));
    row[9] = words::contents(contents, kinds);
    row
}

/// A name that a program reads as it is: in quotes if it would be taken for a formula or hides something.
fn name(name: &str) -> String {
    let is_plain = hallwright_names::csv_cell(name) == name && !name.starts_with(['"', '\'']);
    if is_plain {
        name.to_owned()
    } else {
        words::quoted(name)
    }
}

/// `yes`, or nothing.
fn yes(is_so: bool) -> String {
    if is_so { "yes" } else { "" }.to_owned()
}

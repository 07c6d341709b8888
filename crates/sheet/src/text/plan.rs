//! A height drawn in signs, and below it a list of what is set.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_declared::space::{Block, Side};
use hallwright_names::Page;

use super::page::{heading, item, labelled};
use super::{add_declared, add_held, add_set};
use crate::{Cell, Height, Sheet, Sort, words};

/// More blocks in all plans together than this are not drawn: two parts at two ends of the world would fill the
/// disk with open blocks.
const MOST_CELLS: i64 = 4_000_000;

/// What the letters and signs mean: of those that the plans have.
pub(super) fn legend(page: &mut Page, sheet: &Sheet) {
    let cells = || sheet.heights.iter().flat_map(|height| &height.cells);
    let sorts: BTreeSet<Sort> = cells().map(|cell| cell.sort).collect();
    heading(
        page,
        "Plans are seen from above: x goes right, z goes down the page",
    );
    let letters: Vec<String> = sorts
        .iter()
        .map(|sort| format!("{} {}", sort.letter(), sort.words()))
        .collect();
    labelled(page, "letters", &format!("{}, . open", letters.join(", ")));
    labelled(
        page,
        "signs",
        "> to +x, < to -x, ! to +z, ^ to -z, + up, - down: where an outlet, front or eye points, where \
         something is fastened, where the other half or the next water is",
    );
    labelled(
        page,
        "marks",
        "' not like the block directly below: new on this height",
    );
}

/// The plan of a height, in several if it is too wide.
pub(super) fn draw(page: &mut Page, sheet: &Sheet, height: &Height) {
    let Some((corner, size)) = sheet.extent else {
        return;
    };
    page.blank();
    let in_one = i64::from(size.x).saturating_mul(i64::from(size.z));
    if in_one.saturating_mul(sheet.heights.len() as i64) > MOST_CELLS {
        page.line("  The plans are too large to be drawn; the table has every block.");
        return;
    }
    let signs = signs(height);
    let last = corner + (size - Block::new(1, 1, 1));
    let length = |number: i32| number.to_string().len();
    let cell_width = 4.max(length(corner.x).max(length(last.x)) + 1);
    let row_width = 4.max(length(corner.z).max(length(last.z)) + 2);
    let in_a_row = ((page.width().saturating_sub(row_width)) / cell_width).max(1);
    let xs: Vec<i32> = (corner.x..=last.x).collect();
    for (number, xs) in xs.chunks(in_a_row).enumerate() {
        if number > 0 {
            page.blank();
        }
        let columns = xs.iter().map(|x| format!("{x:<cell_width$}"));
        let label = format!("{:<row_width$}", "z/x");
        page.unbroken(&format!("{label}{}", columns.collect::<String>()));
        for z in corner.z..=last.z {
            let row = xs.iter().map(|x| {
                let sign = signs.get(&(z, *x)).map_or(".", String::as_str);
                format!("{sign:<cell_width$}")
            });
            let label = format!("{z:<row_width$}");
            page.unbroken(&format!("{label}{}", row.collect::<String>()));
        }
    }
}

/// What is drawn at each z and x.
fn signs(height: &Height) -> BTreeMap<(i32, i32), String> {
    let mut signs = BTreeMap::new();
    for cell in &height.cells {
        // Where a stream ends in its mouth, the water is drawn.
        let is_water = cell.sort == Sort::Stream;
        let at = (cell.block.z, cell.block.x);
        if is_water || !signs.contains_key(&at) {
            signs.insert(at, sign(cell));
        }
    }
    signs
}

/// A letter, the sign of a facing, and a mark of what is new.
fn sign(cell: &Cell) -> String {
    let mut sign = String::from(cell.sort.letter());
    sign.extend(cell.facing.map(Side::sign));
    if cell.is_new {
        sign.push('\'');
    }
    sign
}

/// Everything of a height that has a name, or is set.
pub(super) fn list(page: &mut Page, sheet: &Sheet, height: &Height) {
    page.blank();
    for cell in &height.cells {
        let placed = &sheet.placed[cell.piece];
        let is_plain = matches!(cell.sort, Sort::Full | Sort::Cap | Sort::Wire);
        if is_plain && placed.piece.name.is_empty() {
            continue;
        }
        let mut line = format!("{} {} {}", cell.block, cell.sort.words(), placed.piece.name);
        if let Some(facing) = cell.facing {
            line.push_str(", ");
            line.push_str(pointing(cell.sort));
            line.push(' ');
            line.push_str(words::side(facing));
        }
        if cell.is_source {
            line.push_str(", water is poured here");
        }
        if cell.index == 0 {
            let settings = placed.piece.settings.as_ref();
            let settings = settings.map(|settings| words::settings(settings, &sheet.kinds));
            add_set(&mut line, &settings.unwrap_or_default());
            add_held(
                &mut line,
                &words::contents(&placed.piece.contents, &sheet.kinds),
            );
            let openings = words::openings(&placed.piece.openings);
            if !openings.is_empty() {
                line.push_str(", open at ");
                line.push_str(&openings);
            }
            add_declared(&mut line, &placed.piece.declared);
        }
        item(page, &line);
    }
}

/// What the facing of a sort is.
fn pointing(sort: Sort) -> &'static str {
    match sort {
        Sort::Hopper => "outlet",
        Sort::Observer => "eye",
        Sort::Inverter | Sort::Lever | Sort::Button => "fastened",
        Sort::DoubleChest => "other half",
        Sort::Stream => "flows",
        _ => "front",
    }
}

//! Makes a table fit a page, by leaving out what matters least.

use std::collections::BTreeMap;

/// The header of the column that is left out first.
pub(super) const CURVE: &str = "over time";

/// The least that is left of a name, in characters.
const NAME_AT_LEAST: usize = 12;

/// A table's header and rows, shown within so many columns if that can be: first the curves go, then
/// the ticks beside seconds, then of names as much as can go with different names still different.
pub(super) fn fit(
    header: &[&str],
    rows: &[Vec<String>],
    width: usize,
) -> (Vec<String>, Vec<Vec<String>>) {
    let mut header: Vec<String> = header.iter().map(ToString::to_string).collect();
    let mut rows = rows.to_vec();
    if width_of(&header, &rows) > width
        && let Some(curve) = header.iter().position(|name| name == CURVE)
    {
        header.remove(curve);
        for row in &mut rows {
            row.remove(curve);
        }
    }
    if width_of(&header, &rows) > width {
        for cell in rows.iter_mut().flat_map(|row| row.iter_mut().skip(1)) {
            *cell = without_ticks(cell);
        }
    }
    let too_much = width_of(&header, &rows).saturating_sub(width);
    if too_much > 0 {
        let names = rows.iter().map(|row| length(&row[0])).max().unwrap_or(0);
        let room = names.saturating_sub(too_much).max(NAME_AT_LEAST);
        let full: Vec<String> = rows.iter().map(|row| row[0].clone()).collect();
        for (row, short) in rows.iter_mut().zip(all_shortened(&full, room)) {
            row[0] = short;
        }
    }
    (header, rows)
}

fn length(text: &str) -> usize {
    text.chars().count()
}

/// The columns that a table takes: its widest cells, two apart.
fn width_of(header: &[String], rows: &[Vec<String>]) -> usize {
    let widest = |column: usize| {
        let cells = rows.iter().map(|row| length(&row[column]));
        cells.chain([length(&header[column])]).max().unwrap_or(0)
    };
    (0..header.len()).map(widest).sum::<usize>() + 2 * header.len().saturating_sub(1)
}

/// `12.6 s (252 t)` as `12.6 s`.
fn without_ticks(cell: &str) -> String {
    match (cell.find(" ("), cell.find(" t)")) {
        (Some(open), Some(close)) if open < close => {
            format!("{}{}", &cell[..open], &cell[close + " t)".len()..])
        }
        _ => cell.to_owned(),
    }
}

/// Names within so many characters, or as few more as keep different names different. The end of a
/// name tells instances apart better than the beginning, so that as little of the beginning is kept
/// as will do.
fn all_shortened(names: &[String], room: usize) -> Vec<String> {
    let longest = names.iter().map(|name| length(name)).max().unwrap_or(0);
    for room in room..longest {
        for kept in 0..room {
            let short: Vec<String> = names
                .iter()
                .map(|name| shortened(name, room, kept))
                .collect();
            if are_kept_apart(names, &short) {
                return short;
            }
        }
    }
    names.to_vec()
}

/// A name within so many characters: so many of its beginning, `…`, and of its end what has room.
fn shortened(name: &str, room: usize, kept: usize) -> String {
    let all = length(name);
    if all <= room {
        return name.to_owned();
    }
    let beginning: String = name.chars().take(kept).collect();
    let end: String = name.chars().skip(all + 1 + kept - room).collect();
    format!("{beginning}…{end}")
}

/// Whether different names are shown differently.
fn are_kept_apart(names: &[String], short: &[String]) -> bool {
    let mut shown = BTreeMap::new();
    let mut pairs = short.iter().zip(names);
    pairs.all(|(short, name)| *shown.entry(short).or_insert(name) == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> ([&'static str; 3], Vec<Vec<String>>) {
        let row = ["part[0].row[43].line", "12.6 s (252 t)?", "▁▂▃"];
        (
            ["Section", "cleared", CURVE],
            vec![row.map(str::to_owned).to_vec()],
        )
    }

    #[test]
    fn a_table_that_fits_is_left_alone() {
        let (header, rows) = table();
        // 20 + 15 + 9 characters, and two gaps of two.
        assert_eq!(fit(&header, &rows, 48).1, rows);
    }

    #[test]
    fn what_matters_least_goes_first() {
        let (header, rows) = table();
        assert_eq!(fit(&header, &rows, 47).0, ["Section", "cleared"]);
        let narrow = fit(&header, &rows, 30).1;
        assert_eq!(narrow[0], ["part[0].row[43].line", "12.6 s?"]);
        let narrower = fit(&header, &rows, 24).1;
        // 15 characters are left for the name.
        assert_eq!(narrower[0], ["…].row[43].line", "12.6 s?"]);
    }

    fn names<const COUNT: usize>(names: [&str; COUNT]) -> Vec<String> {
        names.map(str::to_owned).to_vec()
    }

    #[test]
    fn names_that_differ_only_at_the_beginning_stay_different() {
        let stores = names([
            "oat.filter.store",
            "rye.filter.store",
            "barley.filter.store",
        ]);
        // Twelve characters from the end would be `…ilter.store` three times.
        let short = all_shortened(&stores, 12);
        assert_eq!(short, ["o…lter.store", "r…lter.store", "b…lter.store"]);
    }

    #[test]
    fn names_that_differ_in_the_middle_get_more_room() {
        let stores = names([
            "hall 1.row[12].store",
            "hall 1.row[13].store",
            "hall 1.row[13].store",
        ]);
        // The last eleven characters have the number among them. The same name twice stays the same.
        let short = all_shortened(&stores, 12);
        assert_eq!(short, ["…w[12].store", "…w[13].store", "…w[13].store"]);
        let far = names(["aaaaaaaaXbbbbbbbbbb", "aaaaaaaaYbbbbbbbbbb"]);
        // Nine of the beginning keep them apart, or eleven of the end: ten characters are the fewest.
        assert_eq!(all_shortened(&far, 8), ["aaaaaaaaX…", "aaaaaaaaY…"]);
    }

    #[test]
    fn a_short_name_is_not_shown_twice() {
        // The second would be `…ter.store` of ten characters, which is the first.
        let odd = names(["…ter.store", "oat.filter.store"]);
        assert_eq!(all_shortened(&odd, 10), ["…ter.store", "o…er.store"]);
    }
}

//! Makes a table fit a page, by leaving out what matters least.

/// The header of the column that is left out first.
pub(super) const CURVE: &str = "over time";

/// The least that is left of a name, in characters.
const NAME_AT_LEAST: usize = 12;

/// A table's header and rows, shown within so many columns if that can be: first the curves go, then
/// the ticks beside seconds, then the beginnings of names.
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
        for row in &mut rows {
            row[0] = shortened(&row[0], room);
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

/// The end of a name that is too long: it tells instances apart better than the beginning.
fn shortened(name: &str, room: usize) -> String {
    let too_much = length(name).saturating_sub(room);
    if too_much == 0 {
        return name.to_owned();
    }
    let rest: String = name.chars().skip(too_much + 1).collect();
    format!("…{rest}")
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
}

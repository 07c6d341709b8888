//! The account: where everything is at the end, as one table that adds up.

use super::page::Page;
use hallwright_report::findings::{Amounts, Findings};
use hallwright_report::units::grouped;

/// Writes the account. Boxes have their columns where there are any.
pub(super) fn write(page: &mut Page, found: &Findings) {
    let account = &found.account;
    if account.kinds.is_empty() {
        return;
    }
    let has_boxes = account.kinds.iter().any(|kind| kind.is_box);
    let row = |label: &str, amount: Amounts| {
        let mut cells = vec![label.to_owned(), grouped(amount.goods)];
        if has_boxes {
            cells.push(grouped(amount.boxes));
            cells.push(grouped(amount.goods_in_boxes));
        }
        cells
    };
    let mut rows = vec![row("there at the start", account.at_start)];
    if !account.sent.is_none() {
        rows.push(row("+ sent", account.sent));
    }
    if !account.refused.is_none() {
        rows.push(row("- refused", account.refused));
    }
    rows.extend(
        account
            .rows
            .iter()
            .map(|(standing, amount)| row(&format!("= {}", standing.words()), *amount)),
    );
    let header = ["Account", "items in no box", "boxes", "items in boxes"];
    let columns = if has_boxes { 4 } else { 2 };
    page.whole_table(&header[..columns], &rows);
}

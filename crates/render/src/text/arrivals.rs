//! What was refused, and what waited at the landing.

use super::page::Page;
use hallwright_report::findings::{ArrivalFinding, Findings};
use hallwright_report::units::{grouped, items, seconds};

/// Writes a line and a row for each arrival and kind, if anything was refused or waited.
pub(super) fn write(page: &mut Page, found: &Findings) {
    let of_note: Vec<&ArrivalFinding> = found
        .arrivals
        .iter()
        .filter(|row| row.refused_items + row.most_waiting_items > 0)
        .collect();
    if of_note.is_empty() {
        return;
    }
    let sum =
        |figure: fn(&ArrivalFinding) -> u64| -> u64 { found.arrivals.iter().map(figure).sum() };
    let mut words = vec![
        format!("{} sent", items(sum(|row| row.sent_items))),
        format!("{} delivered", grouped(sum(|row| row.delivered_items))),
    ];
    let when = |tick: hallwright_core::tick::Tick| seconds(tick.0, found.ticks_per_second);
    let refused = sum(|row| row.refused_items);
    let first = found.arrivals.iter().filter_map(|row| row.first_refused_at);
    if let Some(first) = first.min() {
        let refused = grouped(refused);
        words.push(format!(
            "{refused} refused, the first after {}",
            when(first)
        ));
    }
    if sum(|row| row.most_waiting_items) > 0 {
        let waiting = grouped(sum(ArrivalFinding::waiting_items));
        words.push(format!("{waiting} waiting at the landing"));
    }
    page.blank();
    page.line(&format!("Arrivals: {}", words.join(", ")));
    let rows: Vec<Vec<String>> = of_note
        .iter()
        .map(|row| {
            let arrival = row.arrival.as_deref().unwrap_or("the operator");
            vec![
                format!("{arrival}: {}", row.kind),
                grouped(row.sent_items),
                grouped(row.delivered_items),
                grouped(row.refused_items),
                row.first_refused_at.map_or_else(String::new, when),
                grouped(row.waiting_items()),
                grouped(row.most_waiting_items),
            ]
        })
        .collect();
    let header = [
        "Arrival",
        "sent",
        "delivered",
        "refused",
        "first after",
        "waiting",
        "at most",
    ];
    page.table(&header, &rows);
}

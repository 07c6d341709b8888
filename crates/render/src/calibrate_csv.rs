//! Halls that were measured and what the weights make of them, as a table for programs.

use csv::Writer;

use hallwright_names::csv_cell;
use hallwright_trials::calibrate::Fit;

/// A line for each hall. A share of nothing is left empty.
#[must_use]
pub fn calibrate_csv(fit: &Fit) -> String {
    let mut table = Writer::from_writer(Vec::new());
    // Writing to memory cannot fail, and all rows have the same length.
    let _ = table.write_record([
        "name",
        "hopper_turns",
        "comparator_updates",
        "loose_stacks",
        "ms_per_tick",
        "fitted_ms_per_tick",
        "off_ms",
        "off_percent",
    ]);
    for one in &fit.halls {
        let [turns, updates, loose] = one.hall.counts.map(|count| format!("{count:.4}"));
        let share = one.off_share();
        let _ = table.write_record([
            csv_cell(&one.hall.name).into_owned(),
            turns,
            updates,
            loose,
            format!("{:.6}", one.hall.measured_ms),
            format!("{:.6}", one.fitted_ms),
            format!("{:.6}", one.off_ms()),
            share.map_or_else(String::new, |share| format!("{:.3}", share * 100.0)),
        ]);
    }
    let bytes = table.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

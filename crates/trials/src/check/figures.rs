//! The figures of a run that are worth keeping, each with its unit.

use std::collections::BTreeMap;

use hallwright_report::figures::{Amount, Name, Quantity};
use hallwright_report::findings::Findings;

/// Figures by name, each as it is written: a number and its unit.
pub(super) type Figures = BTreeMap<String, String>;

/// The figures of a run. They are whole numbers, or have so many decimals that no change hides.
pub(super) fn figures(found: &Findings) -> Figures {
    let rows = Name::all().flat_map(|name| name.recorded(found));
    rows.map(|(name, quantity)| (plain(&name), written(quantity)))
        .collect()
}

fn written(quantity: Quantity) -> String {
    let (unit, things) = (quantity.unit.words(), quantity.unit.things().1);
    match (quantity.amount, quantity.value()) {
        (Amount::Share(share), _) => format!("{} of {} {things}", share.part, share.whole),
        (Amount::Rate(..) | Amount::Mean { .. }, Some(value)) => format!("{value:.4} {unit}"),
        _ => match quantity.whole() {
            Some(whole) => format!("{whole} {unit}"),
            None => "never".to_owned(),
        },
    }
}

/// A name that stays on its line.
pub(super) fn plain(name: &str) -> String {
    name.replace(char::is_control, " ").trim().to_owned()
}

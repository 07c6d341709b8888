//! The figures of a run that are worth keeping, each with its unit.

use std::collections::BTreeMap;

use hallwright_report::figures::{Amount, Name, Quantity};
use hallwright_report::findings::{DrawnLinkFinding, Findings};

/// What the names of links begin with.
pub(super) const LINK: &str = "link: ";

/// Figures by name, each as it is written: a number and its unit.
pub(super) type Figures = BTreeMap<String, String>;

/// The figures of a run. They are whole numbers, or have so many decimals that no change hides. What the blocks
/// of drawn parts make is kept beside them, since nobody declares it.
pub(super) fn figures(found: &Findings) -> Figures {
    let rows = Name::all().flat_map(|name| name.recorded(found));
    let rows = rows.map(|(name, quantity)| (plain(&name), written(quantity)));
    let links = drawn_links(found).filter(|link| !link.to.is_empty());
    let links = links.map(|link| (link_name(link), plain(&link.to.join(", "))));
    rows.chain(links).collect()
}

/// How each link that a drawn part has or could have is mended, by the name of its figure.
pub(super) fn helps(found: &Findings) -> BTreeMap<String, String> {
    drawn_links(found)
        .map(|link| (link_name(link), link.help.clone()))
        .collect()
}

fn drawn_links(found: &Findings) -> impl Iterator<Item = &DrawnLinkFinding> {
    found.site.iter().flat_map(|site| &site.drawn_links)
}

fn link_name(link: &DrawnLinkFinding) -> String {
    plain(&format!("{LINK}{}", link.name))
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

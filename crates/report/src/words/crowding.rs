//! What is crowded, in words.

use hallwright_analysis::crowding::{Around, Crowded};
use hallwright_core::network::Network;

/// `crowded: "barrel": 10 hoppers draw from it, 1 fits`.
#[must_use]
pub fn crowded_words(network: &Network, crowded: &Crowded) -> String {
    let Crowded { there, fits, .. } = crowded;
    let what = match crowded.around {
        Around::Drawing => "hoppers draw from it",
        Around::Pushing => "hoppers push into it",
        Around::Reading => "comparators read it",
        Around::Touching => "parts touch it",
        Around::BelowMouth => "hoppers stand below it",
    };
    let fit = if *fits == 1 { "fits" } else { "fit" };
    let name = network.name(crowded.part);
    format!("crowded: \"{name}\": {there} {what}, {fits} {fit}")
}

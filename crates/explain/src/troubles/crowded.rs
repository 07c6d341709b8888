//! Where more stands around a block than fits.

use hallwright_report::units::listed;

use super::{Scene, TroubleCause};

/// How many parts are named.
const NAMED: usize = 6;

pub(super) fn explain(scene: &Scene<'_>) -> Vec<TroubleCause> {
    let places = scene.findings.crowded.iter();
    let causes = places.map(|place| {
        let mut cause = TroubleCause::of(place.words.clone());
        cause.say(format!("they are {}", listed(&place.parts, NAMED)));
        cause.advise(format!(
            "spread them over more blocks than {} alone, or allow it with Crowded([\"{}\"])",
            place.part, place.part
        ));
        cause
    });
    causes.collect()
}

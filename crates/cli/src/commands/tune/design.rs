//! The design that was found, as a variant of the scenario.

use hallwright_scenario::{Loaded, ParameterRange};
use hallwright_trials::tune::FoundVariant;

/// What the variant is called, unless the scenario has one of that name.
const NAME: &str = "found";

/// The variant with these values, by their places in their ranges. What the base variant sets, and no
/// range changes, is part of it.
pub(super) fn design(base: &Loaded, ranges: &[ParameterRange], values: &[usize]) -> FoundVariant {
    let is_in_range = |name: &str| ranges.iter().any(|range| range.name == name);
    let kept = base.variant_values.iter();
    let kept = kept.filter(|(name, _)| !is_in_range(name));
    let kept = kept.map(|(name, value)| entry(name, value));
    let chosen = ranges.iter().zip(values);
    let chosen = chosen.map(|(range, value)| entry(&range.name, &range.values[*value].ron()));
    let entries: Vec<String> = kept.chain(chosen).collect();
    let name = unused_name(&base.variants);
    FoundVariant {
        text: format!("{}: {{{}}},", quoted(&name), entries.join(", ")),
        name,
    }
}

fn entry(name: &str, value: &str) -> String {
    format!("{}: {value}", quoted(name))
}

/// A text as RON has it.
fn quoted(text: &str) -> String {
    format!("{text:?}")
}

/// `found`, or `found 2` if the scenario has that already, and so on.
fn unused_name(variants: &[String]) -> String {
    let further = (2..).map(|number| format!("{NAME} {number}"));
    let mut names = std::iter::once(NAME.to_owned()).chain(further);
    let unused = names.find(|name| !variants.contains(name));
    unused.unwrap_or_else(|| NAME.to_owned())
}

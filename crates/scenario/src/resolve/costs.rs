//! How long the world takes for what the hall does.

use hallwright_declared::declarations::CostWeights;

use super::Resolver;
use super::names::ScopeId;
use crate::diagnostic::Diagnostic;
use crate::ids;

/// The most microseconds that anything takes: a second.
const MOST_MICROSECONDS: f64 = 1_000_000.0;

/// What a microsecond has.
const PICOSECONDS_A_MICROSECOND: f64 = 1_000_000.0;

/// The fields, in the order in which they are written.
const FIELDS: [&str; 4] = [
    "hopper_turn_us",
    "comparator_update_us",
    "loose_stack_us",
    "base_us",
];

/// The weight that this field is.
fn weight<'w>(weights: &'w mut CostWeights, field: &str) -> Option<&'w mut u64> {
    Some(match field {
        "hopper_turn_us" => &mut weights.hopper_turn_picoseconds,
        "comparator_update_us" => &mut weights.comparator_update_picoseconds,
        "loose_stack_us" => &mut weights.loose_stack_picoseconds,
        "base_us" => &mut weights.base_picoseconds,
        _ => return None,
    })
}

/// The weights as a layout writes them: each with its field, in microseconds.
pub fn written_weights(weights: &CostWeights) -> [(&'static str, String); 4] {
    let mut weights = *weights;
    FIELDS.map(|field| {
        let picoseconds = weight(&mut weights, field).map_or(0, |weight| *weight);
        let (whole, rest) = (picoseconds / 1_000_000, picoseconds % 1_000_000);
        let rest = format!("{rest:06}");
        let rest = rest.trim_end_matches('0');
        let rest = if rest.is_empty() { "0" } else { rest };
        (field, format!("{whole}.{rest}"))
    })
}

impl Resolver<'_> {
    /// What `costs` says; `None` if nothing does.
    pub(super) fn costs(&mut self) -> Option<CostWeights> {
        let document = self.document;
        let costs = document.costs.as_ref()?;
        let mut weights = CostWeights::default();
        for entry in &costs.list {
            let name = entry.name.text.as_str();
            let Some(weight) = weight(&mut weights, name) else {
                let message = format!("`costs` has no field `{name}`");
                let problem = Diagnostic::error(ids::UNKNOWN_FIELD, entry.name.span, message);
                self.problems.report_unknown(problem, name, FIELDS);
                continue;
            };
            let Some(value) = &entry.value else { continue };
            if let Some(microseconds) = self.decimal(ScopeId::TOP, value, MOST_MICROSECONDS) {
                // Rounded to a picosecond, of which there are at most a million million.
                *weight = (microseconds * PICOSECONDS_A_MICROSECOND).round() as u64;
            }
        }
        if self.rules.work_try <= self.rules.work_idle {
            let rules = &document.rules.list;
            let at = rules.iter().find(|entry| entry.name.text == "work_try");
            let at = at.or(rules.first());
            let at = at.map_or(document.head, |entry| entry.name.span);
            let message = "`costs` counts the turns in which a hopper gets as far as pushing, but \
                           these rules make them no dearer than others";
            let problem = Diagnostic::error(ids::OUT_OF_RANGE, at, message);
            let help = "make `work_try` greater than `work_idle`, or leave out `costs`";
            self.problems.report(problem.help(help.to_owned()));
        }
        Some(weights)
    }
}

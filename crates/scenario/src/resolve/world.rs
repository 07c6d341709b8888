//! The world: rules, goods, seed, length of a run.

use hallwright_core::goods::{Kind, StackLimit};
use hallwright_core::id::KindId;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::rules::Rules;

use super::Resolver;
use super::layouts::ByName;
use super::names::ScopeId;
use crate::LoadOptions;
use crate::diagnostic::Diagnostic;
use crate::document::{Expression, GoodsDocument};
use crate::ids;
use crate::source::Span;
use crate::suggest::did_you_mean;

/// So many kinds a network may handle: the core stores a kind in 16 bits.
const MOST_KINDS: usize = 65_535;

/// So long may a run take: over a year and a half, at 20 ticks a second.
const LONGEST_RUN_TICKS: u64 = 1_000_000_000;

/// The goods by name.
#[derive(Default)]
pub(super) struct Goods<'d> {
    by_name: ByName<'d, Option<KindId>>,
    kinds: Vec<Kind>,
}

impl Goods<'_> {
    /// One kind.
    pub(super) fn kind(&self, id: KindId) -> &Kind {
        &self.kinds[id.index()]
    }

    /// The kinds that are boxes.
    pub(super) fn boxes(&self) -> impl Iterator<Item = KindId> {
        let all = self.kinds.iter().enumerate();
        all.filter(|(_, kind)| kind.is_box)
            .map(|(index, _)| KindId::from_index(index))
    }
}

/// The field of the rules that has this name.
fn rule_field<'r>(rules: &'r mut Rules, name: &str) -> Option<&'r mut u32> {
    Some(match name {
        "ticks_per_second" => &mut rules.ticks_per_second,
        "cooldown_ticks" => &mut rules.cooldown_ticks,
        "arrival_ticks" => &mut rules.arrival_ticks,
        "dropper_delay_ticks" => &mut rules.dropper_delay_ticks,
        "signal_delay_ticks" => &mut rules.signal_delay_ticks,
        "observer_pulse_ticks" => &mut rules.observer_pulse_ticks,
        "despawn_ticks" => &mut rules.despawn_ticks,
        "stream_speed_ten_thousandths" => &mut rules.stream_speed_ten_thousandths,
        "work_idle" => &mut rules.work_idle,
        "work_try" => &mut rules.work_try,
        "work_mouth" => &mut rules.work_mouth,
        "work_cap" => &mut rules.work_cap,
        _ => return None,
    })
}

/// The names that [`rule_field`] knows, for suggestions.
const RULE_NAMES: [&str; 12] = [
    "ticks_per_second",
    "cooldown_ticks",
    "arrival_ticks",
    "dropper_delay_ticks",
    "signal_delay_ticks",
    "observer_pulse_ticks",
    "despawn_ticks",
    "stream_speed_ten_thousandths",
    "work_idle",
    "work_try",
    "work_mouth",
    "work_cap",
];

/// The rules that are not as they are by default, by the names that they have in a layout.
pub fn rules_that_differ(rules: &Rules) -> impl Iterator<Item = (&'static str, u32)> {
    let (mut rules, mut defaults) = (*rules, Rules::default());
    RULE_NAMES.into_iter().filter_map(move |name| {
        let value = *rule_field(&mut rules, name)?;
        let default = *rule_field(&mut defaults, name)?;
        (value != default).then_some((name, value))
    })
}

impl<'d> Resolver<'d> {
    /// Sets rules, goods, seed and the length of a run.
    pub(super) fn set_up_world(&mut self, options: &LoadOptions) {
        self.set_up_rules();
        self.builder = NetworkBuilder::new(self.rules);
        self.set_up_goods();
        let written: Option<u64> = self
            .document
            .seed
            .as_ref()
            .and_then(|seed| self.number_from(ScopeId::TOP, seed, 0));
        self.seed = options.seed.or(written).unwrap_or(0);
        let run_for = self.document.run_for.as_ref();
        let run_ticks = run_for.and_then(|time| self.ticks(ScopeId::TOP, time));
        self.run_ticks = run_ticks.unwrap_or(0);
        if let Some(time) = run_for
            && self.run_ticks > LONGEST_RUN_TICKS
        {
            let message = format!("a run takes at most {LONGEST_RUN_TICKS} ticks");
            self.problems
                .report(Diagnostic::error(ids::RUN_TOO_LONG, time.span, message));
        }
        if let (Some(time), Some(0)) = (run_for, run_ticks) {
            let message = "a run takes at least 1 tick";
            self.problems
                .report(Diagnostic::error(ids::BAD_TIME, time.span, message));
        }
    }

    fn set_up_rules(&mut self) {
        let mut spans: Vec<(&str, Span)> = Vec::new();
        for entry in &self.document.rules.list {
            let name = entry.name.text.as_str();
            let mut rules = self.rules;
            let Some(field) = rule_field(&mut rules, name) else {
                let message = format!("there is no rule `{name}`");
                let problem = Diagnostic::error(ids::UNKNOWN_FIELD, entry.name.span, message);
                self.problems.report_unknown(problem, name, RULE_NAMES);
                continue;
            };
            let Some(value) = &entry.value else { continue };
            spans.push((name, value.span));
            if let Some(number) = self.number_from(ScopeId::TOP, value, 0) {
                *field = number;
                self.rules = rules;
            }
        }
        if let Some((field, value, range)) = self.rules.out_of_range() {
            let span = spans.iter().find(|(name, _)| *name == field);
            let message = format!("`{field}` is {value}, but must be {range}");
            let head = self.document.head;
            let span = span.map_or(head, |(_, span)| *span);
            self.problems
                .report(Diagnostic::error(ids::OUT_OF_RANGE, span, message));
            self.rules = Rules::default();
        }
    }

    fn set_up_goods(&mut self) {
        let mut first_spans: ByName<'_, Span> = ByName::default();
        for entry in &self.document.goods.list {
            let name = entry.name.text.as_str();
            if self.goods.kinds.len() == MOST_KINDS {
                let message = format!("there are more than {MOST_KINDS} kinds of goods");
                self.problems.report(Diagnostic::error(
                    ids::OUT_OF_RANGE,
                    entry.name.span,
                    message,
                ));
                return;
            }
            if let Some(first) = first_spans.insert(name, entry.name.span) {
                let message = format!("there are two goods named `{name}`");
                let problem = Diagnostic::error(ids::DUPLICATE_NAME, entry.name.span, message);
                self.problems
                    .report(problem.context(first, "first named here"));
                continue;
            }
            let id = match &entry.value {
                None => None,
                Some(GoodsDocument::Box) => {
                    self.goods.kinds.push(Kind {
                        name: name.to_owned(),
                        stack_limit: StackLimit::One,
                        is_box: true,
                    });
                    Some(self.builder.box_kind(name))
                }
                Some(GoodsDocument::Limit(limit)) => self.stack_limit(limit).map(|stack_limit| {
                    self.goods.kinds.push(Kind {
                        name: name.to_owned(),
                        stack_limit,
                        is_box: false,
                    });
                    self.builder.kind(name, stack_limit)
                }),
            };
            self.goods.by_name.insert(name, id);
        }
    }

    fn stack_limit(&mut self, limit: &'d Expression) -> Option<StackLimit> {
        let items: u32 = self.number_from(ScopeId::TOP, limit, 0)?;
        let known = StackLimit::from_items(items);
        if known.is_none() {
            let message = format!("{items} is no stack limit");
            let problem = Diagnostic::error(ids::BAD_NUMBER, limit.span, message);
            self.problems
                .report(problem.help("write 64, 16 or 1, or `Box`".to_owned()));
        }
        known
    }

    /// The goods of a name. Reports if there are none.
    pub(super) fn kind_named(&mut self, name: &str, span: Span) -> Option<KindId> {
        match self.goods.by_name.get(name) {
            Some(known) => *known,
            None => {
                let message = format!("there are no goods named `{name}`");
                let mut problem = Diagnostic::error(ids::UNKNOWN_GOODS, span, message);
                if did_you_mean(name, self.document.goods.names()).is_none() {
                    problem = problem.help(format!("add them to `goods`: `\"{name}\": 64`"));
                }
                self.problems
                    .report_not_in(problem, name, &self.document.goods);
                None
            }
        }
    }

    /// The goods that an expression names.
    pub(super) fn kind(&mut self, scope: ScopeId, expression: &'d Expression) -> Option<KindId> {
        let (name, written_in) = self.name(scope, expression)?;
        self.kind_written(written_in, &name, expression.span)
    }

    /// All goods that a list names.
    pub(super) fn kinds(&mut self, scope: ScopeId, list: &'d Expression) -> Vec<KindId> {
        let names = self.names(scope, list);
        names
            .into_iter()
            .filter_map(|(name, written_in, span)| self.kind_written(written_in, &name, span))
            .collect()
    }

    /// The goods of a name that is written in a scope. Reports if there are none.
    fn kind_written(&mut self, scope: ScopeId, name: &str, span: Span) -> Option<KindId> {
        if !self.goods.by_name.contains_key(name)
            && let Some(help) = self.forgotten_dollar(scope, name)
        {
            let message = format!("there are no goods named `{name}`");
            let problem = Diagnostic::error(ids::UNKNOWN_GOODS, span, message);
            self.problems.report(problem.help(help));
            return None;
        }
        self.kind_named(name, span)
    }
}

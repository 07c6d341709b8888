//! Sleep, reopening and signals that are stuck: what the operator does to many parts for a time.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::order::{Order, Orders};
use hallwright_core::timeline::Action;

use super::Resolver;
use super::names::ScopeId;
use super::sort::{SIGNAL, WITHDRAWABLE};
use crate::diagnostic::Diagnostic;
use crate::document::{
    Expression, FillDocument, OrderDocument, PowerOffDocument, ReopenDocument, SleepDocument,
    StuckDocument,
};
use crate::ids;
use crate::source::Span;

/// When and where an action is done.
#[derive(Clone, Copy)]
pub(super) struct Moment {
    /// The tick, as far as it is known.
    pub(super) at: Option<u64>,
    /// Whether a stop or its restart does it: these may be moved against all else.
    pub(super) in_stop: bool,
}

/// A spell that the text casts.
pub(super) struct Spell {
    moment: Moment,
    sort: Sort,
    parts: Vec<PartId>,
    ticks: u32,
    /// Where its parts are named.
    span: Span,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Sort {
    Sleep,
    Stuck,
}

impl Sort {
    fn words(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::Sleep => (ids::ALREADY_ASLEEP, "asleep", "fall asleep"),
            Self::Stuck => (ids::ALREADY_STUCK, "stuck", "get stuck"),
        }
    }
}

/// A spell of one part that has begun.
#[derive(Clone, Copy)]
struct Begun {
    over_at: u64,
    span: Span,
    in_stop: bool,
}

impl<'d> Resolver<'d> {
    pub(super) fn sleep(&mut self, sleep: &'d SleepDocument, moment: Moment) -> Option<Action> {
        let parts = self.many_parts(&sleep.parts);
        let sleep_ticks = self.spell_ticks(&sleep.time)?;
        self.cast(Sort::Sleep, (&parts, sleep.parts.span), sleep_ticks, moment);
        let is_any = !parts.is_empty();
        is_any.then_some(Action::Sleep { parts, sleep_ticks })
    }

    pub(super) fn stuck(&mut self, stuck: &'d StuckDocument, moment: Moment) -> Option<Action> {
        let named = self.names(ScopeId::TOP, &stuck.signals);
        let known = self.problems.count();
        let mut signals = self.many_parts(&stuck.signals);
        if let [(path, _, span)] = &named[..]
            && let [only] = signals[..]
        {
            // One part by its name must be a signal; of a module or region its signals are meant.
            self.fits(only, &SIGNAL, path, *span);
        }
        signals.retain(|part| self.is_signal(*part));
        if signals.is_empty() && !named.is_empty() && self.problems.count() == known {
            let message = "there is no signal among these";
            let problem = Diagnostic::error(ids::WRONG_PART, stuck.signals.span, message);
            let help = "name signals, or modules or regions with signals";
            self.problems.report(problem.help(help.to_owned()));
        }
        let on = self.flag(ScopeId::TOP, &stuck.on);
        let ticks = self.spell_ticks(&stuck.time);
        self.stick((signals, stuck.signals.span), on?, ticks?, moment)
    }

    pub(super) fn power_off(
        &mut self,
        power: &'d PowerOffDocument,
        moment: Moment,
    ) -> Option<Action> {
        let (mut signals, span) = match &power.parts {
            Some(parts) => (self.many_parts(parts), parts.span),
            None => {
                let all = (0..self.parts.len()).map(PartId::from_index);
                (all.collect(), power.time.span)
            }
        };
        signals.retain(|part| self.is_signal(*part));
        let ticks = self.spell_ticks(&power.time)?;
        self.stick((signals, span), false, ticks, moment)
    }

    fn stick(
        &mut self,
        (signals, span): (Vec<PartId>, Span),
        on: bool,
        stuck_ticks: u32,
        moment: Moment,
    ) -> Option<Action> {
        self.cast(Sort::Stuck, (&signals, span), stuck_ticks, moment);
        let is_any = !signals.is_empty();
        is_any.then_some(Action::Stick {
            signals,
            on,
            stuck_ticks,
        })
    }

    pub(super) fn is_signal(&self, part: PartId) -> bool {
        (SIGNAL.fits)(self.parts[part.index()].part)
    }

    /// For how many ticks a spell lasts, at least 1.
    fn spell_ticks(&mut self, time: &'d Expression) -> Option<u32> {
        let ticks = self.part_ticks(ScopeId::TOP, time)?;
        if ticks == 0 {
            let message = "this lasts at least 1 tick";
            let problem = Diagnostic::error(ids::BAD_TIME, time.span, message);
            self.problems
                .report(problem.help("give a time such as `\"30s\"`".to_owned()));
            return None;
        }
        Some(ticks)
    }

    fn cast(&mut self, sort: Sort, (parts, span): (&[PartId], Span), ticks: u32, moment: Moment) {
        self.spells.push(Spell {
            moment,
            sort,
            parts: parts.to_vec(),
            ticks,
            span,
        });
    }

    /// Reports of parts that are put to sleep while they sleep, and of signals that get stuck while they are.
    /// Stops may be moved, all together, so that what both they and the operator do cannot be judged.
    pub(super) fn report_spells_that_meet(&mut self) {
        let mut spells = std::mem::take(&mut self.spells);
        // In the order in which a run does them.
        spells.sort_by_key(|spell| (spell.moment.at, spell.moment.in_stop));
        let mut begun: BTreeMap<(Sort, PartId), Begun> = BTreeMap::new();
        for spell in &spells {
            let Some(at) = spell.moment.at else { continue };
            let next = Begun {
                over_at: at + u64::from(spell.ticks),
                span: spell.span,
                in_stop: spell.moment.in_stop,
            };
            for part in &spell.parts {
                let before = begun.insert((spell.sort, *part), next);
                let Some(before) = before else { continue };
                let is_apart = before.in_stop != next.in_stop;
                if is_apart || at < before.over_at {
                    self.report_spell(spell, *part, before, is_apart);
                    break;
                }
            }
        }
    }

    fn report_spell(&mut self, spell: &Spell, part: PartId, before: Begun, is_apart: bool) {
        let name = self.full_name(part);
        let (id, state, begin) = spell.sort.words();
        let (message, help) = if is_apart {
            (
                format!("both the operator and a stop let `{name}` {begin}"),
                "a stop may be moved: let one of the two do it".to_owned(),
            )
        } else {
            let tick = before.over_at;
            (
                format!("`{name}` is {state} already, until tick {tick}"),
                format!("it can {begin} again from that tick on"),
            )
        };
        let problem = Diagnostic::error(id, spell.span, message);
        let problem = problem.context(before.span, "since here");
        self.problems.report(problem.help(help));
    }

    pub(super) fn reopen(&mut self, reopen: &'d ReopenDocument) -> Option<Action> {
        let order = |resolver: &mut Self, document: &'d Option<OrderDocument>| match document {
            None => Some(Order::Declared),
            Some(order) => resolver.order(order),
        };
        let update = order(self, &reopen.order);
        let signal = order(self, &reopen.signal_order);
        let orders = Orders {
            update: update?,
            signal: signal?,
        };
        for document in [&reopen.order, &reopen.signal_order] {
            if let Some(OrderDocument::Listed(list)) = document {
                self.listed_orders.push((orders.clone(), list.span));
                break;
            }
        }
        Some(Action::Reopen { orders })
    }

    fn order(&mut self, order: &'d OrderDocument) -> Option<Order> {
        Some(match order {
            OrderDocument::Declared => Order::Declared,
            OrderDocument::Reversed => Order::Reversed,
            OrderDocument::Shuffled(seed) => {
                Order::Shuffled(self.number_from(ScopeId::TOP, seed, 0)?)
            }
            OrderDocument::Listed(list) => {
                let known = self.problems.count();
                let listed = self.many_parts_in_order(list);
                if self.problems.count() > known {
                    return None;
                }
                Order::Listed(listed)
            }
        })
    }

    /// The parts that a list names, one by one, in the order of the list.
    fn many_parts_in_order(&mut self, list: &'d Expression) -> Vec<PartId> {
        let mut parts = Vec::new();
        for (path, scope, span) in self.names(ScopeId::TOP, list) {
            parts.extend(self.parts_at(&path, scope, span));
        }
        parts
    }

    /// Reports of listed orders that do not name each of their parts once.
    pub(super) fn report_wrong_orders(&mut self, network: &Network) {
        for (orders, span) in std::mem::take(&mut self.listed_orders) {
            if let Some(message) = orders.problem(network) {
                let problem = Diagnostic::error(ids::WRONG_VALUE, span, message);
                let help = "a listed order names each of them once; `Reversed` and `Shuffled(1)` need no list";
                self.problems.report(problem.help(help.to_owned()));
            }
        }
    }

    pub(super) fn fill_by_hand(&mut self, fill: &'d FillDocument) -> Option<Action> {
        let top = ScopeId::TOP;
        let place = self.fitting_part(top, &fill.place, &WITHDRAWABLE);
        let item = self.item(top, &fill.kind);
        let item = item?;
        Some(Action::Fill {
            place: place?,
            kind: item.kind,
            contents: item.contents,
        })
    }
}

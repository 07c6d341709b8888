//! What arrives, and when.

use hallwright_core::chance::part_stream;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};
use rand::RngExt;

use super::Resolver;
use super::fillings::ItemValue;
use super::layouts::{names_of, unique};
use super::mixture::Mixture;
use super::names::ScopeId;
use super::sort::{DELIVERABLE, LOOSE, SIGNAL};
use crate::arrival::{Arrival, Course};
use crate::diagnostic::Diagnostic;
use crate::document::{
    AllAtOnceDocument, ArrivalDocument, ByChanceDocument, Conditional, Expression, ItemDocument,
    ListedArrivalsDocument, MixedByDocument, MixedDocument, SteadyDocument, WhenFullDocument,
};
use crate::ids;
use crate::source::Span;
use crate::text::Entry;

/// So many arrivals may there be in all; more would not be kept in memory for any use. A box counts
/// as one more for each slot that is filled in it, goods that arrive loose as more for each stack beyond the first.
const MOST_ARRIVALS: u64 = 5_000_000;

/// A loose stack takes as much memory in a run as so many arrivals before it.
const LOOSE_STACK: u64 = 10;

/// Rates and probabilities are kept in billionths, so that they are exact on every machine.
const BILLION: u32 = 1_000_000_000;

/// One delivery, to be done again and again.
pub(super) struct Delivery {
    /// Where to.
    pub(super) place: PartId,
    /// What.
    pub(super) item: ItemValue,
    /// How many each time.
    pub(super) count: u32,
}

impl Delivery {
    /// The delivery as an action.
    pub(super) fn action(&self, terms: Terms) -> Action {
        Action::Deliver {
            place: self.place,
            kind: self.item.kind,
            count: self.count,
            contents: self.item.contents.clone(),
            terms,
        }
    }
}

/// The ticks during which something arrives: from the first, up to but not including the last.
struct Period {
    from: u64,
    until: u64,
}

/// What every sort of arrival has.
struct Head<'a> {
    /// Where it stands.
    scope: ScopeId,
    /// Its full name.
    name: &'a str,
    /// Where its name is written.
    span: Span,
    /// On what terms its deliveries come.
    terms: Terms,
}

/// How fast something comes: number `n` comes `n * ticks / rate` ticks after the first, rounded down.
struct Pace {
    ticks: u128,
    rate: u64,
    /// Whether it was said as the ticks from one to the next.
    is_every: bool,
}

impl Pace {
    /// How many come in a period: the number of n with `n * ticks / rate < length`.
    fn count_in(&self, period: &Period) -> u64 {
        let length = u128::from(period.until - period.from);
        let count = (length * u128::from(self.rate)).div_ceil(self.ticks);
        u64::try_from(count).unwrap_or(u64::MAX)
    }

    /// When they come.
    fn ticks_in(&self, period: &Period) -> impl Iterator<Item = Tick> + use<> {
        let (from, ticks, rate) = (period.from, self.ticks, u128::from(self.rate));
        (0..self.count_in(period)).map(move |number| {
            let offset = u128::from(number) * ticks / rate;
            Tick(from + u64::try_from(offset).unwrap_or(u64::MAX))
        })
    }

    /// The ticks from one to the next, if that is how it was said.
    fn every_ticks(&self) -> Option<u64> {
        let ticks = u64::try_from(self.ticks).unwrap_or(u64::MAX);
        self.is_every.then_some(ticks)
    }
}

impl<'d> Resolver<'d> {
    /// Everything that arrives: of the top layout, then of every instance, each in the order of the
    /// text.
    pub(super) fn arrivals(&mut self) -> Vec<(Tick, Action)> {
        let mut all = Vec::new();
        for number in 0..self.scopes.len() {
            let scope = ScopeId(u32::try_from(number).unwrap_or(u32::MAX));
            let body = self.layouts.get(self.scopes[number].layout).body;
            if body.arrivals.list.is_empty() {
                continue;
            }
            self.problems.enter(scope);
            for entry in &body.arrivals.list {
                self.arrival(scope, entry, &mut all);
            }
        }
        self.problems.enter(ScopeId::TOP);
        all
    }

    /// One entry of a layout's arrivals.
    fn arrival(
        &mut self,
        scope: ScopeId,
        entry: &'d Entry<Conditional<ArrivalDocument>>,
        all: &mut Vec<(Tick, Action)>,
    ) {
        let Some((name, Some(document))) = self.present(scope, &entry.name, entry.value.as_ref())
        else {
            return;
        };
        let Some(terms) = self.terms(scope, document) else {
            return;
        };
        let head = Head {
            scope,
            name: &name,
            span: entry.name.span,
            terms,
        };
        let mut entries = Vec::new();
        let course = match document {
            ArrivalDocument::AllAtOnce(arrival) => self.all_at_once(&head, arrival, &mut entries),
            ArrivalDocument::Steady(arrival) => self.steady(&head, arrival, &mut entries),
            ArrivalDocument::ByChance(arrival) => self.by_chance(&head, arrival, &mut entries),
            ArrivalDocument::Mixed(arrival) => self.mixed(&head, arrival, &mut entries),
            ArrivalDocument::Listed(arrival) => self.listed(&head, arrival, &mut entries),
            ArrivalDocument::FromFile(arrival) => {
                self.listed_in_file(scope, arrival, terms, &mut entries);
                Some(Course::Listed(entries.clone()))
            }
        };
        if !entries.is_empty() {
            self.arrival_names.push(name.clone());
        }
        all.extend(entries);
        self.arrivals
            .extend(course.map(|course| Arrival { name, course }));
    }

    /// On what terms an arrival's deliveries come.
    fn terms(&mut self, scope: ScopeId, arrival: &'d ArrivalDocument) -> Option<Terms> {
        let (when_full, while_on) = match arrival {
            ArrivalDocument::AllAtOnce(arrival) => (&arrival.when_full, &arrival.while_on),
            ArrivalDocument::Steady(arrival) => (&arrival.when_full, &arrival.while_on),
            ArrivalDocument::ByChance(arrival) => (&arrival.when_full, &arrival.while_on),
            ArrivalDocument::Mixed(arrival) => (&arrival.when_full, &arrival.while_on),
            ArrivalDocument::Listed(arrival) => (&arrival.when_full, &arrival.while_on),
            ArrivalDocument::FromFile(arrival) => (&arrival.when_full, &arrival.while_on),
        };
        let while_on = match while_on {
            Some(signal) => Some(self.fitting_part(scope, signal, &SIGNAL)?),
            None => None,
        };
        Some(Terms {
            waits: matches!(when_full, Some(WhenFullDocument::Wait)),
            while_on,
            arrival: u32::try_from(self.arrival_names.len()).ok(),
        })
    }

    /// Whether so many more arrivals can be kept. Reports if not.
    pub(super) fn reserve_arrivals(&mut self, count: u64, action: &Action, span: Span) -> bool {
        let size = match action {
            Action::Deliver { contents, .. } => {
                let more_stacks = self.loose_stacks(action).saturating_sub(1);
                (1 + contents.len() as u64) * (1 + LOOSE_STACK * more_stacks)
            }
            _ => 1,
        };
        self.arrivals_size = self
            .arrivals_size
            .saturating_add(count.saturating_mul(size));
        let fits = self.arrivals_size <= MOST_ARRIVALS;
        if !fits {
            self.report_too_many_arrivals(span, self.arrivals_size.into());
        }
        fits
    }

    /// How many loose stacks come of a delivery at once.
    fn loose_stacks(&self, action: &Action) -> u64 {
        match action {
            Action::Deliver {
                place, kind, count, ..
            } if (LOOSE.fits)(self.parts[place.index()].part) => {
                let limit = self.goods.kind(*kind).stack_limit.items();
                u64::from(count.div_ceil(limit.into()))
            }
            _ => 0,
        }
    }

    /// What is delivered, where and how many.
    pub(super) fn delivery(
        &mut self,
        scope: ScopeId,
        place: &'d Expression,
        kind: &'d ItemDocument,
        count: Option<&'d Expression>,
    ) -> Option<Delivery> {
        let place = self.fitting_part(scope, place, &DELIVERABLE);
        let item = self.item(scope, kind);
        let count = match count {
            Some(count) => self.number_from(scope, count, 1),
            None => Some(1),
        };
        Some(Delivery {
            place: place?,
            item: item?,
            count: count?,
        })
    }

    fn all_at_once(
        &mut self,
        head: &Head<'_>,
        arrival: &'d AllAtOnceDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        let delivery = self.delivery(
            head.scope,
            &arrival.place,
            &arrival.kind,
            arrival.count.as_ref(),
        );
        let at = match &arrival.at {
            Some(at) => self.ticks(head.scope, at),
            None => Some(0),
        };
        let action = delivery?.action(head.terms);
        if !self.reserve_arrivals(1, &action, head.span) {
            return None;
        }
        entries.push((Tick(at?), action));
        Some(Course::Listed(entries.clone()))
    }

    fn listed(
        &mut self,
        head: &Head<'_>,
        arrival: &'d ListedArrivalsDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        for entry in &arrival.entries {
            let delivery =
                self.delivery(head.scope, &entry.place, &entry.kind, entry.count.as_ref());
            let at = self.ticks(head.scope, &entry.at);
            let (Some(delivery), Some(at)) = (delivery, at) else {
                continue;
            };
            let action = delivery.action(head.terms);
            if !self.reserve_arrivals(1, &action, entry.head) {
                return None;
            }
            entries.push((Tick(at), action));
        }
        Some(Course::Listed(entries.clone()))
    }

    fn period(
        &mut self,
        scope: ScopeId,
        from: Option<&'d Expression>,
        until: Option<&'d Expression>,
    ) -> Option<Period> {
        let start = match from {
            Some(from) => self.ticks(scope, from)?,
            None => 0,
        };
        let end = match until {
            Some(until) => self.ticks(scope, until)?,
            None => self.run_ticks,
        };
        if let (Some(until), true) = (until, end <= start) {
            let message = "this is not after `from`";
            self.problems
                .report(Diagnostic::error(ids::BAD_ORDER, until.span, message));
            return None;
        }
        Some(Period {
            from: start,
            until: end.max(start),
        })
    }

    fn steady(
        &mut self,
        head: &Head<'_>,
        arrival: &'d SteadyDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        let delivery = self.delivery(
            head.scope,
            &arrival.place,
            &arrival.kind,
            arrival.count.as_ref(),
        );
        let period = self.period(head.scope, arrival.from.as_ref(), arrival.until.as_ref());
        let pace = self.pace(
            head.scope,
            arrival.every.as_ref(),
            arrival.per_second.as_ref(),
            arrival.head,
        );
        let (action, period, pace) = (delivery?.action(head.terms), period?, pace?);
        if !self.reserve_arrivals(pace.count_in(&period), &action, head.span) {
            return None;
        }
        let ticks = pace.ticks_in(&period);
        entries.extend(ticks.map(|tick| (tick, action.clone())));
        Some(Course::Steady {
            delivery: action,
            every_ticks: pace.every_ticks(),
            billionths_per_second: pace.rate,
            from: Tick(period.from),
            until: Tick(period.until),
        })
    }

    /// How fast something comes: exactly one of these says it.
    fn pace(
        &mut self,
        scope: ScopeId,
        every: Option<&'d Expression>,
        per_second: Option<&'d Expression>,
        place: Span,
    ) -> Option<Pace> {
        match (every, per_second) {
            (Some(every), None) => match self.ticks(scope, every)? {
                0 => {
                    let message = "something every 0 ticks never ends";
                    self.problems
                        .report(Diagnostic::error(ids::BAD_TIME, every.span, message));
                    None
                }
                ticks => Some(Pace {
                    ticks: ticks.into(),
                    rate: 1,
                    is_every: true,
                }),
            },
            (None, Some(per_second)) => match self.billionths(scope, per_second, 1e6)? {
                0 => None,
                rate => Some(Pace {
                    ticks: u128::from(self.rules.ticks_per_second) * u128::from(BILLION),
                    rate,
                    is_every: false,
                }),
            },
            (every, _) => {
                let given = usize::from(every.is_some());
                self.report_one_of(place, "`every` and `per_second`", given);
                None
            }
        }
    }

    fn mixed(
        &mut self,
        head: &Head<'_>,
        arrival: &'d MixedDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        let scope = head.scope;
        let place = self.fitting_part(scope, &arrival.place, &DELIVERABLE);
        let count = match &arrival.count {
            Some(count) => self.number_from(scope, count, 1),
            None => Some(1),
        };
        let kinds = self.shares(scope, arrival);
        let period = self.period(scope, arrival.from.as_ref(), arrival.until.as_ref());
        let pace = self.pace(
            scope,
            arrival.every.as_ref(),
            arrival.per_second.as_ref(),
            arrival.head,
        );
        let (place, count, kinds, period, pace) = (place?, count?, kinds?, period?, pace?);
        let of_kind = |(kind, share): (KindId, u32)| {
            let action = Action::Deliver {
                place,
                kind,
                count,
                contents: Vec::new(),
                terms: head.terms,
            };
            (action, share)
        };
        let deliveries: Vec<(Action, u32)> = kinds.into_iter().map(of_kind).collect();
        if !self.reserve_arrivals(pace.count_in(&period), &deliveries[0].0, head.span) {
            return None;
        }
        let shares: Vec<u32> = deliveries.iter().map(|(_, share)| *share).collect();
        let is_by_chance = matches!(arrival.by, Some(MixedByDocument::Chance));
        let mut mixture = if is_by_chance {
            Mixture::by_chance(
                part_stream(self.seed, &format!("arrival {}", head.name)),
                shares,
            )
        } else {
            Mixture::in_turns(shares)
        };
        for tick in pace.ticks_in(&period) {
            entries.push((tick, deliveries[mixture.next()].0.clone()));
        }
        Some(Course::Mixed {
            deliveries,
            is_by_chance,
            every_ticks: pace.every_ticks(),
            billionths_per_second: pace.rate,
            from: Tick(period.from),
            until: Tick(period.until),
        })
    }

    /// The kinds of a mixed delivery with the share of each; at least one share is above 0.
    fn shares(&mut self, scope: ScopeId, arrival: &'d MixedDocument) -> Option<Vec<(KindId, u32)>> {
        let is_reported = self.problems.count();
        unique(
            names_of(&arrival.kinds).into_iter(),
            "shares",
            &mut self.problems,
        );
        let mut shares = Vec::new();
        for entry in &arrival.kinds.list {
            let kind = self.kind_named(&entry.name.text, entry.name.span);
            let value = entry.value.as_ref();
            let share = value.and_then(|share| self.number_from::<u32>(scope, share, 0));
            shares.extend(kind.zip(share));
        }
        if !arrival.kinds.is_whole || self.problems.count() > is_reported {
            return None;
        }
        if shares.iter().all(|(_, share)| *share == 0) {
            let message = "no kind has a share above 0";
            self.problems
                .report(Diagnostic::error(ids::BAD_NUMBER, arrival.head, message));
            return None;
        }
        Some(shares)
    }

    fn by_chance(
        &mut self,
        head: &Head<'_>,
        arrival: &'d ByChanceDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        let delivery = self.delivery(
            head.scope,
            &arrival.place,
            &arrival.kind,
            arrival.count.as_ref(),
        );
        let period = self.period(head.scope, arrival.from.as_ref(), arrival.until.as_ref());
        let chance = self.billionths(head.scope, &arrival.per_tick, 1.0);
        let (action, period, chance) = (delivery?.action(head.terms), period?, chance?);
        let expected =
            u128::from(period.until - period.from) * u128::from(chance) / u128::from(BILLION);
        if period.until - period.from > 100 * MOST_ARRIVALS || expected > MOST_ARRIVALS.into() {
            self.report_too_many_arrivals(head.span, expected);
            return None;
        }
        let mut stream = part_stream(self.seed, &format!("arrival {}", head.name));
        for tick in period.from..period.until {
            if u64::from(stream.random_range(0..BILLION)) < chance {
                if !self.reserve_arrivals(1, &action, head.span) {
                    return None;
                }
                entries.push((Tick(tick), action.clone()));
            }
        }
        Some(Course::ByChance {
            delivery: action,
            billionths_per_tick: chance,
            from: Tick(period.from),
            until: Tick(period.until),
        })
    }

    /// A number from 0 to `most` in billionths.
    fn billionths(&mut self, scope: ScopeId, number: &'d Expression, most: f64) -> Option<u64> {
        let number = self.decimal(scope, number, most)?;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the number is from 0 to a million"
        )]
        let billionths = (number * f64::from(BILLION)).round() as u64;
        Some(billionths)
    }

    fn report_too_many_arrivals(&mut self, span: Span, count: u128) {
        let message = format!("about {count} arrivals, more than the limit of {MOST_ARRIVALS}");
        let help =
            "let more come at a time, or less often; goods that arrive loose count by the stack"
                .to_owned();
        self.problems
            .report(Diagnostic::error(ids::TOO_MANY_ARRIVALS, span, message).help(help));
    }
}

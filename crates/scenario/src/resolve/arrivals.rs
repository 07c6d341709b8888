//! What arrives, and when.

use hallwright_core::chance::part_stream;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use rand::RngExt;

use super::Resolver;
use super::fillings::ItemValue;
use super::names::ScopeId;
use super::sort::DELIVERABLE;
use crate::arrival::{Arrival, Course};
use crate::diagnostic::Diagnostic;
use crate::document::{
    AllAtOnceDocument, ArrivalDocument, ByChanceDocument, Expression, ItemDocument,
    ListedArrivalsDocument, SteadyDocument,
};
use crate::ids;
use crate::source::Span;
use crate::text::Name;

/// So many arrivals may there be in all; more would not be kept in memory for any use. A box counts
/// as one more for each slot that is filled in it.
const MOST_ARRIVALS: u64 = 5_000_000;

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
    pub(super) fn action(&self) -> Action {
        Action::Deliver {
            place: self.place,
            kind: self.item.kind,
            count: self.count,
            contents: self.item.contents.clone(),
        }
    }
}

/// The ticks during which something arrives: from the first, up to but not including the last.
struct Period {
    from: u64,
    until: u64,
}

impl<'d> Resolver<'d> {
    /// Everything that arrives, in the order of the text.
    pub(super) fn arrivals(&mut self) -> Vec<(Tick, Action)> {
        let document = self.document;
        let mut all = Vec::new();
        for entry in &document.arrivals.list {
            let Some(arrival) = &entry.value else {
                continue;
            };
            if self.holds(ScopeId::TOP, arrival.when.as_ref()) != Some(true) {
                continue;
            }
            let mut entries = Vec::new();
            let course = match &arrival.value {
                ArrivalDocument::AllAtOnce(arrival) => self.all_at_once(arrival, &mut entries),
                ArrivalDocument::Steady(arrival) => self.steady(&entry.name, arrival, &mut entries),
                ArrivalDocument::ByChance(arrival) => {
                    self.by_chance(&entry.name, arrival, &mut entries)
                }
                ArrivalDocument::Listed(arrival) => self.listed(arrival, &mut entries),
                ArrivalDocument::FromFile(arrival) => {
                    self.listed_in_file(arrival, &mut entries);
                    Some(Course::Listed(entries.clone()))
                }
            };
            all.extend(entries);
            self.arrivals.extend(course.map(|course| Arrival {
                name: entry.name.text.clone(),
                course,
            }));
        }
        all
    }

    /// Whether so many more arrivals can be kept. Tells if not.
    pub(super) fn reserve_arrivals(&mut self, count: u64, action: &Action, span: Span) -> bool {
        let size = match action {
            Action::Deliver { contents, .. } => 1 + contents.len() as u64,
            _ => 1,
        };
        self.arrivals_size = self
            .arrivals_size
            .saturating_add(count.saturating_mul(size));
        let fits = self.arrivals_size <= MOST_ARRIVALS;
        if !fits {
            self.tell_too_many_arrivals(span, self.arrivals_size.into());
        }
        fits
    }

    /// What is delivered, where and how many.
    pub(super) fn delivery(
        &mut self,
        place: &'d Expression,
        kind: &'d ItemDocument,
        count: Option<&'d Expression>,
    ) -> Option<Delivery> {
        let place = self.fitting_part(ScopeId::TOP, place, &DELIVERABLE);
        let item = self.item(ScopeId::TOP, kind);
        let count = match count {
            Some(count) => self.number_from(ScopeId::TOP, count, 1),
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
        arrival: &'d AllAtOnceDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        let delivery = self.delivery(&arrival.place, &arrival.kind, arrival.count.as_ref());
        let at = match &arrival.at {
            Some(at) => self.ticks(ScopeId::TOP, at),
            None => Some(0),
        };
        entries.push((Tick(at?), delivery?.action()));
        Some(Course::Listed(entries.clone()))
    }

    fn listed(
        &mut self,
        arrival: &'d ListedArrivalsDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        for entry in &arrival.entries {
            let delivery = self.delivery(&entry.place, &entry.kind, entry.count.as_ref());
            let at = self.ticks(ScopeId::TOP, &entry.at);
            let (Some(delivery), Some(at)) = (delivery, at) else {
                continue;
            };
            let action = delivery.action();
            if !self.reserve_arrivals(1, &action, entry.head) {
                return None;
            }
            entries.push((Tick(at), action));
        }
        Some(Course::Listed(entries.clone()))
    }

    fn period(
        &mut self,
        from: Option<&'d Expression>,
        until: Option<&'d Expression>,
    ) -> Option<Period> {
        let start = match from {
            Some(from) => self.ticks(ScopeId::TOP, from)?,
            None => 0,
        };
        let end = match until {
            Some(until) => self.ticks(ScopeId::TOP, until)?,
            None => self.run_ticks,
        };
        if let (Some(until), true) = (until, end <= start) {
            let message = "this is not after `from`";
            self.problems
                .tell(Diagnostic::error(ids::BAD_ORDER, until.span, message));
            return None;
        }
        Some(Period {
            from: start,
            until: end.max(start),
        })
    }

    fn steady(
        &mut self,
        name: &'d Name,
        arrival: &'d SteadyDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        let delivery = self.delivery(&arrival.place, &arrival.kind, arrival.count.as_ref());
        let period = self.period(arrival.from.as_ref(), arrival.until.as_ref());
        // Arrival number n comes `n * ticks / rate` ticks after the first, rounded down.
        let (ticks, rate): (u128, u128) = match (&arrival.every, &arrival.per_second) {
            (Some(every), None) => match self.ticks(ScopeId::TOP, every) {
                Some(0) => {
                    let message = "something every 0 ticks never ends";
                    self.problems
                        .tell(Diagnostic::error(ids::BAD_TIME, every.span, message));
                    return None;
                }
                Some(ticks) => (ticks.into(), 1),
                None => return None,
            },
            (None, Some(per_second)) => match self.billionths(per_second, 1e6) {
                Some(0) => return None,
                Some(rate) => {
                    let ticks = u128::from(self.rules.ticks_per_second) * u128::from(BILLION);
                    (ticks, rate.into())
                }
                None => return None,
            },
            (every, _) => {
                let given = usize::from(every.is_some());
                self.tell_one_of(arrival.head, "`every` and `per_second`", given);
                return None;
            }
        };
        let (action, period) = (delivery?.action(), period?);
        let length = u128::from(period.until - period.from);
        // The number of n with `n * ticks / rate < length`.
        let count = (length * rate).div_ceil(ticks);
        let whole_count = u64::try_from(count).unwrap_or(u64::MAX);
        if !self.reserve_arrivals(whole_count, &action, name.span) {
            return None;
        }
        for number in 0..count {
            let offset = u64::try_from(number * ticks / rate).unwrap_or(u64::MAX);
            entries.push((Tick(period.from + offset), action.clone()));
        }
        Some(Course::Steady {
            delivery: action,
            every_ticks: arrival
                .every
                .as_ref()
                .map(|_| u64::try_from(ticks).unwrap_or(u64::MAX)),
            billionths_per_second: u64::try_from(rate).unwrap_or(u64::MAX),
            from: Tick(period.from),
            until: Tick(period.until),
        })
    }

    fn by_chance(
        &mut self,
        name: &'d Name,
        arrival: &'d ByChanceDocument,
        entries: &mut Vec<(Tick, Action)>,
    ) -> Option<Course> {
        let delivery = self.delivery(&arrival.place, &arrival.kind, arrival.count.as_ref());
        let period = self.period(arrival.from.as_ref(), arrival.until.as_ref());
        let chance = self.billionths(&arrival.per_tick, 1.0);
        let (action, period, chance) = (delivery?.action(), period?, chance?);
        let expected =
            u128::from(period.until - period.from) * u128::from(chance) / u128::from(BILLION);
        if period.until - period.from > 100 * MOST_ARRIVALS || expected > MOST_ARRIVALS.into() {
            self.tell_too_many_arrivals(name.span, expected);
            return None;
        }
        let mut stream = part_stream(self.seed, &format!("arrival {}", name.text));
        for tick in period.from..period.until {
            if u64::from(stream.random_range(0..BILLION)) < chance {
                if !self.reserve_arrivals(1, &action, name.span) {
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
    fn billionths(&mut self, number: &'d Expression, most: f64) -> Option<u64> {
        let number = self.decimal(ScopeId::TOP, number, most)?;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the number is from 0 to a million"
        )]
        let billionths = (number * f64::from(BILLION)).round() as u64;
        Some(billionths)
    }

    fn tell_too_many_arrivals(&mut self, span: Span, count: u128) {
        let message = format!("about {count} arrivals, more than the limit of {MOST_ARRIVALS}");
        let help = "let more come at a time, or less often".to_owned();
        self.problems
            .tell(Diagnostic::error(ids::TOO_MANY_ARRIVALS, span, message).help(help));
    }
}

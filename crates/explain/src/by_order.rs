//! Whether an order is why a verdict was missed: the run again, with one of its orders declared or both.

use hallwright_core::order::{Order, Orders};
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, run};

/// Which of a run's two orders is why a verdict was missed. Declared, an order is no such reason.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum OrderCause {
    /// The update order: with it declared, the verdict is ok, and it is not with the signal order so.
    Update,
    /// The signal order: with it declared, the verdict is ok, and it is not with the update order so.
    Signal,
    /// Both together: with either one declared the verdict is ok.
    Together,
    /// Each of them: only with both declared is the verdict ok.
    Each,
}

/// How the verdicts of a run come off in other orders. `None`: not run, since nothing could be learnt.
#[derive(Default)]
pub(super) struct InOtherOrders {
    /// With the update order declared.
    update: Option<Findings>,
    /// With the signal order declared.
    signal: Option<Findings>,
    /// With both declared.
    both: Option<Findings>,
}

impl InOtherOrders {
    /// Runs an input again in other orders, unless its own are the declared ones or nothing was missed.
    pub(super) fn of(input: &RunInput<'_>, findings: &Findings) -> Self {
        if findings.verdicts.iter().all(|verdict| verdict.is_met()) {
            return Self::default();
        }
        let Orders { update, signal } = &input.orders;
        let (other_update, other_signal) = (*update != Order::Declared, *signal != Order::Declared);
        let found = |orders: Orders| {
            let input = RunInput {
                orders,
                ..input.clone()
            };
            run(&input, &mut |_| {})
        };
        let only_signal = || Orders {
            signal: signal.clone(),
            ..Orders::default()
        };
        Self {
            update: other_update.then(|| found(only_signal())),
            signal: other_signal.then(|| found(Orders::of_update(update.clone()))),
            both: (other_update && other_signal).then(|| found(Orders::default())),
        }
    }

    /// Which order is why a missed verdict, given by its place, was missed; `None` if neither is.
    pub(super) fn cause(&self, place: usize) -> Option<OrderCause> {
        let is_met = |found: &Option<Findings>| {
            let found = found.as_ref();
            found.is_some_and(|found| found.verdicts[place].is_met())
        };
        match (is_met(&self.update), is_met(&self.signal)) {
            (true, true) => Some(OrderCause::Together),
            (true, false) => Some(OrderCause::Update),
            (false, true) => Some(OrderCause::Signal),
            (false, false) => is_met(&self.both).then_some(OrderCause::Each),
        }
    }
}

//! What the operator does.

use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};
use hallwright_declared::declarations::{Restart, Stop};

use super::Resolver;
use super::names::ScopeId;
use super::sort::{BUTTON, LEVER, WITHDRAWABLE};
use super::spells::Moment;
use crate::diagnostic::Diagnostic;
use crate::document::{ActionDocument, StopDocument};
use crate::ids;

impl<'d> Resolver<'d> {
    /// Everything the operator does, in the order of the text; stops are apart.
    pub(super) fn operator_actions(&mut self) -> Vec<(Tick, Action)> {
        let document = self.document;
        let mut entries = Vec::new();
        for moment in &document.operator {
            if self.holds(ScopeId::TOP, moment.when.as_ref()) != Some(true) {
                continue;
            }
            let at = self.ticks(ScopeId::TOP, &moment.at);
            let here = Moment { at, in_stop: false };
            let actions = self.actions(&moment.actions, here);
            if let Some(at) = at {
                entries.extend(actions.into_iter().map(|action| (Tick(at), action)));
            }
        }
        entries
    }

    /// The stops, which must follow one another.
    pub(super) fn stops(&mut self) -> Vec<Stop> {
        let document = self.document;
        let mut stops: Vec<Stop> = Vec::new();
        for stop in &document.stops {
            if self.holds(ScopeId::TOP, stop.when.as_ref()) != Some(true) {
                continue;
            }
            let Some(resolved) = self.stop(stop) else {
                continue;
            };
            let free_from = stops.last().map(|last| {
                let restart = last
                    .restart
                    .as_ref()
                    .map_or(0, |restart| restart.after_ticks);
                last.at.0.saturating_add(restart)
            });
            if free_from.is_some_and(|free_from| resolved.at.0 <= free_from) {
                let message = "a stop must come after the stop before, and its restart";
                self.problems
                    .report(Diagnostic::error(ids::BAD_ORDER, stop.at.span, message));
            }
            stops.push(resolved);
        }
        stops
    }

    fn stop(&mut self, stop: &'d StopDocument) -> Option<Stop> {
        let at = self.ticks(ScopeId::TOP, &stop.at);
        let here = Moment { at, in_stop: true };
        let actions = self.actions(&stop.actions, here);
        let restart = match &stop.restart {
            None => None,
            Some(restart) => {
                let after = self.ticks(ScopeId::TOP, &restart.after);
                if after == Some(0) {
                    let message = "a restart must come after its stop";
                    self.problems.report(Diagnostic::error(
                        ids::BAD_ORDER,
                        restart.after.span,
                        message,
                    ));
                }
                let at = at.zip(after).map(|(at, after)| at.saturating_add(after));
                let here = Moment { at, in_stop: true };
                Some((after, self.actions(&restart.actions, here)))
            }
        };
        Some(Stop {
            at: Tick(at?),
            actions,
            restart: match restart {
                None => None,
                Some((after, actions)) => Some(Restart {
                    after_ticks: after?,
                    actions,
                }),
            },
        })
    }

    fn actions(&mut self, actions: &'d [ActionDocument], moment: Moment) -> Vec<Action> {
        actions
            .iter()
            .filter_map(|action| self.action(action, moment))
            .collect()
    }

    fn action(&mut self, action: &'d ActionDocument, moment: Moment) -> Option<Action> {
        let top = ScopeId::TOP;
        Some(match action {
            ActionDocument::On(lever) => Action::MoveLever {
                lever: self.fitting_part(top, lever, &LEVER)?,
                on: true,
            },
            ActionDocument::Off(lever) => Action::MoveLever {
                lever: self.fitting_part(top, lever, &LEVER)?,
                on: false,
            },
            ActionDocument::Press(button) => Action::Press {
                button: self.fitting_part(top, button, &BUTTON)?,
            },
            ActionDocument::Deliver(deliver) => {
                let delivery =
                    self.delivery(top, &deliver.place, &deliver.kind, deliver.count.as_ref())?;
                let action = delivery.action(Terms::default());
                let fits = self.reserve_arrivals(1, &action, deliver.place.span);
                fits.then_some(action)?
            }
            ActionDocument::Request(request) => self.request(request)?,
            ActionDocument::Withdraw(withdraw) => {
                let place = self.fitting_part(top, &withdraw.place, &WITHDRAWABLE);
                let count = self.number_from(top, &withdraw.count, 1);
                Action::Withdraw {
                    place: place?,
                    count: count?,
                }
            }
            ActionDocument::Fill(fill) => self.fill_by_hand(fill)?,
            ActionDocument::TakeBox(take) => Action::TakeBox {
                place: self.fitting_part(top, &take.place, &WITHDRAWABLE)?,
            },
            ActionDocument::Stuck(stuck) => self.stuck(stuck, moment)?,
            ActionDocument::PowerOff(power) => self.power_off(power, moment)?,
            ActionDocument::Sleep(sleep) => self.sleep(sleep, moment)?,
            ActionDocument::Reopen(reopen) => self.reopen(reopen)?,
        })
    }
}

//! One hall that is run with slower and slower parts.
//!
//! Of most of these runs nothing is asked but whether anything is missed, so a run ends as soon as that is certain.
//! Only at the border it is run to its end, for all that is missed there.

use std::ops::ControlFlow;

use hallwright_core::network::Network;
use hallwright_report::findings::{Findings, Standing};
use hallwright_report::{Decided, RunInput, Wanted, decide_alike, run_alike};

use super::border::{Border, Depth};
use super::{Group, Less, Missed, Slower, Together};
use crate::batch::{MOST_SHARED, batches};
use crate::case::{Case, CaseRun};
use crate::machine::{Machine, Unmade};

/// What is run.
pub(super) struct Hall<'a, 'p> {
    pub(super) bases: &'a [RunInput<'a>],
    pub(super) cases: &'a [Case],
    pub(super) machine: &'a Machine<'p>,
}

impl Hall<'_, '_> {
    /// How much slower a group may be.
    pub(super) fn slower(&self, group: &Group) -> Result<Slower, Unmade> {
        let first = self.cases.get(..1);
        let first = first.ok_or_else(|| Unmade::Broke("there is no run".to_owned()))?;
        let (mut missed, mut less): (Vec<(u64, &Case)>, Vec<Less>) = (Vec::new(), Vec::new());
        let mut now = Done::default();
        self.first_missed(first, Network::clone, |found| now = Done::of(found))?;
        let mut cut_short = Ok(());
        let border = Border::search(group.now_ticks, group.unit_ticks, |ticks, depth| {
            let slow = |network: &Network| group.at(network, ticks);
            let found = match depth {
                Depth::One => self.first_missed(first, slow, |found| {
                    less.extend(now.less_in(&Done::of(found), ticks));
                }),
                Depth::All => self.first_missed(self.cases, slow, |_| {}),
            };
            let found = found.unwrap_or_else(|unmade| {
                // The search ends soon if nothing is good any more, and is of no use.
                cut_short = Err(unmade);
                None
            });
            missed.extend(found.map(|case| (ticks, case)));
            found.is_none() && cut_short.is_ok()
        });
        cut_short?;
        let at_border = missed.iter().find(|(ticks, _)| Some(*ticks) == border.bad);
        let missed = at_border
            .map(|(ticks, case)| self.all_missed(case, |network| group.at(network, *ticks)));
        less.retain(|less| less.ticks <= border.good);
        less.sort_by_key(|less| less.ticks);
        Ok(Slower {
            border,
            missed: missed.transpose()?,
            less: less.into_iter().next(),
        })
    }

    /// What is missed with all groups at once, each so slow.
    pub(super) fn together(&self, slow: &[(&Group, u64)]) -> Result<Together, Unmade> {
        let slow = |network: &Network| {
            let mut slowed = network.clone();
            for (group, ticks) in slow {
                slowed = group.at(&slowed, *ticks);
            }
            slowed
        };
        let missed = self.first_missed(self.cases, slow, |_| {})?;
        let missed = missed.map(|case| self.all_missed(case, slow));
        Ok(Together {
            missed: missed.transpose()?,
        })
    }

    /// The first of these cases that misses something. `good` is given what those before it found.
    fn first_missed<'c>(
        &self,
        cases: &'c [Case],
        slow: impl Fn(&Network) -> Network,
        mut good: impl FnMut(&Findings),
    ) -> Result<Option<&'c Case>, Unmade> {
        let networks = self.networks(slow);
        let bases = [self.slowed(&networks)];
        let jobs: Vec<(usize, Case)> = cases.iter().map(|case| (0, case.clone())).collect();
        for batch in batches(&bases, &jobs, MOST_SHARED) {
            let cases = &cases[batch];
            let runs: Vec<CaseRun<'_>> = cases.iter().map(|case| case.of_any(&bases[0])).collect();
            let inputs: Vec<RunInput<'_>> = runs.iter().map(CaseRun::input).collect();
            let (mut left, mut missed) = (cases.iter(), None);
            if !self.machine.is_cut_short() {
                decide_alike(&inputs, &mut |decided| {
                    let case = left.next();
                    match decided {
                        Decided::AtTheEnd(found) if found.is_ok() => good(&found),
                        Decided::AtTheEnd(_) | Decided::Missed { .. } => missed = case,
                    }
                    match missed.is_some() || self.machine.is_cut_short() {
                        true => ControlFlow::Break(()),
                        false => ControlFlow::Continue(()),
                    }
                });
            }
            if missed.is_some() {
                return Ok(missed);
            }
            if left.next().is_some() {
                return Err(Unmade::CutShort);
            }
        }
        Ok(None)
    }

    /// All that a case misses, run to its end.
    fn all_missed(
        &self,
        case: &Case,
        slow: impl Fn(&Network) -> Network,
    ) -> Result<Missed, Unmade> {
        if self.machine.is_cut_short() {
            return Err(Unmade::CutShort);
        }
        let networks = self.networks(slow);
        let run = case.of_any(&self.slowed(&networks));
        let mut subjects = Vec::new();
        run_alike(&[run.input()], Wanted::Judgement, &mut |found| {
            let missed = found.verdicts.iter().filter(|verdict| !verdict.is_met());
            subjects.extend(missed.map(|verdict| verdict.subject.clone()));
            ControlFlow::Continue(())
        });
        Ok(Missed {
            subjects,
            case: case.clone(),
        })
    }

    /// The network of each base, slowed.
    fn networks(&self, slow: impl Fn(&Network) -> Network) -> Vec<Network> {
        self.bases.iter().map(|base| slow(base.network)).collect()
    }

    /// The bases with these networks.
    fn slowed<'n>(&'n self, networks: &'n [Network]) -> Vec<RunInput<'n>> {
        let bases = self.bases.iter().zip(networks);
        let slowed = bases.map(|(base, network)| RunInput {
            network,
            ..base.clone()
        });
        slowed.collect()
    }
}

/// What was done by the end of a run: a goal can be met because nothing came to where it could be missed.
#[derive(Default)]
struct Done {
    home: u64,
    flows: Vec<(String, u64)>,
}

impl Done {
    fn of(found: &Findings) -> Self {
        let at = |standing| found.account.amount(standing).goods_and_boxes();
        let flows = found.flows.iter();
        Self {
            home: at(Standing::Home) + at(Standing::Serving) + at(Standing::TakenOut),
            flows: flows.map(|flow| (flow.name.clone(), flow.items)).collect(),
        }
    }

    /// Of what there is less in another run.
    fn less_in(&self, other: &Self, ticks: u64) -> Option<Less> {
        let less = |flow: Option<&String>, items, items_now| Less {
            ticks,
            flow: flow.cloned(),
            items,
            items_now,
        };
        if other.home < self.home {
            return Some(less(None, other.home, self.home));
        }
        let mut flows = self.flows.iter().zip(&other.flows);
        flows.find_map(|((name, now), (_, items))| {
            (items < now).then(|| less(Some(name), *items, *now))
        })
    }
}

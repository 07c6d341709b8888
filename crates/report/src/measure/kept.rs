//! What a recorder knows between two ticks, as plain data: to go on from later, or in several ways.

use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

use super::account::Tally;
use super::arrivals::ArrivalMeasure;
use super::backlog::BacklogMeasure;
use super::feeds::Feeds;
use super::flows::FlowMeasure;
use super::gathers::GatherMeasure;
use super::going_round::RoundWatch;
use super::idle_calls::IdleCallMeasure;
use super::lamps::LampMeasure;
use super::lock_cover::LockCoverMeasure;
use super::loss::LossMeasure;
use super::quiet::Last;
use super::requests::RequestMeasure;
use super::returns::ReturnMeasure;
use super::sieves::SieveMeasure;
use super::stops::SoFar;
use super::upsets::ByHand;
use super::work::WorkMeasure;
use super::{Recorder, Seen};

/// All that was measured so far. It belongs to one network, and to what is declared about it but for stops
/// that are still to come.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Kept {
    seen: Seen,
    account: Tally,
    arrivals: ArrivalMeasure,
    sieves: SieveMeasure,
    flows: FlowMeasure,
    feeds: Feeds,
    backlog: BacklogMeasure,
    returns: ReturnMeasure,
    lock_cover: LockCoverMeasure,
    idle_calls: IdleCallMeasure,
    last: Last,
    stops: SoFar,
    loss: LossMeasure,
    work: WorkMeasure,
    lamps: LampMeasure,
    requests: RequestMeasure,
    gathers: GatherMeasure,
    rounds: RoundWatch,
    by_hand: ByHand,
}

impl Recorder<'_> {
    /// A copy of what was measured.
    pub(crate) fn kept(&self) -> Kept {
        Kept {
            seen: self.seen.clone(),
            account: self.account.kept(),
            arrivals: self.arrivals.clone(),
            sieves: self.sieves.clone(),
            flows: self.flows.clone(),
            feeds: self.feeds.clone(),
            backlog: self.backlog.clone(),
            returns: self.returns.clone(),
            lock_cover: self.lock_cover.clone(),
            idle_calls: self.idle_calls.clone(),
            last: self.quiet.kept(),
            stops: self.stops.kept(),
            loss: self.loss.clone(),
            work: self.work.clone(),
            lamps: self.lamps.clone(),
            requests: self.requests.clone(),
            gathers: self.gathers.clone(),
            rounds: self.rounds.clone(),
            by_hand: self.upsets.kept(),
        }
    }

    /// A new recorder that goes on before a tick, where another was kept.
    pub(crate) fn resumed(mut self, tick: Tick, kept: Kept) -> Self {
        self.stops.begin_before(tick);
        self.put_back(kept);
        self
    }

    /// Puts what was kept in place of what was measured since.
    pub(super) fn put_back(&mut self, kept: Kept) {
        let Kept {
            seen,
            account,
            arrivals,
            sieves,
            flows,
            feeds,
            backlog,
            returns,
            lock_cover,
            idle_calls,
            last,
            stops,
            loss,
            work,
            lamps,
            requests,
            gathers,
            rounds,
            by_hand,
        } = kept;
        self.seen = seen;
        self.account.put_back(account);
        self.arrivals = arrivals;
        self.sieves = sieves;
        self.flows = flows;
        self.feeds = feeds;
        self.backlog = backlog;
        self.returns = returns;
        self.lock_cover = lock_cover;
        self.idle_calls = idle_calls;
        self.quiet.put_back(last);
        self.stops.put_back(stops);
        self.loss = loss;
        self.work = work;
        self.lamps = lamps;
        self.requests = requests;
        self.gathers = gathers;
        self.rounds = rounds;
        self.upsets.put_back(by_hand);
    }
}

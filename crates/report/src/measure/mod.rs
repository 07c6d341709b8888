//! The measurements: one file each. All of them watch the events; none looks at the whole network
//! for one of them.
//!
//! `Recorder` is the one observer. It translates each event once, with the `ledger`, into what
//! moved from where to where, brings the state of the `sections` up to date, and then reports every
//! measurement.

mod account;
mod arrivals;
mod backlog;
mod both_ways;
mod crowding;
mod feeds;
mod flows;
mod foresight;
mod gathers;
mod going_round;
mod idle_calls;
mod interest;
mod kept;
mod lamps;
mod ledger;
mod load;
mod lock_cover;
mod loss;
mod quiet;
mod requests;
mod rest;
mod resume;
mod returns;
mod sections;
mod series;
mod sieves;
mod site;
mod slices;
mod standing;
mod stops;
mod stores;
mod upsets;
mod whereabouts;
mod work;

use std::rc::Rc;

use hallwright_analysis::homes::KindHomes;
use hallwright_analysis::standstill::Standstill;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{DeliveryNews, Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;
use hallwright_declared::declarations::{Declarations, Section};
use serde::{Deserialize, Serialize};

use self::account::AccountMeasure;
use self::arrivals::ArrivalMeasure;
use self::backlog::BacklogMeasure;
pub(crate) use self::backlog::sample_ticks;
use self::feeds::Feeds;
use self::flows::FlowMeasure;
use self::foresight::Foresight;
pub(crate) use self::foresight::{Look, Onward};
use self::gathers::GatherMeasure;
use self::going_round::RoundWatch;
use self::idle_calls::IdleCallMeasure;
use self::interest::{Interest, Interests};
pub(crate) use self::kept::Kept;
use self::lamps::LampMeasure;
use self::ledger::{Ledger, Move};
use self::lock_cover::LockCoverMeasure;
use self::loss::LossMeasure;
use self::quiet::QuietWatch;
use self::requests::RequestMeasure;
use self::returns::ReturnMeasure;
use self::sections::{Place, Sections};
pub use self::series::{Series, SeriesWatch};
use self::sieves::SieveMeasure;
use self::stops::StopMeasure;
use self::stores::StoreMeasure;
use self::upsets::UpsetMeasure;
use self::work::WorkMeasure;
use crate::findings::{Backlog, GoingOn, LeftBehind, Measured, SectionFinding, StopFinding};
use crate::goals::SoFar;
use crate::units::Share;

pub use self::account::AccountWatch;
pub use self::ledger::slot_items;
pub(crate) use self::ledger::{box_contents, distinct};
pub(crate) use self::requests::{is_box_of, stopped_ticks};
pub use self::sections::parts_of;
pub(crate) use self::slices::has_room as has_room_in;
pub(crate) use self::standing::{Places, Thing};
pub(crate) use self::whereabouts::items_in;

/// What measurements look at: the state as it is now.
pub(crate) struct Now<'a, 'v> {
    /// The run.
    pub(crate) view: &'a View<'v>,
    /// What each part holds.
    pub(crate) ledger: &'a Ledger,
    /// The sections.
    pub(crate) sections: &'a Sections,
    /// What came into the stores.
    pub(crate) stores: &'a StoreMeasure,
}

/// What is kept up to date for all measurements that ask.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Seen {
    ledger: Ledger,
    sections: Sections,
    stores: StoreMeasure,
}

impl Seen {
    fn now<'a, 'v>(&'a self, view: &'a View<'v>) -> Now<'a, 'v> {
        Now {
            view,
            ledger: &self.ledger,
            sections: &self.sections,
            stores: &self.stores,
        }
    }
}

/// What is found beside the run itself: from copies that went on, and from the network.
pub(crate) struct Afterwards {
    /// What the operator could not get out.
    pub(crate) left_behind: Vec<LeftBehind>,
    /// What does not get home.
    pub(crate) going_on: GoingOn,
    /// The homes of what arrives.
    pub(crate) homes: Vec<KindHomes>,
}

/// Observes a run and takes every measurement.
pub(crate) struct Recorder<'d> {
    declared: &'d Declarations,
    run_ticks: u64,
    interests: Interests,
    seen: Seen,
    account: AccountMeasure<'d>,
    arrivals: ArrivalMeasure,
    sieves: SieveMeasure,
    flows: FlowMeasure,
    feeds: Feeds,
    backlog: BacklogMeasure,
    returns: ReturnMeasure,
    lock_cover: LockCoverMeasure,
    idle_calls: IdleCallMeasure,
    quiet: QuietWatch,
    stops: StopMeasure,
    loss: LossMeasure,
    work: WorkMeasure,
    lamps: LampMeasure,
    requests: RequestMeasure,
    gathers: GatherMeasure,
    rounds: RoundWatch,
    upsets: UpsetMeasure<'d>,
}

impl<'d> Recorder<'d> {
    /// Begins before tick 0. `timeline`: everything that the operator does.
    pub(crate) fn new(
        declared: &'d Declarations,
        run_ticks: u64,
        timeline: &Timeline,
        view: &View<'_>,
    ) -> Self {
        let ledger = Ledger::new(view);
        let sections = Sections::new(&declared.sections, &ledger, view);
        let stores = StoreMeasure::new(&declared.stores, &ledger, view);
        let standstill = Rc::new(Standstill::new(view.network()));
        let mut recorder = Self {
            account: AccountMeasure::new(declared, view),
            declared,
            run_ticks,
            interests: Interests::none(view.network().part_count()),
            arrivals: ArrivalMeasure::default(),
            sieves: SieveMeasure::new(&declared.sieves, view),
            flows: FlowMeasure::new(&declared.flows, view),
            feeds: Feeds::new(declared, view),
            backlog: BacklogMeasure::new(&sections, run_ticks),
            returns: ReturnMeasure::new(&declared.sections, view.network().part_count()),
            lock_cover: LockCoverMeasure::new(&declared.sections, &sections, view),
            idle_calls: IdleCallMeasure::new(&declared.sections, &sections, view),
            quiet: QuietWatch::new(timeline, Rc::clone(&standstill), view.network()),
            stops: StopMeasure::new(declared, Tick(run_ticks), standstill, view),
            loss: LossMeasure::new(view),
            work: WorkMeasure::new(declared, view),
            lamps: LampMeasure::new(&declared.lamps, view),
            requests: RequestMeasure::new(&declared.desks, view),
            gathers: GatherMeasure::new(&declared.gathers, view),
            rounds: RoundWatch::new(&declared.sections, view),
            upsets: UpsetMeasure::new(declared, timeline, run_ticks, view.network()),
            seen: Seen {
                ledger,
                sections,
                stores,
            },
        };
        recorder.note_interests(view.network());
        recorder
    }

    /// Notes which parts each measurement watches.
    fn note_interests(&mut self, network: &Network) {
        let watched = [
            (Interest::STORES, self.seen.stores.groups()),
            (Interest::SIEVES, self.sieves.groups()),
            (Interest::FLOWS, self.flows.groups()),
            (Interest::FEEDS, self.feeds.groups()),
            (Interest::GATHERS, self.gathers.groups()),
            (Interest::RETURNS, self.returns.groups()),
        ];
        let requests = self.requests.groups().map(|of| (Interest::REQUESTS, of));
        let rounds = self.rounds.groups().map(|of| (Interest::ROUNDS, of));
        let calls = [self.lock_cover.groups(), self.idle_calls.groups()];
        let calls = calls.map(|of| (Interest::CALLS, of));
        let lamps = [(Interest::LAMPS, self.lamps.groups())];
        let signals = calls.into_iter().chain(lamps);
        let moves = watched.into_iter().chain(requests).chain(rounds);
        for (watcher, groups) in moves.chain(signals) {
            self.interests.add(watcher, groups);
        }
        let Seen {
            ledger, sections, ..
        } = &self.seen;
        for part in network.part_ids() {
            if ledger.shares_place(part) || sections.place(part) == Place::Elsewhere {
                self.interests.add_part(Interest::SHARED, part);
            }
        }
        self.interests.divide(|part| {
            let inside: Vec<usize> = self.rounds.inside(part).collect();
            (sections.place(part), inside)
        });
    }

    /// Reports what moved to the measurements that it matters to.
    fn moved(&mut self, tick: Tick, moved: &Move, view: &View<'_>) {
        let interest = self.interests.of(moved);
        if interest.contains(Interest::STORES) {
            self.seen.stores.moved(tick, moved, view);
        }
        if interest.contains(Interest::SIEVES) {
            self.sieves.moved(tick, moved, view);
        }
        if interest.contains(Interest::FLOWS) {
            self.flows.moved(tick, moved);
        }
        if interest.contains(Interest::FEEDS) {
            self.feeds.moved(moved);
        }
        if interest.contains(Interest::REQUESTS) {
            self.requests.moved(tick, moved, view);
        }
        if interest.contains(Interest::GATHERS) {
            self.gathers.moved(moved);
        }
        if interest.contains(Interest::ROUNDS) {
            self.rounds.moved(tick, moved);
        }
    }

    /// A [plain](Interests::is_plain) move, as nearly all are.
    #[inline]
    fn moved_within(&mut self, moment: Moment, event: &Event, from: PartId, to: PartId) {
        let tick = moment.tick;
        self.seen.ledger.take_up_one(from, to);
        self.seen.sections.take_up_within(tick, from);
        self.quiet.moved_within(tick, from, to);
        self.work.event(moment, event);
        self.stops.moved_within(tick, event);
    }

    /// A signal changed: nothing moved.
    #[inline]
    fn signal_changed(&mut self, tick: Tick, signal: PartId, event: &Event, view: &View<'_>) {
        let interest = self.interests.of_part(signal);
        if interest.contains(Interest::CALLS) {
            self.lock_cover.event(tick, event, &self.seen.sections);
            self.idle_calls.event(event);
        }
        if interest.contains(Interest::LAMPS) {
            self.lamps.event(tick, event, &self.seen.ledger, view);
        }
        self.stops.heard(event);
    }

    /// Anything happened but a signal's change or a plain move.
    fn take_up(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        let tick = moment.tick;
        let moved = self.seen.ledger.take_up(tick, event, view);
        let moved = moved.as_ref();
        self.account.event(event, &self.seen.ledger, view);
        self.upsets.event(tick, event);
        self.seen.sections.take_up(tick, event, moved, view);
        if event.is_item_event() {
            self.quiet.item_event(tick, moved);
        }
        if let Some(moved) = moved {
            self.moved(tick, moved, view);
        }
        self.returns.event(event, &self.seen.sections);
        if !matches!(event, Event::ItemMoved { .. }) {
            self.lock_cover.event(tick, event, &self.seen.sections);
            self.loss.event(tick, event, &self.seen.ledger, view);
        }
        self.work.event(moment, event);
        let now = self.seen.now(view);
        self.stops.event(tick, event, moved, &now);
    }

    /// The next tick before which the run has to pause: a stop begins or ends there.
    pub(crate) fn next_pause(&self) -> Option<Tick> {
        self.stops.next_boundary()
    }

    /// The last stop whose watch is over.
    pub(crate) fn last_stop(&self) -> Option<&StopFinding> {
        self.stops.found().last()
    }

    /// The run pauses between two ticks.
    pub(crate) fn pause(&mut self, onward: Onward<'_>) {
        let view = onward.engine.view();
        let now = self.seen.now(&view);
        self.stops.pause(onward, &self.quiet, &now);
    }

    /// The run is at its end: what the hall costs at rest is seen in a copy that goes on.
    pub(crate) fn look_at_rest(&self, engine: &Engine<'_>) -> Look<'_> {
        self.stops.look_at_rest(engine, &self.seen.sections)
    }

    /// What such a copy did.
    pub(crate) fn settle(&mut self, at_rest: &Foresight) {
        self.work.settled(at_rest.work_at_rest);
    }

    /// What of the run is certain before this tick.
    pub(crate) fn so_far(&self, tick: Tick) -> SoFar<'_> {
        SoFar {
            tick,
            lost_items: self.loss.items(),
            refused_items: self.account.refused_items(),
            stops: self.stops.found(),
            desks: self.requests.found(),
            declared_stops: &self.declared.stops,
        }
    }

    /// When anything moved last.
    pub(crate) fn last_move(&self) -> Option<Tick> {
        self.quiet.last_item_event()
    }

    /// The run is over. `is_over` says that nothing is due any more.
    pub(crate) fn finish(self, is_over: bool, after: Afterwards, view: &View<'_>) -> Measured {
        let end = Tick(self.run_ticks);
        let is_over = is_over && !self.quiet.is_spellbound(end);
        let network = view.network();
        let now = self.seen.now(view);
        let whereabouts = whereabouts::whereabouts(self.declared, &self.seen.ledger, view);
        let quiet = self.quiet.mark(Tick(0), end, is_over, &now);
        let (stops, left) = self.stops.finish(is_over, &self.quiet, &now);
        let backlogs = self.backlog.finish(&self.seen.sections);
        let covers = self.lock_cover.finish(end);
        let mut cost = self.work.finish();
        for cover in &covers {
            cost.lock_cover.part += cover.part;
            cost.lock_cover.whole += cover.whole;
        }
        let idle_calls = self.idle_calls.finish(end).into_iter();
        let returned = self.returns.found().into_iter();
        let rounds = returned.zip(self.rounds.finish(end, &self.seen.ledger, view));
        let declared = self.declared.sections.iter();
        let rows = declared.zip(backlogs.into_iter().zip(covers));
        let rows = rows.zip(rounds.zip(idle_calls)).map(
            |((section, (backlog, cover)), ((returned, going_round), call_idle_ticks))| {
                SectionFinding {
                    call_idle_ticks,
                    returned,
                    going_round,
                    ..section_finding(section, network, backlog, cover)
                }
            },
        );
        let sections = rows.collect();
        let account = self.account.account(&self.seen.stores, view);
        let (stores, overflow) = self.seen.stores.finish(view);
        let waited = self.feeds.finish(&self.declared.stops, end);
        Measured {
            ticks_per_second: network.rules().ticks_per_second,
            run_ticks: self.run_ticks,
            kind_names: kind_names(network),
            arrivals: self.arrivals.finish(&self.declared.arrivals, network),
            whereabouts,
            account,
            going_on: after.going_on,
            homes: after.homes,
            stores,
            overflow,
            sieves: self.sieves.finish(view),
            flows: self.flows.finish(self.run_ticks, &waited),
            sections,
            stops,
            quiet,
            left,
            loss: self.loss.finish(),
            cost,
            lamps: self.lamps.finish(),
            desks: self.requests.finish(&self.declared.stops, end),
            gathers: self.gathers.finish(),
            left_behind: after.left_behind,
            contents: whereabouts::goal_contents(&self.declared.goals, view),
            in_no_section: sections::in_no_section(&self.declared.sections, network),
            crowded: crowding::crowded_places(&self.declared.goals, network),
            site: site::site(self.declared, network),
            upsets: self.upsets.finish(network),
            taken_at_word: upsets::taken_at_word(network),
        }
    }
}

impl Observer for Recorder<'_> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        self.work.load_event(event, view);
        match *event {
            Event::SignalChanged { signal, .. } => {
                if cfg!(debug_assertions) {
                    self.signal_changed_compared(moment, event, signal, view);
                } else {
                    self.signal_changed(moment.tick, signal, event, view);
                }
            }
            Event::ItemMoved { from, to, .. } if self.interests.is_plain(from, to) => {
                if cfg!(debug_assertions) {
                    self.moved_within_compared(moment, event, (from, to), view);
                } else {
                    self.moved_within(moment, event, from, to);
                }
            }
            _ => self.take_up(moment, event, view),
        }
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, work_per_tick: u64, view: &View<'_>) {
        self.seen.sections.end_tick(from);
        self.seen.stores.end_tick();
        self.feeds.end_tick(from, view);
        self.backlog.ticks_passed(from, until, &self.seen.sections);
        self.idle_calls.ticks_passed(from, &self.seen.sections);
        self.work.ticks_passed(from, until, work_per_tick, view);
        let now = self.seen.now(view);
        self.stops.ticks_passed(from, until, &now);
        self.seen.sections.begin_tick();
    }

    fn delivery(&mut self, moment: Moment, news: &DeliveryNews, _view: &View<'_>) {
        self.account.delivery(moment.tick, news);
        self.arrivals.delivery(moment.tick, news);
        self.upsets.delivery(news);
    }
}

fn kind_names(network: &Network) -> Vec<String> {
    let kinds = network.kinds().iter();
    kinds.map(|kind| kind.name.clone()).collect()
}

fn section_finding(
    section: &Section,
    network: &Network,
    backlog: Backlog,
    lock_cover: Share,
) -> SectionFinding {
    let is_hopper = |part: &PartId| network.part(*part).hopper().is_some();
    SectionFinding {
        name: section.name.clone(),
        backlog,
        lock_cover,
        call_idle_ticks: None,
        was_never_idle: lock_cover.whole == 0 && section.locked.iter().any(is_hopper),
        returned: None,
        going_round: None,
        hoppers: parts_of(section).into_iter().filter(is_hopper).count() as u64,
        width_blocks: section.width_blocks,
    }
}

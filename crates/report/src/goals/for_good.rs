//! Goals that are missed for good before a run is over: nothing that is still to come can mend them.

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Goal, Stop};

use super::mark_of;
use crate::findings::{DeskFinding, RequestFinding, StopFinding};
use crate::measure::stopped_ticks;

/// What a run has come to before a tick, of which nothing is taken back.
pub(crate) struct SoFar<'r> {
    /// The next tick.
    pub(crate) tick: Tick,
    /// Items lost.
    pub(crate) lost_items: u64,
    /// Items refused, boxes without what they hold.
    pub(crate) refused_items: u64,
    /// The stops whose watch is over.
    pub(crate) stops: &'r [StopFinding],
    /// Every request, by desk.
    pub(crate) desks: &'r [DeskFinding],
    /// While which the hall is stopped.
    pub(crate) declared_stops: &'r [Stop],
}

impl SoFar<'_> {
    /// Whether a goal is missed, whatever comes. Most goals are about the whole run or its end, so that nothing is
    /// certain of them before.
    pub(crate) fn misses(&self, goal: &Goal) -> bool {
        match goal {
            Goal::LostAtMost(most) => self.lost_items > *most,
            Goal::RefusedAtMost(most) => self.refused_items > *most,
            Goal::StopsNotSafeAtMost(most) => {
                let stops = self.stops.iter();
                let never = stops.filter(|stop| stop.all.safe_to_close_ticks.is_none());
                never.count() as u64 > *most
            }
            Goal::MarkWithin {
                mark,
                section,
                ticks,
            } => {
                let mut marks = self.stops.iter().map(|stop| mark_of(stop, *mark, *section));
                // A resume that is not over is nothing yet.
                marks.any(|mark| mark.is_some_and(|mark| mark.is_none_or(|took| took > *ticks)))
            }
            Goal::RequestWithin {
                desk,
                ticks,
                with_stops,
            } => {
                let mut requests = self.desks[*desk].requests.iter();
                requests.any(|request| self.waited_ticks(request, *with_stops) > *ticks)
            }
            _ => false,
        }
    }

    /// How long a request has waited for its last box, or did.
    fn waited_ticks(&self, request: &RequestFinding, with_stops: bool) -> u64 {
        let last = request.last_at.filter(|_| request.owed_boxes == 0);
        let until = last.unwrap_or(self.tick);
        let stopped = match with_stops {
            true => 0,
            false => stopped_ticks(self.declared_stops, request.at, until),
        };
        (until - request.at) - stopped
    }
}

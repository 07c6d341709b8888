//! Section 6: shuttles, which travel a round of places.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Shuttle};

use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::world::Whereabouts;

impl ReferenceEngine {
    /// Phase 3, second half: every shuttle docks, departs or waits.
    pub(crate) fn move_shuttles(&mut self) {
        let mut shuttles = self.parts_where(|part| matches!(part, Part::Shuttle(_)));
        if self.breaks(Fault::ShuttlesInReverse) {
            shuttles.reverse();
        }
        for shuttle in shuttles {
            if !self.is_asleep(shuttle) {
                self.shuttle_turn(shuttle);
            }
        }
    }

    fn shuttle_part(&self, shuttle: PartId) -> Shuttle {
        let Part::Shuttle(part) = self.network.part(shuttle) else {
            panic!("{shuttle} is no shuttle");
        };
        part.as_ref().clone()
    }

    fn shuttle_turn(&mut self, shuttle: PartId) {
        let state = self.world.shuttle(shuttle);
        let stop = &self.shuttle_part(shuttle).stops[state.stop];
        let tick = self.world.tick;
        match state.whereabouts {
            Whereabouts::UnderWay { arrives } => {
                let is_shut =
                    self.is_asleep(stop.dock) && !self.breaks(Fault::SleepingDockIsReached);
                if tick >= arrives && !is_shut && self.is_free(stop.dock) {
                    self.dock(shuttle, stop.dock);
                }
            }
            Whereabouts::Docked { since } => {
                let longer = u64::from(self.breaks(Fault::DwellOneLong));
                let has_dwelt = tick - since >= u64::from(stop.dwell_ticks) + longer;
                let is_released = stop.release.is_none_or(|release| self.is_on(release))
                    || self.breaks(Fault::ReleaseIgnored);
                let is_shut = self.is_asleep(stop.dock) && !self.breaks(Fault::SleepingDockIsLeft);
                if has_dwelt && is_released && !is_shut {
                    self.depart(shuttle, stop.dock);
                }
            }
        }
    }

    fn is_free(&self, place: PartId) -> bool {
        if self.breaks(Fault::DepartureFreesNextTick) && self.places_left.contains(&place) {
            return false;
        }
        self.world.shuttle_at(&self.network, place).is_none() || self.breaks(Fault::DocksWhereTaken)
    }

    fn dock(&mut self, shuttle: PartId, place: PartId) {
        let since = self.world.tick;
        self.world.shuttle_mut(shuttle).whereabouts = Whereabouts::Docked { since };
        self.emit(Event::Docked { shuttle, place });
        self.occupation_changed(place);
    }

    fn depart(&mut self, shuttle: PartId, place: PartId) {
        let stops = self.shuttle_part(shuttle).stops;
        let next = (self.world.shuttle(shuttle).stop + 1) % stops.len();
        let longer = u64::from(self.breaks(Fault::TravelOneLong));
        // It does one thing a tick: with no travel time at all it docks in the next.
        let travel = (u64::from(stops[next].travel_ticks) + longer).max(1);
        let arrives = self.world.tick + travel;
        let state = self.world.shuttle_mut(shuttle);
        state.stop = next;
        state.whereabouts = Whereabouts::UnderWay { arrives };
        self.places_left.push(place);
        self.emit(Event::Departed { shuttle, place });
        self.occupation_changed(place);
    }
}

//! Safe to close is about the whole hall, declared or not, and about what it does by itself.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{
    Bench, Dropper, Hopper, Intake, Lift, Outlet, Part, Selector, Signal, Stream,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Restart, Section, Stop};
use hallwright_report::findings::{Findings, MovesLater, StopFinding};

use crate::support::{capped, chest, deliver, filling, lever, run_with};

/// A small hall, stopped in tick 100 by its lever: on from then on.
struct Hall {
    builder: NetworkBuilder,
    barley: KindId,
    halt: PartId,
    declared: Declarations,
    entries: Vec<(u64, Action)>,
}

impl Hall {
    fn new() -> Self {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("barley", StackLimit::SixtyFour);
        let halt = lever(&mut builder, "halt");
        let declared = Declarations {
            stops: vec![Stop {
                at: Tick(100),
                actions: vec![Action::MoveLever {
                    lever: halt,
                    on: true,
                }],
                restart: None,
            }],
            ..Declarations::default()
        };
        Self {
            builder,
            barley,
            halt,
            declared,
            entries: Vec::new(),
        }
    }

    /// A chest, its hopper below it and the chest that this fills: one item in 8 ticks, from tick 0
    /// on. Returns the hopper.
    fn lane(&mut self, name: &str, items: u8, lock: Option<PartId>) -> PartId {
        let from = chest(&mut self.builder, &format!("{name} from"), 27);
        let to = chest(&mut self.builder, &format!("{name} to"), 27);
        if items > 0 {
            self.builder.fill(from, filling(0, self.barley, items));
        }
        let hopper = Hopper {
            target: Some(to),
            intake: Intake::Above(from),
            lock,
        };
        self.builder.add(name, Part::Hopper(hopper))
    }

    fn section(&mut self, name: &str, line: &[PartId], locked: &[PartId]) {
        self.declared.sections.push(Section {
            name: name.to_owned(),
            line: line.to_vec(),
            queue: Vec::new(),
            locked: locked.to_vec(),
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        });
    }

    fn run(self, run_ticks: u64) -> Findings {
        let network = self.builder.build().expect("sound");
        run_with(&network, &self.declared, run_ticks, self.entries)
    }

    fn stop(self, run_ticks: u64) -> StopFinding {
        self.run(run_ticks).into_measured().stops.remove(0)
    }
}

#[test]
fn a_line_in_no_section_counts() {
    let hall = || {
        let mut hall = Hall::new();
        let halt = hall.halt;
        let declared = hall.lane("declared", 64, Some(halt));
        hall.lane("beside", 60, None);
        hall.section("line", &[], &[declared]);
        hall
    };
    // It pulls in tick 0 and does both every 8 ticks: it pushes the last of 60 in tick 480.
    let found = hall().run(1_000);
    let stop = &found.stops[0];
    assert_eq!(stop.all.safe_to_close_ticks, Some(380));
    // The declared hopper was locked in tick 100, and moved for the last time in tick 96.
    assert_eq!(stop.sections[0].marks.safe_to_close_ticks, Some(0));
    assert_eq!(found.in_no_section, ["beside"]);
    // However short the watch is, the verdict is that of the hall.
    let stop = hall().stop(300);
    assert_eq!(stop.all.safe_to_close_ticks, None);
    assert_eq!(stop.sections[0].marks.safe_to_close_ticks, Some(0));
    let later = MovesLater {
        after_ticks: 4,
        parts: vec!["beside".to_owned(), "beside to".to_owned()],
    };
    assert_eq!(stop.left.moves_later, Some(later));
    // In the very tick of the last push it is safe.
    assert_eq!(hall().stop(481).all.safe_to_close_ticks, Some(380));
    assert_eq!(hall().stop(480).all.safe_to_close_ticks, None);
}

#[test]
fn a_hall_without_sections_is_judged_as_a_whole() {
    let mut hall = Hall::new();
    hall.lane("lane", 60, None);
    let stop = hall.stop(1_000);
    assert_eq!(stop.all.safe_to_close_ticks, Some(380));
    assert!(stop.all.quiet.is_known);
}

#[test]
fn what_a_clock_moves_for_ever_is_never_safe() {
    // Unlocked for the first 8 of every 200 ticks: it moves one item then, long after each standstill.
    for run_ticks in [300, 305, 399, 450, 1_000] {
        let mut hall = Hall::new();
        let clock = Signal::Clock {
            period_ticks: 200,
            high_ticks: 192,
            phase_ticks: 0,
        };
        let clock = hall.builder.add("clock", Part::Signal(clock));
        hall.lane("lane", 64, Some(clock));
        let stop = hall.stop(run_ticks);
        assert_eq!(stop.all.safe_to_close_ticks, None, "{run_ticks}");
    }
}

#[test]
fn a_clock_that_moves_nothing_is_no_obstacle() {
    for run_ticks in [101, 120, 300, 5_000] {
        let mut hall = Hall::new();
        let clock = Signal::Clock {
            period_ticks: 200,
            high_ticks: 192,
            phase_ticks: 0,
        };
        let clock = hall.builder.add("clock", Part::Signal(clock));
        let hopper = hall.lane("lane", 0, Some(clock));
        hall.section("line", &[hopper], &[]);
        let stop = hall.stop(run_ticks);
        assert_eq!(stop.all.safe_to_close_ticks, Some(0), "{run_ticks}");
        assert_eq!(stop.all.cleared_ticks, Some(0), "{run_ticks}");
        assert!(stop.all.quiet.is_known, "{run_ticks}");
    }
}

#[test]
fn a_hopper_left_unlocked_with_nothing_to_move_is_listed_and_safe() {
    let mut hall = Hall::new();
    let hopper = hall.lane("lane", 4, None);
    hall.section("line", &[hopper], &[hopper]);
    let stop = hall.stop(500);
    assert_eq!(stop.all.safe_to_close_ticks, Some(0));
    assert_eq!(stop.left.unlocked, ["lane"]);
}

#[test]
fn a_restart_that_comes_first_leaves_it_never_safe() {
    // The restart cannot make good what would have gone on: it pushes the last item in tick 480.
    for (after_ticks, safe) in [(380, None), (381, Some(380)), (500, Some(380))] {
        let mut hall = Hall::new();
        hall.lane("lane", 60, None);
        hall.declared.stops[0].restart = Some(Restart {
            after_ticks,
            actions: vec![Action::MoveLever {
                lever: hall.halt,
                on: false,
            }],
        });
        let stop = hall.stop(2_000);
        assert!(stop.resume.is_some());
        assert_eq!(stop.all.safe_to_close_ticks, safe, "{after_ticks}");
    }
}

#[test]
fn what_arrives_counts_for_what_it_moves() {
    let safe = |last: u64, run_ticks: u64, is_open: bool| {
        let mut hall = Hall::new();
        let landing = chest(&mut hall.builder, "landing", 27);
        let to = chest(&mut hall.builder, "to", 27);
        let hopper = Hopper {
            target: Some(to),
            intake: Intake::Above(landing),
            lock: (!is_open).then_some(hall.halt),
        };
        hall.builder.add("hopper", Part::Hopper(hopper));
        let times = (0..=last).step_by(50);
        let entries = times.map(|tick| (tick, deliver(landing, hall.barley, 1)));
        hall.entries = entries.collect();
        hall.stop(run_ticks).all.safe_to_close_ticks
    };
    // A locked landing only takes in: what the operator does there is no motion of the hall.
    assert_eq!(safe(1_000, 380, false), Some(0));
    assert_eq!(safe(150, 380, false), Some(0));
    // Pulled in the tick in which it comes, and pushed 8 ticks later: safe since tick 158.
    assert_eq!(safe(150, 380, true), Some(58));
    // While more is to be expected it is not safe, wherever between two deliveries the watch ends.
    for run_ticks in 351..=400 {
        assert_eq!(safe(1_000, run_ticks, true), None, "{run_ticks}");
    }
}

#[test]
fn an_item_on_a_stream_is_on_its_way() {
    let hall = || {
        let mut hall = Hall::new();
        let mouth = hall.builder.add("mouth", Part::Mouth);
        let stream = Stream {
            transit_ticks: 100,
            mouth,
        };
        let stream = hall.builder.add("stream", Part::Stream(stream));
        let dropper = Dropper {
            trigger: Some(hall.halt),
            outlet: Outlet::Loose(stream),
        };
        let dropper = hall.builder.add("dropper", Part::Dropper(dropper));
        hall.builder.fill(dropper, filling(0, hall.barley, 1));
        let to = chest(&mut hall.builder, "to", 27);
        let hopper = Hopper {
            target: Some(to),
            intake: Intake::Mouth(mouth),
            lock: None,
        };
        let hopper = hall.builder.add("cup", Part::Hopper(hopper));
        hall.section("line", &[stream, mouth, hopper], &[]);
        hall
    };
    // Triggered in tick 100, it fires 4 ticks later, and the item is at the mouth 100 ticks after that.
    // The hopper takes it there before the turns of that tick, so its cooldown of 8 is over 7 ticks later.
    let stop = hall().stop(1_000);
    assert_eq!(stop.all.safe_to_close_ticks, Some(4 + 100 + 7));
    assert_eq!(
        stop.sections[0].marks.safe_to_close_ticks,
        stop.all.safe_to_close_ticks
    );
    let stop = hall().stop(150);
    assert_eq!(stop.all.safe_to_close_ticks, None);
    assert_eq!(stop.sections[0].marks.safe_to_close_ticks, None);
}

#[test]
fn an_item_in_a_selector_is_on_its_way() {
    let hall = || {
        let mut hall = Hall::new();
        let to = chest(&mut hall.builder, "to", 27);
        let selector = Selector {
            latency_ticks: 60,
            interval_ticks: 8,
            holds: 1,
            takes: Predicate::Kinds(vec![hall.barley]),
            match_target: to,
            rest_target: to,
            when_full: None,
            lock: None,
        };
        let selector = hall.builder.add("eye", Part::Selector(Box::new(selector)));
        hall.entries = vec![(110, deliver(selector, hall.barley, 1))];
        hall
    };
    assert_eq!(hall().stop(1_000).all.safe_to_close_ticks, Some(10 + 60));
    let stop = hall().stop(120);
    assert_eq!(stop.all.safe_to_close_ticks, None);
    assert_eq!(stop.left.in_selectors.len(), 1);
}

/// A box on a bench that a signal lifts, 80 ticks after it went on.
fn on_a_bench(lift_lever_ticks: &[(u64, bool)], run_ticks: u64) -> StopFinding {
    let mut hall = Hall::new();
    let boxes = hall.builder.box_kind("box");
    let raise = lever(&mut hall.builder, "raise");
    let mouth = hall.builder.add("mouth", Part::Mouth);
    let bench = Bench {
        lift: Lift::Signal(raise),
        after_ticks: 80,
        output: mouth,
    };
    let bench = hall.builder.add("bench", Part::Bench(bench));
    let set = lever(&mut hall.builder, "set");
    let dispenser = Dropper {
        trigger: Some(set),
        outlet: Outlet::Bench(bench),
    };
    let dispenser = hall.builder.add("dispenser", Part::Dropper(dispenser));
    let filled = Filling {
        contents: vec![Filling {
            slot: 0,
            kind: hall.barley,
            count: 5,
            contents: Vec::new(),
        }],
        ..filling(0, boxes, 1)
    };
    hall.builder.fill(dispenser, filled);
    let to = chest(&mut hall.builder, "to", 27);
    let cup = Hopper {
        target: Some(to),
        intake: Intake::Mouth(mouth),
        lock: None,
    };
    hall.builder.add("cup", Part::Hopper(cup));
    hall.entries = vec![(
        0,
        Action::MoveLever {
            lever: set,
            on: true,
        },
    )];
    for (tick, on) in lift_lever_ticks {
        let action = Action::MoveLever {
            lever: raise,
            on: *on,
        };
        hall.entries.push((*tick, action));
    }
    hall.stop(run_ticks)
}

#[test]
fn a_box_that_a_bench_counts_to_lift_is_on_its_way() {
    // A box that stands is at rest.
    assert_eq!(on_a_bench(&[], 1_000).all.safe_to_close_ticks, Some(0));
    // Counted from tick 90 on, it is lifted in tick 170 at the end of phase 4; the cup takes it in the
    // next tick, before the turns, and pushes it 7 ticks later.
    let stop = on_a_bench(&[(90, true)], 1_000);
    assert_eq!(stop.all.safe_to_close_ticks, Some(70 + 1 + 7));
    let stop = on_a_bench(&[(90, true)], 150);
    assert_eq!(stop.all.safe_to_close_ticks, None);
    assert_eq!(stop.left.to_be_lifted.len(), 1);
    // The count breaks off in tick 140 and nothing moved: until then it was not safe.
    let stop = on_a_bench(&[(90, true), (140, false)], 1_000);
    assert_eq!(stop.all.safe_to_close_ticks, Some(40));
}

#[test]
fn a_section_has_its_own_pulses_and_its_own_loose_items() {
    // One section's lock follows the lever; the other's comes through a delay of 50 ticks.
    let mut hall = Hall::new();
    let halt = hall.halt;
    let late = Signal::DelayLine {
        input: halt,
        delay_ticks: 50,
    };
    let late = hall.builder.add("late", Part::Signal(late));
    let first = hall.lane("first", 0, Some(halt));
    let second = hall.lane("second", 0, Some(late));
    hall.section("first", &[first], &[first]);
    hall.section("second", &[second], &[second]);
    let stop = hall.stop(1_000);
    let safe = |index: usize| stop.sections[index].marks.safe_to_close_ticks;
    assert_eq!([safe(0), safe(1)], [Some(0), Some(50)]);
    assert_eq!(stop.all.safe_to_close_ticks, Some(50));
}

#[test]
fn work_at_rest_does_not_depend_on_how_long_the_run_is() {
    // The hopper is locked 300 ticks after the stop: until then it tries in vain, which costs work.
    let cost = |run_ticks: u64| {
        let mut hall = Hall::new();
        let hold = Signal::DelayLine {
            input: hall.halt,
            delay_ticks: 300,
        };
        let hold = hall.builder.add("late", Part::Signal(hold));
        hall.lane("lane", 10, Some(hold));
        // Locked for 16 of 20 ticks, at 1 unit; in the other 4 it tries in vain, 10 units and 1 for its cap.
        let clock = Signal::Clock {
            period_ticks: 20,
            high_ticks: 16,
            phase_ticks: 0,
        };
        let clock = hall.builder.add("clock", Part::Signal(clock));
        let store = chest(&mut hall.builder, "store", 27);
        hall.builder
            .add("ticking", capped(Some(store), Some(clock)));
        hall.run(run_ticks).into_measured().cost
    };
    let all: Vec<_> = [60, 200, 395, 401, 500, 1_000, 1_013, 5_000]
        .map(cost)
        .into_iter()
        .map(|cost| (cost.rest_work_units, cost.rest_ticks))
        .collect();
    // Not stopped within 60 ticks: the run's end finds the hall running. Its lane has emptied in tick
    // 80, and is never locked: 10 + 27 slots above a tick, beside the other hopper.
    let ticking = 16 + 4 * 11;
    assert_eq!(all[0], (20 * (10 + 27) + ticking, 20));
    // Stopped: both stand locked or tick, 1 unit a tick for the lane.
    for rest in &all[1..] {
        assert_eq!(*rest, (20 + ticking, 20));
    }
}

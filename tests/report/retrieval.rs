//! Requests, part stacks, and what is left behind.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{ComparatorMode, Hopper, Intake, Part, Rear, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};
use hallwright_declared::declarations::{Declarations, Desk, Gather, Goal, Open, Restart, Stop};
use hallwright_report::findings::{RequestFinding, Stacks, TakingEnd};

use crate::support::{capped, chest, deliver, filling, lever, of_kind, run_with};

/// A desk, and a hopper that brings to the counter what is delivered into it: into an empty hopper,
/// 7 ticks later (tick rules, section 4).
struct Hall {
    network: Network,
    declarations: Declarations,
    desk: PartId,
    hopper: PartId,
    barley: KindId,
    flax: KindId,
    tally: KindId,
    crate_kind: KindId,
}

/// A desk at which a token asks for a box of a kind, which is to come to the counter.
fn barley_desk(kind: KindId, desk: PartId, token: KindId, counter: PartId) -> Desk {
    Desk {
        name: "desk".to_owned(),
        kind,
        desk,
        token,
        counter: vec![counter],
    }
}

fn hall() -> Hall {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let tally = builder.kind("tally", StackLimit::SixtyFour);
    let crate_kind = builder.box_kind("crate");
    let desk = chest(&mut builder, "desk", 9);
    let counter = chest(&mut builder, "counter", 27);
    let hopper = builder.add("hopper", capped(Some(counter), None));
    let declarations = Declarations {
        desks: vec![barley_desk(barley, desk, tally, counter)],
        // The hall is stopped for 30 ticks, and again at the end.
        stops: vec![
            Stop {
                at: Tick(50),
                actions: Vec::new(),
                restart: Some(Restart {
                    after_ticks: 30,
                    actions: Vec::new(),
                }),
            },
            Stop {
                at: Tick(350),
                actions: Vec::new(),
                restart: None,
            },
        ],
        ..Declarations::default()
    };
    Hall {
        network: builder.build().expect("sound"),
        declarations,
        desk,
        hopper,
        barley,
        flax,
        tally,
        crate_kind,
    }
}

impl Hall {
    /// The operator asks for so many boxes.
    fn ask(&self, at: u64, boxes: u32) -> (u64, Action) {
        (at, deliver(self.desk, self.tally, boxes))
    }

    /// A box with these contents is 7 ticks before the counter.
    fn bring(&self, at: u64, contents: Vec<Filling>) -> (u64, Action) {
        let action = Action::Deliver {
            place: self.hopper,
            kind: self.crate_kind,
            count: 1,
            contents,
            terms: Terms::default(),
        };
        (at, action)
    }

    fn bring_barley(&self, at: u64) -> (u64, Action) {
        self.bring(at, vec![filling(0, self.barley, 9)])
    }
}

#[test]
fn boxes_that_arrive_belong_to_the_oldest_request_that_is_owed_one() {
    let hall = hall();
    let mixed = vec![filling(0, hall.barley, 1), filling(1, hall.flax, 1)];
    let entries = vec![
        hall.ask(10, 1),
        // Tokens of one tick are one request.
        hall.ask(10, 1),
        hall.bring_barley(20),
        hall.ask(90, 1),
        hall.bring_barley(100),
        hall.bring_barley(120),
        // Neither a mixed box nor an empty one is a box of barley; the last is, but not asked for.
        hall.bring(140, mixed),
        hall.bring(160, Vec::new()),
        hall.bring_barley(180),
        hall.ask(300, 2),
        hall.bring_barley(310),
    ];
    let found = run_with(&hall.network, &hall.declarations, 400, entries);
    let request =
        |at, asked_boxes, first: u64, last: u64, owed_boxes, stopped_ticks| RequestFinding {
            at: Tick(at),
            asked_boxes,
            first_at: Some(Tick(first)),
            last_at: Some(Tick(last)),
            owed_boxes,
            stopped_ticks,
        };
    let desk = &found.desks[0];
    assert_eq!(
        desk.requests,
        [
            request(10, 2, 27, 107, 0, 30),
            request(90, 1, 127, 127, 0, 0),
            // From the request to the end, the hall is stopped from tick 350 to tick 400.
            request(300, 2, 317, 317, 1, 50),
        ]
    );
    assert_eq!(desk.unasked_boxes, 1);
    assert_eq!(desk.requests[0].served_ticks(), Some(97));
    assert_eq!(desk.requests[0].running_ticks(), Some(67));
    assert_eq!(desk.requests[2].served_ticks(), None);
}

#[test]
fn a_goal_on_requests_leaves_stops_out_unless_it_is_reported_otherwise() {
    let mut hall = hall();
    let goal = |ticks, with_stops| Goal::RequestWithin {
        desk: 0,
        ticks,
        with_stops,
    };
    hall.declarations.goals = vec![
        goal(67, false),
        goal(66, false),
        goal(97, true),
        goal(96, true),
    ];
    let mut entries = vec![
        hall.ask(10, 2),
        hall.bring_barley(20),
        hall.bring_barley(100),
        hall.ask(200, 1),
        hall.bring_barley(210),
    ];
    // Which goals are met, and what is said of the first and the third.
    let judged = |entries: Vec<(u64, Action)>| -> (Vec<bool>, [String; 2]) {
        let found = run_with(&hall.network, &hall.declarations, 400, entries);
        let goals: Vec<_> = found.goals().collect();
        let said = [0, 2].map(|goal: usize| goals[goal].remark.clone().unwrap_or_default());
        (goals.iter().map(|one| one.is_met()).collect(), said)
    };
    // The slowest request decides: 97 ticks, 30 of them stopped.
    let (met, said) = judged(entries.clone());
    assert_eq!(met, [true, false, true, false]);
    let slowest = "the slowest of 2, asked at 0.5 s (10 t); ";
    assert_eq!(
        said[0],
        format!("{slowest}1.5 s (30 t) of stop not counted")
    );
    assert_eq!(
        said[1],
        format!("{slowest}stopped meanwhile for 1.5 s (30 t)")
    );
    // One that is never served misses every bound, and so does a hall in which none is made.
    entries.push(hall.ask(300, 1));
    let (met, said) = judged(entries);
    assert_eq!(met, [false; 4]);
    let owed = "the slowest of 3, asked at 15.0 s (300 t), 1 of 1 boxes still owed";
    assert_eq!(said, [owed, owed]);
    let (met, said) = judged(Vec::new());
    assert_eq!((met, said[0].as_str()), (vec![false; 4], "none was made"));
}

#[test]
fn stacks_are_counted_by_the_order_of_arrival_and_of_departure() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let ham = builder.kind("ham", StackLimit::Sixteen);
    let bench = chest(&mut builder, "bench", 27);
    let network = builder.build().expect("sound");
    let goal = |stacks| Goal::PartStacksOutAtMost { gather: 0, stacks };
    let declarations = Declarations {
        gathers: vec![Gather {
            name: "bench".to_owned(),
            at: vec![bench],
        }],
        goals: vec![goal(1), goal(0)],
        ..Declarations::default()
    };
    let withdraw = |count| Action::Withdraw {
        place: bench,
        count,
    };
    let entries = vec![
        // Runs of 70 barley, 3 flax, 58 barley, 16 hams: 2 + 1 + 1 + 1 stacks, of which 6 barley,
        // the flax and 58 barley are part stacks.
        (0, deliver(bench, barley, 40)),
        (5, deliver(bench, barley, 30)),
        (10, deliver(bench, flax, 3)),
        (15, deliver(bench, barley, 58)),
        (20, deliver(bench, ham, 16)),
        // The chest holds 64 barley, 64 barley, 3 flax, 16 hams, and is emptied in this order: runs
        // of 128 barley, 3 flax, 16 hams, 2 + 1 + 1 stacks, of which the flax is a part stack.
        (50, withdraw(100)),
        (60, withdraw(29)),
        (70, withdraw(18)),
    ];
    let found = run_with(&network, &declarations, 100, entries);
    let stacks = |stacks, part_stacks| Stacks {
        items: 147,
        stacks,
        part_stacks,
    };
    assert_eq!(found.gathers[0].came_in, stacks(5, 3));
    assert_eq!(found.gathers[0].left, stacks(4, 1));
    assert!(found.verdicts[0].is_met());
    assert!(!found.verdicts[1].is_met());
}

#[test]
fn what_moves_inside_a_gather_neither_comes_in_nor_leaves() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let second = chest(&mut builder, "second", 27);
    let first = builder.add("first", capped(Some(second), None));
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        gathers: vec![Gather {
            name: "both".to_owned(),
            at: vec![first, second],
        }],
        ..Declarations::default()
    };
    let found = run_with(
        &network,
        &declarations,
        100,
        vec![(0, deliver(first, barley, 5))],
    );
    let came_in = Stacks {
        items: 5,
        stacks: 1,
        part_stacks: 1,
    };
    assert_eq!(found.gathers[0].came_in, came_in);
    assert_eq!(found.gathers[0].left, Stacks::default());
}

/// A rack of 100 barley and a hopper below it that fills a counter of one slot; a lever locks the
/// hopper. Beside it a hopper with 7 flax that lead nowhere.
fn rack(locked: bool) -> (Network, Declarations) {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let lever = lever(&mut builder, "lever");
    let rack = chest(&mut builder, "rack", 27);
    builder.fill(rack, filling(0, barley, 64));
    builder.fill(rack, filling(1, barley, 36));
    let counter = chest(&mut builder, "counter", 1);
    let fetch = Hopper {
        target: Some(counter),
        intake: Intake::Above(rack),
        lock: Some(lever),
    };
    let fetch = builder.add("fetch", Part::Hopper(fetch));
    let corner = builder.add("corner", capped(None, None));
    builder.fill(corner, filling(0, flax, 7));
    let open = |name: &str, kinds: Vec<KindId>| Open {
        name: name.to_owned(),
        parts: vec![counter],
        behind: vec![rack, fetch, corner],
        kinds,
    };
    let declarations = Declarations {
        open: vec![open("all", Vec::new()), open("barley", vec![barley])],
        stops: vec![Stop {
            at: Tick(0),
            actions: vec![Action::MoveLever { lever, on: locked }],
            restart: None,
        }],
        goals: vec![Goal::LeftBehindAtMost(7), Goal::LeftBehindAtMost(6)],
        ..Declarations::default()
    };
    (builder.build().expect("sound"), declarations)
}

#[test]
fn what_comes_out_when_the_run_goes_on_is_not_left_behind() {
    let (network, declarations) = rack(false);
    let found = run_with(&network, &declarations, 100, Vec::new());
    let all = &found.left_behind[0];
    assert_eq!((all.items, all.taken_items), (7, 100));
    assert_eq!(all.contents, [of_kind(7, "flax")]);
    assert_eq!(all.parts[0].part, "corner");
    assert_eq!(all.ended, TakingEnd::Quiet);
    // One item every 8 ticks: all 100 are out 800 ticks after the start, in the first round of 1,200
    // ticks; in the second nothing moves.
    assert_eq!(all.continued_ticks, 2_400);
    assert_eq!(found.left_behind[1].items, 0);
    let met: Vec<bool> = found.goals().map(|one| one.is_met()).collect();
    assert_eq!(met, [true, false]);
    // The report of the run itself knows nothing of it.
    assert_eq!(found.whereabouts.withdrawn_items, 0);
}

#[test]
fn a_hall_that_is_stopped_at_its_end_gives_out_nothing() {
    let (network, declarations) = rack(true);
    let found = run_with(&network, &declarations, 100, Vec::new());
    let all = &found.left_behind[0];
    assert_eq!((all.items, all.taken_items), (107, 0));
    assert_eq!(all.contents, [of_kind(100, "barley"), of_kind(7, "flax")]);
    assert_eq!(all.continued_ticks, 1_200);
}

/// A box of nine barley in a rack. The hopper below it is locked while no token lies on the desk.
fn behind_a_desk() -> (Network, Declarations) {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let tally = builder.kind("tally", StackLimit::SixtyFour);
    let carton = builder.box_kind("carton");
    let [desk, rack, counter] =
        ["desk", "rack", "counter"].map(|name| chest(&mut builder, name, 27));
    let packed = Filling {
        contents: vec![filling(0, barley, 9)],
        ..filling(0, carton, 1)
    };
    builder.fill(rack, packed);
    let is_asked = Signal::Comparator {
        rear: Rear::Inventory(desk),
        side: None,
        mode: ComparatorMode::Compare,
    };
    let is_asked = builder.add("is asked", Part::Signal(is_asked));
    let shut = Signal::Inverter { input: is_asked };
    let shut = builder.add("shut", Part::Signal(shut));
    let fetch = Hopper {
        target: Some(counter),
        intake: Intake::Above(rack),
        lock: Some(shut),
    };
    let fetch = builder.add("fetch", Part::Hopper(fetch));
    let declarations = Declarations {
        desks: vec![barley_desk(barley, desk, tally, counter)],
        open: vec![Open {
            name: "all".to_owned(),
            parts: vec![counter],
            behind: vec![rack, fetch],
            kinds: Vec::new(),
        }],
        ..Declarations::default()
    };
    (builder.build().expect("sound"), declarations)
}

#[test]
fn boxes_that_come_when_they_are_asked_for_are_not_left_behind() {
    let (network, declarations) = behind_a_desk();
    let found = run_with(&network, &declarations, 100, Vec::new());
    assert_eq!(found.desks[0].requests, []);
    let all = &found.left_behind[0];
    assert_eq!((all.items, all.taken_items), (0, 9));
}

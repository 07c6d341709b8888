//! What is asked of a run, how it is ruled, and what a verdict says besides, mostly of the demo line (see `line.rs`).

use hallwright_core::engine::Engine;
use hallwright_core::goods::StackLimit;
use hallwright_core::id::KindId;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::Orders;
use hallwright_core::part::{Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::{Declarations, Goal, Lamp, Mark, StorePurpose};
use hallwright_report::findings::{Findings, GoingOnEnd, Standing};
use hallwright_report::goals::Verdict;
use hallwright_report::verdicts::{Question, Ruling, asked_of_all};
use hallwright_report::words::why_never;
use hallwright_report::{RunInput, setup_for, watch_stop};

use crate::line::{Line, line};
use crate::support::{capped, chest, deliver, filling, run_with, store};

/// Runs the demo line for 400 ticks with these goals alone.
fn judged(mut line: Line, goals: Vec<Goal>) -> Findings {
    line.declarations.goals = goals;
    run_with(&line.network, &line.declarations, 400, Vec::new())
}

/// Judges one goal.
fn judge(line: Line, goal: Goal) -> Verdict {
    let found = judged(line, vec![goal]);
    let mut goals = found.goals().cloned();
    goals.next().expect("it is judged")
}

/// The remark on one goal.
fn remark(line: Line, goal: Goal) -> String {
    judge(line, goal).remark.unwrap_or_default()
}

fn within(mark: Mark, ticks: u64) -> Goal {
    Goal::MarkWithin {
        mark,
        section: None,
        ticks,
    }
}

/// How a question was answered.
fn ruling(found: &Findings, question: Question) -> Ruling {
    let mut verdicts = found.verdicts.iter();
    let verdict = verdicts.find(|verdict| verdict.question == question);
    verdict.expect("it is asked of every run").ruling
}

#[test]
fn every_run_is_asked_the_same_and_about_what_it_has() {
    let asked = |declared: &Declarations| -> Vec<&'static str> {
        let all = asked_of_all(declared);
        all.iter()
            .map(|(_, goal)| Question::of(goal).key())
            .collect()
    };
    let of_any = [
        "lost",
        "refused",
        "stuck",
        "backed_up",
        "without_home",
        "crowded",
    ];
    assert_eq!(asked(&Declarations::default()), of_any);
    let mut declared = line(100, None).declarations;
    let of_the_line = [
        "lost",
        "refused",
        "misplaced",
        "passed_by",
        "stuck",
        "backed_up",
        "without_home",
        "shared_home",
        "safe_to_close",
        "crowded",
    ];
    assert_eq!(asked(&declared), of_the_line);
    declared.stores.clear();
    declared.stops.clear();
    declared.sieves = vec![declared.sections[0].line[0]];
    declared.goals = vec![Goal::RefusedAtMost(3)];
    // What a goal asks is asked once, and first.
    let mut with_a_goal = vec!["refused"];
    with_a_goal.extend(["lost", "stuck", "backed_up"]);
    with_a_goal.extend(["sieves_intact", "without_home", "crowded"]);
    assert_eq!(asked(&declared), with_a_goal);
}

#[test]
fn rulings_are_written_as_they_are_meant() {
    let all = [
        Ruling::Ok,
        Ruling::Allowed,
        Ruling::NotFinished,
        Ruling::NotKnown,
        Ruling::Missed,
    ];
    let words = ["ok", "allowed", "not finished", "not known", "missed"];
    assert_eq!(all.map(Ruling::words), words);
}

#[test]
fn goods_on_their_way_leave_a_run_unfinished() {
    let line = line(1_000, None);
    let stuck_after = |ticks| {
        let found = run_with(&line.network, &line.declarations, ticks, Vec::new());
        ruling(&found, Question::Stuck)
    };
    // The last item is at home in tick 202.
    assert_eq!(stuck_after(100), Ruling::NotFinished);
    assert_eq!(stuck_after(203), Ruling::Ok);
}

#[test]
fn a_hall_that_ends_stopped_is_switched_on_again_before_anything_counts_as_stuck() {
    let found = judged(line(100, None), Vec::new());
    // The feeder has pushed twelve of twenty items, in ticks 8 to 96, before the lever locks it.
    assert_eq!(found.going_on.on_the_way.goods, 8);
    assert_eq!(found.going_on.stuck.goods, 0);
}

#[test]
fn what_would_be_done_in_the_tick_of_the_end_is_not_done() {
    let line = line(1_000, None);
    let lock = Action::MoveLever {
        lever: line.lever,
        on: true,
    };
    let found = run_with(&line.network, &line.declarations, 100, vec![(100, lock)]);
    // Locked from then on, the feeder would keep what it has not pushed by tick 100.
    assert_eq!(found.going_on.on_the_way.goods, 13);
    assert_eq!(found.going_on.stuck.goods, 0);
}

#[test]
fn what_moves_and_is_in_no_section_is_named() {
    let mut line = line(1_000, None);
    let nowhere = |line: &Line| {
        let found = run_with(&line.network, &line.declarations, 1, Vec::new());
        found.in_no_section.clone()
    };
    assert_eq!(nowhere(&line), [""; 0]);
    line.declarations.sections[0].line.pop();
    assert_eq!(nowhere(&line), ["line 6"]);
}

#[test]
fn a_clock_that_moves_nothing_does_not_go_round() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    // It stays where it is, and so the run goes on after its end.
    let end = builder.add("end", capped(None, None));
    builder.fill(end, filling(0, barley, 1));
    let clock = Signal::Clock {
        period_ticks: 20,
        high_ticks: 10,
        phase_ticks: 0,
    };
    builder.add("clock", Part::Signal(clock));
    let network = builder.build().expect("sound");
    let found = run_with(&network, &Declarations::default(), 100, Vec::new());
    assert_eq!(found.going_on.ended, GoingOnEnd::Quiet);
}

#[test]
fn a_goal_that_cannot_be_judged_says_why() {
    let mut no_store = line(100, None);
    no_store.declarations.stores.clear();
    let misplaced = judge(no_store, Goal::MisplacedAtMost(0));
    assert_eq!(misplaced.ruling, Ruling::NotKnown);
    assert_eq!(misplaced.remark.as_deref(), Some("no store is declared"));
    let never_stopped = || line(1_000, None);
    assert_eq!(
        remark(never_stopped(), within(Mark::Cleared, 9)),
        "no stop was reached"
    );
    let not_safe = judge(never_stopped(), Goal::StopsNotSafeAtMost(0));
    assert_eq!(not_safe.ruling, Ruling::NotKnown);
    let why = "the run ends before 1 of 1 stops";
    assert_eq!(not_safe.remark.as_deref(), Some(why));
    // The stop is in tick 350, and its restart would come after the end.
    assert_eq!(
        remark(line(350, Some(60)), within(Mark::Resumed, 9)),
        "a restart was not reached"
    );
    assert_eq!(
        remark(line(350, None), within(Mark::Resumed, 9)),
        "no restart was reached"
    );
    let mut no_section = line(350, Some(60));
    no_section.declarations.sections.clear();
    assert_eq!(
        remark(no_section, within(Mark::Resumed, 9)),
        "no section is declared"
    );
}

#[test]
fn a_mark_went_wrong_in_the_first_tick_in_which_it_was_too_late() {
    let went_wrong_at = |goal| {
        let verdict = judge(line(100, Some(60)), goal);
        assert_eq!(verdict.ruling, Ruling::Missed);
        verdict.went_wrong_at
    };
    // The stop is in tick 100, the restart in tick 160.
    assert_eq!(went_wrong_at(within(Mark::Cleared, 10)), Some(Tick(111)));
    assert_eq!(went_wrong_at(within(Mark::Resumed, 10)), Some(Tick(171)));
}

#[test]
fn what_a_stop_leaves_in_the_way_is_named() {
    let mut held = line(100, None);
    let section = &mut held.declarations.sections[0];
    section.line.push(section.queue.remove(0));
    let found = judged(held, Vec::new());
    let stop = &found.stops[0];
    // Nothing moves any more, but the source counts as a part of the line. The feeder has pulled thirteen items.
    assert!(stop.all.quiet.ticks.is_some());
    let why = "still holding: source (7 items)";
    assert_eq!(why_never(stop, 20).as_deref(), Some(why));
    let cleared = judged(line(100, None), Vec::new());
    assert_eq!(why_never(&cleared.stops[0], 20), None);
}

#[test]
fn a_stop_alone_is_watched_as_in_the_whole_run() {
    let line = line(100, None);
    let timeline = Timeline::default();
    let input = RunInput {
        network: &line.network,
        timeline: &timeline,
        seed: 1,
        orders: Orders::default(),
        run_ticks: 400,
        declarations: &line.declarations,
    };
    let setup = setup_for(&input);
    let mut engine = Engine::new(&line.network, &setup);
    engine.run_unwatched(Tick(100));
    let alone = watch_stop(&line.declarations, 400, &setup, &mut engine);
    let whole = judged(line, Vec::new());
    let marks = alone.map(|stop| stop.all);
    assert_eq!(marks, Some(whole.stops[0].all));
}

#[test]
fn a_call_is_idle_while_nothing_waits() {
    let mut called = line(1_000, None);
    called.declarations.sections[0].call = Some(called.lever);
    // The last item is in the chest in tick 202; the call is on from tick 300 to 350.
    let turns = [(300, true), (350, false)].map(|(at, on)| {
        let lever = called.lever;
        (at, Action::MoveLever { lever, on })
    });
    let found = run_with(&called.network, &called.declarations, 400, turns.to_vec());
    assert_eq!(found.sections[0].call_idle_ticks, Some(50));
}

#[test]
fn a_lamp_that_never_rose_says_so() {
    let rise = |stop_at, not_after: Option<u64>| {
        let mut line = line(stop_at, None);
        line.declarations.lamps = vec![Lamp {
            name: "stopped".to_owned(),
            signal: line.lever,
            watches: Vec::new(),
        }];
        let goal = Goal::LampRise {
            lamp: 0,
            not_before: None,
            not_after: not_after.map(Tick),
            at_least_items: None,
            at_most_items: None,
        };
        judge(line, goal)
    };
    let never = rise(1_000, Some(120));
    assert!(!never.is_met());
    assert_eq!(never.remark.as_deref(), Some("it never rose"));
    assert_eq!(never.went_wrong_at, Some(Tick(121)));
    let late = rise(150, Some(120));
    assert_eq!(
        (late.is_met(), late.went_wrong_at),
        (false, Some(Tick(150)))
    );
    // Without a bound, it is enough that it rose.
    assert!(rise(150, None).is_met());
}

#[test]
fn kinds_that_a_goal_names_are_no_reason_for_a_miss() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let kinds = ["barley", "flax", "rye"].map(|name| builder.kind(name, StackLimit::SixtyFour));
    let [barley, flax, rye] = kinds;
    let yard = chest(&mut builder, "yard", 27);
    let network = builder.build().expect("a chest is sound");
    let verdict = |named: Vec<KindId>| {
        let declared = Declarations {
            goals: vec![Goal::WithoutHome(named)],
            ..Declarations::default()
        };
        let arrive = [barley, flax].map(|kind| (0, deliver(yard, kind, 1)));
        let found = run_with(&network, &declared, 10, arrive.to_vec());
        found.goals().next().cloned().expect("it is judged")
    };
    let in_part = verdict(vec![barley, rye]);
    assert_eq!(in_part.ruling, Ruling::Missed);
    let remark = "allowances not used: rye";
    assert_eq!(in_part.remark.as_deref(), Some(remark));
    let why = "flax, which arrives at yard, has no home: no store is declared";
    assert_eq!(in_part.why, [why]);
    let all = verdict(vec![barley, flax]);
    assert_eq!((all.ruling, all.remark), (Ruling::Allowed, None));
    assert_eq!(all.why.len(), 2);
}

#[test]
fn what_is_backed_up_says_where_it_is_and_which_store_is_full() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let barrel = chest(&mut builder, "barrel", 1);
    builder.fill(barrel, filling(0, barley, 60));
    let line = builder.add("line", capped(Some(barrel), None));
    let declared = Declarations {
        stores: vec![store("grain", barrel, &[barley], StorePurpose::Slice)],
        ..Declarations::default()
    };
    let network = builder.build().expect("sound");
    let found = run_with(
        &network,
        &declared,
        200,
        vec![(0, deliver(line, barley, 10))],
    );
    let mut verdicts = found.verdicts.iter();
    let verdict = verdicts.find(|verdict| verdict.question == Question::BackedUp);
    let verdict = verdict.expect("it is asked of every run");
    assert_eq!(verdict.ruling, Ruling::Missed);
    assert_eq!(verdict.why, ["6 barley in line: \"grain\" is full"]);
    assert_eq!(found.account.amount(Standing::InLines).goods, 6);
}

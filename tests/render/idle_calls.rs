//! How long a call stays on with nothing to do, counted by hand.

use hallwright_core::goods::StackLimit;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::Orders;
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::{Declarations, Goal, Section};
use hallwright_render::{json, text};
use hallwright_report::findings::Findings;
use hallwright_report::{Heading, RunInput, run};
use hallwright_trials::Case;
use hallwright_trials::check::{CaseResult, fold};
use hallwright_trials::compare::{Value, measure};
use serde_json::Value as Json;

use crate::parts::{capped, chest, deliver, lever};

struct Hall {
    network: Network,
    declarations: Declarations,
    timeline: Timeline,
}

/// A hopper that feeds a chest, in a section with a call, in one with a queue besides, and in one
/// without a call.
///
/// The call is on in ticks 10 to 97 and 120 to 149. The hopper holds the barley delivered in tick 40
/// until its cooldown of 8 is over, and hands it on in tick 47: at the ends of ticks 40 to 46 it holds
/// it. So the line is idle in ticks 10 to 39 (30), 47 to 97 (51) and 120 to 149 (30); with the queue,
/// which holds something from tick 70 on, in 10 to 39 (30) and 47 to 69 (23).
fn hall() -> Hall {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let call = lever(&mut builder, "call");
    let store = chest(&mut builder, "chest", 27);
    let hopper = builder.add("hopper", capped(Some(store), None));
    let queue = chest(&mut builder, "queue", 27);
    let section = |name: &str, queue: &[_], call| Section {
        name: name.to_owned(),
        line: vec![hopper],
        queue: queue.to_vec(),
        locked: Vec::new(),
        call,
        returns: Vec::new(),
        width_blocks: None,
    };
    let goal = |section, ticks| Goal::CallIdleAtMost { section, ticks };
    let turn = |on| Action::MoveLever { lever: call, on };
    let entries = vec![
        (Tick(10), turn(true)),
        (Tick(40), deliver(hopper, barley, 1)),
        (Tick(70), deliver(queue, barley, 1)),
        (Tick(98), turn(false)),
        (Tick(120), turn(true)),
    ];
    Hall {
        network: builder.build().expect("sound"),
        declarations: Declarations {
            sections: vec![
                section("line", &[], Some(call)),
                section("both", &[queue], Some(call)),
                section("uncalled", &[], None),
            ],
            goals: vec![
                goal(Some(0), 51),
                goal(Some(0), 50),
                goal(None, 50),
                goal(Some(1), 30),
                goal(Some(2), 1000),
            ],
            ..Declarations::default()
        },
        timeline: Timeline::new(entries),
    }
}

impl Hall {
    fn input(&self) -> RunInput<'_> {
        RunInput {
            network: &self.network,
            timeline: &self.timeline,
            seed: 1,
            orders: Orders::default(),
            run_ticks: 150,
            declarations: &self.declarations,
        }
    }

    fn findings(&self) -> Findings {
        run(&self.input(), &mut |_| {})
    }
}

#[test]
fn a_call_is_idle_while_it_is_on_and_nothing_waits() {
    let found = hall().findings();
    let idle = found.sections.iter().map(|one| one.call_idle_ticks);
    assert_eq!(idle.collect::<Vec<_>>(), [Some(51), Some(30), None]);
    let met: Vec<bool> = found.goals().map(|one| one.is_met()).collect();
    assert_eq!(met, [true, false, false, true, false]);
    let why = found.verdicts[4].remark.as_deref();
    assert_eq!(why, Some("no section has a call"));
}

#[test]
fn idle_calls_are_reported_in_text_in_json_and_in_comparisons() {
    let found = hall().findings();
    let shown = text(&Heading::default(), &found, None, None, 100);
    let goal = "\"line\" idle call: 2.55 s (51 t), at most 2.5 s (50 t)";
    for words in [goal, "idle call: 2.55 s (51 t) in line at worst"] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    let read: Json =
        serde_json::from_str(&json(&Heading::default(), &found, None, None)).expect("JSON");
    let idle = |section: usize| read["sections"][section]["call_idle_ticks"].clone();
    assert_eq!([idle(0), idle(2)], [Json::from(51), Json::Null]);
    assert_eq!(read["goals"]["verdicts"][1]["checks"][0]["unit"], "ticks");

    let compared = measure(&found);
    let of = |words: &str| {
        let mut figures = compared.iter();
        let found = figures.find(|(figure, _)| figure.words() == words);
        found.map(|(_, value)| *value)
    };
    assert_eq!(of("idle call"), Some(Value::Number(51.0)));
    assert_eq!(of("idle call of both"), Some(Value::Number(30.0)));
    assert_eq!(of("idle call of uncalled"), Some(Value::Nothing));
}

#[test]
fn a_check_says_by_how_much_a_call_was_idle_too_long_and_where() {
    let hall = hall();
    let case = Case::as_declared(1);
    let run = case.of_any(&[hall.input()]);
    let result = Ok(CaseResult::of(&run, &run.findings()));
    let checked = fold(&[(case, result)], &[], None, &|_| String::new());
    let worst = &checked.goals[2].worst;
    let words = &worst.excess_words;
    assert!(words.starts_with("0.05 s (1 t) too long"), "{words}");
    assert_eq!(worst.causes, ["\"line\": 2.55 s (51 t)"]);
}

//! What is wrong with a network, in words, and where it is.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::PartId;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;

fn builder() -> NetworkBuilder {
    NetworkBuilder::new(Rules::default())
}

/// All that is wrong.
fn wrong(builder: NetworkBuilder) -> Vec<String> {
    let errors = builder.build().err().unwrap_or_default();
    errors.iter().map(ToString::to_string).collect()
}

#[test]
fn a_loop_of_signals_without_delay_is_named_by_the_shortest_way_round() {
    let mut builder = builder();
    let [one, other, third] = ["one", "other", "third"].map(|name| builder.declare(name));
    let mut wire = |part, inputs: &[PartId]| {
        let inputs = inputs.iter().map(|input| (*input, 1));
        let inputs = inputs.collect();
        builder.define(part, Part::Signal(Signal::Wire { inputs }));
    };
    wire(one, &[third, other]);
    wire(other, &[one]);
    wire(third, &[other]);
    let text = "`one`: a loop of signals without delay has no meaning: one → other → one";
    assert_eq!(wrong(builder), [text]);
}

#[test]
fn a_link_to_the_wrong_part_says_what_it_leads_to() {
    let mut builder = builder();
    let chest = builder.add("chest", Part::Container(Container { slots: 27 }));
    let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: false }));
    let hopper = Hopper {
        target: Some(lever),
        intake: Intake::Cap,
        lock: Some(chest),
    };
    builder.add("hopper", Part::Hopper(hopper));
    let texts = [
        "`hopper`: its target is `lever`, which is a signal, not something to push into (an inventory or a selector)",
        "`hopper`: its lock is `chest`, which is a container, not a signal",
    ];
    assert_eq!(wrong(builder), texts);
}

#[test]
fn numbers_at_the_edges_of_their_ranges_are_possible_and_those_beyond_are_not() {
    let kinds = |count: usize| {
        let mut builder = builder();
        for number in 0..count {
            builder.kind(&number.to_string(), StackLimit::One);
        }
        wrong(builder)
    };
    assert_eq!(kinds(65_535), [""; 0]);
    let text = "there are 65536 kinds of goods, but at most 65535 are possible";
    assert_eq!(kinds(65_536), [text]);
    let work_idle = |work_idle| {
        let rules = Rules {
            work_idle,
            ..Rules::default()
        };
        wrong(NetworkBuilder::new(rules))
    };
    assert_eq!(work_idle(1_000_000_000), [""; 0]);
    let text = "work_idle is 1000000001, but must be at most 1,000,000,000";
    assert_eq!(work_idle(1_000_000_001), [text]);
    let slots = |slots| {
        let mut builder = builder();
        builder.add("chest", Part::Container(Container { slots }));
        wrong(builder)
    };
    assert_eq!(slots(1), [""; 0]);
    assert_eq!(slots(0), ["`chest`: slots is 0, but must be at least 1"]);
}

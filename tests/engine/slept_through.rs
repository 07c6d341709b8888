//! A wire that slept through a change keeps its old level until one of its inputs changes: any of them, even
//! one whose change would be lost on a wire that is up to date.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_reference::ReferenceEngine;

#[test]
fn any_input_brings_a_wire_up_to_date_that_slept_through_a_change() {
    let mut builder = NetworkBuilder::new(Rules::default());
    let mut signal = |name, signal| builder.add(name, Part::Signal(signal));
    let near = signal("near", Signal::Lever { starts_on: true });
    let far = signal("far", Signal::Lever { starts_on: false });
    // Of the far lever nothing is left when it comes here.
    let inputs = vec![(near, 0), (far, 15)];
    let wire = signal("wire", Signal::Wire { inputs });
    let network = builder.build().expect("sound");
    let moves = |lever, on| Action::MoveLever { lever, on };
    let sleep = Action::Sleep {
        parts: vec![wire],
        sleep_ticks: 2,
    };
    let timeline = Timeline::new(vec![
        (Tick(1), sleep),
        (Tick(2), moves(near, false)),
        (Tick(5), moves(far, true)),
    ]);
    let setup = Setup {
        timeline,
        ..Setup::default()
    };

    let mut reference = ReferenceEngine::new(&network, &setup);
    let mut stepping = Engine::new(&network, &setup);
    let mut resumed = Engine::new(&network, &setup);
    let mut wire_levels = Vec::new();
    for tick in 0..7 {
        let (mut trace, mut trace_of_resumed) = (Trace::default(), Trace::default());
        stepping.step(&mut trace);
        resumed = Engine::resume(&network, &setup, &resumed.save());
        resumed.step(&mut trace_of_resumed);
        assert_eq!(trace.events, reference.step(), "tick {tick}");
        assert_eq!(trace.events, trace_of_resumed.events, "tick {tick}");
        let of_wire = trace.events.iter().filter_map(|(_, event)| match event {
            Event::SignalChanged { signal, level } if *signal == wire => Some((tick, *level)),
            _ => None,
        });
        wire_levels.extend(of_wire);
    }
    assert_eq!(wire_levels, [(5, 0)]);
}

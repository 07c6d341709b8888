//! The line that a trace has for each event, written out by hand.

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Moment, Observer, StackId};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{BoxId, KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Part};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Item;
use hallwright_core::tick::{Phase, Tick};
use hallwright_render::{TraceWriter, trace_line};

/// Events with the end of their lines. One without a row does not compile: the rows are an exhaustive
/// match too.
macro_rules! rows {
    ($($event:ident { $($field:ident: $value:expr),* } => $line:literal;)*) => {{
        let _every_event_has_a_row = |event: &Event| match event {
            $(Event::$event { .. } => (),)*
        };
        vec![$((Event::$event { $($field: $value),* }, $line)),*]
    }};
}

/// Two parts, so that a line which swaps them is seen, and two kinds.
fn network() -> (Network, [PartId; 2], [KindId; 2]) {
    let mut builder = NetworkBuilder::new(Rules::default());
    let kinds = [("flax", StackLimit::SixtyFour), ("box", StackLimit::One)];
    let kinds = kinds.map(|(name, limit)| builder.kind(name, limit));
    // What is done is reported of names alone: the sort of a part does not matter.
    let parts =
        ["north", "south"].map(|name| builder.add(name, Part::Container(Container { slots: 1 })));
    let network = builder.build().expect("two chests are sound");
    (network, parts, kinds)
}

/// A row for every sort of event, and for those about items one more with a box.
#[expect(clippy::too_many_lines, reason = "a table: a row for each event")]
fn table(
    [north, south]: [PartId; 2],
    [flax, crate_kind]: [KindId; 2],
) -> Vec<(Event, &'static str)> {
    let item = Item {
        kind: flax,
        box_id: None,
    };
    let boxed = Item {
        kind: crate_kind,
        box_id: Some(BoxId::from_index(7)),
    };
    let (stack, into) = (StackId(5), StackId(3));
    let mut rows = rows![
        SignalChanged { signal: north, level: 15 } => r#""event":"signal","signal":"north","level":15"#;
        Locked { part: north } => r#""event":"locked","part":"north""#;
        Unlocked { part: south } => r#""event":"unlocked","part":"south""#;
        ItemMoved { from: north, to: south, item: item }
            => r#""event":"moved","from":"north","to":"south","kind":"flax""#;
        Delivered { place: south, kind: flax, count: 640 }
            => r#""event":"delivered","part":"south","kind":"flax","count":640"#;
        Withdrawn { place: north, item: item, count: 12 }
            => r#""event":"withdrawn","part":"north","kind":"flax","count":12"#;
        Clicked { dropper: south } => r#""event":"clicked","dropper":"south""#;
        Thrown { dropper: south, item: item }
            => r#""event":"thrown","dropper":"south","kind":"flax""#;
        CameLoose { stack: stack, item: item, count: 64, place: north }
            => r#""event":"came_loose","stack":5,"kind":"flax","count":64,"part":"north""#;
        Merged { stack: stack, into: into, kind: flax, count: 9, mouth: south }
            => r#""event":"merged","stack":5,"into":3,"kind":"flax","count":9,"mouth":"south""#;
        Collected { hopper: north, stack: stack, item: item, count: 8 }
            => r#""event":"collected","hopper":"north","stack":5,"kind":"flax","count":8"#;
        Lost { stack: stack, item: item, count: 2, mouth: south }
            => r#""event":"lost","stack":5,"kind":"flax","count":2,"mouth":"south""#;
        BoxSet { dispenser: north, bench: south, item: boxed }
            => r#""event":"box_set","dispenser":"north","bench":"south","kind":"box","box":7"#;
        BoxLifted { bench: south, item: boxed }
            => r#""event":"box_lifted","bench":"south","kind":"box","box":7"#;
        Docked { shuttle: north, place: south }
            => r#""event":"docked","shuttle":"north","dock":"south""#;
        Departed { shuttle: north, place: south }
            => r#""event":"departed","shuttle":"north","dock":"south""#;
    ];
    rows.extend([
        (
            Event::ItemMoved {
                from: south,
                to: north,
                item: boxed,
            },
            r#""event":"moved","from":"south","to":"north","kind":"box","box":7"#,
        ),
        (
            Event::Withdrawn {
                place: south,
                item: boxed,
                count: 1,
            },
            r#""event":"withdrawn","part":"south","kind":"box","count":1,"box":7"#,
        ),
        (
            Event::Thrown {
                dropper: north,
                item: boxed,
            },
            r#""event":"thrown","dropper":"north","kind":"box","box":7"#,
        ),
        (
            Event::CameLoose {
                stack,
                item: boxed,
                count: 1,
                place: south,
            },
            r#""event":"came_loose","stack":5,"kind":"box","count":1,"part":"south","box":7"#,
        ),
        (
            Event::Collected {
                hopper: south,
                stack,
                item: boxed,
                count: 1,
            },
            r#""event":"collected","hopper":"south","stack":5,"kind":"box","count":1,"box":7"#,
        ),
        (
            Event::Lost {
                stack,
                item: boxed,
                count: 1,
                mouth: north,
            },
            r#""event":"lost","stack":5,"kind":"box","count":1,"mouth":"north","box":7"#,
        ),
    ]);
    rows
}

#[test]
fn every_event_has_its_line() {
    let (network, parts, kinds) = network();
    let moment = Moment {
        tick: Tick(12_345),
        phase: Phase::Loose,
    };
    for (event, end) in table(parts, kinds) {
        let line = format!("{{\"tick\":12345,\"phase\":3,{end}}}");
        assert_eq!(trace_line(&network, moment, &event), line);
    }
}

#[test]
fn a_trace_is_the_lines_of_its_events_with_their_moments() {
    let (network, parts, kinds) = network();
    let setup = Setup::default();
    let engine = Engine::new(&network, &setup);
    let mut writer = TraceWriter::new(Vec::new());
    let phases = [
        (Phase::Inputs, 1),
        (Phase::Signals, 2),
        (Phase::Loose, 3),
        (Phase::Hoppers, 4),
    ];
    let mut expected = String::from("{\"schema_version\":2}\n");
    // Three events a tick, each in a phase of its own or in that of the one before.
    for (number, (event, end)) in table(parts, kinds).into_iter().enumerate() {
        let tick = number as u64 / 3;
        let (phase, digit) = phases[number / 2 % phases.len()];
        let moment = Moment {
            tick: Tick(tick),
            phase,
        };
        writer.event(moment, &event, &engine.view());
        expected.push_str(&format!("{{\"tick\":{tick},\"phase\":{digit},{end}}}\n"));
    }
    let written = writer.finish().expect("a text in memory takes everything");
    assert_eq!(String::from_utf8(written).as_deref(), Ok(expected.as_str()));
}

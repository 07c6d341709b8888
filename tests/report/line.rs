//! The demo line of the tests: a chest of barley, a feeder that a lever locks, six hoppers and the
//! barley chest at their end.
//!
//! Worked out by hand: the feeder pulls its first item in tick 0 and from tick 8 on pushes one item
//! every 8 ticks, in ticks 8, 16, 24, … Each finds the first hopper empty, acts 7 ticks later and so
//! does every hopper after it (tick rules, section 4), so an item pushed in tick `t` is in the
//! barley chest in tick `t + 42`.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Hopper, Intake, Part};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Flow, Restart, Section, Stop, StorePurpose};

use crate::support::{capped, chest, filling, lever, store};

/// The line and what is declared of it.
pub(crate) struct Line {
    pub(crate) network: Network,
    pub(crate) declarations: Declarations,
    pub(crate) lever: PartId,
}

/// Twenty barley in the source; the stop moves the lever, the restart moves it back.
pub(crate) fn line(stop_at: u64, restart_after_ticks: Option<u64>) -> Line {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let lever = lever(&mut builder, "stop lever");
    let source = chest(&mut builder, "source", 27);
    builder.fill(source, filling(0, barley, 20));
    let feeder = builder.declare("feeder");
    let hoppers: Vec<PartId> = (1..=6)
        .map(|number| builder.declare(&format!("line {number}")))
        .collect();
    let barley_chest = chest(&mut builder, "barley chest", 27);
    let feeding = Hopper {
        target: Some(hoppers[0]),
        intake: Intake::Above(source),
        lock: Some(lever),
    };
    builder.define(feeder, Part::Hopper(feeding));
    for (index, hopper) in hoppers.iter().enumerate() {
        let target = hoppers.get(index + 1).copied().unwrap_or(barley_chest);
        builder.define(*hopper, capped(Some(target), None));
    }
    let turn = |on: bool| vec![Action::MoveLever { lever, on }];
    let declarations = Declarations {
        stores: vec![store(
            "barley store",
            barley_chest,
            &[barley],
            StorePurpose::Slice,
        )],
        flows: vec![Flow {
            name: "into the store".to_owned(),
            into: vec![barley_chest],
            kinds: Vec::new(),
        }],
        sections: vec![Section {
            name: "main line".to_owned(),
            line: hoppers,
            queue: vec![source, feeder],
            locked: vec![feeder],
            call: None,
            returns: Vec::new(),
            width_blocks: Some(7),
        }],
        stops: vec![Stop {
            at: Tick(stop_at),
            actions: turn(true),
            restart: restart_after_ticks.map(|after_ticks| Restart {
                after_ticks,
                actions: turn(false),
            }),
        }],
        width_blocks: Some(7),
        ..Declarations::default()
    };
    Line {
        network: builder.build().expect("the line is sound"),
        declarations,
        lever,
    }
}

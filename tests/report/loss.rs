//! Losses and why nothing prevented them. Stacks despawn at an age of 50 ticks here: what comes
//! loose in phase 1 of tick 0 has age 1 at the end of tick 0 and is lost in tick 49.

use hallwright_core::goods::StackLimit;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Part, Stream};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};
use hallwright_declared::declarations::{Declarations, Goal};
use hallwright_report::findings::{Loss, LossReason};

use crate::support::{below_mouth, deliver, filling, lever, of_kind, run_with};

fn rules() -> Rules {
    Rules {
        despawn_ticks: 50,
        ..Rules::default()
    }
}

fn reasons(loss: &Loss) -> Vec<(&str, LossReason)> {
    loss.rows
        .iter()
        .map(|row| (row.mouth.as_str(), row.reason))
        .collect()
}

#[test]
fn each_loss_says_why_no_hopper_took_it() {
    let mut builder = NetworkBuilder::new(rules());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let flax = builder.kind("flax", StackLimit::SixtyFour);
    let lever = lever(&mut builder, "lever");
    let bare = builder.add("bare mouth", Part::Mouth);
    let locked = builder.add("locked mouth", Part::Mouth);
    let full = builder.add("full mouth", Part::Mouth);
    let far = builder.add("far mouth", Part::Mouth);
    let stream = Stream {
        transit_ticks: 100,
        mouth: far,
    };
    let stream = builder.add("stream", Part::Stream(stream));
    builder.add("locked hopper", below_mouth(locked, Some(lever)));
    builder.add("far hopper", below_mouth(far, None));
    let full_hopper = builder.add("full hopper", below_mouth(full, None));
    for slot in 0..5 {
        builder.fill(full_hopper, filling(slot, flax, 64));
    }
    let network = builder.build().expect("sound");
    let declarations = Declarations {
        goals: vec![Goal::LostAtMost(10)],
        ..Declarations::default()
    };
    let mut entries = vec![(0, Action::MoveLever { lever, on: true })];
    for (place, count) in [(bare, 3), (locked, 4), (full, 5), (stream, 6)] {
        entries.push((0, deliver(place, barley, count)));
    }
    let found = run_with(&network, &declarations, 100, entries);
    assert_eq!(
        reasons(&found.loss),
        [
            ("bare mouth", LossReason::NoHopper),
            ("locked mouth", LossReason::Locked),
            ("full mouth", LossReason::Full),
            ("far mouth", LossReason::StillOnStream),
        ]
    );
    assert_eq!(found.loss.items, 18);
    assert_eq!(found.whereabouts.lost_items, 18);
    let first = &found.loss.rows[0];
    assert_eq!(
        (first.at, first.age_ticks, first.loose_ticks),
        (Tick(49), 50, 49)
    );
    assert_eq!(found.loss.rows[3].came_loose_at, "stream");
    assert!(!found.verdicts[0].is_met());
    assert_eq!(found.verdicts[0].went_wrong_at, Some(Tick(49)));
}

#[test]
fn a_hopper_that_took_others_was_busy() {
    // One item every 8 ticks fits: the hopper takes stacks of one, eldest first, in ticks 0, 8, 16,
    // 24, 32, 40 and 48. Boxes never merge; of ten, seven are taken and three lost in tick 49.
    let mut builder = NetworkBuilder::new(rules());
    let sickle = builder.kind("sickle", StackLimit::One);
    let mouth = builder.add("mouth", Part::Mouth);
    let chest = crate::support::chest(&mut builder, "chest", 27);
    let hopper = hallwright_core::part::Hopper {
        target: Some(chest),
        intake: hallwright_core::part::Intake::Mouth(mouth),
        lock: None,
    };
    builder.add("hopper", Part::Hopper(hopper));
    let network = builder.build().expect("sound");
    let entries = vec![(0, deliver(mouth, sickle, 10))];
    let found = run_with(&network, &Declarations::default(), 100, entries);
    assert_eq!(reasons(&found.loss), [("mouth", LossReason::Busy); 3]);
}

#[test]
fn a_lost_box_takes_its_contents_with_it() {
    let mut builder = NetworkBuilder::new(rules());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let crate_kind = builder.box_kind("crate");
    let mouth = builder.add("mouth", Part::Mouth);
    let network = builder.build().expect("sound");
    let entries = vec![(
        5,
        Action::Deliver {
            place: mouth,
            kind: crate_kind,
            count: 1,
            contents: vec![filling(0, barley, 64), filling(3, barley, 6)],
            terms: Terms::default(),
        },
    )];
    let found = run_with(&network, &Declarations::default(), 100, entries);
    assert_eq!(found.loss.items, 71);
    assert_eq!(found.loss.stacks, 1);
    let row = &found.loss.rows[0];
    assert_eq!(row.at, Tick(54));
    assert_eq!(row.contents, [of_kind(70, "barley")]);
}

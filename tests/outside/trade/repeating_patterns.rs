//! Patterns of 4, 3 and 2 blocks side by side repeat together after 12 blocks (common practice, no
//! source): their least common multiple.

use hallwright_core::engine::Engine;
use hallwright_core::id::PartId;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;

fn greatest_common_divisor(a: u32, b: u32) -> u32 {
    if b == 0 {
        a
    } else {
        greatest_common_divisor(b, a % b)
    }
}

fn least_common_multiple(patterns: &[u32]) -> u32 {
    patterns.iter().fold(1, |width, pattern| {
        width / greatest_common_divisor(width, *pattern) * pattern
    })
}

/// After how many ticks clocks of these periods, on for the first tick of each, are all on again.
fn clocks_meet_after(periods: &[u32]) -> u32 {
    let mut builder = NetworkBuilder::new(Rules::default());
    let clock = |period_ticks| {
        Part::Signal(Signal::Clock {
            period_ticks,
            high_ticks: 1,
            phase_ticks: 0,
        })
    };
    let clocks: Vec<PartId> = periods
        .iter()
        .enumerate()
        .map(|(number, period)| builder.add(&format!("clock {number}"), clock(*period)))
        .collect();
    let network = builder.build().expect("clocks alone are sound");
    let setup = Setup::default();
    let mut engine = Engine::new(&network, &setup);
    engine.step(&mut ());
    let mut all_on = || {
        engine.step(&mut ());
        clocks.iter().all(|clock| engine.view().level(*clock) > 0)
    };
    (1..1000)
        .find(|_| all_on())
        .expect("they meet within 1000 ticks")
}

#[test]
fn patterns_of_4_3_and_2_blocks_repeat_after_12() {
    assert_eq!(least_common_multiple(&[4, 3, 2]), 12);
    // A tick for a block: the engine's clocks walk along the three patterns.
    assert_eq!(clocks_meet_after(&[4, 3, 2]), 12);
}

#[test]
fn other_patterns_repeat_after_other_widths() {
    // 4 and 2 after 4; with one of 5 instead of 3 only after 20.
    for (patterns, width) in [(&[4, 2][..], 4), (&[4, 5, 2], 20), (&[4, 6], 12)] {
        assert_eq!(least_common_multiple(patterns), width);
        assert_eq!(clocks_meet_after(patterns), width);
    }
}

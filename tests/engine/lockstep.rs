//! Both engines side by side through every worked trace: the same events and the same digest.
//!
//! The worked traces do not report stacks and boxes of a kind apart, nor show cooldowns, queues and
//! what is pending; events and digests do.

use hallwright_core::engine::Engine;
use hallwright_core::event::Trace;
use hallwright_core::tick::Tick;
use hallwright_reference::ReferenceEngine;

use crate::trace_case::read_case;
use crate::worked_traces::all_cases;

#[test]
fn both_engines_agree_in_every_tick_of_the_worked_traces() {
    for found in all_cases() {
        let case = read_case(&found.text);
        let mut engine = Engine::new(&case.network, &case.setup);
        let mut reference = ReferenceEngine::new(&case.network, &case.setup);
        for tick in 0..case.ticks {
            let mut trace = Trace::default();
            engine.step(&mut trace);
            let moment = format!("{}: tick {tick}", found.origin);
            assert_eq!(trace.events, reference.step(), "{moment}");
            assert_eq!(engine.view().digest(), reference.digest(), "{moment}");
        }
    }
}

#[test]
fn leaping_gives_the_digest_that_stepping_gives() {
    // An odd stride ends leaps at all sorts of moments.
    const STRIDE_TICKS: u64 = 7;
    for found in all_cases() {
        let case = read_case(&found.text);
        let mut leaping = Engine::new(&case.network, &case.setup);
        let mut stepping = ReferenceEngine::new(&case.network, &case.setup);
        while stepping.tick() < Tick(case.ticks) {
            for _ in 0..STRIDE_TICKS {
                stepping.step();
            }
            leaping.run_until(stepping.tick(), &mut ());
            assert_eq!(
                leaping.view().digest(),
                stepping.digest(),
                "{}: before tick {}",
                found.origin,
                stepping.tick()
            );
        }
    }
}

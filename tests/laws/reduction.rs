//! A difference is reported on a network small enough to read.

use hallwright_reference::Fault;
use hallwright_swarm::hunt::hunt;
use hallwright_swarm::lockstep::compare;

/// The difference between these rules needs a hopper and something to move; a handful of parts more
/// may be left where one cannot go without another.
const FAULTS: [Fault; 4] = [
    Fault::PullBeforePush,
    Fault::CompareWantsMore,
    Fault::MergeTakesOlderAge,
    Fault::DwellOneLong,
];
const MOST_PARTS: usize = 8;

#[test]
fn a_difference_is_shown_on_a_small_network_that_still_has_it() {
    for fault in FAULTS {
        let finding = hunt(0..500, Some(fault)).finding;
        let finding = finding.unwrap_or_else(|| panic!("{fault:?} is not noticed"));
        let reduced = finding.reduced();
        let parts = reduced.blueprint.parts.len();
        assert!(parts <= MOST_PARTS, "{fault:?} is left with {parts} parts");
        assert!(compare(&reduced.blueprint, Some(fault), &mut ()).is_err());
        assert!(compare(&reduced.blueprint, None, &mut ()).is_ok());
        let text = reduced.in_words();
        let command = format!("--only {} --fault {fault:?}", finding.seed);
        assert!(text.contains(&command), "no command to repeat it:\n{text}");
    }
}

//! What signals hang on, and what hangs on them.

use hallwright_analysis::signals::{acts, linked, moved_from_outside, readers};
use hallwright_core::network::SignalRole;
use hallwright_core::part::{ComparatorMode, Intake, Rear, Signal, Watched};
use petgraph::Direction;

use crate::support::{Draft, names};

#[test]
fn what_only_clocks_drive_is_moved_by_nothing_else() {
    let mut draft = Draft::new();
    let clock = Signal::Clock {
        period_ticks: 20,
        high_ticks: 4,
        phase_ticks: 0,
    };
    let clock = draft.signal("clock", clock);
    let lever = draft.signal("lever", Signal::Lever { starts_on: false });
    let chest = draft.chest("chest");
    let reads = |rear| Signal::Comparator {
        rear,
        side: None,
        mode: ComparatorMode::Compare,
    };
    let beat = draft.signal("beat", Signal::Toggle { input: clock });
    draft.signal("compared beat", reads(Rear::Signal(beat)));
    draft.signal("level", reads(Rear::Inventory(chest)));
    let both = vec![beat, lever];
    let both = draft.signal("both", Signal::AllOf { inputs: both });
    draft.signal("after", Signal::Inverter { input: both });
    let watches = Watched::Signal(beat);
    draft.signal("watches beat", Signal::Observer { watches });
    let locked = draft.hopper("locked", Intake::Cap, Some(chest), Some(clock));
    let watches = Watched::Lock(locked);
    draft.signal("watches lock", Signal::Observer { watches });
    let network = draft.done();
    let moved = moved_from_outside(&network);
    assert_eq!(
        names(&network, |part| moved[part.index()]),
        ["lever", "level", "both", "after", "watches lock"]
    );
}

#[test]
fn a_signal_acts_if_a_lock_hangs_on_it_however_far_away() {
    let mut draft = Draft::new();
    let lever = draft.signal("lever", Signal::Lever { starts_on: false });
    let other = draft.signal("other", Signal::Lever { starts_on: false });
    let inverter = draft.signal("inverter", Signal::Inverter { input: lever });
    let repeater = Signal::Repeater {
        input: other,
        delay_ticks: 2,
        lock: Some(lever),
    };
    let lamp = draft.signal("lamp", repeater);
    let chest = draft.chest("chest");
    let hopper = draft.hopper("hopper", Intake::Cap, Some(chest), Some(inverter));
    let network = draft.done();
    let acts = acts(&network);
    // The repeater is locked, but nothing hangs on it.
    assert_eq!(
        names(&network, |part| acts[part.index()]),
        ["lever", "inverter"]
    );
    let mut of_lever: Vec<_> = readers(&network, lever).collect();
    of_lever.sort_unstable_by_key(|(part, _)| *part);
    assert_eq!(
        of_lever,
        [(inverter, SignalRole::Input), (lamp, SignalRole::Lock)]
    );
    let read: Vec<_> = linked(&network, hopper, Direction::Incoming).collect();
    assert_eq!(read, [(inverter, SignalRole::Lock)]);
}

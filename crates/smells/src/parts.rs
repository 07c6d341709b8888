//! Parts that nothing comes to, and locks that nothing opens.

use hallwright_core::id::PartId;
use hallwright_core::part::Part;

use super::possible::Possible;
use super::reach::Reach;
use super::{Design, Finding, Rule};

/// Finds parts that nothing comes to, of which nothing is taken, or which read what is always empty.
pub(super) fn find_out_of_use(design: &Design<'_>, reach: &Reach, found: &mut Vec<Finding>) {
    let parts = design.network.parts();
    found.extend(parts.filter_map(|(id, part)| out_of_use(design, reach, id, part)));
}

/// What there is to say of one part.
fn out_of_use(design: &Design<'_>, reach: &Reach, id: PartId, part: &Part) -> Option<Finding> {
    let network = design.network;
    let name = network.name(id);
    match part {
        Part::Mouth => {
            if !reach.is_fed(id) {
                let words = format!("nothing comes to the mouth `{name}`");
                let help = "lead a stream, dropper, bench or selector to it, or let something arrive there";
                return Some(Finding::of(Rule::UnfedMouth, id, words, help));
            }
        }
        Part::Stream(stream) if !reach.leads_on(stream.mouth) => {
            let mouth = network.name(stream.mouth);
            let words = format!("`{name}` ends at `{mouth}`, from which no hopper takes anything");
            let help = "set a hopper below: `Hopper(mouth: …)`; loose items despawn in time";
            return Some(Finding::of(Rule::BareMouth, id, words, help));
        }
        Part::Signal(signal) => {
            if let Some(read) = signal
                .inventory_read()
                .filter(|read| !reach.can_hold(*read))
            {
                let read = network.name(read);
                let words = format!("`{name}` reads `{read}`, which never holds anything");
                let help = "lead something into it, or read another place";
                return Some(Finding::of(Rule::NeverFilled, id, words, help));
            }
        }
        Part::Container(_)
        | Part::Hopper(_)
        | Part::Dropper(_)
        | Part::Stream(_)
        | Part::Bench(_)
        | Part::Selector(_)
        | Part::Dock => {
            if !reach.is_fed(id) && !reach.is_read(id) {
                let words = format!("nothing ever reaches `{name}`");
                let help = "lead something into it, let something arrive there, or leave it out";
                return Some(Finding::of(Rule::UnreachedPart, id, words, help));
            }
        }
        // What it is fed with comes through its places.
        Part::Shuttle(_) => {}
    }
    None
}

/// Finds locks that never go off.
pub(super) fn find_stuck_locks(design: &Design<'_>, possible: &Possible, found: &mut Vec<Finding>) {
    for (id, part) in design.network.parts() {
        if let Some(lock) = part.lock()
            && !possible.off(lock)
        {
            let (name, signal) = (design.network.name(id), design.network.name(lock));
            let words = format!("the lock of `{name}` never goes off: `{signal}` is always on");
            let help = "a part is locked while its signal is on: perhaps an inverter is missing, or its own input";
            found.push(Finding::of(Rule::LockNeverOff, id, words, help));
        }
    }
}

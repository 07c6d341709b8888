//! What may stand where, for the places that the core does not check.

use crate::document::PartDocument;

/// Which parts may stand in a place.
pub(super) struct Expected {
    /// In words.
    pub(super) words: &'static str,
    /// Whether a part may.
    pub(super) fits: fn(&PartDocument) -> bool,
}

/// What items can be taken out of.
pub(super) const INVENTORY: Expected = Expected {
    words: "an inventory (a container, hopper, dropper, bench, shuttle or shuttle's dock)",
    fits: |part| {
        is_container(part)
            || is_dropper(part)
            || matches!(
                part,
                PartDocument::Hopper(_)
                    | PartDocument::Bench(_)
                    | PartDocument::Dock(_)
                    | PartDocument::Shuttle(_)
            )
    },
};

/// What the operator can take items out of.
pub(super) const WITHDRAWABLE: Expected = Expected {
    words: "an inventory (a container, hopper, dropper, bench or shuttle's dock)",
    fits: |part| (INVENTORY.fits)(part) && !matches!(part, PartDocument::Shuttle(_)),
};

/// Where something can be delivered.
pub(super) const DELIVERABLE: Expected = Expected {
    words: "a place to deliver to (an inventory, selector, mouth or stream)",
    fits: |part| {
        (WITHDRAWABLE.fits)(part) || (LOOSE.fits)(part) || matches!(part, PartDocument::Selector(_))
    },
};

/// Where goods are loose.
pub(super) const LOOSE: Expected = Expected {
    words: "a mouth or stream",
    fits: |part| matches!(part, PartDocument::Mouth(_) | PartDocument::Stream(_)),
};

/// What holds or carries items.
pub(super) const ITEM_PART: Expected = Expected {
    words: "a part that holds or carries items",
    fits: |part| !(SIGNAL.fits)(part),
};

/// What other parts stand around.
pub(super) const BLOCK: Expected = Expected {
    words: "a part that others stand around (a container, hopper, dropper, bench or mouth)",
    fits: |part| {
        is_container(part)
            || is_dropper(part)
            || matches!(
                part,
                PartDocument::Hopper(_) | PartDocument::Bench(_) | PartDocument::Mouth(_)
            )
    },
};

/// Whatever stands somewhere.
pub(super) const ANY: Expected = Expected {
    words: "a part",
    fits: |_| true,
};

/// A hopper.
pub(super) const HOPPER: Expected = Expected {
    words: "a hopper",
    fits: |part| matches!(part, PartDocument::Hopper(_)),
};

/// What brings items back to the head of a line.
pub(super) const RETURN: Expected = Expected {
    words: "a hopper or dropper",
    fits: |part| (HOPPER.fits)(part) || is_dropper(part),
};

/// A lever.
pub(super) const LEVER: Expected = Expected {
    words: "a lever",
    fits: |part| matches!(part, PartDocument::Lever(_)),
};

/// A button.
pub(super) const BUTTON: Expected = Expected {
    words: "a button",
    fits: |part| matches!(part, PartDocument::Button(_)),
};

/// Whatever gives a signal.
pub(super) const SIGNAL: Expected = Expected {
    words: "a signal",
    fits: |part| {
        !(is_container(part)
            || is_dropper(part)
            || matches!(
                part,
                PartDocument::Hopper(_)
                    | PartDocument::Mouth(_)
                    | PartDocument::Stream(_)
                    | PartDocument::Bench(_)
                    | PartDocument::Selector(_)
                    | PartDocument::Dock(_)
                    | PartDocument::Shuttle(_)
            ))
    },
};

fn is_container(part: &PartDocument) -> bool {
    matches!(
        part,
        PartDocument::Container(_)
            | PartDocument::Chest(_)
            | PartDocument::Barrel(_)
            | PartDocument::DoubleChest(_)
    )
}

fn is_dropper(part: &PartDocument) -> bool {
    matches!(part, PartDocument::Dropper(_) | PartDocument::Dispenser(_))
}

/// A part's kind in words, with its article.
pub(super) fn in_words(part: &PartDocument) -> &'static str {
    match part {
        PartDocument::Hopper(_) => "a hopper",
        PartDocument::Dropper(_) => "a dropper",
        PartDocument::Dispenser(_) => "a dispenser",
        PartDocument::Mouth(_) => "a mouth",
        PartDocument::Stream(_) => "a stream",
        PartDocument::Bench(_) => "a bench",
        PartDocument::Selector(_) => "a selector",
        PartDocument::Dock(_) => "a shuttle's dock",
        PartDocument::Shuttle(_) => "a shuttle",
        PartDocument::Lever(_) => "a lever",
        PartDocument::Button(_) => "a button",
        other if is_container(other) => "a container",
        _ => "a signal",
    }
}

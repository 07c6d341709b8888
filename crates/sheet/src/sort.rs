//! What a block or a part is, as a builder calls it.

use hallwright_core::part::Part;
use hallwright_declared::placement::Built;
use hallwright_site::blocks::{Piece, Settings, Shape};
use hallwright_site::place::shape;

/// What something is built as, or of what sort it is if it is taken at its word. In the order in which lists
/// have them.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Sort {
    /// A whole, closed block.
    Full,
    /// A block that closes a hopper.
    Cap,
    /// A hopper.
    Hopper,
    /// A dropper.
    Dropper,
    /// A dispenser.
    Dispenser,
    /// A single chest, which joins another beside it.
    Chest,
    /// A single chest, turned so that it joins none.
    ChestApart,
    /// A double chest: two blocks.
    DoubleChest,
    /// A barrel.
    Barrel,
    /// Any other inventory.
    Container,
    /// A block of wire.
    Wire,
    /// A repeater.
    Repeater,
    /// A comparator.
    Comparator,
    /// An inverter.
    Inverter,
    /// An observer.
    Observer,
    /// A lever.
    Lever,
    /// A button.
    Button,
    /// The place of a box in front of its dispenser: it is left open.
    Bench,
    /// Flowing water.
    Stream,
    /// An open block in which loose items rest.
    Mouth,
    /// A selector, taken at its word.
    Selector,
    /// A place where a shuttle stands, taken at its word.
    Dock,
    /// A shuttle, taken at its word.
    Shuttle,
    /// A clock, taken at its word.
    Clock,
    /// A latch, taken at its word.
    Latch,
    /// A toggle, taken at its word.
    Toggle,
    /// A hold, taken at its word.
    Hold,
    /// On when every input is, taken at its word.
    AllOf,
    /// On when no input is, taken at its word.
    NoneOf,
    /// A delay line, taken at its word.
    DelayLine,
    /// A room, in which signal parts stand that are taken at their word.
    Room,
}

impl Sort {
    /// All of them, in their order.
    pub const ALL: [Self; 31] = [
        Self::Full,
        Self::Cap,
        Self::Hopper,
        Self::Dropper,
        Self::Dispenser,
        Self::Chest,
        Self::ChestApart,
        Self::DoubleChest,
        Self::Barrel,
        Self::Container,
        Self::Wire,
        Self::Repeater,
        Self::Comparator,
        Self::Inverter,
        Self::Observer,
        Self::Lever,
        Self::Button,
        Self::Bench,
        Self::Stream,
        Self::Mouth,
        Self::Selector,
        Self::Dock,
        Self::Shuttle,
        Self::Clock,
        Self::Latch,
        Self::Toggle,
        Self::Hold,
        Self::AllOf,
        Self::NoneOf,
        Self::DelayLine,
        Self::Room,
    ];

    /// What a piece is.
    #[must_use]
    pub fn of_piece(piece: &Piece) -> Self {
        Self::of(piece.shape, piece.settings.as_ref())
    }

    fn of(shape: Shape, settings: Option<&Settings>) -> Self {
        match shape {
            Shape::Full => Self::Full,
            Shape::Cap => Self::Cap,
            Shape::Wire => Self::Wire,
            Shape::Hopper => Self::Hopper,
            Shape::Dropper => Self::Dropper,
            Shape::Dispenser => Self::Dispenser,
            Shape::Chest => Self::Chest,
            Shape::ChestApart => Self::ChestApart,
            Shape::DoubleChest => Self::DoubleChest,
            Shape::Barrel => Self::Barrel,
            Shape::Container => Self::Container,
            Shape::Observer => Self::Observer,
            Shape::Comparator => Self::Comparator,
            Shape::Repeater => Self::Repeater,
            Shape::Inverter => Self::Inverter,
            Shape::Lever => Self::Lever,
            Shape::Button => Self::Button,
            Shape::Bench => Self::Bench,
            Shape::Stream => Self::Stream,
            Shape::Mouth => Self::Mouth,
            Shape::Word => Self::of_word(settings),
        }
    }

    /// What something taken at its word is.
    fn of_word(settings: Option<&Settings>) -> Self {
        match settings {
            Some(Settings::Selector { .. }) => Self::Selector,
            Some(Settings::Shuttle { .. }) => Self::Shuttle,
            Some(Settings::Clock { .. }) => Self::Clock,
            Some(Settings::Latch) => Self::Latch,
            Some(Settings::Toggle) => Self::Toggle,
            Some(Settings::Hold { .. }) => Self::Hold,
            Some(Settings::AllOf { .. }) => Self::AllOf,
            Some(Settings::NoneOf { .. }) => Self::NoneOf,
            Some(Settings::DelayLine { .. }) => Self::DelayLine,
            None => Self::Room,
            Some(_) => Self::Dock,
        }
    }

    /// What a part is that is built as this, wherever it stands.
    #[must_use]
    pub fn of_part(part: &Part, built: Built) -> Self {
        Self::of(shape(part, built), Settings::of(part).as_ref())
    }

    /// What it is called.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Full => "full block",
            Self::Cap => "cap",
            Self::Wire => "wire",
            Self::Hopper => "hopper",
            Self::Dropper => "dropper",
            Self::Dispenser => "dispenser",
            Self::Chest => "chest",
            Self::ChestApart => "chest apart",
            Self::DoubleChest => "double chest",
            Self::Barrel => "barrel",
            Self::Container => "container",
            Self::Observer => "observer",
            Self::Comparator => "comparator",
            Self::Repeater => "repeater",
            Self::Inverter => "inverter",
            Self::Lever => "lever",
            Self::Button => "button",
            Self::Bench => "bench",
            Self::Stream => "stream",
            Self::Mouth => "mouth",
            Self::Selector => "selector",
            Self::Dock => "dock",
            Self::Shuttle => "shuttle",
            Self::Clock => "clock",
            Self::Latch => "latch",
            Self::Toggle => "toggle",
            Self::Hold => "hold",
            Self::AllOf => "all of",
            Self::NoneOf => "none of",
            Self::DelayLine => "delay line",
            Self::Room => "room",
        }
    }

    /// So many of it, in words; `count` is in blocks, of which a double chest has two.
    #[must_use]
    pub fn counted(self, count: u64) -> String {
        let several = |words: &str| match count {
            1 => format!("1 {words}"),
            _ => format!("{count} {words}s"),
        };
        match self {
            Self::DoubleChest => {
                let chests = count / 2;
                let ending = if chests == 1 { "" } else { "s" };
                format!("{chests} double chest{ending} ({count} blocks)")
            }
            Self::ChestApart if count != 1 => format!("{count} chests apart"),
            Self::Wire => several("wire block"),
            Self::Latch | Self::Bench if count != 1 => format!("{count} {}es", self.words()),
            Self::AllOf | Self::NoneOf => format!("{count} \"{}\"", self.words()),
            other => several(other.words()),
        }
    }

    /// Its letter in plans. Each has its own.
    #[must_use]
    pub const fn letter(self) -> char {
        match self {
            Self::Full => '#',
            Self::Cap => '_',
            Self::Wire => '~',
            Self::Hopper => 'H',
            Self::Dropper => 'D',
            Self::Dispenser => 'P',
            Self::Chest => 'C',
            Self::ChestApart => 'A',
            Self::DoubleChest => 'X',
            Self::Barrel => 'B',
            Self::Container => 'K',
            Self::Observer => 'O',
            Self::Comparator => 'M',
            Self::Repeater => 'R',
            Self::Inverter => 'I',
            Self::Lever => 'L',
            Self::Button => 'U',
            Self::Bench => 'b',
            Self::Stream => 'w',
            Self::Mouth => 'o',
            Self::Selector => 'S',
            Self::Dock => 'k',
            Self::Shuttle => 'T',
            Self::Clock => 'c',
            Self::Latch => 'l',
            Self::Toggle => 't',
            Self::Hold => 'h',
            Self::AllOf => 'a',
            Self::NoneOf => 'n',
            Self::DelayLine => 'd',
            Self::Room => 'Q',
        }
    }

    /// Whether it is taken at its word: how it is built is the builder's.
    #[must_use]
    pub const fn is_taken_at_its_word(self) -> bool {
        matches!(
            self,
            Self::Selector
                | Self::Dock
                | Self::Shuttle
                | Self::Clock
                | Self::Latch
                | Self::Toggle
                | Self::Hold
                | Self::AllOf
                | Self::NoneOf
                | Self::DelayLine
                | Self::Room
        )
    }

    /// Whether nothing is placed for it: its blocks stay open, or another part is there.
    #[must_use]
    pub const fn is_left_open(self) -> bool {
        matches!(self, Self::Bench | Self::Mouth | Self::Dock)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_sort_has_a_letter_and_words_of_its_own() {
        let letters: BTreeSet<char> = Sort::ALL.iter().map(|sort| sort.letter()).collect();
        let words: BTreeSet<&str> = Sort::ALL.iter().map(|sort| sort.words()).collect();
        assert_eq!(
            (letters.len(), words.len()),
            (Sort::ALL.len(), Sort::ALL.len())
        );
        assert!(!letters.contains(&'.'), "that is an open block");
    }

    #[test]
    fn counts_are_in_plain_words() {
        let shown = [
            (Sort::DoubleChest, 2, "1 double chest (2 blocks)"),
            (Sort::DoubleChest, 4, "2 double chests (4 blocks)"),
            (Sort::ChestApart, 1, "1 chest apart"),
            (Sort::ChestApart, 3, "3 chests apart"),
            (Sort::Wire, 3, "3 wire blocks"),
            (Sort::Latch, 2, "2 latches"),
            (Sort::AllOf, 2, "2 \"all of\""),
            (Sort::Hopper, 1, "1 hopper"),
        ];
        for (sort, count, words) in shown {
            assert_eq!(sort.counted(count), words);
        }
    }
}

//! The account of a run: where all that ever was in the hall is at its end, so that it adds up.

use hallwright_core::tick::Tick;

/// Goods that lie in no box, boxes, and goods in boxes. The three are never added.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Amounts {
    /// Items that are no boxes and lie in no box.
    pub goods: u64,
    /// Boxes.
    pub boxes: u64,
    /// Items in boxes.
    pub goods_in_boxes: u64,
}

impl Amounts {
    /// Whether there is nothing.
    #[must_use]
    pub fn is_none(self) -> bool {
        self == Self::default()
    }

    /// Things that move one by one: goods and boxes, of which what is inside goes along.
    #[must_use]
    pub fn goods_and_boxes(self) -> u64 {
        self.goods + self.boxes
    }
}

impl std::ops::AddAssign for Amounts {
    fn add_assign(&mut self, other: Self) {
        self.goods += other.goods;
        self.boxes += other.boxes;
        self.goods_in_boxes += other.goods_in_boxes;
    }
}

impl std::iter::Sum for Amounts {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        let mut sum = Self::default();
        for one in all {
            sum += one;
        }
        sum
    }
}

/// Where a thing is. Each is in the first of these that fits it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Standing {
    /// Gone by despawning.
    Lost,
    /// Taken out by the operator.
    TakenOut,
    /// What a sieve holds of what it held at the start, slot by slot.
    OwnFilling,
    /// In a store that does not take it.
    Misplaced,
    /// In overflow, come there while its own store was full.
    OverflowStoreFull,
    /// In overflow, and no store is its home.
    OverflowNoHome,
    /// In overflow, come there while its own store had room.
    OverflowPassedBy,
    /// In overflow from the start, or put there by the operator, though there is a home for it.
    OverflowPutThere,
    /// In a store that is its home, as far along as it can come.
    Home,
    /// In a store that serves and takes it.
    Serving,
    /// Loose.
    Loose,
    /// In a selector, aboard a shuttle under way, on a bench.
    UnderWay,
    /// In a section's queue.
    Waiting,
    /// Delivered and not yet let in: it waits for room or for its signal where it is to land.
    AtLanding,
    /// Anywhere else: in lines, in what leads through a store, in a sieve beyond its own filling.
    InLines,
}

impl Standing {
    /// All of them, in the order in which they are looked at.
    pub const ALL: [Self; 15] = [
        Self::Lost,
        Self::TakenOut,
        Self::OwnFilling,
        Self::Misplaced,
        Self::OverflowStoreFull,
        Self::OverflowNoHome,
        Self::OverflowPassedBy,
        Self::OverflowPutThere,
        Self::Home,
        Self::Serving,
        Self::Loose,
        Self::UnderWay,
        Self::Waiting,
        Self::AtLanding,
        Self::InLines,
    ];

    /// Whether it still has some way to go.
    #[must_use]
    pub fn is_unsettled(self) -> bool {
        matches!(
            self,
            Self::Loose | Self::UnderWay | Self::Waiting | Self::AtLanding | Self::InLines
        )
    }

    /// As it is written.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Lost => "lost",
            Self::TakenOut => "taken out",
            Self::OwnFilling => "own filling of sieves",
            Self::Misplaced => "misplaced",
            Self::OverflowStoreFull => "in overflow, own store full",
            Self::OverflowNoHome => "in overflow, no home",
            Self::OverflowPassedBy => "in overflow, passed by",
            Self::OverflowPutThere => "in overflow, put there",
            Self::Home => "home",
            Self::Serving => "in stores that serve",
            Self::Loose => "loose",
            Self::UnderWay => "under way",
            Self::Waiting => "waiting",
            Self::AtLanding => "waiting at the landing",
            Self::InLines => "in lines",
        }
    }

    /// Its name, as programs read it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Lost => "lost",
            Self::TakenOut => "taken_out",
            Self::OwnFilling => "own_filling",
            Self::Misplaced => "misplaced",
            Self::OverflowStoreFull => "overflow_store_full",
            Self::OverflowNoHome => "overflow_no_home",
            Self::OverflowPassedBy => "overflow_passed_by",
            Self::OverflowPutThere => "overflow_put_there",
            Self::Home => "home",
            Self::Serving => "serving",
            Self::Loose => "loose",
            Self::UnderWay => "under_way",
            Self::Waiting => "waiting",
            Self::AtLanding => "at_landing",
            Self::InLines => "in_lines",
        }
    }
}

/// Where all things are at the end, and where they came from.
///
/// Of each kind, what lies about and what lies in boxes together is what was there at the start and
/// what was sent, less what was refused: a box that is packed or emptied moves its goods from one
/// column to the other. Of boxes, every kind of them adds up by itself.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Account {
    /// What was there at the start.
    pub at_start: Amounts,
    /// What deliveries asked to bring.
    pub sent: Amounts,
    /// What of it found no room.
    pub refused: Amounts,
    /// Where it all is, in the order of [`Standing::ALL`]; those that hold nothing are left out.
    pub rows: Vec<(Standing, Amounts)>,
    /// The same for each kind that ever was there, in the order of kinds.
    pub kinds: Vec<KindAccount>,
    /// What was refused, by place and kind, the first refusal first.
    pub refusals: Vec<Refusal>,
}

impl Account {
    /// What stands there.
    #[must_use]
    pub fn amount(&self, standing: Standing) -> Amounts {
        let mut rows = self.rows.iter();
        rows.find(|(at, _)| *at == standing)
            .map_or_else(Amounts::default, |(_, amount)| *amount)
    }

    /// Where it all is, added up column by column.
    #[must_use]
    pub fn sum(&self) -> Amounts {
        self.rows.iter().map(|(_, amount)| *amount).sum()
    }

    /// The first kind that does not add up, with what there should be and what there is: a bug.
    #[must_use]
    pub fn broken(&self) -> Option<(&str, u64, u64)> {
        self.kinds.iter().find_map(|kind| {
            let due = kind.at_start + kind.sent - kind.refused;
            let there: u64 = kind.rows.iter().map(|(_, items)| items).sum();
            (due != there).then_some((kind.kind.as_str(), due, there))
        })
    }
}

/// The account of one kind: goods in boxes and out of them together, boxes by themselves.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KindAccount {
    /// The kind's name.
    pub kind: String,
    /// Whether it is a box.
    pub is_box: bool,
    /// How many were there at the start.
    pub at_start: u64,
    /// How many deliveries asked to bring.
    pub sent: u64,
    /// How many of these found no room.
    pub refused: u64,
    /// Where they are; what holds none is left out.
    pub rows: Vec<(Standing, u64)>,
}

/// Things of one kind that a place had no room for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Refusal {
    /// Where they were to land.
    pub place: String,
    /// Their kind.
    pub kind: String,
    /// How many, boxes without what they hold.
    pub items: u64,
    /// When the first was refused.
    pub first_at: Tick,
}

//! Which stores are the homes of what arrives.

/// Whether goods come by themselves or in boxes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Form {
    /// By themselves.
    Loose,
    /// In boxes.
    Boxed,
}

/// The homes of a kind in the form in which it arrives.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KindHomes {
    /// The kind's name.
    pub kind: String,
    /// How it arrives.
    pub form: Form,
    /// The first part in which it arrives: at the start or by a delivery.
    pub arrives_at: String,
    /// The stores that are its home, in the order of declaration.
    pub homes: Vec<HomeFinding>,
}

/// A store that is the home of a kind.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HomeFinding {
    /// The store.
    pub store: String,
    /// Whether a way leads there.
    pub is_reached: bool,
    /// Whether it is reached only past another home of the kind.
    pub is_past_another: bool,
}

impl KindHomes {
    /// Whether no way leads to any home.
    #[must_use]
    pub fn is_homeless(&self) -> bool {
        !self.homes.iter().any(|home| home.is_reached)
    }

    /// The homes of which none is reached only past another.
    pub fn rivals(&self) -> impl Iterator<Item = &HomeFinding> + Clone {
        self.homes.iter().filter(|home| !home.is_past_another)
    }

    /// Whether it has several homes of which none is reached only past another.
    #[must_use]
    pub fn is_shared(&self) -> bool {
        self.rivals().nth(1).is_some()
    }
}

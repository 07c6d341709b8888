//! Where brackets close. The one look at the whole text notes it, so that no value is read again at every depth to
//! find its end.

/// A pair of brackets. All pairs of a text are listed in the order in which they are opened.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub(super) struct Pair {
    /// How many bytes it is, both brackets among them.
    length: u32,
    /// How many pairs it is, itself among them.
    pairs: u32,
}

impl Pair {
    /// A pair of so many bytes and pairs; `None` if these are beyond counting.
    pub(super) fn new(length: usize, pairs: usize) -> Option<Self> {
        Some(Self {
            length: length.try_into().ok()?,
            pairs: pairs.try_into().ok()?,
        })
    }
}

/// The pairs of brackets of a stretch of text. None are noted of a text that only the crate that parses has looked at.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub(super) struct Pairs<'t>(&'t [Pair]);

impl<'t> Pairs<'t> {
    /// Those of a whole text.
    pub(super) const fn all(pairs: &'t [Pair]) -> Self {
        Self(pairs)
    }

    /// Goes on behind the first of them: how many bytes it is. `None` if there is none.
    pub(super) fn leap(&mut self) -> Option<usize> {
        let first = self.0.first()?;
        self.0 = &self.0[first.pairs as usize..];
        Some(first.length as usize)
    }

    /// Those that come before some others, which are the last of these.
    pub(super) fn before(self, last: Self) -> Self {
        Self(&self.0[..self.0.len() - last.0.len()])
    }

    /// Those inside the first of them.
    pub(super) fn inside_first(self) -> Self {
        Self(self.0.get(1..).unwrap_or_default())
    }

    /// How many of them are inside no other.
    pub(super) fn count_outermost(mut self) -> usize {
        std::iter::from_fn(|| self.leap()).count()
    }
}

//! Which kind comes next in a mixed delivery.

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

/// Chooses among kinds by their shares.
pub(super) struct Mixture {
    shares: Vec<u32>,
    /// All shares together, above 0.
    total: u64,
    by: By,
}

enum By {
    /// How often each has come.
    Turns(Vec<u64>),
    Chance(Box<ChaCha8Rng>),
}

impl Mixture {
    /// In turns. However many have come, of each kind less than one is missing from its exact share
    /// of them, and there is less than one too many.
    pub(super) fn in_turns(shares: Vec<u32>) -> Self {
        let come = vec![0; shares.len()];
        Self::new(shares, By::Turns(come))
    }

    /// Each is drawn by itself.
    pub(super) fn by_chance(stream: ChaCha8Rng, shares: Vec<u32>) -> Self {
        Self::new(shares, By::Chance(Box::new(stream)))
    }

    fn new(shares: Vec<u32>, by: By) -> Self {
        let total = shares.iter().copied().map(u64::from).sum();
        Self { shares, total, by }
    }

    /// The next kind, by its place in the list of shares.
    pub(super) fn next(&mut self) -> usize {
        match &mut self.by {
            By::Chance(stream) => drawn(stream.random_range(0..self.total), &self.shares),
            By::Turns(come) => {
                let next = due_next(&self.shares, self.total, come);
                come[next] += 1;
                next
            }
        }
    }
}

/// The kind that a draw below the sum of the shares falls on.
fn drawn(draw: u64, shares: &[u32]) -> usize {
    let mut left = draw;
    let falls_on = |share: &u32| {
        let is_here = left < u64::from(*share);
        left = left.saturating_sub((*share).into());
        is_here
    };
    shares.iter().position(falls_on).unwrap_or(0)
}

/// Of the kinds that would not come too early, the one that must come soonest; of equals the first.
///
/// After `n` have come, a kind with share `s` of `S` may come for the `k`th time once `s n > S (k - 1)`,
/// and must have come by `n = S k / s`, rounded up. These spans can always be kept by serving the
/// soonest end first, since exactly one comes at a time and the shares add up to the whole.
fn due_next(shares: &[u32], total: u64, come: &[u64]) -> usize {
    let after = u128::from(come.iter().sum::<u64>()) + 1;
    let total = u128::from(total);
    let kinds = shares.iter().zip(come).enumerate();
    let may_come = kinds.filter_map(|(kind, (share, come))| {
        let (share, come) = (u128::from(*share), u128::from(*come));
        let is_early = share * after <= total * come;
        (!is_early).then(|| (kind, (total * (come + 1)).div_ceil(share)))
    });
    let soonest = may_come.min_by_key(|(_, by)| *by);
    soonest.map_or(0, |(kind, _)| kind)
}

#[cfg(test)]
mod tests {
    use rand::SeedableRng;

    use super::*;

    fn turns(shares: &[u32], count: usize) -> Vec<usize> {
        let mut mixture = Mixture::in_turns(shares.to_vec());
        (0..count).map(|_| mixture.next()).collect()
    }

    #[test]
    fn turns_alternate_as_evenly_as_they_can() {
        assert_eq!(turns(&[1, 1], 4), [0, 1, 0, 1]);
        assert_eq!(turns(&[2, 1], 6), [0, 0, 1, 0, 0, 1]);
        assert_eq!(turns(&[0, 3], 3), [1, 1, 1]);
        assert_eq!(
            turns(&[5, 2], 7).iter().filter(|kind| **kind == 1).count(),
            2
        );
    }

    #[test]
    fn proportions_are_kept_all_the_time() {
        let mut stream = ChaCha8Rng::seed_from_u64(7);
        for _ in 0..300 {
            let kinds = stream.random_range(1..12);
            let most = [2, 9, 100, u32::MAX][stream.random_range(0..4)];
            let mut shares: Vec<u32> = (0..kinds).map(|_| stream.random_range(0..most)).collect();
            shares[0] += 1;
            let total: u128 = shares.iter().map(|share| u128::from(*share)).sum();
            let mut come = vec![0_u128; kinds];
            for (before, kind) in turns(&shares, 200).into_iter().enumerate() {
                come[kind] += 1;
                for (share, come) in shares.iter().zip(&come) {
                    let exact = u128::from(*share) * (before as u128 + 1);
                    let off = exact.abs_diff(total * come);
                    assert!(off < total, "{shares:?} after {}", before + 1);
                }
            }
        }
    }

    #[test]
    fn draws_fall_on_kinds_by_their_shares() {
        let falls: Vec<usize> = (0..7).map(|draw| drawn(draw, &[3, 0, 4])).collect();
        assert_eq!(falls, [0, 0, 0, 2, 2, 2, 2]);
    }
}

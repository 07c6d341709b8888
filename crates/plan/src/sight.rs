//! The sight line: whether two display rows, one above the other, are seen at once.
//!
//! Plain geometry. From an eye at distance `d` from the wall, the rows at heights `a` and `b` above
//! the eye (below it: negative) are `(d² + a b) / (d (b - a))` apart, as the cotangent of the angle
//! between them. Cotangents fall all the way from 0 to 180 degrees, where tangents leap at 90. So
//! the rows are within a view of the cotangent `c` where `d² - c (b - a) d + a b` is not below zero:
//! near the wall, if both rows are above or both below the eye, and far from it.

/// Half a sum of distances that no hall has, in blocks: beyond it nothing is worked out, so that
/// squares stay finite however small the view is.
const BEYOND_ALL_BLOCKS: f64 = 1e100;

/// Two display rows on a wall and who looks at them.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Sight {
    /// Height of the eye, in blocks.
    pub eye_blocks: f64,
    /// Its distance from the wall, in blocks, not negative.
    pub distance_blocks: f64,
    /// Height of the lower row, in blocks.
    pub lower_blocks: f64,
    /// Height of the upper row, in blocks, above the lower one.
    pub upper_blocks: f64,
    /// The vertical angle that is seen at once, in degrees, above 0 and below 180.
    pub view_degrees: f64,
}

/// From where both rows are seen at once.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum SeenFrom {
    /// From everywhere.
    Everywhere,
    /// From so far and farther.
    Beyond(f64),
    /// From as near as the first and nearer, and from as far as the second and farther.
    NearOrBeyond(f64, f64),
}

impl Sight {
    /// From where both rows are within one view.
    #[must_use]
    pub fn seen_from(&self) -> SeenFrom {
        let lower = self.lower_blocks - self.eye_blocks;
        let upper = self.upper_blocks - self.eye_blocks;
        let (sine, cosine) = self.view_degrees.to_radians().sin_cos();
        // The cosine of a right angle comes out as next to nothing.
        let cosine = if cosine.abs() < 1e-15 { 0.0 } else { cosine };
        let half = (upper - lower) * cosine / sine / 2.0;
        let half = half.clamp(-BEYOND_ALL_BLOCKS, BEYOND_ALL_BLOCKS);
        let product = lower * upper;
        if product >= 0.0 {
            // Both on one side of the eye are never 90 degrees apart.
            if half <= 0.0 || half * half <= product {
                return SeenFrom::Everywhere;
            }
            let far = half + (half * half - product).sqrt();
            return if product > 0.0 {
                // The two distances multiplied are the product; a difference would not be as exact.
                SeenFrom::NearOrBeyond(product / far, far)
            } else {
                SeenFrom::Beyond(far)
            };
        }
        let root = (half * half - product).sqrt();
        SeenFrom::Beyond(if half < 0.0 {
            product / (half - root)
        } else {
            half + root
        })
    }

    /// Whether both rows are within one view from where the eye is.
    #[must_use]
    pub fn is_seen(&self) -> bool {
        // What is worked out by roots is not quite exact.
        let slack = 1e-9;
        match self.seen_from() {
            SeenFrom::Everywhere => true,
            SeenFrom::Beyond(far) => self.distance_blocks >= far - slack,
            SeenFrom::NearOrBeyond(near, far) => {
                self.distance_blocks <= near + slack || self.distance_blocks >= far - slack
            }
        }
    }
}

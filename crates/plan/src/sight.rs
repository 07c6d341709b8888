//! The sight line: whether two display rows, one above the other, are seen at once.
//!
//! Plain geometry. From an eye at distance `d` from the wall, the rows at heights `a` and `b` above
//! the eye (below it: negative) are `d (b - a) / (d² + a b)` apart, as the tangent of the angle
//! between them. That is within the view where `d² - (b - a) c · d + a b` is not below zero, with `c` the
//! view's cotangent: near the wall, if both rows are above or both below the eye, and far from it. The
//! cotangent falls all the way from 0 to 180 degrees, so that this is true of wide views as well; it is
//! negative beyond 90 degrees, where rows on one side of the eye are seen from everywhere.

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
        // At 90 degrees the tangent is as good as infinite, and this as good as 0.
        let half = (upper - lower) / self.view_degrees.to_radians().tan() / 2.0;
        let product = lower * upper;
        let under_root = half * half - product;
        if under_root <= 0.0 || (half <= 0.0 && product >= 0.0) {
            return SeenFrom::Everywhere;
        }
        let root = under_root.sqrt();
        if product > 0.0 {
            SeenFrom::NearOrBeyond(half - root, half + root)
        } else {
            SeenFrom::Beyond(half + root)
        }
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

//! Limits: what a network allows at best, beside what its runs do.

mod random;

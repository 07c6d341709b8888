//! A map from blocks, quick to ask: whoever looks at a block looks at all its neighbours too.

use std::collections::HashMap;

use foldhash::fast::FixedState;
use hallwright_declared::space::Block;

/// What belongs to each block. Its order means nothing: nothing that is reported may hang on it.
pub(crate) type ByBlock<T> = HashMap<Block, T, FixedState>;

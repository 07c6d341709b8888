//! Files with modules for others to include.

use super::{GoodsDocument, ModuleDocument};
use crate::text::{Entries, Name, document};

document! {
    /// A file with modules and goods.
    pub(crate) struct ModuleFileDocument {
        /// Further such files, beside this one.
        include: Vec<Name>,
        goods: Entries<GoodsDocument>,
        modules: Entries<ModuleDocument>,
    }
}

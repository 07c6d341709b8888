//! Where everything stands on the map: parts in modules, one for each module.
//!
//! Where the layout says where its parts stand, that is where they are drawn (`placed`). Everything
//! else stands in layers, each part right of those that feed it (`layered`), module by module from the
//! innermost out. Lengths are in cells: a part is one cell wide and high.

mod layered;
mod layers;
mod modules;
mod placed;

use hallwright_core::network::Network;
use hallwright_declared::declarations::Store;

use self::modules::Modules;

/// A rectangle, or where a part stands.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct Place {
    /// Its left edge.
    pub x: f64,
    /// Its upper edge.
    pub y: f64,
    /// How wide it is.
    pub width: f64,
    /// How high it is.
    pub height: f64,
}

/// A module as the map shows it.
#[derive(Clone, PartialEq, Debug)]
pub struct Module {
    /// The last word of its name.
    pub name: String,
    /// The goods of its store, if it has one.
    pub goods: Option<String>,
    /// The module around it; `None` for the whole hall.
    pub parent: Option<usize>,
    /// Where it is.
    pub place: Place,
}

/// The whole map.
#[derive(Clone, PartialEq, Debug)]
pub struct Map {
    /// The modules, each after the one around it; the first is the whole hall.
    pub modules: Vec<Module>,
    /// The module of each part.
    pub module_of: Vec<usize>,
    /// The upper left corner of each part.
    pub places: Vec<(f64, f64)>,
    /// Whether parts stand where the layout says.
    pub is_placed: bool,
}

/// Lays a network out. Modules have what their stores take. `positions`: where parts stand, in blocks, if the layout says so.
#[must_use]
pub fn lay_out(network: &Network, stores: &[Store], positions: &[Option<(i32, i32, i32)>]) -> Map {
    let modules = Modules::new(network, stores);
    if placed::has_places(network, positions) {
        placed::lay_out(network, &modules, positions)
    } else {
        layered::lay_out(network, &modules)
    }
}

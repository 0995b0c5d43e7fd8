//! What the user tells us: types only.

pub mod map;
pub mod quantity;
pub mod record;
#[allow(clippy::module_inception)]
pub mod wine;
pub mod words;

pub use map::Map;
pub use quantity::QuantityFacts;
pub use record::*;
pub use wine::*;
pub use words::*;

//! What the user tells us: types only.

pub mod quantity;
pub mod words;

pub use quantity::QuantityFacts;
pub use words::*;

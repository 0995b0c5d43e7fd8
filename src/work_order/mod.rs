//! What the cellar does, and what the bottle needs: the work order for the steps of the plan, the
//! log of what was done, the
//! record of fitness to bottle, and the sheets that carry them on paper. No figure is made here
//! that was not tested, measured
//! or read.

pub mod amount;
mod barrier;
pub mod deciding;
pub mod dosing;
pub mod filter;
pub mod laboratory;
pub mod order;
pub mod ready;
mod refused;
pub mod sequence;
pub mod sheet;
pub mod smell;
mod verdict;

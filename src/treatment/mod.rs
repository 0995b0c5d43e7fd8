//! One treatment on one wine: whether it can be used at all, what it would do, what it costs, and
//! how the ones that can
//! be used rank for a problem.

pub mod acceptability;
pub mod compare;
pub mod germs;
pub mod measuring;
pub mod ranking;
pub mod scales;
pub mod setting;
pub mod sugar;
pub mod suit;

pub use ranking::{Ranked, Share, Span, rank};
pub use suit::{LeftOut, Reason, reasons};

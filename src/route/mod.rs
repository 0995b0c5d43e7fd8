//! Whole chains of acts that take this wine to where it may be bottled: decisions are chosen, their
//! order follows from the
//! phases of `72-routes.toml` and the rules on order; tests come before doses. It does not judge what is fit to
//! bottle: tests do.

mod answer;
pub mod bounds;
pub mod instance;
pub mod model;
mod picks;
pub mod plan;
pub mod relax;
pub mod report;
pub mod routes;
pub mod search;

pub use report::{Route, Routes, Stand, Step, StepKind};
pub use routes::routes;

/// Share of the draws in which all needs must be met, to start with.
pub const TARGET: f64 = 0.9;
/// Share below the aim that a rounded figure does not show.
const JUST_BELOW: f64 = 0.005;
/// Most decisions of a route.
pub const MOST_DECISIONS: usize = 6;
/// Draws of the search.
pub const SEARCH_DRAWS: usize = 64;
/// Draws of the routes that are shown.
pub const SHOWN_DRAWS: usize = 1000;
/// Most routes shown.
pub const SHOWN: usize = 12;

//! Whole chains of acts that take this wine to where it may be bottled: decisions are chosen, their
//! order is sorted from the rules on order that bind for the wine, and the phases of `72-routes.toml` settle
//! what they leave open; tests come before doses. It does not judge what is fit to bottle: tests do.

pub mod aims;
mod answer;
pub mod bounds;
mod branches;
mod chain;
mod grades;
mod held;
pub mod instance;
pub mod model;
mod owed;
mod owed_steps;
mod picks;
pub mod plan;
pub mod relax;
pub mod report;
pub mod routes;
pub mod search;
pub mod sequence;
mod steps;
mod tied;
pub mod verify;

pub use report::{LessSure, Route, RouteTest, Routes, Stand, Step, StepKind};
pub use routes::{RouteSearch, routes};

/// Share below the aim that a rounded figure does not show.
const JUST_BELOW: f64 = 0.005;
/// Most decisions of a route.
pub const MOST_DECISIONS: usize = 6;
/// Draws of the search.
pub const SEARCH_DRAWS: usize = 64;
/// Draws of the routes that are shown.
pub const SHOWN_DRAWS: usize = 1000;

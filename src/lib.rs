//! Stillbright: what to do with a wine that is not yet fit to bottle.
//!
//! The rooms, from the ground up; an upper room may use a lower one, never the reverse.

pub mod knowledge;
pub mod wine;

#[cfg(target_arch = "wasm32")]
pub mod app;

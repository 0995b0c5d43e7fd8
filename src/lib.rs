//! Stillbright: what to do with a wine that is not yet fit to bottle.

#[cfg(target_arch = "wasm32")]
pub mod app;

//! The page: Leptos views, browser storage, offline and print. Only under the wasm target.

use leptos::prelude::*;

/// Mounts the application into `<div id="app">` of index.html.
pub fn mount() {
    leptos::mount::mount_to_body(|| view! { <p id="ready">"Stillbright"</p> });
}
